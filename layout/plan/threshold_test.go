package plan

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// The figures of the house and of common practice, each held by what changes when it moves. What is expected is worked
// out by hand from the figure as its comment states it.

// An elbow has a vane for every 120 mm of its seam, two at least and twelve at most, and the vane next to the throat
// reaches over 0.8 of the way from the seam to the joints.
func TestVanes(t *testing.T) {
	for _, c := range []struct {
		seam float64
		want int
	}{{0.6, 4}, {0.84, 6}, {0.2, 2}, {3, 12}} {
		got := vanes(geom.Vec{}, geom.Vec{X: c.seam}, geom.Direction(math.Pi/4), geom.Direction(3*math.Pi/4))
		require.Len(t, got, c.want, "on a seam of %v m", c.seam)
	}
	first := vanes(geom.Vec{}, geom.Vec{X: 0.6}, geom.Direction(math.Pi/4), geom.Direction(3*math.Pi/4))[0]
	require.InDelta(t, 0.8*0.12*math.Sqrt2/2, first.A.PlanDist(geom.Vec{X: 0.12}), 1e-9)
}

// A flexible duct leaves its main by a stub of 50 mm, with a damper by one as long as it is wide.
func TestCollar(t *testing.T) {
	run := &duct.Run{Kind: duct.Flexible}
	for _, c := range []struct {
		fit  duct.Fitting
		want float64
	}{{duct.Fitting{Kind: duct.Takeoff}, 0.05}, {duct.Fitting{Kind: duct.Takeoff, Damper: true}, 0.2},
		{duct.Fitting{Kind: duct.Elbow}, 0}} {
		l := &leg{Leg: &duct.Leg{Run: run, End: near, Fitting: &c.fit}, half: 0.1}
		require.InDelta(t, c.want, collarOf(l), 1e-9)
	}
}

// legTo returns a straight leg that leaves the origin.
func legTo(degrees, half float64) *leg {
	dir := geom.Direction(degrees * math.Pi / 180)
	return &leg{Leg: &duct.Leg{Run: &duct.Run{}}, half: half, dir: dir, axis: line(geom.Vec{}, dir.Scale(5))}
}

// Walls meet up to half the width of the wider leg beyond the node: with 2 m and 135 degrees, as far as sin 135° times
// 1 - 0.5 is less than half of the narrow leg.
func TestWallsMeetPastTheNode(t *testing.T) {
	for back, meet := range map[float64]bool{0.45: true, 0.55: false} {
		c := newCorner(geom.Vec{}, legTo(0, 1), legTo(135, math.Sqrt2/2*(1-back)))
		require.Equal(t, meet, c.ok, "%v behind the node", back)
		if meet {
			require.InDelta(t, -back, c.sa, 1e-9)
		}
	}
}

// A duct goes straight on with a turn of up to 15 degrees.
func TestGoesOn(t *testing.T) {
	for turn, on := range map[float64]bool{13: true, 17: false} {
		legs := []*leg{legTo(0, 0.2), legTo(180-turn, 0.2)}
		cornersOf(&duct.Node{}, legs)
		require.Equal(t, on, legs[0].goesOn, "a turn of %v degrees", turn)
	}
}

// A size change that has no room is drawn 20 mm long.
func TestLeastChange(t *testing.T) {
	g := newRig(duct.SUP)
	g.run(g.node(0, 0, 3), g.node(3, 0, 3), duct.RoundOf(0.3))
	g.run(1, g.node(3.21, 0, 3), duct.RoundOf(0.2))
	g.run(2, g.node(3.21, 3, 3), duct.RoundOf(0.2))
	d, _ := drawRig(g)
	require.NotEmpty(t, ofCode(d.list, diag.NoRoom))
	i := slices.IndexFunc(d.pieces, func(p *piece) bool { return strings.HasSuffix(string(p.key), "/change") })
	require.InDelta(t, 0.02, d.pieces[i].spines[0].PlanLen(), 1e-9)
}

