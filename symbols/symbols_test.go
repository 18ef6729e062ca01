package symbols

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// points returns every point a mark is drawn through, curves by points along them.
func points(t require.TestingT, gs []shape.Geometry) []geom.Vec {
	var out []geom.Vec
	for _, g := range gs {
		switch g := g.(type) {
		case shape.Line:
			out = append(out, g.A, g.B)
		case shape.Solid:
			out = append(out, g.Corners[:]...)
		case shape.Circle:
			for i := range 16 {
				out = append(out, g.Center.Add(geom.Direction(float64(i)*math.Pi/8).Scale(g.Radius)))
			}
		case shape.Polyline:
			for _, c := range g.Path.Curves(g.Closed) {
				out = append(out, c.Flatten(0.001)...)
			}
		case shape.Text:
			out = append(out, g.At)
		default:
			require.FailNow(t, "a kind of geometry no mark is made of")
		}
	}
	return out
}

func count[G shape.Geometry](gs []shape.Geometry) (n int) {
	for _, g := range gs {
		if _, ok := g.(G); ok {
			n++
		}
	}
	return n
}

func TestArrowPointsAlongItsAngle(t *testing.T) {
	for deg := 0; deg < 360; deg += 15 {
		a := float64(deg) * math.Pi / 180
		at := geom.Vec{X: 3, Y: -2, Z: 2.8}
		gs := usual.Arrow(at, a, 0.3)
		head := gs[len(gs)-1].(shape.Solid)
		require.True(t, geom.SamePoint(head.Corners[0], at.Add(geom.Direction(a).Scale(0.15))),
			"the tip is half the length ahead")
		for _, p := range points(t, gs) {
			require.LessOrEqual(t, p.PlanDist(at), 0.15+geom.Same)
			require.Equal(t, at.Z, p.Z)
		}
	}
}

// The convention that is drawn: both diagonals for supply air, one for every other; what goes
// up is cut and filled, what goes down is open. Nothing leaves the outline.
func TestDrop(t *testing.T) {
	at, across := geom.Vec{X: 1, Y: 2, Z: 3}, geom.Direction(0.7)
	for _, s := range []duct.Size{duct.RoundOf(0.25), duct.RectOf(0.5, 0.3), duct.OvalOf(0.5, 0.2),
		duct.OvalOf(0.2, 0.5)} {
		for _, air := range duct.Airs {
			for _, up := range []bool{false, true} {
				gs := usual.Drop(at, across, s, air, up)
				want := 1
				if air == duct.SUP {
					want = 2
				}
				require.Equal(t, want, count[shape.Line](gs), "%v diagonals", air)
				require.Equal(t, up, count[shape.Solid](gs) > 0, "filled where it goes up")
				for _, p := range points(t, gs) {
					d := p.Sub(at)
					require.True(t, insideSize(s, d.Dot(across), d.Dot(across.Left())), "%v within %v", p, s)
				}
			}
		}
	}
	require.Empty(t, usual.Drop(at, across, duct.Size{}, duct.SUP, true))
}

func insideSize(s duct.Size, x, y float64) bool {
	w, h := float64(s.Width)/2, float64(s.Height)/2
	x, y = math.Abs(x), math.Abs(y)
	if s.Shape != duct.Rect {
		r := math.Min(w, h)
		return math.Hypot(math.Max(0, x-(w-r)), math.Max(0, y-(h-r))) <= r+geom.Same
	}
	return x <= w+geom.Same && y <= h+geom.Same
}

// The area filled in a riser: a quarter of a rectangle's for supply air, half of it for other air.
func TestRiserFill(t *testing.T) {
	fill := func(gs []shape.Geometry) (a float64) {
		for _, g := range gs {
			if s, ok := g.(shape.Solid); ok {
				c := s.Corners
				a += c[1].Sub(c[0]).Cross(c[2].Sub(c[0])).Len() / 2
			}
		}
		return a
	}
	s := duct.RectOf(0.5, 0.3)
	require.InDelta(t, 0.15/4, fill(usual.Drop(geom.Vec{}, geom.Vec{X: 1}, s, duct.SUP, true)), geom.Same)
	require.InDelta(t, 0.15/2, fill(usual.Drop(geom.Vec{}, geom.Vec{X: 1}, s, duct.EHA, true)), geom.Same)
	require.InEpsilon(t, math.Pi*0.01/2, fill(usual.Drop(geom.Vec{}, geom.Vec{X: 1}, duct.RoundOf(0.2), duct.ETA,
		true)), 0.03, "half a disc, by triangles")
}

