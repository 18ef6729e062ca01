package sketch

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
)

// say writes parts in the short words of the tables below: lengths in millimetres, flows in
// litres a second, pressures in pascals.
func say(parts []part) string {
	var out []string
	mm := func(l duct.Length) string {
		return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", float64(l/duct.Millimetre)), "0"), ".")
	}
	for _, p := range parts {
		var s string
		v, run := p.value, p.value.run
		switch p.topic {
		case mark:
			s = "mark " + v.mark
		case airflow:
			s = fmt.Sprintf("flow %.2f", float64(v.flow/duct.LitrePerSecond))
		case size:
			s = fmt.Sprintf("%s %sx%s", run.Fixed.Shape, mm(run.Fixed.Width), mm(run.Fixed.Height))
		case heightLimit:
			s = "height limit " + mm(run.MaxHeight)
		case lining:
			s = "lining " + mm(run.Lining)
		case insulation:
			s = "insulation " + mm(run.Insulation)
		case ductShape:
			s = "shape " + run.Shape.String()
		case elevation:
			s = [...]string{"centre", "bottom", "top"}[v.datum] + " " + mm(v.level)
		case straightSide:
			s = "flat " + [...]string{"", "left", "right", "top", "bottom"}[run.Flat]
		case pressure:
			s = fmt.Sprintf("pressure %.2f", float64(v.pressure))
		case material:
			s = "material " + run.Material
		case single:
			s = "single"
		case lossCoefficient:
			s = fmt.Sprintf("C %g", run.C)
		}
		out = append(out, s)
	}
	return strings.Join(out, ", ")
}

// notesIn is the grammar of notes in a drawing of that unit.
func notesIn(unit duct.Length) grammar { return grammar{unit: unit, topics: noteTopics} }

