package pipeline

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The sheets testdata/cases/outside-*.dxf are sketches of an outside tester that something was wrong with once. What is
// asked of them was worked out by hand from the sketch before looking at what the program draws, and the drawing is
// read back here tag by tag, without the program's own reader.

// drawnLine is a LINE or an ARC of the drawing, in millimetres. An arc has its points at steps of a degree or two.
type drawnLine struct {
	part, layer string
	points      [][3]float64
	arc         bool
}

// drawnLines reads the lines and arcs on layers of the program out of an ASCII drawing in millimetres, and the outlines
// of units, whose part is UNIT.
func drawnLines(t *testing.T, drawing []byte) []drawnLine {
	t.Helper()
	var out []drawnLine
	kind, tags := "", map[int][]string{}
	number := func(code int) float64 {
		v := tags[code]
		if len(v) == 0 {
			return 0
		}
		x, err := strconv.ParseFloat(strings.TrimSpace(v[0]), 64)
		require.NoError(t, err)
		return x
	}
	flush := func() {
		if len(tags[8]) == 0 {
			return
		}
		layer := tags[8][0]
		words := strings.Split(layer, "-")
		switch {
		case kind == "LWPOLYLINE" && len(words) > 2 && words[2] == "UNIT":
			l := drawnLine{part: "UNIT", layer: layer}
			for i := range tags[10] {
				x, errX := strconv.ParseFloat(strings.TrimSpace(tags[10][i]), 64)
				y, errY := strconv.ParseFloat(strings.TrimSpace(tags[20][i]), 64)
				require.NoError(t, errX)
				require.NoError(t, errY)
				l.points = append(l.points, [3]float64{x, y})
			}
			out = append(out, drawnLine{part: l.part, layer: layer, points: append(l.points, l.points[0])})
		case words[0] != "TW" || len(words) < 4:
		case kind == "LINE":
			out = append(out, drawnLine{words[2], layer, [][3]float64{
				{number(10), number(20), number(30)}, {number(11), number(21), number(31)}}, false})
		case kind == "ARC" || kind == "CIRCLE":
			require.GreaterOrEqual(t, number(230), 0.0, "an arc seen from below")
			from, to := number(50), number(51)
			if kind == "CIRCLE" {
				from, to = 0, 360
			}
			for to <= from {
				to += 360
			}
			l, n := drawnLine{part: words[2], layer: layer, arc: true}, 90
			for i := range n + 1 {
				a := (from + (to-from)*float64(i)/float64(n)) * math.Pi / 180
				l.points = append(l.points,
					[3]float64{number(10) + number(40)*math.Cos(a), number(20) + number(40)*math.Sin(a), number(30)})
			}
			out = append(out, l)
		}
	}
	lines := bufio.NewScanner(bytes.NewReader(drawing))
	for lines.Scan() {
		code, err := strconv.Atoi(strings.TrimSpace(lines.Text()))
		require.NoError(t, err)
		require.True(t, lines.Scan())
		if code == 0 {
			flush()
			kind, tags = lines.Text(), map[int][]string{}
			continue
		}
		tags[code] = append(tags[code], lines.Text())
	}
	require.NoError(t, lines.Err())
	require.NotEmpty(t, out)
	return out
}

func (l drawnLine) ends() [2][3]float64 { return [2][3]float64{l.points[0], l.points[len(l.points)-1]} }

// distance is how far a place lies from a line, in plan.
func (l drawnLine) distance(p [3]float64) float64 {
	d := math.Inf(1)
	for i := 1; i < len(l.points); i++ {
		d = min(d, segmentDist(l.points[i-1], l.points[i], p[0], p[1]))
	}
	return d
}

// Tolerances in millimetres: what meets, meets within a thousandth; arcs are chords here, off by up to chord.
const (
	meets = 1e-3
	chord = 0.1
)

func isWall(part string) bool { return part == "WALL" || part == "HIDE" }

