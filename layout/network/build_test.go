package network

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/sketch"
)

// codes returns the findings as "code@handle", sorted, notes about names left out.
func codes(found diag.List) []string {
	out := []string{}
	for _, d := range found {
		if d.Code != diag.Unnamed {
			out = append(out, fmt.Sprintf("%s@%s", d.Code, d.Handle))
		}
	}
	slices.Sort(out)
	return out
}

// shapeOf prints every run as "key kind from>to flow", sorted.
func shapeOf(net *duct.Network) []string {
	var out []string
	for i := range net.Runs {
		r := &net.Runs[i]
		a, b := &net.Nodes[r.From], &net.Nodes[r.To]
		out = append(out, fmt.Sprintf("%s %s %s>%s %.0f", r.Key, r.Kind, a.Kind, b.Kind, r.Flow*1000))
	}
	slices.Sort(out)
	return out
}

// The expected runs and findings follow from section 2 of the design by hand.
var cases = []struct {
	name, sketch string
	runs         []string
	found        []string
}{
	{
		name:   "one duct to one terminal, with a drop",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 5,0,3.3 \n term T SUP 5,0,2.7 100",
		runs:   []string{"A@0 duct head>bend 100", "T/drop drop bend>terminal 100"},
		found:  []string{},
	},
	{
		name:   "extract flows to the unit",
		sketch: "unit U ETA 0,0 \n duct A ETA 0.5,0,3.3 5,0,3.3 \n term T ETA 5,0,2.7 100",
		runs:   []string{"A@0 duct bend>head 100", "T/drop drop terminal>bend 100"},
		found:  []string{},
	},
	{
		name:   "a rise to a terminal above",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,0.2 5,0,0.2 \n term T SUP 5,0,0.5 100",
		runs:   []string{"A@0 duct head>bend 100", "T/drop drop bend>terminal 100"},
		found:  []string{},
	},
	{
		name:   "ends within the snap distance join",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n duct B SUP 5.02,0.01,3 5,4,3 \n term T SUP 5,4,3 100",
		runs:   []string{"A@0 duct head>bend 100", "B@0 duct bend>terminal 100"},
		found:  []string{},
	},
	{
		name:   "a tee into the middle splits the main, from the side within the snap distance",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP 5,0.02,3 5,4,3 \n term S SUP 9,0,3 60 \n term T SUP 5,4,3 40",
		runs:   []string{"A@0 duct head>branch 100", "A@4500 duct branch>terminal 60", "B@0 duct branch>terminal 40"},
		found:  []string{},
	},
	{
		name:   "two branches at one place are a cross",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP 5,0,3 5,4,3 \n duct C SUP 5.01,0,3 5,-4,3 \n term S SUP 9,0,3 60 \n term T SUP 5,4,3 40 \n term V SUP 5,-4,3 30",
		runs:   []string{"A@0 duct head>branch 130", "A@4500 duct branch>terminal 60", "B@0 duct branch>terminal 40", "C@0 duct branch>terminal 30"},
		found:  []string{},
	},
	{
		name:   "lines that merely cross do not join",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n term S SUP 9,0,3 60 \n unit V SUP 5,-4 \n duct B SUP 5,-3.5,3 5,4,3 \n term T SUP 5,4,3 40",
		runs:   []string{"A@0 duct head>terminal 60", "B@0 duct head>terminal 40"},
		found:  []string{},
	},
	{
		name:   "a tee into an arc splits it",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3,0.41421356237 4.5,4,3 \n duct B SUP 3.32842712475,1.17157287525,3 6,-1.5,3 \n term S SUP 4.5,4,3 60 \n term T SUP 6,-1.5,3 40",
		runs:   []string{"A@0 duct head>branch 100", "A@3142 duct branch>terminal 60", "B@0 duct branch>terminal 40"},
		found:  []string{},
	},
	{
		name:   "ends at two elevations are joined by a riser",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n duct B SUP 5,0,4 5,4,4 \n term T SUP 5,4,4 100",
		runs:   []string{"A@0 duct head>bend 100", "A@4500/riser duct bend>bend 100", "B@0 duct bend>terminal 100"},
		found:  []string{"riser@A"},
	},
	{
		name:   "an end over the middle of a run is joined by a riser",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP 5,0,4 5,4,4 \n term S SUP 9,0,3 60 \n term T SUP 5,4,4 40",
		runs:   []string{"A@0 duct head>branch 100", "A@4500 duct branch>terminal 60", "A@4500/riser duct branch>bend 40", "B@0 duct bend>terminal 40"},
		found:  []string{"riser@B"},
	},
	{
		name:   "a riser that is drawn needs no other",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n duct R SUP 5,0,3 5,0,4 \n duct B SUP 5,0,4 5,4,4 \n term T SUP 5,4,4 100",
		runs:   []string{"A@0 duct head>bend 100", "R@0 duct bend>bend 100", "B@0 duct bend>terminal 100"},
		found:  []string{},
	},
	{
		name:   "a drawn drop that ends in the air is capped, not looped",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct R SUP 5,0,3 5,0,4 \n term S SUP 9,0,3 60",
		runs:   []string{"A@0 duct head>branch 60", "A@4500 duct branch>terminal 60", "R@0 duct branch>cap 0"},
		found:  []string{"dead-end@R"},
	},
	{
		name:   "side: the run enters the side, no drop",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 4.7,0,3.3 \n term T SUP 5,0,2.7 100 side",
		runs:   []string{"A@0 duct head>terminal 100"},
		found:  []string{},
	},
	{
		name:   "nothing said and the end at the border: from the side",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 4.69,0,3.3 \n term T SUP 5,0,2.7 100",
		runs:   []string{"A@0 duct head>terminal 100"},
		found:  []string{},
	},
	{
		name:   "top: a drop even from the border",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 4.7,0,3.3 \n term T SUP 5,0,2.7 100 top",
		runs:   []string{"A@0 duct head>bend 100", "T/drop drop bend>terminal 100"},
		found:  []string{},
	},
	{
		name:   "a main that goes on over a terminal drops into it",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 5,0,3.3 \n duct B SUP 5,0,3.3 9,0,3.3 \n term S SUP 5,0,2.7 40 \n term T SUP 9,0,2.7 60",
		runs:   []string{"A@0 duct head>branch 100", "B@0 duct branch>bend 60", "S/drop drop branch>terminal 40", "T/drop drop bend>terminal 60"},
		found:  []string{},
	},
	{
		name:   "flexible duct is a run of its own",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 5,0,3.3 \n duct F SUP flex 5,0,3.3 6,1,3.3 \n term T SUP 6,1,2.7 100",
		runs:   []string{"A@0 duct head>bend 100", "F@0 flex bend>bend 100", "T/drop drop bend>terminal 100"},
		found:  []string{},
	},
	{
		name: "a box in the middle",
		sketch: "unit U SUP 0,0 mark=AHU \n duct A SUP 0.5,0,3 4.5,0,3 \n unit B SUP 5,0 mark=TB \n duct C SUP 5.5,0,3 9,0,3 \n duct D SUP 5,0.5,3 5,4,3 \n" +
			"term S SUP 9,0,3 60 \n term T SUP 5,4,3 40",
		runs:  []string{"A@0 duct head>box 100", "C@0 duct box>terminal 60", "D@0 duct box>terminal 40"},
		found: []string{},
	},
	{
		name: "two mains leave the head, which is told by its pressure",
		sketch: "unit U SUP 0,0 mark=AHU esp=200 \n duct A SUP 0.5,0,3 4.5,0,3 \n unit B SUP 5,0 \n duct C SUP 5.5,0,3 9,0,3 \n" +
			"duct D SUP 0,0.5,3 0,4,3 \n term S SUP 9,0,3 60 \n term T SUP 0,4,3 40",
		runs:  []string{"A@0 duct head>box 60", "C@0 duct box>terminal 60", "D@0 duct head>terminal 40"},
		found: []string{},
	},
	{
		name:   "a fan amid its ducts, and the outlet at their end",
		sketch: "unit O EHA 0,0 mark=ROOF \n duct A EHA 0.5,0,3 4.5,0,3 \n unit F EHA 5,0 mark=FAN esp=200 \n duct B EHA 5.5,0,3 9,0,3 \n term S EHA 9,0,3 60",
		runs:   []string{"A@0 duct box>head 60", "B@0 duct terminal>box 60"},
		found:  []string{"head-chosen@O"},
	},
	{
		name: "two units with several ducts each and none with a pressure",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 4.5,0,3 \n unit B SUP 5,0 \n duct C SUP 5.5,0,3 9,0,3 \n" +
			"duct D SUP 0,0.5,3 0,4,3 \n term S SUP 9,0,3 60 \n term T SUP 0,4,3 40",
		found: []string{"two-heads@U"},
	},
	{
		name:   "one unit with two airs heads two systems",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n term S SUP 5,0,3 60 \n duct B ETA -0.5,0,3 -5,0,3 \n term T ETA -5,0,3 40",
		runs:   []string{"A@0 duct head>terminal 60", "B@0 duct terminal>head 40"},
		found:  []string{},
	},
	{
		name:   "removed work is by itself",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n term S SUP 5,0,3 60 \n duct B SUP REM 3,0,3 3,4,3 \n term T SUP REM 3,4,3",
		runs:   []string{"A@0 duct head>terminal 60", "B@0 duct cap>terminal 0"},
		found:  []string{},
	},
	{
		name:   "a new branch on an existing main",
		sketch: "unit U SUP EX 0,0 \n duct A SUP EX 0.5,0,3 9,0,3 \n duct B SUP 5,0,3 5,4,3 \n term S SUP EX 9,0,3 60 \n term T SUP 5,4,3 40",
		runs:   []string{"A@0 duct head>branch 100", "A@4500 duct branch>terminal 60", "B@0 duct branch>terminal 40"},
		found:  []string{"existing-branch@B"},
	},
	{
		name:   "no unit",
		sketch: "duct A SUP 0.5,0,3 5,0,3 \n term T SUP 5,0,3 100",
		runs:   []string{"A@0 duct cap>terminal 0"},
		found:  []string{"dead-end@A", "no-head@A"},
	},
	{
		name:   "two heads",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9.5,0,3 \n unit V SUP 10,0 \n duct B SUP 5,0,3 5,4,3 \n term T SUP 5,4,3 100",
		runs:   []string{"A@0 duct head>branch 100", "A@4500 duct branch>head 0", "B@0 duct branch>terminal 100"},
		found:  []string{"two-heads@V"},
	},
	{
		name:   "a loop",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP 3,0,3 3,4,3 6,4,3 6,0,3 \n term T SUP 9,0,3 100",
		found:  []string{"loop@B"},
	},
	{
		name:   "a closed line is a loop",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n duct B SUP closed 5,-2,3 9,-2,3 9,2,3 5,2,3 \n duct C SUP 9,0,3 12,0,3 \n term T SUP 12,0,3 100",
		found:  []string{"loop@B"},
	},
	{
		name:   "a terminal without a duct, and one without airflow",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n term S SUP 5,0,3 \n term T SUP 5,4,3 100",
		runs:   []string{"A@0 duct head>terminal 0"},
		found:  []string{"no-airflow@S", "no-path@T"},
	},
	{
		name:   "a gap between ends is told once, from the side that was missed",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n duct B SUP 5.1,0,3 9,0,3 \n term T SUP 9,0,3 100",
		runs:   []string{"A@0 duct head>cap 0", "B@0 duct cap>terminal 0"},
		found:  []string{"near-miss@A", "no-head@B"},
	},
	{
		name:   "a gap of more than six times the snap distance is none",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n term T SUP 5.46,0,2.7 100",
		runs:   []string{"A@0 duct head>cap 0"},
		found:  []string{"dead-end@A", "no-path@T"},
	},
	{
		name:   "gaps to a unit and to a terminal",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.6,0,3 5,0,3 \n term T SUP 5.4,0,2.7 100",
		runs:   []string{"A@0 duct cap>cap 0"},
		found:  []string{"near-miss@A", "near-miss@A", "no-duct@U", "no-head@A", "no-path@T"},
	},
	{
		name:   "two ducts on top of each other",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP 4,0,3 9,0,3 \n term T SUP 9,0,3 100",
		found:  []string{"no-path@T", "overlap@B"},
	},
	{
		name:   "one above the other is no overlap",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n term T SUP 9,0,3 100 \n unit V SUP 1,-1 \n duct B SUP 1,-0.5,4 1,0,4 9,0,4 9,3,4 \n term S SUP 9,3,4 10",
		found:  []string{},
	},
	{
		name:   "air of two kinds",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n term T SUP 9,0,3 100 \n duct B ETA 5,0,3 5,4,3 \n term S ETA 5,4,3 50",
		found:  []string{"dead-end@B", "mixed-air@B", "no-head@B"},
	},
	{
		name:   "air of two kinds merely near",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n term T SUP 9,0,3 100 \n unit V ETA 5,5 \n duct B ETA 5,0.1,3 5,4.5,3 \n term S ETA 5,0.1,3 50",
		found:  []string{},
	},
	{
		name:   "an airflow noted at a unit that is not the sum",
		sketch: "unit U SUP 0,0 flow=150 \n duct A SUP 0.5,0,3 5,0,3 \n term S SUP 5,0,3 100",
		runs:   []string{"A@0 duct head>terminal 100"},
		found:  []string{"flow-differs@U"},
	},
	{
		name:   "a unit no duct ends at",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n unit B SUP 5,0 \n term S SUP 9,0,3 100",
		runs:   []string{"A@0 duct head>terminal 100"},
		found:  []string{"no-duct@B"},
	},
	{
		name:   "two ducts to one terminal",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 4.9,0,3.3 \n duct B SUP 2,0,3.3 2,0.2,3.3 4.9,0.2,3.3 \n term T SUP 5,0,2.7 100",
		found:  []string{"dead-end@B", "loop@B"},
	},
	{
		name:   "coordinates beyond any building",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n term S SUP 5,0,3 100 \n duct B SUP 1e300,0,3 5,0,3 \n duct C SUP NaN,0,3 5,0,3 \n term D SUP Inf,0,3 5 \n unit E SUP NaN,0",
		runs:   []string{"A@0 duct head>terminal 100"},
		found:  []string{"bad-geometry@B", "bad-geometry@C", "bad-geometry@D", "bad-geometry@E"},
	},
	{
		name:   "a bulge that is none, and one that is too much",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3,1e-13 5,0,3 \n term S SUP 5,0,3 100 \n duct B SUP 1,5,3,1e200 5,5,3 \n duct C SUP 1,5,3,1e12 5,5,3",
		runs:   []string{"A@0 duct head>terminal 100"},
		found:  []string{"bad-geometry@B", "bad-geometry@C"},
	},
	{
		name:   "a duct shorter than the snap distance is left out",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n term S SUP 5,0,3 100 \n duct B SUP 3,0,3 3,0.02,3",
		runs:   []string{"A@0 duct head>terminal 100"},
		found:  []string{"bad-geometry@B"},
	},
}

