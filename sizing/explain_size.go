package sizing

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"twinline/layout/duct"
	"twinline/sizing/loss"
)

// size explains why the run has its size.
func (e *explanation) size(r *duct.Run) {
	st, res := &e.z.sections[r.Section], &e.des.Runs[r.ID]
	s := res.Size
	e.head("Size: %s (method %s)", inMillimetres(s), st.method)
	for _, why := range res.Why {
		e.say("%s.", why.What)
		if why.Formula != "" {
			e.say("  %s", why.Formula)
		}
		e.say("  source: %s", why.Source)
	}
	e.trial("This size", s, r, st)
	if st.keep != found {
		return
	}
	if st.exact > 0 && !decided(res, byRegain) && !decided(res, byBudget) && !decided(res, byCost) {
		e.say("By its limits alone, before rounding, a round duct of %.5g mm would do.", float64(st.exact/duct.Millimetre))
	}
	e.smaller(r, st)
	switch {
	case decided(res, byRegain), decided(res, byFriction):
		e.regain(r.Section, s)
	case decided(res, byBudget):
		e.budget(r.Section, s)
	case decided(res, byCost):
		e.cost(r.Section)
	}
	for c := st.child; c != duct.None; c = e.z.sections[c].next {
		child := e.z.firstRun(duct.SectionID(c))
		e.say("It feeds %s, %s.", runName(child.ID), inMillimetres(e.z.sections[c].size))
	}
}

// smaller shows what is wrong with the next smaller sizes: of a round duct the step under it, of an upright one the largest of
// each height whose area is smaller. It tells what is wished for beside a small area.
func (e *explanation) smaller(r *duct.Run, st *section) {
	z, s := e.z, e.des.Runs[r.ID].Size
	if s.Shape == duct.Round {
		if d, ok := z.pick.round.below(s.Width); ok {
			e.trial("The next smaller step", duct.RoundOf(d), r, st)
		} else if z.pick.round.stepless() {
			e.say("Every size is a step: there is no next smaller one.")
		} else {
			e.say("There is no smaller step: sizing.least.")
		}
		return
	}
	if st.flattened {
		e.say("The round steps within the limits are higher than %.4g mm, so it is rectangular.", float64(st.lim.height/duct.Millimetre))
	}
	if z.pick.sides.stepless() {
		e.say("Every size is a step: there is no next smaller one.")
		return
	}
	list := z.smallerInArea(s, st)
	for _, other := range list[:min(len(list), smallerMost)] {
		e.trial("Of smaller area", other, r, st)
	}
	switch {
	case len(list) > smallerMost:
		e.say("Flatter ones of no larger area lose more.")
	case len(list) == 0:
		e.say("There is no smaller step: sizing.least.")
	}
	w := z.wishes(r.Section)
	if w.height > 0 && math.Abs(float64(w.height-s.Height)) < stepSlack {
		e.say("It keeps the height of the duct it goes straight on from, %.4g mm, which may cost up to a fifth of area.", float64(w.height/duct.Millimetre))
	}
	if w.mostWidth > 0 {
		e.say("It is no wider than %.4g mm and no higher than %.4g mm, as the duct that feeds it, if there is such a size.", float64(w.mostWidth/duct.Millimetre),
			float64(w.mostSide/duct.Millimetre))
	}
}

// smallerMost is how many smaller upright sizes are shown.
const smallerMost = 6

// smallerInArea returns, of every height, the largest upright size of a smaller area than s, the squarest first.
func (z *solver) smallerInArea(s duct.Size, st *section) []duct.Size {
	var out []duct.Size
	l := z.pick.sides
	for h := range l.len() {
		hh := l.at(h)
		if float64(upright(s.Shape, hh, hh).Area()) >= float64(s.Area())*(1-stepSlack) || over(hh, st.lim.height) {
			break
		}
		w := h
		for w+1 < l.len() && float64(upright(s.Shape, l.at(w+1), hh).Area()) < float64(s.Area())*(1-stepSlack) &&
			float64(l.at(w+1)) <= st.lim.aspect*float64(hh)*(1+stepSlack) {
			w++
		}
		out = append(out, upright(s.Shape, l.at(w), hh))
	}
	slices.Reverse(out)
	return out
}

// rateHolds reports whether the limit of friction holds for a run: static regain, balancing by size and cost go over it.
func (e *explanation) rateHolds(r *duct.Run, st *section) bool {
	res := &e.des.Runs[r.ID]
	switch {
	case st.lim.rate <= 0 || st.keep == necked || st.unbound():
		return false
	}
	return st.method != Balanced || !decided(res, byFeeds) || float64(res.Rate) <= float64(st.lim.rate)*(1+stepSlack)
}

