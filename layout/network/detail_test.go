package network

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/sketch"
)

func TestDropPlace(t *testing.T) {
	net, _ := Build(parse(t, "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 4.9,0.1,3.3 \n term T SUP 5,0,2.7 100"), Spec{})
	d := run(t, net, "T/drop")
	require.True(t, d.Vertical())
	require.InDelta(t, 4.9, d.Line.B.X, 1e-9)
	require.InDelta(t, 3.3, d.Line.A.Z, 1e-9)
	require.InDelta(t, 2.7, d.Line.B.Z, 1e-9)
	require.InDelta(t, 0, d.Across.Dot(run(t, net, "A@0").Line.Tangent(1)), 1e-9, "the width stays square to the run")
}

func TestFlexibleEnd(t *testing.T) {
	text := "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 9,0,3.3 \n duct B SUP 5,4,3.3 5,0,3.3 \n" +
		"duct C SUP EX 7,0,3.3 7,4,3.3 \n duct D SUP 8,0,3.3 8,0.8,3.3\n" +
		"term S SUP 9,0,2.7 60 \n term T SUP 5,4,2.7 40 \n term V SUP EX 7,4,2.7 30 \n term W SUP 8,0.8,2.7 30 side"
	net, found := Build(parse(t, text), Spec{FlexibleEnd: 1.5})
	sound(t, net)
	require.False(t, found.HasErrors(), found)
	flex := run(t, net, "B@0")
	require.Equal(t, duct.Flexible, flex.Kind, "B is drawn from its terminal: its first part is flexible")
	require.InDelta(t, 1.5, flex.Line.Len(), 1e-9)
	require.Equal(t, duct.Rigid, run(t, net, "B@1500").Kind)
	require.InDelta(t, 2.5, run(t, net, "B@1500").Line.Len(), 1e-9)
	require.True(t, run(t, net, "T/drop").Pliable)
	require.Equal(t, duct.Rigid, run(t, net, "C@0").Kind, "existing duct is left as it is")
	require.Equal(t, duct.Flexible, run(t, net, "D@0").Kind, "shorter than the flexible end")
	require.Equal(t, duct.Flexible, run(t, net, "A@7500").Kind, "of a meter after the last branch all is flexible")
	require.NotEqual(t, flex.Section, run(t, net, "B@1500").Section)
}

func TestSpecs(t *testing.T) {
	net, found := Build(parse(t, `
unit U SUP 0,0
duct A SUP 0.5,0,3 5,0,3 5,6,3 9,6,3 note 5,3,3 maxh=250 shape=rect note 2,0,3 fixed=400x200 `+
		`note 8,6,3 fixed=300x200 lined=25
duct B SUP 5,2,3 1,2,3 note 2,2,3 shape=round single insul=50
term S SUP 9,6,3 60
term T SUP 1,2,3 40`), Spec{})
	sound(t, net)
	require.False(t, found.HasErrors(), found)
	first, up, last, branch := run(t, net, "A@0"), run(t, net, "A@6500"), run(t, net, "A@10500"), run(t, net, "B@0")
	mm := duct.Millimetre
	require.Equal(t, duct.RectOf(400*mm, 200*mm), first.Spec.Fixed)
	require.Equal(t, duct.RectOf(400*mm, 200*mm), run(t, net, "A@4500").Spec.Fixed, "the whole stretch")
	require.Equal(t, duct.RectOf(300*mm, 200*mm), last.Spec.Fixed)
	require.Equal(t, duct.RectOf(300*mm, 200*mm), up.Spec.Fixed, "a size is that of the stretch its note stands at")
	require.Zero(t, branch.Spec.Fixed)
	require.Zero(t, first.Spec.MaxHeight)
	require.Equal(t, 250*mm, up.Spec.MaxHeight)
	require.Equal(t, 250*mm, last.Spec.MaxHeight, "downstream")
	require.Equal(t, duct.Rect, last.Spec.Shape)
	require.True(t, branch.Spec.HasShape)
	require.Equal(t, duct.Round, branch.Spec.Shape, "the nearer note wins")
	require.True(t, branch.Spec.Single)
	require.False(t, up.Spec.Single)
	require.Equal(t, 25*mm, last.Spec.Lining)
	require.Equal(t, 25*mm, up.Spec.Lining, "from the last branch on")
	require.Equal(t, up.Section, last.Section)
	require.Equal(t, 50*mm, branch.Spec.Insulation)
}