// wallLaws holds the walls of a drawing to what has to be true of all of them: none has a length of nothing in plan,
// each end meets something, and no two cross.
func wallLaws(t *testing.T, lines []drawnLine) {
	t.Helper()
	near := func(a, b [3]float64) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }
	for i, l := range lines {
		e := l.ends()
		if l.part == "UNIT" || !slices.Contains([]string{"WALL", "HIDE", "JOINT", "FLEX"}, l.part) {
			continue
		}
		if !l.arc && near(e[0], e[1]) < meets {
			t.Errorf("%s of no length in plan at %v", l.layer, e[0])
		}
		if l.part != "WALL" {
			continue
		}
		for _, p := range e {
			met := slices.ContainsFunc(lines, func(m drawnLine) bool {
				if slices.Contains([]string{"AXIS", "SIZE", "FLOW", "BODY"}, m.part) || &m.points[0] == &l.points[0] {
					return false
				}
				if m.arc {
					return m.distance(p) < chord
				}
				return m.distance(p) < meets
			})
			if !met {
				t.Errorf("%s ends at %.3f, %.3f and meets nothing", l.layer, p[0], p[1])
			}
		}
		for _, m := range lines[:i] {
			if m.part != "WALL" || l.arc || m.arc {
				continue
			}
			if x, y, ok := crossing(l.ends(), m.ends()); ok {
				t.Errorf("%s and %s cross at %.3f, %.3f", l.layer, m.layer, x, y)
			}
		}
	}
}

// crossing returns where two straight lines of one height cross inside both.
func crossing(a, b [2][3]float64) (x, y float64, ok bool) {
	ux, uy := a[1][0]-a[0][0], a[1][1]-a[0][1]
	vx, vy := b[1][0]-b[0][0], b[1][1]-b[0][1]
	det := ux*vy - uy*vx
	if math.Abs(det) < 1e-9*math.Hypot(ux, uy)*math.Hypot(vx, vy) {
		return 0, 0, false
	}
	wx, wy := b[0][0]-a[0][0], b[0][1]-a[0][1]
	s, r := (wx*vy-wy*vx)/det, (wx*uy-wy*ux)/det
	marginA, marginB := 2/math.Hypot(ux, uy), 2/math.Hypot(vx, vy)
	if s < marginA || s > 1-marginA || r < marginB || r > 1-marginB {
		return 0, 0, false
	}
	return a[0][0] + s*ux, a[0][1] + s*uy, true
}

// walled returns how much of the way from one place to another, in metres, has straight lines of the parts on it, in
// millimetres.
func walled(lines []drawnLine, x0, y0, x1, y1 float64, is func(string) bool) float64 {
	a, b := [3]float64{1000 * x0, 1000 * y0}, [3]float64{1000 * x1, 1000 * y1}
	length := math.Hypot(b[0]-a[0], b[1]-a[1])
	along := func(p [3]float64) float64 {
		return ((p[0]-a[0])*(b[0]-a[0]) + (p[1]-a[1])*(b[1]-a[1])) / length
	}
	var sum float64
	for _, l := range lines {
		if !is(l.part) || l.arc {
			continue
		}
		e := l.ends()
		off := func(p [3]float64) float64 {
			return math.Abs((p[0]-a[0])*(b[1]-a[1])-(p[1]-a[1])*(b[0]-a[0])) / length
		}
		if off(e[0]) > meets || off(e[1]) > meets {
			continue
		}
		s, r := along(e[0]), along(e[1])
		sum += max(0, min(length, max(s, r))-max(0, min(s, r)))
	}
	return sum
}

// outsideSheet is a sheet of testdata/cases with what has to be drawn of it.
type outsideSheet struct {
	caseSheet
	ways []way
}

// way is a part of the plan, in metres of the drawing, which has walls (or joints) on its whole length or on none of
// it.
type way struct {
	x0, y0, x1, y1 float64
	is             string // "wall", "joint" or "open"
}

