package label

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/diag"
	"twinline/layout/duct"
	vec "twinline/layout/geom"
	"twinline/layout/shape"
	"twinline/layout/sketch"
	"twinline/layout/sketchtest"
	"twinline/layout/words"
)

// write returns the words of labels of a drawing without terminals.
func write(spec Spec) *writer { return newWriter(&duct.Network{}, &spec) }

// The expected lettering follows the table of notes in the README.
func TestSizeText(t *testing.T) {
	for _, c := range []struct {
		size   duct.Size
		inches bool
		want   string
	}{
		{duct.RectOf(0.35, 0.25), false, "350x250"},
		{duct.RoundOf(0.315), false, "ø315"},
		{duct.RoundOf(12 * duct.Inch), true, `ø12"`},
		{duct.RectOf(18*duct.Inch, 10*duct.Inch), true, `18"x10"`},
		{duct.OvalOf(22*duct.Inch, 10*duct.Inch), true, `22"x10" oval`},
	} {
		require.Equal(t, c.want, write(Spec{Inches: c.inches}).size(c.size))
	}
}

// Airflows are lettered in the unit the terminals' were given in.
func TestFlowUnitIsTheOneTheFlowsWereGivenIn(t *testing.T) {
	net := &duct.Network{Terminals: []duct.Terminal{{Flow: 380 * duct.CubicMetrePerHour}, {Flow: 0.1}}}
	require.Equal(t, words.MetresHour, newWriter(net, &Spec{}).flowUnit, "0.1 m3/s is 360 m3/h too")
	net.Terminals[1].Flow = 220 * duct.CubicFootPerMinute
	require.Equal(t, words.Litres, newWriter(net, &Spec{}).flowUnit, "no unit has them all round")
}

// One straight main that is wide enough has its size above the line of its sketch, and an arrow along the air.
func TestLabelInsideWhereItFits(t *testing.T) {
	for _, air := range []duct.Air{duct.SUP, duct.ETA} {
		p := draw(t, air, "duct L0 0.4,0 5.7,0; term T0 6,0 500")
		out, _ := p.letter()
		size := texts(out)["L0@0/size/1"]
		require.Equal(t, "ø400", size.Value) // 0.5 m3/s at 4 m/s: 399 mm
		require.InDelta(t, 0.1, size.At.Y, vec.Same, "in the middle between the line of the sketch and the upper wall")
		require.Zero(t, size.Angle)
		for _, s := range out {
			require.NotContains(t, s.Key, "/size/1/leader")
			if head, ok := s.Geom.(shape.Solid); ok && strings.Contains(string(s.Key), "/arrow/") {
				tip, tail := head.Corners[0].X, head.Corners[1].X
				require.Equal(t, air == duct.SUP, tip > tail, "arrows point along the air")
			}
		}
		require.True(t, slices.ContainsFunc(out, func(s shape.Shape) bool {
			return strings.Contains(string(s.Key), "/arrow/1")
		}))
	}
}

func TestLabelBesideWithLeaderWhereDuctIsNarrow(t *testing.T) {
	p := draw(t, duct.SUP, "duct L0 0,0.4 0,5.7; term T0 0,6 30")
	out, _ := p.letter()
	size, ok := texts(out)["L0@0/size/1"]
	require.True(t, ok)
	require.InDelta(t, math.Pi/2, size.Angle, vec.Straight, "an upright duct is lettered to be read from the right")
	require.Greater(t, math.Abs(size.At.X), float64(p.des.Runs[0].Size.Width)/2)
	tip := slices.IndexFunc(out, func(s shape.Shape) bool {
		c, ok := s.Geom.(shape.Circle)
		return ok && strings.HasPrefix(string(s.Key), "L0@0/size/1/leader") && math.Abs(c.Center.X) < vec.Same
	})
	require.GreaterOrEqual(t, tip, 0, "the leader ends on the axis")
}

func TestLongDuctsAreLetteredAgainAndShortOnesNot(t *testing.T) {
	count := func(length, every float64) (n int) {
		p := draw(t, duct.SUP, "duct L0 0.4,0 %v,0; term T0 %v,0 500", 0.4+length, 0.7+length)
		p.spec.RepeatEvery = duct.Length(every)
		out, _ := p.letter()
		for k := range texts(out) {
			if strings.Contains(k, "/size/") {
				n++
			}
		}
		return n
	}
	require.Equal(t, 1, count(40, 0))
	require.Equal(t, 4, count(48, 12))
	require.Equal(t, 1, count(14, 12))
	require.Equal(t, 2, count(16, 12))
}

