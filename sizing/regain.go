package sizing

import (
	"math"
	"slices"

	"twinline/layout/duct"
)

const (
	// regainMost is how often sizes that depend on coefficients are worked out again; two or three
	// times is usual, more where every size is a step.
	regainMost = 30
	// regainSlowest is the velocity in the largest size static regain tries, over that in the size by equal friction.
	// Our own choice.
	regainSlowest = 0.5
	// regainTries is how many sizes are looked at, where every size is a step, for where the gain turns to a deficit;
	// regainSmallest is the largest over the smallest of them.
	regainTries    = 24
	regainSmallest = 64
)

// regain sizes every section of static regain until no size changes.
//
// Source: the exact energy form, ASHRAE Handbook Fundamentals, ch. 21: the size of the next section is that whose drop
// of velocity pressure makes up for its total pressure loss, so that the static pressure at its end is that at the end
// of the section before. From the size of that section downward the steps are tried until a gain turns to a deficit;
// the nearer of the two is taken. A deficit keeps its sign. Where every size leaves a deficit, as with the loss of a
// plain branch, nothing is to be had by regain: the section is sized by equal friction, but no larger than the one
// before. Sizes in which the air would move at less than half of what equal friction gives are not tried, since a
// plain branch can seem to regain when it is nearly still. Both are our own rules.
func (e *evaluation) regain() {
	var earlier []duct.Size // of two passes before
	for range regainMost {
		before := slices.Clone(e.runs)
		for si := range e.net.Systems {
			e.regainSystem(e.net.Systems[si].Sections)
		}
		if slices.Equal(before, e.runs) {
			return
		}
		e.evaluate()
		if slices.Equal(earlier, e.runs) {
			return // two sizes take turns
		}
		earlier = before
	}
}

// regainSystem sizes the sections of a system once, from the unit outward.
func (e *evaluation) regainSystem(list []duct.SectionID) {
	for _, id := range list {
		s, st := &e.sections[id], &e.sizes[id]
		if !e.isFree(id) {
			continue
		}
		size := st.base
		st.by = s.plain()
		if s.method == StaticRegain && !s.first && s.flow > leastFlow {
			if found, by := e.regainSize(id); !found.IsZero() {
				size, st.by = found, by
			}
		}
		e.set(id, size)
		if !e.picker.round.stepless() {
			e.cover(id) // what it feeds, as it was sized last; without steps the two would creep up
		}
	}
	e.coverAll(list)
}

// regainSize returns the size by static regain, or by friction where there is none, and which of the two; the zero size
// where the limits leave none.
func (e *evaluation) regainSize(id duct.SectionID) (duct.Size, duct.Decision) {
	list := e.regainSteps(id)
	if list == nil {
		return e.regainExact(id)
	}
	if len(list) == 0 {
		return duct.Size{}, duct.StaticGain
	}
	if best := nearest(e.regainTrials(id, list)); !best.IsZero() {
		return best, duct.StaticGain
	}
	return notOver(e.sizes[id].base, list[0]), duct.NoStaticGain
}

// regainSteps returns the steps static regain tries for a section, largest first; nil where every size is a step.
func (e *evaluation) regainSteps(id duct.SectionID) []duct.Size {
	lim := e.limits(id)
	lim.rate = 0
	list := e.candidates(id, lim, e.before(id))
	for len(list) > 1 && e.tooLarge(id, list[0]) {
		list = list[1:]
	}
	return list
}

// before returns the size at the end of the section that feeds id.
func (d *draft) before(id duct.SectionID) duct.Size {
	return d.runs[d.lastRun(d.net.Sections[id].Up).ID]
}

// gainTrial is a size that was tried, and how much more static pressure there is at the end of its section than at
// that of the section before.
type gainTrial struct {
	size                   duct.Size
	pvBefore, pv, loss, by duct.Pressure
}

// trial tries size s for section id.
func (e *evaluation) trial(id duct.SectionID, s duct.Size) gainTrial {
	t := gainTrial{size: s, pvBefore: e.pv(e.before(id), e.lastRun(e.net.Sections[id].Up).Flow),
		pv: e.pv(s, e.sections[id].flow), loss: e.sectionLoss(id, s)}
	t.by = t.pvBefore - t.pv - t.loss
	return t
}

// regainTrials tries sizes from the largest down, until, after the first gain, one leaves a deficit: a branch may gain
// more when it is smaller, since its junction loses less. The slice is good until the next call.
func (e *evaluation) regainTrials(id duct.SectionID, list []duct.Size) []gainTrial {
	e.trials = e.trials[:0]
	gained := false
	for _, s := range list {
		t := e.trial(id, s)
		e.trials = append(e.trials, t)
		gained = gained || t.by >= 0
		if gained && t.by <= 0 {
			break
		}
	}
	return e.trials
}

