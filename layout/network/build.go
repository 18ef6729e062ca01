package network

import (
	"cmp"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/sketch"
)

// Build joins a sketch up. The network it returns is whole only when no finding is of level
// error; with errors it holds what could be joined, so that all that is wrong can be told and
// marked at once. The order of lines, terminals and units in the sketch does not matter.
func Build(sk *sketch.Sketch, spec Spec) (*duct.Network, diag.List) {
	b := &builder{
		sk: sk, spec: spec, snap: float64(spec.Snap),
		index: map[class]*lookup{}, unitAt: map[unitKey]int{},
		taken: map[int]bool{}, inUnit: map[int]bool{}, sides: map[int]bool{},
		overlapping: map[int]bool{}, passed: map[int]bool{}, endsIn: map[cell]int{},
	}
	if !(b.snap > 0) {
		b.snap = defaultSnap
	}
	b.trace()
	b.touchUnits()
	b.snapEnds()
	b.touchTerminals()
	b.risers()
	b.touchOther()
	b.overlaps()
	b.nearMisses()
	b.countJoints()
	b.freeze()
	b.nameNodes()
	b.flexibleEnds()
	return b.assemble(), b.found
}

// defaultSnap is the snap distance in metres where the spec gives none.
const defaultSnap = 0.025

// countJoints notes which joints became one node, and what that node is.
func (b *builder) countJoints() {
	b.sizes, b.hasUnit, b.unitOf, b.outletOf = map[int]int{}, map[int]bool{}, map[int]int{}, map[int]int{}
	for j := range b.joints {
		r := b.same.root(j)
		switch b.joints[j].kind {
		case atUnit:
			b.hasUnit[r] = true
			b.unitOf[r] = b.joints[j].ref
		case outlet:
			b.outletOf[r] = b.joints[j].ref
		default:
			b.sizes[r]++
		}
	}
}

func (b *builder) isOutlet(node int) bool { _, ok := b.outletOf[node]; return ok }

// unitRank is the place of the unit at a node in the order of the units.
func (b *builder) unitRank(node int) int { return b.rank[b.unitOf[node]] }

// nodeName is a place on a line a node can be called after.
type nodeName struct {
	line key.Key
	dist float64
}

// nameNodes gives every node a key made of the terminal, the unit or the places on lines that meet there.
// The lowest line counts: what is drawn later has a higher key and renames nothing.
func (b *builder) nameNodes() {
	names := map[int]nodeName{}
	offer := func(n int, line key.Key, dist float64) {
		old, ok := names[n]
		if !ok || cmp.Or(key.Compare(line, old.line), cmp.Compare(dist, old.dist)) < 0 {
			names[n] = nodeName{line, dist}
		}
	}
	for i := range b.edges {
		if e := &b.edges[i]; e.line != none {
			offer(e.a, e.origin, e.d0)
			offer(e.b, e.origin, e.d1)
		}
	}
	b.keys = map[int]key.Key{}
	for n, name := range names {
		b.keys[n] = name.line.NodeAt(name.dist)
	}
	for n, i := range b.outletOf {
		b.keys[n] = b.sk.Terminals[i].Key
	}
	for n := range b.hasUnit {
		u := &b.sk.Units[b.unitOf[n]]
		c := b.joints[n].class
		b.keys[n] = u.Key.Port(c.air.String(), c.removed)
	}
}

// nodesByKey returns every node that has an edge.
func (b *builder) nodesByKey(touching map[int][]int) []int {
	out := make([]int, 0, len(touching))
	for n := range touching {
		out = append(out, n)
	}
	slices.SortFunc(out, func(i, j int) int { return cmp.Or(key.Compare(b.keys[i], b.keys[j]), cmp.Compare(i, j)) })
	return out
}

// assembly is the network in the making, with what leads back to the builder.
type assembly struct {
	*builder
	net      *duct.Network
	node     map[int]duct.NodeID // by root
	edgeRun  []duct.RunID        // by edge
	terminal []duct.TerminalID   // by index of Sketch.Terminals
	unit     []duct.UnitID       // by index of Sketch.Units
	root     []int               // by node
	overhead *geom.Index         // of the lines of runs, where a terminal without a duct asked for it
}

