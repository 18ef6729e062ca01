package sizing

import (
	"math"
	"slices"

	"twinline/layout/duct"
)

// Costs are what the optimised method weighs: any one currency.
type Costs struct {
	Duct       float64 // for a square metre of duct, installed
	Energy     float64 // for a kilowatt hour
	Hours      float64 // of running, a year
	Worth      float64 // present worth of one a year for all years, with interest and rising prices
	Efficiency float64 // of fan and motor together, 0 to 1
}

// usable reports whether there is something to weigh.
func (c Costs) usable() bool {
	return c.Duct > 0 && c.Energy > 0 && c.Hours > 0 && c.Worth > 0 && c.Efficiency > 0
}

// energy returns z1, what a pascal costs over the years for flow q.
func (c Costs) energy(q duct.Flow) float64 {
	return float64(q) * c.Energy * c.Hours * c.Worth / (float64(duct.Kilowatt) * c.Efficiency)
}

// duct returns z2, by which the cost of a size is z2 K dp^-0.2.
func (c Costs) duct(rho duct.Density) float64 {
	return roundFactor * math.Pi * math.Pow(float64(rho), 0.2) * c.Duct
}

const (
	// seriesPower joins sizes in series: 1/1.2.
	seriesPower = 5.0 / 6
	// optimiseMost is how often sizes are worked out with the fittings as they are, until none changes by more than
	// optimiseTol, chooseMost how often the fittings are chosen anew.
	optimiseMost = 40
	chooseMost   = 4
	optimiseTol  = 1e-12
	// Where sizes are rounded to steps afterwards less will do: this often at first, this often with fittings chosen
	// anew, until none changes by more than a small part of a step.
	stepsFirst, stepsAgain, stepsTol = 7, 3, 5e-3
)

// roundFactor is (8/pi^2)^0.2, printed as 0.959.
var roundFactor = math.Pow(8/(math.Pi*math.Pi), 0.2)

// optimum is the work of the optimised method; slices are by section.
type optimum struct {
	e           *evaluation
	d           []duct.Length
	m, k        []float64       // m = f L + D sum C; K of the section
	tree        []float64       // K of the section and all that hangs on it
	fixed       []duct.Pressure // of what is not sized here, on the way to the terminal it weighs most for
	left, share []duct.Pressure // what the sized part from here outwards may lose, and the section itself

	// Of the system condensed last: its K, what may be lost by what is sized, and what is lost by what is not.
	root           float64
	pressure, kept duct.Pressure
}

// optimise sizes by duct cost against fan energy.
//
// Source: the T-method of Tsal, Behls and Mangel (1988), as in the LBNL Design Guide for Energy-Efficient Research
// Laboratories: sizes are condensed to one, K = m^0.2 Q^0.4 L, in series (K1^0.833 + K2^0.833)^1.2, in parallel K1 +
// K2; the fan's pressure is (0.2 z2 K/z1)^0.833; from the fan outward it is shared out by (Ki/K)^0.833. No duct
// becomes larger than the one that feeds it, our own addition. It is an approximation, since m is held while the cost
// is differentiated: on its check network it lies 0.1 % above the true least cost. The ASHRAE handbook dropped it in
// 2013 because cost data were too inexact. All ducts count as round while it works; kept sizes, boxes and terminals
// are taken off the pressure first. The diameters are then rounded to the nearest step within the velocity limit.
func (e *evaluation) optimise() {
	o := newOptimum(e)
	first, again, tol := optimiseMost, optimiseMost, optimiseTol
	if !e.picker.round.stepless() {
		first, again, tol = stepsFirst, stepsAgain, stepsTol
	}
	for round := range chooseMost {
		most := again
		if round == 0 {
			most = first
		}
		for range most {
			worst := 0.0
			for i := range e.net.Systems {
				worst = math.Max(worst, o.pass(&e.net.Systems[i]))
			}
			if worst < tol {
				break
			}
		}
		before := slices.Clone(e.runs)
		for i := range e.net.Systems {
			o.round(&e.net.Systems[i])
		}
		e.evaluate()
		if slices.Equal(before, e.runs) {
			return
		}
	}
}

func newOptimum(e *evaluation) *optimum {
	n := len(e.sections)
	o := &optimum{e: e, d: make([]duct.Length, n), m: make([]float64, n), k: make([]float64, n),
		tree:  make([]float64, n),
		fixed: make([]duct.Pressure, n), left: make([]duct.Pressure, n), share: make([]duct.Pressure, n)}
	for i := range e.sections {
		o.d[i] = e.sizes[i].size.Equivalent()
	}
	return o
}

// free reports whether section id is sized by cost.
func (o *optimum) free(id duct.SectionID) bool {
	s := &o.e.sections[id]
	return o.e.isFree(id) && s.method == Optimised && s.flow > leastFlow
}

// pass condenses a system and expands it again, and returns the largest relative change of a diameter.
func (o *optimum) pass(sys *duct.System) float64 {
	o.condenseAll(sys)
	return o.expandAll(sys)
}

// condenseAll condenses a system to one K, and works out what its sized ducts may lose.
func (o *optimum) condenseAll(sys *duct.System) {
	e := o.e
	o.root, o.kept, o.pressure = 0, 0, 0
	for k := len(sys.Sections) - 1; k >= 0; k-- {
		id := sys.Sections[k]
		o.condense(id)
		if e.net.Sections[id].Up == duct.None {
			o.root += o.tree[id]
			o.kept = max(o.kept, o.fixed[id])
		}
	}
	if z1 := e.spec.Costs.energy(sys.Flow); o.root > 0 && z1 > 0 {
		o.pressure = duct.Pressure(math.Pow(0.2*e.spec.Costs.duct(e.air.Density)*o.root/z1, seriesPower))
	}
}

