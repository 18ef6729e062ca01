package sizing

import (
	"fmt"
	"slices"
	"strings"

	"twinline/layout/duct"
	"twinline/layout/words"
	"twinline/sizing/loss"
)

// Explain says how the numbers of a run or the path of a terminal came about: inputs, formulas,
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
	d := newDraft(newPlan(newJob(net, spec)))
	d.adopt(des)
	x := &explanation{evaluation: newEvaluation(d), des: des}
	switch {
	case err != nil:
		for _, u := range units {
			x.unit(u)
		}
	case term != duct.None:
		x.terminal(term)
	default:
		x.run(run)
	}
	return x.String(), nil
}

// adopt gives a draft the sizes of a design, and what decided them.
func (d *draft) adopt(des *duct.Design) {
	for i := range d.sizes {
		id, st := duct.SectionID(i), &d.sizes[i]
		if runs := d.net.Sections[i].Runs; len(runs) > 0 && d.net.Sections[i].System != duct.None {
			res := &des.Runs[runs[0]]
			st.by, st.exact, st.cut = res.Why.By, res.Exact, res.Why.By == duct.Budget
			if _, other := reasons[st.by]; !other {
				st.by = d.sections[i].plain()
			}
			st.flat = d.isFree(id) && res.Size.Shape != d.sections[i].lim.shape
			d.set(id, res.Size)
		}
	}
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

// lookUp finds the run or the terminal that is asked for.
func lookUp(net *duct.Network, what string) (duct.RunID, duct.TerminalID, error) {
	what = strings.TrimSpace(what)
	key := duct.RunID(duct.None)
	for i := range net.Runs {
		switch r := &net.Runs[i]; {
		case strings.EqualFold(words.Run(r.ID), what):
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
			hits, hit = append(hits, t.Name), t.ID
		}
	}
	switch {
	case len(hits) == 0 && key != duct.None:
		return key, duct.None, nil
	case len(hits) == 0:
		return duct.None, duct.None, fmt.Errorf(
			"nothing is called %q: name a run like r1, a terminal or a unit by its mark", what)
	case len(hits) == 1:
		return duct.None, hit, nil
	}
	return duct.None, duct.None, fmt.Errorf("%q is the mark of %d terminals: name one of %s",
		what, len(hits), strings.Join(hits, ", "))
}

// explanation prints an evaluation of a design, in lines of a heading and an indented text.
type explanation struct {
	strings.Builder
	*evaluation
	des *duct.Design // that is explained
}

func (x *explanation) head(format string, args ...any) { fmt.Fprintf(x, format+"\n", args...) }
func (x *explanation) say(format string, args ...any)  { fmt.Fprintf(x, "  "+format+"\n", args...) }

// mm returns a length in millimetres.
func mm(l duct.Length) float64 { return float64(l / duct.Millimetre) }

// inMM writes a size with its unit.
func inMM(s duct.Size) string {
	if s.IsZero() {
		return "no size known"
	}
	return words.In(false).Size(s) + " mm"
}

// unit explains what a unit has to give.
func (x *explanation) unit(id duct.UnitID) {
	u := &x.net.Units[id]
	var out, in duct.Pressure
	for i := range x.net.Systems {
		sys, res := &x.net.Systems[i], &x.des.Systems[i]
		if sys.Unit != id {
			continue
		}
		x.head("Unit %s, %s, Q = %.6g m3/s", u.Mark, sys.Air, sys.Flow)
		side := "inlet"
		if sys.Air.FromUnit() {
			side, out = "outlet", max(out, res.Required)
		} else {
			in = max(in, res.Required)
		}
		if res.Deciding != duct.None {
			x.say("the largest of the path pressures is that of %s: %.4f Pa", x.net.Terminals[res.Deciding].Name,
				res.Required)
		}
		p := x.des.Nodes[sys.Head]
		x.say("at its %s: total %.4f Pa = static %.4f Pa + velocity %.4f Pa, against the room",
			side, p.Total, p.Static, p.Velocity)
	}
	x.say("it has to give %.4f Pa at its outlet and %.4f Pa at its inlet, %.4f Pa together", out, in, out+in)
	if u.HasAvailable {
		x.say("it has %.4f Pa; margin %.4f Pa", u.Available, u.Available-out-in)
	}
}

// terminal explains the path of a terminal.
func (x *explanation) terminal(id duct.TerminalID) {
	t, res := &x.net.Terminals[id], &x.des.Terminals[id]
	x.head("Terminal %s, %s, %s, Q = %.6g m3/s", t.Name, t.Air, t.Status, t.Flow)
	if t.System == duct.None {
		x.say("Removed work: it is drawn, but in no system, and costs nothing.")
		return
	}
	var path []duct.RunID
	for r := x.runOf(id); r != duct.None; r = x.net.Runs[r].Up {
		path = append(path, r)
	}
	x.head("Path, from the unit")
	sum := duct.Pressure(0)
	for _, id := range slices.Backward(path) {
		r := &x.des.Runs[id]
		sum += r.Friction + r.Fittings
		x.say("%s: %s, friction %.4f Pa + fittings %.4f Pa; so far %.4f Pa",
			words.Run(id), inMM(r.Size), r.Friction, r.Fittings, sum)
	}
	x.say("the terminal itself: %.4f Pa; path %.4f Pa", t.Loss, res.Path)
	sys := &x.des.Systems[t.System]
	x.head("Balance")
	x.say("the deciding path, to %s, needs %.4f Pa", x.net.Terminals[sys.Deciding].Name, sys.Required)
	if id == sys.Deciding {
		x.say("this is the deciding path: nothing is throttled")
		return
	}
	x.say("to throttle: %.4f - %.4f = %.4f Pa", sys.Required, res.Path, res.Throttle)
	if res.Damper != duct.None {
		x.damper(res)
	}
}

// damper explains what the damper of a terminal has to be.
func (x *explanation) damper(res *duct.TerminalResult) {
	v, rho := x.des.Runs[res.Damper].Velocity, x.air.Density
	x.say("by a damper in %s, V = %.6g m/s, pv = rho V^2/2 = %.6g Pa with rho = %.6g kg/m3: C = throttling/pv = %.5g",
		words.Run(res.Damper), v, loss.VelocityPressure(v, rho), rho, res.DamperC)
	total := res.DamperC
	for t := range x.termsOfRun(&x.net.Runs[res.Damper]) {
		if t.kind == fittingTerm && t.fitting.DamperC > 0 {
			total += t.fitting.DamperC
			x.say("the damper drawn there has C = %.5g when open, which is counted in the path; together it needs C = %.5g",
				t.fitting.DamperC, total)
		}
	}
	if angle, ok := loss.BladeAngle(total); ok {
		x.say("a single blade turned by about %.0f degrees has that (%s); a first setting, before measuring",
			angle/duct.Degree, loss.DamperSource)
	}
}
