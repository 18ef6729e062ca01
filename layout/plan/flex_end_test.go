package plan

import (
	"math"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// sideNeck makes the terminal at a node one that is connected from the side, with a neck.
func (g *rig) sideNeck(n duct.NodeID, half float64, neck duct.Size) {
	g.terminal(n, half)
	t := &g.net.Terminals[g.net.Nodes[n].Terminal]
	t.Conn, t.Neck = duct.ConnSide, neck
}

// TestNeckOnTheSide draws a duct to a terminal that is connected from its side: up to 4.7 m, where its face is, with a
// transition before that to the neck. Its length is by hand: what a side moves over tan 15°, no shorter than 100 mm.
func TestNeckOnTheSide(t *testing.T) {
	for name, c := range map[string]struct {
		own, neck duct.Size
		length    float64
		creases   int
	}{
		"smaller":     {duct.RoundOf(0.25), duct.RoundOf(0.2), 0.1, 0},
		"larger":      {duct.RoundOf(0.2), duct.RoundOf(0.3), 0.05 / math.Tan(math.Pi/12), 0},
		"rectangular": {duct.RoundOf(0.25), duct.RectOf(0.3, 0.15), 0.05 / math.Tan(math.Pi/12), 2},
		"oval":        {duct.OvalOf(0.4, 0.2), duct.RoundOf(0.2), 0.1 / math.Tan(math.Pi/12), 0},
		"as it is":    {duct.RoundOf(0.2), duct.RoundOf(0.2), 0, 0},
		"not noted":   {duct.RoundOf(0.2), duct.Size{}, 0, 0},
	} {
		for _, air := range []duct.Air{duct.SUP, duct.ETA} {
			t.Run(name+" "+air.String(), func(t *testing.T) {
				g := newRig(air)
				a, b := g.node(0, 0, 3), g.node(5, 0, 3)
				g.run(a, b, c.own)
				g.sideNeck(b, 0.3, c.neck)
				d, shapes := drawChosen(g)
				require.Empty(t, d.list)
				requireOnce(t, shapes)
				requireOpen(t, d, shapes)
				own, neck := float64(c.own.Width)/2, float64(c.neck.Width)/2
				want := strip(t, geom.Vec{}, geom.Vec{X: 4.7 - c.length}, 2*own)
				if c.length > 0 {
					want = sfUnion(t, want, sfArea(t,
						[]geom.Vec{{X: 4.7 - c.length, Y: -own}, {X: 4.7, Y: -neck}, {X: 4.7, Y: neck},
							{X: 4.7 - c.length, Y: own}}))
				}
				var feet []sf.Geometry
				for _, p := range d.pieces {
					if !p.foot.Empty() {
						feet = append(feet, footArea(t, p.foot))
					}
				}
				requireSame(t, want, sfUnion(t, feet...), lawArea)
				creases := 0
				for _, s := range shapes {
					if s.Key == "r0/neck/1/joint/crease/l" || s.Key == "r0/neck/1/joint/crease/r" {
						creases++
					}
				}
				require.Equal(t, c.creases, creases)
			})
		}
	}
}

// TestNeckUnderDrop draws drops onto necks of another size. What of the neck lies within the drop is part of its
// symbol, what stands out is wall, hidden where the duct lies over it. By hand: a circle of 160 mm within one of 250
// mm; a rectangle of 300 by 150 mm over that circle, which leaves it where y = 75 mm at x = ±100 mm: 2·200 mm within,
// 2·150 + 4·50 mm beyond.
func TestNeckUnderDrop(t *testing.T) {
	for name, c := range map[string]struct {
		neck           duct.Size
		pliable        bool
		inside, beyond float64
	}{
		"smaller":              {duct.RoundOf(0.16), false, math.Pi * 0.16, 0},
		"rectangular":          {duct.RectOf(0.3, 0.15), false, 0.4, 0.5},
		"under a flexible end": {duct.RectOf(0.3, 0.15), true, 0.9, 0},
		"as it is":             {duct.RoundOf(0.25), false, 0, 0},
	} {
		t.Run(name, func(t *testing.T) {
			g := newRig(duct.SUP)
			a, b, e := g.node(0, 0, 3), g.node(5, 0, 3), g.node(5, 0, 2.4)
			g.run(a, b, duct.RoundOf(0.25))
			g.run(b, e, duct.RoundOf(0.25), func(r *duct.Run) { r.Kind, r.Pliable = duct.Drop, c.pliable }).Up = 0
			g.terminal(e, 0.3)
			g.net.Terminals[0].Neck = c.neck
			d, shapes := drawChosen(g)
			require.Empty(t, d.list)
			requireOnce(t, shapes)
			var neck []shape.Shape
			for _, s := range shapes {
				if len(s.Key) > 8 && s.Key[:8] == "r1/neck/" {
					neck = append(neck, s)
				}
			}
			require.InDelta(t, c.inside, total(neck, shape.Vert), 1e-9)
			require.InDelta(t, c.beyond, total(neck, shape.Wall, shape.Hide), 1e-9)
		})
	}
}

// turnedFace is a face of 600 by 600 mm at (5, 0).
func turnedFace(turned float64) []geom.Vec {
	var out []geom.Vec
	for _, v := range square(geom.Vec{}, 0.3) {
		out = append(out, geom.Vec{X: 5, Z: 3}.Add(v.Rotate(turned)))
	}
	return out
}

// flexTo draws a flexible duct of 160 mm along points to the middle of a terminal of 600 by 600 mm at (5, 0), with a
// side neck.
func flexTo(neck duct.Size, turned float64, way ...geom.Vec) (drawing, []shape.Shape) {
	g := newRig(duct.SUP)
	g.rules.FlexibleRadius = 1.5
	last := g.node(way[0].X, way[0].Y, 3)
	for _, v := range append(way[1:], geom.Vec{X: 5}) {
		n := g.node(v.X, v.Y, 3)
		g.run(last, n, duct.RoundOf(0.16), flexible)
		last = n
	}
	g.sideNeck(last, 0.3, neck)
	g.net.Terminals[0].Face = turnedFace(turned)
	net, des := g.design()
	des.Assembly = fitting.Make(net, g.sizes, g.rules)
	des.Fittings = des.Assembly.Fittings
	d := draw(newModel(net, des, Spec{Rules: g.rules, Hidden: true, AxisLines: true}))
	return d, d.shapes
}

// middle returns the centreline of the flexible duct of flexTo.
func middle(t lawT, shapes []shape.Shape) []geom.Curve {
	for _, s := range shapes {
		if s.Key == "r0/axis" {
			return s.Geom.(shape.Polyline).Path.Curves(false)
		}
	}
	require.Fail(t, "no centreline")
	return []geom.Curve{{}}
}

// TestFlexibleAtCorner brings a flexible duct to the very corner of a terminal, (4.7, -0.3), from below at 45°. By
// hand: it ends on the lower side, to which it turns least, half its width and 25 mm from the corner, upward, and no
// bend is tighter than 240 mm.
func TestFlexibleAtCorner(t *testing.T) {
	d, shapes := flexTo(duct.RoundOf(0.16), 0, geom.Vec{X: 3.3, Y: -0.7}, geom.Vec{X: 4.3, Y: -0.7})
	require.Empty(t, ofCode(d.list, diag.TightFitting))
	mid := middle(t, shapes)
	end := mid[len(mid)-1]
	require.InDelta(t, 4.7+0.08+0.025, end.B.X, 1e-9)
	require.InDelta(t, -0.3, end.B.Y, 1e-9)
	require.InDelta(t, math.Pi/2, end.PlanDir(end.PlanLen()).Angle(), 1e-9)
	for _, c := range mid {
		require.True(t, c.Straight() || c.Radius() > 0.24-1e-9)
	}
}

// TestFlexibleOntoNeck: a round flexible duct and a rectangular neck on the side are joined by a transition square to
// the face. By hand: from 160 to 300 mm wide, 70 mm on each side over tan 15°, 261 mm long.
func TestFlexibleOntoNeck(t *testing.T) {
	length := 0.07 / math.Tan(math.Pi/12)
	for _, y := range []float64{0, 0.4, -0.8} { // of where it comes from
		d, shapes := flexTo(duct.RectOf(0.3, 0.15), 0, geom.Vec{X: 3, Y: y})
		require.Empty(t, ofCode(d.list, diag.TightFitting))
		requireOnce(t, shapes)
		mid := middle(t, shapes)
		end := mid[len(mid)-1]
		at := math.Max(-0.125, math.Min(0.125, y*0.3/2)) // the line meets the face there; all of the neck lies on it
		require.InDelta(t, 4.7-length, end.B.X, 1e-9)
		require.InDelta(t, at, end.B.Y, 1e-9)
		require.InDelta(t, 0, end.PlanDir(end.PlanLen()).Angle(), 1e-7)
		walls := linesOf(shapes, shape.Wall)
		require.Len(t, walls, 2, "the sloping walls of the transition")
		for i, w := range walls {
			side := 1 - 2*float64(i)
			require.InDelta(t, 4.7, w.curve.A.X, 1e-9)
			require.Less(t, math.Abs(math.Abs(w.curve.A.Y-at)-0.15), 1e-9, "%v", side)
			require.Less(t, math.Abs(math.Abs(w.curve.B.Y-at)-0.08), 1e-9, "%v", side)
		}
	}
}

// TestFlexibleEndsSquare leads flexible duct to a terminal turned by any angle, from anywhere, with a bend on its way:
// its end lies on one side of the face over all its width, and it comes square to that, or what it lacks is reported.
// Its centreline has no kink.
func TestFlexibleEndsSquare(t *testing.T) {
	square := 0
	rapid.Check(t, func(t *rapid.T) {
		turned := rapid.Float64Range(0, math.Pi/2).Draw(t, "turned")
		from := rapid.Float64Range(0, 2*math.Pi).Draw(t, "from")
		bend := rapid.Float64Range(-1.5, 1.5).Draw(t, "bend")
		near := rapid.Float64Range(0.8, 2.5).Draw(t, "near")
		far := rapid.Float64Range(0.5, 3).Draw(t, "far")
		neck := rapid.SampledFrom([]duct.Size{{}, duct.RoundOf(0.16), duct.RoundOf(0.2),
			duct.RectOf(0.3, 0.15)}).Draw(t, "neck")
		way := []geom.Vec{geom.Direction(from).Scale(near).Add(geom.Vec{X: 5})}
		way = append([]geom.Vec{way[0].Add(geom.Direction(from + bend).Scale(far))}, way...)
		d, shapes := flexTo(neck, turned, way...)
		requireOnce(t, shapes)
		mid := middle(t, shapes)
		for i, c := range mid[1:] {
			require.Less(t, c.A.PlanDist(mid[i].B), lawEnds)
			require.Less(t, geom.TurnBetween(mid[i].PlanDir(mid[i].PlanLen()), c.PlanDir(0)), 1e-3, "a kink at %v", c.A)
		}
		reported := len(ofCode(d.list, diag.TightFitting))+len(ofCode(d.list, diag.NoRoom)) > 0
		for _, c := range mid {
			require.True(t, reported || c.Straight() || c.Radius() > 0.24-1e-6, "a radius of %v is not reported",
				c.Radius())
		}
		key := "r0/flex/joint/out"
		if !neck.IsZero() && neck != duct.RoundOf(0.16) {
			key = "r1/neck/1/joint/in"
		}
		var end geom.Curve
		for _, l := range linesOf(shapes, shape.Joint) {
			if l.key == key {
				end = l.curve
			}
		}
		ring := sfArea(t, turnedFace(turned)).Boundary()
		on := true
		for _, f := range []float64{0, 0.3, 0.5, 1} {
			p := end.Point(f)
			dist, ok := sf.Distance(sf.NewPoint(sf.Coordinates{XY: sf.XY{X: p.X, Y: p.Y}}).AsGeometry(), ring)
			require.True(t, ok)
			on = on && dist < 1e-6
		}
		require.True(t, on || reported, "the end from %v to %v lies beside the face", end.A, end.B)
		if on {
			square++
			last := mid[len(mid)-1]
			require.InDelta(t, 0, last.PlanDir(last.PlanLen()).Dot(end.PlanDir(0)), 1e-6, "it comes aslant")
		}
	})
	require.Greater(t, square, 50)
}

// TestRemovedSingle: a removed duct without a size, drawn as one line, begins at the wall of the main it was taken off:
// 200 mm from its middle over its side, whether the main is one duct or two that meet there; and goes on to the face of
// its terminal.
func TestRemovedSingle(t *testing.T) {
	status := func(s duct.Status) func(*duct.Run) { return func(r *duct.Run) { r.Status = s } }
	for _, split := range []bool{false, true} {
		for _, air := range []duct.Air{duct.SUP, duct.ETA} {
			g := newRig(air)
			a, b := g.node(-3, 0, 3), g.node(3, 0, 3)
			if split {
				m := g.node(0, 0, 3)
				g.run(a, m, duct.RectOf(0.4, 0.3), status(duct.Existing))
				g.run(m, b, duct.RectOf(0.4, 0.3), status(duct.Existing)).Up = 0
			} else {
				g.run(a, b, duct.RectOf(0.4, 0.3), status(duct.Existing))
			}
			e := g.node(0, -3, 3)
			gone := g.run(g.node(0, 0, 3), e, duct.Size{}, status(duct.Removed))
			g.terminal(e, 0.3)
			d, shapes := drawRig(g)
			requireOpen(t, d, shapes)
			for _, l := range linesOf(shapes, shape.Wall) {
				if l.key == string(gone.Key)+"/wall/single" {
					require.InDelta(t, -0.2, math.Max(l.curve.A.Y, l.curve.B.Y), 1e-9)
					require.InDelta(t, -2.7, math.Min(l.curve.A.Y, l.curve.B.Y), 1e-9)
					gone = nil
					break
				}
			}
			require.Nil(t, gone, "it is drawn")
		}
	}
}