// A climbing quarter circle of 2 m is drawn in 25 lines: each stays within 1 mm, 2 (1 - cos(90°/50)) = 0.99 mm.
func TestClimbingArc(t *testing.T) {
	arc := geom.Curve{A: geom.Vec{X: 2}, B: geom.Vec{Y: 2, Z: 1}, Bulge: math.Tan(math.Pi / 8)}
	require.Len(t, chainPath([]geom.Curve{arc}), 25+1)
}

// Two arcs of one direction have tangents of w / (4 cos φ), φ being how far their ends lie aside: up to ten times w.
func TestBiarcGivesWay(t *testing.T) {
	for cosine, arcs := range map[float64]int{0.027: 2, 0.0235: 1} {
		x := geom.Vec{X: 1}
		require.Len(t, biarc(geom.Vec{}, x, geom.Vec{X: cosine, Y: math.Sqrt(1 - cosine*cosine)}, x), arcs)
	}
}

// A flexible duct turns up to 225 degrees to where it ends.
func TestTurnTo(t *testing.T) {
	for half, ok := range map[float64]bool{110: true, 115: false} {
		a := half * math.Pi / 180
		arcs, _ := turnTo(geom.Vec{}, geom.Direction(a), geom.Vec{X: 1}, geom.Direction(-a))
		require.Equal(t, ok, arcs != nil, "a turn of %v degrees", 2*half)
	}
}

// A duct that stops up to 100 mm short of an outline is drawn on to it.
func TestReachBack(t *testing.T) {
	g := geom.PolygonRegion(square(geom.Vec{}, 1))
	for short, ok := range map[float64]bool{0.09: true, 0.11: false} {
		s, found := leaveAt(g, line(geom.Vec{X: 1 + short}, geom.Vec{X: 5}))
		require.Equal(t, ok, found, "%v m short", short)
		if ok {
			require.InDelta(t, -short, s, 1e-9)
		}
	}
}

// The wall of a flexible duct swells every 0.4 diameters, every 50 mm at least and every 120 mm at most.
func TestScallops(t *testing.T) {
	for _, c := range []struct {
		dia, long float64
		want      int
	}{{0.2, 0.8, 10}, {0.1, 0.8, 16}, {0.5, 0.84, 7}, {0.1, 1000, 4096}} {
		got := scallops([]geom.Curve{line(geom.Vec{}, geom.Vec{X: c.long})}, c.dia, 1)
		require.Len(t, got, c.want)
		require.InDelta(t, -0.45, got[0].Bulge, 1e-9)
	}
}

// A bend takes half of a piece of a flexible duct that has one at both ends: here, at 90 degrees, its radius.
func TestSmoothShares(t *testing.T) {
	pts := []geom.Vec{{}, {X: 3}, {X: 3, Y: 0.4}, {X: 6, Y: 0.4}}
	var chain []geom.Curve
	for i := range pts[1:] {
		chain = append(chain, line(pts[i], pts[i+1]))
	}
	bends := 0
	for _, c := range smooth(chain, []float64{0, 5, 5}) {
		if r := c.Radius(); r > 0 {
			require.InDelta(t, 0.2, r, 1e-9)
			bends++
		}
	}
	require.Equal(t, 2, bends)
}

// The end of a flexible duct stays 25 mm from the corner of what it ends on.
func TestCornerGap(t *testing.T) {
	got := landingsOn(geom.PolygonRegion(square(geom.Vec{}, 0.5)), geom.Vec{X: -0.5, Y: 0.48}, geom.Vec{X: 1}, 0.1)
	require.Len(t, got, 1)
	require.InDelta(t, 0.5-0.1-0.025, got[0].at.Y, 1e-9)
}

