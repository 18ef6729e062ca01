package sizing

import (
	"fmt"
	"strings"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/words"
)

const (
	// imbalanceMost is the share of the deciding path a damper should take at most.
	// Source: ASHRAE Handbook Fundamentals, ch. 21: change sizes or fittings above about 30 %.
	imbalanceMost = 0.30
	// keptSlack is how far a kept size may be over a limit before it is reported, relative. It covers
	// the rounding of a noted size.
	keptSlack = 0.005
	// nearStep and jumpLeast say when a size jumped: its exact diameter is over the next smaller
	// step by no more than the one, and under its own by at least the other. Our own choice.
	nearStep  = 0.02
	jumpLeast = 0.10
)

// placeOf returns where on the drawing a run is reported, and the handle it came from.
func placeOf(r *duct.Run) ([3]float64, string) {
	h := ""
	if len(r.Handles) > 0 {
		h = r.Handles[0]
	}
	return at(r.Line.Point(0.5)), h
}

// say adds a finding about a run.
func say(found *diag.List, code diag.Code, r *duct.Run, text, do string) {
	p, h := placeOf(r)
	found.Add(code, p, h, text, do)
}

// inspection looks at a finished evaluation for what is worth a look.
type inspection struct {
	*evaluation
	found    diag.List
	jumps    map[jump][]duct.SectionID // that jumped alike
	jumpList []jump                    // in order
}

// findings returns what is worth a look in a finished evaluation.
func findings(e *evaluation) diag.List {
	z := &inspection{evaluation: e, jumps: map[jump][]duct.SectionID{}}
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
	return z.found
}

// lookAt checks one section.
func (z *inspection) lookAt(id duct.SectionID) {
	s, st, r := &z.sections[id], &z.sizes[id], z.firstRun(id)
	if r.Status == duct.Existing && s.kept == duct.Undecided {
		say(&z.found, diag.ExistingUnsized, r, fmt.Sprintf(
			"Existing run %s has no size noted; it was sized like new work, %s.", words.Run(r.ID),
			z.words.Size(st.size)), "Survey it and write its size beside it.")
	}
	if s.kept != duct.Undecided {
		z.lookAtKept(id)
	} else if small, ok := z.jumped(st); ok {
		j := jump{s.flow, st.exact, st.size, small}
		if _, seen := z.jumps[j]; !seen {
			z.jumpList = append(z.jumpList, j)
		}
		z.jumps[j] = append(z.jumps[j], id)
	}
	if most := z.spec.Fittings.FlexibleMost; most > 0 && s.lim.extended > 0 {
		runs := z.net.Sections[id].Runs
		var l duct.Length
		for _, run := range runs {
			l += z.des.Runs[run].Length
		}
		if over(l, most) {
			name := words.Run(r.ID)
			if last := runs[len(runs)-1]; last != r.ID {
				name += " to " + words.Run(last)
			}
			long, limit := z.words.Measures().Distance.Apart(float64(l), float64(most))
			say(&z.found, diag.FlexLong, r, fmt.Sprintf("Flexible duct %s is %s long; the longest allowed is %s.",
				name, long, limit),
				"Bring the rigid duct nearer to the terminal.")
		}
	}
}

// jump is a round size far over the diameter that would do. Sections that jump alike are reported together.
type jump struct {
	flow     duct.Flow
	exact    duct.Length
	size, to duct.Size // to: the next smaller step
}

// lookAtJumps reports the sizes that jumped, each once, at the first section that has it.
func (z *inspection) lookAtJumps() {
	for _, j := range z.jumpList {
		list := z.jumps[j]
		r := z.firstRun(list[0])
		runs, needs, rounds := "Run "+words.Run(r.ID), "needs", "rounds"
		if n := len(list) - 1; n > 0 {
			runs, needs, rounds = fmt.Sprintf("Run %s and %d more", words.Run(r.ID), n), "need", "round"
		}
		say(&z.found, diag.SizeJump, r, fmt.Sprintf("%s, %s, %s %s and %s up to %s; %s.",
			runs, z.words.Flow(j.flow), needs, z.words.Size(duct.RoundOf(j.exact)), rounds,
			z.words.Size(j.size), z.jumpText(list[0], j.to)), "Write a size beside it to keep the smaller one.")
	}
}

// jumpText compares a size with the smaller one, by the limit that asks for the larger.
func (z *inspection) jumpText(id duct.SectionID, small duct.Size) string {
	s, size := &z.sections[id], z.sizes[id].size
	if z.des.Runs[z.firstRun(id).ID].Why.By == duct.VelocityLimit {
		return fmt.Sprintf("in %s the air would move at %s instead of %s", z.words.Size(small),
			z.words.Velocity(small.Velocity(s.flow)), z.words.Velocity(size.Velocity(s.flow)))
	}
	return fmt.Sprintf("%s would lose %s instead of %s", z.words.Size(small),
		z.words.Rate(s.lim.wall.rate(small, s.flow)),
		z.words.Rate(s.lim.wall.rate(size, s.flow)))
}

