// Package words says quantities, sizes, places and names as a drawing office writes them: inch-pound units in inch
// drawings, SI units in metric ones. Findings, labels, explanations and reports all take their words from here.
package words

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// Words writes in the units of one drawing.
type Words struct {
	inches bool
	unit   duct.Length // one drawing unit, of places
}

// In returns the words of an inch drawing or of a metric one. Its places are in metres; see DrawnIn.
func In(inches bool) Words { return Words{inches: inches, unit: duct.Metre} }

// DrawnIn returns w with places in drawing units of that length, as the drafter's program shows them.
func (w Words) DrawnIn(unit duct.Length) Words {
	if unit > 0 {
		w.unit = unit
	}
	return w
}

// Inches reports whether w writes inch-pound units.
func (w Words) Inches() bool { return w.inches }

// Measure is how a quantity is written: the name of its unit, what one of that is in SI, and the decimals worth
// writing.
type Measure struct {
	Unit     string
	One      float64
	Decimals int
}

// Text writes v, which is in SI, with its unit and without zeros at the end.
func (m Measure) Text(v float64) string { return Decimal(v/m.One, m.Decimals) + " " + m.Unit }

// Apart writes two values that are not the same with as many decimals as it takes to see that.
func (m Measure) Apart(v, w float64) (string, string) {
	for most := m.Decimals + 4; m.Decimals < most && m.Text(v) == m.Text(w); m.Decimals++ {
	}
	return m.Text(v), m.Text(w)
}

// Fixed is Text with all its decimals, for columns.
func (m Measure) Fixed(v float64) string {
	return strconv.FormatFloat(v/m.One, 'f', m.Decimals, 64) + " " + m.Unit
}

// Measures are the units of a drawing.
type Measures struct {
	Length    Measure // of things: a gap, a radius, a thickness
	Distance  Measure // along ducts
	Thickness Measure // of sheet
	Area      Measure
	Mass      Measure
	Flow      Measure
	Velocity  Measure
	Pressure  Measure
	Rate      Measure
}

var (
	inchPound = Measures{
		Length:    Measure{"in", float64(duct.Inch), 2},
		Distance:  Measure{"ft", float64(duct.Foot), 1},
		Thickness: Measure{"in", float64(duct.Inch), 4},
		Area:      Measure{"ft²", float64(duct.Foot * duct.Foot), 1},
		Mass:      Measure{"lb", float64(duct.Pound), 1},
		Flow:      Measure{"cfm", float64(duct.CubicFootPerMinute), 0},
		Velocity:  Measure{"fpm", float64(duct.FootPerMinute), 0},
		Pressure:  Measure{"in.wg", float64(duct.InchOfWater), 3},
		Rate:      Measure{"in.wg/100ft", float64(duct.InchOfWaterPerHundredFeet), 3},
	}
	metric = Measures{
		Length:    Measure{"mm", float64(duct.Millimetre), 1},
		Distance:  Measure{"m", 1, 2},
		Thickness: Measure{"mm", float64(duct.Millimetre), 2},
		Area:      Measure{"m²", 1, 2},
		Mass:      Measure{"kg", float64(duct.Kilogram), 1},
		Flow:      Measure{"L/s", float64(duct.LitrePerSecond), 1},
		Velocity:  Measure{"m/s", 1, 2},
		Pressure:  Measure{"Pa", 1, 1},
		Rate:      Measure{"Pa/m", 1, 2},
	}
)

// Measures returns the units w writes in.
func (w Words) Measures() Measures {
	if w.inches {
		return inchPound
	}
	return metric
}

// Length writes the length of a thing as it was given: 250.5 mm, 9.86 in.
func (w Words) Length(l duct.Length) string { return w.Measures().Length.Text(float64(l)) }

// Rounded writes a length that was worked out, such as an overlap: to the whole millimetre, or as Length does in
// inches.
func (w Words) Rounded(l duct.Length) string {
	m := w.Measures().Length
	if !w.inches {
		m.Decimals = 0
	}
	return m.Text(float64(l))
}

// Distance writes a length along ducts: 12.5 m, 41 ft.
func (w Words) Distance(l duct.Length) string { return w.Measures().Distance.Text(float64(l)) }

// Flow writes an airflow.
func (w Words) Flow(q duct.Flow) string { return w.Measures().Flow.Text(float64(q)) }

// Velocity writes a velocity.
func (w Words) Velocity(v duct.Velocity) string { return w.Measures().Velocity.Text(float64(v)) }

// Pressure writes a pressure.
func (w Words) Pressure(p duct.Pressure) string { return w.Measures().Pressure.Text(float64(p)) }

// Rate writes a friction rate.
func (w Words) Rate(r duct.Rate) string { return w.Measures().Rate.Text(float64(r)) }

