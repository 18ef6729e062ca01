package air

import (
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/sizing/internal/checks"
)

func TestAirAgainstOutside(t *testing.T) {
	checks.Account(t, "checks/01_air.csv", func(t *testing.T, r checks.Row) bool {
		z, temp := duct.Length(r.Num("altitude_m")), r.Num("t_C")
		r.Check(t, "pressure", r.Num("p_Pa"), float64(Pressure(z)))
		if !r.Has("rho_kgm3") {
			return r.Text("case") == "pressure_from_altitude"
		}
		rh := r.Num("rh_frac")
		r.Check(t, "saturation", r.Num("psat_Pa"), float64(Saturation(temp)))
		r.Check(t, "humidity ratio", r.Num("W_kgkg"), HumidityRatio(temp, rh, Pressure(z)))
		r.Check(t, "density", r.Num("rho_kgm3"), float64(Density(temp, z, rh)))
		return true
	})
}

func TestViscosityAgainstOutside(t *testing.T) {
	checks.Account(t, "checks/01b_viscosity.csv", func(t *testing.T, r checks.Row) bool {
		r.Check(t, "viscosity", r.Num("mu_Pas"), Viscosity(r.Num("t_C")))
		return true
	})
}

func TestStackEffectAgainstOutside(t *testing.T) {
	checks.Account(t, "checks/01c_stack_effect.csv", func(t *testing.T, r checks.Row) bool {
		got := StackEffect(duct.Density(r.Num("rho_ambient_kgm3")), duct.Density(r.Num("rho_duct_kgm3")),
			duct.Length(r.Num("dz_m")))
		r.Check(t, "stack effect", r.Num("dp_se_Pa"), float64(got))
		return true
	})
}

// The density of standard air is a handbook's round figure, not the formula's (ASHRAE
// Handbook Fundamentals, SI, ch. 21); anything else follows the formula.
func TestStandardAirIsRound(t *testing.T) {
	require.Equal(t, duct.Density(1.204), Of(20, 0, 0).Density)
	require.Equal(t, Density(20, 0, 0.5), Of(20, 0, 0.5).Density)
	require.Equal(t, Density(20, 1, 0), Of(20, 1, 0).Density)
	require.InEpsilon(t, 1.204, float64(Density(20, 0, 0)), 2e-4)
}

// Whatever it is asked, air stays a number above zero.
func TestAirOfAnything(t *testing.T) {
	nan := 0.0
	nan /= nan
	for _, v := range []float64{-1e300, -300, -100, 0, 99.97, 200, 1e300, nan} {
		for _, z := range []duct.Length{-1e9, 0, 3000, 1e300, duct.Length(nan)} {
			for _, rh := range []float64{-1, 0, 1, 1e9, nan} {
				s := Of(v, z, rh)
				require.Greater(t, float64(s.Density), 0.0, "%g %g %g", v, z, rh)
				require.Greater(t, s.Viscosity, 0.0)
			}
		}
	}
}
