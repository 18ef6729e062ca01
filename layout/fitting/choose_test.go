package fitting_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/nettest"
	"twinline/layout/sketchtest"
)

const degree = math.Pi / 180

// The usual rules of these tests. Size changes of 60 degrees in all have sides that slope by 30.
func usual() duct.FittingRules {
	return duct.FittingRules{
		ElbowRound: 1.5, ElbowRect: 1, ElbowLeast: 0.75, MitreVanes: true,
		ReducerAngle: 60 * degree, ReducerLeast: 0.1, FlexibleRadius: 1.5,
	}
}

func vec(x, y, z float64) geom.Vec { return geom.Vec{X: x, Y: y, Z: z} }

// draw returns a drawing at elevation 3 with a unit of 1 x 1 m at the origin and the rows of a text.
func draw(t sketchtest.T, air duct.Air, format string, args ...any) *sketchtest.Drawing {
	d := sketchtest.Parse(t, fmt.Sprintf("air %s; level 3; unit U 0,0", air))
	d.Addf(t, format, args...)
	return d
}

// made is a network with its fittings.
type made struct {
	net   *duct.Network
	sizes []duct.Size
	fits  []duct.Fitting
	takes []duct.TakeOut
	axes  []geom.Curve // in the direction of the lines
}

// makeOf makes a drawing by some rules.
func makeOf(t sketchtest.T, d *sketchtest.Drawing, rules duct.FittingRules) *made {
	net := nettest.Build(t, d)
	return madeOf(t, net, d.RunSizes(net), rules)
}

// supply makes a drawing of supply ducts by the usual rules.
func supply(t sketchtest.T, format string, args ...any) *made {
	return makeOf(t, draw(t, duct.SUP, format, args...), usual())
}

// madeOf makes a network with sizes, which is lawful.
func madeOf(t require.TestingT, net *duct.Network, sizes []duct.Size, rules duct.FittingRules) *made {
	asm := nettest.Design(net, sizes, rules).Assembly
	m := &made{net, sizes, asm.Fittings, asm.TakeOuts, make([]geom.Curve, len(net.Runs))}
	for i := range m.axes {
		m.axes[i] = asm.Along(&net.Runs[i])
	}
	m.lawful(t)
	return m
}

// of returns the fittings whose loss is booked on a run, in order.
func (m *made) of(t require.TestingT, run string) []*duct.Fitting {
	var out []*duct.Fitting
	for i := range m.fits {
		if m.net.Runs[m.fits[i].Run].Key == key.Key(run) {
			out = append(out, &m.fits[i])
		}
	}
	require.NotEmpty(t, out, "no fitting on %s", run)
	return out
}

// one returns the fitting of a kind on a run.
func (m *made) one(t require.TestingT, run string, kind duct.FittingKind) *duct.Fitting {
	for _, f := range m.of(t, run) {
		if f.Kind == kind {
			return f
		}
	}
	require.Failf(t, "missing", "no %s on %s: %v", kind, run, m.kinds(run))
	return nil
}

func (m *made) kinds(run string) []string {
	var out []string
	for i := range m.fits {
		if m.net.Runs[m.fits[i].Run].Key == key.Key(run) {
			out = append(out, m.fits[i].Kind.String())
		}
	}
	return out
}

// elbows returns the elbows, by node.
func (m *made) elbows() (out []*duct.Fitting) {
	for i := range m.fits {
		if m.fits[i].Kind == duct.Elbow {
			out = append(out, &m.fits[i])
		}
	}
	return out
}

func (m *made) id(run string) duct.RunID {
	return duct.RunID(slices.IndexFunc(m.net.Runs, func(r duct.Run) bool { return string(r.Key) == run }))
}