// trial shows what a size would give against the limits.
func (e *explanation) trial(what string, s duct.Size, r *duct.Run, st *section) {
	v, rate := s.Velocity(st.flow), st.lim.wall.rate(s, st.flow)
	verdict := []string{}
	if e.rateHolds(r, st) && float64(rate) > float64(st.lim.rate)*(1+stepSlack) {
		verdict = append(verdict, "over the friction limit")
	}
	if st.lim.velocity > 0 && float64(v) > float64(st.lim.velocity)*(1+stepSlack) {
		verdict = append(verdict, "over the velocity limit")
	}
	if s.Shape != duct.Round && s.Aspect() > st.lim.aspect*(1+stepSlack) {
		verdict = append(verdict, "over the aspect limit")
	}
	for c := st.child; c != duct.None && st.keep == found; c = e.z.sections[c].next {
		if f := (floor{}).with(e.z.sections[c].size, &st.lim); !f.covers(s) && e.mayCover(r) {
			verdict = append(verdict, "smaller than "+runName(e.z.firstRun(duct.SectionID(c)).ID)+", which it feeds")
			break
		}
	}
	if len(verdict) == 0 {
		verdict = append(verdict, "within the limits")
	}
	e.say("%s, %s: V = %.5g m/s, friction %.5g Pa/m: %s.", what, inMillimetres(s), float64(v), float64(rate), strings.Join(verdict, ", "))
}

// mayCover reports whether a run has to be no smaller than what it feeds: what ends on a box has not.
func (e *explanation) mayCover(r *duct.Run) bool {
	return e.z.net.Nodes[e.z.net.DownNode(e.z.lastRun(r.Section))].Kind != duct.Box
}

// parts tells what stretchLoss adds up, piece by piece.
func (e *explanation) parts(id duct.SectionID, s duct.Size) string {
	z := e.z
	st := &z.sections[id]
	rate := float64(st.lim.wall.rate(s, st.flow))
	var length, arcs, stack float64
	var out []string
	add := func(f *duct.Fitting, legs []leg) {
		if l := float64(z.tryLoss(f, s, legs)); l != 0 {
			out = append(out, fmt.Sprintf("%s at %s %.5g", f.Kind, nodeName(f.Node), l))
		}
	}
	goesOn := true
	for _, r := range z.net.Sections[id].Runs {
		length += math.Max(0, float64(z.scratch.straight[r]))
		arcs += float64(z.scratch.extra[r])
		stack += float64(z.stack(&z.net.Runs[r]))
		for _, k := range z.ofRun(r) {
			f := &z.des.Fittings[k]
			if isSizeChange(f) {
				continue
			}
			if isLeg(f.Kind) && f.Kind != duct.Through || f.Kind == duct.InlineBox {
				goesOn = false
			}
			if f.Kind == duct.InlineBox {
				out = append(out, fmt.Sprintf("box at %s %.5g", nodeName(f.Node), float64(f.Loss)))
				continue
			}
			try, legs := z.trial(f, id, s)
			add(&try, legs)
		}
	}
	if first := z.firstRun(id); goesOn && first.Up != duct.None {
		if f, ok := z.change(first, z.sizes[first.Up], s); ok {
			add(&f, nil)
		}
	}
	text := fmt.Sprintf("friction %.5g Pa/m x %.5g m", rate, length)
	if arcs != 0 {
		text += fmt.Sprintf(" + arcs of another size %.5g", arcs)
	}
	for _, p := range out {
		text += " + " + p
	}
	if stack != 0 {
		text += fmt.Sprintf(" - stack effect %.5g", stack)
	}
	return text
}

// regain shows the static pressure gain with every size that was tried.
func (e *explanation) regain(id duct.SectionID, s duct.Size) {
	z := e.z
	lim := z.sections[id].lim
	lim.rate = 0
	tried := z.candidates(id, lim, z.sizes[z.lastRun(z.net.Sections[id].Up).ID])
	for len(tried) > 1 && z.sections[id].tooLarge(tried[0]) {
		tried = tried[1:]
	}
	if len(tried) == 0 { // every size is a step
		tried = []duct.Size{s}
	}
	e.say("Tried, from the size of what feeds it, or twice the area by friction alone, down to the velocity limit; fittings by the formulas below, at that size:")
	best, least := duct.Size{}, math.Inf(1)
	for _, try := range tried {
		gain := z.gain(id, try)
		e.say("  %s: pv before %.5g - pv here %.5g - loss %.5g = %+.5g Pa of static pressure", inMillimetres(try), float64(z.pvBefore(id)),
			float64(z.pvOf(id, try)), float64(z.sectionLoss(id, try)), float64(gain))
		e.say("    loss = %s", e.parts(id, try))
		if gain < 0 && best.IsZero() {
			continue
		}
		if math.Abs(float64(gain)) < least {
			best, least = try, math.Abs(float64(gain))
		}
		if gain <= 0 {
			break
		}
	}
	switch {
	case best.IsZero() && len(tried) > 1:
		e.say("  No size regains: it is sized by friction.")
	case len(tried) > 1:
		e.say("  The nearest to 0, of those from the first gain on, is taken.")
	}
	if by := decided(&e.des.Runs[z.firstRun(id).ID], byRegain); len(tried) > 1 && (by && best != s || !by && !best.IsZero()) {
		e.say("With the sizes around it as they came out it would be sized otherwise: its size and theirs take turns, and this is where that was stopped.")
	}
}

