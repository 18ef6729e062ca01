package sizing

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"twinline/layout/duct"
	"twinline/layout/words"
	"twinline/sizing/air"
	"twinline/sizing/loss"
)

// run explains one run.
func (x *explanation) run(id duct.RunID) {
	r, res := &x.net.Runs[id], &x.des.Runs[id]
	x.head("Run %s (%s), %s, %s, %s", words.Run(id), r.Key, r.Air, r.Status, r.Kind)
	if r.System == duct.None {
		x.say("Removed work: it is drawn, but in no system, and costs nothing.")
		return
	}
	x.inputs(r)
	x.size(r, res)
	x.frictionOf(r, res)
	x.fittings(r)
	x.head("Loss of the run")
	x.say("friction %.4f Pa + fittings %.4f Pa = %.4f Pa", res.Friction, res.Fittings, res.Friction+res.Fittings)
}

func (x *explanation) inputs(r *duct.Run) {
	s := &x.sections[r.Section]
	x.head("Inputs")
	x.say("Q = %.6g m3/s, %s", r.Flow, x.flowFrom(r))
	x.airState()
	m := x.spec.material(r)
	if m.Name != "" {
		m.Source = m.Name + ": " + m.Source
	}
	x.say("roughness eps = %.4g mm, %s", mm(s.lim.roughness), m.Source)
	if s.lim.extended > 0 {
		x.say("flexible duct, stretched to %.3g of its full length (sizing.flexible_stretch)", s.lim.extended)
	}
	var limits []string
	add := func(holds bool, format string, args ...any) {
		if holds {
			limits = append(limits, fmt.Sprintf(format, args...))
		}
	}
	const noAspect = 1e3 // from where a limit of the aspect is none
	add(x.rateHolds(r), "friction %.6g Pa/m", s.lim.rate)
	add(s.lim.velocity > 0, "velocity %.6g m/s (%s)", s.lim.velocity, s.place)
	add(true, "least size %.4g mm", mm(x.spec.Least))
	add(s.lim.height > 0, "height %.4g mm", mm(s.lim.height))
	add(x.des.Runs[r.ID].Size.Shape != duct.Round && s.lim.aspect < noAspect, "aspect %.3g", s.lim.aspect)
	x.say("limits: %s", strings.Join(limits, ", "))
}

// flowFrom says what the flow of a run is the sum of.
func (x *explanation) flowFrom(r *duct.Run) string {
	n := &x.net.Nodes[x.net.DownNode(r)]
	if n.Kind == duct.Outlet && n.Terminal != duct.None {
		return "the airflow of terminal " + x.net.Terminals[n.Terminal].Name
	}
	var parts []string
	for _, id := range n.Runs {
		if o := &x.net.Runs[id]; o.Up == r.ID {
			parts = append(parts, fmt.Sprintf("%s %.6g", words.Run(id), o.Flow))
		}
	}
	switch len(parts) {
	case 0:
		return "it leads nowhere"
	case 1:
		return "the same as " + parts[0]
	}
	return "the sum of " + strings.Join(parts, " + ")
}

// airState says how density and viscosity follow from the state of the air.
func (x *explanation) airState() {
	a, rho := &x.spec.Air, x.air.Density
	if a.Density > 0 {
		x.say("rho = %.6g kg/m3: given, air.density", rho)
	} else if a.Temperature == air.StandardTemperature && a.Altitude == 0 && a.Humidity == 0 {
		x.say("rho = %.6g kg/m3: standard air, %d C, dry, at sea level", rho, air.StandardTemperature)
		x.say("  source: ASHRAE Handbook Fundamentals (SI, 2021), ch. 21")
	} else {
		p := air.Pressure(duct.Length(a.Altitude))
		w := air.HumidityRatio(a.Temperature, a.Humidity, p)
		x.say("rho = p (1 + W)/(287.042 T (1 + 1.607858 W)) = %.6g kg/m3, T = %.6g K (%.6g C)",
			rho, duct.Kelvin(a.Temperature), a.Temperature)
		x.say("  p = 101325 (1 - 2.25577e-5 Z)^5.2559 = %.6g Pa, Z = %.6g m", p, a.Altitude)
		x.say("  W = 0.621945 RH ps/(p - RH ps) = %.6g, RH = %.6g, ps = %.6g Pa, saturated vapour by Hyland and Wexler",
			w, a.Humidity,
			air.Saturation(a.Temperature))
		x.say("  source: ASHRAE Handbook Fundamentals (SI, 2021), ch. 1, eq. 3, 5, 6, 11, 20, 22 and 26")
	}
	x.say("mu = 1.458e-6 T^1.5/(T + 110.4) = %.6g Pa s, T = %.6g K", x.air.Viscosity, duct.Kelvin(a.Temperature))
	x.say("  source: US Standard Atmosphere 1976, eq. 51")
}