// lawful checks what holds for any network: every run that leaves a node has its fitting there, and
// fittings take no more of a run than there is unless one says what it lacks.
func (m *made) lawful(t require.TestingT) {
	short := make([]bool, len(m.net.Runs))
	for i := range m.fits {
		f := &m.fits[i]
		require.GreaterOrEqual(t, f.ShortBy, duct.Length(0))
		require.GreaterOrEqual(t, f.Length, duct.Length(0))
		require.Contains(t, m.net.Nodes[f.Node].Runs, f.Run)
		if f.Main != duct.None {
			require.Contains(t, m.net.Nodes[f.Node].Runs, f.Main)
			require.Equal(t, f.Main, m.net.Runs[f.Run].Up)
		}
		if f.ShortBy > 0 {
			for _, r := range m.net.Nodes[f.Node].Runs {
				short[r] = true
			}
		}
		if i > 0 {
			require.LessOrEqual(t, m.fits[i-1].Node, f.Node, "by node")
		}
		switch f.Kind {
		case duct.Mitre, duct.VanedMitre:
			require.Zero(t, f.Radius)
		case duct.Reducer, duct.Expander:
			before, after := f.Common.Area(), f.Own.Area()
			if !m.net.Runs[f.Run].Air.FromUnit() {
				before, after = after, before
			}
			require.Equal(t, f.Kind == duct.Reducer, after < before)
		}
	}
	for i, take := range m.takes {
		r := &m.net.Runs[i]
		if !short[i] {
			require.LessOrEqual(t, float64(take.Sum()), m.axes[i].Len()+1e-6, "run %s: %v", r.Key,
				m.kinds(string(r.Key)))
		}
		a, b := m.axes[i], r.Line
		require.Equal(t, a.Bulge, b.Bulge)
	}
}

func TestStraightJoint(t *testing.T) {
	m := supply(t, "duct A size=250 0.5,0 4,0; duct B 4,0 8,0; term T 8,0 100")
	require.Equal(t, []string{"joint", "terminal"}, m.kinds("B@0"))
	require.Equal(t, []string{"entry"}, m.kinds("A@0"))
}

func TestElbows(t *testing.T) {
	for _, air := range []duct.Air{duct.SUP, duct.ETA} {
		for deg := 5.0; deg <= 175; deg += 5 {
			turn := deg * degree
			end := vec(100+100*math.Cos(turn), 100*math.Sin(turn), 3)
			d := draw(t, air, "duct A size=250 0.5,0 100,0 %v; term T %v 100", end, end)
			round := makeOf(t, d, usual())
			f := round.one(t, "A@99500", duct.Elbow)
			require.InDelta(t, turn, f.Angle, 1e-9)
			require.InDelta(t, 1.5*0.25, float64(f.Radius), 1e-9, "centreline radius by the rule")
			// A circle of radius r that touches both legs does so r tan(a/2) from their corner.
			require.InDelta(t, 0.375*math.Tan(turn/2), float64(near(round, "A@99500")), 1e-9)
			d.Sizes["A"] = duct.RectOf(0.4, 0.2)
			require.InDelta(t, 0.4, float64(makeOf(t, d, usual()).one(t, "A@99500", duct.Elbow).Radius), 1e-9,
				"of the width, the side in the plane of the bend")
		}
	}
}

// near and far return what is taken of a run at its end towards the unit and away from it.
func near(m *made, run string) duct.Length { return m.takes[m.id(run)][duct.Near] }
func far(m *made, run string) duct.Length  { return m.takes[m.id(run)][duct.Far] }

