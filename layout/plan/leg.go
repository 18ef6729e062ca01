package plan

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// The ends of a run as seen from the unit.
const (
	near = duct.Near
	far  = duct.Far
)

// leg is a run as it leaves a node, seen in plan.
type leg struct {
	*duct.Leg
	half    float64    // half its width
	axis    geom.Curve // leaving the node; not yet that of the run where a size change shifts it
	dir     geom.Vec   // unit direction in which it leaves; zero if it goes straight up or down
	goesOn  bool       // another leg of its width goes straight on from it
	takeOut float64    // length at which the body of the node ends
}

func (l *leg) vertical() bool { return l.dir == geom.Vec{} }

// branches reports whether the leg is a branch out of a main.
func (l *leg) branches() bool {
	return l.Fitting != nil && l.End == near && lookOf(l.Fitting.Kind).leg == cutLeg
}

// newer returns the run of the leg that is later work: what joins new work to existing is
// new itself.
func newer(a, b *leg) *duct.Run {
	rank := [...]int{duct.New: 3, duct.Future: 2, duct.Existing: 1, duct.Removed: 0}
	if rank[b.Run.Status] > rank[a.Run.Status] {
		return b.Run
	}
	return a.Run
}

// cosine returns how much of a length along the leg is seen in plan.
func (l *leg) cosine() float64 { return cosine(l.axis, 0) }

// legsAt returns the runs that meet at a node as they leave it.
func (m *model) legsAt(n *duct.Node) []*leg {
	var out []*leg
	for i := range m.Nodes[n.ID].Legs {
		made := &m.Nodes[n.ID].Legs[i]
		l := &leg{Leg: made, half: float64(made.Outside.Width) / 2, axis: m.LegAxis(made)}
		if !l.Run.Vertical() {
			l.dir = l.axis.PlanDir(0)
		}
		out = append(out, l)
	}
	return out
}

// byAngle sorts legs counter-clockwise.
func byAngle(legs []*leg) {
	slices.SortStableFunc(legs, func(a, b *leg) int {
		switch x, y := a.dir.Angle(), b.dir.Angle(); {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
}

// gap returns the angle in plan from leg a counter-clockwise to leg b, in (0, 2 pi].
func gap(a, b *leg) float64 {
	g := math.Mod(b.dir.Angle()-a.dir.Angle()+4*math.Pi, 2*math.Pi)
	if g < geom.Parallel {
		g = 2 * math.Pi
	}
	return g
}
