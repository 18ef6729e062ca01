package sizing

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/sizing/internal/checks"
)

// The constants by which the optimised method joins sizes and sizes them.
// Source: rows of networks/optimised_summary.csv.
func TestCondensing(t *testing.T) {
	rows := map[string]checks.Row{}
	for _, r := range checks.Read(t, "networks/optimised_summary.csv") {
		rows[r.ID()] = r
	}
	series := func(a, b float64) float64 {
		return math.Pow(math.Pow(a, seriesPower)+math.Pow(b, seriesPower), 1/seriesPower)
	}
	for id, got := range map[string]float64{
		"TMS20": series(3, 5),
		"TMS22": math.Pow(3/series(3, 5), seriesPower),
		"TMS23": math.Pow(0.2, seriesPower),
		"TMS24": roundFactor,
	} {
		require.InEpsilon(t, rows[id].Num("value"), got, 1e-6, id)
	}
}
