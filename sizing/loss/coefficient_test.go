package loss

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
)

// at returns the flow that moves at v in s.
func at(s duct.Size, v float64) duct.Flow { return duct.Flow(v * float64(s.Area())) }

// Each kind of fitting takes the formula meant for it. The numbers are rows of testdata/checks, by their
// id, or worked out by hand.
func TestCoefficientByKind(t *testing.T) {
	d250, d200 := duct.RoundOf(mm(250)), duct.RoundOf(mm(200))
	square, branch := duct.RectOf(1, 1), duct.RectOf(0.25, 1)
	wide := duct.RectOf(mm(600), mm(200))
	half := []Leg{{Size: duct.RectOf(0.5, 1), Flow: 4, Angle: 90 * degree}}
	main := []Leg{{Size: square, Flow: 6.4, Straight: true}}
	reBig := 400.0 // m/s: a Reynolds number above every table
	for _, c := range []struct {
		name   string
		f      duct.Fitting
		c      Case
		want   float64
		ref    Reference
		source string
	}{
		{"elbow", duct.Fitting{Kind: duct.Elbow, Own: d250, Angle: 90 * degree, Radius: mm(375)},
			Case{Own: at(d250, reBig)}, 0.17, Own, "EI03"},
		{"elbow, level, of a wide duct", duct.Fitting{Kind: duct.Elbow, Own: wide, Angle: 90 * degree, Radius: mm(600)},
			Case{Own: at(wide, reBig)}, 0.21 * (1.30 + (1.17-1.30)*(1./3-0.25)/0.25), Own,
			"BB06 and C1 between BC01 and BC02 at H/W 1/3"},
		{"elbow, upright, of a wide duct",
			duct.Fitting{Kind: duct.Elbow, Own: wide, Angle: 90 * degree, Radius: mm(200)},
			Case{Own: at(wide, reBig), Upright: true}, 0.21 * 0.85, Own, "BB06, BC07"},
		{"drop, always upright", duct.Fitting{Kind: duct.DropConn, Own: wide, Angle: 90 * degree, Radius: mm(200)},
			Case{Own: at(wide, reBig)}, 0.21 * 0.85, Own, "BB06, BC07"},
		{"drop from a riser whose width lies along the turn",
			duct.Fitting{Kind: duct.DropConn, Own: wide, Angle: 90 * degree, Radius: mm(600)},
			Case{Own: at(wide, reBig), InPlane: mm(600)}, 0.21 * (1.30 + (1.17-1.30)*(1./3-0.25)/0.25), Own,
			"as the level elbow"},
		{"drop without a radius", duct.Fitting{Kind: duct.DropConn, Own: d250, Angle: 90 * degree},
			Case{Own: at(d250, 4)}, 1.305694444, Own, "MI06"},
		{"mitre", duct.Fitting{Kind: duct.Mitre, Own: d250, Angle: 45 * degree}, Case{Own: at(d250, 4)}, 0.3102355423,
			Own, "MI03"},
		{"mitre with vanes", duct.Fitting{Kind: duct.VanedMitre, Own: wide, Angle: 90 * degree}, Case{Own: at(wide, 4)},
			0.2, Own, "EP08"},
		{"offset", duct.Fitting{Kind: duct.Offset, Main: duct.None, Own: d250, Angle: 30 * degree, Offset: 0.1},
			Case{Own: at(d250, 4)}, 2 * 0.1505295816, Own, "twice MI02"},
		{"offset upward of a flat duct",
			duct.Fitting{Kind: duct.Offset, Main: duct.None, Own: duct.RectOf(0.8, 0.4), Angle: 30 * degree,
				OffsetUp: -0.1},
			Case{Own: 1}, 2 * 0.1505295816 * 0.90, Own, "twice MI02; 0.90 at H/W 2 from memory"},
		{"reducer", duct.Fitting{Kind: duct.Reducer, Common: square, Own: duct.RectOf(0.5, 1), Angle: 180 * degree},
			Case{Own: 4, Common: 4, Diverging: true}, 0.3434054339, Downstream, "TY11"},
		{"reducer of extract air",
			duct.Fitting{Kind: duct.Reducer, Common: duct.RectOf(0.5, 1), Own: square, Angle: 180 * degree},
			Case{Own: 4, Common: 4}, 0.3434054339, Downstream, "TY11"},
		{"expander of extract air",
			duct.Fitting{Kind: duct.Expander, Common: square, Own: duct.RectOf(0.5, 1), Angle: 30 * degree},
			Case{Own: 4, Common: 4}, 0.2062214095 - 0.02*(1-0.25)/(8*math.Sin(15*degree)), Upstream,
			"TD05 less its wall friction"},
		{"expander on both pairs of sides",
			duct.Fitting{Kind: duct.Expander, Common: duct.RectOf(0.8, 0.5), Own: duct.RectOf(1, 0.8),
				Angle: 30 * degree},
			Case{Own: 4, Common: 4, Diverging: true}, 1.25 * (0.2062214095 - 0.02*(1-0.25)/(8*math.Sin(15*degree))),
			Upstream, "TD05 less its wall friction; the factor from memory"},
		{"through between two branches", duct.Fitting{Kind: duct.Through, Common: square, Own: square},
			Case{Own: 6, Common: 10,
				Others: []Leg{{Size: branch, Flow: 1, Angle: 90 * degree},
					{Size: branch, Flow: 3, Angle: 45 * degree}}},
			1 - 0.36 - 1.41*0.16/0.5, Common, "by hand: q 0.4, Ab/Ac 0.5, the angle of the branch with most air"},
		{"exit into a known neck", duct.Fitting{Kind: duct.Exit, Main: duct.None, Own: duct.RectOf(0.5, 1)},
			Case{Own: 4, Neck: square}, 1.005 * 0.25, Upstream, "by hand: (1.205 - 0.20)(1 - n)^2 at 180 degrees"},
		{"terminal of extract air from the side",
			duct.Fitting{Kind: duct.TerminalConn, Main: duct.None, Common: duct.RectOf(0.3, 0.1),
				Own: duct.RectOf(0.2, 0.2), Angle: 90 * degree},
			Case{Own: 0.1, Plenum: duct.RectOf(0.3, 0.3)}, 4./9*16/9 + 0.5*math.Pow(5./9, 0.75) + 1, Own,
			"by hand: (1 - 3/9)^2 (4/3)^2 + 0.5 (1 - 4/9)^0.75 + 1"},
		{"takeoff", duct.Fitting{Kind: duct.Takeoff, Common: square, Own: branch, Angle: 90 * degree},
			Case{Own: 1.6, Common: 8, Diverging: true, Others: main}, 1.5744, Common, "DV1b01"},
		{"takeoff of extract air", duct.Fitting{Kind: duct.Takeoff, Common: square, Own: branch, Angle: 90 * degree},
			Case{Own: 1.6, Common: 8, Others: main}, 0.36, Common, "CV1b01"},
		{"takeoff with an open damper",
			duct.Fitting{Kind: duct.Takeoff, Common: square, Own: branch, Angle: 90 * degree, Damper: true},
			Case{Own: 1.6, Common: 8, Diverging: true, Others: main}, 1.5744 + 0.05*0.64, Common,
			"DV1b01, DBM00 times x^2"},
		{"cross", duct.Fitting{Kind: duct.Cross, Common: square, Own: branch, Angle: 90 * degree},
			Case{Own: 1.6, Common: 8, Diverging: true,
				Others: append([]Leg{{Size: branch, Flow: 1.6, Angle: 90 * degree}}, main...)}, 1.5744, Common,
			"DV1b01"},
		{"through", duct.Fitting{Kind: duct.Through, Common: square, Own: square},
			Case{Own: 6.4, Common: 8, Diverging: true, Others: []Leg{{Size: branch, Flow: 1.6, Angle: 90 * degree}}},
			0.016, Common, "DV1s01"},
		{"wye", duct.Fitting{Kind: duct.Wye, Common: square, Own: duct.RectOf(0.5, 1), Angle: 45 * degree},
			Case{Own: 4, Common: 8, Diverging: true, Others: half}, 2 - math.Sqrt2 - 0.36, Common,
			"type 2 at x 1: 1 + 1 - 2 cos 45 - 0.36"},
		{"bullhead", duct.Fitting{Kind: duct.Bullhead, Common: square, Own: square, Angle: 90 * degree},
			Case{Own: 4, Common: 8, Diverging: true}, 1.375, Common, "DSY2"},
		{"bullhead of extract air",
			duct.Fitting{Kind: duct.Bullhead, Common: square, Own: duct.RectOf(0.5, 1), Angle: 90 * degree},
			Case{Own: 4, Common: 8, Others: half}, 1.112725, Common, "CSY2"},
		{"entry", duct.Fitting{Kind: duct.Entry, Main: duct.None, Own: d250}, Case{Own: at(d250, 4), Diverging: true},
			0.5, Own, "EN02"},
		{"exit", duct.Fitting{Kind: duct.Exit, Main: duct.None, Own: d250}, Case{Own: at(d250, 4)}, 1, Own, "EX01"},
		{"entry from a known neck", duct.Fitting{Kind: duct.Entry, Main: duct.None, Own: duct.RectOf(0.5, 1)},
			Case{Own: 4, Diverging: true, Neck: square}, 0.3434054339, Downstream, "TY11"},
		{"terminal, straight on its neck",
			duct.Fitting{Kind: duct.TerminalConn, Main: duct.None, Common: duct.RectOf(0.5, 1), Own: square},
			Case{Own: 4, Diverging: true}, 0.3434054339, Downstream, "TY11"},
		{"terminal from the side",
			duct.Fitting{Kind: duct.TerminalConn, Main: duct.None, Common: d200, Own: d200, Angle: 90 * degree},
			Case{Own: at(d200, 4), Diverging: true, Plenum: duct.RectOf(mm(300), mm(300))}, 0.786060704 + 1, Own,
			"BX00 and the turn"},
		{"damper, 20 degrees", duct.Fitting{Kind: duct.VolumeDamper, Own: d250},
			Case{Own: at(d250, 4), Blade: 20 * degree}, 1.54, Own, "DBC20, from memory"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := Coefficient(&c.f, c.c, standard)
			require.True(t, r.InRange, r.Outside())
			require.InEpsilon(t, c.want, r.C, 1e-6, c.source)
			require.Equal(t, c.ref, r.Reference)
			require.NotEmpty(t, r.Formula)
			require.NotEmpty(t, r.Source)
			require.InEpsilon(t, float64(r.Loss), r.C*float64(VelocityPressure(r.Velocity, standard.Density)), 1e-12)
		})
	}
}

