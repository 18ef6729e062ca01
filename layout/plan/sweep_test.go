package plan

import (
	"fmt"
	"math"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// sized returns a size of a shape that is w wide in plan.
func sized(s duct.Shape, w float64) duct.Size {
	switch s {
	case duct.Round:
		return duct.RoundOf(duct.Length(w))
	case duct.Oval:
		return duct.OvalOf(duct.Length(w), duct.Length(w/2))
	}
	return duct.RectOf(duct.Length(w), duct.Length(w/2))
}

// TestTakeoffSweep draws branches of every shape from mains of every shape at every angle from 5 to 175 degrees, plain,
// with a 45 degree entry or a cone as package fitting makes them, with the main going on or getting smaller, as new
// work and out of existing mains.
func TestTakeoffSweep(t *testing.T) {
	shapes := []duct.Shape{duct.Round, duct.Rect, duct.Oval}
	for _, main := range shapes {
		for _, branch := range shapes {
			t.Run(fmt.Sprint(main, " ", branch), func(t *testing.T) {
				t.Parallel()
				for deg := 5; deg <= 175; deg += 5 {
					for i, form := range []duct.TakeoffForm{duct.Plain, duct.Entry45, duct.Conical} {
						k := deg/5 + i
						sweepTakeoff(t, sweepCase{main: main, branch: branch, form: form,
							turn:  float64(deg*(1-2*(k%2))) * math.Pi / 180,
							width: 0.5 * []float64{0.4, 0.25, 0.8, 1}[k%4], through: []float64{0.5, 0.35, 0.5}[k%3],
							air:    duct.Airs[k%3],
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
	d := draw(newModel(net, des, Spec{Rules: rules, Hidden: true}))
	shapes := d.shapes
	what := fmt.Sprintf("%+v", c)
	var tap duct.Fitting
	for _, f := range des.Fittings {
		if f.Run == 2 && f.Kind == duct.Takeoff {
			tap = f
		}
	}
	for _, f := range d.list {
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
		ideal = append(ideal, sfArea(t, []geom.Vec{on(xBack - flare), on(xFront + flare), n.Add(v.Scale(end)).Sub(w),
			n.Add(v.Scale(end)).Add(w)}))
	}
	length := 0.0
	if c.through != 0.5 {
		reach += 0.05
		length = math.Max(0.1, (0.5-c.through)/2/math.Tan(rules.ReducerAngle/2))
		p, q := n.Add(u.Scale(reach)), n.Add(u.Scale(reach+length))
		ideal = append(ideal, sfArea(t, []geom.Vec{p.Sub(u.Left().Scale(hm)), q.Sub(u.Left().Scale(c.through / 2)),
			q.Add(u.Left().Scale(c.through / 2)), p.Add(u.Left().Scale(hm))}))
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

// TestWyeSweep draws wyes and tees with legs of unlike width at unlike angles, in every shape: walls meet, none stands
// across a leg, and every leg is as wide as it should be where it leaves.
func TestWyeSweep(t *testing.T) {
	widths := []float64{0.15, 0.25, 0.4}
	for _, form := range []duct.Shape{duct.Round, duct.Rect, duct.Oval} {
		t.Run(form.String(), func(t *testing.T) {
			t.Parallel()
			k := 0
			for a := 20; a <= 110; a += 10 {
				for b := 20; b <= 110; b += 15 {
					k++
					g := newRig(duct.Airs[k%3])
					u, v := geom.Direction(float64(a)*math.Pi/180).Scale(5),
						geom.Direction(-float64(b)*math.Pi/180).Scale(5)
					wa, wb := widths[k%3], widths[k/3%3]
					n, p, q := g.node(0, 0, 3), g.node(u.X, u.Y, 3), g.node(v.X, v.Y, 3)
					g.run(g.node(-5, 0, 3), n, sized(form, 0.4))
					g.run(n, p, sized(form, wa), func(r *duct.Run) { r.Up = 0 })
					g.run(n, q, sized(form, wb), func(r *duct.Run) { r.Up = 0 })
					d, shapes := drawChosen(g)
					what := fmt.Sprintf("%v: %d degrees %v m, %d degrees %v m", form, a, wa, b, wb)
					require.Empty(t, d.list, what)
					requireClean(t, shapes)
					requireOpen(t, d, shapes)
					got := outline(t, shapes)
					// The three legs as far as they lie apart, and no more between them than the corners they close.
					legs := sfUnion(t, strip(t, geom.Vec{X: -5}, geom.Vec{}, 0.4), strip(t, geom.Vec{}, u, wa),
						strip(t, geom.Vec{}, v, wb))
					x, err := sf.SymmetricDifference(legs, got)
					require.NoError(t, err)
					require.Less(t, x.Area(), 0.4*0.4, what)
					middle := circle(t, geom.Vec{}, 1.2)
					requireSame(t, sfUnion(t, legs, middle), sfUnion(t, got, middle), lawArea)
				}
			}
		})
	}
}

// circle returns a disc of the judge's.
func circle(t lawT, c geom.Vec, r float64) sf.Geometry {
	var pts []geom.Vec
	for i := range 360 {
		pts = append(pts, c.Add(geom.Direction(2*math.Pi*float64(i)/360).Scale(r)))
	}
	return sfArea(t, pts)
}

// TestCurvedSweep draws arcs of every shape and turn, with a size change at their beginning and a cap at their end:
// rings cut out between two circles.
func TestCurvedSweep(t *testing.T) {
	for _, form := range []duct.Shape{duct.Round, duct.Rect, duct.Oval} {
		for deg := 10; deg <= 270; deg += 20 {
			for _, own := range []float64{0.4, 0.3} {
				for _, sign := range []float64{1, -1} {
					turn := sign * float64(deg) * math.Pi / 180
					const radius = 2.0
					g := newRig(duct.Airs[deg/10%3])
					o := geom.Vec{Y: sign * radius}
					on := func(k, off float64) geom.Vec {
						return o.Add(geom.Vec{Y: -sign * (radius + off)}.Rotate(turn * k))
					}
					e := on(1, 0)
					b := g.node(0, 0, 3)
					g.run(g.node(-3, 0, 3), b, sized(form, 0.4))
					g.run(b, g.node(e.X, e.Y, 3), sized(form, own), bulged(math.Tan(turn/4)),
						func(r *duct.Run) { r.Up = 0 })
					d, shapes := drawChosen(g)
					what := fmt.Sprintf("%v, %v degrees, %v m", form, sign*float64(deg), own)
					require.Empty(t, d.list, what)
					requireClean(t, shapes)
					requireOpen(t, d, shapes)
					got := outline(t, shapes)
					length := 0.0
					if own != 0.4 { // straight sides from one width to the other, along the arc
						length = math.Max(0.1, 0.05/math.Tan(testRules.ReducerAngle/2)) / (radius * math.Abs(turn))
					}
					var left, right []geom.Vec
					for i := range 401 {
						k := length + (1-length)*float64(i)/400
						left = append(left, on(k, own/2))
						right = append([]geom.Vec{on(k, -own/2)}, right...)
					}
					ideal := []sf.Geometry{strip(t, geom.Vec{X: -3}, geom.Vec{}, 0.4),
						sfArea(t, append(left, right...))}
					if length > 0 {
						ideal = append(ideal, sfArea(t,
							[]geom.Vec{on(0, 0.2), on(length, own/2), on(length, -own/2), on(0, -0.2)}))
					}
					x, err := sf.SymmetricDifference(sfUnion(t, ideal...), got)
					require.NoError(t, err)
					require.Less(t, x.Area(), lawArea*10, what)
				}
			}
		}
	}
}

// TestBendsNearEachOther leads ducts round two corners, to both sides and to one, ever nearer to each other: either
// both bends are made and every law holds, or what they lack is reported.
func TestBendsNearEachOther(t *testing.T) {
	for _, form := range []duct.Shape{duct.Round, duct.Rect, duct.Oval} {
		for deg := 15; deg <= 90; deg += 15 {
			for _, second := range []float64{1, -1} {
				for gap := 0.05; gap < 1.2; gap += 0.05 {
					turn := float64(deg) * math.Pi / 180
					u, v := geom.Direction(turn), geom.Direction(turn+second*turn)
					g := newRig(duct.SUP)
					pts := []geom.Vec{{X: -3}, {}, u.Scale(gap), u.Scale(gap).Add(v.Scale(3))}
					for i := range 3 {
						if i == 0 {
							g.node(pts[0].X, pts[0].Y, 3)
						}
						up := duct.RunID(i - 1)
						g.run(duct.NodeID(i), g.node(pts[i+1].X, pts[i+1].Y, 3), sized(form, 0.4),
							func(r *duct.Run) { r.Up = up })
					}
					d, shapes := drawChosen(g)
					if len(ofCode(d.list, diag.NoRoom)) > 0 {
						// The tightest there is, a mitre, takes tan(turn/2) of half the width at both corners.
						require.Less(t, gap, 0.4*math.Tan(turn/2)+1e-6, "%v %d %v %v", form, deg, second, gap)
						continue
					}
					require.Empty(t, ofCode(d.list, diag.Clash), "%v %d %v %v", form, deg, second, gap)
					requireClean(t, shapes)
					requireOpen(t, d, shapes)
					if deg == 90 && second > 0 && math.Abs(gap-0.4) < 1e-6 {
						continue // back on itself, wall on wall
					}
					outline(t, shapes)
				}
			}
		}
	}
}
