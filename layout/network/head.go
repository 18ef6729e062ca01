package network

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"twinline/layout/diag"
	"twinline/layout/key"
	"twinline/layout/words"
)

// part is one connected part of the sketch.
type part struct {
	class class
	nodes []int // by key
	units []int // nodes that are units, in the order of the units
	head  int   // none if there is none
}

// header finds the heads of the parts of a graph.
type header struct {
	*graph
	found diag.List
}

// heads returns the connected parts, each with its head, in the order of their units; the removed ones last.
func heads(g *graph) ([]part, diag.List) {
	h := &header{graph: g}
	parts := g.parts()
	for i := range parts {
		h.findHead(&parts[i])
	}
	slices.SortStableFunc(parts, func(p, q part) int {
		if p.class.removed != q.class.removed || p.head == none || q.head == none {
			return cmp.Or(boolean(p.class.removed, q.class.removed), boolean(p.head == none, q.head == none))
		}
		return cmp.Or(cmp.Compare(g.unitOf[p.head], g.unitOf[q.head]), cmp.Compare(p.class.air, q.class.air))
	})
	return parts, h.found
}

// parts returns the connected parts.
func (g *graph) parts() []part {
	joined := union{}
	for range g.nodes {
		joined.add()
	}
	for i := range g.edges {
		joined.join(g.edges[i].a, g.edges[i].b)
	}
	slot := map[int]int{}
	var out []part
	for _, n := range g.nodesByKey() {
		r := joined.root(n)
		k, ok := slot[r]
		if !ok {
			k = len(out)
			slot[r] = k
			out = append(out, part{class: g.edges[g.touching[n][0]].class, head: none})
		}
		out[k].nodes = append(out[k].nodes, n)
		if g.isUnit(n) {
			out[k].units = append(out[k].units, n)
		}
	}
	for i := range out {
		slices.SortFunc(out[i].units, func(p, q int) int { return cmp.Compare(g.unitOf[p], g.unitOf[q]) })
	}
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
// pressure it loses (its DP); else the one from which the fewest boxes stand one behind the other, and that is
// reported. Two at ends are two heads.
func (h *header) findHead(p *part) {
	if p.class.removed {
		if len(p.units) > 0 {
			p.head = p.units[0]
		}
		return
	}
	switch len(p.units) {
	case 0:
		h.noHead(p)
		return
	case 1:
		p.head = p.units[0]
		return
	}
	var ends, driven []int
	for _, n := range p.units {
		if len(h.touching[n]) == 1 {
			ends = append(ends, n)
		}
		if h.sk.Units[h.unitOf[n]].ESP > 0 {
			driven = append(driven, n)
		}
	}
	switch {
	case len(ends) == 1:
		p.head = ends[0]
		if len(driven) > 0 && !slices.Contains(driven, ends[0]) {
			h.headChosen(p, driven[0])
		}
	case len(ends) == 0 && len(driven) == 1:
		p.head = driven[0]
	case len(ends) == 0 && len(driven) == 0 && h.middleHead(p):
	default:
		h.twoHeads(p, ends, driven)
	}
}

func (h *header) noHead(p *part) {
	n := h.loosest(p)
	e := &h.edges[h.touching[n][0]]
	at := e.curve.A
	if e.b == n {
		at = e.curve.B
	}
	h.found.Add(diag.NoHead, spot(at), e.handles[0],
		fmt.Sprintf("This %s duct, with all that hangs on it, is connected to no unit.", p.class.air),
		fmt.Sprintf("Draw the unit as a block, a closed outline or a circle on the unit layer (SK-%s-UNIT), "+
			"and end the duct at it.", p.class.air))
}

// loosest returns where a part without a unit most likely lacks it: at its first end without a terminal.
func (g *graph) loosest(p *part) int {
	for _, n := range p.nodes {
		if len(g.touching[n]) == 1 && !g.isOutlet(n) {
			return n
		}
	}
	return p.nodes[0]
}

// headChosen reports that the head was taken for its place although another unit has the pressure.
func (h *header) headChosen(p *part, driven int) {
	head, fan := &h.sk.Units[h.unitOf[p.head]], &h.sk.Units[h.unitOf[driven]]
	h.found.Add(diag.HeadChosen, spot(head.At), head.Handle,
		fmt.Sprintf("%s stands at an end of this %s system and was taken as its head, although the pressure is noted at %s.",
			words.Capital(words.Unit(head.Mark)), p.class.air, words.Unit(fan.Mark)),
		"Nothing, if the air comes from there or goes there; else draw what hangs on it.")
}

// twoHeads reports a part with several units none of which is plainly the head, and takes one to go on with.
func (h *header) twoHeads(p *part, ends, driven []int) {
	rivals := ends
	if len(rivals) < 2 {
		rivals = append(slices.Clone(ends), driven...)
	}
	if len(rivals) < 2 {
		rivals = p.units
	}
	slices.SortFunc(rivals, func(p, q int) int { return cmp.Compare(h.unitOf[p], h.unitOf[q]) })
	p.head = rivals[0]
	var names []string
	for _, n := range rivals {
		u := &h.sk.Units[h.unitOf[n]]
		names = append(names, fmt.Sprintf("%s at %s", words.Unit(u.Mark), h.say.Place(u.At)))
	}
	second := &h.sk.Units[h.unitOf[rivals[1]]]
	h.found.Add(diag.TwoHeads, spot(second.At), second.Handle,
		fmt.Sprintf("One %s system can hang from one unit only, and could hang from each of: %s.", p.class.air,
			strings.Join(names, "; ")),
		"Part the ducts between them, or draw what hangs on the box in the middle; "+
			"where all have ducts on both sides, give the attribute ESP to the one at the head.")
}

// middleHead finds the head among units that all have ducts on several sides and none of which has a
// pressure of its own: an air-handling unit with two mains and their boxes. It reports whether there is one.
func (h *header) middleHead(p *part) bool {
	var free []int // not said to be boxes
	for _, n := range p.units {
		if !(h.sk.Units[h.unitOf[n]].Loss > 0) {
			free = append(free, n)
		}
	}
	if len(free) == 1 {
		p.head = free[0]
		return true
	}
	// The units most units apart; the farthest from any unit is one of the two.
	far := func(steps map[int]int) int {
		best := p.units[0]
		for _, n := range p.units {
			if steps[n] > steps[best] {
				best = n
			}
		}
		return best
	}
	one := far(h.unitSteps(p.units[0]))
	fromOne := h.unitSteps(one)
	fromOther := h.unitSteps(far(fromOne))
	least, best, tie := 0, none, false
	for _, n := range free {
		switch deep := max(fromOne[n], fromOther[n]); {
		case best == none || deep < least:
			least, best, tie = deep, n, false
		case deep == least:
			tie = true
		}
	}
	if best == none || tie {
		return false
	}
	p.head = best
	u := &h.sk.Units[h.unitOf[best]]
	h.found.Add(diag.HeadChosen, spot(u.At), u.Handle,
		fmt.Sprintf("Of the units of this %s system, all with ducts on several sides, %s was taken as its head: "+
			"the others hang from it.", p.class.air, words.Unit(u.Mark)),
		"Nothing, if that is so; else give the attribute ESP to the one at the head.")
	return true
}

// unitSteps returns how many units lie on the way from one unit to every node, the first not counted.
func (g *graph) unitSteps(from int) map[int]int {
	steps := map[int]int{from: 0}
	queue := []int{from}
	for len(queue) > 0 {
		n := queue[0]
		queue = queue[1:]
		for _, ei := range g.touching[n] {
			far := other(&g.edges[ei], n)
			if _, seen := steps[far]; seen {
				continue
			}
			steps[far] = steps[n]
			if g.isUnit(far) {
				steps[far]++
			}
			queue = append(queue, far)
		}
	}
	return steps
}

// nodesByKey returns every node that has an edge.
func (g *graph) nodesByKey() []int {
	out := make([]int, 0, len(g.touching))
	for n := range g.touching {
		out = append(out, n)
	}
	slices.SortFunc(out, func(i, j int) int { return cmp.Or(key.Compare(g.keys[i], g.keys[j]), cmp.Compare(i, j)) })
	return out
}
