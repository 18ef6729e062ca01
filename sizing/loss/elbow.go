package loss

import (
	"math"

	"twinline/layout/duct"
)

// Smooth bends, Idelchik, Handbook of Hydraulic Resistance, diagram 6-1: C = kRe A1 B1 C1.
// A1, B1, C1 and the kRe of easy bends were read in public copies of the diagram; the
// diagram itself was not seen. The kRe of tight bends is from memory, but for 1.19 at Re 1e5
// with r/D 0.6, which was read.
var (
	elbowA1 = table{{0, 0}, {20, 0.31}, {30, 0.45}, {45, 0.60}, {60, 0.78}, {75, 0.90}, {90, 1},
		{110, 1.13}, {130, 1.20}, {150, 1.28}, {180, 1.40}}
	elbowB1 = table{{0.5, 1.18}, {0.6, 0.77}, {0.7, 0.51}, {0.8, 0.37}, {0.9, 0.28}, {1, 0.21}, {1.25, 0.19},
		{1.5, 0.17}, {2, 0.15}, {4, 0.11}, {6, 0.09}, {8, 0.07}, {10, 0.07}, {20, 0.05}, {30, 0.04}, {40, 0.03}}
	elbowC1 = table{{0.25, 1.30}, {0.5, 1.17}, {0.75, 1.09}, {1, 1}, {1.5, 0.90}, {2, 0.85}, {3, 0.85}, {4, 0.90},
		{5, 0.95}, {6, 0.98}, {7, 1}, {8, 1}}
	elbowReEasy = table{{1e4, 2}, {1.4e4, 1.89}, {2e4, 1.77}, {3e4, 1.64}, {4e4, 1.56}, {6e4, 1.46}, {8e4, 1.38},
		{1e5, 1.30}, {1.4e5, 1.15}, {2e5, 1.02}, {3e5, 1}, {4e5, 1}}
	elbowReTight = table{{1e4, 1.67}, {1.4e4, 1.58}, {2e4, 1.49}, {3e4, 1.40}, {4e4, 1.34}, {6e4, 1.26}, {8e4, 1.21},
		{1e5, 1.19}, {1.4e5, 1.17}, {2e5, 1.14}, {3e5, 1.09}, {4e5, 1.06}, {6e5, 1.04}, {1e6, 1}}
	elbowReTightest = table{{1e4, 1.40}, {1.4e4, 1.33}, {2e4, 1.26}, {3e4, 1.19}, {4e4, 1.14}, {6e4, 1.09}, {8e4, 1.06},
		{1e5, 1.04}, {1.4e5, 1}}
)

// The ratios r/D at which the column of the Reynolds factor changes.
const (
	elbowTightest = 0.55
	elbowTight    = 0.70
)

// The ranges of the diagram.
var (
	elbowAngles = Range{0, math.Pi}
	elbowRadii  = elbowB1.domain()
	elbowSides  = elbowC1.domain()
	elbowRe     = Range{1e4, math.Inf(1)}
)

// ElbowReynolds returns the factor kRe by which a smooth bend of centreline radius over diameter
// ratio costs more at a Reynolds number below that of its table.
//
// Source: Idelchik, diagram 6-1. The columns for ratio up to 0.70 are from memory.
// Valid: Re from 1e4; below, that of 1e4.
func ElbowReynolds(re, ratio float64) float64 {
	switch {
	case ratio <= elbowTightest:
		return elbowReTightest.at(re)
	case ratio <= elbowTight:
		return elbowReTight.at(re)
	}
	return elbowReEasy.at(re)
}

// SmoothElbow returns C of a smooth bend on its own velocity pressure: angle it turns, ratio of
// the centreline radius to the diameter (a rectangle: to its side in the plane of the bend),
// sides the other side over that one (1 when round). The wall friction of the arc is not in it.
//
// Source: C = A1(angle) B1(r/D) C1(H/W), Idelchik, Handbook of Hydraulic Resistance (1966 translation
// AEC-tr-6630 and later editions), diagram 6-1.
// Valid: angle to 180 degrees, r/D 0.5 to 40, H/W 0.25 to 8, Re above 3e5 or times ElbowReynolds.
func SmoothElbow(angle, ratio, sides float64) float64 {
	return elbowA1.at(angle/degree) * elbowB1.at(ratio) * elbowC1.at(sides)
}

