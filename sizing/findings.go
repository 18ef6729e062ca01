package sizing

import (
	"fmt"
	"strings"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/sizing/loss"
)

const (
	// imbalanceMost is the share of the deciding path a damper should take at most.
	// Source: ASHRAE Handbook Fundamentals, ch. 21: change sizes or fittings above about 30 %.
	imbalanceMost = 0.30
	// keptSlack is how far a kept size may be over a limit before it is told, relative. It covers
	// the rounding of a noted size.
	keptSlack = 0.005
	// nearStep and jumpLeast say when a size jumped: its exact diameter is over the next smaller
	// step by no more than the one, and under its own by at least the other. Our own choice.
	nearStep  = 0.02
	jumpLeast = 0.10
)

func at(v geom.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

// place returns where on the drawing a run is told of, and the handle it came from.
func placeOf(r *duct.Run) ([3]float64, string) {
	h := ""
	if len(r.Handles) > 0 {
		h = r.Handles[0]
	}
	return at(r.Line.Point(0.5)), h
}

// say adds a finding about a run.
func (z *solver) say(code diag.Code, r *duct.Run, text, do string) {
	p, h := placeOf(r)
	z.found.Add(code, p, h, text, do)
}

// reasons writes down why every run has its size. The lines are shared by all runs with one reason;
// Explain puts the numbers to them.
func (z *solver) reasons() {
	for i := range z.sections {
		for _, r := range z.net.Sections[i].Runs {
			if z.net.Runs[r].System != duct.None {
				z.des.Runs[r].Why = z.sections[i].why()
				z.des.Runs[r].Exact = z.sections[i].exact
			}
		}
	}
}

// findings tells what is worth a look in the finished design.
func (z *solver) findings() {
	z.jumps = map[jump][]duct.SectionID{}
	for si := range z.net.Systems {
		sys := &z.net.Systems[si]
		for _, id := range sys.Sections {
			z.lookAt(id)
		}
		z.lookAtSystem(sys)
	}
	z.lookAtJumps()
	z.lookAtUnits()
	for i := 0; i < len(z.outside); {
		j := i + 1
		for j < len(z.outside) && z.des.Fittings[z.outside[j]].Node == z.des.Fittings[z.outside[i]].Node {
			j++
		}
		z.lookAtFittings(z.outside[i:j])
		i = j
	}
}

// lookAt checks one section.
func (z *solver) lookAt(id duct.SectionID) {
	st, r := &z.sections[id], z.firstRun(id)
	if r.Status == duct.Existing && st.keep == found {
		z.say(diag.ExistingUnsized, r, fmt.Sprintf("Existing run %s has no size noted; it was sized like new work, %s.",
			runName(r.ID), z.units.size(st.size)), "Survey it and write its size beside it.")
	}
	if st.keep != found {
		z.lookAtKept(id)
	} else if small, ok := z.jumped(st); ok && st.reason != byRoom {
		j := jump{st.flow, st.exact, st.size, small}
		if _, seen := z.jumps[j]; !seen {
			z.jumpList = append(z.jumpList, j)
		}
		z.jumps[j] = append(z.jumps[j], id)
	}
	if most := z.spec.Fittings.FlexibleMost; most > 0 && st.lim.extended > 0 {
		var l duct.Length
		for _, run := range z.net.Sections[id].Runs {
			l += z.des.Runs[run].Length
		}
		if over(l, most) {
			z.say(diag.FlexLong, r, fmt.Sprintf("Flexible duct %s is %s long; the longest allowed is %s.",
				runName(r.ID), z.units.far(l), z.units.far(most)), "Bring the rigid duct nearer to the terminal.")
		}
	}
}

// jump is a round size far over the diameter that would do. Sections that jump alike are told together.
type jump struct {
	flow     duct.Flow
	exact    duct.Length
	size, to duct.Size // to: the next smaller step
}

// lookAtJumps tells of the sizes that jumped, each once, at the first section that has it.
func (z *solver) lookAtJumps() {
	for _, j := range z.jumpList {
		list := z.jumps[j]
		st, r := &z.sections[list[0]], z.firstRun(list[0])
		runs, needs, rounds := "Run "+runName(r.ID), "needs", "rounds"
		if n := len(list) - 1; n > 0 {
			runs, needs, rounds = fmt.Sprintf("Run %s and %d more", runName(r.ID), n), "need", "round"
		}
		z.say(diag.SizeJump, r, fmt.Sprintf("%s, %s, %s %s and %s up to %s; %s.", runs, z.units.flow(j.flow), needs, z.units.size(duct.RoundOf(j.exact)),
			rounds, z.units.size(j.size), z.jumpText(st, j.to)), "Write a size beside it to keep the smaller one.")
	}
}

// jumpText compares a size with the smaller one, by the limit that asks for the larger.
func (z *solver) jumpText(st *section, small duct.Size) string {
	if st.lim.byVelocity(duct.RoundOf(st.exact)) {
		return fmt.Sprintf("in %s the air would move at %s instead of %s", z.units.size(small),
			z.units.velocity(small.Velocity(st.flow)), z.units.velocity(st.size.Velocity(st.flow)))
	}
	return fmt.Sprintf("%s would lose %s instead of %s", z.units.size(small), z.units.rate(st.lim.wall.rate(small, st.flow)),
		z.units.rate(st.lim.wall.rate(st.size, st.flow)))
}

// lookAtKept holds a kept size against the limits. A neck is held against the velocity alone,
// since the flexible duct before it is short; and so are sizes of methods that know no rate.
func (z *solver) lookAtKept(id duct.SectionID) {
	st, r := &z.sections[id], z.firstRun(id)
	res := &z.des.Runs[r.ID]
	what := map[keeping]string{noted: "size noted for", existing: "existing size of", necked: "neck of the terminal after"}[st.keep]
	do := "Reduce the airflow or enlarge the duct."
	if v := st.lim.velocity; v > 0 && float64(res.Velocity) > float64(v)*(1+keptSlack) {
		z.say(diag.OverVelocity, r, fmt.Sprintf("The %s run %s, %s, carries its %s at %s; the limit is %s.",
			what, runName(r.ID), z.units.size(st.size), z.units.flow(st.flow), z.units.velocity(res.Velocity), z.units.velocity(v)), do)
	}
	if rate := st.lim.rate; st.keep != necked && st.method != StaticRegain && rate > 0 && float64(res.Rate) > float64(rate)*(1+keptSlack) {
		z.say(diag.OverRate, r, fmt.Sprintf("The %s run %s, %s, loses %s; the limit is %s.",
			what, runName(r.ID), z.units.size(st.size), z.units.rate(res.Rate), z.units.rate(rate)), do)
	}
}

// jumped reports a round size far over its exact diameter, which was just over the next smaller step.
func (z *solver) jumped(st *section) (smaller duct.Size, ok bool) {
	if st.size.Shape != duct.Round || st.exact <= 0 || st.reason != byLimits {
		return duct.Size{}, false
	}
	if float64(st.size.Width) < float64(st.exact)*(1+jumpLeast) {
		return duct.Size{}, false
	}
	d, ok := z.pick.round.below(st.size.Width)
	return duct.RoundOf(d), ok && d < st.exact && float64(st.exact) <= float64(d)*(1+nearStep)
}

// lookAtSystem checks the balance of one system, and its method.
func (z *solver) lookAtSystem(sys *duct.System) {
	res := &z.des.Systems[sys.ID]
	for _, m := range [...]Method{z.spec.Method, z.spec.UpstreamMethod} {
		if why := z.instead(m, sys.Air); why != "" {
			p, h := z.unitPlace(sys.Unit)
			z.found.Add(diag.MethodChanged, p, h, fmt.Sprintf("System %s %s was sized by equal friction, not by %s: %s.", sys.Name, sys.Air, m, why),
				"Set sizing.method to another method if that is not wanted.")
			break
		}
	}
	if res.Required <= 0 {
		return
	}
	for _, t := range sys.Terminals {
		tr, term := &z.des.Terminals[t], &z.net.Terminals[t]
		if share := float64(tr.Throttle / res.Required); share > imbalanceMost {
			z.found.Add(diag.Imbalance, at(term.At), term.Handle,
				fmt.Sprintf("The path to %s would need %s throttled, %.0f %% of the %s of the deciding path to %s.", term.Name,
					z.units.pressure(tr.Throttle), 100*share, z.units.pressure(res.Required), z.net.Terminals[res.Deciding].Name),
				"Change sizes or fittings rather than throttle.")
		}
	}
}

// unitPlace returns where a unit is, and its handle.
func (z *solver) unitPlace(u duct.UnitID) ([3]float64, string) {
	if u == duct.None {
		return [3]float64{}, ""
	}
	return at(z.net.Units[u].At), z.net.Units[u].Handle
}

// lookAtUnits holds what every unit has against what its systems need. Where air from it and
// air to it belong to one unit, its pressure has to serve both: at its outlet and at its inlet.
func (z *solver) lookAtUnits() {
	out := make(map[duct.UnitID]duct.Pressure)
	in := make(map[duct.UnitID]duct.Pressure)
	for si := range z.net.Systems {
		sys := &z.net.Systems[si]
		side := out
		if !sys.Air.FromUnit() {
			side = in
		}
		if sys.Unit != duct.None {
			side[sys.Unit] = max(side[sys.Unit], z.des.Systems[si].Required)
		}
	}
	for i := range z.net.Units {
		u := &z.net.Units[i]
		need := out[u.ID] + in[u.ID]
		if !u.HasAvailable || need <= u.Available {
			continue
		}
		how := ""
		if out[u.ID] > 0 && in[u.ID] > 0 {
			how = fmt.Sprintf(" (%s at its outlet and %s at its inlet)", z.units.pressure(out[u.ID]), z.units.pressure(in[u.ID]))
		}
		z.found.Add(diag.PressureShort, at(u.At), u.Handle, fmt.Sprintf("Unit %s has %s; its ducts need %s%s.", u.Mark,
			z.units.pressure(u.Available), z.units.pressure(need), how), "Enlarge the ducts of the deciding path or choose a stronger unit.")
	}
}

// lookAtFittings tells of the coefficients at one node that were taken outside the range of their sources.
func (z *solver) lookAtFittings(list []int32) {
	var parts []string
	first := duct.None
	for _, i := range list {
		f := &z.des.Fittings[i]
		if z.net.Runs[f.Run].Flow <= leastFlow || len(parts) == mostLegs {
			continue
		}
		if first == duct.None {
			first = int(i)
		}
		res := z.again(f)
		kind := f.Kind.String()
		parts = append(parts, fmt.Sprintf("%s%s of run %s (%s, %s), C = %.3g: %s", strings.ToUpper(kind[:1]), kind[1:], runName(f.Run),
			z.units.size(z.sizes[f.Run]), z.units.flow(z.net.Runs[f.Run].Flow), f.C, res.Outside()))
	}
	if first == duct.None {
		return
	}
	f := &z.des.Fittings[first]
	r := &z.net.Runs[f.Run]
	_, h := placeOf(r)
	where := "here"
	if f.Main != duct.None {
		where = fmt.Sprintf("where %s, %s, comes in", z.units.size(z.sizes[f.Main]), z.units.flow(z.net.Runs[f.Main].Flow))
		if !r.Air.FromUnit() {
			where = fmt.Sprintf("where %s, %s, goes on", z.units.size(z.sizes[f.Main]), z.units.flow(z.net.Runs[f.Main].Flow))
		}
	}
	z.found.Add(diag.OutsideRange, at(f.At), h, fmt.Sprintf("A %s loss %s is uncertain. %s.", r.Air, where, strings.Join(parts, ". ")),
		"Write a coefficient of your own beside the run, such as C=0.35, or set it in sizing.coefficients, if it matters.")
}

// again works out a coefficient once more, with its working.
func (z *solver) again(f *duct.Fitting) loss.Result {
	var node []duct.Fitting
	if isLeg(f.Kind) {
		node = z.atNode(f)
	}
	return z.coefficient(f, z.legs(node))
}

// atNode returns the fittings at the node of f, which is one of z.des.Fittings.
func (z *solver) atNode(f *duct.Fitting) []duct.Fitting {
	list := z.ofRun(f.Run)
	i := 0
	for _, k := range list {
		if &z.des.Fittings[k] == f {
			i = int(k)
		}
	}
	j := i
	for i > 0 && z.des.Fittings[i-1].Node == f.Node && j-i < 2*mostLegs {
		i--
	}
	for j < len(z.des.Fittings) && z.des.Fittings[j].Node == f.Node && j-i < 4*mostLegs {
		j++
	}
	return z.des.Fittings[i:j]
}

// noSize tells that no step keeps within the limits.
func (z *solver) noSize(id duct.SectionID) {
	st, r := &z.sections[id], z.firstRun(id)
	limit := ""
	if st.lim.height > 0 {
		limit = fmt.Sprintf(" under its height limit of %s", z.units.length(st.lim.height))
	}
	z.say(diag.NoSize, r, fmt.Sprintf("No size of the steps carries the %s of run %s%s; it would need %s round.", z.units.flow(st.flow),
		runName(r.ID), limit, z.units.size(duct.RoundOf(st.exact))), "Allow more height, a flatter duct or larger steps, or split the run.")
}

// shapeChanged tells that a run became rectangular, unless the one that feeds it did too.
func (z *solver) shapeChanged(id duct.SectionID, s duct.Size) {
	st, r := &z.sections[id], z.firstRun(id)
	st.flattened = true
	if up := z.net.Sections[id].Up; up != duct.None && z.sections[up].flattened {
		return
	}
	z.say(diag.ShapeChanged, r, fmt.Sprintf("No round size fits under the height limit of %s of run %s; it became %s.",
		z.units.length(st.lim.height), runName(r.ID), z.units.size(s)), "Write \"rect\" or \"oval\" beside it to say which it should be.")
}
