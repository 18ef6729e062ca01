package dxfio

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"
)

// Codes of Trouble.
const (
	troubleGeometry = "bad-geometry"
	troubleBlock    = "bad-block"
)

// Walk offers the entities of model space that want asks for, in the order of the file, hidden
// layers too, but never what carries our XDATA. want is asked with the effective layer: an entity
// on layer 0 in a block lies on the layer of the insert. visit's answer counts for inserts
// alone: true offers what is in the block as well, in world axes. The blocks of inserts that
// want refuses are looked through too, where they hold anything it takes. What cannot be
// read is told, and left out.
func (d *Document) Walk(want func(kind Kind, layer string) bool, visit func(*Entity) (descend bool)) []Trouble {
	w := walker{d: d, want: want, visit: visit, holds: map[blockOn]bool{}}
	from, to := d.in("ENTITIES")
	w.records(from, to, identity, "", nil, nil)
	return w.troubles
}

type walker struct {
	d        *Document
	want     func(Kind, string) bool
	visit    func(*Entity) bool
	holds    map[blockOn]bool // whether a block on a layer holds anything wanted
	troubles []Trouble
	walked   int
	full     bool
}

type blockOn struct {
	block *block
	layer string
}

// maxTroubles bounds what is told of one damaged drawing.
const maxTroubles = 1000

func (w *walker) trouble(rec int, code, text string) {
	if len(w.troubles) < maxTroubles {
		w.troubles = append(w.troubles, Trouble{w.d.value(rec, 5), w.d.place(rec), code, text})
	}
}

// layerOf returns the effective layer of record i inside an insert on layer.
func (w *walker) layerOf(i int, layer string) string {
	own := w.d.layers[w.d.records[i].layer]
	if layer != "" && (own == "0" || own == "") {
		return layer
	}
	return own
}

// records walks the records from from to to, which stand in the blocks of open, mapped by m.
func (w *walker) records(from, to int, m matrix, layer string, path []string, open []*block) {
	for i := from; i < to && !w.full; i++ {
		r := w.d.records[i]
		if r.kind == 0 || r.flags&flagOwned != 0 || r.flags&flagPaper != 0 && len(open) == 0 {
			continue
		}
		on := w.layerOf(i, layer)
		wanted := w.want(r.kind, on)
		if !wanted && r.kind != KindInsert {
			continue
		}
		if w.walked++; w.walked > maxWalked {
			w.full = true
			w.trouble(i, troubleBlock, fmt.Sprintf("blocks repeat more than %d entities; the rest was not read", maxWalked))
			return
		}
		if r.kind == KindInsert {
			w.insert(i, m, on, wanted, path, open)
			continue
		}
		e := w.entity(i, on, path)
		bad := ""
		if r.kind == KindText || r.kind == KindMText {
			bad = w.d.textShape(i, m, e)
		} else {
			bad = w.d.shape(i, m, e)
		}
		switch {
		case bad != "":
			w.trouble(i, troubleGeometry, fmt.Sprintf("the %s on layer %s cannot be read: %s", w.d.name(i), on, bad))
		case !e.finite():
			w.trouble(i, troubleGeometry, fmt.Sprintf("the %s on layer %s cannot be read: %s", w.d.name(i), on, badNumber))
		default:
			w.visit(e)
		}
	}
}

func (w *walker) entity(i int, layer string, path []string) *Entity {
	return &Entity{Kind: w.d.records[i].kind, Handle: w.d.value(i, 5), Index: i, Path: path, Layer: layer}
}

// finite reports whether every coordinate is a number near enough to be part of a drawing.
func (e *Entity) finite() bool {
	ok := func(p Point) bool {
		return math.Abs(p.X) <= maxCoordinate && math.Abs(p.Y) <= maxCoordinate && math.Abs(p.Z) <= maxCoordinate
	}
	for _, v := range e.Vertices {
		if !ok(v.Point) || math.IsNaN(v.Bulge) {
			return false
		}
	}
	return ok(e.Center) && e.Radius <= maxCoordinate
}

