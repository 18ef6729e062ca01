package loss

import (
	"math"

	"twinline/layout/duct"
)

// legs are the proportions of a junction as its formulas want them.
type legs struct {
	ab, as, q float64 // areas and branch flow over those of the common leg
	angle     float64 // of the branch
	form      duct.TakeoffForm
}

// easedFrom is from what angle a 45 degree entry or a cone matters; a branch that leaves at less is a
// lateral already.
const easedFrom = 67.5 * degree

// proportions works out the legs of the junction f is a leg of. branch says that f is its branch;
// else it is the straight leg and all other legs together are the branch. ok is false where there is
// nothing to divide.
func (k *calc) proportions(branch bool) (l legs, ok bool) {
	ac := float64(k.f.Common.Area())
	if k.f.Common.IsZero() || !(k.c.Common > 0) {
		k.Formula = "C = 0: no flow in the common leg"
		return l, false
	}
	own := float64(k.f.Own.Area()) / ac
	q := k.within("Q of the leg over Qc", float64(k.c.Own/k.c.Common), junctionFlows.Low, junctionFlows.High)
	if branch {
		l.ab, l.q, l.angle, l.form = own, q, k.f.Angle, k.f.Form
		for _, o := range k.c.Others {
			if o.Straight {
				l.as += float64(o.Size.Area()) / ac
			}
		}
	} else {
		l.as, l.q = own, 1-q
		most := duct.Flow(-1)
		for _, o := range k.c.Others {
			l.ab += float64(o.Size.Area()) / ac
			if o.Flow > most {
				most, l.angle, l.form = o.Flow, o.Angle, o.Form
			}
		}
	}
	k.term("Qb/Qc", l.q)
	k.term("Ab/Ac", l.ab)
	k.term("As/Ac", l.as)
	return l, true
}

// angleIn brings the branch's angle into the range of the formulas.
func (k *calc) angleIn(l *legs, r Range) {
	deg := k.within("branch angle", l.angle/degree, r.Low/degree, r.High/degree)
	k.term("angle", deg)
	l.angle = deg * degree
}

// narrow notes a branch wider than the common leg, which no source has.
func (k *calc) narrow(l legs) { k.beyond("Ab/Ac", l.ab, 0, 1) }

// The formulas of eased junctions in words.
const (
	entry45Formula = "C 0.64, 0.58, 0.38, 0.29, 0.23 at x = Vb/Vc 0.8, 0.879, 1.021, 1.125, 1.320, linear between; " +
		"elsewhere 1/x^2 - 1.175/x + 0.546"
	conicalFormula = "0.87/0.64 times that of a 45 degree entry: " + entry45Formula
	easedFormula   = "C = y^2 Cs, Cs 0.20, 0.165, 0.15, 0.14, 0.135, 0.15 at y = Vs/Vc 0.5, 0.6, 0.7, 0.8, 0.9, 1.16, " +
		"linear between; below 0.2 (1 - y)^2/y^2"
)

func (k *calc) takeoff() {
	l, ok := k.proportions(true)
	if !ok {
		return
	}
	switch {
	case !k.c.Diverging:
		k.angleIn(&l, convergeAngles)
		k.narrow(l)
		k.term("x", l.q/l.ab)
		k.term("A", convergingA(l.ab, l.q))
		k.joinBranch(l)
	case l.form != duct.Plain && l.angle >= easedFrom:
		k.angleIn(&l, divergeAngles)
		d := entry45Branch.domain()
		x := l.q / l.ab
		k.term("x", x)
		k.beyond("Vb/Vc", x, d.Low, d.High)
		c, formula := Entry45Branch(x), entry45Formula
		if l.form == duct.Conical {
			c, formula = ConicalBranch(x), conicalFormula
		}
		k.set(c, Own, k.own, formula, ashrae21+", table 10 and example 8")
	default:
		k.angleIn(&l, divergeAngles)
		k.narrow(l)
		k.beyond("(As+Ab)/Ac", l.as+l.ab, leastAreas, math.Inf(1))
		k.within("(As+Ab)/Ac", l.as+l.ab, math.Inf(-1), 1+l.ab)
		k.term("x", l.q/l.ab)
		k.term("t", typeShare(l.as, l.ab))
		k.term("A", divergingA(l.ab, l.q))
		k.term("K'b", divergingK.at(l.angle/degree))
		k.set(DivergingBranch(l.as, l.ab, l.q, l.angle), Common, k.common,
			"C = t A (1 + x^2 - 2 x cos a) + (1 - t)(1 + x^2 - 2 x cos a - K'b x^2), "+
				"x = Vb/Vc, t = ((As+Ab)/Ac - 1)/(Ab/Ac) within 0 to 1: 1 is type 1, 0 type 2",
			"Idelchik, Handbook of Hydraulic Resistance, ch. 7 (1966 and 2006); the interpolation is our own")
	}
	k.withDamper()
}

