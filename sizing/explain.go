package sizing

import (
	"fmt"
	"math"
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
	for i := range z.stretches {
		if runs := net.Stretches[i].Runs; len(runs) > 0 && net.Stretches[i].System != duct.None {
			z.stretches[i].exact = des.Runs[runs[0]].Exact
			z.set(duct.StretchID(i), des.Runs[runs[0]].Section)
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
		case r.Key == what:
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

// run explains one run.
func (e *explanation) run(id duct.RunID) {
	r := &e.z.net.Runs[id]
	res := &e.des.Runs[id]
	e.head("Run %s (%s), %s, %s, %s", runName(id), r.Key, r.Air, r.Status, r.Kind)
	if r.System == duct.None {
		e.say("Removed work: it is drawn, but in no system, and costs nothing.")
		return
	}
	st := &e.z.stretches[r.Stretch]
	e.inputs(r, st)
	e.size(r, st)
	e.friction(r)
	e.fittings(r)
	e.head("Loss of the run")
	e.say("friction %.4f Pa + fittings %.4f Pa = %.4f Pa", float64(res.Friction), float64(res.Fittings), float64(res.Friction+res.Fittings))
}

func (e *explanation) inputs(r *duct.Run, st *stretch) {
	e.head("Inputs")
	e.say("Q = %.6g m3/s, the sum of the terminals it serves", float64(r.Flow))
	e.say("rho = %.6g kg/m3, mu = %.6g Pa s, from %.4g C, %.4g m above sea level, relative humidity %.3g", float64(e.z.air.Density),
		e.z.air.Viscosity, e.z.spec.Air.Temperature, e.z.spec.Air.Altitude, e.z.spec.Air.Humidity)
	e.say("roughness eps = %.4g mm, %s", float64(st.lim.roughness/duct.Millimetre), e.z.wallSource(r))
	if st.lim.extended > 0 {
		e.say("flexible duct, stretched to %.3g of its full length", st.lim.extended)
	}
	limits := []string{}
	if e.rateHolds(r, st) {
		limits = append(limits, fmt.Sprintf("friction %.6g Pa/m", float64(st.lim.rate)))
	}
	if st.lim.velocity > 0 {
		limits = append(limits, fmt.Sprintf("velocity %.6g m/s (%s)", float64(st.lim.velocity), st.place))
	}
	limits = append(limits, fmt.Sprintf("least size %.4g mm", float64(e.z.spec.Least/duct.Millimetre)))
	if st.lim.height > 0 {
		limits = append(limits, fmt.Sprintf("height %.4g mm", float64(st.lim.height/duct.Millimetre)))
	}
	if st.lim.shape != duct.Round && !math.IsInf(st.lim.aspect, 1) {
		limits = append(limits, fmt.Sprintf("aspect %.3g", st.lim.aspect))
	}
	e.say("limits: %s", strings.Join(limits, ", "))
}

// wallSource names where the roughness of a run comes from.
func (z *solver) wallSource(r *duct.Run) string {
	name := materialName(r)
	if _, ok := z.ownRoughness(name); ok {
		return "sizing.roughness in the settings"
	}
	m, ok := loss.MaterialOf(name)
	if !ok {
		m, _ = loss.MaterialOf("")
	}
	return m.Name + ": " + m.Source
}

// size explains why the run has its size.
func (e *explanation) size(r *duct.Run, st *stretch) {
	res := &e.des.Runs[r.ID]
	s := res.Section
	e.head("Size: %s (method %s)", inMillimetres(s), st.method)
	for _, why := range res.Why {
		e.say("%s.", why.What)
		if why.Formula != "" {
			e.say("  %s", why.Formula)
		}
		e.say("  source: %s", why.Source)
	}
	if st.keep != found {
		return
	}
	if st.exact > 0 {
		e.say("Before rounding a round duct of %.5g mm would do.", float64(st.exact/duct.Millimetre))
	}
	e.trial("This size", s, r, st)
	for _, smaller := range e.z.nextSmaller(s) {
		e.trial("The next smaller step", smaller, r, st)
	}
	switch {
	case decided(res, byRegain):
		e.regain(r.Stretch, s)
	case decided(res, byBudget):
		e.budget(r.Stretch, s)
	case decided(res, byCost):
		e.cost(r.Stretch, st)
	}
	for c := st.child; c != duct.None; c = e.z.stretches[c].next {
		child := e.z.firstRun(duct.StretchID(c))
		e.say("It feeds %s, %s.", runName(child.ID), inMillimetres(e.z.stretches[c].section))
	}
}

// nextSmaller returns the steps just under s: one of a round size, up to two of an upright one.
func (z *solver) nextSmaller(s duct.Section) []duct.Section {
	var out []duct.Section
	if s.Shape == duct.Round {
		if d, ok := z.pick.round.below(s.Width); ok {
			out = append(out, duct.RoundOf(d))
		}
		return out
	}
	if w, ok := z.pick.sides.below(s.Width); ok {
		out = append(out, upright(s.Shape, w, s.Height))
	}
	if h, ok := z.pick.sides.below(s.Height); ok {
		out = append(out, upright(s.Shape, s.Width, h))
	}
	return out
}

// rateHolds reports whether the limit of friction holds for a run: static regain, balancing by size and cost go over it.
func (e *explanation) rateHolds(r *duct.Run, st *stretch) bool {
	res := &e.des.Runs[r.ID]
	return st.lim.rate > 0 && !decided(res, byRegain) && !decided(res, byBudget) && !decided(res, byCost)
}

// trial shows what a size would give against the limits.
func (e *explanation) trial(what string, s duct.Section, r *duct.Run, st *stretch) {
	v, rate := s.Velocity(st.flow), st.lim.wall.rate(s, st.flow)
	verdict := []string{}
	if e.rateHolds(r, st) && float64(rate) > float64(st.lim.rate)*(1+stepSlack) {
		verdict = append(verdict, "over the friction limit")
	}
	if st.lim.velocity > 0 && float64(v) > float64(st.lim.velocity)*(1+stepSlack) {
		verdict = append(verdict, "over the velocity limit")
	}
	if s.Shape != duct.Round && s.Aspect() > st.lim.aspect*(1+stepSlack) {
		verdict = append(verdict, "over the aspect limit")
	}
	if len(verdict) == 0 {
		verdict = append(verdict, "within the limits")
	}
	e.say("%s, %s: V = %.5g m/s, friction %.5g Pa/m: %s.", what, inMillimetres(s), float64(v), float64(rate), strings.Join(verdict, ", "))
}

// regain shows the static pressure gain with every size that was tried.
func (e *explanation) regain(id duct.StretchID, s duct.Section) {
	z := e.z
	lim := z.stretches[id].lim
	lim.rate = 0
	tried := z.candidates(id, lim, z.sections[z.lastRun(z.net.Stretches[id].Up).ID])
	if len(tried) == 0 { // every size is a step
		tried = []duct.Section{s}
	}
	e.say("Tried, from the size of what feeds it down to the velocity limit:")
	for _, try := range tried {
		e.say("  %s: pv before %.5g - pv here %.5g - loss %.5g = %+.5g Pa of static pressure", inMillimetres(try), float64(z.pvBefore(id)),
			float64(z.pvOf(id, try)), float64(z.stretchLoss(id, try)), float64(z.gain(id, try)))
	}
}

// cost shows the working of the optimised method at the diameter before rounding.
func (e *explanation) cost(id duct.StretchID, st *stretch) {
	z := e.z
	lost := z.stretchLoss(id, duct.RoundOf(st.exact))
	m := momentOf(lost, st.exact, st.flow, z.air.Density)
	e.say("At %.5g mm it loses dp = %.5g Pa, which is the share it gets; m = dp pi^2 D^5/(8 rho Q^2) = %.5g m;", float64(st.exact/duct.Millimetre),
		float64(lost), m)
	e.say("with it D = 0.959 (m rho)^0.2 Q^0.4 dp^-0.2 = %.5g mm. The step nearest to that is taken.",
		float64(costDiameter(m, lost, st.flow, z.air.Density)/duct.Millimetre))
}

// budget shows what is left to throttle behind the stretch, and what the next smaller size would cost more.
func (e *explanation) budget(id duct.StretchID, s duct.Section) {
	z := e.z
	left := duct.Pressure(math.Inf(1))
	sys := z.net.Stretches[id].System
	for _, t := range z.net.Systems[sys].Terminals {
		for r := z.runOf(t); r != duct.None; r = z.net.Runs[r].Up {
			if z.net.Runs[r].Stretch == id {
				left = min(left, e.des.Terminals[t].Throttle)
			}
		}
	}
	e.say("Least throttling left behind it: %.5g Pa.", float64(left))
	for _, try := range z.nextSmaller(s) {
		e.say("With %s it would lose %.5g Pa instead of %.5g Pa.", inMillimetres(try), float64(z.stretchLoss(id, try)), float64(z.stretchLoss(id, s)))
	}
}

// friction explains the friction of the run.
func (e *explanation) friction(r *duct.Run) {
	z, res := e.z, &e.des.Runs[r.ID]
	s := res.Section
	w := z.walls[r.ID]
	f := loss.FrictionOf(s, r.Flow, w.roughness, z.air)
	e.head("Friction")
	e.say("A = %.6g m2, V = Q/A = %.6g m/s, pv = rho V^2/2 = %.6g Pa", float64(s.Area()), float64(f.Velocity), float64(f.Pv))
	e.say("Dh = 4 A/P = %.6g m, Re = rho V Dh/mu = %.6g, eps/Dh = %.6g", float64(f.Hydraulic), f.Reynolds, f.Relative)
	e.say("f = %.6g, 64/Re up to 2300, Colebrook 1/sqrt f = -2 log10(eps/(3.7 Dh) + 2.51/(Re sqrt f)) from 4000", f.Factor)
	e.say("  source: Darcy-Weisbach and Colebrook, ASHRAE Handbook Fundamentals, ch. 21, eq. 18 and 19")
	e.say("rate = f/Dh pv = %.6g Pa/m", float64(f.Rate))
	if w.extended > 0 {
		k := loss.Compression(s.Equivalent(), w.extended)
		e.say("  times %.5g = 1 + 0.58 Kc exp(-0.00496 D[mm]), Kc = %.3g %%: %.6g Pa/m", k, 100*(1-w.extended), float64(res.Rate))
		e.say("  source: ASHRAE Handbook Fundamentals, ch. 21, eq. 22 and 23")
	}
	straight, extra := z.scratch.straight[r.ID], z.scratch.extra[r.ID]
	e.say("length %.5g m along the true centreline (%.5g m from corner to corner)", float64(max(0, straight)), z.axes[r.ID].Len())
	if extra > 0 {
		e.say("half the arcs of elbows of another size: %.5g Pa", float64(extra))
	}
	e.say("friction = %.4f Pa", float64(res.Friction))
}

// fittings explains the losses booked on the run.
func (e *explanation) fittings(r *duct.Run) {
	z := e.z
	e.head("Fittings")
	for _, k := range z.ofRun(r.ID) {
		f := &z.des.Fittings[k]
		e.say("%s, %s to %s: C = %.5g on pv %.5g Pa (%s) = %.4f Pa", f.Kind, inMillimetres(f.Common), inMillimetres(f.Own), f.C,
			float64(f.Pv), f.Reference, float64(f.Loss))
		if _, _, own := z.override(f); !own && f.Kind != duct.InlineBox {
			res := z.again(f)
			e.say("  %s", res.Formula)
			if v := res.Values(); v != "" && res.Source != "" {
				e.say("  %s", v)
			}
			if out := res.Outside(); out != "" {
				e.say("  %s", out)
			}
		}
		if f.Source != "" {
			e.say("  source: %s", f.Source)
		}
	}
	if s := z.stack(r); s != 0 {
		e.say("stack effect: %.4f Pa gained = 9.81 (rho around %.5g - rho inside %.5g) times the rise %.4g m", float64(s), float64(z.ambient),
			float64(z.air.Density), r.Line.B.Z-r.Line.A.Z)
	}
	if len(z.ofRun(r.ID)) == 0 {
		e.say("none")
	}
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
		e.say("%s: %s, friction %.4f Pa + fittings %.4f Pa; so far %.4f Pa", runName(path[k]), inMillimetres(r.Section), float64(r.Friction),
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
		e.say("by a damper in %s, V = %.5g m/s: C = throttling/(rho V^2/2) = %.5g", runName(res.Damper), float64(v), res.DamperC)
	}
}
