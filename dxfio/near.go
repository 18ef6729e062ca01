package dxfio

import "math"

// Area is an upright box in plan, in drawing units.
type Area struct{ MinX, MinY, MaxX, MaxY float64 }

// WalkNear is Walk for a caller to whom only what lies in area matters, in a drawing of which that may
// be a small part: what is farther than reach from it is passed over without being read, as far as that shows without
// looking into it. Lines, lightweight polylines, arcs, circles and texts are judged by their first point, so that one
// which begins farther away and comes into area is missed; inserts are judged by the whole of their block. Other kinds
// are always offered.
func (d *Document) WalkNear(area Area, reach float64, want func(kind Kind, layer string) bool,
	visit func(*Entity) (descend bool)) []Trouble {
	return d.walk(want, visit, &Area{area.MinX - reach, area.MinY - reach, area.MaxX + reach, area.MaxY + reach})
}

// outside reports whether all of points lie off one side of a.
func (a *Area) outside(points ...Point) bool {
	low, high := Point{math.Inf(1), math.Inf(1), 0}, Point{math.Inf(-1), math.Inf(-1), 0}
	for _, p := range points {
		low.X, low.Y = math.Min(low.X, p.X), math.Min(low.Y, p.Y)
		high.X, high.Y = math.Max(high.X, p.X), math.Max(high.Y, p.Y)
	}
	return low.X > a.MaxX || high.X < a.MinX || low.Y > a.MaxY || high.Y < a.MinY
}

// far reports whether the entity at record i, mapped by m, begins outside of what the walk is about.
func (w *walker) far(i int, m matrix) bool {
	if w.near == nil {
		return false
	}
	switch w.d.records[i].kind {
	case KindLine, KindArc, KindCircle, KindText, KindMText:
	case KindPolyline:
		if w.d.name(i) != "LWPOLYLINE" {
			return false // its first point is in a record of its own
		}
	default:
		return false
	}
	var p Point
	for c := w.d.tags(i); c.next(); {
		switch c.code {
		case 10:
			p.X, _ = c.float()
		case 20:
			p.Y, _ = c.float()
			return w.near.outside(m.point(p)) && !w.turned(c)
		}
	}
	return false
}

// turned reports whether what is left of an entity has an extrusion, by which its points are not where they seem.
func (w *walker) turned(c *cursor) bool {
	for c.next() && c.code < 1000 {
		if c.code == 230 {
			z, _ := c.float()
			return z != 1
		}
	}
	return false
}

// farInsert reports whether all that block b shows, mapped by m, lies outside of what the walk is about.
func (w *walker) farInsert(b *block, m matrix) bool {
	if w.near == nil || b == nil {
		return false
	}
	x := w.box(b, 0)
	if x.empty() {
		return false
	}
	c := corners(x.low, x.high)
	for k := range c {
		c[k] = m.point(c[k])
	}
	return w.near.outside(c[:]...)
}

// BlockBox returns the extent of what the block called name shows, in its own coordinates, texts and attribute
// definitions left out: zero where it shows nothing. ok is false where there is no such block.
func (d *Document) BlockBox(name string) (box Area, ok bool) {
	b := d.blocks[nameKey(name)]
	if b == nil {
		return Area{}, false
	}
	w := walker{d: d, boxes: map[*block]*extent{}}
	if x := w.box(b, 0); !x.empty() {
		box = Area{x.low.X, x.low.Y, x.high.X, x.high.Y}
	}
	return box, true
}