// joinBranch sets the loss of a branch that joins. Other branches bring their momentum in: it is ConvergingBranch
// where there is no other.
func (k *calc) joinBranch(l legs) {
	const source = "Idelchik, Handbook of Hydraulic Resistance (2006), eq. 7-1 and table 7-1"
	qs, extra := 1-l.q, 0.0
	for _, o := range k.c.Others {
		if o.Straight || o.Size.IsZero() {
			continue
		}
		q := float64(o.Flow / k.c.Common)
		qs -= q
		extra += q * q * math.Cos(math.Min(o.Angle, convergeAngles.High)) * float64(k.f.Common.Area()/o.Size.Area())
	}
	if qs == 1-l.q {
		k.set(ConvergingBranch(l.ab, l.q, l.angle), Common, k.common,
			"C = A (1 + x^2 - 2 (1-q)^2 - 2 q^2 cos a Ac/Ab), x = Vb/Vc; as with a straight leg of the common size",
			source)
		return
	}
	qs = math.Max(0, qs)
	k.term("qs", qs)
	k.term("sum of q'^2 cos a' Ac/Ab'", extra)
	x := l.q / l.ab
	k.set(convergingA(l.ab, l.q)*(1+x*x-2*qs*qs-2*l.q*l.q*math.Cos(l.angle)/l.ab-2*extra), Common, k.common,
		"C = A (1 + x^2 - 2 qs^2 - 2 q^2 cos a Ac/Ab - 2 sum of q'^2 cos a' Ac/Ab' over the other branches), "+
			"x = Vb/Vc, qs = Qs/Qc; as with a straight leg of the common size",
		source+"; the other branches by its momentum balance, written by us")
}

func (k *calc) through() {
	l, ok := k.proportions(false)
	if !ok {
		return
	}
	y := (1 - l.q) / l.as
	k.term("y", y)
	switch {
	case l.ab <= 0:
		k.Formula = "C = 0: no branch"
	case !k.c.Diverging:
		k.angleIn(&l, convergeAngles)
		k.term("F", convergingF.at(math.Min(l.angle/degree, 60)))
		k.term("t", squareShare(l.angle))
		k.set(ConvergingStraight(l.ab, l.q, l.angle), Common, k.common,
			"C = t (1.55 q - q^2) + (1 - t)(1 - (1-q)^2 - F q^2 Ac/Ab), "+
				"t = (a - 60)/30 within 0 to 1; as with a straight leg of the common size",
			"Idelchik, Handbook of Hydraulic Resistance (1966), in the form of Crane TP-410 (2009)")
	case l.form != duct.Plain && l.angle >= easedFrom:
		k.angleIn(&l, divergeAngles)
		d := entry45Straight.domain()
		k.beyond("Vs/Vc", y, d.Low, math.Inf(1))
		k.within("Vs/Vc", y, math.Inf(-1), d.High)
		// The source has it on the straight leg, whose run may go on smaller.
		k.set(y*y*EasedStraight(y), Common, k.common, easedFormula,
			ashrae21+", table 10 and example 8")
	default:
		k.angleIn(&l, divergeAngles)
		k.beyond("(As+Ab)/Ac", l.as+l.ab, leastAreas, math.Inf(1))
		k.within("(As+Ab)/Ac", l.as+l.ab, math.Inf(-1), 1+l.ab)
		if typeShare(l.as, l.ab) < 1 { // type 2 has a share in it
			k.within("Vs/Vc", y, 0, straightFitEnd)
			if k.term("k", straightK(l.as, l.angle)); l.angle > straightKFrom {
				k.within("As/Ac", l.as, divergingStraightK.domain().Low, math.Inf(1))
			}
		}
		k.term("t", typeShare(l.as, l.ab))
		k.set(DivergingStraight(l.as, l.ab, l.q, l.angle), Common, k.common,
			"C = t 0.4 (1 - y)^2 + (1 - t)(k (0.5345 y^4 - 1.124 y^3 + 1.73 y^2) - 2.146 y + 1.0005, not below 0), "+
				"y = Vs/Vc, t = ((As+Ab)/Ac - 1)/(Ab/Ac) within 0 to 1: 1 is type 1, 0 type 2",
			"Idelchik, Handbook of Hydraulic Resistance (1966), ch. 7; the interpolation is our own")
	}
}

