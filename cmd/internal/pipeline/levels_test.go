package pipeline

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
)

// stepped draws a main of 5 m and 5 m with a branch of 4 m at its middle, and notes beside the two halves and the
// branch. Ducts without a note lie at 3.30 m, the default of metric drawings.
func stepped(t *testing.T, first, second, branch string) *Study {
	s := &sketcher{}
	s.circle("SK-SUP-UNIT", 0, 0, 350)
	s.text("SK-SUP-UNIT", 0, 450, "U-1")
	s.line("SK-SUP-DUCT", 350, 0, 5000, 0)
	s.line("SK-SUP-DUCT", 5000, 0, 10000, 0)
	s.line("SK-SUP-DUCT", 5000, 0, 5000, 4000)
	for i, at := range [][2]float64{{10000, 0}, {5000, 4000}} {
		s.circle("SK-SUP-TERM", at[0], at[1], 100)
		s.text("SK-SUP-TERM", at[0]+50, at[1], []string{"S-1 150 l/s", "S-2 80 l/s"}[i])
	}
	s.text("SK-SUP-NOTE", 2500, 60, first)
	s.text("SK-SUP-NOTE", 7500, 60, second)
	s.text("SK-SUP-NOTE", 5060, 2000, branch)
	st, err := Read(s.drawing(), nil)
	require.NoError(t, err)
	require.False(t, st.Findings.HasErrors(), "%v", st.Findings)
	return st
}

// risers returns the heights of the vertical runs that are no drops, in metres, and the number of drops.
func risers(st *Study) (heights []float64, drops int) {
	for i := range st.Network.Runs {
		switch r := &st.Network.Runs[i]; {
		case r.Kind == duct.Drop:
			drops++
		case r.Vertical():
			heights = append(heights, math.Abs(r.Line.B.Z-r.Line.A.Z))
		}
	}
	return heights, drops
}

// A duct noted by its bottom or top is joined by a riser where it turns out beside what it joins, and by none where its
// height is within that. Heights by hand from the noted sizes; the terminals hang at 2.70 m.
func TestDuctsNotedByBottomOrTop(t *testing.T) {
	for name, c := range map[string]struct {
		first, second, branch string
		risers                []float64
		drops, steps          int
	}{
		// middle of the branch 3.600 + 0.075; of the main 3.300, from 3.175 to 3.425
		"a branch above its main": {"300x250", "250x200", "200x150 BOD 3600", []float64{0.375}, 2, 0},
		// 3.200 - 0.125 against 3.300: what goes on is 250 high as well
		"a main under what goes on": {"300x250 TOD 3200", "300x250 CL 3300", "200x150 CL 3300", []float64{0.225}, 2, 0},
		// the bottom at 3.200 is within the main, and so is the top at 3.350
		"a branch within its main": {"300x250", "250x200", "200x150 BOD 3200", nil, 2, 0},
		// bottoms in line: the middle falls by half of the change
		// the main from 3.200 to 3.515, what goes on from 3.175 to 3.425: 57.5 mm, which the size change takes up
		"a main slightly over what goes on": {"%%c315 BOD 3200", "%%c250", "%%c200 BOD 3200", nil, 2, 0},
		// the main from 3.400 to 3.700, what goes on from 3.200 to 3.400; the branch, in line with the bottom of the
		// main, may belong to either: reported
		"a main over what goes on, with a branch": {"300x300 BOD 3400", "300x200", "200x150 BOD 3400", nil, 2, 1},
		"bottoms in line": {"300x250 BOD 3200", "250x200 BOD 3200", "200x150 BOD 3200", nil, 2,
			0},
		// 2.600 + 0.100 is the height of the terminal: no drop, and 3.300 - 2.700 of riser
		"a branch at the height of its terminal": {"%%c315", "%%c250", "%%c200 BOD 2600", []float64{0.6}, 1, 0},
	} {
		t.Run(name, func(t *testing.T) {
			st := stepped(t, c.first, c.second, c.branch)
			heights, drops := risers(st)
			require.Len(t, heights, len(c.risers))
			for i := range heights {
				require.InDelta(t, c.risers[i], heights[i], 1e-6)
			}
			require.Equal(t, c.drops, drops)
			require.Equal(t, c.steps, reported(st, diag.LevelStep))
			require.Equal(t, len(c.risers), reported(st, diag.Riser))
		})
	}
}

func reported(st *Study, code diag.Code) (n int) {
	for _, f := range st.Findings {
		if f.Code == code {
			n++
		}
	}
	return n
}

// A line that keeps its bottom through sizes of several heights cannot be taken by one centreline: what does not meet
// it is reported.
func TestLevelStepIsTold(t *testing.T) {
	s := &sketcher{}
	s.circle("SK-SUP-UNIT", 0, 0, 350)
	s.text("SK-SUP-UNIT", 0, 450, "U-1")
	s.line("SK-SUP-DUCT", 350, 0, 10000, 0)
	s.text("SK-SUP-NOTE", 2500, 60, "BOD 3200 300x300")
	s.text("SK-SUP-NOTE", 7500, 60, "300x200")
	for i, x := range []float64{4000, 8500} {
		s.line("SK-SUP-DUCT", x, 0, x, 4000)
		s.circle("SK-SUP-TERM", x, 4000, 100)
		s.text("SK-SUP-TERM", x+50, 4000, []string{"S-1 50 l/s", "S-2 60 l/s"}[i])
	}
	s.text("SK-SUP-NOTE", 4060, 2000, "200x100 CL 3480") // from 3.430 to 3.530; the main from 3.200 to 3.500
	s.text("SK-SUP-NOTE", 8560, 2000, "200x100 CL 3300") // within 3.200 to 3.400
	s.circle("SK-SUP-TERM", 10000, 0, 100)
	s.text("SK-SUP-TERM", 10050, 0, "S-3 100 l/s")
	st, err := Read(s.drawing(), nil)
	require.NoError(t, err)
	require.False(t, st.Findings.HasErrors(), "%v", st.Findings)
	require.Equal(t, 1, reported(st, diag.LevelStep))
	for _, f := range st.Findings {
		if f.Code == diag.LevelStep {
			require.InDelta(t, 4, f.At[0], 1e-9)
			require.InDelta(t, 0, f.At[1], 1e-9)
			require.Contains(t, f.Text, "200x100")
			require.Contains(t, f.Text, "130 mm above") // 3.480 - 3.350
		}
	}
	heights, _ := risers(st)
	require.Empty(t, heights)
}
