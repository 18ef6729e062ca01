package network

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/sketch"
	"twinline/layout/words"
)

// assembly is a network in the making, with what leads back to the graph.
type assembly struct {
	*graph
	net     *duct.Network
	node    map[int]duct.NodeID // by node of the graph
	edgeRun []duct.RunID        // by edge
	root    []int               // by node: that of the graph
}

// walker turns a graph into a network.
type walker struct {
	assembly
	doubled map[int]bool // lines that lie upon another, as was reported
	done    []bool       // by edge
	loops   int          // rings found so far
	found   diag.List
}

// outward turns edges into runs, along the air, system by system from its head.
func outward(g *graph, parts []part, doubled map[int]bool) (*assembly, diag.List) {
	w := &walker{assembly: assembly{graph: g, net: &duct.Network{}, node: map[int]duct.NodeID{}}, doubled: doubled}
	w.edgeRun, w.done = make([]duct.RunID, len(g.edges)), make([]bool, len(g.edges))
	w.net.Runs = make([]duct.Run, 0, len(g.edges))
	w.net.Nodes = make([]duct.Node, 0, len(g.touching))
	w.addUnits()
	w.addTerminals()
	for i := range parts {
		w.addPart(&parts[i])
	}
	w.finishNodes()
	w.turnUprights()
	return &w.assembly, w.found
}

func (w *walker) addUnits() {
	for i := range w.sk.Units {
		u := &w.sk.Units[i]
		w.net.Units = append(w.net.Units, duct.Unit{
			ID: duct.UnitID(i), Key: u.Key, Handle: u.Handle, Mark: u.Mark, Air: u.Air, Status: u.Status, At: u.At,
			Outline: u.Outline, Circle: u.Circle, Neck: u.Neck, Flow: u.Flow,
		})
	}
}

func (w *walker) addTerminals() {
	for i := range w.sk.Terminals {
		t := &w.sk.Terminals[i]
		w.net.Terminals = append(w.net.Terminals, duct.Terminal{
			ID: duct.TerminalID(i), Key: t.Key, Handle: t.Handle, Mark: t.Mark, Name: t.Mark, System: duct.None, Air: t.Air,
			Status: t.Status, At: t.At, Face: t.Face, Neck: t.Neck, Conn: t.Conn, Flow: t.Flow, Loss: t.Loss,
			Block: t.Block, Node: duct.None,
		})
	}
}

// addPart adds one connected part, from its head outward.
func (w *walker) addPart(p *part) {
	system := duct.SystemID(duct.None)
	if p.head != none && !p.class.removed {
		system = duct.SystemID(len(w.net.Systems))
		u := duct.UnitID(w.unitOf[p.head])
		w.net.Systems = append(w.net.Systems,
			duct.System{ID: system, Name: w.net.Units[u].Mark, Air: p.class.air, Unit: u})
	}
	order, up := w.walk(p)
	for _, v := range order {
		w.addRun(v, system, up)
	}
	if system == duct.None {
		return
	}
	sys := &w.net.Systems[system]
	sys.Head = w.node[p.head]
	for _, v := range order {
		sys.Runs = append(sys.Runs, w.edgeRun[v.edge])
	}
}

// addNode returns the id of a node, made when first met.
func (w *walker) addNode(n int, system duct.SystemID) duct.NodeID {
	if id, ok := w.node[n]; ok {
		return id
	}
	id := duct.NodeID(len(w.net.Nodes))
	w.node[n] = id
	node := duct.Node{ID: id, Key: w.keys[n], System: system, Unit: duct.None, Terminal: duct.None}
	if i, ok := w.unitOf[n]; ok {
		node.Unit = duct.UnitID(i)
	}
	if i, ok := w.outletOf[n]; ok {
		node.Terminal = duct.TerminalID(i)
		t := &w.net.Terminals[node.Terminal]
		t.Node, t.System = id, system
	}
	w.net.Nodes = append(w.net.Nodes, node)
	w.root = append(w.root, n)
	return id
}

// addRun adds the run of one edge, met from the node towards the unit.
func (w *walker) addRun(v visit, system duct.SystemID, up map[int]int) {
	e := &w.edges[v.edge]
	near := w.addNode(v.from, system)
	far := w.addNode(other(e, v.from), system)
	outward := e.curve
	if e.a != v.from {
		outward = outward.Reverse()
	}
	id := duct.RunID(len(w.net.Runs))
	w.edgeRun[v.edge] = id
	r := duct.Run{
		ID: id, Key: e.key, Handles: e.handles, System: system, Air: e.class.air, Status: e.status, Kind: e.kind,
		Pliable: e.pliable, From: near, To: far, Line: outward, Datum: e.datum, Section: duct.None, Up: duct.None,
	}
	if !r.Air.FromUnit() {
		r.From, r.To, r.Line = far, near, outward.Reverse()
	}
	if prev := up[v.from]; prev != none && system != duct.None {
		r.Up = w.edgeRun[prev]
	}
	w.net.Runs = append(w.net.Runs, r)
	w.net.Nodes[near].Runs = append(w.net.Nodes[near].Runs, id)
	if far != near {
		w.net.Nodes[far].Runs = append(w.net.Nodes[far].Runs, id)
	}
}

