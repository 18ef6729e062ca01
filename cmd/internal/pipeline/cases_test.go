package pipeline

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/cmd/internal/report"
)

const caseFolder = "../../../testdata/cases"

// caseSheet is a drawing of testdata/cases with what has to come of it.
type caseSheet struct {
	name     string
	settings string // the text of a settings file
	findings string // the codes that have to be found, each once
	rows     []caseRow
}

// caseRow is one thing that has to come of the system of a unit. source says why: the words of
// the convention, or where the number comes from.
type caseRow struct{ unit, ask, want, source string }

// The parts of the JSON a case asks about. Field names are those of the convention, so that a
// renamed field fails here.
type (
	caseFile struct {
		Twinline *string
		Drawing  struct{ Units, Version string }
		Systems  []caseSystem
		Removed  []caseRun
		Findings []struct {
			Level, Code, Handle, Text string
			At                        []float64
		}
	}
	caseSystem struct {
		Unit, Node, Air, Method, Deciding string
		Flow                              float64  `json:"flow_m3s"`
		Required                          float64  `json:"required_pa"`
		Available                         *float64 `json:"available_pa"`
		Runs                              []caseRun
		Fittings                          []caseFitting
		Terminals                         []caseTerminal
		Nodes                             []struct {
			ID string
			At [3]float64
		}
	}
	caseRun struct {
		ID, From, To, Status, Kind, Shape string
		Diameter                          float64 `json:"diameter_m"`
		Width                             float64 `json:"width_m"`
		Height                            float64 `json:"height_m"`
		Length                            float64 `json:"length_m"`
		Flow                              float64 `json:"flow_m3s"`
		Velocity                          float64 `json:"velocity_ms"`
		Friction                          float64 `json:"friction_pa"`
		Rate                              float64 `json:"friction_pa_per_m"`
		Fitting                           float64 `json:"fitting_pa"`
		Points                            [][3]float64
	}
	caseFitting struct {
		Node, Kind, Reference, Run string
		At                         [3]float64
		C                          float64
		Loss                       float64 `json:"loss_pa"`
	}
	caseTerminal struct {
		ID, Mark, Node, Status string
		At                     [3]float64
		Loss                   float64 `json:"loss_pa"`
		Flow                   float64 `json:"flow_m3s"`
		Path                   float64 `json:"path_pa"`
		Throttle               float64 `json:"throttle_pa"`
	}
)

// study reads a case and returns its JSON.
func (c caseSheet) study(t *testing.T) (*Study, caseFile) {
	t.Helper()
	drawing, err := os.ReadFile(filepath.Join(caseFolder, c.name+".dxf"))
	require.NoError(t, err)
	st, err := Read(drawing, []byte(c.settings))
	require.NoError(t, err)
	var js bytes.Buffer
	require.NoError(t, report.JSON(&js, "test", report.Drawing{Version: st.Doc.Version()}, st.Network, st.Design,
		st.Findings))
	var f caseFile
	dec := json.NewDecoder(&js)
	require.NoError(t, dec.Decode(&f))
	return st, f
}

// TestCases holds sketches drawn with another library to the promises of the convention.
func TestCases(t *testing.T) {
	for _, c := range caseSheets {
		name := c.name
		if c.settings != "" {
			name += "/" + c.settings
		}
		t.Run(name, func(t *testing.T) {
			st, f := c.study(t)
			if got := codes(f); got != c.findings {
				t.Errorf("findings: %q, want %q\n%v", got, c.findings, st.Findings)
			}
			for _, r := range c.rows {
				require.NotEmpty(t, r.source)
				if got := f.ask(r.unit, r.ask); got != r.want {
					t.Errorf("%s: %s: %q, want %q (%s)", r.unit, r.ask, got, r.want, r.source)
				}
			}
			if st.Findings.HasErrors() {
				require.Empty(t, f.Systems)
				require.Empty(t, st.Shapes)
				return
			}
			for i := range f.Systems {
				f.Systems[i].laws(t)
			}
			d, err := st.Draw()
			require.NoError(t, err)
			again, err := Read(d.Output, []byte(c.settings))
			require.NoError(t, err)
			d2, err := again.Draw()
			require.NoError(t, err)
			if !bytes.Equal(d.Output, d2.Output) {
				t.Error("drawing the result again changes it")
			}
		})
	}
}

// advice are the codes that hang on coefficients and on the room for lettering rather than on
// the convention; other tests hold them.
var advice = []string{"imbalance", "label-left-out", "outside-range", "size-jump", "tight-fitting"}

// codes lists the codes found, each once, but for advice.
func codes(f caseFile) string {
	var out []string
	for _, d := range f.Findings {
		if !slices.Contains(advice, d.Code) {
			out = append(out, d.Code)
		}
	}
	slices.Sort(out)
	return strings.Join(slices.Compact(out), " ")
}

