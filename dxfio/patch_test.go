package dxfio

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// drawn gives a drawing of a version with a patch in it.
func drawn(t *testing.T, version string, patch Patch) *Document {
	t.Helper()
	doc, err := New(version, 4)
	require.NoError(t, err)
	out, _, err := doc.Apply(patch)
	require.NoError(t, err)
	doc, err = Read(out)
	require.NoError(t, err)
	return doc
}

// edited gives the drawing after a person changed some of its text.
func edited(t *testing.T, doc *Document, old, new string) *Document {
	t.Helper()
	require.Equal(t, 1, strings.Count(string(doc.data), old), "%q", old)
	out, err := Read(bytes.Replace(doc.data, []byte(old), []byte(new), 1))
	require.NoError(t, err)
	return out
}

func applied(t *testing.T, doc *Document, patch Patch) (*Document, Change) {
	t.Helper()
	out, change, err := doc.Apply(patch)
	require.NoError(t, err)
	require.NoError(t, Verify(doc, out, change))
	next, err := Read(out)
	require.NoError(t, err)
	return next, change
}

func twoLines() Patch {
	return Patch{
		Layers: []LayerDef{{Name: "TW-SUP-WALL-NEW", Color: 5, Plots: true}},
		Items: []Item{
			{Key: "a", Layer: "TW-SUP-WALL-NEW", Geometry: LineGeom{Point{0, 0, 0}, Point{1000, 0, 0}}},
			{Key: "b", Layer: "TW-SUP-WALL-NEW",
				Geometry: PolylineGeom{Vertices: []Vertex{{Point: Point{0, 0, 0}}, {Point: Point{0, 700, 50}},
					{Point: Point{0, 900, 50}}}}},
		},
	}
}

// handlesOf lists the handles of our entities and their parts by key.
func handlesOf(t *testing.T, doc *Document) map[string][]string {
	o, err := outlineOf(doc)
	require.NoError(t, err)
	out := make(map[string][]string)
	for _, e := range o.ours {
		out[e.mark.key] = append(out[e.mark.key], e.handles...)
	}
	return out
}

func TestAChangedItemKeepsItsPlaceAndHandles(t *testing.T) {
	for _, version := range Versions() {
		doc := drawn(t, version, twoLines())
		before := handlesOf(t, doc)
		patch := twoLines()
		patch.Items[1].Geometry = PolylineGeom{Vertices: []Vertex{{Point: Point{0, 0, 0}}, {Point: Point{0, 650, 50}},
			{Point: Point{0, 900, 50}}, {Point: Point{10, 900, 50}}}}
		next, change := applied(t, doc, patch)
		require.Equal(t, []string{"a"}, change.Kept)
		require.Equal(t, []string{"b"}, change.Changed)
		require.Empty(t, change.Added)
		require.Empty(t, change.Removed)
		after := handlesOf(t, next)
		require.Equal(t, before["a"], after["a"])
		require.Equal(t, before["b"], after["b"][:len(before["b"])], "the old handles come first, in order")
		require.Len(t, after["b"], len(before["b"])+1)
		// Taking the change back gives back the drawing, but for the handle seed.
		back, change := applied(t, next, twoLines())
		require.Empty(t, change.Places)
		require.Len(t, back.data, len(doc.data))
	}
}

func TestARemovedItemVanishesAndNothingElse(t *testing.T) {
	doc := drawn(t, version2000, twoLines())
	patch := twoLines()
	patch.Items = patch.Items[1:]
	next, change := applied(t, doc, patch)
	require.Equal(t, []string{"a"}, change.Removed)
	require.Equal(t, []string{"b"}, change.Kept)
	require.Empty(t, change.Places)
	require.Len(t, next.Owned(), 1)
}

func TestWhatThePatchDoesNotOwnStays(t *testing.T) {
	doc := drawn(t, version2000, twoLines())
	next, change := applied(t, doc, Patch{Owns: func(key string) bool { return key == "a" }})
	require.Equal(t, []string{"a"}, change.Removed)
	require.Len(t, next.Owned(), 1)
	require.Equal(t, "b", next.Owned()[0].Key)
}

