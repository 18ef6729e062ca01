package words_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/words"
)

// The numbers are worked out by hand from the definitions: 1 in = 25.4 mm and 1 ft = 304.8 mm exactly,
// 1 cfm = 0.4719474 L/s, 1 inch of water = 249.0889 Pa, 1 ft/min = 5.08 mm/s (NIST SP 811, appendix B.8).
var (
	inch   = words.In(true).DrawnIn(duct.Inch)
	metric = words.In(false).DrawnIn(duct.Millimetre)
)

func TestQuantities(t *testing.T) {
	for _, c := range []struct{ inch, metric, wantInch, wantMetric string }{
		{inch.Length(0.25), metric.Length(0.25), "9.84 in", "250 mm"},
		{inch.Length(0.3048), metric.Length(0.2505), "12 in", "250.5 mm"},
		{inch.Length(-0.00001), metric.Length(-0.00001), "0 in", "0 mm"},
		{inch.Rounded(0.2504), metric.Rounded(0.2504), "9.86 in", "250 mm"},
		{inch.Distance(6.096), metric.Distance(12.345), "20 ft", "12.35 m"},
		{inch.Flow(0.04719474), metric.Flow(0.1055), "100 cfm", "105.5 L/s"},
		{inch.Velocity(5.08), metric.Velocity(4.567), "1000 fpm", "4.57 m/s"},
		{inch.Pressure(124.54445), metric.Pressure(124.54), "0.5 in.wg", "124.5 Pa"},
		{inch.Rate(249.08891 / 30.48 / 10), metric.Rate(0.654), "0.1 in.wg/100ft", "0.65 Pa/m"},
		{inch.Measures().Area.Text(9.290304), metric.Measures().Area.Text(9.29), "100 ft²", "9.29 m²"},
		{inch.Measures().Mass.Text(45.359237), metric.Measures().Mass.Text(45.36), "100 lb", "45.4 kg"},
		{inch.Side(0.254), metric.Side(0.3155), `10"`, "315.5"},
		{inch.Size(duct.RoundOf(0.254)), metric.Size(duct.RoundOf(0.315)), `ø10"`, "ø315"},
		{inch.Size(duct.RectOf(0.4572, 0.254)), metric.Size(duct.RectOf(0.45, 0.25)), `18"x10"`, "450x250"},
		{inch.Size(duct.OvalOf(0.5588, 0.254)), metric.Size(duct.OvalOf(0.55, 0.25)), `22"x10" oval`, "550x250 oval"},
		{inch.Size(duct.Size{}), metric.Size(duct.Size{}), "", ""},
		{inch.Place(geom.Vec{X: 30.48, Y: -0.0254}), metric.Place(geom.Vec{X: 1234.5678, Y: 0.0005}),
			"(1200, -1)", "(1234567.8, 0.5)"},
		{words.In(true).Place(geom.Vec{X: 1}), metric.DrawnIn(0).Place(geom.Vec{X: 1}), "(1, 0)", "(1000, 0)"},
		{inch.Measures().Distance.Fixed(6.096), metric.Measures().Distance.Fixed(6.1), "20.0 ft", "6.10 m"},
	} {
		require.Equal(t, c.wantInch, c.inch)
		require.Equal(t, c.wantMetric, c.metric)
	}
}

// A value over its limit is not written like its limit. By hand.
func TestApart(t *testing.T) {
	m := words.Measure{Unit: "Pa/m", One: 1, Decimals: 2}
	for _, c := range []struct {
		v, w        float64
		over, limit string
	}{
		{0.9, 0.65, "0.9 Pa/m", "0.65 Pa/m"}, {0.6534, 0.65, "0.653 Pa/m", "0.65 Pa/m"},
		{0.65004, 0.65, "0.65004 Pa/m", "0.65 Pa/m"}, {0.65, 0.65, "0.65 Pa/m", "0.65 Pa/m"},
	} {
		over, limit := m.Apart(c.v, c.w)
		require.Equal(t, c.over, over)
		require.Equal(t, c.limit, limit)
	}
}

func TestLevels(t *testing.T) {
	for _, c := range []struct {
		z                                      duct.Length
		inch, metric, feet, metres, millimetre string
	}{
		{3.2004, `10'-6"`, "3.200 m", `10'-6"`, "+3.20", "+3200"},
		{3.2131, `10'-6 1/2"`, "3.213 m", `10'-6 1/2"`, "+3.213", "+3213"},
		{3.2019875, `10'-6 1/8"`, "3.202 m", `10'-6 1/16"`, "+3.202", "+3202"}, // 10'-6" and a sixteenth
		{-0.4572, `-1'-6"`, "-0.457 m", `-1'-6"`, "-0.457", "-457"},
		{2.7432, `9'-0"`, "2.743 m", `9'-0"`, "+2.743", "+2743"},
		{0, `0'-0"`, "0.000 m", `0'-0"`, "+0.00", "+0"},
		{-0.0001, `0'-0"`, "-0.000 m", `0'-0"`, "+0.00", "+0"},
	} {
		require.Equal(t, c.inch, inch.Level(c.z))
		require.Equal(t, c.metric, metric.Level(c.z))
		require.Equal(t, c.feet, inch.LevelAs(words.LevelUsual, c.z))
		require.Equal(t, c.feet, metric.LevelAs(words.LevelFeet, c.z))
		require.Equal(t, c.metres, metric.LevelAs(words.LevelUsual, c.z))
		require.Equal(t, c.metres, inch.LevelAs(words.LevelMetres, c.z))
		require.Equal(t, c.millimetre, inch.LevelAs(words.LevelMillimetres, c.z))
	}
}