// staggeredWays are the walls of a main of 400 mm with takeoffs of 250 mm at 4 m up and d further down, then 315 mm.
func staggeredWays() []way {
	var out []way
	for i, d := range []float64{0.05, 0.2, 0.25, 0.4, 0.05, 0.2, 0.25, 0.4} {
		y := 10 * float64(i)
		out = append(out,
			way{0.3, y + 0.2, 3.875, y + 0.2, "wall"}, way{3.875, y + 0.2, 4.125, y + 0.2, "open"},
			way{4.125, y + 0.2, 4.125 + d, y + 0.2, "wall"},
			way{0.3, y - 0.2, 3.875 + d, y - 0.2, "wall"}, way{3.875 + d, y - 0.2, 4.125 + d, y - 0.2, "open"},
			way{3.875, y + 0.2, 3.875, y + 2, "wall"}, way{4.125, y + 0.2, 4.125, y + 2, "wall"},
			way{3.875 + d, y - 0.2, 3.875 + d, y - 2, "wall"}, way{4.125 + d, y - 0.2, 4.125 + d, y - 2, "wall"})
	}
	return out
}

var outsideSheets = []outsideSheet{
	{caseSheet{"outside-steps", "", "riser", slices.Concat(
		rows("levels 5.5,2", "bottom noted plus half the height of 150", "3675 3675", "2875 2875", "3275 3275"),
		rows("length 5.5,0v", "from the main at 3300", "375", "425"),
		rows("levels 3,0", "the default; bottom noted plus half the height of 300", "3300 3300", "3300 3300",
			"3350 3350"),
		rows("kinds", "the convention: two ends at one place and two heights are joined by a riser; "+
			"3.275 lies within 3.2 to 3.5",
			"drop 2, duct 4", "drop 2, duct 4", "drop 2, duct 3"),
	)}, nil},
	{caseSheet{"outside-staggered", "", "", slices.Concat(
		rows("size 2,0", friction, "ø400", "ø400", "ø400", "ø400", "ø400", "ø400", "ø400", "ø400"),
		rows("size 7,0", friction, "ø315", "ø315", "ø315", "ø315", "ø315", "ø315", "ø315", "ø315"),
		rows("size 4.5,2", friction, "ø250", "ø250", "ø250", "ø250", "ø250", "ø250", "ø250", "ø250"),
	)}, staggeredWays()},
	{caseSheet{"outside-sloping", "", "", slices.Concat(
		rows("levels 2.5,0", drawn, "3400 3900", "3400 3150", "3400 3900", "3400 3800"),
		rows("levels 4.5,2", drawn, "3900 3900", "3150 3150", "3900 3900", "3800 3800"),
	)}, nil},
	{caseSheet{"outside-straight-side", "", "", slices.Concat(
		rows("size 2,0", friction, "ø500", "ø500"),
		rows("size 12.5,0v", friction, "ø200", "ø200"), // the drop stands over its terminal, not beside it
	)}, []way{
		// From 500 mm down to 200 mm, 250 mm beside the middle of the main on the side that stays straight.
		{5.25, 0.25, 10, 0.25, "wall"}, {6.5, 0.05, 10, 0.05, "wall"}, {6.5, -0.05, 10, -0.05, "open"},
		{0, 9.75, 10, 9.75, "wall"}, {6.5, 9.95, 10, 9.95, "wall"}, {6.5, 10.05, 10, 10.05, "open"},
	}},
	{caseSheet{"outside-touching", "", "", rows("size 2,0", friction, "ø315", "ø315", "ø315", "ø315", "ø315")}, nil},
	{caseSheet{"outside-turning-back", "", "no-room",
		rows("size 2,0", friction, "ø200", "ø200", "ø200", "ø200", "ø200", "ø200")}, nil},
	{caseSheet{"outside-entries", "", "",
		rows("size 2,0", "python3-fluids: the least area of EN 1505 sides within 0.65 Pa/m and 7.5 m/s")}, nil},
	{caseSheet{"outside-necks", "", "", rows("size 3,0", table, "ø250", "ø250", "ø250")}, []way{
		{5.7, -0.1, 5.7, 0.1, "joint"}, // 200 mm wide at the side of the block
	}},
	{caseSheet{"outside-regain", "[sizing]\nmethod = \"static-regain\"\n", "", slices.Concat(
		rows("size 5.5,2", friction+"; no size of a plain branch gains what it loses, so equal friction decides",
			"ø315"),
		rows("size 10.5,-2", friction, "ø250"),
		rows("size 22.5,-2", friction, "ø200"),
	)}, nil},
}

