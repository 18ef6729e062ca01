package plan

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/geom"
	"twinline/layout/shape"
	"twinline/layout/sketch"
)

var testRules = duct.FittingRules{
	ElbowRound: 1, ElbowRect: 1, ElbowLeast: 0.6, MitreVanes: true, ReducerAngle: math.Pi / 6, ReducerLeast: 0.1,
	TakeoffRound: duct.Conical, TakeoffRect: duct.Entry45, FlexibleRadius: 1, BranchDampers: true,
}

// chosen returns the network of g with the fittings package fitting chooses.
func (g *rig) chosen() (*duct.Network, *duct.Design) { return g.chosenBy(testRules) }

// chosenBy is chosen by other rules.
func (g *rig) chosenBy(rules duct.FittingRules) (*duct.Network, *duct.Design) {
	g.rules = rules
	net, des := g.design()
	des.Assembly = fitting.Make(net, g.sizes, g.rules)
	des.Fittings = des.Assembly.Fittings
	return net, des
}

// tree grows a system with room for everything: a main with branches to both sides, each
// with a bend, drops or flexible ends.
func tree(t *rapid.T) *rig {
	g := newRig(rapid.SampledFrom([]duct.Air{duct.SUP, duct.ETA, duct.EHA}).Draw(t, "air"))
	form := rapid.SampledFrom([]duct.Shape{duct.Round, duct.Rect, duct.Oval}).Draw(t, "shape")
	size := func(w float64) duct.Size {
		switch form {
		case duct.Rect:
			return duct.RectOf(duct.Length(w), 0.2)
		case duct.Oval:
			return duct.OvalOf(duct.Length(w), 0.2)
		}
		return duct.RoundOf(duct.Length(w))
	}
	turn := rapid.Float64Range(0, 2*math.Pi).Draw(t, "north")
	// A drawing may stand where the national grid puts it.
	far := rapid.SampledFrom([]float64{0, 4.5e6}).Draw(t, "offset")
	at := func(x, y float64) (float64, float64) {
		v := geom.Vec{X: x, Y: y}.Rotate(turn)
		return v.X + far, v.Y - far
	}
	node := func(x, y, z float64) duct.NodeID {
		x, y = at(x, y)
		return g.node(x, y, z)
	}
	w := 0.7
	last := node(0, 0, 3)
	g.unit(last, 0.4)
	for i, c := range g.net.Units[0].Outline {
		x, y := at(c.X-far, c.Y+far)
		g.net.Units[0].Outline[i] = geom.Vec{X: x, Y: y, Z: c.Z}
	}
	n := rapid.IntRange(1, 6).Draw(t, "branches")
	for i := range n {
		x := 4 * float64(i+1)
		here := node(x, 0, 3)
		g.run(last, here, size(w))
		last = here
		side := float64(rapid.SampledFrom([]int{-1, 1}).Draw(t, "side"))
		lean := rapid.Float64Range(-1, 1).Draw(t, "lean")
		b := rapid.SampledFrom([]float64{0.2, 0.25, 0.3}).Draw(t, "branch")
		corner := node(x+lean, side*2.5, 3)
		g.run(here, corner, size(b))
		end := node(x+lean, side*5, 3)
		own := b - rapid.SampledFrom([]float64{0, 0, 0.05}).Draw(t, "smaller")
		if rapid.Bool().Draw(t, "flexible") {
			g.run(corner, end, duct.RoundOf(duct.Length(own)), flexible)
		} else {
			g.run(corner, end, size(own))
		}
		if rapid.Bool().Draw(t, "drop") {
			face := node(x+lean, side*5, 2.6)
			g.terminal(face, 0.3)
			g.run(end, face, duct.RoundOf(0.2), func(r *duct.Run) {
				r.Kind, r.Across = duct.Drop,
					geom.Vec{Y: 1}.Rotate(turn)
			})
		}
		w -= rapid.SampledFrom([]float64{0, 0.05}).Draw(t, "main")
	}
	g.run(last, node(4*float64(n+1), 0, 3), size(w))
	for i := range g.net.Runs { // every run but the first hangs on the one that ends where it begins
		r := &g.net.Runs[i]
		for j := range g.net.Runs {
			if o := &g.net.Runs[j]; i != j && g.net.DownNode(o) == g.net.UpNode(r) {
				r.Up = o.ID
			}
		}
	}
	return g
}

