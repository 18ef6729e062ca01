package loss

import (
	"math"

	"twinline/layout/duct"
)

// sharpEntry is C of a square-edged entry flush with the wall of a box.
const sharpEntry = 0.5

// RoundedEntry returns C of an entry from a box or room with its edge rounded to ratio r/D, on the
// duct's velocity pressure; ratio 0 is the sharp edge, 0.57.
//
// Source: Rennels & Hudson, Pipe Flow (2012), ch. 9.
// Valid: ratio 0 to 1; 0.03 above.
func RoundedEntry(ratio float64) float64 {
	if ratio > 1 {
		return 0.03
	}
	ratio = math.Max(0, ratio)
	k := 1 - 0.30*math.Sqrt(ratio) - 0.70*ratio
	l := 1 + 0.622*k*k*k*k
	return 0.0696*(1-0.569*ratio)*l*l + (l-1)*(l-1)
}

// SharpEntry returns C of a square-edged entry flush with the wall, on the duct's velocity pressure: 0.5.
//
// Source: ASHRAE Handbook Fundamentals, ch. 3; Rennels & Hudson have 0.57.
// Valid: turbulent, any shape.
func SharpEntry() float64 { return sharpEntry }

// BellmouthEntry returns C of a well rounded entry on the duct's velocity pressure: 0.05.
//
// Source: ASHRAE Handbook Fundamentals, ch. 3.
// Valid: radius of the edge from about 0.2 D.
func BellmouthEntry() float64 { return 0.05 }

// ProjectingEntry returns C of a sharp entry that stands out into the room, by its wall thickness
// over D, on the duct's velocity pressure: 1.12 - 22 t + 216 t^2 + 80 t^3.
//
// Source: Rennels & Hudson, Pipe Flow (2012), ch. 9.
// Valid: standing out by D/2 or more; t 0 to 0.05.
func ProjectingEntry(t float64) float64 {
	t = clamp(t, 0, 0.05)
	return 1.12 - 22*t + 216*t*t + 80*t*t*t
}

// BevelledEntry returns C of an entry with a bevel of length l (over D) and angle a against the axis,
// on the duct's velocity pressure.
//
// Source: Rennels & Hudson, Pipe Flow (2012), ch. 9.
// Valid: angle 0 to 90 degrees, l to 1.
func BevelledEntry(l, angle float64) float64 {
	t := clamp(angle/(90*degree), 0, 1)
	cb := (1 - t) * math.Pow(t, 1/(1+l))
	m := 1 + 0.622*(1-1.5*cb*math.Pow(l, (1-math.Pow(l, 0.25))/2))
	return 0.0696*(1-cb*l)*m*m + (m-1)*(m-1)
}

// AngledEntry returns C of a sharp flush entry whose duct leaves the wall at an angle (90 degrees is
// square to it), on the duct's velocity pressure: 0.57 + 0.30 cos a + 0.20 cos^2 a.
//
// Source: Rennels & Hudson, Pipe Flow (2012), ch. 9.
// Valid: 20 to 90 degrees.
func AngledEntry(angle float64) float64 {
	c := math.Cos(clamp(angle, 20*degree, 90*degree))
	return 0.57 + 0.30*c + 0.20*c*c
}

// AbruptExit returns C of an exit into a room or box on the duct's velocity pressure: all of it, 1.
//
// Source: Borda-Carnot with an area ratio of 0.
// Valid: turbulent; the uneven profile is left out.
func AbruptExit() float64 { return 1 }

// DiffuserExit returns C of a conical diffuser that ends in a room, on the velocity pressure of its
// small end: the loss in the diffuser and the velocity pressure that leaves it, n^2.
//
// Source: Expansion (Rennels & Hudson) and Borda-Carnot.
// Valid: as Expansion.
func DiffuserExit(n, angle, f float64) float64 { return Expansion(n, angle, f) + n*n }

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

// FanEffectiveLength returns the length of straight duct of outlet area a after a fan in which its uneven
// outflow of mean velocity v evens out: V sqrt(A)/4500 above 13 m/s, else sqrt(A)/350, with A in mm2.
//
// Source: ASHRAE Handbook Fundamentals, ch. 21, fan outlets. The root of the area was lost in the
// text read; the units demand it.
// Valid: centrifugal and axial fans.
func FanEffectiveLength(a duct.Area, v duct.Velocity) duct.Length {
	side := math.Sqrt(float64(a)) / float64(duct.Millimetre)
	if v > 13 {
		return duct.Length(float64(v) * side / 4500)
	}
	return duct.Length(side / 350)
}
