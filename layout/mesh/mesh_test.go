package mesh

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/nettest"
	"twinline/layout/shape"
	"twinline/layout/sketchtest"
)

// usual are the rules of these tests.
func usual() duct.FittingRules {
	return duct.FittingRules{ElbowRound: 1, ElbowRect: 1, ElbowLeast: 0.6, ReducerAngle: math.Pi / 6}
}

// bodies returns the bodies of a drawing by key.
func bodies(t sketchtest.T, rules duct.FittingRules, d *sketchtest.Drawing) map[string]shape.Mesh {
	out := map[string]shape.Mesh{}
	for _, s := range Build(nettest.Make(t, d, rules)) {
		require.Equal(t, shape.Body, s.Part)
		m := s.Geom.(shape.Mesh)
		closed(t, m)
		require.Positive(t, volume(m), "%s looks inwards", s.Key)
		require.NotContains(t, out, s.Key)
		out[string(s.Key)] = m
	}
	return out
}

// draw returns a drawing at elevation 3 with a unit at the origin and the rows of a text.
func draw(t sketchtest.T, format string, args ...any) *sketchtest.Drawing {
	d := sketchtest.Parse(t, "level 3; unit U 0,0 mark=AHU")
	d.Addf(t, format, args...)
	return d
}

func total(m map[string]shape.Mesh) (v float64) {
	for _, b := range m {
		v += volume(b)
	}
	return v
}

// A rectangular main with a smooth elbow: by hand, the straight parts and a quarter of a ring.
func TestBuildElbow(t *testing.T) {
	got := bodies(t, usual(), draw(t, "duct L0 size=400x200 0.5,0 5,0 5,3.71; term T 5,4 100"))
	const r = 0.4 // one width
	want := 0.08 * (4.5 - r + 3.7 - r + r*math.Pi/2)
	require.Len(t, got, 3)
	exact(t, want, total(got), "area times length of the axis (Pappus)")
}

// A round branch on a round main: the branch begins at the wall of the main. The volume of
// what two cylinders crossing square share beyond the main's axis is found by quadrature.
func TestBuildTakeoff(t *testing.T) {
	for _, c := range []struct{ main, branch float64 }{{0.4, 0.2}, {0.4, 0.39}, {0.3, 0.1}} {
		got := bodies(t, usual(), draw(t, `
			duct L0 size=%v 0.5,0 5.71,0
			duct L1 size=%v 3,0 3,1.71
			term S 6,0 100
			term T 3,2 100`, c.main*1000, c.branch*1000))
		R, r := c.main/2, c.branch/2
		within := shared(R, r) // of the branch's cylinder from the axis to the wall of the main
		want := math.Pi*R*R*5.2 + math.Pi*r*r*1.7 - within
		exact(t, want, total(got), "two cylinders, what they share counted once")
		exact(t, math.Pi*r*r*1.7-within, volume(got["L1@0/body"]), "the branch by itself")
	}
}

func TestBuildRectTakeoffWithEntry(t *testing.T) {
	rules := usual()
	rules.TakeoffRect = duct.Entry45
	got := bodies(t, rules, draw(t, `
		duct L0 size=400x200 0.5,0 5.71,0
		duct L1 size=300x200 3,0 3,2.71
		term S 6,0 100
		term T 3,3 100`))
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
	got := bodies(t, usual(), draw(t, "duct L0 size=200 0.5,0 4,0; term T 4,0,2.4 100"))
	// Axis: 3.5 along and 0.6 down, its corner cut by an arc of one diameter.
	want := math.Pi * 0.01 * (3.5 + 0.6 - 2*0.2 + 0.2*math.Pi/2)
	exact(t, want, total(got), "area times length of the axis (Pappus)")
}

func TestBuildReducerWithOneSideStraight(t *testing.T) {
	got := bodies(t, usual(), draw(t, `
		duct L0 size=600x300 0.5,0 3,0
		duct L1 size=400x300 3,0 5.71,0 note 3.27,0 flat=left
		term T 6,0 100`))
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
		rules := usual()
		rules.TakeoffRect = rapid.SampledFrom([]duct.TakeoffForm{duct.Plain, duct.Entry45}).Draw(rt, "rect")
		rules.TakeoffRound = rapid.SampledFrom([]duct.TakeoffForm{duct.Plain, duct.Conical}).Draw(rt, "round")
		rules.MitreAlways = rapid.Bool().Draw(rt, "mitre")
		turn := rapid.Float64Range(-math.Pi, math.Pi).Draw(rt, "turn")
		at := func(x, y, z float64) geom.Vec { return geom.Vec{X: x, Y: y, Z: z}.Rotate(turn) }
		size := func(most float64) duct.Size {
			w := duct.Length(rapid.Float64Range(0.1, most).Draw(rt, "w"))
			h := duct.Length(rapid.Float64Range(0.1, most).Draw(rt, "h"))
			return rapid.SampledFrom([]duct.Size{duct.RoundOf(w), duct.RectOf(w, h), duct.OvalOf(w, h)}).Draw(rt,
				"section")
		}
		d := sketchtest.Parse(rt, "")
		d.Addf(rt, "unit U %v w=0.6 h=0.6 mark=AHU", at(0, 0, 3))
		x := 0.0
		for i := range rapid.IntRange(1, 5).Draw(rt, "branches") {
			x += rapid.Float64Range(1, 4).Draw(rt, "step")
			y := rapid.Float64Range(1, 4).Draw(rt, "branch") * rapid.SampledFrom([]float64{1, -1}).Draw(rt, "side")
			lean := rapid.Float64Range(-0.4, 0.4).Draw(rt, "lean")
			z := rapid.SampledFrom([]float64{3, 2.4}).Draw(rt, "terminal")
			end := at(x+lean, y, 3)
			d.Addf(rt, "duct L%d size=%v %v %v; term T%[1]d %[5]v 100", i, size(0.35), at(x, 0, 3), end, end.At(z))
		}
		d.Addf(rt, "duct M size=%v %v %v", size(0.8), at(0, 0, 3), at(x, 0, 3))
		got := bodies(rt, rules, d)
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
		rules := usual()
		rules.TakeoffRect = duct.Entry45
		got := bodies(t, rules, draw(t, `
			duct L0 size=400x200 0.5,0 16,0
			duct L1 size=300x200 8,0 %v
			term S 16,0 100
			term T %[1]v 100`, geom.Vec{X: 8 + 3*cos, Y: 3 * sin, Z: 3}))
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