func (k *calc) wye() {
	l, ok := k.proportions(true)
	if !ok {
		return
	}
	x := l.q / l.ab
	k.term("x", x)
	ab2, q2, angle2 := k.other()
	if k.c.Diverging {
		k.angleIn(&l, divergeAngles)
		k.beyond("areas of both legs over Ac", l.ab+ab2, leastAreas, mostWye)
		k.term("K'b", divergingK.at(l.angle/degree))
		k.set(DivergingBranch2(x, l.angle), Common, k.common,
			"C = 1 + x^2 - 2 x cos a - K'b x^2, x = Vb/Vc, for each leg",
			"Idelchik, Handbook of Hydraulic Resistance (1966), type 2")
	} else {
		k.angleIn(&l, Range{0, math.Pi / 2})
		angle2 = k.within("angle of the other branch", angle2/degree, 0, 90) * degree
		k.term("Ab'/Ac", ab2)
		k.term("q'", q2)
		k.term("a'", angle2/degree)
		k.set(JoiningWye(l.ab, l.q, l.angle, ab2, q2, angle2), Common, k.common,
			"C = 1 + x^2 - 2 (q^2 cos a Ac/Ab + q'^2 cos a' Ac/Ab'), x = Vb/Vc",
			"momentum balance as in Idelchik, Handbook of Hydraulic Resistance, eq. 7-1, written for two branches")
	}
	k.withDamper()
}

// mostWye is how large the areas of both legs of a wye may be, over that of the common leg, for a formula of legs that
// add up to it: as far as rounding up to the next size of a series strays. Our own.
const mostWye = 1.6

// unequal is by how much the legs of a joining bullhead may differ in area for a formula of equal ones. Our own.
const unequal = 1.1

// other returns the area and flow of the other branches over those of the common leg, and the angle of the one with
// most air.
func (k *calc) other() (ab, q, angle float64) {
	most := duct.Flow(-1)
	for _, o := range k.c.Others {
		ab += float64(o.Size.Area() / k.f.Common.Area())
		q += float64(o.Flow / k.c.Common)
		if o.Flow > most {
			most, angle = o.Flow, o.Angle
		}
	}
	return ab, q, angle
}

// bullheadAngles are the turns a leg of a bullhead tee may take to count as one of 90 degrees.
var bullheadAngles = Range{75 * degree, 105 * degree}

func (k *calc) bullhead() {
	l, ok := k.proportions(true)
	if !ok {
		return
	}
	k.angleIn(&l, bullheadAngles)
	x := l.q / l.ab
	k.term("x", x)
	const source = "Idelchik, Handbook of Hydraulic Resistance (2006), diagram 7-29"
	if k.c.Diverging {
		k.set(DividingBullhead(x), Common, k.common, "C = 1 + 1.5 x^2, x = Vb/Vc", source)
	} else {
		if other, _, _ := k.other(); other > 0 {
			k.beyond("Ab/Ab'", l.ab/other, 1/unequal, unequal)
		}
		k.term("A", bullheadA(l.ab, l.q))
		k.set(JoiningBullhead(l.ab, l.q), Common, k.common, "C = A (1 + (Ac/Ab)^2 + 3 (Ac/Ab)^2 (q^2 - q))", source)
	}
	k.withDamper()
}

// withDamper adds the open blade of a damper just after the junction, which lies in the branch.
func (k *calc) withDamper() {
	if !k.f.Damper {
		return
	}
	open, source := k.c.Damper, "the office's own, sizing.coefficients"
	if open == 0 {
		open, source = Butterfly(k.f.Own.Shape, k.c.Blade), DamperSource
	}
	k.term("C of the damper, on the branch", open)
	k.set(k.C+Convert(open, k.own, k.Velocity), k.Reference, k.Velocity,
		k.Formula+", and the damper's on the velocity pressure of the branch",
		k.Source+"; open damper: "+source)
}
