package plan

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
	"twinline/layout/sketch"
)

// total returns the length in plan of everything of a part.
func total(shapes []shape.Shape, parts ...shape.Part) float64 {
	sum := 0.0
	for _, l := range linesOf(shapes, parts...) {
		sum += l.curve.PlanLen()
	}
	return sum
}

func ofCode(l diag.List, c diag.Code) diag.List {
	var out diag.List
	for _, x := range l {
		if x.Code == c {
			out = append(out, x)
		}
	}
	return out
}

// crossed draws two level ducts that cross at an angle, the second one at height z.
func crossed(t *testing.T, z, angle float64, a, b duct.Size, change ...func(*Spec)) (drawing, []shape.Shape) {
	u := geom.Direction(angle).Scale(2)
	g := sketched(t, duct.SUP, "duct A size=%v -3,0 3,0; duct B ETA size=%v %v %v", a, b, u.Scale(-1).At(z), u.At(z))
	return drawRig(g, change...)
}

// TestHidden holds the lower of two crossing ducts to what is covered by the upper one: its
// walls between the walls of that, worked out by hand.
func TestHidden(t *testing.T) {
	for deg := 20; deg <= 160; deg += 20 {
		a := float64(deg) * math.Pi / 180
		d, shapes := crossed(t, 3.5, a, duct.RectOf(0.5, 0.3), duct.RoundOf(0.25))
		require.Empty(t, d.list)
		// Each of the two walls of the lower duct is covered over the width of the upper one, drawn out by the angle.
		require.InDelta(t, 2*0.25/math.Sin(a), total(shapes, shape.Hide), 1e-9)
		require.InDelta(t, 2*6+2*4, total(shapes, shape.Wall, shape.Hide), 1e-9)
		for _, l := range linesOf(shapes, shape.Hide) {
			require.InDelta(t, 3, l.curve.A.Z, 1e-9, "the lower duct is covered")
		}
		// Upside down, the other one is covered.
		_, shapes = crossed(t, 2.5, a, duct.RectOf(0.5, 0.3), duct.RoundOf(0.25))
		require.InDelta(t, 2*0.5/math.Sin(a), total(shapes, shape.Hide), 1e-9)
		for _, s := range shapes {
			require.False(t, s.Part == shape.Hide && s.Air != duct.ETA)
		}
	}
}

// TestHiddenArcs lays a bend and a curved run under a straight duct: arcs are split as arcs.
func TestHiddenArcs(t *testing.T) {
	const text = "duct A size=400x200 -3,0 0,0 0,3"
	_, alone := drawRig(sketched(t, duct.SUP, text))
	plain := total(alone, shape.Wall, shape.Joint)
	_, shapes := drawRig(sketched(t, duct.SUP, text+"; duct B size=200 -2,-2,3.5 2,2,3.5"))
	require.InDelta(t, plain+2*math.Sqrt(32)+2*0.2, total(shapes, shape.Wall, shape.Joint, shape.Hide), 1e-6)
	arcs := 0
	for _, l := range linesOf(shapes, shape.Hide) {
		if !l.curve.Straight() {
			arcs++
		}
		m := l.curve.PlanAt(l.curve.PlanLen() / 2)
		require.Less(t, math.Abs(m.X-m.Y)/math.Sqrt2, 0.1, "only what is under the upper duct is hidden")
	}
	require.Positive(t, arcs)
}

// TestSlope holds a sloping duct to the width of its size and the length seen from above, with the elbows
// between it and the level ducts foreshortened.
func TestSlope(t *testing.T) {
	g := sketched(t, duct.SUP, "duct A size=400x400 0,0 2,0 3,0,4 5,0,4")
	d, shapes := drawRig(g)
	requireClean(t, shapes)
	requireSame(t, strip(t, geom.Vec{}, geom.Vec{X: 5}, 0.4), outline(t, shapes), lawArea)
	require.Empty(t, d.list)
	// A bend of 45 degrees with radius 0.4 takes 0.4 tan 22.5 of each duct; on the slope that is seen at cos 45.
	tan := 0.4 * math.Tan(math.Pi/8)
	want := []float64{2 - tan, 2 + tan*math.Cos(math.Pi/4), 3 - tan*math.Cos(math.Pi/4), 3 + tan}
	for _, x := range want {
		found := false
		for _, l := range linesOf(shapes, shape.Joint) {
			found = found || math.Abs(l.curve.A.X-x) < 1e-9
		}
		require.True(t, found, "a joint at %v", x)
	}
}

