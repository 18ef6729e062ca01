package plan

import (
	"fmt"
	"math"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// branchCase is one takeoff from a straight main.
type branchCase struct {
	form    duct.TakeoffForm
	turn    float64 // of the branch from the main, signed
	main    float64 // width
	branch  float64
	through float64
	air     duct.Air
}

// TestTakeoffs draws branches at 30 to 150 degrees, of all forms, from narrow to as wide as
// the main, with the main going on at its size, smaller, or not by the middle.
func TestTakeoffs(t *testing.T) {
	for _, form := range []duct.TakeoffForm{duct.Plain, duct.Entry45, duct.Conical} {
		for deg := 30; deg <= 150; deg += 5 {
			for i, ratio := range []float64{0.2, 0.5, 0.8, 1} {
				turn := float64(deg) * math.Pi / 180
				if (deg/5+i)%2 == 0 {
					turn = -turn
				}
				c := branchCase{form, turn, 0.5, 0.5 * ratio, []float64{0.5, 0.35}[i%2], duct.Air(i % 3)}
				t.Run(fmt.Sprintf("%v/%d/%.1f", form, deg, ratio), func(t *testing.T) { checkTakeoff(t, c) })
			}
		}
	}
}

func checkTakeoff(t *testing.T, c branchCase) {
	size := func(w float64) duct.Size { return duct.RectOf(duct.Length(w), 0.2) }
	g := newRig(c.air)
	g.form = c.form
	u, v := geom.Direction(-0.4), geom.Direction(-0.4+c.turn)
	n := geom.Vec{X: -3, Y: 7, Z: 3}
	a, b, e := n.Sub(u.Scale(3)), n.Add(u.Scale(3)), n.Add(v.Scale(3))
	na, nn, nb, ne := g.node(a.X, a.Y, 3), g.node(n.X, n.Y, 3), g.node(b.X, b.Y, 3), g.node(e.X, e.Y, 3)
	g.run(na, nn, size(c.main))
	g.run(nn, nb, size(c.through))
	g.run(nn, ne, size(c.branch))
	d, shapes := drawRig(g)
	requireClean(t, shapes)
	requireOpen(t, d, shapes)
	require.Empty(t, d.list)

	// The ideal, from the lines of the walls alone: where along the main (x) and along the
	// branch (s) the walls of the branch meet that of the main.
	phi := math.Abs(c.turn)
	hm, hb := c.main/2, c.branch/2
	sin, tan := math.Sin(phi), math.Tan(phi)
	xBack, xFront := hm/tan-hb/sin, hm/tan+hb/sin
	sBack, sFront := hm/sin-hb/tan, hm/sin+hb/tan
	side := u.Left().Scale(math.Copysign(hm, c.turn))
	on := func(x float64) geom.Vec { return n.Add(u.Scale(x)).Add(side) }
	w := v.Left().Scale(math.Copysign(hb, c.turn)) // towards the common leg
	ideal := []sf.Geometry{strip(t, n, e, c.branch)}
	reach := xFront
	switch c.form {
	case duct.Entry45:
		l := c.branch / 4
		ideal = append(ideal, sfArea(t, []geom.Vec{on(xBack - l), on(xBack), n.Add(v.Scale(sBack + l)).Add(w)}))
	case duct.Conical:
		flare := 0.125 * c.branch / sin // the mouth is a quarter wider than the branch
		end := math.Max(sBack, sFront) + 0.1
		reach += flare
		ideal = append(ideal, sfArea(t, []geom.Vec{on(xBack - flare), on(xFront + flare), n.Add(v.Scale(end)).Sub(w),
			n.Add(v.Scale(end)).Add(w)}))
	}
	length := 0.0
	reach = math.Max(reach, 0)
	if c.through != c.main {
		reach += 0.05 // a neck to join the next piece at
		length = math.Max(0.1, (c.main-c.through)/2/math.Tan(g.rules.ReducerAngle/2))
		p, q := n.Add(u.Scale(reach)), n.Add(u.Scale(reach+length))
		ideal = append(ideal, sfArea(t, []geom.Vec{p.Sub(u.Left().Scale(hm)), q.Sub(u.Left().Scale(c.through / 2)),
			q.Add(u.Left().Scale(c.through / 2)), p.Add(u.Left().Scale(hm))}))
	}
	ideal = append(ideal, strip(t, a, n.Add(u.Scale(reach)), c.main),
		strip(t, n.Add(u.Scale(reach+length)), b, c.through))
	// A branch that leaves by more than its width behind the corner of a size change that begins beside it
	// covers a little of it; both pictures show the union.
	requireSame(t, sfUnion(t, ideal...), outline(t, shapes), lawArea)
	requireMouth(t, shapes, on(xBack), on(xFront))
}

// requireMouth checks that no wall lies along the opening of the main.
func requireMouth(t *testing.T, shapes []shape.Shape, a, b geom.Vec) {
	t.Helper()
	m := a.Lerp(b, 0.5)
	for _, l := range linesOf(shapes, shape.Wall) {
		_, dist := l.curve.Nearest(m)
		require.Greater(t, dist, 0.01, "the wall %s stands in the opening", l.key)
	}
}

// TestJunctions draws wyes, bullheads and crosses.
func TestJunctions(t *testing.T) {
	for deg := 20; deg <= 110; deg += 10 {
		phi := float64(deg) * math.Pi / 180
		for _, w := range []float64{0.15, 0.25, 0.4} {
			g := newRig(duct.Air(deg / 10 % 3))
			a, n := g.node(-4, 0, 3), g.node(0, 0, 3)
			b, c := geom.Direction(phi).Scale(4), geom.Direction(-phi).Scale(4)
			size := duct.RoundOf(duct.Length(w))
			g.run(a, n, duct.RoundOf(0.4))
			g.run(n, g.node(b.X, b.Y, 3), size)
			g.run(n, g.node(c.X, c.Y, 3), size)
			d, shapes := drawRig(g)
			requireClean(t, shapes)
			requireOpen(t, d, shapes)
			got := outline(t, shapes)
			if deg == 90 {
				at := func(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
				requireSame(t, sfUnion(t, strip(t, at(-4, 0), at(0, 0), 0.4), strip(t, at(0, -4), at(0, 4), w)), got,
					lawArea)
			}
			require.Greater(t, got.Area(), 4*(0.4+2*w)*0.8)
		}
	}
}

// TestCross draws a main with a branch to either side at one place.
func TestCross(t *testing.T) {
	for deg := 40; deg <= 140; deg += 10 {
		phi := float64(deg) * math.Pi / 180
		g := newRig(duct.SUP)
		a, n := g.node(-3, 0, 3), g.node(0, 0, 3)
		b, c := geom.Direction(phi).Scale(3), geom.Direction(-phi-0.3).Scale(3)
		size := func(w float64) duct.Size { return duct.RectOf(duct.Length(w), 0.2) }
		g.run(a, n, size(0.4))
		g.run(n, g.node(3, 0, 3), size(0.4))
		g.run(n, g.node(b.X, b.Y, 3), size(0.3))
		g.run(n, g.node(c.X, c.Y, 3), size(0.2))
		d, shapes := drawRig(g)
		requireClean(t, shapes)
		requireOpen(t, d, shapes)
		o := geom.Vec{}
		want := sfUnion(t, strip(t, geom.Vec{X: -3}, geom.Vec{X: 3}, 0.4), strip(t, o, b, 0.3), strip(t, o, c, 0.2))
		requireSame(t, want, outline(t, shapes), lawArea)
	}
}
