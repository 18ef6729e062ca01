package network

import (
	"fmt"
	"math"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/words"
)

// mixedAir reports where an end of one air touches a run or an end of another, or ends at a terminal
// of another. Ducts of different air that only come near each other are left to the look for clashes.
func (j *joined) mixedAir() (found diag.List) {
	for k := range j.joints {
		end := &j.joints[k]
		if end.kind != openEnd || end.class.removed || end.inUnit {
			continue
		}
		report := func(what, handle string) {
			found.Add(diag.MixedAir, spot(end.at), j.lines[end.line].src.Handle,
				fmt.Sprintf("A duct for %s air ends at %s (handle %s).", end.class.air, what, handle),
				"Put both on layers of one air, or part them by more than the snap distance.")
		}
		for _, air := range duct.Airs {
			c := class{air: air}
			if air == end.class.air {
				continue
			}
			if l := j.touched(c, k); l != nil {
				report(fmt.Sprintf("a duct for %s air", air), l.src.Handle)
			}
			if ix := j.faces[c]; ix != nil && !end.taken {
				for _, i := range ix.Near(end.at, j.reach()) {
					if t := &j.sk.Terminals[i]; faceDist(t, end.at) <= j.reach() {
						report(fmt.Sprintf("%s for %s air", words.Terminal(t.Mark), air), t.Handle)
						break
					}
				}
			}
		}
	}
	return found
}

// touched returns a line of class c that end k touches in space, nil if there is none; two ends that meet are
// reported once.
func (j *joined) touched(c class, k int) *line {
	ix := j.index[c]
	if ix == nil {
		return nil
	}
	end := j.joints[k]
	near, _ := j.piecesNear(ix, end.at, j.reach())
	for _, pi := range near {
		s, ok := j.targetOn(pi, end, j.reach())
		if !ok || s.gap > j.reach() {
			continue
		}
		if o := s.joint; o != none && j.joints[o].kind == openEnd && (j.joints[o].inUnit || o < k) {
			continue
		}
		return &j.lines[j.pieces[pi].line]
	}
	return nil
}

// mostOverlaps is after how many findings overlaps gives up: where so much is drawn double, one more says nothing.
const mostOverlaps = 200

// overlaps reports pieces of one air that run on top of each other at one level, and returns their lines.
func (w *web) overlaps() (doubled map[int]bool, found diag.List) {
	doubled = map[int]bool{}
	var near []int
	for pi := range w.pieces {
		p := &w.pieces[pi]
		cl := w.lines[p.line].class
		if cl.removed {
			continue
		}
		near = w.index[cl].pieces.AppendSearch(near[:0], p.curve.Box())
		for _, qi := range near {
			q := &w.pieces[qi]
			if qi <= pi || doubled[p.line] && doubled[q.line] {
				continue
			}
			at, length := w.shared(p, q)
			if length <= w.snap {
				continue
			}
			if len(found) == mostOverlaps {
				return doubled, found
			}
			doubled[p.line], doubled[q.line] = true, true
			found.Add(diag.Overlap, spot(at), w.lines[q.line].src.Handle,
				fmt.Sprintf("Two %s ducts (handles %s and %s) run on top of each other for %s.",
					cl.air, w.lines[p.line].src.Handle, w.lines[q.line].src.Handle, w.say.Length(duct.Length(length))),
				"Erase one, or move it to its own place or elevation.")
		}
	}
	return doubled, found
}

// shared returns the length p and q run together, and the middle of it. Curves count as running
// together while the shorter one keeps within the snap distance of the other, in plan and elevation.
func (w *web) shared(p, q *piece) (at geom.Vec, length float64) {
	if p.d1-p.d0 > q.d1-q.d0 {
		p, q = q, p
	}
	if w.upright(p.curve) || w.upright(q.curve) {
		if !w.upright(p.curve) || !w.upright(q.curve) || p.curve.A.PlanDist(q.curve.A) > w.snap {
			return at, 0
		}
		lo := math.Max(math.Min(p.curve.A.Z, p.curve.B.Z), math.Min(q.curve.A.Z, q.curve.B.Z))
		hi := math.Min(math.Max(p.curve.A.Z, p.curve.B.Z), math.Max(q.curve.A.Z, q.curve.B.Z))
		return p.curve.A.At((lo + hi) / 2), hi - lo
	}
	if p.curve.Straight() && q.curve.Straight() {
		return w.sharedStraight(p.curve, q.curve)
	}
	const steps = 16
	n := 0
	for i := 0; i <= steps; i++ {
		x := p.curve.Point(float64(i) / steps)
		t, d := q.curve.Nearest(x)
		if d <= w.snap && math.Abs(q.curve.Point(t).Z-x.Z) <= w.snap {
			n++
			at = x
		}
	}
	// Two curves that part at a tangent share their first steps without lying on each other.
	if n <= steps/2 {
		return at, 0
	}
	return at, p.curve.Len() * float64(n-1) / steps
}

