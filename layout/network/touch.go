package network

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/sketch"
	"twinline/layout/words"
)

// touchUnits gives every end that lies on or in the outline of a unit to that unit. A unit takes
// ducts of any air, each air by itself; where units lie on each other, an end goes to one of its own
// air. A unit that is to be removed takes removed ducts alone.
func (jn *joiner) touchUnits() {
	var ix geom.Index
	for i := range jn.sk.Units {
		u := &jn.sk.Units[i]
		if !finite(u.At, u.Outline) {
			jn.badPlace(u.Handle, "unit")
			continue
		}
		ix.Insert(geom.BoxOf(u.Outline...), i)
	}
	used := map[int]bool{}
	at := jn.unitEnds(&ix)
	jn.leaveUnits(at)
	for j := range jn.joints {
		i, ok := at[j]
		if !ok {
			continue
		}
		used[i] = true
		jn.joints[j].taken, jn.joints[j].inUnit = true, true
		jn.same.join(j, jn.unitJoint(unitKey{i, jn.joints[j].class}))
	}
	for i := range jn.sk.Units {
		if u := &jn.sk.Units[i]; !used[i] && u.Status != duct.Removed && finite(u.At, u.Outline) {
			jn.found.Add(diag.NoDuct, spot(u.At), u.Handle,
				fmt.Sprintf("No duct ends at %s.", words.Unit(u.Mark)),
				"End a duct on or inside its outline; a duct that passes through a unit must be broken there.")
		}
	}
}

// unitEnds returns the unit each end lies on or in, in plan: one of its own air before others, then the nearest.
func (jn *joiner) unitEnds(ix *geom.Index) map[int]int {
	reach := jn.reach()
	at := map[int]int{}
	for j := range jn.joints {
		if jn.joints[j].kind != openEnd {
			continue
		}
		best, nearest, own := none, math.Inf(1), false
		for _, i := range ix.Near(jn.joints[j].at, reach) {
			u := &jn.sk.Units[i]
			if u.Status == duct.Removed && !jn.joints[j].class.removed {
				continue
			}
			d, same := geom.Outside(u.Outline, jn.joints[j].at), u.Air == jn.joints[j].class.air
			if d <= reach && (same && !own || same == own && d < nearest-geom.Same) {
				best, nearest, own = i, d, same
			}
		}
		if best != none {
			at[j] = best
		}
	}
	return at
}

// leaveUnits takes ends out of at that lie over a unit but lead on from it: of a line with both ends
// at one unit, as a duct that rises from its top, the end that meets the end of another line, and that end.
func (jn *joiner) leaveUnits(at map[int]int) {
	var inside []int // lines with both ends at one unit
	for i := range jn.lines {
		l := &jn.lines[i]
		if len(l.joints) < 2 || l.src.Closed {
			continue
		}
		first, last := l.joints[0], l.joints[len(l.joints)-1]
		u, ok := at[first]
		if w, both := at[last]; ok && both && u == w {
			inside = append(inside, first, last)
		}
	}
	if len(inside) == 0 {
		return
	}
	var ends geom.Index
	for j := range at {
		ends.Insert(geom.BoxOf(jn.joints[j].at), j)
	}
	var leave []int
	for _, j := range inside {
		e := &jn.joints[j]
		for _, k := range ends.Near(e.at, jn.reach()) {
			o := &jn.joints[k]
			if o.line != e.line && o.class == e.class && at[k] == at[j] && o.at.Dist(e.at) <= jn.reach() {
				leave = append(leave, j, k)
			}
		}
	}
	for _, j := range leave {
		delete(at, j)
	}
}

func (jn *joiner) badPlace(handle, what string) {
	jn.found.Add(diag.BadGeometry, [3]float64{}, handle,
		fmt.Sprintf("A %s has a coordinate that is no number or lies farther away than any building.", what),
		"Draw it anew, or move the drawing nearer to its origin.")
}

func finite(at geom.Vec, outline []geom.Vec) bool {
	for _, p := range outline {
		if !geom.Finite(p) {
			return false
		}
	}
	return geom.Finite(at)
}

// unitJoint returns the joint that stands for a unit as one air sees it.
func (jn *joiner) unitJoint(k unitKey) int {
	if j, ok := jn.unitAt[k]; ok {
		return j
	}
	j := jn.addJoint(joint{kind: atUnit, at: jn.sk.Units[k.unit].At, class: k.class, line: none, ref: k.unit})
	jn.unitAt[k] = j
	return j
}

// arrival is an end that lies over, under or at the border of a terminal's face.
type arrival struct {
	end    int
	within bool // inside of the face by more than the snap distance
	dist   float64
	free   bool
}