// Every form of the table of notes, and the ways it may be written.
// The numbers follow from the exact sizes of the units: 25.4 mm the inch, 304.8 mm the foot,
// 0.4719474 L/s the cfm, 249.0889 Pa the inch of water (NIST SP 811, B.8).
func TestNoteForms(t *testing.T) {
	const any, mm, in, ft, m = 0, duct.Millimetre, duct.Inch, duct.Foot, duct.Metre
	for _, c := range []struct {
		unit duct.Length // any: the form does not depend on it
		text string
		want string
	}{
		// mark
		{any, "S-101", "mark S-101"}, {any, "E2", "mark E2"}, {any, "TB-4", "mark TB-4"},
		{any, "s-101a", "mark s-101a"},
		{any, "AHU-3", "mark AHU-3"}, {any, "TB-2-04", "mark TB-2-04"}, {any, "EL-1", "mark EL-1"},
		{any, "INS-2", "mark INS-2"},
		{any, "Ü7", "mark Ü7"}, {any, "H250", "mark H250"}, {any, "X1 X2", "mark X1, mark X2"},
		{any, "S-1.01", "mark S-1.01"},
		// airflow
		{any, "220 cfm", "flow 103.83"}, {any, "220cfm", "flow 103.83"}, {any, "220 CFM", "flow 103.83"},
		{any, "105 L/s", "flow 105.00"},
		{any, "105l/s", "flow 105.00"}, {any, "380 m3/h", "flow 105.56"}, {any, "380m³/h", "flow 105.56"},
		{any, "0.11 m3/s", "flow 110.00"},
		{any, "0,11 m3/s", "flow 110.00"}, {any, "105.5 L/s", "flow 105.50"},
		// size, round
		{mm, "ø250", "round 250x250"}, {mm, "Ø250", "round 250x250"}, {mm, "⌀ 250", "round 250x250"},
		{mm, "%%c250", "round 250x250"},
		{mm, "%%C250", "round 250x250"}, {any, `10" dia`, "round 254x254"}, {any, `10"dia.`, "round 254x254"},
		{any, `ø10"`, "round 254x254"},
		{mm, "250 dia", "round 250x250"}, {mm, "250dia", "round 250x250"}, {mm, "dia 250", "round 250x250"},
		{mm, "250ø", "round 250x250"},
		{any, "250 mm dia", "round 250x250"}, {any, "10 in. dia", "round 254x254"}, {in, "ø10", "round 254x254"},
		{ft, `ø10"`, "round 254x254"},
		{m, "ø0.25", "round 250x250"}, {m, "ø0,25", "round 250x250"}, {ft, "ø0.5", "round 152.4x152.4"},
		{any, `ø10 1/2"`, "round 266.7x266.7"},
		// size, rectangular
		{mm, "450x250", "rect 450x250"}, {mm, "450×250", "rect 450x250"}, {mm, "450X250", "rect 450x250"},
		{mm, "450 x 250", "rect 450x250"},
		{in, "18x10", "rect 457.2x254"}, {any, `18"x10"`, "rect 457.2x254"}, {mm, `18x10"`, "rect 457.2x254"},
		{mm, `18"x10`, "rect 457.2x254"},
		{any, "450x250mm", "rect 450x250"}, {any, "450mmx250mm", "rect 450x250"}, {any, "18inx10in", "rect 457.2x254"},
		{any, `18 1/2"x10"`, "rect 469.9x254"}, {any, `1'-6"x10"`, "rect 457.2x254"}, {m, "0.45x0.25", "rect 450x250"},
		{ft, "1.5x1", "rect 457.2x304.8"},
		// size, flat oval
		{in, "22x10 oval", "oval 558.8x254"}, {in, "oval 22x10", "oval 558.8x254"},
		{any, `22"x10" OVAL`, "oval 558.8x254"},
		// height limit
		{mm, "H<=250", "height limit 250"}, {any, `H<=10"`, "height limit 254"}, {mm, "H≤250", "height limit 250"},
		{mm, "h <= 250", "height limit 250"},
		{mm, "H=<250", "height limit 250"}, {mm, "H<250", "height limit 250"}, {any, "H<= 10 in", "height limit 254"},
		// shape
		{any, "round", "shape round"}, {any, "RECT", "shape rect"}, {any, "rectangular", "shape rect"},
		{any, "oval", "shape oval"},
		// elevation
		{m, "CL +3.30", "centre 3300"}, {m, "CL +3,30", "centre 3300"}, {any, "CL +3.30 m", "centre 3300"},
		{mm, "CL 3300", "centre 3300"},
		{mm, "CL+3300", "centre 3300"}, {any, `BOD 10'-6"`, "bottom 3200.4"}, {any, `bod10'-6"`, "bottom 3200.4"},
		{any, `TOD 11'-4"`, "top 3454.4"},
		{any, `EL 9'-0"`, "centre 2743.2"}, {any, `EL=9'`, "centre 2743.2"}, {any, `EL: 9'-0 1/2"`, "centre 2755.9"},
		{ft, "EL 9.5", "centre 2895.6"},
		{m, "EL -1.20", "centre -1200"}, {m, "EL ±0.00", "centre 0"}, {m, "EL %%p0.00", "centre 0"},
		{in, "CL 126", "centre 3200.4"},
		// straight side
		{any, "flat left", "flat left"}, {any, "FLAT  RIGHT", "flat right"}, {any, "FOT", "flat top"},
		{any, "fob", "flat bottom"}, {any, "flat on top", "flat top"},
		// drawn single-line
		{any, "single", "single"},
		// lining, insulation
		{any, `lined 1"`, "lining 25.4"}, {any, `LINED 1 in`, "lining 25.4"}, {mm, "insul 50", "insulation 50"},
		{mm, "insul. 50", "insulation 50"},
		{mm, "insulation 50", "insulation 50"}, {any, `lined 1/2"`, "lining 12.7"},
		{any, "insul 1 1/2 in", "insulation 38.1"},
		// pressure
		{any, "0.6 in.wg", "pressure 149.45"}, {any, "0.6 in wg", "pressure 149.45"},
		{any, `0.6"wg`, "pressure 149.45"}, {any, "150 Pa", "pressure 150.00"},
		{any, "150Pa", "pressure 150.00"}, {any, "0.15 kPa", "pressure 150.00"}, {any, "0,5 Pa", "pressure 0.50"},
		// material
		{any, "galvanised", "material galvanised"}, {any, "PVC", "material plastic"},
		// loss coefficient
		{any, "C=0.35", "C 0.35"}, {any, "c = 0,35", "C 0.35"}, {any, "C=-0.1", "C -0.1"},
		{mm, "ø250 C=0", "round 250x250, C 0"},
		{any, "C-3", "mark C-3"}, {any, "C3", "mark C3"},
		// several
		{any, "S-101 220 cfm", "mark S-101, flow 103.83"}, {any, "S-101\n220\ncfm", "mark S-101, flow 103.83"},
		{any, "S-101/220cfm", "mark S-101, flow 103.83"},
		{any, "S-101 - 220 cfm", "mark S-101, flow 103.83"},
		{any, "S-101, 220 cfm; 12 Pa", "mark S-101, flow 103.83, pressure 12.00"},
		{mm, "rect H<=250 CL 3300 lined 25", "shape rect, height limit 250, centre 3300, lining 25"},
		{mm, "450x250 rect", "rect 450x250, shape rect"},
		{mm, "X1 180 L/s 40 Pa", "mark X1, flow 180.00, pressure 40.00"},
		{any, `18"x10" BOD 10'-6" flat left`, "rect 457.2x254, bottom 3200.4, flat left"},
		{any, "", ""}, {any, "  \n\t ", ""}, {any, "/", ""},
	} {
		units := []duct.Length{c.unit}
		if c.unit == any {
			units = []duct.Length{mm, duct.Centimetre, m, in, ft}
		}
		for _, u := range units {
			parts, faults := notesIn(u).parse(c.text)
			require.Empty(t, faults, "%q in units of %v", c.text, u)
			require.Equal(t, c.want, say(parts), "%q in units of %v", c.text, u)
		}
	}
}