// A Z of three pieces whose middle one grows shorter: elbows with less radius, then mitres, then
// what is missing.
func TestElbowsInLittleRoom(t *testing.T) {
	z := func(length float64, s duct.Size, rules duct.FittingRules) *made {
		const text = "duct A size=%v 0.5,0 4,0 4,%[2]v 8,%[2]v; term T 8,%[2]v 100"
		return makeOf(t, draw(t, duct.SUP, text, s, length), rules)
	}
	d := duct.RoundOf(0.4)
	// Two elbows of 0.6 m radius need 1.2 m.
	m := z(1.2, d, usual())
	require.InDelta(t, 0.6, float64(m.one(t, "A@3500", duct.Elbow).Radius), 1e-9)
	m = z(1.0, d, usual())
	require.InDelta(t, 0.5, float64(m.one(t, "A@3500", duct.Elbow).Radius), 1e-9)
	require.InDelta(t, 0.5, float64(m.one(t, "A@4500", duct.Elbow).Radius), 1e-9)
	// 0.75 d is 0.3 m: below 0.6 m they are sharp.
	m = z(0.5, d, usual())
	require.Zero(t, m.one(t, "A@3500", duct.Mitre).ShortBy)
	require.InDelta(t, 0.2, float64(near(m, "A@3500")), 1e-9, "a mitre reaches half the width")
	// Two mitres need twice half of 0.4 m. What has less becomes an offset whose sides slope by half of the 60
	// degrees.
	m = z(0.3, d, usual())
	f := m.one(t, "A@3500", duct.Offset)
	require.InDelta(t, 0.3/math.Tan(30*degree), float64(f.Length), 1e-9)
	require.InDelta(t, 30*degree, f.Angle, 1e-9)
	require.Zero(t, f.ShortBy)
	require.InDelta(t, float64(f.Length)/2, float64(far(m, "A@0")), 1e-9)
	require.InDelta(t, 0.3, float64(near(m, "A@3500")), 1e-9, "all of the short run")
	m.one(t, "A@3800", duct.StraightJoint)
	// The way back is no offset: there the mitres lack it.
	m = supply(t, "duct A size=400 0.5,0 4,0 4,0.3 1,0.3; term T 1,0.3 100")
	short := m.one(t, "A@3500", duct.Mitre).ShortBy + m.one(t, "A@3800", duct.Mitre).ShortBy
	require.InDelta(t, 0.1, float64(short), 1e-9)
	m = z(0.5, duct.RectOf(0.4, 0.2), usual())
	m.one(t, "A@3500", duct.VanedMitre)
	always := usual()
	always.MitreAlways, always.MitreVanes = true, false
	m = z(3, duct.RectOf(0.4, 0.2), always)
	m.one(t, "A@3500", duct.VanedMitre)
	m = z(3, d, always)
	m.one(t, "A@3500", duct.Elbow)
}

func TestElbowWithSizeChange(t *testing.T) {
	const text = "duct A size=600x300 0.5,0 4,0; duct B size=400x300 4,0 4,4; term T 4,4 100"
	m := supply(t, text)
	require.Equal(t, []string{"elbow", "reducer", "terminal"}, m.kinds("B@0"))
	require.Equal(t, duct.RectOf(0.6, 0.3), m.one(t, "B@0", duct.Elbow).Own,
		"the elbow has the size of the run towards the unit")
	f := m.one(t, "B@0", duct.Reducer)
	// Each side moves 0.1 m at a slope of 30 degrees.
	require.InDelta(t, 0.1/math.Tan(30*degree), float64(f.Length), 1e-9)
	require.InDelta(t, 60*degree, f.Angle, 1e-9)
	require.InDelta(t, 0.6+float64(f.Length), float64(near(m, "B@0")), 1e-9)
	require.Zero(t, f.Offset)
	// Extract: the same picture, but the air widens.
	m = makeOf(t, draw(t, duct.ETA, text), usual())
	require.Equal(t, []string{"elbow", "expander", "terminal"}, m.kinds("B@0"))
	require.Equal(t, []string{"exit"}, m.kinds("A@0"))
}

