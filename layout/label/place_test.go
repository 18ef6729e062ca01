package label

import (
	"fmt"
	"math"
	"strings"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
	vec "twinline/layout/geom"
	"twinline/layout/shape"
	"twinline/layout/sketch"
	"twinline/layout/sketchtest"
)

// A duct in each of sixteen directions is lettered along itself, to be read from the bottom or from the right, and
// beside the line of the sketch: over it where the text is upright or lies, on its left where it stands.
func TestSixteenDirections(t *testing.T) {
	for i := range 16 {
		for _, wide := range []bool{true, false} {
			a := float64(i) * math.Pi / 8
			u := vec.Direction(a)
			at := func(d float64) vec.Vec { return u.Scale(d).At(3) }
			flow := 500
			if !wide {
				flow = 30
			}
			p := draw(t, duct.SUP, "duct L0 %v %v; term T0 %v %d", at(0.3), at(8.9), at(9), flow)
			out, found := p.letter()
			_ = found
			size, ok := texts(out)["L0@0/size/1"]
			require.True(t, ok, "%d", i)
			require.Greater(t, size.Angle, -math.Pi/2+vec.Straight, "%d: from the bottom or the right", i)
			require.LessOrEqual(t, size.Angle, math.Pi/2+vec.Straight, "%d", i)
			require.InDelta(t, 0, math.Sin(size.Angle-a), 1e-9, "%d: along the duct", i)
			off := size.At.Sub(u.Scale(size.At.Dot(u))).Plan()
			require.Greater(t, off.Dot(vec.Direction(size.Angle).Left()), 0.5*size.Height, "%d: over the line", i)
			require.Equal(t, wide, off.Len() < 0.2, "%d: between the walls where they are far enough apart", i)
		}
	}
}

// The line of the sketch is as plotted as any other: no text stands on it, unless an office that freezes it wants that.
func TestSizesBesideTheLineOfTheSketch(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := drawComb(rt)
		out, _ := p.letter()
		for _, s := range out {
			text, ok := s.Geom.(shape.Text)
			if !ok {
				continue
			}
			g := judgeText(t, text)
			for i := range p.net.Runs {
				pts := p.net.Runs[i].Line.Flatten(0.001)
				for k := 1; k < len(pts); k++ {
					if pts[k-1].PlanDist(pts[k]) > 0 {
						line := judgeLine(t, pts[k-1], pts[k])
						require.False(rt, sf.Intersects(g, line), "%s stands on the line of %s", s.Key,
							p.net.Runs[i].Key)
					}
				}
			}
		}
	})
	p := draw(t, duct.SUP, "duct L0 0.4,0 5.7,0; term T0 6,0 500")
	p.spec.SizeCentred = true
	out, _ := p.letter()
	require.InDelta(t, 0, texts(out)["L0@0/size/1"].At.Y, vec.Same)
}

// On a curved duct a text stands beside the curve of the sketch as well.
func TestCurvedDuct(t *testing.T) {
	for _, bulge := range []float64{0.3, -0.3} {
		p := joined(t, sketchtest.Parse(t, fmt.Sprintf(`
			level 3
			unit U0 -0.6,0 w=0.8 h=0.8 mark=TB-1
			duct L0 -0.2,0,3,%v 9,0
			term T0 9.3,0 1200`, bulge)))
		out, _ := p.place(nil)
		size := texts(out)["L0@0/size/1"]
		require.Equal(t, "ø650", size.Value) // 1.2 m3/s at 4 m/s: 618 mm
		r := p.net.Runs[0].Line
		_, d := r.Nearest(size.At)
		require.Less(t, d, 0.325, "between the walls")
		g := judgeText(t, size)
		pts := r.Flatten(0.0005)
		for k := 1; k < len(pts); k++ {
			require.False(t, sf.Intersects(g, judgeLine(t, pts[k-1], pts[k])))
		}
	}
}

// Two lines go to both sides of the line of the sketch where each has room.
func TestTwoLinesStraddleTheLine(t *testing.T) {
	p := draw(t, duct.SUP, "duct L0 0.4,0 8.7,0; term T0 9,0 500")
	p.spec.Elevation = true
	out, _ := p.letter()
	a, b := texts(out)["L0@0/size/1/1"], texts(out)["L0@0/size/1/2"]
	require.Equal(t, []string{"ø400", "CL +3.00"}, []string{a.Value, b.Value})
	require.InDelta(t, 0.1, a.At.Y, 1e-9, "half way to the wall of a duct of 400")
	require.InDelta(t, -0.1, b.At.Y, 1e-9)
}

