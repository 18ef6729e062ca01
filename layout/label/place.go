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
	leaderOff   = 0.15 // between a label and the beginning of its leader
	leaderAir   = 0.2  // kept free on both sides of a leader
	leaderRoom  = 0.25 // half the side of the square kept free at the tip of a leader
	leaderThick = 0.08 // on both sides of a leader: it crosses lines clear of their ends
	damperAir   = 0.35 // kept free on both sides of the lines of a damper
	crowdAir    = 0.7  // nearer to other lettering a label stands only where it must
)

// What a place pays for what it crosses, against the costs of places in the files beside this one.
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

// label is one piece of lettering to be placed.
type label struct {
	key    string
	part   shape.Part
	air    duct.Air
	status duct.Status
	kind   shape.Letters
	facts  *shape.Facts // kept for two drawings to be compared
	text   []string
	level  bool // begins with the mark of an elevation
}

// spot is one place a label may have.
type spot struct {
	mid    geom.Vec // middle of the box
	dir    geom.Vec // unit direction of the lettering
	text   []string // the lines as they stand there; nil: those of the label
	step   float64  // from one line to the next; 0: as usual
	side   int      // lines start together (-1), stand on one middle (0) or end together (1)
	inside duct.RunID
	leader bool    // there is a line from the label to tip
	start  float64 // where on its side that line begins: 0 in the middle, 1 and -1 at its ends
	tip    geom.Vec
	about  duct.RunID // the run at the tip, None at terminals and units
	cost   float64
}

// place puts b on the cheapest spot that is free and reports whether there is one. Where the
// cheapest of the usual spots costs more than good, it is held against the rarer ones.
func (l *labeler) place(b label, good float64, spots func(all bool) []spot) bool {
	s, ok := l.best(b, spots(false))
	if !ok || s.cost > good {
		if t, more := l.best(b, spots(true)); more && (!ok || t.cost < s.cost) {
			s, ok = t, true
		}
	}
	if ok {
		l.put(b, s)
	}
	return ok
}

// best returns the cheapest of the spots that are free, and whether there is one.
func (l *labeler) best(b label, spots []spot) (spot, bool) {
	// Spots are large; their numbers are sorted in their stead.
	order := l.order[:0]
	for i := range spots {
		order = append(order, int32(i))
	}
	slices.SortFunc(order, func(i, j int32) int {
		return cmp.Or(cmp.Compare(spots[i].cost, spots[j].cost), cmp.Compare(i, j))
	})
	l.order = order
	best, found := spot{cost: math.Inf(1)}, false
	lines := b.text
	for _, i := range order {
		s := spots[i]
		if s.cost >= best.cost {
			break
		}
		if b.text = lines; s.text != nil {
			b.text = s.text
		}
		if l.blocked(b, s) {
			continue
		}
		s.cost += l.coverCost(b, s)
		if s.cost >= best.cost {
			continue
		}
		if s.leader {
			more, ok := l.leaderCost(b, s)
			if !ok {
				continue
			}
			s.cost += more
		}
		if s.cost < best.cost {
			best, found = s, true
		}
	}
	return best, found
}

// box returns the width and height of the box of b.
func (l *labeler) box(b label) (w, h float64) {
	t := l.letters[b.kind]
	w, h = lettering{b.text, t.height, t.factor}.size()
	if b.level {
		w += levelSide * t.height
	}
	return w + math.Abs(math.Tan(t.slant))*t.height, h
}

// boxes returns the boxes of b at s with room around them: one, or one for each line where
// something may pass between the lines. Between walls only capitals are counted: what hangs
// below them there has the room that is kept free anyway.
func (l *labeler) boxes(b label, s spot, room float64) [][]geom.Vec {
	w, h := l.box(b)
	tall := l.tall(b)
	if s.inside != duct.None && !l.spec.SizeCentred {
		h -= (shape.LineBox - 1) * tall
	}
	if s.step == 0 {
		return [][]geom.Vec{geom.Rectangle(s.mid, s.dir, w/2+room, h/2+room)}
	}
	out := make([][]geom.Vec, len(b.text))
	for i := range b.text {
		out[i] = geom.Rectangle(s.mid.Add(s.dir.Left().Scale(lineUp(s.step, i, len(b.text)))), s.dir, w/2+room, tall/2+room)
	}
	return out
}

// lineUp returns how far line i of n stands above the middle of its label.
func lineUp(step float64, i, n int) float64 { return step * (float64(n-1)/2 - float64(i)) }

// blocked reports whether something stands where b would.
func (l *labeler) blocked(b label, s spot) bool {
	for _, box := range l.boxes(b, s, labelAir*l.tall(b)) {
		if l.taken(box, s.inside, s.mid.Z, false) {
			return true
		}
	}
	return false
}

// coverCost returns what b pays for the notes of the sketch and the lines of others it would
// stand on, and for lettering near it.
func (l *labeler) coverCost(b label, s spot) (cost float64) {
	for _, box := range l.boxes(b, s, 2*labelAir*l.tall(b)) {
		cost += overNote * float64(l.field.count(box, func(t *thing) bool { return t.kind == ownNote }))
	}
	for _, box := range l.boxes(b, s, 0) {
		if n := l.field.strokes(box, mostTheirs); n > 0 {
			cost += overTheirs + moreTheirs*float64(n-1)
		}
	}
	for _, box := range l.boxes(b, s, crowdAir*l.tall(b)) {
		if l.field.hit(box, func(t *thing) bool { return t.kind == reserved && t.lettering }) {
			return cost + crowded
		}
	}
	return cost
}

