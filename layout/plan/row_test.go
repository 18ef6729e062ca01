package plan

import (
	"math"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// tap is one branch of a test: where it leaves the main, to which side (0: straight down), and how wide it is.
type tap struct {
	x, side, wide float64
}

// tapped is a straight main of 12 m with branches.
type tapped struct {
	air   duct.Air
	main  duct.Size
	after duct.Size  // beyond the last branch
	taps  []tap      // by rising x
	lean  [2]float64 // turn of the branches to the right and to the left, in degrees
	north float64
	climb float64 // of the main, a metre
}

func (c *tapped) size(w float64) duct.Size {
	switch c.main.Shape {
	case duct.Rect:
		return duct.RectOf(duct.Length(w), 0.15)
	case duct.Oval:
		return duct.OvalOf(duct.Length(w), 0.15)
	}
	return duct.RoundOf(duct.Length(w))
}

// dir returns the direction of a branch in the plan of the test.
func (c *tapped) dir(t tap) geom.Vec {
	return geom.Direction(t.side * c.lean[max(0, int(t.side))] * math.Pi / 180)
}

const tapLong = 4.0

// rig draws it: the branches level, or straight down.
func (c *tapped) rig() *rig {
	g := newRig(c.air)
	node := func(x, y, z float64) duct.NodeID {
		v := geom.Vec{X: x, Y: y}.Rotate(c.north)
		return g.node(v.X, v.Y, z)
	}
	height := func(x float64) float64 { return 3 + c.climb*x }
	last := node(0, 0, height(0))
	hang := func(up *duct.Run) func(*duct.Run) {
		return func(r *duct.Run) {
			if up != nil {
				r.Up = up.ID
			}
		}
	}
	var up *duct.Run
	for _, t := range c.taps {
		here := node(t.x, 0, height(t.x))
		up = g.run(last, here, c.main, hang(up))
		up = &g.net.Runs[up.ID]
		id := up.ID
		if t.side == 0 {
			g.run(here, node(t.x, 0, height(t.x)-1.5), duct.RoundOf(duct.Length(t.wide)), hang(up))
		} else {
			v := c.dir(t).Scale(tapLong)
			g.run(here, node(t.x+v.X, v.Y, height(t.x)), c.size(t.wide), hang(up))
		}
		up = &g.net.Runs[id]
		last = here
	}
	g.run(last, node(12, 0, height(12)), c.after, hang(up))
	return g
}

// touching is how near to each other, in metres, two branches do not come in the tests: their walls would be one.
const touching = 1e-4

// over returns by how much two branches of one side lie on each other, worked out from their walls alone.
func (c *tapped) over() float64 {
	most := 0.0
	for i, a := range c.taps {
		for _, b := range c.taps[i+1:] {
			if a.side != b.side {
				continue
			}
			sin := 1.0
			if a.side != 0 {
				sin = math.Abs(c.dir(a).Y)
			}
			one := (a.wide+b.wide)/2/sin - (b.x - a.x)
			if math.Abs(one) < touching+0.2*c.climb {
				return touching
			}
			most = math.Max(most, one)
		}
	}
	return most
}

// ideal returns what main and branches cover, without the pieces that widen their mouths.
func (c *tapped) ideal(t lawT) sf.Geometry {
	at := func(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y}.Rotate(c.north) }
	all := []sf.Geometry{strip(t, at(0, 0), at(12, 0), float64(c.main.Width))}
	for _, k := range c.taps {
		if k.side != 0 {
			v := c.dir(k).Scale(tapLong)
			all = append(all, strip(t, at(k.x, 0), at(k.x+v.X, v.Y), k.wide))
		}
	}
	return sfUnion(t, all...)
}

func plainRules() duct.FittingRules {
	r := testRules
	r.TakeoffRound, r.TakeoffRect, r.BranchDampers = duct.Plain, duct.Plain, false
	return r
}

