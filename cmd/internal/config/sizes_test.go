package config

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
)

// The series of sizes are those of the published lists, in order and none left out: the recommended round sizes of
// EN 1506 and the sides of EN 1505. A third list, of a published example, is none of ours by name and comes in as a
// list in the settings.
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
	specs := Defaults(true).Specs
	require.InDeltaSlice(t, want("round"), got(specs.Sizing.RoundSteps.List), 1e-12)
	require.InDeltaSlice(t, want("rectangular side"), got(specs.Sizing.RectSteps.List), 1e-12)

	list := strings.Join(lists["round spiral available"], " mm\", \"")
	own, err := Load([]byte("[sizing]\nsteps = [\""+list+" mm\"]\n"), true)
	require.NoError(t, err)
	specs = own.Specs
	require.InDeltaSlice(t, want("round spiral available"), got(specs.Sizing.RoundSteps.List), 1e-12)
}

// Source: row TF4 of testdata/checks/09b_trade_facts.csv, flexible connections of 2 m at the most.
func TestFlexibleMost(t *testing.T) {
	specs := Defaults(true).Specs
	require.InDelta(t, 2, float64(specs.Sizing.Fittings.FlexibleMost), 1e-12)
}

// Calculations found elsewhere come with steps of their own, exact sizes, a density, no velocity limit.
func TestSettingsOfOtherCalculations(t *testing.T) {
	load := func(text string) (Specs, error) {
		s, err := Load([]byte(text), true)
		return s.Specs, err
	}
	s, err := load("[air]\ndensity = \"0.075 lb/ft3\"\n[sizing]\nsteps = \"25 mm\"\nmax_velocity = \"\"\n" +
		"[sizing.coefficients]\nterminal = 1.0\n\"1F0/elbow\" = 0.2\n\"takeoff on common\" = -0.4\n")
	require.NoError(t, err)
	require.InDelta(t, 1.201384753, float64(s.Sizing.Air.Density), 1e-8) // row U06 of testdata/checks/00_units.csv
	require.InDelta(t, 0.025, float64(s.Sizing.RoundSteps.Even), 1e-12)
	require.InDelta(t, 0.025, float64(s.Sizing.RectSteps.Even), 1e-12)
	require.Zero(t, float64(s.Sizing.MaxVelocity))
	require.InDelta(t, -0.4, s.Sizing.Coefficients["takeoff on common"], 1e-12)
	s, err = load("[sizing]\nsteps = \"exact\"\nelbow_make = \"3-gore\"\ntakeoff_round = \"entry-45\"\n")
	require.NoError(t, err)
	require.Empty(t, s.Sizing.RoundSteps.List)
	require.Zero(t, float64(s.Sizing.RoundSteps.Even))
	require.Equal(t, duct.Gored3, s.Sizing.Fittings.ElbowMake)
	require.Equal(t, duct.Entry45, s.Sizing.Fittings.TakeoffRound)
	for text, want := range map[string]string{
		"[air]\ndensity = \"1.2\"\n":          "air.density",
		"[air]\ndensity = \"12 kg/m3\"\n":     "air.density",
		"[sizing]\nsteps = \"0.1 mm\"\n":      "sizing.steps",
		"[sizing]\nelbow_make = \"6-gore\"\n": "sizing.elbow_make",
		"[sizing.coefficients]\nelbows = 0.3\n": "sizing.coefficients.elbows: \"elbows\" is no kind of fitting; " +
			"known are",
		"[sizing.coefficients]\n\"1F0/tee on common\" = 0.3\n": "\"tee\" is no kind of fitting",
		"[sizing.coefficients]\nelbow = nan\n":                 "sizing.coefficients.elbow",
	} {
		_, err := load(text)
		require.ErrorContains(t, err, want, text)
	}
}
