package plan

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// TestUnit ends ducts at the outline of their unit, square to it and at an angle.
func TestUnit(t *testing.T) {
	for deg := -20; deg <= 20; deg += 5 {
		g := newRig(duct.SUP)
		v := geom.Direction(float64(deg) * math.Pi / 180).Scale(4)
		a := g.node(0, 0, 3)
		g.unit(a, 0.6)
		g.run(a, g.node(v.X, v.Y, 3), duct.RectOf(0.3, 0.2))
		d, shapes := drawRig(g)
		requireClean(t, shapes)
		requireOpen(t, d, shapes)
		on := 0
		for _, l := range linesOf(shapes, shape.Wall) {
			for _, p := range []geom.Vec{l.curve.A, l.curve.B} {
				require.Greater(t, p.X, 0.6-lawEnds, "nothing is drawn inside the unit")
				if math.Abs(p.X-0.6) < lawEnds {
					on++
				}
			}
		}
		require.Equal(t, 2, on, "both walls end on the outline")
	}
}

// TestRoundUnit ends ducts on the very circle a unit is drawn as, not on the polygon that stands for it.
func TestRoundUnit(t *testing.T) {
	for deg := 0; deg < 360; deg += 11 {
		for _, w := range []float64{0.1, 0.315} {
			g := newRig(duct.SUP)
			v := geom.Direction(float64(deg) * math.Pi / 180).Scale(4)
			a := g.node(0, 0, 3)
			g.unit(a, 0.3)
			u := &g.net.Units[0]
			u.Circle, u.Outline = 0.3, nil
			for i := range 48 {
				u.Outline = append(u.Outline, u.At.Add(geom.Direction(2*math.Pi*float64(i)/48).Scale(0.3)))
			}
			g.run(a, g.node(v.X, v.Y, 3), duct.RoundOf(duct.Length(w)))
			_, shapes := drawRig(g)
			requireClean(t, append(shapes, shape.Shape{Key: "unit", Part: shape.Joint,
				Geom: shape.Circle{Center: u.At, Radius: 0.3}}))
			on := 0
			for _, l := range linesOf(shapes, shape.Wall) {
				for _, p := range []geom.Vec{l.curve.A, l.curve.B} {
					if math.Abs(p.Plan().Len()-0.3) < 1e-9 {
						on++
					}
				}
			}
			require.Equal(t, 2, on, "both walls end on the circle")
		}
	}
}

// TestShortOfOutline: a duct that stops short of the outline by less than the snap distance is drawn up to it.
func TestShortOfOutline(t *testing.T) {
	g := newRig(duct.SUP)
	a, b := g.node(0, 0, 3), g.node(4, 0, 3)
	g.unit(a, 0.6)
	g.run(a, b, duct.RectOf(0.3, 0.2))
	g.net.Runs[0].Line.A.X = 0.62
	_, shapes := drawRig(g)
	for _, l := range linesOf(shapes, shape.Wall) {
		require.InDelta(t, 0.6, math.Min(l.curve.A.X, l.curve.B.X), lawEnds)
	}
}

// TestDrops leads ducts onto drops of every size: one as wide as the duct turns down into it, a narrower one is
// passed and capped.
func TestDrops(t *testing.T) {
	for _, air := range []duct.Air{duct.SUP, duct.ETA} {
		for _, c := range []struct {
			duct, drop duct.Size
			end        float64 // how far beyond the axis of the drop the walls reach
		}{
			{duct.RoundOf(0.2), duct.RoundOf(0.2), 0},
			{duct.RoundOf(0.315), duct.RoundOf(0.2), 0.2},
			{duct.RectOf(0.4, 0.2), duct.RoundOf(0.25), 0.25},
			{duct.RectOf(0.4, 0.2), duct.RectOf(0.2, 0.4), 0.1},
			{duct.RoundOf(0.16), duct.RoundOf(0.2), -math.Sqrt(0.01 - 0.0064)},
		} {
			g := newRig(air)
			a, b, e := g.node(-3, 0, 3), g.node(0, 0, 3), g.node(0, 0, 2.5)
			g.terminal(e, 0.3)
			g.run(a, b, c.duct)
			g.run(b, e, c.drop, func(r *duct.Run) { r.Kind = duct.Drop; r.Across = geom.Vec{Y: 1} })
			d, shapes := drawRig(g, withMarks)
			requireClean(t, shapes)
			require.Empty(t, d.list)
			var marks []shape.Geometry
			for _, s := range shapes {
				if strings.HasPrefix(string(s.Key), "r1/symbol") {
					marks = append(marks, s.Geom)
				}
			}
			require.Equal(t, usualMarks.Drop(geom.Vec{Z: 3}, geom.Vec{Y: 1}, c.drop, air, false), marks)
			// The long walls of the duct, at half its width.
			n := 0
			for _, l := range linesOf(shapes, shape.Wall) {
				if c := l.curve; c.Straight() && c.PlanLen() > 1 {
					n++
				}
			}
			require.Equal(t, 2, n)
			if c.duct.Shape == duct.Rect && c.drop.Shape == duct.Rect {
				continue // width along Y: the walls run on as the sides of the drop
			}
			for _, l := range linesOf(shapes, shape.Wall) {
				if k := l.curve; k.Straight() && k.PlanLen() > 1 {
					require.InDelta(t, c.end, math.Max(k.A.X, k.B.X), lawEnds)
				}
			}
		}
	}
}

