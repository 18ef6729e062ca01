package plan

import (
	"fmt"
	"math"
	"slices"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
	"twinline/symbols"
)

// lawT is a *testing.T or a *rapid.T.
type lawT interface {
	Errorf(format string, args ...any)
	FailNow()
	Helper()
}

// Tolerances of the laws.
const (
	lawEnds    = 1e-6 // metres
	lawFlatten = 5e-5 // arcs to lines, for the judge
	lawArea    = 2e-4 // square metres between the drawn and the ideal outline
)

// lawLine is one line of a drawing as a curve.
type lawLine struct {
	key   string
	part  shape.Part
	curve geom.Curve
}

// lines returns every line and arc among shapes of the given parts.
func linesOf(shapes []shape.Shape, parts ...shape.Part) []lawLine {
	var out []lawLine
	for _, s := range shapes {
		wanted := false
		for _, p := range parts {
			wanted = wanted || s.Part == p
		}
		if !wanted {
			continue
		}
		add := func(c geom.Curve) { out = append(out, lawLine{string(s.Key), s.Part, c}) }
		switch g := s.Geom.(type) {
		case shape.Line:
			add(line(g.A, g.B))
		case shape.Arc:
			a := g.Center.Add(geom.Direction(g.Start).Scale(g.Radius))
			b := g.Center.Add(geom.Direction(g.End).Scale(g.Radius))
			add(geom.Curve{A: a, B: b, Bulge: math.Tan((g.End - g.Start) / 4)})
		case shape.Circle:
			a, b := g.Center.Add(geom.Vec{X: g.Radius}), g.Center.Sub(geom.Vec{X: g.Radius})
			add(geom.Curve{A: a, B: b, Bulge: 1})
			add(geom.Curve{A: b, B: a, Bulge: 1})
		case shape.Polyline:
			for _, c := range g.Path.Curves(g.Closed) {
				add(c)
			}
		}
	}
	return out
}

// requireClean checks the laws that hold for every drawing: keys are unique, nothing has no
// length, nothing is drawn twice, walls end where something else begins, and no wall
// crosses another.
func requireClean(t lawT, shapes []shape.Shape) {
	t.Helper()
	requireOnce(t, shapes)
	requireClosed(t, shapes)
	walls := linesOf(shapes, shape.Wall)
	for i, a := range walls {
		for _, b := range walls[i+1:] {
			requireApart(t, a, b)
		}
	}
}

// requireOnce checks that keys are unique, nothing has no length, and nothing is drawn twice.
func requireOnce(t lawT, shapes []shape.Shape) {
	t.Helper()
	seen := map[string]bool{}
	for _, s := range shapes {
		require.False(t, seen[string(s.Key)], "key %s twice", s.Key)
		seen[string(s.Key)] = true
		require.Less(t, len(s.Facts.String()), 200)
	}
	all := linesOf(shapes, shape.Wall, shape.Joint, shape.Vert, shape.Hide)
	for _, l := range all {
		require.Greater(t, l.curve.PlanLen(), lawEnds, l.key)
	}
	for i, a := range all {
		for _, b := range all[i+1:] {
			requireNotTwice(t, a, b)
		}
	}
}

// requireClosed checks that walls end where something else is.
func requireClosed(t lawT, shapes []shape.Shape) {
	t.Helper()
	all := linesOf(shapes, shape.Wall, shape.Joint, shape.Vert, shape.Hide)
	for _, a := range linesOf(shapes, shape.Wall) {
		for _, p := range []geom.Vec{a.curve.A, a.curve.B} {
			near := math.Inf(1)
			for _, b := range all {
				if b.key == a.key {
					continue
				}
				if _, d := b.curve.Nearest(p); d < near {
					near = d
				}
			}
			require.Less(t, near, lawEnds, "the wall %s ends in the open at %v", a.key, p)
		}
	}
}

