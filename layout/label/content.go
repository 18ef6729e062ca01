package label

import (
	"fmt"
	"slices"
	"strings"

	"twinline/layout/shape"
)

// Content is what labels of one kind say, line by line. The zero Content is the usual one.
type Content struct{ lines [][]token }

// token is a part of a line: letters as they stand, a field, or a group of tokens.
type token struct {
	letters string
	field   string
	group   []token // left out where none of its fields has anything to say
}

// ParseContent reads what labels of a kind are to say. A field stands in braces, {size}; what stands in brackets
// is left out where its fields have nothing to say: "{size}[ at {velocity}]". A line of which no field has anything to
// say is left out too. Errors name the line and the fields there are.
func ParseContent(k shape.Letters, lines []string) (Content, error) {
	c := Content{}
	for i, line := range lines {
		tokens, err := parseLine(line, fieldsOf(k))
		if err != nil {
			return Content{}, fmt.Errorf("line %d, %q: %w", i+1, line, err)
		}
		c.lines = append(c.lines, tokens)
	}
	return c, nil
}

// Form is how a size is written: {d} is a diameter, {w} and {h} are width and height. The zero Form is the usual one.
type Form struct{ line []token }

// ParseForm reads a form of sizes. "" is the usual one.
func ParseForm(text string, fields ...string) (Form, error) {
	if strings.TrimSpace(text) == "" {
		return Form{}, nil
	}
	line, err := parseLine(text, fields)
	if err == nil && !slices.ContainsFunc(line, func(t token) bool { return t.field != "" }) {
		err = fmt.Errorf("it has no field; there are {%s}", strings.Join(fields, "}, {"))
	}
	return Form{line}, err
}

// or returns the text of f, or usual where none was chosen.
func (f Form) or(usual string, get func(string) string) string {
	if len(f.line) == 0 {
		return usual
	}
	text, _, _ := say(f.line, get)
	return text
}

// parseLine reads one line in which these fields may stand.
func parseLine(line string, fields []string) ([]token, error) {
	p := parser{rest: line, fields: fields}
	out, err := p.tokens(false)
	if err == nil && len(p.rest) > 0 {
		err = fmt.Errorf("a ] without its [")
	}
	return out, err
}

type parser struct {
	rest   string
	fields []string
}

// tokens reads up to the end or, in a group, to its bracket.
func (p *parser) tokens(grouped bool) (out []token, err error) {
	for len(p.rest) > 0 && p.rest[0] != ']' { // the caller knows whether there was a bracket to close
		var t token
		switch p.rest[0] {
		case '{':
			t, err = p.field()
		case '[':
			if grouped {
				return nil, fmt.Errorf("brackets within brackets")
			}
			t, err = p.brackets()
		case '}':
			return nil, fmt.Errorf("a } without its {")
		default:
			i := strings.IndexAny(p.rest, "{[]}")
			if i < 0 {
				i = len(p.rest)
			}
			t, p.rest = token{letters: p.rest[:i]}, p.rest[i:]
		}
		if err != nil {
			return nil, err
		}
		out = append(out, t)
	}
	return out, nil
}

func (p *parser) field() (token, error) {
	name, rest, ok := strings.Cut(p.rest[1:], "}")
	if !ok {
		return token{}, fmt.Errorf("a { without its }")
	}
	if name = strings.ToLower(strings.TrimSpace(name)); !slices.Contains(p.fields, name) {
		return token{}, fmt.Errorf("there is no field {%s}; there are {%s}", name, strings.Join(p.fields, "}, {"))
	}
	p.rest = rest
	return token{field: name}, nil
}

func (p *parser) brackets() (token, error) {
	p.rest = p.rest[1:]
	group, err := p.tokens(true)
	if err == nil && len(p.rest) == 0 {
		err = fmt.Errorf("a [ without its ]")
	}
	if err != nil {
		return token{}, err
	}
	p.rest = p.rest[1:]
	return token{group: group}, nil
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

// say returns the text of a line, whether there are fields in it, and whether one has anything to say.
func say(line []token, get func(string) string) (text string, fields, said bool) {
	var b strings.Builder
	for _, t := range line {
		switch {
		case t.field != "":
			value := get(t.field)
			fields, said = true, said || value != ""
			b.WriteString(value)
		case t.group != nil:
			value, has, says := say(t.group, get)
			fields, said = fields || has, said || says
			if says || !has {
				b.WriteString(value)
			}
		default:
			b.WriteString(t.letters)
		}
	}
	return b.String(), fields, said
}

// mentions reports whether one of these fields stands in a line.
func mentions(line []token, fields ...string) bool {
	return slices.ContainsFunc(line, func(t token) bool {
		return slices.Contains(fields, t.field) || mentions(t.group, fields...)
	})
}
