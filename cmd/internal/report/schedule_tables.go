package report

import (
	"fmt"
	"math"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
)

// units lists what every system needs of its unit, and the boxes in its middle.
func (s *scheduler) units() Table {
	t := Table{Name: "Units", Title: "Units and systems",
		Notes: []string{"Required: the largest of the path pressures. Margin: available less required."},
		Columns: append(texts("unit", "air", "status", "method"), s.flow.column("airflow"), Column{Name: "terminals", Number: true},
			s.pressure.column("required"), s.pressure.column("available"), s.pressure.column("margin"), Column{Name: "deciding terminal"})}
	for i := range s.Net.Systems {
		sys, res := &s.Net.Systems[i], s.Des.Systems[i]
		u := &s.Net.Units[sys.Unit]
		row := []Cell{text(sys.Name), text(sys.Air.String()), text(u.Status.String()), text(res.Method), s.flow.cell(float64(sys.Flow)),
			num(float64(len(sys.Terminals))), s.pressure.cell(float64(res.Required)), {}, {}, {}}
		if u.HasAvailable {
			row[7], row[8] = s.pressure.cell(float64(res.Available)), s.pressure.cell(float64(res.Available-res.Required))
		}
		if res.Deciding != duct.None {
			row[9] = text(s.Net.Terminals[res.Deciding].Name)
		}
		t.Rows = append(t.Rows, row)
	}
	for i := range s.Net.Nodes {
		n := &s.Net.Nodes[i]
		if n.Kind != duct.Box || n.Unit == duct.None || n.System == duct.None {
			continue
		}
		u, q := &s.Net.Units[n.Unit], duct.Flow(0)
		for _, id := range n.Runs {
			q = max(q, s.Net.Runs[id].Flow)
		}
		name := u.Mark
		if name == "" {
			name = NodeName(n.ID)
		}
		t.Rows = append(t.Rows, []Cell{text(name), text(u.Air.String()), text(u.Status.String()),
			text(fmt.Sprintf("in the middle of %s, own loss %s", s.Net.Systems[n.System].Name, u.Loss.Text(s.Style.Inches))),
			s.flow.cell(float64(q)), {}, {}, {}, {}, {}})
	}
	return t
}

