// Package air works out the density and viscosity of the air in the ducts, and what its
// weight does in vertical runs. Temperatures are degrees Celsius, relative humidity runs
// from 0 to 1, altitudes are metres above sea level.
package air

import (
	"math"

	"twinline/layout/duct"
)

// The air of the catalogues: 20 °C, sea level, dry. The formulas below give 1.2042 for it;
// handbooks in SI units round that to 1.204, and so does State, so that sums agree with theirs.
const (
	StandardTemperature              = 20
	StandardDensity     duct.Density = 1.204
)

// Constants of the formulas.
const (
	triplePoint = 273.16  // K
	gasConstant = 287.042 // J/(kg K), dry air
	waterRatio  = 0.621945
	airRatio    = 1.607858
	gravity     = 9.81 // m/s2, as the source of StackEffect has it
)

// Ranges of the formulas.
const (
	lowestAltitude, highestAltitude       = -5000, 11000 // m
	lowestTemperature, highestTemperature = -100, 200    // °C
)

// State is what the losses depend on.
type State struct {
	Density   duct.Density
	Viscosity float64 // dynamic, Pa s
}

// Of returns the state of air of temperature t and relative humidity rh at an altitude. At 20 °C,
// sea level and no humidity it has exactly StandardDensity.
//
// Source: Density and Viscosity; standard air, ASHRAE Handbook Fundamentals (SI, 2021), ch. 21.
// Valid: as Density.
func Of(t float64, altitude duct.Length, rh float64) State {
	s := State{Density(t, altitude, rh), Viscosity(t)}
	if t == StandardTemperature && altitude == 0 && rh == 0 {
		s.Density = StandardDensity
	}
	return s
}

// Pressure returns the barometric pressure at an altitude: 101325 (1 - 2.25577e-5 Z)^5.2559 Pa.
//
// Source: ASHRAE Handbook Fundamentals (SI, 2021), ch. 1, eq. 3.
// Valid: -5000 to 11000 m; outside, the nearer end.
func Pressure(altitude duct.Length) duct.Pressure {
	z := clamp(float64(altitude), lowestAltitude, highestAltitude)
	return duct.Pressure(101325 * math.Pow(1-2.25577e-5*z, 5.2559))
}

// Saturation returns the pressure of water vapour over water, below 0.01 °C over ice.
//
// Source: Hyland & Wexler (1983), ASHRAE Handbook Fundamentals (2017), ch. 1, eq. 5 and 6.
// Valid: -100 to 200 °C; outside, the nearer end.
func Saturation(t float64) duct.Pressure {
	k := duct.Kelvin(clamp(t, lowestTemperature, highestTemperature))
	var ln float64
	if k > triplePoint {
		ln = -5.8002206e3/k + 1.3914993 - 4.8640239e-2*k + 4.1764768e-5*k*k - 1.4452093e-8*k*k*k + 6.5459673*math.Log(k)
	} else {
		ln = -5.6745359e3/k + 6.3925247 - 9.677843e-3*k + 6.2215701e-7*k*k + 2.0747825e-9*k*k*k -
			9.484024e-13*k*k*k*k + 4.1635019*math.Log(k)
	}
	return duct.Pressure(math.Exp(ln))
}

// HumidityRatio returns the mass of vapour over that of dry air at pressure p: 0.621945 pw/(p - pw),
// pw = rh ps.
//
// Source: ASHRAE Handbook Fundamentals (SI, 2021), ch. 1, eq. 20 and 22.
// Valid: rh 0 to 1; air below its boiling point (at the boiling point and above, dry air is assumed).
func HumidityRatio(t, rh float64, p duct.Pressure) float64 {
	pw := duct.Pressure(clamp(rh, 0, 1)) * Saturation(t)
	if pw >= p {
		return 0
	}
	return waterRatio * float64(pw/(p-pw))
}

// Density returns the density of moist air: p (1 + W)/(287.042 T (1 + 1.607858 W)).
//
// Source: ASHRAE Handbook Fundamentals (SI, 2021), ch. 1, eq. 11 and 26.
// Valid: -100 to 200 °C, -5000 to 11000 m, rh 0 to 1; outside, the nearer end. Duct pressure
// against the room is left out: 5 kPa are 5 %.
func Density(t float64, altitude duct.Length, rh float64) duct.Density {
	t = clamp(t, lowestTemperature, highestTemperature)
	p := Pressure(altitude)
	w := HumidityRatio(t, rh, p)
	return duct.Density(float64(p) * (1 + w) / (gasConstant * duct.Kelvin(t) * (1 + airRatio*w)))
}

// Viscosity returns the dynamic viscosity of dry air in Pa s: 1.458e-6 T^1.5/(T + 110.4), T in K.
//
// Source: Sutherland's formula in the US Standard Atmosphere 1976, eq. 51.
// Valid: -100 to 200 °C; outside, the nearer end. Humidity changes it by less than 1 % below 30 °C.
func Viscosity(t float64) float64 {
	k := duct.Kelvin(clamp(t, lowestTemperature, highestTemperature))
	return 1.458e-6 * k * math.Sqrt(k) / (k + 110.4)
}

// StackEffect returns the pressure that air of density inside gains as it rises (falls, if negative)
// in surroundings of density ambient: 9.81 (ambient - inside) rise. The fan needs that much less.
//
// Source: ASHRAE Handbook Fundamentals (SI, 2021), ch. 21, eq. 8, thermal gravity effect.
// Valid: even densities over the height.
func StackEffect(ambient, inside duct.Density, rise duct.Length) duct.Pressure {
	return duct.Pressure(gravity * float64(ambient-inside) * float64(rise))
}

// clamp brings v into low..high; a v that is no number becomes low.
func clamp(v, low, high float64) float64 {
	if !(v > low) {
		return low
	}
	return math.Min(v, high)
}
