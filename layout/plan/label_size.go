package plan

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// chain is a duct that reads as one piece from its beginning: runs one after the other
// outwards, of one size and status, with no turn but elbows within a stretch and none at
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
	by := make([]*chain, len(l.net.Stretches))
	seen := make([]bool, len(l.net.Stretches))
	var all []*chain
	for i := range l.net.Stretches {
		// Towards the unit as far as is new, then outwards again: what a duct hangs from comes first.
		var way []*duct.Stretch
		for s := duct.StretchID(i); s != duct.None && !seen[s]; s = l.net.Stretches[s].Up {
			seen[s] = true
			way = append(way, &l.net.Stretches[s])
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
	size := func(c *chain) float64 { return float64(l.section(c.runs[0]).Width) }
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

func (l *labeler) runsOf(st *duct.Stretch) []*duct.Run {
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

// sizeLines returns what is said of the size of a run.
func (l *labeler) sizeLines(r *duct.Run) []string {
	s := l.section(r)
	if s.IsZero() {
		return nil
	}
	lines := []string{sizeText(s, l.spec.Inches)}
	if c := coverText(r.Spec, l.spec.Inches); c != "" && !l.spec.PlainSizes {
		lines = append(lines, c)
	}
	return lines
}

// linesOn returns what a label says where it stands on r: the lines given, and the elevation
// of that run where it is asked for and r has one.
func (l *labeler) linesOn(lines []string, r *duct.Run) []string {
	if !l.spec.Elevation || r.Kind != duct.Rigid || !l.level(r) {
		return lines
	}
	z := datumHeight(r, l.section(r), l.axes[r.ID].A.Z)
	return append(slices.Clip(lines), elevationText(z, r.Datum, l.spec.Inches))
}

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
			b := label{key: fmt.Sprintf("%s/size/%d", r.Key, i+1), part: shape.Size, air: r.Air, status: r.Status, text: c.text}
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

// Costs of a place along a duct, each the most it can add.
const (
	offMiddle   = 3   // at the end of the part to be lettered
	shortPiece  = 2   // on the shortest of its runs
	besideDuct  = 4   // not between the walls
	belowDuct   = 0.5 // under a duct rather than over it
	farther     = 1.5 // for each distance after the first
	oneLine     = 0.5 // the lines of a label on one line
	leanBack    = 0.2 // set back against the direction of reading rather than on
	placesOnRun = 9   // places tried along one run
)

// gaps are the distances from the wall at which a label beside a duct is tried, to the
// height of capitals.
var gaps = [...]float64{labelGap, 2.2, 4, 7}

// placeAlong puts b on the part of c between two lengths from its beginning.
func (l *labeler) placeAlong(b label, c *chain, from, to float64) bool {
	spots := l.spots[:0]
	at, longest := 0.0, 0.0
	for _, r := range c.runs {
		longest = math.Max(longest, l.axes[r.ID].PlanLen())
	}
	mid := (from + to) / 2
	for _, r := range c.runs {
		axis := l.axes[r.ID]
		length := axis.PlanLen()
		a, z := math.Max(from-at, l.duct[r.ID][0]), math.Min(to-at, l.duct[r.ID][1])
		if length < geom.Same {
			spots = append(spots, l.atRiser(b, r)...)
		} else if z >= a {
			base := shortPiece * (1 - length/longest)
			here := b
			here.text = l.linesOn(b.text, r)
			for _, t := range places(a, z) {
				cost := base + offMiddle*math.Abs(at+t-mid)/(to-from)*2
				spots = l.onRun(spots, here, r, t, cost)
			}
		}
		at += length
	}
	l.spots = spots
	return l.place(b, spots)
}

// places returns lengths between a and b, the middle one first.
func places(a, b float64) []float64 {
	out := make([]float64, 0, placesOnRun)
	for i := range placesOnRun {
		k := float64((i+1)/2) / float64(placesOnRun+1)
		if i%2 == 1 {
			k = -k
		}
		out = append(out, a+(b-a)*(0.5+k))
	}
	return out
}

// onRun adds to out the places for b at length t of a run: between its walls where they are far
// enough apart, and beside it.
func (l *labeler) onRun(out []spot, b label, r *duct.Run, t, cost float64) []spot {
	axis := l.axes[r.ID]
	length := axis.PlanLen()
	p := axis.Point(t / length)
	dir := geom.Direction(shape.Readable(axis.Tangent(t / length).Angle()))
	up := dir.Left()
	w, h := l.box(b)
	half := float64(l.drawnSection(r).Width) / 2
	single := l.single(r)
	if single {
		half = 0
	}
	room := math.Min(t-l.duct[r.ID][0], l.duct[r.ID][1]-t)
	fits := func(w, h float64) bool { return !single && h/2+labelInside*l.h <= half && w/2 <= room }
	if fits(w, h) {
		out = append(out, spot{mid: p, dir: dir, text: b.text, inside: r.ID, about: r.ID, cost: cost})
	} else if len(b.text) > 1 {
		one := b
		one.text = []string{strings.Join(b.text, "  ")}
		if fits(l.box(one)) {
			out = append(out, spot{mid: p, dir: dir, text: one.text, inside: r.ID, about: r.ID, cost: cost + oneLine})
		}
	}
	for i, g := range gaps {
		for k, side := range [...]float64{1, -1} {
			off := half + g*l.h + h/2
			s := spot{dir: dir, text: b.text, inside: duct.None, about: r.ID, tip: p, leader: !single || i > 0,
				cost: cost + besideDuct + farther*float64(i) + belowDuct*float64(k)}
			s.mid = p.Add(up.Scale(side * off))
			if !s.leader {
				out = append(out, s)
				continue
			}
			lean := dir.Scale(leaderSlant * (off - h/2))
			other := s
			s.mid, other.mid = s.mid.Add(lean), s.mid.Sub(lean)
			other.cost += leanBack
			out = append(out, s, other)
		}
	}
	return out
}

// atRiser returns the places for b beside a vertical run.
func (l *labeler) atRiser(b label, r *duct.Run) []spot {
	s, axis := l.drawnSection(r), l.axes[r.ID]
	u := r.Across.Plan().Unit()
	if u.Len() == 0 {
		u = geom.Vec{X: 1}
	}
	w, h := l.box(b)
	top := axis.A
	if axis.B.Z > top.Z {
		top = axis.B
	}
	out := l.beside(rectangle(top, u, float64(s.Width)/2, float64(s.Height)/2), top.Z, w, h)
	for i := range out {
		out[i].leader, out[i].about = true, r.ID
		out[i].cost += besideDuct
	}
	return out
}
