package sketch_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
)

// TestTextsInARow letters terminals of 600 mm that stand 1500 mm apart, each by a text that begins 50 mm beside its
// face. Letters are 70 mm wide here: 19 of them reach across the next face, 13 reach its edge, and would not in a
// narrower font.
func TestTextsInARow(t *testing.T) {
	const row = "circle SK-SUP-TERM 0,0 150\ncircle SK-SUP-TERM 1500,0 150\n"
	t.Run("which is meant cannot be known", func(t *testing.T) {
		_, found := findings(mm(t, row+"text SK-SUP-NOTE 350,-75 S-100 105 L/s 12 Pa"))
		require.Contains(t, only(t, found, diag.AmbiguousNote, "3").Text, "terminal with handle 1")
	})
	t.Run("it ends before the next in a narrow font", func(t *testing.T) {
		sk := read(t, mm(t, row+"text SK-SUP-NOTE 350,-75 S-100 105 L/s\ntext SK-SUP-NOTE 1850,-75 S-101 100 L/s"))
		require.InDelta(t, 0.105, float64(sk.Terminals[0].Flow), 1e-12)
		require.InDelta(t, 0.1, float64(sk.Terminals[1].Flow), 1e-12)
	})
	t.Run("it ends before the next", func(t *testing.T) {
		sk := read(t, mm(t, row+"text SK-SUP-NOTE 350,-75 S-100"))
		require.Equal(t, "S-100", sk.Terminals[0].Mark)
	})
	t.Run("it stands on the next", func(t *testing.T) {
		sk := read(t, mm(t, row+"text SK-SUP-NOTE 1100,-75 S-100 105 L/s"))
		require.Equal(t, "S-100", sk.Terminals[1].Mark)
	})
	t.Run("it lies above both and belongs to the one it begins at", func(t *testing.T) {
		sk := read(t, mm(t, row+"text SK-SUP-NOTE -200,350 S-100 105 L/s"))
		require.Equal(t, "S-100", sk.Terminals[0].Mark)
	})
}