// TestOutside holds the sheets of an outside tester to what is to be drawn of them.
func TestOutside(t *testing.T) {
	for _, c := range outsideSheets {
		for _, flat := range []bool{false, true} {
			c := c
			if flat {
				c.settings += "\n[draw]\nflat = true\n"
			}
			t.Run(fmt.Sprintf("%s/flat=%v", c.name, flat), func(t *testing.T) { c.run(t) })
		}
	}
}

func (c outsideSheet) run(t *testing.T) {
	st, f := c.study(t)
	require.Equal(t, c.findings, codes(f), "%v", st.Findings)
	for _, r := range c.rows {
		require.NotEmpty(t, r.source)
		require.Equal(t, r.want, f.ask(r.unit, r.ask), "%s: %s (%s)", r.unit, r.ask, r.source)
	}
	for _, sys := range f.Systems {
		sys.references(t, c.name, 1.204) // standard air, kg/m3
	}
	d, err := st.Draw()
	require.NoError(t, err)
	lines := drawnLines(t, d.Output)
	wallLaws(t, lines)
	if c.name == "outside-turning-back" {
		// A sharp corner of 175 degrees would reach 100/tan(2.5 degrees) mm past the end of the sketch's duct.
		for _, l := range lines {
			for _, p := range l.points {
				if l.part == "WALL" && p[0] > 6000+1.5*200 {
					t.Errorf("a wall reaches to %.0f, the duct turns back at 6000", p[0])
				}
			}
		}
	}
	for _, w := range c.ways {
		is, want := isWall, 1000*math.Hypot(w.x1-w.x0, w.y1-w.y0)
		switch w.is {
		case "joint":
			is = func(part string) bool { return part == "JOINT" }
		case "open":
			want = 0
		}
		if got := walled(lines, w.x0, w.y0, w.x1, w.y1, is); math.Abs(got-want) > 2*meets {
			t.Errorf("%v: %.3f mm of it drawn, want %.3f", w, got, want)
		}
	}
}

// references holds each fitting's loss to its coefficient on the velocity pressure of the leg its reference names, at
// the density of the air.
func (s caseSystem) references(t *testing.T, name string, density float64) {
	t.Helper()
	pressure := func(r caseRun) float64 { return density * r.Velocity * r.Velocity / 2 }
	for _, x := range s.Fittings {
		if x.Kind == "terminal" {
			continue // on the velocity in the neck, which is no run
		}
		var on []float64
		widest := -1
		for i, r := range s.Runs {
			in, out := r.To == x.Node, r.From == x.Node
			if (in || out) && (widest < 0 || r.Flow > s.Runs[widest].Flow) {
				widest = i
			}
			own := x.Reference == "own" && r.ID == x.Run
			if own || x.Reference == "upstream" && in || x.Reference == "downstream" && out {
				on = append(on, pressure(r))
			}
		}
		if x.Reference == "common" {
			on = append(on, pressure(s.Runs[widest]))
		}
		if len(on) == 0 {
			require.Contains(t, []string{"outside-necks"}, name, "no run on the %s side of %s", x.Reference, x.Kind)
			continue // the leg is the neck of a terminal, which is no run
		}
		const tolerance = 1e-3 // of the loss, and of a pascal: JSON gives six decimals of each
		require.True(t, slices.ContainsFunc(on, func(p float64) bool {
			return math.Abs(x.C*p-x.Loss) <= tolerance*max(1, math.Abs(x.Loss))
		}), "%s: %s of %s, C %v on the %s velocity: %v Pa; the pressures there are %v", s.Unit, x.Kind, x.Run, x.C,
			x.Reference, x.Loss, on)
	}
}
