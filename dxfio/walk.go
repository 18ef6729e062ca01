package dxfio

import (
	"fmt"
	"math"
	"slices"
)

// Codes of Trouble.
const (
	troubleGeometry = "bad-geometry"
	troubleBlock    = "bad-block"
)

// Walk offers the entities of model space that want asks for, in the order of the file, hidden layers too, but never
// what carries our XDATA. want is asked once for each kind and layer; the layer is the effective one: an entity on
// layer 0 in a block lies on the layer of the insert. visit's answer counts for inserts alone: true offers what is in
// the block as well, in world axes. The blocks of inserts that want refuses are looked through too, where they hold
// anything it takes. An insert repeated in rows and columns is offered as many times; those after the first say which
// they are behind their handle. What cannot be read is reported, and left out.
func (d *Document) Walk(want func(kind Kind, layer string) bool, visit func(*Entity) (descend bool)) []Trouble {
	return d.walk(want, visit, nil)
}

// walk is Walk, and WalkNear where near is not nil.
func (d *Document) walk(want func(kind Kind, layer string) bool, visit func(*Entity) (descend bool),
	near *Area) []Trouble {
	w := walker{d: d, want: want, visit: visit, near: near, holds: map[blockOn]bool{}, boxes: map[*block]*extent{},
		named: map[string]*block{}}
	w.most.walked, w.most.passed = maxWalked+4*len(d.records), maxPassed+10*len(d.records)
	for _, s := range d.sections {
		if s.name == "ENTITIES" {
			w.records(s.start+1, s.end, within{m: identity})
		}
	}
	return w.troubles
}

// A walker goes through the entities of a drawing.
type walker struct {
	d        *Document
	want     func(Kind, string) bool
	visit    func(*Entity) bool
	near     *Area                       // what lies outside is passed over; nil: nothing is
	answers  [kindMultiLeader + 1][]int8 // of want, by layer: 0 not asked, 1 yes, -1 no
	holds    map[blockOn]bool            // whether a block on a layer holds anything wanted
	boxes    map[*block]*extent
	named    map[string]*block // by the name as it stands in inserts; nil for what is no block
	troubles []Trouble
	walked   int
	passed   int
	most     struct{ walked, passed int }
	full     bool
}

type blockOn struct {
	block *block
	layer uint32
}

// within is where the records stand that are walked: in model space or in a block.
type within struct {
	m     matrix
	layer uint32   // of the insert
	path  []string // handles of the inserts
	open  []*block
}

// maxTroubles bounds what is reported of one damaged drawing.
const maxTroubles = 1000

func (w *walker) trouble(rec int, code, format string, args ...any) {
	if len(w.troubles) < maxTroubles {
		w.troubles = append(w.troubles, Trouble{w.d.value(rec, 5), w.d.place(rec), code, fmt.Sprintf(format, args...)})
	}
}

// stop ends the walk.
func (w *walker) stop(rec int, what string, most int) {
	if !w.full {
		w.full = true
		w.troubles = append(w.troubles, Trouble{w.d.value(rec, 5), w.d.place(rec), troubleBlock,
			fmt.Sprintf("blocks repeat more than %d %s; the rest was not read", most, what)})
	}
}

// wanted asks want, once for each kind and layer.
func (w *walker) wanted(kind Kind, layer uint32) bool {
	if w.answers[kind] == nil {
		w.answers[kind] = make([]int8, len(w.d.layers))
	}
	a := &w.answers[kind][layer]
	if *a == 0 {
		*a = -1
		if w.want(kind, w.d.layers[layer]) {
			*a = 1
		}
	}
	return *a > 0
}

// layerOf returns the effective layer of a record inside an insert on layer.
func (w *walker) layerOf(own, layer uint32) uint32 {
	if name := w.d.layers[own]; layer != 0 && (name == "0" || name == "") {
		return layer
	}
	return own
}

// records walks the records from from to to.
func (w *walker) records(from, to int, in within) {
	for i := from; i < to && !w.full; i++ {
		if w.passed++; w.passed > w.most.passed {
			w.stop(i, "records", w.most.passed)
			return
		}
		r := w.d.records[i]
		if r.kind == 0 || r.flags&flagOwned != 0 || r.flags&flagPaper != 0 && len(in.open) == 0 {
			continue
		}
		layer := w.layerOf(r.layer, in.layer)
		wanted := w.takes(r.kind, layer)
		if !wanted && r.kind != KindInsert {
			continue
		}
		if w.walked++; w.walked > w.most.walked {
			w.stop(i, "entities", w.most.walked)
			return
		}
		switch r.kind {
		case KindInsert:
			w.insert(i, layer, wanted, in)
		case kindMultiLeader:
			w.multiLeader(i, layer, in)
		default:
			w.plain(i, layer, in)
		}
	}
}

// plain offers an entity that is no insert.
func (w *walker) plain(i int, layer uint32, in within) {
	if w.far(i, in.m) {
		return
	}
	e := w.entity(i, layer, in.path)
	bad := ""
	if e.Kind == KindText || e.Kind == KindMText {
		bad = w.d.textShape(i, in.m, e)
	} else {
		bad = w.d.shape(i, in.m, e)
	}
	if bad == "" && !e.finite() {
		bad = badNumber
	}
	if bad != "" {
		w.trouble(i, troubleGeometry, "the %s on layer %s cannot be read: %s", w.d.name(i), e.Layer, bad)
		return
	}
	w.visit(e)
}

func (w *walker) entity(i int, layer uint32, path []string) *Entity {
	e := &Entity{Kind: w.d.records[i].kind, Index: i, Path: path, Layer: w.d.layers[layer]}
	if e.Kind != KindText && e.Kind != KindMText { // there are many texts: theirs is read with the rest of them
		e.Handle = w.d.value(i, 5)
	}
	return e
}