func TestBuild(t *testing.T) {
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			net, found := Build(parse(t, c.sketch), Spec{})
			require.Equal(t, c.found, codes(found), "%v\n%s", found, tell(net))
			if c.runs != nil {
				slices.Sort(c.runs)
				require.Equal(t, c.runs, shapeOf(net), "%s", tell(net))
			}
			sound(t, net)
			for _, d := range found {
				require.NotEmpty(t, d.Text)
				require.NotEmpty(t, d.Do)
				require.NotEmpty(t, d.Handle)
			}
		})
	}
}

// The order of entities in the drawing must not show.
func TestBuildOrder(t *testing.T) {
	for _, c := range cases {
		sk := parse(t, c.sketch)
		net, found := Build(sk, Spec{FlexibleEnd: 1})
		for seed := range uint64(5) {
			rng := rand.New(rand.NewPCG(seed, 1))
			mixed := *sk
			mixed.Lines = slices.Clone(sk.Lines)
			mixed.Terminals = slices.Clone(sk.Terminals)
			mixed.Units = slices.Clone(sk.Units)
			rng.Shuffle(len(mixed.Lines), func(i, j int) { mixed.Lines[i], mixed.Lines[j] = mixed.Lines[j], mixed.Lines[i] })
			rng.Shuffle(len(mixed.Terminals), func(i, j int) {
				mixed.Terminals[i], mixed.Terminals[j] = mixed.Terminals[j], mixed.Terminals[i]
			})
			rng.Shuffle(len(mixed.Units), func(i, j int) { mixed.Units[i], mixed.Units[j] = mixed.Units[j], mixed.Units[i] })
			net2, found2 := Build(&mixed, Spec{FlexibleEnd: 1})
			require.Equal(t, print(net), print(net2), c.name)
			require.Equal(t, found.Sorted(), found2.Sorted(), c.name)
		}
	}
}

