package dxfio

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// withBlocks is a drawing with blocks, each a name and its content, and entities.
func withBlocks(entities string, blocks ...string) []byte {
	var b strings.Builder
	for i := 0; i+1 < len(blocks); i += 2 {
		b.WriteString(lines(0, "BLOCK", 8, "0", 2, blocks[i], 10, 0, 20, 0, 30, 0) + blocks[i+1] + lines(0, "ENDBLK", 8,
			"0"))
	}
	return []byte(lines(0, "SECTION", 2, "BLOCKS") + b.String() + lines(0, "ENDSEC") + inEntities(entities))
}

func insertOf(block string, more ...any) string {
	return lines(append([]any{0, "INSERT", 5, "A1", 8, "ARCH", 2, block, 10, 0, 20, 0}, more...)...)
}

var duct = lines(0, "LINE", 5, "2F", 8, "SK-SUP-DUCT", 10, 0, 20, 0, 11, 1, 21, 0)

// ofSketch walks what lies on layers of the sketch.
func ofSketch(t *testing.T, data []byte) ([]*Entity, []Trouble) {
	t.Helper()
	d, err := Read(data)
	require.NoError(t, err)
	var got []*Entity
	troubles := d.Walk(func(_ Kind, layer string) bool { return strings.HasPrefix(layer, "SK-") },
		func(e *Entity) bool {
			got = append(got, e)
			return true
		})
	return got, troubles
}

func TestWalkGoesIntoInsertsItWasNotAskedFor(t *testing.T) {
	got, troubles := ofSketch(t,
		withBlocks(insertOf("outer", 10, 5), "outer", insertOf("INNER", 10, 100), "inner",
			duct+lines(0, "LINE", 8, "ARCH", 10, 0, 11, 1)))
	require.Empty(t, troubles)
	require.Len(t, got, 1)
	require.Equal(t, []string{"A1", "A1"}, got[0].Path)
	require.InDelta(t, 105, got[0].Vertices[0].X, 0)
}

func TestLayerZeroInBlocks(t *testing.T) {
	zero := strings.Replace(duct, "SK-SUP-DUCT", "0", 1)
	got, _ := ofSketch(t, withBlocks(strings.Replace(insertOf("A"), "ARCH", "SK-ETA-DUCT", 1), "A", zero))
	require.Len(t, got, 2)
	require.Equal(t, "SK-ETA-DUCT", got[1].Layer)
	got, _ = ofSketch(t, withBlocks(strings.Replace(insertOf("A"), "ARCH", "SK-ETA-DUCT", 1), "A", insertOf("B"), "B",
		zero))
	require.Len(t, got, 1, "the inner insert's layer counts, not the outer one's")
}

func TestWalkLeavesOut(t *testing.T) {
	cases := map[string]string{
		"a sheet":                 strings.Replace(duct, "8\nSK", "67\n1\n8\nSK", 1),
		"what carries our mark":   duct + lines(1001, ApplicationName, 1000, "key=1"),
		"other layers":            strings.Replace(duct, "SK-SUP-DUCT", "WALLS", 1),
		"kinds that are not read": strings.Replace(duct, "0\nLINE", "0\nHATCH", 1),
	}
	for name, entity := range cases {
		got, troubles := ofSketch(t, []byte(inEntities(entity)))
		require.Empty(t, got, name)
		require.Empty(t, troubles, name)
	}
	ours := duct + lines(1001, ApplicationName, 1000, "key=1")
	got, _ := ofSketch(t, withBlocks(insertOf("A"), "A", ours))
	require.Empty(t, got, "our mark inside a block")
}

func TestRowsAndColumns(t *testing.T) {
	terminal := strings.Replace(insertOf("A", 44, 10, 45, 20, 50, 90, 70, 2, 71, 2, 66, 1), "ARCH", "SK-SUP-TERM", 1) +
		lines(0, "ATTRIB", 8, "0", 2, "FLOW", 1, "40 L/s", 0, "SEQEND", 8, "0")
	got, _ := ofSketch(t, withBlocks(terminal, "A", duct))
	require.Len(t, got, 8)
	var handles []string
	for i, want := range []Point{{0, 0, 0}, {0, 10, 0}, {-20, 0, 0}, {-20, 10, 0}} { // turned by a quarter
		e, line := got[2*i], got[2*i+1]
		require.Equal(t, []Attrib{{Tag: "FLOW", Value: "40 L/s"}}, e.Attribs)
		require.Less(t, e.Center.add(want.scale(-1)).len(), 1e-9)
		require.Less(t, line.Vertices[0].add(want.scale(-1)).len(), 1e-9)
		require.Equal(t, []string{e.Handle}, line.Path)
		handles = append(handles, e.Handle)
	}
	require.Equal(t, []string{"A1", "A1[0,1]", "A1[1,0]", "A1[1,1]"}, handles)
}