// Side writes a dimension as it is lettered on ducts: 250, 10".
func (w Words) Side(l duct.Length) string {
	if w.inches {
		return Decimal(float64(l/duct.Inch), inchPound.Length.Decimals) + `"`
	}
	return Decimal(float64(l/duct.Millimetre), metric.Length.Decimals)
}

// Size writes a size as it is lettered, width before height: ø315, 450x250, 22"x10" oval. One that is not known
// is "".
func (w Words) Size(s duct.Size) string {
	switch {
	case s.IsZero():
		return ""
	case s.Shape == duct.Round:
		return "ø" + w.Side(s.Width)
	case s.Shape == duct.Oval:
		return w.Side(s.Width) + "x" + w.Side(s.Height) + " oval"
	}
	return w.Side(s.Width) + "x" + w.Side(s.Height)
}

// eighth is the fraction of an inch elevations are rounded to in sentences, sixteenth in lettering; common practice.
const (
	eighth    = 8
	sixteenth = 16
)

// Level writes an elevation in a sentence: 3.300 m, or feet, inches and eighths.
func (w Words) Level(z duct.Length) string {
	if w.inches {
		return feet(z, eighth)
	}
	return strconv.FormatFloat(float64(z), 'f', 3, 64) + " m"
}

// LevelForm is how an elevation is lettered.
type LevelForm uint8

// The forms.
const (
	LevelUsual       LevelForm = iota // feet and inches in inch drawings, else metres
	LevelMetres                       // +3.30, +3.305
	LevelMillimetres                  // +3300
	LevelFeet                         // 10'-6 1/16"
)

// LevelAs writes an elevation as it is lettered: metres with a sign and two decimals, three where the millimetres ask
// for it, millimetres with a sign, or feet and inches with the fraction next to sixteenths.
func (w Words) LevelAs(form LevelForm, z duct.Length) string {
	if form == LevelUsual && w.inches {
		form = LevelFeet
	}
	mm := math.Round(float64(z / duct.Millimetre))
	switch {
	case form == LevelFeet:
		return feet(z, sixteenth)
	case form == LevelMillimetres:
		return fmt.Sprintf("%+.0f", mm+0) // no -0
	case math.Mod(mm, 10) != 0:
		return fmt.Sprintf("%+.3f", mm*float64(duct.Millimetre))
	}
	return fmt.Sprintf("%+.2f", mm*float64(duct.Millimetre)+0)
}

// mostFeet is the elevation in feet from which inches are no longer counted; no building comes near it.
const mostFeet = 1e9

// feet writes l in feet and inches, with a fraction of so many parts of an inch.
func feet(l duct.Length, parts int64) string {
	if v := float64(l / duct.Foot); math.Abs(v) > mostFeet || math.IsNaN(v) {
		return Decimal(v, 0) + "'"
	}
	sign, n := "", int64(math.Round(float64(l/duct.Inch)*float64(parts)))
	if n < 0 {
		sign, n = "-", -n
	}
	text := fmt.Sprintf("%s%d'-%d", sign, n/(12*parts), n/parts%12)
	if f := n % parts; f != 0 {
		for f%2 == 0 {
			f, parts = f/2, parts/2
		}
		text += fmt.Sprintf(" %d/%d", f, parts)
	}
	return text + `"`
}

// Coordinate writes one coordinate of a place, in drawing units.
func (w Words) Coordinate(metres float64) string {
	return Decimal(metres/float64(w.unit), coordinateDecimals)
}

// coordinateDecimals are enough for a drawing in metres to be given to the millimetre.
const coordinateDecimals = 3

// Place writes a place in plan, in drawing units.
func (w Words) Place(p geom.Vec) string {
	return "(" + w.Coordinate(p.X) + ", " + w.Coordinate(p.Y) + ")"
}

// Decimal writes v with at most that many decimals and no zeros at the end.
func Decimal(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// Run is what a run is called, in everything printed and in JSON.
func Run(id duct.RunID) string { return "r" + strconv.Itoa(int(id)+1) }

// Node is what a node is called, likewise.
func Node(id duct.NodeID) string { return "n" + strconv.Itoa(int(id)+1) }

// Unit is what a unit is called in a sentence, by its mark.
func Unit(mark string) string { return marked("unit", mark) }

// Terminal is what a terminal is called in a sentence, by its mark.
func Terminal(mark string) string { return marked("terminal", mark) }

func marked(what, mark string) string {
	if mark == "" {
		return "a " + what + " without a mark"
	}
	return what + " " + mark
}

// Capital makes the first letter of s a capital.
func Capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// Sentence makes s one: with a capital and a full stop.
func Sentence(s string) string { return Capital(s) + "." }

// Count writes how many there are of something: 1 layer, 3 layers. A plural that is not the word with an s is given.
func Count(n int, one string, many ...string) string {
	switch {
	case n == 1:
		return "1 " + one
	case len(many) > 0:
		return fmt.Sprintf("%d %s", n, many[0])
	}
	return fmt.Sprintf("%d %ss", n, one)
}
