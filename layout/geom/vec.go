// Package geom holds the plane and space geometry the rest of Twinline stands on:
// vectors, straight and curved centreline pieces, and the predicates with their
// tolerances. Lengths are metres, angles radians, counter-clockwise from +X.
package geom

import (
	"cmp"
	"math"
)

// Vec is a point or a direction in space, in metres.
type Vec struct{ X, Y, Z float64 }

// Add returns a+b.
func (a Vec) Add(b Vec) Vec { return Vec{a.X + b.X, a.Y + b.Y, a.Z + b.Z} }

// Sub returns a-b.
func (a Vec) Sub(b Vec) Vec { return Vec{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }

// Scale returns k times a.
func (a Vec) Scale(k float64) Vec { return Vec{k * a.X, k * a.Y, k * a.Z} }

// Dot returns the scalar product.
func (a Vec) Dot(b Vec) float64 { return a.X*b.X + a.Y*b.Y + a.Z*b.Z }

// Cross returns the vector product.
func (a Vec) Cross(b Vec) Vec {
	return Vec{a.Y*b.Z - a.Z*b.Y, a.Z*b.X - a.X*b.Z, a.X*b.Y - a.Y*b.X}
}

// Len returns the length of a.
func (a Vec) Len() float64 { return math.Sqrt(a.Dot(a)) }

// Unit returns a scaled to length one, or the zero vector when a has no length.
func (a Vec) Unit() Vec {
	l := a.Len()
	if l == 0 {
		return Vec{}
	}
	return a.Scale(1 / l)
}

// Plan returns a with Z set to zero.
func (a Vec) Plan() Vec { return Vec{a.X, a.Y, 0} }

// At returns a with its Z replaced.
func (a Vec) At(z float64) Vec { return Vec{a.X, a.Y, z} }

// Compare orders points by X, then by Y, then by Z.
func (a Vec) Compare(b Vec) int {
	return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y), cmp.Compare(a.Z, b.Z))
}

// Dist returns the distance between a and b in space.
func (a Vec) Dist(b Vec) float64 { return a.Sub(b).Len() }

// PlanDist returns the distance between a and b seen from above.
func (a Vec) PlanDist(b Vec) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }

// Lerp returns the point at fraction t on the way from a to b.
func (a Vec) Lerp(b Vec, t float64) Vec {
	return Vec{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y), a.Z + t*(b.Z-a.Z)}
}

// Left returns a turned a quarter counter-clockwise in plan; Z is dropped.
func (a Vec) Left() Vec { return Vec{-a.Y, a.X, 0} }

// Rotate returns a turned by angle in plan; Z is kept.
func (a Vec) Rotate(angle float64) Vec {
	s, c := math.Sincos(angle)
	return Vec{c*a.X - s*a.Y, s*a.X + c*a.Y, a.Z}
}

// Angle returns the direction of a in plan, in (-pi, pi].
func (a Vec) Angle() float64 { return math.Atan2(a.Y, a.X) }

// Direction returns the unit vector at angle in plan.
func Direction(angle float64) Vec {
	s, c := math.Sincos(angle)
	return Vec{c, s, 0}
}
