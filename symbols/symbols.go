// Package symbols holds what a mark looks like: flow arrows, drops and risers, dampers,
// terminal faces, findings, revision clouds. Every function returns the pieces of one mark
// in metres of the model, at the Z of its place; it decides neither layer nor colour.
package symbols

import (
	"math"

	"twinline/layout/geom"
	"twinline/layout/shape"
)

// frame is a place with two directions in plan, along and to the left of it.
type frame struct {
	at          geom.Vec
	along, left geom.Vec
}

func frameAt(at, along geom.Vec) frame {
	u := along.Plan().Unit()
	if u.Len() == 0 {
		u = geom.Vec{X: 1}
	}
	return frame{at, u, u.Left()}
}

// point returns the point x along and y to the left.
func (f frame) point(x, y float64) geom.Vec {
	return f.at.Add(f.along.Scale(x)).Add(f.left.Scale(y))
}

// line returns the line between two points of f.
func (f frame) line(x0, y0, x1, y1 float64) shape.Line {
	return shape.Line{A: f.point(x0, y0), B: f.point(x1, y1)}
}

// triangle returns the filled triangle over three points of f, given as x and y in turn.
func (f frame) triangle(x0, y0, x1, y1, x2, y2 float64) shape.Solid {
	c := f.point(x2, y2)
	return shape.Solid{Corners: [4]geom.Vec{f.point(x0, y0), f.point(x1, y1), c, c}}
}

// polygon returns the closed chain of straight lines over corners.
func polygon(corners ...geom.Vec) shape.Polyline {
	path := make(geom.Path, len(corners))
	for i, c := range corners {
		path[i] = geom.Vertex{Vec: c}
	}
	return shape.Polyline{Path: path, Closed: true}
}

// Proportions of the flow arrow, to its length.
const (
	arrowHead = 0.45 // length of the head
	arrowHalf = 0.12 // half the width of the head
)

// arrow returns a flow arrow of the given length; its middle is at and it points along angle. slim: a
// shaft and a slim filled head; open: a shaft and two strokes; head: a filled head alone.
func arrow(style string, at geom.Vec, angle, length float64) []shape.Geometry {
	f := frameAt(at, geom.Direction(angle))
	neck, half := length/2-arrowHead*length, arrowHalf*length
	switch style {
	case "none":
		return nil
	case "open":
		return []shape.Geometry{
			f.line(-length/2, 0, length/2, 0),
			f.line(neck, half, length/2, 0),
			f.line(neck, -half, length/2, 0),
		}
	case "head":
		return []shape.Geometry{f.triangle(arrowHead*length/2, 0, -arrowHead*length/2, half, -arrowHead*length/2,
			-half)}
	}
	return []shape.Geometry{
		f.line(-length/2, 0, neck, 0),
		f.triangle(length/2, 0, neck, half, neck, -half),
	}
}

// level returns the mark before the lettering of an elevation: a triangle standing on its tip on the
// line of the lettering, as levels are marked in building drawings, filled or open.
func level(style string, at geom.Vec, angle, height float64) []shape.Geometry {
	f := frameAt(at, geom.Direction(angle))
	const margin, top = 0.1, 0.8
	switch style {
	case "none":
		return nil
	case "open":
		return []shape.Geometry{polygon(f.point(height/2, 0), f.point((1-margin)*height, top*height),
			f.point(margin*height, top*height))}
	}
	return []shape.Geometry{f.triangle(height/2, 0, (1-margin)*height, top*height, margin*height, top*height)}
}

// Proportions of leaders, to the height of their lettering.
const (
	leaderDot   = 0.18 // radius of the mark at the tip
	leaderArrow = 0.7  // length of an arrow head there
	dotSides    = 8    // of the polygon a dot is filled as
)

// leader returns the line from a label to the duct it is about, with a mark at its tip: a small ring, since an arrow
// head would read as a direction of flow; a dot, an arrow or none where an office wants that. The line ends at the
// mark.
func leader(style string, from, to geom.Vec, height float64) []shape.Geometry {
	r := leaderDot * height
	d := to.Sub(from).Plan()
	if d.Len() <= r {
		return nil
	}
	short := func(by float64) shape.Line {
		return shape.Line{A: from, B: to.Sub(d.Unit().Scale(math.Min(by, d.Len()))).At(to.Z)}
	}
	switch style {
	case "line":
		return []shape.Geometry{short(0)}
	case "dot":
		out := []shape.Geometry{short(r)}
		f := frameAt(to, d)
		at := func(i int) (x, y float64) {
			y, x = math.Sincos(float64(i) * 2 * math.Pi / dotSides)
			return r * x, r * y
		}
		for i := range dotSides {
			x0, y0 := at(i)
			x1, y1 := at(i + 1)
			out = append(out, f.triangle(0, 0, x0, y0, x1, y1))
		}
		return out
	case "arrow":
		f := frameAt(to, d)
		long := leaderArrow * height
		return []shape.Geometry{short(long), f.triangle(0, 0, -long, r, -long, -r)}
	}
	return []shape.Geometry{short(r), shape.Circle{Center: to, Radius: r}}
}

// Proportions of the marks of capped ends, to the width of the duct.
const (
	capInset = 0.12 // of a second line
	capCross = 0.4  // length of a cross
)

// capEnd returns what a capped end shows beside the line across it: a second line inside, or a cross. along
// points into the duct.
func capEnd(style string, at, along geom.Vec, width float64) []shape.Geometry {
	f := frameAt(at, along)
	y := width / 2
	switch style {
	case "double":
		x := capInset * width
		return []shape.Geometry{f.line(x, -y, x, y)}
	case "cross":
		x := capCross * width
		return []shape.Geometry{f.line(0, -y, x, y), f.line(0, y, x, -y)}
	}
	return nil
}

// quarter is a right angle.
const quarter = math.Pi / 2
