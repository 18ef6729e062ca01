package geom

import "math"

// Tolerances. No other file of the project holds a small number of this kind.
const (
	Same     = 1e-6 // metres: points closer than this are one point
	Straight = 1e-4 // radians: directions closer than this are one direction
	Parallel = 1e-9 // sine of the angle under which two lines are taken to have no crossing

	Shortest = 5e-4 // metres: a piece of a centreline shorter than this was drawn by accident
	Flat     = 1e-8 // bulge: a flatter arc strays from its chord by less than a double can show
	Farthest = 1e8  // metres: a coordinate beyond this cannot be of a building; nor is one that is no number
)

// Finite reports whether a is a point a drawing of a building can hold.
func Finite(a Vec) bool {
	// Written so that a NaN fails.
	return math.Abs(a.X) <= Farthest && math.Abs(a.Y) <= Farthest && math.Abs(a.Z) <= Farthest
}

// SamePoint reports whether a and b are one point in space.
func SamePoint(a, b Vec) bool { return a.Dist(b) < Same }

// SamePlan reports whether a and b are one point in plan.
func SamePlan(a, b Vec) bool { return a.PlanDist(b) < Same }

// TurnBetween returns the angle between directions a and b in space, 0 to pi.
func TurnBetween(a, b Vec) float64 {
	return math.Atan2(a.Cross(b).Len(), a.Dot(b))
}
