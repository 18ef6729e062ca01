package plan

import (
	"fmt"
	"math"
	"slices"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/geom"
	"twinline/layout/shape"
	"twinline/symbols"
)

// drawChosen draws a rig with the fittings package fitting chooses.
func drawChosen(g *rig) (drawing, []shape.Shape) {
	net, des := g.design()
	des.Assembly = fitting.Make(net, g.sizes, g.rules)
	des.Fittings = des.Assembly.Fittings
	d := draw(newModel(net, des, Spec{Rules: g.rules, Hidden: true}))
	shapes := d.shapes
	return d, shapes
}

// TestUnitNeck draws a duct off a unit whose neck is of another width: the transition is (0.6-0.3)/2/tan 15° = 560 mm
// long.
func TestUnitNeck(t *testing.T) {
	for _, air := range []duct.Air{duct.SUP, duct.ETA} {
		g := sketched(t, air, "unit U 0,0; duct A size=600x300 0,0 5,0")
		g.net.Units[0].Neck = duct.RectOf(0.3, 0.3)
		d, shapes := drawChosen(g)
		require.Empty(t, d.list)
		requireOpen(t, d, shapes)
		length := 0.15 / math.Tan(g.rules.ReducerAngle/2)
		want := sfUnion(t, sfArea(t, []geom.Vec{{X: 0.5, Y: -0.15}, {X: 0.5 + length, Y: -0.3},
			{X: 0.5 + length, Y: 0.3}, {X: 0.5, Y: 0.15}}),
			strip(t, geom.Vec{X: 0.5 + length}, geom.Vec{X: 5}, 0.6))
		var feet []sf.Geometry
		for _, p := range d.pieces {
			if !p.foot.Empty() {
				var pts []geom.Vec
				for _, e := range p.foot.Edges {
					pts = append(pts, e.A)
				}
				feet = append(feet, sfArea(t, pts))
			}
		}
		requireSame(t, want, sfUnion(t, feet...), lawArea)
		walls := 0
		for _, l := range linesOf(shapes, shape.Wall) {
			if math.Abs(math.Abs(l.curve.B.Y-l.curve.A.Y)-0.15) < 1e-9 &&
				math.Abs(l.curve.PlanLen()-math.Hypot(length, 0.15)) < 1e-9 {
				walls++
			}
		}
		require.Equal(t, 2, walls, "the sloping walls of the transition")
	}
}

