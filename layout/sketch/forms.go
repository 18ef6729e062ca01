package sketch

import (
	"fmt"
	"regexp"
	"strings"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/words"
)

// What reads the forms of the table of notes. Each returns what follows, or errNot, or a fault, whose words end before
// what follows.
type (
	reader   func(unit duct.Length, s string) (v value, rest string, err error)
	follower func(unit duct.Length, v value, s string) (out value, rest string, err error) // after a word
)

// nothingAfter lets a word end there, or with a point.
func nothingAfter(_ duct.Length, v value, s string) (value, string, error) {
	if strings.HasPrefix(s, ".") && ends(s[1:]) {
		s = s[1:]
	}
	return v, s, nil
}

// length reads a length at the front of s; a bare number is in drawing units.
func length(unit duct.Length, s string) (v duct.Length, bare bool, rest string, ok bool) {
	if v, rest, err := duct.CutLength(s); err == nil {
		return v, false, rest, true
	}
	n, rest, err := duct.CutNumber(s)
	if err != nil {
		return 0, false, s, false
	}
	return duct.Length(n) * unit, true, rest, true
}

var markForm = regexp.MustCompile(`^\p{L}{1,8}(-?[0-9]{1,8})([.-][0-9]{1,8}){0,3}\p{L}?`)

// markHere reads a letter group, an optional hyphen, digits, and an optional letter. More
// groups of digits may follow, as in TB-2-04.
func markHere(_ duct.Length, s string) (value, string, error) {
	m := markForm.FindString(s)
	if m == "" {
		return value{}, s, errNot
	}
	return value{mark: m}, s[len(m):], nil
}

// isMark reports whether a word with a hyphen right after it is a mark: EL-1. A number with decimals is not that of a
// mark where it may be negative: EL-1.20.
func isMark(s string, signed bool) bool {
	m := markForm.FindString(s)
	return m != "" && !strings.HasPrefix(m, diameterSign) && ends(s[len(m):]) && !(signed && strings.Contains(m, "."))
}

// shortLevel is the elevation under which a bare number with decimals, in a drawing in
// millimetres, was meant in metres.
const shortLevel = 100 * duct.Millimetre

// levelAfter reads the elevation after CL, EL, BOD or TOD.
func levelAfter(unit duct.Length, v value, s string) (value, string, error) {
	s = strings.TrimLeft(s, " =:")
	l, bare, rest, ok := length(unit, s)
	if !ok {
		return v, s, errNot
	}
	written := s[:len(s)-len(rest)]
	if bare && unit == duct.Millimetre && strings.ContainsAny(written, ".,") && l < shortLevel && l > -shortLevel &&
		l != 0 {
		// Written in metres by habit: taken at its word it would be next to the floor.
		return v, rest, &fault{text: "%s would be " + words.In(false).Length(l) + " above zero in this drawing.",
			do: "Write the elevation with its unit, or in millimetres."}
	}
	v.level = l
	return v, rest, nil
}

// limitAfter reads the height limit after H.
func limitAfter(unit duct.Length, v value, s string) (value, string, error) {
	s = strings.TrimLeft(s, " ")
	after, ok := strings.CutPrefix(s, "<")
	l, bare, rest, number := length(unit, strings.TrimPrefix(after, "="))
	switch {
	case !ok || !number:
		return v, s, errNot
	case bare && coarse(unit, l):
		return v, rest, coarseFault(unit)
	}
	v.run.MaxHeight = l
	return v, rest, nil
}

// mostC bounds a loss coefficient: that of a damper all but shut.
const mostC = 1000

// coefficientAfter reads the loss coefficient after C. It may be negative, as where one stream draws another along.
func coefficientAfter(_ duct.Length, v value, s string) (value, string, error) {
	after, ok := strings.CutPrefix(strings.TrimLeft(s, " "), "=")
	c, rest, err := duct.CutNumber(strings.TrimLeft(after, " "))
	switch {
	case !ok || err != nil:
		return v, s, errNot
	case c > mostC || c < -mostC:
		return v, rest, &fault{text: "%s is no loss coefficient.", do: "Write one such as C=0.35."}
	}
	v.run.C, v.run.HasC = c, true
	return v, rest, nil
}

// coarseMost is the side of a duct, in feet or metres, from which a bare number in a drawing
// with that unit is taken for inches or millimetres by most readers.
const coarseMost = 4

// coarse reports whether a bare size in a drawing in feet or metres is too large to be meant so.
func coarse(unit, v duct.Length) bool {
	return (unit == duct.Foot || unit == duct.Metre) && v >= coarseMost*unit
}

