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
const Caution = "For checking by a qualified engineer. Local codes, fire and smoke dampers, structure, hygiene, " +
	"noise and the\nmanufacturer's data come first; existing sizes and airflows need a survey."

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
	type row = duct.RunID
	r, res := net.Runs, des.Runs
	return tabulate(Table{}, s.Runs, []column[row]{
		text("run", words.Run),
		text("from", func(id row) string { return words.Node(r[id].From) }),
		text("to", func(id row) string { return words.Node(r[id].To) }),
		text("state", func(id row) string { return r[id].Status.String() }),
		text("kind", func(id row) string { return r[id].Kind.String() }),
		text("size", func(id row) string { return sized(w, res[id].Size) }),
		text("length", func(id row) string { return w.Measures().Distance.Fixed(float64(res[id].Length)) }),
		text("airflow", func(id row) string { return w.Flow(r[id].Flow) }),
		text("velocity", func(id row) string { return w.Velocity(res[id].Velocity) }),
		text("friction", func(id row) string { return w.Rate(res[id].Rate) }),
		text("fittings", func(id row) string { return w.Pressure(res[id].Fittings) }),
		text("total", func(id row) string { return w.Pressure(res[id].Friction + res[id].Fittings) }),
	})
}

func terminalTable(net *duct.Network, des *duct.Design, s *duct.System, w words.Words) Table {
	type row = duct.TerminalID
	x, res := net.Terminals, des.Terminals
	damper := func(id row) (in, c string) {
		switch {
		case des.Systems[s.ID].Deciding == id:
			return "", "decides"
		case res[id].Damper == duct.None || res[id].Throttle <= 0:
			return "-", "-"
		}
		return words.Run(res[id].Damper), strconv.FormatFloat(res[id].DamperC, 'g', 3, 64)
	}
	return tabulate(Table{}, s.Terminals, []column[row]{
		text("terminal", func(id row) string { return x[id].Name }),
		text("node", func(id row) string { return words.Node(x[id].Node) }),
		text("state", func(id row) string { return x[id].Status.String() }),
		text("airflow", func(id row) string { return w.Flow(x[id].Flow) }),
		text("own loss", func(id row) string { return w.Pressure(x[id].Loss) }),
		text("path", func(id row) string { return w.Pressure(res[id].Path) }),
		text("to throttle", func(id row) string { return w.Pressure(res[id].Throttle) }),
		text("damper in", func(id row) string { in, _ := damper(id); return in }),
		text("its C", func(id row) string { _, c := damper(id); return c }),
	})
}

// throttling says what all dampers of a system take together, and what they took before balancing by size.
func throttling(out io.Writer, des *duct.Design, s *duct.System, w words.Words) {
	var sum duct.Pressure
	for _, id := range s.Terminals {
		sum += des.Terminals[id].Throttle
	}
	if strings.Contains(des.Systems[s.ID].Method, "balanced") {
		fmt.Fprintf(out, "  Left to throttle at all terminals together: %s; before balancing by size %s.\n",
			w.Pressure(sum),
			w.Pressure(des.Systems[s.ID].Unthrottled))
	}
}

// unitTable says what every unit has to give: at its outlet, at its inlet, or between them.
func unitTable(net *duct.Network, des *duct.Design, w words.Words) Table {
	const outlet, inlet = 0, 1
	type row struct {
		*duct.Unit
		head  [2]*duct.NodeResult // where the system that needs most begins; nil: there is none on that side
		needs [2]duct.Pressure
	}
	rows := make([]row, len(net.Units))
	for k := range net.Systems {
		s, side := &net.Systems[k], outlet
		if s.Unit == duct.None {
			continue
		}
		if !s.Air.FromUnit() {
			side = inlet
		}
		u := &rows[s.Unit]
		u.Unit = &net.Units[s.Unit]
		// It may need less than nothing, by buoyancy.
		if need := des.Systems[k].Required; u.head[side] == nil || need > u.needs[side] {
			u.head[side], u.needs[side] = &des.Nodes[s.Head], need
		}
	}
	rows = slices.DeleteFunc(rows, func(u row) bool { return u.Unit == nil })
	at := func(name string, side int, of func(*duct.NodeResult) duct.Pressure) column[row] {
		return text(name, func(u row) string {
			if u.head[side] == nil {
				return "-"
			}
			return w.Pressure(of(u.head[side]))
		})
	}
	total := func(n *duct.NodeResult) duct.Pressure { return n.Total }
	static := func(n *duct.NodeResult) duct.Pressure { return n.Static }
	sum := func(u row) duct.Pressure { return u.needs[outlet] + u.needs[inlet] }
	return tabulate(Table{}, rows, []column[row]{
		text("unit", func(u row) string { return u.Mark }),
		at("outlet total", outlet, total),
		at("outlet static", outlet, static),
		at("inlet total", inlet, total),
		at("inlet static", inlet, static),
		text("needs", func(u row) string { return w.Pressure(sum(u)) }),
		text("has", func(u row) string { return cmp.Or(when(u.HasAvailable, w.Pressure(u.Available)), "-") }),
		text("margin", func(u row) string { return cmp.Or(when(u.HasAvailable, w.Pressure(u.Available-sum(u))), "-") }),
	})
}

// Headline says in a line what one system needs.
func Headline(net *duct.Network, des *duct.Design, s *duct.System, w words.Words) string {
	res := des.Systems[s.ID]
	way := "to"
	if !s.Air.FromUnit() {
		way = "from"
	}
	line := fmt.Sprintf("%s %s: %s %s %s, %s, needs %s", cmp.Or(s.Name, "Unit without a mark,"), s.Air, w.Flow(s.Flow),
		way, words.Count(len(s.Terminals), "terminal"), res.Method, w.Pressure(res.Required))
	if res.Deciding != duct.None {
		line += ", decided by " + net.Terminals[res.Deciding].Name
	}
	if net.Units[s.Unit].HasAvailable {
		line += fmt.Sprintf("; the unit has %s, margin %s", w.Pressure(res.Available),
			w.Pressure(res.Available-res.Required))
	}
	return line
}