// TestBoxNeck draws a duct through a box with a narrower neck: a transition on either side, each from the outline on.
func TestBoxNeck(t *testing.T) {
	for _, air := range []duct.Air{duct.SUP, duct.ETA} {
		g := sketched(t, air, "duct A size=600x300 -5,0 0,0; duct B size=400 0,0 5,0; unit X 0,0")
		g.net.Nodes[1].Kind = duct.Box
		g.net.Units[0].Neck = duct.RectOf(0.3, 0.3)
		d, shapes := drawChosen(g)
		require.Empty(t, d.list)
		requireClean(t, shapes)
		requireOpen(t, d, shapes)
		at := func(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
		tan := math.Tan(g.rules.ReducerAngle / 2)
		into, out := 0.15/tan, 0.05/tan
		want := sfUnion(t, strip(t, at(-5, 0), at(-0.5-into, 0), 0.6),
			sfArea(t, []geom.Vec{at(-0.5-into, -0.3), at(-0.5, -0.15), at(-0.5, 0.15), at(-0.5-into, 0.3)}),
			sfArea(t, []geom.Vec{at(0.5, -0.15), at(0.5+out, -0.2), at(0.5+out, 0.2), at(0.5, 0.15)}),
			strip(t, at(0.5+out, 0), at(5, 0), 0.4))
		var feet []sf.Geometry
		for _, p := range d.pieces {
			if !p.foot.Empty() {
				feet = append(feet, footArea(t, p.foot))
			}
		}
		requireSame(t, want, sfUnion(t, feet...), lawArea)
	}
}

// TestTerminalNeck: a transition from rectangular duct to the round neck of a terminal has its folds, and a terminal
// with the duct's own size has none.
func TestTerminalNeck(t *testing.T) {
	for _, neck := range []duct.Size{duct.RoundOf(0.25), duct.RectOf(0.5, 0.3), {}} {
		g := sketched(t, duct.SUP, "duct A size=500x300 0,0 5,0; term T 5,0 face=0.2")
		g.net.Terminals[0].Neck = neck
		_, shapes := drawChosen(g)
		creases := 0
		for _, s := range shapes {
			if s.Key == "r0/neck/1/joint/crease/l" || s.Key == "r0/neck/1/joint/crease/r" {
				creases++
			}
		}
		require.Equal(t, map[bool]int{true: 2, false: 0}[neck.Shape == duct.Round && !neck.IsZero()], creases, "%v",
			neck)
	}
}

// TestLinedOutside: a duct is drawn as wide as it is outside, its clear size and its lining on both sides.
func TestLinedOutside(t *testing.T) {
	g := sketched(t, duct.SUP, "duct A size=500x300 0,0 5,0 note 1,0 lined=25")
	d, shapes := drawRig(g)
	requireSame(t, strip(t, geom.Vec{}, geom.Vec{X: 5}, 0.55), outline(t, shapes), lawArea)
	low, high := d.pieces[len(d.pieces)-1].span(geom.Vec{X: 2})
	require.InDelta(t, 0.35, high-low, 1e-9)
	_, shapes = drawRig(g, func(s *Spec) { s.AxisLines = true })
	i := slices.IndexFunc(shapes, func(s shape.Shape) bool { return s.Part == shape.Axis })
	require.Equal(t, duct.RectOf(0.5, 0.3), shapes[i].Facts.Size)
}

// TestInsulationSideBySide: what lies around two rectangular ducts may not meet either.
func TestInsulationSideBySide(t *testing.T) {
	for _, c := range []struct {
		gap   float64 // between the sheets; each has 50 mm of insulation
		clash bool
	}{{0.11, false}, {0.08, true}} {
		g := sketched(t, duct.SUP, `
			duct A size=500x300 0,0 5,0 note 1,0 insul=50
			duct B size=500x300 0,%v 5,%[1]v note 1,0 insul=50`, 0.5+c.gap)
		d, _ := drawRig(g)
		require.Equal(t, c.clash, len(ofCode(d.list, diag.Clash)) == 1, "%v m apart", c.gap)
	}
}

// TestInsulatedFittings leads a bare duct past the outside of an insulated elbow, a sharp bend, a size change and a
// branch: what is around them takes as much room as that around straight duct, and what lacks is reported.
func TestInsulatedFittings(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		x    float64 // of the outermost wall of the fitting
	}{
		"elbow": {"duct A size=400x300 -4,0 0,0 0,4 note 0,0 insul=50", 0.2},
		"mitre": {"duct A size=400x300 -4,0 0,0 0,4 note 0,0 insul=50", 0.2},
		"size change": {`
			duct A size=400x300 0,-4 0,0 note 0,0 insul=50
			duct B size=300x300 0,0 0,4 note 0,0 insul=50`, 0.2},
		"branch": {`
			duct A size=400x300 0,-4 0,0 0,4 note 0,0 insul=50
			duct B size=300x300 0,0 -4,0 note 0,0 insul=50`, 0.2},
	} {
		for _, gap := range []float64{0.03, 0.045, 0.052, 0.08} {
			// Only beside the fitting, where no straight duct of it lies.
			x, low, high := c.x+gap+0.1, -0.1, 0.1
			if name == "elbow" { // its outermost point is where it ends
				low, high = 0.2, 0.399
			}
			g := sketched(t, duct.SUP, c.text+"; duct C ETA size=200x300 %v,%v %[1]v,%[3]v", x, low, high)
			if name == "mitre" {
				g.kind[1] = duct.Mitre
			}
			d, _ := drawRig(g)
			found := ofCode(d.list, diag.Clash)
			if gap > 0.05 {
				require.Empty(t, found, "%s, %v m apart", name, gap)
				continue
			}
			require.NotEmpty(t, found, "%s, %v m apart", name, gap)
			require.Contains(t, found[0].Text, fmt.Sprintf("overlap by %.0f mm", 50-1000*gap), "%s, %v m apart", name,
				gap)
		}
	}
}