// A place hemmed in by the texts of others gets no label, and where the plan cannot be read
// without it a note.
func TestLabelLeftOut(t *testing.T) {
	p := draw(t, duct.SUP, "duct L0 0.4,0 5.7,0; term T0 6,0 30")
	p.spec.Obstacles = []sketch.Obstacle{{Corners: vec.Rectangle(v(3, 6), vec.Vec{X: 1}, 20, 5.9)},
		{Corners: vec.Rectangle(v(3, -6), vec.Vec{X: 1}, 20, 5.9)}}
	out, found := p.place(p.bareWalls())
	require.NotContains(t, texts(out), "L0@0/size/1")
	n := 0
	for _, d := range found {
		require.Equal(t, diag.LabelLeftOut, d.Code)
		require.NotEmpty(t, d.Do)
		if strings.Contains(d.Text, "ø100") {
			n++
		}
	}
	require.Equal(t, 1, n)
}

// A note of the sketch is kept clear of where there is another place, and lettered over where there is none.
func TestLabelsKeepClearOfOwnNotesWhereTheyCan(t *testing.T) {
	p := draw(t, duct.SUP, "duct L0 0.4,0 5.7,0; term T0 6,0 30")
	p.spec.Obstacles = []sketch.Obstacle{{Own: true, Corners: vec.Rectangle(v(7, 0), vec.Vec{X: 1}, 0.6, 0.4)}}
	out, _ := p.letter()
	require.Less(t, texts(out)["T0/flow/1"].At.X, 6.31, "beside the face but not on its right, where the note is")
	p.spec.Obstacles[0].Corners = vec.Rectangle(v(3, 0), vec.Vec{X: 1}, 50, 50)
	out, found := p.place(p.bareWalls())
	require.Contains(t, texts(out), "T0/flow/1")
	require.Contains(t, texts(out), "L0@0/size/1")
	require.Empty(t, found)
}

// Two ducts of one size in one line are lettered once, a change of size and a turn anew.
func TestDuctThatGoesOnIsLetteredOnce(t *testing.T) {
	p := draw(t, duct.SUP, `
		duct L0 0.4,0 8.7,0
		duct L1 3,0 3,2.7
		duct L2 6,0 6,2.7
		term T0 9,0 500
		term T1 3,3 5
		term T2 6,3 200`)
	out, _ := p.letter()
	got := map[string]string{}
	for k, s := range texts(out) {
		if strings.Contains(k, "/size/") {
			got[k] = s.Value
		}
	}
	// 0.705 and 0.7 m3/s at 4 m/s both take 500 mm; 0.5 takes 400, 0.2 takes 300, 0.005 the least.
	require.Equal(t, map[string]string{"L0@0/size/1": "ø500", "L0@5600/size/1": "ø400",
		"L1@0/size/1": "ø100", "L2@0/size/1": "ø300"}, got)
}

func TestLevelTagsOnBothSidesOfARiser(t *testing.T) {
	p := draw(t, duct.SUP, "duct L0 0.4,0 4,0; duct L1 4,0,3.6 8.7,0,3.6; term T0 9,0,3.6 500")
	out, _ := p.letter()
	var tags []string
	marks := 0
	for _, s := range out {
		if text, ok := s.Geom.(shape.Text); ok && strings.HasSuffix(string(s.Key), "/level") {
			tags = append(tags, text.Value)
		}
		if strings.HasSuffix(string(s.Key), "/level/mark") {
			marks++
		}
	}
	slices.Sort(tags)
	require.Equal(t, []string{"CL +3.00", "CL +3.60"}, tags)
	require.Equal(t, 2, marks)
}

func TestSizeLabelSaysWhatIsAsked(t *testing.T) {
	say := func(change func(*labelled)) []string {
		p := draw(t, duct.SUP, "duct L0 BOD 0.4,0 8.7,0 note 1,0 fixed=500x400 lined=25; term T0 9,0 500")
		change(p)
		out, _ := p.letter()
		var lines []string
		for _, s := range out {
			if text, ok := s.Geom.(shape.Text); ok && strings.HasPrefix(string(s.Key), "L0@0/size/1") {
				lines = append(lines, text.Value)
			}
		}
		return lines
	}
	require.Equal(t, []string{"500x400", "lined 25"}, say(func(*labelled) {}))
	require.Equal(t, []string{"500x400"}, say(func(p *labelled) { p.spec.PlainSizes = true }))
	require.Equal(t, []string{"500x400  lined 25  BOD +3.00"}, say(func(p *labelled) { p.spec.Elevation = true }),
		"the elevation of the bottom is the one noted; three lines are too high for the duct, one is not")
}

