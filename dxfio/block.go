package dxfio

import (
	"bytes"
	"math"
	"strings"
)

// block is a block definition.
type block struct {
	name     string
	base     Point
	from, to int // its records, without BLOCK and ENDBLK
	attdefs  []int
}

// readBlocks finds the block definitions; of two with one name the first counts.
func (d *Document) readBlocks() {
	d.blocks = map[string]*block{}
	from, to := d.in("BLOCKS")
	var open *block
	for i := from; i < to; i++ {
		if d.records[i].kind != 0 || d.records[i].flags&flagVertex != 0 {
			continue
		}
		switch d.name(i) {
		case "BLOCK":
			open = d.blockAt(i)
			if key := nameKey(open.name); d.blocks[key] == nil {
				d.blocks[key] = open
			}
		case "ENDBLK":
			if open != nil {
				open.to = i
				open = nil
			}
		case "ATTDEF":
			if open != nil {
				open.attdefs = append(open.attdefs, i)
			}
		}
	}
	if open != nil {
		open.to = to
	}
}

// blockAt reads the BLOCK at record i; what is in the block is not known yet.
func (d *Document) blockAt(i int) *block {
	b := &block{from: i + 1, to: i + 1}
	named := false
	for c := d.tags(i); c.next(); {
		switch c.code {
		case 2:
			if !named {
				b.name, named = d.decode(strings.TrimSpace(c.text())), true
			}
		case 10:
			b.base.X, _ = c.float()
		case 20:
			b.base.Y, _ = c.float()
		case 30:
			b.base.Z, _ = c.float()
		}
	}
	return b
}

// extent is a box, grown point by point.
type extent struct{ low, high Point }

func newExtent() *extent {
	return &extent{Point{math.Inf(1), math.Inf(1), 0}, Point{math.Inf(-1), math.Inf(-1), 0}}
}

func (x *extent) empty() bool { return x.low.X > x.high.X }

func (x *extent) grow(p Point) {
	x.low.X, x.low.Y = math.Min(x.low.X, p.X), math.Min(x.low.Y, p.Y)
	x.high.X, x.high.Y = math.Max(x.high.X, p.X), math.Max(x.high.Y, p.Y)
}

// box returns the extent of what a block shows, in its own coordinates, texts and attribute definitions left out.
func (w *walker) box(b *block, depth int) *extent {
	if x := w.boxes[b]; x != nil {
		return x
	}
	x := newExtent()
	w.boxes[b] = x // a block that holds itself finds itself empty
	for i := b.from; i < b.to; i++ {
		switch kind := w.d.records[i].kind; kind {
		case 0:
			for _, p := range w.d.filled(i) {
				x.grow(p)
			}
		case KindText, KindMText, KindLeader, kindMultiLeader:
		case KindInsert:
			w.growByInsert(x, i, depth)
		default:
			w.growByShape(x, i, kind)
		}
	}
	return x
}

// growByInsert takes in the insert at record i, all its rows and columns.
func (w *walker) growByInsert(x *extent, i, depth int) {
	ins, _ := w.d.insert(i)
	inner := w.d.blocks[nameKey(ins.block)]
	if inner == nil || depth >= maxDepth {
		return
	}
	in := w.box(inner, depth+1)
	if in.empty() {
		return
	}
	for _, cell := range [][2]int{{0, 0}, {ins.cols - 1, 0}, {0, ins.rows - 1}, {ins.cols - 1, ins.rows - 1}} {
		m := ins.matrix(inner.base, cell[0], cell[1])
		for _, p := range corners(in.low, in.high) {
			x.grow(m.point(p))
		}
	}
}

// growByShape takes in the geometry of record i.
func (w *walker) growByShape(x *extent, i int, kind Kind) {
	e := Entity{Kind: kind}
	if w.d.shape(i, identity, &e) != "" {
		return
	}
	if kind == KindCircle {
		x.grow(Point{e.Center.X - e.Radius, e.Center.Y - e.Radius, 0})
		x.grow(Point{e.Center.X + e.Radius, e.Center.Y + e.Radius, 0})
	}
	for j, v := range e.Vertices {
		x.grow(v.Point)
		if v.Bulge != 0 {
			for _, p := range arcChords(v, e.Vertices[(j+1)%len(e.Vertices)], identity) {
				x.grow(p.Point)
			}
		}
	}
}

