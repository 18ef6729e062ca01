package fitting_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/geom"
	"twinline/layout/nettest"
	"twinline/layout/network"
	"twinline/layout/sketchtest"
)

// sizes are sizes a duct of a random tree may have.
var sizes = []duct.Size{
	duct.RoundOf(0.1), duct.RoundOf(0.25), duct.RoundOf(0.63), duct.RectOf(0.2, 0.2), duct.RectOf(0.9, 0.25),
	duct.RectOf(0.3, 0.5), duct.OvalOf(0.6, 0.25), {},
}

// drawPlan draws a random tree of supply ducts that turn, climb, branch and change size, short pieces among them.
func drawPlan(t *rapid.T) *sketchtest.Drawing {
	d := draw(t, duct.SUP, "")
	tips := []geom.Vec{vec(0.5, 0, 3)}
	n := rapid.IntRange(1, 12).Draw(t, "lines")
	for i := range n {
		from := tips[rapid.IntRange(0, len(tips)-1).Draw(t, "from")]
		if i == 0 {
			from = tips[0]
		}
		// A whole number of degrees and a length that make it unlikely that two ends meet by chance.
		a := float64(rapid.IntRange(-175, 175).Draw(t, "angle")) * degree
		l := rapid.SampledFrom([]float64{0.3, 0.7, 1.9, 5.3, 11.7}).Draw(t, "length")
		to := from.Add(vec(l*math.Cos(a), l*math.Sin(a), 0))
		switch rapid.IntRange(0, 7).Draw(t, "up") {
		case 0:
			to = from.Add(vec(0, 0, l))
		case 1:
			to = to.Add(vec(0, 0, l/2))
		}
		flat := rapid.SampledFrom([]string{"", "", "left", "right", "top", "bottom"}).Draw(t, "flat")
		if flat != "" {
			mid := from.Lerp(to, 0.5)
			flat = fmt.Sprintf("note %v,%v,%v flat=%s", mid.X, mid.Y, mid.Z, flat)
		}
		kind := ""
		if rapid.IntRange(0, 9).Draw(t, "flex") == 0 {
			kind = "flex"
		}
		tips = append(tips, to)
		size := rapid.SampledFrom(sizes).Draw(t, "size")
		d.Addf(t, "duct L%02d %s size=%v %v %v %s", i, kind, size, from, to, flat)
	}
	return d
}

// joined joins a random drawing up; where ducts met by chance there is nothing to try.
func joined(t *rapid.T, d *sketchtest.Drawing) *duct.Network {
	net, found := network.Build(d.Sketch, network.Spec{})
	if found.HasErrors() {
		t.Skip("ducts met by chance")
	}
	return net
}

func drawRules(t *rapid.T) duct.FittingRules {
	r := usual()
	r.MitreAlways = rapid.Bool().Draw(t, "mitre")
	r.TakeoffRect = rapid.SampledFrom([]duct.TakeoffForm{duct.Plain, duct.Entry45}).Draw(t, "rect takeoff")
	r.TakeoffRound = rapid.SampledFrom([]duct.TakeoffForm{duct.Plain, duct.Conical}).Draw(t, "round takeoff")
	return r
}

// Whatever is joined to whatever: fittings take no more room than there is without saying so, and every
// number is one.
func TestFittingsFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawPlan(t)
		net := joined(t, d)
		m := madeOf(t, net, d.RunSizes(net), drawRules(t))
		for i := range m.fits {
			f := &m.fits[i]
			for _, v := range []float64{f.Angle, float64(f.Radius), float64(f.Length), float64(f.Offset),
				float64(f.OffsetUp), float64(f.ShortBy)} {
				require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%+v", f)
			}
			require.True(t, geom.Finite(f.At))
			if f.Kind == duct.Elbow && !(net.Runs[f.Run].Pliable && net.Runs[f.Main].Pliable) {
				require.GreaterOrEqual(t, float64(f.Radius),
					0.75*math.Min(float64(f.Own.Width), float64(f.Own.Height))-1e-9)
			}
		}
	})
}

