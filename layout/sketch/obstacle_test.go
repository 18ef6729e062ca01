package sketch_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Lines of others near the sketch are kept, of curves their chords; those that are hidden, far away or the sketch's own
// are not.
func TestStrokes(t *testing.T) {
	base := "line SK-SUP-DUCT 0,0 5000,0\n"
	for name, c := range map[string]struct {
		text string
		want int
	}{
		"none":                       {"", 0},
		"a wall":                     {"line A-WALL 1000,-500 1000,500", 1},
		"the sides of a room":        {"pline A-WALL 0,-1000 4000,-1000 4000,1000 0,1000 closed", 4},
		"far away":                   {"line A-WALL 1000,9000 5000,9000", 0},
		"near and far":               {"pline A-WALL 1000,500 1000,9000 2000,9000", 1},
		"switched off":               {"off A-WALL\nline A-WALL 1000,-500 1000,500", 0},
		"in a block":                 {"block A-DOOR 0,0 1,1\n> line A-DOOR 1000,-500 1000,500", 1},
		"in a block on a frozen one": {"frozen A-DOOR\nblock A-DOOR 0,0 1,1\n> line 0 1000,-500 1000,500", 0},
		"a duct":                     {"line SK-ETA-DUCT 1000,-500 1000,500", 0},
		"a rated wall":               {"line SK-RATED 1000,-500 1000,500", 1},
		"too short to be seen":       {"line A-WALL 1000,0 1005,0", 0},
		// chords of 60° stray 40 mm from it, of 90° 88, and 50 are allowed
		"a circle":                    {"circle A-FURN 1000,0 300", 6},
		"a text is no line, but kept": {"text A-TEXT 1000,300 DESK", 0},
	} {
		t.Run(name, func(t *testing.T) {
			sk, _ := findings(mm(t, base+c.text))
			require.Len(t, sk.Strokes, c.want)
		})
	}
}

// What a hatch of lines adds is bounded, one polyline by its chords.
func TestStrokesAreBounded(t *testing.T) {
	var b strings.Builder
	b.WriteString("line SK-SUP-DUCT 0,0 5000,0\npline A-HATCH")
	for i := range 500 {
		fmt.Fprintf(&b, " %d,%d", i*10, i%2*100)
	}
	sk, _ := findings(mm(t, b.String()))
	require.Len(t, sk.Strokes, 64)
}