func print(net *duct.Network) string {
	return strings.ReplaceAll(fmt.Sprintf("%+v", *net), "NaN", "nan")
}

// sound checks what must hold for any network, with or without findings.
func sound(t require.TestingT, net *duct.Network) {
	keys := map[string]bool{}
	for i := range net.Runs {
		r := &net.Runs[i]
		require.EqualValues(t, i, r.ID)
		require.False(t, keys[r.Key], "key %s twice", r.Key)
		keys[r.Key] = true
		require.NotEmpty(t, r.Handles)
		require.Contains(t, net.Nodes[r.From].Runs, r.ID)
		require.Contains(t, net.Nodes[r.To].Runs, r.ID)
		require.Contains(t, net.Stretches[r.Stretch].Runs, r.ID)
		require.Equal(t, r.System, net.Stretches[r.Stretch].System)
		require.Less(t, r.Up, r.ID, "every run after its Up")
		require.Greater(t, r.Line.Len(), 0.0)
		for k, id := range []duct.NodeID{r.From, r.To} {
			n := &net.Nodes[id]
			end := r.Line.A
			if k == 1 {
				end = r.Line.B
			}
			if n.Unit == duct.None && n.Terminal == duct.None {
				require.InDelta(t, 0, n.At.PlanDist(end), 1e-6, "run %s does not end on its node", r.Key)
				if oneDatum(net, n) {
					require.InDelta(t, n.At.Z, end.Z, 1e-6, "run %s does not end on its node", r.Key)
				}
			}
		}
	}
	keys = map[string]bool{}
	for i := range net.Nodes {
		n := &net.Nodes[i]
		require.EqualValues(t, i, n.ID)
		require.NotEmpty(t, n.Key)
		require.False(t, keys[n.Key], "node key %s twice", n.Key)
		keys[n.Key] = true
		require.NotEmpty(t, n.Runs)
		if n.System == duct.None || n.Kind == duct.Head && net.Systems[n.System].Head == n.ID {
			continue
		}
		in, out := 0.0, 0.0
		for _, id := range n.Runs {
			r := &net.Runs[id]
			if r.To == n.ID {
				in += float64(r.Flow)
			} else {
				out += float64(r.Flow)
			}
		}
		if n.Terminal != duct.None {
			if f := float64(net.Terminals[n.Terminal].Flow); net.Runs[n.Runs[0]].Air.FromUnit() {
				out += f
			} else {
				in += f
			}
		}
		require.InDelta(t, in, out, 1e-9*(1+in), "flows at node %s", n.Key)
	}
	for _, s := range net.Systems {
		for _, id := range s.Runs {
			if up := net.Runs[id].Up; up != duct.None {
				require.Equal(t, net.UpNode(&net.Runs[id]), net.DownNode(&net.Runs[up]))
			} else {
				require.Equal(t, s.Head, net.UpNode(&net.Runs[id]))
			}
		}
		names := map[string]bool{}
		for _, id := range s.Terminals {
			require.False(t, names[net.Terminals[id].Name])
			names[net.Terminals[id].Name] = true
		}
	}
	for _, s := range net.Stretches {
		for k, id := range s.Runs {
			r := &net.Runs[id]
			require.Equal(t, s.ID, r.Stretch)
			require.InDelta(t, float64(net.Runs[s.Runs[0]].Flow), float64(r.Flow), 1e-12, "one flow a stretch")
			if k > 0 && r.Up != duct.None {
				require.Equal(t, s.Runs[k-1], r.Up)
			}
		}
	}
}