// Two sizes, and two height limits, on one duct without a branch: each holds from where it stands on, the
// first from the unit.
func TestSpecsChangeOnTheWay(t *testing.T) {
	net, found := Build(parse(t, `
unit U SUP 0,0
duct A SUP 0.5,0,3 5,0,3 5,6,3 9,6,3 9,9,3 note 5,3,3 fixed=400x200 maxh=250 note 8,6,3 fixed=300x200 maxh=200
term S SUP 9,9,3 60`), Spec{})
	sound(t, net)
	require.False(t, found.HasErrors(), found)
	var sizes, limits []float64
	var sections []duct.SectionID
	for i := range net.Runs {
		s := net.Runs[i].Spec
		sizes, limits, sections = append(sizes, float64(s.Fixed.Width)), append(limits, float64(s.MaxHeight)),
			append(sections, net.Runs[i].Section)
	}
	require.Equal(t, []float64{0.4, 0.4, 0.3, 0.3}, sizes)
	require.Equal(t, []float64{0.25, 0.25, 0.2, 0.2}, limits)
	require.Equal(t, []duct.SectionID{0, 0, 1, 1}, sections)
}

// A new branch cut into an existing main does not part what is noted of the main; an existing branch does.
func TestExistingSize(t *testing.T) {
	net, _ := Build(parse(t, `
unit U SUP EX 0,0
duct A SUP EX 0.5,0,3 12,0,3 note 2,0,3 fixed=400x200
duct B SUP 4,0,3 4,4,3
duct C SUP EX 8,0,3 8,4,3
term S SUP EX 12,0,3 60
term T SUP 4,4,3 60
term V SUP EX 8,4,3 60`), Spec{})
	sound(t, net)
	size := duct.RectOf(0.4, 0.2)
	require.Equal(t, size, run(t, net, "A@0").Spec.Fixed)
	require.Equal(t, size, run(t, net, "A@3500").Spec.Fixed, "after the new branch")
	require.NotEqual(t, run(t, net, "A@0").Section, run(t, net, "A@3500").Section, "another flow")
	require.Zero(t, run(t, net, "A@7500").Spec.Fixed, "after the existing branch")
	require.Zero(t, run(t, net, "B@0").Spec.Fixed)
	require.Zero(t, run(t, net, "C@0").Spec.Fixed)
}

func TestTwoSizesOnOneRun(t *testing.T) {
	_, found := Build(parse(t,
		"unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 note 2,0,3 fixed=400x200 note 3,0,3 fixed=300x200 \n"+
			"term S SUP 5,0,3 60"), Spec{})
	require.Equal(t, []string{"two-values@NA1"}, codes(found))
}

func TestNames(t *testing.T) {
	net, found := Build(parse(t, `
unit U SUP 0,0
duct A SUP 0.5,0,3 9,0,3
duct B SUP 3,0,3 3,4,3
duct C SUP 5,0,3 5,4,3
duct D SUP 7,0,3 7,4,3
term S2 SUP 9,0,3 60 mark=X
term S1 SUP 3,4,3 60 mark=X
term S3 SUP 5,4,3 60
term S4 SUP 7,4,3 60 mark=T1`), Spec{})
	require.Len(t, found, 1)
	require.Equal(t, diag.Unnamed, found[0].Code)
	names := map[string]string{}
	for _, x := range net.Terminals {
		names[string(x.Key)] = x.Name
	}
	require.Equal(t, map[string]string{"S1": "X#1", "S2": "X#2", "S3": "T2", "S4": "T1"}, names)
}

// A branch added elsewhere renames nothing.
func TestStableKeys(t *testing.T) {
	base := "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP 3,0,3 3,4,3 \n term S SUP 9,0,3 60 \n" +
		"term T SUP 3,4,3 60 \n"
	before, _ := Build(parse(t, base), Spec{})
	after, _ := Build(parse(t, base+"duct C SUP 6,0,3 6,4,3 \n term V SUP 6,4,3 60"), Spec{})
	was, is := map[string]bool{}, map[string]bool{}
	for _, r := range before.Runs {
		was[string(r.Key)] = true
	}
	for _, n := range before.Nodes {
		was[string(n.Key)] = true
	}
	for _, r := range after.Runs {
		is[string(r.Key)] = true
	}
	for _, n := range after.Nodes {
		is[string(n.Key)] = true
	}
	for k := range was {
		require.True(t, is[k], "%s was renamed", k)
	}
}

func TestDatums(t *testing.T) {
	net, found := Build(parse(t,
		"unit U SUP 0,0 \n duct A SUP BOD 0.5,0,3.0 9,0,3.0 \n duct B SUP 5,0,3.2 5,4,3.2 \n term S SUP 9,0,2.7 60 \n"+
			"term T SUP 5,4,3.2 40"), Spec{})
	require.Empty(t, codes(found), "a branch by its centreline meets a main by its bottom without a riser")
	sound(t, net)
	require.InDelta(t, 3.2, run(t, net, "B@0").Line.A.Z, 1e-9)
}

