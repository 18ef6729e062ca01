package loss

import (
	"math"

	"twinline/layout/duct"
)

// FlexRoughness is the wall roughness the friction of flexible duct is worked out with, fully
// extended; Compression then counts for the folds.
const FlexRoughness duct.Length = 0.9 * duct.Millimetre

// Compression returns the factor by which the friction of flexible duct of diameter d grows when
// it is installed at extended times its fully extended length (0 to 1): 1 + 0.58 Kc exp(-0.00496 D)
// with D in mm and Kc the percentage it lacks. The factor is on the friction of the installed
// length at FlexRoughness.
//
// Source: Abushakra, Walker & Sherman (2004) and Culp (2011), ASHRAE Handbook Fundamentals, ch. 21, eq. 22-23.
// Valid: tested from 150 to 250 mm and to 30 % (a later report: 45 %). Other diameters are
// extrapolated by the same formula; extended outside 0 to 1 is taken at the bound.
func Compression(d duct.Length, extended float64) float64 {
	kc := 100 * (1 - clamp(extended, 0, 1))
	return 1 + 0.58*kc*math.Exp(-0.00496*float64(d/duct.Millimetre))
}