// Kinds that cost nothing, and fittings nothing flows through, say so and cost nothing.
func TestCoefficientOfNothing(t *testing.T) {
	d := duct.RoundOf(mm(250))
	for _, c := range []struct {
		f duct.Fitting
		c Case
	}{
		{duct.Fitting{Kind: duct.StraightJoint, Own: d}, Case{Own: 0.2}},
		{duct.Fitting{Kind: duct.EndCap, Own: d}, Case{Own: 0.2}},
		{duct.Fitting{Kind: duct.InlineBox, Own: d}, Case{Own: 0.2}},
		{duct.Fitting{Kind: duct.Elbow, Own: d, Radius: 1, Angle: 1}, Case{}},
		{duct.Fitting{Kind: duct.Elbow, Radius: 1, Angle: 1}, Case{Own: 1}},
		{duct.Fitting{Kind: duct.Takeoff, Own: d}, Case{Own: 0.2}},
		{duct.Fitting{Kind: duct.Through, Own: d, Common: d}, Case{Own: 0.2, Common: 0.2}},
		{duct.Fitting{Kind: duct.TerminalConn, Own: d}, Case{Own: 0.2}},
	} {
		r := Coefficient(&c.f, c.c, standard)
		require.Zero(t, float64(r.Loss), "%v", c.f.Kind)
		require.True(t, r.InRange, "%v", c.f.Kind)
		require.NotEmpty(t, r.Formula, "%v", c.f.Kind)
	}
}

