package dxfio

import (
	"math"
	"strings"
)

// block is a block definition.
type block struct {
	name     string
	base     Point
	from, to int // its records, without BLOCK and ENDBLK

	boxed bool
	empty bool
	low   Point
	high  Point
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
			open = &block{from: i + 1, to: i + 1}
			named := false
			for c := d.tags(i); c.next(); {
				switch c.code {
				case 2:
					if !named {
						open.name, named = d.decode(strings.TrimSpace(c.text())), true
					}
				case 10:
					open.base.X, _ = c.float()
				case 20:
					open.base.Y, _ = c.float()
				case 30:
					open.base.Z, _ = c.float()
				}
			}
			if key := nameKey(open.name); d.blocks[key] == nil {
				d.blocks[key] = open
			}
		case "ENDBLK":
			if open != nil {
				open.to = i
				open = nil
			}
		}
	}
	if open != nil {
		open.to = to
	}
}

// box returns the corners of what a block shows, in its own coordinates, texts and
// attribute definitions left out; ok is false for a block that shows nothing.
func (d *Document) box(b *block, depth int) (low, high Point, ok bool) {
	if b.boxed {
		return b.low, b.high, !b.empty
	}
	b.boxed, b.empty = true, true // a block that holds itself finds itself empty
	low, high = Point{math.Inf(1), math.Inf(1), 0}, Point{math.Inf(-1), math.Inf(-1), 0}
	grow := func(p Point) {
		low.X, low.Y = math.Min(low.X, p.X), math.Min(low.Y, p.Y)
		high.X, high.Y = math.Max(high.X, p.X), math.Max(high.Y, p.Y)
		ok = true
	}
	for i := b.from; i < b.to; i++ {
		switch kind := d.records[i].kind; kind {
		case 0, KindText, KindMText, KindLeader:
		case KindInsert:
			ins, _ := d.insert(i)
			inner := d.blocks[nameKey(ins.block)]
			if inner == nil || depth >= maxDepth {
				continue
			}
			l, h, has := d.box(inner, depth+1)
			if !has {
				continue
			}
			m := ins.matrix(inner.base, 0, 0)
			for _, p := range corners(l, h) {
				grow(m.point(p))
			}
		default:
			e := Entity{Kind: kind}
			if d.shape(i, identity, &e) != "" {
				continue
			}
			if kind == KindCircle {
				grow(Point{e.Center.X - e.Radius, e.Center.Y - e.Radius, 0})
				grow(Point{e.Center.X + e.Radius, e.Center.Y + e.Radius, 0})
			}
			for j, v := range e.Vertices {
				grow(v.Point)
				if v.Bulge != 0 {
					grow(bulgeMid(v, e.Vertices[(j+1)%len(e.Vertices)]))
				}
			}
		}
	}
	b.low, b.high, b.empty = low, high, !ok
	return low, high, ok
}

// corners returns the four corners of a box, counter-clockwise.
func corners(low, high Point) []Point {
	return []Point{{low.X, low.Y, low.Z}, {high.X, low.Y, low.Z}, {high.X, high.Y, low.Z}, {low.X, high.Y, low.Z}}
}

// bulgeMid returns the middle of the arc from a to b.
func bulgeMid(a, b Vertex) Point {
	m := a.Point.add(b.Point).scale(0.5)
	dx, dy := b.X-a.X, b.Y-a.Y
	return Point{m.X + a.Bulge*dy/2, m.Y - a.Bulge*dx/2, m.Z}
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

// insert reads record i; bad says what is wrong with it.
func (d *Document) insert(i int) (ins anInsert, bad string) {
	ins = anInsert{scale: Point{1, 1, 1}, extrusion: Point{0, 0, 1}, cols: 1, rows: 1}
	f := floats{}
	for c := d.tags(i); c.next() && c.code < 1000; {
		switch c.code {
		case 2:
			ins.block = d.decode(strings.TrimSpace(c.text()))
		case 10:
			f.into(c, &ins.at.X)
		case 20:
			f.into(c, &ins.at.Y)
		case 30:
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
		case 210:
			f.into(c, &ins.extrusion.X)
		case 220:
			f.into(c, &ins.extrusion.Y)
		case 230:
			f.into(c, &ins.extrusion.Z)
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

// badNumber says what is wrong with an entity whose numbers cannot be used.
const badNumber = "a coordinate is no number or is too far away"

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
