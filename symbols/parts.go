package symbols

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// Proportions of dampers.
const (
	bladeTurn   = math.Pi / 3 // of the blade from the direction of the duct
	damperPivot = 0.06        // radius of the pivot, to the width of the duct
	pivotMost   = 0.03        // metres: the largest such radius
	handleOut   = 0.25        // of the bar style: how far its handle stands out from the duct, to its width
	handleMost  = 0.08        // metres: the farthest
	wedgeHalf   = 0.3         // of the wedges style: half its length, to the width of the duct
	ratedHalf   = 0.25        // half the length of a rated damper, to the width of the duct
	ratedMost   = 0.1         // metres: the longest such half
	smokeBlades = 3           // blades of a smoke damper
)

// damper returns a volume damper in a duct of the given width. blade: set at an angle from wall to wall, with its pivot
// in the middle; bar: a line across with a handle outside; wedges: two triangles tip to tip.
func damper(style string, at, along geom.Vec, width float64) []shape.Geometry {
	if width <= 0 || style == "none" {
		return nil
	}
	f := frameAt(at, along)
	y := width / 2
	switch style {
	case "bar":
		out := y + math.Min(handleOut*width, handleMost)
		return []shape.Geometry{f.line(0, -y, 0, out), f.line(0, out, out-y, out)}
	case "wedges":
		x := wedgeHalf * width
		return []shape.Geometry{
			polygon(f.point(0, 0), f.point(-x, y), f.point(-x, -y)),
			polygon(f.point(0, 0), f.point(x, -y), f.point(x, y)),
		}
	}
	x := y / math.Tan(bladeTurn)
	r := math.Min(damperPivot*width, pivotMost)
	n := math.Hypot(x, y)
	dx, dy := x/n*r, y/n*r
	return []shape.Geometry{
		f.line(-x, -y, -dx, -dy),
		f.line(dx, dy, x, y),
		shape.Circle{Center: at, Radius: r},
	}
}

// ratedText says beside the mark of a crossing what may be needed there, by the usual abbreviations for fire and smoke
// dampers (common practice). Whether it is, is not Twinline's to say: hence the question mark.
func ratedText(r duct.Rating) string {
	text := map[Mark]string{MarkRated: "FD/SD", MarkFire: "FD", MarkSmoke: "SD", MarkFireSmoke: "FSD"}[ratedMark(r)]
	if r.Class != "" {
		text += " " + r.Class
	}
	return text + " ?"
}

// rated returns the mark of a duct that crosses a rated wall, with lettering that leaves its kind to be settled by
// others. body: the body of a damper across the duct, for fire half filled along its diagonal, for smoke with slanting
// blades, for both half filled with blades in the open half, and with its diagonal alone where nothing is known; bar: a
// filled bar across the duct; letters: the lettering alone.
func rated(style string, rating duct.Rating, at, along geom.Vec, width, height float64) []shape.Geometry {
	if width <= 0 || style == "none" {
		return nil
	}
	f := frameAt(at, along)
	x, y := math.Min(ratedHalf*width, ratedMost), width/2
	letters := ratedLetters(rating, at, along, width, height)
	body := polygon(f.point(-x, -y), f.point(x, -y), f.point(x, y), f.point(-x, y))
	switch style {
	case "letters":
		return []shape.Geometry{letters}
	case "bar":
		x /= 3
		return []shape.Geometry{shape.Solid{Corners: [4]geom.Vec{f.point(-x, -y), f.point(x, -y), f.point(x, y),
			f.point(-x, y)}}, letters}
	}
	out := []shape.Geometry{body}
	if rating.Fire {
		out = append(out, f.triangle(-x, -y, x, -y, x, y))
	} else if !rating.Smoke {
		out = append(out, f.line(-x, -y, x, y))
	}
	if rating.Smoke {
		out = append(out, blades(f, x, y, rating.Fire)...)
	}
	return append(out, letters)
}

// blades returns the blades of a smoke damper: strokes that slant from one side of its body to the other, or, where
// half of it is filled, as far as the diagonal.
func blades(f frame, x, y float64, half bool) []shape.Geometry {
	var out []shape.Geometry
	pitch := 2 * y / smokeBlades
	for i := range smokeBlades {
		a := -y + pitch*(float64(i)+0.75) // on the left side
		b := a - pitch/2                  // on the right side
		if !half {
			out = append(out, f.line(-x, a, x, b))
			continue
		}
		// The diagonal rises from (-x,-y) to (x,y): at t along the stroke both are as high.
		if t := (a + y) / (2*y + pitch/2); t > 0 && t <= 1 {
			out = append(out, f.line(-x, a, -x+2*x*t, a+(b-a)*t))
		}
	}
	return out
}

// ratedLetters returns the lettering of a crossing, beside the line of the wall, which runs across at the middle of the
// mark.
func ratedLetters(rating duct.Rating, at, along geom.Vec, width, height float64) shape.Geometry {
	angle := shape.Readable(along.Angle())
	t := frameAt(at, geom.Direction(angle))
	x, y := math.Min(ratedHalf*width, ratedMost), width/2
	return shape.Text{At: t.point(x+height/2, y+height/2), Height: height, Angle: angle, Align: shape.BottomLeft,
		Value: ratedText(rating)}
}
