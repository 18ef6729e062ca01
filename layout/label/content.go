package label

import (
	"fmt"
	"slices"
	"strings"

	"twinline/layout/shape"
)

// Content is what labels of one kind say, line by line. The zero Content is the usual one.
type Content struct{ lines [][]word }

// word is a part of a line: letters as they stand, a field, or a group of pieces.
type word struct {
	letters string
	field   string
	group   []word // left out where none of its fields has anything to say
}

// Fields of labels, by what they are about.
var (
	runFields = []string{"size", "width", "height", "cover", "lining", "insulation", "elevation", "flow", "velocity",
		"rate", "length", "id", "material", "air", "status"}
	terminalFields = []string{"mark", "name", "flow", "neck", "elevation", "loss", "air", "status"}
	unitFields     = []string{"mark", "flow", "pressure", "air", "status"}
	levelFields    = []string{"elevation"}
)

// fieldsOf returns the fields labels of a kind know.
func fieldsOf(k shape.Letters) []string {
	switch k {
	case shape.SizeText:
		return runFields
	case shape.FlowText:
		return terminalFields
	case shape.UnitText:
		return unitFields
	case shape.LevelText:
		return levelFields
	}
	return nil
}

// ParseContent reads what labels of a kind are to say. A field stands in braces, {size}; what stands in brackets
// is left out where its fields have nothing to say: "{size}[ at {velocity}]". A line of which no field has anything to say
// is left out too. Errors name the line and the fields there are.
func ParseContent(k shape.Letters, lines []string) (Content, error) {
	c := Content{}
	for i, line := range lines {
		p, err := parseLine(line, fieldsOf(k))
		if err != nil {
			return Content{}, fmt.Errorf("line %d, %q: %w", i+1, line, err)
		}
		c.lines = append(c.lines, p)
	}
	return c, nil
}

// parseLine reads one line in which these fields may stand.
func parseLine(line string, fields []string) ([]word, error) {
	p := contentParser{rest: line, fields: fields}
	out, err := p.pieces(false)
	if err == nil && len(p.rest) > 0 {
		err = fmt.Errorf("a ] without its [")
	}
	return out, err
}

type contentParser struct {
	rest   string
	fields []string
}

// pieces reads up to the end or, in a group, to its bracket.
func (p *contentParser) pieces(grouped bool) (out []word, err error) {
	for len(p.rest) > 0 {
		i := strings.IndexAny(p.rest, "{[]}")
		if i < 0 {
			i = len(p.rest)
		}
		if i > 0 {
			out = append(out, word{letters: p.rest[:i]})
			p.rest = p.rest[i:]
			continue
		}
		switch p.rest[0] {
		case '{':
			name, rest, ok := strings.Cut(p.rest[1:], "}")
			if !ok {
				return nil, fmt.Errorf("a { without its }")
			}
			if name = strings.ToLower(strings.TrimSpace(name)); !slices.Contains(p.fields, name) {
				return nil, fmt.Errorf("there is no field {%s}; there are {%s}", name, strings.Join(p.fields, "}, {"))
			}
			out, p.rest = append(out, word{field: name}), rest
		case '[':
			if grouped {
				return nil, fmt.Errorf("brackets within brackets")
			}
			p.rest = p.rest[1:]
			group, err := p.pieces(true)
			if err != nil {
				return nil, err
			}
			if len(p.rest) == 0 {
				return nil, fmt.Errorf("a [ without its ]")
			}
			p.rest = p.rest[1:]
			out = append(out, word{group: group})
		case ']':
			return out, nil // the caller knows whether there was a bracket to close
		default:
			return nil, fmt.Errorf("a } without its {")
		}
	}
	return out, nil
}

// say returns the lines of c with what get says of each field.
func (c Content) say(get func(field string) string) []string {
	var out []string
	for _, line := range c.lines {
		text, fields, said := say(line, get)
		if text = strings.TrimSpace(text); text != "" && (said || !fields) {
			out = append(out, text)
		}
	}
	return out
}

// say returns the text of pieces, whether there are fields among them, and whether one has anything to say.
func say(line []word, get func(string) string) (text string, fields, said bool) {
	var b strings.Builder
	for _, p := range line {
		switch {
		case p.field != "":
			fields = true
			t := get(p.field)
			said = said || t != ""
			b.WriteString(t)
		case p.group != nil:
			t, has, says := say(p.group, get)
			fields = fields || has
			if says || !has {
				b.WriteString(t)
				said = said || says
			}
		default:
			b.WriteString(p.letters)
		}
	}
	return b.String(), fields, said
}

// Forms is how sizes, elevations and airflows are written. The zero value is the usual way.
type Forms struct {
	Round, Rect, Oval Form // of sizes
	PlainInches       bool // inches without their mark
	Level             LevelForm
	FlowUnit          FlowUnit
	FlowStep          float64 // airflows are rounded to the next of these, in that unit; 0: written as given
}

// Form is how a size is written: {d} is a diameter, {w} and {h} are width and height. The zero Form is the usual one.
type Form struct{ line []word }

// ParseForm reads a form of sizes. "" is the usual one.
func ParseForm(text string, fields ...string) (Form, error) {
	if strings.TrimSpace(text) == "" {
		return Form{}, nil
	}
	line, err := parseLine(text, fields)
	if err == nil && !slices.ContainsFunc(line, func(p word) bool { return p.field != "" }) {
		err = fmt.Errorf("it has no field; there are {%s}", strings.Join(fields, "}, {"))
	}
	return Form{line}, err
}

// or returns the text of f, or usual where nobody chose one.
func (f Form) or(usual string, get func(string) string) string {
	if len(f.line) == 0 {
		return usual
	}
	text, _, _ := say(f.line, get)
	return text
}

// LevelForm is how elevations are written.
type LevelForm uint8

// The forms of elevations.
const (
	LevelUsual       LevelForm = iota // metres in metric drawings, feet and inches in inch drawings
	LevelMetres                       // +3.30
	LevelMillimetres                  // +3300
	LevelFeet                         // 10'-6"
)

// FlowUnit is a unit of airflows in labels.
type FlowUnit uint8

// The units of airflows.
const (
	FlowAsGiven FlowUnit = iota
	FlowLitres
	FlowCubicMetresHour
	FlowCubicMetresSecond
	FlowCubicFeet
)
