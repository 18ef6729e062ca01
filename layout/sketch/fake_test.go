package sketch_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/dxfio"
	"twinline/layout/diag"
	"twinline/layout/geom"
	"twinline/layout/sketch"
)

// drawing is a Source made from a few lines of text, one entity each:
//
//	line LAYER x,y x,y            pline LAYER x,y x,y;bulge … [closed]      arc: a pline with a bulge
//	circle LAYER x,y r            point LAYER x,y        spline, ellipse LAYER x,y x,y …
//	text LAYER x,y words          (letters 100 high and 70 wide, from the lower left corner)
//	block LAYER x,y w,h TAG=value TAG=value              (w,h 0,0: an empty block)
//	leader LAYER tip … tail       off LAYER              frozen LAYER
//
// A line that begins with ">" is inside the block before it; several ">" are deeper.
// Coordinates are in drawing units; a third one is Z. Handles count from 1 by line.
type drawing struct {
	entities    []*dxfio.Entity
	layers      []dxfio.Layer
	units       int
	measurement int
	troubles    []dxfio.Trouble
	inner       map[*dxfio.Entity][]*dxfio.Entity
}

func (d *drawing) Layers() []dxfio.Layer { return d.layers }
func (d *drawing) InsUnits() int         { return d.units }
func (d *drawing) Measurement() int      { return d.measurement }

// Walk keeps the contract of dxfio: inserts are walked into for what is wanted inside, unless
// they were offered and the visit declined.
func (d *drawing) Walk(want func(dxfio.Kind, string) bool, visit func(*dxfio.Entity) bool) []dxfio.Trouble {
	var walk func(list []*dxfio.Entity)
	walk = func(list []*dxfio.Entity) {
		for _, e := range list {
			descend := true
			if want(e.Kind, e.Layer) {
				c := *e // views are lent, not given
				descend = visit(&c)
			}
			if e.Kind == dxfio.KindInsert && descend {
				walk(d.inner[e])
			}
		}
	}
	walk(d.entities)
	return d.troubles
}

func parsePoint(t testing.TB, s string) dxfio.Vertex {
	var v dxfio.Vertex
	s, bulge, ok := strings.Cut(s, ";")
	if ok {
		v.Bulge = parseFloat(t, bulge)
	}
	f := strings.Split(s, ",")
	require.GreaterOrEqual(t, len(f), 2, "a point is x,y: %q", s)
	v.X, v.Y = parseFloat(t, f[0]), parseFloat(t, f[1])
	if len(f) > 2 {
		v.Z = parseFloat(t, f[2])
	}
	return v
}

func parseFloat(t testing.TB, s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// mm reads a drawing in millimetres, inches one in inches, in the language of drawing.
func mm(t testing.TB, text string) *drawing     { return draw(t, 4, text) }
func inches(t testing.TB, text string) *drawing { return draw(t, 1, text) }

func draw(t testing.TB, units int, text string) *drawing {
	t.Helper()
	d := &drawing{units: units, measurement: -1, inner: map[*dxfio.Entity][]*dxfio.Entity{}}
	var around []*dxfio.Entity
	n := 0
	for _, row := range strings.Split(text, "\n") {
		row = strings.TrimSpace(row)
		if row == "" || strings.HasPrefix(row, "//") {
			continue
		}
		depth := 0
		for strings.HasPrefix(row, ">") {
			row, depth = strings.TrimSpace(row[1:]), depth+1
		}
		f := strings.Fields(row)
		if f[0] == "off" || f[0] == "frozen" || f[0] == "layer" {
			d.layers = append(d.layers, dxfio.Layer{Name: f[1], Off: f[0] == "off", Frozen: f[0] == "frozen"})
			continue
		}
		n++
		e := parseEntity(t, f, row)
		e.Handle, e.Index = fmt.Sprintf("%X", n), n
		around = around[:depth]
		if depth > 0 {
			up := around[depth-1]
			for _, a := range around {
				e.Path = append(e.Path, a.Handle)
			}
			if e.Layer == "0" {
				e.Layer = up.Layer
			}
			d.inner[up] = append(d.inner[up], e)
		} else {
			d.entities = append(d.entities, e)
		}
		around = append(around, e)
	}
	return d
}

func parseEntity(t testing.TB, f []string, row string) *dxfio.Entity {
	e := &dxfio.Entity{Layer: f[1]}
	rest := f[2:]
	kinds := map[string]dxfio.Kind{"line": dxfio.KindLine, "pline": dxfio.KindPolyline, "circle": dxfio.KindCircle,
		"point":  dxfio.KindPoint,
		"spline": dxfio.KindSpline, "ellipse": dxfio.KindEllipse, "text": dxfio.KindText, "mtext": dxfio.KindMText,
		"block":  dxfio.KindInsert,
		"leader": dxfio.KindLeader, "arc": dxfio.KindArc}
	e.Kind = kinds[f[0]]
	require.NotZero(t, e.Kind, "no such kind: %s", row)
	switch f[0] {
	case "circle":
		e.Center, e.Radius = parsePoint(t, rest[0]).Point, parseFloat(t, rest[1])
	case "text", "mtext":
		e.Center, e.Height = parsePoint(t, rest[0]).Point, 100
		_, e.Value, _ = strings.Cut(row, rest[0]+" ")
		e.Value = strings.ReplaceAll(e.Value, `\n`, "\n")
		w := 70 * float64(len(e.Value))
		e.Box = box(e.Center.X, e.Center.Y, w, 100)
	case "block":
		p, size := parsePoint(t, rest[0]).Point, parsePoint(t, rest[1])
		e.Center, e.Block = p, "B"
		if size.X > 0 {
			e.Box = box(p.X-size.X/2, p.Y-size.Y/2, size.X, size.Y)
		}
		for _, a := range rest[2:] {
			tag, value, _ := strings.Cut(a, "=")
			e.Attribs = append(e.Attribs, dxfio.Attrib{Tag: tag, Value: strings.ReplaceAll(value, "_", " ")})
		}
	default:
		for _, p := range rest {
			if p == "closed" {
				e.Closed = true
				continue
			}
			e.Vertices = append(e.Vertices, parsePoint(t, p))
		}
	}
	return e
}

func box(x, y, w, h float64) []dxfio.Point {
	return []dxfio.Point{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}
}

// read reads d with the convention and demands no finding.
func read(t testing.TB, d *drawing) *sketch.Sketch {
	t.Helper()
	sk, found := sketch.Read(d, sketch.Rules{})
	require.Empty(t, found)
	return sk
}

// only demands that one finding was made, of that code, about that handle, and returns it.
func only(t testing.TB, found diag.List, code diag.Code, handle string) diag.Diag {
	t.Helper()
	require.Len(t, found, 1)
	require.Equal(t, code, found[0].Code, found[0].Text)
	require.Equal(t, handle, found[0].Handle, found[0].Text)
	require.NotEmpty(t, found[0].Text)
	require.NotEmpty(t, found[0].Do)
	return found[0]
}

// delta is how far two numbers may differ that were reckoned in another order.
const delta = 1e-9

// at demands that a point is the one meant.
func at(t testing.TB, want, got geom.Vec) {
	t.Helper()
	require.InDelta(t, 0, want.Dist(got), delta, "want %v, got %v", want, got)
}
