package sizing

import (
	"math"
	"slices"

	"twinline/layout/duct"
)

const (
	// balancePasses is how often budgets are shared out anew; more hardly help.
	balancePasses = 2
	// tightenPasses is how often what the steps left is used up.
	tightenPasses = 1
	// requiredMost is how much the deciding path may grow while other branches are made smaller;
	// it can grow a little, since a smaller branch changes the straight leg of its junction.
	requiredMost = 1.02
	// budgetSlack is the relative slack of a loss against its budget.
	budgetSlack = 1e-9
	// repairMost is how often what makes some path throttle more is taken back; one to three times is usual.
	repairMost = 20
)

// balance makes the branches off the deciding path smaller, so that less is left to throttle.
//
// Source: ASHRAE Handbook Fundamentals, ch. 21, on balancing by size. The budget of a branch is
// what the deciding path loses from their common node on. Each section of a branch may use of
// it the share it has of the losses still to come on the branch's own deciding path, which
// keeps their proportions; the last takes what is left. How the budget is shared is our own
// choice. What steps leave over is then used up from the unit outwards. The best of the passes is kept, by the
// sum of throttling; equal friction is one of them. What makes a path throttle more than it did by equal friction is
// taken back, so that balancing never throttles more, neither in all nor on any path.
func (e *evaluation) balance() {
	b := newBudget(e)
	best := b.state()
	for range balancePasses {
		if !b.each(b.share) {
			break
		}
		e.evaluate()
		b.keep(best)
	}
	b.restore(best)
	b.repair()
	best = b.state()
	for i := range b.score {
		b.score[i] = e.throttled(duct.SystemID(i))
	}
	for range tightenPasses {
		if !b.each(b.tighten) {
			break
		}
		e.evaluate()
		b.repair()
		b.keep(best)
	}
	b.restore(best)
	for i := range b.before {
		e.des.Systems[i].Unthrottled = b.before[i]
	}
}

// each does something with every system and reports whether it changed any.
func (b *budget) each(do func(duct.SystemID) bool) bool {
	any := false
	for i := range b.e.net.Systems {
		any = do(duct.SystemID(i)) || any
	}
	return any
}

// state returns the sizes of all sections as they are.
func (b *budget) state() []sized { return slices.Clone(b.e.sizes) }

// keep writes the sizes of those systems to best that leave less to throttle than it does, and ask for no stronger fan.
func (b *budget) keep(best []sized) {
	e := b.e
	for i := range e.net.Systems {
		sum := e.throttled(duct.SystemID(i))
		if sum < b.score[i] && e.des.Systems[i].Required <= b.start[i]*requiredMost {
			b.score[i] = sum
			for _, s := range e.net.Systems[i].Sections {
				best[s] = e.sizes[s]
			}
		}
	}
}

// restore gives every section the size it has in best, and works the network out with it.
func (b *budget) restore(best []sized) {
	e := b.e
	changed := false
	for i := range e.sizes {
		if e.sizes[i].size != best[i].size {
			e.set(duct.SectionID(i), best[i].size)
			changed = true
		}
	}
	copy(e.sizes, best)
	if changed {
		e.evaluate()
	}
}

// repair takes back what makes some path throttle more than by equal friction, until none does.
func (b *budget) repair() {
	for round := 0; b.takeBack(round == repairMost); round++ {
		b.e.evaluate()
	}
}

// takeBack takes back what made some path throttle more, and reports whether it took back anything: the
// sizes along that path, along the deciding one, and of what branches off them, since it is their junctions that
// changed what they lose; all of the system where that is not enough, or asked for.
func (b *budget) takeBack(whole bool) bool {
	e := b.e
	any := false
	seen := make([]bool, len(e.sections))
	for i := range e.net.Systems {
		sys, res := &e.net.Systems[i], &e.des.Systems[i]
		worse, back := false, false
		for _, t := range sys.Terminals {
			if float64(e.des.Terminals[t].Throttle-b.path[t]) > budgetSlack*float64(max(res.Required, 1)) {
				worse = true
				b.backAlong(t, seen, &back)
			}
		}
		if !worse {
			continue
		}
		b.backAlong(res.Deciding, seen, &back)
		if whole || !back {
			for _, s := range sys.Sections {
				b.back(s, &back)
			}
		}
		e.coverAll(sys.Sections)
		any = any || back
	}
	return any
}

// backAlong takes back the sizes of the path to a terminal and of what branches off it, up to what was seen before.
func (b *budget) backAlong(t duct.TerminalID, seen []bool, any *bool) {
	e := b.e
	for s := range e.pathTo(t) {
		if seen[s] {
			return
		}
		seen[s] = true
		b.back(s, any)
		for c := range e.children(s) {
			b.back(c, any)
		}
	}
}

