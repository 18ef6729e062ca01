package shape

import (
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// Symbols are the marks a plan is drawn with, as functions, since what a mark looks like
// is not known below package symbols. Lengths are metres of the model, angles radians.
// A nil function draws nothing.
type Symbols struct {
	// Arrow is a flow arrow of the given length whose middle is at, pointing along angle.
	Arrow func(at geom.Vec, angle, length float64) []Geometry

	// Drop is what lies within the outline of a vertical duct in plan, the outline itself not
	// included. across is the plan direction the width lies along; up tells that the duct
	// goes up from the plan, cut towards the viewer, rather than down and out of sight.
	Drop func(at, across geom.Vec, size duct.Size, air duct.Air, up bool) []Geometry

	// Damper is a volume damper in a duct of the given width, along being the direction of the duct.
	Damper func(at, along geom.Vec, width float64) []Geometry

	// Rated marks where a duct crosses a wall rated for what rating says: a fire or smoke damper to be
	// settled by others. height is that of its lettering.
	Rated func(rating duct.Rating, at, along geom.Vec, width, height float64) []Geometry

	// Cap is what a capped end shows beside the line across it, which is drawn anyway; along
	// points into the duct.
	Cap func(at, along geom.Vec, width float64) []Geometry

	// Face is the face of an air terminal that has no block of its own; corners are in order
	// around it.
	Face func(corners []geom.Vec, air duct.Air) []Geometry

	// Level is the mark before the lettering of an elevation tag, in a square of side height
	// whose lower left corner is at, turned by angle.
	Level func(at geom.Vec, angle, height float64) []Geometry

	// Leader is the line from a label to what it is about; the tip of it lies at to.
	Leader func(from, to geom.Vec, height float64) []Geometry
}