func TestEmpty(t *testing.T) {
	net, found := Build(&sketch.Sketch{}, Spec{})
	require.Empty(t, found)
	require.Empty(t, net.Runs)
	net, _ = Build(&sketch.Sketch{Lines: make([]sketch.Line, 3), Terminals: make([]sketch.Terminal, 2),
		Units: make([]sketch.Unit, 2)}, Spec{Snap: duct.Length(math.Inf(1)), FlexibleEnd: duct.Length(math.NaN())})
	require.NotNil(t, net)
}

// A drafter reads findings in the units of the drawing.
func TestWords(t *testing.T) {
	text := "unit U SUP 0,0 mark=A \n duct A SUP 0.5,0,3 5,0,3 \n duct B SUP 5.0762,0,3 9,0,3 \n term T SUP 9,0,3 100"
	sk := parse(t, text)
	_, found := Build(sk, Spec{})
	require.Contains(t, textOf(t, found, diag.NearMiss), "76.2 mm")
	sk.Metric, sk.Unit = false, duct.Inch
	_, found = Build(sk, Spec{})
	require.Contains(t, textOf(t, found, diag.NearMiss), "3 in ") // 3 x 25.4 mm
	sk = parse(t, "unit U SUP 0,0 mark=A \n duct A SUP 0.5,0,3 9.5,0,3 \n unit V SUP 10,0 mark=B \n term T SUP 5,0,3 100")
	sk.Metric, sk.Unit = false, duct.Inch
	_, found = Build(sk, Spec{})
	require.Contains(t, textOf(t, found, diag.TwoHeads), "unit B at (393.701, 0)") // 10 m in inches
}

func textOf(t *testing.T, found diag.List, code diag.Code) string {
	t.Helper()
	for _, d := range found {
		if d.Code == code {
			return d.Text
		}
	}
	t.Fatalf("no %s in %v", code, found)
	return ""
}

// Three levels at one place: the riser that is drawn is kept, the third duct gets one to the nearest level.
func TestThreeLevels(t *testing.T) {
	net, found := Build(parse(t, `
unit U SUP 0,0
duct A SUP 0.5,0,3 5,0,3 5,0,4 9,0,4
duct B SUP 5,0,4.5 5,4,4.5
duct C SUP 5,0,2 5,-4,2
term S SUP 9,0,4 10
term T SUP 5,4,4.5 20
term V SUP 5,-4,2 30`), Spec{})
	require.Equal(t, []string{"riser@B", "riser@C"}, codes(found))
	sound(t, net)
	lengths := map[string]float64{}
	for i := range net.Runs {
		if net.Runs[i].Vertical() {
			lengths[string(net.Runs[i].Key)] = math.Round(net.Runs[i].Line.Len()*1000) / 1000
		}
	}
	require.Equal(t, map[string]float64{"A@4500": 1, "B@0/riser": 0.5, "C@0/riser": 1}, lengths)
}

// Branches that meet a drawn riser on its way up split it.
func TestBranchOffRiser(t *testing.T) {
	net, found := Build(parse(t, `
unit U SUP 0,0
duct A SUP 0.5,0,3 5,0,3 5,0,9 9,0,9
duct B SUP 5,0,6 5,4,6
term S SUP 9,0,9 10
term T SUP 5,4,6 20`), Spec{})
	require.Empty(t, codes(found))
	sound(t, net)
	require.Equal(t, duct.Branch, net.Nodes[run(t, net, "B@0").From].Kind)
	require.InDelta(t, 3, run(t, net, "A@4500").Line.Len(), 1e-9)
	require.InDelta(t, 3, run(t, net, "A@7500").Line.Len(), 1e-9)
}

// An offset of less than the snap distance at the end of a line is taken for an end drawn twice.
func TestStubs(t *testing.T) {
	net, found := Build(parse(t,
		"unit U SUP 0,0 \n duct A SUP 0.5,0,3.01 0.5,0,3 5,0,3 5,0.01,3 5,0.02,3 \n term T SUP 5,0,3 100"), Spec{})
	require.Empty(t, codes(found))
	sound(t, net)
	require.Len(t, net.Runs, 1)
}

// A main that passes over a terminal serves it only where its line is broken there or a branch leads to it: the finding
// names the duct and says so. A terminal under no duct is reported without.
func TestMainPassesOverTerminal(t *testing.T) {
	_, found := Build(parse(t,
		"unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 9,0,3.3 \n term S SUP 9,0,2.7 60 \n term T SUP 5,0.1,2.7 40 \n"+
			"term V SUP 5,4,2.7 40"), Spec{})
	texts := map[string]diag.Diag{}
	for _, f := range found {
		if f.Code == diag.NoPath {
			texts[f.Handle] = f
		}
	}
	require.Len(t, texts, 2)
	require.Contains(t, texts["T"].Text, "handle A")
	require.Contains(t, texts["T"].Do, "Break the line")
	require.NotContains(t, texts["V"].Text, "handle")
}
