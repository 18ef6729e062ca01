package report

import (
	"fmt"

	"twinline/layout/duct"
	"twinline/sizing"
)

// guidanceOnly is said over every table of guidance.
const guidanceOnly = "Guidance only: no size follows from it."

// guidance makes the tables of what the settings ask for beside sizes and pressures: of runs, systems and terminals. There are none
// where nothing is asked for.
func (s *scheduler) guidance() []Table {
	if s.Guide == nil {
		return nil
	}
	g := sizing.Guide(s.Net, s.Des, *s.Guide)
	out := []Table{s.guidedRuns(g), s.guidedSystems(g)}
	if s.Guide.Noise || s.Guide.Conductance > 0 {
		out = append(out, s.guidedTerminals(g))
	}
	return out
}

// warm is the unit of temperatures.
func (s *scheduler) warm(name string) Column {
	if s.Style.Inches {
		return Column{Name: name, Unit: "°F", Number: true, Decimals: 1}
	}
	return Column{Name: name, Unit: "°C", Number: true, Decimals: 1}
}

func (s *scheduler) warmCell(t float64) Cell {
	if s.Style.Inches {
		return num(duct.InFahrenheit(t))
	}
	return num(t)
}

// leaks is the unit of leakage: an airflow with more decimals.
func (s *scheduler) leaks() measure {
	m := s.flow
	m.decimals += 2
	return m
}

var (
	noise = Column{Name: "sound power, rough estimate", Unit: "dB re 1 pW", Number: true}
	heat  = Column{Name: "heat gained", Unit: "W", Number: true}
)

// noiseNotes says where velocities and noise come from, and why noise is not added up.
func (s *scheduler) noiseNotes() []string {
	return []string{
		fmt.Sprintf("Velocity: what NC or RC %d allows for ducts %s; ASHRAE Handbook Fundamentals (2021), ch. 21, table 12.", s.criterion(), s.Guide.Place),
		"Sound power: what the air regenerates in a straight duct, 7 + 50 lg V + 10 lg A (V in m/s, A in m²); VDI 2081-1:2001, a rough estimate.",
	}
}

// criterion is the room criterion that is asked for, or the one that stands for none.
func (s *scheduler) criterion() int {
	if s.Guide.Criterion == 0 {
		return sizing.DefaultCriterion
	}
	return s.Guide.Criterion
}

func (s *scheduler) guidedRuns(g *sizing.Guidance) Table {
	ask := s.Guide
	t := Table{Name: "Guidance", Title: "Guidance on ducts", Notes: []string{guidanceOnly}, Columns: texts("system", "air", "run", "size")}
	if ask.Noise {
		t.Notes = append(t.Notes, s.noiseNotes()...)
		t.Columns = append(t.Columns, s.velocity.column("velocity"), s.velocity.column("guide"), Column{Name: "against the guide"}, noise)
	}
	if ask.Leak > 0 {
		t.Notes = append(t.Notes, "Leakage: k p^0.65 times the surface of the wall, at the mean static pressure against the room; EN 12237, EN 1507, k from memory.")
		t.Columns = append(t.Columns, s.pressure.column("static pressure"), s.leaks().summed("leakage"))
	}
	if ask.Conductance > 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("Heat: energy balance with %.3g W/(m² K) through the wall, air of %s around the ducts, %s where it enters them.",
			float64(ask.Conductance), warmth(ask.Around, s.Style), warmth(ask.Inside, s.Style)))
		gained := heat
		gained.Sum = true
		t.Columns = append(t.Columns, s.warm("air in"), s.warm("air out"), gained)
	}
	for i := range s.Net.Systems {
		for _, id := range s.Net.Systems[i].Runs {
			name, air := s.system(duct.SystemID(i), s.Net.Runs[id].Air)
			t.Rows = append(t.Rows, append([]Cell{text(name), text(air), text(RunName(id)), text(s.Style.Size(s.size(id)))}, s.guidedRun(&g.Runs[id], id)...))
		}
	}
	if ask.Leak > 0 || ask.Conductance > 0 {
		t.sum("all systems")
	}
	return t
}

