package dxfio

import (
	"math"
	"strings"
	"unicode/utf8"
)

// attribs reads the ATTRIB records behind an INSERT.
func (d *Document) attribs(i int) []Attrib {
	var out []Attrib
	for j := i + 1; j < len(d.records) && d.records[j].flags&flagVertex != 0 && d.name(j) == "ATTRIB"; j++ {
		a, _ := d.attrib(j)
		out = append(out, a)
	}
	return out
}

// attribConstant is the bit in the flags of an ATTDEF whose value is the same in every insert. Source: DXF reference,
// ATTDEF.
const attribConstant = 2

// constants reads the attributes of a block that its inserts do not repeat.
func (d *Document) constants(b *block) []Attrib {
	var out []Attrib
	for _, j := range b.attdefs {
		if a, flags := d.attrib(j); flags&attribConstant != 0 {
			out = append(out, a)
		}
	}
	return out
}

// attrib reads an ATTRIB or ATTDEF.
func (d *Document) attrib(j int) (a Attrib, flags int) {
	valued := false
	for c := d.tags(j); c.next() && c.code < 1000 && c.code != embedded; {
		switch {
		case c.code == 1 && !valued:
			a.Value, valued = d.text.percent(caret(d.decode(c.text()))), true
		case c.code == 2:
			a.Tag = d.decode(strings.TrimSpace(c.text()))
		case c.code == 5:
			a.Handle = strings.TrimSpace(c.text())
		case c.code == 70:
			flags = c.int()
		}
	}
	return a, flags
}

// embedded begins an object embedded in an entity, whose codes mean something else.
const embedded = 101

// letterWidth is the width of a letter over its height, on the average of the usual fonts;
// lineFeed the distance of lines of MTEXT over the height. Both are for keeping clear of texts only.
const (
	letterWidth = 0.85
	lineFeed    = 5.0 / 3
)

// textShape reads a TEXT or MTEXT.
func (d *Document) textShape(i int, m matrix, e *Entity) string {
	t := textTags{width: 1, extrusion: Point{0, 0, 1}}
	bad := t.read(d, i)
	e.Handle = t.handle
	if bad != "" {
		return bad
	}
	d.lettering(&t, m, e)
	return ""
}

// lettering gives e what a text shows, mapped by m.
func (d *Document) lettering(t *textTags, m matrix, e *Entity) {
	dir := Point{math.Cos(t.angle), math.Sin(t.angle), 0}
	if e.Kind == KindMText {
		e.Value = d.text.plainMText(d.decode(t.value))
		if t.direction.len() > 0 {
			dir = t.direction.scale(1 / t.direction.len())
		}
	} else {
		e.Value = d.text.percent(caret(d.decode(t.value)))
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
}

// textTags are the values of a TEXT or MTEXT that matter here.
type textTags struct {
	value, handle        string
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
	for c := d.tags(i); c.next() && c.code < 1000 && c.code != embedded; {
		switch c.code {
		case 1, 3:
			if (mtext || value.Len() == 0 && c.code == 1) && value.Len() < maxText {
				value.WriteString(c.text())
			}
		case 5:
			if t.handle == "" {
				t.handle = strings.TrimSpace(c.text())
			}
		case 38: // elevation, before R11
			f.into(c, &t.at.Z)
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
		default:
			t.hasSecond = t.hasSecond || c.code == 11
			coordinate(c, &f, 10, &t.at)
			coordinate(c, &f, 11, &t.second)
			coordinate(c, &f, 210, &t.extrusion)
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
