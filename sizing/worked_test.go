package sizing_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/sizing"
	"twinline/sizing/air"
	"twinline/sizing/internal/checks"
)

// table opens a file of testdata/networks.
func table(t *testing.T, name string) *checks.Tally { return checks.Open(t, "networks/"+name) }

// altitudeFor returns the altitude at which dry air of 20 degrees has density rho.
func altitudeFor(rho duct.Density) float64 {
	lo, hi := 0.0, 5000.0
	for range 200 {
		if mid := (lo + hi) / 2; air.Density(20, duct.Length(mid), 0) > rho {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

func round(mm float64) duct.Spec { return duct.Spec{Fixed: duct.RoundOf(duct.Length(mm) / 1000)} }

// nineSections is the supply example of nine sections. Its branches end on boxes of 200 mm, whose
// coefficient is part of the printed one; the transition and elbow of the last size are
// too. It prints lengths and coefficients as sums, so the sizes are drawn straight on. keep gives sizes
// of the trunk sizes in mm.
// Source: ASHRAE Handbook Fundamentals (SI, 2021), ch. 21, example 8; rows in nine_sections.csv.
func nineSections(keep map[string]float64) piece {
	flow := litres(380)
	box := func(key string, length, turn float64) piece {
		p := to(key, length, turn, flow, 0)
		p.spec = round(200)
		return p
	}
	trunk := func(key string, length float64, next ...piece) piece {
		p := line(key, length, 0, next...)
		if d := keep[key]; d > 0 {
			p.spec = round(d)
		}
		return p
	}
	first := line("1", 1.5, 0,
		trunk("2", 6, box("3", 1.5, 90),
			trunk("4", 6, box("5", 1.5, 90),
				trunk("6", 6, box("7", 1.5, 90), trunk("8", 4.5, box("9", 3, 0))))))
	first.spec = duct.Spec{Fixed: duct.RectOf(0.45, 0.5)}
	return first
}

// nineOwn returns the fitting of a size that the sum of its printed coefficients is given to.
func nineOwn(size string) string {
	kind := map[string]string{"1": "entry", "2": "reducer", "9": "reducer", "3": "takeoff", "5": "takeoff",
		"7": "takeoff"}[size]
	if kind == "" {
		kind = "through"
	}
	return size + "/" + kind
}

func nineSpec(method sizing.Method) sizing.Spec {
	spec := metric()
	spec.Method = method
	spec.MaxVelocity = 0
	spec.Air.Altitude = altitudeFor(0.978)
	spec.Roughness = map[string]duct.Length{"": 0.12 * duct.Millimetre}
	spec.RoundSteps = sizing.Steps{Name: "25 mm", Even: 25 * duct.Millimetre}
	spec.Least = 0.2
	return spec
}

func TestNineSections(t *testing.T) {
	tab, paths := table(t, "nine_sections.csv"), table(t, "nine_sections_paths.csv")
	for _, design := range []struct {
		name   string
		method sizing.Method
	}{{"equal_friction", sizing.EqualFriction}, {"static_regain", sizing.StaticRegain}} {
		t.Run(design.name, func(t *testing.T) {
			spec := nineSpec(design.method)
			own := map[string]float64{}
			want := map[string]checks.Row{}
			for _, r := range tab.Rows {
				if r.Text("design") == design.name && r.Text("selected") == "y" {
					key := strings.TrimRight(r.Text("section"), "abcd")
					want[key] = r
					// The printed coefficient is the sum of all of a size, on its own velocity pressure.
					own[nineOwn(key)] = r.Num("sumC")
				}
			}
			require.Len(t, want, 9)
			spec.Coefficients = quiet(own)
			// The rate of section 2, by which the others are sized: 375 mm at 1520 l/s.
			spec.Rate = duct.Rate(want["2"].Num("dp_duct_calc_Pa") / want["2"].Num("L_m"))
			net := network(duct.SUP, nineSections(map[string]float64{"2": 375}))
			des, _ := sizing.Solve(net, spec)
			require.InDelta(t, 0.978, float64(des.Density), 1e-9)
			// What printing can hide in a path's total: every size prints its friction and its fittings in whole
			// pascals, coefficients to two decimals, and works with velocity pressures in whole pascals.
			slack := map[string]float64{}
			whole := map[string]float64{} // our figures rounded on the way as the example rounds its own
			for key, r := range want {
				run := run(net, key)
				res := des.Runs[run.ID]
				if r.Text("shape_size_mm") != "450x500" {
					require.InDelta(t, r.Num("shape_size_mm"), float64(res.Size.Width/duct.Millimetre), 1e-6,
						"size of section %s", key)
				}
				require.InDelta(t, r.Num("dp_duct_printed_Pa"), float64(res.Friction), 0.7, "friction of section %s",
					key)
				require.InDelta(t, r.Num("dp_fitting_printed_Pa"), float64(res.Fittings), 1.6, "fittings of section %s",
					key)
				require.InDelta(t, r.Num("dp_duct_calc_Pa"), float64(res.Friction), 2e-5*r.Num("dp_duct_calc_Pa"),
					"friction of section %s", key)
				pv := math.Round(float64(des.Density) * math.Pow(float64(res.Velocity), 2) / 2)
				whole[key] = math.Round(float64(res.Friction)) + math.Round(pv*r.Num("sumC"))
				require.Equal(t, r.Num("dp_total_printed_Pa"), whole[key], "section %s, rounded on the way", key)
				slack[key] = 0.5 + 0.5 + 0.005*r.Num("pv_calc_Pa") + 0.5*r.Num("sumC")
				require.InDelta(t, r.Num("V_calc"), float64(res.Velocity), 1e-8, "section %s", key)
				require.InDelta(t, r.Num("V_printed_ms"), float64(res.Velocity), 0.05001, "section %s", key)
				require.InDelta(t, r.Num("pv_printed_Pa"), pv, 0.01, "section %s", key)
				require.InEpsilon(t, r.Num("dp_fitting_calc_Pa")+1, float64(res.Fittings)+1, 1e-6,
					"fittings of section %s", key)
				tab.Seen(r)
			}
			for _, r := range paths.Rows {
				if r.Text("design") != design.name {
					continue
				}
				sizes := strings.Split(r.Text("sections"), "-")
				by, rounded, end := 0.0, 0.0, sizes[len(sizes)-1]
				for _, s := range sizes {
					by += slack[s]
					rounded += whole[s]
				}
				require.Equal(t, r.Num("Pt_sum_of_printed_sections_Pa"), rounded, "path %s, rounded on the way",
					r.Text("path"))
				got := des.Terminals[terminal(net, end).ID]
				printed := r.Num("Pt_sum_of_printed_sections_Pa")
				t.Logf("path %s: ours %.1f Pa, printed %.0f; throttle ours %.1f, theirs %.0f", r.Text("path"),
					float64(got.Path), printed,
					float64(got.Throttle), r.Num("damper_duty_Pa"))
				require.InDelta(t, printed, float64(got.Path), by, "path %s", r.Text("path"))
				require.InDelta(t, printed, float64(got.Path), 0.013*printed, "path %s", r.Text("path"))
				unbalance := 100 * float64(got.Throttle/des.Systems[0].Required)
				require.InDelta(t, r.Num("unbalance_printed_pct"), unbalance, 1, "unbalance of path %s", r.Text("path"))
				paths.Seen(r)
			}
		})
	}
	for _, r := range tab.Rows {
		if r.Has("regain_printed_Pa") {
			regainTrial(t, tab, r)
		}
	}
}

// regainTrial holds the static pressure a size of the trunk regains against what the example prints for it, for the
// size it takes in the end and for those it rejects; the sizes before are of the sizes it takes.
func regainTrial(t *testing.T, tab *checks.Tally, r checks.Row) {
	size := strings.TrimRight(r.Text("section"), "abcd")
	before := map[string]string{"4": "2", "6": "4", "8": "6"}[size]
	keep := map[string]float64{"2": 375, "4": 350, "6": 325, "8": 250} // rows E8S2, E8S4, E8S6, E8S11
	keep[size] = r.Num("shape_size_mm")
	spec := nineSpec(sizing.EqualFriction)
	spec.Coefficients = quiet(map[string]float64{nineOwn(size): r.Num("sumC")})
	net := network(duct.SUP, nineSections(keep))
	des, _ := sizing.Solve(net, spec)
	res, up := des.Runs[run(net, size).ID], des.Runs[run(net, before).ID]
	require.InEpsilon(t, r.Num("V_calc"), float64(res.Velocity), 1e-9, r.ID())
	require.InEpsilon(t, r.Num("dp_duct_calc_Pa"), float64(res.Friction), 2e-5, r.ID())
	require.InEpsilon(t, r.Num("dp_fitting_calc_Pa"), float64(res.Fittings), 1e-6, r.ID())
	gain := float64(des.Nodes[run(net, size).To].Static - des.Nodes[run(net, before).To].Static)
	byHand := 0.978/2*math.Pow(float64(up.Velocity),
		2) - r.Num("pv_calc_Pa") - r.Num("dp_duct_calc_Pa") - r.Num("dp_fitting_calc_Pa")
	require.InDelta(t, byHand, gain, 1e-3, r.ID())
	// The example adds up four figures in whole pascals, each up to 0.5 off, and a coefficient of two decimals.
	require.InDelta(t, r.Num("regain_printed_Pa"), gain, 2+0.005*r.Num("pv_calc_Pa"), r.ID())
	tab.Seen(r)
}

// A trunk of 350 mm that goes on at 300 mm loses static pressure; the figure keeps its sign.
// Source: the same example, section 4c: printed -16 Pa; to ten digits in the table of traps, X06.
func TestNegativeRegain(t *testing.T) {
	spec := nineSpec(sizing.EqualFriction)
	spec.Coefficients = quiet(map[string]float64{"b/reducer": 0.13})
	a, b := line("a", 6, 0), to("b", 6, 0, litres(760), 0)
	a.spec, b.spec = round(350), round(300)
	side := to("c", 1, 90, litres(380), 0)
	side.spec = round(200)
	spec.Coefficients["b/through"], spec.Coefficients["b/reducer"] = 0.13, 0
	a.next = []piece{b, side}
	net := network(duct.SUP, a)
	des, _ := sizing.Solve(net, spec)
	before := des.Nodes[run(net, "a").To].Static
	after := des.Nodes[run(net, "b").To].Static
	row := trapRow(t, "X06")
	// the density is 0.978 to three digits, the viscosity that of 20 degrees
	require.InEpsilon(t, row.Num("right_value"), float64(after-before), 1e-4)
}

// trapRow returns a row of the table of traps.
func trapRow(t *testing.T, id string) checks.Row {
	t.Helper()
	for _, r := range checks.Read(t, "checks/10_traps.csv") {
		if r.ID() == id {
			return r
		}
	}
	t.Fatal("no trap " + id)
	return checks.Row{}
}

// Static pressure against total: what the static pressure does at a change of size is the change of velocity
// pressure, whole, less the loss; 0.75 of it is a stand-in for a loss, never for an acceleration.
// Source: rows X07 and X21 of the table of traps. Friction of the second duct is added back.
func TestStaticTraps(t *testing.T) {
	for _, c := range []struct {
		id     string
		a, b   duct.Size // 0.6 m3/s: 6 and 8 m/s; 10 and 5 m/s
		kind   string
		c      float64 // on the second duct's velocity pressure
		before float64 // m/s
	}{
		{"X07", duct.RectOf(0.4, 0.25), duct.RectOf(0.3, 0.25), "reducer", 0, 6},
		{"X21", duct.RectOf(0.24, 0.25), duct.RectOf(0.48, 0.25), "expander", 0.2 * (10 * 10) / (5 * 5), 10},
	} {
		t.Run(c.id, func(t *testing.T) {
			a, b := line("a", 6, 0), to("b", 6, 0, litres(600), 0)
			a.spec, b.spec = duct.Spec{Fixed: c.a}, duct.Spec{Fixed: c.b}
			a.next = []piece{b}
			spec := metric()
			spec.Air.Altitude = altitudeFor(1.204)
			spec.Coefficients = quiet(map[string]float64{"b/" + c.kind: c.c})
			net := network(duct.SUP, a)
			des, _ := sizing.Solve(net, spec)
			require.InDelta(t, c.before, float64(des.Runs[run(net, "a").ID].Velocity), 1e-9)
			after := des.Runs[run(net, "b").ID]
			got := des.Nodes[run(net, "b").To].Static - des.Nodes[run(net, "a").To].Static + after.Friction
			right, wrong := trapRow(t, c.id).Num("right_value"), trapRow(t, c.id).Num("wrong_value")
			require.InEpsilon(t, right, float64(got), 1e-5) // density to four digits in the row
			require.Greater(t, math.Abs(float64(got)-wrong), 1.0)
		})
	}
}

func TestGuide(t *testing.T) {
	tab := table(t, "guide.csv")
	for _, r := range tab.Rows {
		t.Run(r.ID(), func(t *testing.T) {
			spec := metric()
			spec.Rate, spec.MaxVelocity, spec.Least = duct.Rate(r.Num("rate_Pa_m")), 0, 0
			spec.RoundSteps = sizing.Steps{}
			spec.Roughness = map[string]duct.Length{"": 0.12 * duct.Millimetre}
			net := network(duct.SUP, to("A", 10, 0, litres(r.Num("Q_Ls")), 0))
			des, found := sizing.Solve(net, spec)
			require.Empty(t, found)
			over := float64(des.Runs[0].Size.Width/duct.Millimetre) - r.Num("D_printed_mm") // printed in steps of 2 mm
			require.True(t, over > -0.05 && over < 3, "%.2f mm over the printed diameter", over)
			printed := duct.RoundOf(duct.Length(r.Num("D_printed_mm")) * duct.Millimetre)
			require.InDelta(t, r.Num("V_printed_ms"), float64(printed.Velocity(litres(r.Num("Q_Ls")))), 0.06)
			require.InEpsilon(t, r.Num("V_calc_ms"), float64(printed.Velocity(litres(r.Num("Q_Ls")))), 1e-9)
			require.InEpsilon(t, r.Num("D_exact_calc_mm"), float64(des.Runs[0].Exact/duct.Millimetre), 2e-6)
			tab.Seen(r)
		})
	}
}

// inchSteps is the series of inch sizes the rows were rounded to: every inch up to 10, even inches from there.
var inchSteps = sizing.Steps{Name: "inch",
	List: []duct.Length{4 * duct.Inch, 5 * duct.Inch, 6 * duct.Inch, 7 * duct.Inch, 8 * duct.Inch,
		9 * duct.Inch, 10 * duct.Inch, 12 * duct.Inch, 14 * duct.Inch, 16 * duct.Inch, 18 * duct.Inch, 20 * duct.Inch}}

func TestTrade(t *testing.T) {
	tab := table(t, "trade.csv")
	for _, r := range tab.Rows {
		t.Run(r.ID(), func(t *testing.T) {
			spec := metric()
			spec.Rate = duct.Rate(r.Num("rate_inwg_100ft")) * duct.InchOfWaterPerHundredFeet
			spec.MaxVelocity, spec.Least = 0, 4*duct.Inch
			spec.Air.Altitude = altitudeFor(0.075 * duct.PoundPerCubicFoot)
			spec.Roughness = map[string]duct.Length{"": duct.Length(r.Num("eps_mm")) * duct.Millimetre}
			net := network(duct.SUP, to("A", 10, 0, duct.Flow(r.Num("Q_cfm"))*duct.CubicFootPerMinute, 0))
			for _, c := range []struct {
				steps sizing.Steps
				want  string
			}{{inchSteps, "next_size_in"}, {sizing.Steps{Even: 2 * duct.Inch}, "next_even_in"}} {
				spec.RoundSteps = c.steps
				des, _ := sizing.Solve(net, spec)
				res := des.Runs[0]
				require.InDelta(t, r.Num(c.want), float64(res.Size.Width/duct.Inch), 1e-9)
				require.InEpsilon(t, r.Num("D_exact_in"), float64(res.Exact/duct.Inch), 1e-6)
				if c.want == "next_even_in" {
					require.InEpsilon(t, r.Num("V_even_fpm"), float64(res.Velocity/duct.FootPerMinute), 1e-6)
					require.InEpsilon(t, r.Num("rate_even_inwg_100ft"),
						float64(res.Rate/duct.InchOfWaterPerHundredFeet), 2e-6)
				}
			}
			tab.Seen(r)
		})
	}
}

// Source: rows of manual_excerpt.csv.
func TestManualExcerpt(t *testing.T) {
	tab := table(t, "manual_excerpt.csv")
	for _, r := range tab.Rows {
		spec := metric()
		spec.Rate, spec.MaxVelocity, spec.RoundSteps = 0.95, 0, sizing.Steps{}
		net := network(duct.SUP, to("A", 3, 0, litres(1000), 0))
		des, _ := sizing.Solve(net, spec)
		switch r.ID() {
		case "SM1":
			require.InDelta(t, r.Num("value"), float64(des.Runs[0].Exact/duct.Millimetre), 0.05)
		case "SM2":
			require.InDelta(t, r.Num("value"), float64(des.Runs[0].Friction), 1e-6)
		// 0.44 on the 35.7 Pa before the branch: there the air is twice as fast as in it, Qb/Qc 0.25 in Ab/Ac 0.5
		case "SM3":
			main, branch, on := line("m", 5, 0), to("b", 5, 45, litres(385), 0), to("s", 5, 0, litres(1155), 0)
			half := duct.Spec{Fixed: duct.RectOf(0.25, 0.4)}
			main.spec, branch.spec, on.spec = duct.Spec{Fixed: duct.RectOf(0.5, 0.4)}, half, half
			main.next = []piece{on, branch}
			spec := metric()
			spec.Air.Altitude = altitudeFor(1.204)
			spec.Coefficients = quiet(map[string]float64{"b/takeoff": 0.44 * 2 * 2})
			net := network(duct.SUP, main)
			des, _ := sizing.Solve(net, spec)
			require.InDelta(t, 35.7, 0.602*math.Pow(float64(result(net, des, "m").Velocity), 2), 0.01)
			require.InDelta(t, r.Num("value"), float64(result(net, des, "b").Fittings), 0.05)
		default:
			t.Fatal(r.ID())
		}
		tab.Seen(r)
	}
}

// The sheet of 18 outlets sizes by percentages of area, which is no method of ours; its sizes are
// taken as noted. Velocities, equivalent diameters and rates follow from them; the rates were worked out with the
// roughness of older charts, 0.15 mm.
func TestAreaShortcut(t *testing.T) {
	tab := table(t, "area_shortcut.csv")
	for _, r := range tab.Rows {
		if !r.Has("size_in") {
			lastOutlet(t, r)
			tab.Seen(r)
			continue
		}
		var w, h float64
		_, err := fmt.Sscanf(r.Text("size_in"), "%fx%f", &w, &h)
		require.NoError(t, err)
		p := to("A", 10, 0, duct.Flow(r.Num("Q_cfm"))*duct.CubicFootPerMinute, 0)
		p.spec = duct.Spec{Fixed: duct.RectOf(duct.Length(w)*duct.Inch, duct.Length(h)*duct.Inch)}
		spec := metric()
		spec.Air.Altitude = altitudeFor(0.075 * duct.PoundPerCubicFoot)
		spec.Roughness = map[string]duct.Length{"": 0.15 * duct.Millimetre}
		des, _ := sizing.Solve(network(duct.SUP, p), spec)
		res := des.Runs[0]
		require.InEpsilon(t, r.Num("V_calc_fpm"), float64(res.Velocity/duct.FootPerMinute), 1e-9, r.ID())
		require.InEpsilon(t, r.Num("De_calc_in"), float64(res.Size.Equivalent()/duct.Inch), 1e-9, r.ID())
		require.InEpsilon(t, r.Num("rate_calc_or_printed"), float64(res.Rate/duct.InchOfWaterPerHundredFeet), 3e-6,
			r.ID())
		tab.Seen(r)
	}
}

// Row CA9: 229 ft at 0.145 in.wg/100 ft are 0.332 in.wg; with 0.15 of the terminal 0.482.
func lastOutlet(t *testing.T, r checks.Row) {
	spec := metric()
	spec.Rate, spec.MaxVelocity, spec.RoundSteps = 0.145*duct.InchOfWaterPerHundredFeet, 0, sizing.Steps{}
	spec.Coefficients = quiet(nil)
	net := network(duct.SUP, to("18", float64(229*duct.Foot), 0, 300*duct.CubicFootPerMinute, 0.15*duct.InchOfWater))
	des, _ := sizing.Solve(net, spec)
	require.InDelta(t, r.Num("rate_calc_or_printed"), float64(des.Runs[0].Friction/duct.InchOfWater), 0.001)
	require.InDelta(t, 0.482, float64(des.Systems[0].Required/duct.InchOfWater), 0.001)
}

// The exact diameter at a rate, and what the even size over it has, against sizes of the trade worked out by another
// program.
func TestTradeSizes(t *testing.T) {
	checks.Account(t, "checks/09_trade_checks.csv", func(t *testing.T, r checks.Row) bool {
		q := duct.Flow(r.Num("Q_cfm")) * duct.CubicFootPerMinute
		spec := metric()
		spec.Rate, spec.MaxVelocity = duct.Rate(r.Num("rate_inwg_100ft"))*duct.InchOfWaterPerHundredFeet, 0
		spec.Air.Density, spec.Roughness = 0.075*duct.PoundPerCubicFoot,
			map[string]duct.Length{"": mm(r.Num("eps_mm"))[0]}
		spec.RoundSteps, spec.Least = sizing.Steps{}, 0.01
		exact := solve(t, network(duct.SUP, to("a", 5, 0, q, 0)), spec).Runs[0]
		r.Check(t, "diameter", r.Num("D_exact_in"), float64(exact.Size.Width/duct.Inch))
		r.Check(t, "velocity", r.Num("V_exact_fpm"), float64(exact.Velocity/duct.FootPerMinute))
		even := to("a", 5, 0, q, 0)
		even.spec = duct.Spec{Fixed: duct.RoundOf(duct.Length(r.Num("next_even_in")) * duct.Inch)}
		got := solve(t, network(duct.SUP, even), spec).Runs[0]
		r.Check(t, "rate of the even size", r.Num("rate_even_inwg_100ft"),
			float64(got.Rate/duct.InchOfWaterPerHundredFeet))
		return true
	})
}
