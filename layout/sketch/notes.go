package sketch

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"twinline/layout/duct"
	"twinline/layout/words"
)

// part is one thing a note says.
type part struct {
	topic *topic
	row   *row
	value value
	text  string // as it stands in the drawing
}

// fault is what is wrong with some words of a note. In the text of one a row returns, %s stands for these words.
type fault struct {
	unknown  bool // a word no row knows, else a value that cannot be
	text, do string
}

func (f *fault) Error() string { return f.text }

// errNot is returned by what reads a form, of a text that has not that form.
var errNot = errors.New("another form")

// grammar is what the words of a note can mean.
type grammar struct {
	unit      duct.Length // of bare numbers
	topics    []*topic
	materials []string // in small letters: names of the office's own
	bare      *topic   // whose first row a length alone is read by; nil: it means nothing
}

// longestNote is how many bytes of a text are read as a note; no note is longer.
const longestNote = 2000

// parse reads a text. It never fails: what it cannot read are faults.
func (g grammar) parse(text string) (parts []part, faults []fault) {
	if len(text) > longestNote {
		faults = append(faults,
			fault{text: "The text is too long for a note; what stands after its first part was not read.",
				do: "Split it into several texts."})
		text = text[:longestNote]
	}
	for rest := skip(plain(text)); rest != ""; {
		p, after, err := g.one(rest)
		var f *fault
		switch {
		case err == nil:
			parts = append(parts, p)
		case errors.As(err, &f):
			faults = append(faults, *f)
		}
		if len(after) >= len(rest) { // cannot happen; a note must not be able to hang us
			break
		}
		rest = skip(after)
	}
	return settleShapes(parts, faults)
}

// one reads the part of a note at the front of s and returns what follows. The error is a fault.
func (g grammar) one(s string) (p part, rest string, err error) {
	p, rest, err = g.match(s)
	if errors.Is(err, errNot) {
		p, rest, err = g.alone(s)
	}
	if errors.Is(err, errNot) {
		return g.unknown(s)
	}
	p.text = strings.TrimSpace(s[:len(s)-len(rest)])
	var f *fault
	if errors.As(err, &f) {
		return p, rest, &fault{f.unknown, fmt.Sprintf(f.text, quote(p.text)), f.do}
	}
	return p, rest, p.check(words.In(!metric(g.unit)))
}

// match reads the front of s by the row that knows it. It has to end where a word ends.
func (g grammar) match(s string) (p part, rest string, err error) {
	for _, m := range g.materials {
		if after, ok := cutPhrase(s, m); ok && ends(after) && slices.Contains(g.topics, material) {
			return part{material, &material.rows[0], madeOf(m, m).value, ""}, after, nil
		}
	}
	for _, k := range keywords[strings.ToLower(letters(s))] {
		after, ok := cutPhrase(s, k.word.text)
		if !ok || !slices.Contains(g.topics, k.topic) || strings.HasPrefix(after, "-") && isMark(s, k.topic.signed) {
			continue
		}
		then := k.row.then
		if then == nil {
			then = nothingAfter
		}
		if v, rest, err := then(g.unit, k.word.value, after); !errors.Is(err, errNot) && ends(rest) {
			return part{k.topic, k.row, v, ""}, rest, err
		}
	}
	for _, t := range g.topics {
		for i := range t.rows {
			if r := &t.rows[i]; r.read != nil {
				if v, rest, err := r.read(g.unit, s); !errors.Is(err, errNot) && ends(rest) {
					return part{t, r, v, ""}, rest, err
				}
			}
		}
	}
	return p, s, errNot
}

// keyword is a word of the table with the row it begins.
type keyword struct {
	topic *topic
	row   *row
	word  *word
}

// keywords are the words of the table by their first letters, the longest of each first.
var keywords = indexWords(append(noteTopics[:len(noteTopics):len(noteTopics)], neckPlace))

func indexWords(topics []*topic) map[string][]keyword {
	out := map[string][]keyword{}
	for _, t := range topics {
		for i := range t.rows {
			for k := range t.rows[i].words {
				w := &t.rows[i].words[k]
				first := letters(w.text)
				out[first] = append(out[first], keyword{t, &t.rows[i], w})
			}
		}
	}
	for _, list := range out {
		slices.SortStableFunc(list, func(a, b keyword) int { return len(b.word.text) - len(a.word.text) })
	}
	return out
}