func TestConstantAttributes(t *testing.T) {
	def := func(tag, value string, flags int) string {
		return lines(0, "ATTDEF", 8, "0", 2, tag, 3, "prompt", 1, value, 70, flags)
	}
	got, _ := ofSketch(t,
		withBlocks(strings.Replace(insertOf("A"), "ARCH", "SK-SUP-TERM", 1), "A",
			def("NECK", "250", 2)+def("FLOW", "0", 0)))
	require.Equal(t, []Attrib{{Tag: "NECK", Value: "250"}}, got[0].Attribs)
}

func TestBoxes(t *testing.T) {
	content := lines(0, "ARC", 8, "0", 10, 0, 20, 0, 40, 10, 50, 45, 51, 135) + lines(0, "SOLID", 8, "0", 10, -1, 20, 0,
		11, 30, 21, 0, 12, 0, 22, 2) +
		lines(0, "TEXT", 8, "0", 10, 900, 20, 900, 40, 1, 1, "far away")
	got, _ := ofSketch(t,
		withBlocks(strings.Replace(insertOf("A", 41, 2, 50, 90), "ARCH", "SK-SUP-TERM", 1), "A", content))
	low, high := Point{math.Inf(1), math.Inf(1), 0}, Point{math.Inf(-1), math.Inf(-1), 0}
	for _, p := range got[0].Box {
		low.X, low.Y = math.Min(low.X, p.X), math.Min(low.Y, p.Y)
		high.X, high.Y = math.Max(high.X, p.X), math.Max(high.Y, p.Y)
	}
	// In the block x from -7.07 (the ends of the arc) to 30, y from 0 to 10; twice as wide, then turned left.
	require.InDeltaSlice(t, []float64{-10, -2 * 10 * math.Sqrt2 / 2, 0, 60}, []float64{low.X, low.Y, high.X, high.Y},
		1e-9)
	area := 0.0
	for i, p := range got[0].Box {
		q := got[0].Box[(i+1)%4]
		area += p.X*q.Y - q.X*p.Y
	}
	require.Positive(t, area, "counter-clockwise")
}

func TestGeometryByHand(t *testing.T) {
	bulge := math.Tan(math.Pi / 8) // a quarter turn
	cases := []struct {
		name, entity string
		want         []Vertex
		closed       bool
	}{
		{"leader", lines(0, "LEADER", 8, "SK-SUP-NOTE", 76, 2, 10, 1, 20, 2, 30, 3, 10, 4, 20, 5, 30, 6),
			[]Vertex{{Point: Point{1, 2, 3}}, {Point: Point{4, 5, 6}}}, false},
		{"elevation as before R11", lines(0, "LINE", 8, "SK-SUP-DUCT", 38, 7, 10, 0, 20, 0, 11, 1, 21, 0),
			[]Vertex{{Point: Point{0, 0, 7}}, {Point: Point{1, 0, 7}}}, false},
		{"bulge", lines(0, "LWPOLYLINE", 8, "SK-SUP-DUCT", 70, 1, 38, 5, 10, 0, 20, 0, 42, bulge, 10, 1, 20, 1),
			[]Vertex{{Point{0, 0, 5}, bulge}, {Point{1, 1, 5}, 0}}, true},
		{"bulge upside down",
			lines(0, "LWPOLYLINE", 8, "SK-SUP-DUCT", 38, 5, 10, 0, 20, 0, 42, bulge, 10, 1, 20, 1, 210, 0, 220, 0, 230,
				-1), []Vertex{{Point{0, 0, -5}, -bulge}, {Point{-1, 1, -5}, 0}}, false},
		{"full turn", lines(0, "ARC", 8, "SK-SUP-DUCT", 10, 0, 20, 0, 40, 1, 50, 0, 51, 360),
			[]Vertex{{Point{1, 0, 0}, 1}, {Point{-1, 0, 0}, 1}, {Point{1, 0, 0}, 0}}, false},
		{"over zero degrees", lines(0, "ARC", 8, "SK-SUP-DUCT", 10, 0, 20, 0, 40, 1, 50, 270, 51, 0),
			[]Vertex{{Point{0, -1, 0}, bulge}, {Point{1, 0, 0}, 0}}, false},
		{"smoothed polyline", lines(0, "POLYLINE", 8, "SK-SUP-DUCT", 66, 1, 70, 4) +
			lines(0, "VERTEX", 8, "SK-SUP-DUCT", 10, 9, 20, 9, 70, 16, 0, "VERTEX", 8, "SK-SUP-DUCT", 10, 0, 20, 0, 70,
				8, 0, "VERTEX", 8, "SK-SUP-DUCT", 10, 1, 20, 0, 70, 8, 0, "SEQEND", 8, "0"),
			[]Vertex{{Point: Point{0, 0, 0}}, {Point: Point{1, 0, 0}}}, false},
		{"spline of degree 1",
			lines(0, "SPLINE", 8, "SK-SUP-FLEX", 70, 8, 71, 1, 40, 0, 40, 0, 40, 1, 40, 1, 10, 0, 20, 0, 10, 16, 20, 0),
			straight(16), false},
		{"spline by points it goes through",
			lines(0, "SPLINE", 8, "SK-SUP-FLEX", 71, 3, 74, 2, 11, 0, 21, 0, 31, 1, 11, 5, 21, 0, 31, 1),
			[]Vertex{{Point: Point{0, 0, 1}}, {Point: Point{5, 0, 1}}}, false},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, troubles := ofSketch(t, []byte(inEntities(c.entity)))
			require.Empty(t, troubles)
			require.Len(t, got, 1)
			require.Equal(t, c.closed, got[0].Closed)
			require.Len(t, got[0].Vertices, len(c.want))
			for i, v := range got[0].Vertices {
				require.Less(t, v.Point.add(c.want[i].Point.scale(-1)).len(), 1e-9, "corner %d: %v", i, v)
				require.InDelta(t, c.want[i].Bulge, v.Bulge, 1e-9, "corner %d", i)
			}
		})
	}
}