// ask answers one question about the system of a unit, in millimetres, l/s and Pa. Places are in
// metres from the middle of the unit.
func (f caseFile) ask(unit, question string) string {
	what, arg, _ := strings.Cut(question, " ")
	if what == "systems" {
		return strconv.Itoa(len(f.Systems))
	}
	if what == "removed" {
		var out []string
		for _, r := range f.Removed {
			out = append(out, r.Kind+" "+r.size())
		}
		return strings.Join(out, ", ")
	}
	i := slices.IndexFunc(f.Systems, func(s caseSystem) bool { return s.Unit == unit })
	if i < 0 {
		return "no such system"
	}
	s := f.Systems[i]
	switch what {
	case "air":
		return s.Air
	case "flow":
		if arg == "" {
			return litres(s.Flow)
		}
	case "required":
		return pascals(s.Required)
	case "available":
		if s.Available == nil {
			return "none"
		}
		return pascals(*s.Available)
	case "deciding":
		return s.Deciding
	case "terminals":
		var out []string
		for _, t := range s.Terminals {
			out = append(out, t.ID)
		}
		slices.Sort(out)
		return strings.Join(out, " ")
	case "terminal":
		return s.terminal(arg)
	case "kinds":
		return count(len(s.Runs), func(i int) string { return s.Runs[i].Kind })
	case "fittings":
		return count(len(s.Fittings), func(i int) string { return s.Fittings[i].Kind })
	case "box":
		var out []string
		for _, x := range s.Fittings {
			if x.Kind == "box" {
				out = append(out, pascals(x.Loss))
			}
		}
		slices.Sort(out)
		return strings.Join(out, " ")
	}
	place, limit, _ := strings.Cut(arg, " ")
	r := s.run(place)
	if r == nil {
		return "no run there"
	}
	switch what {
	case "size":
		return r.size()
	case "low":
		most, err := strconv.ParseFloat(limit, 64)
		if err == nil && 1000*max(r.Height, r.Diameter) <= most+0.05 {
			return "yes"
		}
		return "no: " + r.size()
	case "shape":
		return r.Shape
	case "kind":
		return r.Kind
	case "status":
		return r.Status
	case "flow":
		return litres(r.Flow)
	case "length":
		return millimetres(r.Length)
	case "levels":
		return millimetres(r.Points[0][2]) + " " + millimetres(r.Points[len(r.Points)-1][2])
	case "way":
		a, b := r.Points[0], r.Points[len(r.Points)-1]
		return fmt.Sprintf("%+.0f %+.0f %+.0f", sign(b[0]-a[0]), sign(b[1]-a[1]), sign(b[2]-a[2]))
	}
	return "what is " + what + "?"
}

func sign(x float64) float64 {
	if math.Abs(x) < 1e-6 {
		return 0
	}
	return math.Copysign(1, x)
}

func millimetres(m float64) string { return strconv.FormatFloat(math.Round(m*1e4)/10, 'f', -1, 64) }
func litres(q float64) string      { return strconv.FormatFloat(math.Round(q*1e4)/10, 'f', -1, 64) }
func pascals(p float64) string     { return strconv.FormatFloat(math.Round(p*10)/10, 'f', -1, 64) }

func count(n int, word func(int) string) string {
	k := map[string]int{}
	for i := range n {
		k[word(i)]++
	}
	var out []string
	for w, c := range k {
		out = append(out, fmt.Sprintf("%s %d", w, c))
	}
	sort.Strings(out)
	return strings.Join(out, ", ")
}

func (r *caseRun) size() string {
	switch r.Shape {
	case "round":
		return "ø" + millimetres(r.Diameter)
	case "oval":
		return millimetres(r.Width) + "x" + millimetres(r.Height) + " oval"
	}
	return millimetres(r.Width) + "x" + millimetres(r.Height)
}

// head returns the place of the unit.
func (s *caseSystem) head() [3]float64 {
	for _, n := range s.Nodes {
		if n.ID == s.Node {
			return n.At
		}
	}
	return [3]float64{math.NaN(), math.NaN(), math.NaN()}
}

// terminal says where a terminal is and what it has.
func (s *caseSystem) terminal(id string) string {
	h := s.head()
	for _, t := range s.Terminals {
		if t.ID == id {
			return fmt.Sprintf("%s,%s,%s %s l/s %s Pa", millimetres(t.At[0]-h[0]), millimetres(t.At[1]-h[1]),
				millimetres(t.At[2]),
				litres(t.Flow), pascals(t.Loss))
		}
	}
	return "no such terminal"
}

// run returns the run that passes a place "x,y", metres from the middle of the unit; vertical
// runs only where nothing else does, or where the place ends in "v".
func (s *caseSystem) run(place string) *caseRun {
	place, vertical := strings.CutSuffix(place, "v")
	a, b, _ := strings.Cut(place, ",")
	x, errX := strconv.ParseFloat(a, 64)
	y, errY := strconv.ParseFloat(b, 64)
	if errX != nil || errY != nil {
		return nil
	}
	h := s.head()
	x, y = x+h[0], y+h[1]
	const near = 0.012 // arcs come as chords up to 5 mm off
	for i := range s.Runs {
		r := &s.Runs[i]
		first, last := r.Points[0], r.Points[len(r.Points)-1]
		plumb := math.Hypot(first[0]-last[0], first[1]-last[1]) < 1e-6
		if plumb != vertical {
			continue
		}
		for k := 1; k < len(r.Points); k++ {
			if segmentDist(r.Points[k-1], r.Points[k], x, y) < near {
				return r
			}
		}
	}
	return nil
}

