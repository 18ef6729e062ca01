package loss

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
)

// probe is a fitting inside every range of its source, what can be put outside of one, and the bound that has to be
// reported then.
type probe struct {
	name  string
	make  func() (duct.Fitting, Case)
	moves []move
}

// move takes one quantity out of its range: to low or to high, in the unit of the bound.
type move struct {
	what      string
	low, high float64 // NaN: there is no such end
	set       func(f *duct.Fitting, c *Case, v float64)
}

// The ranges stand here as the sources have them, apart from those of the code. Source: Idelchik, Handbook of Hydraulic
// Resistance, diagrams 6-1 (r/D 0.5 to 40, H/W 0.25 to 8, Re from 1e4, to 180 degrees) and 6-5 (Re from 4e4), ch. 7
// (dividing from 15, joining from 30 to 90 degrees, branches to the size of the main); ASHRAE Handbook Fundamentals
// (2021), ch. 21, examples 8 and 9 (entries at x 0.8 to 1.3203, that is 0.5 (325/200)^2, straight legs at y 0.5 to
// 1.16; gored elbows); RP-1333 and our own bounds where there is no other, as the code says.
func probes() []probe {
	none := math.NaN()
	turn := func(what string, low, high float64) move {
		return move{what, low, high, func(f *duct.Fitting, _ *Case, v float64) { f.Angle = v * degree }}
	}
	d := duct.RoundOf(0.4)
	flat := duct.RectOf(0.4, 0.4)
	slow := move{"Re", 1e4, none, func(f *duct.Fitting, c *Case, v float64) {
		c.Own = duct.Flow(v * standard.Viscosity / 1.204 / float64(f.Own.Hydraulic()) * float64(f.Own.Area()))
	}}
	slowMitre := slow
	slowMitre.low = 4e4
	radius := move{"r/D", 0.5, 40,
		func(f *duct.Fitting, _ *Case, v float64) { f.Radius = duct.Length(v) * f.Own.Width }}
	sides := move{"H/W", 0.25, 8, func(f *duct.Fitting, c *Case, v float64) {
		f.Own.Height = f.Own.Width * duct.Length(v)
		c.Own = at(f.Own, 8)
	}}
	elbow := func(s duct.Size) func() (duct.Fitting, Case) {
		return func() (duct.Fitting, Case) {
			return duct.Fitting{Kind: duct.Elbow, Own: s, Common: s, Angle: 60 * degree, Radius: s.Width},
				Case{Own: at(s, 8)}
		}
	}
	mitre := func(s duct.Size) func() (duct.Fitting, Case) {
		return func() (duct.Fitting, Case) {
			return duct.Fitting{Kind: duct.Mitre, Own: s, Common: s, Angle: 60 * degree}, Case{Own: at(s, 8)}
		}
	}
	gored := func(f *duct.Fitting, c *Case) { c.Make = duct.Gored3 }
	junction := func(kind duct.FittingKind, form duct.TakeoffForm, diverging bool) func() (duct.Fitting, Case) {
		return func() (duct.Fitting, Case) {
			main, branch := duct.RectOf(1, 1), duct.RectOf(0.4, 1)
			b := Leg{Size: branch, Flow: 3.5, Angle: 60 * degree, Form: form}
			s := Leg{Size: main, Flow: 4.5, Straight: true}
			f := duct.Fitting{Kind: kind, Common: main, Own: branch, Angle: b.Angle, Form: form}
			c := Case{Own: b.Flow, Common: 8, Diverging: diverging, Others: []Leg{s}}
			if kind == duct.Through {
				f.Own, f.Angle, c.Own, c.Others = main, 0, s.Flow, []Leg{b}
			}
			if form != duct.Plain {
				f.Angle, b.Angle = 90*degree, 90*degree
				if kind == duct.Through {
					f.Angle, c.Others = 0, []Leg{b}
				}
			}
			return f, c
		}
	}
	legAngle := move{"branch angle", 15, 90,
		func(_ *duct.Fitting, c *Case, v float64) { c.Others[0].Angle = v * degree }}
	legAngleJoin := legAngle
	legAngleJoin.low = 30
	wide := move{"Ab/Ac", none, 1, func(f *duct.Fitting, c *Case, v float64) {
		f.Own.Width = duct.Length(v)
		c.Others[0].Size.Width = 1
	}}
	quick := func(low, high float64) move {
		return move{"Vb/Vc", low, high, func(f *duct.Fitting, c *Case, v float64) {
			f.Own.Width = duct.Length(3.5 / 8 / v)
		}}
	}
	split := func(kind duct.FittingKind, diverging bool) func() (duct.Fitting, Case) {
		return func() (duct.Fitting, Case) {
			angle := 45 * degree
			if kind == duct.Bullhead {
				angle = 90 * degree
			}
			leg := duct.RectOf(0.55, 1)
			f := duct.Fitting{Kind: kind, Common: duct.RectOf(1, 1), Own: leg, Angle: angle}
			return f, Case{Own: 4, Common: 8, Diverging: diverging, Others: []Leg{{Size: leg, Flow: 4, Angle: angle}}}
		}
	}
	both := move{"areas of both legs over Ac", 0.9, 1.6, func(f *duct.Fitting, c *Case, v float64) {
		f.Own.Width, c.Others[0].Size.Width = duct.Length(v/2), duct.Length(v/2)
	}}
	alike := move{"Ab/Ab'", 1 / 1.1, 1.1,
		func(f *duct.Fitting, c *Case, v float64) { c.Others[0].Size.Width = f.Own.Width / duct.Length(v) }}
	with := func(base func() (duct.Fitting, Case), change func(*duct.Fitting, *Case)) func() (duct.Fitting, Case) {
		return func() (duct.Fitting, Case) {
			f, c := base()
			change(&f, &c)
			return f, c
		}
	}
	return []probe{
		{"round elbow", elbow(d), []move{turn("angle", none, 180), radius, slow}},
		{"rectangular elbow", elbow(flat), []move{turn("angle", none, 180), radius, sides}},
		{"gored elbow", with(elbow(d), gored), []move{turn("angle", none, 90), {"r/D", 0.5, 2, radius.set}}},
		{"flexible bend", with(elbow(d), func(f *duct.Fitting, c *Case) { c.Pliable, f.Radius = true, 0.8 }),
			[]move{turn("angle", none, 180), {"r/D", 1, 40, radius.set}}},
		{"round mitre", mitre(d), []move{turn("angle", none, 180), slowMitre}},
		{"rectangular mitre", mitre(flat), []move{turn("angle", none, 180), slowMitre, sides}},
		{"branch, dividing", junction(duct.Takeoff, duct.Plain, true), []move{turn("branch angle", 15, 90), wide,
			{"(As+Ab)/Ac", 0.9, none,
				func(_ *duct.Fitting, c *Case, v float64) { c.Others[0].Size.Width = duct.Length(v - 0.4) }}}},
		{"branch, joining", junction(duct.Takeoff, duct.Plain, false), []move{turn("branch angle", 30, 90), wide}},
		{"branch with a 45 degree entry", junction(duct.Takeoff, duct.Entry45, true), []move{quick(0.8, 1.3203125)}},
		{"cone", junction(duct.Takeoff, duct.Conical, true), []move{quick(0.8, 1.3203125)}},
		{"straight leg, dividing", junction(duct.Through, duct.Plain, true), []move{legAngle}},
		{"straight leg of a parting duct",
			with(junction(duct.Through, duct.Plain, true), func(f *duct.Fitting, _ *Case) { f.Own.Width = 0.6 }),
			[]move{{"Vs/Vc", none, 2, func(f *duct.Fitting, c *Case, v float64) {
				c.Own, c.Others[0].Flow = 7.9, 0.1
				f.Own.Width = duct.Length(7.9 / 8 / v)
				c.Others[0].Size.Width = 1 - f.Own.Width // so that the areas still add up
			}}}},
		{"straight leg, joining", junction(duct.Through, duct.Plain, false), []move{legAngleJoin}},
		{"straight leg past a 45 degree entry", junction(duct.Through, duct.Entry45, true),
			[]move{{"Vs/Vc", 0.5, 1.16, func(f *duct.Fitting, c *Case, v float64) {
				f.Own.Width = duct.Length(4.5 / 8 / v)
			}}}},
		{"wye, dividing", split(duct.Wye, true), []move{turn("branch angle", 15, 90), both}},
		{"wye, joining", split(duct.Wye, false), []move{turn("branch angle", none, 90),
			{"angle of the other branch", none, 90,
				func(_ *duct.Fitting, c *Case, v float64) { c.Others[0].Angle = v * degree }}}},
		{"bullhead, dividing", split(duct.Bullhead, true), []move{turn("branch angle", 75, 105)}},
		{"bullhead, joining", split(duct.Bullhead, false), []move{turn("branch angle", 75, 105), alike}},
	}
}

