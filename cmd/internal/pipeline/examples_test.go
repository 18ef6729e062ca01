package pipeline

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/cmd/internal/report"
)

// TestExamples puts worked examples in as a drafter would, drawn with another library (testdata/examples/draw.py), and holds every
// number that comes out in the JSON against a table of numbers that are not Twinline's: published, or worked out with fluids.
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
			require.NoError(t, report.JSON(&js, "test", report.Drawing{Version: st.Doc.Version()}, st.Network, st.Design, st.Findings))
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
		got = map[string]float64{"diameter_m": r.Diameter, "velocity_ms": r.Velocity, "friction_pa": r.Friction, "friction_pa_per_m": r.Rate, "fitting_pa": r.Fitting}
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
