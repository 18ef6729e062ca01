package symbols

import (
	"math"

	"twinline/layout/geom"
	"twinline/layout/shape"
)

// Proportions of dampers.
const (
	bladeTurn   = math.Pi / 3 // of the blade from the direction of the duct
	damperPivot = 0.06        // radius of the pivot, to the width of the duct
	pivotMost   = 0.03        // metres: the largest such radius
	ratedHalf   = 0.25        // half the length of a rated damper, to the width of the duct
	ratedMost   = 0.1         // metres: the longest such half
)

// Damper returns a volume damper: its blade, set at an angle from wall to wall, and its
// pivot in the middle. width is that of the duct, along its direction.
func Damper(at, along geom.Vec, width float64) []shape.Geometry {
	if width <= 0 {
		return nil
	}
	f := frameAt(at, along)
	y := width / 2
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

// ratedText stands beside the mark of a crossing: whether a fire damper, a smoke damper or
// neither is needed is not Twinline's to say.
const ratedText = "FD/SD ?"

// Rated returns the mark of a duct that crosses a rated wall: a damper body across the duct,
// one half filled, and lettering that leaves its kind to be settled by others.
func Rated(at, along geom.Vec, width, height float64) []shape.Geometry {
	if width <= 0 {
		return nil
	}
	f := frameAt(at, along)
	x, y := math.Min(ratedHalf*width, ratedMost), width/2
	angle := shape.Readable(along.Angle())
	t := frameAt(at, geom.Direction(angle))
	return []shape.Geometry{
		polygon(f.point(-x, -y), f.point(x, -y), f.point(x, y), f.point(-x, y)),
		f.triangle(-x, -y, x, -y, x, y),
		// Beside the line of the wall, which runs across at the middle of the mark.
		shape.Text{At: t.point(x+height/2, y+height/2), Height: height, Angle: angle, Align: shape.BottomLeft, Value: ratedText},
	}
}
