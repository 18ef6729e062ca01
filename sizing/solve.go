package sizing

import (
	"twinline/layout/diag"
	"twinline/layout/duct"
)

// Solve sizes every run of net and works out what every piece costs: one size a section,
// rounded to the steps, then every fitting and every path from the rounded sizes. Sizes are
// clear inside, lining or not, as are the sizes of notes. It returns a design whatever it
// finds; with a finding of level error the design is for looking at alone.
//
// Kept are the sizes of notes and of existing work; removed work keeps its noted size and
// costs nothing. Flexible duct that ends on a terminal with a round neck has the size of that
// neck. Everything else is the smallest of the steps whose friction and velocity keep within
// the limits, never smaller than the least, nor than what it feeds (round by diameter,
// upright by both sides, mixed shapes by equivalent diameter). Of upright sizes the one of
// the smallest area is taken, the squarest of equals, wider than high; one that goes straight
// on from an upright main keeps its height where that costs no more than a fifth of area.
// Where no round step fits under a height limit, the run becomes rectangular.
//
// Static regain sizes the first section (of a system, or after a box) by the largest velocity
// allowed. It has no meaning on the suction side: air that flows to the unit is sized by equal
// friction instead, which a finding reports. The balanced and the optimised method start from
// equal friction as well.
func Solve(net *duct.Network, spec Spec) (*duct.Design, diag.List) {
	e := newEvaluation(newDraft(newPlan(newJob(net, spec))))
	e.refine()
	des := e.finish()
	return des, append(e.found, findings(e)...)
}

// refine finds the sizes that depend on the coefficients of fittings, which in turn depend on
// sizes: those of static regain first, then by cost, then those of the balanced method.
func (e *evaluation) refine() {
	uses := map[Method]bool{}
	for i := range e.sections {
		s := &e.sections[i]
		if s.kept == duct.Undecided && len(e.net.Sections[i].Runs) > 0 && !(s.method == StaticRegain && s.first) {
			uses[s.method] = true
		}
	}
	if uses[StaticRegain] {
		e.regain()
	}
	if uses[Optimised] {
		e.optimise()
	}
	e.hold()
	for i := range e.des.Systems {
		e.des.Systems[i].Unthrottled = e.throttled(duct.SystemID(i))
	}
	if uses[Balanced] {
		e.balance()
	}
}
