// Package diag holds the findings every stage collects: a rule, a place, what is
// wrong there and what to do. It knows nothing of ducts.
package diag

import "sort"

// Level says how much a finding weighs.
type Level uint8

// The levels: a note informs, a warning asks for a look, an error stops the writing.
const (
	Note Level = iota
	Warning
	Error
)

func (l Level) String() string { return [...]string{"note", "warning", "error"}[l] }

// Diag is one finding.
type Diag struct {
	Code   Code
	Level  Level
	At     [3]float64 // metres, in the drawing's axes
	Handle string     // of the entity it is about, "" where there is none
	Text   string     // what is wrong, a sentence
	Do     string     // what to do about it, a sentence
}

// List collects findings.
type List []Diag

// Add appends a finding with the level its code has in the catalogue.
func (l *List) Add(code Code, at [3]float64, handle, text, do string) {
	*l = append(*l, Diag{code, code.Level(), at, handle, text, do})
}

// HasErrors reports whether any finding is of level error.
func (l List) HasErrors() bool { return l.Count(Error) > 0 }

// Count returns how many findings have that level.
func (l List) Count(level Level) int {
	n := 0
	for _, d := range l {
		if d.Level == level {
			n++
		}
	}
	return n
}

// Sorted returns the findings, the heaviest first, then by code, place and handle, so that
// one drawing always gives one order.
func (l List) Sorted() List {
	out := append(List(nil), l...)
	sort.SliceStable(out, func(i, j int) bool {
		a, b := out[i], out[j]
		switch {
		case a.Level != b.Level:
			return a.Level > b.Level
		case a.Code != b.Code:
			return a.Code < b.Code
		case a.At != b.At:
			for k := range a.At {
				if a.At[k] != b.At[k] {
					return a.At[k] < b.At[k]
				}
			}
		case a.Handle != b.Handle:
			return a.Handle < b.Handle
		}
		return a.Text < b.Text
	})
	return out
}