// insert offers an insert, and what is in its block.
func (w *walker) insert(i int, m matrix, layer string, wanted bool, path []string, open []*block) {
	ins, bad := w.d.insert(i)
	if bad != "" {
		if wanted {
			w.trouble(i, troubleGeometry, fmt.Sprintf("the insert of block %s on layer %s cannot be read: %s", ins.block, layer, bad))
		}
		return
	}
	b := w.d.blocks[nameKey(ins.block)]
	var base Point
	if b != nil {
		base = b.base
	}
	descend := false
	if wanted {
		e := w.entity(i, layer, path)
		local := m.times(ins.matrix(base, 0, 0))
		e.Block = ins.block
		e.Center = m.times(ocs(ins.extrusion)).point(ins.at)
		e.Angle = math.Atan2(local.x.Y, local.x.X)
		e.Attribs = w.d.attribs(i)
		if b != nil {
			if low, high, ok := w.d.box(b, 0); ok {
				low.Z, high.Z = base.Z, base.Z
				e.Box = counterClockwise(local, corners(low, high))
			}
		}
		if !e.finite() {
			w.trouble(i, troubleGeometry, fmt.Sprintf("the insert of block %s on layer %s cannot be read: %s", ins.block, layer, badNumber))
			return
		}
		descend = w.visit(e)
	}
	if !descend && (b == nil || wanted || !w.holdsAny(b, layer, 0)) {
		return
	}
	switch {
	case b == nil:
		w.trouble(i, troubleBlock, fmt.Sprintf("block %s is inserted on layer %s but is not in the drawing", ins.block, layer))
		return
	case len(open) >= maxDepth:
		w.trouble(i, troubleBlock, fmt.Sprintf("blocks are nested more than %d deep at block %s", maxDepth, ins.block))
		return
	}
	for _, o := range open {
		if o == b {
			w.trouble(i, troubleBlock, fmt.Sprintf("block %s holds itself", ins.block))
			return
		}
	}
	inner := append(append([]string(nil), path...), w.d.keyOf(i))
	within := append(append([]*block(nil), open...), b)
	for row := range ins.rows {
		for col := range ins.cols {
			p := inner
			if row > 0 || col > 0 {
				p = append([]string(nil), inner...)
				p[len(p)-1] += fmt.Sprintf("[%d,%d]", row, col)
			}
			w.records(b.from, b.to, m.times(ins.matrix(base, col, row)), layer, p, within)
		}
	}
}

// keyOf returns the handle of record i, or its place in the drawing where it has none.
func (d *Document) keyOf(i int) string {
	if h := d.value(i, 5); h != "" {
		return h
	}
	return fmt.Sprintf("#%d", i)
}

