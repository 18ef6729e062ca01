package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// Distances of lettering, to the height of its capitals.
const (
	labelAir    = 0.2  // kept free around the box of a label
	labelInside = 0.3  // kept free between a label and the walls it stands between
	labelGap    = 0.9  // from a wall or a face to a label beside it
	leaderOff   = 0.15 // between a label and the beginning of its leader
	leaderSlant = 0.6  // how far a leader leans along the duct, to its length across
)

// defaultArrow is the plotted length of flow arrows where the settings give none, metres.
const defaultArrow = 0.006

// labeler places lettering and arrows, one after the other, each clear of what is there.
type labeler struct {
	net   *duct.Network
	des   *duct.Design
	spec  Spec
	h     float64 // height of capitals in the model
	flows flowUnit
	axes  []geom.Curve // by run, true centrelines from the unit outwards
	duct  [][2]float64 // by run: where on the plan length of its axis the straight duct begins and ends
	field field
	out   []shape.Shape
	diags diag.List

	spots []spot  // room for the places of the label in hand
	order []int32 // and for their order
}

// labels returns the lettering of a plan of which everything else is drawn: airflow and mark
// at terminals and units, elevations where the level changes, sizes, and flow arrows, in
// that order of importance. Each stands where it is clear of what is drawn, of the texts of
// others and of the lettering before it; what has no such place is left out, with a note
// where the plan cannot be read without it.
func labels(net *duct.Network, des *duct.Design, spec Spec, drawn []shape.Shape) ([]shape.Shape, diag.List) {
	l := &labeler{net: net, des: des, spec: spec, h: spec.TextHeight * spec.Scale, flows: flowUnitOf(net, spec.Inches)}
	if !(l.h > 0) || math.IsInf(l.h, 0) {
		return nil, nil
	}
	l.survey(drawn)
	if spec.FlowLabels {
		l.terminals()
		l.units()
	}
	chains := l.chains()
	if spec.SizeLabels {
		l.levels()
		l.sizes(chains)
	}
	if spec.Arrows {
		l.arrows(chains)
	}
	return l.out, l.diags
}

// survey enters everything that is in the way.
func (l *labeler) survey(drawn []shape.Shape) {
	sections := make([]duct.Section, len(l.net.Runs))
	for i := range sections {
		sections[i] = l.des.Runs[i].Section
	}
	l.axes = append(l.axes, fitting.Axes(l.net, sections)...)
	l.duct = make([][2]float64, len(l.net.Runs))
	trims := fitting.Trims(l.net, sections, l.des.Fittings)
	for i := range l.net.Runs {
		r := &l.net.Runs[i]
		near, far := float64(trims[i][0]), float64(trims[i][1])
		if !r.Air.FromUnit() {
			l.axes[i] = l.axes[i].Reverse()
			near, far = far, near
		}
		if long := l.axes[i].Len(); long > 0 {
			plan := l.axes[i].PlanLen()
			l.duct[i] = [2]float64{near / long * plan, plan - far/long*plan}
			if l.duct[i][1]-l.duct[i][0] < geom.Same {
				// All of it is fittings: nothing stands between its walls.
				mid := math.Max(0, math.Min(plan, (l.duct[i][0]+l.duct[i][1])/2))
				l.duct[i] = [2]float64{mid, mid}
			}
		}
		if l.single(r) {
			continue // its line is all there is of it
		}
		l.field.addRun(r, l.axes[i], l.drawnSection(r))
	}
	for i := range drawn {
		l.field.addShape(&drawn[i])
	}
	for i := range l.net.Terminals {
		l.field.addOutline(l.net.Terminals[i].Face, reserved)
	}
	for i := range l.net.Units {
		l.field.addOutline(l.net.Units[i].Outline, reserved)
	}
	for i := range l.spec.Obstacles {
		kind := reserved
		if l.spec.Obstacles[i].Own {
			kind = ownNote
		}
		l.field.addOutline(l.spec.Obstacles[i].Corners, kind)
	}
}

