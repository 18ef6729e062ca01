package label

import (
	"twinline/layout/key"
	"twinline/layout/shape"
	"twinline/symbols"
)

// placed is a label at its place: one value from which all of it is drawn, its lines, the mark before an elevation, and
// the leader with what stands at its tip.
type placed struct {
	label
	spot
}

// flattened returns p at Z zero in a flat plan.
func (p placed) flattened(flat bool) placed {
	if flat {
		p.mid.Z, p.tip.Z = 0, 0
	}
	return p
}

// shapes draws p.
func (p placed) shapes(marks *symbols.Choices) []shape.Shape {
	var out []shape.Shape
	angle := shape.Readable(p.dir.Angle())
	begin := p.mid.Sub(p.dir.Scale(p.text.w / 2))
	at, align := p.mid, shape.MiddleCenter
	switch {
	case p.kind == shape.LevelText:
		corner := begin.Sub(p.dir.Left().Scale(p.tall / 2))
		out = p.numbered(out, p.key.Part("mark"), marks.Level(corner, angle, p.tall))
		at, align = begin.Add(p.dir.Scale(levelSide*p.tall)), shape.MiddleLeft
	case p.side < 0:
		at, align = begin, shape.MiddleLeft
	case p.side > 0:
		at, align = p.mid.Add(p.dir.Scale(p.text.w/2)), shape.MiddleRight
	}
	step := p.step
	if step == 0 {
		step = lineStep * p.tall
	}
	texts := make([]shape.Geometry, len(p.text.lines))
	for i, line := range p.text.lines {
		texts[i] = shape.Text{At: at.Add(p.lineUp(step, i)), Height: p.tall, Angle: angle, Align: align, Value: line,
			Letters: p.kind}
	}
	out = p.numbered(out, p.key, texts)
	out[len(out)-len(texts)].Facts = p.facts // kept once, with the first of its texts
	if p.leader {
		out = p.numbered(out, p.key.Part("leader"), marks.Leader(p.leaderFrom(p.tall), p.tip, p.tall))
	}
	return out
}

// numbered adds the pieces of one thing, numbered where there are several.
func (b label) numbered(out []shape.Shape, of key.Key, pieces []shape.Geometry) []shape.Shape {
	for i, g := range pieces {
		k := of
		if len(pieces) > 1 {
			k = k.Nth(i + 1)
		}
		out = append(out, shape.Shape{Key: k, Part: b.part(), Air: b.air, Status: b.status, Geom: g})
	}
	return out
}
