package sizing

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/sizing/loss"
)

// evaluation is what follows from the sizes of a draft: fittings and their coefficients, the loss of every run, and
// every path.
type evaluation struct {
	*draft
	des     *duct.Design
	book    book
	outside []int32 // indices of des.Fittings whose coefficient lay outside its source's range

	straight []duct.Length   // by run: length of straight or curved centreline at its own size
	arcs     []duct.Pressure // by run: friction along half of the elbows at its ends, at their sizes
	outward  []duct.Pressure // by run: loss from the unit to its far end
	legs     []leg           // of the junction looked at last
	others   []loss.Leg      // likewise
	trials   []gainTrial     // of static regain, of the section looked at last
}

// book lists the fittings of every run.
type book struct {
	first  []int32 // by run: the first of its fittings in list
	list   []int32 // indices of the fittings, by run
	cursor []int32
}

func newEvaluation(d *draft) *evaluation {
	net := d.net
	e := &evaluation{draft: d, straight: make([]duct.Length, len(net.Runs)), arcs: make([]duct.Pressure, len(net.Runs)),
		outward: make([]duct.Pressure, len(net.Runs)),
		book:    book{first: make([]int32, len(net.Runs)+1), cursor: make([]int32, len(net.Runs))},
		des: &duct.Design{
			Runs:      make([]duct.RunResult, len(net.Runs)),
			Nodes:     make([]duct.NodeResult, len(net.Nodes)),
			Terminals: make([]duct.TerminalResult, len(net.Terminals)),
			Systems:   make([]duct.SystemResult, len(net.Systems)),
			Density:   d.air.Density, Viscosity: d.air.Viscosity,
		}}
	for i := range e.des.Terminals {
		e.des.Terminals[i].Damper = duct.None
	}
	e.evaluate()
	return e
}

// evaluate works everything out for the sizes as they are. The pressures at nodes follow from that, see finish.
func (e *evaluation) evaluate() {
	e.des.Assembly = fitting.Make(e.net, e.runs, e.spec.Fittings)
	for i := range e.des.Runs {
		e.des.Runs[i].Length = duct.Length(e.des.Assembly.Axes[i].Len())
	}
	e.des.Fittings = append(e.des.Fittings[:0], e.des.Assembly.Fittings...)
	e.book.index(e.des.Fittings)
	e.costFittings()
	e.measure()
	for i := range e.net.Runs {
		e.lose(&e.net.Runs[i])
	}
	for si := range e.net.Systems {
		e.addUp(&e.net.Systems[si])
	}
}

// index lists the fittings of every run.
func (b *book) index(fits []duct.Fitting) {
	clear(b.first)
	for i := range fits {
		if r := fits[i].Run; r != duct.None {
			b.first[r+1]++
		}
	}
	for i := range b.cursor {
		b.first[i+1] += b.first[i]
	}
	copy(b.cursor, b.first)
	n := int(b.first[len(b.cursor)])
	b.list = slices.Grow(b.list[:0], n)[:n]
	for i := range fits {
		if r := fits[i].Run; r != duct.None {
			b.list[b.cursor[r]] = int32(i)
			b.cursor[r]++
		}
	}
}

// of returns the indices of the fittings booked on a run.
func (b *book) of(r duct.RunID) []int32 { return b.list[b.first[r]:b.first[r+1]] }

// costFittings works out the loss of every fitting.
func (e *evaluation) costFittings() {
	fits := e.des.Fittings
	e.outside = e.outside[:0]
	for i := 0; i < len(fits); {
		j := i + 1
		for j < len(fits) && fits[j].Node == fits[i].Node {
			j++
		}
		legs := e.legsOf(fits[i:j])
		for k := i; k < j; k++ {
			if f := &fits[k]; f.Run != duct.None && e.net.Runs[f.Run].System != duct.None && !e.cost(f, legs) {
				e.outside = append(e.outside, int32(k))
			}
		}
		i = j
	}
}

// measure works out the true centreline of every run: the axis as it was drawn from corner to corner, with the arc of
// a smooth elbow in place of its corner. An arc belongs half to each of the runs it joins.
func (e *evaluation) measure() {
	for i := range e.straight {
		e.straight[i], e.arcs[i] = e.des.Runs[i].Length, 0
	}
	for i := range e.des.Fittings {
		f := &e.des.Fittings[i]
		if !hasArc(f) {
			continue
		}
		tangent, arc := halfElbow(f)
		for _, r := range [...]duct.RunID{f.Run, f.Main} {
			if e.runs[r] == f.Own {
				e.straight[r] += arc - tangent
				continue
			}
			e.straight[r] -= tangent
			e.arcs[r] += duct.Pressure(e.walls[r].rate(f.Own, e.net.Runs[r].Flow)) * duct.Pressure(arc)
		}
	}
}