// Where no air flows in the common leg there is nothing to divide, and a velocity of zero asks for no duct.
func TestNothingToDivide(t *testing.T) {
	d := duct.RoundOf(mm(250))
	r := Coefficient(&duct.Fitting{Kind: duct.Takeoff, Common: d, Own: d, Angle: 90 * degree},
		Case{Own: 0.1, Diverging: true}, standard)
	require.Equal(t, "C = 0: no flow in the common leg", r.Formula)
	require.True(t, r.InRange)
	require.Zero(t, DiameterForVelocity(0.1, 0))
	require.Zero(t, DiameterForVelocity(0, 1))
}

// A box of no known size is said to be large.
func TestLargeBoxIsSaid(t *testing.T) {
	f := duct.Fitting{Kind: duct.TerminalConn, Own: duct.RoundOf(mm(160)), Angle: 90 * degree}
	for _, diverging := range []bool{true, false} {
		c := Case{Own: 0.1, Diverging: diverging, Neck: duct.RoundOf(mm(200))}
		require.Contains(t, Coefficient(&f, c, standard).Formula, "Ap large")
		c.Plenum = duct.RectOf(mm(400), mm(400))
		r := Coefficient(&f, c, standard)
		require.NotContains(t, r.Formula, "Ap large")
		require.Equal(t, "Ap", r.Terms()[2].Name)
		require.InDelta(t, 0.16, r.Terms()[2].Value, 1e-12)
	}
}

