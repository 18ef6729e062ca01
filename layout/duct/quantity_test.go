package duct_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
)

// The sources of the numbers below. Conversions are worked out by hand from the definitions.
const (
	inchSource   = "1 in = 25.4 mm exactly, NIST SP 811 B.8"
	footSource   = "1 ft = 304.8 mm exactly, NIST SP 811 B.8"
	siSource     = "SI prefixes"
	cfmSource    = "1 ft3/min = 4.719474 E-04 m3/s, NIST SP 811 B.8"
	hourSource   = "1 h = 3600 s"
	waterSource  = "1 inch of water, conventional = 249.0889 Pa, NIST SP 811 B.8"
	fpmSource    = "1 ft/min = 5.08 E-03 m/s exactly, NIST SP 811 B.8"
	degreeSource = "1 degree = 1.745329 E-02 rad, NIST SP 811 B.8"
	celsius      = "t/C = (t/F - 32)/1.8, NIST SP 811 B.8"
)

type quantityCase struct {
	text   string
	want   float64
	source string
}

// near allows for the digits the sources print.
const near = 5e-7

func checkParse[T ~float64](t *testing.T, parse func(string) (T, error), cases []quantityCase) {
	t.Helper()
	for _, c := range cases {
		got, err := parse(c.text)
		require.NoError(t, err, c.text)
		require.NotEmpty(t, c.source)
		require.InDelta(t, c.want, float64(got), near*math.Max(1e-3, math.Abs(c.want)), "%s (%s)", c.text, c.source)
	}
}

func checkRefuse[T ~float64](t *testing.T, parse func(string) (T, error), texts ...string) {
	t.Helper()
	for _, text := range append(texts, "", " ", "-", "+", ".", ",", "x", "°", "\"", "1e5 m", "\x00", "\xff\xfe") {
		_, err := parse(text)
		require.Error(t, err, "%q", text)
		require.NotEmpty(t, err.Error())
	}
}

func TestParseLength(t *testing.T) {
	checkParse(t, duct.ParseLength, []quantityCase{
		{"10 in", 0.254, inchSource}, {"10in", 0.254, inchSource}, {`10"`, 0.254, inchSource},
		{"10″", 0.254, inchSource},
		{"10”", 0.254, inchSource}, {"10''", 0.254, inchSource}, {"10 inch", 0.254, inchSource},
		{"10 in.", 0.254, inchSource},
		{"10 IN", 0.254, inchSource}, {"1 ft", 0.3048, footSource}, {"1'", 0.3048, footSource},
		{"2 feet", 0.6096, footSource},
		{"1′", 0.3048, footSource}, {"1.5 ft", 0.4572, footSource},
		{`10'-6"`, 3.2004, footSource}, {`10' 6"`, 3.2004, footSource}, {`10'6"`, 3.2004, footSource},
		{"10'-6", 3.2004, footSource},
		{"10 ft 6 in", 3.2004, footSource}, {"10ft-6in", 3.2004, footSource},
		{`10'-6 1/2"`, 3.2131, footSource}, {`10'-6-1/2"`, 3.2131, footSource}, {`10'-0 1/2"`, 3.0607, footSource},
		{`-1'-6"`, -0.4572, footSource},
		{`1/2"`, 0.0127, inchSource}, {`6 1/2"`, 0.1651, inchSource}, {`6-1/2"`, 0.1651, inchSource},
		{`3/32 in`, 0.00238125, inchSource},
		{"250 mm", 0.25, siSource}, {"250mm", 0.25, siSource}, {"25 cm", 0.25, siSource}, {"1.2 m", 1.2, siSource},
		{"1,2 m", 1.2, siSource},
		{"3.3 metres", 3.3, siSource}, {"+3.30 m", 3.3, siSource}, {"-3.30 m", -3.3, siSource},
		{"−3.30 m", -3.3, "typographic minus"},
		{".5 m", 0.5, siSource}, {" 5 m ", 5, siSource}, {"0 m", 0, siSource},
		{"0,250 m", 0.25, "a leading zero is never grouped"},
		{"1200.5 mm", 1.2005, siSource},
	})
	checkRefuse(t, duct.ParseLength, "10", "ten m", "10 furlong", "10 m3", "10 m/s", "10 mmm", "1,200 mm", "1.2.3 m",
		`10'-13"`, "10 m 5",
		"99999999999 m", "1/0 in", "5 m extra", "10 inx")
}

func TestParseFlow(t *testing.T) {
	checkParse(t, duct.ParseFlow, []quantityCase{
		{"220 cfm", 0.1038284, cfmSource}, {"220CFM", 0.1038284, cfmSource}, {"105 L/s", 0.105, siSource},
		{"105l/s", 0.105, siSource},
		{"105 l / s", 0.105, siSource}, {"380 m3/h", 380.0 / 3600, hourSource}, {"380 m³/h", 380.0 / 3600, hourSource},
		{"380m3/h", 380.0 / 3600, hourSource}, {"380 M3/H", 380.0 / 3600, hourSource}, {"0.11 m3/s", 0.11, siSource},
		{"0,11 m³/s", 0.11, siSource},
		{"0,110 m3/s", 0.11, siSource}, {"-5 L/s", -0.005, siSource},
	})
	checkRefuse(t, duct.ParseFlow, "220", "220 m", "220 cmf", "1,200 cfm", "cfm", "220 cfmx", "220 m3")
}

