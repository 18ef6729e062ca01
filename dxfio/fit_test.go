package dxfio

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestThroughFit holds curves through fit points to what they are by their nature: a parabola with its own end tangents
// to within what chord lengths change, a ring to a circle, and a straight row of points to a line.
func TestThroughFit(t *testing.T) {
	line := spline{fit: []Point{{0, 0, 0}, {1, 1, 2}, {3, 3, 6}, {3, 3, 6}, {7, 7, 14}}}
	pts := line.throughFit()
	require.Len(t, pts, 3*chordsPerSpan+1)
	for _, p := range pts {
		require.InDelta(t, p.X, p.Y, 1e-12)
		require.InDelta(t, 2*p.X, p.Z, 1e-12)
	}

	ring := spline{closed: true}
	for k := range 12 {
		s, c := math.Sincos(2 * math.Pi * float64(k) / 12)
		ring.fit = append(ring.fit, Point{c, s, 5})
	}
	pts = ring.throughFit()
	require.Len(t, pts, 12*chordsPerSpan+1)
	require.Equal(t, pts[0], pts[len(pts)-1])
	for _, p := range pts {
		require.InDelta(t, 1, math.Hypot(p.X, p.Y), 3e-4)
	}
	// It is as smooth where it closes as anywhere: the turn from chord to chord is much the same.
	n := len(pts)
	turn := func(a, b, c Point) float64 {
		return math.Atan2(c.Y-b.Y, c.X-b.X) - math.Atan2(b.Y-a.Y, b.X-a.X)
	}
	require.InDelta(t, math.Remainder(turn(pts[chordsPerSpan-1], pts[chordsPerSpan], pts[chordsPerSpan+1]), 2*math.Pi),
		math.Remainder(turn(pts[n-2], pts[0], pts[1]), 2*math.Pi), 1e-6)

	arc := spline{tangents: [2]Point{{0, 3, 0}, {-0.5, 0, 0}}} // a quarter of a circle; only directions count
	for k := range 4 {
		s, c := math.Sincos(math.Pi / 2 * float64(k) / 3)
		arc.fit = append(arc.fit, Point{c, s, 0})
	}
	for _, p := range arc.throughFit() {
		require.InDelta(t, 1, math.Hypot(p.X, p.Y), 1e-3)
	}

	for _, bad := range [][]Point{nil, {{1, 1, 1}}, {{1, 1, 1}, {1, 1, 1}}} {
		s := spline{fit: bad}
		require.Less(t, len(s.throughFit()), 2)
	}
}