// frictionOf explains the friction of a run.
func (x *explanation) frictionOf(r *duct.Run, res *duct.RunResult) {
	w := x.walls[r.ID]
	f := loss.FrictionOf(res.Size, r.Flow, w.roughness, x.air)
	x.head("Friction")
	var area, around string
	switch res.Size.Shape {
	case duct.Round:
		area, around = "pi D^2/4", "pi D"
	case duct.Rect:
		area, around = "w h", "2 (w + h)"
	case duct.Oval:
		area, around = "pi h^2/4 + h (w - h)", "pi h + 2 (w - h)"
	}
	x.say("A = %s = %.6g m2, V = Q/A = %.6g m/s, pv = rho V^2/2 = %.6g Pa", area, res.Size.Area(), f.Velocity, f.Pv)
	x.say("P = %s = %.6g m, Dh = 4 A/P = %.6g m, Re = rho V Dh/mu = %.6g, eps/Dh = %.6g",
		around, res.Size.Perimeter(), f.Hydraulic,
		f.Reynolds, f.Relative)
	x.factor(f)
	x.say("rate = f/Dh pv = %.6g Pa/m", f.Rate)
	x.say("  source: Darcy-Weisbach, ASHRAE Handbook Fundamentals, ch. 21, eq. 18")
	if w.extended > 0 {
		x.say("rate, flexible = rate (1 + 0.58 Kc exp(-0.00496 D)) = %.6g Pa/m, D = %.6g (mm), Kc = 100 (1 - %.4g) = %.4g %%",
			res.Rate,
			mm(res.Size.Equivalent()), w.extended, 100*(1-w.extended))
		x.say("  source: ASHRAE Handbook Fundamentals, ch. 21, eq. 22 and 23")
	}
	x.say("friction = rate x L%s = %.4f Pa", x.length(r), res.Friction)
}

// factor says the friction factor by the formula of its regime.
func (x *explanation) factor(f loss.Friction) {
	const colebrook = "1/sqrt f = -2 log10(eps/(3.7 Dh) + 2.51/(Re sqrt f))"
	switch {
	case f.Reynolds <= loss.LaminarEnd:
		x.say("f = 64/Re = %.6g, laminar up to Re 2300", f.Factor)
		x.say("  source: Hagen-Poiseuille, ASHRAE Handbook Fundamentals, ch. 21")
	case f.Reynolds < loss.TurbulentStart:
		lo, hi := loss.FrictionFactor(loss.LaminarEnd, f.Relative), loss.Colebrook(loss.TurbulentStart, f.Relative)
		x.say("f = %.6g + (%.6g - %.6g)(Re - 2300)/1700 = %.6g, from 64/Re at 2300 to Colebrook at 4000, %s",
			lo, hi, lo, f.Factor, colebrook)
		x.say("  source: the line between laminar and turbulent flow is our own choice")
	default:
		x.say("f = %.6g, the root of Colebrook's %s", f.Factor, colebrook)
		x.say("  source: Colebrook (1939), ASHRAE Handbook Fundamentals, ch. 21, eq. 19")
	}
}