// TestSlopeTurns draws a bend in plan from a level into a sloping duct.
func TestSlopeTurns(t *testing.T) {
	for deg := 15; deg <= 150; deg += 15 {
		for _, rise := range []float64{-1, 0.3, 2} {
			v := geom.Direction(float64(deg) * math.Pi / 180).Scale(4)
			g := sketched(t, duct.ETA, "duct A size=300 -4,0 0,0 %v", v.At(3+rise))
			d, shapes := drawRig(g)
			require.Empty(t, d.list)
			requireClean(t, shapes)
			requireOpen(t, d, shapes)
			// A bend cuts the corner: less than two strips to the corner, more than without what it takes of them.
			area, tangent := outline(t, shapes).Area(), 0.3*math.Tan(float64(deg)*math.Pi/360)
			require.Less(t, area, 8*0.3+1e-6)
			require.Greater(t, area, (8-2*tangent)*0.3)
		}
	}
}

// TestClash finds overlaps of ducts worked out by hand.
func TestClash(t *testing.T) {
	cases := []struct {
		name   string
		z      float64
		a, b   duct.Size
		mm, in string // what they overlap by; "": no clash
	}{
		{"rectangular, 100 mm into each other", 3.2, duct.RectOf(0.5, 0.3), duct.RectOf(0.5, 0.3), "100 mm", "3.94 in"},
		{"rectangular, touching", 3.3, duct.RectOf(0.5, 0.3), duct.RectOf(0.5, 0.3), "", ""},
		{"round, 50 mm into each other", 3.25, duct.RoundOf(0.4), duct.RoundOf(0.2), "50 mm", "1.97 in"},
		{"round over rectangular", 3.2, duct.RectOf(0.5, 0.3), duct.RoundOf(0.2), "50 mm", "1.97 in"},
		{"round, clear", 3.31, duct.RoundOf(0.4), duct.RoundOf(0.2), "", ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			d, _ := crossed(t, c.z, math.Pi/2, c.a, c.b)
			found := ofCode(d.list, diag.Clash)
			if c.mm == "" {
				require.Empty(t, found)
				return
			}
			require.Len(t, found, 1)
			require.Contains(t, found[0].Text, "overlap by "+c.mm+".")
			inches, _ := crossed(t, c.z, math.Pi/2, c.a, c.b, inInches)
			require.Contains(t, ofCode(inches.list, diag.Clash)[0].Text, "overlap by "+c.in+".")
			require.InDelta(t, 0, found[0].At[0], 0.26)
			require.InDelta(t, 0, found[0].At[1], 0.26)
		})
	}
}

// TestClashSideBySide: round ducts next to each other are apart by their centrelines, not by
// the boxes around them.
func TestClashSideBySide(t *testing.T) {
	for _, c := range []struct {
		dy, dz float64
		want   bool
	}{{0.39, 0, true}, {0.41, 0, false}, {0.3, 0.3, false}, {0.27, 0.27, true}} {
		g := sketched(t, duct.SUP, "duct A size=400 0,0 5,0; duct B size=400 0,%v,%v 5,%[1]v,%[2]v", c.dy, 3+c.dz)
		d, _ := drawRig(g)
		require.Equal(t, c.want, len(ofCode(d.list, diag.Clash)) > 0, "%+v", c)
	}
}

// TestClearance leads a rising duct under a beam and over a ceiling.
func TestClearance(t *testing.T) {
	box := func(x0, x1 float64) []geom.Vec {
		return []geom.Vec{{X: x0, Y: -1}, {X: x1, Y: -1}, {X: x1, Y: 1}, {X: x0, Y: 1}}
	}
	g := sketched(t, duct.SUP, "duct A size=400x200 0,0 10,0,4 note 1,0 insul=50")
	tight := func(s *Spec) {
		s.Clear = 0.02
		s.Limits = []sketch.Limit{{Handle: "1", Outline: box(4, 6), Underside: 3.75},
			{Handle: "2", Outline: box(8, 9), Underside: 5}}
		s.Ceilings = []sketch.Ceiling{{Handle: "3", Outline: box(-1, 11), Height: 2.9}}
	}
	d, _ := drawRig(g, tight)
	found := ofCode(d.list, diag.Clearance)
	require.Len(t, found, 2)
	// Under the beam the duct is highest at x = 6: axis 3.6, half of it 0.1, insulation 0.05, flange 0.03, clear
	// 0.02: 3.80, 50 mm over the underside.
	require.Contains(t, found[0].Text, "50 mm too near to the underside")
	require.InDelta(t, 6, found[0].At[0], 1e-6)
	// Over the ceiling it is lowest at x = 0: 3 - 0.1 - 0.05 - 0.03 - 0.02 = 2.80.
	require.Contains(t, found[1].Text, "100 mm too near to the ceiling")
	require.InDelta(t, 0, found[1].At[0], 1e-6)
	d, _ = drawRig(g, tight, inInches)
	found = ofCode(d.list, diag.Clearance)
	require.Contains(t, found[0].Text, "1.97 in too near to the underside")
	require.Contains(t, found[1].Text, "3.94 in too near to the ceiling")
}

