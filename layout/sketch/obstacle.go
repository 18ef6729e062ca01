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

// obstacles finds the texts among the sketch, its own and those of others, those of blocks as well.
func (r *reader) obstacles() {
	area := r.extent().Grow(around)
	if area.MinX > area.MaxX {
		return
	}
	r.src.Walk(func(kind dxfio.Kind, layer string) bool {
		switch kind {
		case dxfio.KindText, dxfio.KindMText:
			return r.shows(layer)
		case dxfio.KindInsert:
			// What a frozen insert holds does not show; every other one is looked into unasked.
			return r.invisible[strings.ToUpper(strings.TrimSpace(layer))].Frozen
		}
		return false
	}, func(e *dxfio.Entity) bool {
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