// TestOneSystemOnItself: a duct that comes back over another one of its own system at its level is reported, one that
// passes over it is not.
func TestOneSystemOnItself(t *testing.T) {
	for _, z := range []float64{3, 4} {
		g := sketched(t, duct.SUP, "duct A size=400x300 0,0 5,0 5,3,%v 2,3,%[1]v 2,-3,%[1]v", z)
		d, _ := drawRig(g)
		found := ofCode(d.list, diag.Clash)
		require.Equal(t, z == 3, len(found) == 1, "at %v m", z)
		if z == 3 {
			require.Contains(t, found[0].Text, "SUP duct 400x300 and SUP duct 400x300 overlap by 200 mm")
		}
	}
}

// TestBranchesOnEachOther: two branches that leave one place and come back together lie on each other.
func TestBranchesOnEachOther(t *testing.T) {
	draw := func(branch string) drawing {
		d, _ := drawRig(sketched(t, duct.SUP, "duct A size=400x300 -4,0 0,0 4,0; duct B "+branch))
		return d
	}
	found := ofCode(draw("size=400x300 0,0,3,-0.6 3,0.1").list, diag.NoRoom)
	require.NotEmpty(t, found)
	require.Contains(t, found[len(found)-1].Text, "lie on each other")
	require.Empty(t, ofCode(draw("size=200x300 0,0 4,2").list, diag.NoRoom))
}

// TestFaceUnderDuct: of a face that a duct passes over only what is free is drawn as seen.
func TestFaceUnderDuct(t *testing.T) {
	g := sketched(t, duct.SUP, "duct A size=200x200 -3,0 3,0; term T 0,0,2.7 face=0.6")
	net, des := g.design()
	spec := Spec{Rules: g.rules, Hidden: true}
	spec.Symbols[symbols.MarkTerminal].Style = "plain"
	shapes := draw(newModel(net, des, spec)).shapes
	length := func(part shape.Part) (sum float64) {
		for _, l := range linesOf(shapes, part) {
			sum += l.curve.PlanLen()
		}
		return sum
	}
	require.InDelta(t, 4*0.6-2*0.2, length(shape.Term), 1e-6)
	require.InDelta(t, 2*0.2, length(shape.Hide), 1e-6)
}

// TestClimbingFlexible: the centreline of a flexible duct that changes its height climbs from end to end, its wavy
// walls with it, and whether it clashes is decided by the height it has at a place.
func TestClimbingFlexible(t *testing.T) {
	for _, c := range []struct {
		x, z  float64
		clash bool
	}{{0.5, 3.0, true}, {0.5, 2.6, false}, {3.5, 2.75, true}, {3.5, 3.2, false}} {
		y := math.Max(0, (c.x-2)/2)
		g := sketched(t, duct.SUP, `
			duct A flex size=200 0,0,3 2,0,2.85 4,1,2.7
			duct B size=100x100 %v,%v,%v %[1]v,%[4]v,%[3]v`, c.x, y-1, c.z, y+1)
		net, des := g.design()
		d := draw(newModel(net, des, Spec{Rules: g.rules, Hidden: true, AxisLines: true}))
		shapes := d.shapes
		require.Equal(t, c.clash, len(ofCode(d.list, diag.Clash)) == 1, "%+v", c)
		walls, low, high := 0, 9.0, 0.0
		for _, s := range shapes {
			p, ok := s.Geom.(shape.Polyline)
			if !ok {
				continue
			}
			switch s.Part {
			case shape.Axis:
				require.InDelta(t, 3, p.Path[0].Z, 1e-9)
				require.InDelta(t, 2.7, p.Path[len(p.Path)-1].Z, 1e-9)
			case shape.Flex:
				walls++
				for i, v := range p.Path {
					low, high = math.Min(low, v.Z), math.Max(high, v.Z)
					require.Zero(t, v.Bulge)
					require.True(t, i == 0 || v.Z <= p.Path[i-1].Z)
					// 0.15 m over the first 2 m, another 0.15 m over the other 2.24 m, but for the rounded corner
					// between.
					if v.X < 1 {
						require.InDelta(t, 3-0.075*v.X, v.Z, 0.01)
					}
				}
			}
		}
		require.GreaterOrEqual(t, walls, 2)
		require.InDelta(t, 3, high, 1e-9)
		require.InDelta(t, 2.7, low, 1e-9)
	}
}
