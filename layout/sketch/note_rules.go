package sketch

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

var markForm = regexp.MustCompile(`^\p{L}{1,8}(-?[0-9]{1,8})([.-][0-9]{1,8}){0,3}\p{L}?`)

// markRule reads a letter group, an optional hyphen, digits, and an optional letter. More
// groups of digits may follow, as in TB-2-04.
func markRule(_ *noteParser, s string) (part, string, bool) {
	m := markForm.FindString(s)
	return part{topic: aboutMark, mark: m}, s[len(m):], m != ""
}

var levelWords = map[string]duct.Datum{"cl": duct.Centre, "el": duct.Centre, "bod": duct.Bottom, "tod": duct.Top}

// levelRule reads CL, EL, BOD or TOD and an elevation. A hyphen that stands right after the
// word, with whole digits, makes it a mark: EL-1.
func levelRule(p *noteParser, s string) (part, string, bool) {
	w, rest, ok := keyword(s, "bod", "tod", "cl", "el")
	if !ok {
		return part{}, s, false
	}
	if m := markForm.FindString(s); strings.HasPrefix(rest, "-") && m != "" && ends(s[len(m):]) && !strings.Contains(m, ".") {
		return part{}, s, false
	}
	rest = strings.TrimLeft(rest, " =:")
	v, bare, rest, ok := p.length(rest)
	if !ok {
		return part{}, s, false
	}
	text := strings.TrimSpace(s[:len(s)-len(rest)])
	if bare && p.unit == duct.Millimetre && strings.ContainsAny(text, ".,") && v < shortLevel && v > -shortLevel && v != 0 {
		// Written in metres by habit: taken at its word it would be next to the floor.
		p.fail(fmt.Sprintf("%s would be %s above zero in this drawing.", quote(text), v.Text(false)),
			"Write the elevation with its unit, or in millimetres.")
		return part{topic: topics}, rest, true
	}
	return part{topic: aboutLevel, length: v, datum: levelWords[w], centre: w == "cl"}, rest, true
}

// shortLevel is the elevation under which a bare number with decimals, in a drawing in
// millimetres, was meant in metres.
const shortLevel = 100 * duct.Millimetre

// heightRule reads H<=250.
func heightRule(p *noteParser, s string) (part, string, bool) {
	_, rest, ok := keyword(s, "h")
	if !ok {
		return part{}, s, false
	}
	rest = strings.TrimLeft(rest, " ")
	after, ok := strings.CutPrefix(rest, "<=")
	if !ok {
		if after, ok = strings.CutPrefix(rest, "<"); !ok {
			return part{}, s, false
		}
	}
	v, bare, rest, ok := p.length(after)
	if !ok || bare && p.coarse(v) {
		return p.coarseFault(s, rest, ok)
	}
	return part{topic: aboutHeight, length: v}, rest, true
}

// mostC bounds a loss coefficient: that of a damper all but shut.
const mostC = 1000

// lossRule reads C=0.35. It may be negative, as where one stream draws another along.
func lossRule(p *noteParser, s string) (part, string, bool) {
	_, rest, ok := keyword(s, "c")
	if !ok {
		return part{}, s, false
	}
	rest, ok = strings.CutPrefix(strings.TrimLeft(rest, " "), "=")
	if !ok {
		return part{}, s, false
	}
	v, rest, err := duct.CutNumber(strings.TrimLeft(rest, " "))
	if err != nil {
		return part{}, s, false
	}
	if v > mostC || v < -mostC {
		p.fail(fmt.Sprintf("%s is no loss coefficient.", quote(strings.TrimSpace(s[:len(s)-len(rest)]))), "Write one such as C=0.35.")
		return part{topic: topics}, rest, true
	}
	return part{topic: aboutLoss, c: v}, rest, true
}

// coarseMost is the side of a duct, in feet or metres, from which a bare number in a drawing
// with that unit is taken for inches or millimetres by most readers.
const coarseMost = 4

// coarse reports whether a bare size in a drawing in feet or metres is too large to be meant so.
func (p *noteParser) coarse(v duct.Length) bool {
	return (p.unit == duct.Foot || p.unit == duct.Metre) && v >= coarseMost*p.unit
}

// coarseFault tells of a bare number that is likely in another unit.
func (p *noteParser) coarseFault(s, rest string, number bool) (part, string, bool) {
	if !number {
		return part{}, s, false
	}
	unit, other := "feet", "inches"
	if p.unit == duct.Metre {
		unit, other = "metres", "millimetres"
	}
	p.fail(fmt.Sprintf("The size in %s has no unit and would be in %s, the unit of the drawing.", quote(s[:len(s)-len(rest)]), unit),
		fmt.Sprintf("Write it with its unit, such as %s.", other))
	return part{topic: topics}, rest, true
}

var flatWords = []struct {
	words string
	side  duct.Side
}{
	{"flat left", duct.FlatLeft}, {"flat right", duct.FlatRight}, {"flat top", duct.FlatTop}, {"flat bottom", duct.FlatBottom},
	{"flat on top", duct.FlatTop}, {"flat on bottom", duct.FlatBottom},
	{"fot", duct.FlatTop}, {"fob", duct.FlatBottom},
}

// flatRule reads the side that stays straight.
func flatRule(_ *noteParser, s string) (part, string, bool) {
	for _, f := range flatWords {
		rest, ok := s, true
		for _, w := range strings.Fields(f.words) {
			if _, rest, ok = keyword(strings.TrimLeft(rest, " "), w); !ok {
				break
			}
		}
		if ok {
			return part{topic: aboutFlat, flat: f.side}, rest, true
		}
	}
	return part{}, s, false
}

