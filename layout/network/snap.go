package network

import (
	"fmt"
	"math"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// otherDatum is how far apart in elevation two ducts may be noted and still be meant to meet, in metres,
// when one is noted by its centreline and the other by its bottom or top: about half of a deep duct.
// Common practice has no figure for it.
const otherDatum = 0.5

// levelGap returns how far apart in elevation two places are, and whether that is one level.
func (b *builder) levelGap(za float64, da duct.Datum, zb float64, db duct.Datum) (gap float64, level bool) {
	gap = math.Abs(za - zb)
	if da != db {
		return gap, gap <= otherDatum
	}
	return gap, gap <= b.snap+geom.Same
}

// level reports whether two joints lie at one elevation.
func (b *builder) level(i, j int) bool {
	p, q := &b.joints[i], &b.joints[j]
	_, ok := b.levelGap(p.at.Z, p.datum, q.at.Z, q.datum)
	return ok
}

// isEnd reports whether j is a free end of a line, and no unit has it.
func (b *builder) isEnd(j int) bool { return b.joints[j].kind == openEnd }

// snapEnds joins ends that meet at one level, and ends to the corners and the middles of lines.
func (b *builder) snapEnds() {
	reach := b.snap + geom.Same
	for j := range b.joints {
		if !b.isEnd(j) || b.taken[j] {
			continue
		}
		at := b.joints[j].at
		for _, k := range b.index[b.joints[j].class].ends.Near(at, reach) {
			if k > j && !b.taken[k] && at.PlanDist(b.joints[k].at) <= reach && b.level(j, k) {
				b.unite(j, k)
			}
		}
	}
	for _, members := range b.clusters() {
		b.attach(members)
	}
}

// clusters returns the sets of ends that met, each and all by rising joint.
func (b *builder) clusters() [][]int {
	var out [][]int
	slot := map[int]int{}
	for j := range b.joints {
		if !b.isEnd(j) || b.taken[j] {
			continue
		}
		r := b.same.root(j)
		if _, ok := slot[r]; !ok {
			slot[r] = len(out)
			out = append(out, nil)
		}
		out[slot[r]] = append(out[slot[r]], j)
	}
	return out
}

// spot is a place on another line an end can join.
type spot struct {
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
func (b *builder) attach(members []int) {
	best := spot{joint: none, piece: none}
	for _, j := range members {
		for _, s := range b.spots(j) {
			if s.level && (best.joint == none && best.piece == none || b.better(s, best)) {
				best = s
			}
		}
	}
	if best.joint == none && best.piece == none {
		if len(members) > 1 {
			b.take(members)
		}
		return
	}
	b.take(members)
	b.join(members[0], best, false)
}

func (b *builder) take(members []int) {
	for _, j := range members {
		b.taken[j] = true
	}
}

// better reports whether p is to be preferred to q: a corner before a middle, then the nearer one.
func (b *builder) better(p, q spot) bool {
	if (p.joint != none) != (q.joint != none) {
		return p.joint != none
	}
	return p.dist < q.dist-geom.Same
}

// join joins end j to s, by a riser or at one level. Where s lies on the middle of a piece, the
// piece gets a joint there.
func (b *builder) join(j int, s spot, upright bool) {
	k := s.joint
	if k == none {
		p := &b.pieces[s.piece]
		l := &b.lines[p.line]
		k = b.addJoint(joint{kind: middle, at: s.at, class: l.class, datum: l.src.Datum, line: p.line, dist: b.alongLine(s.piece, s.t)})
		i, _ := slices.BinarySearchFunc(p.mids, s.t, mid.compare)
		p.mids = slices.Insert(p.mids, i, mid{s.t, k})
		if b.plumbLine(p.curve) {
			b.plumb.join(k, p.a)
		}
	}
	if b.isEnd(k) {
		b.taken[k] = true
	}
	if upright {
		b.plumb.join(j, k)
		b.risen = append(b.risen, riser{j, k})
		return
	}
	b.unite(j, k)
}

// spots returns the corners and the middles of pieces within the snap distance of end j in
// plan, at any level. Places on a line that has an end in its set and reaches them within a few
// snap distances are that end's own surroundings and left out.
func (b *builder) spots(j int) []spot {
	end := b.joints[j]
	reach := b.snap + geom.Same
	var out []spot
	ix := b.index[end.class]
	for _, k := range ix.corners.Near(end.at, reach) {
		c := &b.joints[k]
		if d := end.at.PlanDist(c.at); d <= reach && !b.ownGround(c.line, c.dist, j) {
			gap, level := b.levelGap(end.at.Z, end.datum, c.at.Z, c.datum)
			out = append(out, spot{k, none, 0, d, gap, level, c.at})
		}
	}
	for _, pi := range b.piecesNear(ix, j, reach) {
		if s, ok := b.spotOn(pi, end, reach); ok && !b.ownGround(b.pieces[pi].line, b.alongLine(pi, s.t), j) {
			out = append(out, s)
		}
	}
	return out
}

// mostPassing is how many pieces of ducts can pass one place. Beyond it the rest is not looked at, and that is told.
const mostPassing = 500

// piecesNear returns the pieces that may come within reach of end j.
func (b *builder) piecesNear(ix *lookup, j int, reach float64) []int {
	end := &b.joints[j]
	found := ix.pieces.NearMost(end.at, reach, mostPassing)
	if len(found) == mostPassing && !b.jammed {
		b.jammed = true
		b.found.Add(diag.BadGeometry, place(end.at), b.lines[end.line].src.Handle,
			fmt.Sprintf("More than %d ducts pass one place, here and perhaps elsewhere; not all of them were compared.", mostPassing),
			"Erase what was drawn over and over.")
	}
	return found
}

func (b *builder) alongLine(pi int, t float64) float64 {
	p := &b.pieces[pi]
	return p.d0 + t*(p.d1-p.d0)
}

// spotOn returns the place on piece pi nearest to end, if it is within reach in plan. Close to an end of the
// piece it is the joint there.
func (b *builder) spotOn(pi int, end joint, reach float64) (spot, bool) {
	p := &b.pieces[pi]
	s := spot{joint: none, piece: pi}
	if b.plumbLine(p.curve) {
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
				s.joint, s.at = p.mids[k].joint, b.joints[p.mids[k].joint].at
			}
		}
	}
	s.gap, s.level = b.levelGap(end.at.Z, end.datum, s.at.Z, b.lines[p.line].src.Datum)
	return s, true
}

