package network

import (
	"fmt"

	"twinline/layout/diag"
)

// middleHead finds the head among units that all have ducts on several sides and none of which has a
// pressure of its own: an air-handling unit with two mains and their boxes. It reports whether there is one.
func (b *builder) middleHead(p *part, touching map[int][]int) bool {
	var free []int // not said to be boxes
	for _, n := range p.units {
		if !(b.sk.Units[b.unitOf[n]].Loss > 0) {
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
	one := far(b.unitSteps(p.units[0], touching))
	fromOne := b.unitSteps(one, touching)
	fromOther := b.unitSteps(far(fromOne), touching)
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
	u := &b.sk.Units[b.unitOf[best]]
	b.found.Add(diag.HeadChosen, place(u.At), u.Handle,
		fmt.Sprintf("Of the units of this %s system, all with ducts on several sides, %s was taken as its head: the others hang from it.", p.class.air, unitName(u)),
		"Nothing, if that is so; else give the attribute ESP to the one at the head.")
	return true
}

// unitSteps returns how many units lie on the way from one unit to every node, the first not counted.
func (b *builder) unitSteps(from int, touching map[int][]int) map[int]int {
	steps := map[int]int{from: 0}
	queue := []int{from}
	for len(queue) > 0 {
		n := queue[0]
		queue = queue[1:]
		for _, ei := range touching[n] {
			far := other(&b.edges[ei], n)
			if _, seen := steps[far]; seen {
				continue
			}
			steps[far] = steps[n]
			if b.hasUnit[far] {
				steps[far]++
			}
			queue = append(queue, far)
		}
	}
	return steps
}