// length says the length friction is counted over, and returns what elbows of another size add to the friction, as
// text.
func (x *explanation) length(r *duct.Run) (arcs string) {
	x.say("length from corner to corner %.6g m", x.evaluation.des.Runs[r.ID].Length)
	how := "the same"
	for i := range x.evaluation.des.Fittings {
		f := &x.evaluation.des.Fittings[i]
		if !hasArc(f) || f.Run != r.ID && f.Main != r.ID {
			continue
		}
		how = "along the true centreline"
		tangent, arc := halfElbow(f)
		name := fmt.Sprintf("bend at %s, r = %.6g m, turn a = %.6g degrees",
			words.Node(f.Node), f.Radius, f.Angle/duct.Degree)
		if x.runs[r.ID] == f.Own {
			x.say("  %s: half its arc in place of its corner, r a/2 - r tan(a/2) = %.6g - %.6g = %.6g m",
				name, arc, tangent, arc-tangent)
			continue
		}
		rate := x.walls[r.ID].rate(f.Own, r.Flow)
		lost := float64(rate) * float64(arc)
		x.say("  %s, %s: - r tan(a/2) = -%.6g m; half its arc, r a/2 = %.6g m, loses at its own size, "+
			"by the same formulas, %.6g Pa/m = %.6g Pa",
			name, inMM(f.Own), tangent, arc, rate, lost)
		arcs += fmt.Sprintf(" + %.6g", lost)
	}
	x.say("L = %.6g m, %s", max(0, x.straight[r.ID]), how)
	return arcs
}

// fittings explains the losses booked on a run beside its friction.
func (x *explanation) fittings(r *duct.Run) {
	x.head("Fittings")
	for t := range x.termsOfRun(r) {
		switch t.kind {
		case frictionTerm: // explained by frictionOf
		case fittingTerm:
			x.fitting(t.fitting)
		case stackTerm:
			x.say("stack effect: 9.81 (rho around - rho) rise = 9.81 (%.6g - %.6g) %.6g = %.4f Pa gained",
				x.ambient, x.air.Density,
				r.Line.B.Z-r.Line.A.Z, -t.loss)
			x.say("  rho around by the formulas of rho at %.4g C", x.spec.Air.Ambient)
			x.say("  source: ASHRAE Handbook Fundamentals (SI, 2021), ch. 21, eq. 8")
		}
	}
	if len(x.book.of(r.ID)) == 0 {
		x.say("none")
	}
}

func (x *explanation) fitting(f *duct.Fitting) {
	name := fmt.Sprintf("%s at %s (%s), ", f.Kind, words.Node(f.Node), x.net.Nodes[f.Node].Key)
	if !f.Common.IsZero() {
		name += inMM(f.Common) + " to "
	}
	name += inMM(f.Own)
	if f.Loss == 0 && f.C == 0 && f.Pv == 0 {
		x.say("%s: C = 0, nothing disturbs the air", name)
		return
	}
	x.say("%s: C = %.5g on pv %.6g Pa (%s) = %.4f Pa", name, f.C, f.Pv, f.Reference, f.Loss)
	if f.Kind.Is(duct.OutletFamily) && f.Common.IsZero() {
		x.say("  no neck is noted: it is as large as the duct")
	}
	if _, _, own := x.override(f); !own && !f.Kind.Is(duct.BoxFamily) {
		res := x.again(f)
		x.say("  %s", res.Formula)
		if v := res.Values(); v != "" && res.Source != "" {
			if f.Reference == ofFitting {
				v = strings.Replace(v, "on the own velocity", "on the velocity in the fitting itself,", 1)
			}
			x.say("  %s", v)
		}
		if out := res.Outside(); out != "" {
			x.say("  %s", out)
		}
	}
	if f.Source != "" {
		x.say("  source: %s", f.Source)
	}
	if f.DamperC > 0 {
		pv := x.pv(x.runs[f.Run], x.net.Runs[f.Run].Flow)
		x.say("  of it the open damper: C = %.5g on pv %.6g Pa (own) = %.4f Pa", f.DamperC, pv, f.DamperC*float64(pv))
		x.say("  source of that: %s", x.damperOf(f).source)
	}
}

