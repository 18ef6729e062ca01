package sizing

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/sizing/loss"
)

// refineMost is how often sizes that depend on coefficients are worked out again; two or three
// times is usual, more where every size is a step.
const refineMost = 30

// refine finds the sizes that depend on the coefficients of fittings, which in turn depend on
// sizes: those of static regain first, then by cost, then those of the balanced method.
func (z *solver) refine() {
	regain, balanced, optimised := false, false, false
	for i := range z.sections {
		if st := &z.sections[i]; st.keep == found && len(z.net.Sections[i].Runs) > 0 {
			regain = regain || st.method == StaticRegain && !st.first
			balanced = balanced || st.method == Balanced
			optimised = optimised || st.method == Optimised
		}
	}
	if regain {
		var earlier []duct.Size // of two passes before
		for range refineMost {
			before := slices.Clone(z.sizes)
			if !z.regain() {
				break
			}
			z.evaluate()
			if slices.Equal(earlier, z.sizes) {
				break // two sizes take turns
			}
			earlier = before
		}
	}
	if optimised {
		z.optimise()
	}
	z.hold()
	for i := range z.des.Systems {
		z.des.Systems[i].Unthrottled = z.throttled(duct.SystemID(i))
	}
	if balanced {
		z.balance()
	}
}

// throttled returns the sum of what the dampers of a system take.
func (z *solver) throttled(id duct.SystemID) duct.Pressure {
	var sum duct.Pressure
	for _, t := range z.net.Systems[id].Terminals {
		sum += z.des.Terminals[t].Throttle
	}
	return sum
}

// stretchLoss returns what section id would lose with size s: friction over the lengths of the last
// evaluation, and its fittings with s in place of its size.
func (z *solver) sectionLoss(id duct.SectionID, s duct.Size) duct.Pressure {
	var sum duct.Pressure
	st := &z.sections[id]
	rate := duct.Pressure(st.lim.wall.rate(s, st.flow))
	goesOn := true // the first fitting leaves room for a change of size after it
	for _, r := range z.net.Sections[id].Runs {
		sum += rate*duct.Pressure(max(0, z.scratch.straight[r])) + z.scratch.extra[r]
		sum -= z.stack(&z.net.Runs[r])
		for _, k := range z.ofRun(r) {
			f := &z.des.Fittings[k]
			if isSizeChange(f) {
				continue // tried below, whether there is one so far or not
			}
			if isLeg(f.Kind) && f.Kind != duct.Through || f.Kind == duct.InlineBox {
				goesOn = false
			}
			sum += z.fittingLoss(f, id, s)
		}
	}
	if first := z.firstRun(id); goesOn && first.Up != duct.None {
		if f, ok := z.change(first, z.sizes[first.Up], s); ok {
			sum += z.tryLoss(&f, s, nil)
		}
	}
	return sum
}

func isSizeChange(f *duct.Fitting) bool { return f.Kind == duct.Reducer || f.Kind == duct.Expander }

// change returns the change of size there would be from size up, towards the unit, to size s of run r; false for none.
func (z *solver) change(r *duct.Run, up, s duct.Size) (duct.Fitting, bool) {
	if up == s || up.IsZero() {
		return duct.Fitting{}, false
	}
	return duct.Fitting{Node: z.net.UpNode(r), Kind: duct.ChangeKind(r.Air, up, s), Run: r.ID, Main: r.Up, Common: up, Own: s,
		Angle: z.changeAngle(up, s)}, true
}

// changeAngle returns the included angle of a centred change of size with all the room it wants.
func (z *solver) changeAngle(up, s duct.Size) float64 {
	rules := &z.spec.Fittings
	if rules.ReducerLeast <= 0 {
		return rules.ReducerAngle
	}
	move := math.Max(math.Abs(float64(up.Width-s.Width)), math.Abs(float64(up.Height-s.Height))) / 2
	return math.Min(rules.ReducerAngle, 2*math.Atan(move/float64(rules.ReducerLeast)))
}

// fittingLoss returns what a fitting of section id would lose with size s in place of its own.
func (z *solver) fittingLoss(f *duct.Fitting, id duct.SectionID, s duct.Size) duct.Pressure {
	if f.Kind == duct.InlineBox {
		return f.Loss // with a coefficient noted there, at the size as it is
	}
	try, legs := z.trial(f, id, s)
	return z.tryLoss(&try, s, legs)
}