// hasArc reports a smooth elbow between two runs.
func hasArc(f *duct.Fitting) bool {
	return (f.Kind == duct.Elbow || f.Kind == duct.DropConn) && f.Radius > 0 && f.Run != duct.None &&
		f.Main != duct.None
}

// halfElbow returns, of half an elbow, the length of centreline from its start to the corner
// and along its arc.
func halfElbow(f *duct.Fitting) (tangent, arc duct.Length) {
	return f.Radius * duct.Length(math.Tan(f.Angle/2)), f.Radius * duct.Length(f.Angle/2)
}

// lose adds up what a run loses. Coefficients hold no wall friction, so that is counted once.
func (e *evaluation) lose(r *duct.Run) {
	res := &e.des.Runs[r.ID]
	res.Size, res.Friction, res.Fittings = e.runs[r.ID], 0, 0
	if r.System == duct.None || res.Size.IsZero() {
		for _, k := range e.book.of(r.ID) {
			res.Fittings += e.des.Fittings[k].Loss
		}
		return
	}
	res.Velocity = res.Size.Velocity(r.Flow)
	for t := range e.termsOfRun(r) {
		switch t.kind {
		case frictionTerm:
			res.Rate, res.Friction = t.rate, t.loss
		default:
			res.Fittings += t.loss
		}
	}
}

// addUp adds up the losses from the unit to every terminal of a system and finds the deciding one.
func (e *evaluation) addUp(sys *duct.System) {
	res, sum := &e.des.Systems[sys.ID], e.outward
	for _, id := range sys.Runs {
		r := &e.net.Runs[id]
		sum[id] = e.des.Runs[id].Friction + e.des.Runs[id].Fittings
		if r.Up != duct.None {
			sum[id] += sum[r.Up]
		}
	}
	res.Required, res.Deciding = 0, duct.None
	for _, t := range sys.Terminals {
		tr := &e.des.Terminals[t]
		tr.Path = e.net.Terminals[t].Loss
		if r := e.runOf(t); r != duct.None {
			tr.Path += sum[r]
		}
		if res.Deciding == duct.None || tr.Path > res.Required {
			res.Required, res.Deciding = tr.Path, t
		}
	}
	for _, t := range sys.Terminals {
		e.throttle(t, res.Required)
	}
}

// throttle works out what the damper of a terminal has to take. It sits in the first run that
// serves the terminal alone.
func (e *evaluation) throttle(t duct.TerminalID, required duct.Pressure) {
	tr := &e.des.Terminals[t]
	tr.Throttle, tr.DamperC, tr.Damper = required-tr.Path, 0, e.runOf(t)
	if tr.Damper == duct.None {
		return
	}
	for {
		r := &e.net.Runs[tr.Damper]
		if kind := e.net.Nodes[e.net.UpNode(r)].Kind; r.Up == duct.None || kind == duct.Branch || kind == duct.Box {
			break
		}
		tr.Damper = r.Up
	}
	tr.DamperC = loss.DamperCoefficient(tr.Throttle, e.runs[tr.Damper], e.net.Runs[tr.Damper].Flow, e.air.Density)
}

// throttled returns the sum of what the dampers of a system take.
func (e *evaluation) throttled(id duct.SystemID) duct.Pressure {
	var sum duct.Pressure
	for _, t := range e.net.Systems[id].Terminals {
		sum += e.des.Terminals[t].Throttle
	}
	return sum
}

// finish returns the design: with the methods of its systems, what decided every size, and the pressures at every
// node, relative to the room: just where the run on the side of the unit meets it, before the losses that lead on from
// there, and as if all throttling were at the terminals. On the suction side they are negative.
func (e *evaluation) finish() *duct.Design {
	des := e.des
	for si := range e.net.Systems {
		sys, res := &e.net.Systems[si], &des.Systems[si]
		res.Method = e.methods(sys)
		if sys.Unit != duct.None && e.net.Units[sys.Unit].HasAvailable {
			res.Available = e.net.Units[sys.Unit].Available
		}
		for _, id := range sys.Sections {
			choice := e.choice(id)
			for _, r := range e.net.Sections[id].Runs {
				des.Runs[r].Why, des.Runs[r].Exact = choice, e.sizes[id].exact
			}
		}
		sign := duct.Pressure(1)
		if !sys.Air.FromUnit() {
			sign = -1
		}
		for _, id := range sys.Runs {
			r := &e.net.Runs[id]
			pv := loss.VelocityPressure(des.Runs[id].Velocity, e.air.Density)
			if r.Up == duct.None {
				des.Nodes[e.net.UpNode(r)] = nodeResult(sign*res.Required, pv)
			}
			des.Nodes[e.net.DownNode(r)] = nodeResult(sign*(res.Required-e.outward[id]), pv)
		}
	}
	return des
}

func nodeResult(total, pv duct.Pressure) duct.NodeResult {
	return duct.NodeResult{Total: total, Velocity: pv, Static: total - pv}
}
