package plan

import (
	"fmt"
	"math"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// TestCurvedMain leads a main round a wide arc between straight ducts, with a branch out of the
// arc at every angle.
func TestCurvedMain(t *testing.T) {
	const radius, w = 3.0, 0.4
	for _, turn := range []float64{-1, 1} { // to the right, to the left
		for deg := 40; deg <= 140; deg += 10 {
			t.Run(fmt.Sprint(turn, deg), func(t *testing.T) {
				g := newRig(duct.SUP)
				o := geom.Vec{Y: turn * radius}
				on := func(a float64) geom.Vec { return o.Add(geom.Vec{Y: -turn * radius}.Rotate(turn * a)) }
				at := func(v geom.Vec) duct.NodeID { return g.node(v.X, v.Y, 3) }
				mid, end := 0.9, math.Pi/2
				a, b, c, e := g.node(-2, 0, 3), at(on(0)), at(on(mid)), at(on(end))
				along := geom.Direction(turn * mid)
				out := g.net.Nodes[e].At.Add(geom.Direction(turn * end).Scale(2))
				tip := g.net.Nodes[c].At.Add(along.Rotate(-turn * float64(deg) * math.Pi / 180).Scale(2))
				size := duct.RoundOf(w)
				g.run(a, b, size)
				g.run(b, c, size, bulged(turn*math.Tan(mid/4)))
				g.run(c, e, size, bulged(turn*math.Tan((end-mid)/4)))
				g.run(e, at(out), size)
				g.run(c, at(tip), duct.RoundOf(0.2))
				d, shapes := drawRig(g)
				requireClean(t, shapes)
				requireOpen(t, d, shapes)
				require.Empty(t, d.list)
				// The arc has the area of a strip of its length; the branch adds what lies outside of the main's outer
				// wall.
				main := w * (2 + radius*end + 2)
				got := outline(t, shapes).Area()
				require.Greater(t, got, main+0.2*(2-w/math.Sin(float64(deg)*math.Pi/180)))
				require.Less(t, got, main+0.2*2)
				arcs := 0
				for _, l := range linesOf(shapes, shape.Wall) {
					if !l.curve.Straight() {
						arcs++
						require.Less(t, math.Abs(math.Abs(l.curve.Radius()-radius)-w/2), 1e-6)
					}
				}
				require.Greater(t, arcs, 3)
			})
		}
	}
}

// TestCurvedBend: a bend between an arc and a straight duct is tangent to both.
func TestCurvedBend(t *testing.T) {
	g := newRig(duct.SUP)
	a, b, c := g.node(0, 0, 3), g.node(4, 0, 3), g.node(4, -4, 3)
	g.run(a, b, duct.RoundOf(0.3), bulged(0.1))
	g.run(b, c, duct.RoundOf(0.3))
	d, shapes := drawRig(g)
	requireClean(t, shapes)
	requireOpen(t, d, shapes)
	outline(t, shapes)
	for _, p := range d.pieces {
		for i := 1; i < len(p.spines); i++ {
			u, v := p.spines[i-1], p.spines[i]
			require.Less(t, geom.TurnBetween(u.PlanDir(u.PlanLen()), v.PlanDir(0)), 1e-6)
		}
	}
}

// TestFlatSides keeps one side straight through size changes: the walls on that side, seen
// along the air, lie on one line, before and after a bend.
func TestFlatSides(t *testing.T) {
	for _, air := range []duct.Air{duct.SUP, duct.ETA} {
		for _, side := range []duct.Side{duct.FlatLeft, duct.FlatRight} {
			g := newRig(air)
			flat := func(r *duct.Run) { r.Spec.Flat, r.Spec.HasFlat = side, true }
			nodes := []duct.NodeID{g.node(0, 0, 3), g.node(3, 0, 3), g.node(6, 0, 3), g.node(9, 0, 3), g.node(9, 4, 3),
				g.node(9, 8, 3)}
			widths := []float64{0.6, 0.5, 0.3, 0.3, 0.2}
			for i, w := range widths {
				g.run(nodes[i], nodes[i+1], duct.RectOf(duct.Length(w), 0.2), flat)
				if i > 0 {
					g.net.Runs[i].Up = duct.RunID(i - 1)
				}
			}
			net, des := g.design()
			des.Assembly = fitting.Make(net, g.sizes, testRules)
			des.Fittings = des.Assembly.Fittings
			d := draw(newModel(net, des, Spec{Rules: testRules}))
			shapes := d.shapes
			require.Empty(t, d.list)
			requireClean(t, shapes)
			requireOpen(t, d, shapes)
			outline(t, shapes)
			// Supply air flows to the right, then up: its left is up, then left. Extract air flows back.
			up := side == duct.FlatLeft
			if air == duct.ETA {
				up = !up
			}
			y := -0.3
			if up {
				y = 0.3
			}
			onSide, longest := 0.0, 0.0
			for _, l := range linesOf(shapes, shape.Wall) {
				if math.Abs(l.curve.A.Y-y) < lawEnds && math.Abs(l.curve.B.Y-y) < lawEnds {
					onSide += l.curve.PlanLen()
					longest = math.Max(longest, l.curve.PlanLen())
				}
			}
			require.Greater(t, onSide, 8.0, "air %v side %v", air, side)
		}
	}
}

// TestOffsetBack draws a main that gets narrower with a straight side, on its way to a drop, to the side of a terminal
// or into a box: it comes back to the middle of what it leads to.
func TestOffsetBack(t *testing.T) {
	for _, air := range []duct.Air{duct.SUP, duct.ETA} {
		for _, end := range []string{"drop", "side", "box"} {
			g := newRig(air)
			flat := func(r *duct.Run) { r.Spec.Flat, r.Spec.HasFlat = duct.FlatLeft, true }
			a, b, c := g.node(-3, 0, 3), g.node(0, 0, 3), g.node(5, 0, 3)
			g.run(a, b, duct.RectOf(0.6, 0.3), flat)
			g.run(b, c, duct.RectOf(0.35, 0.25), flat).Up = 0
			far := 5.0
			switch end {
			case "drop":
				e := g.node(5, 0, 2)
				g.terminal(e, 0.3)
				g.run(c, e, duct.RectOf(0.35, 0.25),
					func(r *duct.Run) { r.Kind, r.Across, r.Up = duct.Drop, geom.Vec{Y: 1}, 1 })
				far = 5.125 // it turns down over the whole of the drop
			case "side":
				g.terminal(c, 0.3)
				far = 4.7
			case "box":
				g.unit(c, 0.3)
				g.net.Nodes[c].Kind = duct.Box
				far = 4.7
			}
			net, des := g.chosen()
			d := draw(newModel(net, des, Spec{Rules: g.rules, AxisLines: true}))
			shapes := d.shapes
			require.Empty(t, d.list)
			requireClean(t, shapes)
			requireOpen(t, d, shapes)
			// The centreline goes with the middle of the duct, in one piece.
			axis := linesOf(shapes, shape.Axis)
			var along []geom.Curve
			for _, l := range axis {
				if l.key == "r1/axis" {
					along = append(along, l.curve)
				}
			}
			require.GreaterOrEqual(t, len(along), 3)
			require.Less(t, along[0].A.PlanDist(geom.Vec{}), 1e-9)
			require.Less(t, along[len(along)-1].B.PlanDist(geom.Vec{X: 5}), 1e-9)
			for i, c := range along {
				require.True(t, i == 0 || along[i-1].B == c.A)
				require.True(t, math.Abs(c.A.Y) < 1e-9 || math.Abs(math.Abs(c.A.Y)-0.125) < 1e-9)
			}
			// The left of the air is up the sheet for supply air, down for extract.
			y := 0.125
			if air == duct.ETA {
				y = -y
			}
			at := func(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
			slope := 0.125 / math.Tan(math.Pi/12) // of 15 degrees
			begin, stop := 0.0, far
			if end == "drop" {
				stop = 5 - 0.25 // the turn has a radius of once the height
			}
			change := []geom.Vec{at(begin, -0.3), at(begin+2*slope, y-0.175), at(begin+2*slope, y+0.175),
				at(begin, 0.3)}
			ideal := sfUnion(t, strip(t, at(-3, 0), at(0, 0), 0.6), sfArea(t, change),
				strip(t, at(begin+2*slope, y), at(stop-slope, y), 0.35),
				sfArea(t, []geom.Vec{at(stop-slope, y-0.175), at(stop, -0.175), at(stop, 0.175),
					at(stop-slope, y+0.175)}), strip(t, at(stop-0.01, 0), at(far, 0), 0.35))
			var feet []sf.Geometry
			for _, p := range d.pieces {
				if !p.foot.Empty() {
					feet = append(feet, footArea(t, p.foot))
				}
			}
			requireSame(t, ideal, sfUnion(t, feet...), lawArea)
		}
	}
}
