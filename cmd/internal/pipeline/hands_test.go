package pipeline

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
)

// TestHands edits work of an earlier run by hand, and copies some.
func TestHands(t *testing.T) {
	drawing, err := os.ReadFile(filepath.Join(caseFolder, "downstream.dxf"))
	require.NoError(t, err)
	draw := func(data []byte) (*Drawing, diag.List) {
		st, err := Read(data, nil)
		require.NoError(t, err)
		require.False(t, st.Findings.HasErrors())
		d, err := st.Draw()
		require.NoError(t, err)
		var found diag.List
		for _, f := range st.Findings {
			if f.Code == diag.EditedWork || f.Code == diag.CopiedWork {
				found = append(found, f)
			}
		}
		return d, found
	}
	first, found := draw(drawing)
	require.Empty(t, found)
	label := []byte("\nØ315\n")
	if !bytes.Contains(first.Output, label) {
		label = []byte("\n\\U+00D8315\n") // as drawings of before 2007 spell it
	}
	require.Positive(t, bytes.Count(first.Output, label))

	edited, found := draw(bytes.Replace(first.Output, label, []byte("\nabout 315\n"), 1))
	require.Len(t, found, 1)
	require.Equal(t, diag.EditedWork, found[0].Code)
	require.InDelta(t, 2, found[0].At[0], 2.5, "metres: the label lies beside the first four metres of the main")
	require.InDelta(t, 10, found[0].At[1], 1)
	require.NotEmpty(t, found[0].Handle)
	require.Equal(t, first.Output, edited.Output, "what was changed is drawn anew, with its handle")

	// A copy: the same records under a handle of its own.
	at := bytes.Index(first.Output, label)
	start := bytes.LastIndex(first.Output[:at], []byte("  0\nTEXT\n"))
	end := at + bytes.Index(first.Output[at:], []byte("\n  0\n")) + 1
	require.Positive(t, start)
	entity := first.Output[start:end]
	handle := bytes.Fields(entity)[3]
	again := bytes.Replace(entity, append([]byte("  5\n"), handle...), []byte("  5\nABCDE"), 1)
	copied, found := draw(bytes.Join([][]byte{first.Output[:end], again, first.Output[end:]}, nil))
	require.Len(t, found, 1)
	require.Equal(t, diag.CopiedWork, found[0].Code)
	require.Equal(t, "ABCDE", found[0].Handle)
	require.Contains(t, string(copied.Output), "  5\nABCDE\n", "the copy is left")
}
