package fitting_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/network"
	"twinline/layout/sketch"
)

// flatPath draws a duct that turns, climbs and gets smaller with a side kept straight, on its way to a terminal below
// its end or at its side.
func flatPath(t *rapid.T, air duct.Air) (*plan, map[string]duct.Size) {
	p := newPlan(air)
	at, dir := vec(0.5, 0, 3), 0.0
	w := 0.9
	sizes := map[string]duct.Size{}
	n := rapid.IntRange(1, 5).Draw(t, "lines")
	for i := range n {
		// Steps to the right and ahead alone, so that the duct never meets itself.
		next := rapid.SampledFrom([]float64{0, 0, 45, 90, -45, -90}).Draw(t, "direction") * degree
		if i == 0 || math.Abs(next-dir) > 100*degree {
			next = 0
		}
		dir = next
		to := at.Add(geom.Direction(dir).Scale(9))
		l := p.line(at, to)
		l.Notes = []sketch.RunNote{{At: at.Lerp(to, 0.5), Spec: duct.Spec{HasFlat: true,
			Flat: rapid.SampledFrom([]duct.Side{duct.FlatLeft, duct.FlatRight, duct.FlatTop, duct.FlatBottom}).Draw(t,
				"flat")}}}
		w -= rapid.SampledFrom([]float64{0, 0.1, 0.15}).Draw(t, "smaller")
		sizes[string(l.Key)] = duct.RectOf(duct.Length(w), duct.Length(w/2))
		at = to
		if i+1 < n && rapid.IntRange(0, 3).Draw(t, "riser") == 0 {
			to = at.Add(vec(0, 0, 2))
			r := p.line(at, to)
			sizes[string(r.Key)] = sizes[string(l.Key)]
			at = to
		}
	}
	switch rapid.IntRange(0, 2).Draw(t, "end") {
	case 0:
		p.terminal(at.Add(vec(0, 0, -1)))
	case 1:
		p.terminal(at)
	default:
		p.terminal(at.Add(geom.Direction(dir).Scale(0.3))).Conn = duct.ConnSide
	}
	return p, sizes
}

// A duct with a straight side stays parallel to its sketched line, and what it leads to stays where it is: the last
// level duct ends beside its sketched end by just what its offset says, and the drop to the terminal stands in the
// middle of it.
func TestOffsetsBringBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, sizes := flatPath(t, rapid.SampledFrom([]duct.Air{duct.SUP, duct.ETA}).Draw(t, "air"))
		m := p.make(t, usual(), sizes)
		back := map[duct.RunID]*duct.Fitting{}
		for i := range m.fits {
			if m.fits[i].Kind == duct.Offset {
				back[m.fits[i].Run] = &m.fits[i]
			}
		}
		for i := range m.net.Runs {
			r := &m.net.Runs[i]
			c, plain := m.axes[i], r.Line
			if !r.Air.FromUnit() {
				c, plain = c.Reverse(), plain.Reverse()
			}
			require.Less(t, geom.TurnBetween(c.B.Sub(c.A), plain.B.Sub(plain.A)), 1e-9, "run %s is skewed", r.Key)
			down := &m.net.Nodes[m.net.DownNode(r)]
			if r.Vertical() && down.Terminal != duct.None {
				require.Less(t, c.A.PlanDist(m.net.Terminals[0].At), 1e-9,
					"the drop stands in the middle of the terminal")
			}
			if f := back[r.ID]; f != nil {
				require.Equal(t, down.ID, f.Node)
				require.Equal(t, f.Common, f.Own)
				end := c.B.Add(c.Tangent(1).Left().Unit().Scale(float64(f.Offset)))
				require.Less(t, end.PlanDist(plain.B), 1e-9)
				require.InDelta(t, math.Hypot(float64(f.Offset), float64(f.OffsetUp)),
					math.Tan(f.Angle)*float64(f.Length), 1e-9)
				continue
			}
			if down.Terminal != duct.None {
				require.Less(t, c.B.PlanDist(plain.B), 1e-9, "run %s ends beside its terminal", r.Key)
			}
		}
	})
}