func TestAnEditIsReportedAndReplaced(t *testing.T) {
	for _, version := range []string{versionR12, version2018} {
		doc := drawn(t, version, twoLines())
		moved := edited(t, doc, "\n1000.0\n21\n0.0", "\n1234.5\n21\n0.0")
		require.True(t, moved.Owned()[0].Edited)
		next, change := applied(t, moved, twoLines())
		require.Equal(t, []string{"a"}, change.Changed)
		require.Len(t, change.Edited, 1)
		require.Equal(t, "a", change.Edited[0].Key)
		require.Equal(t, string(doc.data), string(next.data))
	}
}

func TestAnotherSpellingOfTheSameIsNoEdit(t *testing.T) {
	doc := drawn(t, version2018, twoLines())
	for old, respelt := range map[string]string{
		"\n1000.0\n21\n0.0": "\n1.00000000000000E+03\n21\n0",
		"8\nTW-SUP-WALL-NEW\n100\nAcDbLine\n": "8\ntw-sup-wall-new\n62\n256\n6\nByLayer\n370\n-1\n48\n1.0\n100\n" +
			"AcDbLine\n",
		"\n700.0\n": "\n700.00000000000011\n",
		"100\nAcDbLine\n10\n0.0\n20\n0.0\n30\n0.0\n": "100\nAcDbLine\n10\n-0.0\n20\n1e-12\n30\n0\n",
	} {
		again := edited(t, doc, old, respelt)
		for _, e := range again.Owned() {
			require.False(t, e.Edited, "%q", respelt)
		}
		next, change := applied(t, again, twoLines())
		require.Len(t, change.Kept, 2)
		require.Equal(t, string(again.data), string(next.data))
	}
}

// copyOf gives the drawing after a person copied the first LINE of ours: same marks, a new handle.
func copyOf(t *testing.T, doc *Document, handle string) *Document {
	t.Helper()
	o, err := outlineOf(doc)
	require.NoError(t, err)
	e := o.ours[0]
	text := string(doc.data[e.start:e.end])
	if handle != "" {
		text = strings.Replace(text, "\n5\n"+e.handles[0]+"\n", "\n5\n"+handle+"\n", 1)
	}
	// The copy comes first: the order of the drawing alone does not say which.
	out, err := Read(slices.Concat(doc.data[:e.start], []byte(text), doc.data[e.start:]))
	require.NoError(t, err)
	return out
}

func TestACopyIsReportedAndLeftAlone(t *testing.T) {
	doc := copyOf(t, drawn(t, version2000, twoLines()), "FFF0")
	owned := doc.Owned()
	require.Equal(t, []bool{true, false, false}, []bool{owned[0].Copy, owned[1].Copy, owned[2].Copy})
	next, change := applied(t, doc, twoLines())
	require.Len(t, change.Copied, 1)
	require.Equal(t, "FFF0", change.Copied[0].Handle)
	require.Len(t, change.Kept, 2)
	require.Equal(t, string(doc.data), string(next.data))

	// What it was copied from goes; the copy stays, today and the next time.
	patch := twoLines()
	patch.Items = patch.Items[1:]
	for range 2 {
		next, change = applied(t, next, patch)
		require.Len(t, change.Copied, 1)
		require.Equal(t, []string{"b"}, change.Kept)
	}
	require.Len(t, next.Owned(), 2)
}

func TestACopyInADrawingWithoutHandles(t *testing.T) {
	data := "0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n"
	doc, err := Read([]byte(data))
	require.NoError(t, err)
	doc, _ = applied(t, doc, twoLines())
	for _, hs := range handlesOf(t, doc) {
		require.Empty(t, strings.Join(hs, ""))
	}
	require.Equal(t, 1, strings.Count(string(doc.data), "\nCONTINUOUS\n70\n"))
	doc = copyOf(t, doc, "")
	require.Equal(t, []bool{false, true, false}, []bool{doc.Owned()[0].Copy, doc.Owned()[1].Copy, doc.Owned()[2].Copy})
	next, change := applied(t, doc, twoLines())
	require.Len(t, change.Copied, 1)
	require.Equal(t, string(doc.data), string(next.data))
}

