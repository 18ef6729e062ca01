package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
	"twinline/symbols"
)

// TestStatus puts a new branch and a new bend on existing duct: what is made for the new work
// is new, the walls of the main stay existing.
func TestStatus(t *testing.T) {
	g := sketched(t, duct.SUP, `
		duct A EX size=300x200 -3,0 0,0 3,0
		duct B size=300x200 3,0 3,3
		duct C size=300x200 0,0 0,3`)
	g.form = duct.Entry45
	_, shapes := drawRig(g)
	requireClean(t, shapes)
	for _, x := range shapes {
		if x.Part != shape.Wall && x.Part != shape.Joint {
			continue
		}
		for _, l := range linesOf([]shape.Shape{x}, x.Part) {
			m := l.curve.PlanAt(l.curve.PlanLen() / 2)
			onMain := m.X < 3-0.3-1e-6 && m.Y < 0.15+1e-6
			want := duct.New
			if onMain {
				want = duct.Existing
			}
			require.Equal(t, want, x.Status, "%s at %v", x.Key, m)
		}
	}
}

// TestRemovedDoesNotClash: work that goes leaves its space to others.
func TestRemovedDoesNotClash(t *testing.T) {
	for word, clashes := range map[string]bool{"REM": false, "EX": true} {
		g := sketched(t, duct.SUP, "duct A %s size=400x300 -3,0 3,0; duct B size=200 0,-3 0,3", word)
		d, _ := drawRig(g)
		require.Equal(t, clashes, len(ofCode(d.list, diag.Clash)) == 1)
	}
}

// TestSingleTakesSpace: a duct drawn single-line clashes like any other, but hides nothing.
func TestSingleTakesSpace(t *testing.T) {
	for _, z := range []float64{3.1, 4} {
		g := sketched(t, duct.SUP, "duct A size=400x300 -3,0 3,0; duct B size=200 0,-3,%v 0,3,%[1]v note 0,0 single", z)
		d, shapes := drawRig(g)
		require.Equal(t, z == 3.1, len(ofCode(d.list, diag.Clash)) == 1)
		require.Zero(t, total(shapes, shape.Hide))
	}
}

// TestNoRoom: two bends nearer to each other than they can be made are reported with what is missing,
// and the size change that has no room as well.
func TestNoRoom(t *testing.T) {
	g := sketched(t, duct.SUP, "duct A size=400 0,0 3,0 3,0.7 6,0.7")
	d, _ := drawRig(g)
	found := ofCode(d.list, diag.NoRoom)
	require.Len(t, found, 1)
	require.Contains(t, found[0].Text, "overlap by 100 mm") // radius 0.4 twice in 0.7 m
	require.InDelta(t, 0.35, found[0].At[1], 1e-6)

	g = sketched(t, duct.SUP, "duct A size=400 0,0 3,0; duct B size=200 3,0 3,0.81 6,0.81")
	_, des := g.design()
	for i := range des.Fittings {
		if des.Fittings[i].Node == 2 {
			des.Fittings[i].Radius = 0.4
		}
	}
	d = draw(newModel(&g.net, des, Spec{Rules: g.rules}))
	found = ofCode(d.list, diag.NoRoom)
	require.NotEmpty(t, found)
	require.Contains(t, found[0].Text, "The size change has 10 mm")
}

// TestShortByIsReported: what package fitting finds short reaches the drafter.
func TestShortByIsReported(t *testing.T) {
	g := sketched(t, duct.SUP, "duct A size=200 0,0 3,0; duct 2F size=200 3,0 3,3")
	net, des := g.design()
	des.Assembly.Nodes[1].Fittings[0].ShortBy = 0.123
	d := draw(newModel(net, des, Spec{Rules: g.rules}))
	found := ofCode(d.list, diag.NoRoom)
	require.Len(t, found, 1)
	require.Equal(t, "2F", found[0].Handle)
	require.Contains(t, found[0].Text, "123 mm")
	require.Equal(t, [3]float64{3, 0, 3}, found[0].At)
}

// TestRemovedBranch: a removed branch ends at the wall of the main it is taken off.
func TestRemovedBranch(t *testing.T) {
	g := sketched(t, duct.SUP, "duct A EX size=400x300 -3,0 3,0; duct B REM size=200 0,0 0.5,3")
	d, shapes := drawRig(g)
	require.Empty(t, d.list)
	n := 0
	for _, s := range shapes {
		if s.Status != duct.Removed {
			continue
		}
		for _, l := range linesOf([]shape.Shape{s}, shape.Wall, shape.Joint, shape.Hide) {
			require.GreaterOrEqual(t, math.Min(l.curve.A.Y, l.curve.B.Y), 0.2-lawEnds, s.Key)
			n++
		}
	}
	require.Greater(t, n, 2)
	require.Zero(t, total(shapes, shape.Hide))
}