// trial returns a fitting of section id as it would be with size s in place of its own, and the legs of its junction.
func (z *solver) trial(f *duct.Fitting, id duct.SectionID, s duct.Size) (duct.Fitting, []leg) {
	try := *f
	inside := f.Main != duct.None && z.net.Runs[f.Main].Section == id
	switch {
	case inside && isBend(f.Kind):
		try.Own, try.Common = s, s
		if f.Radius > 0 {
			try.Radius *= z.sideInPlane(&try) / z.sideInPlane(f) // of the same proportions
		}
	case f.Main == duct.None, isLeg(f.Kind) && f.Kind != duct.Through:
		try.Own = s
	} // else it has the size of the run towards the unit
	if isLeg(f.Kind) {
		return try, z.legs(z.atNode(f))
	}
	return try, nil
}

func isBend(k duct.FittingKind) bool {
	return k == duct.Elbow || k == duct.DropConn || k == duct.Mitre || k == duct.VanedMitre
}

// sideInPlane returns the side of the size of a bend that lies in the plane of the bend.
func (z *solver) sideInPlane(f *duct.Fitting) duct.Length {
	c := z.caseOf(f, nil)
	if f.Own.Shape == duct.Round || c.InPlane == f.Own.Width || c.InPlane == 0 && !c.Upright && f.Kind != duct.DropConn {
		return f.Own.Width
	}
	return f.Own.Height
}

// tryLoss returns the loss of a fitting that is tried out, with size s in the run it is booked on.
func (z *solver) tryLoss(f *duct.Fitting, s duct.Size, legs []leg) duct.Pressure {
	if c, _, ok := z.override(f); ok {
		c += z.damperOf(f).c
		return duct.Pressure(c) * loss.VelocityPressure(s.Velocity(z.net.Runs[f.Run].Flow), z.air.Density)
	}
	return z.coefficient(f, legs).Loss
}

// regain sizes every section of static regain, from the unit outward, and reports whether any changed.
//
// Source: the exact energy form, ASHRAE Handbook Fundamentals, ch. 21: the size of the next
// size is that whose drop of velocity pressure makes up for its total pressure loss, so
// that the static pressure at its end is that at the end of the size before. From the
// size of that size downward the steps are tried until a gain turns to a deficit; the
// nearer of the two is taken. A deficit keeps its sign. Where every size leaves a deficit, as with the loss of a
// plain branch, nothing is to be had by regain: the size is sized by equal friction, but no larger than the one before.
// Sizes in which the air would move at less than half of what equal friction gives are not tried, since a plain
// branch can seem to regain when it is nearly still. Both are our own rules.
func (z *solver) regain() bool {
	before := slices.Clone(z.sizes)
	for si := range z.net.Systems {
		list := z.net.Systems[si].Sections
		for _, id := range list {
			st := &z.sections[id]
			if st.keep != found {
				continue
			}
			size := st.base
			st.reason = st.plain()
			if st.method == StaticRegain && !st.first && st.flow > leastFlow {
				if s, by := z.regainSize(id); !s.IsZero() {
					size, st.reason = s, by
				}
			}
			z.set(id, size)
			if !z.pick.round.stepless() {
				z.cover(id) // what it feeds, as it was sized last; without steps the two would creep up
			}
		}
		z.feeds(list)
	}
	return !slices.Equal(before, z.sizes)
}

// regainSize returns the size by static regain, or by friction where there is none, and which of the two; the zero size
// where the limits leave none.
func (z *solver) regainSize(id duct.SectionID) (duct.Size, reason) {
	st := &z.sections[id]
	from := z.sizes[z.lastRun(z.net.Sections[id].Up).ID]
	gain := func(s duct.Size) duct.Pressure { return z.gain(id, s) }
	lim := st.lim
	lim.rate = 0
	list := z.candidates(id, lim, from)
	for len(list) > 1 && st.tooLarge(list[0]) {
		list = list[1:]
	}
	if list == nil {
		return z.regainExact(lim, st, from, gain)
	}
	if len(list) == 0 {
		return duct.Size{}, byRegain
	}
	best, least := duct.Size{}, math.Inf(1)
	for _, s := range list { // from the largest down; a branch may gain more when it is smaller, since its junction loses less
		g := float64(gain(s))
		if g < 0 && best.IsZero() {
			continue
		}
		if math.Abs(g) < least {
			best, least = s, math.Abs(g)
		}
		if g <= 0 {
			break
		}
	}
	if best.IsZero() {
		return notOver(st.base, list[0]), byFriction
	}
	return best, byRegain
}

// notOver returns the size by friction, or the largest that was tried where it is larger than that.
func notOver(friction, most duct.Size) duct.Size {
	if friction.Equivalent() > most.Equivalent() {
		return most
	}
	return friction
}

// regainSlowest is the velocity in the largest size static regain tries, over that in the size by equal friction. Our own choice.
const regainSlowest = 0.5