func segmentDist(a, b [3]float64, x, y float64) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	t := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		t = min(1, max(0, ((x-a[0])*dx+(y-a[1])*dy)/l))
	}
	return math.Hypot(a[0]+t*dx-x, a[1]+t*dy-y)
}

// laws holds a system to what the convention says of its numbers.
func (s *caseSystem) laws(t *testing.T) {
	t.Helper()
	const pa, rounding = 1e-4, 1e-6
	runs, towards := map[string]*caseRun{}, map[string]*caseRun{}
	flow := map[string]float64{}
	out := s.Air == "SUP" || s.Air == "ODA" || s.Air == "TRA"
	for i := range s.Runs {
		r := &s.Runs[i]
		runs[r.ID] = r
		far := r.From
		if out {
			far = r.To
		}
		if towards[far] != nil {
			t.Errorf("two runs lead towards the unit from %s", far)
		}
		towards[far] = r
		flow[r.From] -= r.Flow
		flow[r.To] += r.Flow
		// An elbow takes its corner off the straight lengths beside it: two radii of 1.5 d less a
		// quarter circle, half on each side.
		if corner := max(r.Diameter, r.Width, r.Height); math.Abs(r.Friction-r.Rate*r.Length) > r.Rate*corner+rounding {
			t.Errorf("%s: friction %v is not %v by %v m", r.ID, r.Friction, r.Rate, r.Length)
		}
	}
	loss := map[string]float64{}
	for _, x := range s.Fittings {
		loss[x.Run] += x.Loss
	}
	for id, r := range runs {
		if math.Abs(r.Fitting-loss[id]) > pa {
			t.Errorf("%s: fittings lose %v, its sum is %v", id, loss[id], r.Fitting)
		}
	}
	most, sum := 0.0, 0.0
	ends := map[string]bool{s.Node: true}
	for _, term := range s.Terminals {
		path := term.Loss
		for n := term.Node; n != s.Node; {
			r := towards[n]
			if r == nil {
				t.Fatalf("no run leads from %s to the unit", n)
			}
			path += r.Friction + r.Fitting
			if n = r.From; !out {
				n = r.To
			}
		}
		if math.Abs(path-term.Path) > pa {
			t.Errorf("%s: path %v, the sum is %v", term.ID, term.Path, path)
		}
		if math.Abs(s.Required-term.Path-term.Throttle) > pa {
			t.Errorf("%s: %v + %v is not the %v required", term.ID, term.Path, term.Throttle, s.Required)
		}
		if term.ID == s.Deciding && math.Abs(term.Throttle) > pa {
			t.Errorf("%s decides and is throttled", term.ID)
		}
		most, sum = max(most, term.Path), sum+term.Flow
		ends[term.Node] = true
	}
	if math.Abs(most-s.Required) > pa || math.Abs(sum-s.Flow) > rounding*float64(len(s.Terminals)+1) {
		t.Errorf("required %v of %v, flow %v of %v", s.Required, most, s.Flow, sum)
	}
	for n, q := range flow {
		if !ends[n] && math.Abs(q) > 10*rounding {
			t.Errorf("%v more flows into %s than out", q, n)
		}
	}
}

// rows makes one row for each of the wants, for units U-1, U-2 and so on.
func rows(ask, source string, wants ...string) []caseRow {
	var out []caseRow
	for i, w := range wants {
		if w != "" {
			out = append(out, caseRow{fmt.Sprintf("U-%d", i+1), ask, w, source})
		}
	}
	return out
}

// TestCasesByEveryMethod holds the sums of section 6 for every method, upstream of boxes too.
func TestCasesByEveryMethod(t *testing.T) {
	for _, method := range []string{"equal-friction", "velocity", "static-regain", "balanced"} {
		for _, name := range []string{"joins", "boxes", "extract", "retrofit", "downstream", "sizing", "levels"} {
			for _, key := range []string{"method", "upstream_method"} {
				c := caseSheet{name: name, settings: fmt.Sprintf("sizing.%s = %q", key, method)}
				st, f := c.study(t)
				require.False(t, st.Findings.HasErrors(), "%s, %s: %v", name, c.settings, st.Findings)
				require.NotEmpty(t, f.Systems)
				for i := range f.Systems {
					s := &f.Systems[i]
					// Extract air is not sized by static regain, and that is reported.
					if key == "method" && !strings.Contains(codes(f), "method-changed") {
						require.Equal(t, method, s.Method, name)
					}
					s.laws(t)
				}
			}
		}
	}
}