// TestARenumberedDrawing: a program that saves gives every entity a new handle. None is a copy because of that, and
// what is added later does not make those from before look like copies.
func TestARenumberedDrawing(t *testing.T) {
	doc := drawn(t, version2000, twoLines())
	text := string(doc.data)
	for i, old := range slices.Concat(handlesOf(t, doc)["a"], handlesOf(t, doc)["b"]) {
		for _, code := range []string{"\n5\n", "\n330\n"} {
			text = strings.ReplaceAll(text, code+old+"\n", fmt.Sprintf("%sE%02X\n", code, i))
		}
	}
	renumbered, err := Read([]byte(text))
	require.NoError(t, err)
	require.NotEqual(t, handlesOf(t, doc), handlesOf(t, renumbered))
	patch := twoLines()
	for i := range 20 {
		patch.Items = append(patch.Items,
			Item{Key: fmt.Sprint("more ", i), Layer: "0", Geometry: CircleGeom{Point{float64(i), 0, 0}, 1}})
	}
	next, change := applied(t, renumbered, patch)
	require.Empty(t, change.Copied)
	require.Len(t, change.Kept, 2)
	require.Len(t, change.Added, 20)
	require.Equal(t, handlesOf(t, renumbered)["b"], handlesOf(t, next)["b"])
	last, change := applied(t, next, patch)
	require.Empty(t, change.Copied)
	require.Len(t, change.Kept, 22)
	require.Equal(t, string(next.data), string(last.data))
}

func TestWhatOthersHungOnAChangedEntityStays(t *testing.T) {
	doc := drawn(t, version2000, twoLines())
	o, err := outlineOf(doc)
	require.NoError(t, err)
	foreign := "1001\nOTHER\n1000\nits own\n1071\n7\n"
	group := "102\n{ACAD_XDICTIONARY\n360\nABC\n102\n}\n"
	handle := "\n5\n" + o.ours[0].handles[0] + "\n"
	doc = edited(t, doc, handle, handle+group)
	doc = edited(t, doc, "\n0\nPOLYLINE\n", "\n"+foreign+"0\nPOLYLINE\n")
	require.False(t, doc.Owned()[0].Edited)
	patch := twoLines()
	patch.Items[0].Geometry = LineGeom{Point{}, Point{5, 5, 5}}
	next, change := applied(t, doc, patch)
	require.Equal(t, []string{"a"}, change.Changed)
	require.Equal(t, 1, strings.Count(string(next.data), handle+group))
	require.Equal(t, 1, strings.Count(string(next.data), foreign))
}

func TestLineWeights(t *testing.T) {
	// source: the list of the DXF reference
	for asked, want := range map[int]int{-3: -3, -1: -3, 0: 0, 25: 25, 27: 25, 28: 30, 45: 40, 46: 50, 1000: 211} {
		require.Equal(t, want, lineWeight(asked), "%d", asked)
	}
}

// TestOlderThanR12: R10 and before knew no XDATA, but every program that still opens their drawings does.
func TestOlderThanR12(t *testing.T) {
	data := bytes.Replace(readFile(t, "../testdata/dxf/blank-AC1009.dxf").data, []byte("AC1009"), []byte(versionR10), 1)
	doc, err := Read(data)
	require.NoError(t, err)
	outside(t, "blank-AC1006.dxf", holdsTheLaws(t, doc, everyKind()))
}

