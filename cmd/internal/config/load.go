package config

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"github.com/pelletier/go-toml/v2"
)

// Defaults returns the settings of an office that has none, for a metric or an inch drawing.
func Defaults(metric bool) *Settings {
	s, err := Load(nil, metric)
	if err != nil {
		panic("config: " + err.Error())
	}
	return s
}

// Load returns the defaults for a metric or an inch drawing, overridden by the settings file data. Errors name the
// line, the key and what is wrong with its value; for a key there is not, the nearest one there is.
func Load(data []byte, metric bool) (*Settings, error) {
	s := &Settings{}
	s.declare(metric)
	var values map[string]any
	err := toml.Unmarshal(data, &values)
	if syntax := (*toml.DecodeError)(nil); errors.As(err, &syntax) {
		row, col := syntax.Position()
		text := strings.TrimPrefix(syntax.Error(), "toml: ")
		if key := strings.Join(syntax.Key(), "."); key != "" {
			text = key + ": " + text
		}
		return s, fmt.Errorf("line %d, column %d: %s", row, col, text)
	}
	if err != nil {
		return s, err
	}
	r := reading{file: &s.file, spots: spots(data)}
	s.file.read(values, &r)
	if len(r.found) == 0 { // what contradicts each other is looked for among values that can be read
		s.finish(&r)
	}
	return s, r.error()
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
func Print(s *Settings) []byte {
	var b bytes.Buffer
	b.WriteString("# Settings of Twinline. Put this file beside the drawing, or name it with --settings.\n" +
		"# Keys that are left out keep the values printed here.\n\n")
	s.file.print(&b)
	return b.Bytes()
}
