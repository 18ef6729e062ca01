package plan

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/shape"
)

// stroke is one line or arc that is ready to be drawn.
type stroke struct {
	key    key.Key
	part   shape.Part
	air    duct.Air
	status duct.Status
	curve  geom.Curve
	ring   float64 // a whole circle of this radius about the start of curve
	gone   bool
}

// knot is a point rounded so that ends that meet share it.
type knot struct{ x, y, z int64 }

// knotSize is the side of the cube two ends must share to be one end, in metres: wide
// enough for rounding, finer than any line.
const knotSize = geom.Same / 10

func knotOf(v geom.Vec) knot { return shiftedKnot(v, 0) }

// shiftedKnot is knotOf on cubes that lie shift sides aside.
func shiftedKnot(v geom.Vec, shift float64) knot {
	cell := func(x float64) int64 { return int64(math.Round(x/knotSize + shift)) }
	return knot{cell(v.X), cell(v.Y), cell(v.Z)}
}

// finish drops what would be drawn twice, joins walls that run on in one line, and makes
// the records.
func finish(strokes []stroke) []shape.Shape {
	// Twice, so that the border of two cubes cannot hide a twin.
	dropTwins(strokes, 0)
	dropTwins(strokes, 0.5)
	joinWalls(strokes)
	joinCircles(strokes)
	out := make([]shape.Shape, 0, len(strokes))
	for _, s := range strokes {
		if s.gone {
			continue
		}
		out = append(out, shape.Shape{Key: s.key, Part: s.part, Air: s.air, Status: s.status, Geom: s.record()})
	}
	return out
}

func (s *stroke) record() shape.Geometry {
	if s.ring > 0 {
		return shape.Circle{Center: s.curve.A, Radius: s.ring}
	}
	return curveShape(s.curve)
}

// dropTwins drops lines that lie on one drawn before, in either direction: the joint where
// an elbow follows an elbow is one joint.
func dropTwins(strokes []stroke, shift float64) {
	type key struct {
		a, b knot
		mid  knot
	}
	seen := make(map[key]bool, len(strokes))
	for i := range strokes {
		s := &strokes[i]
		if s.gone {
			continue
		}
		a, b := shiftedKnot(s.curve.A, shift), shiftedKnot(s.curve.B, shift)
		if a.x > b.x || a.x == b.x && (a.y > b.y || a.y == b.y && a.z > b.z) {
			a, b = b, a
		}
		k := key{a, b, shiftedKnot(s.curve.Point(0.5), shift)}
		if seen[k] {
			s.gone = true
			continue
		}
		seen[k] = true
	}
}

// joinWalls joins two straight walls of one part, air and status into one where nothing
// else ends at the point they share and they run on in the same direction.
func joinWalls(strokes []stroke) {
	ends := map[knot][]int{}
	for i := range strokes {
		if s := &strokes[i]; !s.gone {
			ends[knotOf(s.curve.A)] = append(ends[knotOf(s.curve.A)], i)
			ends[knotOf(s.curve.B)] = append(ends[knotOf(s.curve.B)], i)
		}
	}
	for i := range strokes {
		for !strokes[i].gone {
			if !joinAt(strokes, ends, i, strokes[i].curve.B) && !joinAt(strokes, ends, i, strokes[i].curve.A) {
				break
			}
		}
	}
}

// joinAt joins stroke i with the one other stroke that ends at q, if it may.
func joinAt(strokes []stroke, ends map[knot][]int, i int, q geom.Vec) bool {
	here := ends[knotOf(q)]
	if len(here) != 2 {
		return false
	}
	j := here[0] + here[1] - i
	s, o := &strokes[i], &strokes[j]
	if j == i || o.gone || s.part != shape.Wall && s.part != shape.Hide || s.part != o.part || s.air != o.air ||
		s.status != o.status ||
		!s.curve.Straight() || !o.curve.Straight() {
		return false
	}
	a, b := s.curve, o.curve
	if a.A.Dist(q) < a.B.Dist(q) {
		a = a.Reverse()
	}
	if b.B.Dist(q) < b.A.Dist(q) {
		b = b.Reverse()
	}
	if geom.TurnBetween(a.B.Sub(a.A), b.B.Sub(b.A)) > geom.Straight/10 {
		return false
	}
	// The earlier one takes over the later, so that the key nearest the unit stays.
	lo, hi := min(i, j), max(i, j)
	joined := line(a.A, b.B)
	if lo == j {
		joined = line(b.B, a.A)
	}
	strokes[lo].curve, strokes[hi].gone = joined, true
	far := b.B
	if lo == j {
		far = a.A
	}
	delete(ends, knotOf(q))
	list := ends[knotOf(far)]
	for k := range list {
		if list[k] == hi {
			list[k] = lo
		}
	}
	return true
}

// joinCircles makes one circle of two halves that belong together.
func joinCircles(strokes []stroke) {
	for i := 0; i+1 < len(strokes); i++ {
		a, b := &strokes[i], &strokes[i+1]
		if a.gone || b.gone || a.part != b.part || a.curve.Bulge != 1 || b.curve.Bulge != 1 ||
			!geom.SamePoint(a.curve.A, b.curve.B) || !geom.SamePoint(a.curve.B, b.curve.A) {
			continue
		}
		o, r := a.curve.Center(), a.curve.Radius()
		a.curve, a.ring = line(o, o), r
		b.gone = true
	}
}