// tooLarge reports a size larger than static regain tries for a section.
func (st *section) tooLarge(s duct.Size) bool {
	return !st.base.IsZero() && float64(s.Area())*regainSlowest > float64(st.base.Area())*(1+stepSlack)
}

// regainTries is how many sizes are looked at, where every size is a step, for where the gain turns to a deficit.
const regainTries = 24

// gain returns how much more static pressure there is at the end of a section with size s than at the
// end of the one before it.
func (z *solver) gain(id duct.SectionID, s duct.Size) duct.Pressure {
	return z.pvBefore(id) - z.pvOf(id, s) - z.sectionLoss(id, s)
}

// pvBefore returns the velocity pressure at the end of the section before id.
func (z *solver) pvBefore(id duct.SectionID) duct.Pressure {
	up := z.lastRun(z.net.Sections[id].Up)
	return loss.VelocityPressure(z.sizes[up.ID].Velocity(up.Flow), z.air.Density)
}

// pvOf returns the velocity pressure in section id with size s.
func (z *solver) pvOf(id duct.SectionID, s duct.Size) duct.Pressure {
	return loss.VelocityPressure(s.Velocity(z.sections[id].flow), z.air.Density)
}

// candidates returns the steps from the size of from down to the smallest within lim, largest first;
// nil where every size is a step. Upright sizes keep the height of from where lim lets them.
func (z *solver) candidates(id duct.SectionID, lim limits, from duct.Size) []duct.Size {
	st := &z.sections[id]
	least, ok := z.pick.pick(lim, st.flow, floor{}, z.wishes(id))
	if !ok {
		return []duct.Size{}
	}
	var list []duct.Size
	if lim.shape == duct.Round {
		if z.pick.round.stepless() {
			return nil
		}
		top := max(from.Equivalent(), least.Width)
		if lim.height > 0 {
			top = min(top, lim.height)
		}
		for i := z.pick.round.upto(top) - 1; i >= 0; i-- {
			d := z.pick.round.at(i)
			if over(least.Width, d) {
				break
			}
			list = append(list, duct.RoundOf(d))
		}
		return list
	}
	if z.pick.sides.stepless() {
		return nil
	}
	// By equivalent diameter, one size for each width that differs: the main's own height
	// while it is no more than the width, then nearly square ones.
	h := least.Height
	if from.Shape != duct.Round && z.sections[z.net.Sections[id].Up].on == id && !over(from.Height, lim.height) {
		h = from.Height
	}
	top := max(from.Width, least.Width)
	if lim.aspect > 0 && !math.IsInf(lim.aspect, 1) {
		top = min(top, duct.Length(lim.aspect)*h)
	}
	for i := z.pick.sides.upto(top) - 1; i >= 0; i-- {
		w := z.pick.sides.at(i)
		s := upright(lim.shape, w, min(h, w))
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

// regainExact returns the size at which gain is nil, between the size of from and the smallest within lim.
func (z *solver) regainExact(lim limits, st *section, from duct.Size, gain func(duct.Size) duct.Pressure) (duct.Size, reason) {
	lo := max(lim.exact(st.flow), z.spec.Least)
	hi := max(from.Equivalent(), lo)
	size := func(d duct.Length) duct.Size {
		if lim.shape == duct.Round {
			return duct.RoundOf(d)
		}
		h := widthFor(lim.shape, 0, d)
		if over(h, lim.height) {
			h = lim.height
		}
		return upright(lim.shape, max(h, widthFor(lim.shape, h, d)), h)
	}
	if hi <= 0 {
		return duct.Size{}, byRegain
	}
	if st.tooLarge(size(hi)) {
		hi = max(lo, hi*duct.Length(math.Sqrt(float64(st.base.Area()/size(hi).Area())/regainSlowest)))
	}
	least := max(lo, hi/64)
	at := func(k int) duct.Length { // from hi down to the least
		return hi * duct.Length(math.Pow(float64(least/hi), float64(k)/regainTries))
	}
	k := 0
	for k <= regainTries && gain(size(at(k))) < 0 {
		k++
	}
	if k > regainTries {
		return notOver(st.base, size(hi)), byFriction
	}
	for k < regainTries && gain(size(at(k+1))) >= 0 {
		k++
	}
	if k == regainTries {
		return size(least), byRegain
	}
	lo, hi = at(k+1), at(k)
	for range 200 {
		mid := (lo + hi) / 2
		if gain(size(mid)) > 0 {
			hi = mid
		} else {
			lo = mid
		}
		if hi-lo < flowTol*hi {
			break
		}
	}
	st.exact = hi
	return size(hi), byRegain
}