// size explains why a run has its size.
func (x *explanation) size(r *duct.Run, res *duct.RunResult) {
	id := r.Section
	s, st := &x.sections[id], &x.sizes[id]
	x.head("Size: %s (method %s)", inMM(res.Size), s.method)
	why := reasonOf(res.Why.By, s.method)
	x.say("%s.", why.what)
	if why.formula != "" {
		x.say("  %s", why.formula)
	}
	x.say("  source: %s", why.source)
	x.against("This size", res.Size, r)
	if !x.isFree(id) {
		return
	}
	if by := res.Why.By; st.exact > 0 && by != duct.StaticGain && by != duct.Budget && by != duct.LeastCost {
		x.say("By its limits alone, before rounding, a round duct of %.5g mm would do.", mm(st.exact))
	}
	x.smallerSizes(r, res.Size)
	switch res.Why.By {
	case duct.StaticGain, duct.NoStaticGain:
		x.gains(id, res.Size)
	case duct.Budget:
		x.budget(id, res.Size)
	case duct.LeastCost:
		x.cost(id)
	case duct.Undecided, duct.NotedSize, duct.ExistingSize, duct.NeckSize, duct.NoAir, duct.FrictionLimit,
		duct.VelocityLimit, duct.LeastSize, duct.HeightLimit, duct.AspectLimit, duct.WhatItFeeds, duct.HeldOn:
		// the comparison with smaller sizes says it
	}
	for c := range x.children(id) {
		x.say("It feeds %s, %s.", words.Run(x.firstRun(c).ID), inMM(x.sizes[c].size))
	}
}

// smallerSizes shows what is wrong with the next smaller sizes: of a round duct the step under it, of an upright one
// the largest of each height whose area is smaller. It says what is wished for beside a small area.
func (x *explanation) smallerSizes(r *duct.Run, s duct.Size) {
	steps := x.picker.steps(s.Shape)
	height := x.sections[r.Section].lim.height
	if x.sizes[r.Section].flat && s.Shape != duct.Round {
		x.say("The round steps within the limits are higher than %.4g mm, so it is rectangular.", mm(height))
	}
	if d, ok := steps.below(s.Width); ok && s.Shape == duct.Round {
		x.against("The next smaller step", duct.RoundOf(d), r)
		return
	} else if steps.stepless() {
		x.say("Every size is a step: there is no next smaller one.")
		return
	}
	var list []duct.Size
	if s.Shape != duct.Round {
		list = x.smallerInArea(s, &x.sections[r.Section].lim)
	}
	for _, other := range list[:min(len(list), smallerMost)] {
		x.against("Of smaller area", other, r)
	}
	switch {
	case len(list) > smallerMost:
		x.say("Flatter ones of no larger area lose more.")
	case len(list) == 0:
		x.say("There is no smaller step: sizing.least.")
	}
	if s.Shape == duct.Round {
		return
	}
	w := x.wishes(r.Section)
	if w.height > 0 && math.Abs(float64(w.height-s.Height)) < stepSlack {
		x.say("It keeps the height of the duct it goes straight on from, %.4g mm, which may cost up to a fifth of area.",
			mm(w.height))
	}
	if w.mostWidth > 0 {
		x.say("It is no wider than %.4g mm and no higher than %.4g mm, as the duct that feeds it, if there is such a size.",
			mm(w.mostWidth),
			mm(w.mostSide))
	}
}

// smallerMost is how many smaller upright sizes are shown.
const smallerMost = 6

// smallerInArea returns, of every height, the largest upright size of a smaller area than s, the squarest first.
func (x *explanation) smallerInArea(s duct.Size, lim *limits) []duct.Size {
	var out []duct.Size
	l := x.picker.sides
	smaller := func(w, h duct.Length) bool { return upright(s.Shape, w, h).Area() < s.Area()*(1-stepSlack) }
	for i := range l.len() {
		h := l.at(i)
		if !smaller(h, h) || over(h, lim.height) {
			break
		}
		w := i
		for w+1 < l.len() && smaller(l.at(w+1), h) && float64(l.at(w+1)) <= lim.aspect*float64(h)*(1+stepSlack) {
			w++
		}
		out = append(out, upright(s.Shape, l.at(w), h))
	}
	slices.Reverse(out)
	return out
}

