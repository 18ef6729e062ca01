package plan

import (
	"math"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// riserRig leads a duct along X to a riser in the origin and another one away from it at angle deg, one metre up or
// down.
func riserRig(air duct.Air, lower, upper duct.Size, up, deg float64) *rig {
	g := newRig(air)
	a, b, c := g.node(-4, 0, 3), g.node(0, 0, 3), g.node(0, 0, 3+up)
	v := geom.Direction(deg * math.Pi / 180).Scale(4)
	e := g.node(v.X, v.Y, 3+up)
	g.run(a, b, lower)
	g.run(b, c, lower, func(r *duct.Run) { r.Across, r.Up = geom.Vec{Y: 1}, 0 })
	g.run(c, e, upper, func(r *duct.Run) { r.Up = 1 })
	return g
}

// TestRiserTurned leads a duct away from a riser to every side. The riser is as wide as the duct that comes, and what
// leaves to the side begins with the riser's other measure and goes over into its own width: drawn from the face of the
// riser, with the transition the losses count.
func TestRiserTurned(t *testing.T) {
	for _, air := range []duct.Air{duct.SUP, duct.ETA} {
		for _, up := range []float64{2, -2} {
			for _, deg := range []float64{90, -90} {
				size := duct.RectOf(0.5, 0.25)
				g := riserRig(air, size, size, up, deg)
				net, des := g.chosen()
				d := draw(newModel(net, des, Spec{Rules: g.rules, Hidden: true}))
				shapes := d.shapes
				require.Empty(t, d.list)
				requireClean(t, shapes)
				s := math.Copysign(1, deg)
				at := func(x, y float64) geom.Vec { return geom.Vec{X: x, Y: s * y} }
				// The turn has a radius of once the 0.5 m it bends; then 0.125 m on each side, 15 degrees.
				begin := 0.5
				end := begin + 0.125/math.Tan(math.Pi/12)
				ideal := sfUnion(t, strip(t, geom.Vec{X: -4}, geom.Vec{X: 0.125}, 0.5),
					strip(t, at(0, 0), at(0, begin), 0.25),
					sfArea(t, []geom.Vec{at(-0.125, begin), at(0.125, begin), at(0.25, end), at(-0.25, end)}),
					strip(t, at(0, end), at(0, 4), 0.5))
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
}

// footArea returns a footprint as a polygon of the judge's.
func footArea(t lawT, g geom.Region) sf.Geometry {
	var pts []geom.Vec
	for _, c := range g.Edges {
		f := c.Flatten(lawFlatten)
		pts = append(pts, f[:len(f)-1]...)
	}
	return sfArea(t, pts)
}

// TestRiserOblique leads a duct away from a riser at every angle, over the one that comes as well: walls end on the
// riser or under what covers them, none is left in the open.
func TestRiserOblique(t *testing.T) {
	for _, size := range lawSizes {
		for deg := -165.0; deg <= 165; deg += 15 {
			g := riserRig(duct.SUP, size, size, 2, deg)
			net, des := g.chosen()
			d := draw(newModel(net, des, Spec{Rules: g.rules, Hidden: true}))
			shapes := d.shapes
			require.Empty(t, ofCode(d.list, diag.NoRoom), "%v %v", size, deg)
			requireOnce(t, shapes)
			requireClosed(t, shapes)
			require.NotEmpty(t, linesOf(shapes, shape.Wall))
		}
	}
}
