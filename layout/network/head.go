package network

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
)

// part is one connected part of the sketch.
type part struct {
	class class
	nodes []int // by key
	units []int // nodes that are units, in the order of the units
	head  int   // none if there is none
	error bool  // it has two heads
}

// parts returns the connected parts, the removed ones last.
func (b *builder) parts(touching map[int][]int) []part {
	joined := union{}
	for range b.joints {
		joined.add()
	}
	for i := range b.edges {
		joined.join(b.edges[i].a, b.edges[i].b)
	}
	slot := map[int]int{}
	var out []part
	for _, n := range b.nodesByKey(touching) {
		r := joined.root(n)
		k, ok := slot[r]
		if !ok {
			k = len(out)
			slot[r] = k
			out = append(out, part{class: b.edges[touching[n][0]].class, head: none})
		}
		out[k].nodes = append(out[k].nodes, n)
		if b.hasUnit[n] {
			out[k].units = append(out[k].units, n)
		}
	}
	for i := range out {
		slices.SortFunc(out[i].units, func(p, q int) int { return cmp.Compare(b.unitRank(p), b.unitRank(q)) })
	}
	// By unit, then by air; parts without a unit after those with one, removed ones last.
	slices.SortStableFunc(out, func(p, q part) int {
		return cmp.Or(boolean(p.class.removed, q.class.removed), boolean(len(p.units) == 0, len(q.units) == 0))
	})
	return out
}

func boolean(p, q bool) int {
	switch {
	case p == q:
		return 0
	case q:
		return -1
	}
	return 1
}

// findHead decides which unit a part hangs from. A single unit is the head, whatever number of ducts leave
// it. Of several, it is the one at an end of the part, with one duct: a fan in the middle of its ducts is a box like
// any other. Where none is at an end, as with a unit that has several mains, it is the one with an
// available pressure of its own (its ESP); without one, the one that is not said to be a box by the
// pressure it loses (its DP); else the one from which the fewest boxes stand one behind the other, and that is told.
// Two at ends are two heads.
func (b *builder) findHead(p *part, touching map[int][]int) {
	if p.class.removed {
		if len(p.units) > 0 {
			p.head = p.units[0]
		}
		return
	}
	switch len(p.units) {
	case 0:
		b.noHead(p, touching)
		return
	case 1:
		p.head = p.units[0]
		return
	}
	var ends, driven []int
	for _, n := range p.units {
		if len(touching[n]) == 1 {
			ends = append(ends, n)
		}
		if b.sk.Units[b.unitOf[n]].ESP > 0 {
			driven = append(driven, n)
		}
	}
	switch {
	case len(ends) == 1:
		p.head = ends[0]
		if len(driven) > 0 && !slices.Contains(driven, ends[0]) {
			b.headChosen(p, driven[0])
		}
	case len(ends) == 0 && len(driven) == 1:
		p.head = driven[0]
	case len(ends) == 0 && len(driven) == 0 && b.middleHead(p, touching):
	default:
		b.twoHeads(p, ends, driven)
	}
}

func (b *builder) noHead(p *part, touching map[int][]int) {
	n := b.loosest(p, touching)
	e := &b.edges[touching[n][0]]
	at := e.curve.A
	if e.b == n {
		at = e.curve.B
	}
	b.found.Add(diag.NoHead, place(at), e.handles[0],
		fmt.Sprintf("This %s duct, with all that hangs on it, is connected to no unit.", p.class.air),
		fmt.Sprintf("Draw the unit as a block, a closed outline or a circle on the unit layer (SK-%s-UNIT), and end the duct at it.", p.class.air))
}

// loosest returns where a part without a unit most likely lacks it: at its first end without a terminal.
func (b *builder) loosest(p *part, touching map[int][]int) int {
	for _, n := range p.nodes {
		if len(touching[n]) == 1 && !b.isOutlet(n) {
			return n
		}
	}
	return p.nodes[0]
}

// headChosen tells that the head was taken for its place although another unit has the pressure.
func (b *builder) headChosen(p *part, driven int) {
	head, fan := &b.sk.Units[b.unitOf[p.head]], &b.sk.Units[b.unitOf[driven]]
	b.found.Add(diag.HeadChosen, place(head.At), head.Handle,
		fmt.Sprintf("%s stands at an end of this %s system and was taken as its head, although the pressure is noted at %s.",
			capital(unitName(head)), p.class.air, unitName(fan)),
		"Nothing, if the air comes from there or goes there; else draw what hangs on it.")
}

