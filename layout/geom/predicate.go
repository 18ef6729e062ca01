package geom

import "math"

// Tolerances. No other file of the project holds a small number of this kind.
const (
	Same     = 1e-6 // metres: points closer than this are one point
	Straight = 1e-4 // radians: directions closer than this are one direction
)

// SamePoint reports whether a and b are one point in space.
func SamePoint(a, b Vec) bool { return a.Dist(b) < Same }

// SamePlan reports whether a and b are one point in plan.
func SamePlan(a, b Vec) bool { return a.PlanDist(b) < Same }

// TurnBetween returns the angle between directions a and b in space, 0 to pi.
func TurnBetween(a, b Vec) float64 {
	return math.Atan2(a.Cross(b).Len(), a.Dot(b))
}