// A flexible duct leaves its way two radii before where it ends, or as much earlier, in steps of a quarter of the
// radius, as its turn needs. At a right angle the tighter arc of a way of length l has a radius of 0.2113 l (the
// tangents are l (√3-1)/2, its turn 120 degrees), which 0.2 m takes from 0.947 m on.
func TestApproach(t *testing.T) {
	for _, c := range []struct {
		long float64
		at   geom.Vec // from the end of the way
		dir  geom.Vec
		want float64 // before the end
	}{
		{5, geom.Vec{Y: 0.05}, geom.Vec{X: 1}, 2*0.2 + 0.05},
		{5, geom.Vec{}, geom.Vec{Y: 1}, 0.4 + 11*0.05},
		{100, geom.Vec{}, geom.Vec{Y: 1}, 0.4 + 2*100/200.0},
	} {
		end := geom.Vec{X: c.long}
		out, _ := land([]geom.Curve{line(geom.Vec{}, end)}, end.Add(c.at), c.dir, 0.2)
		require.InDelta(t, c.long-c.want, out[0].B.X, 1e-9)
	}
}

// Ducts clash from an overlap of 1 mm on.
func TestLeastClash(t *testing.T) {
	for by, clash := range map[float64]bool{0.0009: false, 0.0011: true} {
		d, _ := crossed(t, 3.3-by, math.Pi/2, duct.RectOf(0.5, 0.3), duct.RectOf(0.5, 0.3))
		require.Equal(t, clash, len(ofCode(d.list, diag.Clash)) > 0, "%v m", by)
	}
}

// Ducts that leave one place lie on each other from 5 mm on: here a tip of nearly no width.
func TestLeastTogether(t *testing.T) {
	level := func(foot geom.Region) *piece {
		return &piece{foot: foot, duct: true, half: 0.1,
			spines: []geom.Curve{line(geom.Vec{Z: 3}, geom.Vec{X: 1, Z: 3})}}
	}
	p := level(geom.PolygonRegion(square(geom.Vec{}, 1)))
	for by, together := range map[float64]bool{0.0045: false, 0.0055: true} {
		q := level(geom.PolygonRegion([]geom.Vec{{X: 1 - by}, {X: 2, Y: -0.05}, {X: 2, Y: 0.05}}))
		_, got := runTogether(p, q)
		require.Equal(t, together, got, "%v m", by)
	}
}

// Lines of a wall that is no arc are 4 mm long at least.
func TestFinest(t *testing.T) {
	require.Equal(t, []geom.Vec{{}, {X: 0.0045}, {X: 1}}, thin([]geom.Vec{{}, {X: 0.0035}, {X: 0.0045}, {X: 1}}))
}

// A quarter turn of which a leg slopes is drawn in 16 lines.
func TestBendSteps(t *testing.T) {
	g := newRig(duct.SUP)
	g.run(g.node(-3, 0, 3), g.node(0, 0, 3), duct.RoundOf(0.3))
	g.run(1, g.node(0, 3, 4), duct.RoundOf(0.3))
	d, _ := drawRig(g)
	i := slices.IndexFunc(d.pieces, func(p *piece) bool { return strings.HasSuffix(string(p.key), "/elbow") })
	require.Len(t, d.pieces[i].spines, 16)
}

// A duct wider than the riser it ends at goes on past it by 50 mm, past a drop to a terminal by half the drop's width.
func TestPastColumn(t *testing.T) {
	for terminal, past := range map[bool]float64{false: 0.05, true: 0.1} {
		g := newRig(duct.SUP)
		b, e := g.node(2, 0, 3), g.node(2, 0, 2)
		g.run(g.node(0, 0, 3), b, duct.RectOf(0.4, 0.2))
		g.run(b, e, duct.RectOf(0.2, 0.2))
		if terminal {
			g.terminal(e, 0.3)
		}
		_, shapes := drawRig(g)
		caps := slices.DeleteFunc(linesOf(shapes, shape.Joint),
			func(l lawLine) bool { return l.key != "r0/turn/1/joint/cap" })
		require.Len(t, caps, 1)
		require.InDelta(t, 2+0.1+past, caps[0].curve.A.X, 1e-9)
	}
}
