package mesh

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/network"
	"twinline/layout/shape"
	"twinline/layout/sketch"
)

// trial is a small sketch and the sizes of its lines.
type trial struct {
	sk    sketch.Sketch
	rules duct.FittingRules
}

func newTrial() *trial {
	return &trial{rules: duct.FittingRules{ElbowRound: 1, ElbowRect: 1, ElbowLeast: 0.6, ReducerAngle: math.Pi / 6}}
}

func square(at geom.Vec, side float64) []geom.Vec {
	h := side / 2
	return []geom.Vec{at.Add(geom.Vec{X: -h, Y: -h}), at.Add(geom.Vec{X: h, Y: -h}), at.Add(geom.Vec{X: h, Y: h}),
		at.Add(geom.Vec{X: -h, Y: h})}
}

func (p *trial) unit(at geom.Vec) {
	p.sk.Units = append(p.sk.Units, sketch.Unit{Key: "U", At: at, Outline: square(at, 1), Mark: "AHU"})
}

func (p *trial) term(at geom.Vec) {
	k := fmt.Sprintf("T%d", len(p.sk.Terminals))
	p.sk.Terminals = append(p.sk.Terminals, sketch.Terminal{Key: key.Key(k), At: at, Face: square(at, 0.6), Mark: k,
		Flow: 0.1})
}

func (p *trial) line(s duct.Size, pts ...geom.Vec) {
	k := fmt.Sprintf("L%d", len(p.sk.Lines))
	l := sketch.Line{Key: key.Key(k), Handle: k}
	for _, q := range pts {
		l.Path = append(l.Path, geom.Vertex{Vec: q})
	}
	l.Notes = []sketch.RunNote{{At: pts[0].Lerp(pts[1], 0.1), Spec: duct.Spec{Fixed: s}}}
	p.sk.Lines = append(p.sk.Lines, l)
}

// bodies returns the bodies by key. A run without a note has the size of the run before it.
func (p *trial) bodies(t require.TestingT) map[string]shape.Mesh {
	net, found := network.Build(&p.sk, network.Spec{Snap: 0.025})
	require.False(t, found.HasErrors(), "%v", found)
	sizes := make([]duct.Size, len(net.Runs))
	for _, sys := range net.Systems {
		for _, id := range sys.Runs {
			r := &net.Runs[id]
			if sizes[id] = r.Spec.Fixed; sizes[id].IsZero() && r.Up != duct.None {
				sizes[id] = sizes[r.Up]
			}
		}
	}
	des := &duct.Design{Runs: make([]duct.RunResult, len(net.Runs))}
	for i, s := range sizes {
		des.Runs[i].Size = s
	}
	des.Assembly = fitting.Make(net, sizes, p.rules)
	des.Fittings = des.Assembly.Fittings
	out := map[string]shape.Mesh{}
	for _, s := range Build(net, des) {
		require.Equal(t, shape.Body, s.Part)
		m := s.Geom.(shape.Mesh)
		closed(t, m)
		require.Positive(t, volume(m), "%s looks inwards", s.Key)
		require.NotContains(t, out, s.Key)
		out[string(s.Key)] = m
	}
	return out
}

func total(m map[string]shape.Mesh) (v float64) {
	for _, b := range m {
		v += volume(b)
	}
	return v
}

// A rectangular main with a smooth elbow: by hand, the straight parts and a quarter of a ring.
func TestBuildElbow(t *testing.T) {
	p := newTrial()
	p.unit(geom.Vec{Z: 3})
	p.term(geom.Vec{X: 5, Y: 4, Z: 3})
	p.line(duct.RectOf(0.4, 0.2), geom.Vec{X: 0.5, Z: 3}, geom.Vec{X: 5, Z: 3}, geom.Vec{X: 5, Y: 3.71, Z: 3})
	got := p.bodies(t)
	const r = 0.4 // one width
	want := 0.08 * (4.5 - r + 3.7 - r + r*math.Pi/2)
	require.Len(t, got, 3)
	exact(t, want, total(got), "area times length of the axis (Pappus)")
}

