package loss

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/sizing/internal/checks"
)

func TestVelocitiesAgainstOutside(t *testing.T) {
	places := map[string]Place{"shaft or above solid drywall ceiling": InShaft,
		"above suspended acoustical ceiling": AboveCeiling, "within occupied space": InRoom}
	shapes := map[string]duct.Shape{"round": duct.Round, "rectangular": duct.Rect}
	checks.Account(t, "checks/07_velocity.csv", func(t *testing.T, r checks.Row) bool {
		var got duct.Velocity
		switch {
		case r.Text("kind") == "max":
			nc := int(parse(t, strings.Fields(strings.TrimPrefix(r.Text("criterion"), "NC/RC "))[0]))
			got = MaxVelocity(places[r.Text("location")], shapes[r.Text("shape")], nc)
		}
		require.InEpsilon(t, r.Num("V_ms"), float64(got), 1e-9, "%s %s", r.ID(), r.Text("source"))
		return true
	})
	// Between the criteria of the table the stricter one counts.
	require.Equal(t, MaxVelocity(InRoom, duct.Rect, 25), MaxVelocity(InRoom, duct.Rect, 34))
	require.Equal(t, MaxVelocity(InRoom, duct.Rect, 35), MaxVelocity(InRoom, duct.Rect, 44))
	require.Equal(t, MaxVelocity(InRoom, duct.Rect, 35), MaxVelocity(InRoom, duct.Oval, 35))
}

func TestNoiseAgainstOutside(t *testing.T) {
	checks.Account(t, "checks/07b_noise.csv", func(t *testing.T, r checks.Row) bool {
		r.Check(t, "level", r.Num("value_dB"), DuctNoise(duct.Velocity(r.Param("v")), duct.Area(r.Param("S"))))
		return strings.HasSuffix(r.Text("quantity"), "overall")
	})
}

func TestLeakageAgainstOutside(t *testing.T) {
	// a class is the leakage in cfm through 100 square feet at 1 inch of water
	wall := 100 * float64(duct.Foot*duct.Foot)
	checks.Account(t, "checks/08_leakage.csv", func(t *testing.T, r checks.Row) bool {
		class := r.Num("coefficient") * float64(duct.CubicFootPerMinute) / wall / math.Pow(float64(duct.InchOfWater),
			0.65)
		q := Leakage(LeakFactor(class), duct.Pressure(r.Num("p_Pa_or_inwg"))*duct.InchOfWater, duct.Area(wall))
		r.Check(t, "leakage", r.Num("value"), float64(q/duct.CubicFootPerMinute))
		return strings.HasPrefix(r.Text("case"), "US class")
	})
}

func TestHeatAgainstOutside(t *testing.T) {
	checks.Account(t, "checks/08b_heat.csv", func(t *testing.T, r checks.Row) bool {
		in, around, u := r.Num("t_in"), r.Num("t_amb"), Conductance(r.Num("U"))
		p, l, q := duct.Length(r.Num("perimeter")), duct.Length(r.Num("L")), litres(r.Num("Q_Ls_or_cfm"))
		rho := duct.Density(1.204)
		if r.ID() == "HT7" { // inch units; its cp of 0.24 Btu/(lb F) is 1004.8, its air 0.075 lb/ft3
			u *= 5.678263
			p, l, q = p*duct.Foot, l*duct.Foot, duct.Flow(r.Num("Q_Ls_or_cfm"))*duct.CubicFootPerMinute
			out := HeatedTo(duct.Fahrenheit(in), duct.Fahrenheit(around), u, p, l, q, 0.075*duct.PoundPerCubicFoot)
			require.InDelta(t, r.Num("t_out_exact"), out*9/5+32, 0.005, r.Text("source"))
			require.InEpsilon(t, r.Num("q_gain_W_or_Btuh"),
				HeatGain(duct.Fahrenheit(in), out, q, 0.075*duct.PoundPerCubicFoot)/0.29307107, 2e-3)
			return true
		}
		out := HeatedTo(in, around, u, p, l, q, rho)
		r.Check(t, "temperature", r.Num("t_out_exact"), out)
		r.Check(t, "heat", r.Num("q_gain_W_or_Btuh"), HeatGain(in, out, q, rho))
		return true
	})
}
