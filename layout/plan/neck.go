package plan

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// neckOf returns the fitting of a leg that is a transition to the neck of a unit, a terminal or a box, nil where there is none.
func neckOf(l *leg) *duct.Fitting {
	if l.neck != nil {
		return l.neck
	}
	f := l.fit
	if f == nil || f.Length <= 0 || f.Common.IsZero() || f.Angle != 0 {
		return nil
	}
	switch f.Kind {
	case duct.Entry, duct.Exit, duct.TerminalConn:
		return f
	}
	return nil
}

// ontoNeck ends a leg at a unit, a terminal or a box whose neck is of another size or shape than the duct: the neck as far as the
// outline g, then the transition.
func (d *drawing) ontoNeck(n *duct.Node, l *leg, f *duct.Fitting, g geom.Region) {
	neck := *l
	neck.sec = f.Common
	if f == l.neck {
		neck.sec = f.Own
	}
	neck.half = float64(neck.sec.Width) / 2
	d.intoRegion(n, &neck, g)
	delete(d.enter, l.run.ID) // a flexible duct turns before the transition, not in it
	from := neck.trim
	to := math.Min(from+float64(f.Length)*l.cosine(), l.axis.PlanLen())
	l.trim = to
	d.place(l)
	if to-from < geom.Same {
		return
	}
	p := d.newPiece(l.run.Key+"/neck/"+itoa(l.end), l.run, n.ID, l.run.From, l.run.To)
	p.transition(station{l.axis, from, neck.sec}, station{l.axis, to, l.sec})
}

// columnNeck draws the neck of the terminal a vertical run ends at, where it stands out beyond the run: what ducts above
// cover of it is hidden.
func (d *drawing) columnNeck(v *duct.Run, above []*piece) {
	f := d.fit(d.net.DownNode(v), v.ID, duct.TerminalConn)
	if f == nil || f.Length <= 0 || f.Common.IsZero() || v.Pliable {
		return
	}
	c := d.axes[v.ID] // outwards
	p := d.newPiece(v.Key+"/neck", v, v.From, v.To)
	p.column = true
	p.low, p.high = c.B.Z, c.B.Z+float64(f.Length)
	if c.A.Z < c.B.Z {
		p.low, p.high = c.B.Z-float64(f.Length), c.B.Z
	}
	p.foot = columnRegion(c.B, v, f.Common)
	own := columnRegion(c.A, v, d.section(v.ID))
	for _, e := range p.foot.Edges {
		var hidden []geom.Span
		for _, q := range above {
			if !q.foot.Empty() {
				hidden = append(hidden, covered(q.foot, e)...)
			}
		}
		for _, s := range outside(geom.Union(covered(own, e)), e.PlanLen()) {
			rest := e.PlanSub(s.From, s.To)
			k := "outline/" + itoa(len(p.edges)+1)
			for _, t := range appendStrokes(nil, stroke{key: k, part: shape.Wall, curve: rest}, geom.Union(within(hidden, s))) {
				p.add(t.part, "outline/"+itoa(len(p.edges)+1), t.curve)
			}
		}
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