// What lies outside a source's range is reported, with the value used in its place.
func TestCoefficientTellsItsBounds(t *testing.T) {
	d := duct.RoundOf(mm(250))
	for _, c := range []struct {
		name, what string
		f          duct.Fitting
		c          Case
	}{
		{"tight bend", "r/D", duct.Fitting{Kind: duct.Elbow, Own: d, Angle: 1, Radius: mm(100)}, Case{Own: at(d, 30)}},
		{"slow air", "Re", duct.Fitting{Kind: duct.Elbow, Own: d, Angle: 1, Radius: mm(250)}, Case{Own: at(d, 0.1)}},
		{"flat duct", "H/W", duct.Fitting{Kind: duct.Mitre, Own: duct.RectOf(1, 0.1), Angle: 1}, Case{Own: 1}},
		{"branch against the air", "branch angle",
			duct.Fitting{Kind: duct.Takeoff, Own: d, Common: d, Angle: 120 * degree},
			Case{Own: 0.1, Common: 0.4, Diverging: true, Others: []Leg{{Size: d, Flow: 0.3, Straight: true}}}},
		{"small legs", "(As+Ab)/Ac",
			duct.Fitting{Kind: duct.Takeoff, Own: duct.RoundOf(mm(100)), Common: d, Angle: 90 * degree},
			Case{Own: 0.1, Common: 0.4, Diverging: true,
				Others: []Leg{{Size: duct.RoundOf(mm(150)), Flow: 0.3, Straight: true}}}},
		{"fast branch of a conical tee", "Vb/Vc",
			duct.Fitting{Kind: duct.Takeoff, Own: duct.RoundOf(mm(100)), Common: d, Angle: 90 * degree,
				Form: duct.Conical},
			Case{Own: 0.1, Common: 0.4, Diverging: true, Others: []Leg{{Size: d, Flow: 0.3, Straight: true}}}},
		{"blade", "blade angle", duct.Fitting{Kind: duct.VolumeDamper, Own: d}, Case{Own: 0.1, Blade: 1.5}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := Coefficient(&c.f, c.c, standard)
			require.False(t, r.InRange)
			require.Len(t, r.Bounds(), 1)
			b := r.Bounds()[0]
			require.Equal(t, c.what, b.What)
			require.Contains(t, r.Outside(), c.what)
			require.True(t, b.Got < b.Low || b.Got > b.High)
		})
	}
	// A right angle that comes out of points is a right angle.
	r := Coefficient(&duct.Fitting{Kind: duct.Takeoff, Own: d, Common: d, Angle: math.Pi/2 + 1e-9},
		Case{Own: 0.1, Common: 0.4, Diverging: true, Others: []Leg{{Size: d, Flow: 0.3, Straight: true}}}, standard)
	require.True(t, r.InRange, r.Outside())
}

