package network

import (
	"fmt"
	"math"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// joined is a web whose ends have found what they lead to.
type joined struct {
	*web
	faces   map[class]*geom.Index
	outlets []int        // by index of Sketch.Terminals: its joint, none without a duct
	passed  map[int]bool // by index of Sketch.Terminals: a duct runs through it, as was reported
	drops   []drop
	risers  []riser
	jammed  bool // it was reported that too many pieces pass one place
}

// drop is a vertical run to be put between an end and the outlet under or over it.
type drop struct{ end, outlet int }

// riser is a vertical run to be put between an end and a joint above or below it.
type riser struct{ end, other int }

// joiner joins a web.
type joiner struct {
	joined
	unitAt map[unitKey]int // joints that stand for units
	found  diag.List
}

// unitKey is a unit as the ducts of one class see it.
type unitKey struct {
	unit  int
	class class
}

// join gives ends to units, to each other, to the lines they lie on, to terminals, and last to what is above or below
// them.
func join(w *web) (*joined, diag.List) {
	jn := &joiner{joined: joined{web: w, passed: map[int]bool{}}, unitAt: map[unitKey]int{}}
	jn.touchUnits()
	jn.snapEnds()
	jn.touchTerminals()
	jn.raise()
	return &jn.joined, jn.found
}

// otherDatum is how far apart in elevation two ducts may be noted and still be meant to meet, in metres,
// when one is noted by its centreline and the other by its bottom or top: about half of a deep duct.
// Common practice has no figure for it.
const otherDatum = 0.5

// reach is the snap distance, but for rounding.
func (f frame) reach() float64 { return f.snap + geom.Same }

// levelGap returns how far apart in elevation two places are, and whether that is one level.
func (f frame) levelGap(za float64, da duct.Datum, zb float64, db duct.Datum) (gap float64, level bool) {
	gap = math.Abs(za - zb)
	if da != db {
		return gap, gap <= otherDatum
	}
	return gap, gap <= f.reach()
}

// free reports whether j is an end of a line that has found nothing yet.
func (w *web) free(j int) bool { return w.joints[j].kind == openEnd && !w.joints[j].taken }

// snapEnds joins ends that meet at one level, and ends to the corners and the middles of lines.
func (jn *joiner) snapEnds() {
	for j := range jn.joints {
		if !jn.free(j) {
			continue
		}
		p := &jn.joints[j]
		for _, k := range jn.index[p.class].ends.Near(p.at, jn.reach()) {
			q := &jn.joints[k]
			if k <= j || q.taken || p.at.PlanDist(q.at) > jn.reach() {
				continue
			}
			if _, level := jn.levelGap(p.at.Z, p.datum, q.at.Z, q.datum); level {
				jn.unite(j, k)
			}
		}
	}
	for _, members := range jn.clusters() {
		jn.attach(members)
	}
}

// clusters returns the sets of free ends that met, each and all by rising joint.
func (w *web) clusters() [][]int {
	var out [][]int
	slot := map[int]int{}
	for j := range w.joints {
		if !w.free(j) {
			continue
		}
		r := w.same.root(j)
		if _, ok := slot[r]; !ok {
			slot[r] = len(out)
			out = append(out, nil)
		}
		out[slot[r]] = append(out[slot[r]], j)
	}
	return out
}

// target is a place an end can join.
type target struct {
	joint int // a corner or an end, or none: then
	piece int // this piece
	t     float64
	dist  float64 // in plan
	gap   float64 // in elevation
	level bool
	at    geom.Vec
}

const none = -1

// attach joins a set of ends to the corner or the middle it lies on, if there is one.
func (jn *joiner) attach(members []int) {
	var best target
	ok := false
	for _, j := range members {
		for _, s := range jn.targets(j) {
			if s.level && (!ok || s.better(best)) {
				best, ok = s, true
			}
		}
	}
	if !ok && len(members) < 2 {
		return
	}
	for _, j := range members {
		jn.joints[j].taken = true
	}
	if ok {
		jn.unite(members[0], jn.jointAt(best))
	}
}

// better reports whether s is to be preferred to o: a corner before a middle, then the nearer one.
func (s target) better(o target) bool {
	if (s.joint != none) != (o.joint != none) {
		return s.joint != none
	}
	return s.dist < o.dist-geom.Same
}

// jointAt returns the joint of a target, which is taken then. On the middle of a piece it is put there.
func (jn *joiner) jointAt(s target) int {
	k := s.joint
	if k == none {
		p := &jn.pieces[s.piece]
		l := &jn.lines[p.line]
		k = jn.addJoint(joint{kind: middle, at: s.at, class: l.class, datum: l.src.Datum, line: p.line,
			dist: p.along(s.t)})
		i, _ := slices.BinarySearchFunc(p.mids, s.t, mid.compare)
		p.mids = slices.Insert(p.mids, i, mid{s.t, k})
		if jn.upright(p.curve) {
			jn.plumb.join(k, p.a)
		}
	}
	if jn.joints[k].kind == openEnd {
		jn.joints[k].taken = true
	}
	return k
}

// targets returns the corners and the middles of pieces within the snap distance of end j in
// plan, at any level. Places on a line that has an end in its set and reaches them within a few
// snap distances are that end's own surroundings and left out.
func (jn *joiner) targets(j int) []target {
	end := jn.joints[j]
	var out []target
	ix := jn.index[end.class]
	for _, k := range ix.corners.Near(end.at, jn.reach()) {
		c := &jn.joints[k]
		if s := jn.targetAt(k, end); s.dist <= jn.reach() && !jn.ownGround(c.line, c.dist, j) {
			out = append(out, s)
		}
	}
	near, jammed := jn.piecesNear(ix, end.at, jn.reach())
	if jammed && !jn.jammed {
		jn.jammed = true
		jn.found = append(jn.found, jn.jam(end))
	}
	for _, pi := range near {
		p := &jn.pieces[pi]
		if s, ok := jn.targetOn(pi, end, jn.reach()); ok && !jn.ownGround(p.line, p.along(s.t), j) {
			out = append(out, s)
		}
	}
	return out
}

// targetAt returns joint k as a target of end.
func (w *web) targetAt(k int, end joint) target {
	c := &w.joints[k]
	gap, level := w.levelGap(end.at.Z, end.datum, c.at.Z, c.datum)
	return target{joint: k, piece: none, dist: end.at.PlanDist(c.at), gap: gap, level: level, at: c.at}
}

// mostPassing is how many pieces of ducts can pass one place. Beyond it the rest is not looked at, which is reported.
const mostPassing = 500

// piecesNear returns the pieces that may come within reach of a place, and whether there are more than are looked at.
func (w *web) piecesNear(ix *lookup, at geom.Vec, reach float64) (near []int, jammed bool) {
	near = ix.pieces.NearMost(at, reach, mostPassing)
	return near, len(near) == mostPassing
}

func (w *web) jam(end joint) diag.Diag {
	var found diag.List
	found.Add(diag.BadGeometry, spot(end.at), w.lines[end.line].src.Handle,
		fmt.Sprintf("More than %d ducts pass one place, here and perhaps elsewhere; not all of them were compared.",
			mostPassing),
		"Erase what was drawn over and over.")
	return found[0]
}

// along returns how far along its line fraction t of a piece lies.
func (p *piece) along(t float64) float64 { return p.d0 + t*(p.d1-p.d0) }

// targetOn returns the place on piece pi nearest to end, if it is within reach in plan. Close to an end of the
// piece it is the joint there.
func (w *web) targetOn(pi int, end joint, reach float64) (target, bool) {
	p := &w.pieces[pi]
	s := target{joint: none, piece: pi}
	if w.upright(p.curve) {
		if p.curve.A.PlanDist(end.at) > reach {
			return s, false
		}
		s.t = math.Max(0, math.Min(1, (end.at.Z-p.curve.A.Z)/(p.curve.B.Z-p.curve.A.Z)))
		s.dist = p.curve.Point(s.t).PlanDist(end.at)
	} else {
		s.t, s.dist = p.curve.Nearest(end.at)
	}
	if s.dist > reach {
		return s, false
	}
	s.at = p.curve.Point(s.t)
	l := p.d1 - p.d0
	switch {
	case s.t*l <= reach:
		s.joint, s.at = p.a, p.curve.A
	case (1-s.t)*l <= reach:
		s.joint, s.at = p.b, p.curve.B
	default:
		i, _ := slices.BinarySearchFunc(p.mids, s.t, mid.compare)
		for _, k := range [...]int{i - 1, i} {
			if k >= 0 && k < len(p.mids) && math.Abs(p.mids[k].t-s.t)*l <= reach {
				s.joint, s.at = p.mids[k].joint, w.joints[p.mids[k].joint].at
			}
		}
	}
	s.gap, s.level = w.levelGap(end.at.Z, end.datum, s.at.Z, w.lines[p.line].src.Datum)
	return s, true
}

// ownReach is how many snap distances from its end, along the line, a line may pass by that end without
// closing a loop.
const ownReach = 4

// ownGround reports whether the place at dist along line li belongs to the surroundings of one of the ends that met at
// end j.
func (w *web) ownGround(li int, dist float64, j int) bool {
	l := &w.lines[li]
	for _, k := range [...]int{l.joints[0], l.joints[len(l.joints)-1]} {
		e := &w.joints[k]
		if e.kind == openEnd && math.Abs(e.dist-dist) <= ownReach*w.snap && w.same.root(k) == w.same.root(j) {
			return true
		}
	}
	return false
}

// raise joins ends that found nothing at their own level to what lies above or below them.
func (jn *joiner) raise() {
	for j := range jn.joints {
		if !jn.free(j) {
			continue
		}
		if s, ok := jn.above(j); ok {
			jn.joints[j].taken = true
			k := jn.jointAt(s)
			jn.plumb.join(j, k)
			jn.risers = append(jn.risers, riser{j, k})
		}
	}
}

// above returns the nearest place over or under end j that is not joined to it by a vertical piece already.
func (jn *joiner) above(j int) (best target, ok bool) {
	end := jn.joints[j]
	all := jn.targets(j)
	for _, k := range jn.index[end.class].ends.Near(end.at, jn.reach()) {
		e := &jn.joints[k]
		if s := jn.targetAt(k, end); k != j && s.dist <= jn.reach() && !e.inUnit && e.line != end.line {
			all = append(all, s)
		}
	}
	for _, s := range all {
		switch {
		case s.joint != none && jn.plumb.root(s.joint) == jn.plumb.root(j):
		case s.joint == none && jn.upright(jn.pieces[s.piece].curve):
		case s.level: // beside it, and yet not joined: another rule has kept them apart
		case !ok || s.gap < best.gap-geom.Same:
			best, ok = s, true
		}
	}
	return best, ok
}
