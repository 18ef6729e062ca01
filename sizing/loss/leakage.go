package loss

import (
	"math"

	"twinline/layout/duct"
)

// leakExponent is the exponent of the pressure in every leakage class.
const leakExponent = 0.65

// LeakFactor is the leakage of a class: cubic metres a second through a square metre of duct wall,
// over the pressure in pascals to the power of 0.65.
type LeakFactor float64

const litreFactor LeakFactor = LeakFactor(duct.LitrePerSecond)

var leakClasses = map[string]LeakFactor{
	"A": 0.027 * litreFactor, "B": 0.009 * litreFactor, "C": 0.003 * litreFactor, "D": 0.001 * litreFactor,
	"ATC 1": 0.00033 * litreFactor, "ATC 2": 0.001 * litreFactor, "ATC 3": 0.003 * litreFactor,
	"ATC 4": 0.009 * litreFactor, "ATC 5": 0.027 * litreFactor, "ATC 6": 0.0675 * litreFactor,
}

// LeakClass returns the factor of a European tightness class: A to D, or "ATC 1" to "ATC 6".
//
// Source: EN 12237, EN 1507 and EN 16798-3; the factors from memory, the exponent and the classes read.
// Valid: ok is false for another name.
func LeakClass(name string) (k LeakFactor, ok bool) {
	k, ok = leakClasses[name]
	return k, ok
}

// Leakage returns the air that leaks through wall of area a at pressure p against its surroundings:
// k p^0.65 a, whatever the sign of p.
//
// Source: EN 12237, EN 1507; exponent as in ASHRAE Handbook Fundamentals, ch. 21, eq. 36.
// Valid: pressures up to the class's limit.
func Leakage(k LeakFactor, p duct.Pressure, a duct.Area) duct.Flow {
	return duct.Flow(float64(k) * math.Pow(math.Abs(float64(p)), leakExponent) * float64(a))
}
