package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/words"
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
func Findings(out io.Writer, found diag.List, w words.Words, paint Paint) {
	for _, d := range found.Sorted() {
		place := fmt.Sprintf("at %s, %s, %s", w.Coordinate(d.At[0]), w.Coordinate(d.At[1]), w.Coordinate(d.At[2]))
		if d.Handle != "" {
			place += " (entity " + d.Handle + ")"
		}
		fmt.Fprintf(out, "%s  %s  %s\n    %s\n", paint.level(d.Level), d.Code, place, d.Text)
		if d.Do != "" {
			fmt.Fprintf(out, "    %s\n", d.Do)
		}
	}
}

// Counts says how many findings there are of each level.
func Counts(found diag.List) string {
	if len(found) == 0 {
		return "no findings"
	}
	var parts []string
	for _, l := range []diag.Level{diag.Error, diag.Warning, diag.Note} {
		if n := found.Count(l); n > 0 {
			parts = append(parts, words.Count(n, l.String()))
		}
	}
	return strings.Join(parts, ", ")
}

// sized writes a size, a dash for none.
func sized(w words.Words, s duct.Size) string { return cmp.Or(w.Size(s), "-") }

// Sizes prints sizes and pressures, a table of runs and one of terminals for each system, then one of units.
func Sizes(out io.Writer, net *duct.Network, des *duct.Design, w words.Words) {
	for i := range net.Systems {
		s := &net.Systems[i]
		if i > 0 {
			fmt.Fprintln(out)
		}
		fmt.Fprintln(out, Headline(net, des, s, w))
		runTable(net, des, s, w).Text(out)
		fmt.Fprintln(out)
		terminalTable(net, des, s, w).Text(out)
		throttling(out, des, s, w)
	}
	fmt.Fprintln(out)
	unitTable(net, des, w).Text(out)
}

func runTable(net *duct.Network, des *duct.Design, s *duct.System, w words.Words) Table {
	type row struct {
		*duct.Run
		duct.RunResult
	}
	var rows []row
	for _, id := range s.Runs {
		rows = append(rows, row{&net.Runs[id], des.Runs[id]})
	}
	return tabulate(Table{}, rows, []column[row]{
		text("run", func(r row) string { return words.Run(r.ID) }),
		text("from", func(r row) string { return words.Node(r.From) }),
		text("to", func(r row) string { return words.Node(r.To) }),
		text("state", func(r row) string { return r.Status.String() }),
		text("kind", func(r row) string { return r.Kind.String() }),
		text("size", func(r row) string { return sized(w, r.Size) }),
		text("length", func(r row) string { return w.Measures().Distance.Fixed(float64(r.Length)) }),
		text("airflow", func(r row) string { return w.Flow(r.Flow) }),
		text("velocity", func(r row) string { return w.Velocity(r.Velocity) }),
		text("friction", func(r row) string { return w.Rate(r.Rate) }),
		text("fittings", func(r row) string { return w.Pressure(r.Fittings) }),
		text("total", func(r row) string { return w.Pressure(r.Friction + r.Fittings) }),
	})
}

func terminalTable(net *duct.Network, des *duct.Design, s *duct.System, w words.Words) Table {
	type row struct {
		*duct.Terminal
		duct.TerminalResult
		damper, c string
	}
	var rows []row
	for _, id := range s.Terminals {
		x := row{&net.Terminals[id], des.Terminals[id], "-", "-"}
		switch {
		case id == des.Systems[s.ID].Deciding:
			x.damper, x.c = "", "decides"
		case x.Damper != duct.None && x.Throttle > 0:
			x.damper, x.c = words.Run(x.Damper), strconv.FormatFloat(x.DamperC, 'g', 3, 64)
		}
		rows = append(rows, x)
	}
	return tabulate(Table{}, rows, []column[row]{
		text("terminal", func(t row) string { return t.Name }),
		text("node", func(t row) string { return words.Node(t.Node) }),
		text("state", func(t row) string { return t.Status.String() }),
		text("airflow", func(t row) string { return w.Flow(t.Flow) }),
		text("own loss", func(t row) string { return w.Pressure(t.Loss) }),
		text("path", func(t row) string { return w.Pressure(t.Path) }),
		text("to throttle", func(t row) string { return w.Pressure(t.Throttle) }),
		text("damper in", func(t row) string { return t.damper }),
		text("its C", func(t row) string { return t.c }),
	})
}

