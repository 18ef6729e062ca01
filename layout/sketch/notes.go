package sketch

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"twinline/layout/duct"
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
	aboutLoss // coefficient
	aboutBare // a length and nothing else, as on the layers of limits and ceilings
	topics
)

func (t topic) String() string {
	return [...]string{"mark", "airflow", "size", "height limit", "shape", "elevation", "straight side", "single-line mark",
		"lining", "insulation", "pressure", "material", "loss coefficient", "length"}[t]
}

// part is one thing a note says. Only the fields of its topic are set.
type part struct {
	topic    topic
	text     string // as it stands in the drawing
	mark     string
	flow     duct.Flow
	size     duct.Size
	length   duct.Length // height limit, lining, insulation, elevation, bare
	datum    duct.Datum
	centre   bool // the elevation was noted as CL, not EL
	shape    duct.Shape
	flat     duct.Side
	pressure duct.Pressure
	material string
	c        float64
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

// parseNote reads a text, whose bare numbers are in drawing units; materials are names of the office's own,
// in small letters. It never fails: what it cannot read are faults.
func parseNote(text string, unit duct.Length, materials ...string) words {
	p := noteParser{unit: unit, materials: materials}
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
	unit      duct.Length
	materials []string
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
	levelRule, heightRule, lossRule, flatRule, officeRule, coverRule, wordRule, roundRule, flowRule, pressureRule, sizeRule, markRule,
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