// expandAll shares the pressure of a condensed system out and returns the largest relative change of a diameter.
func (o *optimum) expandAll(sys *duct.System) float64 {
	if o.pressure <= 0 {
		return 0
	}
	worst := 0.0
	for _, id := range sys.Sections {
		total := o.pressure + o.kept // what may be lost from here on in all
		if up := o.e.net.Sections[id].Up; up != duct.None {
			total = o.left[up]
		}
		worst = math.Max(worst, o.expand(id, total))
	}
	return worst
}

// condense works out m and K of a section, and K and the fixed losses of all from it outwards.
func (o *optimum) condense(id duct.SectionID) {
	e := o.e
	st := &e.sections[id]
	children, fixed := 0.0, duct.Pressure(0)
	if t := e.terminalOf(id); t != nil {
		fixed = t.Loss
	}
	for c := range e.children(id) {
		children += o.tree[c]
		fixed = max(fixed, o.fixed[c])
	}
	if !o.free(id) {
		o.m[id], o.k[id], o.tree[id] = 0, 0, children
		o.fixed[id] = fixed + e.sectionLoss(id, e.sizes[id].size)
		return
	}
	o.m[id] = momentOf(e.sectionLoss(id, duct.RoundOf(o.d[id])), o.d[id], st.flow, e.air.Density)
	o.k[id] = math.Pow(o.m[id], 0.2) * math.Pow(float64(st.flow), 0.4) * o.length(id)
	o.tree[id] = math.Pow(math.Pow(o.k[id], seriesPower)+math.Pow(children, seriesPower), 1/seriesPower)
	o.fixed[id] = fixed
}

// length returns the length of a section as it is paid for: from corner to corner.
func (o *optimum) length(id duct.SectionID) float64 {
	sum := 0.0
	for _, r := range o.e.net.Sections[id].Runs {
		sum += o.e.net.Runs[r].Line.Len()
	}
	return sum
}

// behind returns K of what hangs on a section: the sum of its parallel parts.
func (o *optimum) behind(id duct.SectionID) float64 {
	sum := 0.0
	for c := range o.e.children(id) {
		sum += o.tree[c]
	}
	return sum
}

// momentOf returns m = f L + D sum C of a round duct that loses lost with flow q, in metres.
func momentOf(lost duct.Pressure, d duct.Length, q duct.Flow, rho duct.Density) float64 {
	return math.Max(0, float64(lost)*math.Pi*math.Pi*math.Pow(float64(d), 5)/(8*float64(rho)*float64(q)*float64(q)))
}

// costDiameter returns the diameter of the round duct of that m that loses lost with flow q.
func costDiameter(m float64, lost duct.Pressure, q duct.Flow, rho duct.Density) duct.Length {
	return duct.Length(roundFactor * math.Pow(m*float64(rho), 0.2) * math.Pow(float64(q), 0.4) *
		math.Pow(float64(lost), -0.2))
}

// expand gives a section its share of the pressure total that may be lost from its start on, and returns the relative
// change of its diameter.
func (o *optimum) expand(id duct.SectionID, total duct.Pressure) float64 {
	e := o.e
	if !o.free(id) {
		o.left[id] = total - e.sectionLoss(id, e.sizes[id].size)
		return 0
	}
	sized := total - o.fixed[id]
	o.share[id] = sized * duct.Pressure(math.Pow(o.k[id]/o.tree[id], seriesPower))
	o.left[id] = total - o.share[id]
	if o.share[id] <= 0 || o.m[id] <= 0 {
		return 0
	}
	d := costDiameter(o.m[id], o.share[id], e.sections[id].flow, e.air.Density)
	if most := o.most(id); most > 0 {
		d = min(d, most)
	}
	change := math.Abs(float64(d/o.d[id]) - 1)
	o.d[id] = d
	return change
}

// most returns the diameter of what feeds a section, over which none of it goes: what a junction loses by the velocity
// of its common leg no branch gets back by being larger. It is 0 where nothing does.
func (o *optimum) most(id duct.SectionID) duct.Length {
	up := o.e.net.Sections[id].Up
	if up == duct.None || o.e.sections[id].first {
		return 0
	}
	return o.d[up]
}

// round gives the sections of a system the steps nearest to their diameters.
func (o *optimum) round(sys *duct.System) {
	e := o.e
	for _, id := range sys.Sections {
		if !o.free(id) {
			continue
		}
		s, st := &e.sections[id], &e.sizes[id]
		if o.m[id] <= 0 || o.share[id] <= 0 { // it loses nothing that could be weighed: joins draw air along
			e.set(id, st.base)
			st.by = s.plain()
			continue
		}
		lim := e.limits(id)
		lim.rate = 0
		least, ok := e.picker.pick(lim, s.flow, floor{}, e.wishes(id))
		if !ok {
			continue // a finding says so
		}
		size := least
		if d := o.nearest(o.d[id]); lim.shape == duct.Round {
			size = duct.RoundOf(max(d, least.Width))
			if over(size.Width, lim.height) {
				size = least
			}
		} else if larger, ok := e.picker.pick(lim, s.flow, floor{equivalent: o.d[id]}, e.wishes(id)); ok {
			size = larger
		}
		st.exact, st.by = o.d[id], duct.LeastCost
		e.set(id, size)
	}
	e.coverAll(sys.Sections)
}

// nearest returns the round step nearest to d.
func (o *optimum) nearest(d duct.Length) duct.Length {
	l := o.e.picker.round
	if l.stepless() || l.len() == 0 {
		return max(d, l.least)
	}
	i := min(l.index(d), l.len()-1)
	if i > 0 && d-l.at(i-1) < l.at(i)-d {
		i--
	}
	return l.at(i)
}
