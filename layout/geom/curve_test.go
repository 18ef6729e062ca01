package geom_test

import (
	"math"
	"slices"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/geom"
)

// circle is an arc as the textbook has it, to hold Curve against.
type circle struct {
	o              geom.Vec
	r, from, sweep float64
	rise           float64
}

func (c circle) at(t float64) geom.Vec {
	a := c.from + t*c.sweep
	return geom.Vec{X: c.o.X + c.r*math.Cos(a), Y: c.o.Y + c.r*math.Sin(a), Z: c.o.Z + t*c.rise}
}

// curve is the arc with the bulge that DXF defines: the tangent of a quarter of the angle.
func (c circle) curve() geom.Curve {
	return geom.Curve{A: c.at(0), B: c.at(1), Bulge: math.Tan(c.sweep / 4)}
}

func drawCircle(t *rapid.T) circle {
	c := circle{
		o: drawVec(t), r: rapid.Float64Range(0.05, 50).Draw(t, "radius"),
		from:  rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "from"),
		sweep: rapid.Float64Range(0.05, 6).Draw(t, "sweep"),
		rise:  rapid.Float64Range(-3, 3).Draw(t, "rise"),
	}
	if rapid.Bool().Draw(t, "clockwise") {
		c.sweep = -c.sweep
	}
	return c
}

func drawVec(t *rapid.T) geom.Vec {
	f := rapid.Float64Range(-100, 100)
	return geom.Vec{X: f.Draw(t, "x"), Y: f.Draw(t, "y"), Z: f.Draw(t, "z")}
}

func drawCurve(t *rapid.T) geom.Curve {
	if rapid.Bool().Draw(t, "arc") {
		return drawCircle(t).curve()
	}
	return geom.Curve{A: drawVec(t), B: drawVec(t)}
}

func close(t require.TestingT, want, got geom.Vec, what string) {
	require.InDelta(t, 0, want.Dist(got), 1e-9*(1+want.Len()), "%s: want %v, got %v", what, want, got)
}

func TestArcIsACircle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCircle(t)
		k := c.curve()
		require.InDelta(t, c.sweep, k.Sweep(), 1e-9)
		require.InDelta(t, c.r, k.Radius(), 1e-7*c.r)
		close(t, c.o, k.Center(), "centre")
		require.InDelta(t, c.r*math.Abs(c.sweep), k.PlanLen(), 1e-7*c.r)
		require.InDelta(t, math.Hypot(c.r*c.sweep, c.rise), k.Len(), 1e-7*c.r)
		s := rapid.Float64Range(0, 1).Draw(t, "t")
		close(t, c.at(s), k.Point(s), "point")
		// The tangent is what the point moves by.
		const h = 1e-6
		d := c.at(s + h).Sub(c.at(s - h)).Unit()
		require.InDelta(t, 0, geom.TurnBetween(d, k.Tangent(s)), 1e-4)
		require.InDelta(t, 1, k.Tangent(s).Len(), 1e-12)
	})
}

func TestStraightPiece(t *testing.T) {
	k := geom.Curve{A: geom.Vec{X: 1, Y: 2, Z: 3}, B: geom.Vec{X: 4, Y: 6, Z: 15}}
	require.True(t, k.Straight())
	require.Equal(t, 5.0, k.PlanLen()) // 3, 4, 5
	require.Equal(t, 13.0, k.Len())    // 5, 12, 13
	require.Zero(t, k.Radius())
	require.Zero(t, k.Sweep())
	require.Equal(t, geom.Vec{X: 2.5, Y: 4, Z: 9}, k.Point(0.5))
	require.InDelta(t, 12.0/13, k.Tangent(0.3).Z, 1e-12)
	// A bulge between two points one above the other has no arc.
	upright := geom.Curve{A: geom.Vec{}, B: geom.Vec{Z: 2}, Bulge: 1}
	require.True(t, upright.Straight())
	require.Equal(t, 2.0, upright.Len())
}

func TestSub(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := drawCurve(t)
		a, b := rapid.Float64Range(0, 1).Draw(t, "a"), rapid.Float64Range(0, 1).Draw(t, "b")
		if a > b {
			a, b = b, a
		}
		s := rapid.Float64Range(0, 1).Draw(t, "s")
		if (b-a)*k.PlanLen() < 1e-3 {
			t.Skip("no part to speak of")
		}
		part := k.Sub(a, b)
		require.InDelta(t, (b-a)*k.Len(), part.Len(), 1e-6*(1+k.Len()))
		require.InDelta(t, 0, k.Point(a+s*(b-a)).Dist(part.Point(s)), 1e-7*(1+k.Len()))
		whole := k.Sub(0, 1)
		require.Equal(t, k.A, whole.A)
		require.Equal(t, k.B, whole.B)
		require.InDelta(t, k.Bulge, whole.Bulge, 1e-12*(1+math.Abs(k.Bulge)))
	})
}

func TestReverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := drawCurve(t)
		require.Equal(t, k, k.Reverse().Reverse())
		s := rapid.Float64Range(0, 1).Draw(t, "s")
		require.InDelta(t, 0, k.Point(s).Dist(k.Reverse().Point(1-s)), 1e-9*(1+k.Len()))
		require.InDelta(t, math.Pi, geom.TurnBetween(k.Tangent(s), k.Reverse().Tangent(1-s)), 1e-6)
	})
}

