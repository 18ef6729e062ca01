package plan

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// neckOf returns the fitting of a leg that is a transition to the neck of a unit, a terminal or a box, nil where there
// is none.
func neckOf(l *leg) *duct.Fitting {
	if l.End == far && l.Change != nil {
		return l.Change
	}
	f := l.Fitting
	if f == nil || f.Length <= 0 || f.Common.IsZero() || f.Angle != 0 {
		return nil
	}
	return f
}

// ontoNeck ends a leg at a unit, a terminal or a box whose neck is of another size or shape than the duct: the neck as
// far as the outline g, then the transition.
func (j *joints) ontoNeck(n *duct.Node, l *leg, f *duct.Fitting, g geom.Region) {
	size := f.Common
	if f == l.Change {
		size = f.Own
	}
	neck := *l
	neck.half = float64(size.Width) / 2
	if s, ok := leaveAt(g, l.axis); ok && l.Run.Kind == duct.Flexible {
		l.takeOut = s
		j.place(l)
		j.landAt(n, l, g, s, f, size) // it turns before the transition, not in it
		return
	}
	j.intoRegion(n, &neck, g)
	from := neck.takeOut
	to := math.Min(from+float64(f.Length)*l.cosine(), l.axis.PlanLen())
	l.takeOut = to
	j.place(l)
	if to-from < geom.Same {
		return
	}
	p := j.newPiece(l.Run.Key.Part("neck", int(l.End)), l.Run, n.ID, l.Run.From, l.Run.To)
	p.transition(station{l.axis, from, size}, station{l.axis, to, l.Outside})
}

// columnNeck draws the neck of the terminal a vertical run ends at. Where it stands out beyond the run it is wall, and
// what ducts above cover of that is hidden; where it lies within the run it is seen through the open end, as part of
// the symbol.
func (cs *stacks) columnNeck(v *duct.Run, above []*piece) {
	f := cs.legs[v.ID][far].Fitting
	if f == nil || !f.Kind.Is(duct.OutletFamily) || f.Length <= 0 || f.Common.IsZero() {
		return
	}
	c := cs.Axes[v.ID] // outwards
	p := cs.newPiece(v.Key.Part("neck"), v, v.From, v.To)
	p.column = true
	p.low, p.high = c.B.Z, c.B.Z+float64(f.Length)
	if c.A.Z < c.B.Z {
		p.low, p.high = c.B.Z-float64(f.Length), c.B.Z
	}
	p.foot = columnRegion(c.B, v, f.Common)
	own := columnRegion(c.A, v, cs.size(v.ID))
	for _, e := range p.foot.Edges {
		over := covered(own, e)
		for _, s := range over {
			if own.EdgeDist(e.PlanAt((s.From+s.To)/2)) >= geom.Same { // else it is the outline of the run itself
				p.add(shape.Vert, "outline/"+itoa(len(p.edges)+1), e.PlanSub(s.From, s.To))
			}
		}
		for _, s := range outside(geom.Union(over), e.PlanLen()) {
			cs.neckOutline(p, e.PlanSub(s.From, s.To), v.Pliable, above)
		}
	}
}

// neckOutline adds a part of the outline of a neck that stands out beyond its run.
func (cs *stacks) neckOutline(p *piece, c geom.Curve, pliable bool, above []*piece) {
	if pliable { // as the outline of the run itself
		p.add(shape.Vert, "outline/"+itoa(len(p.edges)+1), c)
		return
	}
	var hidden []geom.Span
	for _, q := range above {
		if !q.foot.Empty() {
			hidden = append(hidden, covered(q.foot, c)...)
		}
	}
	for _, t := range appendStrokes(nil, stroke{part: shape.Wall, curve: c}, geom.Union(hidden)) {
		p.add(t.part, "outline/"+itoa(len(p.edges)+1), t.curve)
	}
}

// outside returns what the spans, in order, leave of a length.
func outside(spans []geom.Span, length float64) []geom.Span {
	var out []geom.Span
	from := 0.0
	for _, s := range append(spans, geom.Span{From: length, To: length}) {
		if s.From-from > geom.Same {
			out = append(out, geom.Span{From: from, To: s.From})
		}
		from = s.To
	}
	return out
}

// within returns the parts of spans that lie in s, measured from the beginning of it.
func within(spans []geom.Span, s geom.Span) []geom.Span {
	var out []geom.Span
	for _, x := range spans {
		a, b := math.Max(x.From, s.From), math.Min(x.To, s.To)
		if b-a > geom.Same {
			out = append(out, geom.Span{From: a - s.From, To: b - s.From})
		}
	}
	return out
}