func TestNewHandlesKeepClearOfAllOthers(t *testing.T) {
	for name, c := range map[string]struct{ old, new, least string }{
		"a pointer that is not interpreted": {"999\nhere\n", "320\n5000\n", "5001"},
		"a handle in XDATA":                 {"999\nhere\n", "1001\nACAD\n1005\n7000\n", "7001"},
		"a seed above all":                  {"$HANDSEED\n5\n100\n", "$HANDSEED\n5\nA000\n", "A000"},
		"a seed that is no handle":          {"$HANDSEED\n5\n100\n", "$HANDSEED\n5\nFFFFFFFFFFFFFFFF\n", "101"},
		"a damaged handle":                  {"999\nhere\n", "320\nFFFFFFFFFFFFFFFF\n", "101"},
		"a handle at the limit":             {"999\nhere\n", "320\n7FFFFFFF\n", "101"},
	} {
		t.Run(name, func(t *testing.T) {
			doc, err := New(version2000, 4)
			require.NoError(t, err)
			doc, err = Read([]byte(strings.Replace(string(doc.data), "2\nENTITIES\n",
				"2\nENTITIES\n0\nPOINT\n5\n100\n330\n28\n100\nAcDbEntity\n8\n0\n100\nAcDbPoint\n10\n0.0\n20\n0.0\n999\nhere\n", 1)))
			require.NoError(t, err)
			doc = edited(t, doc, c.old, c.new)
			next, _ := applied(t, doc, twoLines())
			taken := doc.handles()
			for _, hs := range handlesOf(t, next) {
				for _, h := range hs {
					require.False(t, taken[parseHandle(h)], h)
					require.GreaterOrEqual(t, parseHandle(h), parseHandle(c.least))
					require.Less(t, parseHandle(h), parseHandle(c.least)+50, "taken from the gap, not from anywhere")
				}
			}
		})
	}
}

func TestLayersThatAreThereAreLeft(t *testing.T) {
	doc := drawn(t, version2000, twoLines())
	doc = edited(t, doc, "TW-SUP-WALL-NEW\n70\n0\n62\n5\n", "tw-Sup-wall-New\n70\n0\n62\n3\n")
	next, change := applied(t, doc, twoLines())
	require.Empty(t, change.Places)
	require.Equal(t, string(doc.data), string(next.data))
}

func TestCounts(t *testing.T) {
	empty, err := New(version2000, 4)
	require.NoError(t, err)
	for claimed, want := range map[string]string{"     1": "     2", "0": "0", "9": "9", "1": "2"} {
		doc := edited(t, empty, "\nLAYER\n5\n3\n330\n0\n100\nAcDbSymbolTable\n70\n1\n",
			"\nLAYER\n5\n3\n330\n0\n100\nAcDbSymbolTable\n70\n"+claimed+"\n")
		next, _ := applied(t, doc, twoLines())
		require.Contains(t, string(next.data), "\nLAYER\n5\n3\n330\n0\n100\nAcDbSymbolTable\n70\n"+want+"\n",
			"claimed %q", claimed)
	}
}

func TestCommentsBehindOursStay(t *testing.T) {
	doc := drawn(t, version2000, twoLines())
	doc = edited(t, doc, "\n0\nPOLYLINE\n", "\n999\nby hand\n0\nPOLYLINE\n")
	require.False(t, doc.Owned()[0].Edited)
	next, _ := applied(t, doc, Patch{})
	require.Contains(t, string(next.data), "\n999\nby hand\n0\nENDSEC\n")
}

func TestADrawingThatEndsInTheMiddleOfALine(t *testing.T) {
	for _, end := range []string{"0\nENDSEC", "0\nENDSEC\n", "0\nENDSEC\n0\nEOF", "0\nENDSEC\n0\nEOF\nand more"} {
		doc, err := Read([]byte("0\nSECTION\n2\nBLOCKS\n" + end))
		require.NoError(t, err)
		holdsTheLaws(t, doc, twoLines())
	}
}

