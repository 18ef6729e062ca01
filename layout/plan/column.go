package plan

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// across returns the plan direction the width of a vertical run lies along.
func across(r *duct.Run) geom.Vec {
	if u := r.Across.Plan().Unit(); u != (geom.Vec{}) {
		return u
	}
	return geom.Vec{X: 1}
}

// extents returns half of what a vertical duct measures in plan along dir and across it.
func extents(r *duct.Run, s duct.Size, dir geom.Vec) (along, side float64) {
	w, h := float64(s.Width)/2, float64(s.Height)/2
	if s.Shape == duct.Round {
		return w, w
	}
	u := across(r)
	c, t := math.Abs(u.Dot(dir)), math.Abs(u.Left().Dot(dir))
	if s.Shape == duct.Oval { // half circles at the ends of what lies between their centres
		r := math.Min(w, h)
		w, h = w-r, h-r
		return c*w + t*h + r, t*w + c*h + r
	}
	return c*w + t*h, t*w + c*h
}

// columnRegion returns what a vertical duct covers in plan.
func columnRegion(c geom.Vec, r *duct.Run, s duct.Size) geom.Region {
	w, h := float64(s.Width)/2, float64(s.Height)/2
	u := across(r)
	if s.Shape == duct.Round {
		// Two halves that part along u, so that the same duct always has the same ends.
		a, b := c.Add(u.Scale(w)), c.Sub(u.Scale(w))
		return geom.RegionOf([]geom.Curve{{A: a, B: b, Bulge: 1}, {A: b, B: a, Bulge: 1}})
	}
	if s.Shape == duct.Oval && w < h {
		u, w, h = u.Left(), h, w
	}
	at := func(x, y float64) geom.Vec { return c.Add(u.Scale(x)).Add(u.Left().Scale(y)) }
	if s.Shape == duct.Oval {
		f := w - h
		var edges []geom.Curve
		for _, e := range []geom.Curve{line(at(-f, -h), at(f, -h)), {A: at(f, -h), B: at(f, h), Bulge: 1},
			line(at(f, h), at(-f, h)), {A: at(-f, h), B: at(-f, -h), Bulge: 1}} {
			edges = appendLong(edges, e)
		}
		return geom.RegionOf(edges)
	}
	return geom.PolygonRegion([]geom.Vec{at(-w, -h), at(w, -h), at(w, h), at(-w, h)})
}

// stacks makes the vertical ducts.
type stacks struct {
	stage
	done   []bool                   // by run
	byNode map[duct.NodeID][]*piece // what they may lie within
}

// columns draws the vertical runs: those that follow each other are one column, its outline
// drawn once for each size. What of the outline lies within the duct it turns into is part
// of the symbol, the rest is wall.
func columns(m *model, pieces []*piece) made {
	cs := &stacks{stage{model: m}, make([]bool, len(m.net.Runs)), byNode(pieces)}
	for i := range m.net.Runs {
		if r := &m.net.Runs[i]; r.Vertical() && !cs.done[i] && !m.within[r.ID] {
			cs.column(r)
		}
	}
	return cs.made
}

// column draws the column r belongs to.
func (cs *stacks) column(r *duct.Run) {
	runs, nodes := cs.columnRuns(r)
	var touching []*piece
	for n := range nodes {
		touching = append(touching, cs.byNode[n]...)
	}
	var drawn []duct.Size
	for _, v := range runs {
		size := cs.size(v.ID)
		if size.IsZero() {
			continue
		}
		c := cs.Axes[v.ID]
		p := cs.newPiece(v.Key.Part("drop"), v, v.From, v.To)
		p.column = true
		p.low, p.high = math.Min(c.A.Z, c.B.Z), math.Max(c.A.Z, c.B.Z)
		top := c.A.At(p.high)
		p.foot = columnRegion(top, v, size)
		if slices.Contains(drawn, size) {
			continue
		}
		drawn = append(drawn, size)
		cs.columnOutline(p, touching)
		cs.columnNeck(v, touching)
		p.mark(shape.Vert, v.Key.Part("symbol"), cs.spec.Symbols.Drop(top, across(v), size, v.Air, cs.rises(v))...)
	}
}

// columnRuns returns the vertical runs that follow each other from r on, in the order of
// their ids, and the nodes at their ends.
func (cs *stacks) columnRuns(r *duct.Run) ([]*duct.Run, map[duct.NodeID]bool) {
	nodes := map[duct.NodeID]bool{}
	todo := []*duct.Run{r}
	var runs []*duct.Run
	cs.done[r.ID] = true
	for len(todo) > 0 {
		v := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		runs = append(runs, v)
		for _, n := range []duct.NodeID{v.From, v.To} {
			nodes[n] = true
			for _, id := range cs.net.Nodes[n].Runs {
				if o := &cs.net.Runs[id]; !cs.done[id] && o.Vertical() {
					cs.done[id] = true
					todo = append(todo, o)
				}
			}
		}
	}
	return runs, nodes
}

// columnOutline adds the outline of p: on the part of walls where it is free, of the
// symbol where it lies within or along the footprint of a duct it is joined to.
func (cs *stacks) columnOutline(p *piece, touching []*piece) {
	if cs.net.Runs[p.run].Pliable {
		// The neck of a terminal at the end of a flexible duct: its walls are wavy, not this.
		for i, e := range p.foot.Edges {
			p.add(shape.Vert, "outline/"+itoa(i+1), e)
		}
		return
	}
	for _, e := range p.foot.Edges {
		var inside []geom.Span
		for _, q := range touching {
			if !q.foot.Empty() {
				inside = append(inside, covered(q.foot, e)...)
			}
		}
		from := 0.0
		part := func(as shape.Part, to float64) {
			if to-from > geom.Same {
				p.add(as, "outline/"+itoa(len(p.edges)+1), e.PlanSub(from, to))
			}
			from = to
		}
		for _, s := range geom.Union(inside) {
			part(shape.Wall, s.From)
			part(shape.Vert, s.To)
		}
		part(shape.Wall, e.PlanLen())
	}
}

// covered returns the parts of c that lie in g or along an edge of it.
func covered(g geom.Region, c geom.Curve) []geom.Span {
	var out []geom.Span
	from := 0.0
	for _, to := range append(g.Crossings(c), c.PlanLen()) {
		m := c.PlanAt((from + to) / 2)
		if to-from > geom.Same && (g.Contains(m) || g.EdgeDist(m) < geom.Same) {
			out = append(out, geom.Span{From: from, To: to})
		}
		from = to
	}
	return out
}

// rises reports whether a vertical run goes up from the duct it belongs to, rather than down.
func (m *model) rises(v *duct.Run) bool {
	c := m.Axes[v.ID] // outwards
	top, bottom := m.net.DownNode(v), m.net.UpNode(v)
	if c.A.Z > c.B.Z {
		top, bottom = bottom, top
	}
	return !m.hasLevel(top) && m.hasLevel(bottom)
}
