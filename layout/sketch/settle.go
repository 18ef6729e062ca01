package sketch

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// settler turns what was claimed into values.
type settler struct {
	frame
	found diag.List
}

// settle makes the sketch of what was drawn and what was claimed for it, and places everything at its elevation.
func settle(f frame, m *marks, things []thing) (*Sketch, diag.List) {
	s := &settler{frame: f}
	sk := &Sketch{Unit: f.unit, Metric: f.metric}
	for i := range things { // terminals hang from ceilings
		if t := &things[i]; t.kind == onLimit || t.kind == onCeiling {
			s.settleZone(sk, &m.zones[t.ref], t)
		}
	}
	over := newCeilings(sk.Ceilings)
	for i := range things {
		switch t := &things[i]; t.kind {
		case onLine:
			sk.Lines = append(sk.Lines, s.settleLine(m.lines[t.ref], t))
		case onTerminal:
			sk.Terminals = append(sk.Terminals, s.settleTerminal(m.terminals[t.ref].Terminal, t, over))
		case onUnit:
			sk.Units = append(sk.Units, s.settleUnit(m.units[t.ref].Unit, t))
		case onWall:
			sk.Rated = append(sk.Rated, s.settleWall(m.walls[t.ref], t))
		case onLimit, onCeiling: // settled above
		}
	}
	return sk, s.found
}

// same reports whether two claims of one topic say the same.
func (c claim) same(o claim) bool {
	p, q := c.value, o.value
	near := math.Abs(float64(p.level-q.level)) < geom.Same
	p.level, q.level = 0, 0
	return near && p == q
}

// pick returns the one value claimed for t in a topic: an attribute's before a note's. Notes that differ are
// an error, one that an attribute overrules is reported.
func (s *settler) pick(t *thing, topic *topic, what string, at geom.Vec) (got claim, ok bool) {
	for _, c := range t.claims { // attributes come first
		switch {
		case c.topic != topic:
		case !ok:
			got, ok = c, true
		case c.same(got):
		case got.tag != "" && c.tag == "":
			s.overruled(c, t.named(topic, what), fmt.Sprintf("the attribute %s of its block, %s,", got.tag,
				quote(got.text)), at)
		default:
			s.twoValues(got, c, t.named(topic, what), at)
		}
	}
	return got, ok
}

// named returns what a thing is called in a finding about a topic: by its mark, where that is not in question.
func (t *thing) named(topic *topic, what string) string {
	k := slices.IndexFunc(t.claims, func(c claim) bool { return c.topic == mark })
	if k < 0 || topic == mark {
		return what
	}
	return strings.TrimPrefix(what, "a ") + " " + t.claims[k].value.mark
}

func (s *settler) twoValues(got, c claim, what string, at geom.Vec) {
	text, do := Written{got.text, got.handle, got.tag}.Against(Written{c.text, c.handle, c.tag}, what, c.topic.name)
	s.found.Add(diag.TwoValues, spot(at), c.handle, text, do)
}

// Written is a value as it stands in the drawing.
type Written struct {
	Text   string
	Handle string // of the text or the insert
	Tag    string // of the attribute; "": a note says it
}

// Against returns the words of the finding that w and o give what a drafter sees two values of a topic.
func (w Written) Against(o Written, what, topic string) (text, do string) {
	who, do := "Two notes give", "Keep one of the two, or move the other to what it is about."
	switch {
	case o.Tag != "":
		who, do = "Two attributes give", "Empty one of the two attributes."
	case w.Handle == o.Handle && w.Handle != "":
		who, do = "One note gives", "Take one of the two out of the text."
	}
	return fmt.Sprintf("%s %s two values for its %s: %s and %s.", who, what, topic, quote(w.Text), quote(o.Text)), do
}

func (s *settler) overruled(c claim, what, by string, at geom.Vec) {
	who, of, do := "note", "about", "Erase the note, or correct what it differs from."
	if c.tag != "" {
		who, of, do = "attribute "+c.tag, "of", "Change or empty the attribute, or correct what it differs from."
	}
	s.found.Add(diag.Overruled, spot(at), c.handle,
		fmt.Sprintf("The %s %s %s %s was not used: %s comes first.", who, quote(c.text), of, what, by), do)
}

// settleLine places a line by its own Z, a note, or the setting for its air, and lists its other notes.
func (s *settler) settleLine(l Line, t *thing) Line {
	at := l.Path[0].Vec
	level, noted := s.pick(t, elevation, "a duct", at)
	drawn := false
	for _, v := range l.Path {
		if math.Abs(v.Z) < geom.Same {
			continue
		}
		if noted && !(level.value.datum == duct.Centre && math.Abs(v.Z-float64(level.value.level)) < geom.Shortest) {
			s.overruled(level, "a duct", "the elevation its line was drawn at", at)
		}
		drawn = true
		break
	}
	if !drawn {
		z := s.elevation(l.Air)
		if noted {
			z, l.Datum = float64(level.value.level), level.value.datum
		}
		for i := range l.Path {
			l.Path[i].Z = z
		}
	}
	for _, c := range t.claims {
		if c.topic.run == nil {
			continue
		}
		if !drawn {
			c.at.Z = l.Path[0].Z
		}
		if k := len(l.Notes) - 1; k < 0 || !l.Notes[k].add(c) {
			n := RunNote{At: c.at, Handle: c.handle}
			n.add(c)
			l.Notes = append(l.Notes, n)
		}
	}
	return l
}

