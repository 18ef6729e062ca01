package loss

import (
	"math"

	"twinline/layout/duct"
)

// The ranges of the size change formulas.
var (
	transitionAngles = Range{0, math.Pi}
	transitionRatios = Range{0, 1}
)

// IncludedAngle returns the total angle between opposite walls of a cone of length l between
// circles of the areas of a and b; pi where l is 0.
//
// Source: geometry.
// Valid: always.
func IncludedAngle(a, b duct.Size, l duct.Length) float64 {
	d1 := math.Sqrt(4 * float64(a.Area()) / math.Pi)
	d2 := math.Sqrt(4 * float64(b.Area()) / math.Pi)
	return 2 * math.Atan2(math.Abs(d1-d2)/2, math.Max(0, float64(l)))
}

// Expansion returns C of a conical expansion on the velocity pressure of its small upstream
// size: n small area over large, angle the total included angle (not the half), f the friction
// factor for the part that is wall friction; f 0 leaves it out.
//
// Source: Rennels & Hudson, Pipe Flow (2012), ch. 11 (three formulas by angle and ratio).
// Valid: n 0 to 1, angle to 180 degrees, turbulent, even inflow. Wall friction to 60 degrees.
func Expansion(n, angle, f float64) float64 {
	n = transitionRatios.clamp(n)
	if n == 1 || angle <= 0 {
		return 0
	}
	deg := angle / degree
	borda := (1 - n) * (1 - n)
	// Its formulas are in the ratio of diameters; its square is n.
	small := n < 0.25
	friction := f * (1 - n*n) / (8 * math.Sin(angle/2))
	switch {
	case deg <= 20:
		return 8.30*math.Pow(math.Tan(angle/2), 1.75)*borda + friction
	case deg <= 60:
		k := 1.366*math.Sqrt(math.Sin(2*(angle-15*degree))) - 0.170
		if small {
			k -= 3.28 * (0.0625 - n*n) * math.Sqrt((deg-20)/40)
		}
		return k*borda + friction
	case small:
		return (1.205 - 3.28*(0.0625-n*n) - 12.8*n*n*n*math.Sqrt((deg-60)/120)) * borda
	}
	return (1.205 - 0.20*math.Sqrt((deg-60)/120)) * borda
}

// pyramid is by how much an expansion that opens on both pairs of sides of a rectangle costs more than a cone of the
// same angle. From memory, 1.25 to 1.50 in handbooks, not seen; the lower one is a default.
const pyramid = 1.25

// SuddenExpansion returns C of an abrupt expansion on the velocity pressure of its small upstream
// size: (1 - n)^2.
//
// Source: Borda-Carnot.
// Valid: Re above 3300, any shape.
func SuddenExpansion(n float64) float64 { return (1 - n) * (1 - n) }

// Contraction returns C of a conical contraction on the velocity pressure of its small downstream
// size: n small area over large, angle the total included angle, f the friction factor for the
// part that is wall friction; f 0 leaves it out.
//
// Source: Rennels & Hudson, Pipe Flow (2012), ch. 10.
// Valid: n 0 to 1, angle to 180 degrees (abrupt), turbulent.
func Contraction(n, angle, f float64) float64 {
	n = transitionRatios.clamp(n)
	if n == 1 || angle <= 0 {
		return 0
	}
	angle = math.Min(angle, math.Pi)
	b5 := math.Pow(n, 2.5)
	l := 1 + 0.622*math.Pow(angle/math.Pi, 0.8)*(1-0.215*n-0.785*b5)
	s := math.Sin(angle / 2)
	return f*(1-n*n)/(8*s) + 0.0696*s*(1-b5)*l*l + (l-1)*(l-1)
}

// SuddenContraction returns C of an abrupt contraction on the velocity pressure of its small
// downstream size: 0.5 (1 - n)^0.75.
//
// Source: Idelchik, Handbook of Hydraulic Resistance, diagram 4-9.
// Valid: Re above 1e4, any shape.
func SuddenContraction(n float64) float64 {
	return 0.5 * math.Pow(1-transitionRatios.clamp(n), 0.75)
}