// A reader can redo a coefficient from its formula and the values given with it.
func TestValuesAreEnoughToRedoIt(t *testing.T) {
	value := func(r Result) map[string]float64 {
		m := map[string]float64{}
		for _, v := range r.Terms() {
			m[v.Name] = v.Value
		}
		require.Len(t, m, len(r.Terms()))
		return m
	}
	d, b := duct.RoundOf(mm(250)), duct.RoundOf(mm(160))
	r := Coefficient(&duct.Fitting{Kind: duct.Elbow, Own: duct.RectOf(mm(400), mm(150)), Angle: 70 * degree,
		Radius: mm(500)}, Case{Own: 0.3}, standard)
	v := value(r)
	require.InDelta(t, r.C, v["kRe"]*v["A1"]*v["B1"]*v["C1"], 1e-12)

	straight, branch := []Leg{{Size: duct.RoundOf(mm(225)), Flow: 0.3, Straight: true}},
		[]Leg{{Size: b, Flow: 0.1, Angle: 70 * degree}}
	r = Coefficient(&duct.Fitting{Kind: duct.Takeoff, Common: d, Own: b, Angle: 70 * degree},
		Case{Own: 0.1, Common: 0.4, Diverging: true, Others: straight}, standard)
	v = value(r)
	x, share := v["x"], v["t"]
	momentum := 1 + x*x - 2*x*math.Cos(v["angle"]*degree)
	require.InDelta(t, r.C, share*v["A"]*momentum+(1-share)*(momentum-v["K'b"]*x*x), 1e-12)

	r = Coefficient(&duct.Fitting{Kind: duct.Through, Common: d, Own: duct.RoundOf(mm(225))},
		Case{Own: 0.3, Common: 0.4, Diverging: true, Others: branch}, standard)
	v = value(r)
	y := v["y"]
	share = v["t"]
	require.InDelta(t, r.C,
		share*0.4*(1-y)*(1-y)+(1-share)*(v["k"]*(0.5345*y*y*y*y-1.124*y*y*y+1.73*y*y)-2.146*y+1.0005), 1e-12)

	r = Coefficient(&duct.Fitting{Kind: duct.Takeoff, Common: d, Own: b, Angle: 70 * degree},
		Case{Own: 0.1, Common: 0.4, Others: straight}, standard)
	v = value(r)
	x, q := v["x"], v["Qb/Qc"]
	require.InDelta(t, r.C, v["A"]*(1+x*x-2*(1-q)*(1-q)-2*q*q*math.Cos(v["angle"]*degree)/v["Ab/Ac"]), 1e-12)

	// A second branch that joins, written out from what is printed.
	two := []Leg{{Size: duct.RoundOf(mm(200)), Flow: 0.08, Angle: 60 * degree}, {Size: d, Flow: 0.22, Straight: true}}
	r = Coefficient(&duct.Fitting{Kind: duct.Cross, Common: d, Own: b, Angle: 70 * degree},
		Case{Own: 0.1, Common: 0.4, Others: two}, standard)
	v = value(r)
	x, q = v["x"], v["Qb/Qc"]
	require.InDelta(t, r.C,
		v["A"]*(1+x*x-2*v["qs"]*v["qs"]-2*q*q*math.Cos(v["angle"]*degree)/v["Ab/Ac"]-2*v["sum of q'^2 cos a' Ac/Ab'"]),
		1e-12)

	// The legs of a wye that joins, each with its own turn.
	r = Coefficient(&duct.Fitting{Kind: duct.Wye, Common: d, Own: b, Angle: 30 * degree},
		Case{Own: 0.1, Common: 0.25, Others: []Leg{{Size: duct.RoundOf(mm(200)), Flow: 0.15, Angle: 50 * degree}}},
		standard)
	v = value(r)
	x, q = v["x"], v["Qb/Qc"]
	require.InDelta(t, r.C,
		1+x*x-2*(q*q*math.Cos(v["angle"]*degree)/v["Ab/Ac"]+v["q'"]*v["q'"]*math.Cos(v["a'"]*degree)/v["Ab'/Ac"]),
		1e-12)

	// A change of size that opens on one pair of sides and closes on the other.
	r = Coefficient(&duct.Fitting{Kind: duct.Reducer, Common: duct.RectOf(0.6, 0.2), Own: duct.RectOf(0.3, 0.4),
		Length: 0.5}, Case{Own: 0.3, Diverging: true}, standard)
	v = value(r)
	require.InDelta(t, r.C,
		Contraction(v["m, side after over side before where it closes"], v["angle there, closing"]*degree, 0)+
			Expansion(v["n, side before over side after where it opens"], v["angle there"]*degree,
				0)*v["(Vup/Vdown)^2"],
		1e-12)
	require.False(t, r.InRange)
	require.Contains(t, r.Outside(), "opens on one pair")
	// By hand: 200 to 400 opens, by 2 atan(100/500); 600 to 300 closes, by 2 atan(150/500).
	require.InDelta(t, 0.5, v["n, side before over side after where it opens"], 1e-12)
	require.InDelta(t, 0.5, v["m, side after over side before where it closes"], 1e-12)
	require.InDelta(t, 22.6199, v["angle there"], 1e-4)
	require.InDelta(t, 33.3985, v["angle there, closing"], 1e-4)

	// A bend of flexible duct.
	r = Coefficient(&duct.Fitting{Kind: duct.Elbow, Own: d, Angle: 60 * degree, Radius: mm(300)},
		Case{Own: 0.3, Pliable: true}, standard)
	v = value(r)
	half := math.Sin(v["angle"] / 2 * degree)
	require.InDelta(t, r.C, (0.10+2.4*v["f"])*half+
		6.6*v["f"]*(math.Sqrt(half)+half)/math.Pow(v["r/D"], 4*v["angle"]/180), 1e-12)

	// How far a junction lies from type 2 follows from its areas.
	smaller := []Leg{{Size: duct.RoundOf(mm(224)), Flow: 0.3, Straight: true}}
	r = Coefficient(&duct.Fitting{Kind: duct.Takeoff, Common: d, Own: b, Angle: 90 * degree},
		Case{Own: 0.1, Common: 0.4, Others: smaller, Diverging: true}, standard)
	v = value(r)
	require.InDelta(t, v["t"], (v["As/Ac"]+v["Ab/Ac"]-1)/v["Ab/Ac"], 1e-12)
	require.Greater(t, v["t"], 0.1)
	require.Less(t, v["t"], 0.9)

	// An elbow of gores.
	r = Coefficient(&duct.Fitting{Kind: duct.Elbow, Own: d, Angle: 75 * degree, Radius: mm(300)},
		Case{Own: 0.3, Make: duct.Gored4}, standard)
	v = value(r)
	// from memory, between r/D 1 and 1.5
	require.InDelta(t, r.C, v["share of 90 degrees"]*(0.37+(0.27-0.37)*(1.2-1)/0.5), 1e-12)

	// The constants in the words are those in use.
	require.InDelta(t, 1.175, entry45B, 0.0005)
	require.InDelta(t, 0.546, entry45K, 0.0005)
}

