package label

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// chain is a duct that reads as one piece from its beginning: runs one after the other
// outwards, of one size and status, with no turn but elbows within a section and none at
// all where a branch leaves.
type chain struct {
	runs []*duct.Run
	text []string // its size, without an elevation
	up   *chain
}

// throughTurn is the greatest turn at a junction with which a duct goes on as the same one.
const throughTurn = math.Pi / 12

// chains returns the ducts of the plan, the ones with the most to say first: the widest,
// then the longest.
func (l *labeler) chains() []*chain {
	by := make([]*chain, len(l.net.Sections))
	seen := make([]bool, len(l.net.Sections))
	var all []*chain
	for i := range l.net.Sections {
		// Towards the unit as far as is new, then outwards again: what a duct hangs from comes first.
		var way []*duct.Section
		for s := duct.SectionID(i); s != duct.None && !seen[s]; s = l.net.Sections[s].Up {
			seen[s] = true
			way = append(way, &l.net.Sections[s])
		}
		for _, st := range slices.Backward(way) {
			if len(st.Runs) == 0 {
				continue
			}
			c := &chain{runs: l.runsOf(st)}
			c.text = l.sizeLines(c.runs[0])
			if st.Up != duct.None {
				c.up = by[st.Up]
			}
			if c.up != nil && l.goesOn(c.up, c) {
				c.up.runs = append(c.up.runs, c.runs...)
				c = c.up
			} else {
				all = append(all, c)
			}
			by[st.ID] = c
		}
	}
	size := func(c *chain) float64 { return float64(l.size(c.runs[0]).Width) }
	long := make(map[*chain]float64, len(all))
	for _, c := range all {
		long[c] = l.length(c)
	}
	sort.SliceStable(all, func(i, j int) bool {
		a, b := all[i], all[j]
		if size(a) != size(b) {
			return size(a) > size(b)
		}
		if long[a] != long[b] {
			return long[a] > long[b]
		}
		return a.runs[0].Key < b.runs[0].Key
	})
	return all
}

func (l *labeler) runsOf(st *duct.Section) []*duct.Run {
	out := make([]*duct.Run, len(st.Runs))
	for i, id := range st.Runs {
		out[i] = &l.net.Runs[id]
	}
	return out
}

// goesOn reports whether c is the same duct as up, which it hangs from.
func (l *labeler) goesOn(up, c *chain) bool {
	a, b := up.runs[len(up.runs)-1], c.runs[0]
	if a.Status != b.Status || a.Kind != b.Kind || l.single(a) != l.single(b) || !slices.Equal(up.text, c.text) {
		return false
	}
	p, q := l.axes[a.ID], l.axes[b.ID]
	return geom.SamePoint(p.B, q.A) && geom.TurnBetween(p.Tangent(1), q.Tangent(0)) <= throughTurn
}

// length returns the plan length of c.
func (l *labeler) length(c *chain) float64 {
	sum := 0.0
	for _, r := range c.runs {
		sum += l.axes[r.ID].PlanLen()
	}
	return sum
}

// sizeLines returns what is said of a run wherever its label stands: all but its elevation.
func (l *labeler) sizeLines(r *duct.Run) []string { return l.runLines(r, false) }

// mostLabels bounds the labels of one duct, whatever length and distance are asked for.
const mostLabels = 100

// repeats returns how often a duct of that length is lettered.
func (l *labeler) repeats(length float64) int {
	every := float64(l.spec.RepeatEvery)
	if every <= 0 {
		return 1
	}
	// A duct a quarter longer than the distance still reads as one.
	return int(math.Max(1, math.Min(mostLabels, math.Floor(length/every+0.75))))
}

// sizes letters the size of every duct, again and again on long ones.
func (l *labeler) sizes(chains []*chain) {
	told := make(map[*chain]bool, len(chains))
	for _, c := range chains {
		r := c.runs[0]
		if len(c.text) == 0 || !l.worth(c) {
			told[c] = true
			continue
		}
		length := l.length(c)
		n := l.repeats(length)
		for i := range n {
			b := label{key: fmt.Sprintf("%s/size/%d", r.Key, i+1), part: shape.Size, kind: shape.SizeText, air: r.Air, status: r.Status, text: c.text}
			from, to := length*float64(i)/float64(n), length*float64(i+1)/float64(n)
			if l.placeAlong(b, c, from, to) {
				told[c] = true
			}
		}
	}
	for _, c := range chains {
		if told[c] || c.up != nil && slices.Equal(c.up.text, c.text) && told[c.up] {
			continue // its size can be read on the duct it comes from
		}
		r := c.runs[0]
		mid := l.axes[r.ID].Point(0.5)
		handle := ""
		if len(r.Handles) > 0 {
			handle = r.Handles[0]
		}
		l.missing(label{text: c.text}, mid, handle)
	}
}

// worth reports whether the size of c is lettered at all. A drop and a flexible are as large
// as the duct they hang from unless they say otherwise.
func (l *labeler) worth(c *chain) bool {
	switch c.runs[0].Kind {
	case duct.Flexible, duct.Drop:
		return c.up != nil && c.runs[0].Kind == duct.Flexible && !slices.Equal(c.up.text, c.text)
	}
	return true
}