func oneDatum(net *duct.Network, n *duct.Node) bool {
	for _, id := range n.Runs {
		if net.Runs[id].Datum != net.Runs[n.Runs[0]].Datum {
			return false
		}
	}
	return true
}

func run(t *testing.T, net *duct.Network, key string) *duct.Run {
	t.Helper()
	for i := range net.Runs {
		if net.Runs[i].Key == key {
			return &net.Runs[i]
		}
	}
	t.Fatalf("no run %s in\n%s", key, tell(net))
	return nil
}

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
	text := "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 9,0,3.3 \n duct B SUP 5,4,3.3 5,0,3.3 \n duct C SUP EX 7,0,3.3 7,4,3.3 \n duct D SUP 8,0,3.3 8,0.8,3.3\n" +
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
	require.NotEqual(t, flex.Stretch, run(t, net, "B@1500").Stretch)
}

func TestSpecs(t *testing.T) {
	net, found := Build(parse(t, `
unit U SUP 0,0
duct A SUP 0.5,0,3 5,0,3 5,6,3 9,6,3 note 5,3,3 maxh=250 shape=rect note 2,0,3 fixed=400x200 note 8,6,3 fixed=300x200 lined=25
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
	require.Equal(t, up.Stretch, last.Stretch)
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
	var stretches []duct.StretchID
	for i := range net.Runs {
		s := net.Runs[i].Spec
		sizes, limits, stretches = append(sizes, float64(s.Fixed.Width)), append(limits, float64(s.MaxHeight)), append(stretches, net.Runs[i].Stretch)
	}
	require.Equal(t, []float64{0.4, 0.4, 0.3, 0.3}, sizes)
	require.Equal(t, []float64{0.25, 0.25, 0.2, 0.2}, limits)
	require.Equal(t, []duct.StretchID{0, 0, 1, 1}, stretches)
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
	require.NotEqual(t, run(t, net, "A@0").Stretch, run(t, net, "A@3500").Stretch, "another flow")
	require.Zero(t, run(t, net, "A@7500").Spec.Fixed, "after the existing branch")
	require.Zero(t, run(t, net, "B@0").Spec.Fixed)
	require.Zero(t, run(t, net, "C@0").Spec.Fixed)
}

func TestTwoSizesOnOneRun(t *testing.T) {
	_, found := Build(parse(t, "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 note 2,0,3 fixed=400x200 note 3,0,3 fixed=300x200 \n term S SUP 5,0,3 60"), Spec{})
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
		names[x.Key] = x.Name
	}
	require.Equal(t, map[string]string{"S1": "X#1", "S2": "X#2", "S3": "T2", "S4": "T1"}, names)
}

// A branch added elsewhere renames nothing.
func TestStableKeys(t *testing.T) {
	base := "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP 3,0,3 3,4,3 \n term S SUP 9,0,3 60 \n term T SUP 3,4,3 60 \n"
	before, _ := Build(parse(t, base), Spec{})
	after, _ := Build(parse(t, base+"duct C SUP 6,0,3 6,4,3 \n term V SUP 6,4,3 60"), Spec{})
	was, is := map[string]bool{}, map[string]bool{}
	for _, r := range before.Runs {
		was[r.Key] = true
	}
	for _, n := range before.Nodes {
		was[n.Key] = true
	}
	for _, r := range after.Runs {
		is[r.Key] = true
	}
	for _, n := range after.Nodes {
		is[n.Key] = true
	}
	for k := range was {
		require.True(t, is[k], "%s was renamed", k)
	}
}

func TestDatums(t *testing.T) {
	net, found := Build(parse(t, "unit U SUP 0,0 \n duct A SUP BOD 0.5,0,3.0 9,0,3.0 \n duct B SUP 5,0,3.2 5,4,3.2 \n term S SUP 9,0,2.7 60 \n term T SUP 5,4,3.2 40"), Spec{})
	require.Empty(t, codes(found), "a branch by its centreline meets a main by its bottom without a riser")
	sound(t, net)
	require.InDelta(t, 3.2, run(t, net, "B@0").Line.A.Z, 1e-9)
}

func TestEmpty(t *testing.T) {
	net, found := Build(&sketch.Sketch{}, Spec{})
	require.Empty(t, found)
	require.Empty(t, net.Runs)
	net, _ = Build(&sketch.Sketch{Lines: make([]sketch.Line, 3), Terminals: make([]sketch.Terminal, 2), Units: make([]sketch.Unit, 2)}, Spec{Snap: duct.Length(math.Inf(1)), FlexibleEnd: duct.Length(math.NaN())})
	require.NotNil(t, net)
}
