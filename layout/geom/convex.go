package geom

import "math"

// Rectangle returns the corners of the box around c with half its sides along u and across, counter-clockwise.
func Rectangle(c, u Vec, hw, hh float64) []Vec {
	v := u.Left()
	a, b := u.Scale(hw), v.Scale(hh)
	return []Vec{c.Sub(a).Sub(b), c.Add(a).Sub(b), c.Add(a).Add(b), c.Sub(a).Add(b)}
}

// Overlap reports whether two convex pieces have more than a border in common in plan, by the
// separating axis theorem: they have not if some direction square to an edge of one of
// them parts them. Two points are a line, whose own direction is a second one.
func Overlap(a, b []Vec) bool { return !parts(a, b) && !parts(b, a) }

// parts reports whether an edge of a has a and b on different sides.
func parts(a, b []Vec) bool {
	for i, p := range a {
		d := a[(i+1)%len(a)].Sub(p).Plan()
		if len(a) == 2 && i == 1 {
			d = d.Left() // across the ends of a line
		}
		n := d.Left()
		if n.Len() == 0 {
			continue
		}
		a0, a1 := extent(a, n)
		b0, b1 := extent(b, n)
		gap := Same * n.Len()
		if a1 <= b0+gap || b1 <= a0+gap {
			return true
		}
	}
	return false
}

func extent(pts []Vec, n Vec) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range pts {
		v := p.X*n.X + p.Y*n.Y
		low, high = math.Min(low, v), math.Max(high, v)
	}
	return low, high
}
