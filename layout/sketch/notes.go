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

// topic is what a part of a note speaks of.
type topic uint8

// The topics, in the order of the table of notes.
const (
	aboutMark topic = iota
	aboutFlow
	aboutSize
	aboutHeight // height limit
	aboutShape
	aboutLevel // elevation
	aboutFlat
	aboutSingle
	aboutLining
	aboutInsulation
	aboutPressure
	aboutMaterial
	aboutBare // a length and nothing else, as on the layers of limits and ceilings
	topics
)

func (t topic) String() string {
	return [...]string{"mark", "airflow", "size", "height limit", "shape", "elevation", "straight side", "single-line mark",
		"lining", "insulation", "pressure", "material", "length"}[t]
}

// part is one thing a note says. Only the fields of its topic are set.
type part struct {
	topic    topic
	text     string // as it stands in the drawing
	mark     string
	flow     duct.Flow
	size     duct.Section
	length   duct.Length // height limit, lining, insulation, elevation, bare
	datum    duct.Datum
	centre   bool // the elevation was noted as CL, not EL
	shape    duct.Shape
	flat     duct.Side
	pressure duct.Pressure
	material string
}

// fault is what is wrong with some words of a note.
type fault struct {
	unknown bool // a word no rule knows, else a value that cannot be
	text    string
	do      string
}

// words is what one text says.
type words struct {
	parts  []part
	faults []fault
}

// longestNote is how many bytes of a text are read as a note; nobody writes longer ones.
const longestNote = 2000

// parseNote reads a text, whose bare numbers are in drawing units. It never fails: what it cannot read are faults.
func parseNote(text string, unit duct.Length) words {
	p := noteParser{unit: unit}
	if len(text) > longestNote {
		p.fail("The text is too long for a note; what stands after its first part was not read.", "Split it into several texts.")
		text = text[:longestNote]
	}
	rest := skip(plain(text))
	for rest != "" {
		after := p.one(rest)
		if len(after) >= len(rest) { // cannot happen; a note must not be able to hang us
			break
		}
		rest = skip(after)
	}
	p.settleShapes()
	return p.words
}

// plain replaces what may stand for one sign in several ways: the codes of DXF for the
// diameter, the degree and the plus-minus sign, and every kind of space.
func plain(text string) string {
	text = controlCodes.Replace(text)
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r), r == '\u200b', r == '\ufeff':
			return ' '
		case r == utf8.RuneError:
			return '?'
		}
		return r
	}, text)
}

var controlCodes = strings.NewReplacer("%%c", "ø", "%%C", "ø", "%%d", "°", "%%D", "°", "%%p", "+", "%%P", "+", "±", "+",
	"Ø", "ø", "⌀", "ø", "∅", "ø", "Φ", "ø", "φ", "ø", "×", "x", "≤", "<=", "≦", "<=", "=<", "<=")

// skip drops what may stand between the words of a note.
func skip(s string) string {
	for {
		t := strings.TrimLeft(s, " ,;")
		// A stroke or bar is a divider, a hyphen only by itself.
		if len(t) > 0 && (t[0] == '/' || t[0] == '|' || t[0] == '-' && (len(t) == 1 || t[1] == ' ')) {
			t = t[1:]
		}
		if t == s {
			return s
		}
		s = t
	}
}

// ends reports whether a part of a note may end before s.
func ends(s string) bool { return s == "" || strings.ContainsRune(" ,;/|", rune(s[0])) }

type noteParser struct {
	words
	unit duct.Length
}

// one reads the part of the note at the front of s and returns what follows.
func (p *noteParser) one(s string) (rest string) {
	for _, rule := range noteRules {
		if rest, ok := p.try(rule, s); ok {
			return rest
		}
	}
	if rest, ok := p.try(bareRule, s); ok {
		return rest
	}
	return p.unknown(s)
}

// try reads the front of s by one rule. The part has to end where a word ends.
func (p *noteParser) try(rule noteRule, s string) (rest string, ok bool) {
	before := len(p.faults)
	got, rest, ok := rule(p, s)
	if !ok || !ends(rest) {
		p.faults = p.faults[:before]
		return s, false
	}
	got.text = strings.TrimSpace(s[:len(s)-len(rest)])
	p.add(got)
	return rest, true
}

// noteRule reads a part of a note at the front of s and returns what follows it.
type noteRule func(p *noteParser, s string) (got part, rest string, ok bool)

// noteRules are tried in order on the front of what is left of a note; bareRule comes last.
var noteRules = []noteRule{
	levelRule, heightRule, flatRule, coverRule, wordRule, roundRule, flowRule, pressureRule, sizeRule, markRule,
}

