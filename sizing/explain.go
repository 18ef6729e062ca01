package sizing

import (
	"fmt"
	"slices"
	"strings"

	"twinline/layout/duct"
	"twinline/sizing/loss"
)

// Explain tells how the numbers of a run or the path of a terminal came about: inputs, formulas,
// sources, intermediate values, and why a run has its size and not the next smaller one, so that
// a second reader can redo it with a calculator. net, des and spec are those of Solve; what is
// the id of a run as the JSON prints it ("r3"), its key, the name or mark of a terminal, or the mark of a unit.
// Numbers are in SI. An error says that nothing, or more than one terminal, goes by that name.
func Explain(net *duct.Network, des *duct.Design, spec Spec, what string) (string, error) {
	run, term, err := lookUp(net, what)
	units := unitsCalled(net, what)
	if err != nil && len(units) == 0 {
		return "", err
	}
	z := newSolver(net, spec)
	z.kept()
	z.sizeAll() // for what the sizes came from; they are set to those of the design below
	for i := range z.sections {
		if runs := net.Sections[i].Runs; len(runs) > 0 && net.Sections[i].System != duct.None {
			st := &z.sections[i]
			st.reason, st.cut = st.plain(), false
			for by, lines := range whyReason {
				if why := des.Runs[runs[0]].Why; len(why) > 0 && &why[0] == &lines[0] {
					st.reason, st.cut = by, by == byBudget
				}
			}
			st.exact = des.Runs[runs[0]].Exact
			if s := des.Runs[runs[0]].Size.Shape; st.keep == found && s != st.lim.shape {
				st.lim.shape, st.flattened = s, true
			}
			z.set(duct.SectionID(i), des.Runs[runs[0]].Size)
		}
	}
	z.evaluate()
	e := &explanation{z: z, des: des}
	switch {
	case err != nil:
		for _, u := range units {
			e.unit(u)
		}
	case term != duct.None:
		e.terminal(term)
	default:
		e.run(run)
	}
	return e.String(), nil
}

// unitsCalled returns the units at the head of a system that go by a mark.
func unitsCalled(net *duct.Network, what string) []duct.UnitID {
	var out []duct.UnitID
	for i := range net.Systems {
		u := net.Systems[i].Unit
		if u != duct.None && strings.EqualFold(net.Units[u].Mark, strings.TrimSpace(what)) && !slices.Contains(out, u) {
			out = append(out, u)
		}
	}
	return out
}

// unit explains what a unit has to give.
func (e *explanation) unit(id duct.UnitID) {
	net, u := e.z.net, &e.z.net.Units[id]
	var out, in duct.Pressure
	for i := range net.Systems {
		sys, res := &net.Systems[i], &e.des.Systems[i]
		if sys.Unit != id {
			continue
		}
		e.head("Unit %s, %s, Q = %.6g m3/s", u.Mark, sys.Air, float64(sys.Flow))
		p := e.des.Nodes[sys.Head]
		side := "outlet"
		if sys.Air.FromUnit() {
			out = max(out, res.Required)
		} else {
			side, in = "inlet", max(in, res.Required)
		}
		if res.Deciding != duct.None {
			e.say("the largest of the path pressures is that of %s: %.4f Pa", net.Terminals[res.Deciding].Name, float64(res.Required))
		}
		e.say("at its %s: total %.4f Pa = static %.4f Pa + velocity %.4f Pa, against the room", side, float64(p.Total), float64(p.Static), float64(p.Velocity))
	}
	e.say("it has to give %.4f Pa at its outlet and %.4f Pa at its inlet, %.4f Pa together", float64(out), float64(in), float64(out+in))
	if u.HasAvailable {
		e.say("it has %.4f Pa; margin %.4f Pa", float64(u.Available), float64(u.Available-out-in))
	}
}

