package label

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
	"twinline/layout/sketch"
	"twinline/symbols"
)

// The prices of places are rules of this program: what a reader likes better costs less. The tables below state them a
// second time, each with the picture it is the price of, so that none moves unseen. Capitals are one metre high in
// them: distances in heights of capitals are metres.

var metreHigh = look{kind: shape.SizeText, tall: 1, factor: 1}

// lettered returns a label of boxes 4 m wide: one line, or also two of which the second text is both on one.
func lettered(lines int) label {
	b := label{look: metreHigh}
	for i := range lines {
		n := lines - i
		b.texts = append(b.texts, lettering{lines: make([]string, n), w: 4 * float64(i+1), h: 1.3 + 1.6*float64(n-1)})
	}
	return b
}

// straight returns a run along X from the origin.
func straight(width, length float64) *run {
	line := geom.Curve{A: v(0, 0), B: v(length, 0)}
	size := duct.RectOf(duct.Length(width), 0.5)
	return &run{Run: &duct.Run{Key: "r", Line: line}, RunResult: &duct.RunResult{Size: size}, drawn: size, axis: line,
		plan: length, to: length}
}

const blocked = -1

// A label of which the box ends at y = 0 with something the given distance above it.
func TestPriceOfWhatIsNearALabel(t *testing.T) {
	for _, c := range []struct {
		kind  matter
		above float64
		want  float64
	}{
		{drawnLine, 0.19, blocked}, {drawnLine, 0.21, 0},
		{sketchLine, 0.19, blocked}, {sketchLine, 0.21, 0},
		{leaderRun, 0.19, blocked}, {leaderRun, 0.21, 0},
		{reserved, 0.19, blocked}, {reserved, 0.21, 0},
		{foot, 0.19, blocked}, {foot, 0.21, 0},
		{letters, 0.19, blocked}, {letters, 0.21, 0.6}, {letters, 0.69, 0.6}, {letters, 0.71, 0},
		{ownNote, -0.5, 6}, {ownNote, 0.39, 6}, {ownNote, 0.41, 0},
	} {
		o := &obstacles{}
		o.add(obstacle{pts: []geom.Vec{v(-1, c.above), v(1, c.above)}, kind: c.kind, run: straight(1, 1), z: 3})
		s := spot{text: &lettered(1).texts[0], mid: v(0, -0.65), dir: geom.Vec{X: 1}}
		require.InDelta(t, c.want, paid(o, s), 1e-9, "%d at %v", c.kind, c.above)
	}
}

// paid returns what a place costs, or that it is blocked.
func paid(o *obstacles, s spot) float64 {
	if !o.pay(&s, 1, math.Inf(1)) {
		return blocked
	}
	return s.cost
}

// Beside a label between walls only ducts of others and those over it count.
func TestDuctsOverALabel(t *testing.T) {
	own, same, other := straight(4, 9), straight(4, 9), straight(4, 9)
	other.System = 1
	for _, c := range []struct {
		run  *run
		z    float64
		want float64
	}{
		{own, 3, 0}, {same, 3, 0}, {same, 3.1, blocked}, {other, 3, blocked}, {other, 2.9, 0},
	} {
		o := &obstacles{}
		o.add(obstacle{pts: geom.Rectangle(v(0, 0), geom.Vec{X: 1}, 9, 2), kind: foot, run: c.run, z: c.z})
		s := spot{text: &lettered(1).texts[0], mid: v(0, 0), dir: geom.Vec{X: 1}, inside: own}
		require.Equal(t, c.want, paid(o, s))
	}
}

func TestPriceOfLinesOfOthers(t *testing.T) {
	for n, want := range map[int]float64{0: 0, 1: 0.8, 2: 1.1, 8: 2.9, 30: 2.9} { // none past the eighth
		spec := Spec{Scale: 1, TextHeight: 1}
		for i := range n {
			x := -1.9 + 3.8*float64(i)/30
			spec.Strokes = append(spec.Strokes, sketch.Stroke{A: v(x, -3), B: v(x+0.1, 3)})
		}
		o := obstaclesOf(&duct.Network{}, nil, nil, &spec)
		require.InDelta(t, want, paid(o, spot{text: &lettered(1).texts[0], dir: geom.Vec{X: 1}}), 1e-9, "%d", n)
	}
}

