package sizing

import (
	"fmt"
	"iter"
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// plan is the survey of a job: of every section where it is and what it is sized by. It does not change.
type plan struct {
	*job
	sections []section
}

// section is what a chain of runs of one size is sized by.
type section struct {
	flow     duct.Flow
	method   Method
	lim      limits
	place    place
	kept     duct.Decision  // why its size is kept; Undecided where it is to be found
	fixed    duct.Size      // that size
	upstream bool           // of a box
	first    bool           // of a system, or after a box: nothing upstream to compare with
	child    int32          // the first that hangs on it, duct.None where nothing does
	next     int32          // the next that hangs on the same
	on       duct.SectionID // the one of them that takes it farther
}

// place is where in its system a section is.
type place uint8

const (
	mainPlace place = iota
	branchPlace
	runoutPlace
)

func (p place) String() string { return [...]string{"main", "branch", "runout"}[p] }

func newPlan(j *job) *plan {
	p := &plan{job: j, sections: make([]section, len(j.net.Sections))}
	for i := range p.sections {
		p.sections[i].child, p.sections[i].next = duct.None, duct.None
	}
	terminals := make([]int32, len(p.sections)) // that a section serves
	boxes := make([]bool, len(p.sections))      // with a box farther out
	for si := range j.net.Systems {
		list := j.net.Systems[si].Sections
		for k := len(list) - 1; k >= 0; k-- {
			id := list[k]
			end := j.endOf(id).Kind
			if end == duct.Outlet {
				terminals[id]++
			}
			boxes[id] = boxes[id] || end == duct.Box
			if up := j.net.Sections[id].Up; up != duct.None {
				p.sections[id].next = p.sections[up].child
				p.sections[up].child = int32(id)
				terminals[up] += terminals[id]
				boxes[up] = boxes[up] || boxes[id]
			}
		}
		for _, id := range list {
			s, r := &p.sections[id], j.firstRun(id)
			s.flow, s.upstream = r.Flow, boxes[id]
			s.first = r.Up == duct.None || j.net.Nodes[j.net.UpNode(r)].Kind == duct.Box
			s.method = j.spec.methodOf(r.Air, s.upstream)
		}
		for _, id := range list {
			p.setPlaces(id, terminals)
		}
		for _, id := range list {
			s, r := &p.sections[id], j.firstRun(id)
			s.lim = j.spec.limitsOf(s, r, j.walls[r.ID])
			s.kept, s.fixed = j.keptSize(id, &s.lim)
		}
	}
	return p
}

// children returns the sections that hang on one.
func (p *plan) children(id duct.SectionID) iter.Seq[duct.SectionID] {
	return func(yield func(duct.SectionID) bool) {
		for c := p.sections[id].child; c != duct.None; c = p.sections[c].next {
			if !yield(duct.SectionID(c)) {
				return
			}
		}
	}
}

// methodOf returns the method for air, upstream of boxes or not.
func (spec *Spec) methodOf(air duct.Air, upstream bool) Method {
	m := spec.Method
	if upstream && spec.UpstreamMethod != "" {
		m = spec.UpstreamMethod
	}
	if m == "" || spec.instead(m, air) != "" {
		return EqualFriction
	}
	return m
}

// instead returns why air is sized by equal friction in place of a method; "" where it is not.
func (spec *Spec) instead(m Method, air duct.Air) string {
	switch {
	case m == StaticRegain && !air.FromUnit():
		return "static regain has no meaning on the suction side"
	case m == Optimised && !spec.Costs.usable():
		return "there are no costs to weigh duct against fan energy"
	}
	return ""
}

// setPlaces says of the sections that hang on id where they are. One of a main is main too: the
// one that goes straight on, else the one with most air.
func (p *plan) setPlaces(id duct.SectionID, terminals []int32) {
	s := &p.sections[id]
	if p.net.Sections[id].Up == duct.None {
		s.place = mainPlace
	}
	s.on = p.goesOn(id)
	for c := range p.children(id) {
		child := &p.sections[c]
		child.place = branchPlace
		if c == s.on {
			child.place = s.place
		}
		if child.place == branchPlace && terminals[c] == 1 {
			child.place = runoutPlace
		}
	}
}

// goesOn returns the section that takes id farther, duct.None at its end.
func (p *plan) goesOn(id duct.SectionID) duct.SectionID {
	along := p.lastRun(id).Outward().Tangent(1)
	best, bestStraight := duct.SectionID(duct.None), false
	for c := range p.children(id) {
		straight := geom.TurnBetween(along, p.firstRun(c).Outward().Tangent(0)) <= duct.StraightOn
		if best == duct.None || straight && !bestStraight ||
			straight == bestStraight && p.sections[c].flow > p.sections[best].flow {
			best, bestStraight = c, straight
		}
	}
	return best
}

// limitsOf returns what a section that begins with run r has to keep within.
func (spec *Spec) limitsOf(s *section, r *duct.Run, w wall) limits {
	l := limits{wall: w, shape: spec.Shape, height: spec.MaxHeight, aspect: spec.MaxAspect}
	if r.Spec.HasShape {
		l.shape = r.Spec.Shape
	}
	if r.Spec.MaxHeight > 0 && (l.height <= 0 || r.Spec.MaxHeight < l.height) {
		l.height = r.Spec.MaxHeight
	}
	if w.extended > 0 {
		l.shape, l.height = duct.Round, 0
	}
	if l.aspect < 1 {
		l.aspect = math.Inf(1)
	}
	l.velocity = spec.MaxVelocities.at(s.place, spec.MaxVelocity)
	switch s.method {
	case ConstVelocity:
		if v := spec.Velocities.at(s.place, spec.Velocity); l.velocity <= 0 || v > 0 && v < l.velocity {
			l.velocity = v
		}
	case StaticRegain:
		if !s.first || l.velocity <= 0 {
			l.rate = spec.Rate // to start from; regain then sizes them by velocity alone
		}
	default:
		l.rate = spec.Rate
	}
	return l
}

// at returns the velocity of a place.
func (v ByPlace) at(p place, otherwise duct.Velocity) duct.Velocity {
	if own := [...]duct.Velocity{v.Main, v.Branch, v.Runout}[p]; own > 0 {
		return own
	}
	return otherwise
}

// keptSize returns the size a section keeps and why: that noted on one of its runs, else of flexible duct the round
// neck of the terminal it ends on.
func (j *job) keptSize(id duct.SectionID, lim *limits) (duct.Decision, duct.Size) {
	for _, r := range j.net.Sections[id].Runs {
		if s := j.net.Runs[r].Spec.Fixed; !s.IsZero() {
			if j.firstRun(id).Status == duct.Existing {
				return duct.ExistingSize, s
			}
			return duct.NotedSize, s
		}
	}
	if t := j.terminalOf(id); t != nil && lim.extended > 0 && !t.Neck.IsZero() && t.Neck.Shape == duct.Round {
		return duct.NeckSize, t.Neck
	}
	return duct.Undecided, duct.Size{}
}

// methods names the methods a system is sized by.
func (p *plan) methods(sys *duct.System) string {
	method, upstream := Method(""), Method("")
	for _, id := range sys.Sections {
		if s := &p.sections[id]; s.upstream {
			upstream = s.method
		} else {
			method = s.method
		}
	}
	switch {
	case method == "":
		return string(upstream)
	case upstream != "" && upstream != method:
		return fmt.Sprintf("%s, %s upstream of boxes", method, upstream)
	}
	return string(method)
}
