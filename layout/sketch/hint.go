package sketch

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"twinline/layout/duct"
)

// allForms is said where no form is near: it shows how a drafter writes every row of the table.
func allForms(unit duct.Length) string {
	var list []string
	for _, t := range noteTopics {
		for _, r := range t.rows {
			if r.example == (example{}) || r.words != nil && r.then == nil {
				list = append(list, r.shown...) // words that mean something by themselves
			} else {
				list = append(list, r.example.in(unit))
			}
		}
	}
	return "Write what the convention knows (such as " + strings.Join(list, ", ") +
		"), or move the text to a layer that is not the sketch's."
}

// unknown reports the word at the front of s and takes it, with the number before it where it
// was to be a unit.
func (g grammar) unknown(s string) (p part, rest string, err error) {
	word, rest := cutWord(s)
	if strings.ContainsRune("+-−.0123456789", firstRune(s)) {
		if _, after, err := duct.CutNumber(s); err != nil && strings.ContainsAny(word, "0123456789") {
			if unit, after := cutWord(strings.TrimLeft(rest, " ")); isUnit(unit) {
				rest = after
			}
			return p, rest, &fault{text: fmt.Sprintf("%s cannot be read: %v.", quote(word), err),
				do: "Correct the number in the text."}
		} else if err == nil {
			return g.unknownUnit(s, after)
		}
	}
	return p, rest, &fault{true, fmt.Sprintf("No rule knows the word %s of this note.", quote(word)), g.hint(word)}
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

func isUnit(word string) bool {
	return slices.ContainsFunc(unitWords(), func(u string) bool { return strings.EqualFold(u, word) })
}

// longestQuote is how many letters of a text are shown in a message.
const longestQuote = 60

// quote shows words of the drawing in a message, between quotes that are no inch or foot marks
// of theirs.
func quote(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	s = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) || r == utf8.RuneError {
			return '?'
		}
		return r
	}, s)
	if r := []rune(s); len(r) > longestQuote {
		s = string(r[:longestQuote]) + "..."
	}
	switch {
	case !strings.Contains(s, `"`):
		return `"` + s + `"`
	case !strings.Contains(s, "'"):
		return "'" + s + "'"
	}
	return "“" + s + "”"
}

func firstRune(s string) rune {
	r, _ := utf8.DecodeRuneInString(s)
	return r
}

// unknownUnit reports a number at the front of s and the word after it.
func (g grammar) unknownUnit(s, after string) (p part, rest string, err error) {
	unit, rest := cutWord(strings.TrimLeft(after, " "))
	text := strings.TrimSpace(s[:len(s)-len(rest)])
	do := allForms(g.unit)
	if near, ok := nearestWord(strings.ToLower(unit), unitWords()); ok {
		number := strings.TrimSpace(s[:len(s)-len(after)])
		do = fmt.Sprintf("Perhaps %s was meant.", quote(number+" "+near))
	}
	return p, rest, &fault{true, fmt.Sprintf("No rule knows %s in this note.", quote(text)), do}
}

func unitWords() []string {
	return slices.Concat(duct.FlowUnits(), duct.PressureUnits(), duct.LengthUnits(), []string{"dia"})
}

// hint returns what to do about a word, with the nearest form of the table.
func (g grammar) hint(word string) string {
	var near, forms []string
	add := func(w, form string) { near, forms = append(near, w), append(forms, form) }
	for _, t := range noteTopics {
		for _, r := range t.rows {
			form := r.example.in(g.unit)
			for _, w := range r.words {
				if r.then == nil { // a form by itself
					add(w.text, cmp.Or(w.shown, w.text))
				} else {
					add(w.text, form)
				}
			}
			for slip := range strings.FieldsSeq(r.slips) {
				add(slip, form)
			}
		}
	}
	letters := strings.ToLower(strings.TrimFunc(word, func(r rune) bool { return !unicode.IsLetter(r) }))
	w, ok := nearestWord(letters, near)
	if !ok {
		return allForms(g.unit)
	}
	return fmt.Sprintf("The nearest form is %s; correct the text, or move it to a layer that is not the sketch's.",
		quote(forms[slices.Index(near, w)]))
}

// nearestWord returns the word of list with the fewest letters to change, if that is not more
// than a third of its letters, rounded up.
func nearestWord(word string, list []string) (near string, ok bool) {
	best := -1
	for _, w := range list {
		d := EditDistance(word, strings.ToLower(w))
		if n := utf8.RuneCountInString(w); d < n && d <= (n+2)/3 && (best < 0 || d < best) {
			best, near = d, w
		}
	}
	return near, best >= 0
}

// longestWord bounds the words that are compared letter by letter.
const longestWord = 64

// EditDistance counts the letters to change, add, drop or swap with the next to make b of a.
// Source: Damerau (1964), in the restricted form, which never edits a letter twice.
func EditDistance(a, b string) int {
	s, t := []rune(a), []rune(b)
	if len(s) > longestWord || len(t) > longestWord {
		return max(len(s), len(t))
	}
	before, last, row := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range row {
		last[j] = j
	}
	for i := range s {
		row[0] = i + 1
		for j := range t {
			cost := 1
			if s[i] == t[j] {
				cost = 0
			}
			row[j+1] = min(last[j]+cost, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && s[i] == t[j-1] && s[i-1] == t[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(t)]
}