// finite reports whether every coordinate is a number near enough to be part of a drawing.
func (e *Entity) finite() bool {
	ok := func(p Point) bool {
		return math.Abs(p.X) <= maxCoordinate && math.Abs(p.Y) <= maxCoordinate && math.Abs(p.Z) <= maxCoordinate
	}
	for _, v := range e.Vertices {
		if !ok(v.Point) || !(math.Abs(v.Bulge) <= maxCoordinate) {
			return false
		}
	}
	for _, p := range e.Box {
		if !ok(p) {
			return false
		}
	}
	return ok(e.Center) && e.Radius <= maxCoordinate && e.Height <= maxCoordinate && !math.IsNaN(e.Angle)
}

// insert offers an insert, once for each row and column, and what is in its block.
func (w *walker) insert(i int, layer uint32, wanted bool, in within) {
	b := w.blockOf(i)
	if !wanted && (b == nil || !w.holdsAny(b, layer, 0)) {
		return // without reading the rest of it
	}
	ins, bad := w.d.insert(i)
	if bad != "" {
		w.trouble(i, troubleGeometry, "the insert of block %s on layer %s cannot be read: %s", ins.block,
			w.d.layers[layer], bad)
		return
	}
	var base Point
	if b != nil {
		base = b.base
	}
	handle, shut := w.d.value(i, 5), false
	for row := range ins.rows {
		for col := range ins.cols {
			if w.full {
				return
			}
			m := in.m.times(ins.matrix(base, col, row))
			if w.farInsert(b, m) {
				continue
			}
			cell := cellHandle(handle, row, col)
			if wanted && !w.offer(i, layer, in, &ins, b, m, cell) || shut {
				continue
			}
			switch {
			case b != nil && !w.holdsAny(b, layer, 0):
			case !w.open(i, layer, &ins, b, in):
				shut = true // reported once
			default:
				w.records(b.from, b.to, within{m, layer, appended(in.path, cell), appended(in.open, b)})
			}
		}
	}
}

// cellHandle names what an insert puts in one of its rows and columns.
func cellHandle(handle string, row, col int) string {
	if handle == "" || row == 0 && col == 0 {
		return handle
	}
	return fmt.Sprintf("%s[%d,%d]", handle, row, col)
}

// offer shows an insert to visit, and gives its answer.
func (w *walker) offer(i int, layer uint32, in within, ins *anInsert, b *block, m matrix, handle string) bool {
	if w.walked++; w.walked > w.most.walked {
		w.stop(i, "entities", w.most.walked)
		return false
	}
	e := &Entity{Kind: KindInsert, Handle: handle, Index: i, Path: in.path, Layer: w.d.layers[layer], Block: ins.block}
	e.Angle = math.Atan2(m.x.Y, m.x.X)
	e.Attribs = w.d.attribs(i)
	e.Center = m.o
	if b != nil {
		e.Center = m.point(b.base)
		e.Attribs = append(e.Attribs, w.d.constants(b)...)
		if x := w.box(b, 0); !x.empty() {
			x.low.Z, x.high.Z = b.base.Z, b.base.Z
			e.Box = counterClockwise(m, corners(x.low, x.high))
		}
	}
	if !e.finite() {
		w.trouble(i, troubleGeometry, "the insert of block %s on layer %s cannot be read: %s", ins.block, e.Layer,
			badNumber)
		return false
	}
	return w.visit(e)
}

// open reports whether the walk can go into block b, and reports why it cannot.
func (w *walker) open(i int, layer uint32, ins *anInsert, b *block, in within) bool {
	switch {
	case b == nil:
		w.trouble(i, troubleBlock, "block %s is inserted on layer %s but is not in the drawing", ins.block,
			w.d.layers[layer])
		return false
	case len(in.open) >= maxDepth:
		w.trouble(i, troubleBlock, "blocks are nested more than %d deep at block %s", maxDepth, ins.block)
		return false
	}
	if slices.Contains(in.open, b) {
		w.trouble(i, troubleBlock, "block %s holds itself", ins.block)
		return false
	}
	return true
}

// appended returns a new slice: list and one more.
func appended[T any](list []T, more T) []T {
	return append(list[:len(list):len(list)], more)
}

// holdsAny reports whether a block inserted on layer holds anything wanted, however deep. What is too deep to search it
// takes for wanted, so that the walk finds out and reports it.
func (w *walker) holdsAny(b *block, layer uint32, depth int) bool {
	key := blockOn{b, layer}
	if has, ok := w.holds[key]; ok {
		return has
	}
	if depth > maxSearched {
		return true
	}
	w.holds[key] = false // a block that holds itself adds nothing by that
	for i := b.from; i < b.to; i++ {
		r := w.d.records[i]
		if r.kind == 0 || r.flags&flagOwned != 0 {
			continue
		}
		if w.passed++; w.passed > w.most.passed {
			return true
		}
		on := w.layerOf(r.layer, layer)
		has := w.takes(r.kind, on)
		if !has && r.kind == KindInsert {
			if inner := w.blockOf(i); inner != nil {
				has = w.holdsAny(inner, on, depth+1)
			}
		}
		if has {
			w.holds[key] = true
			return true
		}
	}
	return false
}

// counterClockwise maps four corners and returns them counter-clockwise.
func counterClockwise(m matrix, c [4]Point) []Point {
	out := make([]Point, len(c))
	for i, p := range c {
		out[i] = m.point(p)
	}
	area := 0.0
	for i, p := range out {
		q := out[(i+1)%len(out)]
		area += p.X*q.Y - q.X*p.Y
	}
	if area < 0 {
		slices.Reverse(out)
	}
	return out
}
