package loss

import "math"

// Diverging junctions, air from the common leg into the straight leg and the branch.
// Idelchik has two types: type 1, a branch set on a straight duct that keeps its size (As = Ac),
// and type 2, a duct that parts into two whose areas add up to its own (As + Ab = Ac).

// The ranges of the junction formulas.
var (
	junctionFlows  = Range{0, 1}
	divergeAngles  = Range{15 * degree, math.Pi / 2}
	convergeAngles = Range{30 * degree, math.Pi / 2}
)

// leastAreas is how small (As+Ab)/Ac may be. Published junctions of type 2 go somewhat below 1;
// further below, the formula still stands but says so.
const leastAreas = 0.9

// DivergingBranch1 returns C of the branch of a junction of type 1 on the common velocity pressure:
// A (1 + x^2 - 2 x cos a); ab is Ab/Ac, q is Qb/Qc.
//
// Source: Idelchik, Handbook of Hydraulic Resistance (2006), table 7-4, as copied in the FluidDissipation library.
// Valid: As = Ac, angle to 90 degrees.
func DivergingBranch1(ab, q, angle float64) float64 {
	x := q / ab
	return divergingA(ab, q) * (1 + x*x - 2*x*math.Cos(angle))
}

// divergingA is the factor A of DivergingBranch1.
func divergingA(ab, q float64) float64 {
	switch {
	case ab <= 0.35 && q <= 0.4:
		return 1.1 - 0.7*q
	case ab <= 0.35:
		return 0.85
	case q <= 0.6:
		return 1 - 0.6*q
	}
	return 0.6
}

// DivergingStraight1 returns C of the straight leg of a junction of type 1 on the common velocity
// pressure: 0.4 (1 - y)^2.
//
// Source: Idelchik, Handbook of Hydraulic Resistance (1966), type 1, all angles.
// Valid: As = Ac.
func DivergingStraight1(y float64) float64 { return 0.4 * (1 - y) * (1 - y) }

// divergingK is K'b of a branch of type 2, by angle in degrees.
var divergingK = table{{15, 0.04}, {30, 0.16}, {45, 0.36}, {60, 0.64}, {90, 1}}

// DivergingBranch2 returns C of the branch of a junction of type 2 on the common velocity pressure:
// 1 + x^2 - 2 x cos a - K'b x^2; x is Vb/Vc.
//
// Source: Idelchik, Handbook of Hydraulic Resistance (1966), type 2, as copied in the ThermofluidStream library.
// Valid: As + Ab = Ac, angle 15 to 90 degrees.
func DivergingBranch2(x, angle float64) float64 {
	return 1 + x*x - 2*x*math.Cos(angle) - divergingK.at(angle/degree)*x*x
}

// divergingStraightK is the factor k of DivergingStraight2 at 90 degrees, by As/Ac.
var divergingStraightK = table{{0.4, 1}, {0.5, 1.158}, {0.6, 1.0847}, {0.7, 1.0488}, {0.8, 1.02}, {0.9, 1}}

// DivergingStraight2 returns C of the straight leg of a junction of type 2 on the common velocity pressure: k (0.5345
// y^4 - 1.124 y^3 + 1.73 y^2) - 2.146 y + 1.0005, not below 0; as is As/Ac. k is 1 to 60 degrees and by As/Ac at 90;
// in between it is interpolated, our own choice.
//
// Source: fit of the table in Idelchik, Handbook of Hydraulic Resistance (1966), type 2, in the ThermofluidStream
// library.
// Valid: As + Ab = Ac, y to 2.
func DivergingStraight2(as, y, angle float64) float64 {
	k := straightK(as, angle)
	y = math.Min(y, straightFitEnd)
	c := k*(0.5345*y*y*y*y-1.124*y*y*y+1.73*y*y) - 2.146*y + 1.0005
	return math.Max(0, c)
}

// straightK is the factor k of DivergingStraight2.
func straightK(as, angle float64) float64 {
	return 1 + (divergingStraightK.at(as)-1)*clamp((angle-straightKFrom)/(30*degree), 0, 1)
}

// straightKFrom is the angle to which k is 1.
const straightKFrom = 60 * degree

// straightFitEnd is where the table behind DivergingStraight2 ends.
const straightFitEnd = 2

// typeShare returns how far the areas as = As/Ac and ab = Ab/Ac lie from type 2 (0) towards
// type 1 (1). Interpolating linearly between the types is our own choice; no source.
func typeShare(as, ab float64) float64 {
	if ab <= 0 {
		return 0
	}
	return clamp((as+ab-1)/ab, 0, 1)
}