// TestTrees holds random systems to the laws, and to itself: two draws are one.
func TestTrees(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		g := tree(r)
		net, des := g.chosen()
		spec := Spec{Hidden: true, Rules: g.rules, AxisLines: true}
		d := draw(newModel(net, des, spec))
		shapes := d.shapes
		for _, x := range d.list {
			if x.Code == diag.Clash || x.Code == diag.NoRoom {
				r.Fatalf("%+v", x)
			}
		}
		requireClean(r, shapes)
		requireOpen(r, d, shapes)
		again := draw(newModel(net, des, spec)).shapes
		require.Equal(r, shapes, again)
	})
}

// TestChaos draws networks that make no sense: everything may be said, nothing may break,
// and nothing drawn has no length or no place.
func TestChaos(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		g := newRig(rapid.SampledFrom(duct.Airs[:]).Draw(r, "air"))
		co := rapid.SampledFrom([]float64{0, 0.001, 0.1, 0.5, 1, 2, 2.5, -1})
		g.node(0, 0, 3)
		n := rapid.IntRange(1, 10).Draw(r, "runs")
		for i := range n {
			from := duct.NodeID(rapid.IntRange(0, len(g.net.Nodes)-1).Draw(r, "from"))
			to := g.node(co.Draw(r, "x"), co.Draw(r, "y"), 3+rapid.SampledFrom([]float64{0, 0, 0.5, -0.3}).Draw(r, "z"))
			size := rapid.SampledFrom([]duct.Size{{}, duct.RoundOf(0.2), duct.RectOf(1.2, 0.1), duct.OvalOf(0.1, 0.4),
				duct.RoundOf(2)}).Draw(r, "size")
			run := g.run(from, to, size)
			run.Kind = rapid.SampledFrom([]duct.RunKind{duct.Rigid, duct.Rigid, duct.Flexible, duct.Drop}).Draw(r,
				"kind")
			if rapid.Bool().Draw(r, "arc") {
				run.Line.Bulge = rapid.SampledFrom([]float64{0.3, -1, 3}).Draw(r, "bulge")
			}
			run.Status = duct.Status(i % 4)
		}
		if rapid.Bool().Draw(r, "unit") {
			g.unit(0, 0.5)
		}
		if rapid.Bool().Draw(r, "terminal") {
			g.terminal(duct.NodeID(len(g.net.Nodes)-1), 0.3)
		}
		net, des := g.chosen()
		box := []geom.Vec{{X: -1, Y: -1}, {X: 1, Y: -1}, {X: 1, Y: 1}, {X: -1, Y: 1}}
		spec := Spec{
			Hidden: true, AxisLines: true, Rules: g.rules,
			Limits:   []sketch.Limit{{Outline: box, Underside: 3}, {}},
			Ceilings: []sketch.Ceiling{{Outline: box[:1], Height: 2}},
			Rated:    []sketch.Rated{{Path: geom.Path{{Vec: box[0]}, {Vec: box[2]}}}},
		}
		seen := map[string]bool{}
		for _, s := range draw(newModel(net, des, spec)).shapes {
			if seen[string(s.Key)] {
				r.Fatalf("key %s twice", s.Key)
			}
			seen[string(s.Key)] = true
			for _, l := range linesOf([]shape.Shape{s}, s.Part) {
				if !geom.Finite(l.curve.A) || !geom.Finite(l.curve.B) || l.curve.Len() < geom.Same {
					r.Fatalf("%s: %v", s.Key, l.curve)
				}
			}
		}
	})
}

// wide returns a plan of n runs: rows of mains with branches, under other rows.
func wide(n int) *rig {
	g := newRig(duct.SUP)
	for row := 0; len(g.net.Runs) < n; row++ {
		y, z := float64(row)*6, 3.0
		last := g.node(0, y, z)
		g.unit(last, 0.4)
		for i := 1; i <= 24; i++ {
			here := g.node(float64(i)*4, y, z)
			g.run(last, here, duct.RoundOf(0.4))
			end := g.node(float64(i)*4, y+4, z)
			g.run(here, end, duct.RoundOf(0.2))
			last = here
		}
		if row%4 == 0 { // a duct above, over the rows
			g.run(g.node(2, y, 4), g.node(2, y+20, 4), duct.RectOf(0.5, 0.3), airOf(duct.ETA))
		}
	}
	return g
}

func BenchmarkDraw(b *testing.B) {
	for _, n := range []int{100, 1000, 10000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			g := wide(n)
			net, des := g.chosen()
			spec := Spec{Hidden: true, Rules: g.rules, AxisLines: true}
			b.ReportAllocs()
			for b.Loop() {
				if len(draw(newModel(net, des, spec)).shapes) < n {
					b.Fatal("too little drawn")
				}
			}
		})
	}
}
