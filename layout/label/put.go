package label

import (
	"fmt"

	"twinline/layout/geom"
	"twinline/layout/shape"
)

// put draws b at s and reserves its ground.
func (l *labeler) put(b label, s spot) {
	if s.text != nil {
		b.text = s.text
	}
	if l.spec.Flat {
		s.mid.Z, s.tip.Z = 0, 0
	}
	t := l.letters[b.kind]
	w, _ := l.box(b)
	for _, box := range l.boxes(b, s, 0) {
		l.field.add(thing{pts: box, kind: reserved, lettering: true})
	}
	angle := shape.Readable(s.dir.Angle())
	left := s.mid.Sub(s.dir.Scale(w / 2))
	if b.level {
		corner := left.Sub(s.dir.Left().Scale(t.height / 2))
		if l.spec.Symbols.Level != nil {
			l.draw(b, b.key+"/mark", l.spec.Symbols.Level(corner, angle, t.height))
		}
		left = left.Add(s.dir.Scale(levelSide * t.height))
	}
	at, align := s.mid, shape.MiddleCenter
	switch {
	case b.level || s.side < 0:
		at, align = left, shape.MiddleLeft
	case s.side > 0:
		at, align = s.mid.Add(s.dir.Scale(w/2)), shape.MiddleRight
	}
	step := s.step
	if step == 0 {
		step = lineStep * t.height
	}
	texts := make([]shape.Geometry, len(b.text))
	for i, line := range b.text {
		up := s.dir.Left().Scale(lineUp(step, i, len(b.text)))
		texts[i] = shape.Text{At: at.Add(up), Height: t.height, Angle: angle, Align: align, Value: line, Letters: b.kind}
	}
	l.draw(b, b.key, texts)
	if !s.leader || l.spec.Symbols.Leader == nil {
		return
	}
	from := l.leaderFrom(b, s)
	l.draw(b, b.key+"/leader", l.spec.Symbols.Leader(from, s.tip, t.height))
	l.field.add(thing{pts: []geom.Vec{from, s.tip}, kind: leaderRun})
}

// draw adds the pieces of one thing, numbered where there are several.
func (l *labeler) draw(b label, key string, pieces []shape.Geometry) {
	for i, g := range pieces {
		k := key
		if len(pieces) > 1 {
			k = fmt.Sprintf("%s/%d", key, i+1)
		}
		var facts *shape.Facts
		if i == 0 && key == b.key { // kept once, with the first of its texts
			facts = b.facts
		}
		l.out = append(l.out, shape.Shape{Key: k, Part: b.part, Air: b.air, Status: b.status, Facts: facts, Geom: g})
	}
}
