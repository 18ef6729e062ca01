package pipeline

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// sketcher writes an R12 sketch in millimetres.
type sketcher struct {
	entities []string
	branches []twig
	shape    int // the entity that says the shape of the ducts
	most     int // the most airflow of a terminal, l/s, that the shape allows
}

// A twig is a duct with a terminal at its end: its entities, its end, its airflow in l/s. The line is -1 where it is
// that of the trunk.
type twig struct {
	line, circle, text int
	x, y               float64
	x0, y0             float64
	name, flow         int
	layer              func(string) string
}

func (s *sketcher) entity(kind, layer, rest string) int {
	s.entities = append(s.entities, record(len(s.entities), kind, layer, rest))
	return len(s.entities) - 1
}

func record(i int, kind, layer, rest string) string {
	return fmt.Sprintf("0\n%s\n5\n%X\n8\n%s\n%s", kind, 0x101+i, layer, rest)
}

func (s *sketcher) line(layer string, x0, y0, x1, y1 float64) int {
	return s.entity("LINE", layer, fmt.Sprintf("10\n%g\n20\n%g\n11\n%g\n21\n%g\n", x0, y0, x1, y1))
}

func (s *sketcher) circle(layer string, x, y, r float64) int {
	return s.entity("CIRCLE", layer, fmt.Sprintf("10\n%g\n20\n%g\n40\n%g\n", x, y, r))
}

func (s *sketcher) text(layer string, x, y float64, value string) int {
	return s.entity("TEXT", layer, fmt.Sprintf("10\n%g\n20\n%g\n40\n120\n1\n%s\n", x, y, value))
}

func (s *sketcher) drawing() []byte {
	return []byte("0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1009\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n" +
		"0\nSECTION\n2\nENTITIES\n" +
		strings.Join(s.entities, "") + "0\nENDSEC\n0\nEOF\n")
}

// tree draws a random system: a trunk, branches to both sides, some with a twig of their
// own. Every branch has a strip of the plan to itself, so that nothing meets by chance.
func tree(t *rapid.T) (s *sketcher, flow float64, terminals int) {
	s = &sketcher{}
	air := rapid.SampledFrom([]string{"SUP", "ETA", "EHA", "ODA"}).Draw(t, "air")
	layer := func(part string) string { return "SK-" + air + "-" + part }
	s.circle(layer("UNIT"), 0, 0, 350)
	s.text(layer("UNIT"), 0, 450, "U-1")
	shape := rapid.SampledFrom([]string{"round", "rect", "rect H<=300", "oval H<=300"}).Draw(t, "shape")
	most := 400
	if strings.Contains(shape, "H<=") {
		most = 60 // more than that all together, and no height of 300 carries it within the limits
	}
	s.most = most
	terminal := func(line int, x0, y0, x, y float64) {
		terminals++
		q := rapid.IntRange(10, most).Draw(t, "flow")
		flow += float64(q) / 1000
		s.branches = append(s.branches, twig{line, s.circle(layer("TERM"), x, y, 150),
			s.text(layer("TERM"), x+50, y, fmt.Sprintf("T-%d %d l/s", terminals, q)), x, y, x0, y0, terminals, q,
			layer})
	}
	n := rapid.IntRange(1, 7).Draw(t, "branches")
	x := 350.0
	s.shape = s.text(layer("NOTE"), 500, 60, shape)
	for range n {
		x += float64(rapid.IntRange(4000, 7000).Draw(t, "step"))
		side := 1.0
		if rapid.Bool().Draw(t, "below") {
			side = -1
		}
		length := float64(rapid.IntRange(3000, 6000).Draw(t, "length"))
		terminal(s.line(layer("DUCT"), x, 0, x, side*length), x, 0, x, side*length)
		if rapid.Bool().Draw(t, "twig") {
			y := side * length / 2
			terminal(s.line(layer("DUCT"), x, y, x-1900, y), x, y, x-1900, y)
		}
	}
	if rapid.Bool().Draw(t, "end") {
		x += 3000
		terminal(-1, 0, 0, x, 0)
	}
	s.line(layer("DUCT"), 350, 0, x, 0)
	return s, flow, terminals
}