// Lines of others push labels aside but never out.
func TestLabelsKeepOffLinesOfOthers(t *testing.T) {
	build := func(strokes ...sketch.Stroke) map[string]shape.Text {
		p := draw(t, duct.SUP, "duct L0 0.4,0 8.7,0; term T0 9,0 500")
		p.spec.Strokes = strokes
		out, found := p.place(p.bareWalls())
		require.Empty(t, found)
		return texts(out)
	}
	free := build()
	mid := free["L0@0/size/1"].At
	wall := sketch.Stroke{A: v(mid.X, -9), B: v(mid.X, 9)}
	aside := build(wall)["L0@0/size/1"]
	require.Greater(t, math.Abs(aside.At.X-mid.X), 0.15, "clear of the wall")
	right := free["T0/flow/1"].At
	cupboard := []sketch.Stroke{{A: v(right.X+0.1, -2), B: v(right.X+0.1, 2)}}
	require.Less(t, build(cupboard...)["T0/flow/1"].At.X, right.X)
	var hatch []sketch.Stroke
	for x := -3.0; x < 14; x += 0.05 {
		hatch = append(hatch, sketch.Stroke{A: v(x, -9), B: v(x+2, 9)})
	}
	crowded := build(hatch...)
	require.Len(t, crowded, len(free), "where lines are everywhere all labels stand on them")
}

// The laws of leaders, on whole plans: each runs clear of lettering, faces, other leaders and dampers, crosses no wall
// but the one of the duct it points into, and ends in that duct.
func TestLeaderLaws(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := drawComb(rt)
		out := p.whole(rapid.Bool().Draw(rt, "elevation"))
		var leaders []shape.Shape
		for _, s := range out {
			if _, ok := s.Geom.(shape.Line); ok && strings.Contains(string(s.Key), "/leader") {
				leaders = append(leaders, s)
			}
		}
		for _, s := range leaders {
			line := s.Geom.(shape.Line)
			g := judgeLine(t, line.A, line.B)
			crossed := map[string]bool{}
			for _, o := range out {
				if o.Part == shape.Axis || sameLabel(string(o.Key), string(s.Key)) {
					continue
				}
				for _, h := range judgeShape(t, o.Geom, line.A) {
					if !sf.Intersects(g, h) {
						continue
					}
					clearOf := []shape.Part{shape.Size, shape.Flow, shape.Damp}
					require.NotContains(rt, clearOf, o.Part, "%s meets %s", s.Key, o.Key)
					crossed[string(o.Key)] = true
				}
			}
			for i := range p.net.Terminals {
				if !strings.HasPrefix(string(s.Key), string(p.net.Terminals[i].Key)+"/") {
					face := judgePolygon(t, p.net.Terminals[i].Face)
					require.False(rt, sf.Intersects(g, face), "%s meets a face", s.Key)
				}
			}
			if strings.Contains(string(s.Key), "/flow/") {
				require.LessOrEqual(rt, len(crossed), 1, "%s crosses %v", s.Key, crossed) // it ends at the outline
				continue
			}
			require.LessOrEqual(rt, len(crossed), 1, "%s crosses %v", s.Key, crossed)
			label := strings.TrimSuffix(string(s.Key), "/leader/1")
			said := texts(out)[label].Value + texts(out)[label+"/1"].Value
			require.True(rt, inItsDuct(p, said, line.B), "%s ends beside %s", s.Key, said)
		}
	})
}

// sameLabel reports whether two keys are of one label.
func sameLabel(a, b string) bool {
	cut := func(k string) string {
		k, _, _ = strings.Cut(k, "/leader")
		return k
	}
	return cut(a) == cut(b) || strings.HasPrefix(a, cut(b)+"/")
}

// inItsDuct reports whether a point lies in a duct of the size its label says.
func inItsDuct(p *labelled, size string, at vec.Vec) bool {
	for i := range p.net.Runs {
		r, s := &p.net.Runs[i], p.des.Runs[i].Size
		half := float64(s.Lined(r.Spec.Lining).Width) / 2
		if _, d := r.Line.Nearest(at); d <= half+vec.Same && strings.HasPrefix(size, write(Spec{}).size(s)) {
			return true
		}
	}
	return false
}

// Labels and arrows again with ten thousand lines of others among them.
func BenchmarkLabelsAmongLines(b *testing.B) {
	for _, lines := range []int{0, 1000, 10000, 100000} {
		b.Run(fmt.Sprint(lines), func(b *testing.B) {
			p := comb(b, 1000)
			for i := range lines {
				x, y := float64(i%1000)/10, float64(i/1000)*160/math.Max(1, float64(lines/1000))
				p.spec.Strokes = append(p.spec.Strokes, sketch.Stroke{A: v(x, y), B: v(x, y+0.5)})
			}
			drawn := p.bareWalls()
			b.ResetTimer()
			for range b.N {
				p.place(drawn)
			}
		})
	}
}