// assemble turns edges into runs, along the air, system by system.
func (b *builder) assemble() *duct.Network {
	a := &assembly{builder: b, net: &duct.Network{}, node: map[int]duct.NodeID{}}
	touching := b.touching()
	a.edgeRun = make([]duct.RunID, len(b.edges))
	a.net.Runs = make([]duct.Run, 0, len(b.edges))
	a.net.Nodes = make([]duct.Node, 0, len(touching))
	a.net.Units = make([]duct.Unit, 0, len(b.units))
	a.net.Terminals = make([]duct.Terminal, 0, len(b.terminals))
	a.addUnits()
	a.addTerminals()
	done := map[int]bool{}
	parts := b.parts(touching)
	for i := range parts {
		b.findHead(&parts[i], touching)
	}
	slices.SortStableFunc(parts, func(p, q part) int {
		if p.class.removed != q.class.removed || p.head == none || q.head == none {
			return cmp.Or(boolean(p.class.removed, q.class.removed), boolean(p.head == none, q.head == none))
		}
		return cmp.Or(cmp.Compare(b.unitRank(p.head), b.unitRank(q.head)), cmp.Compare(p.class.air, q.class.air))
	})
	for i := range parts {
		a.addPart(&parts[i], touching, done)
	}
	a.finishNodes()
	a.acrosses()
	a.specs()
	a.sections()
	for i := range a.net.Systems {
		flowSums(a.net, &a.net.Systems[i])
	}
	a.checkTerminals()
	a.name()
	a.checkNodes()
	return a.net
}

func (a *assembly) addUnits() {
	a.unit = make([]duct.UnitID, len(a.sk.Units))
	for _, i := range a.units {
		u := &a.sk.Units[i]
		id := duct.UnitID(len(a.net.Units))
		a.unit[i] = id
		a.net.Units = append(a.net.Units, duct.Unit{
			ID: id, Key: u.Key, Handle: u.Handle, Mark: u.Mark, Air: u.Air, Status: u.Status, At: u.At,
			Outline: u.Outline, Circle: u.Circle, Neck: u.Neck, Flow: u.Flow,
		})
	}
}

func (a *assembly) addTerminals() {
	a.terminal = make([]duct.TerminalID, len(a.sk.Terminals))
	for _, i := range a.terminals {
		t := &a.sk.Terminals[i]
		id := duct.TerminalID(len(a.net.Terminals))
		a.terminal[i] = id
		a.net.Terminals = append(a.net.Terminals, duct.Terminal{
			ID: id, Key: t.Key, Handle: t.Handle, Mark: t.Mark, Name: t.Mark, System: duct.None, Air: t.Air,
			Status: t.Status, At: t.At, Face: t.Face, Neck: t.Neck, Conn: t.Conn, Flow: t.Flow, Loss: t.Loss,
			Block: t.Block, Node: duct.None,
		})
	}
}

// addPart adds one connected part, from its head outward.
func (a *assembly) addPart(p *part, touching map[int][]int, done map[int]bool) {
	system := duct.SystemID(duct.None)
	if p.head != none && !p.class.removed {
		system = duct.SystemID(len(a.net.Systems))
		u := a.unit[a.unitOf[p.head]]
		a.net.Systems = append(a.net.Systems, duct.System{ID: system, Name: a.net.Units[u].Mark, Air: p.class.air, Unit: u})
	}
	order, up := a.walk(p, touching, done)
	for _, v := range order {
		a.addRun(v, system, up)
	}
	if system == duct.None {
		return
	}
	sys := &a.net.Systems[system]
	sys.Head = a.node[p.head]
	for _, v := range order {
		sys.Runs = append(sys.Runs, a.edgeRun[v.edge])
	}
}

// addNode returns the id of a node, made when first met.
func (a *assembly) addNode(n int, system duct.SystemID) duct.NodeID {
	if id, ok := a.node[n]; ok {
		return id
	}
	id := duct.NodeID(len(a.net.Nodes))
	a.node[n] = id
	node := duct.Node{ID: id, Key: a.keys[n], System: system, Unit: duct.None, Terminal: duct.None}
	if a.hasUnit[n] {
		node.Unit = a.unit[a.unitOf[n]]
	}
	if i, ok := a.outletOf[n]; ok {
		node.Terminal = a.terminal[i]
		t := &a.net.Terminals[node.Terminal]
		t.Node, t.System = id, system
	}
	a.net.Nodes = append(a.net.Nodes, node)
	a.root = append(a.root, n)
	return id
}