func TestFlatSides(t *testing.T) {
	for _, c := range []struct {
		air          duct.Air
		datum, flat  string
		side, up     float64 // of the narrow run's axis, seen outward
		length       float64
		startingUpBy float64
	}{
		// The narrow duct is 0.2 m less wide and 0.1 m less high.
		{duct.SUP, "", "flat=left", 0.1, 0, 0.2, 0},
		{duct.SUP, "", "flat=right", -0.1, 0, 0.2, 0},
		{duct.ETA, "", "flat=left", -0.1, 0, 0.2, 0}, // left as the air sees it
		{duct.SUP, "", "flat=top", 0, 0.05, 0.1, 0},
		{duct.SUP, "", "flat=bottom", 0, -0.05, 0.1, 0},
		{duct.SUP, "BOD", "", 0, -0.05, 0.1, 0.15},
		{duct.SUP, "TOD", "", 0, 0.05, 0.1, -0.15},
	} {
		m := makeOf(t, draw(t, c.air, `
			duct A size=600x300 %[1]s 0.5,0 4,0 note 1,0 %[2]s
			duct B size=400x200 %[1]s 4,0 8,0
			term T 8,0 100`, c.datum, c.flat), usual())
		kind := duct.Reducer
		if c.air == duct.ETA {
			kind = duct.Expander
		}
		f := m.one(t, "B@0", kind)
		require.InDelta(t, c.side, float64(f.Offset), 1e-9, "%+v", c)
		require.InDelta(t, c.up, float64(f.OffsetUp), 1e-9, "%+v", c)
		require.InDelta(t, math.Max(c.length/math.Tan(30*degree), 0.1/math.Tan(30*degree)), float64(f.Length), 1e-9,
			"%+v", c)
		a, b := m.axes[m.id("A@0")], m.axes[m.id("B@0")]
		if c.air == duct.ETA {
			a, b = a.Reverse(), b.Reverse()
		}
		require.InDelta(t, 3+c.startingUpBy, a.B.Z, 1e-9)
		require.InDelta(t, c.side, b.A.Y-a.B.Y, 1e-9, "%+v", c)
		require.InDelta(t, c.up, b.A.Z-a.B.Z, 1e-9, "%+v", c)
	}
}

// A duct that is flat on its left turns a corner: the moved axis turns it as well, without a break.
func TestFlatSideRoundCorner(t *testing.T) {
	m := supply(t, `
		duct A size=600x300 0.5,0 4,0 note 1,0 flat=left
		duct B size=400x300 4,0 8,0 8,6 12,6
		duct C size=200x200 8,4 5,4
		term T 12,6 100
		term S 5,4 100`)
	b, c, d := m.axes[m.id("B@0")], m.axes[m.id("B@4000")], m.axes[m.id("B@10000")]
	require.InDelta(t, 0.1, b.A.Y, 1e-9)
	require.InDelta(t, 0, b.B.Dist(vec(7.9, 0.1, 3)), 1e-9, "%v", b)
	require.InDelta(t, 0, c.A.Dist(vec(7.9, 0.1, 3)), 1e-9)
	require.InDelta(t, 0, d.A.Dist(vec(7.9, 6.1, 3)), 1e-9, "%v", d)
	branch := m.axes[m.id("C@0")]
	require.InDelta(t, 0, branch.A.Dist(vec(7.9, 4, 3)), 1e-9, "a branch begins on the moved axis of its main: %v",
		branch)
}

func TestJunctions(t *testing.T) {
	dir := func(deg float64) geom.Vec { return vec(3+3*math.Cos(deg*degree), 3*math.Sin(deg*degree), 3) }
	for _, c := range []struct {
		name  string
		turns []float64 // of the outward legs, degrees, left positive
		kinds []string
	}{
		{"takeoff", []float64{0, 90}, []string{"through", "takeoff"}},
		{"takeoff at 45 degrees", []float64{0, -45}, []string{"through", "takeoff"}},
		{"a main that turns a little", []float64{10, 90}, []string{"through", "takeoff"}},
		{"a main that turns too much", []float64{20, 90}, []string{"wye", "wye"}},
		{"wye", []float64{45, -45}, []string{"wye", "wye"}},
		{"bullhead", []float64{90, -90}, []string{"bullhead", "bullhead"}},
		{"bullhead, not quite square", []float64{80, -100}, []string{"bullhead", "bullhead"}},
		{"both to one side", []float64{60, 120}, []string{"wye", "wye"}},
		{"cross", []float64{0, 90, -90}, []string{"through", "cross", "cross"}},
		{"four ways without a straight one", []float64{40, 90, -90}, []string{"cross", "cross", "cross"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, air := range []duct.Air{duct.SUP, duct.EHA} {
				d := draw(t, air, "duct A size=400 0.5,0 3,0")
				for i, turn := range c.turns {
					d.Addf(t, "duct %c size=200 3,0 %v; term T%d %v 100", 'B'+i, dir(turn), i, dir(turn))
				}
				m := makeOf(t, d, usual())
				for i, turn := range c.turns {
					key := string(rune('B'+i)) + "@0"
					f := m.of(t, key)[0]
					require.Equal(t, c.kinds[i], f.Kind.String())
					require.InDelta(t, math.Abs(turn)*degree, f.Angle, 1e-9)
					require.Equal(t, duct.RoundOf(0.4), f.Common)
					if f.Kind == duct.Through {
						require.Contains(t, m.kinds(key)[1], "r", "the size changes after it")
						require.Equal(t, f.Common, f.Own)
					} else {
						require.Equal(t, duct.RoundOf(0.2), f.Own)
					}
				}
			}
		})
	}
}

