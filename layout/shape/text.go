package shape

import (
	"math"
	"strings"

	"twinline/layout/geom"
)

// Readable returns angle or its opposite, whichever lettering along it can be read from the
// bottom or from the right of the sheet: in (-90°, 90°].
func Readable(angle float64) float64 {
	a := math.Mod(angle, 2*math.Pi)
	switch {
	case a > math.Pi:
		a -= 2 * math.Pi
	case a <= -math.Pi:
		a += 2 * math.Pi
	}
	switch {
	case a > math.Pi/2+geom.Straight:
		a -= math.Pi
	case a <= -math.Pi/2+geom.Straight:
		a += math.Pi
	}
	return a
}

// Widths of letters with the space to the next one, to the height of capitals. They are
// those of the widest of the plain fonts a DXF text style is drawn with (measured on
// LibreCAD's standard and simplex fonts and on DejaVu Sans, which ezdxf draws with), so
// that a text is rather narrower on paper than the box kept free for it.
const (
	letterNarrow = 0.55 // i l . , ' | and the like
	letterMark   = 0.75 // the inch mark
	letterUsual  = 0.96
	letterWide   = 1.3 // M W m w @ and a letter with a stroke through it
)

// LineBox is the height of the box of a line to that of its capitals: these, and a slash or comma below.
const LineBox = 1.3

// LetterWidths returns the width kept free for a line of letters, to the height of its capitals.
func LetterWidths(line string) float64 {
	w := 0.0
	for _, r := range line {
		switch {
		case strings.ContainsRune("il.,:;'|!I()[]", r):
			w += letterNarrow
		case r == '"':
			w += letterMark
		case strings.ContainsRune("MWmw@%øØ&", r) || r > 0x2e80:
			w += letterWide
		default:
			w += letterUsual
		}
	}
	return w
}

// Box returns the corners of the box kept free for t.
func (t Text) Box() []geom.Vec {
	w, h := LetterWidths(t.Value)*t.Height, LineBox*t.Height
	u := geom.Direction(t.Angle)
	c := t.At.
		Add(u.Scale((1 - float64(int(t.Align)%3)) * w / 2)).
		Add(u.Left().Scale((1 - float64(int(t.Align)/3)) * t.Height / 2))
	return geom.Rectangle(c, u, w/2, h/2)
}
