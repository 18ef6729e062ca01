package report

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"twinline/dxfio"
	"twinline/layout/duct"
	"twinline/layout/key"
	"twinline/layout/shape"
	"twinline/layout/words"
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

// Change is one thing that came, went or became another.
type Change struct {
	Kind   string  // Added, Removed, Changed or Moved
	Key    key.Key // of what holds its facts
	Handle string
	At     dxfio.Point // drawing units, in the later drawing; where it was of what was removed

	before, after *shape.Facts // nil: it was not there, or is not
	facts         []string     // those that are not the same on both sides, but for names and kinds
}

// held is an entity of ours with the facts it holds.
type held struct {
	dxfio.Owned
	facts *shape.Facts
}

// holding returns what of a drawing can be compared.
func holding(owned []dxfio.Owned) (out []held) {
	for _, o := range owned {
		if f, ok := shape.ParseFacts(o.Data); ok && !o.Copy {
			out = append(out, held{o, f})
		}
	}
	return out
}

// HasFacts reports whether any work of ours in a drawing can be compared.
func HasFacts(owned []dxfio.Owned) bool { return len(holding(owned)) > 0 }

// Compare finds what changed from one drawing to another by the facts their work holds:
// terminals first, then ducts in the order of their keys.
func Compare(earlier, later []dxfio.Owned) Revision {
	before, after := holding(earlier), holding(later)
	old := map[string]held{}
	for _, o := range before {
		old[o.Key] = o
	}
	bareBefore, bareAfter := unlabelled(before), unlabelled(after)
	var rev Revision
	for _, o := range after {
		was, there := old[o.Key]
		delete(old, o.Key)
		switch {
		case !there && !take(bareBefore, o.facts.Terminal):
			rev.add(Added, o, nil, o.facts)
		case !there:
		case was.Data != o.Data:
			rev.add(Changed, o, was.facts, o.facts)
		case o.facts.Terminal == "" && away(was.At, o.At):
			rev.add(Moved, o, o.facts, o.facts)
		}
	}
	for _, o := range old {
		if !take(bareAfter, o.facts.Terminal) {
			rev.add(Removed, o, o.facts, nil)
		}
	}
	slices.SortFunc(rev.Changes, func(a, b Change) int {
		return cmp.Or(cmp.Compare(a.rank(), b.rank()), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.What(), b.What()),
			cmp.Compare(a.Name(), b.Name()), cmp.Compare(a.Key, b.Key))
	})
	return rev
}

// add adds a change; what was changed but holds the same facts, in other words, is none.
func (r *Revision) add(kind string, o held, before, after *shape.Facts) {
	c := Change{Kind: kind, Key: key.Key(o.Key), Handle: o.Handle, At: o.At, before: before, after: after}
	b, a := list(before), list(after)
	if kind == Changed && slices.Equal(a, b) {
		return
	}
	for _, f := range append(b, a...) {
		named := f.Name == shape.FactKind || f.Name == shape.FactTerminal || f.Name == shape.FactTo
		if !named && !(slices.Contains(a, f) && slices.Contains(b, f)) && !slices.Contains(c.facts, f.Name) {
			c.facts = append(c.facts, f.Name)
		}
	}
	r.Changes = append(r.Changes, c)
}

// list returns the facts as they are held; none of what is not there.
func list(f *shape.Facts) []shape.Fact {
	if f == nil {
		return nil
	}
	return f.List()
}

// is returns what the thing is, or was where it is gone.
func (c Change) is() *shape.Facts {
	if c.after != nil {
		return c.after
	}
	return c.before
}

// What says what kind of thing it is: duct, flex, drop or terminal.
func (c Change) What() string {
	if f := c.is(); f.Terminal == "" {
		return f.Kind.String()
	}
	return shape.FactTerminal
}

// Name returns the name of a terminal, or of the terminal a run leads to.
func (c Change) Name() string { return cmp.Or(c.is().Terminal, c.is().To) }

// rank puts terminals before ducts: what a drafter changed before what followed from it.
func (c Change) rank() int {
	if c.is().Terminal != "" {
		return 0
	}
	return 1
}

// unlabelled counts, by name, the terminals a run leads to and no label says anything of. The facts of
// a terminal are kept with its label; where there was no place for that, the run still shows
// that the terminal is there.
func unlabelled(list []held) map[string]int {
	out := map[string]int{}
	for _, o := range list {
		if o.facts.To != "" {
			out[o.facts.To]++
		}
		if o.facts.Terminal != "" {
			out[o.facts.Terminal]--
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

// sameSpot is how far work may lie from where it lay and not have moved, in drawing units.
const sameSpot = 1e-3

func away(a, b dxfio.Point) bool {
	return math.Max(math.Max(math.Abs(a.X-b.X), math.Abs(a.Y-b.Y)), math.Abs(a.Z-b.Z)) > sameSpot
}

// Print lists the changes, a line each, at most that many.
func (r Revision) Print(out io.Writer, w words.Words, most int) {
	w = w.DrawnIn(duct.Metre) // places are in drawing units already
	for i, c := range r.Changes {
		if i == most {
			fmt.Fprintf(out, "  and %d more\n", len(r.Changes)-most)
			return
		}
		line := fmt.Sprintf("  %s %s at %s, %s", c.Kind, c.title(), w.Coordinate(c.At.X), w.Coordinate(c.At.Y))
		if text := c.says(w); text != "" {
			line += ": " + text
		}
		fmt.Fprintln(out, line)
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
	if c.Kind != Changed || c.is().Terminal != "" {
		return true
	}
	return slices.ContainsFunc(c.facts, func(name string) bool { return name != shape.FactFlow })
}

// title is what a thing is called: terminal S-101, drop to S-101, duct.
func (c Change) title() string {
	f := c.is()
	switch {
	case f.Terminal != "":
		return words.Terminal(f.Terminal)
	case f.To != "":
		return f.Kind.String() + " to " + f.To
	}
	return f.Kind.String()
}

// says words what changed: from what to what, or what it is or was.
func (c Change) says(w words.Words) string {
	var sides []string
	for _, f := range []*shape.Facts{c.before, c.after} {
		if f == nil || len(c.facts) == 0 {
			continue
		}
		var out []string
		for _, name := range c.facts {
			out = append(out, say(w, f, name))
		}
		sides = append(sides, strings.Join(out, ", "))
	}
	return strings.Join(sides, " -> ")
}

// say words a fact in the units of the drawing.
func say(w words.Words, f *shape.Facts, name string) string {
	switch name {
	case shape.FactSize:
		return cmp.Or(w.Size(f.Size), "no size")
	case shape.FactFlow:
		return w.Flow(f.Flow)
	case shape.FactLength:
		return w.Measures().Distance.Fixed(float64(f.Length)) + " long"
	}
	return f.Status.String()
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
	out := struct {
		Twinline string   `json:"twinline"`
		Changes  []change `json:"changes"`
	}{version, []change{}}
	for _, c := range r.Changes {
		as := func(f *shape.Facts) map[string]string {
			out := map[string]string{}
			for _, v := range list(f) {
				if slices.Contains(c.facts, v.Name) {
					out[v.Name] = v.Value
				}
			}
			return out
		}
		out.Changes = append(out.Changes, change{c.Kind, c.What(), c.Name(), c.Handle,
			[3]number{number(c.At.X), number(c.At.Y), number(c.At.Z)}, as(c.before), as(c.after)})
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(out)
}