// ownReach is how many snap distances from its end, along the line, a line may pass by that end without
// closing a loop.
const ownReach = 4

// ownGround reports whether the place at dist along line li belongs to the surroundings of one of the ends that met at
// end j.
func (b *builder) ownGround(li int, dist float64, j int) bool {
	l := &b.lines[li]
	for _, k := range [...]int{l.joints[0], l.joints[len(l.joints)-1]} {
		e := &b.joints[k]
		if e.kind == openEnd && math.Abs(e.dist-dist) <= ownReach*b.snap && b.same.root(k) == b.same.root(j) {
			return true
		}
	}
	return false
}

// risers joins ends that found nothing at their own level to what lies above or below them.
func (b *builder) risers() {
	for j := range b.joints {
		if !b.isEnd(j) || b.taken[j] {
			continue
		}
		if s, ok := b.above(j); ok {
			b.taken[j] = true
			b.join(j, s, true)
		}
	}
}

// above returns the nearest place over or under end j that is not joined to it by a vertical piece already.
func (b *builder) above(j int) (best spot, ok bool) {
	end := b.joints[j]
	reach := b.snap + geom.Same
	all := b.spots(j)
	for _, k := range b.index[end.class].ends.Near(end.at, reach) {
		e := &b.joints[k]
		if d := end.at.PlanDist(e.at); k != j && d <= reach && !b.inUnit[k] && e.line != end.line {
			gap, level := b.levelGap(end.at.Z, end.datum, e.at.Z, e.datum)
			all = append(all, spot{k, none, 0, d, gap, level, e.at})
		}
	}
	for _, s := range all {
		if s.joint != none && b.plumb.root(s.joint) == b.plumb.root(j) {
			continue
		}
		if s.joint == none && b.plumbLine(b.pieces[s.piece].curve) {
			continue
		}
		if s.level { // beside it, and yet not joined: another rule has kept them apart
			continue
		}
		if !ok || s.gap < best.gap-geom.Same {
			best, ok = s, true
		}
	}
	return best, ok
}
