package sizing_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/sizing"
)

// A density that is given is that of the air, whatever temperature and altitude would make of it.
// Source: definition, 0.5 rho V^2; 0.978 kg/m3 of example 8 in ASHRAE Handbook Fundamentals (2021), ch. 21.
func TestGivenDensity(t *testing.T) {
	spec := metric()
	spec.Air.Density, spec.Air.Altitude = 0.978, 3000
	a := to("a", 5, 0, litres(1520), 0)
	a.spec = round(375)
	net := network(duct.SUP, a)
	des := solve(t, net, spec)
	require.InDelta(t, 0.978, float64(des.Density), 1e-12)
	p := des.Nodes[net.Systems[0].Head]
	require.InEpsilon(t, 92.61710491, float64(p.Velocity), 1e-6) // row E8F2 of nine_sections.csv
	text, err := sizing.Explain(net, des, spec, "r1")
	require.NoError(t, err)
	require.Contains(t, text, "rho = 0.978 kg/m3: given")
}

// Many tables have the coefficient of a branch on the velocity pressure of the common leg. Source: C2 = C1 (V1/V2)^2,
// ASHRAE Handbook Fundamentals (2021), ch. 21, eq. 31; by hand 0.4 m3/s in 315 mm are 5.1327 m/s, 15.8597 Pa; 0.35 of
// it is 5.5509 Pa.
func TestCoefficientOnCommon(t *testing.T) {
	for _, air := range []duct.Air{duct.SUP, duct.ETA} {
		for _, key := range []string{"takeoff on common", "c/takeoff on common", "n-a/takeoff on common"} {
			side, on := to("c", 5, 90, litres(100), 0), to("b", 5, 0, litres(300), 0)
			side.spec, on.spec = round(160), round(315)
			a := line("a", 5, 0, on, side)
			a.spec = round(315)
			spec := metric()
			spec.Air.Density = 1.204
			spec.Coefficients = map[string]float64{key: 0.35}
			net := network(air, a)
			des := solve(t, net, spec)
			f := fittingOf(t, des, duct.Takeoff)
			require.Equal(t, run(net, "c").ID, f.Run)
			require.InDelta(t, 5.5509, float64(f.Loss), 1e-3)
			require.Contains(t, f.Source, key)
			own := math.Pow(0.4/(0.315*0.315), 2) / math.Pow(0.1/(0.16*0.16), 2)
			require.InEpsilon(t, 0.35*own, f.C, 1e-9)
			// One on the own velocity pressure, by the same name, goes before it.
			spec.Coefficients["takeoff"] = 9
			spec.Coefficients[key[:len(key)-len(sizing.OnCommon)]] = 2
			des = solve(t, net, spec)
			require.InDelta(t, 2, fittingOf(t, des, duct.Takeoff).C, 1e-12)
		}
	}
}

// The wall of every material known by name, and of one of the office's own, is that of its table. Friction is worked
// out here.
// Source: Darcy-Weisbach with Colebrook, iterated; roughness of rows RO05, RO02, RO17, RO13, RO09 and RH05 of
// checks/02b_roughness.csv.
func TestEveryMaterialByNote(t *testing.T) {
	want := map[string]float64{"": 0.09, "galvanised": 0.09, "Spiral": 0.09, "plastic": 0.046, "PVC": 0.046,
		"concrete": 3, "corrugated": 0.9,
		"phenolic": 0.391, "plaster": 0.5, "terracotta": 0.6}
	for name, eps := range want {
		p := to("a", 5, 0, litres(350), 0)
		p.spec = round(315)
		p.spec.Material = name
		spec := metric()
		spec.Air.Density = 1.204
		spec.Roughness = map[string]duct.Length{"terracotta": 0.6 * duct.Millimetre}
		des := solve(t, network(duct.SUP, p), spec)
		v := 0.35 / (math.Pi / 4 * 0.315 * 0.315)
		g, re := 8.0, 1.204*v*0.315/1.813405882e-5
		for range 60 {
			g = -2 * math.Log10(eps/315/3.7+2.51*g/re)
		}
		require.InEpsilon(t, 1/(g*g)/0.315*0.602*v*v, float64(des.Runs[0].Rate), 1e-6, name)
	}
}
