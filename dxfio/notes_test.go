package dxfio_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/dxfio"
)

// fromEzdxf is what ezdxf sees in a drawing of testdata/dxf/make_notes.py.
type fromEzdxf struct {
	Texts []struct {
		Value         string
		At, Direction [3]float64
		Height        float64
	}
	Leaders []struct {
		Tip, Tail [3]float64
		Corners   int
	}
	Curves map[string]struct {
		Name      string
		Tolerance float64 // of the estimates of end tangents, which are free ends with us, in drawing units
		Points    [][3]float64
	}
}

func TestNotesAgainstEzdxf(t *testing.T) {
	data, err := os.ReadFile("../testdata/dxf/notes.json")
	require.NoError(t, err)
	var drawings map[string]fromEzdxf
	require.NoError(t, json.Unmarshal(data, &drawings))
	require.Len(t, drawings, 5)
	for name, want := range drawings {
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile("../testdata/dxf/" + name)
			require.NoError(t, err)
			d, err := dxfio.Read(data)
			require.NoError(t, err)
			var texts, leaders []*dxfio.Entity
			curves := 0
			troubles := d.Walk(everything, func(e *dxfio.Entity) bool {
				switch e.Kind {
				case dxfio.KindMText:
					texts = append(texts, e)
				case dxfio.KindLeader:
					leaders = append(leaders, e)
				case dxfio.KindSpline:
					curves++
					curve := want.Curves[e.Handle]
					require.NotEmpty(t, curve.Points)
					for _, p := range e.Vertices {
						require.LessOrEqual(t, toChain(p.Point, curve.Points), curve.Tolerance, "%s: at %v", curve.Name,
							p.Point)
					}
					for _, q := range []int{0, len(curve.Points) - 1} {
						p := e.Vertices[q*(len(e.Vertices)-1)/(len(curve.Points)-1)]
						require.InDelta(t, 0, toChain(p.Point, curve.Points[q:q+1]), 1e-3, "%s: its ends", curve.Name)
					}
				}
				return true
			})
			require.Empty(t, troubles)
			require.Equal(t, len(want.Curves), curves)
			require.Len(t, texts, len(want.Texts))
			for i, w := range want.Texts {
				e := texts[i]
				require.Equal(t, w.Value, e.Value)
				near(t, w.At, e.Center, w.Value)
				require.InDelta(t, w.Height, e.Height, 1e-6, w.Value)
				require.InDelta(t, 0, math.Remainder(math.Atan2(w.Direction[1], w.Direction[0])-e.Angle, 2*math.Pi),
					1e-9, w.Value)
				require.Len(t, e.Box, 4, w.Value)
			}
			require.Len(t, leaders, len(want.Leaders))
			for i, w := range want.Leaders {
				e := leaders[i]
				require.Len(t, e.Vertices, w.Corners)
				near(t, w.Tip, e.Vertices[0].Point, "tip")
				near(t, w.Tail, e.Vertices[w.Corners-1].Point, "tail")
				require.Equal(t, texts[i].Handle, e.Of, "whose it is")
				require.Equal(t, texts[i].Path, e.Path)
			}
		})
	}
}

func near(t *testing.T, want [3]float64, is dxfio.Point, what string) {
	t.Helper()
	for i, v := range []float64{is.X, is.Y, is.Z} {
		require.InDelta(t, want[i], v, 1e-6, what)
	}
}

// toChain is how far p is from a chain of points.
func toChain(p dxfio.Point, chain [][3]float64) float64 {
	at := func(i int) dxfio.Point { return dxfio.Point{X: chain[i][0], Y: chain[i][1], Z: chain[i][2]} }
	sub := func(a, b dxfio.Point) dxfio.Point { return dxfio.Point{X: a.X - b.X, Y: a.Y - b.Y, Z: a.Z - b.Z} }
	dot := func(a, b dxfio.Point) float64 { return a.X*b.X + a.Y*b.Y + a.Z*b.Z }
	d := sub(p, at(0))
	best := dot(d, d)
	for i := 1; i < len(chain); i++ {
		along, d := sub(at(i), at(i-1)), sub(p, at(i-1))
		k := math.Max(0, math.Min(1, dot(d, along)/dot(along, along)))
		off := sub(d, dxfio.Point{X: along.X * k, Y: along.Y * k, Z: along.Z * k})
		best = math.Min(best, dot(off, off))
	}
	return math.Sqrt(best)
}
