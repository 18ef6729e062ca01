package fitting_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
)

// A terminal that is connected from the side has its neck there: the duct changes to it before, over 100 mm, the least,
// from 250 to 200 mm, and over 50 mm / tan 30° to a rectangle 350 mm wide. 300 mm of the run lie within the face. A
// duct that only happens to end at the side of the face goes into a box there as it is.
func TestNeckOnTheSide(t *testing.T) {
	for _, air := range []duct.Air{duct.SUP, duct.ETA} {
		for _, c := range []struct {
			conn   duct.Conn
			neck   duct.Size
			length float64
			grows  bool
		}{
			{duct.ConnSide, duct.RoundOf(0.2), 0.1, false},
			{duct.ConnSide, duct.RectOf(0.35, 0.25), math.Max(0.1, 0.05/math.Tan(30*degree)), true},
			{duct.ConnSide, duct.RoundOf(0.25), 0, false},
			{duct.ConnSide, duct.Size{}, 0, false},
			{duct.ConnUnknown, duct.RoundOf(0.2), 0, false},
		} {
			end, conn := 8.0, "side"
			if c.conn == duct.ConnUnknown {
				end, conn = 7.69, "" // before the face, which begins at 7.7
			}
			m := makeOf(t, draw(t, air, "duct A size=250 0.5,0 %v,0; term T 8,0,2.4 100 %s neck=%v", end, conn, c.neck),
				usual())
			f := m.one(t, "A@0", duct.TerminalConn)
			require.InDelta(t, math.Pi/2, f.Angle, 1e-9)
			require.Zero(t, f.Length)
			within := 0.3
			if c.conn == duct.ConnUnknown {
				within = 0
			}
			require.InDelta(t, within+c.length, float64(far(m, "A@0")), 1e-9, "%v", c)
			if c.length == 0 {
				require.Len(t, m.of(t, "A@0"), 2, "%v", c)
				continue
			}
			kind := duct.Reducer
			if c.grows == air.FromUnit() { // it opens along the air
				kind = duct.Expander
			}
			g := m.one(t, "A@0", kind)
			require.Equal(t, [2]duct.Size{duct.RoundOf(0.25), c.neck}, [2]duct.Size{g.Common, g.Own})
			require.InDelta(t, c.length, float64(g.Length), 1e-9)
			require.Equal(t, f.Node, g.Node)
			require.Zero(t, g.ShortBy)
		}
	}
	// On a run of 150 mm beyond the face there is no room for 58 mm / tan 30°: the change of size tells what it lacks.
	m := supply(t, "duct A size=250 0.5,0 0.95,0; term T 0.95,0,2.4 100 side neck=450")
	require.InDelta(t, 0.1/math.Tan(30*degree)-0.15, float64(m.one(t, "A@0", duct.Expander).ShortBy), 1e-9)
}
