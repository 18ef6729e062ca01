// Package loss holds the physics of flow in ducts, one formula a function: wall friction,
// the loss coefficients of fittings, and the rough guides to noise, leakage and heat.
//
// Quantities are the named types of package duct, all SI; what has no dimension is a plain
// float64, angles are radians. Every coefficient says whose velocity pressure it is on. Tables
// keep their end values outside their range; what a formula gives outside its Valid range is
// no answer. Coefficient, which looks up the formula of a duct.Fitting, keeps to the ranges: it
// takes the nearest value and reports the bound.
//
// Names in formulas: Q flow, V mean velocity, A area, D diameter, f Darcy friction factor,
// C loss coefficient, q = Qb/Qc, x = Vb/Vc, y = Vs/Vc; suffix c the leg of a junction with
// all the flow, s the straight leg, b the branch.
//
// What Coefficient looks up for each kind of fitting, and whose velocity pressure it is on:
//
//	Elbow, DropConn        SmoothElbow x ElbowReynolds; round of another make: MadeElbow;
//	                       flexible: RennelsElbowLocal                                own
//	Mitre, VanedMitre      IdelchikMitre x MitreSides; VanedMitre                     own
//	Offset                 Offset of IdelchikMitre x MitreSides                       own
//	Reducer                Contraction, f 0                                           downstream
//	Expander               Expansion, f 0, x 1.25 if both pairs of sides open  upstream
//	Reducer, Expander      opening on one pair of sides, closing on the other: both    downstream
//	Takeoff, Cross         dividing, plain: DivergingBranch                           common
//	                       dividing, 45 degree entry or conical: Entry45Branch, ConicalBranch  own
//	                       joining: ConvergingBranch                                  common
//	Through                dividing, plain: DivergingStraight                         common
//	                       dividing, 45 degree entry or conical: EasedStraight, times (Vs/Vc)^2  common
//	                       joining: ConvergingStraight                                common
//	Wye                    DivergingBranch2; JoiningWye                               common
//	Bullhead               DividingBullhead; JoiningBullhead                          common
//	Entry, Exit            SharpEntry, AbruptExit; a size change where the neck is known  own
//	TerminalConn           straight: a size change; from the side: Boot or BootReturn, and BootTurn  own
//	                       the neck on the side: a size change of its own before, both on the neck
//	VolumeDamper           Butterfly                                                  own
//	the others             none
//
// A main that gets smaller behind a branch is drawn with its change of size after the junction, and reported so: the
// straight leg costs what it does in a main that keeps its size, the change of size what a Reducer or Expander does.
// The branch, whose published figures are of bodies that reduce, counts the main as it goes on (Leg.Size).
//
// None holds the wall friction of the fitting itself, which the run is charged with.
package loss

import (
	"math"

	"twinline/layout/duct"
)

const degree = math.Pi / 180

// Range is a closed range of validity.
type Range struct{ Low, High float64 }

func (r Range) clamp(v float64) float64 { return clamp(v, r.Low, r.High) }

// has reports whether v lies within r, but for rounding.
func (r Range) has(v float64) bool {
	return v >= r.Low-rounding*(1+math.Abs(r.Low)) && v <= r.High+rounding*(1+math.Abs(r.High))
}

func clamp(v, low, high float64) float64 { return math.Max(low, math.Min(high, v)) }

// table is a function given by points, X rising.
type table []struct{ X, Y float64 }

// at returns the value at x, linear between points and that of the end outside them.
func (t table) at(x float64) float64 {
	n := len(t)
	switch {
	case x <= t[0].X:
		return t[0].Y
	case x >= t[n-1].X:
		return t[n-1].Y
	}
	i := 1
	for t[i].X < x {
		i++
	}
	a, b := t[i-1], t[i]
	return a.Y + (b.Y-a.Y)*(x-a.X)/(b.X-a.X)
}

func (t table) domain() Range { return Range{t[0].X, t[len(t)-1].X} }

// VelocityPressure returns rho V^2/2.
//
// Source: definition; ASHRAE Handbook Fundamentals, ch. 21.
// Valid: incompressible flow, below about 50 m/s in ducts.
func VelocityPressure(v duct.Velocity, rho duct.Density) duct.Pressure {
	return duct.Pressure(float64(rho) * float64(v) * float64(v) / 2)
}

// Convert returns a coefficient that is on the velocity pressure of velocity from as one on
// that of velocity to: the loss it stands for stays the same. It is 0 where to is still.
//
// Source: C2 = C1 (V1/V2)^2, ASHRAE Handbook Fundamentals, ch. 21, eq. 31.
// Valid: always.
func Convert(c float64, from, to duct.Velocity) float64 {
	if to == 0 {
		return 0
	}
	k := float64(from / to)
	return c * k * k
}
