// Package symbols holds what a mark looks like: flow arrows, drops and risers, dampers,
// terminal faces, findings, revision clouds. Every function returns the pieces of one mark
// in metres of the model, at the Z of its place; it decides neither layer nor colour.
package symbols

import (
	"math"

	"twinline/layout/geom"
	"twinline/layout/shape"
)

// Plan returns the marks package plan draws with.
func Plan() shape.Symbols {
	return shape.Symbols{
		Arrow:  Arrow,
		Drop:   Drop,
		Damper: Damper,
		Rated:  Rated,
		Face:   Face,
		Level:  Level,
		Leader: Leader,
	}
}

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

// Arrow returns a flow arrow of the given length: a shaft and a slim filled head. Its middle
// is at and it points along angle.
func Arrow(at geom.Vec, angle, length float64) []shape.Geometry {
	f := frameAt(at, geom.Direction(angle))
	neck := length/2 - arrowHead*length
	return []shape.Geometry{
		f.line(-length/2, 0, neck, 0),
		f.triangle(length/2, 0, neck, arrowHalf*length, neck, -arrowHalf*length),
	}
}

// Level returns the mark before the lettering of an elevation: a filled triangle standing on
// its tip on the line of the lettering, as levels are marked in building drawings.
func Level(at geom.Vec, angle, height float64) []shape.Geometry {
	f := frameAt(at, geom.Direction(angle))
	const margin = 0.1
	return []shape.Geometry{
		f.triangle(height/2, 0, (1-margin)*height, 0.8*height, margin*height, 0.8*height),
	}
}

// leaderDot is the radius of the dot at the tip of a leader, to the height of its lettering.
const leaderDot = 0.18

// Leader returns the line from a label to the duct it is about, with a small ring at its tip,
// since an arrow head would read as a direction of flow. The line ends at the ring.
func Leader(from, to geom.Vec, height float64) []shape.Geometry {
	r := leaderDot * height
	d := to.Sub(from).Plan()
	if d.Len() <= r {
		return nil
	}
	return []shape.Geometry{
		shape.Line{A: from, B: to.Sub(d.Unit().Scale(r)).At(to.Z)},
		shape.Circle{Center: to, Radius: r},
	}
}

// quarter is a right angle.
const quarter = math.Pi / 2