// lookUp finds what is asked for.
func lookUp(net *duct.Network, what string) (duct.RunID, duct.TerminalID, error) {
	what = strings.TrimSpace(what)
	key := duct.RunID(duct.None)
	for i := range net.Runs {
		switch r := &net.Runs[i]; {
		case strings.EqualFold(runName(r.ID), what):
			return r.ID, duct.None, nil
		case string(r.Key) == what:
			key = r.ID
		}
	}
	var hits []string
	hit := duct.TerminalID(duct.None)
	for i := range net.Terminals {
		t := &net.Terminals[i]
		if strings.EqualFold(t.Name, what) || strings.EqualFold(t.Mark, what) {
			hits = append(hits, t.Name)
			hit = t.ID
		}
	}
	switch {
	case len(hits) == 0 && key != duct.None:
		return key, duct.None, nil
	case len(hits) == 0:
		return duct.None, duct.None, fmt.Errorf("nothing is called %q: name a run like r1, a terminal or a unit by its mark", what)
	case len(hits) == 1:
		return duct.None, hit, nil
	}
	return duct.None, duct.None, fmt.Errorf("%q is the mark of %d terminals: name one of %s", what, len(hits), strings.Join(hits, ", "))
}

// explanation writes lines of a heading and an indented text.
type explanation struct {
	strings.Builder
	z   *solver
	des *duct.Design
}

func (e *explanation) head(format string, args ...any) {
	fmt.Fprintf(e, format+"\n", args...)
}

func (e *explanation) say(format string, args ...any) {
	fmt.Fprintf(e, "  "+format+"\n", args...)
}

// terminal explains the path of a terminal.
func (e *explanation) terminal(id duct.TerminalID) {
	z, t, res := e.z, &e.z.net.Terminals[id], &e.des.Terminals[id]
	e.head("Terminal %s, %s, %s, Q = %.6g m3/s", t.Name, t.Air, t.Status, float64(t.Flow))
	if t.System == duct.None {
		e.say("Removed work: it is drawn, but in no system, and costs nothing.")
		return
	}
	var path []duct.RunID
	for r := z.runOf(id); r != duct.None; r = z.net.Runs[r].Up {
		path = append(path, r)
	}
	e.head("Path, from the unit")
	sum := duct.Pressure(0)
	for k := len(path) - 1; k >= 0; k-- {
		r := &e.des.Runs[path[k]]
		sum += r.Friction + r.Fittings
		e.say("%s: %s, friction %.4f Pa + fittings %.4f Pa; so far %.4f Pa", runName(path[k]), inMillimetres(r.Size), float64(r.Friction),
			float64(r.Fittings), float64(sum))
	}
	e.say("the terminal itself: %.4f Pa; path %.4f Pa", float64(t.Loss), float64(res.Path))
	sys := &e.des.Systems[t.System]
	e.head("Balance")
	e.say("the deciding path, to %s, needs %.4f Pa", z.net.Terminals[sys.Deciding].Name, float64(sys.Required))
	if id == sys.Deciding {
		e.say("this is the deciding path: nothing is throttled")
		return
	}
	e.say("to throttle: %.4f - %.4f = %.4f Pa", float64(sys.Required), float64(res.Path), float64(res.Throttle))
	if res.Damper != duct.None {
		v := e.des.Runs[res.Damper].Velocity
		e.say("by a damper in %s, V = %.6g m/s, pv = rho V^2/2 = %.6g Pa with rho = %.6g kg/m3: C = throttling/pv = %.5g", runName(res.Damper), float64(v),
			float64(loss.VelocityPressure(v, z.air.Density)), float64(z.air.Density), res.DamperC)
		total := res.DamperC
		for _, k := range z.ofRun(res.Damper) {
			if open := z.des.Fittings[k].DamperC; open > 0 {
				total += open
				e.say("the damper drawn there has C = %.5g when open, which is counted in the path; together it needs C = %.5g", open, total)
			}
		}
		if s := setting(total); s != "" {
			e.say("%s", s)
		}
	}
}