// DivergingBranch returns C of the branch of a plain junction on the common velocity pressure,
// between type 2 and type 1 by the sum of the areas; as, ab and q are As/Ac, Ab/Ac and Qb/Qc.
//
// Source: DivergingBranch1 and DivergingBranch2; the interpolation is our own.
// Valid: as theirs; (As + Ab)/Ac from about 1 to 1 + Ab/Ac.
func DivergingBranch(as, ab, q, angle float64) float64 {
	t := typeShare(as, ab)
	c := 0.0
	if t < 1 {
		c += (1 - t) * DivergingBranch2(q/ab, angle)
	}
	if t > 0 {
		c += t * DivergingBranch1(ab, q, angle)
	}
	return c
}

// DivergingStraight returns C of the straight leg of a plain junction on the common velocity
// pressure, between type 2 and type 1 by the sum of the areas; q is Qb/Qc.
//
// Source: DivergingStraight1 and DivergingStraight2; the interpolation is our own.
// Valid: as theirs; (As + Ab)/Ac from about 1 to 1 + Ab/Ac.
func DivergingStraight(as, ab, q, angle float64) float64 {
	y := (1 - q) / as
	t := typeShare(as, ab)
	return (1-t)*DivergingStraight2(as, y, angle) + t*DivergingStraight1(y)
}

// Published branch coefficients of a round tee with 45 degree entry, taken for rectangular ones too, on
// the BRANCH velocity pressure, by x = Vb/Vc: the five points of example 8 and table 10 of ASHRAE Handbook
// Fundamentals (2021), ch. 21. Their Ab/Ac runs from 0.25 to 0.44, q from 0.2 to 0.5.
var entry45Branch = table{{0.8, 0.64}, {0.25 / (200. * 200 / 375 / 375), 0.58},
	{1 / 3. / (200. * 200 / 350 / 350), 0.38},
	{0.5 / (200. * 200 / 300 / 300), 0.29}, {0.5 / (200. * 200 / 325 / 325), 0.23}}

// conicalBranch is the published ratio of a conical tee to one with 45 degree entry: 0.87 to 0.64 at x 0.8.
const conicalBranch = 0.87 / 0.64

// Published coefficients of the straight leg of such tees on the STRAIGHT velocity pressure, by
// y = Vs/Vc: a line of our own through eleven published points, off by 0.016 at most. The points differ
// in Ab/Ac and As/Ac too, which the line leaves out.
var entry45Straight = table{{0.5, 0.20}, {0.6, 0.165}, {0.7, 0.15}, {0.8, 0.14}, {0.9, 0.135}, {1.16, 0.15}}

// Outside its published points the branch follows the form of Idelchik's branch formula,
// 1/x^2 - b/x + k, through the two end points; the straight leg keeps 0.2 (1 - y)^2 on the common
// leg below and its coefficient above. Both are our own.
var entry45B, entry45K = func() (b, k float64) {
	p, q := entry45Branch[0], entry45Branch[len(entry45Branch)-1]
	u, v := 1/p.X, 1/q.X
	b = (u*u - v*v - (p.Y - q.Y)) / (u - v)
	return b, p.Y - u*u + b*u
}()

// Entry45Branch returns C of the branch of a 90 degree tee with 45 degree entry on the BRANCH
// velocity pressure; x is Vb/Vc. Between the published points it is linear.
//
// Source: ASHRAE Handbook Fundamentals (2021), ch. 21, table 10 and example 8; outside them our own curve.
// Valid: x 0.8 to 1.32.
func Entry45Branch(x float64) float64 {
	if d := entry45Branch.domain(); x < d.Low || x > d.High {
		u := 1 / x
		return u*u - entry45B*u + entry45K
	}
	return entry45Branch.at(x)
}

// ConicalBranch returns C of the branch of a 90 degree conical tee on the BRANCH velocity pressure:
// that of a 45 degree entry times 0.87/0.64, the ratio published at x 0.8.
//
// Source: ASHRAE Handbook Fundamentals (2021), ch. 21, table 10; the ratio at other x is our own assumption.
// Valid: x 0.8 to 1.32.
func ConicalBranch(x float64) float64 { return conicalBranch * Entry45Branch(x) }

// EasedStraight returns C of the straight leg of a tee with 45 degree entry or a conical one, on
// the STRAIGHT velocity pressure; y is Vs/Vc.
//
// Source: ASHRAE Handbook Fundamentals (2021), ch. 21, table 10 and example 8, a line of our own through them.
// Valid: y 0.5 to 1.16, within 0.016 of the published points.
func EasedStraight(y float64) float64 {
	if y < entry45Straight[0].X {
		return 0.2 * (1 - y) * (1 - y) / (y * y)
	}
	return entry45Straight.at(y)
}

// DividingBullhead returns C of each branch of a tee whose common leg meets the cross bar, dividing,
// on the common velocity pressure: 1 + 1.5 x^2, x = Vb/Vc.
//
// Source: Idelchik, Handbook of Hydraulic Resistance (2006), diagram 7-29, as copied in the FluidDissipation library.
// Valid: 90 degrees. 1.5 is for a sharp tee; about 0.3 for a smooth one (from memory).
func DividingBullhead(x float64) float64 { return 1 + 1.5*x*x }