// What is kept free around a damper, and under a text of others for what hangs below its letters: 0.35 of its height,
// one height of ours at most. To both comes what is kept free around every label, 0.2.
func TestAirAroundDampersAndTexts(t *testing.T) {
	damper := func(y float64) ([]shape.Shape, Spec) {
		return []shape.Shape{{Part: shape.Damp, Geom: shape.Line{A: v(-1, y), B: v(1, y)}}}, Spec{}
	}
	text := func(height float64) func(y float64) ([]shape.Shape, Spec) {
		return func(y float64) ([]shape.Shape, Spec) {
			box := geom.Rectangle(v(0, y+height/2), geom.Vec{X: 1}, 1, height/2)
			return nil, Spec{Obstacles: []sketch.Obstacle{{Corners: box}}}
		}
	}
	for _, c := range []struct {
		what func(y float64) ([]shape.Shape, Spec)
		free float64
	}{{damper, 0.35 + 0.2}, {text(1), 0.35 + 0.2}, {text(2), 0.7 + 0.2}, {text(8), 1 + 0.2}} {
		for _, more := range []float64{-0.01, 0.01} {
			drawn, spec := c.what(c.free + more)
			spec.Scale, spec.TextHeight = 1, 1
			o := obstaclesOf(&duct.Network{}, nil, drawn, &spec)
			s := spot{text: &lettered(1).texts[0], mid: v(0, -0.65), dir: geom.Vec{X: 1}}
			require.Equal(t, more < 0, paid(o, s) == blocked, "%v", c.free+more)
		}
	}
}

// The chords of an arc stray from it by 2 mm at most, and are no shorter than that takes.
func TestChordsOfArcs(t *testing.T) {
	o := &obstacles{}
	o.addShape(&shape.Shape{Geom: shape.Arc{Center: v(0, 0), Radius: 20, End: math.Pi / 2}}, 0)
	most := 0.0
	for _, c := range o.list {
		most = math.Max(most, 20-c.pts[0].Lerp(c.pts[1], 0.5).Plan().Len())
	}
	require.InDelta(t, 0.0019, most, 0.0001)
}

// A leader from a label at y = 20 straight down to a duct around y = 0.
func TestPriceOfLeaders(t *testing.T) {
	line := func(kind matter, a, b geom.Vec) func(*obstacles) {
		return func(o *obstacles) { o.add(obstacle{pts: []geom.Vec{a, b}, kind: kind}) }
	}
	across := func(y float64) func(*obstacles) { return line(drawnLine, v(-5, y), v(5, y)) }
	walls := func(n int) func(*obstacles) {
		return func(o *obstacles) {
			for i := range n {
				across(4.9 - 0.01*float64(i))(o)
			}
		}
	}
	theirs := func(a, b geom.Vec) func(*obstacles) {
		return func(o *obstacles) {
			*o = *obstaclesOf(&duct.Network{}, nil, nil, &Spec{Strokes: []sketch.Stroke{{A: a, B: b}}})
		}
	}
	ground := func(system duct.SystemID, z float64, mid geom.Vec) func(*obstacles) {
		r := straight(1, 1)
		r.System = system
		return func(o *obstacles) {
			o.add(obstacle{pts: geom.Rectangle(mid, geom.Vec{X: 1}, 9, 2), kind: foot, run: r, z: z})
		}
	}
	rigid := func(*run) {}
	flexible := func(r *run) { r.Kind = duct.Flexible }
	curved := func(r *run) { r.Line.Bulge, r.axis.Bulge = 0.1, 0.1 }
	single := func(r *run) { r.single = true }
	for i, c := range []struct {
		about func(*run)
		there []func(*obstacles)
		want  float64
	}{
		{rigid, nil, 0},
		{rigid, []func(*obstacles){walls(1)}, 0}, // into the duct
		{rigid, []func(*obstacles){walls(2)}, blocked},
		{rigid, []func(*obstacles){across(7)}, blocked}, // another wall before that of the duct
		{curved, []func(*obstacles){walls(2)}, 0},
		{curved, []func(*obstacles){walls(3)}, blocked},
		{flexible, []func(*obstacles){walls(4)}, 0},
		{flexible, []func(*obstacles){walls(5)}, blocked},
		{single, nil, 0},
		{single, []func(*obstacles){walls(1)}, blocked},
		// What is kept free beside a leader, 0.2; a wall that ends 0.08 beside it is crossed; and 0.25 around its tip.
		{rigid, []func(*obstacles){line(letters, v(0.19, 8), v(0.19, 9))}, blocked},
		{rigid, []func(*obstacles){line(letters, v(0.21, 8), v(0.21, 9))}, 0},
		{rigid, []func(*obstacles){line(reserved, v(0.19, 8), v(0.19, 9))}, blocked},
		{rigid, []func(*obstacles){line(leaderRun, v(0.19, 8), v(0.19, 9))}, blocked},
		{rigid, []func(*obstacles){line(ownNote, v(0, 8), v(0, 9))}, 0},
		{rigid, []func(*obstacles){walls(1), line(drawnLine, v(0.07, 4), v(3, 4))}, blocked},
		{rigid, []func(*obstacles){walls(1), line(drawnLine, v(0.09, 4), v(3, 4))}, 0},
		{rigid, []func(*obstacles){line(drawnLine, v(0.24, -1), v(0.24, 1))}, blocked},
		{rigid, []func(*obstacles){line(drawnLine, v(0.26, -1), v(0.26, 1))}, 0},
		{rigid, []func(*obstacles){line(sketchLine, v(0, -1), v(0, 1))}, 0},
		{rigid, []func(*obstacles){ground(0, 4, v(0, 0))}, blocked}, // another duct over the tip
		{rigid, []func(*obstacles){ground(0, 2, v(0, 0))}, 0},
		{rigid, []func(*obstacles){ground(1, 2, v(0, 9))}, 3}, // over a duct of another system
		{rigid, []func(*obstacles){ground(1, 2, v(0, 9)), ground(1, 9, v(0, 13))}, 6},
		{rigid, []func(*obstacles){theirs(v(-1, 9), v(1, 9))}, 0.5},
		{rigid, []func(*obstacles){theirs(v(0.2, -1), v(0.2, 1))}, 0.5}, // at the tip
	} {
		r, o := straight(10, 100), &obstacles{}
		c.about(r)
		for _, add := range c.there {
			add(o)
		}
		s := spot{text: &lettered(1).texts[0], mid: v(0, 20), dir: geom.Vec{X: 1}, leader: true, tip: v(0, 0), about: r}
		require.InDelta(t, c.want, paid(o, s), 1e-9, "row %d", i)
	}
}

