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
)

// edge is a run before it is known which way the air goes: it runs as its line was drawn,
// from node a to node b. Nodes are roots of builder.same.
type edge struct {
	a, b    int
	line    int // none for drops and risers
	d0, d1  float64
	curve   geom.Curve
	key     key.Key
	origin  key.Key // key of the line or terminal it comes from; with d0, its place in every order
	handles []string
	class   class
	status  duct.Status
	kind    duct.RunKind
	pliable bool
	datum   duct.Datum
}

// places holds the spots in plan and in elevation that joints share once everything is joined.
type places struct {
	xy map[int]geom.Vec // by root of plumb
	z  map[int]level    // by root of same
}

type level struct {
	z     float64
	datum duct.Datum
	keep  bool // every end keeps its own: at units and at the sides of terminals
}

// freeze makes edges of everything that was joined.
func (b *builder) freeze() {
	at := b.settle()
	// Every joint in the middle of a piece makes one piece more.
	b.edges = make([]edge, 0, len(b.joints)+len(b.drops)+len(b.risen))
	for li := range b.lines {
		b.freezeLine(li, at)
	}
	for _, d := range b.drops {
		b.freezeDrop(d, at)
	}
	for _, r := range b.risen {
		b.freezeRiser(r, at)
	}
}

// settle finds the place of every set of joints.
func (b *builder) settle() places {
	n := len(b.joints)
	at := places{xy: make(map[int]geom.Vec, n), z: make(map[int]level, n)}
	stacks := make(map[int][]int, n)
	nodes := make(map[int][]int, n)
	for j := range b.joints {
		if k := b.joints[j].kind; k != atUnit && !b.sides[j] {
			r := b.plumb.root(j)
			stacks[r] = append(stacks[r], j)
		}
		r := b.same.root(j)
		nodes[r] = append(nodes[r], j)
	}
	for r, members := range stacks {
		at.xy[r] = b.planPlace(members)
	}
	for r, members := range nodes {
		at.z[r] = b.elevation(members)
	}
	return at
}

// planPlace returns where in plan joints meet: where a line passes, else where a vertical
// piece stands, else where the lines that end there would cross, else in the middle between the ends.
func (b *builder) planPlace(members []int) geom.Vec {
	var ends []int
	upright := none
	for _, j := range members {
		switch b.joints[j].kind {
		case corner, middle:
			return b.joints[j].at
		case openEnd:
			ends = append(ends, j)
			if upright == none && b.plumbLine(b.endPiece(j)) {
				upright = j
			}
		}
	}
	switch {
	case upright != none:
		return b.joints[upright].at
	case len(ends) == 0:
		return b.joints[members[0]].at
	case len(ends) == 2:
		if p, ok := b.crossing(ends[0], ends[1]); ok {
			return p
		}
	}
	sum := geom.Vec{}
	first := b.joints[ends[0]].at // summed from here, so that far from the origin no digit is lost
	for _, j := range ends {
		sum = sum.Add(b.joints[j].at.Sub(first))
	}
	return first.Add(sum.Scale(1 / float64(len(ends))))
}

// endPiece returns the piece of the open end j.
func (b *builder) endPiece(j int) geom.Curve {
	l := &b.lines[b.joints[j].line]
	if l.joints[0] == j {
		return b.pieces[l.pieces[0]].curve
	}
	return b.pieces[l.pieces[len(l.pieces)-1]].curve
}

// crossing returns the point in plan where the straight pieces at two ends cross when lengthened, if
// that is within the snap distance of both.
func (b *builder) crossing(i, j int) (geom.Vec, bool) {
	p, q := b.endPiece(i), b.endPiece(j)
	if !p.Straight() || !q.Straight() {
		return geom.Vec{}, false
	}
	u, v := p.B.Sub(p.A).Plan().Unit(), q.B.Sub(q.A).Plan().Unit()
	det := u.X*v.Y - u.Y*v.X
	if math.Abs(det) < geom.Straight {
		return geom.Vec{}, false
	}
	w := b.joints[j].at.Sub(b.joints[i].at)
	x := b.joints[i].at.Add(u.Scale((w.X*v.Y - w.Y*v.X) / det))
	near := x.PlanDist(b.joints[i].at) <= b.snap && x.PlanDist(b.joints[j].at) <= b.snap
	return x, near
}

