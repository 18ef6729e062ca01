package plan

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// sameLevel is a difference in height, in metres, under which ducts lie at one level.
const sameLevel = geom.Same

// hide returns, for every piece, the parts of its edges and paths that a higher duct covers.
func hide(pieces []*piece, hidden bool) []cover {
	out := make([]cover, len(pieces))
	for i, p := range pieces {
		out[i] = cover{edges: make([][]geom.Span, len(p.edges)), paths: make([][][]geom.Span, len(p.paths))}
		for k, c := range p.paths {
			out[i].paths[k] = make([][]geom.Span, len(c.curves))
		}
		for _, m := range p.marks {
			out[i].marks = append(out[i].marks, make([][]geom.Span, len(m.curves())))
			out[i].along = append(out[i].along, make([][]geom.Span, len(m.curves())))
		}
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
	for _, e := range p.edges {
		b = b.Join(e.Box())
	}
	for _, m := range p.marks {
		for _, c := range m.curves() {
			b = b.Join(c.Box())
		}
	}
	return b
}

// cover is what of one piece is covered: spans of each edge and of each curve of each path
// and mark.
type cover struct {
	edges [][]geom.Span
	// by edge: parts that lie on the outline of what covers what is on their left, and on their right
	rims  map[int]*[2][]geom.Span
	paths [][][]geom.Span
	marks [][][]geom.Span
	along [][][]geom.Span // parts of marks that lie on the outline of another piece
}

// under adds what of p lies under q.
func (c *cover) under(p, q *piece) {
	// Work that goes covers nothing that stays.
	if q.foot.Empty() || q.thin || q.status == duct.Removed && p.status != duct.Removed {
		return
	}
	for k, e := range p.edges {
		c.edges[k] = append(c.edges[k], p.below(q, e.Curve)...)
		c.onRim(k, p, q, e.Curve)
	}
	for k, w := range p.paths {
		for m, e := range w.curves {
			c.paths[k][m] = append(c.paths[k][m], p.below(q, e)...)
		}
	}
	for k, w := range p.marks {
		for m, e := range w.curves() {
			c.marks[k][m] = append(c.marks[k][m], p.below(q, e)...)
			if p.run == duct.None {
				c.along[k][m] = append(c.along[k][m], rim(q.foot, e)...)
			}
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

// hidden returns the parts of edge k that are covered.
func (c *cover) hidden(k int) []geom.Span {
	spans := c.edges[k]
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
		for k, e := range p.edges {
			s := stroke{key: p.key.Part(e.role), part: e.part, air: p.air, status: e.status, curve: e.Curve}
			out = appendStrokes(out, s, covers[i].hidden(k))
		}
		whole = append(whole, p.pathShapes(covers[i].paths)...)
		for k, m := range p.marks {
			uncut, cut := m.strokes(p, covers[i].marks[k], covers[i].along[k])
			whole, out = append(whole, uncut...), append(out, cut...)
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

// pathShapes returns the chains of p, each cut into what is seen and what is hidden.
func (p *piece) pathShapes(covers [][][]geom.Span) []shape.Shape {
	var out []shape.Shape
	for k, w := range p.paths {
		var run []geom.Curve
		part, n := w.part, 0
		flush := func() {
			if len(run) == 0 {
				return
			}
			n++
			out = append(out, shape.Shape{Key: p.key.Part(w.role, n), Part: part, Air: p.air, Status: p.status,
				Geom: shape.Polyline{Path: chainPath(run)}})
			run = nil
		}
		take := func(c geom.Curve, as shape.Part) {
			if as != part {
				flush()
				part = as
			}
			run = append(run, c)
		}
		for m, c := range w.curves {
			from := 0.0
			for _, s := range append(geom.Union(covers[k][m]), geom.Span{From: c.PlanLen(), To: c.PlanLen()}) {
				if s.From-from > geom.Same {
					take(c.PlanSub(from, s.From), w.part)
				}
				if s.To-s.From > geom.Same {
					take(c.PlanSub(s.From, s.To), shape.Hide)
				}
				from = s.To
			}
		}
		flush()
	}
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
