package sketch

import (
	"fmt"
	"math"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// settle turns what was claimed for every thing into its values and places it at its elevation.
func (r *reader) settle() {
	for i := range r.zones {
		r.settleZone(&r.zones[i])
	}
	for i := range r.lines {
		l := &r.lines[i]
		r.settleLine(l)
		r.sk.Lines = append(r.sk.Lines, l.Line)
	}
	over := newCeilings(r.sk.Ceilings)
	for i := range r.terminals {
		t := &r.terminals[i]
		r.settleTerminal(t, over)
		r.sk.Terminals = append(r.sk.Terminals, t.Terminal)
	}
	for i := range r.unitMarks {
		u := &r.unitMarks[i]
		r.settleUnit(u)
		r.sk.Units = append(r.sk.Units, u.Unit)
	}
}

// same reports whether two claims of one topic say the same.
func (c claim) same(o claim) bool {
	return c.mark == o.mark && c.flow == o.flow && c.size == o.size && c.pressure == o.pressure &&
		math.Abs(float64(c.length-o.length)) < geom.Same && c.datum == o.datum
}

// pick returns the one value of claims: an attribute's before a note's. Notes that differ are
// an error, one that an attribute overrules is told.
func (r *reader) pick(claims []claim, what string, at geom.Vec) (claim, bool) {
	if len(claims) == 0 {
		return claim{}, false
	}
	got := claims[0] // attributes were read with their block, before any note was given out
	for _, c := range claims {
		switch {
		case c.same(got):
		case got.attribute && !c.attribute:
			r.overruled(c, what, fmt.Sprintf("the attribute of its block, %s", quote(got.text)), at)
		default:
			r.found.Add(diag.TwoValues, place(at), c.handle,
				fmt.Sprintf("Two notes give %s two values for its %s: %s and %s.", what, c.topic, quote(got.text), quote(c.text)),
				"Keep one of the two, or move the other to what it is about.")
		}
	}
	return got, true
}

func (r *reader) overruled(c claim, what, by string, at geom.Vec) {
	r.found.Add(diag.Overruled, place(at), c.handle, fmt.Sprintf("The note %s about %s was not used: %s, comes first.", quote(c.text), what, by),
		"Erase the note, or correct what it differs from.")
}

// settleLine places a line: by its own Z, a note, or the setting for its air.
func (r *reader) settleLine(l *lineMark) {
	at := l.Path[0].Vec
	level, noted := r.pick(l.levels, "a duct", at)
	for _, v := range l.Path {
		if math.Abs(v.Z) >= geom.Same {
			if noted && !(level.datum == duct.Centre && math.Abs(v.Z-float64(level.length)) < geom.Shortest) {
				r.overruled(level, "a duct", "the elevation its line was drawn at", at)
			}
			return
		}
	}
	z := r.elevation(l.Air)
	if noted {
		z, l.Datum = float64(level.length), level.datum
	}
	for i := range l.Path {
		l.Path[i].Z = z
	}
	for i := range l.Notes {
		l.Notes[i].At.Z = z
	}
}

// height returns the elevation of a thing drawn at z: that, a note or attribute, or otherwise.
func (r *reader) height(claims []claim, what string, at geom.Vec, otherwise func() float64) float64 {
	level, noted := r.pick(claims, what, at)
	switch {
	case math.Abs(at.Z) >= geom.Same:
		if noted && math.Abs(at.Z-float64(level.length)) >= geom.Shortest {
			r.overruled(level, what, "the elevation it was drawn at", at)
		}
		return at.Z
	case noted:
		return float64(level.length)
	}
	return otherwise()
}

func (r *reader) settleTerminal(t *terminalMark, over *ceilings) {
	z := r.height(t.claims[aboutLevel], "a terminal", t.At, func() float64 { return over.over(t.At, float64(r.rules.Ceiling)) })
	t.At.Z = z
	for i := range t.Face {
		t.Face[i].Z = z
	}
	pick := func(topic topic) claim {
		c, _ := r.pick(t.claims[topic], "a terminal", t.At)
		return c
	}
	t.Mark = pick(aboutMark).mark
	t.Flow = pick(aboutFlow).flow
	t.Neck = pick(aboutSize).size
	t.Loss = pick(aboutPressure).pressure
}

func (r *reader) settleUnit(u *unitMark) {
	z := r.height(u.claims[aboutLevel], "a unit", u.At, func() float64 { return r.elevation(u.Air) })
	u.At.Z = z
	for i := range u.Outline {
		u.Outline[i].Z = z
	}
	pick := func(topic topic) claim {
		c, _ := r.pick(u.claims[topic], "a unit", u.At)
		return c
	}
	u.Mark = pick(aboutMark).mark
	u.Flow = pick(aboutFlow).flow
	u.Neck = pick(aboutSize).size
	u.Pressure = pick(aboutPressure).pressure
}

// settleZone gives a limit or a ceiling its height.
func (r *reader) settleZone(z *zone) {
	what := "an outline of a limit"
	if z.part == PartCeiling {
		what = "an outline of a ceiling"
	}
	at := z.outline[0]
	level, noted := r.pick(z.levels, what, at)
	h := at.Z
	switch {
	case math.Abs(h) >= geom.Same:
		if noted && math.Abs(h-float64(level.length)) >= geom.Shortest {
			r.overruled(level, what, "the elevation it was drawn at", at)
		}
	case noted:
		h = float64(level.length)
	default:
		r.found.Add(diag.BadValue, place(at), z.handle, "No note says the height of "+what+".",
			`Put a text such as EL 9'-0" or 2700 inside it, on the same layer.`)
		return
	}
	for i := range z.outline {
		z.outline[i].Z = h
	}
	if z.part == PartCeiling {
		r.sk.Ceilings = append(r.sk.Ceilings, Ceiling{z.handle, z.outline, h})
	} else {
		r.sk.Limits = append(r.sk.Limits, Limit{z.handle, z.outline, h})
	}
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