func found(list diag.List, code diag.Code) (out []diag.Diag) {
	for _, f := range list {
		if f.Code == code {
			out = append(out, f)
		}
	}
	return out
}

// Two branches to opposite sides, staggered by less than their width: by hand. Each side has its own opening and all
// the wall beside it.
func TestStaggeredTakeoffs(t *testing.T) {
	for _, dx := range []float64{0.03, 0.1, 0.2, 0.24} {
		for _, air := range []duct.Air{duct.SUP, duct.ETA} {
			c := tapped{air: air, main: duct.RoundOf(0.4), after: duct.RoundOf(0.4),
				taps: []tap{{4, 1, 0.25}, {4 + dx, -1, 0.25}}, lean: [2]float64{90, 90}}
			net, des := c.rig().chosenBy(plainRules())
			d := draw(newModel(net, des, Spec{Hidden: true, Rules: plainRules()}))
			shapes := d.shapes
			require.Empty(t, d.list)
			requireClean(t, shapes)
			requireOpen(t, d, shapes)
			requireSame(t, c.ideal(t), outline(t, shapes), lawArea)
			// The walls of the main: to the left open from 3.875 to 4.125, to the right by dx further on.
			for side, x := range map[float64]float64{0.2: 4, -0.2: 4 + dx} {
				for _, l := range linesOf(shapes, shape.Wall) {
					if math.Abs(l.curve.A.Y-side) > 1e-9 || math.Abs(l.curve.B.Y-side) > 1e-9 {
						continue
					}
					lo, hi := math.Min(l.curve.A.X, l.curve.B.X), math.Max(l.curve.A.X, l.curve.B.X)
					require.True(t, hi < x-0.125+1e-9 || lo > x+0.125-1e-9, "%s from %v to %v at %v", l.key, lo, hi, dx)
				}
			}
		}
	}
}

// Branches in any row along one main, of every shape and form, level, to both sides or down: what lies on each other on
// one side is reported, with its length, and nothing else; the outline is that of the ducts.
func TestRowsOfTakeoffs(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		c := tapped{air: rapid.SampledFrom([]duct.Air{duct.SUP, duct.ETA}).Draw(r, "air"),
			north: rapid.Float64Range(0, 6).Draw(r, "north")}
		c.main = rapid.SampledFrom([]duct.Size{duct.RoundOf(0.5), duct.RectOf(0.6, 0.3), duct.OvalOf(0.6, 0.3)}).Draw(r,
			"main")
		c.after = c.main
		c.lean[0] = rapid.SampledFrom([]float64{90, 90, 60, 45, 120}).Draw(r, "lean right")
		c.lean[1] = rapid.SampledFrom([]float64{90, 90, 60, 45, 120}).Draw(r, "lean left")
		forms := rapid.Bool().Draw(r, "forms")
		c.climb = rapid.SampledFrom([]float64{0, 0, 0.05}).Draw(r, "climb")
		if c.climb != 0 {
			c.lean = [2]float64{90, 90}
		}
		x := 4.0
		for range rapid.IntRange(2, 5).Draw(r, "branches") {
			side := rapid.SampledFrom([]float64{1, -1, 1, -1, 0}).Draw(r, "side")
			if c.climb != 0 && side == 0 {
				side = 1
			}
			c.taps = append(c.taps, tap{x, side, rapid.SampledFrom([]float64{0.15, 0.2, 0.3}).Draw(r, "wide")})
			x += rapid.SampledFrom([]float64{0.03, 0.08, 0.15, 0.22, 0.3, 0.5}).Draw(r, "step")
		}
		if rapid.Bool().Draw(r, "smaller") && !forms {
			c.after = c.size(0.4)
			c.after.Height = c.main.Height
			if c.main.Shape == duct.Round {
				c.after.Height = c.after.Width
			}
		}
		if c.over() == touching {
			r.Skip("two branches touch")
		}
		rules := testRules
		if !forms {
			rules = plainRules()
		}
		net, des := c.rig().chosenBy(rules)
		d := draw(newModel(net, des, Spec{Hidden: true, Rules: rules}))
		shapes := d.shapes
		require.Empty(r, found(d.list, diag.Clash))
		room := found(d.list, diag.NoRoom)
		over := c.over()
		if over > geom.Same {
			require.NotEmpty(r, room)
			most := 0.0
			for _, f := range des.Fittings {
				most = math.Max(most, float64(f.ShortBy))
			}
			require.InDelta(r, over, most, 1e-6+0.2*c.climb) // a level branch stands askew in a sloping main
			return
		}
		require.Empty(r, room)
		requireClean(r, shapes)
		requireOpen(r, d, shapes)
		if !forms && c.after == c.main && c.climb == 0 {
			level := 0
			for _, k := range c.taps {
				level += int(math.Abs(k.side))
			}
			if level == len(c.taps) { // a column under the main is drawn as well
				requireSame(r, c.ideal(r), outline(r, shapes), lawArea)
			}
		}
	})
}