// elevation returns the height at which joints meet: that of the line that passes, else the mean of
// the ends noted by their centreline, else the mean of the ends noted as the first of them is.
func (b *builder) elevation(members []int) level {
	out := level{z: b.joints[members[0]].at.Z, datum: b.joints[members[0]].datum}
	passing, ends := none, members[:0:0]
	for _, j := range members {
		switch p := &b.joints[j]; {
		case p.kind == atUnit || b.sides[j]:
			out.keep = true
		case p.kind == corner || p.kind == middle:
			if passing == none {
				passing = j
			}
		case p.kind == openEnd:
			ends = append(ends, j)
		}
	}
	if passing != none {
		out.z, out.datum = b.joints[passing].at.Z, b.joints[passing].datum
		return out
	}
	if len(ends) == 0 {
		return out
	}
	out.datum = b.joints[ends[0]].datum
	for _, j := range ends {
		if b.joints[j].datum == duct.Centre {
			out.datum = duct.Centre
		}
	}
	sum, n := 0.0, 0.0
	for _, j := range ends {
		if p := &b.joints[j]; p.datum == out.datum {
			sum, n = sum+p.at.Z, n+1
		}
	}
	out.z = sum / n
	return out
}

// spot returns where joint j comes to lie.
func (b *builder) spot(j int, at places) geom.Vec {
	p := &b.joints[j]
	lv := at.z[b.same.root(j)]
	xy, ok := at.xy[b.plumb.root(j)]
	if !ok {
		xy = p.at
	}
	if lv.keep || lv.datum != p.datum {
		return xy.At(p.at.Z)
	}
	return xy.At(lv.z)
}

func (b *builder) freezeLine(li int, at places) {
	l := &b.lines[li]
	kind := duct.Rigid
	if l.src.Flex {
		kind = duct.Flexible
	}
	for _, pi := range l.pieces {
		p := &b.pieces[pi]
		t0, j0 := 0.0, p.a
		cuts := append(slices.Clone(p.mids), mid{1, p.b})
		for _, m := range cuts {
			c := p.curve.Sub(t0, m.t)
			c.A, c.B = b.spot(j0, at), b.spot(m.joint, at)
			e := edge{
				a: b.same.root(j0), b: b.same.root(m.joint), line: li,
				d0: b.alongLine(pi, t0), d1: b.alongLine(pi, m.t), curve: c,
				handles: []string{l.src.Handle}, class: l.class, status: l.src.Status,
				kind: kind, pliable: l.src.Flex, datum: l.src.Datum, origin: l.src.Key,
			}
			e.key = l.src.Key.RunAt(e.d0)
			t0, j0 = m.t, m.joint
			if e.a == e.b && c.Len() <= b.snap {
				continue // snapping has closed it up; nothing is left of it
			}
			b.edges = append(b.edges, e)
		}
	}
}

func (b *builder) freezeDrop(d drop, at places) {
	o := &b.joints[d.outlet]
	t := &b.sk.Terminals[o.ref]
	end := &b.joints[d.end]
	top := b.spot(d.end, at)
	l := &b.lines[end.line]
	status := t.Status
	if b.alone(d.end) {
		status = l.src.Status
	}
	b.edges = append(b.edges, edge{
		a: b.same.root(d.end), b: b.same.root(d.outlet), line: none, curve: geom.Curve{A: top, B: top.At(t.At.Z)},
		key: t.Key.Drop(), handles: []string{t.Handle}, class: o.class, status: status,
		kind: duct.Drop, pliable: l.src.Flex, datum: duct.Centre, origin: t.Key,
	})
	o.at = top.At(t.At.Z)
}

// alone reports whether end j met no other joint.
func (b *builder) alone(j int) bool { return b.sizes[b.same.root(j)] == 1 }

