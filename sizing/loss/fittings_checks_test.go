package loss

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/sizing/internal/checks"
)

// frictionOfRow is the f of the rows that give D 250 mm, eps 0.09 mm and a Reynolds number.
func frictionOfRow(r checks.Row) float64 {
	if r.HasParam("fd") {
		return r.Param("fd")
	}
	return FrictionFactor(r.Param("Re"), 0.09/250)
}

func TestElbowsAgainstOutside(t *testing.T) {
	checks.Account(t, "checks/05a_elbows.csv", func(t *testing.T, r checks.Row) bool {
		want := r.Num("C")
		check := func(got float64) bool { r.Check(t, "C", want, got); return true }
		angle := func() float64 { return r.Param("angle_deg") * degree }
		switch id := r.ID(); id[:2] {
		case "BA":
			return check(SmoothElbow(angle(), 1, 1) / SmoothElbow(90*degree, 1, 1))
		case "BB":
			return check(SmoothElbow(90*degree, r.Param("r/D"), 1))
		case "BC":
			return check(SmoothElbow(90*degree, 1, r.Param("H/W")) / SmoothElbow(90*degree, 1, 1))
		case "BK":
			return check(ElbowReynolds(r.Param("Re"), 1))
		case "EI":
			c := SmoothElbow(angle(), r.Param("r/D"), r.Param("H/W"))
			if r.HasParam("Re") {
				c *= ElbowReynolds(r.Param("Re"), r.Param("r/D"))
			}
			return check(c)
		case "ER":
			return check(withArc(angle(), r.Param("r/D"), frictionOfRow(r)))
		case "MI":
			return check(IdelchikMitre(angle()))
		case "EM": // another chart, with the friction of the arc: handbooks differ by as much
			ratio, re := r.Param("r/D"), r.Param("Re")
			c := SmoothElbow(angle(), ratio, 1) * ElbowReynolds(re, ratio)
			require.InEpsilon(t, want, c+FrictionFactor(re, r.Param("eps")/r.Param("D"))*ratio*angle(), 0.13,
				r.Text("source"))
			return true
		case "EP":
			made := func(m duct.ElbowMake, deg, ratio float64) float64 {
				c, ok := MadeElbow(m, deg*degree, ratio)
				require.True(t, ok)
				return c
			}
			switch id {
			case "EP01":
				return check(made(duct.Stamped, 90, 1.5))
			case "EP02":
				return check(made(duct.Gored7, 90, 2.5))
			case "EP03":
				return check(made(duct.Gored3, 90, 1.5))
			case "EP04":
				return check(made(duct.Gored3, 60, 1.5))
			case "EP05": // printed to one decimal
				require.InDelta(t, want, IdelchikMitre(90*degree), 0.05, r.Text("source"))
				return true
			case "EP08":
				return check(VanedMitre(90 * degree))
			case "EP10": // of pipe bends
				require.InDelta(t, want, SmoothElbow(45*degree, 2.5, 1)/SmoothElbow(90*degree, 2.5, 1), 0.04,
					r.Text("source"))
				return true
			}
		}
		return false
	})
}

// withArc returns C of a smooth round bend with the wall friction of its arc, as the rows have it.
func withArc(angle, ratio, f float64) float64 {
	return f*angle*ratio + RennelsElbowLocal(angle, ratio, f)
}

func TestTransitionsAgainstOutside(t *testing.T) {
	checks.Account(t, "checks/05b_transitions.csv", func(t *testing.T, r checks.Row) bool {
		want := r.Num("C")
		check := func(got float64) bool { r.Check(t, "C", want, got); return true }
		angle := func() float64 { return r.Param("total_angle_deg") * degree }
		switch r.ID()[:2] {
		case "TD":
			return check(Expansion(r.Param("A1/A2"), angle(), r.Param("fd")))
		case "TS":
			return check(SuddenExpansion(r.Param("A1/A2")))
		case "TC":
			return check(Contraction(r.Param("A2/A1"), angle(), r.Param("fd")))
		case "TZ":
			return check(SuddenContraction(r.Param("A2/A1")))
		case "TY":
			return check(Contraction(r.Param("A2/A1"), 180*degree, 0))
		case "TP":
			return publishedTransition(t, r)
		}
		return false
	})
}

// publishedTransition compares with values printed to two decimals for real pieces, whose formulas are
// not known: ours must come as near as different handbooks are to each other.
func publishedTransition(t *testing.T, r checks.Row) bool {
	want := r.Num("C")
	piece := func(kind duct.FittingKind, up, down duct.Size, l duct.Length) float64 {
		f := duct.Fitting{Kind: kind, Common: up, Own: down, Length: l}
		res := Coefficient(&f, Case{Own: litres(1000), Common: litres(1000), Diverging: true}, standard)
		require.True(t, res.InRange)
		require.Equal(t, Downstream, res.Reference)
		wall := FrictionRate(down, litres(1000), mm(0.12), standard) * duct.Rate(l)
		return res.C + float64(wall)/float64(res.Pv)
	}
	switch r.ID() {
	case "TP01":
		require.InDelta(t, want, piece(duct.Reducer, duct.RectOf(mm(450), mm(500)), duct.RoundOf(mm(375)), mm(600)),
			0.02)
	case "TP02":
		require.InDelta(t, want, piece(duct.Reducer, duct.RoundOf(mm(225)), duct.RoundOf(mm(200)), mm(300)), 0.02)
	case "TP03":
		require.InDelta(t, want, piece(duct.Reducer, duct.RoundOf(mm(250)), duct.RoundOf(mm(200)), mm(300)), 0.02)
	case "TP05": // D2/D1 0.5: 0.38 here, 0.40 by the formula without a Reynolds number
		require.InDelta(t, want, SuddenContraction(0.25), 0.03)
	default:
		return false
	}
	return true
}

