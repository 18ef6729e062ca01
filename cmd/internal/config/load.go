package config

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"twinline/layout/sketch"
)

// Load returns the defaults for a metric or an inch drawing, overridden by the settings file
// data. Errors name the key, the line and, for a key nobody knows, the nearest known one.
func Load(data []byte, metric bool) (Settings, error) {
	s := Defaults(metric)
	dec := toml.NewDecoder(bytes.NewReader(data)).DisallowUnknownFields()
	err := dec.Decode(&s)
	var strict *toml.StrictMissingError
	var syntax *toml.DecodeError
	switch {
	case errors.As(err, &strict):
		var lines []string
		for _, e := range strict.Errors {
			row, _ := e.Position()
			key := strings.Join(e.Key(), ".")
			lines = append(lines, fmt.Sprintf("line %d: there is no key %q; did you mean %q?", row, key, nearest(key, Keys())))
		}
		return s, errors.New(strings.Join(lines, "\n"))
	case errors.As(err, &syntax):
		row, col := syntax.Position()
		where := ""
		if k := syntax.Key(); len(k) > 0 {
			where = strings.Join(k, ".") + ": "
		}
		text := strings.TrimPrefix(syntax.Error(), "toml: ")
		if kind, ok := wrongKind(text); ok {
			return s, fmt.Errorf("line %d: %s%s", row, where, kind)
		}
		return s, fmt.Errorf("line %d, column %d: %s%s", row, col, where, text)
	case err != nil:
		return s, err
	}
	return s, s.check()
}

// wrongKind says in a drafter's words what the decoder says in those of Go: that a value is of the
// wrong kind for its key.
func wrongKind(text string) (string, bool) {
	_, kind, ok := strings.Cut(text, " into ")
	if !ok {
		return "", false
	}
	if i := strings.LastIndex(kind, "type "); i >= 0 { // struct field ... of type string
		kind = kind[i+len("type "):]
	}
	switch kind {
	case "string":
		return "write the value in quotes, a quantity with its unit, such as \"250 mm\"", true
	case "bool":
		return "write true or false, without quotes", true
	case "float64", "int":
		return "write a number, without quotes or unit", true
	}
	return "this is a table of keys, not one value", true
}

// UnitsIn returns what a settings file says a drawing unit is, without reading the rest.
func UnitsIn(data []byte) string {
	var s struct {
		Units string `toml:"units"`
	}
	if toml.Unmarshal(data, &s) != nil {
		return ""
	}
	return s.Units
}

// Print returns s as a settings file, with comments.
func Print(s Settings) ([]byte, error) {
	var b bytes.Buffer
	b.WriteString("# Settings of Twinline. Put this file beside the drawing, or name it with --settings.\n" +
		"# Keys that are left out keep the values printed here.\n\n")
	err := toml.NewEncoder(&b).Encode(s)
	return b.Bytes(), err
}

// Keys returns every key of a settings file, tables before what stands in them; keys of
// tables with words of the user's end in ".*".
func Keys() []string {
	var out []string
	var walk func(prefix string, t reflect.Type)
	walk = func(prefix string, t reflect.Type) {
		for i := range t.NumField() {
			f := t.Field(i)
			key := prefix + f.Tag.Get("toml")
			out = append(out, key)
			if f.Type.Kind() == reflect.Struct {
				walk(key+".", f.Type)
			}
		}
	}
	walk("", reflect.TypeFor[Settings]())
	return out
}

// nearest returns the word of list with the fewest letters to change from word.
func nearest(word string, list []string) string {
	return slices.MinFunc(list, func(a, b string) int { return sketch.EditDistance(word, a) - sketch.EditDistance(word, b) })
}