// throttling says what all dampers of a system take together, and what they took before balancing by size.
func throttling(out io.Writer, des *duct.Design, s *duct.System, w words.Words) {
	var sum duct.Pressure
	for _, id := range s.Terminals {
		sum += des.Terminals[id].Throttle
	}
	if strings.Contains(des.Systems[s.ID].Method, "balanced") {
		fmt.Fprintf(out, "  Left to throttle at all terminals together: %s; before balancing by size %s.\n", w.Pressure(sum),
			w.Pressure(des.Systems[s.ID].Unthrottled))
	}
}

// side is what a unit has to give at its outlet or its inlet: the most of what the systems there need.
type side struct {
	there                bool
	needs, total, static duct.Pressure
}

// most makes s what a system needs, where that is more; it may be less than nothing, by buoyancy.
func (s *side) most(needs duct.Pressure, head duct.NodeResult) {
	if !s.there || needs > s.needs {
		*s = side{true, needs, head.Total, head.Static}
	}
}

// unitTable says what every unit has to give: at its outlet, at its inlet, or between them.
func unitTable(net *duct.Network, des *duct.Design, w words.Words) Table {
	type row struct {
		*duct.Unit
		outlet, inlet side
	}
	all := make([]row, len(net.Units))
	for k := range net.Systems {
		s := &net.Systems[k]
		if s.Unit == duct.None {
			continue
		}
		u := &all[s.Unit]
		u.Unit = &net.Units[s.Unit]
		at := &u.outlet
		if !s.Air.FromUnit() {
			at = &u.inlet
		}
		at.most(des.Systems[s.ID].Required, des.Nodes[s.Head])
	}
	all = slices.DeleteFunc(all, func(u row) bool { return u.Unit == nil })
	pressure := func(there bool, p duct.Pressure) string {
		if !there {
			return "-"
		}
		return w.Pressure(p)
	}
	return tabulate(Table{}, all, []column[row]{
		text("unit", func(u row) string { return u.Mark }),
		text("outlet total", func(u row) string { return pressure(u.outlet.there, u.outlet.total) }),
		text("outlet static", func(u row) string { return pressure(u.outlet.there, u.outlet.static) }),
		text("inlet total", func(u row) string { return pressure(u.inlet.there, u.inlet.total) }),
		text("inlet static", func(u row) string { return pressure(u.inlet.there, u.inlet.static) }),
		text("needs", func(u row) string { return w.Pressure(u.outlet.needs + u.inlet.needs) }),
		text("has", func(u row) string { return pressure(u.HasAvailable, u.Available) }),
		text("margin", func(u row) string {
			return pressure(u.HasAvailable, u.Available-u.outlet.needs-u.inlet.needs)
		}),
	})
}

// Headline says in a line what one system needs.
func Headline(net *duct.Network, des *duct.Design, s *duct.System, w words.Words) string {
	res := des.Systems[s.ID]
	line := fmt.Sprintf("%s %s: %s to %s, %s, needs %s", cmp.Or(s.Name, "Unit without a mark,"), s.Air, w.Flow(s.Flow), words.Count(len(s.Terminals), "terminal"),
		res.Method, w.Pressure(res.Required))
	if !s.Air.FromUnit() {
		line = strings.Replace(line, " to ", " from ", 1)
	}
	if res.Deciding != duct.None {
		line += ", decided by " + net.Terminals[res.Deciding].Name
	}
	if net.Units[s.Unit].HasAvailable {
		line += fmt.Sprintf("; the unit has %s, margin %s", w.Pressure(res.Available), w.Pressure(res.Available-res.Required))
	}
	return line
}
