package label

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/fitting"
	vec "twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/nettest"
	"twinline/layout/plan"
	"twinline/layout/shape"
	"twinline/layout/sketchtest"
)

// labelled is a small plan to letter, at 1:50.
type labelled struct {
	net  *duct.Network
	des  *duct.Design
	spec Spec
}

func v(x, y float64) vec.Vec { return vec.Vec{X: x, Y: y, Z: 3} }

// rules are those of plans that are drawn whole.
var rules = duct.FittingRules{ElbowRound: 1.5, ElbowRect: 1, ElbowLeast: 0.7, ReducerAngle: math.Pi / 6,
	TakeoffRect: duct.Entry45, FlexibleRadius: 1.5, BranchDampers: true}

// draw makes a plan at elevation 3 of a unit of 0.8 x 0.8 m at the origin and the rows of a text.
func draw(t sketchtest.T, air duct.Air, format string, args ...any) *labelled {
	t.Helper()
	d := sketchtest.Parse(t, fmt.Sprintf("air %s; level 3; unit U0 0,0 w=0.8 h=0.8 mark=TB-1", air))
	d.Addf(t, format, args...)
	return joined(t, d)
}

// joined joins a drawing up, its terminals marked from S-101 on, and gives every run a size: its own where it has one,
// else what 4 m/s takes, up to the next 50 mm.
func joined(t sketchtest.T, d *sketchtest.Drawing) *labelled {
	t.Helper()
	for i := range d.Sketch.Terminals {
		d.Sketch.Terminals[i].Mark = fmt.Sprintf("S-%d", 101+i)
	}
	p := &labelled{net: nettest.Build(t, d)}
	sizes := make([]duct.Size, len(p.net.Runs))
	for i := range p.net.Runs {
		r := &p.net.Runs[i]
		if sizes[i] = r.Spec.Fixed; sizes[i].IsZero() {
			d := math.Ceil(math.Sqrt(float64(r.Flow)/4*4/math.Pi)/0.05) * 0.05
			sizes[i] = duct.RoundOf(duct.Length(math.Max(d, 0.1)))
		}
	}
	p.des = nettest.Design(p.net, sizes, rules)
	p.spec.Scale, p.spec.TextHeight = 50, 0.0025
	p.spec.SizeLabels, p.spec.FlowLabels, p.spec.Arrows = true, true, true
	return p
}

// bareWalls are the two sides of every run and the outline of every face, open where they cross.
func (p *labelled) bareWalls() []shape.Shape {
	var out []shape.Shape
	for i := range p.net.Runs {
		r := &p.net.Runs[i]
		if r.Vertical() {
			continue
		}
		half := float64(p.des.Runs[i].Size.Width) / 2
		side := r.Line.Tangent(0).Left().Unit().Scale(half)
		for k, s := range []vec.Vec{side, side.Scale(-1)} {
			out = append(out, shape.Shape{Key: key.Key(fmt.Sprintf("%s/wall/%d", r.Key, k)), Part: shape.Wall,
				Geom: shape.Line{A: r.Line.A.Add(s), B: r.Line.B.Add(s)}})
		}
	}
	return out
}

// whole draws all of the plan and letters it.
func (p *labelled) whole(elevation bool) []shape.Shape {
	p.spec.Elevation = elevation
	drawn, _ := plan.Draw(p.net, p.des, plan.Spec{Scale: p.spec.Scale, TextHeight: p.spec.TextHeight, AxisLines: true,
		Hidden: true, Rules: rules, Symbols: p.spec.Symbols})
	text, _ := Place(p.net, p.des, drawn, p.spec)
	return append(drawn, text...)
}

// place letters what is drawn, without fittings.
func (p *labelled) place(drawn []shape.Shape) ([]shape.Shape, diag.List) {
	p.des.Fittings, p.des.Assembly = nil, fitting.Assemble(p.net, p.des.Sizes(), nil)
	return Place(p.net, p.des, drawn, p.spec)
}

