package symbols

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// Drop returns what lies within the outline of a vertical duct in plan. By the usual
// convention of air-handling plans (common practice; no one source) supply air has both
// diagonals and every other air one. A duct that goes up is cut by the plan, and what is
// cut is filled: the quarter between the diagonals of supply air, half of the section of
// other air. A duct that goes down is left open. across is the direction of the width.
func Drop(at, across geom.Vec, section duct.Section, air duct.Air, up bool) []shape.Geometry {
	if section.IsZero() {
		return nil
	}
	f := frameAt(at, across)
	if section.Shape == duct.Round {
		return roundDrop(f, float64(section.Width)/2, air, up)
	}
	w, h := float64(section.Width)/2, float64(section.Height)/2
	x, y := w, h
	if section.Shape == duct.Oval {
		x, y = ovalCorner(w, h)
	}
	out := []shape.Geometry{f.line(-x, -y, x, y)}
	if air == duct.SUP {
		out = append(out, f.line(-x, y, x, -y))
	}
	switch {
	case up && air == duct.SUP:
		out = append(out, f.triangle(0, 0, x, y, -x, y))
	case up:
		out = append(out, f.triangle(x, y, -x, y, -x, -y))
	}
	return out
}

// ovalCorner returns where the diagonals of a flat oval end: in the middle of each quarter
// of its round ends. w and h are half of its axes.
func ovalCorner(w, h float64) (x, y float64) {
	r := math.Min(w, h)
	k := r * (1 - math.Sqrt2/2)
	return w - k, h - k
}

// fanSteps is into how many triangles a quarter of a circle is filled.
const fanSteps = 4

func roundDrop(f frame, r float64, air duct.Air, up bool) []shape.Geometry {
	k := r * math.Sqrt2 / 2
	out := []shape.Geometry{f.line(-k, -k, k, k)}
	from, steps := math.Pi/4, 2*fanSteps
	if air == duct.SUP {
		out = append(out, f.line(-k, k, k, -k))
		steps = fanSteps
	}
	if !up {
		return out
	}
	for i := range steps {
		a, b := from+float64(i)*quarter/fanSteps, from+float64(i+1)*quarter/fanSteps
		out = append(out, f.triangle(0, 0, r*math.Cos(a), r*math.Sin(a), r*math.Cos(b), r*math.Sin(b)))
	}
	return out
}

// faceInner is the side of the inner square of a terminal's face to the outer one: large
// enough for the mark of a drop to stand inside.
const faceInner = 0.72

// Face returns the face of an air terminal that has no block of its own: its outline, a
// smaller one inside, and lines between their corners, all four for supply air and two on
// one diagonal for every other air, which repeats the convention of drops. corners are in
// order around the face.
func Face(corners []geom.Vec, air duct.Air) []shape.Geometry {
	if len(corners) < 3 {
		return nil
	}
	var mid geom.Vec
	for _, c := range corners {
		mid = mid.Add(c.Scale(1 / float64(len(corners))))
	}
	inner := make([]geom.Vec, len(corners))
	for i, c := range corners {
		inner[i] = mid.Lerp(c, faceInner)
	}
	out := []shape.Geometry{polygon(corners...), polygon(inner...)}
	for i, c := range corners {
		if air == duct.SUP || i%2 == 0 {
			out = append(out, shape.Line{A: c, B: inner[i]})
		}
	}
	return out
}
