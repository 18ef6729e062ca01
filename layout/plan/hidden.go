package plan

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// sameLevel is a difference in height, in metres, under which ducts lie at one level.
const sameLevel = geom.Same

// hide returns, for every piece, the parts of its lines that a higher duct covers.
func hide(pieces []*piece, hidden bool) []cover {
	out := make([]cover, len(pieces))
	for i, p := range pieces {
		lines := p.lines()
		out[i] = cover{lines, make([][]geom.Span, len(lines)), make([][]geom.Span, len(lines)), nil}
	}
	if !hidden {
		return out
	}
	boxes := make([]geom.Box, len(pieces))
	for i, p := range pieces {
		boxes[i] = p.box()
	}
	pairs(boxes, func(i int) bool { return !pieces[i].foot.Empty() }, func(i, j int) {
		p, q := pieces[i], pieces[j]
		if p.joined(q) {
			return
		}
		out[i].under(p, q)
		out[j].under(q, p)
	})
	return out
}

// pairs calls f for every two pieces, i < j, of which the boxes meet and one at least covers something.
func pairs(boxes []geom.Box, covers func(i int) bool, f func(i, j int)) {
	var ix geom.Index
	for i, b := range boxes {
		if covers(i) {
			ix.Insert(b, i)
		}
	}
	var found []int
	for i, b := range boxes {
		found = ix.AppendSearch(found[:0], b)
		for _, j := range found {
			if j > i || j < i && !covers(i) {
				f(i, j)
			}
		}
	}
}

// box returns the box around a piece in plan.
func (p *piece) box() geom.Box {
	if !p.foot.Empty() {
		return p.foot.Box
	}
	b := geom.BoxOf()
	for _, c := range p.lines() {
		b = b.Join(c.Box())
	}
	return b
}

// lines returns all that is drawn of a piece: its edges, the curves of its paths, those of its marks.
func (p *piece) lines() []geom.Curve {
	var out []geom.Curve
	for _, e := range p.edges {
		out = append(out, e.Curve)
	}
	for _, w := range p.paths {
		out = append(out, w.curves...)
	}
	for _, m := range p.marks {
		out = append(out, m.curves()...)
	}
	return out
}

// cover is what of the lines of one piece is covered.
type cover struct {
	lines []geom.Curve
	spans [][]geom.Span // by line
	along [][]geom.Span // by line: parts of a face that lie on the outline of another piece
	// by edge: parts on the outline of what covers what is on their left, and on their right
	rims map[int]*[2][]geom.Span
}

// under adds what of p lies under q.
func (c *cover) under(p, q *piece) {
	// Work that goes covers nothing that stays.
	if q.foot.Empty() || q.thin || q.status == duct.Removed && p.status != duct.Removed {
		return
	}
	for k, e := range c.lines {
		c.spans[k] = append(c.spans[k], p.below(q, e)...)
		switch {
		case k < len(p.edges):
			c.onRim(k, p, q, e)
		case p.run == duct.None:
			c.along[k] = append(c.along[k], rim(q.foot, e)...)
		}
	}
}

// rimStep is how far, in metres, beside a line on the outline of a piece one looks for the side the piece lies on.
const rimStep = 100 * geom.Same

// onRim notes the parts of edge k of p that lie on the outline of q and under it: where another piece covers their
// other side, they are as hidden as within one.
func (c *cover) onRim(k int, p, q *piece, e geom.Curve) {
	for _, s := range rim(q.foot, e) {
		mid := (s.From + s.To) / 2
		m := e.PlanAt(mid)
		if p.over(m) >= q.over(m)-sameLevel {
			continue
		}
		side := 0
		if !q.foot.Contains(m.Add(e.PlanDir(mid).Left().Scale(rimStep))) {
			side = 1
		}
		if c.rims == nil {
			c.rims = map[int]*[2][]geom.Span{}
		}
		if c.rims[k] == nil {
			c.rims[k] = &[2][]geom.Span{}
		}
		c.rims[k][side] = append(c.rims[k][side], s)
	}
}

// hidden returns the parts of line k that are covered.
func (c *cover) hidden(k int) []geom.Span {
	spans := c.spans[k]
	if r := c.rims[k]; r != nil {
		for _, s := range geom.Union(r[0]) {
			for _, o := range geom.Union(r[1]) {
				if from, to := math.Max(s.From, o.From), math.Min(s.To, o.To); to-from > geom.Same {
					spans = append(spans, geom.Span{From: from, To: to})
				}
			}
		}
	}
	return geom.Union(spans)
}

// below returns the parts of an edge of p that lie within the footprint of q and under it.
func (p *piece) below(q *piece, e geom.Curve) []geom.Span {
	var out []geom.Span
	for _, s := range q.foot.Inside(e) {
		m := e.PlanAt((s.From + s.To) / 2)
		if p.over(m) < q.over(m)-sameLevel {
			out = append(out, s)
		}
	}
	return out
}

