package sizing

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// straightTurn is the largest turn of a leg that still goes straight on from its main, as the
// fittings count it.
const straightTurn = 15 * duct.Degree

// survey finds out of every section where it is and what it is sized by.
func (z *solver) survey() {
	z.sections = make([]section, len(z.net.Sections))
	for i := range z.sections {
		z.sections[i].child, z.sections[i].next = duct.None, duct.None
	}
	terminals := make([]int32, len(z.sections)) // that a section serves
	boxes := make([]bool, len(z.sections))      // with a box farther out
	for si := range z.net.Systems {
		list := z.net.Systems[si].Sections
		for k := len(list) - 1; k >= 0; k-- {
			id := list[k]
			end := z.net.Nodes[z.net.DownNode(z.lastRun(id))].Kind
			if end == duct.Outlet {
				terminals[id]++
			}
			boxes[id] = boxes[id] || end == duct.Box
			if up := z.net.Sections[id].Up; up != duct.None {
				z.sections[id].next = z.sections[up].child
				z.sections[up].child = int32(id)
				terminals[up] += terminals[id]
				boxes[up] = boxes[up] || boxes[id]
			}
		}
		for _, id := range list {
			z.surveyOne(id, boxes[id])
		}
		for _, id := range list {
			z.places(id, terminals)
		}
		for _, id := range list {
			z.sections[id].lim = z.limitsOf(id)
		}
	}
}

func (z *solver) surveyOne(id duct.SectionID, upstream bool) {
	st, r := &z.sections[id], z.firstRun(id)
	st.flow = r.Flow
	st.first = r.Up == duct.None || z.net.Nodes[z.net.UpNode(r)].Kind == duct.Box
	st.method, st.upstream = z.spec.Method, upstream
	if upstream && z.spec.UpstreamMethod != "" {
		st.method = z.spec.UpstreamMethod
	}
	if st.method == "" || z.instead(st.method, r.Air) != "" {
		st.method = EqualFriction
	}
}

// instead returns why air is sized by equal friction in place of a method; "" where it is not.
func (z *solver) instead(m Method, air duct.Air) string {
	switch {
	case m == StaticRegain && !air.FromUnit():
		return "static regain has no meaning on the suction side"
	case m == Optimised && !z.spec.Costs.usable():
		return "there are no costs to weigh duct against fan energy"
	}
	return ""
}

// places tells the sections that hang on id where they are. One of a main is main too: the
// one that goes straight on, else the one with most air.
func (z *solver) places(id duct.SectionID, terminals []int32) {
	st := &z.sections[id]
	if z.net.Sections[id].Up == duct.None {
		st.place = mainPlace
	}
	st.on = z.goesOn(id)
	for c := st.child; c != duct.None; c = z.sections[c].next {
		child := &z.sections[c]
		switch {
		case duct.SectionID(c) == st.on:
			child.place = st.place
		default:
			child.place = branchPlace
		}
		if child.place == branchPlace && terminals[c] == 1 {
			child.place = runoutPlace
		}
	}
}

// goesOn returns the section that takes id farther, duct.None at its end.
func (z *solver) goesOn(id duct.SectionID) duct.SectionID {
	along := z.lastRun(id).Outward().Tangent(1)
	best, bestStraight := duct.SectionID(duct.None), false
	for c := z.sections[id].child; c != duct.None; c = z.sections[c].next {
		cid := duct.SectionID(c)
		turn := geom.TurnBetween(along, z.firstRun(cid).Outward().Tangent(0))
		straight := turn <= straightTurn
		if best == duct.None || straight && !bestStraight ||
			straight == bestStraight && z.sections[c].flow > z.sections[best].flow {
			best, bestStraight = cid, straight
		}
	}
	return best
}

// limitsOf returns what section id has to keep within.
func (z *solver) limitsOf(id duct.SectionID) limits {
	st, r := &z.sections[id], z.firstRun(id)
	l := limits{wall: z.walls[r.ID], shape: z.spec.Shape, height: z.spec.MaxHeight, aspect: z.spec.MaxAspect}
	if r.Spec.HasShape {
		l.shape = r.Spec.Shape
	}
	if r.Spec.MaxHeight > 0 && (l.height <= 0 || r.Spec.MaxHeight < l.height) {
		l.height = r.Spec.MaxHeight
	}
	if l.wall.extended > 0 {
		l.shape, l.height = duct.Round, 0
	}
	if l.aspect < 1 {
		l.aspect = math.Inf(1)
	}
	l.velocity = byPlace(z.spec.MaxVelocities, st.place, z.spec.MaxVelocity)
	switch st.method {
	case ConstVelocity:
		if v := byPlace(z.spec.Velocities, st.place, z.spec.Velocity); l.velocity <= 0 || v > 0 && v < l.velocity {
			l.velocity = v
		}
	case StaticRegain:
		if !st.first || l.velocity <= 0 {
			l.rate = z.spec.Rate // to start from; regain then sizes them by velocity alone
		}
	default:
		l.rate = z.spec.Rate
	}
	return l
}