// coverRule reads lining and insulation with their thickness.
func coverRule(p *noteParser, s string) (part, string, bool) {
	t := aboutLining
	_, rest, ok := keyword(s, "lined", "lining")
	if !ok {
		t = aboutInsulation
		if _, rest, ok = keyword(s, "insulation", "insulated", "insul", "ins"); !ok {
			return part{}, s, false
		}
	}
	if m := markForm.FindString(s); m != "" && strings.HasPrefix(rest, "-") { // INS-1
		return part{}, s, false
	}
	rest = strings.TrimPrefix(rest, ".")
	v, _, after, ok := p.length(strings.TrimLeft(rest, " =:"))
	if !ok {
		p.fail(fmt.Sprintf("%s says no thickness.", quote(s[:len(s)-len(rest)])), `Write it like lined 1" or insul 50.`)
		return part{topic: topics}, rest, true
	}
	return part{topic: t, length: v}, after, true
}

var shapeWords = map[string]duct.Shape{"round": duct.Round, "rect": duct.Rect, "rectangular": duct.Rect, "oval": duct.Oval}

// materials are the words for what a duct is made of, and the name it has in the settings.
var materials = map[string]string{
	"galvanised": "galvanised", "galvanized": "galvanised", "galv": "galvanised", "spiral": "spiral",
	"aluminium": "aluminium", "aluminum": "aluminium", "steel": "steel", "plastic": "plastic", "pvc": "plastic",
	"concrete": "concrete", "masonry": "masonry", "brick": "brick", "phenolic": "phenolic", "corrugated": "corrugated",
}

// officeRule reads the name of a material the office gave a roughness.
func officeRule(p *noteParser, s string) (part, string, bool) {
	for _, m := range p.materials {
		if _, rest, ok := keyword(s, m); ok && ends(rest) {
			return part{topic: aboutMaterial, material: m}, rest, true
		}
	}
	return part{}, s, false
}

// wordRule reads what is one word of letters.
func wordRule(_ *noteParser, s string) (part, string, bool) {
	n := strings.IndexFunc(s, func(r rune) bool { return !unicode.IsLetter(r) })
	if n < 0 {
		n = len(s)
	}
	w, rest := strings.ToLower(s[:n]), s[n:]
	if strings.HasPrefix(rest, ".") && ends(rest[1:]) {
		rest = rest[1:]
	}
	if sh, ok := shapeWords[w]; ok {
		return part{topic: aboutShape, shape: sh}, rest, true
	}
	if m, ok := materials[w]; ok {
		return part{topic: aboutMaterial, material: m}, rest, true
	}
	return part{topic: aboutSingle}, rest, w == "single"
}

// roundRule reads the round sizes: ø250, dia 250, 250 dia, 250ø.
func roundRule(p *noteParser, s string) (part, string, bool) {
	rest, before := strings.CutPrefix(s, "ø")
	if !before {
		if _, rest, before = keyword(s, "dia", "diameter"); before {
			rest = strings.TrimPrefix(rest, ".")
		}
	}
	v, bare, rest, ok := p.length(strings.TrimLeft(rest, " "))
	if !ok {
		return part{}, s, false
	}
	if !before {
		after, sign := strings.CutPrefix(strings.TrimLeft(rest, " "), "ø")
		if !sign {
			if _, after, sign = keyword(strings.TrimLeft(rest, " "), "dia", "diameter"); !sign {
				return part{}, s, false
			}
			after = strings.TrimPrefix(after, ".")
		}
		rest = after
	}
	if bare && p.coarse(v) {
		return p.coarseFault(s, rest, true)
	}
	return part{topic: aboutSize, size: duct.RoundOf(v)}, rest, true
}

func flowRule(_ *noteParser, s string) (part, string, bool) {
	v, rest, err := duct.CutFlow(s)
	return part{topic: aboutFlow, flow: v}, rest, err == nil
}

func pressureRule(_ *noteParser, s string) (part, string, bool) {
	v, rest, err := duct.CutPressure(s)
	return part{topic: aboutPressure, pressure: v}, rest, err == nil
}

// sizeRule reads width x height. Where one side alone has a unit it is that of both.
func sizeRule(p *noteParser, s string) (part, string, bool) {
	w, bareW, rest, ok := p.length(s)
	if !ok {
		return part{}, s, false
	}
	rest = strings.TrimLeft(rest, " ")
	if rest == "" || rest[0] != 'x' && rest[0] != 'X' {
		return part{}, s, false
	}
	second := strings.TrimLeft(rest[1:], " ")
	h, bareH, rest, ok := p.length(second)
	if !ok {
		return part{}, s, false
	}
	switch {
	case bareW && !bareH:
		w = w / p.unit * unitOf(second, h)
	case bareH && !bareW:
		h = h / p.unit * unitOf(s, w)
	case bareW && (p.coarse(w) || p.coarse(h)):
		return p.coarseFault(s, rest, true)
	}
	return part{topic: aboutSize, size: duct.RectOf(w, h)}, rest, true
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

// bareRule reads a length with nothing else. A number before a word nobody knows is left to
// it: the word was to be its unit.
func bareRule(p *noteParser, s string) (part, string, bool) {
	v, bare, rest, ok := p.length(s)
	if next := skip(rest); ok && bare && next != "" && strings.HasPrefix(rest, " ") {
		r, _ := utf8.DecodeRuneInString(next)
		if unicode.IsLetter(r) && !p.knows(next) {
			return part{}, s, false
		}
	}
	return part{topic: aboutBare, length: v}, rest, ok
}

// knows reports whether some rule reads the front of s.
func (p *noteParser) knows(s string) bool {
	for _, rule := range noteRules {
		if _, rest, ok := rule(&noteParser{unit: p.unit}, s); ok && ends(rest) {
			return true
		}
	}
	return false
}
