package network

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/sketch"
)

// touchUnits gives every end that lies on or in the outline of a unit to that unit. A unit takes
// ducts of any air, each air by itself; where units lie on each other, an end goes to one of its own
// air. A unit that is to be removed takes removed ducts alone.
func (b *builder) touchUnits() {
	for i := range b.sk.Units {
		b.units = append(b.units, i)
	}
	slices.SortFunc(b.units, func(i, j int) int {
		p, q := &b.sk.Units[i], &b.sk.Units[j]
		return cmp.Or(key.Compare(p.Key, q.Key), compareVecs(p.At, q.At))
	})
	var ix geom.Index
	b.rank = make([]int, len(b.units))
	for rank, i := range b.units {
		b.rank[i] = rank
		u := &b.sk.Units[i]
		if !finite(u.At, u.Outline) {
			b.badPlace(u.Handle, "unit")
			continue
		}
		ix.Insert(geom.BoxOf(u.Outline...), rank)
	}
	used := map[int]bool{}
	at := b.unitEnds(&ix)
	b.leaveUnits(at)
	for j := range b.joints {
		i, ok := at[j]
		if !ok {
			continue
		}
		used[i] = true
		b.taken[j], b.inUnit[j] = true, true
		b.same.join(j, b.unitJoint(unitKey{i, b.joints[j].class}))
	}
	for _, i := range b.units {
		if u := &b.sk.Units[i]; !used[i] && u.Status != duct.Removed && finite(u.At, u.Outline) {
			b.found.Add(diag.NoDuct, place(u.At), u.Handle,
				fmt.Sprintf("No duct ends at %s.", unitName(u)),
				"End a duct on or inside its outline; a duct that passes through a unit must be broken there.")
		}
	}
}

