package pipeline

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/cmd/internal/report"
	"twinline/layout/duct"
	"twinline/sizing"
)

// TestExamples puts worked examples in as a drafter would, drawn with another library (testdata/examples/draw.py), and
// holds every number that comes out in the JSON against a table of numbers that are not Twinline's: published, or
// worked out with fluids.
func TestExamples(t *testing.T) {
	tables, err := filepath.Glob("../../../testdata/examples/*.csv")
	require.NoError(t, err)
	require.Len(t, tables, 5)
	for _, table := range tables {
		base := strings.TrimSuffix(table, ".csv")
		t.Run(filepath.Base(base), func(t *testing.T) {
			drawing, err := os.ReadFile(base + ".dxf")
			require.NoError(t, err)
			settings, err := os.ReadFile(base + ".toml")
			require.NoError(t, err)
			st, err := Read(drawing, settings)
			require.NoError(t, err)
			require.False(t, st.Findings.HasErrors(), "%v", st.Findings)
			var js bytes.Buffer
			require.NoError(t, report.JSON(&js, "test", report.Drawing{Version: st.Doc.Version()}, st.Network,
				st.Design, st.Findings))
			var f caseFile
			require.NoError(t, json.Unmarshal(js.Bytes(), &f))
			for _, row := range exampleRows(t, table) {
				row.compare(t, f)
			}
		})
	}
}

// exampleRow is one number of an example: what it is, of which run (by its ends in plan) or terminal.
type exampleRow struct{ what, of, value, tol, source string }

func exampleRows(t *testing.T, name string) (out []exampleRow) {
	t.Helper()
	file, err := os.Open(name)
	require.NoError(t, err)
	defer file.Close()
	lines, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"what", "of", "value", "tol", "source"}, lines[0])
	for _, l := range lines[1:] {
		require.NotEmpty(t, l[4])
		out = append(out, exampleRow{l[0], l[1], l[2], l[3], l[4]})
	}
	require.NotEmpty(t, out)
	return out
}

// compare holds the row against the JSON.
func (e exampleRow) compare(t *testing.T, f caseFile) {
	t.Helper()
	if e.what == "deciding" {
		require.Equal(t, e.value, f.Systems[0].Deciding, e.source)
		return
	}
	var got map[string]float64
	switch {
	case e.of == "":
		got = map[string]float64{"required_pa": f.Systems[0].Required}
	case strings.Contains(e.of, " to "):
		r := e.run(t, f)
		got = map[string]float64{"diameter_m": r.Diameter, "velocity_ms": r.Velocity, "friction_pa": r.Friction,
			"friction_pa_per_m": r.Rate, "fitting_pa": r.Fitting}
	default:
		for _, term := range f.Systems[0].Terminals {
			if term.ID == e.of {
				got = map[string]float64{"path_pa": term.Path, "throttle_pa": term.Throttle}
			}
		}
	}
	have, ok := got[e.what]
	require.True(t, ok, "%s of %q", e.what, e.of)
	want, err := strconv.ParseFloat(e.value, 64)
	require.NoError(t, err)
	tol, err := strconv.ParseFloat(e.tol, 64)
	require.NoError(t, err)
	// The JSON has six decimals.
	if math.Abs(have-want) > tol*math.Abs(want)+2e-6 {
		t.Errorf("%s of %q: %.8g, want %.8g (%s)", e.what, e.of, have, want, e.source)
	}
}

// run returns the run that lies where the row says: from its end towards the unit.
func (e exampleRow) run(t *testing.T, f caseFile) caseRun {
	t.Helper()
	var a, b [2]float64
	_, err := fmt.Sscanf(e.of, "%g,%g to %g,%g", &a[0], &a[1], &b[0], &b[1])
	require.NoError(t, err)
	near := func(p [3]float64, q [2]float64) bool { return math.Hypot(p[0]-q[0], p[1]-q[1]) < 0.01 }
	for _, s := range f.Systems {
		for _, r := range s.Runs {
			p, q := r.Points[0], r.Points[len(r.Points)-1]
			if near(p, a) && near(q, b) || near(p, b) && near(q, a) {
				return r
			}
		}
	}
	t.Fatalf("no run %s", e.of)
	return caseRun{}
}

// What --explain calls a run and a node is what sizing.coefficients knows them by; the more particular name goes first,
// and a note on the drawing before all of them. Source: the coefficients are given; losses are C times the velocity
// pressure in lecture.csv.
func TestCoefficientsByName(t *testing.T) {
	read := func(t *testing.T, base, settings string) *Study {
		t.Helper()
		drawing, err := os.ReadFile("../../../testdata/examples/" + base + ".dxf")
		require.NoError(t, err)
		own, err := os.ReadFile("../../../testdata/examples/" + base + ".toml")
		require.NoError(t, err)
		st, err := Read(drawing, append(own, settings...))
		require.NoError(t, err)
		require.False(t, st.Findings.HasErrors(), "%v", st.Findings)
		return st
	}
	st := read(t, "lecture", "")
	text, err := sizing.Explain(st.Network, st.Design, st.Specs.Sizing, "r3")
	require.NoError(t, err)
	names := regexp.MustCompile(`(?s)^Run r3 \(([^)]+)\).*through at n3 \(([^)]+)\)`).FindStringSubmatch(text)
	require.Len(t, names, 3, text)
	run, node := names[1], names[2]
	// 3 m3/s before the branch, 1 after it, in the diameters of lecture.csv.
	onCommon := -0.1 * math.Pow(3/math.Pow(0.9051, 2)/(1/math.Pow(0.59796, 2)), 2)
	for _, c := range []struct {
		settings, source string
		c                float64
	}{
		{fmt.Sprintf("%q = 0.7\n", node+"/through"), node + "/through", 0.7},
		{fmt.Sprintf("%q = 0.7\n%q = 0.2\n", node+"/through", run+"/through"), run + "/through", 0.2},
		{fmt.Sprintf("%q = -0.1\n", run+"/through on common"), run + "/through on common", onCommon},
	} {
		st := read(t, "lecture", c.settings)
		for _, f := range st.Design.Fittings {
			if f.Run == 2 && f.Kind == duct.Through {
				require.Contains(t, f.Source, c.source)
				require.InDelta(t, c.c, f.C, 1e-4)
			} else if f.Kind == duct.Through {
				require.InDelta(t, 0.3, f.C, 1e-12)
			}
		}
	}
	// In the nine sections every run has its note, which no setting overrides.
	st = read(t, "nine-equal-friction", "[sizing.coefficients]\ntakeoff = 5\nthrough = 5\nreducer = 5\n")
	sum := 0.0
	for _, f := range st.Design.Fittings {
		sum += f.C
		require.Contains(t, f.Source, "note C=")
	}
	require.InDelta(t, 0+0.06+2.25+0.14+2.05+0.13+1.96+0.14+1.82, sum, 1e-9) // nine_sections.csv
}
