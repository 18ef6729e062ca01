package pipeline

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/dxfio"
	"twinline/layout/shape"
)

// change changes one thing of a sketch as a drafter would: an airflow, the length of a branch with the terminal at its
// end, or the note that says the shape of the ducts. It returns the entities that are other now.
func (s *sketcher) change(t *rapid.T) map[int]string {
	b := rapid.SampledFrom(s.branches).Draw(t, "branch")
	out := map[int]string{}
	text := func(x, y float64, flow int) string {
		return record(b.text, "TEXT", b.layer("TERM"),
			fmt.Sprintf("10\n%g\n20\n%g\n40\n120\n1\nT-%d %d l/s\n", x+50, y, b.name, flow))
	}
	what := rapid.SampledFrom([]string{"airflow", "line", "note", "nothing"}).Draw(t, "what")
	switch {
	case what == "airflow":
		out[b.text] = text(b.x, b.y, rapid.IntRange(10, s.most).Draw(t, "other flow"))
	case what == "line" && b.line >= 0 && b.x == b.x0 && b.y != b.y0:
		y := b.y * 1.25 // farther out, in the same strip
		out[b.line] = record(b.line, "LINE", b.layer("DUCT"),
			fmt.Sprintf("10\n%g\n20\n%g\n11\n%g\n21\n%g\n", b.x0, b.y0, b.x, y))
		out[b.circle] = record(b.circle, "CIRCLE", b.layer("TERM"), fmt.Sprintf("10\n%g\n20\n%g\n40\n150\n", b.x, y))
		out[b.text] = text(b.x, y, b.flow)
	case what == "note":
		old := s.entities[s.shape]
		words := strings.Split(strings.TrimSuffix(old, "\n"), "\n")
		was := words[len(words)-1]
		other := map[string]string{"round": "rect", "rect": "round", "rect H<=300": "rect", "oval H<=300": "round"}[was]
		out[s.shape] = strings.TrimSuffix(old, was+"\n") + other + "\n"
	}
	return out
}

// TestOneChange draws, changes one thing in the sketch inside the drawing, and draws again. The result holds what
// drawing the changed sketch from scratch gives; what looks as before keeps its bytes and its handle, what looks
// different keeps its handle, and nothing else moves.
func TestOneChange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sketch, _, _ := tree(t)
		was, err := Read(sketch.drawing(), nil)
		require.NoError(t, err)
		require.False(t, was.Findings.HasErrors())
		first, err := was.Draw()
		require.NoError(t, err)

		drawn := first.Output
		for i, now := range sketch.change(t) {
			require.Equal(t, 1, bytes.Count(drawn, []byte(sketch.entities[i])),
				"the sketch is in the drawing as it was")
			drawn = bytes.Replace(drawn, []byte(sketch.entities[i]), []byte(now), 1)
			sketch.entities[i] = now
		}
		scratch, err := Read(sketch.drawing(), nil)
		require.NoError(t, err)
		require.False(t, scratch.Findings.HasErrors(), "%v", scratch.Findings)
		clean, err := scratch.Draw()
		require.NoError(t, err)
		again, err := Read(drawn, nil)
		require.NoError(t, err)
		require.Equal(t, scratch.Findings, again.Findings, "nothing of what was drawn is taken for a sketch")
		second, err := again.Draw()
		require.NoError(t, err)

		require.Equal(t, scratch.Shapes, again.Shapes)
		require.Equal(t, byKey(clean.Owned, false), byKey(second.Owned, false),
			"layers, keys and facts as from scratch")

		before, after := shapesByKey(was.Shapes), shapesByKey(again.Shapes)
		want := map[string][]string{}
		for key, s := range after {
			old, there := before[key]
			switch {
			case !there:
				want["added"] = append(want["added"], key)
			case fmt.Sprintf("%#v", old) == fmt.Sprintf("%#v", s):
				want["kept"] = append(want["kept"], key)
			default:
				want["changed"] = append(want["changed"], key)
			}
		}
		for key := range before {
			if _, there := after[key]; !there {
				want["removed"] = append(want["removed"], key)
			}
		}
		require.ElementsMatch(t, want["added"], second.Change.Added)
		require.ElementsMatch(t, want["removed"], second.Change.Removed)
		// What differs by less than is written is the same in the drawing.
		require.Subset(t, second.Change.Kept, want["kept"], "what is as it was keeps its bytes")
		require.Subset(t, want["changed"], second.Change.Changed, "and nothing else is written anew")

		had, has := byKey(first.Owned, true), byKey(second.Owned, true)
		for key, handle := range had {
			if now, there := has[key]; there {
				require.Equal(t, handle, now, "the handle of %s", key)
			}
		}
	})
}

func shapesByKey(list []shape.Shape) map[string]shape.Shape {
	out := make(map[string]shape.Shape, len(list))
	for _, s := range list {
		out[string(s.Key)] = s
	}
	return out
}

// byKey gives the handles, or the layers and facts, by key.
func byKey(owned []dxfio.Owned, handles bool) map[string]string {
	out := make(map[string]string, len(owned))
	for _, o := range owned {
		out[o.Key] = o.Layer + " " + o.Data
		if handles {
			out[o.Key] = o.Handle
		}
	}
	return out
}
