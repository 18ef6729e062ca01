package geom

import (
	"math"
	"slices"
)

// Crossings returns the plan lengths along c, between its ends, where it meets the edges
// of g, in rising order.
func (g Region) Crossings(c Curve) []float64 {
	var out []float64
	l := c.PlanLen()
	for _, e := range g.Edges {
		for _, m := range Meet(c, e) {
			if m.A > Same && m.A < l-Same && m.B > -Same && m.B < e.PlanLen()+Same {
				out = append(out, m.A)
			}
		}
		// An edge that runs along c meets it at its ends, not at a crossing.
		for _, p := range []Vec{e.A, e.B} {
			if _, d := c.Nearest(p); d < Same {
				if s := c.along(p); s > Same && s < l-Same {
					out = append(out, s)
				}
			}
		}
	}
	slices.Sort(out)
	return slices.CompactFunc(out, func(a, b float64) bool { return math.Abs(b-a) < Same })
}

// Span is a part of a curve, by plan lengths from its start.
type Span struct{ From, To float64 }

// Inside returns the parts of c that lie inside g, in order. A part along an edge of g
// is not inside.
func (g Region) Inside(c Curve) []Span {
	if !g.Box.Meets(c.Box()) {
		return nil
	}
	cuts := append(g.Crossings(c), c.PlanLen())
	var out []Span
	from := 0.0
	for _, to := range cuts {
		if to-from > Same && g.Within(c.PlanAt((from+to)/2)) {
			if n := len(out); n > 0 && out[n-1].To == from {
				out[n-1].To = to
			} else {
				out = append(out, Span{from, to})
			}
		}
		from = to
	}
	return out
}

// Union joins spans that overlap or touch, in rising order.
func Union(spans []Span) []Span {
	slices.SortFunc(spans, func(a, b Span) int {
		switch {
		case a.From < b.From:
			return -1
		case a.From > b.From:
			return 1
		}
		return 0
	})
	var out []Span
	for _, s := range spans {
		if n := len(out); n > 0 && s.From <= out[n-1].To+Same {
			out[n-1].To = math.Max(out[n-1].To, s.To)
			continue
		}
		out = append(out, s)
	}
	return out
}