// nearest returns the size whose gain is nearest to 0, of those from the first gain on; the zero size where none gains.
func nearest(tried []gainTrial) duct.Size {
	best, least := duct.Size{}, math.Inf(1)
	for _, t := range tried {
		if g := math.Abs(float64(t.by)); (t.by >= 0 || !best.IsZero()) && g < least {
			best, least = t.size, g
		}
	}
	return best
}

// notOver returns the size by friction, or the largest that was tried where it is larger than that.
func notOver(friction, most duct.Size) duct.Size {
	if friction.Equivalent() > most.Equivalent() {
		return most
	}
	return friction
}

// tooLarge reports a size larger than static regain tries for a section.
func (d *draft) tooLarge(id duct.SectionID, s duct.Size) bool {
	base := d.sizes[id].base
	return !base.IsZero() && float64(s.Area())*regainSlowest > float64(base.Area())*(1+stepSlack)
}

// candidates returns the steps from the size of from down to the smallest within lim, largest first;
// nil where every size is a step. Upright sizes keep the height of from where lim lets them.
func (d *draft) candidates(id duct.SectionID, lim limits, from duct.Size) []duct.Size {
	least, ok := d.picker.pick(lim, d.sections[id].flow, floor{}, d.wishes(id))
	if !ok {
		return []duct.Size{}
	}
	var list []duct.Size
	if l := d.picker.round; lim.shape == duct.Round {
		if l.stepless() {
			return nil
		}
		top := max(from.Equivalent(), least.Width)
		if lim.height > 0 {
			top = min(top, lim.height)
		}
		for i := l.upto(top) - 1; i >= 0 && !over(least.Width, l.at(i)); i-- {
			list = append(list, duct.RoundOf(l.at(i)))
		}
		return list
	}
	l := d.picker.sides
	if l.stepless() {
		return nil
	}
	// By equivalent diameter, one size for each width that differs: the main's own height
	// while it is no more than the width, then nearly square ones.
	h := least.Height
	if from.Shape != duct.Round && d.sections[d.net.Sections[id].Up].on == id && !over(from.Height, lim.height) {
		h = from.Height
	}
	top := max(from.Width, least.Width)
	if lim.aspect > 0 && !math.IsInf(lim.aspect, 1) {
		top = min(top, duct.Length(lim.aspect)*h)
	}
	for i := l.upto(top) - 1; i >= 0; i-- {
		s := upright(lim.shape, l.at(i), min(h, l.at(i)))
		if s.Area() < least.Area()*(1-stepSlack) {
			break
		}
		list = append(list, s)
	}
	if len(list) == 0 {
		list = append(list, least)
	}
	return list
}

// regainExact returns the size at which gain is nil, between the size of the section before and the smallest within
// the limits but that of friction.
func (e *evaluation) regainExact(id duct.SectionID) (duct.Size, duct.Decision) {
	lim, st := e.limits(id), &e.sizes[id]
	lim.rate = 0
	lo := max(lim.exact(e.sections[id].flow), e.spec.Least)
	hi := max(e.before(id).Equivalent(), lo)
	gains := func(d duct.Length) duct.Pressure { return e.trial(id, sizeOf(&lim, d)).by }
	if hi <= 0 {
		return duct.Size{}, duct.StaticGain
	}
	if s := sizeOf(&lim, hi); e.tooLarge(id, s) {
		hi = max(lo, hi*duct.Length(math.Sqrt(float64(st.base.Area()/s.Area())/regainSlowest)))
	}
	least := max(lo, hi/regainSmallest)
	at := func(k int) duct.Length { // from hi down to the least
		return hi * duct.Length(math.Pow(float64(least/hi), float64(k)/regainTries))
	}
	k := 0
	for k <= regainTries && gains(at(k)) < 0 {
		k++
	}
	if k > regainTries {
		return notOver(st.base, sizeOf(&lim, hi)), duct.NoStaticGain
	}
	for k < regainTries && gains(at(k+1)) >= 0 {
		k++
	}
	if k == regainTries {
		return sizeOf(&lim, least), duct.StaticGain
	}
	st.exact = halve(at(k+1), at(k), flowTol, func(d duct.Length) bool { return gains(d) > 0 })
	return sizeOf(&lim, st.exact), duct.StaticGain
}

// sizeOf returns the size of equivalent diameter d in the shape and under the height of limits, square where they let
// it.
func sizeOf(lim *limits, d duct.Length) duct.Size {
	if lim.shape == duct.Round {
		return duct.RoundOf(d)
	}
	h := widthFor(lim.shape, 0, d)
	if over(h, lim.height) {
		h = lim.height
	}
	return upright(lim.shape, max(h, widthFor(lim.shape, h, d)), h)
}
