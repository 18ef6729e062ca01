package sketch

import (
	"cmp"
	"slices"
	"strings"

	"twinline/dxfio"
	"twinline/layout/geom"
)

// around is how far beyond the sketch, in metres, texts of others are kept clear of: no
// label lies farther from its duct.
const around = 5

// mostObstacles bounds what a damaged drawing can make us keep.
const mostObstacles = 200_000

// nearWalker is a source that can pass over what is far away; see dxfio.Document.WalkNear.
type nearWalker interface {
	WalkNear(area dxfio.Area, reach float64, want func(dxfio.Kind, string) bool, visit func(*dxfio.Entity) bool) []dxfio.Trouble
}

// What lines of others are kept. Labels do without what is more than that.
const (
	nearDuct    = 2.5     // metres from a duct, a terminal or a unit
	mostStrokes = 100_000 // in all
	mostChords  = 64      // of one entity
	strokeChord = 0.05    // metres a chord may stray from its curve
	leastStroke = 0.01    // metres: the shortest that is kept
	longStroke  = 30      // metres: a line that begins farther from the sketch is passed over
)

// obstacles finds what is drawn among the sketch, in blocks as well: its own texts and those of others,
// and the lines of others, with those of limits, ceilings and rated walls.
func (r *reader) obstacles() {
	area := r.extent().Grow(around)
	if area.MinX > area.MaxX {
		return
	}
	near := r.neighbourhood()
	walk := r.src.Walk
	if src, ok := r.src.(nearWalker); ok { // in a large drawing this passes over most of it
		walk = func(want func(dxfio.Kind, string) bool, visit func(*dxfio.Entity) bool) []dxfio.Trouble {
			u := float64(r.sk.Unit)
			return src.WalkNear(dxfio.Area{MinX: area.MinX / u, MinY: area.MinY / u, MaxX: area.MaxX / u, MaxY: area.MaxY / u}, longStroke/u, want, visit)
		}
	}
	walk(func(kind dxfio.Kind, layer string) bool {
		switch kind {
		case dxfio.KindText, dxfio.KindMText:
			return r.shows(layer)
		case dxfio.KindLine, dxfio.KindPolyline, dxfio.KindArc, dxfio.KindCircle:
			return r.shows(layer) && (!r.own(layer) || r.limits(layer))
		case dxfio.KindInsert:
			// What a frozen insert holds does not show; every other one is looked into unasked.
			return r.invisible[strings.ToUpper(strings.TrimSpace(layer))].Frozen
		}
		return false
	}, func(e *dxfio.Entity) bool {
		switch e.Kind {
		case dxfio.KindLine, dxfio.KindPolyline, dxfio.KindArc, dxfio.KindCircle:
			r.strokes(e, near)
			return false
		}
		if !r.shows(e.Layer) || len(e.Box) != 4 || strings.TrimSpace(e.Value) == "" || len(r.sk.Obstacles) >= mostObstacles {
			return false
		}
		o := Obstacle{Handle: e.Handle, Own: r.own(e.Layer)}
		for _, p := range e.Box {
			v := r.vec(p).Plan()
			if !geom.Finite(v) {
				return false
			}
			o.Corners = append(o.Corners, v)
		}
		if geom.BoxOf(o.Corners...).Meets(area) {
			r.sk.Obstacles = append(r.sk.Obstacles, o)
		}
		return false
	})
	slices.SortStableFunc(r.sk.Obstacles, func(a, b Obstacle) int {
		return cmp.Or(byKey(a.Handle, b.Handle), slices.CompareFunc(a.Corners, b.Corners, compareVec))
	})
}

// neighbourhood returns the ground around the sketch in which lines of others matter.
func (r *reader) neighbourhood() *geom.Index {
	ix := &geom.Index{}
	n := 0
	add := func(b geom.Box) {
		if b.MinX <= b.MaxX {
			ix.Insert(b.Grow(nearDuct), n)
			n++
		}
	}
	for i := range r.sk.Lines {
		for _, c := range r.sk.Lines[i].Path.Curves(r.sk.Lines[i].Closed) {
			add(c.Box())
		}
	}
	for i := range r.sk.Terminals {
		add(geom.BoxOf(r.sk.Terminals[i].Face...))
	}
	for i := range r.sk.Units {
		add(geom.BoxOf(r.sk.Units[i].Outline...))
	}
	return ix
}

// strokes keeps what of a line of others is near the sketch.
func (r *reader) strokes(e *dxfio.Entity, near *geom.Index) {
	path, closed := r.path(e), e.Closed
	if e.Kind == dxfio.KindCircle {
		c, rad := r.vec(e.Center), e.Radius*float64(r.sk.Unit)
		path = geom.Path{{Vec: c.Sub(geom.Vec{X: rad}), Bulge: 1}, {Vec: c.Add(geom.Vec{X: rad}), Bulge: 1}}
		closed = true
	}
	chords := 0
	for _, c := range path.Curves(closed) {
		if !geom.Finite(c.A) || !geom.Finite(c.B) || !near.Any(c.Box()) {
			continue
		}
		pts := []geom.Vec{c.A, c.B}
		if !c.Straight() {
			pts = c.Flatten(strokeChord)
		}
		for i := 1; i < len(pts); i++ {
			a, b := pts[i-1].Plan(), pts[i].Plan()
			if a.PlanDist(b) < leastStroke {
				continue
			}
			if chords++; chords > mostChords || len(r.sk.Strokes) >= mostStrokes {
				return
			}
			r.sk.Strokes = append(r.sk.Strokes, Stroke{a, b})
		}
	}
}

// shows reports whether a layer is visible.
func (r *reader) shows(layer string) bool {
	_, hidden := r.invisible[strings.ToUpper(strings.TrimSpace(layer))]
	return !hidden
}

// own reports whether a layer is the sketch's.
func (r *reader) own(layer string) bool {
	_, ok := r.scheme.layer(layer)
	return ok || r.scheme.like(layer)
}

// limits reports whether a layer of the sketch holds lines that are no ducts and nothing that is drawn anew.
func (r *reader) limits(layer string) bool {
	l, ok := r.scheme.layer(layer)
	return ok && (l.Part == PartLimit || l.Part == PartCeiling || l.Part == PartRated)
}

// extent returns the box around the sketch.
func (r *reader) extent() geom.Box {
	b := geom.BoxOf()
	for i := range r.sk.Lines {
		for _, c := range r.sk.Lines[i].Path.Curves(r.sk.Lines[i].Closed) {
			b = b.Join(c.Box())
		}
	}
	for i := range r.sk.Terminals {
		b = b.Join(geom.BoxOf(r.sk.Terminals[i].Face...))
	}
	for i := range r.sk.Units {
		b = b.Join(geom.BoxOf(r.sk.Units[i].Outline...))
	}
	return b
}
