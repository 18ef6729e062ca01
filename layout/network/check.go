package network

import (
	"fmt"
	"math"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/sketch"
)

// touchOther tells where an end of one air touches a run or an end of another, or ends at a terminal
// of another. Ducts of different air that only come near each other are nobody's business here.
func (b *builder) touchOther() {
	reach := b.snap + geom.Same
	for j := range b.joints {
		end := &b.joints[j]
		if end.kind != openEnd || end.class.removed || b.inUnit[j] {
			continue
		}
		for _, air := range duct.Airs {
			c := class{air: air}
			if air == end.class.air {
				continue
			}
			if ix := b.index[c]; ix != nil {
				if pi := b.touched(ix, j, reach); pi != none {
					b.mixed(j, fmt.Sprintf("a duct for %s air", air), b.lines[b.pieces[pi].line].src.Handle)
				}
			}
			if ix := b.faces[c]; ix != nil && !b.taken[j] {
				for _, rank := range ix.Near(end.at, reach) {
					t := &b.sk.Terminals[b.terminals[rank]]
					if faceDist(t, end.at) <= reach {
						b.mixed(j, fmt.Sprintf("%s for %s air", terminalName(t), air), t.Handle)
						break
					}
				}
			}
		}
	}
}

// touched returns a piece in ix that end j touches in space; two ends that meet are told once.
func (b *builder) touched(ix *lookup, j int, reach float64) int {
	end := b.joints[j]
	for _, pi := range b.piecesNear(ix, j, reach) {
		s, ok := b.spotOn(pi, end, reach)
		if !ok || s.gap > reach {
			continue
		}
		if k := s.joint; k != none && b.joints[k].kind == openEnd && (b.inUnit[k] || k < j) {
			continue
		}
		return pi
	}
	return none
}

func (b *builder) mixed(j int, what, handle string) {
	end := &b.joints[j]
	b.found.Add(diag.MixedAir, place(end.at), b.lines[end.line].src.Handle,
		fmt.Sprintf("A duct for %s air ends at %s (handle %s).", end.class.air, what, handle),
		"Put both on layers of one air, or part them by more than the snap distance.")
}

// mostOverlaps is after how many findings overlaps gives up: where so much is drawn double, one more says nothing.
const mostOverlaps = 200

// overlaps tells of pieces of one air that run on top of each other at one level.
func (b *builder) overlaps() {
	told := 0
	var near []int
	for pi := range b.pieces {
		p := &b.pieces[pi]
		cl := b.lines[p.line].class
		if cl.removed {
			continue
		}
		near = b.index[cl].pieces.AppendSearch(near[:0], p.curve.Box())
		for _, qi := range near {
			q := &b.pieces[qi]
			if qi <= pi || b.overlapping[p.line] && b.overlapping[q.line] {
				continue
			}
			at, length := b.shared(p, q)
			if length <= b.snap {
				continue
			}
			if told++; told > mostOverlaps {
				return
			}
			b.overlapping[p.line], b.overlapping[q.line] = true, true
			b.found.Add(diag.Overlap, place(at), b.lines[q.line].src.Handle,
				fmt.Sprintf("Two %s ducts (handles %s and %s) run on top of each other for %s.",
					cl.air, b.lines[p.line].src.Handle, b.lines[q.line].src.Handle, b.long(length)),
				"Erase one, or move it to its own place or elevation.")
		}
	}
}

