package shape

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/geom"
)

// Lettering is read from the bottom or the right: it never leans to the left of upright, and
// it stays on its line.
func TestReadable(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a := rapid.Float64Range(-20, 20).Draw(rt, "angle")
		b := Readable(a)
		require.Greater(rt, b, -math.Pi/2)
		require.LessOrEqual(rt, b, math.Pi/2+geom.Straight)
		require.InDelta(rt, 0, math.Sin(b-a), geom.Same)
		require.InDelta(rt, b, Readable(b), geom.Same)
	})
	require.InDelta(t, math.Pi/2, Readable(-math.Pi/2), geom.Same,
		"upright is read from the right whichever way the line goes")
	require.InDelta(t, math.Pi/2, Readable(math.Pi/2), geom.Same)
	require.InDelta(t, 0, Readable(math.Pi), geom.Same)
}
