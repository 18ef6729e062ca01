package mesh

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// straight returns the rings of a straight piece from a to b.
func straight(a, b, hint geom.Vec, s duct.Section) []ring {
	f := frameOf(a, b.Sub(a), hint)
	return []ring{ringOf(f, s), ringOf(f.moved(b), s)}
}

// curved returns the rings along an arc in plan, which may climb.
func curved(c geom.Curve, s duct.Section) []ring {
	n := bendSteps(c.Sweep())
	out := make([]ring, n+1)
	for i := range out {
		t := float64(i) / float64(n)
		out[i] = ringOf(frameOf(c.Point(t), c.Tangent(t), geom.Vec{}), s)
	}
	return out
}

func bendSteps(angle float64) int {
	return max(1, int(math.Ceil(math.Abs(angle)/bendStep)))
}

// bend returns the rings of a smooth elbow that begins at f and turns by angle towards to,
// a direction square to f.along, with its axis on the given radius.
func bend(f frame, to geom.Vec, angle, radius float64, s duct.Section) []ring {
	center := f.at.Add(to.Scale(radius))
	axis := f.along.Cross(to).Unit()
	n := bendSteps(angle)
	out := make([]ring, n+1)
	for i := range out {
		out[i] = ringOf(f.turned(center, axis, angle*float64(i)/float64(n)), s)
	}
	return out
}

// mitre returns the rings of a sharp elbow that begins at f, turns at the corner by angle
// towards to, and ends as far behind the corner as it began before it.
func mitre(f frame, corner, to geom.Vec, angle float64, s duct.Section) []ring {
	axis := f.along.Cross(to).Unit()
	first := ringOf(f, s)
	seam := turn(f.along, axis, angle/2) // square to the plane both halves meet in
	var mid ring
	for i, p := range first {
		mid[i] = onPlane(p, f.along, corner, seam)
	}
	end := f.turned(corner, axis, angle)
	end.at = corner.Add(end.along.Scale(corner.Sub(f.at).Dot(f.along)))
	return []ring{first, mid, ringOf(end, s)}
}

// onPlane returns where the line from p along dir meets the plane through q square to
// normal; p itself where it runs along the plane.
func onPlane(p, dir, q, normal geom.Vec) geom.Vec {
	k := dir.Dot(normal)
	if math.Abs(k) < geom.Straight {
		return p
	}
	return p.Add(dir.Scale(q.Sub(p).Dot(normal) / k))
}
