package config

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
)

// The series of sizes are those of the published lists, in order and none left out: the recommended round sizes of EN 1506 and
// the sides of EN 1505. A third list, of a published example, is none of ours by name and comes in as a list in the settings.
// Source: in each row. Rows from memory and of common practice are no test.
func TestSizesAgainstOutside(t *testing.T) {
	f, err := os.Open("../../../testdata/checks/06_sizes.csv")
	require.NoError(t, err)
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	lists := map[string][]string{}
	n := 0
	for _, line := range lines[1:] {
		id, shape, mm, provenance, source := line[0], line[1], line[2], line[5], line[6]
		if provenance != "READ" {
			continue
		}
		require.NotEmpty(t, source, id)
		lists[shape] = append(lists[shape], mm)
		n++
	}
	require.Equal(t, 65, n)
	want := func(shape string) []float64 {
		var out []float64
		for _, s := range lists[shape] {
			v, err := duct.ParseLength(s + " mm")
			require.NoError(t, err)
			out = append(out, float64(v))
		}
		require.NotEmpty(t, out, shape)
		return out
	}
	got := func(list []duct.Length) []float64 {
		var out []float64
		for _, v := range list {
			out = append(out, float64(v))
		}
		return out
	}
	specs, err := Defaults(true).Specs()
	require.NoError(t, err)
	require.InDeltaSlice(t, want("round"), got(specs.Sizing.RoundSteps.List), 1e-12)
	require.InDeltaSlice(t, want("rectangular side"), got(specs.Sizing.RectSteps.List), 1e-12)

	own, err := Load([]byte("[sizing]\nsteps = [\""+strings.Join(lists["round spiral available"], " mm\", \"")+" mm\"]\n"), true)
	require.NoError(t, err)
	specs, err = own.Specs()
	require.NoError(t, err)
	require.InDeltaSlice(t, want("round spiral available"), got(specs.Sizing.RoundSteps.List), 1e-12)
}

// Source: row TF4 of testdata/checks/09b_trade_facts.csv, flexible connections of 2 m at the most.
func TestFlexibleMost(t *testing.T) {
	specs, err := Defaults(true).Specs()
	require.NoError(t, err)
	require.InDelta(t, 2, float64(specs.Sizing.Fittings.FlexibleMost), 1e-12)
}
