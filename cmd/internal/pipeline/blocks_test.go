package pipeline

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/dxfio"
	"twinline/layout/diag"
	"twinline/layout/shape"
)

// Marks of an office's own come from blocks of the drawing, as large as the marks they stand for; a block that is not
// there is reported, and nothing is lost by it.
func TestMarksFromBlocks(t *testing.T) {
	drawing, err := os.ReadFile("../../../testdata/plates/plates.dxf")
	require.NoError(t, err)
	doc, err := dxfio.Read(drawing)
	require.NoError(t, err)
	// A block as an office draws one: a line of 200 along X around its insertion point.
	withBlock, _, err := doc.Apply(dxfio.Patch{Blocks: []dxfio.BlockDef{{Name: "OFFICE-ARROW",
		Items: []dxfio.Item{{Geometry: dxfio.LineGeom{A: dxfio.Point{X: -100}, B: dxfio.Point{X: 100}}}}}}})
	require.NoError(t, err)
	settings := []byte("[symbols.marks]\nflow = \"block office-arrow\"\nfire = \"block LOST\"\n")

	st, err := Read(withBlock, settings)
	require.NoError(t, err)
	require.False(t, st.Findings.HasErrors())
	arrows := 0
	for _, s := range st.Shapes {
		if in, ok := s.Geom.(shape.Insert); ok {
			require.Contains(t, s.Key, "/arrow/")
			require.Contains(t, []float64{1.5, 1.5 * 0.65}, round(in.Scale),
				"6 mm at 1:50 are 300 mm, of a block of 200; shorter where there is no room")
			arrows++
		}
	}
	require.Greater(t, arrows, 20)
	var lost []diag.Diag
	for _, d := range st.Findings {
		if d.Code == diag.MissingBlock {
			lost = append(lost, d)
		}
	}
	require.Len(t, lost, 1)
	require.Contains(t, lost[0].Text, `"LOST"`)
	require.Contains(t, lost[0].Text, "symbols.marks.fire")
	require.Contains(t, lost[0].Do, "body")

	drawn, err := st.Draw()
	require.NoError(t, err)
	require.Equal(t, arrows,
		bytes.Count(bytes.ToUpper(drawn.Output),
			[]byte("\nOFFICE-ARROW\n"))-strings.Count(strings.ToUpper(string(withBlock)), "\nOFFICE-ARROW\n"))
	again, err := Read(drawn.Output, settings)
	require.NoError(t, err)
	second, err := again.Draw()
	require.NoError(t, err)
	require.Equal(t, drawn.Output, second.Output, "drawn again it is the same")
}

func round(v float64) float64 { return float64(int(v*1e6+0.5)) / 1e6 }