// Malformed notes: what is wrong, what is still read, and what is proposed.
func TestNoteFaults(t *testing.T) {
	const mm, in, ft, m = duct.Millimetre, duct.Inch, duct.Foot, duct.Metre
	for _, c := range []struct {
		unit    duct.Length
		text    string
		unknown bool
		fault   string // part of what is wrong
		do      string // part of what to do
		left    string
	}{
		// values that cannot be
		{mm, "-220 cfm", false, "The airflow in", "Correct", ""},
		{mm, "0 cfm", false, "The airflow in", "Correct", ""},
		{mm, "S-101 −5 L/s", false, "The airflow in", "", "mark S-101"},
		{mm, "ø0", false, "The size in", "", ""},
		{mm, "ø-250", false, "The size in", "", ""},
		{mm, "450x-250", false, "The size in", "", ""},
		{mm, "450x0", false, "The size in", "", ""},
		{mm, "H<=0", false, "The height limit in", "", ""},
		{mm, "H<=-250", false, "The height limit in", "", ""},
		{mm, "lined 0", false, "The lining in", "", ""},
		{mm, "insul -50", false, "The insulation in", "", ""},
		{mm, "-10 Pa", false, "The pressure in", "", ""},
		{mm, "lined", false, `"lined" says no thickness`, "lined 25", ""},
		{mm, "insul round", false, `"insul" says no thickness`, "", "shape round"},
		{mm, "1,200 cfm", false, "1,200 can mean 1.200 or 1200", "Correct", ""},
		{mm, "1.2.3 cfm", false, "two decimal points", "", ""},
		{mm, "99999999999 cfm", false, "too large a number", "", ""},
		// values in another unit than the drawing's
		{mm, "CL +3.30", false, "3.3 mm above zero", "with its unit", ""},
		{mm, "EL 2.7", false, "2.7 mm above zero", "with its unit", ""},
		{mm, "18x10", false, "18 mm", "with its unit", ""},
		{in, "450x250", false, "450 in", "with its unit", ""},
		{in, "ø315", false, "315 in", "with its unit", ""},
		{ft, "18x10", false, "no unit and would be in feet", "inches", ""},
		{ft, "ø10", false, "no unit and would be in feet", "inches", ""},
		{ft, "H<=10", false, "no unit and would be in feet", "inches", ""},
		{m, "ø250", false, "no unit and would be in metres", "millimetres", ""},
		{m, "450x250", false, "no unit and would be in metres", "millimetres", ""},
		{m, "insul 50", false, "50000 mm", "with its unit", ""},
		{m, "CL 3300", false, "3300000 mm", "with its unit", ""},
		{mm, "round 450x250", false, "contradict", "out of the text", "rect 450x250"},
		{mm, "rect ø250", false, "contradict", "out of the text", "round 250x250"},
		{mm, "oval ø250", false, "contradict", "out of the text", "round 250x250"},
		// words no rule knows
		{mm, "hello", true, `"hello"`, "Write what the convention knows", ""},
		{mm, "rond", true, `"rond"`, `"round"`, ""},
		{mm, "singel", true, `"singel"`, `"single"`, ""},
		{mm, "flat", true, `"flat"`, "flat left", ""},
		{mm, "lned", true, `"lned"`, "lined 25", ""},
		{mm, "BOP", true, `"BOP"`, "BOD 3200", ""},
		{mm, "250", true, `"250"`, "ø250 for a round duct, CL 250", ""},
		{mm, "9'-0\" single", true, `9'-0"`, "Say what it is", "single"},
		{mm, "CL", true, `"CL"`, "CL 3300", ""},
		{mm, "220 cmf", true, `"220 cmf"`, `"220 cfm"`, ""},
		{mm, "S-101 220 cmf", true, `"220 cmf"`, `"220 cfm"`, "mark S-101"},
		{mm, "105 Ls", true, `"105 Ls"`, `"105 L/s"`, ""},
		{mm, "600x300x1200", true, `600x300x1200`, "Write", ""},
		{mm, "H>=250", true, `"H>=250"`, "H<=250", ""},
		{mm, "???", true, `"???"`, "Write", ""},
		{mm, "\xff\xfe", true, `"`, "", ""},
	} {
		parts, faults := notesIn(c.unit).parse(c.text)
		require.Len(t, faults, 1, "%q: %v", c.text, faults)
		require.Equal(t, c.unknown, faults[0].unknown, c.text)
		require.Contains(t, faults[0].text, c.fault, c.text)
		require.Contains(t, faults[0].do, c.do, c.text)
		require.Equal(t, c.left, say(parts), c.text)
	}
}