// addRun adds the run of one edge, met from the node towards the unit.
func (a *assembly) addRun(v visit, system duct.SystemID, up map[int]int) {
	e := &a.edges[v.edge]
	near := a.addNode(v.from, system)
	far := a.addNode(other(e, v.from), system)
	outward := e.curve
	if e.a != v.from {
		outward = outward.Reverse()
	}
	id := duct.RunID(len(a.net.Runs))
	a.edgeRun[v.edge] = id
	r := duct.Run{
		ID: id, Key: e.key, Handles: e.handles, System: system, Air: e.class.air, Status: e.status, Kind: e.kind,
		Pliable: e.pliable, From: near, To: far, Line: outward, Datum: e.datum, Section: duct.None, Up: duct.None,
	}
	if !r.Air.FromUnit() {
		r.From, r.To, r.Line = far, near, outward.Reverse()
	}
	if prev := up[v.from]; prev != none && system != duct.None {
		r.Up = a.edgeRun[prev]
	}
	a.net.Runs = append(a.net.Runs, r)
	a.net.Nodes[near].Runs = append(a.net.Nodes[near].Runs, id)
	if far != near {
		a.net.Nodes[far].Runs = append(a.net.Nodes[far].Runs, id)
	}
}

// finishNodes gives nodes their kind and place.
func (a *assembly) finishNodes() {
	head := map[duct.NodeID]bool{}
	for _, s := range a.net.Systems {
		head[s.Head] = true
	}
	for i := range a.net.Nodes {
		n := &a.net.Nodes[i]
		ends := make([]geom.Vec, len(n.Runs))
		for k, id := range n.Runs {
			r := &a.net.Runs[id]
			ends[k] = r.Line.B
			if r.From == n.ID {
				ends[k] = r.Line.A
			}
		}
		n.At = ends[0]
		switch {
		case n.Unit != duct.None:
			n.Kind = duct.Box
			if head[n.ID] || len(n.Runs) == 1 {
				n.Kind = duct.Head
			}
			z := 0.0
			for _, p := range ends {
				z += (p.Z - ends[0].Z) / float64(len(ends))
			}
			u := &a.net.Units[n.Unit]
			n.At = middlePlace(u.Outline, u.At).At(ends[0].Z + z)
			a.settleUnit(n, u)
		case n.Terminal != duct.None:
			n.Kind = duct.Outlet
			if a.sides[a.outletJoint(n.Terminal)] {
				n.At = a.net.Terminals[n.Terminal].At
			}
		case len(n.Runs) == 1:
			n.Kind = duct.Cap
		case len(n.Runs) == 2:
			n.Kind = duct.Bend
		default:
			n.Kind = duct.Branch
		}
	}
}

// outletJoint returns the joint of a terminal.
func (a *assembly) outletJoint(id duct.TerminalID) int { return a.outlets[a.terminals[id]] }

// settleUnit decides what a pressure noted at a unit means: available at a head, lost in a box in the middle. An
// ESP is available wherever it is.
func (a *assembly) settleUnit(n *duct.Node, u *duct.Unit) {
	s := &a.sk.Units[a.units[u.ID]]
	if n.Kind == duct.Head {
		switch {
		case s.ESP > 0:
			u.Available, u.HasAvailable = s.ESP, true
		case s.Pressure > 0:
			u.Available, u.HasAvailable = s.Pressure, true
		}
		return
	}
	if s.ESP > 0 { // a fan amid its ducts
		u.Available, u.HasAvailable = s.ESP, true
	}
	switch {
	case s.Loss > 0:
		u.Loss = s.Loss
	case s.Pressure > 0:
		u.Loss = s.Pressure
	}
}

// acrosses gives vertical runs the direction their width lies along: that of the horizontal
// run they hang on, else of one that hangs on them.
func (a *assembly) acrosses() {
	for i := range a.net.Runs {
		r := &a.net.Runs[i]
		if !r.Vertical() {
			continue
		}
		r.Across = a.acrossOf(r, a.net.UpNode(r))
		if r.Across == (geom.Vec{}) {
			r.Across = a.acrossOf(r, a.net.DownNode(r))
		}
		if r.Across == (geom.Vec{}) {
			r.Across = geom.Vec{X: 1}
		}
	}
}

// acrossOf returns the width direction that a vertical run takes over from the runs at node id; none: zero.
func (a *assembly) acrossOf(r *duct.Run, id duct.NodeID) geom.Vec {
	n := &a.net.Nodes[id]
	if n.Unit != duct.None {
		return geom.Vec{}
	}
	for _, k := range n.Runs {
		o := &a.net.Runs[k]
		switch {
		case k == r.ID:
		case o.Vertical():
			if o.Across != (geom.Vec{}) {
				return o.Across
			}
		default:
			t := 0.0
			if o.To == id {
				t = 1
			}
			return o.Line.Tangent(t).Left().Unit()
		}
	}
	return geom.Vec{}
}
