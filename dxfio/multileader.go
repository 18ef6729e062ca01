package dxfio

import (
	"math"
	"strings"
)

// kindMultiLeader is a text and the leaders to what it is about in one entity. It is offered as what it shows: a
// KindMText and a KindLeader for each line, all under its handle.
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
		e := &Entity{Kind: KindLeader, Handle: g.text.handle, Of: g.text.handle, Index: i, Path: in.path,
			Layer: text.Layer}
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

// leaderReader reads the tags of one MULTILEADER.
type leaderReader struct {
	f         floats
	part      leaderPart
	out       multiLeader
	hasText   bool
	direction Point // of the text
	corners   int

	own            [][]Point // lines of the leader being read
	end, dogleg    Point     // where they all lead to, and which way they go on from there
	hasEnd, hasDog bool
	reach          float64 // how far they go on
}

// multiLeader reads record i. Points are in world axes.
func (d *Document) multiLeader(i int) (g multiLeader, bad string) {
	r := leaderReader{f: floats{}, hasText: true}
	r.out.text = textTags{width: 1, extrusion: Point{0, 0, 1}}
	for c := d.tags(i); c.next() && c.code < 1000; {
		switch r.part {
		case partHead:
			r.head(c)
		case partContext:
			r.context(c)
		case partLeader:
			r.leader(c)
		case partLine:
			r.line(c)
		}
		if r.corners > maxCorners {
			return r.out, tooManyCorners
		}
	}
	if r.f.bad {
		return r.out, badNumber
	}
	text := &r.out.text
	if !r.hasText {
		text.value = ""
	}
	value, angle := text.value, text.angle
	text.second = r.direction
	text.finish(true, value)
	text.angle = angle
	return r.out, ""
}

func (r *leaderReader) head(c *cursor) {
	switch {
	case c.code == 5 && r.out.text.handle == "":
		r.out.text.handle = strings.TrimSpace(c.text())
	case c.code == 300 && opens(c, "CONTEXT_DATA"):
		r.part = partContext
	}
}

func (r *leaderReader) context(c *cursor) {
	text := &r.out.text
	switch c.code {
	case 301:
		r.part = partHead
	case 302:
		r.part, r.own, r.end, r.dogleg, r.hasEnd, r.hasDog, r.reach = partLeader, nil, Point{}, Point{}, false, false, 0
	case 290:
		r.hasText = c.int() != 0
	case 304:
		if len(text.value) < maxText {
			text.value += c.text()
		}
	case 41:
		r.f.into(c, &text.height)
	case 42:
		r.f.into(c, &text.angle) // radians
	case 43:
		r.f.into(c, &text.frame)
	case 171:
		text.attachment = min(max(c.int(), 1), 3) // left, centre, right, always from the top
	default:
		coordinate(c, &r.f, 12, &text.at)
		coordinate(c, &r.f, 13, &r.direction)
	}
}

func (r *leaderReader) leader(c *cursor) {
	switch c.code {
	case 303:
		r.out.lines = append(r.out.lines, r.ended()...)
		r.part = partContext
	case 304:
		if opens(c, "LEADER_LINE") {
			r.part, r.own = partLine, append(r.own, nil)
		}
	case 290:
		r.hasEnd = c.int() != 0
	case 291:
		r.hasDog = c.int() != 0
	case 40:
		r.f.into(c, &r.reach)
	default:
		coordinate(c, &r.f, 10, &r.end)
		coordinate(c, &r.f, 11, &r.dogleg)
	}
}

func (r *leaderReader) line(c *cursor) {
	line := &r.own[len(r.own)-1]
	switch {
	case c.code == 305:
		r.part = partLeader
	case c.code == 10:
		r.corners++
		*line = append(*line, Point{})
		fallthrough
	case len(*line) > 0:
		coordinate(c, &r.f, 10, &(*line)[len(*line)-1])
	}
}

// ended adds to each line of the leader the point all of them lead to, and the piece from there to the text.
func (r *leaderReader) ended() [][]Point {
	var out [][]Point
	dogleg := r.dogleg.scale(r.reach)
	for _, line := range r.own {
		if r.hasEnd {
			line = append(line, r.end)
		}
		if r.hasEnd && r.hasDog && !math.IsNaN(dogleg.len()) && dogleg.len() > 0 {
			line = append(line, r.end.add(dogleg))
		}
		if len(line) > 1 {
			out = append(out, line)
		}
	}
	return out
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
