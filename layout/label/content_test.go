package label

import (
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/shape"
	"twinline/layout/words"
)

func TestContent(t *testing.T) {
	values := map[string]string{"size": "ø250", "velocity": "4.2 m/s", "flow": "200 L/s"}
	get := func(f string) string { return values[f] }
	for _, c := range []struct {
		lines, want []string
	}{
		{[]string{"{size}"}, []string{"ø250"}},
		{[]string{"{size} / {flow}"}, []string{"ø250 / 200 L/s"}},
		{[]string{"{SIZE}", "{lining}", "{flow}"}, []string{"ø250", "200 L/s"}},
		{[]string{"{size}[ lined {lining}]"}, []string{"ø250"}},
		{[]string{"{size}[ at {velocity}]"}, []string{"ø250 at 4.2 m/s"}},
		{[]string{"[{lining}][ {elevation}]", "duct"}, []string{"duct"}},
		{[]string{"lined {lining}"}, nil},
		{[]string{"[words alone] {size}"}, []string{"words alone ø250"}},
	} {
		content, err := ParseContent(shape.SizeText, c.lines)
		require.NoError(t, err, "%q", c.lines)
		require.Equal(t, c.want, content.say(get), "%q", c.lines)
	}
	for line, want := range map[string]string{
		"{size":          "without its }",
		"{colour}":       "{size}, {width}",
		"[{size}":        "without its ]",
		"{size}]":        "without its [",
		"size}":          "without its {",
		"[{size} [x]]":   "within brackets",
		"{mark}: {size}": "no field {mark}",
	} {
		_, err := ParseContent(shape.SizeText, []string{line})
		require.ErrorContains(t, err, want, line)
		require.ErrorContains(t, err, "line 1")
	}
}

// Sizes, elevations and airflows in the forms of other offices.
func TestForms(t *testing.T) {
	form := func(text string, fields ...string) Form {
		f, err := ParseForm(text, fields...)
		require.NoError(t, err)
		return f
	}
	forms := Forms{Round: form("{d} dia", "d"), Rect: form("{w} × {h}", "w", "h"), Oval: form("{w}/{h} FO", "w", "h"),
		PlainInches: true}
	metric, inch := write(Spec{Forms: forms}), write(Spec{Forms: forms, Inches: true})
	require.Equal(t, "315 dia", metric.size(duct.RoundOf(0.315)))
	require.Equal(t, "18 × 10", inch.size(duct.RectOf(18*duct.Inch, 10*duct.Inch)))
	require.Equal(t, "22/10 FO", inch.size(duct.OvalOf(22*duct.Inch, 10*duct.Inch)))
	_, err := ParseForm("dia", "d")
	require.ErrorContains(t, err, "{d}")
	_, err = ParseForm("{w}", "d")
	require.ErrorContains(t, err, "{d}")

	bottom := &run{Run: &duct.Run{Datum: duct.Bottom}, RunResult: &duct.RunResult{}}
	for _, c := range []struct {
		form   words.LevelForm
		inches bool
		want   string
	}{
		{words.LevelUsual, false, "BOD +3.30"}, {words.LevelMillimetres, false, "BOD +3300"},
		{words.LevelMetres, true, "BOD +3.30"},
		{words.LevelFeet, false, `BOD 10'-9 15/16"`}, // 3.3 m is 129.92 in, 129 15/16 to the sixteenth
	} {
		require.Equal(t, c.want, write(Spec{Forms: Forms{Level: c.form}, Inches: c.inches}).datum(bottom, 3.3))
	}

	for _, c := range []struct {
		unit words.FlowUnit
		step float64
		want string // of 380 m3/h: 105.556 L/s, 0.10556 m3/s, 223.66 cfm (1 ft = 0.3048 m)
	}{
		{words.Litres, 0, "106 L/s"}, {words.Litres, 5, "105 L/s"}, {words.MetresHour, 0, "380 m3/h"},
		{words.MetresSecond, 0, "0.106 m3/s"}, {words.CubicFeet, 0, "224 cfm"}, {words.CubicFeet, 10, "220 cfm"},
	} {
		w := write(Spec{Forms: Forms{FlowUnit: c.unit, FlowStep: c.step}})
		require.Equal(t, c.want, w.flow(380*duct.CubicMetrePerHour))
	}
	require.Empty(t, write(Spec{}).flow(0))
}

// Bottom and top are those of the sheet, with the lining inside: 500x400 lined with 25 mm is 450 mm high outside.
func TestElevationIsOfTheSheet(t *testing.T) {
	r := &run{Run: &duct.Run{Spec: duct.Spec{Lining: 0.025}}, RunResult: &duct.RunResult{Size: duct.RectOf(0.5, 0.4)}}
	levels := map[duct.Datum]string{duct.Centre: "CL +3.30", duct.Bottom: "BOD +3.075", duct.Top: "TOD +3.525"}
	for datum, want := range levels {
		r.Datum = datum
		require.Equal(t, want, write(Spec{}).datum(r, 3.3))
	}
}

// What settings ask labels to say, they say, each kind in its own lettering.
func TestLabelsSayWhatSettingsAsk(t *testing.T) {
	p := draw(t, duct.SUP, `
		duct L0 0.4,0 8.7,0 note 1,0 fixed=500x400 lined=25 material=spiral
		term T0 9,0 500`)
	p.des.Runs[0].Velocity = 2.52
	content := func(k shape.Letters, lines ...string) Content {
		c, err := ParseContent(k, lines)
		require.NoError(t, err)
		return c
	}
	p.spec.Letters[shape.SizeText] = Letters{Height: 0.0018,
		Content: content(shape.SizeText, "{width}/{height} {material}[ lined {lining}]", "{velocity}, {elevation}")}
	p.spec.Letters[shape.FlowText] = Letters{Height: 0.0035, Width: 0.8,
		Content: content(shape.FlowText, "{mark} {elevation}")}
	p.spec.Letters[shape.UnitText] = Letters{Content: content(shape.UnitText, "{mark}: {air} {flow}")}
	out, found := p.letter()
	_ = found
	say := map[string]shape.Text{}
	for _, s := range texts(out) {
		say[s.Value] = s
	}
	require.InDelta(t, 50*0.0018, say["500/400 spiral lined 25"].Height, 1e-9)
	require.Contains(t, say, "2.5 m/s, CL +3.00")
	require.InDelta(t, 50*0.0035, say["S-101 EL +3.00"].Height, 1e-9)
	require.Equal(t, shape.FlowText, say["S-101 EL +3.00"].Letters)
	require.InDelta(t, 50*0.0025, say["TB-1: SUP 500 L/s"].Height, 1e-9)
}

// A unit that heads two systems says the airflow of each, and its mark once.
func TestUnitOfTwoSystems(t *testing.T) {
	p := draw(t, duct.SUP, `
		duct L0 0.4,0 8.7,0
		term T0 9,0 500
		air ETA
		duct L1 -8.7,0 -0.4,0
		term T1 -9,0 400`)
	var lines []string
	out, _ := p.letter()
	for _, s := range out {
		if text, ok := s.Geom.(shape.Text); ok && text.Letters == shape.UnitText {
			lines = append(lines, text.Value)
		}
	}
	require.ElementsMatch(t, []string{"TB-1", "SUP 500 L/s", "ETA 400 L/s"}, lines)
}
