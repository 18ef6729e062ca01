package loss

import (
	"math"

	"twinline/layout/duct"
)

// sharpEntry is C of a square-edged entry flush with the wall of a box.
const sharpEntry = 0.5

// SharpEntry returns C of a square-edged entry flush with the wall, on the duct's velocity pressure: 0.5.
//
// Source: ASHRAE Handbook Fundamentals, ch. 3; Rennels & Hudson have 0.57.
// Valid: turbulent, any shape.
func SharpEntry() float64 { return sharpEntry }

// AbruptExit returns C of an exit into a room or box on the duct's velocity pressure: all of it, 1.
//
// Source: Borda-Carnot with an area ratio of 0.
// Valid: turbulent; the uneven profile is left out.
func AbruptExit() float64 { return 1 }

// Boot returns C of the box between a duct and the neck of a terminal on the DUCT's velocity
// pressure: an abrupt expansion into the box and an abrupt contraction out of it,
// (1 - Ad/Ap)^2 + 0.5 (1 - An/Ap)^0.75 (Ad/An)^2. The turn in the box is not in it, see BootTurn.
//
// Source: Borda-Carnot and Idelchik, Handbook of Hydraulic Resistance, diagram 4-9.
// Valid: air from the duct to the neck; duct and neck no wider than the box.
func Boot(inlet, plenum, neck duct.Area) float64 {
	d, p, n := float64(inlet), float64(plenum), float64(neck)
	return SuddenExpansion(math.Min(1, d/p)) + SuddenContraction(n/p)*(d/n)*(d/n)
}

// BootReturn is Boot with the air the other way, from the neck to the duct, on the DUCT's velocity pressure.
//
// Source: as Boot.
// Valid: air from the neck to the duct; duct and neck no wider than the box.
func BootReturn(inlet, plenum, neck duct.Area) float64 {
	d, p, n := float64(inlet), float64(plenum), float64(neck)
	return SuddenExpansion(math.Min(1, n/p))*(d/n)*(d/n) + SuddenContraction(d/p)
}

// BootTurn returns what the turn of 90 degrees in a small box adds to Boot: 1 velocity pressure of the duct.
//
// Source: common practice, no source.
// Valid: boxes hardly larger than what they join.
func BootTurn() float64 { return 1 }

// Offset returns C of two equal bends one after the other on the velocity pressure of the duct, from
// C of one: their sum. What they do to each other is left out.
//
// Source: sum of the bends; Idelchik, Handbook of Hydraulic Resistance, ch. 6, treats the interaction.
// Valid: smooth bends with some straight duct between them; sharp mitres close together can cost far more.
func Offset(bend float64) float64 { return 2 * bend }
