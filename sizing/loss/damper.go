package loss

import (
	"math"

	"twinline/layout/duct"
)

// Butterfly dampers by the angle of the blade from open, in degrees; C on the duct's velocity
// pressure. All from memory, not seen: the round one is Weisbach's table as Idelchik has it, its
// values at 0 and the odd fives as quoted elsewhere (0.05 to 0.20 when open).
var (
	butterflyRound = logs(table{{0, 0.05}, {5, 0.24}, {10, 0.52}, {15, 0.90}, {20, 1.54}, {25, 2.51}, {30, 3.91},
		{40, 10.8},
		{50, 32.6}, {60, 118}, {65, 256}, {70, 751}})
	butterflyRect = logs(table{{0, 0.05}, {5, 0.28}, {10, 0.45}, {15, 0.77}, {20, 1.34}, {25, 2.16}, {30, 3.54},
		{40, 9.27},
		{50, 24.9}, {60, 77.4}, {65, 158}, {70, 368}})
	bladeAngles = Range{0, 70 * degree}
	// weisbach is the part of the round table that is Weisbach's own, every ten degrees.
	weisbach = table{{10, 0.52}, {20, 1.54}, {30, 3.91}, {40, 10.8}, {50, 32.6}, {60, 118}, {70, 751}}
)

// DamperSource names where Butterfly comes from.
const DamperSource = "Weisbach's table in Idelchik, Handbook of Hydraulic Resistance, ch. 9, from memory"

func butterfly(s duct.Shape) table {
	if s == duct.Rect {
		return butterflyRect
	}
	return butterflyRound
}

// logs returns t with the logarithms of its values.
func logs(t table) table {
	for i := range t {
		t[i].Y = math.Log(t[i].Y)
	}
	return t
}

// Butterfly returns C of a single-blade damper with its blade turned by angle from open, on the
// velocity pressure of its duct; between the entries of its table the logarithm is linear.
//
// Source: Weisbach's table in Idelchik, Handbook of Hydraulic Resistance, ch. 9, from memory; a default.
// Valid: 0 to 70 degrees; blade as wide as the duct.
func Butterfly(s duct.Shape, angle float64) float64 {
	return math.Exp(butterfly(s).at(angle / degree))
}

// BladeAngle returns how far the blade of a single-blade damper must be turned from open to have
// coefficient c, as a first setting before the measuring; ok is false where the table does not reach c.
//
// Source: the inverse of Butterfly over Weisbach's own entries, every ten degrees.
// Valid: c from 0.52 (10 degrees) to 751 (70 degrees).
func BladeAngle(c float64) (angle float64, ok bool) {
	t := weisbach
	if !(c >= t[0].Y) {
		return t[0].X * degree, false
	}
	for i := 1; i < len(t); i++ {
		if c <= t[i].Y {
			a, b := t[i-1], t[i]
			return (a.X + (b.X-a.X)*math.Log(c/a.Y)/math.Log(b.Y/a.Y)) * degree, true
		}
	}
	return t[len(t)-1].X * degree, false
}

// DamperCoefficient returns the coefficient a damper in size s with flow q needs to take dp.
//
// Source: C = dp/pv.
// Valid: flow above 0; else 0.
func DamperCoefficient(dp duct.Pressure, s duct.Size, q duct.Flow, rho duct.Density) float64 {
	pv := VelocityPressure(s.Velocity(q), rho)
	if pv == 0 {
		return 0
	}
	return float64(dp / pv)
}