// straight is a chain of n steps of one along X.
func straight(n int) (out []Vertex) {
	for i := range n + 1 {
		out = append(out, Vertex{Point: Point{float64(i), 0, 0}})
	}
	return out
}

// TestTroubles: each entity is left out and reported, and the line behind it is read.
func TestTroubles(t *testing.T) {
	on := func(kind string, tags ...any) string {
		return lines(append([]any{0, kind, 5, "BAD", 8, "SK-SUP-DUCT"}, tags...)...)
	}
	loop := insertOf("B", 5, "BAD")
	cases := []struct{ name, entity, code, says string }{
		{"no number", on("LINE", 10, "nan", 20, 0), troubleGeometry, "a coordinate is no number"},
		{"words", on("LINE", 10, "here"), troubleGeometry, "a coordinate is no number"},
		{"too far", on("LINE", 10, "1e300"), troubleGeometry, "too far away"},
		{"beyond numbers", on("LINE", 10, "1e999"), troubleGeometry, "too far away"},
		{"radius", on("ARC", 10, 0, 20, 0, 40, 0), troubleGeometry, "radius"},
		{"negative radius", on("CIRCLE", 10, 0, 20, 0, 40, -1), troubleGeometry, "radius"},
		{"no corners", on("LWPOLYLINE", 90, 1000000000), troubleGeometry, "no corners"},
		{"mesh", on("POLYLINE", 66, 1, 70, 64), troubleGeometry, "mesh"},
		{"no curve", on("SPLINE", 71, 3, 72, 99, 73, 99, 10, 0, 20, 0), troubleGeometry, "do not make a curve"},
		{"leader of a point", on("LEADER", 10, 0, 20, 0), troubleGeometry, "no length"},
		{"ellipse of no size", on("ELLIPSE", 10, 0, 20, 0), troubleGeometry, "no size"},
		{"missing block", strings.Replace(insertOf("nowhere"), "ARCH", "SK-SUP-DUCT", 1), troubleBlock,
			"block nowhere is inserted on layer SK-SUP-DUCT but is not in the drawing"},
		{"block that holds itself", loop, troubleBlock, "holds itself"},
		{"repeated too often", insertOf("A", 70, 30000, 71, 30000), troubleGeometry, "repeated more often"},
		{"scaled out of the world", insertOf("A", 41, 1e12, 50, 0, 10, 1e12), troubleGeometry, "too far away"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			data := withBlocks(c.entity+duct, "A", duct+lines(0, "LINE", 8, "SK-SUP-DUCT", 10, 5, 11, 6), "B",
				lines(0, "LINE", 8, "SK-SUP-DUCT", 10, 5, 11, 6)+insertOf("B"))
			got, troubles := ofSketch(t, data)
			require.NotEmpty(t, troubles)
			require.Equal(t, c.code, troubles[0].Code)
			require.Contains(t, troubles[0].Text, c.says)
			require.Regexp(t, `^line \d+$`, troubles[0].At)
			require.Equal(t, "2F", got[len(got)-1].Handle, "what follows is read")
		})
	}
}