// add takes a part that was read, unless its value cannot be.
func (p *noteParser) add(g part) {
	if g.topic == topics { // its fault was told
		return
	}
	least := 1.0
	switch g.topic {
	case aboutFlow:
		least = float64(g.flow)
	case aboutPressure:
		least = float64(g.pressure)
	case aboutSize:
		least = min(float64(g.size.Width), float64(g.size.Height))
	case aboutHeight, aboutLining, aboutInsulation:
		least = float64(g.length)
	}
	if !(least > 0) {
		p.fail(fmt.Sprintf("The %s in %s has to be more than zero.", g.topic, quote(g.text)), "Correct the value in the text.")
		return
	}
	if most := p.most(g); most != "" {
		p.fail(fmt.Sprintf("%s would be %s in this drawing.", quote(g.text), most), "Write the value with its unit.")
		return
	}
	p.parts = append(p.parts, g)
}

// Values beyond these were written in another unit than the drawing's. They are no limits of
// the trade, only far beyond what it builds.
const (
	mostSize  = 5 * duct.Metre
	mostCover = 0.5 * duct.Metre
	mostLevel = 1000 * duct.Metre
	leastSize = 20 * duct.Millimetre
)

// most returns, in words, a length of g that no duct has, else "".
func (p *noteParser) most(g part) string {
	var least, most, values = duct.Length(0), mostSize, []duct.Length{g.length}
	switch g.topic {
	case aboutSize:
		least, values = leastSize, []duct.Length{g.size.Width, g.size.Height}
	case aboutHeight:
		least = leastSize
	case aboutLining, aboutInsulation:
		most = mostCover
	case aboutLevel:
		least, most = -mostLevel, mostLevel
	default:
		return ""
	}
	for _, v := range values {
		if v < least || v > most {
			return fmt.Sprintf("%s (%s)", v.Text(true), v.Text(false))
		}
	}
	return ""
}

func (p *noteParser) fail(text, do string) {
	p.faults = append(p.faults, fault{text: text, do: do})
}

// cutWord returns what stands before the next space.
func cutWord(s string) (word, rest string) {
	if i := strings.IndexAny(s, " ,;"); i > 0 {
		// A comma inside a number parts nothing.
		for i < len(s)-1 && s[i] == ',' && s[i+1] >= '0' && s[i+1] <= '9' {
			j := strings.IndexAny(s[i+1:], " ,;")
			if j < 0 {
				return s, ""
			}
			i += 1 + j
		}
		return s[:i], s[i:]
	}
	return s, ""
}

// keyword cuts one of the words from the front of s, whatever its case; it has to end there
// or be followed by a sign that is no letter.
func keyword(s string, list ...string) (word, rest string, ok bool) {
	for _, w := range list {
		if len(s) < len(w) || !strings.EqualFold(s[:len(w)], w) {
			continue
		}
		r, _ := utf8.DecodeRuneInString(s[len(w):])
		if len(s) == len(w) || !unicode.IsLetter(r) {
			return w, s[len(w):], true
		}
	}
	return "", s, false
}

// length reads a length at the front of s; a bare number is in drawing units.
func (p *noteParser) length(s string) (v duct.Length, bare bool, rest string, ok bool) {
	if v, rest, err := duct.CutLength(s); err == nil {
		return v, false, rest, true
	}
	n, rest, err := duct.CutNumber(s)
	if err != nil {
		return 0, false, s, false
	}
	return duct.Length(n) * p.unit, true, rest, true
}

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

// settleShapes brings the size and the shapes in one text together: "oval" makes a size of width
// and height flat oval, in whatever order they stand; any other shape must agree with the size.
// Several sizes in one text are left to whoever is given them.
func (p *noteParser) settleShapes() {
	var size *part
	sizes := 0
	for i := range p.parts {
		if p.parts[i].topic == aboutSize {
			size, sizes = &p.parts[i], sizes+1
		}
	}
	if sizes != 1 {
		return
	}
	var kept []part
	shape, oval := size.size.Shape, false
	for _, g := range p.parts {
		oval = oval || g.topic == aboutShape && g.shape == duct.Oval
	}
	if oval && shape == duct.Rect {
		shape = duct.Oval
	}
	for _, g := range p.parts {
		switch {
		case g.topic == aboutSize:
			g.size.Shape = shape
			if shape == duct.Oval {
				g.text += " oval"
			}
			kept = append(kept, g)
		case g.topic == aboutShape && g.shape == shape && shape == duct.Oval:
			// said by the size now
		case g.topic == aboutShape && g.shape != shape:
			p.fail(fmt.Sprintf("%s and %s contradict each other.", quote(g.text), quote(size.text)), "Take one of them out of the text.")
		default:
			kept = append(kept, g)
		}
	}
	p.parts = kept
}
