package duct

import "strings"

// Rating is what a wall is rated for, as far as the drawing says: neither where it says nothing.
type Rating struct {
	Fire, Smoke bool
	Class       string // as in EN 13501-2 or in hours: "EI 90", "2 h"; "" where nothing is said
}

// Known reports whether the drawing says what the wall is rated for.
func (r Rating) Known() bool { return r.Fire || r.Smoke }

// And returns what r and s say together.
func (r Rating) And(s Rating) Rating {
	r.Fire, r.Smoke = r.Fire || s.Fire, r.Smoke || s.Smoke
	if r.Class == "" {
		r.Class = s.Class
	}
	return r
}

// String words r: "fire and smoke (EI 90 S)"; "" where nothing is known.
func (r Rating) String() string {
	var words []string
	if r.Fire {
		words = append(words, "fire")
	}
	if r.Smoke {
		words = append(words, "smoke")
	}
	text := strings.Join(words, " and ")
	if text != "" && r.Class != "" {
		text += " (" + r.Class + ")"
	}
	return text
}
