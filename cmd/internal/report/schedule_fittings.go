package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"twinline/layout/duct"
)

// fittings counts fittings by kind and size.
func (s *scheduler) fittings() Table {
	t := Table{Name: "Fittings", Title: "Fittings by kind and size",
		Notes: []string{"A junction counts once, as what branches off; its straight leg and plain joints are no fittings here. Bends of flexible duct are not counted. " +
			"Size changes: larger size first."},
		Columns: append(texts("system", "air", "status", "kind", "size"), count("number"))}
	g := newGroups()
	for _, f := range s.Des.Fittings {
		if f.Run == duct.None {
			continue
		}
		kind, size := s.fitting(&f)
		if kind == "" {
			continue
		}
		r := &s.Net.Runs[f.Run]
		name, air := s.system(r.System, r.Air)
		g.add(int(r.System), name, air, r.Status.String(), kind, size)
	}
	t.Rows = g.rows()
	t.sum("all states")
	return t
}

// fitting words the kind and size of what is to be counted, or returns no kind.
func (s *scheduler) fitting(f *duct.Fitting) (kind, size string) {
	in := s.Style.Inches
	own, common := f.Own.Text(in), f.Common.Text(in)
	turn := fmt.Sprintf("%s, %.0f°", own, f.Angle/duct.Degree)
	pliable := !rigid(&s.Net.Runs[f.Run])
	switch f.Kind {
	case duct.Elbow, duct.Mitre, duct.VanedMitre:
		if pliable {
			return "", ""
		}
		return map[duct.FittingKind]string{duct.Elbow: "elbow", duct.Mitre: "mitred elbow", duct.VanedMitre: "mitred elbow with vanes"}[f.Kind], turn
	case duct.DropConn:
		if pliable {
			return "", ""
		}
		return "bend to a vertical run", own
	case duct.Offset:
		return "offset", turn
	case duct.Reducer, duct.Expander:
		if f.Own.Area() > f.Common.Area() {
			own, common = common, own
		}
		return "size change", common + " to " + own
	case duct.Takeoff:
		return "takeoff, " + f.Form.String(), own + " from " + common
	case duct.Wye, duct.Bullhead, duct.Cross:
		if s.lowestLeg(f) {
			return map[duct.FittingKind]string{duct.Wye: "wye", duct.Bullhead: "bullhead tee", duct.Cross: "cross"}[f.Kind], s.legs(f)
		}
	case duct.Entry, duct.Exit:
		return "connection to a unit", own
	case duct.TerminalConn:
		return "connection to a terminal", own
	case duct.EndCap:
		return "end cap", own
	}
	return "", ""
}

// lowestLeg reports whether f is the first of the legs of its junction, so that it counts once.
func (s *scheduler) lowestLeg(f *duct.Fitting) bool {
	for _, o := range s.byNode[f.Node] {
		if o.Kind == f.Kind && o.Run < f.Run {
			return false
		}
	}
	return true
}

// legs words the sizes of a junction: the common leg, then the others, the largest first.
func (s *scheduler) legs(f *duct.Fitting) string {
	var list []duct.Size
	for _, o := range s.byNode[f.Node] {
		if o.Main == f.Main && (o.Kind == f.Kind || o.Kind == duct.Through) {
			list = append(list, o.Own)
		}
	}
	slices.SortFunc(list, func(a, b duct.Size) int { return cmp.Compare(b.Area(), a.Area()) })
	words := make([]string, len(list))
	for i, size := range list {
		words[i] = size.Text(s.Style.Inches)
	}
	return f.Common.Text(s.Style.Inches) + " to " + strings.Join(words, " and ")
}

// groups counts things that are told with the same words, by system.
type groups struct {
	number map[string]int
	words  map[string][]string
	system map[string]int
}

func newGroups() *groups { return &groups{map[string]int{}, map[string][]string{}, map[string]int{}} }

func (g *groups) add(system int, words ...string) {
	key := fmt.Sprintf("%d\x00%s", system, strings.Join(words, "\x00"))
	g.number[key]++
	g.words[key], g.system[key] = words, system
}

// rows returns the words of every group and its number; systems in their order, what is in
// none last, then by the words.
func (g *groups) rows() [][]Cell {
	keys := make([]string, 0, len(g.number))
	for k := range g.number {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b string) int {
		return cmp.Or(cmp.Compare(uint(g.system[a]), uint(g.system[b])), slices.Compare(g.words[a], g.words[b]))
	})
	var out [][]Cell
	for _, k := range keys {
		var row []Cell
		for _, w := range g.words[k] {
			row = append(row, text(w))
		}
		out = append(out, append(row, num(float64(g.number[k]))))
	}
	return out
}