// The nearest point is no farther than any of many points, and lies where Nearest says.
func TestNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k, p := drawCurve(t), drawVec(t)
		s, d := k.Nearest(p)
		require.True(t, s >= 0 && s <= 1)
		require.InDelta(t, d, k.Point(s).PlanDist(p), 1e-6*(1+d))
		for i := range 201 {
			require.LessOrEqual(t, d, k.Point(float64(i)/200).PlanDist(p)+1e-9*(1+d))
		}
	})
}

func TestFlatten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := drawCurve(t)
		tol := rapid.Float64Range(0.001, 0.1).Draw(t, "tol")
		pts := k.Flatten(tol)
		require.Equal(t, k.A, pts[0])
		require.Equal(t, k.B, pts[len(pts)-1])
		for i := range len(pts) - 1 {
			// The middle of a chord strays the most.
			mid := pts[i].Lerp(pts[i+1], 0.5)
			_, d := k.Nearest(mid)
			require.LessOrEqual(t, d, tol*1.000001+1e-9)
		}
	})
}

func TestPathCurves(t *testing.T) {
	p := geom.Path{{Vec: geom.Vec{}}, {Vec: geom.Vec{X: 2}, Bulge: 1}, {Vec: geom.Vec{X: 4}}, {Vec: geom.Vec{X: 4}}}
	require.Len(t, p.Curves(false), 2, "the piece without a length is left out")
	require.Len(t, p.Curves(true), 3)
	require.Equal(t, geom.Vec{}, p.Curves(true)[2].B)
	require.Empty(t, geom.Path{}.Curves(true))
	require.Empty(t, p[:1].Curves(true))
}

func TestCurveBox(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := drawCurve(t)
		want := geom.BoxOf()
		for i := range 2001 {
			p := k.Point(float64(i) / 2000)
			want = geom.Box{
				MinX: math.Min(want.MinX, p.X), MinY: math.Min(want.MinY, p.Y),
				MaxX: math.Max(want.MaxX, p.X), MaxY: math.Max(want.MaxY, p.Y),
			}
		}
		got := k.Box()
		// Between two of the points an arc bulges out by no more than the height of that little arc.
		tol := k.Radius()*(1-math.Cos(k.Sweep()/4000)) + 1e-9
		for _, d := range [][2]float64{{want.MinX, got.MinX}, {want.MinY, got.MinY}, {got.MaxX, want.MaxX},
			{got.MaxY, want.MaxY}} {
			require.GreaterOrEqual(t, d[0], d[1]-1e-9)
			require.InDelta(t, d[0], d[1], tol)
		}
	})
}

// The index finds what looking at every box finds, in the same order whatever went in first.
func TestIndex(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 200).Draw(t, "n")
		boxes := make([]geom.Box, n)
		var there, back geom.Index
		for i := range boxes {
			boxes[i] = drawCurve(t).Box()
			there.Insert(boxes[i], i)
		}
		for i := n - 1; i >= 0; i-- {
			back.Insert(boxes[i], i)
		}
		p, d := drawVec(t), rapid.Float64Range(0, 50).Draw(t, "d")
		look := geom.BoxOf(p).Grow(d)
		want := []int{}
		for i := range boxes {
			if boxes[i].Meets(look) {
				want = append(want, i)
			}
		}
		require.Equal(t, want, append([]int{}, there.Near(p, d)...))
		require.Equal(t, want, append([]int{}, back.Search(look)...))
		require.Equal(t, append([]int{-1}, want...), there.AppendSearch([]int{-1}, look))
	})
}

// Inside and the distances agree with another geometry library.
func TestOutlines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// A star around a middle: simple, seldom convex.
		n := rapid.IntRange(3, 9).Draw(t, "corners")
		var outline []geom.Vec
		for i := range n {
			r := rapid.Float64Range(1, 20).Draw(t, "r")
			outline = append(outline, geom.Direction(2*math.Pi*float64(i)/float64(n)).Scale(r))
		}
		if rapid.Bool().Draw(t, "clockwise") {
			slices.Reverse(outline)
		}
		p := geom.Vec{X: rapid.Float64Range(-25, 25).Draw(t, "x"), Y: rapid.Float64Range(-25, 25).Draw(t, "y")}
		var xy []float64
		for i := range n + 1 {
			xy = append(xy, outline[i%n].X, outline[i%n].Y)
		}
		poly := sf.NewPolygon([]sf.LineString{sf.NewLineString(sf.NewSequence(xy, sf.DimXY))})
		point := sf.XY{X: p.X, Y: p.Y}.AsPoint().AsGeometry()
		out, ok := sf.Distance(poly.AsGeometry(), point)
		require.True(t, ok)
		require.InDelta(t, out, geom.Outside(outline, p), 1e-9)
		line, ok := sf.Distance(poly.Boundary().AsGeometry(), point)
		require.True(t, ok)
		require.InDelta(t, line, geom.OutlineDist(outline, p), 1e-9)
		if line > 1e-6 {
			require.Equal(t, out == 0, geom.Inside(outline, p))
		}
	})
	require.True(t, math.IsInf(geom.OutlineDist(nil, geom.Vec{}), 1))
	require.False(t, geom.Inside(nil, geom.Vec{}))
}

func TestFinite(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	require.True(t, geom.Finite(geom.Vec{X: 1e7, Y: -1e7}))
	for _, v := range []geom.Vec{{X: nan}, {Y: nan}, {Z: nan}, {X: inf}, {Y: -inf}, {Z: 1e300},
		{X: 2 * geom.Farthest}} {
		require.False(t, geom.Finite(v))
	}
}
