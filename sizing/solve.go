package sizing

import (
	"fmt"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/sizing/air"
	"twinline/sizing/loss"
)

// Solve sizes every run of net and works out what every piece costs: one size a section,
// rounded to the steps, then every fitting and every path from the rounded sizes. Sizes are
// clear inside, lining or not, as are the sizes of notes. It returns a design whatever it
// finds; with a finding of level error the design is for looking at alone.
//
// Kept are the sizes of notes and of existing work; removed work keeps its noted size and
// costs nothing. Flexible duct that ends on a terminal with a round neck has the size of that
// neck. Everything else is the smallest of the steps whose friction and velocity keep within
// the limits, never smaller than the least, nor than what it feeds (round by diameter,
// upright by both sides, mixed shapes by equivalent diameter). Of upright sizes the one of
// the smallest area is taken, the squarest of equals, wider than high; one that goes straight
// on from an upright main keeps its height where that costs no more than a fifth of area.
// Where no round step fits under a height limit, the run becomes rectangular.
//
// Static regain sizes the first section (of a system, or after a box) by the largest velocity
// allowed. It has no meaning on the suction side: air that flows to the unit is sized by equal
// friction instead, which a finding tells. The balanced and the optimised method start from
// equal friction as well.
func Solve(net *duct.Network, spec Spec) (*duct.Design, diag.List) {
	z := newSolver(net, spec)
	z.systems()
	z.kept()
	z.sizeAll()
	z.evaluate()
	z.refine()
	z.nodes()
	z.reasons()
	z.findings()
	return z.des, z.found
}

// solver is the work on one network.
type solver struct {
	net     *duct.Network
	spec    Spec
	units   units
	air     loss.Air
	ambient duct.Density // of the air around vertical runs
	pick    *picker
	found   diag.List
	des     *duct.Design

	sections []section
	walls    []wall      // by run
	sizes    []duct.Size // by run
	fitFirst []int32     // by run, of the last evaluation: the first of its fittings in fitList
	fitList  []int32     // indices of des.Fittings, by run
	outside  []int32     // indices of des.Fittings whose coefficient lay outside its source's range
	scratch  scratch

	jumps    map[jump][]duct.SectionID // that jumped alike
	jumpList []jump                    // in order
}

// section is what a chain of runs of one size is sized by.
type section struct {
	flow     duct.Flow
	method   Method
	lim      limits
	place    place
	keep     keeping
	size     duct.Size
	base     duct.Size      // the size by its limits alone, whatever it feeds
	exact    duct.Length    // 0 where kept
	upstream bool           // of a box
	first    bool           // of a system, or after a box: nothing upstream to compare with
	child    int32          // the first that hangs on it, duct.None where nothing does
	next     int32          // the next that hangs on the same
	on       duct.SectionID // the one of them that takes it farther
	reason   reason
	cut      bool // made smaller by balancing
	// flattened tells that it became rectangular under a height limit.
	flattened bool
}

// place is where in its system a section is.
type place uint8

const (
	mainPlace place = iota
	branchPlace
	runoutPlace
)

func (p place) String() string { return [...]string{"main", "branch", "runout"}[p] }

// keeping is why a size is kept rather than found.
type keeping uint8

const (
	found    keeping = iota // not kept
	noted                   // by a note on new work
	existing                // existing work, with its noted size
	necked                  // flexible duct, by the neck of its terminal
)

// reason is what decided a size that was found.
type reason uint8

const (
	byLimits   reason = iota // the smallest step within the limits
	byFlow                   // no air: the least size
	byFeeds                  // what it feeds is no smaller
	byRegain                 // static pressure gain meets loss best
	byFriction               // static regain asked for, but no size regains the loss
	byCost                   // duct cost against fan energy
	byBudget                 // made smaller so that less is left to throttle
	byRoom                   // the size before it goes on, since there is no room to change it
)

// unbound reports a section whose size is not held against the limit of friction: sized by regain, by cost or to a budget.
func (st *section) unbound() bool {
	return st.method == StaticRegain && !st.first && st.reason != byFriction || st.method == Optimised && st.reason != byLimits || st.cut
}

// heldDown reports a section that static regain sized by friction and kept no larger than what feeds it: smaller than friction asks.
func (st *section) heldDown() bool {
	return st.reason == byFriction && st.size.Equivalent() < st.base.Equivalent()
}

// plain returns the reason of a size found by its limits alone.
func (st *section) plain() reason {
	if st.flow <= leastFlow {
		return byFlow
	}
	return byLimits
}

func newSolver(net *duct.Network, spec Spec) *solver {
	z := &solver{net: net, spec: spec, units: units{spec.Inches}}
	altitude := duct.Length(spec.Air.Altitude)
	state := air.Of(spec.Air.Temperature, altitude, spec.Air.Humidity)
	z.air = loss.Air{Density: state.Density, Viscosity: state.Viscosity}
	if spec.Air.Density > 0 {
		z.air.Density = spec.Air.Density
	}
	z.ambient = air.Of(spec.Air.Ambient, altitude, spec.Air.Humidity).Density
	z.pick = newPicker(&z.spec)
	z.des = &duct.Design{
		Runs:      make([]duct.RunResult, len(net.Runs)),
		Nodes:     make([]duct.NodeResult, len(net.Nodes)),
		Terminals: make([]duct.TerminalResult, len(net.Terminals)),
		Systems:   make([]duct.SystemResult, len(net.Systems)),
		Density:   z.air.Density,
		Viscosity: z.air.Viscosity,
	}
	for i := range z.des.Terminals {
		z.des.Terminals[i].Damper = duct.None
	}
	z.sizes = make([]duct.Size, len(net.Runs))
	z.walls = make([]wall, len(net.Runs))
	for i := range net.Runs {
		r := &net.Runs[i]
		z.walls[i] = z.wall(r)
		if r.System == duct.None {
			z.sizes[i] = r.Spec.Fixed
		}
	}
	z.survey()
	return z
}

// systems writes down of every system its method and what its unit has.
func (z *solver) systems() {
	for i := range z.net.Systems {
		sys, res := &z.net.Systems[i], &z.des.Systems[i]
		method, upstream := Method(""), Method("")
		for _, id := range sys.Sections {
			if st := &z.sections[id]; st.upstream {
				upstream = st.method
			} else {
				method = st.method
			}
		}
		switch {
		case method == "":
			res.Method = string(upstream)
		case upstream != "" && upstream != method:
			res.Method = fmt.Sprintf("%s, %s upstream of boxes", method, upstream)
		default:
			res.Method = string(method)
		}
		if sys.Unit != duct.None && z.net.Units[sys.Unit].HasAvailable {
			res.Available = z.net.Units[sys.Unit].Available
		}
	}
}

// set gives section id its size.
func (z *solver) set(id duct.SectionID, s duct.Size) {
	z.sections[id].size = s
	for _, r := range z.net.Sections[id].Runs {
		z.sizes[r] = s
	}
}

// firstRun returns the run of a section nearest to the unit.
func (z *solver) firstRun(id duct.SectionID) *duct.Run {
	return &z.net.Runs[z.net.Sections[id].Runs[0]]
}

// lastRun returns the run of a section farthest from the unit.
func (z *solver) lastRun(id duct.SectionID) *duct.Run {
	runs := z.net.Sections[id].Runs
	return &z.net.Runs[runs[len(runs)-1]]
}

// choose works out how the network is made with the sizes as they are.
func (z *solver) choose() {
	z.des.Assembly = fitting.Make(z.net, z.sizes, z.spec.Fittings)
	z.des.Fittings = append(z.des.Fittings[:0], z.des.Assembly.Fittings...)
}
