package symbols

import (
	"math"
	"strings"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// drop returns what lies within the outline of a vertical duct in plan; across is the direction of its width. The
// house's choice of styles repeats the usual convention of air-handling plans (common practice; no one source): supply
// air has both diagonals and every other air one; a duct that goes up is cut by the plan, and what is cut is filled:
// the quarter between the diagonals of supply air, half of the size of other air. A duct that goes down is left open.
func drop(style string, at, across geom.Vec, size duct.Size) []shape.Geometry {
	if size.IsZero() || style == "none" {
		return nil
	}
	f := frameAt(at, across)
	w, h := float64(size.Width)/2, float64(size.Height)/2
	if style == "ring" {
		r := ringShare * math.Min(w, h)
		if size.Shape == duct.Round {
			r = ringShare * w
		}
		return []shape.Geometry{shape.Circle{Center: at, Radius: r}}
	}
	both, filled := strings.HasPrefix(style, "cross"), strings.HasSuffix(style, "filled")
	if size.Shape == duct.Round {
		return roundDrop(f, w, both, filled)
	}
	x, y := w, h
	if size.Shape == duct.Oval {
		x, y = ovalCorner(w, h)
	}
	out := []shape.Geometry{f.line(-x, -y, x, y)}
	if both {
		out = append(out, f.line(-x, y, x, -y))
	}
	switch {
	case filled && both:
		out = append(out, f.triangle(0, 0, x, y, -x, y))
	case filled:
		out = append(out, f.triangle(x, y, -x, y, -x, -y))
	}
	return out
}

// ringShare is the radius of a ring within a vertical duct to half its shorter side.
const ringShare = 0.6

// ovalCorner returns where the diagonals of a flat oval end: in the middle of each quarter
// of its round ends. w and h are half of its axes.
func ovalCorner(w, h float64) (x, y float64) {
	r := math.Min(w, h)
	k := r * (1 - math.Sqrt2/2)
	return w - k, h - k
}

// fanSteps is into how many triangles a quarter of a circle is filled.
const fanSteps = 4

func roundDrop(f frame, r float64, both, filled bool) []shape.Geometry {
	k := r * math.Sqrt2 / 2
	out := []shape.Geometry{f.line(-k, -k, k, k)}
	from, steps := math.Pi/4, 2*fanSteps
	if both {
		out = append(out, f.line(-k, k, k, -k))
		steps = fanSteps
	}
	if !filled {
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

// face returns the face of an air terminal that has no block of its own. frame: its outline, a smaller one inside, and
// lines between their corners, all four for supply air and two on one diagonal for every other air, which repeats the
// convention of drops; plain: the outline alone; cross: the outline and its diagonals, one of them where the air is not
// supply air. corners are in order around the face.
func face(style string, corners []geom.Vec, air duct.Air) []shape.Geometry {
	if len(corners) < 3 || style == "none" {
		return nil
	}
	out := []shape.Geometry{polygon(corners...)}
	switch style {
	case "plain":
		return out
	case "cross":
		for i := range len(corners) / 2 {
			if air == duct.SUP || i == 0 {
				out = append(out, shape.Line{A: corners[i], B: corners[i+len(corners)/2]})
			}
		}
		return out
	}
	mid := middle(corners)
	inner := make([]geom.Vec, len(corners))
	for i, c := range corners {
		inner[i] = mid.Lerp(c, faceInner)
	}
	out = append(out, polygon(inner...))
	for i, c := range corners {
		if air == duct.SUP || i%2 == 0 {
			out = append(out, shape.Line{A: c, B: inner[i]})
		}
	}
	return out
}