// single reports whether a run is drawn as its centreline alone.
func (l *labeler) single(r *duct.Run) bool {
	s := l.section(r)
	return s.IsZero() || r.Spec.Single ||
		l.spec.SingleBelow > 0 && math.Max(float64(s.Width), float64(s.Height)) <= float64(l.spec.SingleBelow)+geom.Same
}

func (l *labeler) section(r *duct.Run) duct.Section { return l.des.Runs[r.ID].Section }

// drawnSection returns the section of a run as it is drawn, with its lining.
func (l *labeler) drawnSection(r *duct.Run) duct.Section { return l.section(r).Lined(r.Spec.Lining) }

// label is one piece of lettering to be placed.
type label struct {
	key    string
	part   shape.Part
	air    duct.Air
	status duct.Status
	data   string // facts told when two drawings are compared
	text   []string
	level  bool // begins with the mark of an elevation
}

// spot is one place a label may have.
type spot struct {
	mid    geom.Vec // middle of the box
	dir    geom.Vec // unit direction of the lettering
	text   []string // the lines as they stand there; nil: those of the label
	side   int      // lines start together (-1), stand on one middle (0) or end together (1)
	inside duct.RunID
	leader bool // there is a line from the label to tip
	tip    geom.Vec
	about  duct.RunID // the run at the tip, None at terminals and units
	cost   float64
}

// place puts a label on the cheapest spot that is free and reports whether there is one.
func (l *labeler) place(b label, spots []spot) bool {
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
		s.cost += l.noteCost(b, s)
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
	if found {
		if b.text = lines; best.text != nil {
			b.text = best.text
		}
		l.put(b, best)
	}
	return found
}

// box returns the width and height of the box of b.
func (l *labeler) box(b label) (w, h float64) {
	w, h = l.lettering(b.text).size()
	if b.level {
		w += levelSide * l.h
	}
	return w, h
}

func (l *labeler) lettering(lines []string) lettering {
	factor := l.spec.LetterWidth
	if !(factor > 0) {
		factor = 1
	}
	return lettering{lines, l.h, factor}
}

// blocked reports whether something stands where b would.
func (l *labeler) blocked(b label, s spot) bool {
	w, h := l.box(b)
	air := labelAir * l.h
	return l.taken(rectangle(s.mid, s.dir, w/2+air, h/2+air), s.inside, s.mid.Z)
}

// overNote is what lettering over a note of the sketch adds to the cost of a place.
const overNote = 3.5

// noteCost returns what b pays for the notes of the sketch it would cover.
func (l *labeler) noteCost(b label, s spot) float64 {
	w, h := l.box(b)
	return overNote * float64(l.field.count(rectangle(s.mid, s.dir, w/2, h/2), func(t *thing) bool { return t.kind == ownNote }))
}

