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
// what the deciding path loses from their common node on. Each stretch of a branch may use of
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

// sized is the size of a stretch and how it came about.
type sized struct {
	section duct.Section
	reason  reason
	cut     bool
	exact   duct.Length
}

func (st *stretch) sized() sized { return sized{st.section, st.reason, st.cut, st.exact} }

// state returns the sizes of all stretches as they are.
func (b *budget) state() []sized {
	out := make([]sized, len(b.z.stretches))
	for i := range out {
		out[i] = b.z.stretches[i].sized()
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
			for _, s := range z.net.Systems[i].Stretches {
				best[s] = z.stretches[s].sized()
			}
		}
	}
}

// restore gives every stretch the size it has in best, and works the network out with it.
func (b *budget) restore(best []sized) {
	z := b.z
	changed := false
	for i := range z.stretches {
		st, k := &z.stretches[i], best[i]
		if st.section != k.section {
			z.set(duct.StretchID(i), k.section)
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
	seen := make([]bool, len(z.stretches))
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
			for _, s := range sys.Stretches {
				b.back(s, &back)
			}
		}
		z.feeds(sys.Stretches)
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
	for s := z.net.Runs[r].Stretch; s != duct.None && !seen[s]; s = z.net.Stretches[s].Up {
		seen[s] = true
		b.back(s, any)
		for c := z.stretches[s].child; c != duct.None; c = z.stretches[c].next {
			b.back(duct.StretchID(c), any)
		}
	}
}

// resize gives a stretch a size within its budget.
func (b *budget) resize(id duct.StretchID, size duct.Section) {
	st, k := &b.z.stretches[id], b.first[id]
	b.z.set(id, size)
	if st.reason, st.cut = byBudget, true; size == k.section {
		st.reason, st.cut, st.exact = k.reason, k.cut, k.exact
	}
}

// back gives a stretch its size by equal friction again.
func (b *budget) back(id duct.StretchID, any *bool) {
	st, k := &b.z.stretches[id], b.first[id]
	if st.section != k.section {
		b.z.set(id, k.section)
		st.reason, st.cut, st.exact = k.reason, k.cut, k.exact
		*any = true
	}
}

// budget holds what balancing knows of every stretch, terminal and system.
type budget struct {
	z      *solver
	loss   []duct.Pressure // of the stretch, at the last evaluation
	fixed  []duct.Pressure // of what cannot be resized, from its start to the deciding terminal of what it serves
	free   []duct.Pressure // of what can be, likewise
	left   []duct.Pressure // budget at its start, or at its end while that is used up
	first  []sized         // by equal friction, which it does not grow over
	onPath []bool          // of the deciding path of its system

	path                 []duct.Pressure // by terminal: what it throttled by equal friction
	before, start, score []duct.Pressure // by system: throttled and required by equal friction, throttled at best so far
}

func newBudget(z *solver) *budget {
	n, systems := len(z.stretches), len(z.net.Systems)
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
				for s := z.net.Runs[r].Stretch; s != duct.None; s = z.net.Stretches[s].Up {
					b.onPath[s] = true
				}
			}
		}
	}
	return b
}

// movable reports whether stretch id may be made smaller.
func (b *budget) movable(id duct.StretchID) bool {
	st := &b.z.stretches[id]
	return st.keep == found && st.reason != byRoom && st.method == Balanced && !b.onPath[id] && st.flow > leastFlow
}

