package plan

import (
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/shape"
)

// mark is one line or area of a symbol that belongs to a piece and goes under with it.
type mark struct {
	key  key.Key
	part shape.Part
	geom shape.Geometry
}

// mark adds the pieces of a symbol to p, under one key.
func (p *piece) mark(part shape.Part, of key.Key, geoms ...shape.Geometry) {
	for i, g := range geoms {
		k := of
		if len(geoms) > 1 {
			k = k.Nth(i + 1)
		}
		p.marks = append(p.marks, mark{k, part, g})
	}
}

// curves returns the lines of a mark; of a filled area or a block one across it, of a text none.
func (m mark) curves() []geom.Curve {
	switch g := m.geom.(type) {
	case shape.Line:
		return []geom.Curve{line(g.A, g.B)}
	case shape.Circle:
		return geom.CircleRegion(g.Center, g.Radius).Edges
	case shape.Polyline:
		return g.Path.Curves(g.Closed)
	case shape.Insert:
		u := geom.Direction(g.Angle).Scale(g.Size / 2)
		return []geom.Curve{line(g.At.Sub(u), g.At.Add(u))}
	case shape.Solid:
		return []geom.Curve{line(g.Corners[0], g.Corners[1].Lerp(g.Corners[2], 0.5))}
	}
	return nil
}

// whole returns the shape of a mark of p that is not cut.
func (m mark) whole(p *piece) shape.Shape {
	return shape.Shape{Key: m.key, Part: m.part, Air: p.air, Status: p.status, Geom: m.geom}
}

// strokes returns what is left of a mark of which parts are covered: its lines cut where they
// go under. A filled area or a block of which the middle is covered is left out. Shapes that are not cut
// come back as they are. Parts along the outline of another piece are that piece's to draw.
func (m mark) strokes(p *piece, hidden, along [][]geom.Span) (whole []shape.Shape, cut []stroke) {
	curves := m.curves()
	covered := false
	for i, h := range hidden {
		covered = covered || len(h) > 0 || len(along[i]) > 0
	}
	if !covered {
		return []shape.Shape{m.whole(p)}, nil
	}
	switch m.geom.(type) {
	case shape.Solid, shape.Insert:
		middle := curves[0].PlanLen() / 2
		for _, s := range hidden[0] {
			if s.From < middle && middle < s.To {
				return nil, nil
			}
		}
		return []shape.Shape{m.whole(p)}, nil
	}
	for i, c := range curves {
		s := stroke{key: m.key, part: m.part, air: p.air, status: p.status, curve: c}
		if len(curves) > 1 {
			s.key = s.key.Nth(i + 1)
		}
		if len(along[i]) == 0 {
			cut = appendStrokes(cut, s, geom.Union(hidden[i]))
			continue
		}
		for k, free := range outside(geom.Union(along[i]), c.PlanLen()) {
			part := s
			part.key = part.key.Part(string(rune('a' + k%26)))
			part.curve = c.PlanSub(free.From, free.To)
			cut = appendStrokes(cut, part, geom.Union(within(hidden[i], free)))
		}
	}
	return nil, cut
}