// A round branch on a round main: the branch begins at the wall of the main. The volume of
// what two cylinders crossing square share beyond the main's axis is found by quadrature.
func TestBuildTakeoff(t *testing.T) {
	for _, c := range []struct{ main, branch float64 }{{0.4, 0.2}, {0.4, 0.39}, {0.3, 0.1}} {
		p := newTrial()
		p.unit(geom.Vec{Z: 3})
		p.term(geom.Vec{X: 6, Z: 3})
		p.term(geom.Vec{X: 3, Y: 2, Z: 3})
		p.line(duct.RoundOf(duct.Length(c.main)), geom.Vec{X: 0.5, Z: 3}, geom.Vec{X: 5.71, Z: 3})
		p.line(duct.RoundOf(duct.Length(c.branch)), geom.Vec{X: 3, Z: 3}, geom.Vec{X: 3, Y: 1.71, Z: 3})
		got := p.bodies(t)
		R, r := c.main/2, c.branch/2
		within := 0.0 // of the branch's cylinder from the axis to the wall of the main
		const n = 2000
		for i := range n {
			y := r * (2*(float64(i)+0.5)/n - 1)
			within += 2 * math.Sqrt(r*r-y*y) * math.Sqrt(R*R-y*y) * 2 * r / n
		}
		want := math.Pi*R*R*5.2 + math.Pi*r*r*1.7 - within
		exact(t, want, total(got), "two cylinders, what they share counted once")
		exact(t, math.Pi*r*r*1.7-within, volume(got["L1@0/body"]), "the branch by itself")
	}
}

func TestBuildRectTakeoffWithEntry(t *testing.T) {
	p := newTrial()
	p.rules.TakeoffRect = duct.Entry45
	p.unit(geom.Vec{Z: 3})
	p.term(geom.Vec{X: 6, Z: 3})
	p.term(geom.Vec{X: 3, Y: 3, Z: 3})
	p.line(duct.RectOf(0.4, 0.2), geom.Vec{X: 0.5, Z: 3}, geom.Vec{X: 5.71, Z: 3})
	p.line(duct.RectOf(0.3, 0.2), geom.Vec{X: 3, Z: 3}, geom.Vec{X: 3, Y: 2.71, Z: 3})
	got := p.bodies(t)
	const entry = 0.1 // the least there is; the quarter of the width is less
	want := 0.08*5.2 + 0.06*(2.7-0.2) + entry*entry/2*0.2
	exact(t, want, total(got), "prisms, and the triangle of the entry")
	var low float64 = 9
	for key, m := range got {
		if key[0] == 'L' && len(key) > 12 {
			for _, v := range m.Vertices {
				low = math.Min(low, v.X)
			}
		}
	}
	require.InDelta(t, 3-0.15-entry, low, geom.Same, "the entry is on the side of the unit")
}

// A drop from a branch's end: round elbow down, then the duct to the terminal.
func TestBuildDrop(t *testing.T) {
	p := newTrial()
	p.unit(geom.Vec{Z: 3.3})
	p.term(geom.Vec{X: 4, Z: 2.7})
	p.line(duct.RoundOf(0.2), geom.Vec{X: 0.5, Z: 3.3}, geom.Vec{X: 4, Z: 3.3})
	got := p.bodies(t)
	// Axis: 3.5 along and 0.6 down, its corner cut by an arc of one diameter.
	want := math.Pi * 0.01 * (3.5 + 0.6 - 2*0.2 + 0.2*math.Pi/2)
	exact(t, want, total(got), "area times length of the axis (Pappus)")
}

func TestBuildReducerWithOneSideStraight(t *testing.T) {
	p := newTrial()
	p.unit(geom.Vec{Z: 3})
	p.term(geom.Vec{X: 6, Z: 3})
	p.line(duct.RectOf(0.6, 0.3), geom.Vec{X: 0.5, Z: 3}, geom.Vec{X: 3, Z: 3})
	p.line(duct.RectOf(0.4, 0.3), geom.Vec{X: 3, Z: 3}, geom.Vec{X: 5.71, Z: 3})
	p.sk.Lines[1].Notes[0].Spec.Flat, p.sk.Lines[1].Notes[0].Spec.HasFlat = duct.FlatLeft, true
	got := p.bodies(t)
	require.NotEmpty(t, got)
	high := math.Inf(-1)
	for _, m := range got {
		top := math.Inf(-1)
		for _, v := range m.Vertices {
			top = math.Max(top, v.Y)
		}
		high = math.Max(high, top)
		require.InDelta(t, 0.3, top, geom.Same, "the left side is one plane")
	}
	require.InDelta(t, 0.3, high, geom.Same)
}

