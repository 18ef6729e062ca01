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
	value   any                     // as the file has it; a wordTable of a table of words
	whole   bool                    // a table of words that replaces the usual one
	take    func(v any, r *reading) // checks a value and hands it on
}

// table declares a table in e.
func (e *entry) table(key, comment string) *entry {
	t := &entry{key: e.under(key), comment: comment}
	e.inside = append(e.inside, t)
	return t
}

func (e *entry) under(key string) string { return strings.TrimPrefix(e.key+"."+key, ".") }

func under(e *entry, words []string) []string {
	var out []string
	for _, w := range words {
		out = append(out, e.under(w))
	}
	return out
}

// wordTable is the value of a table of words.
type wordTable = map[string]any

// add declares a key in t: the value it has in a file that leaves it out, where its value goes, and how it is read.
func add[F, T any](t *entry, key string, usual F, to *T, parse func(F) (T, error), comment string) {
	e := t.table(key, comment)
	e.take = func(v any, r *reading) {
		file, value, err := parsed(v, parse)
		if err != nil {
			r.complain(err, e.key)
			return
		}
		e.value, *to = file, value
	}
	e.takeUsual(usual)
}

// addWords declares a table in t whose keys are the office's own, or where known is not nil, those alone; usual are
// the values there are already.
func addWords[F, T any](t *entry, key string, known []string, usual wordTable, to *map[string]T,
	parse func(F) (T, error), comment string) {
	e := t.table(key, comment)
	e.take = func(v any, r *reading) {
		words, ok := v.(map[string]any)
		if !ok {
			r.complain(errTable, e.key)
			return
		}
		e.whole = r.spots[strings.ToLower(e.key)].whole
		if *to == nil || e.whole {
			*to, e.value = map[string]T{}, wordTable{}
		}
		for _, word := range slices.Sorted(maps.Keys(words)) {
			i := slices.IndexFunc(known, func(k string) bool { return strings.EqualFold(k, word) })
			if i < 0 && known != nil {
				r.unknown(e.under(word), under(e, known))
				continue
			}
			name := word
			if i >= 0 {
				name = known[i]
			}
			file, value, err := parsed(words[word], parse)
			if err != nil {
				r.complain(err, e.under(word))
				continue
			}
			e.value.(wordTable)[name], (*to)[name] = file, value
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

// parsed reads a value of a settings file; of a number without quotes it also says what it lacks beside them.
func parsed[F, T any](v any, parse func(F) (T, error)) (file F, value T, err error) {
	if file, err = as[F](v); err == nil {
		value, err = parse(file)
	} else if text, ok := any(fmt.Sprint(v)).(F); ok && isNumber(v) {
		if _, also := parse(text); also != nil {
			err = fmt.Errorf("%w; %w", err, also)
		}
	}
	return file, value, err
}

func isNumber(v any) bool {
	switch v.(type) {
	case int64, float64:
		return true
	}
	return false
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
	return want, errors.New("write the value in quotes")
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
type complaint struct {
	line int // 0: of no line
	text string
}

// complain reports what is wrong with the keys that stand in the file, or with all where none does.
func (r *reading) complain(err error, keys ...string) {
	keys = slices.Compact(slices.Sorted(slices.Values(keys)))
	if slices.ContainsFunc(keys, func(k string) bool { return r.line(k) > 0 }) {
		keys = slices.DeleteFunc(keys, func(k string) bool { return r.line(k) == 0 })
	}
	slices.SortStableFunc(keys, func(a, b string) int { return cmp.Compare(r.line(a), r.line(b)) })
	x := complaint{line: r.line(keys[0])}
	for _, k := range keys {
		if n := r.line(k); n > 0 {
			x.text += fmt.Sprintf("line %d: ", n)
		}
		x.text += k + ", "
	}
	x.text = fmt.Sprintf("%s: %v", strings.TrimSuffix(x.text, ", "), err)
	r.found = append(r.found, x)
}

// unknown reports a key there is not, with the nearest of those there are.
func (r *reading) unknown(key string, known []string) {
	near := slices.MinFunc(known, func(a, b string) int {
		return sketch.EditDistance(key, a) - sketch.EditDistance(key, b)
	})
	x := complaint{line: r.line(key), text: fmt.Sprintf("there is no key %q; did you mean %q?", key, near)}
	if x.line > 0 {
		x.text = fmt.Sprintf("line %d: %s", x.line, x.text)
	}
	r.found = append(r.found, x)
}

// line returns the line a key stands in, 0 where it is not in the file. One in {braces} stands where its table does.
func (r *reading) line(key string) int {
	at, ok := r.spots[strings.ToLower(key)]
	for !ok && key != "" {
		key = key[:max(0, strings.LastIndex(key, "."))]
		at = r.spots[strings.ToLower(key)]
		ok = at.whole
	}
	return at.line
}

// error returns what was found in the order of the lines of the file, each with its line; nil where nothing was.
func (r *reading) error() error {
	slices.SortStableFunc(r.found, func(a, b complaint) int { return cmp.Compare(a.line, b.line) })
	var out []error
	for _, x := range r.found {
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
			r.unknown(key, r.file.keys())
			continue
		}
		x := e.inside[i]
		if x.take != nil {
			x.take(values[word], r)
		} else if inner, ok := values[word].(map[string]any); ok {
			x.read(inner, r)
		} else {
			r.complain(errTable, key)
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

// isTable reports whether e is printed under a header of its own, as a table that replaces another is not.
func (e *entry) isTable() bool {
	_, words := e.value.(wordTable)
	return words && !e.whole || e.inside != nil
}

// print writes what stands in e as a settings file has it, with comments: its tables last.
func (e *entry) print(b *bytes.Buffer) {
	tables := func(x *entry) int {
		if x.isTable() {
			return 1
		}
		return 0
	}
	for _, x := range slices.SortedStableFunc(slices.Values(e.inside), func(x, y *entry) int {
		return tables(x) - tables(y)
	}) {
		own, _ := x.value.(wordTable)
		isTable := x.isTable()
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
			own = wordTable{x.key[strings.LastIndex(x.key, ".")+1:]: x.value}
		}
		if err := toml.NewEncoder(b).SetTablesInline(!isTable).Encode(own); err != nil { // it was read from such a file
			panic(err)
		}
		x.print(b)
	}
}