// holdsAny reports whether a block inserted on layer holds anything wanted, however deep.
func (w *walker) holdsAny(b *block, layer string, depth int) bool {
	key := blockOn{b, layer}
	if has, ok := w.holds[key]; ok {
		return has
	}
	w.holds[key] = false // a block that holds itself adds nothing by that
	for i := b.from; i < b.to; i++ {
		r := w.d.records[i]
		if r.kind == 0 || r.flags&flagOwned != 0 {
			continue
		}
		on := w.layerOf(i, layer)
		has := w.want(r.kind, on)
		if !has && r.kind == KindInsert && depth < maxDepth {
			if inner := w.d.blocks[nameKey(w.d.decode(w.d.value(i, 2)))]; inner != nil {
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
func counterClockwise(m matrix, c []Point) []Point {
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
		for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
			out[i], out[j] = out[j], out[i]
		}
	}
	return out
}

// attribs reads the ATTRIB records behind an INSERT.
func (d *Document) attribs(i int) []Attrib {
	var out []Attrib
	for j := i + 1; j < len(d.records) && d.records[j].flags&flagVertex != 0; j++ {
		if d.name(j) != "ATTRIB" {
			break
		}
		var a Attrib
		for c := d.tags(j); c.next() && c.code < 1000; {
			switch c.code {
			case 1:
				if a.Value == "" {
					a.Value = percent(caret(d.decode(c.text())))
				}
			case 2:
				a.Tag = d.decode(strings.TrimSpace(c.text()))
			case 5:
				a.Handle = strings.TrimSpace(c.text())
			}
		}
		out = append(out, a)
	}
	return out
}

// letterWidth is the width of a letter over its height, on the average of the usual fonts;
// lineFeed the distance of lines of MTEXT over the height. Both are for keeping clear of texts only.
const (
	letterWidth = 0.85
	lineFeed    = 5.0 / 3
)

// textShape reads a TEXT or MTEXT.
func (d *Document) textShape(i int, m matrix, e *Entity) string {
	t := textTags{width: 1, extrusion: Point{0, 0, 1}}
	if bad := t.read(d, i); bad != "" {
		return bad
	}
	dir := Point{math.Cos(t.angle), math.Sin(t.angle), 0}
	if e.Kind == KindMText {
		e.Value = plainMText(d.decode(t.value))
		if t.direction.len() > 0 {
			dir = t.direction.scale(1 / t.direction.len())
		}
	} else {
		e.Value = percent(caret(d.decode(t.value)))
		m = m.times(ocs(t.extrusion))
		if t.horizontal != 0 || t.vertical != 0 {
			if t.hasSecond && (t.horizontal < 3 || t.horizontal == 4) {
				t.at = t.second
			}
		}
	}
	e.Center = m.point(t.at)
	x := m.vector(dir)
	up := m.vector(Point{-dir.Y, dir.X, 0})
	e.Angle = math.Atan2(x.Y, x.X)
	e.Height = t.height * up.len()
	low, high := t.extent(e.Kind, e.Value)
	local := matrix{x: dir, y: Point{-dir.Y, dir.X, 0}, z: Point{0, 0, 1}, o: t.at}
	e.Box = counterClockwise(m.times(local), corners(low, high))
	return ""
}

// textTags are the values of a TEXT or MTEXT that matter here.
type textTags struct {
	value                string
	at, second           Point
	hasSecond            bool
	direction            Point
	height, angle, width float64
	frame                float64 // MTEXT: width of the column
	horizontal, vertical int
	attachment           int
	extrusion            Point
}

func (t *textTags) read(d *Document, i int) string {
	f := floats{}
	mtext := d.records[i].kind == KindMText
	var value strings.Builder
	for c := d.tags(i); c.next() && c.code < 1000; {
		switch c.code {
		case 1, 3:
			if (mtext || value.Len() == 0 && c.code == 1) && value.Len() < maxText {
				value.WriteString(c.text())
			}
		case 10:
			f.into(c, &t.at.X)
		case 20:
			f.into(c, &t.at.Y)
		case 30:
			f.into(c, &t.at.Z)
		case 11:
			t.hasSecond = true
			f.into(c, &t.second.X)
		case 21:
			f.into(c, &t.second.Y)
		case 31:
			f.into(c, &t.second.Z)
		case 40:
			f.into(c, &t.height)
		case 41:
			if mtext {
				f.into(c, &t.frame)
			} else {
				f.into(c, &t.width)
			}
		case 50:
			f.into(c, &t.angle)
		case 71:
			t.attachment = c.int()
		case 72:
			t.horizontal = c.int()
		case 73:
			t.vertical = c.int()
		case 101: // an embedded object follows
			t.finish(mtext, value.String())
			return ""
		case 210:
			f.into(c, &t.extrusion.X)
		case 220:
			f.into(c, &t.extrusion.Y)
		case 230:
			f.into(c, &t.extrusion.Z)
		}
	}
	if f.bad {
		return badNumber
	}
	t.finish(mtext, value.String())
	return ""
}

func (t *textTags) finish(mtext bool, value string) {
	t.value = value
	t.angle *= math.Pi / 180
	if mtext {
		t.direction = t.second
		t.direction.Z = 0
		t.horizontal, t.vertical = (max(t.attachment, 1)-1)%3, 3-(max(t.attachment, 1)-1)/3
	}
}

// extent estimates the box of the text around its insertion point, along its direction.
func (t *textTags) extent(kind Kind, plain string) (low, high Point) {
	lines := strings.Split(plain, "\n")
	width := 0.0
	for _, l := range lines {
		width = math.Max(width, float64(utf8.RuneCountInString(l))*letterWidth*t.height*t.width)
	}
	height := t.height
	if kind == KindMText {
		if t.frame > 0 && width > t.frame {
			n := math.Ceil(width / t.frame)
			width = t.frame
			height += (n - 1) * lineFeed * t.height
		}
		height += float64(len(lines)-1) * lineFeed * t.height
	}
	x, y := 0.0, 0.0
	switch t.horizontal {
	case 1, 4:
		x = -width / 2
	case 2:
		x = -width
	}
	switch {
	case t.horizontal == 4 || t.vertical == 2:
		y = -height / 2
	case t.vertical == 3:
		y = -height
	}
	return Point{x, y, 0}, Point{x + width, y + height, 0}
}