// A square takeoff begins at the wall of its main, and the main is open for the width of the branch.
func TestTakeoffTrims(t *testing.T) {
	d := draw(t, duct.SUP, `
		duct A size=600x300 0.5,0 8,0
		duct B size=200x200 4,0 4,4
		term S 8,0 100
		term T 4,4 100`)
	m := makeOf(t, d, usual())
	require.InDelta(t, 0.3, float64(near(m, "B@0")), 1e-9)
	require.InDelta(t, 0.1, float64(far(m, "A@0")), 1e-9)
	require.InDelta(t, 0.1, float64(near(m, "A@3500")), 1e-9)
	rules := usual()
	rules.TakeoffRect, rules.BranchDampers = duct.Entry45, true
	m = makeOf(t, d, rules)
	f := m.one(t, "B@0", duct.Takeoff)
	require.Equal(t, duct.Entry45, f.Form)
	require.InDelta(t, 0.1, float64(f.Length), 1e-9, "a quarter of 0.2 m is less than the least, 0.1 m")
	require.True(t, f.Damper)
	require.InDelta(t, 0.4, float64(near(m, "B@0")), 1e-9)
	// From above, out of the main's upper side: its half height counts.
	m = supply(t, `
		duct A size=600x300 0.5,0 8,0
		duct B size=200x200 4,0 4,0,5 4,4,5
		term S 8,0 100
		term T 4,4,5 100`)
	require.InDelta(t, 0.15, float64(near(m, "B@0")), 1e-9)
	require.Equal(t, []string{"takeoff"}, m.kinds("B@0")[:1])
}

// A lateral: the far wall of the branch meets the wall of the main at (b/2 + (m/2) cos a)/sin a from the node.
func TestLateralTrims(t *testing.T) {
	for deg := 30.0; deg <= 150; deg += 15 {
		end := vec(8+6*math.Cos(deg*degree), 6*math.Sin(deg*degree), 3)
		m := supply(t, `
			duct A size=600x300 0.5,0 16,0
			duct B size=200x200 8,0 %v
			term S 16,0 100
			term T %[1]v 100`, end)
		s, c := math.Sincos(deg * degree)
		require.InDelta(t, math.Max(0, (0.1+0.3*c)/s), float64(near(m, "A@7500")), 1e-9)
		require.InDelta(t, math.Max(0, (0.1-0.3*c)/s), float64(far(m, "A@0")), 1e-9)
		require.InDelta(t, (0.3+0.1*math.Abs(c))/s, float64(near(m, "B@0")), 1e-9)
	}
}

func TestDrops(t *testing.T) {
	m := supply(t, "duct A size=200 0.5,0 8,0; term T1 8,0,2.4 100 neck=150")
	f := m.one(t, "T1/drop", duct.DropConn)
	require.InDelta(t, 90*degree, f.Angle, 1e-9)
	require.InDelta(t, 0.3, float64(f.Radius), 1e-9)
	n := m.one(t, "T1/drop", duct.TerminalConn)
	require.Equal(t, duct.RoundOf(0.15), n.Common)
	require.Equal(t, duct.RoundOf(0.2), n.Own)
	require.Zero(t, n.Angle)
	require.InDelta(t, 0.1, float64(n.Length), 1e-9, "the least length of a size change")
	// A drop too short for a smooth turn is square.
	m = supply(t, "duct A size=200 0.5,0 8,0; term T1 8,0,2.88 100")
	f = m.one(t, "T1/drop", duct.DropConn)
	require.Zero(t, f.Radius)
	require.Zero(t, f.ShortBy)
	// From the side: the run ends at the face.
	m = supply(t, "duct A size=200 0.5,0 8,0; term T1 8,0,2.4 100 side")
	require.InDelta(t, 90*degree, m.one(t, "A@0", duct.TerminalConn).Angle, 1e-9)
	require.InDelta(t, 0.3, float64(far(m, "A@0")), 1e-9, "half of the face of 0.6 m")
}

