package geom

import "math"

// Inside reports whether p lies inside the outline in plan. On the line itself either
// answer may come: ask OutlineDist first where that matters.
func Inside(outline []Vec, p Vec) bool {
	in := false
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if (a.Y > p.Y) == (b.Y > p.Y) {
			continue
		}
		if p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// OutlineDist returns the distance in plan from p to the line of the outline, whether p is inside or
// outside of it. Without corners it is infinite.
func OutlineDist(outline []Vec, p Vec) float64 {
	best := math.Inf(1)
	for i, a := range outline {
		_, d := Curve{A: a, B: outline[(i+1)%len(outline)]}.Nearest(p)
		best = math.Min(best, d)
	}
	return best
}

// Outside returns how far p lies outside the outline in plan, zero inside and on it.
func Outside(outline []Vec, p Vec) float64 {
	if Inside(outline, p) {
		return 0
	}
	return OutlineDist(outline, p)
}