// TestRiser puts a riser between two levels: its symbol goes down from the upper duct.
func TestRiser(t *testing.T) {
	g := newRig(duct.SUP)
	s := duct.RectOf(0.3, 0.3)
	a, b, c, e := g.node(0, 0, 3), g.node(2, 0, 3), g.node(2, 0, 4), g.node(2, 2, 4)
	g.run(a, b, s)
	g.run(b, c, s)
	g.run(c, e, s)
	d, shapes := drawRig(g)
	require.Empty(t, d.list)
	requireClean(t, shapes)
	// The rectangle of the riser is drawn once, whatever parts its sides are on.
	// Two joints stand where the elbows begin.
	require.InDelta(t, 2*(2-0.15)+2*(2-0.15)+4*0.3+2*0.3+2*0.3, total(shapes, shape.Wall, shape.Vert, shape.Joint),
		1e-6)
}

// TestFlexible draws a flexible connection from a main over a corner to a terminal: smooth, no
// tighter than it may be, ending at the neck.
func TestFlexible(t *testing.T) {
	for _, radius := range []float64{1, 1.5, 6} {
		g := newRig(duct.SUP)
		g.rules.FlexibleRadius = radius
		a, b, c := g.node(-2, 0, 3), g.node(0, 0, 3), g.node(2, 0, 3)
		f, e, x := g.node(0, 1.5, 3), g.node(1.5, 1.5, 3), g.node(1.5, 1.5, 2.7)
		g.terminal(x, 0.3)
		g.run(a, b, duct.RoundOf(0.4))
		g.run(b, c, duct.RoundOf(0.4))
		s := duct.RoundOf(0.2)
		g.run(b, f, s, flexible)
		g.run(f, e, s, flexible)
		g.run(e, x, s, func(r *duct.Run) { r.Kind, r.Pliable = duct.Drop, true })
		d, shapes := drawRig(g)
		requireClean(t, shapes)
		for i := range d.pieces {
			p := d.pieces[i]
			for k := 1; k < len(p.spines) && len(p.paths) > 0; k++ {
				u, v := p.spines[k-1], p.spines[k]
				require.Less(t, u.B.PlanDist(v.A), lawEnds)
				require.Less(t, geom.TurnBetween(u.PlanDir(u.PlanLen()), v.PlanDir(0)), 1e-6,
					"the centreline has a kink")
			}
		}
		// The corner has 1.25 m before it, 1.5 m after it.
		tight := ofCode(d.list, diag.TightFitting)
		require.Equal(t, radius*0.2 > 1.25, len(tight) == 1)
		walls := 0
		for _, s := range shapes {
			g, ok := s.Geom.(shape.Polyline)
			if !ok || s.Part != shape.Flex {
				continue
			}
			walls++
			first, last := g.Path[0], g.Path[len(g.Path)-1]
			require.InDelta(t, 0.2+collar, first.Y, lawEnds, "it begins at the collar of the main")
			require.InDelta(t, 0.1, math.Abs(first.X), lawEnds)
			require.InDelta(t, 1.5, last.X, lawEnds, "it ends at the sides of the neck")
			require.InDelta(t, 0.1, math.Abs(last.Y-1.5), lawEnds)
		}
		require.Equal(t, 2, walls)
	}
}

