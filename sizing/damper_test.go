package sizing_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/sizing"
)

// A volume damper after a branch costs what its open blade costs, on the velocity pressure of the branch: by hand 60
// l/s in 160 mm are 2.9842 m/s and, with 1.204 kg/m3, 5.3609 Pa; 0.05 of it is 0.26805 Pa. It is part of the junction's
// loss, whatever leg that is on.
// Source: Weisbach's table in Idelchik, ch. 9, from memory: 0.05 for an open blade.
func TestOpenDamper(t *testing.T) {
	const open, pv = 0.05, 5.3609
	for _, air := range []duct.Air{duct.SUP, duct.ETA} {
		for name, turns := range map[string][2]float64{"takeoff": {0, 90}, "bullhead": {90, -90}, "wye": {45, -45}} {
			t.Run(name+" "+air.String(), func(t *testing.T) {
				solve := func(set func(*sizing.Spec, *piece)) (*duct.Network, *duct.Design) {
					side, on := to("c", 4, turns[1], litres(60), 0), to("b", 6, turns[0], litres(100), 0)
					on.spec, side.spec = round(200), round(160)
					spec := metric()
					spec.Air.Altitude = altitudeFor(1.204)
					spec.Fittings.BranchDampers = true
					set(&spec, &side)
					a := line("a", 6, 0, on, side)
					a.spec = round(250)
					net := network(air, a)
					des, _ := sizing.Solve(net, spec)
					return net, des
				}
				loss := func(set func(*sizing.Spec, *piece)) (float64, duct.Fitting) {
					net, des := solve(set)
					c := run(net, "c").ID
					var leg duct.Fitting
					for _, f := range des.Fittings {
						if f.Run == c && f.Kind.String() == name {
							leg = f
						}
					}
					return float64(des.Runs[c].Fittings), leg
				}
				without, leg := loss(func(s *sizing.Spec, _ *piece) { s.Fittings.BranchDampers = false })
				require.Zero(t, leg.DamperC)
				require.NotContains(t, leg.Source, "damper")
				with, leg := loss(func(*sizing.Spec, *piece) {})
				require.InDelta(t, open*pv, with-without, 1e-4)
				require.InDelta(t, open, leg.DamperC, 1e-12)
				require.Contains(t, leg.Source, "Weisbach")
				require.Contains(t, leg.Source, "from memory")
				require.InDelta(t, float64(leg.Loss), leg.C*float64(leg.Pv), 1e-9)
				// An office's own, alone and with one for the junction, which does not hold the damper; none.
				own, leg := loss(func(s *sizing.Spec, _ *piece) { s.Coefficients = map[string]float64{"damper": 0.2} })
				require.InDelta(t, 0.2*pv, own-without, 1e-4)
				require.Contains(t, leg.Source, "open damper: the office's own, sizing.coefficients")
				own, leg = loss(func(s *sizing.Spec,
					_ *piece) {
					s.Coefficients = map[string]float64{name: 1.5, "c/damper": 0.2}
				})
				require.InDelta(t, 1.7, leg.C, 1e-12)
				require.Contains(t, leg.Source, `"c/damper"`)
				none, _ := loss(func(s *sizing.Spec, _ *piece) { s.Coefficients = map[string]float64{"damper": 0} })
				require.InDelta(t, without, none, 1e-9)
				require.Greater(t, own, 0.0)
				// A note is about all fittings of its run together.
				noted, leg := loss(func(_ *sizing.Spec, p *piece) { p.spec.C, p.spec.HasC = 0.35, true })
				require.InDelta(t, 0.35*pv, noted, 1e-4)
				require.Zero(t, leg.DamperC)
			})
		}
	}
}

// What goes straight on has no damper.
func TestNoDamperStraightOn(t *testing.T) {
	spec := metric()
	spec.Fittings.BranchDampers = true
	des, _ := sizing.Solve(network(duct.SUP,
		line("a", 6, 0, to("b", 6, 0, litres(100), 0), to("c", 6, 90, litres(100), 0))), spec)
	dampers := 0
	for _, f := range des.Fittings {
		if f.Kind == duct.Through {
			require.Zero(t, f.DamperC)
		}
		if f.DamperC > 0 {
			dampers++
		}
	}
	require.Equal(t, 1, dampers)
}

// The explanation of a branch has its open damper beside it: 0.05 on the 5.3609 Pa above are 0.2680 Pa.
func TestOpenDamperIsExplained(t *testing.T) {
	side := to("c", 4, 90, litres(60), 0)
	side.spec = round(160)
	spec := metric()
	spec.Air.Altitude, spec.Fittings.BranchDampers = altitudeFor(1.204), true
	net := network(duct.SUP, line("a", 6, 0, to("b", 6, 0, litres(100), 0), side))
	text, err := sizing.Explain(net, solve(t, net, spec), spec, runCalled(net, "c"))
	require.NoError(t, err)
	require.Regexp(t, `of it the open damper: C = 0\.05 on pv 5\.360\d+ Pa \(own\) = 0\.2680 Pa`, text)
	require.Contains(t, text, "source of that: Weisbach's table")
}

// The flow of a run is that of its terminal, of the run it leads to, or the sum of those.
func TestWhereAFlowComesFromIsExplained(t *testing.T) {
	net := network(duct.SUP, line("a", 6, 0, line("d", 2, 90, to("b", 6, 0, litres(100), 0),
		to("c", 4, 90, litres(60), 0))))
	des := solve(t, net, metric())
	for key, want := range map[string]string{
		"a": "Q = 0.16 m3/s, the same as " + runCalled(net, "d") + " 0.16",
		"d": "Q = 0.16 m3/s, the sum of " + runCalled(net, "b") + " 0.1 + " + runCalled(net, "c") + " 0.06",
		"b": "Q = 0.1 m3/s, the airflow of terminal b",
	} {
		text, err := sizing.Explain(net, des, metric(), runCalled(net, key))
		require.NoError(t, err)
		require.Contains(t, text, want)
	}
}
