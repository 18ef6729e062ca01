package duct

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Source: testdata/checks/00_units.csv, U06: 0.075 lb/ft3 are 1.201384753 kg/m3.
func TestParseDensity(t *testing.T) {
	for text, want := range map[string]float64{"0.978 kg/m3": 0.978, "1,2 kg/m³": 1.2, "0.075 lb/ft3": 1.201384753,
		"0.075lb/ft³": 1.201384753} {
		got, err := ParseDensity(text)
		require.NoError(t, err, text)
		require.InEpsilon(t, want, float64(got), 1e-6, text)
	}
	for _, text := range []string{"", "1.2", "kg/m3", "1.2 kg", "1.2 kg/m2"} {
		_, err := ParseDensity(text)
		require.ErrorContains(t, err, "no density", text)
	}
}
