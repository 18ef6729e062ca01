package sizing_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/sizing"
)

// A noted coefficient is that of all fittings of its run together, on its own velocity pressure, whatever the
// settings say; other runs are as they were. Source: definition, C rho V^2/2 with 1.204 kg/m3 and 0.1 m3/s in a
// round duct of 200 mm: 0.35 x 0.602 x 3.1831^2 = 2.1349 Pa.
func TestNotedCoefficient(t *testing.T) {
	side, on := to("c", 4, 90, litres(60), 0), to("b", 6, 0, litres(100), 0)
	on.spec, side.spec = round(200), round(160)
	a := line("a", 6, 0, on, side)
	a.spec = round(250)
	spec := metric()
	spec.Air.Altitude = altitudeFor(1.204)
	spec.Coefficients = map[string]float64{"through": 7, "b/reducer": 9}
	plain := solve(t, network(duct.SUP, a), spec)
	a.next[0].spec.C, a.next[0].spec.HasC = 0.35, true
	net := network(duct.SUP, a)
	des := solve(t, net, spec)
	b := run(net, "b").ID
	require.InEpsilon(t, 2.1349, float64(des.Runs[b].Fittings), 1e-4)
	require.Greater(t, float64(plain.Runs[b].Fittings), 20.0)
	require.Equal(t, plain.Runs[run(net, "c").ID].Fittings, des.Runs[run(net, "c").ID].Fittings)
	n := 0
	for i := range des.Fittings {
		if f := &des.Fittings[i]; f.Run == b {
			require.Contains(t, f.Source, "C=0.35")
			if f.C != 0 {
				n++
			}
		}
	}
	require.Equal(t, 1, n)
	text, err := sizing.Explain(net, des, spec, "r2")
	require.NoError(t, err)
	require.Contains(t, text, "source: note C=0.35 on the drawing")
}

// The loss a box adds is its own; a coefficient noted on the run behind it comes on top.
func TestNotedCoefficientBehindBox(t *testing.T) {
	tail := to("b", 6, 0, litres(100), 0)
	tail.spec = round(200)
	a := piece{key: "a", length: 5, box: true, loss: 30, mark: "TB-1", next: []piece{tail}}
	a.spec = round(200)
	spec := metric()
	spec.Air.Altitude = altitudeFor(1.204)
	spec.Coefficients = map[string]float64{"terminal": 0}
	net := network(duct.SUP, a)
	b := run(net, "b").ID
	require.InDelta(t, 30, float64(solve(t, net, spec).Runs[b].Fittings), 1e-9)
	a.next[0].spec.C, a.next[0].spec.HasC = 0.35, true
	require.InEpsilon(t, 32.1349, float64(solve(t, network(duct.SUP, a), spec).Runs[b].Fittings), 1e-5)
}

// A roughness holds for its material by whatever name it is set and noted.
func TestRoughnessByName(t *testing.T) {
	rate := func(material, key string) duct.Rate {
		p := to("a", 6, 0, litres(100), 0)
		p.spec = round(200)
		p.spec.Material = material
		spec := metric()
		if key != "" {
			spec.Roughness = map[string]duct.Length{key: 2 * duct.Millimetre}
		}
		return solve(t, network(duct.SUP, p), spec).Runs[0].Rate
	}
	rough := rate("", "")
	for _, c := range []struct{ material, key string }{
		{"", "galvanised"}, {"", "galvanized"}, {"galvanised", ""}, {"galv", "galvanised"}, {"masonry", "brick"},
		{"brick", "masonry"}, {"tile", "tile"},
	} {
		got := rate(c.material, c.key)
		if c.key == "" {
			require.Equal(t, rough, got)
			continue
		}
		require.Equal(t, rate("", "galvanised"), got, "%+v", c)
		require.Greater(t, got, rough)
	}
	require.Equal(t, rate("plastic", ""), rate("plastic", "galvanised"), "another material keeps its own")
}

// Source: definition; pressures at the unit are those of its node.
func TestExplainUnit(t *testing.T) {
	net := network(duct.SUP, to("a", 6, 0, litres(100), 20))
	net.Units[0].HasAvailable, net.Units[0].Available = true, 100
	des := solve(t, net, metric())
	text, err := sizing.Explain(net, des, metric(), "u-1")
	require.NoError(t, err)
	p := des.Nodes[net.Systems[0].Head]
	require.Contains(t, text,
		fmt.Sprintf("outlet: total %.4f Pa = static %.4f Pa", float64(p.Total), float64(p.Static)))
	require.Contains(t, text, fmt.Sprintf("margin %.4f Pa", 100-float64(des.Systems[0].Required)))
	_, err = sizing.Explain(net, des, metric(), "U-9")
	require.ErrorContains(t, err, "a unit by its mark")
}