// unitEnds returns the unit each end lies on or in, in plan: one of its own air before others, then the nearest.
func (b *builder) unitEnds(ix *geom.Index) map[int]int {
	reach := b.snap + geom.Same
	at := map[int]int{}
	for j := range b.joints {
		if b.joints[j].kind != openEnd {
			continue
		}
		best, nearest, own := none, math.Inf(1), false
		for _, rank := range ix.Near(b.joints[j].at, reach) {
			i := b.units[rank]
			u := &b.sk.Units[i]
			if u.Status == duct.Removed && !b.joints[j].class.removed {
				continue
			}
			d, same := geom.Outside(u.Outline, b.joints[j].at), u.Air == b.joints[j].class.air
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
func (b *builder) leaveUnits(at map[int]int) {
	var inside []int // lines with both ends at one unit
	for i := range b.lines {
		l := &b.lines[i]
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
		ends.Insert(geom.BoxOf(b.joints[j].at), j)
	}
	var leave []int
	for _, j := range inside {
		e := &b.joints[j]
		for _, k := range ends.Near(e.at, b.snap+geom.Same) {
			o := &b.joints[k]
			if o.line != e.line && o.class == e.class && at[k] == at[j] && o.at.Dist(e.at) <= b.snap+geom.Same {
				leave = append(leave, j, k)
			}
		}
	}
	for _, j := range leave {
		delete(at, j)
	}
}

func (b *builder) badPlace(handle, what string) {
	b.found.Add(diag.BadGeometry, [3]float64{}, handle,
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

func compareVecs(a, b geom.Vec) int {
	return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y), cmp.Compare(a.Z, b.Z))
}

// unitJoint returns the joint that stands for a unit as one air sees it.
func (b *builder) unitJoint(k unitKey) int {
	if j, ok := b.unitAt[k]; ok {
		return j
	}
	j := b.addJoint(joint{kind: atUnit, at: b.sk.Units[k.unit].At, class: k.class, line: none, ref: k.unit})
	b.unitAt[k] = j
	return j
}

// claim is an end that lies over, under or at the border of a terminal's face.
type claim struct {
	end    int
	within bool // inside of the face by more than the snap distance
	dist   float64
	free   bool
}

// touchTerminals connects the terminals with the ends that lie at them.
func (b *builder) touchTerminals() {
	for i := range b.sk.Terminals {
		b.terminals = append(b.terminals, i)
	}
	slices.SortFunc(b.terminals, func(i, j int) int {
		p, q := &b.sk.Terminals[i], &b.sk.Terminals[j]
		return cmp.Or(key.Compare(p.Key, q.Key), compareVecs(p.At, q.At))
	})
	b.outlets = make([]int, len(b.sk.Terminals))
	faces := map[class]*geom.Index{}
	for rank, i := range b.terminals {
		b.outlets[i] = none
		t := &b.sk.Terminals[i]
		if !finite(t.At, t.Face) {
			b.badPlace(t.Handle, "terminal")
			continue
		}
		c := classOf(t.Air, t.Status)
		if faces[c] == nil {
			faces[c] = &geom.Index{}
		}
		faces[c].Insert(geom.BoxOf(append(t.Face, t.At)...), rank)
	}
	b.faces = faces
	claims := make([][]claim, len(b.sk.Terminals))
	for j := range b.joints {
		if b.joints[j].kind == openEnd && !b.inUnit[j] {
			if i, c := b.claimOf(j); i != none {
				claims[i] = append(claims[i], c)
			}
		}
	}
	for _, i := range b.terminals {
		if len(claims[i]) > 0 {
			b.connect(i, claims[i])
		}
	}
}

// claimOf returns the terminal that end j lies at: of several, the one whose middle is nearest.
func (b *builder) claimOf(j int) (terminal int, c claim) {
	reach := b.snap + geom.Same
	terminal = none
	end := &b.joints[j]
	ix := b.faces[end.class]
	if ix == nil {
		return none, c
	}
	for _, rank := range ix.Near(end.at, reach) {
		i := b.terminals[rank]
		t := &b.sk.Terminals[i]
		if faceDist(t, end.at) > reach {
			continue
		}
		if d := t.At.PlanDist(end.at); terminal == none || d < c.dist-geom.Same {
			within := geom.Inside(t.Face, end.at) && geom.OutlineDist(t.Face, end.at) > reach
			terminal, c = i, claim{end: j, within: within, dist: d, free: !b.taken[j]}
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
func (b *builder) connect(i int, claims []claim) {
	t := &b.sk.Terminals[i]
	slices.SortStableFunc(claims, func(p, q claim) int {
		if p.free != q.free {
			if p.free {
				return -1
			}
			return 1
		}
		zp, zq := b.joints[p.end].at.Z, b.joints[q.end].at.Z
		return cmp.Or(cmp.Compare(p.dist, q.dist), cmp.Compare(math.Abs(zp-t.At.Z), math.Abs(zq-t.At.Z)))
	})
	best := claims[0]
	for _, c := range claims[1:] {
		if !c.free {
			break
		}
		p, q := b.joints[best.end], b.joints[c.end]
		if p.at.PlanDist(q.at) <= b.snap+geom.Same {
			// One above the other: the one nearer to the terminal has it, a riser joins the two.
			if math.Abs(q.at.Z-t.At.Z) < math.Abs(p.at.Z-t.At.Z) {
				best = c
			}
			continue
		}
		b.found.Add(diag.Loop, place(q.at), b.lines[q.line].src.Handle,
			fmt.Sprintf("Two ducts end at %s; only one can serve it.", terminalName(t)),
			"Join the two ducts before the terminal, or take one away.")
		b.taken[c.end] = true
	}
	b.connectEnd(i, best)
}

// connectEnd joins terminal i to one end: from the side, straight on, or by a drop or rise.
func (b *builder) connectEnd(i int, c claim) {
	t := &b.sk.Terminals[i]
	end := b.joints[c.end]
	side := t.Conn == duct.ConnSide || t.Conn == duct.ConnUnknown && !c.within
	if dz := math.Abs(end.at.Z - t.At.Z); !c.free && dz <= b.snap+geom.Same {
		b.passed[i] = true
		b.found.Add(diag.NoPath, place(t.At), t.Handle,
			fmt.Sprintf("The duct runs on through %s at the terminal's own elevation.", terminalName(t)),
			"Move the terminal below or above the duct, or bring a branch to its side.")
		return
	}
	o := b.addJoint(joint{kind: outlet, at: t.At, class: end.class, line: none, ref: i})
	b.outlets[i] = o
	dz := math.Abs(end.at.Z - t.At.Z)
	switch {
	case side && c.free:
		b.same.join(o, c.end)
		b.sides[o] = true
	case dz > b.snap+geom.Same:
		b.plumb.join(o, c.end)
		b.joints[o].at = end.at.At(t.At.Z)
		b.drops = append(b.drops, drop{end: c.end, outlet: o})
	default:
		b.unite(o, c.end)
	}
	b.taken[c.end] = true
}
