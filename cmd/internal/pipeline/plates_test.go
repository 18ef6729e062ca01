package pipeline

import (
	"math"
	"os"
	"testing"
	"unicode/utf8"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// Measures of the laws below.
const (
	onEnd       = 1e-4 // metres: what lies this near to an end of a line touches it
	letterShare = 0.6  // of the height of capitals: the least a letter takes, with what parts it from the next
	flattenBy   = 1e-4 // metres
)

// TestPlates draws the reference sheet and holds the result, and that of the demonstrations, to what a reader sees: no
// wall stands across the way of the air, no lettering on a wall or on other lettering, nothing is left out for want of
// room that the sheet is there to show.
func TestPlates(t *testing.T) {
	const plates = "../../../testdata/plates/"
	drawing, err := os.ReadFile(plates + "plates.dxf")
	require.NoError(t, err)
	second, err := os.ReadFile(plates + "second.toml")
	require.NoError(t, err)
	studies := demonstrations(t)
	for name, settings := range map[string][]byte{"plates": nil, "plates in the second standard": second} {
		st, err := Read(drawing, settings)
		require.NoError(t, err)
		studies[name] = st
	}
	for name, st := range studies {
		t.Run(name, func(t *testing.T) {
			require.False(t, st.Findings.HasErrors(), "%v", st.Findings)
			require.NotEmpty(t, st.Shapes)
			requireOpenWays(t, st)
			requireLegible(t, st)
			requireOnce(t, st)
		})
	}
}

// seen is a line of the plan, in plan, for the judge.
type seen struct {
	s     *shape.Shape
	curve geom.Curve
	line  sf.Geometry
}

// seenOf returns the lines of one part.
func seenOf(st *Study, part shape.Part) []seen {
	var out []seen
	for i := range st.Shapes {
		s := &st.Shapes[i]
		if s.Part != part {
			continue
		}
		var curves []geom.Curve
		switch g := s.Geom.(type) {
		case shape.Line:
			curves = []geom.Curve{{A: g.A, B: g.B}}
		case shape.Arc:
			at := func(a float64) geom.Vec { return g.Center.Add(geom.Direction(a).Scale(g.Radius)) }
			curves = []geom.Curve{{A: at(g.Start), B: at(g.End), Bulge: math.Tan((g.End - g.Start) / 4)}}
		case shape.Circle:
			curves = geom.CircleRegion(g.Center, g.Radius).Edges
		case shape.Polyline:
			curves = g.Path.Curves(g.Closed)
		}
		for _, c := range curves {
			if c.PlanLen() > onEnd {
				out = append(out, seen{s, c, lineString(c)})
			}
		}
	}
	return out
}

func lineString(c geom.Curve) sf.Geometry {
	var xy []float64
	for _, p := range c.Flatten(flattenBy) {
		xy = append(xy, p.X, p.Y)
	}
	return sf.NewLineString(sf.NewSequence(xy, sf.DimXY)).AsGeometry()
}

// waysOf returns the way of the air through every duct that is drawn double-line, level and not removed, by run: its
// centreline, which ends at the bends beside it and goes on into all other fittings.
func waysOf(st *Study) map[duct.RunID]geom.Curve {
	net := st.Network
	sizes := make([]duct.Size, len(net.Runs))
	for i := range sizes {
		sizes[i] = st.Design.Runs[i].Size
	}
	out := map[duct.RunID]geom.Curve{}
	asm := st.Design.Assembly
	for i := range net.Runs {
		r := &net.Runs[i]
		width := max(sizes[i].Width, sizes[i].Height)
		if r.Status == duct.Removed || r.Vertical() || r.Pliable || r.Spec.Single ||
			width <= st.Specs.Plan.SingleBelow {
			continue
		}
		ends := [2]float64{0, 1}
		axis := asm.Axes[i]
		for k, n := range [2]duct.NodeID{net.UpNode(r), net.DownNode(r)} {
			if net.Nodes[n].Kind == duct.Bend {
				ends[k] += float64(1-2*k) * float64(asm.TakeOuts[i][k]) / axis.Len()
			}
		}
		if ends[1] > ends[0] {
			out[r.ID] = axis.Sub(ends[0], ends[1])
		}
	}
	return out
}

// requireOpenWays checks that no wall crosses the way of the air at its height.
func requireOpenWays(t *testing.T, st *Study) {
	t.Helper()
	walls := seenOf(st, shape.Wall)
	ways := waysOf(st)
	require.NotEmpty(t, ways)
	for id, a := range ways {
		r := &st.Network.Runs[id]
		for _, w := range walls {
			if !a.Box().Meets(w.curve.Box()) || r.Air != w.s.Air {
				continue
			}
			for _, m := range geom.Meet(a, w.curve) {
				inside := m.A > onEnd && m.A < a.PlanLen()-onEnd && m.B > onEnd && m.B < w.curve.PlanLen()-onEnd
				level := math.Abs(a.PlanAt(m.A).Z-w.curve.PlanAt(m.B).Z) < onEnd
				require.False(t, inside && level, "the wall %s stands across the way of the air of %s at %v", w.s.Key,
					r.Key, m.P)
			}
		}
	}
}

// requireLegible checks that lettering stands clear of walls, joints and other lettering.
func requireLegible(t *testing.T, st *Study) {
	t.Helper()
	lines := append(seenOf(st, shape.Wall), seenOf(st, shape.Joint)...)
	var boxes []sf.Geometry
	var texts []shape.Text
	for i := range st.Shapes {
		if x, ok := st.Shapes[i].Geom.(shape.Text); ok &&
			(st.Shapes[i].Part == shape.Size || st.Shapes[i].Part == shape.Flow) {
			texts, boxes = append(texts, x), append(boxes, textArea(t, x))
		}
	}
	require.NotEmpty(t, texts)
	for i, b := range boxes {
		for _, l := range lines {
			require.False(t, sf.Intersects(b, l.line), "%q at %v stands on %s", texts[i].Value, texts[i].At, l.s.Key)
		}
		for k := range i {
			require.False(t, sf.Intersects(b, boxes[k]), "%q at %v stands on %q", texts[i].Value, texts[i].At,
				texts[k].Value)
		}
	}
}

// textArea returns what the letters of a text cover at least.
func textArea(t *testing.T, x shape.Text) sf.Geometry {
	t.Helper()
	w, h := letterShare*x.Height*float64(utf8.RuneCountInString(x.Value)), x.Height
	u := geom.Direction(x.Angle)
	v := u.Left()
	low := x.At.Sub(u.Scale(w * float64(x.Align%3) / 2)).Sub(v.Scale(h * float64(x.Align/3) / 2))
	var xy []float64
	for _, p := range []geom.Vec{low, low.Add(u.Scale(w)), low.Add(u.Scale(w)).Add(v.Scale(h)), low.Add(v.Scale(h)),
		low} {
		xy = append(xy, p.X, p.Y)
	}
	p := sf.NewPolygon([]sf.LineString{sf.NewLineString(sf.NewSequence(xy, sf.DimXY))})
	require.NoError(t, p.Validate())
	return p.AsGeometry()
}

// requireOnce checks that no line of a terminal's face or of a duct lies on a wall.
func requireOnce(t *testing.T, st *Study) {
	t.Helper()
	walls := seenOf(st, shape.Wall)
	for i, w := range walls {
		for _, v := range append(walls[:i:i], seenOf(st, shape.Term)...) {
			if !w.curve.Straight() || !v.curve.Straight() || !w.curve.Box().Meets(v.curve.Box()) ||
				math.Abs(w.curve.A.Z-v.curve.A.Z) > onEnd && v.s.Part == shape.Wall {
				continue
			}
			x, err := sf.Intersection(w.line, v.line)
			require.NoError(t, err)
			require.Less(t, x.Length(), 1e-3, "%s lies on %s", v.s.Key, w.s.Key)
		}
	}
}