// The main of plate 9: 600 wide, then 350 with its left side straight. The axis lies 125 mm to the left and comes back
// before the drop, over 125/tan 30° of length as the sides of a size change do.
func TestOffsetBeforeDrop(t *testing.T) {
	p := newPlan(duct.SUP)
	p.line(vec(0.5, 0, 3), vec(4, 0, 3))
	l := p.line(vec(4, 0, 3), vec(9, 0, 3))
	l.Notes = []sketch.RunNote{{At: vec(6, 0, 3), Spec: duct.Spec{HasFlat: true, Flat: duct.FlatLeft}}}
	p.terminal(vec(9, 0, 2))
	m := p.make(t, usual(), map[string]duct.Size{"A": duct.RectOf(0.6, 0.3), "B": duct.RectOf(0.35, 0.25)})
	f := m.one(t, "B@0", duct.Offset)
	require.InDelta(t, -0.125, float64(f.Offset), 1e-9)
	require.InDelta(t, 0.125/math.Tan(30*degree), float64(f.Length), 1e-9)
	require.InDelta(t, 30*degree, f.Angle, 1e-9)
	require.Zero(t, f.ShortBy)
	// The turn down, of once the height, then the offset.
	require.InDelta(t, 0.25+0.125/math.Tan(30*degree), float64(far(m, "B@0")), 1e-9)
	require.InDelta(t, 0.125, m.axes[m.id("B@0")].B.Y, 1e-9)
	require.InDelta(t, 0, m.axes[m.id("T1/drop")].A.Y, 1e-9)

	// With too little room the size change and the offset share what there is, and tell what they lack.
	p = newPlan(duct.SUP)
	p.line(vec(0.5, 0, 3), vec(4, 0, 3))
	l = p.line(vec(4, 0, 3), vec(4.45, 0, 3))
	l.Notes = []sketch.RunNote{{At: vec(4.2, 0, 3), Spec: duct.Spec{HasFlat: true, Flat: duct.FlatLeft}}}
	p.terminal(vec(4.45, 0, 2))
	m = p.make(t, usual(), map[string]duct.Size{"A": duct.RectOf(0.6, 0.3), "B": duct.RectOf(0.35, 0.25)})
	require.Positive(t, m.one(t, "B@0", duct.Offset).ShortBy)
	require.Positive(t, m.one(t, "B@0", duct.Reducer).ShortBy)
}

// A flexible duct comes back to its terminal by itself.
func TestFlexibleNeedsNoOffset(t *testing.T) {
	p := newPlan(duct.SUP)
	p.line(vec(0.5, 0, 3), vec(4, 0, 3))
	l := p.line(vec(4, 0, 3), vec(6, 0, 3))
	l.Notes = []sketch.RunNote{{At: vec(5, 0, 3), Spec: duct.Spec{HasFlat: true, Flat: duct.FlatLeft}}}
	p.line(vec(6, 0, 3), vec(8, 0, 3)).Flex = true
	p.terminal(vec(8, 0, 2.5))
	m := p.make(t, usual(),
		map[string]duct.Size{"A": duct.RoundOf(0.4), "B": duct.RoundOf(0.2), "C": duct.RoundOf(0.2)})
	c := m.axes[m.id("C@0")]
	require.InDelta(t, 0.1, c.A.Y, 1e-9)
	require.InDelta(t, 0, c.B.Y, 1e-9)
	for i := range m.fits {
		require.NotEqual(t, duct.Offset, m.fits[i].Kind)
	}
}

// Whatever is joined to whatever, level ducts stay parallel to their lines and vertical ones upright.
func TestAxesStayParallel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, choice := drawPlan(t, duct.SUP)
		net, found := network.Build(&p.sk, network.Spec{})
		if found.HasErrors() {
			t.Skip("ducts met by chance")
		}
		for i, c := range madeOf(net, sizesOf(net, choice), usual()).axes {
			r := &net.Runs[i]
			if r.Pliable || c.Len() < 1e-3 {
				continue
			}
			require.Less(t, geom.TurnBetween(c.B.Sub(c.A).Plan(), r.Line.B.Sub(r.Line.A).Plan()), 1e-6,
				fmt.Sprint(r.Key, c))
		}
	})
}
