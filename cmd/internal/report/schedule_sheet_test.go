package report

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
)

// checkRows reads a table of outside numbers by the names of its columns.
func checkRows(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("../../../testdata/checks/" + name)
	require.NoError(t, err)
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(lines), 1)
	var out []map[string]string
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, column := range lines[0] {
			row[column] = line[i]
		}
		require.NotEmpty(t, row["source"], row["id"])
		out = append(out, row)
	}
	return out
}

func float(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// Every gauge in use has the thickness and mass of the published table. Of its 13 rows, 8 are
// sheets no duct here is made of.
func TestGauges(t *testing.T) {
	used := 0
	for _, row := range checkRows(t, "06b_gauge_weight.csv") {
		n, err := strconv.Atoi(row["gauge_US"])
		require.NoError(t, err)
		g, ok := gauges[n]
		if !ok {
			continue
		}
		used++
		require.InDelta(t, float(t, row["thickness_nominal_mm"]), float64(g.thickness/duct.Millimetre), 1e-9, row["id"])
		require.InDelta(t, float(t, row["mass_kgm2"]), g.mass, 1e-9, row["id"])
	}
	require.Equal(t, len(gauges), used, "every gauge has its row")
	require.Equal(t, 5, used)
}

// Thickness follows the rows that were read, at both ends of each. Left out: the rows for
// industrial exhaust (TH06 to TH10), which is no general ventilation, and rows from memory.
func TestThickness(t *testing.T) {
	checked, left := 0, 0
	for _, row := range checkRows(t, "06c_thickness_by_size.csv") {
		if row["provenance"] != "READ" || strings.Contains(row["duct"], "exhaust") {
			left++
			continue
		}
		n, err := strconv.Atoi(row["gauge_or_mm"])
		require.NoError(t, err)
		for _, size := range []string{row["size_from"], row["size_to"]} {
			var s duct.Size
			if row["unit"] == "in" {
				s = duct.RoundOf(duct.Length(float(t, size)) * duct.Inch)
			} else {
				side := duct.Length(float(t, size)) * duct.Millimetre
				if side == 0 { // the smallest there is
					side = duct.Millimetre
				}
				s = duct.RectOf(side/2, side)
			}
			g, basis := sheetOf(s)
			require.Equal(t, gauges[n], g, "%s, %s %s", row["id"], size, row["unit"])
			require.Equal(t, fromTable, basis, "%s, %s %s", row["id"], size, row["unit"])
		}
		checked++
	}
	require.Equal(t, 8, checked)
	require.Equal(t, 19, left)

	for _, c := range []struct {
		s     duct.Size
		basis string
	}{
		{duct.RoundOf(100 * duct.Millimetre), fromNearest},                        // below 6 in
		{duct.RectOf(3.2, 0.5), fromNearest},                                      // above 3 m
		{duct.OvalOf(550*duct.Millimetre, 250*duct.Millimetre), fromLikeness},     // no table
		{duct.RectOf(3000*duct.Millimetre, 500*duct.Millimetre), fromTable},       // the last that is in it
		{duct.RoundOf(6 * 25.4 * duct.Millimetre), fromTable},                     // the first that is in it
		{duct.RoundOf(duct.Length(2000) * duct.Millimetre), fromTable},            // 50 in and over
		{duct.RectOf(300*duct.Millimetre, 1200.00001*duct.Millimetre), fromTable}, // the last bits do not count
	} {
		_, basis := sheetOf(c.s)
		require.Equal(t, c.basis, basis, "%v", c.s)
	}
}

// The weights of the published arithmetic come out of a run of that size and length.
func TestWeights(t *testing.T) {
	rows := checkRows(t, "06d_weight_checks.csv")
	for _, row := range rows {
		var size duct.Size
		if d, ok := strings.CutPrefix(row["size_mm"], "D"); ok {
			size = duct.RoundOf(duct.Length(float(t, d)) * duct.Millimetre)
		} else {
			w, h, ok := strings.Cut(row["size_mm"], "x")
			require.True(t, ok)
			size = duct.RectOf(duct.Length(float(t, w))*duct.Millimetre, duct.Length(float(t, h))*duct.Millimetre)
		}
		job := oneRun(size, float(t, row["L_m"]))
		job.Waste = 0.2
		table := find(t, Schedules(job), "Ducts")
		require.Len(t, table.Rows, 1)
		require.InEpsilon(t, float(t, row["surface_m2"]), value(t, table, 0, "surface"), 1e-6, row["id"])
		require.InEpsilon(t, float(t, row["net_kg"]), value(t, table, 0, "weight"), 1e-6, row["id"])
		require.InEpsilon(t, float(t, row["with_20pct_kg"]), value(t, table, 0, "with allowance"), 1e-6, row["id"])
	}
	require.Len(t, rows, 6)
}