// rateHolds reports whether the limit of friction holds for a run: static regain, balancing by size and cost go over
// it.
func (x *explanation) rateHolds(r *duct.Run) bool {
	s, res := &x.sections[r.Section], &x.des.Runs[r.ID]
	if s.lim.rate <= 0 || s.kept == duct.NeckSize || x.unbound(r.Section) {
		return false
	}
	return s.method != Balanced || res.Why.By != duct.WhatItFeeds || res.Rate <= s.lim.rate*(1+stepSlack)
}

// against shows what a size would give against the limits.
func (x *explanation) against(what string, s duct.Size, r *duct.Run) {
	sec, lim := &x.sections[r.Section], x.limits(r.Section)
	v, rate := s.Velocity(sec.flow), lim.wall.rate(s, sec.flow)
	var verdict []string
	add := func(broken bool, text string) {
		if broken {
			verdict = append(verdict, text)
		}
	}
	add(x.rateHolds(r) && rate > lim.rate*(1+stepSlack), "over the friction limit")
	add(lim.velocity > 0 && v > lim.velocity*(1+stepSlack), "over the velocity limit")
	add(s.Shape != duct.Round && s.Aspect() > lim.aspect*(1+stepSlack), "over the aspect limit")
	covers := x.isFree(r.Section) && x.endOf(r.Section).Kind != duct.Box
	for c := range x.children(r.Section) {
		if f := (floor{}).with(x.sizes[c].size, &lim); covers && !f.covers(s) {
			add(true, "smaller than "+words.Run(x.firstRun(c).ID)+", which it feeds")
			break
		}
	}
	add(len(verdict) == 0, "within the limits")
	x.say("%s, %s: V = %.5g m/s, friction %.5g Pa/m: %s.", what, inMM(s), v, rate, strings.Join(verdict, ", "))
}

// sum writes out the terms of a section with size s.
func (x *explanation) sum(id duct.SectionID, s duct.Size) string {
	var rate, length, arcs, stack float64
	var fittings strings.Builder
	for t := range x.terms(id, s) {
		switch t.kind {
		case frictionTerm:
			rate, length, arcs = float64(t.rate), length+float64(t.length), arcs+float64(t.arcs)
		case stackTerm:
			stack -= float64(t.loss)
		case fittingTerm:
			if name := t.of.String(); t.of == duct.InlineBox {
				fmt.Fprintf(&fittings, " + box at %s %.5g", words.Node(t.node), t.loss)
			} else if t.loss != 0 {
				fmt.Fprintf(&fittings, " + %s at %s %.5g", name, words.Node(t.node), t.loss)
			}
		}
	}
	text := fmt.Sprintf("friction %.5g Pa/m x %.5g m", rate, length)
	if arcs != 0 {
		text += fmt.Sprintf(" + arcs of another size %.5g", arcs)
	}
	text += fittings.String()
	if stack != 0 {
		text += fmt.Sprintf(" - stack effect %.5g", stack)
	}
	return text
}

// gains shows the static pressure gain with every size that static regain tried.
func (x *explanation) gains(id duct.SectionID, s duct.Size) {
	steps := x.regainSteps(id)
	if len(steps) == 0 { // every size is a step
		steps = []duct.Size{s}
	}
	x.say("Tried, from the size of what feeds it, or twice the area by friction alone, down to the velocity limit; " +
		"fittings by the formulas below, at that size:")
	tried := x.regainTrials(id, steps)
	for _, t := range tried {
		x.say("  %s: pv before %.5g - pv here %.5g - loss %.5g = %+.5g Pa of static pressure",
			inMM(t.size), t.pvBefore, t.pv, t.loss, t.by)
		x.say("    loss = %s", x.sum(id, t.size))
	}
	if len(steps) == 1 {
		return
	}
	best := nearest(tried)
	if best.IsZero() {
		x.say("  No size regains: it is sized by friction.")
	} else {
		x.say("  The nearest to 0, of those from the first gain on, is taken.")
	}
	if by := x.sizes[id].by == duct.StaticGain; by && best != s || !by && !best.IsZero() {
		x.say("With the sizes around it as they came out it would be sized otherwise: " +
			"its size and theirs take turns, and this is where that was stopped.")
	}
}

