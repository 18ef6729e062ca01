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
// from node a to node b.
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

// graph is what was joined, as edges between nodes at their final places. A node is the root of its joints in web.same,
// or a number beyond all joints where a flexible end begins.
type graph struct {
	frame
	edges    []edge
	touching map[int][]int   // by node: its edges, by key
	keys     map[int]key.Key // by node
	unitOf   map[int]int     // by node: index into Sketch.Units
	outletOf map[int]int     // by node: index into Sketch.Terminals
	sides    map[int]bool    // nodes of terminals that are connected from the side
	nodes    int             // how many numbers nodes have
}

// freezer turns what was joined into a graph.
type freezer struct {
	*joined
	graph
	xy    map[int]geom.Vec // where joints lie in plan, by root of plumb
	z     map[int]level    // and in elevation, by root of same
	ends  map[int]int      // by root of same: how many joints of lines it stands for
	found diag.List
}

// level is the height of joints that are one.
type level struct {
	z     float64
	datum duct.Datum
	keep  bool // every end keeps its own: at units and at the sides of terminals
}

// freeze makes edges and nodes of everything that was joined.
func freeze(j *joined) (*graph, diag.List) {
	n := len(j.joints)
	z := &freezer{joined: j, xy: make(map[int]geom.Vec, n), z: make(map[int]level, n), ends: make(map[int]int, n),
		graph: graph{
			frame: j.frame, nodes: n,
			keys: map[int]key.Key{}, unitOf: map[int]int{}, outletOf: map[int]int{}, sides: map[int]bool{},
		}}
	z.settle()
	// Every joint in the middle of a piece makes one piece more.
	z.edges = make([]edge, 0, n+len(j.drops)+len(j.risers))
	for li := range j.lines {
		z.freezeLine(li)
	}
	for _, d := range j.drops {
		z.freezeDrop(d)
	}
	for _, r := range j.risers {
		z.freezeRiser(r)
	}
	z.nameNodes()
	z.touching = z.edgesAt()
	if z.flexEnd > 0 {
		for _, o := range j.outlets {
			if o != none {
				z.flexibleEnd(j.same.root(o))
			}
		}
		z.touching = z.edgesAt()
	}
	return &z.graph, z.found
}

// settle finds the place of every set of joints, and which are units and terminals.
func (z *freezer) settle() {
	stacks := make(map[int][]int, len(z.joints))
	nodes := make(map[int][]int, len(z.joints))
	for j := range z.joints {
		p := &z.joints[j]
		r := z.same.root(j)
		nodes[r] = append(nodes[r], j)
		switch p.kind {
		case atUnit:
			z.unitOf[r] = p.ref
		case outlet:
			z.outletOf[r] = p.ref
			z.sides[r] = p.side
		default:
			z.ends[r]++
		}
		if p.kind != atUnit && !p.side {
			up := z.plumb.root(j)
			stacks[up] = append(stacks[up], j)
		}
	}
	for r, members := range stacks {
		z.xy[r] = z.planPlace(members)
	}
	for r, members := range nodes {
		z.z[r] = z.elevation(members)
	}
}

// planPlace returns where in plan joints meet: where a line passes, else where a vertical
// piece stands, else where the lines that end there would cross, else in the middle between the ends.
func (z *freezer) planPlace(members []int) geom.Vec {
	var ends []int
	upright := none
	for _, j := range members {
		switch z.joints[j].kind {
		case corner, middle:
			return z.joints[j].at
		case openEnd:
			ends = append(ends, j)
			if upright == none && z.upright(z.endPiece(j)) {
				upright = j
			}
		case atUnit, outlet:
		}
	}
	switch {
	case upright != none:
		return z.joints[upright].at
	case len(ends) == 0:
		return z.joints[members[0]].at
	case len(ends) == 2:
		if p, ok := z.crossing(ends[0], ends[1]); ok {
			return p
		}
	}
	sum := geom.Vec{}
	first := z.joints[ends[0]].at // summed from here, so that far from the origin no digit is lost
	for _, j := range ends {
		sum = sum.Add(z.joints[j].at.Sub(first))
	}
	return first.Add(sum.Scale(1 / float64(len(ends))))
}

// endPiece returns the piece of the open end j.
func (z *freezer) endPiece(j int) geom.Curve {
	l := &z.lines[z.joints[j].line]
	if l.joints[0] == j {
		return z.pieces[l.pieces[0]].curve
	}
	return z.pieces[l.pieces[len(l.pieces)-1]].curve
}

