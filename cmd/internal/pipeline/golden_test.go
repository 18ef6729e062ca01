package pipeline

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/cmd/internal/report"
)

const sketches = "../../../testdata/sketch"

// demonstrations returns the sketches in testdata with the settings beside them.
func demonstrations(tb testing.TB) map[string]*Study {
	tb.Helper()
	out := map[string]*Study{}
	err := filepath.WalkDir(sketches, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".dxf") || strings.HasSuffix(path, ".golden.dxf") {
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		settings, err := os.ReadFile(filepath.Join(filepath.Dir(path), "twinline.toml"))
		if err != nil && !os.IsNotExist(err) {
			return err
		}
		st, err := Read(data, settings)
		if err != nil {
			return err
		}
		out[strings.TrimSuffix(path, ".dxf")] = st
		return nil
	})
	require.NoError(tb, err)
	require.GreaterOrEqual(tb, len(out), 4, "the demonstrations are there")
	return out
}

// TestDemonstrations compares each demonstration with its golden drawing and JSON; UPDATE=1
// writes them anew. A changed golden is to be looked at before it is kept.
func TestDemonstrations(t *testing.T) {
	for name, st := range demonstrations(t) {
		t.Run(filepath.Base(name), func(t *testing.T) {
			require.False(t, st.Findings.HasErrors(), "findings: %v", st.Findings)
			d, err := st.Draw()
			require.NoError(t, err)
			var js bytes.Buffer
			drawing := report.Drawing{Units: "", Version: st.Doc.Version()}
			require.NoError(t, report.JSON(&js, "test", drawing, st.Network, st.Design, st.Findings))
			golden(t, name+".golden.dxf", d.Output)
			golden(t, name+".golden.json", js.Bytes())

			again, err := Read(d.Output, settingsOf(t, name))
			require.NoError(t, err)
			d2, err := again.Draw()
			require.NoError(t, err)
			require.True(t, bytes.Equal(d.Output, d2.Output), "drawing the result again changes no byte")
			require.Empty(t, d2.Change.Added)
			require.Empty(t, d2.Change.Changed)
			require.Empty(t, d2.Change.Removed)
		})
	}
}

func settingsOf(t *testing.T, name string) []byte {
	t.Helper()
	settings, err := os.ReadFile(filepath.Join(filepath.Dir(name), "twinline.toml"))
	if !os.IsNotExist(err) {
		require.NoError(t, err)
	}
	return settings
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	if os.Getenv("UPDATE") != "" {
		require.NoError(t, os.WriteFile(name, got, 0o644))
	}
	want, err := os.ReadFile(name)
	require.NoError(t, err)
	if !bytes.Equal(want, got) {
		t.Errorf("%s differs from what was drawn; look at the change, then UPDATE=1 go test ./cmd/...\n%s", name,
			firstChange(want, got))
	}
}

// firstChange shows the first line in which two texts differ; git diff shows all of them after an update.
func firstChange(want, got []byte) string {
	w, g := strings.Split(string(want), "\n"), strings.Split(string(got), "\n")
	k := 0
	for k < len(w) && k < len(g) && w[k] == g[k] {
		k++
	}
	line := func(lines []string) string {
		if k < len(lines) {
			return lines[k]
		}
		return "(the end)"
	}
	return fmt.Sprintf("line %d\n  was %s\n  is  %s", k+1, line(w), line(g))
}

// study reads a drawing with the settings of a file, "" for none.
func study(t *testing.T, drawing, settings string) *Study {
	t.Helper()
	data, err := os.ReadFile(drawing)
	require.NoError(t, err)
	var set []byte
	if settings != "" {
		set, err = os.ReadFile(settings)
		require.NoError(t, err)
	}
	st, err := Read(data, set)
	require.NoError(t, err)
	return st
}