func TestNestedTooDeep(t *testing.T) {
	var blocks []string
	for i := range 3 * maxDepth {
		blocks = append(blocks, fmt.Sprintf("B%d", i), insertOf(fmt.Sprintf("B%d", i+1)))
	}
	got, troubles := ofSketch(t, withBlocks(insertOf("B0"), append(blocks, fmt.Sprintf("B%d", 3*maxDepth), duct)...))
	require.Empty(t, got)
	require.Len(t, troubles, 1)
	require.Contains(t, troubles[0].Text, fmt.Sprintf("nested more than %d deep", maxDepth))
}

// TestRepeatedWithoutEnd: blocks that multiply, each in itself small, stop at a named limit.
func TestRepeatedWithoutEnd(t *testing.T) {
	many := func(content func(i int) string) []byte {
		var blocks []string
		for i := range 20 {
			blocks = append(blocks, fmt.Sprintf("B%d", i), content(i))
		}
		return withBlocks(insertOf("B0"), append(blocks, "B20", duct)...)
	}
	cases := map[string][]byte{
		"ten in each": many(func(i int) string {
			return strings.Repeat(insertOf(fmt.Sprintf("B%d", i+1)),
				10)
		}),
		"rows": many(func(i int) string {
			return insertOf(fmt.Sprintf("B%d", i+1), 70, 100, 71,
				100)
		}),
		"much that is not asked for": withBlocks(strings.Repeat(insertOf("A"), 30000), "A",
			duct+strings.Repeat(lines(0, "LINE", 8, "ARCH", 10, 0), 10000)),
	}
	for name, data := range cases {
		t.Run(name, func(t *testing.T) {
			d, err := Read(data)
			require.NoError(t, err)
			begin, n := time.Now(), 0
			troubles := d.Walk(func(_ Kind, layer string) bool { return strings.HasPrefix(layer, "SK-") },
				func(*Entity) bool { n++; return true })
			require.Less(t, time.Since(begin), time.Minute, "it ends")
			require.LessOrEqual(t, n, maxWalked+4*len(d.records))
			require.Len(t, troubles, 1)
			require.Contains(t, troubles[0].Text, "the rest was not read")
		})
	}
}

func TestTroublesAreCounted(t *testing.T) {
	_, troubles := ofSketch(t,
		[]byte(inEntities(strings.Repeat(lines(0, "LINE", 8, "SK-SUP-DUCT", 10, "x"), 5*maxTroubles))))
	require.Len(t, troubles, maxTroubles)
}

// FuzzRead holds reading to this: an error or a drawing whose records cover it and whose entities have coordinates that
// are numbers; the same twice.
func FuzzRead(f *testing.F) {
	f.Add([]byte(simple))
	f.Add(withBlocks(insertOf("A")+insertOf("B"), "A", duct+insertOf("B"), "B", insertOf("A")))
	f.Add([]byte(inEntities(lines(0, "SPLINE", 8, "SK", 71, 2, 40, 0, 40, 0, 40, 0, 40, 1, 40, 1, 40, 1, 10, 0, 20, 0,
		10, 1, 20, 1, 10, 2, 20, 0))))
	f.Add([]byte(inEntities(lines(0, "MTEXT", 8, "SK", 10, 0, 20, 0, 40, 1, 3, "{\\fx", 1, ";y}", 101,
		"Embedded Object", 10, 1))))
	f.Fuzz(fuzzRead)
}

// FuzzReadBinary is FuzzRead with the head of a binary file before the bytes.
func FuzzReadBinary(f *testing.F) {
	for _, wide := range []bool{false, true} {
		f.Add(toBinary(f, simple, wide)[len(sentinel):])
		f.Add(toBinary(f, string(withBlocks(insertOf("A"), "A", duct)), wide)[len(sentinel):])
	}
	f.Fuzz(func(t *testing.T, data []byte) { fuzzRead(t, append([]byte(sentinel), data...)) })
}

func fuzzRead(t *testing.T, data []byte) {
	d, err := Read(data)
	if err != nil {
		require.NotEmpty(t, err.Error())
		return
	}
	spansCover(t, d)
	count := func() (n int) {
		for _, trouble := range d.Walk(func(Kind, string) bool { return true }, func(e *Entity) bool {
			n++
			if !e.finite() {
				t.Fatalf("coordinates that are no numbers: %+v", e)
			}
			return n < 10000
		}) {
			require.NotEmpty(t, trouble.Text)
		}
		return n
	}
	require.Equal(t, count(), count())
	_ = d.maxHandle()
	_ = d.Layers()
}
