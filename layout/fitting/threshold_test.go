package fitting_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// turned makes a duct of 5 m that turns by some degrees into another of 5 m.
func turned(t *testing.T, deg float64, s duct.Size, rules duct.FittingRules) *made {
	end := vec(5.5, 0, 3).Add(geom.Direction(deg * degree).Scale(5))
	return makeOf(t, draw(t, duct.SUP, "duct A size=%v 0.5,0 5.5,0; duct B 5.5,0 %v; term T %[2]v 100", s, end), rules)
}

// forked makes a junction whose branches leave at some degrees from straight on, with sizes for A, the main, B, C and
// so on; those without one have that of the main.
func forked(t *testing.T, rules duct.FittingRules, sizes []duct.Size, degs ...float64) *made {
	d := draw(t, duct.SUP, "duct A size=%v 0.5,0 8,0", sizes[0])
	for i, deg := range degs {
		end := vec(8, 0, 3).Add(geom.Direction(deg * degree).Scale(6))
		size := sizes[min(i+1, len(sizes)-1)]
		d.Addf(t, "duct %c size=%v 8,0 %v; term T%d %[3]v 100", 'B'+i, size, end, i)
	}
	return makeOf(t, d, rules)
}

// The turns at which one kind of fitting gives way to another, half a degree on both sides of each.
func TestTurnsThatDecide(t *testing.T) {
	sharp := usual()
	sharp.MitreAlways = true
	round, rect := duct.RoundOf(0.2), duct.RectOf(0.4, 0.2)
	for _, c := range []struct {
		what string
		deg  float64
		size duct.Size
		kind duct.FittingKind
	}{
		{"within the play of a joint", 0.9, round, duct.StraightJoint},
		{"beyond the play of a joint", 1.1, round, duct.Elbow},
		{"too slight for vanes", 44.5, rect, duct.Mitre},
		{"enough for vanes", 45.5, rect, duct.VanedMitre},
		{"as sharp as can be made", 119.5, rect, duct.VanedMitre},
		{"too sharp to be made so", 120.5, rect, duct.Elbow},
	} {
		m := turned(t, c.deg, c.size, sharp)
		require.Equal(t, c.kind, m.of(t, "B@0")[0].Kind, c.what)
	}
	for _, c := range []struct {
		what string
		degs []float64
		kind duct.FittingKind // of the last branch
	}{
		{"a leg that goes straight on", []float64{14.5, 90}, duct.Takeoff},
		{"no leg that goes straight on", []float64{15.5, 90}, duct.Wye},
		{"square enough for a cross bar", []float64{75.5, -75.5}, duct.Bullhead},
		{"not square enough", []float64{74.5, -74.5}, duct.Wye},
		{"backwards by what goes straight on twice", []float64{90, -134.5}, duct.Bullhead},
		{"further backwards", []float64{90, -135.5}, duct.Wye},
		{"to one side alone", []float64{80, 130}, duct.Wye},
	} {
		m := forked(t, usual(), []duct.Size{round}, c.degs...)
		require.Equal(t, c.kind, m.of(t, "C@0")[0].Kind, c.what)
	}
}

// Corners of flexible duct up to 30 degrees belong to a longer curve, of no more than 90 degrees.
func TestCornersOfFlexibleDuct(t *testing.T) {
	for _, c := range []struct {
		step  float64 // degrees from one chord of 2 m to the next
		n     int
		bends []float64
	}{
		{29.5, 2, []float64{59}},
		{30.5, 2, []float64{30.5, 30.5}},
		{29.9, 3, []float64{89.7}},
		{22.6, 4, []float64{67.8, 22.6}},
	} {
		at, dir := vec(0.5, 0, 3), 0.0
		path := "0.5,0"
		for i := 0; i <= c.n; i++ {
			at = at.Add(geom.Direction(dir * degree).Scale(2))
			path += fmt.Sprintf(" %v,%v", at.X, at.Y)
			dir += c.step
		}
		m := supply(t, "duct A flex size=100 %s; term T %v 100", path, at)
		var bends []float64
		for _, f := range m.elbows() {
			bends = append(bends, math.Round(f.Angle/degree*10)/10)
		}
		require.Equal(t, c.bends, bends, "%v", c)
	}
}

// The measures of entries and cones: a quarter of the width and no less than 100 mm, half of the diameter.
func TestMouthMeasures(t *testing.T) {
	rules := usual()
	rules.TakeoffRect, rules.TakeoffRound = duct.Entry45, duct.Conical
	main := duct.RectOf(0.9, 0.9)
	for _, c := range []struct {
		branch duct.Size
		length float64
	}{
		{duct.RectOf(0.8, 0.2), 0.2}, {duct.RectOf(0.2, 0.2), 0.1}, {duct.RoundOf(0.25), 0.125},
		{duct.RoundOf(0.6), 0.3},
	} {
		m := forked(t, rules, []duct.Size{main, main, c.branch}, 0, 90)
		require.InDelta(t, c.length, float64(m.one(t, "C@0", duct.Takeoff).Length), 1e-9, "%v", c.branch)
	}
}

// A change of size that has no room is made a tenth as long as the rules ask, and says what it lacks. 600 to 200 wide,
// each side by 200 at 30 degrees, asks for 346 mm; two elbows of 200 mm radius leave nothing of 400 mm.
func TestLeastSizeChange(t *testing.T) {
	const text = "duct A size=600x200 0.5,0 4,0; duct B size=200x200 4,0 %v,0 %[1]v,5; term T %[1]v,5 100"
	m := supply(t, text, 4.2)
	f := m.one(t, "B@0", duct.Reducer)
	want := 0.2 / math.Tan(30*degree)
	left := 0.1 // the tightest elbow, a mitre, takes half the width of 200 mm
	require.InDelta(t, left, float64(f.Length), 1e-9)
	require.InDelta(t, want-left, float64(f.ShortBy), 1e-9)

	m = supply(t, text, 4.11)
	f = m.one(t, "B@0", duct.Reducer)
	require.InDelta(t, want/10, float64(f.Length), 1e-9)
	require.InDelta(t, want-0.01, float64(f.ShortBy), 1e-9)
}