// TestRandomTrees draws random systems through the whole line and holds the results to
// the laws of the job. With TWINLINE_KEEP set to a folder the drawings are kept there for
// other programs to judge.
func TestRandomTrees(t *testing.T) {
	kept := 0
	rapid.Check(t, func(t *rapid.T) {
		sketch, flow, terminals := tree(t)
		st, err := Read(sketch.drawing(), nil)
		require.NoError(t, err)
		require.False(t, st.Findings.HasErrors(), "findings: %v", st.Findings)
		require.Len(t, st.Network.Systems, 1)
		require.Len(t, st.Network.Terminals, terminals)
		require.InDelta(t, flow, float64(st.Network.Systems[0].Flow), 1e-9)
		flowsAddUp(t, st)
		sizesObeyTheRule(t, st)
		wallsDoNotCross(t, st)

		d, err := st.Draw()
		require.NoError(t, err)
		again, err := Read(d.Output, nil)
		require.NoError(t, err)
		d2, err := again.Draw()
		require.NoError(t, err)
		require.True(t, bytes.Equal(d.Output, d2.Output), "a second run gives the same bytes")
		if dir := os.Getenv("TWINLINE_KEEP"); dir != "" && kept < 20 {
			kept++
			require.NoError(t, os.WriteFile(filepath.Join(dir, fmt.Sprintf("random-%02d.dxf", kept)), d.Output, 0o644))
		}
	})
}

func flowsAddUp(t *rapid.T, st *Study) {
	for _, n := range st.Network.Nodes {
		if n.Kind != duct.Bend && n.Kind != duct.Branch {
			continue
		}
		var sum float64
		for _, id := range n.Runs {
			r := &st.Network.Runs[id]
			if r.To == n.ID {
				sum += float64(r.Flow)
			} else {
				sum -= float64(r.Flow)
			}
		}
		require.InDelta(t, 0, sum, 1e-9, "what flows into node %d flows out of it", n.ID)
	}
}

// sizesObeyTheRule: within the limits, not under the least, none smaller than what it feeds.
func sizesObeyTheRule(t *rapid.T, st *Study) {
	spec := st.Specs.Sizing
	for i := range st.Network.Runs {
		r, res := &st.Network.Runs[i], st.Design.Runs[i]
		if r.System == duct.None || r.Flow == 0 || !r.Spec.Fixed.IsZero() {
			continue
		}
		require.LessOrEqual(t, float64(res.Velocity), float64(spec.MaxVelocity)*(1+1e-9), "velocity of %s", r.Key)
		if !r.Pliable {
			require.LessOrEqual(t, float64(res.Rate), float64(spec.Rate)*(1+1e-9), "friction of %s", r.Key)
		}
		require.GreaterOrEqual(t, float64(min(res.Size.Width, res.Size.Height)), float64(spec.Least)*(1-1e-9))
		if r.Up != duct.None {
			up := st.Design.Runs[r.Up].Size
			require.GreaterOrEqual(t, float64(up.Area()), float64(res.Size.Area())*(1-1e-9),
				"%s is fed by a smaller piece", r.Key)
		}
	}
}

// wallsDoNotCross: no two straight walls of one run cross between their ends.
func wallsDoNotCross(t *rapid.T, st *Study) {
	var walls []shape.Line
	for _, s := range st.Shapes {
		if l, ok := s.Geom.(shape.Line); ok && s.Part == shape.Wall {
			require.Greater(t, l.A.PlanDist(l.B), geom.Same, "a wall of no length: %s", s.Key)
			walls = append(walls, l)
		}
	}
	for i, a := range walls {
		for _, b := range walls[:i] {
			if math.Abs(a.A.Z-b.A.Z) < geom.Same && crossInside(a, b) {
				t.Fatalf("walls cross: %v and %v", a, b)
			}
		}
	}
}

func crossInside(a, b shape.Line) bool {
	d, e := a.B.Sub(a.A).Plan(), b.B.Sub(b.A).Plan()
	den := d.X*e.Y - d.Y*e.X
	if math.Abs(den) < geom.Straight*d.Len()*e.Len() {
		return false
	}
	w := b.A.Sub(a.A).Plan()
	s := (w.X*e.Y - w.Y*e.X) / den
	u := (w.X*d.Y - w.Y*d.X) / den
	inside := func(k, length float64) bool { return k*length > geom.Same && (1-k)*length > geom.Same }
	return inside(s, d.Len()) && inside(u, e.Len())
}
