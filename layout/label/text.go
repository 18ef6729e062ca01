package label

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"twinline/layout/duct"
	"twinline/layout/shape"
)

// lineStep is from one line of a label to the next, to the height of capitals.
const lineStep = 1.6

// lettering is the text of one label, line by line, and how large it is.
type lettering struct {
	lines  []string
	height float64 // of capitals
	factor float64 // width factor of the text style
}

// size returns the width and height of the box of t.
func (t lettering) size() (w, h float64) {
	for _, line := range t.lines {
		w = math.Max(w, shape.LetterWidths(line))
	}
	return w * t.height * t.factor, (shape.LineBox + lineStep*float64(len(t.lines)-1)) * t.height
}

// decimal prints v rounded to at most places decimals, without zeros at its end.
func decimal(v float64, places int) string {
	s := strconv.FormatFloat(v, 'f', places, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// lengthText prints a duct dimension: millimetres, or inches with their mark.
func lengthText(l duct.Length, inches bool) string {
	if inches {
		return decimal(float64(l/duct.Inch), 2) + `"`
	}
	return decimal(float64(l/duct.Millimetre), 1)
}

// sizeText prints a size as ducts are lettered: width before height.
func (f Forms) sizeText(s duct.Size, inches bool) string {
	side := func(l duct.Length) string {
		text := lengthText(l, inches)
		if f.PlainInches {
			text = strings.TrimSuffix(text, `"`)
		}
		return text
	}
	w, h := side(s.Width), side(s.Height)
	get := func(field string) string {
		if field == "h" {
			return h
		}
		return w
	}
	switch s.Shape {
	case duct.Rect:
		return f.Rect.or(w+"x"+h, get)
	case duct.Oval:
		return f.Oval.or(w+"x"+h+" oval", get)
	}
	return f.Round.or("Ø"+w, get)
}

// coverText prints a thickness of lining or insulation with a word before it, "" where there is none.
func coverText(word string, thickness duct.Length, inches bool) string {
	if !(thickness > 0) {
		return ""
	}
	return strings.TrimSpace(word + " " + lengthText(thickness, inches))
}

// inchSixteenths is the finest fraction of an inch an elevation is lettered in.
const inchSixteenths = 16

// datumText prints an elevation with the word for what it is of.
func (f Forms) datumText(z float64, datum duct.Datum, inches bool) string {
	return [...]string{duct.Centre: "CL", duct.Bottom: "BOD", duct.Top: "TOD"}[datum] + " " + f.levelText(z, inches)
}

// levelText prints an elevation: metres with a sign and two decimals, three where the millimetres ask for it, millimetres with
// a sign, or feet and inches with the fraction next to sixteenths.
func (f Forms) levelText(z float64, inches bool) string {
	form := f.Level
	if form == LevelUsual {
		form = LevelMetres
		if inches {
			form = LevelFeet
		}
	}
	switch form {
	case LevelMetres:
		mm := math.Round(z / float64(duct.Millimetre))
		if mm == 0 {
			return "+0.00"
		}
		if math.Mod(mm, 10) != 0 {
			return fmt.Sprintf("%+.3f", mm*float64(duct.Millimetre))
		}
		return fmt.Sprintf("%+.2f", mm*float64(duct.Millimetre))
	case LevelMillimetres:
		if s := fmt.Sprintf("%+.0f", z/float64(duct.Millimetre)); s != "-0" {
			return s
		}
		return "+0"
	}
	sign := ""
	n := int(math.Round(z / float64(duct.Inch) * inchSixteenths))
	if n < 0 {
		sign, n = "-", -n
	}
	feet, inch, part := n/(12*inchSixteenths), n/inchSixteenths%12, n%inchSixteenths
	text := fmt.Sprintf("%s%d'-%d", sign, feet, inch)
	if part > 0 {
		of := inchSixteenths
		for part%2 == 0 {
			part, of = part/2, of/2
		}
		text += fmt.Sprintf(" %d/%d", part, of)
	}
	return text + `"`
}

// datumHeight returns the elevation of the datum of r where its centreline is at z. Bottom
// and top are those of the sheet, with the lining inside.
func datumHeight(r *duct.Run, s duct.Size, z float64) float64 {
	switch r.Datum {
	case duct.Bottom:
		return z - float64(s.Height)/2 - float64(r.Spec.Lining)
	case duct.Top:
		return z + float64(s.Height)/2 + float64(r.Spec.Lining)
	}
	return z
}

// flowUnit is a unit airflows are lettered in.
type flowUnit struct {
	name   string
	unit   duct.Flow
	places int // decimals a drafter would type in it
}

var (
	cubicFeet   = flowUnit{"cfm", duct.CubicFootPerMinute, 0}
	litres      = flowUnit{"L/s", duct.LitrePerSecond, 1}
	cubicMetres = flowUnit{"m3/h", duct.CubicMetrePerHour, 0}
	perSecond   = flowUnit{"m3/s", 1, 3}
)

// flowUnitOf returns the unit of all airflows of a drawing: that of the drawing's units, but
// where the terminals' flows are round numbers only in another unit, they were given in
// that one and are lettered as they were given.
func flowUnitOf(net *duct.Network, inches bool) flowUnit {
	order := []flowUnit{litres, cubicMetres, cubicFeet}
	if inches {
		order = []flowUnit{cubicFeet, litres, cubicMetres}
	}
	for _, u := range order {
		round := true
		for i := range net.Terminals {
			round = round && u.exact(net.Terminals[i].Flow, u.places)
		}
		if round {
			return u
		}
	}
	return order[0]
}

// flowUnit returns the unit airflows are lettered in.
func (f Forms) flowUnit(net *duct.Network, inches bool) flowUnit {
	switch f.FlowUnit {
	case FlowLitres:
		return litres
	case FlowCubicMetresHour:
		return cubicMetres
	case FlowCubicMetresSecond:
		return perSecond
	case FlowCubicFeet:
		return cubicFeet
	}
	return flowUnitOf(net, inches)
}

// flowNoise is the relative error a flow may have picked up by being turned into SI units
// and added up.
const flowNoise = 5e-7

// exact reports whether q has no more decimals than that in u.
func (u flowUnit) exact(q duct.Flow, places int) bool {
	v := float64(q / u.unit)
	k := math.Pow10(places)
	return math.Abs(math.Round(v*k)/k-v) <= flowNoise*math.Abs(v)
}

// exactPlaces is the number of decimals of a flow that is kept as it was given.
const exactPlaces = 3

// stepped prints q rounded to the next of step.
func (u flowUnit) stepped(q duct.Flow, step float64) string {
	if !(step > 0) {
		return u.text(q)
	}
	return decimal(math.Round(float64(q/u.unit)/step)*step, exactPlaces) + " " + u.name
}

// text prints q: as given where it has few decimals, else rounded to three figures or whole numbers.
func (u flowUnit) text(q duct.Flow) string {
	v := float64(q / u.unit)
	places := 0
	if u.unit == perSecond.unit {
		return decimal(v, exactPlaces) + " " + u.name
	}
	switch a := math.Abs(v); {
	case u.exact(q, exactPlaces):
		places = exactPlaces
	case a < 10:
		places = 2
	case a < 100:
		places = 1
	}
	return decimal(v, places) + " " + u.name
}
