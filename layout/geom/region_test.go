package geom_test

import (
	"math"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/geom"
)

// coordinate draws a coordinate on a grid of a millimetre, so that cases shrink to plain numbers.
func coordinate(t *rapid.T, name string) float64 {
	return float64(rapid.IntRange(-5000, 5000).Draw(t, name)) / 1000
}

func anyPoint(t *rapid.T) geom.Vec { return geom.Vec{X: coordinate(t, "x"), Y: coordinate(t, "y")} }

// anyCurve draws a line or an arc of some length.
func anyCurve(t *rapid.T) geom.Curve {
	a, b := anyPoint(t), anyPoint(t)
	if a.PlanDist(b) < 0.01 {
		b = a.Add(geom.Vec{X: 0.01})
	}
	bulge := float64(rapid.IntRange(-20, 20).Draw(t, "bulge")) / 10
	return geom.Curve{A: a, B: b, Bulge: bulge}
}

// blob draws a region without loops: a star about a point, its edges lines and flat arcs.
func blob(t *rapid.T) geom.Region {
	n := rapid.IntRange(3, 8).Draw(t, "corners")
	c := anyPoint(t)
	var p geom.Path
	for i := range n {
		r := 0.5 + float64(rapid.IntRange(0, 300).Draw(t, "radius"))/100
		v := c.Add(geom.Direction(2 * math.Pi * float64(i) / float64(n)).Scale(r))
		p = append(p, geom.Vertex{Vec: v, Bulge: float64(rapid.IntRange(0, 3).Draw(t, "bulge")) / 10})
	}
	return geom.NewRegion(p)
}

// judged returns g as a polygon of the outside library; false where its arcs cross other edges.
func judged(g geom.Region) (sf.Geometry, bool) {
	var xy []float64
	for _, c := range g.Edges {
		pts := c.Flatten(1e-5)
		for _, v := range pts[:len(pts)-1] {
			xy = append(xy, v.X, v.Y)
		}
	}
	xy = append(xy, xy[0], xy[1])
	p := sf.NewPolygon([]sf.LineString{sf.NewLineString(sf.NewSequence(xy, sf.DimXY))})
	return p.AsGeometry(), p.Validate() == nil
}

// TestRegionByJudge compares area, inside and outside, and clipping with the outside library.
func TestRegionByJudge(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		g := blob(r)
		poly, ok := judged(g)
		if !ok {
			r.Skip("not simple")
		}
		require.InDelta(r, poly.Area(), math.Abs(g.Area()), 1e-3)
		p := anyPoint(r)
		if g.EdgeDist(p) > 1e-4 {
			in, err := sf.Contains(poly, sf.XY{X: p.X, Y: p.Y}.AsPoint().AsGeometry())
			require.NoError(r, err)
			require.Equal(r, in, g.Contains(p), "%v", p)
			require.Equal(r, in, g.Within(p))
		}
		c := anyCurve(r)
		var xy []float64
		for _, v := range c.Flatten(1e-5) {
			xy = append(xy, v.X, v.Y)
		}
		cut, err := sf.Intersection(poly, sf.NewLineString(sf.NewSequence(xy, sf.DimXY)).AsGeometry())
		require.NoError(r, err)
		sum := 0.0
		for _, s := range g.Inside(c) {
			require.Less(r, s.From, s.To)
			sum += s.To - s.From
		}
		// A curve that grazes an edge may differ by as much as flattening moves the touching points.
		require.InDelta(r, cut.Length(), sum, 0.05)
	})
}

// TestMeetLiesOnBoth: what Meet returns lies on both lines or circles, at the lengths it returns.
func TestMeetLiesOnBoth(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		a, b := anyCurve(r), anyCurve(r)
		// Circles of a kilometre touch lines too flatly to say where.
		if a.Radius() > 100 || b.Radius() > 100 {
			r.Skip("flat arcs")
		}
		for _, m := range geom.Meet(a, b) {
			require.Less(r, a.PlanAt(m.A).PlanDist(m.P), 1e-3)
			require.Less(r, b.PlanAt(m.B).PlanDist(m.P), 1e-3)
		}
		// The same crossings the other way round.
		require.Len(r, geom.Meet(b, a), len(geom.Meet(a, b)))
	})
}

// TestMeetFindsCrossings: lines known to cross do.
func TestMeetFindsCrossings(t *testing.T) {
	line := geom.Curve{A: geom.Vec{X: -2, Y: 0.5}, B: geom.Vec{X: 2, Y: 0.5}}
	half := geom.Curve{A: geom.Vec{X: 1}, B: geom.Vec{X: -1}, Bulge: 1} // upper half of the unit circle
	ms := geom.Meet(line, half)
	require.Len(t, ms, 2)
	require.InDelta(t, 2-math.Sqrt(0.75), ms[0].A, 1e-12)
	require.InDelta(t, math.Pi-math.Asin(0.5), ms[0].B, 1e-12)
	require.InDelta(t, math.Asin(0.5), ms[1].B, 1e-12)
	require.Empty(t, geom.Meet(line, geom.Curve{A: geom.Vec{Y: 1}, B: geom.Vec{X: 3, Y: 1}}), "parallel")
	other := geom.Curve{A: geom.Vec{X: 2}, B: geom.Vec{X: 0}, Bulge: 1} // the same circle a metre to the right
	ms = geom.Meet(half, other)
	require.Len(t, ms, 2)
	require.InDelta(t, 0.5, ms[0].P.X, 1e-12)
}

// TestOffset: an offset stays at its distance, and back again is where it was.
func TestOffset(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		c := anyCurve(r)
		d := float64(rapid.IntRange(-100, 100).Draw(r, "d")) / 100
		if c.Collapsed(d) {
			r.Skip("no such curve")
		}
		o := c.Offset(d)
		for _, x := range []float64{0, 0.3, 1} {
			p := o.Point(x)
			require.InDelta(r, math.Abs(d), p.PlanDist(c.Point(x)), 1e-9)
			// To the left of travel for d > 0.
			require.GreaterOrEqual(r, c.Tangent(x).Left().Dot(p.Sub(c.Point(x)))*d, -1e-12)
		}
		back := o.Offset(-d)
		require.Less(r, back.A.PlanDist(c.A)+back.B.PlanDist(c.B), 1e-9)
	})
}

// TestPlanSub: a part of a part is a part, and lengths add up.
func TestPlanSub(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		c := anyCurve(r)
		l := c.PlanLen()
		a := l * float64(rapid.IntRange(0, 100).Draw(r, "a")) / 200
		b := l/2 + l*float64(rapid.IntRange(1, 100).Draw(r, "b"))/200
		s := c.PlanSub(a, b)
		require.InDelta(r, b-a, s.PlanLen(), 1e-6*(1+l))
		require.Less(r, s.A.PlanDist(c.PlanAt(a))+s.B.PlanDist(c.PlanAt(b)), 1e-9)
		require.Less(r, s.PlanAt((b-a)/2).PlanDist(c.PlanAt((a+b)/2)), 1e-6*(1+l))
	})
}

func TestUnion(t *testing.T) {
	require.Equal(t, []geom.Span{{From: 0, To: 2}, {From: 3, To: 4}},
		geom.Union([]geom.Span{{From: 3, To: 4}, {From: 0, To: 1}, {From: 0.5, To: 2}}))
	require.Empty(t, geom.Union(nil))
}
