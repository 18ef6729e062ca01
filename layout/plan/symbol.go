package plan

import (
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// terminals makes the faces of terminals that have no block of their own: what ducts above cover of them goes under.
func terminals(m *model) made {
	var out made
	for i := range m.net.Terminals {
		t := &m.net.Terminals[i]
		if t.Block || len(t.Face) < 3 {
			continue
		}
		// No node: the duct that ends at the terminal lies over it like any other.
		p := &piece{key: t.Key, air: t.Air, status: t.Status, run: duct.None, spines: []geom.Curve{line(t.At, t.At)}}
		for k, g := range m.spec.Symbols.Face(t.Face, t.Air) {
			p.mark(shape.Term, t.Key.Part("face", k+1), g)
		}
		out.pieces = append(out.pieces, p)
	}
	return out
}

// Where the volume damper of a branch sits, from the end of its takeoff to its width: where there is room, else at the
// least. Common practice.
const (
	damperAt    = 1.5
	damperLeast = 0.5
)

// dampers draws the volume damper of every branch that has one.
func dampers(m *model, e ends) made {
	d := &stage{model: m}
	for i := range d.des.Fittings {
		f := &d.des.Fittings[i]
		if !f.Damper || f.Run == duct.None {
			continue
		}
		r := &d.net.Runs[f.Run]
		if r.Vertical() || d.single(r) || d.net.UpNode(r) != f.Node {
			continue
		}
		c, w := d.Axes[r.ID], float64(d.size(r.ID).Width)
		from := e.cut[runEnd{r.ID, near}]
		s, end := from+damperAt*w, c.PlanLen()-e.cut[runEnd{r.ID, far}]
		switch {
		case r.Kind == duct.Flexible:
			s = from - w/2 // in the middle of its rigid collar
		case s+w/2 > end:
			s += (damperLeast - damperAt) * w
		}
		if s > end {
			continue // no room to show it
		}
		p := d.newPiece(r.Key.Part("damper"), r, r.From, r.To)
		p.spines = []geom.Curve{c}
		p.mark(shape.Damp, r.Key.Part("damper"), d.spec.Symbols.Damper(c.PlanAt(s), c.PlanDir(s), w)...)
	}
	return d.made
}
