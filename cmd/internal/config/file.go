package config

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"

	"twinline/layout/sketch"
)

// entry is a key of a settings file, or a table of keys.
type entry struct {
	key     string // the whole of it: sizing.costs.duct
	comment string
	inside  []*entry                // of a table
	value   any                     // as the file has it; a map where the words are the office's own
	take    func(v any, r *reading) // checks a value and hands it on
}

// table declares a table in e.
func (e *entry) table(key, comment string) *entry {
	t := &entry{key: e.under(key), comment: comment}
	e.inside = append(e.inside, t)
	return t
}

func (e *entry) under(key string) string { return strings.TrimPrefix(e.key+"."+key, ".") }

// add declares a key in t: the value it has in a file that leaves it out, where its value goes, and how it is read.
func add[F, T any](t *entry, key string, usual F, to *T, parse func(F) (T, error), comment string) {
	e := t.table(key, comment)
	e.take = func(v any, r *reading) {
		file, err := as[F](v)
		if err == nil {
			e.value = file
			*to, err = parse(file)
		}
		if err != nil {
			r.complain(e.key, err)
		}
	}
	e.takeUsual(usual)
}

// addWords declares a table in t whose keys are the office's own; usual are those there are already.
func addWords[F, T any](t *entry, key string, usual map[string]any, to *map[string]T, parse func(F) (T, error),
	comment string) {
	e := t.table(key, comment)
	e.take = func(v any, r *reading) {
		words, ok := v.(map[string]any)
		if !ok {
			r.complain(e.key, errTable)
			return
		}
		if *to == nil || r.spots[strings.ToLower(e.key)].whole {
			*to, e.value = map[string]T{}, map[string]any{}
		}
		for _, word := range slices.Sorted(maps.Keys(words)) {
			file, err := as[F](words[word])
			if err == nil {
				e.value.(map[string]any)[word] = file
				(*to)[word], err = parse(file)
			}
			if err != nil {
				r.complain(e.under(word), err)
			}
		}
	}
	if usual != nil {
		e.takeUsual(usual)
	}
}

// takeUsual takes a value of this program's own, which has to be good.
func (e *entry) takeUsual(v any) {
	var r reading
	if e.take(v, &r); len(r.found) > 0 {
		panic("config: " + r.found[0].text)
	}
}

var errTable = errors.New("this is a table of keys, not one value")

// as returns v as the kind of value a key has, or says in a drafter's words how to write one.
func as[F any](v any) (F, error) {
	var want F
	switch v := v.(type) {
	case F:
		return v, nil
	case map[string]any:
		return want, errors.New("this is one value, not a table of keys")
	case int64: // 4 will do for 4.0
		if f, ok := any(float64(v)).(F); ok {
			return f, nil
		}
	}
	switch any(want).(type) {
	case bool:
		return want, errors.New("write true or false, without quotes")
	case int64:
		return want, errors.New("write a whole number, without quotes or unit")
	case float64:
		return want, errors.New("write a number, without quotes or unit")
	case []any:
		return want, errors.New("write a list of texts, such as [\"{size}\", \"{flow}\"]")
	}
	return want, errors.New("write the value in quotes, a quantity with its unit, such as \"250 mm\"")
}

// reading is one reading of a settings file.
type reading struct {
	file  *entry
	spots map[string]spot // of the keys, in small letters
	found []complaint
}

// spot is where a key stands in a settings file.
type spot struct {
	line  int
	whole bool // key = {...}, which replaces a table where [key] adds to it
}

// complaint is what is wrong with a key of a settings file.
type complaint struct{ key, text string }

func (r *reading) complain(key string, err error) {
	r.found = append(r.found, complaint{key, fmt.Sprintf("%s: %v", key, err)})
}

// error returns what was found in the order of the lines of the file, each with its line; nil where nothing was.
func (r *reading) error() error {
	line := func(key string) int {
		// a key in {braces} stands where its table does
		for ; key != ""; key = key[:max(0, strings.LastIndex(key, "."))] {
			if at, ok := r.spots[strings.ToLower(key)]; ok {
				return at.line
			}
		}
		return 0
	}
	slices.SortStableFunc(r.found, func(a, b complaint) int { return cmp.Compare(line(a.key), line(b.key)) })
	var out []error
	for _, x := range r.found {
		if n := line(x.key); n > 0 {
			x.text = fmt.Sprintf("line %d: %s", n, x.text)
		}
		out = append(out, errors.New(x.text))
	}
	return errors.Join(out...)
}

// spots returns where the keys of a settings file stand.
func spots(data []byte) map[string]spot {
	out := map[string]spot{}
	table := ""
	var p unstable.Parser
	p.Reset(data)
	for p.NextExpression() {
		e := p.Expression()
		var words []string
		var at spot
		for it := e.Key(); it.Next(); {
			words = append(words, strings.ToLower(string(it.Node().Data)))
			at.line = p.Shape(it.Node().Raw).Start.Line
		}
		key := strings.Join(words, ".")
		if e.Kind == unstable.KeyValue {
			key = strings.TrimPrefix(table+"."+key, ".")
			at.whole = true
		} else {
			table = key
		}
		out[key] = at
	}
	return out
}

// read takes the values a settings file has for the keys in e.
func (e *entry) read(values map[string]any, r *reading) {
	for _, word := range slices.Sorted(maps.Keys(values)) {
		key := e.under(word)
		i := slices.IndexFunc(e.inside, func(x *entry) bool { return strings.EqualFold(x.key, key) })
		if i < 0 {
			near := slices.MinFunc(r.file.keys(), func(a, b string) int {
				return sketch.EditDistance(key, a) - sketch.EditDistance(key, b)
			})
			r.found = append(r.found, complaint{key, fmt.Sprintf("there is no key %q; did you mean %q?", key, near)})
			continue
		}
		x := e.inside[i]
		if x.take != nil {
			x.take(values[word], r)
		} else if inner, ok := values[word].(map[string]any); ok {
			x.read(inner, r)
		} else {
			r.complain(key, errTable)
		}
	}
}

// keys returns every key in e, tables before what stands in them.
func (e *entry) keys() []string {
	var out []string
	for _, x := range e.inside {
		out = append(append(out, x.key), x.keys()...)
	}
	return out
}

// print writes what stands in e as a settings file has it, with comments.
func (e *entry) print(b *bytes.Buffer) {
	for _, x := range e.inside {
		own, ok := x.value.(map[string]any)
		isTable := ok || x.inside != nil
		if !isTable && x.value == nil { // words of the office's own, of which there are none
			continue
		}
		if isTable {
			b.WriteByte('\n')
		}
		if x.comment != "" {
			fmt.Fprintf(b, "# %s\n", x.comment)
		}
		if isTable {
			fmt.Fprintf(b, "[%s]\n", x.key)
		} else {
			own = map[string]any{x.key[strings.LastIndex(x.key, ".")+1:]: x.value}
		}
		data, err := toml.Marshal(own)
		if err != nil { // it was read from such a file
			panic(err)
		}
		b.Write(data)
		x.print(b)
	}
}
