package loss

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/sizing/internal/checks"
)

// traps are the ways to get a loss wrong that the checks name, each with what we make of it.
var traps = map[string]func(t *testing.T) float64{
	"X01": func(t *testing.T) float64 { // hydraulic diameter taken as the round duct
		return float64(FrictionRate(duct.RectOf(mm(1200), mm(150)), litres(1200), mm(0.09), standard))
	},
	"X02": func(t *testing.T) float64 { // velocity pressure of the equivalent round duct
		s := duct.RectOf(mm(600), mm(200))
		f := duct.Fitting{Kind: duct.Elbow, Own: s, Angle: 90 * degree, Radius: mm(600)}
		r := Coefficient(&f, Case{Own: litres(900)}, standard)
		return 0.25 * float64(r.Pv)
	},
	"X03": func(t *testing.T) float64 { // a coefficient on the branch put on the common leg
		f := duct.Fitting{Kind: duct.Takeoff, Common: duct.RectOf(1, 1), Own: duct.RectOf(0.25, 1), Angle: 90 * degree,
			Form: duct.Entry45}
		r := Coefficient(&f, Case{Own: 1.6, Common: 8, Diverging: true}, Air{1.204, standard.Viscosity})
		require.Equal(t, Own, r.Reference)
		return 1.80 * float64(r.Pv)
	},
	"X04": func(t *testing.T) float64 { // and the other way
		f := duct.Fitting{Kind: duct.Takeoff, Common: duct.RectOf(1, 1), Own: duct.RectOf(0.25, 1), Angle: 90 * degree}
		through := []Leg{{Size: duct.RectOf(1, 1), Flow: 6.4, Straight: true}}
		return float64(Coefficient(&f, Case{Own: 1.6, Common: 8, Diverging: true, Others: through}, standard).Loss)
	},
	"X05": func(t *testing.T) float64 { return Convert(0.25, 2, 1) },
	"X08": func(t *testing.T) float64 { // a branch that gains
		f := duct.Fitting{Kind: duct.Takeoff, Common: duct.RectOf(1, 1), Own: duct.RectOf(1, 1), Angle: 90 * degree}
		through := []Leg{{Size: duct.RectOf(1, 1), Flow: 6, Straight: true}}
		r := Coefficient(&f, Case{Own: 2, Common: 8, Others: through}, standard)
		require.Negative(t, float64(r.Loss))
		return r.C
	},
	"X09": func(t *testing.T) float64 {
		return float64(VelocityPressure(1000*duct.FootPerMinute, 0.075*duct.PoundPerCubicFoot) / duct.InchOfWater)
	},
	"X10": func(t *testing.T) float64 {
		pv := VelocityPressure(1*duct.FootPerMinute, 0.075*duct.PoundPerCubicFoot)
		return math.Sqrt(float64(duct.InchOfWater / pv))
	},
	"X11": func(t *testing.T) float64 { return float64(duct.InchOfWaterPerHundredFeet) },
	"X12": func(t *testing.T) float64 { return float64(1000 * duct.CubicFootPerMinute / duct.LitrePerSecond) },
	"X13": func(t *testing.T) float64 { return FrictionFactor(2000, 0.0009) },
	"X14": func(t *testing.T) float64 { return FrictionFactor(1e5, 0.00036) },
	"X15": func(t *testing.T) float64 { return Colebrook(1e5, 0.00036) },
	"X16": func(t *testing.T) float64 { // millimetres over metres
		s := duct.RoundOf(0.25)
		q := duct.Flow(float64(s.Area()) * 1e5 * standard.Viscosity / (1.204 * 0.25))
		return FrictionOf(s, q, mm(0.09), standard).Factor
	},
	"X17": func(t *testing.T) float64 {
		return float64(FrictionRate(duct.RoundOf(mm(250)), litres(470), FlexRoughness, standard)) * Compression(mm(250),
			0.85) * 1.8
	},
	"X18": func(t *testing.T) float64 {
		return float64(FrictionRate(duct.RoundOf(mm(250)), litres(470), FlexRoughness, standard)) * Compression(mm(250),
			0.85) * 1.8
	},
	"X19": func(t *testing.T) float64 { return Compression(mm(250), 0.85) },
	"X20": func(t *testing.T) float64 { return Expansion(0.5, 30*degree, 0.02) },
	"X22": func(t *testing.T) float64 {
		return float64(FrictionRate(duct.RoundOf(mm(400)), litres(1250), mm(0.09),
			Air{0.9859008357, standard.Viscosity}))
	},
	// the coefficient of a bend is its local loss alone: the run counts the arc once
	"X23": func(t *testing.T) float64 {
		s := duct.RoundOf(mm(250))
		f := duct.Fitting{Kind: duct.Elbow, Own: s, Angle: 90 * degree, Radius: mm(375)}
		eps := mm(0.09)
		q := duct.Flow(0)
		for v := duct.Velocity(1); v < 50; v += 0.001 { // the flow at which f is 0.019
			if q = duct.Flow(float64(v) * float64(s.Area())); FrictionOf(s, q, eps, standard).Factor <= 0.019 {
				break
			}
		}
		local := Coefficient(&f, Case{Own: q, Pliable: true, Roughness: eps}, standard).C
		arc := float64(FrictionRate(s, q, eps,
			standard)) * 1.5 * math.Pi / 2 * 0.25 / float64(VelocityPressure(s.Velocity(q), 1.204))
		require.InDelta(t, 0.2339978208, local+arc, 1e-4)
		return RennelsElbowLocal(90*degree, 1.5, 0.019) + 0.019*math.Pi/2*1.5
	},
	"X27": func(t *testing.T) float64 {
		return float64(duct.OvalOf(mm(300), mm(300)).Equivalent() / duct.Millimetre)
	},
	"X28": func(t *testing.T) float64 { return float64(duct.InchOfWater) },
}

func TestTraps(t *testing.T) {
	compare := func(t *testing.T, r checks.Row) bool {
		trap, ok := traps[r.ID()]
		if !ok {
			return false
		}
		got, right, wrong := trap(t), r.Num("right_value"), r.Num("wrong_value")
		require.InEpsilon(t, right, got, 1e-6, r.Text("setup"))
		require.Greater(t, math.Abs(got-wrong), math.Abs(right-wrong)/2, r.Text("trap"))
		return true
	}
	checks.Account(t, "checks/10_traps.csv", compare)
	for _, r := range checks.Read(t, "checks/10_traps.csv") {
		if r.ID() == "X28" { // a definition, given from memory; NIST SP 811 has the conventional inch at 4 degrees
			require.True(t, compare(t, r))
		}
	}
}
