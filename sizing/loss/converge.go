package loss

import "math"

// Converging junctions, air from the straight leg and the branch into the common leg. A leg
// whose air is drawn along by the other gains energy: negative coefficients are physical.

// convergingA is the factor A of ConvergingBranch.
func convergingA(ab, q float64) float64 {
	switch {
	case ab <= 0.35:
		return 1
	case q <= 0.4:
		return 0.9 * (1 - q)
	}
	return 0.55
}

// ConvergingBranch returns C of the branch of a join on the common velocity pressure: A (1 + x^2 - 2 (1-q)^2 - 2 q^2
// cos a Ac/Ab); ab is Ab/Ac, q is Qb/Qc.
//
// Source: Idelchik, Handbook of Hydraulic Resistance (2006), eq. 7-1 and table 7-1, as copied in the FluidDissipation
// library.
// Valid: As = Ac, angle 30 to 90 degrees.
func ConvergingBranch(ab, q, angle float64) float64 {
	x := q / ab
	return convergingA(ab, q) * (1 + x*x - 2*(1-q)*(1-q) - 2*q*q*math.Cos(angle)/ab)
}

// convergingF is twice the cosine of the angle as Crane rounds it, by degrees.
var convergingF = table{{30, 1.74}, {45, 1.41}, {60, 1}, {90, 0}}

// ConvergingStraight returns C of the straight leg of a join on the common velocity pressure:
// 1 - (1-q)^2 - F q^2 Ac/Ab with F 1.74, 1.41, 1.0 at 30, 45, 60 degrees, and 1.55 q - q^2 at 90. Between
// 60 and 90 degrees it is interpolated, our own choice.
//
// Source: Idelchik, Handbook of Hydraulic Resistance (1966), in the form of Crane TP-410 (2009), ch. 2.
// Valid: As = Ac, angle 30 to 90 degrees.
func ConvergingStraight(ab, q, angle float64) float64 {
	slanted := 1 - (1-q)*(1-q) - convergingF.at(math.Min(angle/degree, 60))*q*q/ab
	t := squareShare(angle)
	return (1-t)*slanted + t*(1.55*q-q*q)
}

// squareShare returns how far an angle lies from 60 degrees (0) towards 90 (1).
func squareShare(angle float64) float64 { return clamp((angle/degree-60)/30, 0, 1) }

// JoiningBullhead returns C of a branch of a tee whose two branches meet head on and leave by the
// common leg, on the common velocity pressure: A (1 + (Ac/Ab)^2 + 3 (Ac/Ab)^2 (q^2 - q)), with A by a
// polynomial in q for branches wider than 0.35 of the common leg, else 1.
//
// Source: Idelchik, Handbook of Hydraulic Resistance (2006), diagram 7-29 with a fit of table 7-1, as copied
// in the FluidDissipation library.
// Valid: 90 degrees, two branches of equal area.
func JoiningBullhead(ab, q float64) float64 {
	r := 1 / (ab * ab)
	return bullheadA(ab, q) * (1 + r + 3*r*(q*q-q))
}

// bullheadA is the factor A of JoiningBullhead.
func bullheadA(ab, q float64) float64 {
	if ab <= 0.35 {
		return 1
	}
	return clamp(-0.6527*q*q*q+1.6970*q*q-1.4058*q+0.9166, 0.5, 1)
}

// JoiningWye returns C of one branch of a wye without a straight leg on the common velocity
// pressure, from the momentum the branches bring in: 1 + x^2 - 2 (q^2 cos a Ac/Ab + q'^2 cos a' Ac/Ab'),
// with angle what it turns and ab2, q2 and angle2 of the other branch.
//
// Source: the momentum balance behind Idelchik's eq. 7-1, written by us for two branches.
// Valid: angles to 90 degrees; 0.28 against 0.34 published for a wye of 60 degrees between its branches.
func JoiningWye(ab, q, angle, ab2, q2, angle2 float64) float64 {
	x := q / ab
	drag := q * q * math.Cos(angle) / ab
	if ab2 > 0 {
		drag += q2 * q2 * math.Cos(angle2) / ab2
	}
	return 1 + x*x - 2*drag
}