// stepped is a duct with a step: sideways, up or down.
type stepped struct {
	air         duct.Air
	size        duct.Size
	side, up    float64
	turn        float64 // degrees from the duct to the step
	before, aft float64 // lengths on both sides
	north       float64
}

func (c *stepped) rig() *rig {
	g := newRig(c.air)
	node := func(x, y, z float64) duct.NodeID {
		v := geom.Vec{X: x, Y: y}.Rotate(c.north)
		return g.node(v.X, v.Y, z)
	}
	on := 0.0
	if c.turn < 90 {
		on = math.Abs(c.side) / math.Tan(c.turn*math.Pi/180)
	}
	a, b := node(0, 0, 3), node(c.before, 0, 3)
	e, f := node(c.before+on, c.side, 3+c.up), node(c.before+on+c.aft, c.side, 3+c.up)
	g.run(a, b, c.size)
	g.run(b, e, c.size, func(r *duct.Run) { r.Up = 0; r.Across = geom.Vec{Y: 1}.Rotate(c.north) })
	g.run(e, f, c.size, func(r *duct.Run) { r.Up = 1 })
	return g
}

// The step of 0.2 m of a round duct of 0.315 m, by hand: two turns of 15 degrees, since the rules want no side to slope
// by more, over 0.2 m / tan 15° = 0.746 m, half of it on each side of the step.
func TestOffsetInDuct(t *testing.T) {
	c := stepped{air: duct.SUP, size: duct.RoundOf(0.315), side: 0.2, turn: 90, before: 4, aft: 4}
	net, des := c.rig().chosenBy(testRules)
	d := draw(newModel(net, des, Spec{Hidden: true, AxisLines: true, Rules: testRules}))
	shapes := d.shapes
	require.Empty(t, d.list)
	requireClean(t, shapes)
	half := 0.2 / math.Tan(15*math.Pi/180) / 2
	at := func(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
	slope := sfArea(t, []geom.Vec{at(4-half, -0.1575), at(4+half, 0.0425), at(4+half, 0.3575), at(4-half, 0.1575)})
	want := sfUnion(t, strip(t, at(0, 0), at(4-half, 0), 0.315), slope, strip(t, at(4+half, 0.2), at(8, 0.2), 0.315))
	requireSame(t, want, outline(t, shapes), lawArea)
	// The centreline slopes with it.
	axes := map[geom.Vec]bool{}
	for _, l := range linesOf(shapes, shape.Axis) {
		axes[l.curve.A], axes[l.curve.B] = true, true
	}
	require.Len(t, axes, 4, "%v", axes)
	for _, f := range des.Fittings {
		if f.Kind == duct.Offset {
			require.InDelta(t, 15, f.Angle*180/math.Pi, 1e-9)
			require.InDelta(t, 2*half, float64(f.Length), 1e-9)
			require.InDelta(t, 0.2, float64(f.Offset), 1e-9)
		}
	}
}

// A small step in height between two ducts in one line is an offset as well: no riser is drawn.
func TestOffsetUp(t *testing.T) {
	for _, up := range []float64{0.2, -0.2} {
		c := stepped{air: duct.ETA, size: duct.RectOf(0.4, 0.25), up: up, turn: 90, before: 4, aft: 4}
		net, des := c.rig().chosenBy(testRules)
		d := draw(newModel(net, des, Spec{Hidden: true, Rules: testRules}))
		shapes := d.shapes
		require.Empty(t, d.list)
		requireClean(t, shapes)
		requireOpen(t, d, shapes)
		require.Empty(t, linesOf(shapes, shape.Vert))
		requireSame(t, strip(t, geom.Vec{}, geom.Vec{X: 8}, 0.4), outline(t, shapes), lawArea)
		half := 0.2 / math.Tan(15*math.Pi/180) / 2
		for _, l := range linesOf(shapes, shape.Wall, shape.Joint) {
			for _, p := range []geom.Vec{l.curve.A, l.curve.B} {
				z := 3 + up*math.Max(0, math.Min(1, (p.X-(4-half))/(2*half)))
				require.InDelta(t, z, p.Z, 1e-9, "%s at %v", l.key, p)
			}
		}
	}
}

// Any step too small for two bends: an offset without a word where there is room for turns of 45 degrees, else one
// finding that says what is missing; no clash, and no wall over another.
func TestOffsets(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		c := stepped{air: rapid.SampledFrom([]duct.Air{duct.SUP, duct.ETA}).Draw(r, "air"), turn: 90,
			north: rapid.Float64Range(0, 6).Draw(r, "north")}
		c.size = rapid.SampledFrom([]duct.Size{duct.RoundOf(0.315), duct.RectOf(0.4, 0.3),
			duct.OvalOf(0.4, 0.3)}).Draw(r, "section")
		move := rapid.Float64Range(0.01, 0.295).Draw(r, "move")
		sign := rapid.SampledFrom([]float64{-1, 1}).Draw(r, "sign")
		if rapid.Bool().Draw(r, "up") {
			c.up = sign * move
		} else {
			c.side = sign * move
			c.turn = rapid.SampledFrom([]float64{90, 90, 70, 45}).Draw(r, "turn")
		}
		along := 0.0
		if c.turn < 90 {
			along = move / math.Tan(c.turn*math.Pi/180)
			// Two mitres fit a longer step.
			if math.Hypot(along, move) >= float64(c.size.Width)*math.Tan(c.turn*math.Pi/360)-0.001 {
				r.Skip("a step with room for its bends")
			}
		}
		c.before = rapid.SampledFrom([]float64{3, 0.5, 0.1, 0.02}).Draw(r, "before")
		c.aft = rapid.SampledFrom([]float64{3, 0.5, 0.1, 0.02}).Draw(r, "behind")
		net, des := c.rig().chosenBy(testRules)
		d := draw(newModel(net, des, Spec{Hidden: true, AxisLines: true, Rules: testRules}))
		shapes := d.shapes
		require.Empty(r, found(d.list, diag.Clash))
		need := math.Max(0.01, (move-along)/2) // of the shorter side
		short := 2 * (need - math.Min(c.before, c.aft))
		room := found(d.list, diag.NoRoom)
		if short < geom.Same {
			require.Empty(r, room)
		} else {
			require.Len(r, room, 1)
			for _, f := range des.Fittings {
				if f.Kind == duct.Offset {
					require.InDelta(r, short, float64(f.ShortBy), 1e-9)
				}
			}
		}
		requireOnce(r, shapes)
		walls := linesOf(shapes, shape.Wall)
		for i, a := range walls {
			for _, b := range walls[i+1:] {
				requireApart(r, a, b)
			}
		}
		requireOpen(r, d, shapes)
	})
}