// Outside of a range there is a bound that says so, however far; on its edge and inside there is none; and there is
// always a number.
func TestOutsideIsAlwaysTold(t *testing.T) {
	for _, p := range probes() {
		t.Run(p.name, func(t *testing.T) {
			f, c := p.make()
			r := Coefficient(&f, c, standard)
			require.True(t, r.InRange, r.Outside())
			rapid.Check(t, func(t *rapid.T) {
				m := rapid.SampledFrom(p.moves).Draw(t, "move")
				by := 1 + math.Exp(rapid.Float64Range(math.Log(1e-5), math.Log(3)).Draw(t, "by"))
				v, out := 0.0, rapid.Bool().Draw(t, "outside")
				switch up := rapid.Bool().Draw(t, "up"); {
				case (up || math.IsNaN(m.low)) && !math.IsNaN(m.high):
					v = m.high
					if out {
						v *= by
					}
				default:
					v = m.low
					if out {
						v /= by
					}
				}
				f, c := p.make()
				m.set(&f, &c, v)
				r := Coefficient(&f, c, standard)
				if !finite(r.C, float64(r.Loss), r.Own) {
					t.Fatalf("%s %g: no number", m.what, v)
				}
				reported := false
				for _, b := range r.Bounds() {
					reported = reported || b.What == m.what
				}
				if reported != out {
					t.Fatalf("%s %g: reported %v, %s", m.what, v, reported, r.Outside())
				}
				if r.InRange == reported {
					t.Fatalf("%s %g: in range %v", m.what, v, r.InRange)
				}
			})
		})
	}
}
