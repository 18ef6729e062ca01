package dxfio

import (
	"math"
	"strings"
)

// kindMultiLeader is a text and the leaders to what it is about in one entity. It is offered as what it shows: a KindMText
// and a KindLeader for each line, all under its handle.
const kindMultiLeader = KindLeader + 1

// takes reports whether something of a record is wanted.
func (w *walker) takes(kind Kind, layer uint32) bool {
	if kind == kindMultiLeader {
		return w.wanted(KindMText, layer) || w.wanted(KindLeader, layer)
	}
	return w.wanted(kind, layer)
}

// multiLeader offers the text and the leaders of the MULTILEADER at record i.
func (w *walker) multiLeader(i int, layer uint32, in within) {
	g, bad := w.d.multiLeader(i)
	text := &Entity{Kind: KindMText, Handle: g.text.handle, Index: i, Path: in.path, Layer: w.d.layers[layer]}
	if bad == "" && g.text.value != "" {
		w.d.lettering(&g.text, in.m, text)
	}
	entities := []*Entity{text}
	for _, line := range g.lines {
		e := &Entity{Kind: KindLeader, Handle: g.text.handle, Of: g.text.handle, Index: i, Path: in.path, Layer: text.Layer}
		for _, p := range line {
			e.Vertices = append(e.Vertices, Vertex{Point: in.m.point(p)})
		}
		entities = append(entities, e)
	}
	for _, e := range entities {
		if bad == "" && !e.finite() {
			bad = badNumber
		}
	}
	if bad == "" && g.text.value == "" && w.wanted(KindMText, layer) {
		bad = "it shows a block or nothing; only its text is read"
	}
	if bad != "" {
		w.trouble(i, troubleGeometry, "the MULTILEADER on layer %s cannot be read: %s", text.Layer, bad)
		return
	}
	for _, e := range entities {
		if w.wanted(e.Kind, layer) && (e.Kind != KindMText || e.Value != "") {
			w.visit(e)
		}
	}
}

// A multiLeader is what a MULTILEADER shows, in its own coordinates.
type multiLeader struct {
	text  textTags
	lines [][]Point // from the arrow head on
}

// The nested parts of a MULTILEADER, whose group codes mean something else in each. Source: DXF reference, "MLEADER".
type leaderPart int

const (
	partHead leaderPart = iota
	partContext
	partLeader
	partLine
)

// multiLeader reads record i. Points are in world axes.
func (d *Document) multiLeader(i int) (g multiLeader, bad string) {
	g.text = textTags{width: 1, extrusion: Point{0, 0, 1}}
	part, corners := partHead, 0
	var own [][]Point // lines of the leader being read
	var end, dogleg Point
	var hasEnd, hasDogleg bool
	reach := 0.0
	hasText := true
	f := floats{}
	var direction Point
	for c := d.tags(i); c.next() && c.code < 1000; {
		switch part {
		case partHead:
			switch {
			case c.code == 5 && g.text.handle == "":
				g.text.handle = strings.TrimSpace(c.text())
			case c.code == 300 && opens(c, "CONTEXT_DATA"):
				part = partContext
			}
		case partContext:
			switch c.code {
			case 301:
				part = partHead
			case 302:
				part, own, end, dogleg, hasEnd, hasDogleg, reach = partLeader, nil, Point{}, Point{}, false, false, 0
			case 290:
				hasText = c.int() != 0
			case 304:
				if len(g.text.value) < maxText {
					g.text.value += c.text()
				}
			case 41:
				f.into(c, &g.text.height)
			case 42:
				f.into(c, &g.text.angle) // radians
			case 43:
				f.into(c, &g.text.frame)
			case 171:
				g.text.attachment = min(max(c.int(), 1), 3) // left, centre, right, always from the top
			default:
				coordinate(c, &f, 12, &g.text.at)
				coordinate(c, &f, 13, &direction)
			}
		case partLeader:
			switch c.code {
			case 303:
				g.lines = append(g.lines, ended(own, hasEnd, end, hasDogleg, dogleg.scale(reach))...)
				part = partContext
			case 304:
				if opens(c, "LEADER_LINE") {
					part, own = partLine, append(own, nil)
				}
			case 290:
				hasEnd = c.int() != 0
			case 291:
				hasDogleg = c.int() != 0
			case 40:
				f.into(c, &reach)
			default:
				coordinate(c, &f, 10, &end)
				coordinate(c, &f, 11, &dogleg)
			}
		case partLine:
			line := &own[len(own)-1]
			switch {
			case c.code == 305:
				part = partLeader
			case c.code == 10:
				if corners++; corners > maxCorners {
					return g, "it has more corners than can be read"
				}
				*line = append(*line, Point{})
				f.into(c, &(*line)[len(*line)-1].X)
			case len(*line) > 0:
				coordinate(c, &f, 10, &(*line)[len(*line)-1])
			}
		}
	}
	if f.bad {
		return g, badNumber
	}
	if !hasText {
		g.text.value = ""
	}
	value, angle := g.text.value, g.text.angle
	g.text.second = direction
	g.text.finish(true, value)
	g.text.angle = angle
	return g, ""
}

// opens reports whether a tag begins a part of that name.
func opens(c *cursor, name string) bool {
	return strings.HasPrefix(strings.TrimSpace(c.text()), name)
}

// coordinate reads a coordinate of the point whose X has the group code first, where the tag is one.
func coordinate(c *cursor, f *floats, first int, p *Point) {
	switch c.code {
	case first:
		f.into(c, &p.X)
	case first + 10:
		f.into(c, &p.Y)
	case first + 20:
		f.into(c, &p.Z)
	}
}

// ended adds to each line of a leader the point all of them lead to, and the piece from there to the text.
func ended(lines [][]Point, hasEnd bool, end Point, hasDogleg bool, dogleg Point) [][]Point {
	var out [][]Point
	for _, line := range lines {
		if hasEnd {
			line = append(line, end)
		}
		if hasEnd && hasDogleg && !math.IsNaN(dogleg.len()) && dogleg.len() > 0 {
			line = append(line, end.add(dogleg))
		}
		if len(line) > 1 {
			out = append(out, line)
		}
	}
	return out
}
