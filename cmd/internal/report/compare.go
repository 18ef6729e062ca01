package report

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"twinline/dxfio"
	"twinline/layout/duct"
)

// Revision is what changed between two drawings of ours.
type Revision struct {
	Changes []Change
}

// The kinds of change.
const (
	Added   = "added"
	Removed = "removed"
	Changed = "changed"
	Moved   = "moved" // all its facts are the same, at another place
)

// Change is one thing that came, went or became another. Facts that are the same on both
// sides are left out.
type Change struct {
	What   string // duct, flex, drop or terminal
	Name   string // of a terminal; of a run that leads to one, that terminal's
	Kind   string // Added, Removed, Changed or Moved
	Key    string
	Handle string
	At     dxfio.Point // drawing units, in the later drawing; where it was of what was removed
	Before []Fact
	After  []Fact
}

// Fact is one thing told of a piece of work, such as its size.
type Fact struct{ Name, Value string }

// Facts that name a thing rather than tell of it.
const (
	factKind     = "kind"     // duct, flex or drop
	factTerminal = "terminal" // the name of a terminal
	factTo       = "to"       // the terminal a run leads to
)

// told reports whether an entity tells facts of work that is ours.
func told(o dxfio.Owned) bool { return o.Data != "" && !o.Copy }

// HasFacts reports whether any work of ours in a drawing can be compared.
func HasFacts(owned []dxfio.Owned) bool { return slices.ContainsFunc(owned, told) }

// Compare finds what changed from one drawing to another by the facts their work carries:
// terminals first, then ducts in the order of their keys.
func Compare(before, after []dxfio.Owned) Revision {
	old := map[string]dxfio.Owned{}
	for _, o := range before {
		if told(o) {
			old[o.Key] = o
		}
	}
	bareBefore, bareAfter := unlabelled(before), unlabelled(after)
	var rev Revision
	for _, o := range after {
		if !told(o) {
			continue
		}
		was, there := old[o.Key]
		delete(old, o.Key)
		switch {
		case !there && !take(bareBefore, terminalOf(o)):
			rev.add(Added, o, nil, facts(o.Data))
		case !there:
		case was.Data != o.Data:
			if b, a := differing(facts(was.Data), facts(o.Data)); len(a)+len(b) > 0 {
				rev.add(Changed, o, b, a)
			}
		case terminalOf(o) == "" && away(was.At, o.At):
			rev.add(Moved, o, nil, nil)
		}
	}
	for _, o := range old {
		if !take(bareAfter, terminalOf(o)) {
			rev.add(Removed, o, facts(o.Data), nil)
		}
	}
	slices.SortFunc(rev.Changes, func(a, b Change) int {
		return cmp.Or(cmp.Compare(a.rank(), b.rank()), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.What, b.What),
			cmp.Compare(a.Name, b.Name), cmp.Compare(a.Key, b.Key))
	})
	return rev
}

// rank puts terminals before ducts: what a drafter changed before what followed from it.
func (c Change) rank() int {
	if c.What == factTerminal {
		return 0
	}
	return 1
}

// unlabelled counts, by name, the terminals a run leads to and no label tells of. The facts of
// a terminal are kept with its label; where there was no place for that, the run still shows
// that the terminal is there.
func unlabelled(owned []dxfio.Owned) map[string]int {
	out := map[string]int{}
	for _, o := range owned {
		if !told(o) {
			continue
		}
		for _, f := range facts(o.Data) {
			switch f.Name {
			case factTo:
				out[f.Value]++
			case factTerminal:
				out[f.Value]--
			}
		}
	}
	return out
}

// take reports whether any of that name is left, and takes one.
func take(left map[string]int, name string) bool {
	if left[name] <= 0 {
		return false
	}
	left[name]--
	return true
}

// terminalOf returns the name of the terminal whose label o is, or "".
func terminalOf(o dxfio.Owned) string {
	for _, f := range facts(o.Data) {
		if f.Name == factTerminal {
			return f.Value
		}
	}
	return ""
}

// sameSpot is how far work may lie from where it lay and not have moved, in drawing units.
const sameSpot = 1e-3

func away(a, b dxfio.Point) bool {
	return math.Max(math.Max(math.Abs(a.X-b.X), math.Abs(a.Y-b.Y)), math.Abs(a.Z-b.Z)) > sameSpot
}

func (r *Revision) add(kind string, o dxfio.Owned, before, after []Fact) {
	c := Change{Kind: kind, Key: o.Key, Handle: o.Handle, At: o.At}
	for _, f := range facts(o.Data) {
		switch f.Name {
		case factKind:
			c.What = f.Value
		case factTerminal:
			c.What, c.Name = factTerminal, f.Value
		case factTo:
			c.Name = f.Value
		}
	}
	c.Before, c.After = telling(before), telling(after)
	r.Changes = append(r.Changes, c)
}

// facts reads name=value pairs; what is no pair is left out. Values are worded as in the path
// of a URL, so that they hold no spaces.
func facts(data string) []Fact {
	var out []Fact
	for _, word := range strings.Fields(data) {
		name, value, ok := strings.Cut(word, "=")
		if !ok {
			continue
		}
		if plain, err := url.PathUnescape(value); err == nil {
			value = plain
		}
		out = append(out, Fact{name, value})
	}
	return out
}