// An offset between short ducts is made no steeper than 45 degrees: 300 mm aside then take 300 mm ahead, half of it
// before and behind. What is missing of that it says.
func TestSteepestOffset(t *testing.T) {
	z := func(room float64) *duct.Fitting {
		m := supply(t, "duct A size=400 0.5,0 %v,0 %[1]v,0.3 %v,0.3; term T %v,0.3 100 side",
			0.5+room, 0.5+2*room, 0.5+2*room+0.3)
		for i := range m.fits {
			if m.fits[i].Kind == duct.Offset {
				return &m.fits[i]
			}
		}
		t.Fatal("no offset")
		return nil
	}
	f := z(0.2)
	require.Zero(t, f.ShortBy)
	require.InDelta(t, 0.4, float64(f.Length), 1e-9)
	f = z(0.15)
	require.Zero(t, f.ShortBy)
	require.InDelta(t, 45*degree, f.Angle, 1e-9)
	f = z(0.14)
	require.InDelta(t, 2*0.01, float64(f.ShortBy), 1e-9)
}

// A cone of 200 mm, 250 mm wide at its mouth, on a main 600 mm wide is drawn out along the main by the sine of the
// angle it leaves at, but by no more than a sine of 0.35 does: the far wall of the branch meets that of the main, and
// half of the difference in width over the sine comes beyond it.
func TestLeastSineOfCones(t *testing.T) {
	rules := usual()
	rules.TakeoffRound = duct.Conical
	main := duct.RectOf(0.6, 0.3)
	for _, c := range []struct{ deg, sine float64 }{
		{90, 1}, {25, math.Sin(25 * degree)}, {21, math.Sin(21 * degree)}, {18, 0.35},
	} {
		m := forked(t, rules, []duct.Size{main, main, duct.RoundOf(0.2)}, 0, c.deg)
		sin, cos := math.Sincos(c.deg * degree)
		require.InDelta(t, (0.1+0.3*cos)/sin+0.025/c.sine, float64(near(m, "B@0")), 1e-9, "at %v degrees", c.deg)
	}
}

// An offset that goes further ahead by itself than aside takes 10 mm of the ducts on both sides even where an elbow
// leaves no room: 90 mm ahead make 110.
func TestLeastOffset(t *testing.T) {
	m := supply(t, "duct A size=400 0.5,0 3,0 3,0.205 3.08,0.295 3.08,5; term T 3.08,5 100")
	n := 0
	for i := range m.fits {
		if f := &m.fits[i]; f.Kind == duct.Offset {
			require.InDelta(t, 0.110, float64(f.Length), 1e-9)
			n++
		}
	}
	require.Equal(t, 1, n)
}

// Two branches of 200 mm whose axes lie 100 mm apart along a rectangular main lie on each other by 100 mm if they leave
// one face: within 45 degrees around the main, an eighth of it.
func TestFacesOfMain(t *testing.T) {
	for _, c := range []struct{ deg, short float64 }{{40, 0.1}, {44, 0.1}, {46, 0}, {55, 0}} {
		sin, cos := math.Sincos(c.deg * degree)
		end := vec(4.1, 4*cos, 3+4*sin)
		m := supply(t, `
			duct A size=600x600 0.5,0 8,0
			duct B size=200x200 4,0 4,4
			duct C size=200x200 4.1,0 %v
			term S 8,0 100
			term T 4,4 100
			term V %[1]v 100`, end)
		require.InDelta(t, c.short, float64(m.one(t, "C@0", duct.Takeoff).ShortBy), 1e-9, "%v degrees", c.deg)
	}
}

// A run between two parallel ones is an offset where it is shorter than two mitres: twice 200 mm by the tangent of half
// the turn, 166 mm at 45 degrees.
func TestWhatIsAnOffset(t *testing.T) {
	for _, c := range []struct {
		move   float64
		offset bool
	}{{0.11, true}, {0.13, false}, {0.3, false}} { // 156, 184 and 424 mm long
		m := supply(t, "duct A size=400 0.5,0 3,0 %v,%v 8,%[2]v; term T 8,%[2]v 100", 3+c.move, c.move)
		n := 0
		for i := range m.fits {
			if m.fits[i].Kind == duct.Offset {
				n++
			}
		}
		require.Equal(t, c.offset, n == 1, "%v", c.move)
	}
}

// What an offset leads ahead by itself it need not take of its ducts: 100 mm aside and 50 ahead want 25 mm of each at
// 45 degrees. An elbow that needs 200 mm of a duct of 205 mm leaves it the share 25 to 200 of that.
func TestOffsetThatLeansAhead(t *testing.T) {
	m := supply(t, "duct A size=400 0.5,0 3,0 3,0.205 3.1,0.255 3.1,5; term T 3.1,5 100")
	for i := range m.fits {
		if f := &m.fits[i]; f.Kind == duct.Offset {
			has := 0.205 * 25 / 225
			require.InDelta(t, 0.05+2*has, float64(f.Length), 1e-9)
			require.InDelta(t, 2*(0.025-has), float64(f.ShortBy), 1e-9)
			return
		}
	}
	t.Fatal("no offset")
}