// cost shows the working of the optimised method at the diameter before rounding.
func (e *explanation) cost(id duct.SectionID) {
	z := e.z
	st := &z.sections[id]
	o := newOptimum(z)
	for i := range z.sections {
		if z.sections[i].exact > 0 {
			o.d[i] = z.sections[i].exact
		}
	}
	sys := &z.net.Systems[z.net.Sections[id].System]
	o.condenseAll(sys)
	o.expandAll(sys)
	c := &z.spec.Costs
	rho := z.air.Density
	lost := z.sectionLoss(id, duct.RoundOf(st.exact))
	part := math.Pow(o.k[id]/o.tree[id], seriesPower)
	e.say("z1 = Q energy hours worth/(1000 efficiency) = %.6g x %.6g x %.6g x %.6g/(1000 x %.6g) = %.6g a Pa", float64(sys.Flow), c.Energy, c.Hours,
		c.Worth, c.Efficiency, c.energy(sys.Flow))
	e.say("z2 = 0.9589 pi rho^0.2 duct = 0.9589 pi %.6g^0.2 x %.6g = %.6g", float64(rho), c.Duct, c.duct(rho))
	e.say("At %.6g mm this duct loses %.6g Pa: %s.", float64(st.exact/duct.Millimetre), float64(lost), e.parts(id, duct.RoundOf(st.exact)))
	e.say("m = loss pi^2 D^5/(8 rho Q^2) = %.6g m, Ki = m^0.2 Q^0.4 length = %.6g with the length %.6g m", o.m[id], o.k[id], o.length(id))
	e.say("K of all behind it: the sum of K of what it feeds, %.6g; with it (Ki^0.8333 + that^0.8333)^1.2 = %.6g; of the whole system %.6g", o.behind(id),
		o.tree[id], o.root)
	e.say("The sized ducts of the system may lose P = (0.2 z2 K/z1)^0.8333 = %.6g Pa; from the start of this one %.6g Pa are left for them,", float64(o.pressure),
		float64(o.share[id])/part)
	e.say("of which it gets (Ki/K)^0.8333 = %.6g, dp = %.6g Pa.", part, float64(o.share[id]))
	d := costDiameter(o.m[id], o.share[id], st.flow, rho)
	e.say("With it D = 0.9589 (m rho)^0.2 Q^0.4 dp^-0.2 = %.6g mm.", float64(d/duct.Millimetre))
	if most := o.most(id); most > 0 && d > most {
		e.say("It is no larger than what feeds it, %.6g mm.", float64(most/duct.Millimetre))
	}
	e.say("The step nearest to that is taken, within the velocity limit.")
}

// budget shows what is left to throttle behind the section, and what the next smaller size would cost more.
func (e *explanation) budget(id duct.SectionID, s duct.Size) {
	z := e.z
	left, least := duct.Pressure(math.Inf(1)), duct.TerminalID(duct.None)
	sys := z.net.Sections[id].System
	for _, t := range z.net.Systems[sys].Terminals {
		for r := z.runOf(t); r != duct.None; r = z.net.Runs[r].Up {
			if z.net.Runs[r].Section == id && e.des.Terminals[t].Throttle < left {
				left, least = e.des.Terminals[t].Throttle, t
			}
		}
	}
	if least == duct.None {
		return
	}
	is := z.sectionLoss(id, s)
	e.say("It loses %.5g Pa: %s.", float64(is), e.parts(id, s))
	e.say("Of the terminals behind it %s has the least left to throttle, %.5g Pa.", z.net.Terminals[least].Name, float64(left))
	list := z.smaller(id, unlimited(z.sections[id].lim, s), s)
	if len(list) < 2 {
		e.say("There is no smaller step within the velocity limit and no smaller than what it feeds.")
		return
	}
	try := list[1]
	would := z.sectionLoss(id, try)
	verdict := "more than is left"
	if would-is <= left {
		verdict = "which is left, but other paths would then throttle more than by equal friction, or the sum of all would not be less"
	}
	e.say("With %s it would lose %.5g Pa: %s; that is %.5g Pa more, %s.", inMillimetres(try), float64(would), e.parts(id, try), float64(would-is), verdict)
}

// unlimited returns limits without that of friction, for sizes of the shape of s.
func unlimited(lim limits, s duct.Size) limits {
	lim.rate, lim.shape = 0, s.Shape
	return lim
}

// setting tells how far a damper has to be turned to take what is throttled, where its table reaches that far.
func setting(c float64) string {
	angle, ok := loss.BladeAngle(c)
	if !ok {
		return ""
	}
	return fmt.Sprintf("a single blade turned by about %.0f degrees has that (%s); a first setting, before measuring", angle/duct.Degree, loss.DamperSource)
}
