package dxfio

import (
	"bytes"
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The random items lie within what a plan has: metres to kilometres, in millimetres.
func randomPoint(t *rapid.T) Point {
	v := rapid.Float64Range(-1e7, 1e7)
	return Point{v.Draw(t, "x"), v.Draw(t, "y"), rapid.SampledFrom([]float64{0, 3300, -12.5, 1.0 / 3}).Draw(t, "z")}
}

func randomGeometry(t *rapid.T) Geometry {
	size := rapid.Float64Range(1e-6, 1e5)
	angle := rapid.Float64Range(-720, 720)
	text := rapid.StringN(0, 20, 60)
	switch rapid.IntRange(0, 8).Draw(t, "kind") {
	case 0:
		return LineGeom{randomPoint(t), randomPoint(t)}
	case 1:
		return ArcGeom{randomPoint(t), size.Draw(t, "radius"), angle.Draw(t, "start"), angle.Draw(t, "end")}
	case 2:
		return CircleGeom{randomPoint(t), size.Draw(t, "radius")}
	case 3:
		return PointGeom{randomPoint(t)}
	case 4:
		g := PolylineGeom{Closed: rapid.Bool().Draw(t, "closed")}
		flat := rapid.Bool().Draw(t, "flat")
		for range rapid.IntRange(2, 6).Draw(t, "vertices") {
			v := Vertex{randomPoint(t), rapid.SampledFrom([]float64{0, 0, 1, -0.5, 0.123456789}).Draw(t, "bulge")}
			if flat {
				v.Z = 2700
			}
			g.Vertices = append(g.Vertices, v)
		}
		return g
	case 5:
		return SolidGeom{[4]Point{randomPoint(t), randomPoint(t), randomPoint(t), randomPoint(t)}}
	case 6:
		return TextGeom{At: randomPoint(t), Height: size.Draw(t, "height"), Angle: angle.Draw(t, "angle"),
			Value:      text.Draw(t, "value"),
			Horizontal: rapid.IntRange(0, 2).Draw(t, "h"), Vertical: rapid.IntRange(0, 3).Draw(t, "v"),
			Style: rapid.SampledFrom([]string{"", "TW-TEXT"}).Draw(t, "style")}
	case 7:
		g := MeshGeom{Vertices: []Point{randomPoint(t), randomPoint(t), randomPoint(t), randomPoint(t)}}
		for range rapid.IntRange(1, 4).Draw(t, "faces") {
			g.Faces = append(g.Faces, rapid.SliceOfN(rapid.IntRange(0, 3), 3, 4).Draw(t, "face"))
		}
		return g
	}
	g := InsertGeom{Block: "TW-DAMPER", At: randomPoint(t), Scale: size.Draw(t, "scale"), Angle: angle.Draw(t, "angle")}
	for i := range rapid.IntRange(0, 2).Draw(t, "attributes") {
		g.Attribs = append(g.Attribs,
			AttribGeom{Tag: fmt.Sprint("T", i), Value: text.Draw(t, "value"), At: randomPoint(t),
				Height: size.Draw(t, "height")})
	}
	return g
}

// randomPatch is everyKind with random items.
func randomPatch(t *rapid.T) Patch {
	p := everyKind()
	layers := []string{p.Layers[0].Name, p.Layers[1].Name, "TW-CHECK", "Räume 1"}
	p.Items = nil
	keys := rapid.SliceOfNDistinct(rapid.StringN(1, 12, 300), 0, 8, rapid.ID).Draw(t, "keys")
	for _, key := range keys {
		p.Items = append(p.Items, Item{
			Key: key, Layer: rapid.SampledFrom(layers).Draw(t, "layer"),
			Data: rapid.StringN(0, 20, 60).Draw(t, "data"), Geometry: randomGeometry(t),
		})
	}
	return p
}

// blanks are drawings of each kind of writing: version, text or binary.
func blanks(t testing.TB) map[string]*Document {
	out := make(map[string]*Document)
	for _, version := range Versions() {
		doc, err := New(version, 4)
		require.NoError(t, err)
		out["new "+version] = doc
	}
	for _, name := range []string{"blank-AC1009", "blank-AC1009-bin", "blank-AC1015-bin", "blank-AC1032",
		"blank-AC1032-bin"} {
		out[name] = readFile(t, "../testdata/dxf/"+name+".dxf")
	}
	doc, err := Read([]byte("  0\r\nSECTION\r\n  2\r\nENTITIES\r\n  0\r\nENDSEC\r\n  0\r\nEOF\r\n"))
	require.NoError(t, err)
	out["entities alone"] = doc
	return out
}

// TestRandomPatches: any patch into any kind of drawing keeps the laws, and one changed item in a patch changes that
// entity and no byte of another.
func TestRandomPatches(t *testing.T) {
	docs := blanks(t)
	names := make([]string, 0, len(docs))
	for name := range docs {
		names = append(names, name)
	}
	slices.Sort(names)
	rapid.Check(t, func(t *rapid.T) {
		doc := docs[rapid.SampledFrom(names).Draw(t, "drawing")]
		patch := randomPatch(t)
		out := holdsTheLaws(t, doc, patch)
		before, err := Read(out)
		require.NoError(t, err)
		if len(patch.Items) == 0 {
			return
		}
		at := rapid.IntRange(0, len(patch.Items)-1).Draw(t, "changed")
		next := patch
		next.Items = slices.Clone(patch.Items)
		next.Items[at].Geometry = randomGeometry(t)
		again := holdsTheLaws(t, before, next)
		after, err := Read(again)
		require.NoError(t, err)
		was, is := bytesByKey(t, before), bytesByKey(t, after)
		for key, text := range was {
			if key != patch.Items[at].Key {
				require.Equal(t, string(text), string(is[key]))
			}
		}
		require.Equal(t, before.Owned()[at].Handle, after.Owned()[at].Handle)
		// Taking all of it out leaves the drawing with its new table entries alone.
		clean, change, err := after.Apply(Patch{})
		require.NoError(t, err)
		require.NoError(t, Verify(after, clean, change))
		require.Empty(t, change.Places)
		require.Less(t, len(clean), len(again))
		require.False(t, bytes.Contains(clean, []byte("digest=")))
	})
}

func bytesByKey(t require.TestingT, doc *Document) map[string][]byte {
	o, err := outlineOf(doc)
	require.NoError(t, err)
	out := make(map[string][]byte)
	for _, e := range o.ours {
		out[e.mark.key] = doc.data[e.start:e.end]
	}
	return out
}

// TestNumbers: a number is written as the shortest plain decimal that reads back as what was rounded to a
// thousand-millionth.
func TestNumbers(t *testing.T) {
	for v, want := range map[float64]string{ // source: the rule itself, worked by hand
		0: "0.0", 1: "1.0", -1: "-1.0", 0.1: "0.1", 1.0 / 3: "0.333333333", -1e-12: "0.0", 5e-10: "0.000000001",
		1e7:  "10000000.0",
		1e12: "1000000000000.0", 123456.789: "123456.789", -0.0000000015: "-0.000000002", 3300.0000000001: "3300.0",
	} {
		require.Equal(t, want, number(v), "%g", v)
	}
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-maxCoordinate, maxCoordinate).Draw(t, "v")
		s := number(v)
		require.NotContains(t, s, "e")
		require.Contains(t, s, ".")
		require.Equal(t, s, number(floatOf(map[int]string{1: s}, 1, 0)))
		require.InDelta(t, v, floatOf(map[int]string{1: s}, 1, 0), max(0.51/numberGrid, 1e-15*max(v, -v)))
	})
}

// TestDigestsSurviveTheLastDigits: a program that writes a number back with an error in its last digits edits nothing.
func TestDigestsSurviveTheLastDigits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := onGrid(rapid.Float64Range(-1e5, 1e5).Draw(t, "v"))
		noise := rapid.Float64Range(-4e-10, 4e-10).Draw(t, "noise")
		sum := func(x string) string {
			return digest("0", []record{{"CIRCLE", []pair{{10, x}, {20, "0.0"}, {30, "0.0"}, {40, "1.0"}}}},
				func(s string) string { return s })
		}
		require.Equal(t, sum(number(v)), sum(fmt.Sprintf("%.17g", v+noise)))
	})
}
