package plan

import (
	"math"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
	"twinline/symbols"
)

// The lettering of a crossing stands clear of the wall, whatever angle that has to the duct.
func TestRatedLetteringBesideTheWall(t *testing.T) {
	at := geom.Vec{X: 1, Y: 1, Z: 3}
	const letterMean = 0.76 // mean advance of the digits of LibreCAD's font "standard" (lff), to the height of capitals
	for deg := 20; deg < 180; deg += 10 {
		for turn := 0; turn < 360; turn += 30 {
			along := geom.Direction(float64(turn) * math.Pi / 180)
			across := along.Rotate(float64(deg) * math.Pi / 180)
			wall := geom.Curve{A: at.Sub(across.Scale(3)), B: at.Add(across.Scale(3))}
			mark := (&symbols.Choices{}).Rated(duct.Rating{Fire: true}, at, along, 0.4, 0.1)
			for _, g := range offWall(mark, at, wall) {
				if text, ok := g.(shape.Text); ok {
					h, w := text.Height, letterMean*text.Height*float64(len(text.Value))
					u := geom.Direction(text.Angle)
					x, y := (1-float64(int(text.Align)%3))*w/2, (1-float64(int(text.Align)/3))*h/2
					c := text.At.Add(u.Scale(x)).Add(u.Left().Scale(y))
					require.False(t, sf.Intersects(sfArea(t, geom.Rectangle(c, u, w/2, h/2)), sfLine(t, wall)),
						"wall at %d° to a duct at %d°", deg, turn)
				}
			}
		}
	}
}
