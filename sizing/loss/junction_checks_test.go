package loss

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/sizing/internal/checks"
)

func parse(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// tee works out one leg of a row's junction through Coefficient, as sizing does.
func tee(r checks.Row, kind duct.FittingKind, form duct.TakeoffForm, diverging bool) Result {
	ab, as, q := r.Num("Ab_Ac"), r.Num("As_Ac"), r.Num("Qb_Qc")
	angle := r.Num("angle_deg") * degree
	side := func(ratio float64) duct.Size { return duct.RectOf(duct.Length(ratio), 1) }
	branch := Leg{Size: side(ab), Flow: duct.Flow(8 * q), Angle: angle, Form: form}
	straight := Leg{Size: side(as), Flow: duct.Flow(8 * (1 - q)), Straight: true}
	f := duct.Fitting{Kind: kind, Common: side(1), Angle: angle, Form: form}
	c := Case{Common: 8, Diverging: diverging}
	if kind == duct.Through {
		f.Own, f.Angle = straight.Size, 0
		c.Own, c.Others = straight.Flow, []Leg{branch}
	} else {
		f.Own = branch.Size
		c.Own, c.Others = branch.Flow, []Leg{straight}
	}
	return Coefficient(&f, c, standard)
}

// legKind is the kind of fitting a row's leg is.
func legKind(r checks.Row) duct.FittingKind {
	if r.Text("leg") == "straight" {
		return duct.Through
	}
	return duct.Takeoff
}

// both compares a result with the row on the common leg's and on the leg's own pressure.
func both(t *testing.T, r checks.Row, res Result) {
	t.Helper()
	common := Convert(res.C, res.Velocity, 8)
	r.Check(t, "C on the common leg", r.Num("C_on_common"), common)
	r.Check(t, "C on the leg", r.Num("C_on_leg"), res.Own)
	require.InDelta(t, float64(res.Pv)*res.C, float64(res.Loss), 1e-12)
}

func TestDivergingAgainstOutside(t *testing.T) {
	checks.Account(t, "checks/05c_diverging.csv", func(t *testing.T, r checks.Row) bool {
		switch id := r.ID(); {
		case strings.HasPrefix(id, "DV1b"), strings.HasPrefix(id, "DV1s"), strings.HasPrefix(id, "DV2"):
			both(t, r, tee(r, legKind(r), duct.Plain, true))
		case strings.HasPrefix(id, "DCb"):
			r.Check(t, "C", r.Num("C_on_common"), tee(r, duct.Takeoff, duct.Plain, true).C)
		case id == "DPb01", id == "DPb03", strings.HasPrefix(id, "DX") && strings.HasSuffix(id, "b"):
			form := duct.Entry45
			if id == "DPb03" {
				form = duct.Conical
			}
			res := tee(r, duct.Takeoff, form, true)
			require.Equal(t, Own, res.Reference)
			require.True(t, res.InRange, res.Outside())
			both(t, r, res)
		case id == "DPb05": // printed for one make of plain tee
			res := tee(r, legKind(r), duct.Plain, true)
			require.InEpsilon(t, r.Num("C_on_leg"), res.Own, 0.14, r.Text("source"))
		case id == "DPb06": // a cone that leaves at 45 degrees is worked out as a plain branch
			res := tee(r, duct.Takeoff, duct.Conical, true)
			require.InDelta(t, r.Num("C_on_leg"), res.Own, 0.02, r.Text("source"))
		case strings.HasPrefix(id, "DPs"), strings.HasPrefix(id, "DX"):
			// Our line through these points; they differ in a third proportion that it leaves out.
			res := tee(r, duct.Through, duct.Entry45, true)
			require.InDelta(t, r.Num("C_on_leg"), res.Own, 0.0161, r.Text("source"))
		case strings.HasPrefix(id, "DSY"):
			_, x, _ := strings.Cut(r.Text("note"), "x=")
			x, _, _ = strings.Cut(x, ";")
			c := DividingBullhead(parse(t, x))
			r.Check(t, "C on the common leg", r.Num("C_on_common"), c)
			r.Check(t, "C on the leg", r.Num("C_on_leg"), Convert(c, 1, duct.Velocity(parse(t, x))))
		default:
			return false
		}
		return true
	})
}

func TestConvergingAgainstOutside(t *testing.T) {
	checks.Account(t, "checks/05d_converging.csv", func(t *testing.T, r checks.Row) bool {
		ab, q, angle := r.Num("Ab_Ac"), r.Num("Qb_Qc"), r.Num("angle_deg")*degree
		switch id := r.ID(); {
		case strings.HasPrefix(id, "CV1b"):
			both(t, r, tee(r, duct.Takeoff, duct.Plain, false))
		case strings.HasPrefix(id, "CCs"):
			both(t, r, tee(r, duct.Through, duct.Plain, false))
		case strings.HasPrefix(id, "CCb"):
			require.InDelta(t, r.Num("C_on_common"), tee(r, duct.Takeoff, duct.Plain, false).C, craneCosine*q*q/ab+1e-9)
		case strings.HasPrefix(id, "CSY"):
			c := JoiningBullhead(ab, q)
			r.Check(t, "C on the common leg", r.Num("C_on_common"), c)
			r.Check(t, "C on the leg", r.Num("C_on_leg"), Convert(c, 1, duct.Velocity(q/ab)))
		case id == "CP40": // one make: each branch turns half of the 60 degrees between them
			c := JoiningWye(ab, q, angle/2, ab, 1-q, angle/2)
			require.InDelta(t, r.Num("C_on_common"), c, 0.08, r.Text("source"))
		default:
			return false
		}
		return true
	})
}

// craneCosine is by how much a join's branch differs, times q^2 Ac/Ab: Crane rounds twice the cosine to two digits,
// 1.74 for 1.7321.
const craneCosine = 0.0085

// Every regime of area and flow ratio in which the formula in use and Crane's are the same: a branch that divides, if
// it is narrow or the angle small; both legs of a join.
func TestJunctionRegimesAgainstOutside(t *testing.T) {
	checks.Account(t, "checks/05g_junction_regimes.csv", func(t *testing.T, r checks.Row) bool {
		ab, q, angle := r.Num("Ab_Ac"), r.Num("Qb_Qc"), r.Num("angle_deg")*degree
		want := r.Num("C_on_common")
		var got float64
		switch r.Text("family") {
		case "K_branch_diverging_Crane":
			got = tee(r, duct.Takeoff, duct.Plain, true).C
		case "K_branch_converging_Crane":
			require.InDelta(t, want, tee(r, duct.Takeoff, duct.Plain, false).C, craneCosine*q*q/ab+1e-9)
			return true
		case "K_run_converging_Crane":
			got = ConvergingStraight(ab, q, angle)
			r.Check(t, "C through the lookup", want, tee(r, duct.Through, duct.Plain, false).C)
		default:
			return false
		}
		r.Check(t, "C", want, got)
		return true
	})
}

// In a join of three legs into one each branch sees the momentum of the other: worked out by hand from
// 1 + x^2 - 2 qs^2 - 2 cos a (q^2 Ac/Ab + q'^2 Ac/Ab') with A 1, x 0.8, q 0.2, q' 0.3, qs 0.5.
func TestJoiningCross(t *testing.T) {
	for angle, want := range map[float64]float64{
		90: 1 + 0.64 - 2*0.25,
		60: 1 + 0.64 - 2*0.25 - 0.04/0.25 - 0.09/0.25,
	} {
		side := duct.RectOf(0.25, 1)
		f := duct.Fitting{Kind: duct.Cross, Common: duct.RectOf(1, 1), Own: side, Angle: angle * degree}
		c := Case{Own: 0.2, Common: 1,
			Others: []Leg{{Size: side, Flow: 0.3, Angle: angle * degree},
				{Size: duct.RectOf(1, 1), Flow: 0.5, Straight: true}}}
		require.InDelta(t, want, Coefficient(&f, c, standard).C, 1e-12, "%g degrees", angle)
		// A branch with no air is as good as none.
		c.Others[0].Flow, c.Others[1].Flow = 0, 0.8
		require.InDelta(t, ConvergingBranch(0.25, 0.2, angle*degree), Coefficient(&f, c, standard).C, 1e-12)
	}
}