// touchTerminals connects the terminals with the ends that lie at them.
func (jn *joiner) touchTerminals() {
	jn.outlets = make([]int, len(jn.sk.Terminals))
	jn.faces = map[class]*geom.Index{}
	for i := range jn.sk.Terminals {
		jn.outlets[i] = none
		t := &jn.sk.Terminals[i]
		if !finite(t.At, t.Face) {
			jn.badPlace(t.Handle, "terminal")
			continue
		}
		c := classOf(t.Air, t.Status)
		if jn.faces[c] == nil {
			jn.faces[c] = &geom.Index{}
		}
		jn.faces[c].Insert(geom.BoxOf(append(t.Face, t.At)...), i)
	}
	arrivals := make([][]arrival, len(jn.sk.Terminals))
	for j := range jn.joints {
		if jn.joints[j].kind == openEnd && !jn.joints[j].inUnit {
			if i, c := jn.arrivalOf(j); i != none {
				arrivals[i] = append(arrivals[i], c)
			}
		}
	}
	for i := range arrivals {
		if len(arrivals[i]) > 0 {
			jn.connect(i, arrivals[i])
		}
	}
}

// arrivalOf returns the terminal that end j lies at: of several, the one whose middle is nearest.
func (jn *joiner) arrivalOf(j int) (terminal int, c arrival) {
	reach := jn.reach()
	terminal = none
	end := &jn.joints[j]
	ix := jn.faces[end.class]
	if ix == nil {
		return none, c
	}
	for _, i := range ix.Near(end.at, reach) {
		t := &jn.sk.Terminals[i]
		if faceDist(t, end.at) > reach {
			continue
		}
		if d := t.At.PlanDist(end.at); terminal == none || d < c.dist-geom.Same {
			within := geom.Inside(t.Face, end.at) && geom.OutlineDist(t.Face, end.at) > reach
			terminal, c = i, arrival{end: j, within: within, dist: d, free: !jn.joints[j].taken}
		}
	}
	return terminal, c
}

// faceDist returns how far p lies outside the face of t in plan.
func faceDist(t *sketch.Terminal, p geom.Vec) float64 {
	if len(t.Face) < 3 {
		return t.At.PlanDist(p)
	}
	return geom.Outside(t.Face, p)
}

// connect joins terminal i to the end it belongs to. A free end comes before ends that are joined to other
// ends, since those may only pass by.
func (jn *joiner) connect(i int, arrivals []arrival) {
	t := &jn.sk.Terminals[i]
	slices.SortStableFunc(arrivals, func(p, q arrival) int {
		if p.free != q.free {
			if p.free {
				return -1
			}
			return 1
		}
		zp, zq := jn.joints[p.end].at.Z, jn.joints[q.end].at.Z
		return cmp.Or(cmp.Compare(p.dist, q.dist), cmp.Compare(math.Abs(zp-t.At.Z), math.Abs(zq-t.At.Z)))
	})
	best := arrivals[0]
	for _, c := range arrivals[1:] {
		if !c.free {
			break
		}
		p, q := jn.joints[best.end], jn.joints[c.end]
		if p.at.PlanDist(q.at) <= jn.reach() {
			// One above the other: the one nearer to the terminal has it, a riser joins the two.
			if math.Abs(q.at.Z-t.At.Z) < math.Abs(p.at.Z-t.At.Z) {
				best = c
			}
			continue
		}
		jn.found.Add(diag.Loop, spot(q.at), jn.lines[q.line].src.Handle,
			fmt.Sprintf("Two ducts end at %s; only one can serve it.", words.Terminal(t.Mark)),
			"Join the two ducts before the terminal, or take one away.")
		jn.joints[c.end].taken = true
	}
	jn.connectEnd(i, best)
}

// connectEnd joins terminal i to one end: from the side, straight on, or by a drop or rise.
func (jn *joiner) connectEnd(i int, c arrival) {
	t := &jn.sk.Terminals[i]
	end := jn.joints[c.end]
	side := t.Conn == duct.ConnSide || t.Conn == duct.ConnUnknown && !c.within
	if dz := math.Abs(end.at.Z - t.At.Z); !c.free && dz <= jn.reach() {
		jn.passed[i] = true
		jn.found.Add(diag.NoPath, spot(t.At), t.Handle,
			fmt.Sprintf("The duct runs on through %s at the terminal's own elevation.", words.Terminal(t.Mark)),
			"Move the terminal below or above the duct, or bring a branch to its side.")
		return
	}
	o := jn.addJoint(joint{kind: outlet, at: t.At, class: end.class, line: none, ref: i})
	jn.outlets[i] = o
	dz := math.Abs(end.at.Z - t.At.Z)
	switch {
	case side && c.free:
		jn.same.join(o, c.end)
		jn.joints[o].side = true
	case dz > jn.reach():
		jn.plumb.join(o, c.end)
		jn.joints[o].at = end.at.At(t.At.Z)
		jn.drops = append(jn.drops, drop{end: c.end, outlet: o})
	default:
		jn.unite(o, c.end)
	}
	jn.joints[c.end].taken = true
}