func TestSizeChangeInLittleRoom(t *testing.T) {
	m := supply(t, "duct A size=600 0.5,0 4,0; duct B size=400 4,0 4.1,0; duct C 4.1,0 8,0; term T 8,0 100")
	f := m.one(t, "B@0", duct.Reducer)
	want := 0.1 / math.Tan(30*degree)
	require.InDelta(t, 0.1, float64(f.Length), 1e-9)
	require.InDelta(t, want-0.1, float64(f.ShortBy), 1e-9)
	require.InDelta(t, 90*degree, f.Angle, 1e-9, "0.1 m aside on 0.1 m along, on both sides")
}

func TestBoxAndCap(t *testing.T) {
	m := supply(t, `
		unit X 5,0
		duct A size=400 0,0 4.8,0 // from the middle of the unit into the box
		duct B size=300 5.5,0 9,0
		duct C size=200 5,0.5 5,3
		term T 9,0 100`)
	require.Equal(t, []string{"entry"}, m.kinds("A@0"))
	require.Equal(t, []string{"box", "terminal"}, m.kinds("B@0"))
	require.Equal(t, []string{"box", "cap"}, m.kinds("C@0"))
	require.InDelta(t, 0.5, float64(near(m, "A@0")), 1e-9, "what lies inside the unit is no duct")
	require.InDelta(t, 0.3, float64(far(m, "A@0")), 1e-9)
	require.Equal(t, duct.RoundOf(0.4), m.one(t, "B@0", duct.InlineBox).Common)
}

// An end on the very outline, on any of its sides, gives up nothing to the unit.
func TestEndOnOutline(t *testing.T) {
	for _, d := range []geom.Vec{vec(1, 0, 0), vec(-1, 0, 0), vec(0, 1, 0), vec(0, -1, 0)} {
		from := vec(0, 0, 3).Add(d.Scale(0.5))
		m := supply(t, "duct A size=400 %v %v; term T %[2]v 100", from, from.Add(d.Scale(4)))
		require.Zero(t, near(m, "A@0"))
		require.Zero(t, m.one(t, "A@0", duct.Entry).ShortBy)
	}
}

func TestFlexibleBend(t *testing.T) {
	m := supply(t, "duct A flex size=200 0.5,0 4,0 4,4; term T 4,4 100")
	require.InDelta(t, 3.5/2, float64(m.one(t, "A@3500", duct.Elbow).Radius), 1e-9, "as wide as its pieces allow")
	// With 0.4 m on one side of the corner an arc has a radius of 0.2 m, 0.1 m less than 1.5 times the diameter.
	m = supply(t, "duct A flex size=200 0.5,0 0.9,0 0.9,4; term T 0.9,4 100")
	f := m.one(t, "A@400", duct.Elbow)
	require.InDelta(t, 0.2, float64(f.Radius), 1e-9)
	require.InDelta(t, 0.1*math.Pi/2, float64(f.ShortBy), 1e-9)
}

// A flexible duct drawn as a spline comes as many chords: a quarter circle is one bend of a quarter turn, an S is two.
func TestFlexibleCurve(t *testing.T) {
	curve := func(n int, s bool) *made {
		path, end := "0.5,0 2,0", "3,2"
		for i := 1; i <= n; i++ {
			sin, cos := math.Sincos(90 * degree * float64(i) / float64(n))
			path += fmt.Sprintf(" %v,%v", 2+sin, 1-cos)
		}
		for i := 1; i <= n && s; i++ {
			sin, cos := math.Sincos(90 * degree * float64(i) / float64(n))
			path += fmt.Sprintf(" %v,%v", 4-cos, 1+sin)
			end = "5,2"
		}
		return supply(t, "duct A flex size=200 %s %s; term T %[2]s 100", path, end)
	}
	for _, n := range []int{4, 10, 50, 200} {
		bends := curve(n, false).elbows()
		require.Len(t, bends, 1, "%d chords", n)
		require.InDelta(t, 90*degree, bends[0].Angle, 1e-6)
		// The radius is 1 m; the straight pieces before and after lend a little.
		require.GreaterOrEqual(t, float64(bends[0].Radius), 0.95)
		total := 0.0
		bends = curve(n, true).elbows()
		for _, f := range bends {
			total += f.Angle
		}
		require.InDelta(t, 180*degree-90*degree/float64(n), total, 1e-6,
			"where the two halves meet the chords are in line")
		require.Len(t, bends, 2)
	}
}