// One duct with a riser in it says on either side of it how high it lies there.
func TestElevationIsThatOfThePlaceOfTheLabel(t *testing.T) {
	p := draw(t, duct.SUP, "duct L0 0.4,0 4,0; duct L1 4,0,3.6 8.7,0,3.6; term T0 9,0,3.6 500")
	p.spec.RepeatEvery, p.spec.Elevation = 4, true
	out, _ := p.letter()
	n := 0
	for k, s := range texts(out) {
		if !strings.Contains(k, "/size/") || !strings.Contains(s.Value, "CL") {
			continue
		}
		n++
		require.Equal(t, s.At.X > 4, strings.HasSuffix(s.Value, "+3.60"), "%s at %v", s.Value, s.At)
	}
	require.Equal(t, 2, n)
}

// A duct that lies under another one is not lettered where it is covered.
func TestLabelsStandOnTheUpperDuct(t *testing.T) {
	p := draw(t, duct.SUP, `
		duct L0 0.4,0 8.7,0
		term T0 9,0 500
		air ETA; level 3.8
		unit U1 4.5,-4 w=0.8 h=0.8 mark=TB-1
		duct L1 4.5,-3.6 4.5,3.7
		term T1 4.5,4 2000`)
	out, _ := p.place(nil) // no walls: only the grounds of the ducts keep them apart
	low, high := texts(out)["L0@0/size/1"], texts(out)["L1@0/size/1"]
	half := float64(duct.RoundOf(0.8).Width) / 2
	require.Equal(t, "ø800", high.Value)
	require.Greater(t, math.Abs(low.At.X-4.5), half+0.2)
	require.InDelta(t, 4.3, high.At.X, vec.Same, "between the line of the sketch and the wall on its left")
}

// A comb of branches on a main, turned by an angle, among texts of others.
func drawComb(rt *rapid.T) *labelled {
	air := rapid.SampledFrom(duct.Airs[:]).Draw(rt, "air")
	turn := rapid.Float64Range(-math.Pi, math.Pi).Draw(rt, "turn")
	at := func(x, y float64) vec.Vec { return v(x, y).Rotate(turn) }
	d := sketchtest.Parse(rt, fmt.Sprintf("air %s; level 3; unit U0 0,0 w=0.8 h=0.8 mark=TB-1", air))
	n := rapid.IntRange(1, 8).Draw(rt, "branches")
	x := 0.0
	for i := range n {
		x += rapid.Float64Range(0.9, 5).Draw(rt, "step")
		y := rapid.Float64Range(0.9, 4).Draw(rt, "branch")
		if i%2 == 1 {
			y = -y
		}
		status := rapid.SampledFrom([]string{"", "", "EX", "FUT"}).Draw(rt, "status")
		note := rapid.SampledFrom([]string{"", "single", "fixed=400x200 insul=50", "fixed=500x200o"}).Draw(rt, "note")
		if mid := at(x, y/2); note != "" {
			note = fmt.Sprintf("note %v,%v %s", mid.X, mid.Y, note)
		}
		z := rapid.SampledFrom([]float64{3, 2.4, 3.6}).Draw(rt, "z")
		flow := rapid.IntRange(20, 400).Draw(rt, "flow")
		d.Addf(rt, "duct L%d %s %v %v %s; term T%[1]d %[6]v %d", i, status, at(x, 0), at(x, y), note,
			at(x, y).At(z), flow)
	}
	d.Addf(rt, "duct L%d %v %v", n, at(0, 0), at(x, 0))
	p := joined(rt, d)
	for range rapid.IntRange(0, 12).Draw(rt, "texts") {
		c := v(rapid.Float64Range(-5, 20).Draw(rt, "x"), rapid.Float64Range(-8, 8).Draw(rt, "y"))
		u := vec.Direction(rapid.Float64Range(0, 3).Draw(rt, "a"))
		p.spec.Obstacles = append(p.spec.Obstacles, sketch.Obstacle{Corners: vec.Rectangle(c, u, 0.8, 0.15)})
	}
	p.spec.RepeatEvery = 6
	return p
}

