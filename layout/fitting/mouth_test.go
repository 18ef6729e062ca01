package fitting_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/geom"
)

// A square branch 200 mm wide out of a main 600 mm wide meets it over 100 mm to either side of the node. What more its
// mouth takes of the main is worked out by hand.
func TestMouthsOnTheMain(t *testing.T) {
	for _, c := range []struct {
		what                 string
		rect, round          duct.TakeoffForm
		branch               duct.Size
		towardsUnit, outward float64
	}{
		{"plain", duct.Plain, duct.Plain, duct.RectOf(0.2, 0.2), 0.1, 0.1},
		{"a 45 degree entry of 100 mm on the side of the unit", duct.Entry45, duct.Plain, duct.RectOf(0.2, 0.2), 0.2,
			0.1},
		{"a cone a quarter wider than the branch: 25 mm to either side", duct.Plain, duct.Conical, duct.RoundOf(0.2),
			0.125, 0.125},
	} {
		for _, air := range []duct.Air{duct.SUP, duct.ETA} {
			rules := usual()
			rules.TakeoffRect, rules.TakeoffRound = c.rect, c.round
			m := makeOf(t, draw(t, air, `
				duct A size=600x300 0.5,0 8,0
				duct B size=%v 4,0 4,4
				term S 8,0 100
				term T 4,4 100`, c.branch), rules)
			require.InDelta(t, c.towardsUnit, float64(far(m, "A@0")), 1e-9, c.what)
			require.InDelta(t, c.outward, float64(near(m, "A@3500")), 1e-9, c.what)
		}
	}
}

// A change of size after a branch begins 50 mm beyond it, or nearer where the run is too short for that.
func TestNeckBeforeSizeChange(t *testing.T) {
	for _, x := range []float64{8, 4.53, 4.5} {
		d := draw(t, duct.SUP, `
			duct A size=400x300 0.5,0 %v,0
			duct B size=200x200 4,0 4,4
			term S %[1]v,0 100
			term T 4,4 100`, x)
		d.Sizes["A@3500"] = duct.RectOf(0.35, 0.3)
		m := makeOf(t, d, usual())
		change := m.one(t, "A@3500", duct.Reducer)
		neck := math.Min(0.05, math.Max(0, x-4-0.1-float64(change.Length)-float64(far(m, "A@3500"))))
		require.InDelta(t, 0.1+neck+float64(change.Length), float64(near(m, "A@3500")), 1e-9, "%v", x)
	}
}

// The transition to the neck of a unit is as long as the usual angle makes it: half of the difference in width over the
// tangent of half the angle.
func TestNeckOfUnit(t *testing.T) {
	d := draw(t, duct.SUP, "duct A size=600x300 0.5,0 8,0; term T 8,0 100")
	for _, neck := range []duct.Size{duct.RectOf(0.3, 0.3), duct.RectOf(0.6, 0.3), {}} {
		d.Sketch.Units[0].Neck = neck
		m := makeOf(t, d, usual())
		want := 0.0
		if neck.Width == 0.3 {
			want = 0.15 / math.Tan(usual().ReducerAngle/2)
		}
		require.InDelta(t, want, float64(m.one(t, "A@0", duct.Entry).Length), 1e-9)
		require.InDelta(t, want, float64(near(m, "A@0")), 1e-9)
	}
}

// Two branches in one direction lie on each other: that is reported, however long they are.
func TestBranchesInOneDirection(t *testing.T) {
	net := &duct.Network{}
	at := []geom.Vec{vec(0, 0, 3), vec(4, 0, 3), vec(4, 5, 3), vec(4.01, 9, 3)}
	for i, v := range at {
		net.Nodes = append(net.Nodes,
			duct.Node{ID: duct.NodeID(i), At: v, Kind: duct.Cap, Unit: duct.None, Terminal: duct.None})
	}
	net.Nodes[1].Kind = duct.Branch
	for i, e := range [][2]duct.NodeID{{0, 1}, {1, 2}, {1, 3}} {
		r := duct.Run{ID: duct.RunID(i), From: e[0], To: e[1], Line: geom.Curve{A: at[e[0]], B: at[e[1]]}}
		if i > 0 {
			r.Up = 0
		} else {
			r.Up = duct.None
		}
		net.Runs = append(net.Runs, r)
		for _, n := range e {
			net.Nodes[n].Runs = append(net.Nodes[n].Runs, r.ID)
		}
	}
	s := duct.RoundOf(0.2)
	short := 0.0
	for _, f := range fitting.Make(net, []duct.Size{s, s, s}, usual()).Fittings {
		short = math.Max(short, float64(f.ShortBy))
	}
	require.Positive(t, short)
}