// TestRated counts the crossings of a rated wall.
func TestRated(t *testing.T) {
	g := sketched(t, duct.SUP, "duct A size=200 0,0 10,0 10,10")
	d, shapes := drawRig(g, func(s *Spec) {
		s.Rated = []sketch.Rated{{Handle: "W", Path: geom.Path{{Vec: geom.Vec{X: 5, Y: -5}},
			{Vec: geom.Vec{X: 5, Y: 5}}, {Vec: geom.Vec{X: 20, Y: 5}}}}}
		s.TextHeight, s.Scale = 0.0025, 100
	}, withMarks)
	found := ofCode(d.list, diag.RatedCrossing)
	require.Len(t, found, 2)
	// Across the duct of 200 mm, lettered 2.5 mm high at 1:100.
	var marks []shape.Geometry
	for _, s := range shapes {
		if strings.Contains(string(s.Key), "/rated/") {
			marks = append(marks, s.Geom)
		}
	}
	want := usualMarks.Rated(duct.Rating{}, geom.Vec{X: 5, Z: 3}, geom.Vec{X: 1}, 0.2, 0.25)
	require.Len(t, marks, 2*len(want))
	require.Equal(t, want[:len(want)-1], marks[:len(want)-1], "all but the lettering, which may stand elsewhere")
	require.Equal(t, [3]float64{5, 0, 3}, found[0].At)
	require.Equal(t, [3]float64{10, 5, 3}, found[1].At)
	require.Equal(t, "W", found[0].Handle)
	requireClean(t, shapes)
}

// TestBranchOffSlope lets level branches leave a sloping main: their walls meet those of the main in plan, one over the
// other, and nothing is drawn that has no length seen from above.
func TestBranchOffSlope(t *testing.T) {
	for _, z := range []float64{3.2, 4, 2} {
		for deg := 30.0; deg <= 150; deg += 15 {
			v := geom.Direction(deg * math.Pi / 180).Scale(3)
			g := sketched(t, duct.SUP, `
				duct A size=400 -3,0,3 0,0,%v
				duct B size=300 0,0,%[1]v 3,0,%v
				duct C size=200 0,0,%[1]v %[3]v`, (3+z)/2, z, v.At((3+z)/2))
			d, shapes := drawChosen(g)
			require.Empty(t, d.list)
			requireClean(t, shapes)
			requireOpen(t, d, shapes)
			outline(t, shapes)
		}
	}
}

// TestClearanceBeside leads ducts past a beam that hangs lower than they lie: insulation and the flanges of rectangular
// duct, 30 mm, may not reach it from the side either.
func TestClearanceBeside(t *testing.T) {
	for _, c := range []struct {
		size duct.Size
		gap  float64 // from the sheet to the beam; there are 50 mm of insulation
		near bool
	}{{duct.RectOf(0.4, 0.2), 0.07, true}, {duct.RectOf(0.4, 0.2), 0.09, false}, {duct.RoundOf(0.4), 0.04, true},
		{duct.RoundOf(0.4), 0.07, false}} {
		g := sketched(t, duct.SUP, "duct A size=%v 0,0 5,0 note 1,0 insul=50", c.size)
		d, _ := drawRig(g, func(s *Spec) {
			y := 0.2 + c.gap
			s.Limits = []sketch.Limit{{Handle: "1",
				Outline: []geom.Vec{{X: 2, Y: y}, {X: 3, Y: y}, {X: 3, Y: y + 1}, {X: 2, Y: y + 1}}, Underside: 2.5}}
		})
		require.Equal(t, c.near, len(ofCode(d.list, diag.Clearance)) == 1, "%+v", c)
	}
}

// TestHiddenAlongJoint leads a duct under the place where two pieces of a duct above meet, its walls in line with their
// joints: they are covered from both sides, and hidden.
func TestHiddenAlongJoint(t *testing.T) {
	// The size change reaches from x = 0 to 0.1/tan 15 degrees.
	end := 0.1 / math.Tan(math.Pi/12)
	g := sketched(t, duct.SUP, `
		duct A size=600x300 -3,0,3.3 0,0,3.3
		duct B size=400x300 0,0,3.3 3,0,3.3
		duct C ETA size=%v %v,-2,2.8 %[2]v,2,2.8`, duct.RectOf(duct.Length(end), 0.2), end/2)
	d, shapes := drawChosen(g)
	require.Empty(t, d.list)
	hidden := 0.0
	for _, l := range linesOf(shapes, shape.Hide) {
		if math.Abs(l.curve.A.X-l.curve.B.X) < lawEnds {
			hidden += l.curve.PlanLen()
		}
	}
	require.InDelta(t, 0.6+0.4, hidden, 1e-6, "the left wall under the wide mouth, the right one under the narrow")
}
