package report

import (
	"cmp"
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/tabwriter"

	"twinline/layout/diag"
	"twinline/layout/duct"
)

// Caution is said in every report and once in every run.
const Caution = "For checking by a qualified engineer. Local codes, fire and smoke dampers, structure, hygiene, noise and the\n" +
	"manufacturer's data come first; existing sizes and airflows need a survey."

// Paint puts colour around words, or nothing where the output is no terminal.
type Paint bool

func (p Paint) level(l diag.Level) string {
	if !p {
		return l.String()
	}
	return fmt.Sprintf("\x1b[%sm%s\x1b[0m", [...]string{"36", "33", "31;1"}[l], l)
}

// Findings prints findings as a table, places in drawing units.
func Findings(w io.Writer, found diag.List, unit duct.Length, paint Paint) {
	if unit <= 0 {
		unit = 1
	}
	for _, d := range found.Sorted() {
		place := fmt.Sprintf("at %s, %s, %s", coord(d.At[0], unit), coord(d.At[1], unit), coord(d.At[2], unit))
		if d.Handle != "" {
			place += " (entity " + d.Handle + ")"
		}
		fmt.Fprintf(w, "%s  %s  %s\n    %s\n", paint.level(d.Level), d.Code, place, d.Text)
		if d.Do != "" {
			fmt.Fprintf(w, "    %s\n", d.Do)
		}
	}
}

func coord(v float64, unit duct.Length) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.3f", v/float64(unit)), "0"), ".")
}

