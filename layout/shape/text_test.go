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

// Advance widths of DejaVu Sans 2.37, whose capitals are 1493 high, as the file of the font has them.
var advances = map[rune]float64{'0': 1303, '1': 1303, '2': 1303, '3': 1303, '5': 1303, 'x': 1212, 'l': 569, 'i': 569,
	'n': 1298, 'e': 1260, 'd': 1300, 'c': 1126, 'f': 721, 'm': 1995, ' ': 651, '"': 942, '.': 651, 'Ø': 1612,
	'M': 1767, 'S': 1300, '-': 739}

// The room kept free for a line is that of its letters or more, but not much more.
func TestLetterWidths(t *testing.T) {
	for _, line := range []string{"1250x350", "Ø315", "lined 25", "220 cfm", "S-101", "....", `""""`, "MMMM"} {
		w := 0.0
		for _, r := range line {
			require.Contains(t, advances, r)
			w += advances[r] / 1493
		}
		require.InEpsilon(t, 1.15*w, LetterWidths(line), 0.13, line)
	}
}

// A text stands in its box by its alignment; the box has 0.15 of the height of capitals over and under them.
func TestBoxOfText(t *testing.T) {
	w := LetterWidths("00") * 2
	middles := map[Align]geom.Vec{BottomLeft: {X: w / 2, Y: 1}, MiddleCenter: {}, TopRight: {X: -w / 2, Y: -1}}
	for align, at := range middles {
		box := geom.BoxOf(Text{Value: "00", Height: 2, Align: align}.Box()...)
		require.InDelta(t, at.X, (box.MinX+box.MaxX)/2, 1e-9)
		require.InDelta(t, at.Y, (box.MinY+box.MaxY)/2, 1e-9)
		require.InDelta(t, w, box.MaxX-box.MinX, 1e-9)
		require.InDelta(t, 2*1.3, box.MaxY-box.MinY, 1e-9)
	}
}
