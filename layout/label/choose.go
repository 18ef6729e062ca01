package label

import (
	"cmp"
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// Distances of lettering, to the height of its capitals.
const (
	labelAir    = 0.2  // kept free around the box of a label
	labelInside = 0.3  // kept free between a label and the walls it stands between
	labelClear  = 0.25 // kept free between a label and the wall and the line of the sketch it stands between
	labelGap    = 0.9  // from a wall or a face to a label beside it
	closeGap    = 0.45 // the same where there is no room for more
	noteAir     = 0.4  // kept free around a label where a note of the sketch is
	crowdAir    = 0.7  // nearer to other lettering a label stands only where it must
	leaderOff   = 0.15 // between a label and the beginning of its leader
	leaderAir   = 0.2  // kept free on both sides of a leader
	leaderRoom  = 0.25 // half the side of the square kept free at the tip of a leader
	leaderThick = 0.08 // on both sides of a leader: it crosses lines clear of their ends
)

// What a place pays for what it crosses, against the costs of places in around.go and along.go.
const (
	overNote    = 6   // lettering over a note of the sketch
	overTheirs  = 0.8 // lettering over the first line of others
	moreTheirs  = 0.3 // and over each more
	mostTheirs  = 8   // of them that are counted
	leadTheirs  = 0.5 // a leader over a line of others
	overDuct    = 3   // a leader over a duct of another system that is not seen there
	crowded     = 0.6 // lettering near other lettering
	crossesFlex = 4   // wall lines a leader into a flexible duct may cross: its wall is wavy
	crossesArc  = 2   // and into a curved one, whose wall is known by its chords
)

// spot is one place a label may have.
type spot struct {
	text     *lettering
	mid      geom.Vec // middle of the box
	dir      geom.Vec // unit direction of the lettering
	step     float64  // from one line to the next, between which something may pass; 0: as usual
	side     int      // lines start together (-1), stand on one middle (0) or end together (1)
	inside   *run     // between whose walls it stands
	capitals bool     // its box is that of its capitals: what hangs below them has the room that is kept free anyway
	leader   bool     // there is a line from the label to tip
	start    float64  // where on its side that line begins: 0 in the middle, 1 and -1 at its ends
	tip      geom.Vec
	about    *run // at the tip; nil at terminals and units
	cost     float64
}

// boxes returns the boxes of a label of that height at s with room around them: one, or one for each line where
// something may pass between the lines.
func (s *spot) boxes(tall, room float64) [][]geom.Vec {
	w, h := s.text.w, s.text.h
	if s.capitals {
		h -= (shape.LineBox - 1) * tall
	}
	if s.step == 0 {
		return [][]geom.Vec{geom.Rectangle(s.mid, s.dir, w/2+room, h/2+room)}
	}
	out := make([][]geom.Vec, len(s.text.lines))
	for i := range out {
		out[i] = geom.Rectangle(s.mid.Add(s.lineUp(s.step, i)), s.dir, w/2+room, tall/2+room)
	}
	return out
}

// lineUp returns where the middle of line i lies from that of the label.
func (s *spot) lineUp(step float64, i int) geom.Vec {
	return s.dir.Left().Scale(step * (float64(len(s.text.lines)-1)/2 - float64(i)))
}

// leaderFrom returns where the leader of s begins: on the side of its box that looks at the tip.
func (s *spot) leaderFrom(tall float64) geom.Vec {
	d, up := s.tip.Sub(s.mid), s.dir.Left()
	if y := d.Dot(up); math.Abs(y) > s.text.h/2 {
		return s.mid.Add(up.Scale(math.Copysign(s.text.h/2+leaderOff*tall, y))).Add(s.dir.Scale(s.start * s.text.w / 2))
	}
	return s.mid.Add(s.dir.Scale(math.Copysign(s.text.w/2+leaderOff*tall, d.Dot(s.dir))))
}

// chooser finds the best place for one label after the other.
type chooser struct {
	*obstacles
	usual, rare effort

	spots []spot // room for the places of the label in hand
	order []int32
}

// place returns t at the cheapest place that is free, and whether there is one. Where the
// cheapest of the usual places costs more than is good, it is held against the rarer ones.
func (c *chooser) place(t want) (placed, bool) {
	s, ok := c.best(t, c.usual)
	if !ok || s.cost > t.good {
		if r, more := c.best(t, c.rare); more && (!ok || r.cost < s.cost) {
			s, ok = r, true
		}
	}
	return placed{t.label, s}, ok
}

// best returns the cheapest of the places tried that are free, and whether there is one.
func (c *chooser) best(t want, e effort) (spot, bool) {
	c.spots, c.order = t.spots(c.spots[:0], e), c.order[:0]
	// Spots are large; their numbers are sorted in their stead.
	for i := range c.spots {
		c.order = append(c.order, int32(i))
	}
	slices.SortFunc(c.order, func(i, j int32) int {
		return cmp.Or(cmp.Compare(c.spots[i].cost, c.spots[j].cost), cmp.Compare(i, j))
	})
	best := spot{cost: math.Inf(1)}
	for _, i := range c.order {
		s := c.spots[i]
		if s.cost >= best.cost {
			break
		}
		if c.pay(&s, t.tall, best.cost) {
			best = s
		}
	}
	return best, best.text != nil
}

// pay adds to the cost of s what it pays for what it crosses, and reports whether it is free, and cheaper than most.
func (o *obstacles) pay(s *spot, tall, most float64) bool {
	for _, box := range s.boxes(tall, labelAir*tall) {
		if o.meets(box, func(t *obstacle) bool { return t.hides(s.inside, s.mid.Z) }) {
			return false
		}
	}
	if s.cost += o.textCost(s, tall); s.cost >= most {
		return false
	}
	if !s.leader {
		return true
	}
	more, free := o.leaderCost(s, tall)
	s.cost += more
	return free && s.cost < most
}

// hides reports whether nothing can be lettered at height z where t is: it is drawn or reserved, or a duct covers it.
// What stands inside a run has only the ducts of others and those over it to fear.
func (t *obstacle) hides(inside *run, z float64) bool {
	switch {
	case t.kind == ownNote:
		return false
	case t.kind != foot || inside == nil:
		return true
	}
	return t.run != inside && (t.z > z+geom.Same || t.run.System != inside.System && t.z > z-geom.Same)
}

// textCost returns what lettering at s pays for the notes of the sketch and the lines of others it would stand on, and
// for other lettering near it.
func (o *obstacles) textCost(s *spot, tall float64) (cost float64) {
	for _, box := range s.boxes(tall, noteAir*tall) {
		cost += overNote * float64(o.count(box, math.MaxInt, func(t *obstacle) bool { return t.kind == ownNote }))
	}
	for _, box := range s.boxes(tall, 0) {
		if n := o.strokes(box); n > 0 {
			cost += overTheirs + moreTheirs*float64(n-1)
		}
	}
	for _, box := range s.boxes(tall, crowdAir*tall) {
		if o.meets(box, func(t *obstacle) bool { return t.kind == letters }) {
			return cost + crowded
		}
	}
	return cost
}

// leaderCost returns what the leader of s pays; false where it cannot be drawn. A leader crosses the wall of the duct
// it points into and no other line, keeps clear of lettering, faces, units, dampers and other leaders, and its tip
// stands free in the duct it is about.
func (o *obstacles) leaderCost(s *spot, tall float64) (float64, bool) {
	from := s.leaderFrom(tall)
	line := []geom.Vec{from, s.tip}
	d := s.tip.Sub(from).Plan()
	if o.leaderBlocked(s, line, d, leaderAir*tall) {
		return 0, false
	}
	wall := func(t *obstacle) bool { return t.kind == drawnLine }
	cost := leadTheirs * float64(o.strokes(line))
	if s.about == nil {
		return cost, !o.meets(line, wall)
	}
	square := geom.Rectangle(s.tip, s.dir, leaderRoom*tall, leaderRoom*tall)
	if o.meets(square, func(t *obstacle) bool {
		if t.kind == foot {
			return t.run != s.about && t.z > s.tip.Z+geom.Same
		}
		return t.kind != ownNote && t.kind != sketchLine
	}) {
		return 0, false
	}
	wire := line
	if d.Len() > 0 {
		wire = geom.Rectangle(from.Lerp(s.tip, 0.5), d.Unit(), d.Len()/2, leaderThick*tall)
	}
	if most := s.about.wallLines(); o.count(wire, most+1, wall) > most {
		return 0, false
	}
	if out := s.about.beforeWall(from, s.tip, leaderThick*tall); out != nil && o.meets(out, wall) {
		return 0, false // it comes in by another duct
	}
	cost += leadTheirs * float64(o.strokes(square))
	return cost + overDuct*float64(o.count(line, math.MaxInt, func(t *obstacle) bool {
		return t.kind == foot && t.run.System != s.about.System
	})), true
}

// leaderBlocked reports whether a leader along d has not that much air on both sides of it.
func (o *obstacles) leaderBlocked(s *spot, line []geom.Vec, d geom.Vec, air float64) bool {
	strip := line
	if d.Len() > 2*air {
		end := s.tip
		if s.about == nil { // it ends at the border of what it is about
			end = s.tip.Sub(d.Unit().Scale(2 * air))
		}
		strip = geom.Rectangle(line[0].Lerp(end, 0.5), d.Unit(), line[0].PlanDist(end)/2, air)
	}
	return o.meets(strip, func(t *obstacle) bool { return t.kind.blocks() || t.kind == leaderRun }) ||
		o.meets(line, func(t *obstacle) bool { return t.kind.blocks() })
}

// wallLines returns how many lines of its wall a leader into r may cross.
func (r *run) wallLines() int {
	switch {
	case r.Kind == duct.Flexible:
		return crossesFlex
	case r.single:
		return 0
	case r.Line.Straight():
		return 1
	}
	return crossesArc
}

// beforeWall returns the part of a leader of that half width that lies before the wall of the straight duct it points
// into; nil where there is no such part.
func (r *run) beforeWall(from, tip geom.Vec, thick float64) []geom.Vec {
	across := r.axis.B.Sub(r.axis.A).Plan().Unit().Left()
	if !r.axis.Straight() || across.Len() == 0 || r.single || r.Kind != duct.Rigid {
		return nil
	}
	a, b := from.Sub(r.axis.A).Dot(across), tip.Sub(r.axis.A).Dot(across)
	if math.Abs(a) <= r.half() || math.Abs(b) >= r.half() {
		return nil
	}
	d := tip.Sub(from).Plan()
	to := (math.Abs(a)-r.half())/math.Abs(a-b) - thick/d.Len()
	if to <= 0 {
		return nil
	}
	return []geom.Vec{from, from.Add(d.Scale(to))}
}