// A leader begins 0.15 off the side of the label that looks at its tip.
func TestLeaderBegins(t *testing.T) {
	s := spot{text: &lettered(1).texts[0], dir: geom.Vec{X: 1}}
	for tip, want := range map[geom.Vec]geom.Vec{
		{Y: 9}: {Y: 0.65 + 0.15}, {X: 1, Y: -9}: {Y: -0.65 - 0.15}, {X: 9}: {X: 2 + 0.15},
		{X: -9, Y: 0.6}: {X: -2 - 0.15},
	} {
		s.tip = tip
		require.InDelta(t, 0, s.leaderFrom(1).Dist(want), 1e-9)
	}
	s.tip, s.start = geom.Vec{Y: 9}, fromEnd
	require.InDelta(t, 1.8, s.leaderFrom(1).X, 1e-9, "nine tenths of the way to the end of its side")
}

// offer is a place beside a duct 20 m wide, with what it costs: how far from the wall, how far along the duct to that,
// and where the leader begins.
type offer struct{ gap, lean, start, cost float64 }

func offersOver(spots []spot, side float64) (out []offer) {
	round := func(v float64) float64 { return math.Round(v*1e6) / 1e6 }
	for _, s := range spots {
		if gap := side*s.mid.Y - 10 - 0.65; gap > 0 && s.side == 0 && !(s.tip.Y == 0) {
			out = append(out, offer{round(gap), round((s.mid.X - 50) / (10 + gap)), s.start, round(s.cost)})
		}
	}
	return out
}

