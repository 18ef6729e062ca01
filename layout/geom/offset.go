package geom

import "math"

// Offset returns c moved by d to the left of travel in plan, Z kept. An arc whose radius
// would become zero or less collapses to its centre; Collapsed says so beforehand.
func (c Curve) Offset(d float64) Curve {
	if c.Straight() {
		n := c.B.Sub(c.A).Plan().Unit().Left().Scale(d)
		return Curve{A: c.A.Add(n), B: c.B.Add(n)}
	}
	o, r := c.Center(), c.Radius()
	k := math.Max(0, (r-c.turn()*d)/r)
	scale := func(p Vec) Vec {
		q := o.Add(p.Sub(o).Scale(k))
		return q.At(p.Z)
	}
	return Curve{A: scale(c.A), B: scale(c.B), Bulge: c.Bulge}
}

// Collapsed reports whether an offset by d reaches or passes the centre of the arc c.
func (c Curve) Collapsed(d float64) bool {
	return !c.Straight() && c.Radius()-c.turn()*d < Same
}

// turn is +1 for an arc counter-clockwise, -1 for one clockwise.
func (c Curve) turn() float64 {
	if c.Bulge < 0 {
		return -1
	}
	return 1
}

// PlanAt returns the point at plan length s from the start of c, on the line or the circle
// c lies on when s is before its start or beyond its end.
func (c Curve) PlanAt(s float64) Vec {
	l := c.PlanLen()
	if l == 0 {
		return c.A
	}
	if c.Straight() {
		return c.A.Add(c.B.Sub(c.A).Scale(s / l))
	}
	return c.Point(s / l)
}

// PlanDir returns the unit direction of travel in plan at plan length s.
func (c Curve) PlanDir(s float64) Vec {
	l := c.PlanLen()
	if l == 0 {
		return Vec{}
	}
	if c.Straight() {
		return c.B.Sub(c.A).Plan().Unit()
	}
	return c.Tangent(s / l).Plan().Unit()
}

// PlanSub returns the part of c between plan lengths s0 and s1 from its start.
func (c Curve) PlanSub(s0, s1 float64) Curve {
	out := Curve{A: c.PlanAt(s0), B: c.PlanAt(s1)}
	if !c.Straight() {
		out.Bulge = math.Tan(c.Sweep() * (s1 - s0) / c.PlanLen() / 4)
	}
	return out
}

// Meeting is where two curves, or the lines and circles they lie on, cross in plan: the
// point, and the plan length to it from the start of each, negative before the start.
type Meeting struct {
	P    Vec
	A, B float64
}

// Meet returns the crossings in plan of the whole lines or circles a and b lie on. Parallel
// lines and circles about one centre have none. The Z of P is that of a.
func Meet(a, b Curve) []Meeting {
	var ps []Vec
	switch {
	case a.Straight() && b.Straight():
		d, e := a.B.Sub(a.A).Plan(), b.B.Sub(b.A).Plan()
		k := cross(d, e)
		if math.Abs(k) <= Parallel*d.Len()*e.Len() {
			return nil
		}
		t := cross(b.A.Sub(a.A), e) / k
		ps = []Vec{a.A.Add(d.Scale(t))}
	case a.Straight():
		ps = lineCircle(a, b)
	case b.Straight():
		ps = lineCircle(b, a)
	default:
		ps = circleCircle(a, b)
	}
	out := make([]Meeting, 0, len(ps))
	for _, p := range ps {
		m := Meeting{P: p, A: a.along(p), B: b.along(p)}
		m.P.Z = a.PlanAt(m.A).Z
		out = append(out, m)
	}
	return out
}

func cross(a, b Vec) float64 { return a.X*b.Y - a.Y*b.X }

// along returns the signed plan length from the start of c to p, which lies on its line or
// circle; on a circle the nearer way round.
func (c Curve) along(p Vec) float64 {
	if c.Straight() {
		return p.Sub(c.A).Plan().Dot(c.B.Sub(c.A).Plan().Unit())
	}
	o := c.Center()
	a := c.turn() * (p.Sub(o).Angle() - c.A.Sub(o).Angle())
	// The branch of the angle is chosen so that the cut lies opposite the middle of the arc.
	half := math.Abs(c.Sweep()) / 2
	for a > half+math.Pi {
		a -= 2 * math.Pi
	}
	for a < half-math.Pi {
		a += 2 * math.Pi
	}
	return a * c.Radius()
}

func lineCircle(l, c Curve) []Vec {
	o, r := c.Center(), c.Radius()
	d := l.B.Sub(l.A).Plan().Unit()
	foot := l.A.Plan().Add(d.Scale(o.Sub(l.A).Plan().Dot(d)))
	h := foot.PlanDist(o)
	if h > r+Same {
		return nil
	}
	k := math.Sqrt(math.Max(0, r*r-h*h))
	if k < Same {
		return []Vec{foot}
	}
	return []Vec{foot.Add(d.Scale(-k)), foot.Add(d.Scale(k))}
}

func circleCircle(a, b Curve) []Vec {
	o, p := a.Center().Plan(), b.Center().Plan()
	ra, rb := a.Radius(), b.Radius()
	d := o.PlanDist(p)
	if d < Same || d > ra+rb+Same || d < math.Abs(ra-rb)-Same {
		return nil
	}
	x := (d*d + ra*ra - rb*rb) / (2 * d)
	u := p.Sub(o).Scale(1 / d)
	foot := o.Add(u.Scale(x))
	k := math.Sqrt(math.Max(0, ra*ra-x*x))
	if k < Same {
		return []Vec{foot}
	}
	return []Vec{foot.Add(u.Left().Scale(k)), foot.Add(u.Left().Scale(-k))}
}
