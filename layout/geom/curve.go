package geom

import (
	"cmp"
	"math"
	"slices"
)

// Vertex is a corner of a path. Bulge is that of DXF: the tangent of a quarter of
// the angle of the arc to the next vertex, positive counter-clockwise, seen in plan.
type Vertex struct {
	Vec
	Bulge float64
}

// Path is a chain of vertices. A closed path repeats no vertex.
type Path []Vertex

// Compare orders paths by their vertices, each by its place and then by its bulge.
func (p Path) Compare(q Path) int {
	return slices.CompareFunc(p, q, func(a, b Vertex) int {
		return cmp.Or(a.Vec.Compare(b.Vec), cmp.Compare(a.Bulge, b.Bulge))
	})
}

// Curves returns the pieces of p that have a length; closed adds the one back to the start.
func (p Path) Curves(closed bool) []Curve {
	var out []Curve
	n := len(p) - 1
	if closed {
		n = len(p)
	}
	for i := 0; i < n; i++ {
		c := Curve{p[i].Vec, p[(i+1)%len(p)].Vec, p[i].Bulge}
		if c.Len() > 0 {
			out = append(out, c)
		}
	}
	return out
}

// Curve is one straight piece, or one arc seen in plan whose Z changes evenly along
// it. Bulge is zero on a straight piece.
type Curve struct {
	A, B  Vec
	Bulge float64
}

// Straight reports whether c is not an arc.
func (c Curve) Straight() bool { return c.Bulge == 0 || c.A.PlanDist(c.B) == 0 }

// Sweep returns the signed angle of the arc, zero for a straight piece.
func (c Curve) Sweep() float64 {
	if c.Straight() {
		return 0
	}
	return 4 * math.Atan(c.Bulge)
}

// Radius returns the radius of the arc in plan, zero for a straight piece.
func (c Curve) Radius() float64 {
	if c.Straight() {
		return 0
	}
	return c.A.PlanDist(c.B) * (1 + c.Bulge*c.Bulge) / (4 * math.Abs(c.Bulge))
}

// Center returns the centre of the arc, at the Z of its start.
func (c Curve) Center() Vec {
	mid := c.A.Lerp(c.B, 0.5)
	if c.Straight() {
		return mid.At(c.A.Z)
	}
	k := (1 - c.Bulge*c.Bulge) / (4 * c.Bulge)
	return mid.Add(c.B.Sub(c.A).Left().Scale(k)).At(c.A.Z)
}

// PlanLen returns the length seen from above.
func (c Curve) PlanLen() float64 {
	if c.Straight() {
		return c.A.PlanDist(c.B)
	}
	return c.Radius() * math.Abs(c.Sweep())
}

// Len returns the true length in space.
func (c Curve) Len() float64 { return math.Hypot(c.PlanLen(), c.B.Z-c.A.Z) }

// Point returns the point at fraction t of the length.
func (c Curve) Point(t float64) Vec {
	if c.Straight() {
		return c.A.Lerp(c.B, t)
	}
	o := c.Center()
	p := o.Add(c.A.Sub(o).Plan().Rotate(t * c.Sweep()))
	return p.At(c.A.Z + t*(c.B.Z-c.A.Z))
}

// Tangent returns the unit direction of travel at fraction t, in space.
func (c Curve) Tangent(t float64) Vec {
	if c.Straight() {
		return c.B.Sub(c.A).Unit()
	}
	r := c.Point(t).Sub(c.Center()).Plan().Unit()
	d := r.Left()
	if c.Bulge < 0 {
		d = d.Scale(-1)
	}
	if l := c.PlanLen(); l > 0 {
		d.Z = (c.B.Z - c.A.Z) / l
	}
	return d.Unit()
}

// Sub returns the part of c between fractions t0 and t1.
func (c Curve) Sub(t0, t1 float64) Curve {
	out := Curve{A: c.Point(t0), B: c.Point(t1)}
	if !c.Straight() {
		out.Bulge = math.Tan(c.Sweep() * (t1 - t0) / 4)
	}
	if t0 == 0 {
		out.A = c.A
	}
	if t1 == 1 {
		out.B = c.B
	}
	return out
}

// Reverse returns c run the other way. A straight piece keeps its bulge of 0, which the sign alone
// would make a -0 that prints as such.
func (c Curve) Reverse() Curve { return Curve{c.B, c.A, 0 - c.Bulge} }

// Nearest returns the fraction of c at its point nearest to p, and the distance, in plan.
func (c Curve) Nearest(p Vec) (t, dist float64) {
	if c.Straight() {
		d := c.B.Sub(c.A).Plan()
		l := d.Dot(d)
		if l == 0 {
			return 0, c.A.PlanDist(p)
		}
		t = math.Max(0, math.Min(1, p.Sub(c.A).Plan().Dot(d)/l))
		return t, c.Point(t).PlanDist(p)
	}
	o, sweep := c.Center(), c.Sweep()
	a := p.Sub(o).Angle() - c.A.Sub(o).Angle()
	if sweep < 0 {
		a, sweep = -a, -sweep
	}
	a = math.Mod(a+4*math.Pi, 2*math.Pi)
	if a <= sweep {
		t = a / sweep
		return t, c.Point(t).PlanDist(p)
	}
	da, db := c.A.PlanDist(p), c.B.PlanDist(p)
	if da <= db {
		return 0, da
	}
	return 1, db
}

// Flatten returns points along c, ends included, that stray from it by no more than tol.
func (c Curve) Flatten(tol float64) []Vec {
	if c.Straight() {
		return []Vec{c.A, c.B}
	}
	n := 1
	if r := c.Radius(); r > 0 {
		step := 2 * math.Acos(math.Max(0, 1-tol/r))
		if step > 0 {
			n = int(math.Min(maxArcSteps, math.Ceil(math.Abs(c.Sweep())/step)))
		}
	}
	n = max(n, 1)
	pts := make([]Vec, n+1)
	for i := range pts {
		pts[i] = c.Point(float64(i) / float64(n))
	}
	pts[0], pts[n] = c.A, c.B
	return pts
}

// maxArcSteps bounds the points of one flattened arc, whatever tolerance is asked.
const maxArcSteps = 4096
