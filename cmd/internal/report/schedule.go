package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/words"
	"twinline/sizing"
	"twinline/sizing/quantity"
)

// Job is what schedules are made of: a network worked out without errors, and what was asked for.
type Job struct {
	Program string // version of the program
	File    string // name of the drawing, without its folder
	Project string
	Drawing Drawing
	Unit    duct.Length // one drawing unit
	Words   words.Words
	Waste   float64 // allowance on sheet metal, 0.2 is 20 %
	Spec    sizing.Spec
	Guide   *sizing.GuideSpec // nil where no guidance is asked for
	Net     *duct.Network
	Des     *duct.Design
	Found   diag.List
}

// scheduler makes the tables of one job.
type scheduler struct {
	Job
	words.Measures
}

// Schedules makes the schedules, quantities and the engineer's summary of a job.
func Schedules(job Job) Book {
	s := &scheduler{job, job.Words.Measures()}
	if job.Words.Inches() {
		s.Pressure.Decimals = 4 // losses of single pieces are small in inches of water
	}
	b := Book{
		Title: "Duct schedules and quantities",
		Cautions: []string{strings.ReplaceAll(Caution, "\n", " "),
			"Crossings of rated walls and grease or laboratory exhaust are marked for others to settle, never solved.",
			"Quantities are estimates from the centrelines of the drawing, for planning and checking, not for cutting."},
	}
	if job.Project != "" {
		b.About = append(b.About, "Project: "+job.Project)
	}
	b.About = append(b.About, "Drawing: "+job.File,
		fmt.Sprintf("Units of the drawing: %s", job.Drawing.Units), "Twinline "+job.Program, "Findings: "+Counts(job.Found))
	b.Tables = slices.Concat([]Table{
		s.basis(), s.units(), s.paths(), s.terminals(), s.ducts(), s.totals(), s.fittings(), s.flexible(), s.dampers(), s.coverings(),
	}, s.guidance(), []Table{s.findings()})
	return b
}

// whose are the columns of the work a row is of: system, air and status.
func whose[R interface{ Of() quantity.Work }](s *scheduler) []column[R] {
	return []column[R]{
		text("system", func(r R) string {
			if id := r.Of().System; id != duct.None {
				return s.Net.Systems[id].Name
			}
			return ""
		}),
		text("air", func(r R) string { return r.Of().Air.String() }),
		text("status", func(r R) string { return r.Of().Status.String() }),
	}
}

// unitRow is a system with what it needs of its unit, or a box in the middle of one.
type unitRow struct {
	name, method, deciding string
	air                    duct.Air
	status                 duct.Status
	flow                   duct.Flow
	system                 bool
	terminals              int
	required, available    duct.Pressure
	hasAvailable           bool
}

// units lists what every system needs of its unit, and the boxes in its middle.
func (s *scheduler) units() Table {
	var rows []unitRow
	for i := range s.Net.Systems {
		sys, res := &s.Net.Systems[i], s.Des.Systems[i]
		u := &s.Net.Units[sys.Unit]
		row := unitRow{name: sys.Name, air: sys.Air, status: u.Status, method: res.Method, flow: sys.Flow, system: true,
			terminals: len(sys.Terminals), required: res.Required, available: res.Available, hasAvailable: u.HasAvailable}
		if res.Deciding != duct.None {
			row.deciding = s.Net.Terminals[res.Deciding].Name
		}
		rows = append(rows, row)
	}
	for i := range s.Net.Nodes {
		n := &s.Net.Nodes[i]
		if n.Kind != duct.Box || n.Unit == duct.None || n.System == duct.None {
			continue
		}
		u := &s.Net.Units[n.Unit]
		row := unitRow{name: cmp.Or(u.Mark, words.Node(n.ID)), air: u.Air, status: u.Status,
			method: fmt.Sprintf("in the middle of %s, own loss %s", s.Net.Systems[n.System].Name, s.Words.Pressure(u.Loss))}
		for _, id := range n.Runs {
			row.flow = max(row.flow, s.Net.Runs[id].Flow)
		}
		rows = append(rows, row)
	}
	return tabulate(Table{Name: "Units", Title: "Units and systems",
		Notes: []string{"Required: the largest of the path pressures. Margin: available less required."}}, rows, []column[unitRow]{
		text("unit", func(u unitRow) string { return u.name }),
		text("air", func(u unitRow) string { return u.air.String() }),
		text("status", func(u unitRow) string { return u.status.String() }),
		text("method", func(u unitRow) string { return u.method }),
		amount("airflow", s.Flow, func(u unitRow) duct.Flow { return u.flow }),
		amount("terminals", plain(0), func(u unitRow) float64 { return only(u.system, float64(u.terminals)) }),
		amount("required", s.Pressure, func(u unitRow) duct.Pressure { return only(u.system, u.required) }),
		amount("available", s.Pressure, func(u unitRow) duct.Pressure { return only(u.hasAvailable, u.available) }),
		amount("margin", s.Pressure, func(u unitRow) duct.Pressure { return only(u.hasAvailable, u.available-u.required) }),
		text("deciding terminal", func(u unitRow) string { return u.deciding }),
	})
}

