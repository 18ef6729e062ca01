package geom

import "math"

// Region is the inside of a closed path of lines and arcs in plan.
type Region struct {
	Edges []Curve
	Box   Box
}

// NewRegion returns the inside of the closed path p.
func NewRegion(p Path) Region { return RegionOf(p.Curves(true)) }

// PolygonRegion returns the inside of the polygon with corners pts.
func PolygonRegion(pts []Vec) Region {
	p := make(Path, len(pts))
	for i, v := range pts {
		p[i].Vec = v
	}
	return NewRegion(p)
}

// CircleRegion returns the inside of a circle.
func CircleRegion(c Vec, r float64) Region {
	a, b := c.Add(Vec{X: r}), c.Add(Vec{X: -r})
	return RegionOf([]Curve{{a, b, 1}, {b, a, 1}})
}

// RegionOf returns the inside of a closed chain of edges.
func RegionOf(edges []Curve) Region {
	g := Region{Edges: edges, Box: BoxOf()}
	for _, c := range edges {
		g.Box = g.Box.Join(c.Box())
	}
	return g
}

// Join returns the smallest box around b and c.
func (b Box) Join(c Box) Box {
	return Box{math.Min(b.MinX, c.MinX), math.Min(b.MinY, c.MinY), math.Max(b.MaxX, c.MaxX), math.Max(b.MaxY, c.MaxY)}
}

// Empty reports whether g has no edges.
func (g Region) Empty() bool { return len(g.Edges) == 0 }

// Area returns the signed area of g in plan, positive where the edges run counter-clockwise.
func (g Region) Area() float64 {
	var sum float64
	for _, c := range g.Edges {
		sum += cross(c.A, c.B) / 2
		if !c.Straight() {
			s := c.Sweep()
			sum += c.Radius() * c.Radius() * (s - math.Sin(s)) / 2
		}
	}
	return sum
}

// Contains reports whether p lies inside g in plan. On an edge the answer may be either;
// see EdgeDist.
func (g Region) Contains(p Vec) bool {
	if !g.Box.Meets(BoxOf(p)) {
		return false
	}
	// The winding number: the angles the chords are seen under from p, and a full turn
	// more for an arc when p lies between it and its chord.
	var turn float64
	for _, c := range g.Edges {
		a, b := c.A.Sub(p), c.B.Sub(p)
		turn += math.Atan2(cross(a, b), a.X*b.X+a.Y*b.Y)
		if c.Straight() {
			continue
		}
		side := cross(c.B.Sub(c.A), p.Sub(c.A)) * c.turn()
		if side < 0 && p.PlanDist(c.Center()) < c.Radius() {
			turn += 2 * math.Pi * c.turn()
		}
	}
	return math.Abs(turn) > math.Pi
}

// EdgeDist returns the distance in plan from p to the nearest edge of g.
func (g Region) EdgeDist(p Vec) float64 {
	best := math.Inf(1)
	for _, c := range g.Edges {
		if _, d := c.Nearest(p); d < best {
			best = d
		}
	}
	return best
}

// Within reports whether p lies inside g and farther than Same from its edges.
func (g Region) Within(p Vec) bool { return g.Contains(p) && g.EdgeDist(p) > Same }
