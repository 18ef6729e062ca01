package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strconv"

	"twinline/layout/duct"
	"twinline/layout/words"
	"twinline/sizing"
	"twinline/sizing/quantity"
)

// guide is the guidance on a network with what was asked for, in the units of a drawing.
type guide struct {
	*scheduler
	sizing.GuideSpec
	found *sizing.Guidance
	leak  words.Measure // of airflows that leak: finer than those of ducts
	warm  words.Measure
}

// The measures of noise, heat and shares.
var (
	decibel = words.Measure{Unit: "dB re 1 pW", One: 1}
	watt    = words.Measure{Unit: "W", One: 1}
	percent = words.Measure{Unit: "%", One: 0.01, Decimals: 2}
)

// guideOf works guidance out.
func guideOf(s *scheduler, ask sizing.GuideSpec) *guide {
	ask.Criterion = cmp.Or(ask.Criterion, sizing.DefaultCriterion)
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

// warmth words a temperature.
func (g *guide) warmth(celsius float64) string { return g.warm.Fixed(g.degrees(celsius)) }

// leakage words a flow too small for the digits of an airflow.
func (g *guide) leakage(q duct.Flow) string {
	return strconv.FormatFloat(float64(q)/g.Flow.One, 'g', 3, 64) + " " + g.Flow.Unit
}

// runs are all that are in a system.
func (g *guide) runs() []duct.RunID {
	var out []duct.RunID
	for i := range g.Net.Systems {
		out = append(out, g.Net.Systems[i].Runs...)
	}
	return out
}

// speed says how fast a run is, held against the guide.
func (g *guide) speed(id duct.RunID, within string) string {
	if g.found.Runs[id].Over {
		return "faster"
	}
	return within
}

// Guidance prints what the settings ask for beside sizes and pressures: velocities against a room criterion, a
// rough estimate of noise, leakage, heat. All of it is guidance, and no size follows from it.
func Guidance(out io.Writer, net *duct.Network, des *duct.Design, ask sizing.GuideSpec, w words.Words) {
	g := guideOf(&scheduler{Job{Net: net, Des: des, Words: w}, w.Measures()}, ask)
	fmt.Fprintln(out, "\nGuidance only; it changes no size.")
	if ask.Noise {
		fmt.Fprintf(out, "  Velocity against what NC or RC %d allows for ducts %s (ASHRAE Handbook Fundamentals, ch. 21), "+
			"and the sound\n  power regenerated in straight duct: a rough estimate (VDI 2081-1:2001).\n",
			g.Criterion, g.Place)
	}
	tabulate(Table{}, g.runs(), g.textColumns()).Text(out)
	for i := range net.Systems {
		sys, res := &net.Systems[i], &g.found.Systems[i]
		if ask.Leak > 0 {
			fmt.Fprintf(out, "  %s %s: %.1f %s of wall leak %s, %.2f %% of its airflow; the fan moves %s.\n", sys.Name,
				sys.Air,
				float64(res.Wall)/g.Area.One, g.Area.Unit, g.leakage(res.Leak), 100*res.Share,
				w.Flow(sys.Flow+res.Leak))
		}
		if ask.Conductance > 0 {
			fmt.Fprintf(out, "  %s %s: its ducts gain %.0f W.\n", sys.Name, sys.Air, float64(res.Heat))
		}
	}
}

// textColumns are the columns of runs for a terminal.
func (g *guide) textColumns() []column[duct.RunID] {
	of := g.found.Runs
	columns := []column[duct.RunID]{text("run", words.Run)}
	if g.Noise {
		columns = append(columns,
			text("velocity", func(id duct.RunID) string { return g.Words.Velocity(g.Des.Runs[id].Velocity) }),
			text("guide", func(id duct.RunID) string { return g.Words.Velocity(of[id].Most) }),
			text("noise, rough estimate", func(id duct.RunID) string { return fmt.Sprintf("%.0f dB", of[id].Noise) }),
			text("", func(id duct.RunID) string { return g.speed(id, "") }))
	}
	if g.Leak > 0 {
		columns = append(columns,
			text("static", func(id duct.RunID) string { return g.Words.Pressure(of[id].Static) }),
			text("leakage", func(id duct.RunID) string { return g.leakage(of[id].Leak) }))
	}
	if g.Conductance > 0 {
		columns = append(columns,
			text("air in", func(id duct.RunID) string { return g.warmth(of[id].In) }),
			text("air out", func(id duct.RunID) string { return g.warmth(of[id].Out) }),
			text("heat gained", func(id duct.RunID) string { return fmt.Sprintf("%.0f W", float64(of[id].Heat)) }))
	}
	return columns
}

// guidanceOnly is said over every table of guidance.
const guidanceOnly = "Guidance only: no size follows from it."

// guidance makes the tables of what the settings ask for beside sizes and pressures: of runs, systems and terminals.
// There are none where nothing is asked for.
func (s *scheduler) guidance() []Table {
	if s.Guide == nil {
		return nil
	}
	g := guideOf(s, *s.Guide)
	out := []Table{g.runTable(), g.systemTable()}
	if g.Noise || g.Conductance > 0 {
		out = append(out, g.terminalTable())
	}
	return out
}

func (g *guide) runTable() Table {
	of := g.found.Runs
	t := Table{Name: "Guidance", Title: "Guidance on ducts", All: "all systems", Notes: []string{guidanceOnly}}
	work := func(id duct.RunID) quantity.Work { return quantity.WorkOf(&g.Net.Runs[id]) }
	columns := append(whose(g.scheduler, work)[:2],
		text("run", words.Run),
		text("size", func(id duct.RunID) string { return sized(g.Words, g.Des.Runs[id].Size) }))
	if g.Noise {
		t.Notes = append(t.Notes,
			fmt.Sprintf("Velocity: what NC or RC %d allows for ducts %s; ASHRAE Handbook Fundamentals (2021), ch. 21, table 12.",
				g.Criterion, g.Place),
			"Sound power: what the air regenerates in a straight duct, 7 + 50 lg V + 10 lg A (V in m/s, A in m²); "+
				"VDI 2081-1:2001, a rough estimate.")
		columns = append(columns,
			amount("velocity", g.Velocity, func(id duct.RunID) duct.Velocity { return g.Des.Runs[id].Velocity }),
			amount("guide", g.Velocity, func(id duct.RunID) duct.Velocity { return of[id].Most }),
			text("against the guide", func(id duct.RunID) string { return g.speed(id, "within") }),
			amount("sound power, rough estimate", decibel, func(id duct.RunID) float64 { return of[id].Noise }))
	}
	if g.Leak > 0 {
		t.Notes = append(t.Notes,
			"Leakage: k p^0.65 times the surface of the wall, at the mean static pressure against "+
				"the room; EN 12237, EN 1507, k from memory.")
		columns = append(columns,
			amount("static pressure", g.Pressure, func(id duct.RunID) duct.Pressure { return of[id].Static }),
			amount("leakage", g.leak, func(id duct.RunID) duct.Flow { return of[id].Leak }).summed())
	}
	if g.Conductance > 0 {
		t.Notes = append(t.Notes,
			fmt.Sprintf("Heat: energy balance with %.3g W/(m² K) through the wall, air of %s around "+
				"the ducts, %s where it enters them.", float64(g.Conductance), g.warmth(g.Around), g.warmth(g.Inside)))
		columns = append(columns,
			amount("air in", g.warm, func(id duct.RunID) float64 { return g.degrees(of[id].In) }),
			amount("air out", g.warm, func(id duct.RunID) float64 { return g.degrees(of[id].Out) }),
			amount("heat gained", watt, func(id duct.RunID) duct.Power { return of[id].Heat }).summed())
	}
	return tabulate(t, g.runs(), columns)
}

func (g *guide) systemTable() Table {
	of := g.found.Systems
	flow := func(id duct.SystemID) duct.Flow { return g.Net.Systems[id].Flow }
	faster := func(id duct.SystemID) (n int) {
		for _, r := range g.Net.Systems[id].Runs {
			if g.found.Runs[r].Over {
				n++
			}
		}
		return n
	}
	t := Table{Name: "Guidance, systems", Title: "Guidance on systems", Notes: []string{guidanceOnly}}
	work := func(id duct.SystemID) quantity.Work { return quantity.Work{System: id, Air: g.Net.Systems[id].Air} }
	columns := append(whose(g.scheduler, work)[:2],
		amount("airflow of the terminals", g.Flow, flow),
		amount("surface of the ducts", g.Area, func(id duct.SystemID) duct.Area { return of[id].Wall }))
	if g.Noise {
		columns = append(columns, amount("runs faster than the guide", plain(0), faster))
	}
	if g.Leak > 0 {
		t.Notes = append(t.Notes,
			"Sizes and pressures count the airflow of the terminals alone; the fan has to move what "+
				"leaks on top of it.")
		columns = append(columns,
			amount("leakage", g.leak, func(id duct.SystemID) duct.Flow { return of[id].Leak }),
			amount("of the airflow", percent, func(id duct.SystemID) float64 { return of[id].Share }),
			amount("airflow of the fan", g.leak, func(id duct.SystemID) duct.Flow { return flow(id) + of[id].Leak }))
	}
	if g.Conductance > 0 {
		columns = append(columns, amount("heat gained", watt, func(id duct.SystemID) duct.Power { return of[id].Heat }))
	}
	return tabulate(t, ids[duct.SystemID](len(g.Net.Systems)), columns)
}

// terminalTable lists what reaches every terminal. Noise is that of its last duct alone.
func (g *guide) terminalTable() Table {
	type row = duct.TerminalID
	last := func(id row) duct.RunID { return g.Net.LastRun(&g.Net.Terminals[id]) }
	all := slices.DeleteFunc(ids[row](len(g.Net.Terminals)), func(id row) bool {
		return g.Net.Terminals[id].System == duct.None || last(id) == duct.None
	})
	t := Table{Name: "Guidance, terminals", Title: "Guidance on terminals", Notes: []string{guidanceOnly}}
	columns := append(whose(g.scheduler, g.terminalWork)[:2],
		text("terminal", func(id row) string { return g.Net.Terminals[id].Name }),
		text("last duct", func(id row) string {
			return words.Run(last(id)) + ", " + sized(g.Words, g.Des.Runs[last(id)].Size)
		}))
	if g.Noise {
		t.Notes = append(t.Notes,
			"Sound power: that of the last duct alone. It is not added up along the path: the rule "+
				"gives the level in a straight duct whatever its length, so that runs of one duct must not be added, and what "+
				"arrives from farther off is damped by bends, branches, linings and the end of the duct; the terminal's own noise "+
				"is the manufacturer's to say.")
		columns = append(columns,
			amount("velocity", g.Velocity, func(id row) duct.Velocity { return g.Des.Runs[last(id)].Velocity }),
			amount("sound power, rough estimate", decibel,
				func(id row) float64 { return g.found.Runs[last(id)].Noise }))
	}
	if g.Conductance > 0 {
		columns = append(columns,
			amount("air at the terminal", g.warm, func(id row) float64 { return g.degrees(g.found.Terminals[id]) }))
	}
	return tabulate(t, all, columns)
}
