package sizing

import (
	"math"

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
func (z *solver) balance() {
	b := newBudget(z)
	best := b.state()
	for range balancePasses {
		if !b.each(b.share) {
			break
		}
		z.evaluate()
		b.keep(best)
	}
	b.restore(best)
	b.repair()
	best = b.state()
	for i := range b.score {
		b.score[i] = z.throttled(duct.SystemID(i))
	}
	for range tightenPasses {
		if !b.each(b.tighten) {
			break
		}
		z.evaluate()
		b.repair()
		b.keep(best)
	}
	b.restore(best)
	for i := range b.before {
		z.des.Systems[i].Unthrottled = b.before[i]
	}
}

// each does something with every system and reports whether it changed any.
func (b *budget) each(do func(duct.SystemID) bool) bool {
	any := false
	for i := range b.z.net.Systems {
		any = do(duct.SystemID(i)) || any
	}
	return any
}

// sized is the size of a section and how it came about.
type sized struct {
	size   duct.Size
	reason reason
	cut    bool
	exact  duct.Length
}

func (st *section) sized() sized { return sized{st.size, st.reason, st.cut, st.exact} }

// state returns the sizes of all sections as they are.
func (b *budget) state() []sized {
	out := make([]sized, len(b.z.sections))
	for i := range out {
		out[i] = b.z.sections[i].sized()
	}
	return out
}

// keep writes the sizes of those systems to best that leave less to throttle than it does, and ask for no stronger fan.
func (b *budget) keep(best []sized) {
	z := b.z
	for i := range z.net.Systems {
		sum := z.throttled(duct.SystemID(i))
		if sum < b.score[i] && z.des.Systems[i].Required <= b.start[i]*requiredMost {
			b.score[i] = sum
			for _, s := range z.net.Systems[i].Sections {
				best[s] = z.sections[s].sized()
			}
		}
	}
}

// restore gives every section the size it has in best, and works the network out with it.
func (b *budget) restore(best []sized) {
	z := b.z
	changed := false
	for i := range z.sections {
		st, k := &z.sections[i], best[i]
		if st.size != k.size {
			z.set(duct.SectionID(i), k.size)
			changed = true
		}
		st.reason, st.cut, st.exact = k.reason, k.cut, k.exact
	}
	if changed {
		z.evaluate()
	}
}

// repair takes back what makes some path throttle more than by equal friction, until none does.
func (b *budget) repair() {
	for round := 0; b.takeBack(round == repairMost); round++ {
		b.z.evaluate()
	}
}

// takeBack takes back what made some path throttle more, and reports whether it took back anything: the
// sizes along that path, along the deciding one, and of what branches off them, since it is their junctions that
// changed what they lose; all of the system where that is not enough, or asked for.
func (b *budget) takeBack(whole bool) bool {
	z := b.z
	any := false
	seen := make([]bool, len(z.sections))
	for i := range z.net.Systems {
		sys, res := &z.net.Systems[i], &z.des.Systems[i]
		worse, back := false, false
		for _, t := range sys.Terminals {
			if float64(z.des.Terminals[t].Throttle-b.path[t]) > budgetSlack*float64(max(res.Required, 1)) {
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
		z.feeds(sys.Sections)
		any = any || back
	}
	return any
}

// backAlong takes back the sizes of the path to a terminal and of what branches off it, up to what was seen before.
func (b *budget) backAlong(t duct.TerminalID, seen []bool, any *bool) {
	z := b.z
	r := z.runOf(t)
	if r == duct.None {
		return
	}
	for s := z.net.Runs[r].Section; s != duct.None && !seen[s]; s = z.net.Sections[s].Up {
		seen[s] = true
		b.back(s, any)
		for c := z.sections[s].child; c != duct.None; c = z.sections[c].next {
			b.back(duct.SectionID(c), any)
		}
	}
}

// resize gives a section a size within its budget.
func (b *budget) resize(id duct.SectionID, size duct.Size) {
	st, k := &b.z.sections[id], b.first[id]
	b.z.set(id, size)
	if st.reason, st.cut = byBudget, true; size == k.size {
		st.reason, st.cut, st.exact = k.reason, k.cut, k.exact
	}
}

// back gives a section its size by equal friction again.
func (b *budget) back(id duct.SectionID, any *bool) {
	st, k := &b.z.sections[id], b.first[id]
	if st.size != k.size {
		b.z.set(id, k.size)
		st.reason, st.cut, st.exact = k.reason, k.cut, k.exact
		*any = true
	}
}

// budget holds what balancing knows of every section, terminal and system.
type budget struct {
	z      *solver
	loss   []duct.Pressure // of the section, at the last evaluation
	fixed  []duct.Pressure // of what cannot be resized, from its start to the deciding terminal of what it serves
	free   []duct.Pressure // of what can be, likewise
	left   []duct.Pressure // budget at its start, or at its end while that is used up
	first  []sized         // by equal friction, which it does not grow over
	onPath []bool          // of the deciding path of its system

	path                 []duct.Pressure // by terminal: what it throttled by equal friction
	before, start, score []duct.Pressure // by system: throttled and required by equal friction, throttled at best so far
}

func newBudget(z *solver) *budget {
	n, systems := len(z.sections), len(z.net.Systems)
	b := &budget{z: z, loss: make([]duct.Pressure, n), fixed: make([]duct.Pressure, n), free: make([]duct.Pressure, n),
		left: make([]duct.Pressure, n), onPath: make([]bool, n), path: make([]duct.Pressure, len(z.net.Terminals)),
		before: make([]duct.Pressure, systems), start: make([]duct.Pressure, systems), score: make([]duct.Pressure, systems)}
	b.first = b.state()
	for i := range b.path {
		b.path[i] = z.des.Terminals[i].Throttle
	}
	for i := range z.net.Systems {
		b.before[i], b.start[i] = z.throttled(duct.SystemID(i)), z.des.Systems[i].Required
		b.score[i] = b.before[i]
		if t := z.des.Systems[i].Deciding; t != duct.None {
			if r := z.runOf(t); r != duct.None {
				for s := z.net.Runs[r].Section; s != duct.None; s = z.net.Sections[s].Up {
					b.onPath[s] = true
				}
			}
		}
	}
	return b
}

// movable reports whether section id may be made smaller.
func (b *budget) movable(id duct.SectionID) bool {
	st := &b.z.sections[id]
	return st.keep == found && st.reason != byRoom && st.method == Balanced && !b.onPath[id] && st.flow > leastFlow
}

// share resizes the branches of one system and reports whether any changed.
func (b *budget) share(id duct.SystemID) bool {
	z := b.z
	sys := &z.net.Systems[id]
	b.losses(sys)
	required := z.des.Systems[id].Required
	moved := false
	for _, s := range sys.Sections {
		st := &z.sections[s]
		left := required
		if up := z.net.Sections[s].Up; up != duct.None {
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
		z.feeds(sys.Sections)
	}
	return moved
}

// losses adds up, from the outermost section in, what is lost from the start of each to the
// deciding terminal of what it serves.
func (b *budget) losses(sys *duct.System) {
	z := b.z
	for k := len(sys.Sections) - 1; k >= 0; k-- {
		s := sys.Sections[k]
		b.loss[s] = 0
		for _, r := range z.net.Sections[s].Runs {
			b.loss[s] += z.des.Runs[r].Friction + z.des.Runs[r].Fittings
		}
		fixed, free := duct.Pressure(0), duct.Pressure(0)
		if n := &z.net.Nodes[z.net.DownNode(z.lastRun(s))]; n.Kind == duct.Outlet && n.Terminal != duct.None {
			fixed = z.net.Terminals[n.Terminal].Loss
		}
		for c := z.sections[s].child; c != duct.None; c = z.sections[c].next {
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

// tighten uses up, from the unit outwards, what the steps left of the budgets: each section becomes as small as the least
// that is throttled behind it allows. It reports whether any changed.
func (b *budget) tighten(id duct.SystemID) bool {
	z := b.z
	sys := &z.net.Systems[id]
	for k := len(sys.Sections) - 1; k >= 0; k-- {
		s := sys.Sections[k]
		least := duct.Pressure(math.Inf(1))
		if n := &z.net.Nodes[z.net.DownNode(z.lastRun(s))]; n.Kind == duct.Outlet && n.Terminal != duct.None {
			least = z.des.Terminals[n.Terminal].Throttle
		}
		for c := z.sections[s].child; c != duct.None; c = z.sections[c].next {
			least = min(least, b.left[c])
		}
		b.left[s] = least
	}
	moved := false
	for _, s := range sys.Sections {
		st := &z.sections[s]
		used := duct.Pressure(0) // by what lies towards the unit
		if up := z.net.Sections[s].Up; up != duct.None {
			used = b.loss[up]
		}
		b.loss[s] = used
		if !b.movable(s) || math.IsInf(float64(b.left[s]), 1) {
			continue
		}
		is := z.sectionLoss(s, st.size)
		size, lost := b.fit(s, is+max(0, b.left[s]-used))
		if size == st.size || size.Area() > st.size.Area() {
			continue
		}
		b.loss[s] = used + lost - is
		b.resize(s, size)
		moved = true
	}
	if moved {
		z.feeds(sys.Sections)
	}
	return moved
}

// fit returns the smallest size of a section that loses no more than target, and what it loses; not
// over its size by equal friction.
func (b *budget) fit(id duct.SectionID, target duct.Pressure) (duct.Size, duct.Pressure) {
	z := b.z
	st := &z.sections[id]
	most := b.first[id].size
	lim := st.lim
	lim.rate, lim.shape = 0, most.Shape
	within := func(s duct.Size) (duct.Pressure, bool) {
		l := z.sectionLoss(id, s)
		return l, float64(l) <= float64(target)+budgetSlack*float64(max(target, 1))
	}
	list := z.smaller(id, lim, most)
	if list == nil {
		return z.fitExact(lim, st, most, within)
	}
	for k := len(list) - 1; k > 0; k-- { // from the smallest up
		if l, ok := within(list[k]); ok {
			return list[k], l
		}
	}
	return most, z.sectionLoss(id, most)
}

// smaller returns the steps from size most down to the smallest that keeps within lim and covers what
// the section feeds, largest first; most is the first. It is nil where every size is a step.
func (z *solver) smaller(id duct.SectionID, lim limits, most duct.Size) []duct.Size {
	list := []duct.Size{most}
	f := z.floorOf(id)
	q := duct.Flow(float64(z.sections[id].flow) * (1 - stepSlack))
	t := z.pick.table(lim)
	if most.Shape == duct.Round {
		if z.pick.round.stepless() {
			return nil
		}
		for i := z.pick.round.index(most.Width) - 1; i >= 0; i-- {
			s := duct.RoundOf(z.pick.round.at(i))
			if t.carriesRound(z.pick.round, i) < q || !f.covers(s) {
				break
			}
			list = append(list, s)
		}
		return list
	}
	if z.pick.sides.stepless() {
		return nil
	}
	h := z.pick.sides.index(most.Height)
	w := z.pick.sides.index(most.Width)
	if h >= z.pick.sides.len() || w >= z.pick.sides.len() {
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
		s := upright(lim.shape, z.pick.sides.at(w), z.pick.sides.at(h))
		if t.carriesSides(z.pick.sides, h, w) < q || !f.covers(s) {
			return list
		}
		list = append(list, s)
	}
}

// fitExact is fit where every size is a step.
func (z *solver) fitExact(lim limits, st *section, most duct.Size, within func(duct.Size) (duct.Pressure, bool)) (duct.Size, duct.Pressure) {
	least := max(lim.exact(st.flow), z.spec.Least)
	size := func(k float64) duct.Size {
		return duct.Size{Shape: most.Shape, Width: most.Width * duct.Length(k), Height: most.Height * duct.Length(k)}
	}
	lo, hi := min(1, float64(least/most.Equivalent())), 1.0
	if l, ok := within(size(lo)); ok && lo > 0 {
		return size(lo), l
	}
	for range 100 {
		mid := (lo + hi) / 2
		if _, ok := within(size(mid)); ok {
			hi = mid
		} else {
			lo = mid
		}
		if hi-lo < flowTol {
			break
		}
	}
	l, _ := within(size(hi))
	st.exact = most.Equivalent() * duct.Length(hi)
	return size(hi), l
}