// telling leaves out what names a thing.
func telling(list []Fact) []Fact {
	return slices.DeleteFunc(list, func(f Fact) bool {
		return f.Name == factKind || f.Name == factTerminal || f.Name == factTo
	})
}

// differing returns the facts that are not the same on both sides.
func differing(before, after []Fact) (b, a []Fact) {
	for _, f := range before {
		if !slices.Contains(after, f) {
			b = append(b, f)
		}
	}
	for _, f := range after {
		if !slices.Contains(before, f) {
			a = append(a, f)
		}
	}
	return b, a
}

// Print tells the changes, a line each, at most that many.
func (r Revision) Print(w io.Writer, st Style, most int) {
	for i, c := range r.Changes {
		if i == most {
			fmt.Fprintf(w, "  and %d more\n", len(r.Changes)-most)
			return
		}
		line := fmt.Sprintf("  %s %s at %s, %s", c.Kind, c.title(), coord(c.At.X, 1), coord(c.At.Y, 1))
		if text := st.change(c); text != "" {
			line += ": " + text
		}
		fmt.Fprintln(w, line)
	}
}

// Counts says how many changes there are of each kind.
func (r Revision) Counts() string {
	var parts []string
	for _, kind := range []string{Added, Removed, Changed, Moved} {
		n := 0
		for _, c := range r.Changes {
			if c.Kind == kind {
				n++
			}
		}
		if n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, kind))
		}
	}
	if len(parts) == 0 {
		return "nothing"
	}
	return strings.Join(parts, ", ")
}

// Shows reports whether a drawing looks different for a change. Where nothing but the airflow
// in a duct became another it does not: no duct is lettered with its airflow.
func (c Change) Shows() bool {
	if c.Kind != Changed || c.What == factTerminal {
		return true
	}
	return slices.ContainsFunc(append(slices.Clone(c.Before), c.After...), func(f Fact) bool { return f.Name != "flow" })
}

// title is what a thing is called: terminal S-101, drop to S-101, duct.
func (c Change) title() string {
	switch {
	case c.Name == "":
		return c.What
	case c.What == factTerminal:
		return c.What + " " + c.Name
	}
	return c.What + " to " + c.Name
}

func (st Style) change(c Change) string {
	b, a := st.words(c.Before), st.words(c.After)
	switch {
	case b == "":
		return a
	case a == "":
		return b
	}
	return b + " -> " + a
}

func (st Style) words(list []Fact) string {
	var out []string
	for _, f := range list {
		out = append(out, st.fact(f))
	}
	return strings.Join(out, ", ")
}

// fact words a fact in the units of the drawing; lengths are held in millimetres, flows in m3/s.
func (st Style) fact(f Fact) string {
	v, err := strconv.ParseFloat(f.Value, 64)
	switch {
	case f.Name == "size":
		return st.heldSize(f.Value)
	case err != nil:
	case f.Name == "flow":
		return st.Flow(duct.Flow(v))
	case f.Name == "length":
		return st.Length(duct.Length(v)*duct.Millimetre) + " long"
	}
	return f.Value
}

func (st Style) heldSize(text string) string {
	shape := duct.Rect
	if rest, ok := strings.CutPrefix(text, "dia"); ok {
		text, shape = rest+"x"+rest, duct.Round
	} else if rest, ok := strings.CutPrefix(text, "oval"); ok {
		text, shape = rest, duct.Oval
	}
	w, h, ok := strings.Cut(text, "x")
	a, errA := strconv.ParseFloat(w, 64)
	b, errB := strconv.ParseFloat(h, 64)
	if !ok || errA != nil || errB != nil {
		return "no size"
	}
	return st.Size(duct.Size{Shape: shape, Width: duct.Length(a) * duct.Millimetre, Height: duct.Length(b) * duct.Millimetre})
}

// JSON writes the changes for programs: places in drawing units, facts as they are held, lengths
// and sizes in millimetres and flows in m3/s.
func (r Revision) JSON(w io.Writer, version string) error {
	type change struct {
		Kind   string            `json:"kind"`
		What   string            `json:"what"`
		Name   string            `json:"name,omitempty"`
		Handle string            `json:"handle"`
		At     [3]number         `json:"at"`
		Before map[string]string `json:"before,omitempty"`
		After  map[string]string `json:"after,omitempty"`
	}
	held := func(list []Fact) map[string]string {
		out := map[string]string{}
		for _, f := range list {
			out[f.Name] = f.Value
		}
		return out
	}
	out := struct {
		Twinline string   `json:"twinline"`
		Changes  []change `json:"changes"`
	}{version, []change{}}
	for _, c := range r.Changes {
		out.Changes = append(out.Changes, change{c.Kind, c.What, c.Name, c.Handle,
			[3]number{number(c.At.X), number(c.At.Y), number(c.At.Z)}, held(c.Before), held(c.After)})
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(out)
}