// coarseFault reports a bare number that is likely in another unit.
func coarseFault(unit duct.Length) *fault {
	name, other := "feet", "inches"
	if unit == duct.Metre {
		name, other = "metres", "millimetres"
	}
	return &fault{text: "The size in %s has no unit and would be in " + name + ", the unit of the drawing.",
		do: fmt.Sprintf("Write it with its unit, such as %s.", other)}
}

// thickness reads that of a lining or an insulation, after its word and maybe a point.
func thickness(unit duct.Length, s string, form example) (duct.Length, string, error) {
	s = strings.TrimPrefix(s, ".")
	l, _, rest, ok := length(unit, strings.TrimLeft(s, " =:"))
	if !ok {
		return 0, s, &fault{text: "%s says no thickness.", do: "Write it like " + form.in(unit) + "."}
	}
	return l, rest, nil
}

func liningAfter(unit duct.Length, v value, s string) (_ value, rest string, err error) {
	v.run.Lining, rest, err = thickness(unit, s, liningForm)
	return v, rest, err
}

func insulationAfter(unit duct.Length, v value, s string) (_ value, rest string, err error) {
	v.run.Insulation, rest, err = thickness(unit, s, insulationForm)
	return v, rest, err
}

const diameterSign = "ø"

// diameterWords stand before or after a diameter.
var diameterWords = []word{{text: diameterSign}, {text: "dia"}, {text: "diameter"}}

// diameterAfter reads the diameter after ø or dia.
func diameterAfter(unit duct.Length, v value, s string) (value, string, error) {
	l, bare, rest, ok := length(unit, strings.TrimLeft(strings.TrimPrefix(s, "."), " "))
	switch {
	case !ok:
		return v, s, errNot
	case bare && coarse(unit, l):
		return v, rest, coarseFault(unit)
	}
	v.run.Fixed = duct.RoundOf(l)
	return v, rest, nil
}

// diameterBefore reads a diameter with ø or dia after it.
func diameterBefore(unit duct.Length, s string) (value, string, error) {
	l, bare, rest, ok := length(unit, s)
	if !ok {
		return value{}, s, errNot
	}
	rest = strings.TrimLeft(rest, " ")
	for _, w := range diameterWords {
		after, found := cutPhrase(rest, w.text)
		if !found {
			continue
		}
		after = strings.TrimPrefix(after, ".")
		if bare && coarse(unit, l) {
			return value{}, after, coarseFault(unit)
		}
		return value{run: duct.Spec{Fixed: duct.RoundOf(l)}}, after, nil
	}
	return value{}, s, errNot
}

// sides reads width x height. Where one side alone has a unit it is that of both.
func sides(unit duct.Length, s string) (v value, rest string, err error) {
	w, bareW, rest, ok := length(unit, s)
	rest = strings.TrimLeft(rest, " ")
	if !ok || rest == "" || rest[0] != 'x' && rest[0] != 'X' {
		return v, s, errNot
	}
	second := strings.TrimLeft(rest[1:], " ")
	h, bareH, rest, ok := length(unit, second)
	switch {
	case !ok:
		return v, s, errNot
	case bareW && !bareH:
		w = w / unit * unitOf(second, h)
	case bareH && !bareW:
		h = h / unit * unitOf(s, w)
	case bareW && (coarse(unit, w) || coarse(unit, h)):
		return v, rest, coarseFault(unit)
	}
	v.run.Fixed = duct.RectOf(w, h)
	return v, rest, nil
}

// unitOf returns the unit of v, read from the front of s. Of feet and inches it is the inch.
func unitOf(s string, v duct.Length) duct.Length {
	n, _, err := duct.CutNumber(s)
	if err != nil || n == 0 {
		return duct.Metre
	}
	u := v / duct.Length(n)
	for _, known := range []duct.Length{duct.Millimetre, duct.Centimetre, duct.Inch, duct.Foot, duct.Metre} {
		if d := u/known - 1; d < geom.Same && d > -geom.Same {
			return known
		}
	}
	return duct.Inch
}

func flowHere(_ duct.Length, s string) (value, string, error) {
	q, rest, err := duct.CutFlow(s)
	if err != nil {
		return value{}, s, errNot
	}
	return value{flow: q}, rest, nil
}

func pressureHere(_ duct.Length, s string) (value, string, error) {
	p, rest, err := duct.CutPressure(s)
	if err != nil {
		return value{}, s, errNot
	}
	return value{pressure: p}, rest, nil
}