func TestPricesBesideADuct(t *testing.T) {
	r := straight(20, 100)
	usual := onRun(nil, lettered(1), r, 50, 0, usually(false))
	require.InDelta(t, 0, usual[0].cost, 1e-9, "over the line of the sketch")
	require.InDelta(t, 5, usual[0].mid.Y, 1e-9)
	require.InDelta(t, 0.3, usual[1].cost, 1e-9, "under it")
	require.InDelta(t, -5, usual[1].mid.Y, 1e-9)
	require.Equal(t, []offer{{0.9, 0.6, 0, 4}, {0.9, -0.6, 0, 4.2}, {2.2, 0.6, 0, 5.3}, {2.2, -0.6, 0, 5.5},
		{4, 0.6, 0, 7.1}, {4, -0.6, 0, 7.3}}, offersOver(usual, 1))
	require.Equal(t, []offer{{0.9, 0.6, 0, 4.5}, {0.9, -0.6, 0, 4.7}, {2.2, 0.6, 0, 5.8}, {2.2, -0.6, 0, 6},
		{4, 0.6, 0, 7.6}, {4, -0.6, 0, 7.8}}, offersOver(usual, -1), "half a height more under a duct")

	rare := onRun(nil, lettered(1), r, 50, 0, rarely(false))
	var want []offer
	for _, gap := range [][2]float64{{0.45, 4.45}, {0.9, 4}, {1.5, 4.6}, {2.2, 5.3}, {3, 6.1}, {4, 7.1}, {5.5, 8.6},
		{7, 10.1}, {9, 12.1}} {
		for _, m := range []lean{{0.6, 0, 0}, {-0.6, 0, 0.2}, {0.05, 0, 0.3}, {1, 0, 0.3}, {-1, 0, 0.4}, {1.5, 0, 0.6},
			{-1.5, 0, 0.7}, {1, -0.9, 0.4}, {-1, 0.9, 0.5}, {1.5, -0.9, 0.6}, {-1.5, 0.9, 0.7}} {
			want = append(want, offer{gap[0], m.off, m.start, math.Round((gap[1]+m.cost)*1e6) / 1e6})
		}
	}
	require.Equal(t, want, offersOver(rare, 1))

	// Lettering that lies: 4 for standing beside, 1.5 for not going along, a height for every one after 0.9.
	lies := rare[len(rare)-4*8:]
	for i, ring := range []float64{2, 3.5, 5.5, 8} {
		require.InDelta(t, 4+1.5+ring-0.9, lies[8*i].cost, 1e-9)
		require.InDelta(t, 50+10+ring+2, lies[8*i].mid.X, 1e-9)
		require.InDelta(t, 4+1.5+ring-0.9+0.7, lies[8*i+7].cost, 1e-9, "a tenth for each direction after the first")
	}
}

// Text that stands between the walls has 0.25 to the wall and to the line of the sketch, or 0.3 to the walls where it
// may stand on that line.
func TestRoomBetweenWalls(t *testing.T) {
	between := func(width, length float64, lines int, centred bool) (n int) {
		for _, s := range onRun(nil, lettered(lines), straight(width, length), length/2, 0, usually(centred)) {
			if s.inside != nil {
				n++
			}
		}
		return n
	}
	require.Equal(t, 2, between(2*(1+2*0.25)+0.01, 9, 1, false), "capitals of 1 m in either half")
	require.Equal(t, 0, between(2*(1+2*0.25)-0.01, 9, 1, false))
	require.Equal(t, 1, between(1.3+2*0.3+0.01, 9, 1, true))
	require.Equal(t, 0, between(1.3+2*0.3-0.01, 9, 1, true))
	require.Equal(t, 2, between(9, 4.01, 1, false), "4 m long")
	require.Equal(t, 0, between(9, 3.99, 1, false))
	require.Equal(t, 3, between(2*(1+2*0.25)+0.01, 9, 2, false),
		"a line on each side; both on one line, 8 m long, on either")
	require.Equal(t, 1, between(2*(1+2*0.25)+0.01, 7.9, 2, false), "no room for those")
}

func TestPricesAlongADuct(t *testing.T) {
	w := write(Spec{Scale: 1, TextHeight: 1})
	costs := func(e effort, runs ...*run) map[float64]float64 {
		c := &chain{runs: runs}
		out := map[float64]float64{}
		for _, r := range runs {
			c.plan += r.plan
		}
		for _, s := range alongChain(nil, label{look: metreHigh}, c, span{0, c.plan}, w, e) {
			if s.inside != nil && s.mid.Y > 0 {
				out[math.Round(s.mid.X*100)/100] = math.Round(s.cost*1000) / 1000
			}
		}
		return out
	}
	// 3 at the end of the part to be lettered: half way to it 1.5.
	require.Equal(t, map[float64]float64{100: 0, 80: 0.6, 120: 0.6, 60: 1.2, 140: 1.2, 40: 1.8, 160: 1.8, 20: 2.4,
		180: 2.4}, costs(usually(false), straight(20, 200)))
	require.Len(t, costs(rarely(false), straight(20, 220)), 21)
	require.InDelta(t, 2.727, costs(rarely(false), straight(20, 220))[10], 1e-9,
		"3 x 10/11 at a twenty-second of the way")
	// On the shorter of two pieces 2 less its share of the longer: on 50 m of 200 m 1.5.
	second := straight(20, 50)
	second.axis.A, second.axis.B = v(200, 0), v(250, 0)
	got := costs(usually(false), straight(20, 200), second)
	require.InDelta(t, 3*25.0/125, got[100], 1e-9)
	require.InDelta(t, 1.5+3*100.0/125, got[225], 1e-9)
	// Two lines on one: a half.
	b := lettered(2)
	for _, s := range onRun(nil, b, straight(3.6, 90), 45, 0, usually(false)) {
		if s.inside != nil && s.text == &b.texts[1] {
			require.InDelta(t, map[bool]float64{true: 0.5, false: 0.8}[s.mid.Y > 0], s.cost, 1e-9)
		}
	}
}