// filled returns the corners of record i where it is a SOLID, TRACE or 3DFACE.
func (d *Document) filled(i int) []Point {
	name := d.name(i)
	if name != "SOLID" && name != "TRACE" && name != "3DFACE" {
		return nil
	}
	var p [4]Point
	f, corner := floats{}, 0
	extrusion := Point{0, 0, 1}
	for c := d.tags(i); c.next() && c.code < 1000; {
		if c.code >= 10 && c.code <= 13 {
			corner = max(corner, c.code-9)
		}
		for k := range p {
			coordinate(c, &f, 10+k, &p[k])
		}
		coordinate(c, &f, 210, &extrusion)
	}
	if f.bad {
		return nil
	}
	if name != "3DFACE" {
		for k := range p {
			p[k] = ocs(extrusion).point(p[k])
		}
	}
	return p[:corner]
}

// corners returns the four corners of a box, counter-clockwise.
func corners(low, high Point) [4]Point {
	return [4]Point{{low.X, low.Y, low.Z}, {high.X, low.Y, low.Z}, {high.X, high.Y, low.Z}, {low.X, high.Y, low.Z}}
}

// anInsert is an INSERT as it stands, before its block is looked at.
type anInsert struct {
	block      string
	at         Point
	scale      Point
	rotation   float64 // radians
	extrusion  Point
	cols, rows int
	dx, dy     float64
	attribs    bool
}

// blockOf returns the block that the insert at record i shows; nil where there is none.
func (w *walker) blockOf(i int) *block {
	for c := w.d.tags(i); c.next(); {
		if c.code != 2 {
			continue
		}
		name := bytes.TrimSpace(c.bytes())
		b, known := w.named[string(name)]
		if !known {
			b = w.d.blocks[nameKey(w.d.decode(string(name)))]
			w.named[string(name)] = b
		}
		return b
	}
	return nil
}

// insert reads record i; bad says what is wrong with it.
func (d *Document) insert(i int) (ins anInsert, bad string) {
	ins = anInsert{scale: Point{1, 1, 1}, extrusion: Point{0, 0, 1}, cols: 1, rows: 1}
	f := floats{}
	for c := d.tags(i); c.next() && c.code < 1000; {
		switch c.code {
		case 2:
			ins.block = d.decode(strings.TrimSpace(c.text()))
		case 38: // elevation, before R11
			f.into(c, &ins.at.Z)
		case 41:
			f.into(c, &ins.scale.X)
		case 42:
			f.into(c, &ins.scale.Y)
		case 43:
			f.into(c, &ins.scale.Z)
		case 44:
			f.into(c, &ins.dx)
		case 45:
			f.into(c, &ins.dy)
		case 50:
			f.into(c, &ins.rotation)
		case 66:
			ins.attribs = c.int() != 0
		case 70:
			ins.cols = max(1, c.int())
		case 71:
			ins.rows = max(1, c.int())
		default:
			coordinate(c, &f, 10, &ins.at)
			coordinate(c, &f, 210, &ins.extrusion)
		}
	}
	ins.rotation *= math.Pi / 180
	if f.bad {
		return ins, badNumber
	}
	if ins.cols > maxArray || ins.rows > maxArray || ins.cols*ins.rows > maxArray {
		ins.cols, ins.rows = 1, 1
		return ins, "it is repeated more often than can be read"
	}
	return ins, ""
}

func (ins *anInsert) matrix(base Point, col, row int) matrix {
	return insertMatrix(ins.extrusion, ins.at, ins.rotation, ins.scale, base, float64(col)*ins.dx, float64(row)*ins.dy)
}

// What is wrong with an entity that cannot be used.
const (
	badNumber      = "a coordinate is no number or is too far away"
	tooManyCorners = "it has more corners than can be read"
)

// floats reads numbers and remembers whether one was bad.
type floats struct{ bad bool }

func (f *floats) into(c *cursor, p *float64) {
	v, ok := c.float()
	if !ok {
		f.bad = true
		return
	}
	*p = v
}