// twoHeads reports a part with several units none of which is plainly the head, and takes one to go on with.
func (b *builder) twoHeads(p *part, ends, driven []int) {
	p.error = true
	rivals := ends
	if len(rivals) < 2 {
		rivals = append(slices.Clone(ends), driven...)
	}
	if len(rivals) < 2 {
		rivals = p.units
	}
	slices.SortFunc(rivals, func(p, q int) int { return cmp.Compare(b.unitRank(p), b.unitRank(q)) })
	p.head = rivals[0]
	var names []string
	for _, n := range rivals {
		u := &b.sk.Units[b.unitOf[n]]
		names = append(names, fmt.Sprintf("%s at %s", unitName(u), b.point(u.At)))
	}
	second := &b.sk.Units[b.unitOf[rivals[1]]]
	b.found.Add(diag.TwoHeads, place(second.At), second.Handle,
		fmt.Sprintf("One %s system can hang from one unit only, and could hang from each of: %s.", p.class.air, strings.Join(names, "; ")),
		"Part the ducts between them, or draw what hangs on the box in the middle; where all have ducts on both sides, give the attribute ESP to the one at the head.")
}

// visit is a step of the walk from the head: along an edge, coming from a node.
type visit struct{ edge, from int }

// walk goes from the head of a part outward along every edge and returns the edges in the order they
// were met, each after the one it hangs on, with the node it was met from. It tells the loops.
func (b *builder) walk(p *part, touching map[int][]int, done map[int]bool) (order []visit, up map[int]int) {
	start := p.head
	if start == none {
		start = b.loosest(p, touching)
	}
	up = map[int]int{start: none} // the edge by which a node was reached
	var stack []visit
	push := func(n int) {
		list := touching[n]
		for i := len(list) - 1; i >= 0; i-- {
			if !done[list[i]] {
				stack = append(stack, visit{list[i], n})
			}
		}
	}
	push(start)
	for len(stack) > 0 {
		v := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if done[v.edge] {
			continue
		}
		done[v.edge] = true
		order = append(order, v)
		far := other(&b.edges[v.edge], v.from)
		if _, seen := up[far]; seen {
			if !p.class.removed {
				b.loop(v, far, up)
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
func (b *builder) loop(v visit, far int, up map[int]int) {
	if b.loops++; b.loops > mostLoops {
		return
	}
	onWay := map[int]bool{}
	for n := v.from; ; n = other(&b.edges[up[n]], n) {
		onWay[n] = true
		if up[n] == none {
			break
		}
	}
	ring := []int{v.edge}
	meet := far
	for !onWay[meet] {
		ring = append(ring, up[meet])
		meet = other(&b.edges[up[meet]], meet)
	}
	for n := v.from; n != meet; n = other(&b.edges[up[n]], n) {
		ring = append(ring, up[n])
	}
	length := 0.0
	handles := map[string]bool{}
	for _, ei := range ring {
		e := &b.edges[ei]
		if e.line != none && b.overlapping[e.line] {
			return // told already: one line lies upon the other
		}
		length += e.curve.Len()
		for _, h := range e.handles {
			handles[h] = true
		}
	}
	var names []string
	for h := range handles {
		names = append(names, h)
	}
	slices.SortFunc(names, key.Compare[string])
	const most = 8
	if len(names) > most {
		names = append(names[:most:most], "...")
	}
	e := &b.edges[v.edge]
	b.found.Add(diag.Loop, place(e.curve.Point(half)), e.handles[0],
		fmt.Sprintf("Ducts close a ring of %s; the lines in it are %s.", b.long(length), strings.Join(names, ", ")),
		"Open the ring: take one of its ducts away, or move the end that should not join farther off than the snap distance.")
}

// half is the middle of a piece.
const half = 1.0 / 2

// flowSums adds up the flow of every run of a system from its terminals.
func flowSums(net *duct.Network, sys *duct.System) {
	for i := len(sys.Runs) - 1; i >= 0; i-- {
		r := &net.Runs[sys.Runs[i]]
		if t := net.Nodes[net.DownNode(r)].Terminal; t != duct.None {
			r.Flow += net.Terminals[t].Flow
		}
		if r.Up != duct.None {
			net.Runs[r.Up].Flow += r.Flow
		} else {
			sys.Flow += r.Flow
		}
	}
}

// flowShare is the part by which an airflow noted at a unit may differ from the sum of its terminals
// without a word: what rounding of the noted figures makes. Common practice.
const flowShare = 0.02

// compareFlows tells where the airflow noted at a unit is not what its terminals add up to.
func (b *builder) compareFlows(net *duct.Network, n *duct.Node, sum duct.Flow) {
	u := &net.Units[n.Unit]
	if !(u.Flow > 0) || !(sum > 0) {
		return
	}
	if diff := float64(u.Flow-sum) / float64(sum); diff > flowShare || diff < -flowShare {
		b.found.Add(diag.FlowDiffers, place(u.At), u.Handle,
			fmt.Sprintf("At %s an airflow of %s is noted, but its terminals add up to %s, which is what counts.",
				unitLabel(u.Mark), b.flow(u.Flow), b.flow(sum)),
			"Correct the airflow of the unit, or those of its terminals.")
	}
}

// middlePlace is the middle of an outline.
func middlePlace(outline []geom.Vec, at geom.Vec) geom.Vec {
	if len(outline) == 0 {
		return at
	}
	box := geom.BoxOf(outline...)
	return geom.Vec{X: (box.MinX + box.MaxX) / 2, Y: (box.MinY + box.MaxY) / 2, Z: at.Z}
}