func (b *builder) freezeRiser(r riser, at places) {
	p, q := &b.joints[r.end], &b.joints[r.other]
	from, to := b.spot(r.end, at), b.spot(r.other, at)
	lp, lq := b.lines[p.line].src, b.lines[q.line].src
	status := lp.Status
	if lq.Status != lp.Status {
		status = duct.New
		if lp.Status == duct.Future || lq.Status == duct.Future {
			status = duct.Future
		}
	}
	handles := []string{lp.Handle}
	if lq.Handle != lp.Handle {
		handles = append(handles, lq.Handle)
	}
	// Every end has one riser at most, so that its place names it.
	b.edges = append(b.edges, edge{
		a: b.same.root(r.end), b: b.same.root(r.other), line: none, curve: geom.Curve{A: from, B: to},
		key: lp.Key.RunAt(p.dist).Riser(), handles: handles, class: p.class, status: status, kind: duct.Rigid, datum: duct.Centre, origin: lp.Key,
	})
	if !p.class.removed {
		b.found.Add(diag.Riser, place(from), lp.Handle,
			fmt.Sprintf("A riser, or an offset where it is too low for two bends, of %s was put between ducts at elevations %s and %s.",
				b.long(math.Abs(from.Z-to.Z)), b.height(math.Min(from.Z, to.Z)), b.height(math.Max(from.Z, to.Z))),
			"Nothing, if the duct is to change level here; else give both ducts one elevation.")
	}
}

// flexibleEnds turns the last part of every new rigid duct before a terminal into flexible duct.
func (b *builder) flexibleEnds() {
	if !(b.spec.FlexibleEnd > 0) {
		return
	}
	touching := b.touching()
	for _, i := range b.terminals {
		if o := b.outlets[i]; o != none {
			b.flexibleEnd(b.same.root(o), touching)
		}
	}
}

// leastStub is the length of rigid duct in metres that is not worth keeping before a flexible end. Common practice.
const leastStub = 0.1

func (b *builder) flexibleEnd(node int, touching map[int][]int) {
	left := float64(b.spec.FlexibleEnd)
	came := none
	for left > 0 {
		next := none
		for _, ei := range touching[node] {
			if ei != came {
				if next != none {
					return // a branch
				}
				next = ei
			}
		}
		if next == none || came != none && b.hasUnit[node] {
			return
		}
		e := &b.edges[next]
		if e.kind == duct.Drop && came == none {
			e.pliable = true
			came, node = next, other(e, node)
			continue
		}
		if e.kind != duct.Rigid || e.line == none || e.status == duct.Existing || e.status == duct.Removed {
			return
		}
		length := e.curve.Len()
		if length > left+leastStub {
			b.splitForFlex(next, node, left, touching)
			return
		}
		e.kind, e.pliable = duct.Flexible, true
		left -= length
		came, node = next, other(e, node)
	}
}

func other(e *edge, node int) int {
	if e.a == node {
		return e.b
	}
	return e.a
}

// splitForFlex makes the last length metres of an edge before node flexible.
func (b *builder) splitForFlex(ei, node int, length float64, touching map[int][]int) {
	e := b.edges[ei]
	t := length / e.curve.Len()
	if e.b == node {
		t = 1 - t
	}
	d := e.d0 + t*(e.d1-e.d0)
	j := b.addJoint(joint{kind: flexStart, at: e.curve.Point(t), class: e.class, datum: e.datum, line: e.line, dist: d})
	b.keys[j] = e.origin.NodeAt(d)
	first, second := e, e
	first.b, first.d1, first.curve = j, d, e.curve.Sub(0, t)
	second.a, second.d0, second.curve = j, d, e.curve.Sub(t, 1)
	second.key = b.lines[e.line].src.Key.RunAt(d)
	flex := &second
	if e.a == node {
		flex = &first
	}
	flex.kind, flex.pliable = duct.Flexible, true
	b.edges[ei] = first
	b.edges = append(b.edges, second)
	ni := len(b.edges) - 1
	for k, x := range touching[e.b] {
		if x == ei {
			touching[e.b][k] = ni
		}
	}
	touching[j] = []int{ei, ni}
}

// touching returns the edges at every node, by key.
func (b *builder) touching() map[int][]int {
	out := map[int][]int{}
	for i := range b.edges {
		e := &b.edges[i]
		out[e.a] = append(out[e.a], i)
		if e.b != e.a {
			out[e.b] = append(out[e.b], i)
		}
	}
	for _, list := range out {
		slices.SortFunc(list, func(i, j int) int {
			p, q := &b.edges[i], &b.edges[j]
			return cmp.Or(key.Compare(p.origin, q.origin), cmp.Compare(p.d0, q.d0), cmp.Compare(i, j))
		})
	}
	return out
}
