package shape

import (
	"math"

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