// TestMarksGoUnder: the symbol of a drop and the damper of a branch are hidden with the duct they belong to.
func TestMarksGoUnder(t *testing.T) {
	g := newRig(duct.SUP)
	a, b := g.node(0, 0, 3), g.node(0, 0, 2.6)
	g.terminal(b, 0.3)
	g.run(g.node(-3, 0, 3), a, duct.RoundOf(0.2))
	g.run(a, b, duct.RoundOf(0.2), func(r *duct.Run) { r.Kind = duct.Drop })
	g.run(g.node(0, -2, 3.5), g.node(0, 2, 3.5), duct.RectOf(0.1, 0.1)) // covers the middle of the symbol
	_, shapes := drawRig(g, func(s *Spec) {
		s.Symbols[symbols.MarkDropSupply].Style = "half-filled"
	})
	seen, hidden := 0.0, 0.0
	for _, s := range shapes {
		_, solid := s.Geom.(shape.Solid)
		require.False(t, solid, "what is filled under a duct is not seen")
		for _, l := range linesOf([]shape.Shape{s}, shape.Vert, shape.Hide) {
			if l.curve.Straight() && math.Abs(l.curve.A.X-l.curve.A.Y) < lawEnds &&
				math.Abs(l.curve.B.X-l.curve.B.Y) < lawEnds {
				if s.Part == shape.Hide {
					hidden += l.curve.PlanLen()
				} else {
					seen += l.curve.PlanLen()
				}
			}
		}
	}
	// The diagonal of the symbol, as long as the duct is wide, and what a duct of 100 mm hides of it at 45 degrees.
	require.InDelta(t, 0.1*math.Sqrt2, hidden, 1e-9)
	require.InDelta(t, 0.2-0.1*math.Sqrt2, seen, 1e-9)
}

// TestTight notes bends that are made tighter than the settings ask, by figures set here.
func TestTight(t *testing.T) {
	for _, c := range []struct {
		kind   duct.FittingKind
		radius float64
		text   string // "": nothing to note
	}{
		{duct.Elbow, 0.2, ""},
		{duct.Elbow, 0.14, "radius of 140 mm instead of 200 mm"},
		{duct.Mitre, 0, "sharp"},
	} {
		g := sketched(t, duct.ETA, "duct A size=200 0,0 3,0 3,3")
		net, des := g.design()
		f := &des.Assembly.Nodes[1].Fittings[0]
		f.Kind, f.Radius = c.kind, duct.Length(c.radius)
		d := draw(newModel(net, des, Spec{Rules: g.rules}))
		found := ofCode(d.list, diag.TightFitting)
		if c.text == "" {
			require.Empty(t, found)
			continue
		}
		require.Len(t, found, 1)
		require.Contains(t, found[0].Text, c.text)
	}
}

// TestDamper puts the damper of a branch one and a half widths beyond its takeoff, half a width where there is no room.
func TestDamper(t *testing.T) {
	for long, widths := range map[float64]float64{2: 1.5, 0.55: 0.5} {
		checkDamper(t, long, widths)
	}
}

func checkDamper(t *testing.T, long, widths float64) {
	t.Helper()
	g := sketched(t, duct.SUP, "duct A size=400x200 -2,0 0,0 2,0; duct B size=300x200 0,0 0,%v", long)
	net, des := g.design()
	for i := range des.Fittings {
		des.Fittings[i].Damper = des.Fittings[i].Kind == duct.Takeoff
	}
	place := geom.Vec{Y: 0.2 + widths*0.3, Z: 3} // from the wall of the main
	want := usualMarks.Damper(place, geom.Vec{Y: 1}, 0.3)
	for _, x := range draw(newModel(net, des, Spec{Rules: g.rules})).shapes {
		if x.Part != shape.Damp {
			continue
		}
		require.NotEmpty(t, want, "one damper")
		switch got := x.Geom.(type) {
		case shape.Line:
			line := want[0].(shape.Line)
			require.InDelta(t, 0, got.A.Dist(line.A)+got.B.Dist(line.B), 1e-9)
		case shape.Circle:
			require.InDelta(t, 0, got.Center.Dist(place), 1e-9)
		}
		want = want[1:]
	}
	require.Empty(t, want)
}

// TestBranchLargerThanMain reports the millimetres by which a branch is larger than the duct it leaves.
func TestBranchLargerThanMain(t *testing.T) {
	for _, branch := range []float64{0.25, 0.4} {
		g := sketched(t, duct.SUP, "duct A EX size=250 -3,0 0,0 3,0; duct B size=%v 0,0 0,3", branch*1000)
		d, shapes := drawChosen(g)
		requireClean(t, shapes)
		requireOpen(t, d, shapes)
		found := ofCode(d.list, diag.NoRoom)
		if branch == 0.25 {
			require.Empty(t, found)
			continue
		}
		require.Len(t, found, 1)
		require.Contains(t, found[0].Text, "150 mm more than the main ø250")
	}
}
