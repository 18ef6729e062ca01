package dxfio

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// everyKind is a patch with one item or more of every geometry kind.
func everyKind() Patch {
	const (
		wall = "TW-SUP-WALL-NEW"
		hide = "TW-SUP-HIDE-NEW"
		size = "TW-SUP-SIZE-NEW"
		body = "TW-SUP-BODY-NEW"
	)
	mesh := MeshGeom{
		Vertices: []Point{{0, 0, 0}, {100, 0, 0}, {100, 100, 0}, {0, 100, 0}, {50, 50, 80}},
		Faces:    [][]int{{0, 1, 2, 3}, {0, 1, 4}, {1, 2, 4}, {2, 3, 4}, {3, 0, 4}},
	}
	return Patch{
		Layers: []LayerDef{
			{Name: wall, Color: 5, Weight: 50, Plots: true},
			{Name: hide, Color: 5, Linetype: "TW-HIDDEN", Weight: 25, Plots: true},
			{Name: size, Color: 2, Weight: 25, Plots: true},
			{Name: body, Color: 8, Weight: -3, Plots: false, Off: true},
			{Name: "TW-CHECK", Color: 1, Weight: -3},
		},
		Linetypes: []LinetypeDef{{Name: "TW-HIDDEN", Description: "__ __ __", Pattern: []float64{60, -30}}},
		Styles:    []StyleDef{{Name: "TW-TEXT", Font: "txt", Width: 0.8}},
		Blocks: []BlockDef{{Name: "TW-DAMPER", Items: []Item{
			{Layer: "0", Geometry: LineGeom{Point{-50, -50, 0}, Point{50, 50, 0}}},
			{Layer: "0", Geometry: CircleGeom{Point{}, 60}},
			{Layer: "0", Geometry: AttribGeom{Tag: "MARK", Prompt: "Mark of the damper", Value: "VD",
				At: Point{70, 0, 0}, Height: 25, Style: "TW-TEXT"}},
		}}},
		Items: []Item{
			{Key: "2F@0/wall/1", Layer: wall, Geometry: LineGeom{Point{0, 0, 3300}, Point{1000, 0, 3300}}},
			{Key: "2F@0/wall/2", Layer: wall, Data: "round 250",
				Geometry: ArcGeom{Point{1000, 200, 3300}, 200, 270, 0}},
			{Key: "2F@0/circle", Layer: wall, Geometry: CircleGeom{Point{1200, 900, 3300}, 150.125}},
			{Key: "2F@0/point", Layer: "TW-CHECK", Geometry: PointGeom{Point{1, 2, 3}}},
			{Key: "2F@0/flat", Layer: hide,
				Geometry: PolylineGeom{Vertices: []Vertex{{Point{0, 500, 3000}, 0.5}, {Point{500, 500, 3000}, 0},
					{Point{500, 900, 3000}, -0.25}}}},
			{Key: "2F@0/closed", Layer: wall,
				Geometry: PolylineGeom{Closed: true,
					Vertices: []Vertex{{Point{600, 500, 0}, 0}, {Point{900, 500, 0}, 1}, {Point{900, 900, 0}, 0}}}},
			{Key: "2F@0/climb", Layer: wall,
				Geometry: PolylineGeom{Vertices: []Vertex{{Point{0, 1200, 0}, 0}, {Point{500, 1200, 100}, 1},
					{Point{900, 1200, 700}, 0}}}},
			{Key: "2F@0/arrow", Layer: size,
				Geometry: SolidGeom{[4]Point{{0, 1500, 0}, {100, 1500, 0}, {100, 1600, 0}, {0, 1600, 0}}}},
			{Key: "2F@0/size", Layer: size,
				Geometry: TextGeom{At: Point{300, 1500, 3300}, Height: 100, Angle: 30, Horizontal: 1, Vertical: 2,
					Style: "TW-TEXT", Value: "Ø250 – 380 m³/h"}},
			{Key: "2F@0/mark", Layer: size,
				Geometry: TextGeom{At: Point{800, 1500, 0}, Height: 80, Value: "S-101 10^2"}},
			{Key: "2F@0/body", Layer: body, Geometry: mesh},
			{Key: "2F@0/damper", Layer: wall,
				Geometry: InsertGeom{Block: "TW-DAMPER", At: Point{500, 0, 3300}, Scale: 1.5, Angle: 45,
					Attribs: []AttribGeom{{Tag: "MARK", Value: "VD-1", At: Point{600, 0, 3300}, Height: 37.5,
						Style: "TW-TEXT"}, {Tag: "NOTE", Value: "°", At: Point{600, -50, 3300}, Height: 37.5,
						Invisible: true}}}},
		},
	}
}