// alike is the angle in radians below which two straight pieces can lie on top of each other.
const alike = 0.02

func (w *web) sharedStraight(p, q geom.Curve) (at geom.Vec, length float64) {
	u := q.B.Sub(q.A).Plan()
	l := u.Len()
	u = u.Unit()
	if turn := geom.TurnBetween(u, p.B.Sub(p.A).Plan()); math.Min(turn, math.Pi-turn) > alike {
		return at, 0
	}
	s0, s1 := p.A.Sub(q.A).Dot(u), p.B.Sub(q.A).Dot(u)
	lo, hi := math.Max(0, math.Min(s0, s1)), math.Min(l, math.Max(s0, s1))
	if hi <= lo {
		return at, 0
	}
	for _, s := range [...]float64{lo, hi} {
		x := q.Point(s / l)
		t, d := p.Nearest(x)
		if d > w.snap || math.Abs(p.Point(t).Z-x.Z) > w.snap {
			return at, 0
		}
	}
	return q.Point((lo + hi) / 2 / l), hi - lo
}

// missReach is how many snap distances a gap may be wide to be reported as a near miss.
const missReach = 6

// miss is the nearest thing a free end does not reach.
type miss struct {
	gap  float64
	what string
	end  int // the other end, if it is one

	jammed bool // not all that is near was compared
}

// nearMisses reports free ends with something they could be meant to meet just out of reach, and returns these ends.
func (j *joined) nearMisses() (missed map[int]bool, found diag.List) {
	missed = map[int]bool{}
	jammed := j.jammed
	var units geom.Index
	for i := range j.sk.Units {
		if u := &j.sk.Units[i]; finite(u.At, u.Outline) {
			units.Insert(geom.BoxOf(u.Outline...), i)
		}
	}
	for k := range j.joints {
		if !j.free(k) || j.joints[k].class.removed {
			continue
		}
		m, ok := j.missedBy(k, &units)
		if m.jammed && !jammed {
			jammed = true
			found = append(found, j.jam(j.joints[k]))
		}
		if !ok {
			continue
		}
		missed[k] = true
		if m.end != none && missed[m.end] {
			continue // reported from the other side
		}
		end := &j.joints[k]
		found.Add(diag.NearMiss, spot(end.at), j.lines[end.line].src.Handle,
			fmt.Sprintf("A duct ends %s from %s and does not join it.", j.say.Length(duct.Length(m.gap)), m.what),
			"Draw the end up to it if they should join, or farther away if not.")
	}
	return missed, found
}

// missedBy returns what free end k misses by the least.
func (j *joined) missedBy(k int, units *geom.Index) (best miss, ok bool) {
	end := j.joints[k]
	most := missReach * j.snap
	take := func(gap float64, what string, other int) {
		if gap > j.snap && gap < most && (!ok || gap < best.gap-geom.Same) {
			best, ok = miss{gap, what, other, best.jammed}, true
		}
	}
	ix := j.index[end.class]
	for _, i := range ix.ends.Near(end.at, most) {
		e := &j.joints[i]
		if i == k || e.inUnit || e.line == end.line && j.lines[e.line].length < 2*most {
			continue
		}
		gap := end.at.PlanDist(e.at)
		if gap <= j.snap { // over or under each other
			gap = end.at.Dist(e.at)
		}
		take(gap, fmt.Sprintf("the end of another (handle %s)", j.lines[e.line].src.Handle), i)
	}
	near, jammed := j.piecesNear(ix, end.at, most)
	best.jammed = jammed
	for _, pi := range near {
		p := &j.pieces[pi]
		s, ok := j.targetOn(pi, end, most)
		ownTurn := p.line == end.line && math.Abs(end.dist-p.along(s.t)) <= 2*most // the line leads there shortly
		if ok && s.gap < most && !ownTurn && (s.joint == none || j.joints[s.joint].kind != openEnd) {
			_, d := p.curve.Nearest(end.at)
			take(d, fmt.Sprintf("the side of another (handle %s)", j.lines[p.line].src.Handle), none)
		}
	}
	for _, i := range units.Near(end.at, most) {
		u := &j.sk.Units[i]
		take(geom.Outside(u.Outline, end.at), words.Unit(u.Mark), none)
	}
	if faces := j.faces[end.class]; faces != nil {
		for _, i := range faces.Near(end.at, most) {
			t := &j.sk.Terminals[i]
			take(faceDist(t, end.at), words.Terminal(t.Mark), none)
		}
	}
	return best, ok
}