// Beside a face 10 m wide and 6 m high: on its right, left, over and under it, then off the corners, each a tenth more;
// a height a height.
func TestPricesBesideAnOutline(t *testing.T) {
	face := geom.Rectangle(v(0, 0), geom.Vec{X: 1}, 5, 3)
	usual := besideOutline(nil, lettered(1), face, 3, usually(false))
	require.Len(t, usual, 4*8)
	for i, c := range []struct{ reach, cost float64 }{{0.9, 0}, {2.5, 1.6}, {5, 4.1}, {8, 7.1}} {
		s := usual[8*i : 8*i+8]
		for k, at := range []geom.Vec{{X: 5 + c.reach + 2}, {X: -5 - c.reach - 2}, {Y: 3 + c.reach + 0.65},
			{Y: -3 - c.reach - 0.65}, {X: 5 + c.reach + 2, Y: 3 + c.reach/2}, {X: 5 + c.reach + 2, Y: -3 - c.reach/2}} {
			require.InDelta(t, 0, s[k].mid.PlanDist(at), 1e-9)
			require.InDelta(t, c.cost+0.1*float64(k), s[k].cost, 1e-9)
			require.Equal(t, i > 0, s[k].leader, "beyond the nearest there is a leader")
		}
	}
	rare := besideOutline(nil, lettered(2), face, 3, rarely(false))
	require.Len(t, rare, 2*10*(8+4*4))
	for i, reach := range []float64{0.45, 0.9, 1.7, 2.5, 3.5, 5, 6.5, 8, 10, 12} {
		s := rare[i*24 : (i+1)*24]
		cost := math.Abs(reach - 0.9)
		require.InDelta(t, 5+reach+2, s[0].mid.X, 1e-9)
		require.InDelta(t, cost, s[0].cost, 1e-9)
		for m := range 4 { // flush with the ends of the side, and half as far
			require.InDelta(t, []float64{1.55, -1.55, 0.775, -0.775}[m], s[1+m].mid.Y, 1e-9)
			require.InDelta(t, cost+0.15*float64(m+1), s[1+m].cost, 1e-9)
		}
		require.InDelta(t, cost+0.5, rare[240+i*24].cost, 1e-9, "its lines on one")
	}
	r := straight(10, 0)
	require.InDelta(t, 4+2+0.45, atRiser(nil, lettered(1), r)[0].cost, 1e-9, "beside a vertical part")
}

// Where the cheapest of the usual places is good, the rarer ones are not looked at.
func TestWhenRarePlacesAreTried(t *testing.T) {
	n := &duct.Node{}
	for _, c := range []struct {
		want want
		good float64
	}{
		{beside(lettered(1), nil, v(0, 0), ""), 0.8},
		{tag(n, straight(1, 9), true, write(Spec{})), 5},
		{sizes([]*chain{{runs: []*run{straight(1, 9)}, plan: 9, text: []string{"x"}}}, write(Spec{}), 0)[0], 5},
	} {
		for _, more := range []float64{-0.01, 0.01} {
			ch := chooser{obstacles: &obstacles{}, rare: effort{rare: true}}
			c.want.spots = func(out []spot, e effort) []spot {
				s := spot{text: &lettered(1).texts[0], dir: geom.Vec{X: 1}, cost: c.good + more}
				if e.rare {
					s.cost = 0.1
				}
				return append(out, s)
			}
			p, ok := ch.place(c.want)
			require.True(t, ok)
			require.Equal(t, more > 0, p.cost == 0.1, "%v", c.good+more)
		}
	}
}