// RennelsElbowLocal returns C of a smooth round bend without the wall friction of its arc, f a r/D, which is counted
// with the length of the run: (0.10 + 2.4 f) sin(a/2) + 6.6 f (sqrt(sin(a/2)) + sin(a/2))/(r/D)^(4a/pi), f the
// friction factor.
//
// Source: Rennels & Hudson, Pipe Flow (2012), ch. 15, less its first term.
// Valid: round, turbulent, angle to 180 degrees.
func RennelsElbowLocal(angle, ratio, f float64) float64 {
	s := math.Sin(angle / 2)
	return (0.10+2.4*f)*s + 6.6*f*(math.Sqrt(s)+s)/math.Pow(ratio, 4*angle/math.Pi)
}

// The range of IdelchikMitre, and the sides of a rectangular mitre from memory.
var (
	mitreAngles = Range{0, math.Pi}
	mitreC1     = table{{0.25, 1.10}, {0.5, 1.07}, {0.75, 1.04}, {1, 1}, {1.5, 0.95}, {2, 0.90}, {3, 0.83}, {4, 0.78},
		{5, 0.75}, {6, 0.72}, {7, 0.71}, {8, 0.70}}
	mitreSides = mitreC1.domain()
	mitreRe    = Range{4e4, math.Inf(1)}
)

// IdelchikMitre returns C of a mitred bend without vanes, round or square:
// (0.95 + 33.5/a)(0.95 sin^2(a/2) + 2.05 sin^4(a/2)), a in degrees.
//
// Source: Idelchik, Handbook of Hydraulic Resistance, diagram 6-5, as copied in Modelica libraries.
// Valid: angle to 180 degrees, Re above 4e4.
func IdelchikMitre(angle float64) float64 {
	if angle <= 0 {
		return 0
	}
	s2 := math.Sin(angle/2) * math.Sin(angle/2)
	return (0.95 + 33.5/(angle/degree)) * (0.95*s2 + 2.05*s2*s2)
}

// MitreSides returns the factor for a rectangular mitre whose side across the plane of the bend is
// sides times the one in it.
//
// Source: Idelchik, diagram 6-5, from memory, not seen; a default to be overridden.
// Valid: 0.25 to 8.
func MitreSides(sides float64) float64 { return mitreC1.at(sides) }

// vanedRightAngle is C of a mitre of 90 degrees with turning vanes.
const vanedRightAngle = 0.2

// VanedMitre returns C of a mitred rectangular bend with turning vanes: 0.2 at 90 degrees. Tables
// by make of vane run from 0.11 to 0.43, so an office with such a table should set its own value.
// Other angles are scaled by the angle factor of smooth bends, our own assumption.
//
// Source: 0.2, public course table for mitres with turning vanes; angle factor, Idelchik diagram 6-1.
// Valid: angle to 180 degrees.
func VanedMitre(angle float64) float64 { return vanedRightAngle * elbowA1.at(angle/degree) }

// Round elbows by make: C of 90 degrees by r/D. Read in the source of MadeElbow: 0.34 for three gores and 0.11 when
// stamped, both at r/D 1.5, and 0.11 for seven gores at 2.5. The rest of the gored columns is from memory, not seen.
var elbowMakes = map[duct.ElbowMake]table{
	duct.Stamped: {{1.5, 0.11}},
	duct.Gored3:  {{0.5, 0.98}, {0.75, 0.54}, {1, 0.42}, {1.5, 0.34}, {2, 0.33}},
	duct.Gored4:  {{0.75, 0.50}, {1, 0.37}, {1.5, 0.27}, {2, 0.24}},
	duct.Gored5:  {{0.75, 0.46}, {1, 0.33}, {1.5, 0.24}, {2, 0.19}},
	duct.Gored7:  {{2.5, 0.11}},
}

// madeAngle is what an elbow of less than 90 degrees costs of one of 90: read at 60 degrees for three gores with r/D
// 1.5, 0.19 to 0.34, and taken for all makes, linear between, which is our own.
var madeAngle = table{{0, 0}, {60, 0.19 / 0.34}, {90, 1}}

// MadeElbow returns C of a round elbow of that make on its own velocity pressure: the angle it turns, the centreline
// radius over the diameter. ok is false for a make that has no table, which is SmoothElbow's. The wall friction of the
// arc is not in it, as the run counts it.
//
// Source: ASHRAE Handbook Fundamentals (2021), ch. 21, examples 8 and 9, for 3 gores, 7 gores and stamped ones; the
// other radii and the 4 and 5 gores from memory of older handbook tables, a default to be overridden.
// Valid: to 90 degrees; r/D of the table: 3 gores 0.5 to 2, 4 and 5 gores 0.75 to 2, 7 gores 2.5, stamped 1.5.
func MadeElbow(m duct.ElbowMake, angle, ratio float64) (c float64, ok bool) {
	t, ok := elbowMakes[m]
	if !ok {
		return 0, false
	}
	return madeAngle.at(angle/degree) * t.at(ratio), true
}