// lookAtKept holds a kept size against the limits. A neck is held against the velocity alone,
// since the flexible duct before it is short; and so are sizes of methods that know no rate.
func (z *inspection) lookAtKept(id duct.SectionID) {
	s, r := &z.sections[id], z.firstRun(id)
	res := &z.des.Runs[r.ID]
	what := map[duct.Decision]string{duct.NotedSize: "size noted for", duct.ExistingSize: "existing size of",
		duct.NeckSize: "neck of the terminal after"}[s.kept]
	do := "Reduce the airflow or enlarge the duct."
	if v := s.lim.velocity; v > 0 && float64(res.Velocity) > float64(v)*(1+keptSlack) {
		at, limit := z.words.Measures().Velocity.Apart(float64(res.Velocity), float64(v))
		say(&z.found, diag.OverVelocity, r, fmt.Sprintf("The %s run %s, %s, carries its %s at %s; the limit is %s.",
			what, words.Run(r.ID), z.words.Size(s.fixed), z.words.Flow(s.flow), at, limit), do)
	}
	rate := s.lim.rate
	if s.kept != duct.NeckSize && s.method != StaticRegain && rate > 0 &&
		float64(res.Rate) > float64(rate)*(1+keptSlack) {
		loses, limit := z.words.Measures().Rate.Apart(float64(res.Rate), float64(rate))
		say(&z.found, diag.OverRate, r, fmt.Sprintf("The %s run %s, %s, loses %s; the limit is %s.",
			what, words.Run(r.ID), z.words.Size(s.fixed), loses, limit), do)
	}
}

// jumped reports a round size far over its exact diameter, which was just over the next smaller step.
func (z *inspection) jumped(st *sized) (smaller duct.Size, ok bool) {
	if st.size.Shape != duct.Round || st.exact <= 0 || !isPlain(st.by) {
		return duct.Size{}, false
	}
	if float64(st.size.Width) < float64(st.exact)*(1+jumpLeast) {
		return duct.Size{}, false
	}
	d, ok := z.picker.round.below(st.size.Width)
	return duct.RoundOf(d), ok && d < st.exact && float64(st.exact) <= float64(d)*(1+nearStep)
}

// lookAtSystem checks the balance of one system, and its method.
func (z *inspection) lookAtSystem(sys *duct.System) {
	res := &z.des.Systems[sys.ID]
	for _, m := range [...]Method{z.spec.Method, z.spec.UpstreamMethod} {
		if why := z.spec.instead(m, sys.Air); why != "" {
			p, h := z.unitPlace(sys.Unit)
			z.found.Add(diag.MethodChanged, p, h, fmt.Sprintf(
				"System %s %s was sized by equal friction, not by %s: %s.", sys.Name, sys.Air, m, why),
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
				fmt.Sprintf("The path to %s would need %s throttled, %.0f %% of the %s of the deciding path to %s.",
					term.Name,
					z.words.Pressure(tr.Throttle), 100*share, z.words.Pressure(res.Required),
					z.net.Terminals[res.Deciding].Name),
				"Change sizes or fittings rather than throttle.")
		}
	}
}

// unitPlace returns where a unit is, and its handle.
func (z *inspection) unitPlace(u duct.UnitID) ([3]float64, string) {
	if u == duct.None {
		return [3]float64{}, ""
	}
	return at(z.net.Units[u].At), z.net.Units[u].Handle
}

// lookAtUnits holds what every unit has against what its systems need. Where air from it and
// air to it belong to one unit, its pressure has to serve both: at its outlet and at its inlet.
func (z *inspection) lookAtUnits() {
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
			how = fmt.Sprintf(" (%s at its outlet and %s at its inlet)", z.words.Pressure(out[u.ID]),
				z.words.Pressure(in[u.ID]))
		}
		z.found.Add(diag.PressureShort, at(u.At), u.Handle, fmt.Sprintf("Unit %s has %s; its ducts need %s%s.", u.Mark,
			z.words.Pressure(u.Available), z.words.Pressure(need), how),
			"Enlarge the ducts of the deciding path or choose a stronger unit.")
	}
}

// lookAtFittings reports the coefficients at one node that were taken outside the range of their sources.
func (z *inspection) lookAtFittings(list []int32) {
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
		parts = append(parts, fmt.Sprintf("%s of run %s (%s, %s), C = %.3g: %s",
			words.Capital(f.Kind.String()), words.Run(f.Run), z.words.Size(z.runs[f.Run]),
			z.words.Flow(z.net.Runs[f.Run].Flow), f.C, res.Outside()))
	}
	if first == duct.None {
		return
	}
	f := &z.des.Fittings[first]
	r := &z.net.Runs[f.Run]
	_, h := placeOf(r)
	where := "here"
	if f.Main != duct.None {
		where = fmt.Sprintf("where %s, %s, comes in", z.words.Size(z.runs[f.Main]),
			z.words.Flow(z.net.Runs[f.Main].Flow))
		if !r.Air.FromUnit() {
			where = fmt.Sprintf("where %s, %s, goes on", z.words.Size(z.runs[f.Main]),
				z.words.Flow(z.net.Runs[f.Main].Flow))
		}
	}
	z.found.Add(diag.OutsideRange, at(f.At), h,
		fmt.Sprintf("A %s loss %s is uncertain. %s.", r.Air, where, strings.Join(parts, ". ")),
		"Write a coefficient of your own beside the run, such as C=0.35, or set it in sizing.coefficients, if it matters.")
}
