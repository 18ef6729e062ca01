package plan

import (
	"math"

	"twinline/layout/geom"
)

// tangentMost is the longest tangent of a biarc, to the distance of its ends; beyond it the
// ends look away from each other and a straight line does.
const tangentMost = 10

// biarc returns one or two arcs that lead from a in direction u to b in direction v without
// a kink. Directions are unit vectors in plan. Of the many such pairs it takes the one
// whose arcs have equal tangents, which keeps the tighter of the two as wide as can be.
func biarc(a, u, b, v geom.Vec) []geom.Curve {
	w := b.Sub(a).Plan()
	t := u.Add(v)
	// |w - k t|^2 = (2k)^2 for the tangent length k of both arcs.
	qa, qb, qc := t.Dot(t)-4, -2*w.Dot(t), w.Dot(w)
	var k float64
	if math.Abs(qa) < geom.Straight*geom.Straight {
		if math.Abs(qb) < geom.Same {
			return []geom.Curve{line(a, b)}
		}
		k = -qc / qb
	} else {
		k = (-qb - math.Sqrt(math.Max(0, qb*qb-4*qa*qc))) / (2 * qa)
	}
	if !(k > 0) || k > tangentMost*w.Len() {
		return []geom.Curve{line(a, b)}
	}
	p, q := a.Add(u.Scale(k)), b.Sub(v.Scale(k))
	m := p.Lerp(q, 0.5)
	m.Z = (a.Z + b.Z) / 2
	// Each chord closes a triangle with two equal sides, the tangents: no arc sweeps more than half a circle.
	return []geom.Curve{
		{A: a, B: m, Bulge: arcBulge(u, m.Sub(a))},
		{A: m, B: b, Bulge: -arcBulge(v.Scale(-1), m.Sub(b))},
	}
}

// arcBulge returns the bulge of an arc that starts in direction u and has the chord c.
func arcBulge(u, c geom.Vec) float64 {
	half := math.Atan2(u.X*c.Y-u.Y*c.X, u.X*c.X+u.Y*c.Y) // half the sweep
	if math.Abs(half) < geom.Straight*geom.Straight {
		return 0
	}
	return math.Tan(half / 2)
}