// outside, where the environment names a folder, keeps what the tests write, for other programs to judge.
func outside(t testing.TB, name string, data []byte) {
	dir := os.Getenv("TWINLINE_WRITTEN")
	if dir == "" {
		return
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o666))
}

// holdsTheLaws draws a patch into a drawing and checks what holds for every drawing and every patch: Verify agrees, all
// of it reads back, the same patch again changes no byte, and taking our work out again leaves the named places alone.
func holdsTheLaws(t require.TestingT, doc *Document, patch Patch) []byte {
	same, change, err := doc.Apply(Patch{Owns: func(string) bool { return false }})
	require.NoError(t, err)
	require.True(t, bytes.Equal(doc.data, same), "an empty patch changed the bytes")
	require.Empty(t, change.Places)

	out, change, err := doc.Apply(patch)
	require.NoError(t, err)
	require.NoError(t, Verify(doc, out, change))
	again, err := Read(out)
	require.NoError(t, err)
	owned := make(map[string]Owned)
	for _, e := range again.Owned() {
		if !e.Copy {
			owned[e.Key] = e
		}
	}
	for _, item := range patch.Items {
		e, ok := owned[item.Key]
		require.True(t, ok, "%q is not there", item.Key)
		require.Equal(t, item.Data, e.Data)
		require.Equal(t, item.Layer, e.Layer)
		require.False(t, e.Edited, item.Key)
	}
	twice, change, err := again.Apply(patch)
	require.NoError(t, err)
	require.NoError(t, Verify(again, twice, change))
	require.Len(t, change.Kept, len(patch.Items))
	require.Empty(t, change.Places)
	require.True(t, bytes.Equal(out, twice), "applying the same patch again changed the bytes")
	return out
}

func TestApplyIntoNewDrawings(t *testing.T) {
	for _, version := range Versions() {
		t.Run(version, func(t *testing.T) {
			doc, err := New(version, 4)
			require.NoError(t, err)
			outside(t, "new-"+version+".dxf", doc.data)
			require.Equal(t, version, doc.Version())
			patch := everyKind()
			out := holdsTheLaws(t, doc, patch)
			outside(t, "every-"+version+".dxf", out)
			again, err := Read(out)
			require.NoError(t, err)
			gone, change, err := again.Apply(Patch{})
			require.NoError(t, err)
			require.Len(t, change.Removed, len(patch.Items))
			empty, err := Read(gone)
			require.NoError(t, err)
			require.Empty(t, empty.Owned())
		})
	}
}

// TestApplyIntoBlankDrawings draws into drawings another program wrote, text and binary.
func TestApplyIntoBlankDrawings(t *testing.T) {
	files, err := filepath.Glob("../testdata/dxf/blank-*.dxf")
	require.NoError(t, err)
	require.Len(t, files, 14)
	for _, file := range files {
		name := filepath.Base(file)
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			forms := map[string][]byte{name: data}
			if !bytes.HasPrefix(data, []byte(sentinel)) {
				forms["cr-"+name] = bytes.ReplaceAll(data, []byte("\n"), []byte("\r"))
				forms["bom-"+name] = append([]byte(byteOrderMark), data...)
				forms["crlf-"+name] = bytes.ReplaceAll(data, []byte("\n"), []byte("\r\n"))
			}
			for name, data := range forms {
				doc, err := Read(data)
				require.NoError(t, err)
				out := holdsTheLaws(t, doc, everyKind())
				outside(t, name, out)
				if strings.HasPrefix(name, "crlf-") {
					require.Equal(t, bytes.Count(out, []byte("\n")), bytes.Count(out, []byte("\r\n")))
				}
				if strings.HasPrefix(name, "cr-") {
					require.NotContains(t, string(out), "\n")
				}
				// The line that is not ours is still there, and ours are never offered as a sketch.
				var seen []string
				require.Empty(t, must(Read(out)).Walk(func(Kind, string) bool { return true }, func(e *Entity) bool {
					seen = append(seen, e.Layer)
					return true
				}))
				require.Equal(t, []string{"WALL\u00c9"}, seen)
			}
		})
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func readFile(t testing.TB, name string) *Document {
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	doc, err := Read(data)
	require.NoError(t, err)
	return doc
}