// A riser keeps the size of the duct it hangs on, as seen along it: 0.5 m across and 0.25 m along. A duct that leaves
// it to the side begins 0.25 m wide and 0.5 m high; one that goes on the same way, or back, as it came.
func TestRiserKeepsItsSize(t *testing.T) {
	for _, air := range []duct.Air{duct.SUP, duct.ETA} {
		for deg := 0.0; deg < 360; deg += 15 {
			turned := math.Abs(math.Sin(deg*degree)) > math.Abs(math.Cos(deg*degree))
			if math.Abs(math.Mod(deg, 90)-45) < 1 {
				continue // as well the one as the other
			}
			end := vec(6+5*math.Cos(deg*degree), 5*math.Sin(deg*degree), 5)
			s := duct.RectOf(0.5, 0.25)
			m := makeOf(t, draw(t, air, "duct A size=%v 0.5,0 6,0; duct B 6,0 6,0,5; duct C 6,0,5 %v; term T %[2]v 100",
				s, end), usual())
			require.Equal(t, s, m.one(t, "C@0", duct.DropConn).Own)
			if !turned {
				require.NotContains(t, m.kinds("C@0"), "expander", "%v degrees", deg)
				require.NotContains(t, m.kinds("C@0"), "reducer", "%v degrees", deg)
				continue
			}
			f := m.of(t, "C@0")[1]
			require.Contains(t, []duct.FittingKind{duct.Reducer, duct.Expander}, f.Kind)
			require.Equal(t, duct.RectOf(0.25, 0.5), f.Common)
			require.Equal(t, s, f.Own)
			require.InDelta(t, 0.125/math.Tan(30*degree), float64(f.Length), 1e-9)
		}
	}
}

// Beyond 120 degrees no sharp elbow is made, round or rectangular: what a smooth one of the least radius lacks is
// reported, even where a mitre would have the room, and the rules' mitres are smooth where they can be.
func TestNoMitreBackwards(t *testing.T) {
	for _, s := range []duct.Size{duct.RoundOf(0.3), duct.RectOf(0.3, 0.2)} {
		bend := func(rules duct.FittingRules, deg, leg float64) *duct.Fitting {
			end := vec(0.5+leg+leg*math.Cos(deg*degree), leg*math.Sin(deg*degree), 3)
			face := end.Add(geom.Direction(deg * degree).Scale(0.3 / math.Max(math.Abs(math.Cos(deg*degree)),
				math.Sin(deg*degree))))
			m := makeOf(t, draw(t, duct.SUP, "duct A size=%v 0.5,0 %v,0 %v; term T %v 100 side", s, 0.5+leg, end, face),
				rules)
			for i := range m.fits {
				if m.fits[i].Angle > 100*degree {
					return &m.fits[i]
				}
			}
			return nil
		}
		// A mitre of 150 degrees takes 0.15·tan 75° = 0.56 m, the tightest smooth elbow 0.225·tan 75° = 0.84 m.
		f := bend(usual(), 150, 0.7)
		require.Equal(t, duct.Mitre, f.Kind)
		require.InDelta(t, 0.225*math.Tan(75*degree)-0.7, float64(f.ShortBy), 1e-9)
		rules := usual()
		rules.MitreAlways = true
		require.Equal(t, duct.Elbow, bend(rules, 150, 3).Kind)
		f = bend(rules, 115, 3)
		require.Equal(t, map[duct.Shape]duct.FittingKind{duct.Round: duct.Elbow, duct.Rect: duct.VanedMitre}[s.Shape],
			f.Kind)
		require.Zero(t, f.ShortBy)
	}
}