// shared returns the length p and q run together, and the middle of it. Curves count as running
// together while the shorter one keeps within the snap distance of the other, in plan and elevation.
func (b *builder) shared(p, q *piece) (at geom.Vec, length float64) {
	if p.d1-p.d0 > q.d1-q.d0 {
		p, q = q, p
	}
	if b.plumbLine(p.curve) || b.plumbLine(q.curve) {
		if !b.plumbLine(p.curve) || !b.plumbLine(q.curve) || p.curve.A.PlanDist(q.curve.A) > b.snap {
			return at, 0
		}
		lo := math.Max(math.Min(p.curve.A.Z, p.curve.B.Z), math.Min(q.curve.A.Z, q.curve.B.Z))
		hi := math.Min(math.Max(p.curve.A.Z, p.curve.B.Z), math.Max(q.curve.A.Z, q.curve.B.Z))
		return p.curve.A.At((lo + hi) / 2), hi - lo
	}
	if p.curve.Straight() && q.curve.Straight() {
		return b.sharedStraight(p.curve, q.curve)
	}
	const steps = 16
	n := 0
	for i := 0; i <= steps; i++ {
		x := p.curve.Point(float64(i) / steps)
		t, d := q.curve.Nearest(x)
		if d <= b.snap && math.Abs(q.curve.Point(t).Z-x.Z) <= b.snap {
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

func (b *builder) sharedStraight(p, q geom.Curve) (at geom.Vec, length float64) {
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
		if d > b.snap || math.Abs(p.Point(t).Z-x.Z) > b.snap {
			return at, 0
		}
	}
	return q.Point((lo + hi) / 2 / l), hi - lo
}

// missReach is how many snap distances a gap may be wide to be told as a near miss.
const missReach = 6

// miss is the nearest thing a free end does not reach.
type miss struct {
	gap  float64
	what string
	end  int // the other end, if it is one
}

// nearMisses tells of free ends with something they could be meant to meet just out of reach.
func (b *builder) nearMisses() {
	b.missed = map[int]bool{}
	var units geom.Index
	for rank, i := range b.units {
		if u := &b.sk.Units[i]; finite(u.At, u.Outline) {
			units.Insert(geom.BoxOf(u.Outline...), rank)
		}
	}
	for j := range b.joints {
		if b.joints[j].kind != openEnd || b.taken[j] || b.joints[j].class.removed {
			continue
		}
		m, ok := b.nearest(j, &units)
		if !ok {
			continue
		}
		b.missed[j] = true
		if m.end != none && b.missed[m.end] {
			continue // told from the other side
		}
		end := &b.joints[j]
		b.found.Add(diag.NearMiss, place(end.at), b.lines[end.line].src.Handle,
			fmt.Sprintf("A duct ends %s from %s and does not join it.", b.long(m.gap), m.what),
			"Draw the end up to it if they should join, or farther away if not.")
	}
}

// nearest returns what free end j misses by the least.
func (b *builder) nearest(j int, units *geom.Index) (best miss, ok bool) {
	end := b.joints[j]
	most := missReach * b.snap
	take := func(gap float64, what string, other int) {
		if gap > b.snap && gap < most && (!ok || gap < best.gap-geom.Same) {
			best, ok = miss{gap, what, other}, true
		}
	}
	ix := b.index[end.class]
	for _, k := range ix.ends.Near(end.at, most) {
		if e := &b.joints[k]; k != j && !b.inUnit[k] && !(e.line == end.line && b.lines[e.line].length < 2*most) {
			gap := end.at.PlanDist(e.at)
			if gap <= b.snap { // over or under each other
				gap = end.at.Dist(e.at)
			}
			take(gap, fmt.Sprintf("the end of another (handle %s)", b.lines[e.line].src.Handle), k)
		}
	}
	for _, pi := range b.piecesNear(ix, j, most) {
		li := b.pieces[pi].line
		s, near := b.spotOn(pi, end, most)
		if !near || s.gap >= most || b.nearGround(li, b.alongLine(pi, s.t), end) {
			continue
		}
		if s.joint == none || b.joints[s.joint].kind != openEnd {
			_, d := b.pieces[pi].curve.Nearest(end.at)
			take(d, fmt.Sprintf("the side of another (handle %s)", b.lines[li].src.Handle), none)
		}
	}
	for _, rank := range units.Near(end.at, most) {
		u := &b.sk.Units[b.units[rank]]
		take(geom.Outside(u.Outline, end.at), unitName(u), none)
	}
	if faces := b.faces[end.class]; faces != nil {
		for _, rank := range faces.Near(end.at, most) {
			t := &b.sk.Terminals[b.terminals[rank]]
			take(faceDist(t, end.at), terminalName(t), none)
		}
	}
	return best, ok
}

// nearGround reports whether a place on the end's own line is one the line itself leads to shortly.
func (b *builder) nearGround(li int, dist float64, end joint) bool {
	return end.line == li && math.Abs(end.dist-dist) <= 2*missReach*b.snap
}

// checkTerminals tells of terminals without a duct or without an airflow.
func (a *assembly) checkTerminals() {
	for k, i := range a.terminals {
		t := &a.net.Terminals[k]
		s := &a.sk.Terminals[i]
		if t.Status == duct.Removed || !finite(s.At, s.Face) {
			continue
		}
		if t.Node == duct.None && !a.passed[i] {
			a.tellNoPath(t, s)
		}
		if !(t.Flow > 0) {
			a.found.Add(diag.NoAirflow, place(t.At), t.Handle,
				fmt.Sprintf("%s has no airflow.", capital(terminalName(s))),
				"Give it the attribute FLOW, or write its airflow beside it.")
		}
	}
}

// tellNoPath tells of a terminal no duct ends at, and of the duct that passes over it, if one does: a line that merely
// crosses is not joined.
func (a *assembly) tellNoPath(t *duct.Terminal, s *sketch.Terminal) {
	if a.overhead == nil {
		a.overhead = &geom.Index{}
		for i := range a.net.Runs {
			a.overhead.Insert(a.net.Runs[i].Line.Box(), i)
		}
	}
	what, do := fmt.Sprintf("No duct ends at %s.", terminalName(s)), fmt.Sprintf("End a duct for %s air over its face or at its border.", t.Air)
	if face := geom.PolygonRegion(t.Face); len(t.Face) > 2 {
		for _, i := range a.overhead.Search(face.Box) {
			r := &a.net.Runs[i]
			if r.Air != t.Air || r.Status == duct.Removed || len(r.Handles) == 0 || len(face.Inside(r.Line)) == 0 {
				continue
			}
			what = fmt.Sprintf("No duct ends at %s; one passes over it without an end there (handle %s).", terminalName(s), r.Handles[0])
			do = "Break the line of that duct over the face, or draw a branch from it to the terminal."
			break
		}
	}
	a.found.Add(diag.NoPath, place(t.At), t.Handle, what, do)
}

// checkNodes tells of ends that lead nowhere, of new branches on existing mains, and of airflows
// noted at units that are not what hangs on them.
func (a *assembly) checkNodes() {
	for i := range a.net.Nodes {
		n := &a.net.Nodes[i]
		first := &a.net.Runs[n.Runs[0]]
		if first.Status == duct.Removed {
			continue
		}
		switch n.Kind {
		case duct.Cap:
			if !a.missed[a.root[n.ID]] {
				a.found.Add(diag.DeadEnd, place(n.At), first.Handles[0],
					"A duct ends here at no terminal; it is drawn with a cap and carries no air.",
					"Draw it on to a terminal, or leave it if a capped end is meant.")
			}
		case duct.Head:
			if n.System != duct.None {
				a.compareFlows(a.net, n, a.flowAt(n))
			}
		case duct.Box:
			if n.System != duct.None {
				a.compareFlows(a.net, n, a.flowAt(n))
			}
		case duct.Branch:
			a.existingBranch(n)
		}
	}
}

// flowAt returns what flows through a unit: what goes outward from it.
func (a *assembly) flowAt(n *duct.Node) duct.Flow {
	sum := duct.Flow(0)
	for _, id := range n.Runs {
		if r := &a.net.Runs[id]; a.net.UpNode(r) == n.ID {
			sum += r.Flow
		}
	}
	return sum
}

func (a *assembly) existingBranch(n *duct.Node) {
	var main *duct.Run
	for _, id := range n.Runs {
		if r := &a.net.Runs[id]; a.net.DownNode(r) == n.ID && r.Status == duct.Existing {
			main = r
		}
	}
	if main == nil {
		return
	}
	goesOn := slices.ContainsFunc(n.Runs, func(id duct.RunID) bool {
		return id != main.ID && a.net.Runs[id].Status == duct.Existing
	})
	for _, id := range n.Runs {
		if r := &a.net.Runs[id]; goesOn && (r.Status == duct.New || r.Status == duct.Future) {
			a.found.Add(diag.ExistingBranch, place(n.At), r.Handles[0],
				fmt.Sprintf("A %s branch of %s leaves an existing main (handle %s).", r.Status, a.flow(r.Flow), main.Handles[0]),
				"See whether the main and its unit can carry the airflow.")
		}
	}
}

// name gives every terminal a name of its own: its mark, with #1, #2 where it stands for several in a
// system, and T1, T2 where it has none. Later terminals have later keys and rename no earlier ones.
func (a *assembly) name() {
	type group struct {
		system duct.SystemID
		mark   string
	}
	count, next := map[group]int{}, map[group]int{}
	used := map[string]bool{}
	for i := range a.net.Terminals {
		t := &a.net.Terminals[i]
		count[group{t.System, t.Mark}]++
		used[t.Mark] = true
	}
	unnamed := 0
	for i := range a.net.Terminals {
		t := &a.net.Terminals[i]
		g := group{t.System, t.Mark}
		switch {
		case t.Mark == "":
			for unnamed++; used[fmt.Sprintf("T%d", unnamed)]; unnamed++ {
			}
			t.Name = fmt.Sprintf("T%d", unnamed)
			if t.Status != duct.Removed {
				a.found.Add(diag.Unnamed, place(t.At), t.Handle,
					fmt.Sprintf("A terminal without a mark is called %s.", t.Name), "Give it a mark to call it otherwise.")
			}
		case count[g] > 1:
			for next[g]++; used[fmt.Sprintf("%s#%d", t.Mark, next[g])]; next[g]++ {
			}
			t.Name = fmt.Sprintf("%s#%d", t.Mark, next[g])
		}
	}
	for i := range a.net.Terminals {
		if t := &a.net.Terminals[i]; t.System != duct.None {
			sys := &a.net.Systems[t.System]
			sys.Terminals = append(sys.Terminals, t.ID)
		}
	}
}
