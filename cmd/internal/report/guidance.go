package report

import (
	"fmt"
	"io"
	"strconv"

	"twinline/layout/duct"
	"twinline/layout/words"
	"twinline/sizing"
	"twinline/sizing/quantity"
)

// guide is the guidance on a network with what was asked for, in the units of a drawing.
type guide struct {
	*scheduler
	ask   sizing.GuideSpec
	found *sizing.Guidance
	leak  words.Measure // of airflows that leak: finer than those of ducts
	warm  words.Measure
}

// guideOf works guidance out.
func guideOf(s *scheduler, ask sizing.GuideSpec) *guide {
	g := &guide{s, ask, sizing.Guide(s.Net, s.Des, ask), s.Flow, words.Measure{Unit: "°C", One: 1, Decimals: 1}}
	g.leak.Decimals += 2
	if s.Words.Inches() {
		g.warm.Unit = "°F"
	}
	return g
}

// degrees returns a temperature in the units of the drawing.
func (g *guide) degrees(celsius float64) float64 {
	if g.Words.Inches() {
		return duct.InFahrenheit(celsius)
	}
	return celsius
}

// guidedRun is a run with the guidance on it.
type guidedRun struct {
	*duct.Run
	duct.RunResult
	guide sizing.RunGuide
}

// Of returns whose the run is.
func (r guidedRun) Of() quantity.Work {
	return quantity.Work{System: r.System, Air: r.Air, Status: r.Status}
}

// verdict says how fast a run is, held against the guide.
func (r guidedRun) verdict(slow string) string {
	if r.guide.Over {
		return "faster"
	}
	return slow
}

// runs are all that are in a system.
func (g *guide) runs() []guidedRun {
	var out []guidedRun
	for i := range g.Net.Systems {
		for _, id := range g.Net.Systems[i].Runs {
			out = append(out, guidedRun{&g.Net.Runs[id], g.Des.Runs[id], g.found.Runs[id]})
		}
	}
	return out
}

// Guidance prints what the settings ask for beside sizes and pressures: velocities against a room criterion, a
// rough estimate of noise, leakage, heat. All of it is guidance, and no size follows from it.
func Guidance(out io.Writer, net *duct.Network, des *duct.Design, ask sizing.GuideSpec, w words.Words) {
	g := guideOf(&scheduler{Job{Net: net, Des: des, Words: w}, w.Measures()}, ask)
	fmt.Fprintln(out, "\nGuidance only; it changes no size.")
	if ask.Noise {
		fmt.Fprintf(out, "  Velocity against what NC or RC %d allows for ducts %s (ASHRAE Handbook Fundamentals, ch. 21), and the sound\n"+
			"  power regenerated in straight duct: a rough estimate (VDI 2081-1:2001).\n", ask.Criterion, ask.Place)
	}
	type row = guidedRun
	columns := []column[row]{text("run", func(r row) string { return words.Run(r.ID) })}
	if ask.Noise {
		columns = append(columns,
			text("velocity", func(r row) string { return w.Velocity(r.Velocity) }),
			text("guide", func(r row) string { return w.Velocity(r.guide.Most) }),
			text("noise, rough estimate", func(r row) string { return fmt.Sprintf("%.0f dB", r.guide.Noise) }),
			text("", func(r row) string { return r.verdict("") }))
	}
	if ask.Leak > 0 {
		columns = append(columns,
			text("static", func(r row) string { return w.Pressure(r.guide.Static) }),
			text("leakage", func(r row) string { return g.leakage(r.guide.Leak) }))
	}
	if ask.Conductance > 0 {
		columns = append(columns,
			text("air in", func(r row) string { return g.warmth(r.guide.In) }),
			text("air out", func(r row) string { return g.warmth(r.guide.Out) }),
			text("heat gained", func(r row) string { return fmt.Sprintf("%.0f W", float64(r.guide.Heat)) }))
	}
	tabulate(Table{}, g.runs(), columns).Text(out)
	for i := range net.Systems {
		sys, res := &net.Systems[i], &g.found.Systems[i]
		if ask.Leak > 0 {
			fmt.Fprintf(out, "  %s %s: %.1f %s of wall leak %s, %.2f %% of its airflow; the fan moves %s.\n", sys.Name, sys.Air,
				float64(res.Wall)/g.Area.One, g.Area.Unit, g.leakage(res.Leak), 100*res.Share, w.Flow(sys.Flow+res.Leak))
		}
		if ask.Conductance > 0 {
			fmt.Fprintf(out, "  %s %s: its ducts gain %.0f W.\n", sys.Name, sys.Air, float64(res.Heat))
		}
	}
}