// TestSingle draws small ducts as their centreline, from the wall of the main they leave to
// the face of the terminal.
func TestSingle(t *testing.T) {
	g := newRig(duct.SUP)
	a, b, c, e := g.node(-2, 0, 3), g.node(0, 0, 3), g.node(2, 0, 3), g.node(0, 2, 3)
	g.terminal(e, 0.3)
	g.run(a, b, duct.RoundOf(0.4))
	g.run(b, c, duct.RoundOf(0.4))
	g.run(b, e, duct.RoundOf(0.1))
	_, shapes := drawRig(g, func(s *Spec) { s.SingleBelow = 0.1 })
	n := 0
	for _, l := range linesOf(shapes, shape.Wall) {
		if math.Abs(l.curve.A.X-l.curve.B.X) < lawEnds {
			n++
			require.InDelta(t, 0.2, math.Min(l.curve.A.Y, l.curve.B.Y), lawEnds)
			require.InDelta(t, 1.7, math.Max(l.curve.A.Y, l.curve.B.Y), lawEnds)
		}
	}
	require.Equal(t, 1, n)
}

// TestAxes draws every centreline once, with its facts; a flexible duct over its corner is one
// smooth line.
func TestAxes(t *testing.T) {
	g := newRig(duct.SUP)
	g.run(g.node(0, 0, 3), g.node(3, 0, 3), duct.RectOf(0.3, 0.2),
		func(r *duct.Run) { r.Flow = 0.105; r.Status = duct.Existing })
	g.run(1, g.node(5, 0, 3), duct.RoundOf(0.2), flexible)
	g.run(2, g.node(5, 2, 3.2), duct.RoundOf(0.2), flexible)
	_, shapes := drawRig(g, func(s *Spec) { s.AxisLines = true })
	data := map[string]string{}
	for _, s := range shapes {
		if s.Part == shape.Axis {
			data[string(s.Key)] = s.Facts.String()
		}
	}
	require.Len(t, data, 2)
	require.Equal(t, "size=300x200 flow=0.105 length=3000 status=existing kind=duct", data["r0/axis"])
	// From node to node, around the corner: 2 m + sqrt(2^2 + 0.2^2) m.
	require.Equal(t, "size=dia200 flow=0 length=4010 status=new kind=flex", data["r1/axis"])
	var turns float64
	lines := linesOf(shapes, shape.Axis)
	for i := 1; i < len(lines); i++ {
		if lines[i].key == "r1/axis" && lines[i-1].key == "r1/axis" {
			turns = math.Max(turns, geom.TurnBetween(lines[i-1].curve.B.Sub(lines[i-1].curve.A).Plan(),
				lines[i].curve.B.Sub(lines[i].curve.A).Plan()))
		}
	}
	require.Less(t, turns, 0.4, "no sharp corner is left")
	require.Positive(t, turns)
}

// TestFlexibleMeetsFaceSquare: a flexible duct from the side ends on the face it meets, square to it.
func TestFlexibleMeetsFaceSquare(t *testing.T) {
	for deg := -50; deg <= 50; deg += 10 {
		for _, air := range []duct.Air{duct.SUP, duct.ETA} {
			g := newRig(air)
			u := geom.Direction(float64(deg) * math.Pi / 180)
			// The axis would meet the middle of the left side of the face.
			hit := geom.Vec{X: 4.7, Z: 3}
			from, to := hit.Sub(u.Scale(2)), hit.Add(u.Scale(0.1))
			e := g.node(to.X, to.Y, 3)
			g.run(g.node(from.X, from.Y, 3), e, duct.RoundOf(0.2), flexible)
			g.terminal(e, 0.3)
			g.net.Terminals[0].Face = square(geom.Vec{X: 5, Z: 3}, 0.3)
			_, shapes := drawRig(g)
			requireClean(t, shapes)
			on := 0
			for _, l := range linesOf(shapes, shape.Flex) {
				for _, p := range []geom.Vec{l.curve.A, l.curve.B} {
					require.Less(t, p.X, 4.7+lawEnds)
					if math.Abs(p.X-4.7) < lawEnds {
						require.InDelta(t, 0.1, math.Abs(p.Y), lawEnds)
						on++
					}
				}
			}
			require.Equal(t, 2, on, "both walls end on the face at %d degrees", deg)
		}
	}
}
