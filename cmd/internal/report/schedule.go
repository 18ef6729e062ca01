package report

import (
	"cmp"
	"fmt"
	"math"
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
	b.About = append(b.About, "Drawing: "+job.File, "Units of the drawing: "+job.Drawing.Units, "Twinline "+job.Program,
		"Findings: "+Counts(job.Found))
	b.Tables = slices.Concat([]Table{s.basis(), s.units(), s.paths(), s.terminals(), s.ducts(), s.totals(),
		s.fittings(),
		s.flexible(), s.dampers(), s.coverings()}, s.guidance(), []Table{s.findings()})
	return b
}

// whose are the columns of the work a row is of: system, air and status.
func whose[R any](s *scheduler, of func(R) quantity.Work) []column[R] {
	return []column[R]{
		text("system", func(r R) string {
			if id := of(r).System; id != duct.None {
				return s.Net.Systems[id].Name
			}
			return ""
		}),
		text("air", func(r R) string { return of(r).Air.String() }),
		text("status", func(r R) string { return of(r).Status.String() }),
	}
}

// unitRow is a system with what it needs of its unit, or a box in the middle of one.
type unitRow struct {
	*duct.Unit
	name, method, deciding string
	air                    duct.Air
	flow                   duct.Flow
	terminals              float64       // no number for a box; nor are the pressures
	required, available    duct.Pressure // available neither where nothing is said of it
}

// units lists what every system needs of its unit, and the boxes in its middle.
func (s *scheduler) units() Table {
	var rows []unitRow
	for i := range s.Net.Systems {
		sys, res := &s.Net.Systems[i], s.Des.Systems[i]
		u := &s.Net.Units[sys.Unit]
		row := unitRow{Unit: u, name: sys.Name, method: res.Method, air: sys.Air, flow: sys.Flow,
			terminals: float64(len(sys.Terminals)), required: res.Required,
			available: only(u.HasAvailable, res.Available)}
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
		u, none := &s.Net.Units[n.Unit], math.NaN()
		row := unitRow{Unit: u, name: cmp.Or(u.Mark, words.Node(n.ID)), air: u.Air, terminals: none,
			required: duct.Pressure(none), available: duct.Pressure(none),
			method: fmt.Sprintf("in the middle of %s, own loss %s", s.Net.Systems[n.System].Name,
				s.Words.Pressure(u.Loss))}
		for _, id := range n.Runs {
			row.flow = max(row.flow, s.Net.Runs[id].Flow)
		}
		rows = append(rows, row)
	}
	return tabulate(Table{Name: "Units", Title: "Units and systems",
		Notes: []string{"Required: the largest of the path pressures. Margin: available less required."}}, rows,
		[]column[unitRow]{
			text("unit", func(u unitRow) string { return u.name }),
			text("air", func(u unitRow) string { return u.air.String() }),
			text("status", func(u unitRow) string { return u.Status.String() }),
			text("method", func(u unitRow) string { return u.method }),
			amount("airflow", s.Flow, func(u unitRow) duct.Flow { return u.flow }),
			amount("terminals", plain(0), func(u unitRow) float64 { return u.terminals }),
			amount("required", s.Pressure, func(u unitRow) duct.Pressure { return u.required }),
			amount("available", s.Pressure, func(u unitRow) duct.Pressure { return u.available }),
			amount("margin", s.Pressure, func(u unitRow) duct.Pressure { return u.available - u.required }),
			text("deciding terminal", func(u unitRow) string { return u.deciding }),
		})
}

// terminals lists every terminal with its path; removed work is in no system and has none.
func (s *scheduler) terminals() Table {
	type row = duct.TerminalID
	x, res, work := s.Net.Terminals, s.Des.Terminals, whose(s, s.terminalWork)
	in := func(id row) bool { return x[id].System != duct.None }
	return tabulate(Table{Name: "Terminals", Title: "Air terminals",
		Notes: []string{"Path: all losses between the unit and the room. To throttle: what is missing to the deciding " +
			"path. Damper C: the loss coefficient of a damper that takes it, on the velocity pressure of its duct."}},
		ids[row](len(x)), []column[row]{
			work[0], work[1],
			text("name", func(id row) string { return x[id].Name }),
			text("mark", func(id row) string { return x[id].Mark }),
			work[2],
			amount("airflow", s.Flow, func(id row) duct.Flow { return only(in(id), x[id].Flow) }),
			text("neck", func(id row) string { return s.Words.Size(s.neck(&x[id])) }),
			text("elevation", func(id row) string { return s.Words.Level(duct.Length(x[id].At.Z)) }),
			amount("own loss", s.Pressure, func(id row) duct.Pressure { return only(in(id), x[id].Loss) }),
			amount("path", s.Pressure, func(id row) duct.Pressure { return only(in(id), res[id].Path) }),
			amount("to throttle", s.Pressure, func(id row) duct.Pressure { return only(in(id), res[id].Throttle) }),
			amount("damper C", plain(1),
				func(id row) float64 { return only(in(id) && res[id].Throttle > 0, res[id].DamperC) }),
			text("remark", func(id row) string {
				return when(in(id) && s.Des.Systems[x[id].System].Deciding == id, "decides")
			}),
		})
}

// terminalWork returns whose a terminal is.
func (s *scheduler) terminalWork(id duct.TerminalID) quantity.Work {
	x := &s.Net.Terminals[id]
	return quantity.Work{System: x.System, Air: x.Air, Status: x.Status}
}

// neck returns the size of a terminal's connection: its own, else of the duct that meets it.
func (s *scheduler) neck(x *duct.Terminal) duct.Size {
	if last := s.Net.LastRun(x); x.Neck.IsZero() && last != duct.None {
		return s.Des.Runs[last].Size
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
	return tabulate(Table{Name: "Findings", Title: "Findings", Notes: []string{"Places are in units of the drawing."}},
		s.Found.Sorted(), []column[diag.Diag]{
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