func (s *scheduler) guidedRun(r *sizing.RunGuide, id duct.RunID) []Cell {
	var row []Cell
	if s.Guide.Noise {
		verdict := "within"
		if r.Over {
			verdict = "faster"
		}
		row = append(row, s.velocity.cell(float64(s.Des.Runs[id].Velocity)), s.velocity.cell(float64(r.Most)), text(verdict), num(r.Noise))
	}
	if s.Guide.Leak > 0 {
		row = append(row, s.pressure.cell(float64(r.Static)), s.leaks().cell(float64(r.Leak)))
	}
	if s.Guide.Conductance > 0 {
		row = append(row, s.warmCell(r.In), s.warmCell(r.Out), num(float64(r.Heat)))
	}
	return row
}

func (s *scheduler) guidedSystems(g *sizing.Guidance) Table {
	ask := s.Guide
	t := Table{Name: "Guidance, systems", Title: "Guidance on systems", Notes: []string{guidanceOnly},
		Columns: append(texts("system", "air"), s.flow.column("airflow of the terminals"), s.area.column("surface of the ducts"))}
	if ask.Noise {
		t.Columns = append(t.Columns, Column{Name: "runs faster than the guide", Number: true})
	}
	if ask.Leak > 0 {
		t.Notes = append(t.Notes, "Sizes and pressures count the airflow of the terminals alone; the fan has to move what leaks on top of it.")
		t.Columns = append(t.Columns, s.leaks().column("leakage"), Column{Name: "of the airflow", Unit: "%", Number: true, Decimals: 2}, s.leaks().column("airflow of the fan"))
	}
	if ask.Conductance > 0 {
		t.Columns = append(t.Columns, heat)
	}
	for i := range s.Net.Systems {
		sys, res := &s.Net.Systems[i], &g.Systems[i]
		name, air := s.system(sys.ID, sys.Air)
		row := []Cell{text(name), text(air), s.flow.cell(float64(sys.Flow)), s.area.cell(float64(res.Wall))}
		if ask.Noise {
			over := 0
			for _, id := range sys.Runs {
				if g.Runs[id].Over {
					over++
				}
			}
			row = append(row, num(float64(over)))
		}
		if ask.Leak > 0 {
			row = append(row, s.leaks().cell(float64(res.Leak)), num(100*res.Share), s.leaks().cell(float64(sys.Flow+res.Leak)))
		}
		if ask.Conductance > 0 {
			row = append(row, num(float64(res.Heat)))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// guidedTerminals lists what reaches every terminal. Noise is that of its last duct alone.
func (s *scheduler) guidedTerminals(g *sizing.Guidance) Table {
	ask := s.Guide
	t := Table{Name: "Guidance, terminals", Title: "Guidance on terminals", Notes: []string{guidanceOnly}, Columns: texts("system", "air", "terminal", "last duct")}
	if ask.Noise {
		t.Notes = append(t.Notes, "Sound power: that of the last duct alone. It is not added up along the path: the rule gives the level in a straight duct whatever its length, so that "+
			"runs of one duct must not be added, and what arrives from farther off is damped by bends, branches, linings and the end of the duct; the terminal's own noise is the "+
			"manufacturer's to say.")
		t.Columns = append(t.Columns, s.velocity.column("velocity"), noise)
	}
	if ask.Conductance > 0 {
		t.Columns = append(t.Columns, s.warm("air at the terminal"))
	}
	for i := range s.Net.Terminals {
		x := &s.Net.Terminals[i]
		path := s.path(x)
		if x.System == duct.None || len(path) == 0 {
			continue
		}
		last := path[len(path)-1]
		name, air := s.system(x.System, x.Air)
		row := []Cell{text(name), text(air), text(x.Name), text(RunName(last) + ", " + s.Style.Size(s.size(last)))}
		if ask.Noise {
			row = append(row, s.velocity.cell(float64(s.Des.Runs[last].Velocity)), num(g.Runs[last].Noise))
		}
		if ask.Conductance > 0 {
			row = append(row, s.warmCell(g.Terminals[i]))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
