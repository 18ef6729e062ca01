package quantity

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/sizing/internal/checks"
)

// Every gauge in use has the thickness and mass of the published table. Of its 13 rows, 8 are
// sheets no duct here is made of.
func TestGauges(t *testing.T) {
	used := 0
	for _, row := range checks.Read(t, "06b_gauge_weight.csv") {
		g, ok := gauges[gauge(row.Num("gauge_US"))]
		if !ok {
			continue
		}
		used++
		require.InDelta(t, row.Num("thickness_nominal_mm"), float64(g.Thickness/duct.Millimetre), 1e-9, row.ID())
		require.InDelta(t, row.Num("mass_kgm2"), float64(g.Density), 1e-9, row.ID())
	}
	require.Equal(t, len(gauges), used, "every gauge has its row")
	require.Equal(t, 5, used)
}

// Thickness follows the rows that were read, at both ends of each. Left out: the rows for
// industrial exhaust (TH06 to TH10), which is no general ventilation, and rows from memory.
func TestThickness(t *testing.T) {
	checked, left := 0, 0
	for _, row := range checks.Read(t, "06c_thickness_by_size.csv") {
		if row.Text("provenance") != "READ" || strings.Contains(row.Text("duct"), "exhaust") {
			left++
			continue
		}
		want := gauges[gauge(row.Num("gauge_or_mm"))]
		for _, size := range []float64{row.Num("size_from"), row.Num("size_to")} {
			s := duct.RoundOf(duct.Length(size) * duct.Inch)
			if row.Text("unit") != "in" {
				side := max(1, duct.Length(size)) * duct.Millimetre // 0: the smallest there is
				s = duct.RectOf(side/2, side)
			}
			require.Equal(t, want, sheetOf(&duct.Run{}, s), "%s, %g %s", row.ID(), size, row.Text("unit"))
		}
		checked++
	}
	require.Equal(t, 8, checked)
	require.Equal(t, 19, left)

	require.Equal(t, gauges[24], sheetOf(&duct.Run{}, duct.RoundOf(507.95*duct.Millimetre)),
		"20 in, rounded to the millimetre")
	for _, c := range []struct {
		s     duct.Size
		basis Basis
	}{
		{duct.RoundOf(100 * duct.Millimetre), FromNearest},                        // below 6 in
		{duct.RectOf(3.2, 0.5), FromNearest},                                      // above 3 m
		{duct.OvalOf(550*duct.Millimetre, 250*duct.Millimetre), FromLikeness},     // no table
		{duct.RectOf(3000*duct.Millimetre, 500*duct.Millimetre), FromTable},       // the last that is in it
		{duct.RoundOf(6 * 25.4 * duct.Millimetre), FromTable},                     // the first that is in it
		{duct.RoundOf(duct.Length(2000) * duct.Millimetre), FromTable},            // 50 in and over
		{duct.RectOf(300*duct.Millimetre, 1200.00001*duct.Millimetre), FromTable}, // the last bits do not count
		{duct.Size{}, NoSize},
	} {
		require.Equal(t, c.basis, sheetOf(&duct.Run{}, c.s).Basis, "%v", c.s)
	}
}

// The weights of the published arithmetic come out of a run of that size and length.
func TestWeights(t *testing.T) {
	rows := checks.Read(t, "06d_weight_checks.csv")
	for _, row := range rows {
		w, h, rect := strings.Cut(strings.TrimPrefix(row.Text("size_mm"), "D"), "x")
		size := duct.RoundOf(millimetres(t, w))
		if rect {
			size = duct.RectOf(millimetres(t, w), millimetres(t, h))
		}
		net := &duct.Network{Runs: []duct.Run{{}}}
		des := &duct.Design{Runs: []duct.RunResult{{Size: size, Length: duct.Length(row.Num("L_m"))}}}
		ducts := Ducts(net, des, 0.2)
		require.Len(t, ducts, 1)
		require.InEpsilon(t, row.Num("surface_m2"), float64(ducts[0].Surface), 1e-6, row.ID())
		require.InEpsilon(t, row.Num("net_kg"), float64(ducts[0].Mass), 1e-6, row.ID())
		require.InEpsilon(t, row.Num("with_20pct_kg"), float64(ducts[0].Ordered), 1e-6, row.ID())
	}
	require.Len(t, rows, 6)
}

func millimetres(t *testing.T, s string) duct.Length {
	t.Helper()
	l, err := duct.ParseLength(s + " mm")
	require.NoError(t, err)
	return l
}