func TestDamperSpansTheDuct(t *testing.T) {
	at := geom.Vec{X: 1, Y: 1}
	gs := usual.Damper(at, geom.Vec{Y: 2}, 0.4)
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range points(t, gs) {
		low, high = math.Min(low, p.X), math.Max(high, p.X)
	}
	require.InDelta(t, 0.8, low, geom.Same)
	require.InDelta(t, 1.2, high, geom.Same)
	require.Empty(t, usual.Damper(at, geom.Vec{X: 1}, 0))
}

func TestRatedCanBeReadFromBottomOrRight(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a := rapid.Float64Range(-10, 10).Draw(rt, "angle")
		for _, g := range usual.Rated(duct.Rating{}, geom.Vec{}, geom.Direction(a), 0.3, 0.1) {
			if text, ok := g.(shape.Text); ok {
				require.Greater(rt, math.Cos(text.Angle), -geom.Straight)
				require.Contains(rt, text.Value, "?", "whether one is needed is for others to settle")
				require.InDelta(rt, 0, math.Sin(text.Angle-a), geom.Straight, "along the duct")
			}
		}
	})
}

func TestFace(t *testing.T) {
	square := []geom.Vec{{X: -1, Y: -1}, {X: 1, Y: -1}, {X: 1, Y: 1}, {X: -1, Y: 1}}
	require.Equal(t, 4, count[shape.Line](usual.Face(square, duct.SUP)))
	require.Equal(t, 2, count[shape.Line](usual.Face(square, duct.ETA)))
	require.Empty(t, usual.Face(square[:2], duct.SUP))
}

func TestLeaderEndsAtItsRing(t *testing.T) {
	gs := usual.Leader(geom.Vec{}, geom.Vec{X: 3, Y: 4}, 0.5)
	ring := gs[1].(shape.Circle)
	require.Equal(t, geom.Vec{X: 3, Y: 4}, ring.Center)
	require.InDelta(t, ring.Radius, gs[0].(shape.Line).B.PlanDist(ring.Center), geom.Same)
	require.Empty(t, usual.Leader(geom.Vec{}, geom.Vec{X: 0.01}, 0.5), "too short to be seen")
}

func TestFindingFoldsItsText(t *testing.T) {
	text := "near-miss: The end of the duct stops 80 mm short of another one, which is more than the snap distance of " +
		"25 mm."
	gs := Finding(geom.Vec{X: 4, Y: 5, Z: 3}, 0.1, text)
	var lines []string
	y := math.Inf(1)
	for _, g := range gs {
		if l, ok := g.(shape.Text); ok {
			require.LessOrEqual(t, len(l.Value), findingWidth)
			require.Less(t, l.At.Y, y, "one line under the other")
			y = l.At.Y
			lines = append(lines, l.Value)
		}
	}
	require.Equal(t, text, strings.Join(lines, " "))
	require.Equal(t, 1, count[shape.Circle](gs))
	require.Equal(t, []string{"abcdefghij", "k"}, fold("abcdefghij k", 4), "a long word stays whole")
	require.Empty(t, fold("  ", 4))
}

// A cloud goes around its box outside of it, in arcs of about the length asked for.
func TestCloud(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w, h := rapid.Float64Range(0.1, 30).Draw(rt, "w"), rapid.Float64Range(0.1, 30).Draw(rt, "h")
		low, high := geom.Vec{X: -3, Y: 7, Z: 1}, geom.Vec{X: -3 + w, Y: 7 + h, Z: 1}
		gs := Cloud(high, low, 0.3)
		require.Len(rt, gs, 1)
		for _, p := range points(rt, gs) {
			inside := p.X > low.X+0.01 && p.X < high.X-0.01 && p.Y > low.Y+0.01 && p.Y < high.Y-0.01
			require.False(rt, inside, "%v is inside of the box", p)
		}
		for _, c := range gs[0].(shape.Polyline).Path.Curves(true) {
			require.LessOrEqual(rt, c.A.PlanDist(c.B), 0.45+geom.Same)
		}
	})
	require.Empty(t, Cloud(geom.Vec{}, geom.Vec{X: 1}, 0.3))
	require.Empty(t, Cloud(geom.Vec{}, geom.Vec{X: 1, Y: 1}, 0))
	huge := Cloud(geom.Vec{}, geom.Vec{X: 1e9, Y: 1e9}, 0.3)
	require.LessOrEqual(t, len(huge[0].(shape.Polyline).Path), 2*cloudMost, "bounded whatever is asked")
}