// rim returns the parts of c that lie on an edge of g.
func rim(g geom.Region, c geom.Curve) []geom.Span {
	if !g.Box.Grow(geom.Same).Meets(c.Box()) {
		return nil
	}
	var out []geom.Span
	from := 0.0
	for _, to := range append(g.Crossings(c), c.PlanLen()) {
		if to-from > geom.Same && g.EdgeDist(c.PlanAt((from+to)/2)) < geom.Same {
			out = append(out, geom.Span{From: from, To: to})
		}
		from = to
	}
	return out
}

// over returns the height by which p is over or under another duct at a place: that of
// its centreline, of a column its top.
func (p *piece) over(m geom.Vec) float64 {
	if p.column {
		return p.high
	}
	if len(p.spines) > 0 {
		return p.zAt(m)
	}
	// A line across the end of a duct lies at the height of its axis.
	best, z := math.Inf(1), math.Inf(-1)
	for _, e := range p.edges {
		if t, dist := e.Nearest(m); dist < best {
			best, z = dist, e.Point(t).Z
		}
	}
	return z
}

// emit turns pieces into shapes: what is covered goes to the hidden part, what is not stays, and neighbouring walls in
// one line become one. It returns lines and arcs, and what is drawn whole.
func emit(pieces []*piece, covers []cover) (lines, whole []shape.Shape) {
	var out []stroke
	for i, p := range pieces {
		c, k := covers[i], 0
		for _, e := range p.edges {
			s := stroke{key: p.key.Part(e.role), part: e.part, air: p.air, status: e.status, curve: e.Curve}
			out = appendStrokes(out, s, c.hidden(k))
			k++
		}
		for _, w := range p.paths {
			whole = append(whole, p.pathShapes(w, c.spans[k:])...)
			k += len(w.curves)
		}
		for _, m := range p.marks {
			n := len(m.curves())
			uncut, cut := m.strokes(p, c.spans[k:k+n], c.along[k:k+n])
			whole, out = append(whole, uncut...), append(out, cut...)
			k += n
		}
	}
	return finish(out), whole
}

// appendStrokes adds one edge, split where it goes under.
func appendStrokes(out []stroke, whole stroke, hidden []geom.Span) []stroke {
	if len(hidden) == 0 {
		return append(out, whole)
	}
	from, n, length := 0.0, 0, whole.curve.PlanLen()
	add := func(to float64, as shape.Part) {
		if to-from > geom.Same {
			n++
			s := whole
			s.part = as
			if from > 0 || to < length {
				s.key, s.curve = whole.key.Nth(n), whole.curve.PlanSub(from, to)
			}
			out = append(out, s)
		}
		from = to
	}
	for _, s := range hidden {
		add(s.From, whole.part)
		add(s.To, shape.Hide)
	}
	add(length, whole.part)
	return out
}

// pathShapes returns a chain of p, cut into what is seen and what is hidden.
func (p *piece) pathShapes(w path, hidden [][]geom.Span) []shape.Shape {
	var out []shape.Shape
	var run []geom.Curve
	part := w.part
	flush := func() {
		if len(run) > 0 {
			out = append(out, shape.Shape{Key: p.key.Part(w.role, len(out)+1), Part: part, Air: p.air, Status: p.status,
				Geom: shape.Polyline{Path: chainPath(run)}})
		}
		run = nil
	}
	take := func(c geom.Curve, from, to float64, as shape.Part) {
		if to-from <= geom.Same {
			return
		}
		if as != part {
			flush()
			part = as
		}
		run = append(run, c.PlanSub(from, to))
	}
	for k, c := range w.curves {
		from := 0.0
		for _, s := range geom.Union(hidden[k]) {
			take(c, from, s.From, w.part)
			take(c, s.From, s.To, shape.Hide)
			from = s.To
		}
		take(c, from, c.PlanLen(), w.part)
	}
	flush()
	return out
}

// chainPath returns the vertices of curves that follow each other: lines and arcs where all lie at one height, short
// lines where they climb, since the arcs of a chain have but one height.
func chainPath(chain []geom.Curve) geom.Path {
	level := true
	for _, c := range chain {
		level = level && math.Abs(c.A.Z-c.B.Z) < geom.Same && math.Abs(c.A.Z-chain[0].A.Z) < geom.Same
	}
	if !level {
		out := geom.Path{{Vec: chain[0].A}}
		for _, c := range chain {
			for _, v := range c.Flatten(flattenTo)[1:] {
				out = append(out, geom.Vertex{Vec: v})
			}
		}
		return out
	}
	var out geom.Path
	for _, c := range chain {
		out = append(out, geom.Vertex{Vec: c.A, Bulge: c.Bulge})
	}
	return append(out, geom.Vertex{Vec: chain[len(chain)-1].B})
}
