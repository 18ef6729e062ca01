package label

import (
	"cmp"
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// run is a run as the plan shows it.
type run struct {
	*duct.Run
	*duct.RunResult
	drawn    duct.Size  // with its lining
	axis     geom.Curve // true centreline, from the unit outwards
	plan     float64    // plan length of axis, metres
	from, to float64    // where along that the straight duct begins and ends
	single   bool       // its centreline is all that is drawn of it
}

// runsOf returns the runs of a network as the plan shows them, by RunID.
func runsOf(net *duct.Network, des *duct.Design, singleBelow duct.Length) []run {
	out := make([]run, len(net.Runs))
	for i := range out {
		r := &net.Runs[i]
		axis, takes := des.Assembly.Axes[i], des.Assembly.TakeOuts[i]
		s := run{Run: r, RunResult: &des.Runs[i], axis: axis, plan: axis.PlanLen()}
		s.drawn = s.Size.Lined(r.Spec.Lining)
		s.single = r.SingleLine(s.drawn, singleBelow)
		if long := axis.Len(); long > 0 {
			s.from, s.to = float64(takes[duct.Near])/long*s.plan, s.plan-float64(takes[duct.Far])/long*s.plan
			if s.to-s.from < geom.Same {
				// All of it is fittings: nothing stands between its walls.
				s.from = math.Max(0, math.Min(s.plan, (s.from+s.to)/2))
				s.to = s.from
			}
		}
		out[i] = s
	}
	return out
}

// half returns half the width of r as it is drawn, in metres.
func (r *run) half() float64 { return float64(r.drawn.Width) / 2 }

// level reports whether r lies at one elevation.
func (r *run) level() bool { return !r.Vertical() && math.Abs(r.axis.A.Z-r.axis.B.Z) < geom.Same }

// outline returns the corners of a vertical run in plan, around p.
func (r *run) outline(p geom.Vec) []geom.Vec {
	u := r.Across.Plan().Unit()
	if u.Len() == 0 {
		u = geom.Vec{X: 1}
	}
	return geom.Rectangle(p, u, r.half(), float64(r.drawn.Height)/2)
}

// chain is a duct that reads as one piece from its beginning: runs one after the other
// outwards, of one size and status, with no turn but elbows within a section and none at
// all where a branch leaves.
type chain struct {
	runs []*run
	plan float64  // plan length, metres
	text []string // what is said of it wherever the label stands: all but its elevation
	up   *chain
}

// chainsOf returns the ducts of the plan, the ones with the most to say first: the widest,
// then the longest.
func chainsOf(net *duct.Network, runs []run, w *writer) []*chain {
	by := make([]*chain, len(net.Sections))
	seen := make([]bool, len(net.Sections))
	var all []*chain
	for i := range net.Sections {
		// Towards the unit as far as is new, then outwards again: what a duct hangs from comes first.
		var way []*duct.Section
		for s := duct.SectionID(i); s != duct.None && !seen[s]; s = net.Sections[s].Up {
			seen[s] = true
			way = append(way, &net.Sections[s])
		}
		for _, s := range slices.Backward(way) {
			if len(s.Runs) == 0 {
				continue
			}
			c := &chain{}
			for _, id := range s.Runs {
				c.runs = append(c.runs, &runs[id])
			}
			c.text = w.run(c.runs[0], false)
			if s.Up != duct.None {
				c.up = by[s.Up]
			}
			if c.up != nil && c.up.goesOn(c) {
				c.up.runs = append(c.up.runs, c.runs...)
				c = c.up
			} else {
				all = append(all, c)
			}
			by[s.ID] = c
		}
	}
	for _, c := range all {
		for _, r := range c.runs {
			c.plan += r.plan
		}
	}
	slices.SortStableFunc(all, func(a, b *chain) int {
		r, s := a.runs[0], b.runs[0]
		return cmp.Or(cmp.Compare(s.Size.Width, r.Size.Width), cmp.Compare(b.plan, a.plan), cmp.Compare(r.Key, s.Key))
	})
	return all
}

// goesOn reports whether next, which hangs from c, is the same duct.
func (c *chain) goesOn(next *chain) bool {
	a, b := c.runs[len(c.runs)-1], next.runs[0]
	return a.Status == b.Status && a.Kind == b.Kind && a.single == b.single && slices.Equal(c.text, next.text) &&
		geom.SamePoint(a.axis.B, b.axis.A) && geom.TurnBetween(a.axis.Tangent(1), b.axis.Tangent(0)) <= duct.StraightOn
}

// speaks reports whether c is lettered at all. A drop and a flexible are as large as the duct they hang from unless
// they say otherwise.
func (c *chain) speaks() bool {
	switch c.runs[0].Kind {
	case duct.Drop:
		return false
	case duct.Flexible:
		return len(c.text) > 0 && c.up != nil && !slices.Equal(c.up.text, c.text)
	case duct.Rigid:
	}
	return len(c.text) > 0
}

// A span is the part of a chain between two plan lengths from its beginning, metres.
type span struct{ from, to float64 }

// mostLabels bounds the labels of one duct, whatever length and distance are asked for.
const mostLabels = 100

// spans cuts c into the parts that get a label each: of about that length, or all of it.
func (c *chain) spans(every duct.Length) []span {
	n := 1.0
	if every > 0 {
		// A duct a quarter longer than the distance still reads as one.
		n = math.Max(1, math.Min(mostLabels, math.Floor(c.plan/float64(every)+0.75)))
	}
	out := make([]span, int(n))
	for i := range out {
		out[i] = span{c.plan * float64(i) / n, c.plan * float64(i+1) / n}
	}
	return out
}
