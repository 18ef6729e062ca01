//go:build outside

package dxfio

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// drawingsFromElsewhere returns the drawings to compare over: those of the repository, and
// those in the folder TWINLINE_DRAWINGS names.
func drawingsFromElsewhere(t *testing.T) []string {
	var files []string
	for _, pattern := range []string{"../testdata/sketch/*.dxf", "../testdata/sketch/*/*.dxf", "../testdata/dxf/*.dxf",
		filepath.Join(os.Getenv("TWINLINE_DRAWINGS"), "*.dxf")} {
		found, err := filepath.Glob(pattern)
		require.NoError(t, err)
		for _, name := range found {
			// In these ezdxf takes bulged polylines apart where blocks are stretched; TestReadsWhatAnotherLibraryReads
			// compares them by their paths.
			if !strings.HasPrefix(filepath.Base(name), "read_") {
				files = append(files, name)
			}
		}
	}
	require.NotEmpty(t, files)
	return files
}

// TestAgainstEzdxf compares what we read with what ezdxf reads: entities by layer and kind,
// and the lines and circles of model space with all blocks taken apart.
func TestAgainstEzdxf(t *testing.T) {
	for _, file := range drawingsFromElsewhere(t) {
		t.Run(filepath.Base(file), func(t *testing.T) {
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			out, err := exec.Command("/usr/bin/python3", "../.ci/outside/entities.py", file).Output()
			require.NoError(t, err)
			var want *struct {
				Counts  map[string]int
				Lines   [][]float64
				Circles [][]float64
			}
			require.NoError(t, json.Unmarshal(out, &want))
			doc, err := Read(data)
			if err != nil || want == nil {
				t.Logf("we: %v; ezdxf opens it: %v", err, want != nil)
				return
			}
			got, seen := map[string]int{}, map[int]bool{}
			doc.walkAll(func(e *Entity) bool {
				if len(e.Path) == 0 && !seen[e.Index] { // an insert in rows and columns is offered as many times
					seen[e.Index] = true
					got[e.Layer+"|"+doc.name(e.Index)]++
				}
				return false
			})
			for key, n := range want.Counts {
				require.Equal(t, n, got[key], "entities %s", key)
			}
			var lines, circles [][]float64
			doc.walkAll(func(e *Entity) bool {
				switch e.Kind {
				case KindLine:
					a, b := e.Vertices[0], e.Vertices[1]
					lines = append(lines, []float64{a.X, a.Y, a.Z, b.X, b.Y, b.Z})
				case KindCircle:
					circles = append(circles, []float64{e.Center.X, e.Center.Y, e.Center.Z})
				}
				return true
			})
			samePoints(t, want.Lines, lines, "lines")
			samePoints(t, want.Circles, circles, "circles")
		})
	}
}

// walkAll walks everything, our own work too.
func (d *Document) walkAll(visit func(*Entity) bool) {
	all := *d
	all.records = slices.Clone(d.records)
	for i := range all.records {
		all.records[i].flags &^= flagOwned
	}
	all.Walk(func(Kind, string) bool { return true }, visit)
}

// samePoints wants every row of want among got, and as many.
func samePoints(t *testing.T, want, got [][]float64, what string) {
	key := func(row []float64) string {
		var b strings.Builder
		for _, v := range row {
			fmt.Fprintf(&b, "%.3f ", math.Round(v*1e3)/1e3+0)
		}
		return b.String()
	}
	have := map[string]int{}
	for _, r := range got {
		have[key(r)]++
	}
	missing := 0
	for _, r := range want {
		k := key(r)
		if have[k] == 0 {
			missing++
			if missing < 4 {
				t.Logf("%s: %v is not among ours", what, r)
			}
		} else {
			have[k]--
		}
	}
	require.Zero(t, missing, "%s that ezdxf finds and we do not, of %d", what, len(want))
	require.Len(t, got, len(want), "%s that we find and ezdxf does not", what)
}