func TestWhatCannotBeDrawnIsRefused(t *testing.T) {
	nan := Point{X: nan()}
	line := func(change func(*Item)) Patch {
		p := twoLines()
		change(&p.Items[0])
		return p
	}
	for want, patch := range map[string]Patch{
		"is no number a drawing can hold": line(func(i *Item) { i.Geometry = LineGeom{nan, Point{}} }),
		"1e+300 is no number":             line(func(i *Item) { i.Geometry = LineGeom{Point{X: 1e300}, Point{}} }),
		"has to be above zero":            line(func(i *Item) { i.Geometry = CircleGeom{Point{}, 0} }),
		"has no geometry":                 line(func(i *Item) { i.Geometry = nil }),
		"has no key":                      line(func(i *Item) { i.Key = "" }),
		"is there twice":                  line(func(i *Item) { i.Key = "b" }),
		"lies on no layer":                line(func(i *Item) { i.Layer = "" }),
		"200 can be kept":                 line(func(i *Item) { i.Data = strings.Repeat("x", 201) }),
		"between 2 and":                   line(func(i *Item) { i.Geometry = PolylineGeom{} }),
		"names corner 9 of 3": line(func(i *Item) {
			i.Geometry = MeshGeom{Vertices: make([]Point, 3),
				Faces: [][]int{{0, 1, 9}}}
		}),
		"faces; between":              line(func(i *Item) { i.Geometry = MeshGeom{Vertices: make([]Point, 3)} }),
		"stands in an insert":         line(func(i *Item) { i.Geometry = AttribGeom{Tag: "A", Height: 1} }),
		"inserts the block \"NONE\"":  line(func(i *Item) { i.Geometry = InsertGeom{Block: "NONE"} }),
		"has the text style \"NONE\"": line(func(i *Item) { i.Geometry = TextGeom{Height: 1, Style: "NONE"} }),
		"alignment 7, 0":              line(func(i *Item) { i.Geometry = TextGeom{Height: 1, Horizontal: 7} }),
		"line type \"NONE\"":          {Layers: []LayerDef{{Name: "X", Linetype: "NONE"}}},
		"colours are 1 to 255":        {Layers: []LayerDef{{Name: "X", Color: 300}}},
		"a sign that layer names":     {Layers: []LayerDef{{Name: "X|Y"}}},
	} {
		doc, err := New(version2000, 4)
		require.NoError(t, err)
		out, _, err := doc.Apply(patch)
		require.ErrorContains(t, err, want)
		require.Nil(t, out)
	}
}

func nan() float64 { var zero float64; return zero / zero }

func TestVersionsThatCannotBeWritten(t *testing.T) {
	for version, want := range map[string]string{"AC1.40": "older than", "AC2.10": "older than", "MC0.0": "older than",
		"XX1234": "unknown"} {
		doc, err := Read([]byte("0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\n" + version +
			"\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n"))
		require.NoError(t, err)
		_, _, err = doc.Apply(twoLines())
		require.ErrorContains(t, err, want)
	}
	_, err := New("AC1006", 4)
	require.ErrorContains(t, err, "no empty drawing")
	_, err = New(version2000, 99)
	require.ErrorContains(t, err, "no drawing unit 99")
}

func TestStrays(t *testing.T) {
	ours := func(layer string) bool { return strings.HasPrefix(strings.ToUpper(layer), "TW-") }
	doc := drawn(t, version2000, twoLines())
	require.Empty(t, doc.Strays(ours))
	o, err := outlineOf(doc)
	require.NoError(t, err)
	// A program that knows no XDATA drops the mark of one.
	e := o.ours[0]
	bare, _, found := strings.Cut(string(doc.data[e.start:e.end]), "1001\n")
	require.True(t, found)
	text := string(doc.data[:e.start]) + bare + string(doc.data[e.end:])
	doc, err = Read([]byte(text))
	require.NoError(t, err)
	require.Len(t, doc.Owned(), 1)
	require.Equal(t, []Stray{{Layer: o.ours[0].layer, Count: 1, Handle: o.ours[0].handles[0], At: o.ours[0].at}},
		doc.Strays(ours))
	require.Empty(t, doc.Strays(func(string) bool { return false }))
}

// TestOffLayersAreFrozen: of a layer that is to be off other programs agree only on one that is frozen as well; the
// others are neither.
func TestOffLayersAreFrozen(t *testing.T) {
	for _, version := range Versions() {
		out, _, err := must(New(version, 4)).Apply(everyKind())
		require.NoError(t, err)
		hidden := map[string]bool{}
		for _, l := range must(Read(out)).Layers() {
			require.Equal(t, l.Off, l.Frozen, l.Name)
			hidden[l.Name] = l.Off
		}
		require.True(t, hidden["TW-SUP-BODY-NEW"])
		require.False(t, hidden["TW-SUP-WALL-NEW"])
	}
}