// leakage words a flow too small for the digits of an airflow.
func (g *guide) leakage(q duct.Flow) string {
	return strconv.FormatFloat(float64(q)/g.Flow.One, 'g', 3, 64) + " " + g.Flow.Unit
}

// warmth words a temperature.
func (g *guide) warmth(celsius float64) string { return g.warm.Fixed(g.degrees(celsius)) }

// guidanceOnly is said over every table of guidance.
const guidanceOnly = "Guidance only: no size follows from it."

// guidance makes the tables of what the settings ask for beside sizes and pressures: of runs, systems and terminals. There are
// none where nothing is asked for.
func (s *scheduler) guidance() []Table {
	if s.Guide == nil {
		return nil
	}
	g := guideOf(s, *s.Guide)
	out := []Table{g.runTable(), g.systemTable()}
	if g.ask.Noise || g.ask.Conductance > 0 {
		out = append(out, g.terminalTable())
	}
	return out
}

// noise and heat are the columns of a sound power and of a heat gained.
func noise[R any](of func(R) float64) column[R] {
	return amount("sound power, rough estimate", words.Measure{Unit: "dB re 1 pW", One: 1}, of)
}

func heat[R any](of func(R) duct.Power) column[R] {
	return amount("heat gained", words.Measure{Unit: "W", One: 1}, of)
}

func (g *guide) runTable() Table {
	type row = guidedRun
	t := Table{Name: "Guidance", Title: "Guidance on ducts", All: "all systems", Notes: []string{guidanceOnly}}
	columns := append(whose[row](g.scheduler)[:2],
		text("run", func(r row) string { return words.Run(r.ID) }),
		text("size", func(r row) string { return sized(g.Words, r.Size) }))
	if g.ask.Noise {
		criterion := g.ask.Criterion
		if criterion == 0 {
			criterion = sizing.DefaultCriterion
		}
		t.Notes = append(t.Notes,
			fmt.Sprintf("Velocity: what NC or RC %d allows for ducts %s; ASHRAE Handbook Fundamentals (2021), ch. 21, table 12.", criterion, g.ask.Place),
			"Sound power: what the air regenerates in a straight duct, 7 + 50 lg V + 10 lg A (V in m/s, A in m²); VDI 2081-1:2001, a rough estimate.")
		columns = append(columns,
			amount("velocity", g.Velocity, func(r row) duct.Velocity { return r.Velocity }),
			amount("guide", g.Velocity, func(r row) duct.Velocity { return r.guide.Most }),
			text("against the guide", func(r row) string { return r.verdict("within") }),
			noise(func(r row) float64 { return r.guide.Noise }))
	}
	if g.ask.Leak > 0 {
		t.Notes = append(t.Notes, "Leakage: k p^0.65 times the surface of the wall, at the mean static pressure against the room; EN 12237, EN 1507, k from memory.")
		columns = append(columns,
			amount("static pressure", g.Pressure, func(r row) duct.Pressure { return r.guide.Static }),
			amount("leakage", g.leak, func(r row) duct.Flow { return r.guide.Leak }).summed())
	}
	if g.ask.Conductance > 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("Heat: energy balance with %.3g W/(m² K) through the wall, air of %s around the ducts, %s where it enters them.",
			float64(g.ask.Conductance), g.warmth(g.ask.Around), g.warmth(g.ask.Inside)))
		columns = append(columns,
			amount("air in", g.warm, func(r row) float64 { return g.degrees(r.guide.In) }),
			amount("air out", g.warm, func(r row) float64 { return g.degrees(r.guide.Out) }),
			heat(func(r row) duct.Power { return r.guide.Heat }).summed())
	}
	return tabulate(t, g.runs(), columns)
}