// resize gives a section a size within its budget.
func (b *budget) resize(id duct.SectionID, size duct.Size) {
	st, first := &b.e.sizes[id], b.first[id]
	b.e.set(id, size)
	if st.by, st.cut = duct.Budget, true; size == first.size {
		*st = first
	}
}

// back gives a section its size by equal friction again.
func (b *budget) back(id duct.SectionID, any *bool) {
	if first := b.first[id]; b.e.sizes[id].size != first.size {
		b.e.set(id, first.size)
		b.e.sizes[id] = first
		*any = true
	}
}

// budget holds what balancing knows of every section, terminal and system.
type budget struct {
	e      *evaluation
	loss   []duct.Pressure // of the section, at the last evaluation
	fixed  []duct.Pressure // of what cannot be resized, from its start to the deciding terminal of what it serves
	free   []duct.Pressure // of what can be, likewise
	left   []duct.Pressure // budget at its start, or at its end while that is used up
	first  []sized         // by equal friction, which it does not grow over
	onPath []bool          // of the deciding path of its system

	path []duct.Pressure // by terminal: what it throttled by equal friction
	// by system: throttled and required by equal friction, throttled at best so far
	before, start, score []duct.Pressure
}

func newBudget(e *evaluation) *budget {
	n, systems := len(e.sections), len(e.net.Systems)
	b := &budget{e: e, loss: make([]duct.Pressure, n), fixed: make([]duct.Pressure, n), free: make([]duct.Pressure, n),
		left: make([]duct.Pressure, n), onPath: make([]bool, n), path: make([]duct.Pressure, len(e.net.Terminals)),
		before: make([]duct.Pressure, systems), start: make([]duct.Pressure, systems),
		score: make([]duct.Pressure, systems)}
	b.first = b.state()
	for i := range b.path {
		b.path[i] = e.des.Terminals[i].Throttle
	}
	for i := range e.net.Systems {
		b.before[i], b.start[i] = e.throttled(duct.SystemID(i)), e.des.Systems[i].Required
		b.score[i] = b.before[i]
		if t := e.des.Systems[i].Deciding; t != duct.None {
			for s := range e.pathTo(t) {
				b.onPath[s] = true
			}
		}
	}
	return b
}

// movable reports whether section id may be made smaller.
func (b *budget) movable(id duct.SectionID) bool {
	s := &b.e.sections[id]
	return b.e.isFree(id) && b.e.sizes[id].by != duct.HeldOn && s.method == Balanced && !b.onPath[id] &&
		s.flow > leastFlow
}

// share resizes the branches of one system and reports whether any changed.
func (b *budget) share(id duct.SystemID) bool {
	e := b.e
	sys := &e.net.Systems[id]
	b.losses(sys)
	required := e.des.Systems[id].Required
	moved := false
	for _, s := range sys.Sections {
		st := &e.sizes[s]
		left := required
		if up := e.net.Sections[s].Up; up != duct.None {
			left = b.left[up] // what is left at its end
		}
		if !b.movable(s) {
			b.left[s] = left - b.loss[s]
			continue
		}
		target := b.loss[s]
		if b.free[s] > 0 {
			target *= (left - b.fixed[s]) / b.free[s]
		}
		size, lost := b.fit(s, target)
		b.left[s] = left - lost
		if size != st.size {
			b.resize(s, size)
			moved = true
		}
	}
	if moved {
		e.coverAll(sys.Sections)
	}
	return moved
}

// losses adds up, from the outermost section in, what is lost from the start of each to the
// deciding terminal of what it serves.
func (b *budget) losses(sys *duct.System) {
	e := b.e
	for k := len(sys.Sections) - 1; k >= 0; k-- {
		s := sys.Sections[k]
		b.loss[s] = 0
		for _, r := range e.net.Sections[s].Runs {
			b.loss[s] += e.des.Runs[r].Friction + e.des.Runs[r].Fittings
		}
		fixed, free := duct.Pressure(0), duct.Pressure(0)
		if t := e.terminalOf(s); t != nil {
			fixed = t.Loss
		}
		for c := range e.children(s) {
			if b.fixed[c]+b.free[c] > fixed+free {
				fixed, free = b.fixed[c], b.free[c]
			}
		}
		if b.movable(s) {
			free += b.loss[s]
		} else {
			fixed += b.loss[s]
		}
		b.fixed[s], b.free[s] = fixed, free
	}
}