// finishNodes gives nodes their kind and place.
func (w *walker) finishNodes() {
	head := map[duct.NodeID]bool{}
	for _, s := range w.net.Systems {
		head[s.Head] = true
	}
	for i := range w.net.Nodes {
		n := &w.net.Nodes[i]
		ends := make([]geom.Vec, len(n.Runs))
		for k, id := range n.Runs {
			r := &w.net.Runs[id]
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
			u := &w.net.Units[n.Unit]
			n.At = centre(u.Outline, u.At).At(ends[0].Z + z)
			w.settleUnit(n, u)
		case n.Terminal != duct.None:
			n.Kind = duct.Outlet
			if w.sides[w.root[i]] {
				n.At = w.net.Terminals[n.Terminal].At
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

// settleUnit decides what a pressure noted at a unit means: available at a head, lost in a box in the middle. An
// ESP is available wherever it is.
func (w *walker) settleUnit(n *duct.Node, u *duct.Unit) {
	s := &w.sk.Units[u.ID]
	if s.ESP > 0 { // in the middle a fan amid its ducts
		u.Available, u.HasAvailable = s.ESP, true
	}
	if n.Kind != duct.Head {
		u.Loss = w.first(s, "DP", s.Loss)
	} else if p := w.first(s, "ESP", s.ESP); p > 0 {
		u.Available, u.HasAvailable = p, true
	}
}

// first returns the pressure an attribute of a unit gives, else what a note does; a note that differs is reported.
func (w *walker) first(s *sketch.Unit, tag string, given duct.Pressure) duct.Pressure {
	if !(given > 0) {
		return s.Pressure
	}
	if s.Pressure > 0 && s.Pressure != given {
		w.found.Add(diag.Overruled, spot(s.At), s.Note, fmt.Sprintf(
			"The pressure of %s noted at %s was not used: the attribute %s of its block, %s, comes first.",
			w.say.Pressure(s.Pressure), words.Unit(s.Mark), tag, w.say.Pressure(given)),
			"Erase the note, or correct what it differs from.")
	}
	return given
}

// turnUprights gives vertical runs the direction their width lies along: that of the horizontal
// run they hang on, else of one that hangs on them.
func (w *walker) turnUprights() {
	for i := range w.net.Runs {
		r := &w.net.Runs[i]
		if !r.Vertical() {
			continue
		}
		r.Across = w.acrossOf(r, w.net.UpNode(r))
		if r.Across == (geom.Vec{}) {
			r.Across = w.acrossOf(r, w.net.DownNode(r))
		}
		if r.Across == (geom.Vec{}) {
			r.Across = geom.Vec{X: 1}
		}
	}
}

// acrossOf returns the width direction that a vertical run takes over from the runs at node id; none: zero.
func (w *walker) acrossOf(r *duct.Run, id duct.NodeID) geom.Vec {
	n := &w.net.Nodes[id]
	if n.Unit != duct.None {
		return geom.Vec{}
	}
	for _, k := range n.Runs {
		o := &w.net.Runs[k]
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

// visit is a step of the walk from the head: along an edge, coming from a node.
type visit struct{ edge, from int }

// walk goes from the head of a part outward along every edge and returns the edges in the order they
// were met, each after the one it hangs on, with the node it was met from. It reports the loops.
func (w *walker) walk(p *part) (order []visit, up map[int]int) {
	start := p.head
	if start == none {
		start = w.loosest(p)
	}
	up = map[int]int{start: none} // the edge by which a node was reached
	var stack []visit
	push := func(n int) {
		list := w.touching[n]
		for i := len(list) - 1; i >= 0; i-- {
			if !w.done[list[i]] {
				stack = append(stack, visit{list[i], n})
			}
		}
	}
	push(start)
	for len(stack) > 0 {
		v := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if w.done[v.edge] {
			continue
		}
		w.done[v.edge] = true
		order = append(order, v)
		far := other(&w.edges[v.edge], v.from)
		if _, seen := up[far]; seen {
			if !p.class.removed {
				w.loop(v, far, up)
			}
			continue
		}
		up[far] = v.edge
		push(far)
	}
	return order, up
}

// mostLoops is after how many rings no more are traced.
const mostLoops = 100

// loop reports the ring that edge v closes at node far.
func (w *walker) loop(v visit, far int, up map[int]int) {
	if w.loops++; w.loops > mostLoops {
		return
	}
	onWay := map[int]bool{}
	for n := v.from; ; n = other(&w.edges[up[n]], n) {
		onWay[n] = true
		if up[n] == none {
			break
		}
	}
	ring := []int{v.edge}
	meet := far
	for !onWay[meet] {
		ring = append(ring, up[meet])
		meet = other(&w.edges[up[meet]], meet)
	}
	for n := v.from; n != meet; n = other(&w.edges[up[n]], n) {
		ring = append(ring, up[n])
	}
	length := 0.0
	handles := map[string]bool{}
	for _, ei := range ring {
		e := &w.edges[ei]
		if e.line != none && w.doubled[e.line] {
			return // reported already: one line lies upon the other
		}
		length += e.curve.Len()
		for _, h := range e.handles {
			handles[h] = true
		}
	}
	names := slices.SortedFunc(maps.Keys(handles), key.Compare[string])
	const most = 8
	if len(names) > most {
		names = append(names[:most:most], "...")
	}
	e := &w.edges[v.edge]
	w.found.Add(diag.Loop, spot(e.curve.Point(0.5)), e.handles[0],
		fmt.Sprintf("Ducts close a ring of %s; the lines in it are %s.", w.say.Length(duct.Length(length)),
			strings.Join(names, ", ")),
		"Open the ring: take one of its ducts away, or move the end that should not join farther off than the snap distance.")
}

// centre is the middle of an outline.
func centre(outline []geom.Vec, at geom.Vec) geom.Vec {
	if len(outline) == 0 {
		return at
	}
	box := geom.BoxOf(outline...)
	return geom.Vec{X: (box.MinX + box.MaxX) / 2, Y: (box.MinY + box.MaxY) / 2, Z: at.Z}
}