// guidedSystem is a system with the guidance on it.
type guidedSystem struct {
	*duct.System
	guide  sizing.SystemGuide
	faster int // runs
}

// Of returns the system.
func (s guidedSystem) Of() quantity.Work { return quantity.Work{System: s.ID, Air: s.Air} }

func (g *guide) systemTable() Table {
	type row = guidedSystem
	var rows []row
	for i := range g.Net.Systems {
		x := row{System: &g.Net.Systems[i], guide: g.found.Systems[i]}
		for _, id := range x.Runs {
			if g.found.Runs[id].Over {
				x.faster++
			}
		}
		rows = append(rows, x)
	}
	t := Table{Name: "Guidance, systems", Title: "Guidance on systems", Notes: []string{guidanceOnly}}
	columns := append(whose[row](g.scheduler)[:2],
		amount("airflow of the terminals", g.Flow, func(s row) duct.Flow { return s.Flow }),
		amount("surface of the ducts", g.Area, func(s row) duct.Area { return s.guide.Wall }))
	if g.ask.Noise {
		columns = append(columns, amount("runs faster than the guide", plain(0), func(s row) int { return s.faster }))
	}
	if g.ask.Leak > 0 {
		t.Notes = append(t.Notes, "Sizes and pressures count the airflow of the terminals alone; the fan has to move what leaks on top of it.")
		columns = append(columns,
			amount("leakage", g.leak, func(s row) duct.Flow { return s.guide.Leak }),
			amount("of the airflow", words.Measure{Unit: "%", One: 0.01, Decimals: 2}, func(s row) float64 { return s.guide.Share }),
			amount("airflow of the fan", g.leak, func(s row) duct.Flow { return s.Flow + s.guide.Leak }))
	}
	if g.ask.Conductance > 0 {
		columns = append(columns, heat(func(s row) duct.Power { return s.guide.Heat }))
	}
	return tabulate(t, rows, columns)
}

// guidedTerminal is a terminal with the guidance on the last duct before it.
type guidedTerminal struct {
	*duct.Terminal
	last guidedRun
	warm float64 // °C of the air
}

// Of returns whose the terminal is.
func (t guidedTerminal) Of() quantity.Work {
	return quantity.Work{System: t.System, Air: t.Air, Status: t.Status}
}

// terminalTable lists what reaches every terminal. Noise is that of its last duct alone.
func (g *guide) terminalTable() Table {
	type row = guidedTerminal
	var rows []row
	for i := range g.Net.Terminals {
		x := &g.Net.Terminals[i]
		if path := g.path(x); x.System != duct.None && len(path) > 0 {
			id := path[len(path)-1]
			rows = append(rows, row{x, guidedRun{&g.Net.Runs[id], g.Des.Runs[id], g.found.Runs[id]}, g.found.Terminals[i]})
		}
	}
	t := Table{Name: "Guidance, terminals", Title: "Guidance on terminals", Notes: []string{guidanceOnly}}
	columns := append(whose[row](g.scheduler)[:2],
		text("terminal", func(t row) string { return t.Name }),
		text("last duct", func(t row) string { return words.Run(t.last.ID) + ", " + sized(g.Words, t.last.Size) }))
	if g.ask.Noise {
		t.Notes = append(t.Notes, "Sound power: that of the last duct alone. It is not added up along the path: the rule gives the level in a straight duct whatever its length, so that "+
			"runs of one duct must not be added, and what arrives from farther off is damped by bends, branches, linings and the end of the duct; the terminal's own noise is the "+
			"manufacturer's to say.")
		columns = append(columns,
			amount("velocity", g.Velocity, func(t row) duct.Velocity { return t.last.Velocity }),
			noise(func(t row) float64 { return t.last.guide.Noise }))
	}
	if g.ask.Conductance > 0 {
		columns = append(columns, amount("air at the terminal", g.warm, func(t row) float64 { return g.degrees(t.warm) }))
	}
	return tabulate(t, rows, columns)
}
