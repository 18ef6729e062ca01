package fitting_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/sketchtest"
)

// flatPath draws a duct that turns, climbs and gets smaller with a side kept straight, on its way to a terminal below
// its end or at its side.
func flatPath(t *rapid.T, air duct.Air) *sketchtest.Drawing {
	d := draw(t, air, "")
	at, dir, w := vec(0.5, 0, 3), 0.0, 0.9
	n := rapid.IntRange(1, 5).Draw(t, "lines")
	for i := range n {
		// Steps to the right and ahead alone, so that the duct never meets itself.
		next := rapid.SampledFrom([]float64{0, 0, 45, 90, -45, -90}).Draw(t, "direction") * degree
		if i == 0 || math.Abs(next-dir) > 100*degree {
			next = 0
		}
		dir = next
		to := at.Add(geom.Direction(dir).Scale(9))
		flat := rapid.SampledFrom([]string{"left", "right", "top", "bottom"}).Draw(t, "flat")
		w -= rapid.SampledFrom([]float64{0, 0.1, 0.15}).Draw(t, "smaller")
		size := duct.RectOf(duct.Length(w), duct.Length(w/2))
		d.Addf(t, "duct L%d size=%v %v %v note %v flat=%s", i, size, at, to, at.Lerp(to, 0.5), flat)
		at = to
		if i+1 < n && rapid.IntRange(0, 3).Draw(t, "riser") == 0 {
			to = at.Add(vec(0, 0, 2))
			d.Addf(t, "duct R%d size=%v %v %v", i, size, at, to)
			at = to
		}
	}
	end := rapid.SampledFrom([]string{"below", "", "side"}).Draw(t, "end")
	switch end {
	case "below":
		d.Addf(t, "term T %v 100", at.Add(vec(0, 0, -1)))
	case "side":
		d.Addf(t, "term T %v 100 side", at.Add(geom.Direction(dir).Scale(0.3)))
	default:
		d.Addf(t, "term T %v 100", at)
	}
	return d
}

// A duct with a straight side stays parallel to its sketched line, and what it leads to stays where it is: the last
// level duct ends beside its sketched end by just what its offset says, and the drop to the terminal stands in the
// middle of it.
func TestOffsetsBringBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := makeOf(t, flatPath(t, rapid.SampledFrom([]duct.Air{duct.SUP, duct.ETA}).Draw(t, "air")), usual())
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
	m := supply(t, `
		duct A size=600x300 0.5,0 4,0
		duct B size=350x250 4,0 9,0 note 6,0 flat=left
		term T1 9,0,2 100`)
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
	m = supply(t, `
		duct A size=600x300 0.5,0 4,0
		duct B size=350x250 4,0 4.45,0 note 4.2,0 flat=left
		term T1 4.45,0,2 100`)
	require.Positive(t, m.one(t, "B@0", duct.Offset).ShortBy)
	require.Positive(t, m.one(t, "B@0", duct.Reducer).ShortBy)
}

// A flexible duct comes back to its terminal by itself.
func TestFlexibleNeedsNoOffset(t *testing.T) {
	m := supply(t, `
		duct A size=400 0.5,0 4,0
		duct B size=200 4,0 6,0 note 5,0 flat=left
		duct C size=200 flex 6,0 8,0
		term T1 8,0,2.5 100`)
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
		d := drawPlan(t)
		net := joined(t, d)
		for i, c := range madeOf(t, net, d.RunSizes(net), usual()).axes {
			r := &net.Runs[i]
			if r.Pliable || c.Len() < 1e-3 {
				continue
			}
			require.Less(t, geom.TurnBetween(c.B.Sub(c.A).Plan(), r.Line.B.Sub(r.Line.A).Plan()), 1e-6,
				fmt.Sprint(r.Key, c))
		}
	})
}