func byPlace(v ByPlace, p place, otherwise duct.Velocity) duct.Velocity {
	if own := [...]duct.Velocity{v.Main, v.Branch, v.Runout}[p]; own > 0 {
		return own
	}
	return otherwise
}

// kept gives their size to the sections that keep one.
func (z *solver) kept() {
	for si := range z.net.Systems {
		for _, id := range z.net.Systems[si].Sections {
			st, r := &z.sections[id], z.firstRun(id)
			fixed := z.fixed(id)
			switch {
			case !fixed.IsZero() && r.Status == duct.Existing:
				st.keep = existing
			case !fixed.IsZero():
				st.keep = noted
			case st.lim.extended > 0:
				if fixed = z.neck(id); fixed.IsZero() {
					continue
				}
				st.keep = necked
			default:
				continue
			}
			z.set(id, fixed)
		}
	}
}

// fixed returns the noted size of a section, zero if there is none.
func (z *solver) fixed(id duct.SectionID) duct.Size {
	for _, r := range z.net.Sections[id].Runs {
		if s := z.net.Runs[r].Spec.Fixed; !s.IsZero() {
			return s
		}
	}
	return duct.Size{}
}

// neck returns the round neck of the terminal a section ends on, zero where there is none.
func (z *solver) neck(id duct.SectionID) duct.Size {
	n := &z.net.Nodes[z.net.DownNode(z.lastRun(id))]
	if n.Kind != duct.Outlet || n.Terminal == duct.None {
		return duct.Size{}
	}
	if s := z.net.Terminals[n.Terminal].Neck; !s.IsZero() && s.Shape == duct.Round {
		return s
	}
	return duct.Size{}
}

// sizeAll gives every other section its size: outward by its limits, then inward so that
// none is smaller than what it feeds.
func (z *solver) sizeAll() {
	for si := range z.net.Systems {
		list := z.net.Systems[si].Sections
		for _, id := range list {
			if z.sections[id].keep == found {
				z.sizeOne(id, floor{})
				z.sections[id].base = z.sections[id].size
			}
		}
		z.feeds(list)
	}
}

// sizeOne gives a section the smallest size within its limits that covers f.
func (z *solver) sizeOne(id duct.SectionID, f floor) {
	st := &z.sections[id]
	if st.exact == 0 {
		st.exact = st.lim.exact(st.flow)
	}
	st.reason = st.plain()
	w := z.wishes(id)
	s, ok := z.pick.pick(st.lim, st.flow, f, w)
	if !ok && (w != wish{}) {
		s, ok = z.pick.pick(st.lim, st.flow, f, wish{})
	}
	if !ok && st.lim.shape == duct.Round && st.lim.height > 0 {
		flat := st.lim
		flat.shape = duct.Rect
		if s, ok = z.pick.pick(flat, st.flow, f, w); ok {
			st.lim = flat
			z.shapeChanged(id, s)
		}
	}
	switch {
	case ok:
		z.set(id, s)
	case st.size.IsZero():
		z.noSize(id)
		z.set(id, duct.RoundOf(max(st.exact, z.spec.Least, duct.Millimetre))) // to go on with
	} // else: what it feeds cannot be covered within the limits, so it stays as it is
}

// wishes returns what the size of a section should be like, from that of the one that feeds it.
func (z *solver) wishes(id duct.SectionID) wish {
	up := z.net.Sections[id].Up
	if z.sections[id].first || up == duct.None || z.sections[id].lim.shape == duct.Round {
		return wish{}
	}
	s := z.sizes[z.lastRun(up).ID]
	if s.IsZero() || s.Shape == duct.Round {
		return wish{}
	}
	w := wish{mostWidth: max(s.Width, s.Height), mostSide: s.Height}
	if z.sections[up].on == id {
		w.height = s.Height
	}
	return w
}

// feeds makes every section that is found no smaller than those it feeds, from the outermost in.
func (z *solver) feeds(list []duct.SectionID) {
	for k := len(list) - 1; k >= 0; k-- {
		z.cover(list[k])
	}
}

// cover makes a section that is found no smaller than those it feeds.
func (z *solver) cover(id duct.SectionID) {
	st := &z.sections[id]
	if st.keep != found || z.net.Nodes[z.net.DownNode(z.lastRun(id))].Kind == duct.Box {
		return
	}
	f := z.floorOf(id)
	if f.covers(st.size) {
		return
	}
	before, was, rate := st.size, st.reason, st.lim.rate
	if st.unbound() || st.heldDown() {
		st.lim.rate = 0
	}
	z.sizeOne(id, f)
	if g := z.floorOf(id); g != f { // it became rectangular, so that sides are compared too
		z.sizeOne(id, g)
	}
	st.lim.rate = rate
	if st.reason = was; st.size != before {
		st.reason = byFeeds
	}
}

// floorOf returns what section id has to cover.
func (z *solver) floorOf(id duct.SectionID) floor {
	var f floor
	st := &z.sections[id]
	for c := st.child; c != duct.None; c = z.sections[c].next {
		f = f.with(z.sections[c].size, &st.lim)
	}
	return f
}