// terminals lists every terminal with its path.
func (s *scheduler) terminals() Table {
	t := Table{Name: "Terminals", Title: "Air terminals",
		Notes: []string{"Path: all losses between the unit and the room. To throttle: what is missing to the deciding path. " +
			"Damper C: the loss coefficient of a damper that takes it, on the velocity pressure of its duct."},
		Columns: append(texts("system", "air", "name", "mark", "status"), s.flow.column("airflow"), Column{Name: "neck"}, Column{Name: "elevation"},
			s.pressure.column("own loss"), s.pressure.column("path"), s.pressure.column("to throttle"),
			Column{Name: "damper C", Number: true, Decimals: 1}, Column{Name: "remark"})}
	for i := range s.Net.Terminals {
		x, res := &s.Net.Terminals[i], s.Des.Terminals[i]
		name, air := s.system(x.System, x.Air)
		row := []Cell{text(name), text(air), text(x.Name), text(x.Mark), text(x.Status.String()), {}, text(s.neck(x)),
			text(duct.Length(x.At.Z).Level(s.Style.Inches)), {}, {}, {}, {}, {}}
		if x.System != duct.None {
			row[5], row[8] = s.flow.cell(float64(x.Flow)), s.pressure.cell(float64(x.Loss))
			row[9], row[10] = s.pressure.cell(float64(res.Path)), s.pressure.cell(float64(res.Throttle))
			if res.Throttle > 0 {
				row[11] = num(res.DamperC)
			}
			if s.Des.Systems[x.System].Deciding == x.ID {
				row[12] = text("decides")
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// neck returns the size of a terminal's connection: its own, else of the duct that meets it.
func (s *scheduler) neck(x *duct.Terminal) string {
	if !x.Neck.IsZero() {
		return x.Neck.Text(s.Style.Inches)
	}
	if x.Node != duct.None {
		for _, id := range s.Net.Nodes[x.Node].Runs {
			return s.size(id).Text(s.Style.Inches)
		}
	}
	return ""
}

// path returns the runs between the unit and a terminal, from the unit outwards.
func (s *scheduler) path(x *duct.Terminal) []duct.RunID {
	var out []duct.RunID
	if x.Node == duct.None || len(s.Net.Nodes[x.Node].Runs) == 0 {
		return nil
	}
	for id := s.Net.Nodes[x.Node].Runs[0]; id != duct.None && len(out) <= len(s.Net.Runs); id = s.Net.Runs[id].Up {
		out = append(out, id)
	}
	slices.Reverse(out)
	return out
}

// paths adds up the deciding path of every system piece by piece, along the air.
func (s *scheduler) paths() Table {
	t := Table{Name: "Deciding paths", Title: "Deciding paths, piece by piece along the air",
		Notes: []string{"The last sum of a system is the pressure its unit has to give. C stands on the velocity pressure of the reference; " +
			"a loss of less than nothing is pressure regained."},
		Columns: append(texts("system", "air", "piece", "what", "size"), s.length.column("length"), s.flow.column("airflow"), s.velocity.column("velocity"),
			s.rate.column("friction rate"), Column{Name: "C", Number: true, Decimals: 3}, Column{Name: "reference"},
			s.pressure.column("loss"), s.pressure.column("sum"), Column{Name: "source"})}
	for i := range s.Net.Systems {
		if d := s.Des.Systems[i].Deciding; d != duct.None {
			t.Rows = append(t.Rows, s.decidingPath(&s.Net.Systems[i], &s.Net.Terminals[d])...)
		}
	}
	return t
}

// decidingPath returns the rows of one path.
func (s *scheduler) decidingPath(sys *duct.System, x *duct.Terminal) [][]Cell {
	var rows [][]Cell
	sum := 0.0
	add := func(loss duct.Pressure, row []Cell) {
		sum += float64(loss)
		row[9], row[10] = s.pressure.cell(float64(loss)), s.pressure.cell(sum)
		rows = append(rows, append([]Cell{text(sys.Name), text(sys.Air.String())}, row...))
	}
	terminal := func() {
		add(x.Loss, []Cell{text(x.Name), text("terminal"), text(s.neck(x)), {}, s.flow.cell(float64(x.Flow)), {}, {}, {}, {}, {}, {}, text("as noted")})
	}
	runs := s.path(x)
	if !sys.Air.FromUnit() {
		slices.Reverse(runs)
		terminal()
	}
	for _, id := range runs {
		r, res := &s.Net.Runs[id], s.Des.Runs[id]
		var at [2][]duct.Fitting // where the air enters the run, where it leaves
		rest := res.Fittings
		for _, f := range s.byRun[id] {
			end := 0
			if f.Node == r.To {
				end = 1
			}
			at[end] = append(at[end], f)
			rest -= f.Loss
		}
		fittings := func(list []duct.Fitting) {
			for _, f := range list {
				if f.Kind != duct.StraightJoint || f.Loss != 0 {
					add(f.Loss, []Cell{text(NodeName(f.Node)), text(f.Kind.String()), text(f.Own.Text(s.Style.Inches)), {},
						{}, {}, {}, num(f.C), text(f.Reference), {}, {}, text(f.Source)})
				}
			}
		}
		fittings(at[0])
		add(res.Friction, []Cell{text(RunName(id)), text(r.Kind.String()), text(res.Size.Text(s.Style.Inches)), s.length.cell(s.long(id)),
			s.flow.cell(float64(r.Flow)), s.velocity.cell(float64(res.Velocity)), s.rate.cell(float64(res.Rate)), {}, {}, {}, {},
			text("Darcy-Weisbach, Colebrook")})
		fittings(at[1])
		if math.Abs(float64(rest)) > stackLeast {
			add(rest, []Cell{text(RunName(id)), text("stack effect"), {}, {}, {}, {}, {}, {}, {}, {}, {}, text("weight of the air in vertical runs")})
		}
	}
	if sys.Air.FromUnit() {
		terminal()
	}
	return rows
}

// stackLeast is the pressure under which what a run has beyond friction and fittings is the
// last bits of sums, in pascals.
const stackLeast = 1e-6

// findings lists the findings.
func (s *scheduler) findings() Table {
	t := Table{Name: "Findings", Title: "Findings", Notes: []string{"Places are in units of the drawing."},
		Columns: append(texts("level", "code"), Column{Name: "x", Number: true, Decimals: 1}, Column{Name: "y", Number: true, Decimals: 1},
			Column{Name: "z", Number: true, Decimals: 1}, Column{Name: "entity"}, Column{Name: "what is wrong"}, Column{Name: "what to do"})}
	unit := float64(s.Unit)
	if unit <= 0 {
		unit = 1
	}
	for _, d := range s.Found.Sorted() {
		t.Rows = append(t.Rows, []Cell{text(d.Level.String()), text(string(d.Code)), num(d.At[0] / unit), num(d.At[1] / unit), num(d.At[2] / unit),
			text(d.Handle), text(d.Text), text(d.Do)})
	}
	return t
}

// dampers lists volume dampers, and where rated walls are crossed.
func (s *scheduler) dampers() Table {
	t := Table{Name: "Dampers", Title: "Dampers",
		Notes:   []string{"Crossings of rated walls are for others to settle: kind and rating of the damper, access, approval."},
		Columns: append(texts("system", "air", "status", "kind", "size"), count("number"))}
	g := newGroups()
	for _, f := range s.Des.Fittings {
		if f.Run == duct.None || f.Kind != duct.VolumeDamper && !f.Damper {
			continue
		}
		r := &s.Net.Runs[f.Run]
		name, air := s.system(r.System, r.Air)
		g.add(int(r.System), name, air, r.Status.String(), "volume damper", s.size(f.Run).Text(s.Style.Inches))
	}
	t.Rows = g.rows()
	for _, d := range s.Found {
		if d.Code == diag.RatedCrossing {
			t.Rows = append(t.Rows, []Cell{{}, {}, {}, text("crossing of a rated wall, to be settled: " + d.Text), {}, num(1)})
		}
	}
	t.sum("all states")
	return t
}
