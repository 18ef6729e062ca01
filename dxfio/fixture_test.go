package dxfio_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/dxfio"
)

const fixtures = "../testdata/dxf"

// seen is what another library saw of an entity, in world coordinates; see make.py beside the drawings.
type seen struct {
	Kind, Layer, Text string
	At, Start, End    *[3]float64
	Length            *float64
	Attribs           map[string]string
}

// names are what DXF calls the kinds; POLYLINE and LWPOLYLINE are one kind here.
var names = map[dxfio.Kind]string{
	dxfio.KindLine: "LINE", dxfio.KindPolyline: "POLYLINE", dxfio.KindArc: "ARC", dxfio.KindCircle: "CIRCLE",
	dxfio.KindPoint:  "POINT",
	dxfio.KindSpline: "SPLINE", dxfio.KindEllipse: "ELLIPSE", dxfio.KindInsert: "INSERT", dxfio.KindText: "TEXT",
	dxfio.KindMText:  "MTEXT",
	dxfio.KindLeader: "LEADER",
}

// Curves that became chords are shorter than they are by a part of their length.
const (
	nearPoint  = 1e-5
	nearLength = 3e-3
)

func TestReadsWhatAnotherLibraryReads(t *testing.T) {
	raw, err := os.ReadFile(filepath.Join(fixtures, "read.json"))
	require.NoError(t, err)
	var known struct {
		Files map[string]int
		Sees  [][]seen
	}
	require.NoError(t, json.Unmarshal(raw, &known))
	require.Greater(t, len(known.Files), 20)
	for name, n := range known.Files {
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join(fixtures, name))
			require.NoError(t, err)
			d, err := dxfio.Read(data)
			require.NoError(t, err)
			var got []*dxfio.Entity
			troubles := d.Walk(everything, func(e *dxfio.Entity) bool {
				got = append(got, e)
				return true
			})
			require.Empty(t, troubles)
			want := known.Sees[n]
			for i := 0; i < min(len(got), len(want)); i++ {
				same(t, want[i], got[i])
			}
			require.Len(t, got, len(want))
		})
	}
}

// same compares an entity with what another library saw of it.
func same(t *testing.T, want seen, got *dxfio.Entity) {
	t.Helper()
	where := want.Kind + " " + got.Handle + " in " + strings.Join(got.Path, ".")
	require.Equal(t, strings.Replace(want.Kind, "LWPOLYLINE", "POLYLINE", 1), names[got.Kind], where)
	require.Equal(t, want.Layer, got.Layer, where)
	near := func(want *[3]float64, got dxfio.Point, what string) {
		if want != nil {
			p := dxfio.Point{X: want[0], Y: want[1], Z: want[2]}
			require.Less(t, distance(p, got), nearPoint, "%s: %s of %s: want %v, got %v", what, where, got, p, got)
		}
	}
	switch got.Kind {
	case dxfio.KindText, dxfio.KindMText:
		require.Equal(t, want.Text, got.Value, where)
		near(want.At, got.Center, "place")
	case dxfio.KindInsert:
		require.Equal(t, want.Text, got.Block, where)
		near(want.At, got.Center, "place")
		attribs := map[string]string{}
		for _, a := range got.Attribs {
			attribs[a.Tag] = a.Value
		}
		require.Equal(t, want.Attribs, attribs, where)
	case dxfio.KindCircle:
		near(want.At, got.Center, "centre")
		if want.Length != nil {
			require.InEpsilon(t, *want.Length, 2*math.Pi*got.Radius, 1e-6, where)
		}
	case dxfio.KindPoint:
		near(want.At, got.Vertices[0].Point, "place")
	default:
		ends := got.Vertices
		if got.Closed {
			ends = append(ends[:len(ends):len(ends)], ends[0])
		}
		near(want.Start, ends[0].Point, "start")
		near(want.End, ends[len(ends)-1].Point, "end")
		require.InEpsilon(t, *want.Length, length(ends), nearLength, where)
	}
}

func distance(a, b dxfio.Point) float64 {
	return math.Sqrt((a.X-b.X)*(a.X-b.X) + (a.Y-b.Y)*(a.Y-b.Y) + (a.Z-b.Z)*(a.Z-b.Z))
}

// length returns the length of a chain of lines and arcs: an arc of bulge b over a chord c turns by 4 atan b.
func length(vs []dxfio.Vertex) (sum float64) {
	for i := 1; i < len(vs); i++ {
		chord := distance(vs[i-1].Point, vs[i].Point)
		if b := math.Abs(vs[i-1].Bulge); b > 0 {
			turn := 4 * math.Atan(b)
			chord *= turn / 2 / math.Sin(turn/2)
		}
		sum += chord
	}
	return sum
}

func TestLayersOfFixtures(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(fixtures, "read_*.dxf"))
	require.NoError(t, err)
	require.Len(t, files, 14)
	for _, name := range files {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		d, err := dxfio.Read(data)
		require.NoError(t, err)
		units := 4 // make.py says so; its library leaves the variable out of R12, which did not have it
		if d.Version() == "AC1009" {
			units = 0
		}
		require.Equal(t, units, d.InsUnits(), name)
		var off, frozen []string
		for _, l := range d.Layers() {
			if l.Off {
				off = append(off, l.Name)
			}
			if l.Frozen {
				frozen = append(frozen, l.Name)
			}
		}
		sort.Strings(off)
		require.Equal(t, []string{"SK-ETA-DUCT"}, off, name) // make.py switches it off and freezes the other
		require.Equal(t, []string{"SK-EHA-DUCT"}, frozen, name)
	}
}
