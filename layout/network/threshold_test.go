package network

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
)

// TestThresholds draws what lies just within each distance and what lies just beyond it. The snap distance is 25 mm, as
// the README says; a near miss is under six times of it; the other figures are common practice, or ours.
func TestThresholds(t *testing.T) {
	const head = "unit U SUP 0,0 \n duct A SUP 0.5,0,3 "
	for name, c := range map[string]struct {
		sketch string // with one verb for the distance
		within string
		beyond string
		code   diag.Code // made beyond it alone, or
		inside bool      // within it alone
	}{
		"ends 25 mm apart join": {head + "5,0,3 \n duct B SUP %s,0,3 9,0,3 \n term T SUP 9,0,3 9",
			"5.0249", "5.0252", diag.NearMiss, false},
		"an end 25 mm beside a main joins it": {head +
			"9,0,3 \n duct B SUP 5,%s,3 5,4,3 \n term S SUP 9,0,3 9 \n term T SUP 5,4,3 9",
			"0.0249", "0.0252", diag.NearMiss, false},
		"six times of it is a near miss": {head + "5,0,3 \n duct B SUP %s,0,3 9,0,3 \n term T SUP 9,0,3 9",
			"5.1498", "5.1502", diag.DeadEnd, false},
		"a unit missed by that": {"unit U SUP 0,0 \n duct A SUP %s,0,3 5,0,3 \n term T SUP 5,0,3 9", "0.6498", "0.6502",
			diag.NearMiss, true},
		"one noted by its bottom and one by its centreline half a metre apart meet": {
			"unit U SUP 0,0 \n duct A SUP BOD 0.5,0,3 9,0,3 \n duct B SUP 5,0,%s 5,4,3.4 \n term S SUP 9,0,2.7 9 \n" +
				"term T SUP 5,4,3 9",
			"3.499", "3.501", diag.Riser, false},
		"an overlap longer than the snap distance": {head + "5,0,3 \n duct B SUP %s,0,3 9,0,3 \n term T SUP 9,0,3 9",
			"4.976", "4.974", diag.Overlap, false},
		"two lines that cross at less than 0.02 lie on each other": {
			head + "9,0,3 \n duct B SUP 4.5,-%[1]s,3 5.5,%[1]s,3 \n term T SUP 9,0,3 9", "0.0099", "0.0101",
			diag.Overlap, true},
		"an airflow 2 % above the sum": {"unit U SUP 0,0 flow=%s \n duct A SUP 0.5,0,3 5,0,3 \n term T SUP 5,0,3 100",
			"101.9", "102.1", diag.FlowDiffers, false},
		"an airflow 2 % below the sum": {"unit U SUP 0,0 flow=%s \n duct A SUP 0.5,0,3 5,0,3 \n term T SUP 5,0,3 100",
			"98.1", "97.9", diag.FlowDiffers, false},
		// Back along the line from its end to the place beside it: 25 + 40 + 32 mm, and 30 + 45 + 39 mm.
		"a line may pass by its own end within four snap distances": {head + "5,0,3 %s \n term T SUP 4.9,0.02,2.7 9",
			"5,0.04,3 4.975,0.02,3", "5,0.045,3 4.97,0.02,3", diag.Loop, false},
	} {
		t.Run(name, func(t *testing.T) {
			for _, far := range []bool{false, true} {
				at := c.within
				if far {
					at = c.beyond
				}
				_, found := Build(parse(t, fmt.Sprintf(c.sketch, at)), Spec{})
				require.Equal(t, far != c.inside, has(found, c.code), "%s: %v", at, codes(found))
			}
		})
	}
}

func has(found diag.List, code diag.Code) bool {
	return slices.ContainsFunc(found, func(d diag.Diag) bool { return d.Code == code })
}

func count(found diag.List, code diag.Code) (n int) {
	for _, d := range found {
		if d.Code == code {
			n++
		}
	}
	return n
}

// A piece is meant to be vertical when it is more than twenty times higher than wide.
func TestSteepIsVertical(t *testing.T) {
	for top, vertical := range map[string]bool{"3.41": true, "3.39": false} { // 20 mm aside
		text := "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n duct R SUP 5,0,3 5.02,0,%[1]s \n" +
			"duct B SUP 5.02,0,%[1]s 9,0,%[1]s \n term T SUP 9,0,3 9"
		net, _ := Build(parse(t, fmt.Sprintf(text, top)), Spec{})
		require.Equal(t, vertical, run(t, net, "R@0").Vertical(), top)
	}
}

// Less than 100 mm of rigid duct is not worth keeping before a flexible end of a metre.
func TestShortRigidRestIsFlexible(t *testing.T) {
	for end, whole := range map[string]bool{"3.99": true, "4.01": false} {
		text := "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP 5,2.9,3 5,%s,3 \n" +
			"duct C SUP 5,0,3 5,2.9,3 \n term S SUP 9,0,3 9 \n term T SUP 5,%[1]s,2.7 9"
		net, _ := Build(parse(t, fmt.Sprintf(text, end)), Spec{FlexibleEnd: 1})
		require.Equal(t, whole, run(t, net, "B@0").Kind == duct.Flexible, end)
	}
}

// What a program gone wrong may draw is bounded: 100 ducts that end at one place, 500 pieces that pass one, 200
// overlaps, 100 rings.
func TestBounds(t *testing.T) {
	star := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "duct %X SUP 0,0,3 5,%d,3\n", 0x1000+i, i)
		}
		return b.String()
	}
	triangles := func(n int) string { // each has three boxes about the place where A ends, which has one
		return "duct A SUP -5,-5,3 0,0,3\n" + strings.Repeat("duct B SUP closed 0,0,3 10,0,3 0,10,3\n", n)
	}
	ladder := func(n int) string { // all rungs but the first close a ring
		var b strings.Builder
		fmt.Fprintf(&b, "unit U SUP 0,0 \n duct A SUP 0.5,0,3 %d,0,3 \n duct B SUP 1,4,3 %[1]d,4,3\n", n+2)
		for i := range n {
			fmt.Fprintf(&b, "duct %X SUP %d,0,3 %[2]d,4,3\n", 0x1000+i, i+1)
		}
		return b.String()
	}
	for name, c := range map[string]struct {
		sketch string
		code   diag.Code
		want   int
	}{
		"100 ducts end at one place": {star(100), diag.BadGeometry, 0},
		"101 ducts end at one place": {star(101), diag.BadGeometry, 1},
		"499 pieces pass one place":  {triangles(166), diag.BadGeometry, 0},
		"502 pieces pass one place":  {triangles(167), diag.BadGeometry, 1},
		"100 rings":                  {ladder(101), diag.Loop, 100}, "more rings": {ladder(104), diag.Loop, 100},
		"overlaps": {triangles(300), diag.Overlap, 200},
	} {
		t.Run(name, func(t *testing.T) {
			_, found := Build(parse(t, c.sketch), Spec{})
			require.Equal(t, c.want, count(found, c.code))
		})
	}
}