// phrases that can stand in any order in one text.
var phrases = []string{"S-101", "220 cfm", `18"x10"`, "H<=250 mm", "rect", `BOD 10'-6"`, "flat left", "single",
	`lined 1"`, "insul 50 mm",
	"150 Pa", "galvanised", "hello", "-5 L/s", "0.6 in.wg", "FOT", `10" dia`, "CL +3.30 m", "oval"}

func TestOrderOfWordsDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOfNDistinct(rapid.SampledFrom(phrases), 1, 6, rapid.ID[string]).Draw(t, "phrases")
		other := rapid.Permutation(list).Draw(t, "order")
		sep := rapid.SampledFrom([]string{" ", "\n", ", ", " / "}).Draw(t, "sep")
		sorted := func(text string) (out []string) {
			parts, faults := notesIn(duct.Millimetre).parse(text)
			for _, p := range parts {
				out = append(out, say([]part{p}))
			}
			for _, f := range faults {
				out = append(out, f.text)
			}
			slices.Sort(out)
			return out
		}
		require.Equal(t, sorted(strings.Join(list, " ")), sorted(strings.Join(other, sep)))
	})
}

// No text makes the reader of notes panic, hang, or keep a value that cannot be.
func FuzzNote(f *testing.F) {
	for _, p := range phrases {
		f.Add(p)
	}
	f.Add(strings.Join(phrases, " "))
	f.Add("ø\xff 450xx250 H<=<=5 CL CL CL +-3 dia dia 1/0 %%c%%c")
	f.Fuzz(func(t *testing.T, text string) {
		for _, unit := range []duct.Length{duct.Millimetre, duct.Inch, duct.Foot, duct.Metre} {
			parts, faults := notesIn(unit).parse(text)
			for _, p := range parts {
				if p.topic.amounts != nil && !p.topic.signed {
					for _, v := range p.topic.amounts(p.value) {
						require.Positive(t, v)
					}
				}
				require.False(t, p.topic == mark && p.value.mark == "")
			}
			for _, x := range faults {
				require.NotEmpty(t, x.text)
				require.NotEmpty(t, x.do)
				require.NotContains(t, x.text, "%!")
			}
			require.LessOrEqual(t, len(parts)+len(faults), longestNote+1)
		}
	})
}
