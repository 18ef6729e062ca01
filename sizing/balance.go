package sizing

import (
	"twinline/layout/duct"
)

const (
	// balancePasses is how often budgets are shared out anew.
	balancePasses = 6
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
// choice. The best of the passes is kept, by the sum of throttling; equal friction is one of
// them. What makes a path throttle more than it did by equal friction is taken back, so that balancing never throttles
// more, neither in all nor on any path.
func (z *solver) balance() {
	best := append([]duct.Section(nil), z.sections...)
	score := make([]duct.Pressure, len(z.net.Systems))
	start := make([]duct.Pressure, len(z.net.Systems))
	before := make([]duct.Pressure, len(z.net.Systems))
	for i := range z.net.Systems {
		before[i] = z.throttled(duct.SystemID(i))
		score[i], start[i] = before[i], z.des.Systems[i].Required
	}
	path := make([]duct.Pressure, len(z.net.Terminals))
	for i := range path {
		path[i] = z.des.Terminals[i].Throttle
	}
	b := newBudget(z)
	for range balancePasses {
		moved := false
		for i := range z.net.Systems {
			moved = b.share(duct.SystemID(i)) || moved
		}
		if !moved {
			break
		}
		z.evaluate()
		for i := range z.net.Systems {
			sum := z.throttled(duct.SystemID(i))
			if sum < score[i] && z.des.Systems[i].Required <= start[i]*requiredMost {
				score[i] = sum
				for _, r := range z.net.Systems[i].Runs {
					best[r] = z.sections[r]
				}
			}
		}
	}
	z.restore(best)
	z.evaluate()
	for round := 0; b.repair(path, round == repairMost); round++ {
		z.evaluate()
	}
	for i := range before {
		z.des.Systems[i].Unthrottled = before[i]
	}
}

// restore gives every stretch the size it has in sections.
func (z *solver) restore(sections []duct.Section) {
	for i := range z.stretches {
		runs := z.net.Stretches[i].Runs
		if len(runs) > 0 && z.net.Stretches[i].System != duct.None {
			z.set(duct.StretchID(i), sections[runs[0]])
		}
	}
}

// repair takes back what made some path throttle more than path tells, and reports whether it took back anything: the
// sizes along that path, along the deciding one, and of what branches off them, since it is their junctions that
// changed what they lose; all of the system where that is not enough, or asked for.
func (b *budget) repair(path []duct.Pressure, whole bool) bool {
	z := b.z
	any := false
	seen := make([]bool, len(z.stretches))
	for i := range z.net.Systems {
		sys, res := &z.net.Systems[i], &z.des.Systems[i]
		worse, back := false, false
		for _, t := range sys.Terminals {
			if float64(z.des.Terminals[t].Throttle-path[t]) > budgetSlack*float64(max(res.Required, 1)) {
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

// back gives a stretch its size by equal friction again.
func (b *budget) back(id duct.StretchID, any *bool) {
	if st := &b.z.stretches[id]; st.section != b.limit[id] {
		b.z.set(id, b.limit[id])
		st.reason = b.reason[id]
		*any = true
	}
}

// budget holds what balancing knows of every stretch.
type budget struct {
	z      *solver
	loss   []duct.Pressure // of the stretch, at the last evaluation
	fixed  []duct.Pressure // of what cannot be resized, from its start to the deciding terminal of what it serves
	free   []duct.Pressure // of what can be, likewise
	left   []duct.Pressure // budget at its start
	limit  []duct.Section  // the size by equal friction, which it does not grow over
	reason []reason        // why it has that
	onPath []bool          // of the deciding path of its system
}

func newBudget(z *solver) *budget {
	n := len(z.stretches)
	b := &budget{z: z, loss: make([]duct.Pressure, n), fixed: make([]duct.Pressure, n), free: make([]duct.Pressure, n),
		left: make([]duct.Pressure, n), limit: make([]duct.Section, n), reason: make([]reason, n), onPath: make([]bool, n)}
	for i := range z.stretches {
		b.limit[i], b.reason[i] = z.stretches[i].section, z.stretches[i].reason
	}
	for i := range z.net.Systems {
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
	return st.keep == found && st.method == Balanced && !b.onPath[id] && st.flow > leastFlow
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
			z.set(s, size)
			st.reason = byBudget
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

// fit returns the smallest size of a stretch that loses no more than target, and what it loses; not
// over its size by equal friction.
func (b *budget) fit(id duct.StretchID, target duct.Pressure) (duct.Section, duct.Pressure) {
	z := b.z
	st := &z.stretches[id]
	most := b.limit[id]
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
