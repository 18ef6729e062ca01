package mesh

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/geom"
)

// straight returns the rings of a straight piece from a to b.
func straight(a, b, hint geom.Vec, s duct.Size) []ring {
	f, q := frameOf(a, b.Sub(a), hint), quartersOf(s)
	return []ring{ringOf(f, s, q), ringOf(f.moved(b), s, q)}
}

// curved returns the rings along an arc in plan, which may climb.
func curved(c geom.Curve, s duct.Size) []ring {
	return sweep(math.Abs(c.Sweep()), c.Radius(), s, func(t float64) frame {
		return frameOf(c.Point(t), c.Tangent(t), geom.Vec{})
	})
}

// bend returns the rings of a smooth elbow that begins at f and turns by angle towards to,
// a direction square to f.along, with its axis on the given radius.
func bend(f frame, to geom.Vec, angle, radius float64, s duct.Size) []ring {
	center := f.at.Add(to.Scale(radius))
	axis := f.along.Cross(to).Unit()
	return sweep(angle, radius, s, func(t float64) frame { return f.turned(center, axis, angle*t) })
}

// sweep returns rings at equal steps of a turn. Between two of them the body cuts the corner,
// which would make it too small; the rings between the first and the last are as much larger
// as makes up for it.
func sweep(angle, radius float64, s duct.Size, at func(t float64) frame) []ring {
	step := bendStep
	if out := radius + math.Max(float64(s.Width), float64(s.Height))/2; out > sag {
		step = math.Min(step, 2*math.Acos(1-sag/out))
	}
	n := int(math.Max(2, math.Min(mostSteps, math.Ceil(angle/step))))
	wider, q := swell(angle, n), quartersOf(s)
	out := make([]ring, n+1)
	for i := range out {
		f := at(float64(i) / float64(n))
		out[i] = ringOf(f, s, q)
		if i == 0 || i == n {
			continue
		}
		for k, p := range out[i] {
			out[i][k] = f.at.Add(p.Sub(f.at).Scale(wider))
		}
	}
	return out
}

// mostSteps bounds the rings of one bend.
const mostSteps = 400

// swell returns how much larger the rings within a bend of n steps have to be. A step of
// angle d between rings scaled by a and b holds sin(d)/d · (a² + ab + b²)/3 of what the
// bend itself does; with g for the rings within, and 1 for the first and the last:
// sin(d) · ((n-2)·g² + 2·(1 + g + g²)/3) = n·d.
func swell(angle float64, n int) float64 {
	d := angle / float64(n)
	if d < geom.Straight {
		return 1
	}
	a, b := float64(n-2)+2.0/3, 2.0/3
	c := b - float64(n)*d/math.Sin(d)
	return (-b + math.Sqrt(b*b-4*a*c)) / (2 * a)
}

// mitre returns the rings of a sharp elbow that begins at f, turns at the corner by angle towards to, and ends as far
// behind the corner as it began before it. Beyond fitting.SharpMost its outer corner is cut off.
func mitre(f frame, corner, to geom.Vec, angle float64, s duct.Size) []ring {
	axis := f.along.Cross(to).Unit()
	q := quartersOf(s)
	first := ringOf(f, s, q)
	seam := turn(f.along, axis, angle/2) // square to the plane both halves meet in
	end := f.turned(corner, axis, angle)
	way := corner.Sub(f.at).Dot(f.along)
	end.at = corner.Add(end.along.Scale(way))
	mid := make(ring, len(first))
	if angle <= fitting.SharpMost {
		for i, p := range first {
			mid[i] = onPlane(p, f.along, corner, seam)
		}
		return []ring{first, mid, ringOf(end, s, q)}
	}
	out := 0.0 // half of what it measures in the plane of the bend
	for _, p := range first {
		out = math.Max(out, p.Sub(f.at).Dot(to))
	}
	// From the throat, where a mitre has it, to where the outer wall of the sharpest one ends.
	throat, tip := way-out*math.Tan(angle/2), way+out*math.Tan(fitting.SharpMost/2)
	mirrored := make(ring, len(first))
	for i, p := range first {
		k := (p.Sub(f.at).Dot(to) + out) / (2 * out)
		mid[i] = p.Add(f.along.Scale(tip + k*(throat-tip)))
		mirrored[i] = mid[i].Sub(seam.Scale(2 * mid[i].Sub(corner).Dot(seam)))
	}
	return []ring{first, mid, mirrored, ringOf(end, s, q)}
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