// crossing returns the point in plan where the straight pieces at two ends cross when lengthened, if
// that is within the snap distance of both.
func (z *freezer) crossing(i, j int) (geom.Vec, bool) {
	p, q := z.endPiece(i), z.endPiece(j)
	if !p.Straight() || !q.Straight() {
		return geom.Vec{}, false
	}
	u, v := p.B.Sub(p.A).Plan().Unit(), q.B.Sub(q.A).Plan().Unit()
	det := u.X*v.Y - u.Y*v.X
	if math.Abs(det) < geom.Straight {
		return geom.Vec{}, false
	}
	w := z.joints[j].at.Sub(z.joints[i].at)
	x := z.joints[i].at.Add(u.Scale((w.X*v.Y - w.Y*v.X) / det))
	near := x.PlanDist(z.joints[i].at) <= z.snap && x.PlanDist(z.joints[j].at) <= z.snap
	return x, near
}

// elevation returns the height at which joints meet: that of the line that passes, else the mean of
// the ends noted by their centreline, else the mean of the ends noted as the first of them is.
func (z *freezer) elevation(members []int) level {
	out := level{z: z.joints[members[0]].at.Z, datum: z.joints[members[0]].datum}
	passing, ends := none, members[:0:0]
	for _, j := range members {
		switch p := &z.joints[j]; {
		case p.kind == atUnit || z.joints[j].side:
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
		out.z, out.datum = z.joints[passing].at.Z, z.joints[passing].datum
		return out
	}
	if len(ends) == 0 {
		return out
	}
	out.datum = z.joints[ends[0]].datum
	for _, j := range ends {
		if z.joints[j].datum == duct.Centre {
			out.datum = duct.Centre
		}
	}
	sum, n := 0.0, 0.0
	for _, j := range ends {
		if p := &z.joints[j]; p.datum == out.datum {
			sum, n = sum+p.at.Z, n+1
		}
	}
	out.z = sum / n
	return out
}

// place returns where joint j comes to lie.
func (z *freezer) place(j int) geom.Vec {
	p := &z.joints[j]
	lv := z.z[z.same.root(j)]
	xy, ok := z.xy[z.plumb.root(j)]
	if !ok {
		xy = p.at
	}
	if lv.keep || lv.datum != p.datum {
		return xy.At(p.at.Z)
	}
	return xy.At(lv.z)
}

func (z *freezer) freezeLine(li int) {
	l := &z.lines[li]
	kind := duct.Rigid
	if l.src.Flex {
		kind = duct.Flexible
	}
	for _, pi := range l.pieces {
		p := &z.pieces[pi]
		t0, j0 := 0.0, p.a
		cuts := append(slices.Clone(p.mids), mid{1, p.b})
		for _, m := range cuts {
			c := p.curve.Sub(t0, m.t)
			c.A, c.B = z.place(j0), z.place(m.joint)
			e := edge{
				a: z.same.root(j0), b: z.same.root(m.joint), line: li,
				d0: p.along(t0), d1: p.along(m.t), curve: c,
				handles: []string{l.src.Handle}, class: l.class, status: l.src.Status,
				kind: kind, pliable: l.src.Flex, datum: l.src.Datum, origin: l.src.Key,
			}
			e.key = l.src.Key.RunAt(e.d0)
			t0, j0 = m.t, m.joint
			if e.a == e.b && c.Len() <= z.snap {
				continue // snapping has closed it up; nothing is left of it
			}
			z.edges = append(z.edges, e)
		}
	}
}

func (z *freezer) freezeDrop(d drop) {
	o := &z.joints[d.outlet]
	t := &z.sk.Terminals[o.ref]
	end := &z.joints[d.end]
	top := z.place(d.end)
	l := &z.lines[end.line]
	status := t.Status
	if z.ends[z.same.root(d.end)] == 1 { // it met no other
		status = l.src.Status
	}
	z.edges = append(z.edges, edge{
		a: z.same.root(d.end), b: z.same.root(d.outlet), line: none, curve: geom.Curve{A: top, B: top.At(t.At.Z)},
		key: t.Key.Drop(), handles: []string{t.Handle}, class: o.class, status: status,
		kind: duct.Drop, pliable: l.src.Flex, datum: duct.Centre, origin: t.Key,
	})
	o.at = top.At(t.At.Z)
}

func (z *freezer) freezeRiser(r riser) {
	p, q := &z.joints[r.end], &z.joints[r.other]
	from, to := z.place(r.end), z.place(r.other)
	lp, lq := z.lines[p.line].src, z.lines[q.line].src
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
	z.edges = append(z.edges, edge{
		a: z.same.root(r.end), b: z.same.root(r.other), line: none, curve: geom.Curve{A: from, B: to},
		key: lp.Key.RunAt(p.dist).Riser(), handles: handles, class: p.class, status: status, kind: duct.Rigid,
		datum: duct.Centre, origin: lp.Key,
	})
	if !p.class.removed {
		z.found.Add(diag.Riser, spot(from), lp.Handle,
			fmt.Sprintf("A riser, or an offset where it is too low for two bends, of %s was put between ducts at "+
				"elevations %s and %s.",
				z.say.Length(duct.Length(math.Abs(from.Z-to.Z))),
				z.say.Level(duct.Length(math.Min(from.Z, to.Z))), z.say.Level(duct.Length(math.Max(from.Z, to.Z)))),
			"Nothing, if the duct is to change level here; else give both ducts one elevation.")
	}
}

// leastStub is the length of rigid duct in metres that is not worth keeping before a flexible end. Common practice.
const leastStub = 0.1

func (g *graph) flexibleEnd(node int) {
	left := g.flexEnd
	came := none
	for left > 0 {
		next := none
		for _, ei := range g.touching[node] {
			if ei != came {
				if next != none {
					return // a branch
				}
				next = ei
			}
		}
		if next == none || came != none && g.isUnit(node) {
			return
		}
		e := &g.edges[next]
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
			g.splitForFlex(next, node, left)
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
func (g *graph) splitForFlex(ei, node int, length float64) {
	e := g.edges[ei]
	t := length / e.curve.Len()
	if e.b == node {
		t = 1 - t
	}
	d := e.d0 + t*(e.d1-e.d0)
	j := g.nodes
	g.nodes++
	g.keys[j] = e.origin.NodeAt(d)
	first, second := e, e
	first.b, first.d1, first.curve = j, d, e.curve.Sub(0, t)
	second.a, second.d0, second.curve = j, d, e.curve.Sub(t, 1)
	second.key = e.origin.RunAt(d)
	flex := &second
	if e.a == node {
		flex = &first
	}
	flex.kind, flex.pliable = duct.Flexible, true
	g.edges[ei] = first
	g.edges = append(g.edges, second)
	ni := len(g.edges) - 1
	for k, x := range g.touching[e.b] {
		if x == ei {
			g.touching[e.b][k] = ni
		}
	}
	g.touching[j] = []int{ei, ni}
}

// edgesAt returns the edges at every node, by key.
func (g *graph) edgesAt() map[int][]int {
	out := map[int][]int{}
	for i := range g.edges {
		e := &g.edges[i]
		out[e.a] = append(out[e.a], i)
		if e.b != e.a {
			out[e.b] = append(out[e.b], i)
		}
	}
	for _, list := range out {
		slices.SortFunc(list, func(i, j int) int {
			p, q := &g.edges[i], &g.edges[j]
			return cmp.Or(key.Compare(p.origin, q.origin), cmp.Compare(p.d0, q.d0), cmp.Compare(i, j))
		})
	}
	return out
}

func (g *graph) isUnit(node int) bool { _, ok := g.unitOf[node]; return ok }

func (g *graph) isOutlet(node int) bool { _, ok := g.outletOf[node]; return ok }

// nodeName is a place on a line a node can be called after.
type nodeName struct {
	line key.Key
	dist float64
}

// nameNodes gives every node a key made of the terminal, the unit or the places on lines that meet there.
// The lowest line counts: what is drawn later has a higher key and renames nothing.
func (z *freezer) nameNodes() {
	names := map[int]nodeName{}
	offer := func(n int, line key.Key, dist float64) {
		old, ok := names[n]
		if !ok || cmp.Or(key.Compare(line, old.line), cmp.Compare(dist, old.dist)) < 0 {
			names[n] = nodeName{line, dist}
		}
	}
	for i := range z.edges {
		if e := &z.edges[i]; e.line != none {
			offer(e.a, e.origin, e.d0)
			offer(e.b, e.origin, e.d1)
		}
	}
	for n, name := range names {
		z.keys[n] = name.line.NodeAt(name.dist)
	}
	for n, i := range z.outletOf {
		z.keys[n] = z.sk.Terminals[i].Key
	}
	for n, i := range z.unitOf {
		c := z.joints[n].class
		z.keys[n] = z.sk.Units[i].Key.Port(c.air.String(), c.removed)
	}
}
