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

// sized returns a section of a shape that is w wide in plan.
func sized(s duct.Shape, w float64) duct.Section {
	switch s {
	case duct.Round:
		return duct.RoundOf(duct.Length(w))
	case duct.Oval:
		return duct.OvalOf(duct.Length(w), duct.Length(w/2))
	}
	return duct.RectOf(duct.Length(w), duct.Length(w/2))
}

// TestTakeoffSweep draws branches of every shape from mains of every shape at every angle from 5 to 175 degrees, plain, with a 45
// degree entry or a cone as package fitting makes them, with the main going on or getting smaller, as new work and out of
// existing mains.
func TestTakeoffSweep(t *testing.T) {
	shapes := []duct.Shape{duct.Round, duct.Rect, duct.Oval}
	for _, main := range shapes {
		for _, branch := range shapes {
			t.Run(fmt.Sprint(main, " ", branch), func(t *testing.T) {
				t.Parallel()
				for deg := 5; deg <= 175; deg += 5 {
					for i, form := range []duct.TakeoffForm{duct.Plain, duct.Entry45, duct.Conical} {
						k := deg/5 + i
						sweepTakeoff(t, sweepCase{main: main, branch: branch, form: form, turn: float64(deg*(1-2*(k%2))) * math.Pi / 180,
							width: 0.5 * []float64{0.4, 0.25, 0.8, 1}[k%4], through: []float64{0.5, 0.35, 0.5}[k%3], air: duct.Airs[k%3],
							status: []duct.Status{duct.New, duct.Existing, duct.Future}[k/2%3]})
					}
				}
			})
		}
	}
}

type sweepCase struct {
	main, branch   duct.Shape
	form           duct.TakeoffForm
	turn           float64
	width, through float64 // of the branch and of the main beyond it; the main is 0.5 m wide
	air            duct.Air
	status         duct.Status // of the main; the branch is new
}

func sweepTakeoff(t *testing.T, c sweepCase) {
	t.Helper()
	g := newRig(c.air)
	rules := testRules
	rules.TakeoffRect, rules.TakeoffRound = c.form, c.form
	if c.form == duct.Conical {
		rules.TakeoffRect = duct.Plain
	}
	phi, hm, hb := math.Abs(c.turn), 0.25, c.width/2
	sin, cos := math.Sincos(phi)
	far := 4 + (hm+hb)/sin // walls part that far at a slight angle
	u, v := geom.Direction(-0.4), geom.Direction(-0.4+c.turn)
	n := geom.Vec{X: -3, Y: 7, Z: 3}
	a, b, e := n.Sub(u.Scale(far)), n.Add(u.Scale(far)), n.Add(v.Scale(far))
	na, nn, nb, ne := g.node(a.X, a.Y, 3), g.node(n.X, n.Y, 3), g.node(b.X, b.Y, 3), g.node(e.X, e.Y, 3)
	of := func(r *duct.Run) { r.Status = c.status }
	main, through, branch := sized(c.main, 0.5), sized(c.main, c.through), sized(c.branch, c.width)
	g.run(na, nn, main, of)
	g.run(nn, nb, through, of, func(r *duct.Run) { r.Up = 0 })
	g.run(nn, ne, branch, func(r *duct.Run) { r.Up = 0 })
	net, des := g.chosenBy(rules)
	d := newDrawing(net, des, Spec{Rules: rules, Hidden: true})
	shapes := d.draw()
	what := fmt.Sprintf("%+v", c)
	var tap duct.Fitting
	for _, f := range des.Fittings {
		if f.Run == 2 && f.Kind == duct.Takeoff {
			tap = f
		}
	}
	for _, f := range d.diags {
		require.Contains(t, f.Text, "finds no wall to be cut into", what)
		require.Greater(t, math.Max(float64(branch.Height), float64(through.Height)), float64(main.Height), what)
	}
	requireClean(t, shapes)
	requireOpen(t, d, shapes)
	if tap.Kind != duct.Takeoff {
		return // at a slight angle the larger of the two goes on from the main
	}
	// The ideal, as in checkTakeoff.
	xBack, xFront := (hm*cos-hb)/sin, (hm*cos+hb)/sin
	sBack, sFront := (hm-hb*cos)/sin, (hm+hb*cos)/sin
	side := u.Left().Scale(math.Copysign(hm, c.turn))
	on := func(x float64) geom.Vec { return n.Add(u.Scale(x)).Add(side) }
	w := v.Left().Scale(math.Copysign(hb, c.turn))
	ideal := []sf.Geometry{strip(t, n, e, c.width)}
	reach, l := math.Max(0, xFront), float64(tap.Length)
	switch tap.Form {
	case duct.Entry45:
		ideal = append(ideal, sfArea(t, []geom.Vec{on(xBack - l), on(xBack), n.Add(v.Scale(sBack + l)).Add(w)}))
	case duct.Conical:
		flare := 0.25 * hb / math.Max(sin, 0.35)
		end := math.Max(sBack, sFront) + l
		reach = math.Max(0, xFront+flare)
		ideal = append(ideal, sfArea(t, []geom.Vec{on(xBack - flare), on(xFront + flare), n.Add(v.Scale(end)).Sub(w), n.Add(v.Scale(end)).Add(w)}))
	}
	length := 0.0
	if c.through != 0.5 {
		reach += 0.05
		length = math.Max(0.1, (0.5-c.through)/2/math.Tan(rules.ReducerAngle/2))
		p, q := n.Add(u.Scale(reach)), n.Add(u.Scale(reach+length))
		ideal = append(ideal, sfArea(t, []geom.Vec{p.Sub(u.Left().Scale(hm)), q.Sub(u.Left().Scale(c.through / 2)), q.Add(u.Left().Scale(c.through / 2)), p.Add(u.Left().Scale(hm))}))
	}
	ideal = append(ideal, strip(t, a, n.Add(u.Scale(reach)), 0.5), strip(t, n.Add(u.Scale(reach+length)), b, c.through))
	want, got := sfUnion(t, ideal...), outline(t, shapes)
	x, err := sf.SymmetricDifference(want, got)
	require.NoError(t, err)
	require.Less(t, x.Area(), lawArea*(1+far), "%s: ideal %.5f m2, drawn %.5f m2", what, want.Area(), got.Area())
	for _, l := range linesOf(shapes, shape.Wall) {
		_, dist := l.curve.Nearest(on((xBack + xFront) / 2))
		require.Greater(t, dist, 0.01, "%s: the wall %s stands in the opening", what, l.key)
	}
}