func (p *labelled) letter() ([]shape.Shape, []shape.Shape) {
	drawn := p.bareWalls()
	out, _ := p.place(drawn)
	return out, drawn
}

// The judge of what follows is another geometry library, and other widths of letters: the
// advance of LibreCAD's font "standard", read from the file (lff, height of capitals 9).
const judgeLetter = 0.76 // mean of its digits

func judgeText(t testing.TB, s shape.Text) geom.Geometry {
	w := judgeLetter * s.Height * float64(len([]rune(s.Value)))
	u := vec.Direction(s.Angle)
	c := s.At
	switch int(s.Align) % 3 {
	case 0:
		c = c.Add(u.Scale(w / 2))
	case 2:
		c = c.Sub(u.Scale(w / 2))
	}
	require.Equal(t, 1, int(s.Align)/3, "labels stand on their middle")
	return judgePolygon(t, vec.Rectangle(c, u, w/2, s.Height/2))
}

func judgePolygon(t testing.TB, pts []vec.Vec) geom.Geometry {
	g := geom.NewPolygon([]geom.LineString{judgePath(append(slices.Clone(pts), pts[0])...)})
	require.NoError(t, g.Validate())
	return g.AsGeometry()
}

func judgeLine(t testing.TB, a, b vec.Vec) geom.Geometry {
	g := judgePath(a, b)
	require.NoError(t, g.Validate())
	return g.AsGeometry()
}

// judgePath returns a path to the nanometre.
func judgePath(pts ...vec.Vec) geom.LineString {
	var xy []float64
	for _, q := range pts {
		xy = append(xy, math.Round(q.X*1e9)/1e9, math.Round(q.Y*1e9)/1e9)
	}
	return geom.NewLineString(geom.NewSequence(xy, geom.DimXY))
}

// judgeShape returns what is drawn within some metres of a place as geometries of the
// judge; arcs by chords.
func judgeShape(t testing.TB, g shape.Geometry, by vec.Vec) []geom.Geometry {
	var out []geom.Geometry
	curve := func(c vec.Curve) {
		if _, d := c.Nearest(by); d > 3 {
			return
		}
		pts := c.Flatten(0.001)
		for i := 1; i < len(pts); i++ {
			if pts[i-1].PlanDist(pts[i]) > 0 {
				out = append(out, judgeLine(t, pts[i-1], pts[i]))
			}
		}
	}
	chords := func(mid vec.Vec, radius, from, sweep float64) {
		at := func(i int) vec.Vec { return mid.Add(vec.Direction(from + sweep*float64(i)/32).Scale(radius)) }
		for i := range 32 {
			curve(vec.Curve{A: at(i), B: at(i + 1)})
		}
	}
	switch g := g.(type) {
	case shape.Line:
		curve(vec.Curve{A: g.A, B: g.B})
	case shape.Arc:
		sweep := math.Mod(g.End-g.Start+4*math.Pi, 2*math.Pi)
		chords(g.Center, g.Radius, g.Start, sweep)
	case shape.Circle:
		chords(g.Center, g.Radius, 0, 2*math.Pi)
	case shape.Polyline:
		for _, c := range g.Path.Curves(g.Closed) {
			curve(c)
		}
	case shape.Solid:
		n := 4
		if g.Corners[2] == g.Corners[3] {
			n = 3
		}
		if g.Corners[0].PlanDist(by) < 3 {
			out = append(out, judgePolygon(t, g.Corners[:n]))
		}
	case shape.Text:
		if g.At.PlanDist(by) < 6 {
			out = append(out, judgeText(t, g))
		}
	}
	return out
}

// texts returns the lettering among shapes by key.
func texts(shapes []shape.Shape) map[string]shape.Text {
	out := map[string]shape.Text{}
	for _, s := range shapes {
		if t, ok := s.Geom.(shape.Text); ok {
			out[string(s.Key)] = t
		}
	}
	return out
}
