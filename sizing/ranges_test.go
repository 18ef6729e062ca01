package sizing_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/sizing"
)

// strays says, for a fitting of a solved network, whether it lies outside the range of its source. The ranges are
// those printed with the formulas: Idelchik, Handbook of Hydraulic Resistance, diagrams 6-1, 6-5 and ch. 7; ASHRAE
// Handbook Fundamentals (2021), ch. 21, examples 8 and 9. Only what the fitting itself shows is looked at;
// false says nothing.
func strays(net *duct.Network, des *duct.Design, f *duct.Fitting) bool {
	r := &net.Runs[f.Run]
	re := float64(des.Density) * float64(f.Own.Velocity(r.Flow)) * float64(f.Own.Hydraulic()) / des.Viscosity
	out := func(v, low, high float64) bool { return v < low*(1-1e-5) || v > high*(1+1e-5) }
	deg := f.Angle * 180 / math.Pi
	switch f.Kind {
	case duct.Elbow:
		return f.Radius > 0 && out(float64(f.Radius/f.Own.Width), 0.5, 40) || re < 0.99e4
	case duct.Mitre:
		return re < 3.99e4 || f.Own.Shape != duct.Round && out(float64(f.Own.Height/f.Own.Width), 0.25, 8)
	case duct.Takeoff, duct.Cross:
		ab := float64(f.Own.Area() / f.Common.Area())
		x := float64(f.Own.Velocity(r.Flow) / f.Common.Velocity(net.Runs[f.Main].Flow))
		if !r.Air.FromUnit() {
			return out(deg, 30, 90) || ab > 1.00001
		}
		if f.Form != duct.Plain && deg >= 68 {
			return out(x, 0.8, 1.3203125)
		}
		return out(deg, 15, 90) || f.Form == duct.Plain && ab > 1.00001
	case duct.Wye:
		return r.Air.FromUnit() && out(deg, 15, 90)
	}
	return false
}

// Whatever sizes a drafter notes, every loss is a number, and each that was taken outside the range of its source is
// reported, by its run and kind, with what lies outside.
func TestNoSilentLoss(t *testing.T) {
	strayed := 0
	rapid.Check(t, func(t *rapid.T) {
		net := network(drawAir(t), tree(3).Draw(t, "tree"))
		for i := range net.Runs {
			if rapid.Bool().Draw(t, "noted") {
				w := rapid.Float64Range(60, 1500).Draw(t, "width")
				h := w
				shape := rapid.SampledFrom([]duct.Shape{duct.Round, duct.Rect, duct.Oval}).Draw(t, "shape")
				if shape != duct.Round {
					h = rapid.Float64Range(60, 1500).Draw(t, "height")
				}
				net.Runs[i].Spec.Fixed = duct.Size{Shape: shape, Width: duct.Length(w) * duct.Millimetre,
					Height: duct.Length(h) * duct.Millimetre}
			}
		}
		spec := drawSpec(t)
		spec.Fittings.TakeoffRound = rapid.SampledFrom([]duct.TakeoffForm{duct.Plain, duct.Entry45,
			duct.Conical}).Draw(t, "round takeoffs")
		spec.Fittings.TakeoffRect = rapid.SampledFrom([]duct.TakeoffForm{duct.Plain, duct.Entry45}).Draw(t,
			"rectangular takeoffs")
		spec.Fittings.ElbowMake = rapid.SampledFrom([]duct.ElbowMake{duct.SmoothMake, duct.Stamped,
			duct.Gored5}).Draw(t, "make")
		des, found := sizing.Solve(net, spec)
		var reported []string
		for _, d := range found {
			if d.Code == diag.OutsideRange {
				reported = append(reported, d.Text)
			}
		}
		all := strings.Join(reported, "\n")
		for i := range des.Fittings {
			f := &des.Fittings[i]
			require.False(t, math.IsNaN(f.C) || math.IsInf(f.C, 0) || math.IsNaN(float64(f.Loss)) ||
				math.IsInf(float64(f.Loss), 0), "%+v", f)
			if f.Run == duct.None || f.Own.IsZero() || f.C == 0 || !strays(net, des, f) {
				continue
			}
			if f.Kind == duct.Elbow && f.Own.Shape == duct.Round && spec.Fittings.ElbowMake != duct.SmoothMake {
				continue // another source
			}
			strayed++
			require.Regexp(t, fmt.Sprintf(`(?i)\b%s (of|on) run r%d\b`, f.Kind, f.Run+1), all, "%+v", f)
		}
	})
	require.Greater(t, strayed, 30, "hardly anything strayed")
}