// share resizes the branches of one system and reports whether any changed.
func (b *budget) share(id duct.SystemID) bool {
	z := b.z
	sys := &z.net.Systems[id]
	b.losses(sys)
	required := z.des.Systems[id].Required
	moved := false
	for _, s := range sys.Stretches {
		st := &z.stretches[s]
		left := required
		if up := z.net.Stretches[s].Up; up != duct.None {
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
		if size != st.section {
			b.resize(s, size)
			moved = true
		}
	}
	if moved {
		z.feeds(sys.Stretches)
	}
	return moved
}

// losses adds up, from the outermost stretch in, what is lost from the start of each to the
// deciding terminal of what it serves.
func (b *budget) losses(sys *duct.System) {
	z := b.z
	for k := len(sys.Stretches) - 1; k >= 0; k-- {
		s := sys.Stretches[k]
		b.loss[s] = 0
		for _, r := range z.net.Stretches[s].Runs {
			b.loss[s] += z.des.Runs[r].Friction + z.des.Runs[r].Fittings
		}
		fixed, free := duct.Pressure(0), duct.Pressure(0)
		if n := &z.net.Nodes[z.net.DownNode(z.lastRun(s))]; n.Kind == duct.Outlet && n.Terminal != duct.None {
			fixed = z.net.Terminals[n.Terminal].Loss
		}
		for c := z.stretches[s].child; c != duct.None; c = z.stretches[c].next {
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

// tighten uses up, from the unit outwards, what the steps left of the budgets: each stretch becomes as small as the least
// that is throttled behind it allows. It reports whether any changed.
func (b *budget) tighten(id duct.SystemID) bool {
	z := b.z
	sys := &z.net.Systems[id]
	for k := len(sys.Stretches) - 1; k >= 0; k-- {
		s := sys.Stretches[k]
		least := duct.Pressure(math.Inf(1))
		if n := &z.net.Nodes[z.net.DownNode(z.lastRun(s))]; n.Kind == duct.Outlet && n.Terminal != duct.None {
			least = z.des.Terminals[n.Terminal].Throttle
		}
		for c := z.stretches[s].child; c != duct.None; c = z.stretches[c].next {
			least = min(least, b.left[c])
		}
		b.left[s] = least
	}
	moved := false
	for _, s := range sys.Stretches {
		st := &z.stretches[s]
		used := duct.Pressure(0) // by what lies towards the unit
		if up := z.net.Stretches[s].Up; up != duct.None {
			used = b.loss[up]
		}
		b.loss[s] = used
		if !b.movable(s) || math.IsInf(float64(b.left[s]), 1) {
			continue
		}
		is := z.stretchLoss(s, st.section)
		size, lost := b.fit(s, is+max(0, b.left[s]-used))
		if size == st.section || size.Area() > st.section.Area() {
			continue
		}
		b.loss[s] = used + lost - is
		b.resize(s, size)
		moved = true
	}
	if moved {
		z.feeds(sys.Stretches)
	}
	return moved
}

// fit returns the smallest size of a stretch that loses no more than target, and what it loses; not
// over its size by equal friction.
func (b *budget) fit(id duct.StretchID, target duct.Pressure) (duct.Section, duct.Pressure) {
	z := b.z
	st := &z.stretches[id]
	most := b.first[id].section
	lim := st.lim
	lim.rate, lim.shape = 0, most.Shape
	within := func(s duct.Section) (duct.Pressure, bool) {
		l := z.stretchLoss(id, s)
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
	return most, z.stretchLoss(id, most)
}

// smaller returns the steps from size most down to the smallest that keeps within lim and covers what
// the stretch feeds, largest first; most is the first. It is nil where every size is a step.
func (z *solver) smaller(id duct.StretchID, lim limits, most duct.Section) []duct.Section {
	list := []duct.Section{most}
	f := z.floorOf(id)
	q := duct.Flow(float64(z.stretches[id].flow) * (1 - stepSlack))
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
func (z *solver) fitExact(lim limits, st *stretch, most duct.Section, within func(duct.Section) (duct.Pressure, bool)) (duct.Section, duct.Pressure) {
	least := max(lim.exact(st.flow), z.spec.Least)
	size := func(k float64) duct.Section {
		return duct.Section{Shape: most.Shape, Width: most.Width * duct.Length(k), Height: most.Height * duct.Length(k)}
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