// Where a duct turns or goes on, its axis goes on as well: it breaks off only where its size changes, and there by
// what the change of size says.
func TestAxesGoOn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawPlan(t)
		net := joined(t, d)
		m := madeOf(t, net, d.RunSizes(net), usual())
		axes, fits := m.axes, m.fits
		change := map[duct.RunID]*duct.Fitting{}
		for i := range fits {
			if f := &fits[i]; f.Kind == duct.Reducer || f.Kind == duct.Expander {
				change[f.Run] = f
			}
		}
		short := map[duct.NodeID]bool{}
		for i := range fits {
			short[fits[i].Node] = short[fits[i].Node] || fits[i].ShortBy > 0
		}
		// A run that the moves of its ends would turn about is left as a stub, and reported.
		stub := func(r *duct.Run) bool { return axes[r.ID].Len() < 0.001 }
		for i := range net.Runs {
			r := &net.Runs[i]
			require.Greater(t, axes[i].Tangent(0).Dot(r.Line.Tangent(0)), 0.0, "%s is turned about", r.Key)
			if stub(r) {
				require.True(t, short[r.From] || short[r.To], "no fitting reports that %s has no room", r.Key)
			}
		}
		for i := range net.Nodes {
			n := &net.Nodes[i]
			if n.Kind != duct.Bend || stub(&net.Runs[n.Runs[0]]) || stub(&net.Runs[n.Runs[1]]) {
				continue
			}
			in, out := &net.Runs[n.Runs[0]], &net.Runs[n.Runs[1]]
			u, v := in.Line.Tangent(1), out.Line.Tangent(0)
			if in.Vertical() || out.Vertical() || geom.TurnBetween(u.Plan(), v.Plan()) > 170*degree {
				continue // at a hairpin the moved axes meet far away
			}
			want := geom.Vec{}
			if f := change[out.ID]; f != nil {
				want = v.Left().Unit().Scale(float64(f.Offset)).Add(vec(0, 0, float64(f.OffsetUp)))
			}
			got := axes[out.ID].A.Sub(axes[in.ID].B)
			require.InDelta(t, 0, got.Dist(want), 1e-9, "%s to %s: %v, want %v", in.Key, out.Key, got, want)
		}
	})
}

// Extract ducts are made like supply ducts: the same pieces in the same places, however the air goes.
func TestAirDoesNotShow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawPlan(t)
		rules := drawRules(t)
		build := func() *duct.Assembly {
			net := joined(t, d)
			return fitting.Make(net, d.RunSizes(net), rules)
		}
		sup := build()
		swap := map[duct.Side]duct.Side{duct.FlatLeft: duct.FlatRight, duct.FlatRight: duct.FlatLeft}
		d.Sketch.Units[0].Air = duct.ETA
		for i := range d.Sketch.Lines {
			l := &d.Sketch.Lines[i]
			l.Air = duct.ETA
			for k := range l.Notes { // left and right are seen along the air
				if other, ok := swap[l.Notes[k].Spec.Flat]; ok {
					l.Notes[k].Spec.Flat = other
				}
			}
		}
		eta := build()
		supply, extract := sup.Fittings, eta.Fittings
		require.Len(t, extract, len(supply))
		kinds := map[duct.FittingKind]duct.FittingKind{duct.Reducer: duct.Expander, duct.Expander: duct.Reducer,
			duct.Entry: duct.Exit}
		for i := range supply {
			want := supply[i]
			if k, ok := kinds[want.Kind]; ok && (want.Kind == duct.Entry || want.Own.Area() != want.Common.Area()) {
				want.Kind = k
			}
			got := extract[i]
			require.InDelta(t, want.Angle, got.Angle, 1e-9)
			require.InDelta(t, float64(want.Radius), float64(got.Radius), 1e-9)
			require.InDelta(t, float64(want.Length), float64(got.Length), 1e-9)
			require.InDelta(t, float64(want.ShortBy), float64(got.ShortBy), 1e-9)
			want.Angle, want.Radius, want.Length, want.ShortBy = got.Angle, got.Radius, got.Length, got.ShortBy
			require.Equal(t, want.Kind, got.Kind)
			require.Equal(t, want.Run, got.Run)
			require.Equal(t, want.Main, got.Main)
			require.Equal(t, want.Own, got.Own)
		}
		for i := range sup.TakeOuts {
			for _, end := range []duct.End{duct.Near, duct.Far} {
				require.InDelta(t, float64(sup.TakeOuts[i][end]), float64(eta.TakeOuts[i][end]), 1e-9)
			}
		}
	})
}

// comb is a network of about n runs: mains with branches that each turn and drop.
func comb(b *testing.B, n int) (*duct.Network, []duct.Size) {
	d := sketchtest.Parse(b, "level 3.3")
	const perUnit = 100
	for row := 0; row*perUnit*4 < n; row++ {
		y := float64(row) * 20
		d.Addf(b, "unit U%d 0,%v; duct M%[1]d 0.5,%[2]v %v,%[2]v", row, y, 2*perUnit+2)
		for i := range perUnit {
			x, side := float64(i+1)*2, y+float64(1-i%2*2)*5
			d.Addf(b, "duct B%d.%d %v,%v %[3]v,%[5]v %[6]v,%[5]v; term T%[1]d.%[2]d %[6]v,%[5]v,2.7 50",
				row, i, x, y, side, x+0.9)
		}
	}
	net := nettest.Build(b, d)
	sizes := make([]duct.Size, len(net.Runs))
	for i := range sizes {
		sizes[i] = duct.RoundOf(0.2)
		if net.Runs[i].Flow > 0.06 {
			sizes[i] = duct.RectOf(0.2+0.1*duct.Length(math.Ceil(float64(net.Runs[i].Flow))), 0.3)
		}
	}
	return net, sizes
}

func BenchmarkMake(b *testing.B) {
	for _, n := range []int{1000, 10000, 100000} {
		net, sizes := comb(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			var asm *duct.Assembly
			for b.Loop() {
				asm = fitting.Make(net, sizes, usual())
			}
			require.Greater(b, len(asm.Fittings), n)
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(net.Runs)), "ns/run")
		})
	}
}