// anyNumber draws ordinary numbers and the ones that break things.
func anyNumber(t *rapid.T, name string) float64 {
	return rapid.OneOf(rapid.Float64Range(0, 3),
		rapid.SampledFrom([]float64{0, -1, 1e-300, 1e300, math.NaN(), math.Inf(1), math.Inf(-1)})).Draw(t, name)
}

func anySize(t *rapid.T, name string) duct.Size {
	return duct.Size{Shape: duct.Shape(rapid.IntRange(0, 2).Draw(t, name+" shape")),
		Width: duct.Length(anyNumber(t, name+" width")), Height: duct.Length(anyNumber(t, name+" height"))}
}

// Whatever it is given, Coefficient gives an answer: C times Pv is the loss, the loss over the run's own
// pressure is Own, and it is InRange exactly if it names no bound, unless the input was no number.
func TestCoefficientOfAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := duct.Fitting{Kind: duct.FittingKind(rapid.IntRange(0, int(duct.Offset)).Draw(t, "kind")),
			Own: anySize(t, "own"), Common: anySize(t, "common"), Angle: anyNumber(t, "angle"),
			Radius: duct.Length(anyNumber(t, "radius")), Length: duct.Length(anyNumber(t, "length")),
			Form: duct.TakeoffForm(rapid.IntRange(0, 2).Draw(t, "form")), Damper: rapid.Bool().Draw(t, "damper"),
			Main: duct.RunID(rapid.IntRange(-1, 0).Draw(t, "main"))}
		c := Case{Own: duct.Flow(anyNumber(t, "q own")), Common: duct.Flow(anyNumber(t, "q common")),
			Diverging: rapid.Bool().Draw(t, "diverging"), Upright: rapid.Bool().Draw(t, "upright"),
			Pliable: rapid.Bool().Draw(t, "pliable"),
			Neck:    anySize(t, "neck"), Plenum: anySize(t, "plenum"), Blade: anyNumber(t, "blade"),
			Roughness: duct.Length(anyNumber(t, "eps"))}
		for range rapid.IntRange(0, 3).Draw(t, "others") {
			c.Others = append(c.Others, Leg{Size: anySize(t, "leg"), Flow: duct.Flow(anyNumber(t, "q leg")),
				Angle: anyNumber(t, "leg angle"), Straight: rapid.Bool().Draw(t, "straight"),
				Form: duct.TakeoffForm(rapid.IntRange(0, 2).Draw(t, "leg form"))})
		}
		r := Coefficient(&f, c, standard)
		if math.IsNaN(r.C) || math.IsNaN(float64(r.Loss)) || math.IsNaN(r.Own) {
			t.Fatalf("no number: %+v", r)
		}
		if r.Formula == "" {
			t.Fatal("no formula")
		}
		if got := r.C * float64(r.Pv); got != float64(r.Loss) {
			t.Fatalf("C Pv %g, loss %g", got, float64(r.Loss))
		}
		if r.InRange && len(r.Bounds()) > 0 {
			t.Fatal("in range and outside")
		}
		_, _ = r.Values(), r.Outside()
	})
}

