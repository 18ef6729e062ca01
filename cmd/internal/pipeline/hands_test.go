package pipeline

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/dxfio"
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
	label := []byte("\nø315\n")
	if !bytes.Contains(first.Output, label) {
		label = []byte("\n\\U+00F8315\n") // as drawings of before 2007 spell it
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

// TestStraysAreErasedByTheirLayers does what the hint of stray-work and lost-marks says: with everything on the layers
// of ours erased, drawing again gives what was drawn at first.
func TestStraysAreErasedByTheirLayers(t *testing.T) {
	drawing, err := os.ReadFile(filepath.Join(caseFolder, "downstream.dxf"))
	require.NoError(t, err)
	st, err := Read(drawing, nil)
	require.NoError(t, err)
	first, err := st.Draw()
	require.NoError(t, err)
	for name, drop := range map[string]func(i int) bool{
		"some lost their marks": func(i int) bool { return i%3 == 0 },
		"all lost their marks":  func(int) bool { return true },
	} {
		t.Run(name, func(t *testing.T) {
			i := 0
			lost := entities(first.Output, func(e []byte) []byte {
				rest, _, marked := bytes.Cut(e, []byte("1001\nTWINLINE\n"))
				if i++; !marked || !drop(i) {
					return e
				}
				return rest
			})
			st, err := Read(lost, nil)
			require.NoError(t, err)
			code := diag.StrayWork
			if drop(1) && drop(2) {
				code = diag.LostMarks
			}
			var reported diag.Diag
			for _, f := range st.Findings {
				if f.Code == code {
					reported = f
				}
			}
			require.Contains(t, reported.Do, "rase everything on these layers")
			require.NotEmpty(t, reported.Handle)
			ours := st.Settings.Ours()
			erased := entities(lost, func(e []byte) []byte {
				f := bytes.Split(e, []byte("\n"))
				for k := 0; k+1 < len(f); k += 2 {
					if string(bytes.TrimSpace(f[k])) == "8" && ours(string(f[k+1])) {
						return nil
					}
				}
				return e
			})
			require.Less(t, len(erased), len(lost))
			st, err = Read(erased, nil)
			require.NoError(t, err)
			for _, f := range st.Findings {
				require.NotContains(t, []diag.Code{diag.StrayWork, diag.LostMarks}, f.Code)
			}
			again, err := st.Draw()
			require.NoError(t, err)
			require.Equal(t, census(t, first.Owned), census(t, again.Owned))
		})
	}
}

// entities maps each record of the entities of a text drawing with LF.
func entities(data []byte, f func([]byte) []byte) []byte {
	start := bytes.Index(data, []byte("\nENTITIES\n")) + len("\nENTITIES\n")
	end := start + bytes.Index(data[start:], []byte("  0\nENDSEC\n"))
	out := append([]byte(nil), data[:start]...)
	for rest := data[start:end]; len(rest) > 0; {
		n := len(rest)
		if k := bytes.Index(rest[1:], []byte("\n  0\n")); k >= 0 {
			n = k + 2
		}
		out = append(out, f(rest[:n])...)
		rest = rest[n:]
	}
	return append(out, data[end:]...)
}

// census counts what is ours by layer and key.
func census(t *testing.T, owned []dxfio.Owned) map[string]int {
	t.Helper()
	out := map[string]int{}
	for _, o := range owned {
		require.False(t, o.Copy || o.Edited, o.Key)
		out[o.Layer+" "+o.Key+" "+o.Data]++
	}
	require.NotEmpty(t, out)
	return out
}
