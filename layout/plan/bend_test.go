package plan

import (
	"math"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// TestBends draws every turn from 5 to 175 degrees, to both sides, smooth and sharp, in every
// shape, for air both ways, with and without a size change after it.
func TestBends(t *testing.T) {
	for _, size := range lawSizes {
		for _, kind := range []duct.FittingKind{duct.Elbow, duct.Mitre, duct.VanedMitre} {
			t.Run(size.Shape.String()+"/"+kind.String(), func(t *testing.T) {
				t.Parallel()
				for deg := 5; deg <= 175; deg += 5 {
					checkTurn(t, size, kind, deg)
				}
			})
		}
	}
}

// checkTurn draws one turn without and with a size change after it, smaller and larger.
func checkTurn(t *testing.T, size duct.Size, kind duct.FittingKind, deg int) {
	t.Helper()
	side := float64(1 - 2*(deg/5%2))
	air := duct.Air(deg / 5 % 3)
	for _, k := range []float64{1, 0.6, 1.5} {
		// A sharp bend back by more than its size change opens would grow into itself.
		if k > 1 && kind != duct.Elbow && deg >= 165 {
			continue
		}
		checkBend(t, size, kind, side*float64(deg)*math.Pi/180, air, k)
	}
}

func checkBend(t *testing.T, size duct.Size, kind duct.FittingKind, turn float64, air duct.Air, change float64) {
	t.Helper()
	w := float64(size.Width)
	tan := math.Tan(math.Abs(turn) / 2)
	radius := w
	if kind != duct.Elbow {
		radius = w / 2
	}
	reach := radius*tan + 1.5
	g := newRig(air)
	u, v := geom.Direction(0.3), geom.Direction(0.3+turn)
	corner := geom.Vec{X: 10, Y: 20, Z: 3}
	a, b, c := corner.Sub(u.Scale(reach)), corner, corner.Add(v.Scale(reach))
	na, nb, nc := g.node(a.X, a.Y, 3), g.node(b.X, b.Y, 3), g.node(c.X, c.Y, 3)
	g.kind[nb] = kind
	own := size
	own.Width = duct.Length(w * change)
	if size.Shape == duct.Round {
		own.Height = own.Width
	}
	g.run(na, nb, size)
	g.run(nb, nc, own)
	d, shapes := drawRig(g)
	requireClean(t, shapes)
	requireOpen(t, d, shapes)
	require.Len(t, ofCode(d.list, diag.TightFitting), len(d.list), "nothing but a note that a bend is sharp")
	require.Equal(t, kind != duct.Elbow, len(d.list) == 1)

	// The ideal: two strips, the bend between them, the size change after it.
	t0 := radius * tan
	begin, end := corner.Sub(u.Scale(t0)), corner.Add(v.Scale(t0))
	length := 0.0
	if change != 1 {
		length = math.Max(0.1, math.Abs(w-w*change)/2/math.Tan(g.rules.ReducerAngle/2))
	}
	after := end.Add(v.Scale(length))
	ideal := []sf.Geometry{strip(t, a, begin, w), strip(t, after, c, w*change)}
	if length > 0 {
		n := v.Left().Scale(w / 2)
		ideal = append(ideal, sfArea(t, []geom.Vec{end.Sub(n), after.Sub(n.Scale(change)), after.Add(n.Scale(change)),
			end.Add(n)}))
	}
	if kind == duct.Elbow {
		ideal = append(ideal, sector(t, begin, u, radius, w, turn))
	} else {
		ideal = append(ideal, sharpBend(t, corner, u, v, w, turn))
	}
	requireSame(t, sfUnion(t, ideal...), outline(t, shapes), lawArea*(1+reach))

	if kind == duct.Elbow {
		requireTangent(t, shapes, u, v)
	} else {
		requireNoArcs(t, shapes, kind)
		requireVanesInside(t, shapes, sharpBend(t, corner, u, v, w, turn))
	}
}

// sector returns the ideal footprint of a smooth bend that begins at a in direction u.
func sector(t *testing.T, a, u geom.Vec, radius, w, turn float64) sf.Geometry {
	sign := math.Copysign(1, turn)
	o := a.Add(u.Left().Scale(sign * radius))
	var in, out []geom.Vec
	const steps = 200
	for i := range steps + 1 {
		dir := a.Sub(o).Plan().Unit().Rotate(turn * float64(i) / steps)
		in = append(in, o.Add(dir.Scale(radius-w/2)))
		out = append([]geom.Vec{o.Add(dir.Scale(radius + w/2))}, out...)
	}
	return sfArea(t, append(in, out...))
}

// sharpBend returns the ideal footprint of a mitre: what two strips cut off at each other.
func sharpBend(t *testing.T, c, u, v geom.Vec, w, turn float64) sf.Geometry {
	tan := math.Tan(math.Abs(turn) / 2)
	s := math.Copysign(w/2, turn)
	inner := c.Sub(u.Scale(w / 2 * tan)).Add(u.Left().Scale(s))
	outer := c.Add(u.Scale(w / 2 * tan)).Sub(u.Left().Scale(s))
	a := c.Sub(u.Scale(w / 2 * tan)).Sub(u.Left().Scale(s))
	b := c.Add(v.Scale(w / 2 * tan)).Sub(v.Left().Scale(s))
	// beyond 120 degrees the spike is cut off where that of 120 degrees ends
	if most := math.Tan(math.Pi / 3); tan > most+1e-9 {
		return sfArea(t, []geom.Vec{inner, a, c.Add(u.Scale(w / 2 * most)).Sub(u.Left().Scale(s)),
			c.Sub(v.Scale(w / 2 * most)).Sub(v.Left().Scale(s)), b})
	}
	return sfArea(t, []geom.Vec{inner, a, outer, b})
}

// requireTangent checks that arcs leave in the directions of the ducts they join.
func requireTangent(t *testing.T, shapes []shape.Shape, u, v geom.Vec) {
	t.Helper()
	arcs := 0
	for _, l := range linesOf(shapes, shape.Wall) {
		if l.curve.Straight() {
			continue
		}
		arcs++
		for _, x := range []float64{0, 1} {
			d := l.curve.Tangent(x)
			off := math.Min(math.Abs(d.Cross(u).Z), math.Abs(d.Cross(v).Z))
			require.Less(t, off, 1e-6, "the arc %s has a kink at its end", l.key)
		}
	}
	require.Equal(t, 2, arcs)
}

func requireNoArcs(t *testing.T, shapes []shape.Shape, kind duct.FittingKind) {
	t.Helper()
	for _, l := range linesOf(shapes, shape.Wall) {
		require.True(t, l.curve.Straight(), l.key)
	}
	vanes := 0
	for _, l := range linesOf(shapes, shape.Joint) {
		if !l.curve.Straight() {
			vanes++
		}
	}
	require.Equal(t, kind == duct.VanedMitre, vanes > 0)
}

// requireVanesInside checks that the vanes of a sharp bend stand within the elbow, clear of its walls and joints, at
// equal distances.
func requireVanesInside(t *testing.T, shapes []shape.Shape, elbow sf.Geometry) {
	t.Helper()
	rim := elbow.Boundary()
	var mids []geom.Vec
	for _, l := range linesOf(shapes, shape.Joint) {
		if l.curve.Straight() {
			continue
		}
		in, err := sf.Contains(elbow, sfLine(t, l.curve))
		require.NoError(t, err)
		require.True(t, in, "the vane %s reaches out of the elbow", l.key)
		clear, ok := sf.Distance(rim, sfLine(t, l.curve))
		require.True(t, ok)
		require.Greater(t, clear, 1e-4, "the vane %s touches the elbow", l.key)
		mids = append(mids, l.curve.Point(0.5))
	}
	for i := 2; i < len(mids); i++ {
		require.InDelta(t, mids[i-1].PlanDist(mids[i-2]), mids[i].PlanDist(mids[i-1]), 1e-9)
	}
}