// A box with a neck of its own has a size change on both sides: into it, from 500 to 300 wide, and out of it, from 300
// to 400.
func TestNeckOfBox(t *testing.T) {
	for _, air := range []duct.Air{duct.SUP, duct.ETA} {
		m := makeOf(t, draw(t, air, `
			unit X 5,0 neck=300x300
			duct A size=500x300 0.5,0 4.5,0
			duct B size=400x300 5.5,0 9,0
			term T 9,0 100`), usual())
		into, out := m.of(t, "A@0")[1], m.of(t, "B@0")[1]
		require.Equal(t, into.Node, out.Node)
		require.Equal(t, duct.RectOf(0.5, 0.3), into.Common)
		require.Equal(t, duct.RectOf(0.3, 0.3), into.Own)
		require.Equal(t, duct.RectOf(0.3, 0.3), out.Common)
		require.Equal(t, duct.RectOf(0.4, 0.3), out.Own)
		// 100 mm and 50 mm on each side, at 30 degrees; no shorter than 100 mm.
		require.InDelta(t, 0.1/math.Tan(30*degree), float64(far(m, "A@0")), 1e-9)
		require.InDelta(t, 0.1, float64(near(m, "B@0")), 1e-9)
		want := []duct.FittingKind{duct.Reducer, duct.Expander}
		if air == duct.ETA { // the air goes the other way through both
			want = []duct.FittingKind{duct.Expander, duct.Reducer}
		}
		require.Equal(t, want, []duct.FittingKind{into.Kind, out.Kind})
	}
}

// Branches that leave one place to one side: cones of 0.2 m at 45 and 90 degrees from a main of 0.4 m. On its wall, 0.2
// m from the axis, the plain mouths reach from 0.2-0.1·√2 to 0.2+0.1·√2 m and from -0.1 to 0.1 m; cones make them
// 0.025·√2 and 0.025 m longer at both ends, so that they meet. To opposite sides, or at 45 and 135 degrees, they do
// not.
func TestMouthsOfOneNode(t *testing.T) {
	rules := usual()
	rules.TakeoffRound, rules.TakeoffRect = duct.Conical, duct.Entry45
	for _, c := range []struct {
		a, b float64
		form duct.TakeoffForm
	}{{45, 90, duct.Plain}, {45, -90, duct.Conical}, {45, 135, duct.Conical}, {80, 100, duct.Plain},
		{90, -90, duct.Conical}} {
		d := draw(t, duct.SUP, "duct A size=400 0.5,0 9,0; term T 9,0 100")
		for i, deg := range []float64{c.a, c.b} {
			end := vec(5+4*math.Cos(deg*degree), 4*math.Sin(deg*degree), 3)
			d.Addf(t, "duct %c size=200 5,0 %v; term T%d %[2]v 100", 'B'+i, end, i)
		}
		m := makeOf(t, d, rules)
		for _, k := range []string{"B@0", "C@0"} {
			require.Equal(t, c.form, m.one(t, k, duct.Cross).Form, "%v", c)
		}
	}
}

// What of a branch is larger than its main, square to both: the height of level ducts, the width across the main of a
// branch that goes up. A branch that is wider along the main is cut into it all the same.
func TestBranchLargerThanMain(t *testing.T) {
	round, rect := duct.RoundOf, duct.RectOf
	for _, c := range []struct {
		main, branch duct.Size
		up           bool
		over         float64
	}{
		{round(0.25), round(0.25), false, 0}, {round(0.25), round(0.4), false, 0.15},
		{rect(0.6, 0.2), round(0.25), false, 0.05},
		{rect(0.3, 0.3), rect(0.5, 0.3), false, 0}, {rect(0.3, 0.3), rect(0.2, 0.35), false, 0.05},
		{rect(0.6, 0.2), round(0.5), true, 0},
		{rect(0.3, 0.2), round(0.5), true, 0.2}, {duct.OvalOf(0.5, 0.2), round(0.25), false, 0.05},
	} {
		end := vec(5, 4, 3)
		if c.up {
			end = vec(5, 0, 6)
		}
		m := supply(t, "duct A size=%v 0.5,0 9,0; duct B size=%v 5,0 %v; term T 9,0 100", c.main, c.branch, end)
		require.InDelta(t, c.over, float64(m.one(t, "B@0", duct.Takeoff).Over), 1e-9, "%v", c)
	}
}