// junction draws a plain tee whose flows add up, with the branch and the straight leg.
func junction(t *rapid.T, diverging bool) (branch, straight Result, q float64) {
	q = rapid.Float64Range(0.01, 0.99).Draw(t, "q")
	common := duct.RoundOf(duct.Length(rapid.Float64Range(0.1, 1).Draw(t, "D")))
	own := duct.RoundOf(common.Width * duct.Length(rapid.Float64Range(0.35, 1).Draw(t, "d/D")))
	angle := rapid.Float64Range(30, 90).Draw(t, "angle") * degree
	form := duct.TakeoffForm(rapid.IntRange(0, 2).Draw(t, "form"))
	total := at(common, rapid.Float64Range(1, 15).Draw(t, "V"))
	qb, qs := total*duct.Flow(q), total*duct.Flow(1-q)
	b := Leg{Size: own, Flow: qb, Angle: angle, Form: form}
	s := Leg{Size: common, Flow: qs, Straight: true}
	branch = Coefficient(&duct.Fitting{Kind: duct.Takeoff, Common: common, Own: own, Angle: angle, Form: form},
		Case{Own: qb, Common: total, Diverging: diverging, Others: []Leg{s}}, standard)
	straight = Coefficient(&duct.Fitting{Kind: duct.Through, Common: common, Own: common, Form: form},
		Case{Own: qs, Common: total, Diverging: diverging, Others: []Leg{b}}, standard)
	return branch, straight, q
}