// add adds a claim of the same text at the same place to what n says, unless n says something else about it already.
func (n *RunNote) add(c claim) (ok bool) {
	has := RunTopic{Put: c.topic.run}.Of(n.Spec)
	if n.At != c.at || n.Handle != c.handle || has != (duct.Spec{}) && has != c.value.run {
		return false
	}
	c.topic.run(&n.Spec, c.value.run)
	if n.Texts == nil {
		n.Texts = map[string]string{}
	}
	n.Texts[c.topic.name] = c.text
	return true
}

// height returns the elevation of a thing drawn at z: that, a note or attribute, or otherwise.
func (s *settler) height(t *thing, what string, at geom.Vec, otherwise func() float64) float64 {
	level, noted := s.pick(t, elevation, what, at)
	switch z := float64(level.value.level); {
	case math.Abs(at.Z) >= geom.Same:
		if noted && math.Abs(at.Z-z) >= geom.Shortest {
			s.overruled(level, t.named(elevation, what), "the elevation it was drawn at", at)
		}
		return at.Z
	case noted:
		return z
	}
	return otherwise()
}

func (s *settler) settleTerminal(x Terminal, t *thing, over *ceilings) Terminal {
	z := s.height(t, "a terminal", x.At, func() float64 { return over.over(x.At, float64(s.rules.Ceiling)) })
	x.At.Z = z
	for i := range x.Face {
		x.Face[i].Z = z
	}
	for _, topic := range settledTopics {
		if topic.terminal != nil {
			if c, ok := s.pick(t, topic, "a terminal", x.At); ok {
				topic.terminal(&x, c.value)
			}
		}
	}
	return x
}

func (s *settler) settleUnit(u Unit, t *thing) Unit {
	z := s.height(t, "a unit", u.At, func() float64 { return s.elevation(u.Air) })
	u.At.Z = z
	for i := range u.Outline {
		u.Outline[i].Z = z
	}
	for _, topic := range settledTopics {
		if topic.unit != nil {
			if c, ok := s.pick(t, topic, "a unit", u.At); ok {
				topic.unit(&u, c.value)
				if topic == pressure {
					u.Note = c.handle
				}
			}
		}
	}
	return u
}

// settleZone gives a limit or a ceiling its height.
func (s *settler) settleZone(sk *Sketch, z *zone, t *thing) {
	what := "an outline of a limit"
	if t.kind == onCeiling {
		what = "an outline of a ceiling"
	}
	known := true
	h := s.height(t, what, z.outline[0], func() float64 { known = false; return 0 })
	if !known {
		s.found.Add(diag.BadValue, spot(z.outline[0]), z.handle, "No note says the height of "+what+".",
			"Put a text such as "+heightForm.in(s.unit)+" inside it, on the same layer.")
		return
	}
	for i := range z.outline {
		z.outline[i].Z = h
	}
	if t.kind == onCeiling {
		sk.Ceilings = append(sk.Ceilings, Ceiling{z.handle, z.outline, h})
	} else {
		sk.Limits = append(sk.Limits, Limit{z.handle, z.outline, h})
	}
}

// settleWall adds up what notes say a wall is rated for.
func (s *settler) settleWall(w Rated, t *thing) Rated {
	var classed claim
	for _, c := range t.claims {
		w.Rating = w.Rating.And(c.value.rating)
		switch {
		case c.value.minutes == 0:
		case classed.topic == nil:
			classed = c
		case !c.value.sameClass(classed.value):
			s.twoValues(classed, c, "a rated wall", w.Path[0].Vec)
		}
	}
	return w
}

// ceilings finds the ceiling over a place.
type ceilings struct {
	index   geom.Index
	regions []geom.Region
	heights []float64
}

func newCeilings(list []Ceiling) *ceilings {
	c := &ceilings{}
	for i, k := range list {
		g := geom.PolygonRegion(k.Outline)
		c.regions, c.heights = append(c.regions, g), append(c.heights, k.Height)
		c.index.Insert(g.Box, i)
	}
	return c
}

// over returns the height of the smallest ceiling around p, else otherwise.
func (c *ceilings) over(p geom.Vec, otherwise float64) float64 {
	best, h := math.Inf(1), otherwise
	for _, i := range c.index.Near(p, geom.Same) {
		g := c.regions[i]
		if a := math.Abs(g.Area()); a < best && (g.Contains(p) || g.EdgeDist(p) < geom.Same) {
			best, h = a, c.heights[i]
		}
	}
	return h
}