// What is written is read back to within half of its last place.
func TestWrittenIsRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := words.In(rapid.Bool().Draw(t, "inches"))
		m := w.Measures()
		near := func(what string, v, read float64, half float64, err error) {
			require.NoError(t, err, what)
			require.InDelta(t, v, read, half*(1+1e-6)+1e-12, what)
		}
		half := func(m words.Measure) float64 { return m.One * math.Pow10(-m.Decimals) / 2 }
		l := duct.Length(rapid.Float64Range(-900, 900).Draw(t, "length"))
		back, err := duct.ParseLength(w.Length(l))
		near(w.Length(l), float64(l), float64(back), half(m.Length), err)
		back, err = duct.ParseLength(w.Distance(l))
		near(w.Distance(l), float64(l), float64(back), half(m.Distance), err)
		back, err = duct.ParseLength(w.Level(l))
		near(w.Level(l), float64(l), float64(back), float64(duct.Inch)/16, err)
		back, err = duct.ParseLength(w.LevelAs(words.LevelFeet, l))
		near(w.LevelAs(words.LevelFeet, l), float64(l), float64(back), float64(duct.Inch)/32, err)
		v := rapid.Float64Range(-900, 900).Draw(t, "value")
		flow, err := duct.ParseFlow(w.Flow(duct.Flow(v)))
		near(w.Flow(duct.Flow(v)), v, float64(flow), half(m.Flow), err)
		speed, err := duct.ParseVelocity(w.Velocity(duct.Velocity(v)))
		near(w.Velocity(duct.Velocity(v)), v, float64(speed), half(m.Velocity), err)
		pressure, err := duct.ParsePressure(w.Pressure(duct.Pressure(v)))
		near(w.Pressure(duct.Pressure(v)), v, float64(pressure), half(m.Pressure), err)
		rate, err := duct.ParseRate(w.Rate(duct.Rate(v)))
		near(w.Rate(duct.Rate(v)), v, float64(rate), half(m.Rate), err)
	})
}

func TestFlowUnit(t *testing.T) {
	cfm, hour := duct.CubicFootPerMinute, duct.CubicMetrePerHour
	for _, c := range []struct {
		w     words.Words
		flows []duct.Flow
		want  string // of the first flow
		step  float64
		steps string
	}{
		{metric, []duct.Flow{0.105, 0.0525}, "105 L/s", 10, "110 L/s"},
		{metric, []duct.Flow{380 * hour, 90 * hour}, "380 m3/h", 50, "400 m3/h"}, // 380 m3/h is 105.56 L/s
		{metric, []duct.Flow{220 * cfm, 110 * cfm}, "220 cfm", 0, "220 cfm"},
		{inch, []duct.Flow{0.105}, "105 L/s", 5, "105 L/s"},
		{inch, []duct.Flow{220 * cfm}, "220 cfm", 25, "225 cfm"},
		{metric, []duct.Flow{0.0123456789, 0.105}, "12.3 L/s", 0.5, "12.5 L/s"}, // none is round: the drawing's own
		{inch, nil, "", 0, ""},
	} {
		u := c.w.GivenIn(slices.Values(c.flows))
		if len(c.flows) == 0 {
			require.Equal(t, words.CubicFeet, u, "nothing says otherwise")
			continue
		}
		require.Equal(t, c.want, u.Text(c.flows[0]))
		require.Equal(t, c.steps, u.Stepped(c.flows[0], c.step))
	}
	require.Equal(t, "0.106 m3/s", words.MetresSecond.Text(380*hour), "380/3600 = 0.10556")
	require.Equal(t, "123 L/s", words.Litres.Text(0.12345678), "whole from a hundred")
	require.Equal(t, "1.23 L/s", words.Litres.Text(0.00123412345), "three figures below ten")
	// From a hundred on whole numbers, however large; 2615 cfm are 1234.1426 L/s, and what was given in halves stays so.
	require.Equal(t, "1234 L/s", words.Litres.Text(1.234168))
	require.Equal(t, "1234 L/s", words.Litres.Text(2615*cfm))
	require.Equal(t, "1234.5 L/s", words.Litres.Text(1.2345))
	require.Equal(t, "1234.5 L/s", words.Litres.Text(1.2345003), "given in another unit with seven figures")
	require.Equal(t, "12346 L/s", words.Litres.Text(12.345678))
	require.Equal(t, "2615 cfm", words.CubicFeet.Text(1.234143), "2615.0009 cfm by the factor above")
}

func TestNames(t *testing.T) {
	require.Equal(t, "r1", words.Run(0))
	require.Equal(t, "n12", words.Node(11))
	require.Equal(t, "unit TB-4", words.Unit("TB-4"))
	require.Equal(t, "a terminal without a mark", words.Terminal(""))
	require.Equal(t, "Ønskede", words.Capital("ønskede"))
	require.Equal(t, "", words.Capital(""))
	require.Equal(t, "Raise it.", words.Sentence("raise it"))
	require.Equal(t, []string{"1 layer", "0 layers", "1 entity", "2 entities"},
		[]string{words.Count(1, "layer"), words.Count(0, "layer"), words.Count(1, "entity", "entities"),
			words.Count(2, "entity", "entities")})
}