// The laws of lettering, judged by another library: no text meets a wall, another text, a
// text of others, a face or a unit, and each can be read from the bottom or the right.
func TestLabelLaws(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := drawComb(rt)
		out, drawn := p.letter()
		type named struct {
			what string
			g    sf.Geometry
		}
		var ground, lettering []named
		for _, s := range drawn {
			l := s.Geom.(shape.Line)
			ground = append(ground, named{string(s.Key), judgeLine(t, l.A, l.B)})
		}
		for _, u := range p.net.Units {
			ground = append(ground, named{"unit", judgePolygon(t, u.Outline)})
		}
		for _, term := range p.net.Terminals {
			ground = append(ground, named{"face", judgePolygon(t, term.Face)})
		}
		for i, o := range p.spec.Obstacles {
			ground = append(ground, named{fmt.Sprintf("text of others %d", i), judgePolygon(t, o.Corners)})
		}
		keys := map[string]bool{}
		for _, s := range out {
			require.False(rt, keys[string(s.Key)], "key %s twice", s.Key)
			keys[string(s.Key)] = true
			switch g := s.Geom.(type) {
			case shape.Text:
				require.Greater(rt, g.Angle, -math.Pi/2)
				require.LessOrEqual(rt, g.Angle, math.Pi/2+vec.Straight)
				lettering = append(lettering, named{string(s.Key), judgeText(t, g)})
			case shape.Solid:
				lettering = append(lettering, named{string(s.Key), judgePolygon(t, g.Corners[:3])})
			}
		}
		require.NotEmpty(rt, lettering)
		for i, a := range lettering {
			for _, b := range ground {
				require.False(rt, sf.Intersects(a.g, b.g), "%s meets %s", a.what, b.what)
			}
			for _, b := range lettering[:i] {
				require.False(rt, sf.Intersects(a.g, b.g), "%s meets %s", a.what, b.what)
			}
		}
	})
}

// The same laws on whole plans: elbows, takeoffs, drops, symbols, crossings with other systems.
func TestLabelLawsOnWholePlans(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := drawComb(rt)
		out := p.whole(rapid.Bool().Draw(rt, "elevation"))
		n := 0
		for _, s := range out {
			if s.Part != shape.Size && s.Part != shape.Flow {
				continue
			}
			text, ok := s.Geom.(shape.Text)
			if !ok {
				continue
			}
			n++
			g := judgeText(t, text)
			for _, o := range out {
				if o.Part == shape.Axis || strings.Contains(string(o.Key), "/leader") || o.Key == s.Key {
					continue
				}
				for _, h := range judgeShape(t, o.Geom, text.At) {
					require.False(rt, sf.Intersects(g, h), "%s (%s) meets %s", s.Key, text.Value, o.Key)
				}
			}
		}
		require.Positive(rt, n)
	})
}

// What is drawn may come in any order, and the same comes out.
func TestLabelsDoNotDependOnOrder(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := drawComb(rt)
		drawn := p.bareWalls()
		first, _ := p.place(drawn)
		seed := rapid.Uint64().Draw(rt, "seed")
		r := rand.New(rand.NewPCG(seed, 1))
		r.Shuffle(len(drawn), func(i, j int) { drawn[i], drawn[j] = drawn[j], drawn[i] })
		r.Shuffle(len(p.spec.Obstacles), func(i, j int) {
			p.spec.Obstacles[i], p.spec.Obstacles[j] = p.spec.Obstacles[j], p.spec.Obstacles[i]
		})
		second, _ := p.place(drawn)
		require.Equal(rt, first, second)
	})
}

// comb returns about so many runs: mains with a branch to a terminal every two metres, in rows.
func comb(t testing.TB, runs int) *labelled {
	d := sketchtest.Parse(t, "level 3")
	const perRow = 50
	for i := 0; 2*i < runs; i++ {
		row, x := i/perRow, float64(i%perRow)*2+2
		y := float64(row) * 8
		if i%perRow == 0 {
			left := min(perRow, (runs+1)/2-i)
			d.Addf(t, "unit U%d 0,%v w=0.8 h=0.8 mark=TB-1; duct M%[1]d 0.4,%[2]v %[3]v,%[2]v", row, y, left*2)
		}
		d.Addf(t, "duct L%d %v,%v %[2]v,%[4]v; term T%[1]d %[2]v,%[4]v 50", i, x, y, y+2)
	}
	return joined(t, d)
}

func BenchmarkLabels(b *testing.B) {
	for _, runs := range []int{100, 1000, 10000} {
		b.Run(fmt.Sprint(runs), func(b *testing.B) {
			p := comb(b, runs)
			drawn := p.bareWalls()
			b.ResetTimer()
			for range b.N {
				out, _ := p.place(drawn)
				if len(out) < runs/2 {
					b.Fatal("labels are missing")
				}
			}
		})
	}
}
