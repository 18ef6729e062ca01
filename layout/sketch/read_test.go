package sketch_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// A small system with plain lines, circles and texts: each thing gets what stands beside it.
func TestPlainSystem(t *testing.T) {
	sk := read(t, mm(t, `
		circle SK-SUP-UNIT 0,0 350
		text SK-SUP-UNIT 0,500 AHU-1
		text SK-SUP-NOTE 0,650 120 Pa
		line SK-SUP-DUCT 350,0 8000,0
		text SK-SUP-NOTE 2000,200 rect H<=250 CL 3300
		line SK-SUP-DUCT 4000,0 4000,3000
		text SK-SUP-NOTE 4200,1500 %%c200
		circle SK-SUP-TERM 4000,3000 150
		text SK-SUP-TERM 4400,3060 S-1
		text SK-SUP-TERM 4400,2820 300 m3/h
		point SK-SUP-TERM 8000,0
		text SK-SUP-NOTE 8400,0 S-2 250 m3/h 12 Pa
	`))
	require.Equal(t, duct.Millimetre, sk.Unit)
	require.True(t, sk.Metric)
	require.Len(t, sk.Lines, 2)
	main, branch := sk.Lines[0], sk.Lines[1]
	at(t, geom.Vec{X: 0.35, Z: 3.3}, main.Path[0].Vec)
	require.Len(t, main.Notes, 1)
	require.Equal(t, duct.Spec{Shape: duct.Rect, HasShape: true, MaxHeight: 250 * duct.Millimetre}, main.Notes[0].Spec)
	require.Len(t, branch.Notes, 1)
	require.Equal(t, duct.RoundOf(200*duct.Millimetre), branch.Notes[0].Spec.Fixed)
	require.InDelta(t, 4, branch.Notes[0].At.X, delta)

	require.Len(t, sk.Units, 1)
	u := sk.Units[0]
	require.Equal(t, "AHU-1", u.Mark)
	require.Equal(t, 120*duct.Pascal, u.Pressure)
	require.Equal(t, "3", u.Note)

	require.Len(t, sk.Terminals, 2)
	s1, s2 := sk.Terminals[0], sk.Terminals[1]
	require.Equal(t, "S-1", s1.Mark)
	require.InDelta(t, 300.0/3600, float64(s1.Flow), delta)
	at(t, geom.Vec{X: 4, Y: 3, Z: 2.7}, s1.At)
	at(t, geom.Vec{X: 3.7, Y: 2.7, Z: 2.7}, s1.Face[0])
	require.Equal(t, "S-2", s2.Mark)
	require.InDelta(t, 250.0/3600, float64(s2.Flow), delta)
	require.Equal(t, 12*duct.Pascal, s2.Loss)
}