// taken reports whether a box cannot be lettered: something is drawn or reserved there, or a
// duct covers it. What stands inside a run has only the ducts of others and those over it
// to fear.
func (l *labeler) taken(box []geom.Vec, inside duct.RunID, z float64) bool {
	return l.field.hit(box, func(t *thing) bool {
		switch {
		case t.kind == ownNote:
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

// What a leader pays for what it crosses, against the costs of places in the files beside this one.
const (
	overLine = 0.5
	overDuct = 3
)

// leaderCost returns what the leader of s adds to its cost; false where it cannot be drawn.
func (l *labeler) leaderCost(b label, s spot) (float64, bool) {
	line := []geom.Vec{l.leaderFrom(b, s), s.tip}
	if l.field.hit(line, func(t *thing) bool { return t.kind == reserved || t.kind == leaderRun }) {
		return 0, false
	}
	r := leaderRoom * l.h
	if s.about != duct.None && l.field.hit(rectangle(s.tip, s.dir, r, r), func(t *thing) bool {
		return t.kind != foot && t.kind != ownNote || t.kind == foot && t.run != s.about && t.z > s.tip.Z+geom.Same
	}) {
		return 0, false
	}
	crossed := l.field.count(line, func(t *thing) bool { return t.kind == drawnLine })
	if s.about != duct.None && crossed > 0 {
		crossed-- // the wall of the duct it points into
	}
	return overLine*float64(crossed) + overDuct*float64(l.field.count(line, func(t *thing) bool {
		return t.kind == foot && s.about != duct.None && !l.together(t.run, s.about)
	})), true
}

// leaderRoom is half the side of the square kept free at the tip of a leader, to the height
// of capitals.
const leaderRoom = 0.25

// leaderFrom returns where on its box the leader of s begins: in the middle of the side that
// looks at the tip.
func (l *labeler) leaderFrom(b label, s spot) geom.Vec {
	w, h := l.box(b)
	d := s.tip.Sub(s.mid)
	x, y := d.Dot(s.dir), d.Dot(s.dir.Left())
	switch {
	case math.Abs(y) > h/2:
		return s.mid.Add(s.dir.Left().Scale(math.Copysign(h/2+leaderOff*l.h, y)))
	default:
		return s.mid.Add(s.dir.Scale(math.Copysign(w/2+leaderOff*l.h, x)))
	}
}

// put draws b at s and reserves its ground.
func (l *labeler) put(b label, s spot) {
	if l.spec.Flat {
		s.mid.Z, s.tip.Z = 0, 0
	}
	w, h := l.box(b)
	l.field.add(thing{pts: rectangle(s.mid, s.dir, w/2, h/2), kind: reserved})
	angle := shape.Readable(s.dir.Angle())
	left := s.mid.Sub(s.dir.Scale(w / 2))
	if b.level {
		corner := left.Sub(s.dir.Left().Scale(l.h / 2))
		if l.spec.Symbols.Level != nil {
			l.draw(b, b.key+"/mark", l.spec.Symbols.Level(corner, angle, l.h))
		}
		left = left.Add(s.dir.Scale(levelSide * l.h))
	}
	at, align := s.mid, shape.MiddleCenter
	switch {
	case b.level || s.side < 0:
		at, align = left, shape.MiddleLeft
	case s.side > 0:
		at, align = s.mid.Add(s.dir.Scale(w/2)), shape.MiddleRight
	}
	top := lineStep * l.h * float64(len(b.text)-1) / 2
	texts := make([]shape.Geometry, len(b.text))
	for i, line := range b.text {
		up := s.dir.Left().Scale(top - float64(i)*lineStep*l.h)
		texts[i] = shape.Text{At: at.Add(up), Height: l.h, Angle: angle, Align: align, Value: line}
	}
	l.draw(b, b.key, texts)
	if !s.leader || l.spec.Symbols.Leader == nil {
		return
	}
	from := l.leaderFrom(b, s)
	l.draw(b, b.key+"/leader", l.spec.Symbols.Leader(from, s.tip, l.h))
	l.field.add(thing{pts: []geom.Vec{from, s.tip}, kind: leaderRun})
}

// draw adds the pieces of one thing, numbered where there are several.
func (l *labeler) draw(b label, key string, pieces []shape.Geometry) {
	for i, g := range pieces {
		k := key
		if len(pieces) > 1 {
			k = fmt.Sprintf("%s/%d", key, i+1)
		}
		data := ""
		if i == 0 && key == b.key { // told once, by the first of its texts
			data = b.data
		}
		l.out = append(l.out, shape.Shape{Key: k, Part: b.part, Air: b.air, Status: b.status, Data: data, Geom: g})
	}
}

// missing notes that there is no place for a label the plan cannot do without.
func (l *labeler) missing(b label, at geom.Vec, handle string) {
	text := ""
	for i, line := range b.text {
		if i > 0 {
			text += ", "
		}
		text += line
	}
	l.diags.Add(diag.LabelLeftOut, [3]float64{at.X, at.Y, at.Z}, handle,
		fmt.Sprintf("There is no free place for the label %q.", text),
		"Letter it by hand, or plot at a larger scale or with smaller lettering.")
}