// tighten uses up, from the unit outwards, what the steps left of the budgets: each section becomes as small as the
// least that is throttled behind it allows. It reports whether any changed.
func (b *budget) tighten(id duct.SystemID) bool {
	e := b.e
	sys := &e.net.Systems[id]
	for k := len(sys.Sections) - 1; k >= 0; k-- {
		s := sys.Sections[k]
		least := duct.Pressure(math.Inf(1))
		if t := e.terminalOf(s); t != nil {
			least = e.des.Terminals[t.ID].Throttle
		}
		for c := range e.children(s) {
			least = min(least, b.left[c])
		}
		b.left[s] = least
	}
	moved := false
	for _, s := range sys.Sections {
		st := &e.sizes[s]
		used := duct.Pressure(0) // by what lies towards the unit
		if up := e.net.Sections[s].Up; up != duct.None {
			used = b.loss[up]
		}
		b.loss[s] = used
		if !b.movable(s) || math.IsInf(float64(b.left[s]), 1) {
			continue
		}
		is := e.sectionLoss(s, st.size)
		size, lost := b.fit(s, is+max(0, b.left[s]-used))
		if size == st.size || size.Area() > st.size.Area() {
			continue
		}
		b.loss[s] = used + lost - is
		b.resize(s, size)
		moved = true
	}
	if moved {
		e.coverAll(sys.Sections)
	}
	return moved
}

// fit returns the smallest size of a section that loses no more than target, and what it loses; not
// over its size by equal friction.
func (b *budget) fit(id duct.SectionID, target duct.Pressure) (duct.Size, duct.Pressure) {
	e := b.e
	most := b.first[id].size
	lim := e.unlimited(id, most)
	within := func(s duct.Size) (duct.Pressure, bool) {
		l := e.sectionLoss(id, s)
		return l, float64(l) <= float64(target)+budgetSlack*float64(max(target, 1))
	}
	list := e.smaller(id, lim, most)
	if list == nil {
		least := max(lim.exact(e.sections[id].flow), e.spec.Least)
		k, lost := fitExact(float64(least/most.Equivalent()), most, within)
		if k > float64(least/most.Equivalent()) {
			e.sizes[id].exact = most.Equivalent() * duct.Length(k)
		}
		return scaled(most, k), lost
	}
	for k := len(list) - 1; k > 0; k-- { // from the smallest up
		if l, ok := within(list[k]); ok {
			return list[k], l
		}
	}
	return most, e.sectionLoss(id, most)
}

// unlimited returns the limits of a section without that of friction, for sizes of the shape of s.
func (d *draft) unlimited(id duct.SectionID, s duct.Size) limits {
	lim := d.limits(id)
	lim.rate, lim.shape = 0, s.Shape
	return lim
}

// smaller returns the steps from size most down to the smallest that keeps within lim and covers what
// the section feeds, largest first; most is the first. It is nil where every size is a step.
func (d *draft) smaller(id duct.SectionID, lim limits, most duct.Size) []duct.Size {
	list := []duct.Size{most}
	f := d.floorOf(id)
	q := duct.Flow(float64(d.sections[id].flow) * (1 - stepSlack))
	t := d.picker.table(lim)
	if l := d.picker.round; most.Shape == duct.Round {
		if l.stepless() {
			return nil
		}
		for i := l.index(most.Width) - 1; i >= 0; i-- {
			s := duct.RoundOf(l.at(i))
			if t.carriesRound(l, i) < q || !f.covers(s) {
				break
			}
			list = append(list, s)
		}
		return list
	}
	l := d.picker.sides
	if l.stepless() {
		return nil
	}
	h, w := l.index(most.Height), l.index(most.Width)
	if h >= l.len() || w >= l.len() {
		return list
	}
	for {
		if w > h { // narrower, and once square, smaller on both sides
			w--
		} else {
			w, h = w-1, h-1
		}
		if w < 0 || h < 0 {
			return list
		}
		s := upright(lim.shape, l.at(w), l.at(h))
		if t.carriesSides(l, h, w) < q || !f.covers(s) {
			return list
		}
		list = append(list, s)
	}
}

// fitExact is fit where every size is a step: it returns by how much most is scaled down, not below least.
func fitExact(least float64, most duct.Size, within func(duct.Size) (duct.Pressure, bool)) (float64, duct.Pressure) {
	lo, hi := min(1, least), 1.0
	if l, ok := within(scaled(most, lo)); ok && lo > 0 {
		return lo, l
	}
	k := halve(lo, hi, flowTol, func(k float64) bool {
		_, ok := within(scaled(most, k))
		return ok
	})
	l, _ := within(scaled(most, k))
	return k, l
}

// scaled returns a size of the same proportions.
func scaled(s duct.Size, k float64) duct.Size {
	return duct.Size{Shape: s.Shape, Width: s.Width * duct.Length(k), Height: s.Height * duct.Length(k)}
}