// terminalRow is a terminal with its path; removed work is in no system and has none.
type terminalRow struct {
	*duct.Terminal
	duct.TerminalResult
	sized, decides bool
}

// Of returns whose the terminal is.
func (t terminalRow) Of() quantity.Work {
	return quantity.Work{System: t.System, Air: t.Air, Status: t.Status}
}

// terminals lists every terminal with its path.
func (s *scheduler) terminals() Table {
	var rows []terminalRow
	for i := range s.Net.Terminals {
		x := &s.Net.Terminals[i]
		sized := x.System != duct.None
		rows = append(rows, terminalRow{x, s.Des.Terminals[i], sized, sized && s.Des.Systems[x.System].Deciding == x.ID})
	}
	return tabulate(Table{Name: "Terminals", Title: "Air terminals",
		Notes: []string{"Path: all losses between the unit and the room. To throttle: what is missing to the deciding path. " +
			"Damper C: the loss coefficient of a damper that takes it, on the velocity pressure of its duct."}},
		rows, slices.Concat(
			whose[terminalRow](s)[:2], []column[terminalRow]{
				text("name", func(t terminalRow) string { return t.Name }),
				text("mark", func(t terminalRow) string { return t.Mark }),
				whose[terminalRow](s)[2],
				amount("airflow", s.Flow, func(t terminalRow) duct.Flow { return only(t.sized, t.Flow) }),
				text("neck", func(t terminalRow) string { return s.Words.Size(s.neck(t.Terminal)) }),
				text("elevation", func(t terminalRow) string { return s.Words.Level(duct.Length(t.At.Z)) }),
				amount("own loss", s.Pressure, func(t terminalRow) duct.Pressure { return only(t.sized, t.Loss) }),
				amount("path", s.Pressure, func(t terminalRow) duct.Pressure { return only(t.sized, t.Path) }),
				amount("to throttle", s.Pressure, func(t terminalRow) duct.Pressure { return only(t.sized, t.Throttle) }),
				amount("damper C", plain(1), func(t terminalRow) float64 { return only(t.sized && t.Throttle > 0, t.DamperC) }),
				text("remark", func(t terminalRow) string { return when(t.decides, "decides") }),
			}))
}

// neck returns the size of a terminal's connection: its own, else of the duct that meets it.
func (s *scheduler) neck(x *duct.Terminal) duct.Size {
	if x.Neck.IsZero() && x.Node != duct.None && len(s.Net.Nodes[x.Node].Runs) > 0 {
		return s.Des.Runs[s.Net.Nodes[x.Node].Runs[0]].Size
	}
	return x.Neck
}

// findings lists the findings.
func (s *scheduler) findings() Table {
	unit := s.Unit
	if unit <= 0 {
		unit = duct.Metre
	}
	place := words.Measure{One: float64(unit), Decimals: 1}
	return tabulate(Table{Name: "Findings", Title: "Findings", Notes: []string{"Places are in units of the drawing."}}, s.Found.Sorted(),
		[]column[diag.Diag]{
			text("level", func(d diag.Diag) string { return d.Level.String() }),
			text("code", func(d diag.Diag) string { return string(d.Code) }),
			amount("x", place, func(d diag.Diag) float64 { return d.At[0] }),
			amount("y", place, func(d diag.Diag) float64 { return d.At[1] }),
			amount("z", place, func(d diag.Diag) float64 { return d.At[2] }),
			text("entity", func(d diag.Diag) string { return d.Handle }),
			text("what is wrong", func(d diag.Diag) string { return d.Text }),
			text("what to do", func(d diag.Diag) string { return d.Do }),
		})
}