// An elevation is tagged within three metres of the place where it changes, the nearer the better: a metre costs one.
func TestPlacesOfLevelTags(t *testing.T) {
	for _, c := range []struct{ length, step float64 }{{100, 3.0 / 22}, {2, 2.0 / 22}} {
		for _, end := range []float64{0, c.length} {
			r := straight(20, c.length)
			n, w := 0, write(Spec{Scale: 1, TextHeight: 0.01})
			for _, s := range tag(&duct.Node{}, r, end == 0, w).spots(nil, rarely(false)) {
				if s.inside == nil || s.mid.Y < 0 {
					continue
				}
				n++
				off := math.Abs(s.mid.X - end)
				require.InDelta(t, c.step*float64(n), off, 1e-9)
				require.InDelta(t, off, s.cost, 1e-9)
			}
			require.Equal(t, 21, n)
		}
	}
}

func TestArrowsFitBetweenWalls(t *testing.T) {
	// At 1:50 an arrow of 6 mm is 0.3 m long and 0.09 m wide, and keeps 0.3 of 2.5 mm lettering, 37.5 mm, to each wall:
	// 165 mm. The shorter one has 0.65 of that: 0.195 m long, 0.0585 m wide, 133.5 mm.
	for _, c := range []struct{ width, long float64 }{{0.166, 0.3}, {0.164, 0.195}, {0.134, 0.195}, {0.133, 0}} {
		for _, air := range []duct.Air{duct.SUP, duct.ETA} {
			r := straight(c.width, 10)
			r.Flow, r.Air = 0.1, air
			spec := Spec{Scale: 50, TextHeight: 0.0025}
			out := arrows([]*chain{{runs: []*run{r}, plan: 10}}, &obstacles{}, &spec)
			if c.long == 0 {
				require.Empty(t, out)
				continue
			}
			var corners []geom.Vec
			for _, s := range out {
				switch g := s.Geom.(type) {
				case shape.Solid:
					corners = append(corners, g.Corners[:]...)
				case shape.Line:
					corners = append(corners, g.A, g.B)
				}
			}
			box := geom.BoxOf(corners...)
			require.InDelta(t, c.long, box.MaxX-box.MinX, 1e-9, "%v", c)
			// Best seven tenths of the way along the air; of eleven places between the ends the nearest, the eighth.
			at := c.long/2 + 0.7*(10-c.long)
			if air == duct.ETA {
				at = 10 - at
			}
			require.InDelta(t, at, (box.MinX+box.MaxX)/2, 1e-9, air.String())
		}
	}
}

// A duct goes on as the same one past a junction where it turns by up to 15 degrees.
func TestDuctGoesOnWhereItHardlyTurns(t *testing.T) {
	for turn, want := range map[float64]bool{0: true, 14.9: true, 15.1: false} {
		a, b := straight(1, 10), straight(1, 10)
		b.axis = geom.Curve{A: v(10, 0), B: v(10, 0).Add(geom.Direction(turn * math.Pi / 180).Scale(10))}
		require.Equal(t, want, (&chain{runs: []*run{a}}).goesOn(&chain{runs: []*run{b}}), "%v", turn)
	}
}

func TestNoMoreThanAHundredLabelsOnADuct(t *testing.T) {
	spans := (&chain{plan: 500}).spans(0.001)
	require.Len(t, spans, 100)
	require.Equal(t, span{495, 500}, spans[99])
}

// Lines of a label stand 1.6 heights apart; what hangs below the last and the slash take 0.3; the mark before an
// elevation takes 1.1.
func TestRoomOfLettering(t *testing.T) {
	k := look{kind: shape.SizeText, tall: 2, factor: 0.5}
	one, two := k.letter("00"), k.letter("00", "0")
	require.InDelta(t, 2*1.3, one.h, 1e-9)
	require.InDelta(t, 2*(1.3+1.6), two.h, 1e-9)
	require.InDelta(t, 2*2*0.96*0.5, two.w, 1e-9)
	k.slant = math.Atan(0.25)
	require.InDelta(t, one.w+0.25*2, k.letter("00").w, 1e-9)
	k.slant, k.kind = 0, shape.LevelText
	require.InDelta(t, one.w+1.1*2, k.letter("00").w, 1e-9)

	level := k.letter("00", "0")
	p := placed{label{look: k, key: "n"}, spot{text: &level, dir: geom.Vec{X: 1}}}
	got := texts(p.shapes(&symbols.Choices{}))
	require.InDelta(t, 1.6*2, got["n/1"].At.Y-got["n/2"].At.Y, 1e-9)
	require.InDelta(t, -level.w/2+1.1*2, got["n/1"].At.X, 1e-9)
}