// taken reports whether a box cannot be lettered: something is drawn or reserved there, or a
// duct covers it. What stands inside a run has only the ducts of others and those over it
// to fear. onLine allows the line of the sketch.
func (l *labeler) taken(box []geom.Vec, inside duct.RunID, z float64, onLine bool) bool {
	return l.field.hit(box, func(t *thing) bool {
		switch {
		case t.kind == ownNote || t.kind == sketchLine && onLine:
			return false
		case t.kind != foot || inside == duct.None:
			return true
		}
		return t.run != inside && (t.z > z+geom.Same || !l.together(t.run, inside) && t.z > z-geom.Same)
	})
}

// together reports whether two runs belong to one system.
func (l *labeler) together(a, b duct.RunID) bool {
	return l.net.Runs[a].System == l.net.Runs[b].System
}

// leaderCost returns what the leader of s adds to its cost; false where it cannot be drawn. A
// leader crosses the wall of the duct it points into and no other line, keeps clear of lettering,
// faces, units, dampers and other leaders, and its tip stands free in the duct it is about.
func (l *labeler) leaderCost(b label, s spot) (float64, bool) {
	tall := l.tall(b)
	from := l.leaderFrom(b, s)
	line := []geom.Vec{from, s.tip}
	d := s.tip.Sub(from).Plan()
	air := leaderAir * tall
	strip := line
	if d.Len() > 2*air {
		end := s.tip
		if s.about == duct.None { // it ends at the border of what it is about
			end = s.tip.Sub(d.Unit().Scale(2 * air))
		}
		strip = geom.Rectangle(from.Lerp(end, 0.5), d.Unit(), from.PlanDist(end)/2, air)
	}
	if l.field.hit(strip, func(t *thing) bool { return t.kind == reserved || t.kind == leaderRun }) ||
		l.field.hit(line, func(t *thing) bool { return t.kind == reserved }) {
		return 0, false
	}
	most := 0
	if s.about != duct.None {
		r := leaderRoom * tall
		if l.field.hit(geom.Rectangle(s.tip, s.dir, r, r), func(t *thing) bool {
			return t.kind != foot && t.kind != ownNote && t.kind != sketchLine || t.kind == foot && t.run != s.about && t.z > s.tip.Z+geom.Same
		}) {
			return 0, false
		}
		run := &l.net.Runs[s.about]
		switch {
		case run.Kind == duct.Flexible:
			most = crossesFlex
		case l.single(run):
		case run.Line.Straight():
			most = 1
		default:
			most = crossesArc
		}
	}
	wire := line
	if s.about != duct.None && d.Len() > 0 {
		wire = geom.Rectangle(from.Lerp(s.tip, 0.5), d.Unit(), d.Len()/2, leaderThick*tall)
	}
	if l.field.count(wire, func(t *thing) bool { return t.kind == drawnLine }) > most {
		return 0, false
	}
	if out := l.beforeDuct(s, from, tall); len(out) > 0 && l.field.hit(out, func(t *thing) bool { return t.kind == drawnLine }) {
		return 0, false // it comes in by another duct
	}
	cost := leadTheirs * float64(l.field.strokes(line, mostTheirs))
	if s.about == duct.None {
		return cost, true
	}
	r := leaderRoom * tall
	cost += leadTheirs * float64(l.field.strokes(geom.Rectangle(s.tip, s.dir, r, r), mostTheirs))
	return cost + overDuct*float64(l.field.count(line, func(t *thing) bool {
		return t.kind == foot && !l.together(t.run, s.about)
	})), true
}

// beforeDuct returns the part of the leader of s that lies before the wall of the straight duct it points into; none where
// there is no such part.
func (l *labeler) beforeDuct(s spot, from geom.Vec, tall float64) []geom.Vec {
	if s.about == duct.None {
		return nil
	}
	run := &l.net.Runs[s.about]
	axis := l.axes[s.about]
	half := float64(l.drawnSize(run).Width) / 2
	across := axis.B.Sub(axis.A).Plan().Unit().Left()
	if !axis.Straight() || across.Len() == 0 || l.single(run) || run.Kind != duct.Rigid {
		return nil
	}
	a, b := from.Sub(axis.A).Dot(across), s.tip.Sub(axis.A).Dot(across)
	if math.Abs(a) <= half || math.Abs(b) >= half {
		return nil
	}
	d := s.tip.Sub(from).Plan()
	to := (math.Abs(a)-half)/math.Abs(a-b) - leaderThick*tall/d.Len()
	if to <= 0 {
		return nil
	}
	return []geom.Vec{from, from.Add(d.Scale(to))}
}

// leaderFrom returns where on its box the leader of s begins, on the side that looks at the tip.
func (l *labeler) leaderFrom(b label, s spot) geom.Vec {
	w, h := l.box(b)
	tall := l.tall(b)
	d := s.tip.Sub(s.mid)
	x, y := d.Dot(s.dir), d.Dot(s.dir.Left())
	switch {
	case math.Abs(y) > h/2:
		return s.mid.Add(s.dir.Left().Scale(math.Copysign(h/2+leaderOff*tall, y))).Add(s.dir.Scale(s.start * w / 2))
	default:
		return s.mid.Add(s.dir.Scale(math.Copysign(w/2+leaderOff*tall, x)))
	}
}