func TestParsePressure(t *testing.T) {
	checkParse(t, duct.ParsePressure, []quantityCase{
		{"0.6 in.wg", 149.45334, waterSource}, {"0.6 in wg", 149.45334, waterSource},
		{"0.6in.w.g.", 149.45334, waterSource},
		{`0.6"wg`, 149.45334, waterSource}, {`0.6" w.g.`, 149.45334, waterSource},
		{"0.6 IN. WG", 149.45334, waterSource}, {"0.6 in.wc", 149.45334, waterSource},
		{"150 Pa", 150, siSource}, {"150pa", 150, siSource}, {"0.15 kPa", 150, siSource}, {"0,15 kPa", 150, siSource},
	})
	checkRefuse(t, duct.ParsePressure, "150", "0.6 in", "0.6 psi", `0.6"`)
}

func TestParseRateVelocityAngleTemperature(t *testing.T) {
	checkParse(t, duct.ParseRate, []quantityCase{
		{"0.65 Pa/m", 0.65, siSource}, {"0.65 Pa / m", 0.65, siSource}, {"0.65 Pa per m", 0.65, siSource},
		{"0.08 in.wg/100ft", 0.08 * 249.0889 / 30.48, waterSource},
		{"0.08 in wg / 100 ft", 0.08 * 249.0889 / 30.48, waterSource},
		{"0.08 in. wg per 100 ft", 0.08 * 249.0889 / 30.48, waterSource},
	})
	checkRefuse(t, duct.ParseRate, "0.65 Pa", "0.65 /m", "0.65 Pa/", "0.65 Pa/0 m", "0.65 Pa/s", "Pa/m")
	checkParse(t, duct.ParseVelocity, []quantityCase{
		{"900 fpm", 4.572, fpmSource}, {"900 ft/min", 4.572, fpmSource}, {"4.5 m/s", 4.5, siSource},
		{"4,5m/s", 4.5, siSource},
	})
	checkRefuse(t, duct.ParseVelocity, "900", "900 mph", "4.5 m")
	checkParse(t, duct.ParseTemperature, []quantityCase{
		{"20 °C", 20, celsius}, {"20C", 20, celsius}, {"68 °F", 20, celsius}, {"32 deg F", 0, celsius},
		{"-40 F", -40, celsius}, {"20 º C", 20, celsius},
	})
	checkRefuse(t, duct.ParseTemperature, "20", "20 K", "20 °", "warm")
	checkParse(t, duct.ParseAngle, []quantityCase{
		{"30 deg", 0.5235988, degreeSource}, {"30°", 0.5235988, degreeSource}, {"30 degrees", 0.5235988, degreeSource},
		{"22.5 deg", 0.3926991, degreeSource},
	})
	checkRefuse(t, duct.ParseAngle, "30", "30 rad", "deg")
}

func TestQuantityErrorsSayWhatToDo(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"220", `"220" has no unit of airflow; write it like 220 cfm, 105 L/s, 380 m3/h or 0.11 m3/s`},
		{"1,200 cfm", "1,200 can mean 1.200 or 1200; write one of them"},
		{"lots", `"lots" is no airflow; write it like 220 cfm, 105 L/s, 380 m3/h or 0.11 m3/s`},
		{"220 cfm more",
			`"220 cfm more" has more after the airflow: "more"; write it like 220 cfm, 105 L/s, 380 m3/h or 0.11 m3/s`},
	} {
		_, err := duct.ParseFlow(c.text)
		require.EqualError(t, err, c.want)
	}
}

func TestCutLeavesTheRest(t *testing.T) {
	for _, c := range []struct {
		text string
		want duct.Length
		rest string
	}{
		{`18"x10"`, 18 * duct.Inch, `x10"`}, {"18inx10in", 18 * duct.Inch, "x10in"},
		{"450mm x 250mm", 450 * duct.Millimetre, " x 250mm"},
		{`10'-6" TOD`, 126 * duct.Inch, " TOD"}, {`10' S-1`, 10 * duct.Foot, " S-1"}, {"10'-S", 10 * duct.Foot, "-S"},
		{"10 in. dia", 10 * duct.Inch, " dia"},
	} {
		v, rest, err := duct.CutLength(c.text)
		require.NoError(t, err, c.text)
		require.InDelta(t, float64(c.want), float64(v), 1e-9, c.text)
		require.Equal(t, c.rest, rest, c.text)
	}
}

// No text makes a reader of quantities panic or take more than there is.
func FuzzQuantity(f *testing.F) {
	for _, s := range []string{`10'-6 1/2"`, "0.08 in.wg/100ft", "380 m³/h", "1,200 cfm", "−3,30 m", "20 °C", "30 deg",
		"1/2\"", "'", "10'-", "\xff", "1/", "9 9/9\""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if v, rest, err := duct.CutLength(s); err == nil {
			require.LessOrEqual(t, len(rest), len(s))
			require.False(t, math.IsNaN(float64(v)) || math.IsInf(float64(v), 0))
		}
		if _, rest, err := duct.CutNumber(s); err == nil {
			require.Less(t, len(rest), len(s))
		}
		for _, parse := range []func(string) (float64, error){
			func(s string) (float64, error) { v, err := duct.ParseLength(s); return float64(v), err },
			func(s string) (float64, error) { v, err := duct.ParseFlow(s); return float64(v), err },
			func(s string) (float64, error) { v, err := duct.ParsePressure(s); return float64(v), err },
			func(s string) (float64, error) { v, err := duct.ParseRate(s); return float64(v), err },
			func(s string) (float64, error) { v, err := duct.ParseVelocity(s); return float64(v), err },
			duct.ParseTemperature, duct.ParseAngle,
		} {
			if v, err := parse(s); err == nil {
				require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%q", s)
			}
		}
	})
}