// requireNotTwice checks that no part of two straight lines is one and the same.
func requireNotTwice(t lawT, a, b lawLine) {
	t.Helper()
	if !a.curve.Straight() || !b.curve.Straight() || !a.curve.Box().Grow(lawEnds).Meets(b.curve.Box()) {
		return
	}
	u := a.curve.PlanDir(0)
	off := func(p geom.Vec) float64 { return math.Abs(p.Sub(a.curve.A).Plan().Cross(u).Z) }
	along := func(p geom.Vec) float64 { return p.Sub(a.curve.A).Plan().Dot(u) }
	if off(b.curve.A) > lawEnds || off(b.curve.B) > lawEnds {
		return
	}
	lo := math.Max(0, math.Min(along(b.curve.A), along(b.curve.B)))
	hi := math.Min(a.curve.PlanLen(), math.Max(along(b.curve.A), along(b.curve.B)))
	require.Less(t, hi-lo, 1e-5, "%s and %s are drawn twice over %v", a.key, b.key, hi-lo)
}

// requireApart checks that two walls share no more than ends.
func requireApart(t lawT, a, b lawLine) {
	t.Helper()
	if !a.curve.Box().Grow(lawEnds).Meets(b.curve.Box()) {
		return
	}
	x, err := sf.Intersection(sfLine(t, a.curve), sfLine(t, b.curve))
	require.NoError(t, err)
	if x.IsEmpty() {
		return
	}
	require.Less(t, x.Length(), 1e-4, "walls %s and %s lie on each other", a.key, b.key)
	env := x.Envelope()
	mn, mx := env.Min(), env.Max()
	lo, _ := mn.XY()
	hi, _ := mx.XY()
	for _, q := range []geom.Vec{{X: lo.X, Y: lo.Y}, {X: hi.X, Y: hi.Y}} {
		ends := func(c geom.Curve) float64 { return math.Min(c.A.PlanDist(q), c.B.PlanDist(q)) }
		require.Less(t, ends(a.curve), 1e-3, "walls %s and %s cross at %v", a.key, b.key, q)
		require.Less(t, ends(b.curve), 1e-3, "walls %s and %s cross at %v", a.key, b.key, q)
	}
}

// requireOpen checks that no wall stands across the way of the air: the centreline of
// every piece, but for its last bit before a cap.
func requireOpen(t lawT, d drawing, shapes []shape.Shape) {
	t.Helper()
	walls := linesOf(shapes, shape.Wall)
	for _, p := range d.pieces {
		for _, s := range p.spines {
			for _, w := range walls {
				for _, m := range geom.Meet(s, w.curve) {
					on := m.A > lawEnds && m.A < s.PlanLen()-lawEnds && m.B > -lawEnds &&
						m.B < w.curve.PlanLen()+lawEnds
					require.False(t, on, "the wall %s stands across %s at %v", w.key, p.key, m.P)
				}
			}
		}
	}
}

func sfPoints(pts []geom.Vec) []float64 {
	var out []float64
	for _, p := range pts {
		out = append(out, p.X, p.Y)
	}
	return out
}

func sfLine(t lawT, c geom.Curve) sf.Geometry {
	t.Helper()
	return sf.NewLineString(sf.NewSequence(sfPoints(c.Flatten(lawFlatten)), sf.DimXY)).AsGeometry()
}

// sfArea returns the polygon with the given corners.
func sfArea(t lawT, pts []geom.Vec) sf.Geometry {
	t.Helper()
	ring := sf.NewLineString(sf.NewSequence(sfPoints(append(append([]geom.Vec(nil), pts...), pts[0])), sf.DimXY))
	p := sf.NewPolygon([]sf.LineString{ring})
	require.NoError(t, p.Validate(), fmt.Sprint(pts))
	return p.AsGeometry()
}

func sfUnion(t lawT, gs ...sf.Geometry) sf.Geometry {
	t.Helper()
	out, err := sf.UnionMany(gs)
	require.NoError(t, err)
	return out
}