func TestEntriesAndExitsAgainstOutside(t *testing.T) {
	checks.Account(t, "checks/05e_entries_exits.csv", func(t *testing.T, r checks.Row) bool {
		want := r.Num("C")
		check := func(got float64) bool { r.Check(t, "C", want, got); return true }
		switch id := r.ID(); {
		case id == "EN02":
			return check(SharpEntry())
		case id == "EX01":
			return check(AbruptExit())
		// a diffuser that ends in a room: its expansion, and what leaves it at its large end
		case strings.HasPrefix(id, "EX1"):
			n := 1 / r.Param("A2/A1")
			return check(Expansion(n, r.Param("angle")*degree, r.Param("fd")) + AbruptExit()*n*n)
		}
		return false
	})
}

func TestDampersOffsetsBootsAndFlexibleBendsAgainstOutside(t *testing.T) {
	checks.Account(t, "checks/05f_dampers_offsets_boots_flex.csv", func(t *testing.T, r checks.Row) bool {
		want := r.Num("C")
		check := func(got float64) bool { r.Check(t, "C", want, got); return true }
		switch r.ID()[:2] {
		case "DR":
			s := duct.RoundOf(mm(r.Param("D_mm")))
			c := DamperCoefficient(duct.Pressure(r.Param("damper_dp_Pa")), s, litres(r.Param("Q_Ls")), 1.204)
			angle, ok := BladeAngle(c)
			require.True(t, ok)
			var printed float64
			_, after, _ := strings.Cut(r.Text("note"), "blade angle ")
			printed = parse(t, strings.TrimSuffix(after, " deg"))
			require.InDelta(t, printed, angle/degree, 0.006, r.Text("note"))
			return check(c)
		case "OS":
			return check(Offset(withArc(r.Param("angle_deg")*degree, r.Param("r/D"), r.Param("fd"))))
		case "FB":
			d := mm(r.Param("D_mm"))
			air := standard
			f := FrictionFactor(Reynolds(duct.Velocity(r.Param("V_ms")), d, air), r.Param("eps_mm")/r.Param("D_mm"))
			return check(withArc(r.Param("angle_deg")*degree, r.Param("r/D"), f))
		case "BX":
			_, box, _ := strings.Cut(r.Text("params"), "plenum_mm=")
			box, _, _ = strings.Cut(box, ";")
			a, b, _ := strings.Cut(box, "x")
			plenum := duct.RectOf(mm(parse(t, a)), mm(parse(t, b)))
			return check(Boot(duct.RoundOf(mm(r.Param("D_duct_mm"))).Area(), plenum.Area(),
				duct.RoundOf(mm(r.Param("D_neck_mm"))).Area()))
		}
		return false
	})
}

// The tables from memory are no test of anything, but a blade turned further never costs less.
func TestButterflyRises(t *testing.T) {
	for _, s := range []duct.Shape{duct.Round, duct.Rect} {
		last := 0.0
		for a := 0.0; a <= 70; a += 0.5 {
			c := Butterfly(s, a*degree)
			require.Greater(t, c, last, "%v at %g degrees", s, a)
			last = c
		}
	}
	angle, ok := BladeAngle(1e6)
	require.False(t, ok)
	require.InDelta(t, 70, angle/degree, 1e-9)
	_, ok = BladeAngle(0.1)
	require.False(t, ok)
}

// Tables from memory are held to the same tables written down a second time, so that a slip of the pen shows. That they
// are right is not shown by it.
func TestTablesFromMemory(t *testing.T) {
	n := 0
	same := func(r checks.Row, got float64) {
		n++
		require.InEpsilon(t, r.Num("C"), got, 1e-9, r.ID())
	}
	for _, r := range checks.Read(t, "checks/05a_elbows.csv") {
		if strings.HasPrefix(r.ID(), "MC") {
			same(r, MitreSides(r.Param("H/W")))
		}
	}
	for _, r := range checks.Read(t, "checks/05f_dampers_offsets_boots_flex.csv") {
		switch r.ID()[:3] {
		case "DBC": // Weisbach's own entries
			same(r, Butterfly(duct.Round, r.Param("blade_angle_deg")*degree))
			angle, ok := BladeAngle(r.Num("C"))
			require.True(t, ok)
			require.InDelta(t, r.Param("blade_angle_deg"), angle/degree, 1e-9, r.ID())
		case "DBM":
			same(r, Butterfly(duct.Round, r.Param("blade_angle_deg")*degree))
		case "DBR":
			same(r, Butterfly(duct.Rect, r.Param("blade_angle_deg")*degree))
		}
	}
	require.Equal(t, 12+7+5+11, n)
}

// Of a smooth bend kRe falls to 1 as the air gets faster, and is the larger the easier the bend: Idelchik's three
// columns do not cross below Re 1e5.
func TestElbowReynoldsFalls(t *testing.T) {
	for _, ratio := range []float64{0.5, 0.6, 1} {
		last := 10.0
		for re := 1e4; re < 1.01e6; re *= 1.05 {
			k := ElbowReynolds(re, ratio)
			require.LessOrEqual(t, k, last, "r/D %g, Re %g", ratio, re)
			require.GreaterOrEqual(t, k, 1.0)
			if last = k; re < 1e5 {
				require.Less(t, ElbowReynolds(re, 0.5), ElbowReynolds(re, 0.6))
				require.Less(t, ElbowReynolds(re, 0.6), ElbowReynolds(re, 1))
			}
		}
		require.Equal(t, 1.0, ElbowReynolds(1e6, ratio))
	}
}