// letters returns the letters s begins with.
func letters(s string) string {
	if n := strings.IndexFunc(s, func(r rune) bool { return !unicode.IsLetter(r) }); n >= 0 {
		return s[:n]
	}
	return s
}

// cutPhrase cuts words, parted by single spaces, from the front of s, where any number of spaces may part them,
// whatever their case. They have to end there or be followed by a sign that is no letter.
func cutPhrase(s, phrase string) (rest string, ok bool) {
	rest = s
	for w := range strings.SplitSeq(phrase, " ") {
		rest = strings.TrimLeft(rest, " ")
		if len(rest) < len(w) || !strings.EqualFold(rest[:len(w)], w) {
			return s, false
		}
		rest = rest[len(w):]
		if r, _ := utf8.DecodeRuneInString(rest); rest != "" && unicode.IsLetter(r) {
			return s, false
		}
	}
	return rest, true
}

// alone reads a length with nothing else. A number before a word no row knows is left to that: it was to be its unit.
func (g grammar) alone(s string) (p part, rest string, err error) {
	_, bare, rest, ok := length(g.unit, s)
	if !ok || !ends(rest) {
		return p, s, errNot
	}
	if next := skip(rest); bare && strings.HasPrefix(rest, " ") && letters(next) != "" {
		if _, _, err := g.match(next); errors.Is(err, errNot) {
			return p, s, errNot
		}
	}
	if g.bare == nil {
		text := strings.TrimSpace(s[:len(s)-len(rest)])
		return p, rest, &fault{true, "No rule knows %s in this note.",
			fmt.Sprintf("Say what it is, such as ø%s for a round duct, CL %s for an elevation, "+
				"or an airflow with its unit.", text, text)}
	}
	r := &g.bare.rows[0]
	v, rest, err := r.then(g.unit, r.words[0].value, s)
	return part{g.bare, r, v, ""}, rest, err
}

// check returns a fault where a value cannot be.
func (p part) check(say words.Words) error {
	if p.topic.amounts == nil {
		return nil
	}
	for _, v := range p.topic.amounts(p.value) {
		if !p.topic.signed && !(v > 0) {
			return &fault{text: fmt.Sprintf("The %s in %s has to be more than zero.", p.topic.name, quote(p.text)),
				do: "Correct the value in the text."}
		}
		if l := duct.Length(v); p.topic.most > 0 && (l < p.topic.least || l > p.topic.most) {
			return &fault{text: fmt.Sprintf("%s would be %s in this drawing.", quote(p.text), say.Length(l)),
				do: "Write the value with its unit."}
		}
	}
	return nil
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

// settleShapes brings the size and the shapes in one text together: "oval" makes a size of width
// and height flat oval, in whatever order they stand; any other shape must agree with the size.
// Several sizes in one text are left to whoever is given them.
func settleShapes(parts []part, faults []fault) ([]part, []fault) {
	is := func(t *topic) func(part) bool { return func(p part) bool { return p.topic == t } }
	at := slices.IndexFunc(parts, is(size))
	if at < 0 || slices.ContainsFunc(parts[at+1:], is(size)) {
		return parts, faults
	}
	sized := &parts[at]
	fixed, written := &sized.value.run.Fixed, sized.text
	if fixed.Shape == duct.Rect && slices.ContainsFunc(parts,
		func(p part) bool { return p.value.run.Shape == duct.Oval }) {
		fixed.Shape = duct.Oval
		sized.text += " oval"
	}
	var kept []part
	for _, p := range parts {
		switch {
		case p.topic == ductShape && p.value.run.Shape != fixed.Shape:
			faults = append(faults,
				fault{text: fmt.Sprintf("%s and %s contradict each other.", quote(p.text), quote(written)),
					do: "Take one of them out of the text."})
		case p.topic == ductShape && fixed.Shape == duct.Oval:
			// the size says it now
		default:
			kept = append(kept, p)
		}
	}
	return kept, faults
}