// Whatever tree is drawn, every body is closed, looks outwards, and is made of finite points.
func TestBuildRandomTrees(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := newTrial()
		p.rules.TakeoffRect = rapid.SampledFrom([]duct.TakeoffForm{duct.Plain, duct.Entry45}).Draw(rt, "rect")
		p.rules.TakeoffRound = rapid.SampledFrom([]duct.TakeoffForm{duct.Plain, duct.Conical}).Draw(rt, "round")
		p.rules.MitreAlways = rapid.Bool().Draw(rt, "mitre")
		turn := rapid.Float64Range(-math.Pi, math.Pi).Draw(rt, "turn")
		at := func(x, y, z float64) geom.Vec { return geom.Vec{X: x, Y: y, Z: z}.Rotate(turn) }
		size := func(most float64) duct.Size {
			w := duct.Length(rapid.Float64Range(0.1, most).Draw(rt, "w"))
			h := duct.Length(rapid.Float64Range(0.1, most).Draw(rt, "h"))
			return rapid.SampledFrom([]duct.Size{duct.RoundOf(w), duct.RectOf(w, h), duct.OvalOf(w, h)}).Draw(rt,
				"section")
		}
		p.sk.Units = []sketch.Unit{{Key: "U", At: at(0, 0, 3), Outline: square(at(0, 0, 3), 0.6), Mark: "AHU"}}
		x := 0.0
		main := []geom.Vec{at(0, 0, 3)}
		for range rapid.IntRange(1, 5).Draw(rt, "branches") {
			x += rapid.Float64Range(1, 4).Draw(rt, "step")
			y := rapid.Float64Range(1, 4).Draw(rt, "branch") * rapid.SampledFrom([]float64{1, -1}).Draw(rt, "side")
			lean := rapid.Float64Range(-0.4, 0.4).Draw(rt, "lean")
			z := rapid.SampledFrom([]float64{3, 2.4}).Draw(rt, "terminal")
			end := at(x+lean, y, 3)
			p.line(size(0.35), at(x, 0, 3), end)
			p.term(end.At(z))
			main = append(main, at(x, 0, 3))
		}
		p.line(size(0.8), main[0], main[len(main)-1])
		got := p.bodies(rt)
		require.NotEmpty(rt, got)
		for _, m := range got {
			for _, v := range m.Vertices {
				require.False(rt, math.IsNaN(v.Len()) || math.IsInf(v.Len(), 0))
			}
			require.LessOrEqual(rt, len(m.Vertices), 32767, "the most a polyface mesh can number")
		}
	})
}

// A 45 degree entry on a branch at any angle: along the main and along the branch it reaches as far, as the plan draws
// it, so that it is a triangle of two equal sides in plan, on the side of the unit.
func TestBuildEntryAtAnAngle(t *testing.T) {
	for deg := 30.0; deg <= 150; deg += 15 {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		p := newTrial()
		p.rules.TakeoffRect = duct.Entry45
		p.unit(geom.Vec{Z: 3})
		end := geom.Vec{X: 8 + 3*cos, Y: 3 * sin, Z: 3}
		p.term(geom.Vec{X: 16, Z: 3})
		p.term(end)
		p.line(duct.RectOf(0.4, 0.2), geom.Vec{X: 0.5, Z: 3}, geom.Vec{X: 16, Z: 3})
		p.line(duct.RectOf(0.3, 0.2), geom.Vec{X: 8, Z: 3}, end)
		got := p.bodies(t)
		branch := 0.0
		low := math.Inf(1)
		for key, m := range got {
			if strings.Contains(key, "L1@0/body") {
				branch += volume(m)
				for _, v := range m.Vertices {
					if math.Abs(v.Y-0.2) < geom.Same {
						low = math.Min(low, v.X)
					}
				}
			}
		}
		// Inside the face of its terminal there is no duct: 0.3 m of the way square to the nearer side.
		inside := 0.3 / math.Max(sin, math.Abs(cos))
		want := 0.06*(3-inside-0.2/sin) + 0.1*0.1/2*sin*0.2
		exact(t, want, branch, fmt.Sprintf("at %v degrees: a prism cut askew, and the triangle of the entry", deg))
		require.InDelta(t, 8+(0.2*cos-0.15)/sin-0.1, low, geom.Same,
			"at %v degrees the entry begins 100 mm before the branch", deg)
	}
}
