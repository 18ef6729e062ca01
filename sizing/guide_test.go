package sizing_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/sizing"
	"twinline/sizing/internal/checks"
	"twinline/sizing/loss"
)

// Rows of 08b_heat.csv that are round ducts of a whole number of millimetres, drawn as one run.
func TestGuideHeat(t *testing.T) {
	compared := 0
	for _, r := range checks.Read(t, "08b_heat.csv") {
		d := r.Num("perimeter") / math.Pi
		// rectangular; no duct of that perimeter; in other units
		if r.ID() == "HT4" || r.ID() == "HT6" || r.ID() == "HT7" {
			continue
		}
		compared++
		p := to("a", r.Num("L"), 0, litres(r.Num("Q_Ls_or_cfm")), 0)
		p.spec = duct.Spec{Fixed: duct.RoundOf(duct.Length(d))}
		net := network(duct.SUP, p)
		des, _ := sizing.Solve(net, metric())
		g := sizing.Guide(net, des,
			sizing.GuideSpec{Conductance: loss.Conductance(r.Num("U")), Around: r.Num("t_amb"), Inside: r.Num("t_in")})
		require.InEpsilon(t, r.Num("t_out_exact"), g.Runs[0].Out, 1e-6)
		require.InEpsilon(t, r.Num("t_out_exact"), g.Terminals[0], 1e-6)
		require.InEpsilon(t, r.Num("q_gain_W_or_Btuh"), float64(g.Systems[0].Heat), 1e-6)
	}
	require.Equal(t, 4, compared)
}

// Extract air mixes where it joins. By hand: 100 l/s at 20 degrees and 300 l/s at 20 through ducts that cool to nothing
// keep 20 degrees; heat gained is heat carried.
func TestGuideMixing(t *testing.T) {
	net := network(duct.ETA, line("a", 5, 0, to("b", 30, 0, litres(100), 0), to("c", 5, 90, litres(300), 0)))
	des, _ := sizing.Solve(net, metric())
	g := sizing.Guide(net, des, sizing.GuideSpec{Conductance: 5, Around: 0, Inside: 20})
	a, b, c := g.Runs[run(net, "a").ID], g.Runs[run(net, "b").ID], g.Runs[run(net, "c").ID]
	require.InDelta(t, (100*b.Out+300*c.Out)/400, a.In, 1e-9)
	require.Less(t, b.Out, c.Out)
	carried := 1.204 * 1006 * 0.4 * (a.Out - 20)
	require.InDelta(t, carried, float64(g.Systems[0].Heat), 1e-6)
}

func TestGuideVelocityNoiseLeakage(t *testing.T) {
	p := to("a", 10, 0, duct.Flow(8*0.1), 100) // 8 m/s in 0.1 m2
	d := math.Sqrt(0.4 / math.Pi)
	p.spec = duct.Spec{Fixed: duct.RoundOf(duct.Length(d))}
	net := network(duct.SUP, p)
	spec := metric()
	spec.Coefficients = quiet(nil)
	des, _ := sizing.Solve(net, spec)
	class, ok := loss.LeakClass("A")
	require.True(t, ok)
	g := sizing.Guide(net, des, sizing.GuideSpec{Noise: true, Place: loss.InRoom, Criterion: 35, Leak: class})
	require.InDelta(t, 42.15449935, g.Runs[0].Noise, 1e-6) // source: row NO05 of 07b_noise.csv
	// source: ASHRAE Handbook Fundamentals (2021), ch. 21, table 12
	require.Equal(t, duct.Velocity(13.2), g.Runs[0].Most)
	require.False(t, g.Runs[0].Over)
	quick := sizing.Guide(withFlow(net, 9.0/8), solve(t, withFlow(net, 9.0/8), spec),
		sizing.GuideSpec{Noise: true, Place: loss.InRoom})
	require.True(t, quick.Runs[0].Over, "9 m/s against 8.6 of the same table")
	static := 100 + float64(des.Runs[0].Friction)/2 - 1.204*8*8/2
	wall := math.Pi * d * 10
	// q = 0.027 p^0.65 l/s a square metre: class A of EN 12237, the factor from memory
	require.InEpsilon(t, 0.027e-3*math.Pow(static, 0.65)*wall, float64(g.Systems[0].Leak), 1e-9)
	require.InEpsilon(t, float64(g.Systems[0].Leak)/0.8, g.Systems[0].Share, 1e-12)
	require.Zero(t, g.Systems[0].Heat)
}