// cost shows the working of the optimised method at the diameter before rounding.
func (x *explanation) cost(id duct.SectionID) {
	st, c, rho := &x.sizes[id], &x.spec.Costs, x.air.Density
	o := newOptimum(x.evaluation)
	for i := range x.sizes {
		if x.sizes[i].exact > 0 {
			o.d[i] = x.sizes[i].exact
		}
	}
	sys := &x.net.Systems[x.net.Sections[id].System]
	o.condenseAll(sys)
	o.expandAll(sys)
	exact := duct.RoundOf(st.exact)
	part := math.Pow(o.k[id]/o.tree[id], seriesPower)
	x.say("z1 = Q energy hours worth/(1000 efficiency) = %.6g x %.6g x %.6g x %.6g/(1000 x %.6g) = %.6g a Pa",
		sys.Flow, c.Energy, c.Hours,
		c.Worth, c.Efficiency, c.energy(sys.Flow))
	x.say("z2 = 0.9589 pi rho^0.2 duct = 0.9589 pi %.6g^0.2 x %.6g = %.6g", rho, c.Duct, c.duct(rho))
	x.say("At %.6g mm this duct loses %.6g Pa: %s.", mm(st.exact), x.sectionLoss(id, exact), x.sum(id, exact))
	x.say("m = loss pi^2 D^5/(8 rho Q^2) = %.6g m, Ki = m^0.2 Q^0.4 length = %.6g with the length %.6g m",
		o.m[id], o.k[id], o.length(id))
	x.say("K of all behind it: the sum of K of what it feeds, %.6g; with it (Ki^0.8333 + that^0.8333)^1.2 = %.6g; "+
		"of the whole system %.6g",
		o.behind(id), o.tree[id], o.root)
	x.say("The sized ducts of the system may lose P = (0.2 z2 K/z1)^0.8333 = %.6g Pa; "+
		"from the start of this one %.6g Pa are left for them,",
		o.pressure, float64(o.share[id])/part)
	x.say("of which it gets (Ki/K)^0.8333 = %.6g, dp = %.6g Pa.", part, o.share[id])
	d := costDiameter(o.m[id], o.share[id], x.sections[id].flow, rho)
	x.say("With it D = 0.9589 (m rho)^0.2 Q^0.4 dp^-0.2 = %.6g mm.", mm(d))
	if most := o.most(id); most > 0 && d > most {
		x.say("It is no larger than what feeds it, %.6g mm.", mm(most))
	}
	x.say("The step nearest to that is taken, within the velocity limit.")
}

// budget shows what is left to throttle behind the section, and what the next smaller size would cost more.
func (x *explanation) budget(id duct.SectionID, s duct.Size) {
	left, least := duct.Pressure(math.Inf(1)), duct.TerminalID(duct.None)
	for _, t := range x.net.Systems[x.net.Sections[id].System].Terminals {
		for on := range x.pathTo(t) {
			if on == id && x.des.Terminals[t].Throttle < left {
				left, least = x.des.Terminals[t].Throttle, t
			}
		}
	}
	if least == duct.None {
		return
	}
	is := x.sectionLoss(id, s)
	x.say("It loses %.5g Pa: %s.", is, x.sum(id, s))
	x.say("Of the terminals behind it %s has the least left to throttle, %.5g Pa.", x.net.Terminals[least].Name, left)
	list := x.smaller(id, x.unlimited(id, s), s)
	if len(list) < 2 {
		x.say("There is no smaller step within the velocity limit and no smaller than what it feeds.")
		return
	}
	would := x.sectionLoss(id, list[1])
	verdict := "more than is left"
	if would-is <= left {
		verdict = "which is left, but other paths would then throttle more than by equal friction, " +
			"or the sum of all would not be less"
	}
	x.say("With %s it would lose %.5g Pa: %s; that is %.5g Pa more, %s.",
		inMM(list[1]), would, x.sum(id, list[1]), would-is, verdict)
}