// A leg of a junction may gain pressure from the other, but both together cannot: the power lost,
// flow times loss over the legs, is never negative.
func TestJunctionsLosePower(t *testing.T) {
	for _, diverging := range []bool{true, false} {
		rapid.Check(t, func(t *rapid.T) {
			b, s, q := junction(t, diverging)
			if power := q*float64(b.Loss) + (1-q)*float64(s.Loss); power < -1e-9 {
				t.Fatalf("power %g W a m3/s: branch %g Pa, straight %g Pa\n%s\n%s", power, float64(b.Loss),
					float64(s.Loss), b.Values(), s.Values())
			}
		})
	}
}

// Without a Reynolds number in the formula, loss goes with the square of the flows.
func TestJunctionLossGoesWithTheSquare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.Float64Range(0.2, 5).Draw(t, "k")
		f := duct.Fitting{Kind: duct.Takeoff, Common: duct.RoundOf(0.4), Own: duct.RoundOf(0.25), Angle: 1.2,
			Form: duct.TakeoffForm(rapid.IntRange(0, 2).Draw(t, "form")), Damper: rapid.Bool().Draw(t, "damper")}
		c := Case{Own: 0.2, Common: 0.7, Diverging: rapid.Bool().Draw(t, "diverging"),
			Others: []Leg{{Size: duct.RoundOf(0.35), Flow: 0.5, Straight: true}}}
		one := Coefficient(&f, c, standard)
		c.Own, c.Common, c.Others[0].Flow = c.Own*duct.Flow(k), c.Common*duct.Flow(k), c.Others[0].Flow*duct.Flow(k)
		many := Coefficient(&f, c, standard)
		if got, want := float64(many.Loss), k*k*float64(one.Loss); math.Abs(got-want) > 1e-9*math.Abs(want) {
			t.Fatalf("%g, want %g", got, want)
		}
	})
}

// Friction rises with the flow, falls with the diameter, and the diameter for a rate has that rate,
// through the laminar and the transitional range too.
func TestFrictionLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := duct.Flow(math.Exp(rapid.Float64Range(math.Log(1e-5), math.Log(50)).Draw(t, "ln q")))
		d := duct.Length(rapid.Float64Range(0.05, 3).Draw(t, "d"))
		eps := duct.Length(rapid.Float64Range(0, 0.003).Draw(t, "eps"))
		k := rapid.Float64Range(1.0001, 4).Draw(t, "k")
		r := FrictionRate(duct.RoundOf(d), q, eps, standard)
		if more := FrictionRate(duct.RoundOf(d), q*duct.Flow(k), eps, standard); !(more > r) {
			t.Fatalf("more air, no more friction: %g, %g", float64(r), float64(more))
		}
		if wider := FrictionRate(duct.RoundOf(d*duct.Length(k)), q, eps, standard); !(wider < r) {
			t.Fatalf("wider, no less friction: %g, %g", float64(r), float64(wider))
		}
	})
}

func BenchmarkCoefficient(b *testing.B) {
	d := duct.RoundOf(0.25)
	others := []Leg{{Size: d, Flow: 0.3, Straight: true}}
	fits := []duct.Fitting{
		{Kind: duct.Elbow, Own: d, Angle: 1.5, Radius: 0.375},
		{Kind: duct.Takeoff, Own: d, Common: d, Angle: 1.5},
		{Kind: duct.Reducer, Own: d, Common: duct.RoundOf(0.315), Angle: 0.5},
	}
	var sum duct.Pressure
	for i := range b.N {
		r := Coefficient(&fits[i%len(fits)], Case{Own: 0.1, Common: 0.4, Diverging: true, Others: others}, standard)
		sum += r.Loss
	}
	if b.ReportAllocs(); sum <= 0 {
		b.Fatal("no loss")
	}
}