// outline chains walls and the lines across free ends into rings, and returns the area
// inside. Every corner must belong to exactly two lines: that is what closed means.
func outline(t lawT, shapes []shape.Shape) sf.Geometry {
	t.Helper()
	rim := linesOf(shapes, shape.Wall)
	for _, l := range linesOf(shapes, shape.Joint) {
		if _, _, ok := freeEnd(l, rim); ok {
			rim = append(rim, l)
		}
	}
	ends := map[knot][]int{}
	for i, l := range rim {
		ends[coarse(l.curve.A)] = append(ends[coarse(l.curve.A)], i)
		ends[coarse(l.curve.B)] = append(ends[coarse(l.curve.B)], i)
	}
	for k, e := range ends {
		require.Len(t, e, 2, "corner %v of %s", k, rim[e[0]].key)
	}
	used := make([]bool, len(rim))
	var rings []sf.Geometry
	for i := range rim {
		if used[i] {
			continue
		}
		var pts []geom.Vec
		at, k := rim[i].curve.A, i
		for !used[k] {
			used[k] = true
			c := rim[k].curve
			if coarse(c.A) != coarse(at) {
				c = c.Reverse()
			}
			f := c.Flatten(lawFlatten)
			pts = append(pts, f[:len(f)-1]...)
			at = c.B
			e := ends[coarse(at)]
			k = e[0] + e[1] - k
		}
		rings = append(rings, sfArea(t, pts))
	}
	return sfUnion(t, rings...)
}

// coarse names a corner by a cell of a millimetre, shifted so that round coordinates do not
// fall on the border of two cells.
func coarse(v geom.Vec) knot {
	const cell, shift = 1e-3, 0.37e-3
	return knot{int64(math.Floor((v.X + shift) / cell)), int64(math.Floor((v.Y + shift) / cell)), 0}
}

// freeEnd reports whether a joint closes the rim: one wall ends at each end of it.
func freeEnd(l lawLine, walls []lawLine) (int, int, bool) {
	count := func(p geom.Vec) int {
		n := 0
		for _, w := range walls {
			if w.curve.A.PlanDist(p) < lawEnds {
				n++
			}
			if w.curve.B.PlanDist(p) < lawEnds {
				n++
			}
		}
		return n
	}
	a, b := count(l.curve.A), count(l.curve.B)
	return a, b, a == 1 && b == 1
}

// strip returns the ideal footprint of a straight duct.
func strip(t lawT, a, b geom.Vec, w float64) sf.Geometry {
	n := b.Sub(a).Plan().Unit().Left().Scale(w / 2)
	return sfArea(t, []geom.Vec{a.Sub(n), b.Sub(n), b.Add(n), a.Add(n)})
}

// requireSame checks that two areas are one.
func requireSame(t lawT, want, got sf.Geometry, tolerance float64) {
	t.Helper()
	x, err := sf.SymmetricDifference(want, got)
	require.NoError(t, err)
	require.Less(t, x.Area(), tolerance, "ideal %.5f m2, drawn %.5f m2", want.Area(), got.Area())
	require.Greater(t, want.Area(), tolerance)
}

// drawRig draws without lettering and returns the drawing and its shapes but the centrelines.
func drawRig(g *rig, change ...func(*Spec)) (drawing, []shape.Shape) {
	net, des := g.design()
	spec := Spec{Hidden: true, Rules: g.rules, Symbols: noMarks()}
	for _, f := range change {
		f(&spec)
	}
	d := draw(newModel(net, des, spec))
	return d, d.shapes
}

var lawSizes = []duct.Size{duct.RoundOf(0.3), duct.RectOf(0.4, 0.2), duct.OvalOf(0.35, 0.2)}

func inInches(s *Spec) { s.Inches = true }

// usualMarks are the marks in the house's style.
var usualMarks symbols.Choices

func withMarks(s *Spec) { s.Symbols = usualMarks }

// noMarks leaves out every mark that can be.
func noMarks() symbols.Choices {
	var c symbols.Choices
	for m := range c {
		if slices.Contains(symbols.Mark(m).Styles(), "none") {
			c[m].Style = "none"
		}
	}
	return c
}
