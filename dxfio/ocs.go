package dxfio

import "math"

// matrix is an affine map: the images of the axes, and of the origin.
type matrix struct{ x, y, z, o Point }

var identity = matrix{x: Point{1, 0, 0}, y: Point{0, 1, 0}, z: Point{0, 0, 1}}

func (p Point) add(q Point) Point     { return Point{p.X + q.X, p.Y + q.Y, p.Z + q.Z} }
func (p Point) scale(k float64) Point { return Point{k * p.X, k * p.Y, k * p.Z} }
func (p Point) dot(q Point) float64   { return p.X*q.X + p.Y*q.Y + p.Z*q.Z }
func (p Point) len() float64          { return math.Sqrt(p.dot(p)) }
func (p Point) cross(q Point) Point {
	return Point{p.Y*q.Z - p.Z*q.Y, p.Z*q.X - p.X*q.Z, p.X*q.Y - p.Y*q.X}
}

// vector maps a direction.
func (m matrix) vector(p Point) Point {
	return m.x.scale(p.X).add(m.y.scale(p.Y)).add(m.z.scale(p.Z))
}

// point maps a point.
func (m matrix) point(p Point) Point { return m.vector(p).add(m.o) }

// times returns the map that does n first, then m.
func (m matrix) times(n matrix) matrix {
	return matrix{m.vector(n.x), m.vector(n.y), m.vector(n.z), m.point(n.o)}
}

// worldZ is how near to the Z axis of the world an extrusion has to be for the arbitrary
// axis to be taken from the Y axis. Source: DXF reference, "Arbitrary axis algorithm".
const worldZ = 1.0 / 64

// ocs returns the map from the object coordinates of an extrusion to the world.
func ocs(n Point) matrix {
	if l := n.len(); l > 0 {
		n = n.scale(1 / l)
	} else {
		n = Point{0, 0, 1}
	}
	if n == (Point{0, 0, 1}) {
		return identity
	}
	axis := Point{0, 0, 1}
	if math.Abs(n.X) < worldZ && math.Abs(n.Y) < worldZ {
		axis = Point{0, 1, 0}
	}
	x := axis.cross(n)
	x = x.scale(1 / x.len())
	return matrix{x: x, y: n.cross(x), z: n}
}

// insertMatrix returns the map from a block to where one of its inserts stands.
func insertMatrix(extrusion, at Point, rotation float64, scale, base Point, dx, dy float64) matrix {
	s, c := math.Sincos(rotation)
	turn := matrix{x: Point{c, s, 0}, y: Point{-s, c, 0}, z: Point{0, 0, 1}, o: at}
	size := matrix{x: Point{scale.X, 0, 0}, y: Point{0, scale.Y, 0}, z: Point{0, 0, scale.Z}, o: Point{dx, dy, 0}}
	toBase := identity
	toBase.o = base.scale(-1)
	return ocs(extrusion).times(turn).times(size).times(toBase)
}

// sameShape is how far, as a part, two axes may differ in length, or lean from a right angle
// or out of plan, for an arc to count as an arc still.
const sameShape = 1e-9

// planar reports whether the map of the plane spanned by its x and y axes keeps circles
// circles and level; flip is -1 where it turns them over.
func (m matrix) planar() (flip float64, ok bool) {
	lx, ly := m.x.len(), m.y.len()
	if lx == 0 || ly == 0 {
		return 0, false
	}
	tol := sameShape * (lx + ly)
	if math.Abs(lx-ly) > tol || math.Abs(m.x.dot(m.y)) > tol*lx || math.Abs(m.x.Z) > tol || math.Abs(m.y.Z) > tol {
		return 0, false
	}
	if m.x.X*m.y.Y-m.x.Y*m.y.X < 0 {
		return -1, true
	}
	return 1, true
}