// Counts says how many findings there are of each level.
func Counts(found diag.List) string {
	if len(found) == 0 {
		return "no findings"
	}
	var parts []string
	for _, l := range []diag.Level{diag.Error, diag.Warning, diag.Note} {
		if n := found.Count(l); n > 0 {
			parts = append(parts, plural(n, l.String()))
		}
	}
	return strings.Join(parts, ", ")
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

// Style is how quantities are printed: in inch-pound units or SI, as package duct words them.
type Style struct{ Inches bool }

// Size prints the size of a duct.
func (st Style) Size(s duct.Size) string {
	if s.IsZero() {
		return "-"
	}
	return s.Text(st.Inches)
}

// Flow prints an airflow.
func (st Style) Flow(q duct.Flow) string { return q.Text(st.Inches) }

// Velocity prints a velocity.
func (st Style) Velocity(v duct.Velocity) string { return v.Text(st.Inches) }

// Pressure prints a pressure.
func (st Style) Pressure(p duct.Pressure) string { return p.Text(st.Inches) }

// Rate prints a friction rate.
func (st Style) Rate(r duct.Rate) string { return r.Text(st.Inches) }

// Length prints how long a duct is, in feet or metres.
func (st Style) Length(l duct.Length) string {
	if st.Inches {
		return strconv.FormatFloat(float64(l/duct.Foot), 'f', 1, 64) + " ft"
	}
	return strconv.FormatFloat(float64(l), 'f', 2, 64) + " m"
}

// Sizes prints sizes and pressures, a table of runs and one of terminals for each system.
func Sizes(w io.Writer, net *duct.Network, des *duct.Design, st Style) {
	for i := range net.Systems {
		s := &net.Systems[i]
		if i > 0 {
			fmt.Fprintln(w)
		}
		fmt.Fprintln(w, Headline(net, des, s, st))
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		fmt.Fprintln(t, "  run\tfrom\tto\tstate\tkind\tsize\tlength\tairflow\tvelocity\tfriction\tfittings\ttotal")
		for _, id := range s.Runs {
			r, d := &net.Runs[id], des.Runs[id]
			fmt.Fprintf(t, "  %s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", RunName(id), NodeName(r.From), NodeName(r.To),
				r.Status, r.Kind, st.Size(d.Size), st.Length(d.Length), st.Flow(r.Flow),
				st.Velocity(d.Velocity), st.Rate(d.Rate), st.Pressure(d.Fittings), st.Pressure(d.Friction+d.Fittings))
		}
		t.Flush()
		fmt.Fprintln(w)
		t = tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		fmt.Fprintln(t, "  terminal\tnode\tstate\tairflow\town loss\tpath\tto throttle\tdamper in\tits C")
		for _, id := range s.Terminals {
			x, d := &net.Terminals[id], des.Terminals[id]
			damper, c := "-", "-"
			switch {
			case id == des.Systems[i].Deciding:
				damper, c = "", "decides"
			case d.Damper != duct.None && d.Throttle > 0:
				damper, c = RunName(d.Damper), strconv.FormatFloat(d.DamperC, 'g', 3, 64)
			}
			fmt.Fprintf(t, "  %s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", x.Name, NodeName(x.Node), x.Status, st.Flow(x.Flow),
				st.Pressure(x.Loss), st.Pressure(d.Path), st.Pressure(d.Throttle), damper, c)
		}
		t.Flush()
		throttling(w, des, s, st)
	}
	units(w, net, des, st)
}

// throttling says what all dampers of a system take together, and what they took before balancing by size.
func throttling(w io.Writer, des *duct.Design, s *duct.System, st Style) {
	var sum duct.Pressure
	for _, id := range s.Terminals {
		sum += des.Terminals[id].Throttle
	}
	if strings.Contains(des.Systems[s.ID].Method, "balanced") {
		fmt.Fprintf(w, "  Left to throttle at all terminals together: %s; before balancing by size %s.\n", st.Pressure(sum),
			st.Pressure(des.Systems[s.ID].Unthrottled))
	}
}

// units says what every unit has to give: at its outlet, at its inlet, or between them.
func units(w io.Writer, net *duct.Network, des *duct.Design, st Style) {
	fmt.Fprintln(w)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  unit\toutlet total\toutlet static\tinlet total\tinlet static\tneeds\thas\tmargin")
	hangs := make([][]*duct.System, len(net.Units)) // on each unit
	for k := range net.Systems {
		if s := &net.Systems[k]; s.Unit != duct.None {
			hangs[s.Unit] = append(hangs[s.Unit], s)
		}
	}
	for i := range net.Units {
		u := &net.Units[i]
		outlet, inlet := [2]string{"-", "-"}, [2]string{"-", "-"}
		var out, in duct.Pressure
		for _, s := range hangs[i] {
			p, side, most := des.Nodes[s.Head], &outlet, &out
			if !s.Air.FromUnit() {
				side, most = &inlet, &in
			}
			if need := des.Systems[s.ID].Required; side[0] == "-" || need > *most { // it may be negative: buoyancy
				*most, *side = need, [2]string{st.Pressure(p.Total), st.Pressure(p.Static)}
			}
		}
		if len(hangs[i]) == 0 {
			continue
		}
		has, margin := "-", "-"
		if u.HasAvailable {
			has, margin = st.Pressure(u.Available), st.Pressure(u.Available-out-in)
		}
		fmt.Fprintf(t, "  %s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", u.Mark, outlet[0], outlet[1], inlet[0], inlet[1], st.Pressure(out+in), has, margin)
	}
	t.Flush()
}

// Headline says in a line what one system needs.
func Headline(net *duct.Network, des *duct.Design, s *duct.System, st Style) string {
	res := des.Systems[s.ID]
	line := fmt.Sprintf("%s %s: %s to %s, %s, needs %s", cmp.Or(s.Name, "Unit without a mark,"), s.Air, st.Flow(s.Flow), plural(len(s.Terminals), "terminal"),
		res.Method, st.Pressure(res.Required))
	if !s.Air.FromUnit() {
		line = strings.Replace(line, " to ", " from ", 1)
	}
	if res.Deciding != duct.None {
		line += ", decided by " + net.Terminals[res.Deciding].Name
	}
	if net.Units[s.Unit].HasAvailable {
		line += fmt.Sprintf("; the unit has %s, margin %s", st.Pressure(res.Available), st.Pressure(res.Available-res.Required))
	}
	return line
}
