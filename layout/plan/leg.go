package plan

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// The ends of a run as seen from the unit.
const (
	near = 0
	far  = 1
)

// leg is a run as it leaves a node: the near or the far end of it.
type leg struct {
	run    *duct.Run
	end    int        // 0: its near end is here and it leads outwards; 1: its far end
	size   duct.Size  // at the node, before a size change of its own
	half   float64    // half its width in plan
	axis   geom.Curve // leaving the node; the axis of sec, not yet that of the run where a size change shifts it
	dir    geom.Vec   // unit direction in plan in which it leaves; zero if it goes straight up or down
	up     bool       // a vertical leg that rises from the node
	fit    *duct.Fitting
	neck   *duct.Fitting // of the far end: the size change to the neck of a box
	goesOn bool          // another leg of its width goes straight on from it
	trim   float64       // plan length at which the body of the node ends
}

func (l *leg) vertical() bool { return l.dir == geom.Vec{} }

// branches reports whether the leg is a branch out of a main.
func (l *leg) branches() bool {
	return l.fit != nil && l.end == 0 && (l.fit.Kind == duct.Takeoff || l.fit.Kind == duct.Cross)
}

// newer returns the run of the leg that is later work: what joins new work to existing is
// new itself.
func newer(a, b *leg) *duct.Run {
	rank := [...]int{duct.New: 3, duct.Future: 2, duct.Existing: 1, duct.Removed: 0}
	if rank[b.run.Status] > rank[a.run.Status] {
		return b.run
	}
	return a.run
}

// cosine returns how much of a length along the leg is seen in plan.
func (l *leg) cosine() float64 { return cosine(l.axis, 0) }

// legs returns the runs that meet at a node as they leave it.
func (m *model) legs(n *duct.Node) []*leg {
	var out []*leg
	for _, id := range n.Runs {
		r := &m.net.Runs[id]
		ends := []int{}
		if m.net.UpNode(r) == n.ID {
			ends = append(ends, 0)
		}
		if m.net.DownNode(r) == n.ID {
			ends = append(ends, 1)
		}
		for _, end := range ends {
			out = append(out, m.leg(n, r, end))
		}
	}
	return out
}

func (m *model) leg(n *duct.Node, r *duct.Run, end int) *leg {
	l := &leg{run: r, end: end, size: m.size(r.ID), axis: m.axes[r.ID]}
	if end == 0 {
		if st := m.start[r.ID]; st.fit != nil {
			l.size, l.axis = m.common(st.fit), st.axis
		}
	} else {
		if f := m.fit(n.ID, r.ID, duct.Offset); f != nil {
			l.axis = m.offsetAxis(r.ID, f)
		}
		l.neck = m.fit(n.ID, r.ID, duct.Reducer, duct.Expander)
		l.axis = l.axis.Reverse()
	}
	l.half = float64(l.size.Width) / 2
	if !r.Vertical() {
		l.dir = l.axis.PlanDir(0)
	} else {
		l.up = l.axis.B.Z > l.axis.A.Z
	}
	for _, f := range m.fits[n.ID] {
		if f.Run == r.ID && f.Kind != duct.Reducer && f.Kind != duct.Expander && f.Kind != duct.Offset &&
			f.Kind != duct.VolumeDamper {
			l.fit = f
		}
	}
	return l
}

// changeAxis returns the axis a size change begins on: that of its run, moved back by what
// the side kept straight moves it.
func (m *model) changeAxis(r duct.RunID, f *duct.Fitting) geom.Curve {
	c := m.axes[r]
	if f.Offset != 0 && !m.net.Runs[r].Vertical() {
		c = c.Offset(-float64(f.Offset))
	}
	c.A.Z -= float64(f.OffsetUp)
	c.B.Z -= float64(f.OffsetUp)
	return c
}

// offsetAxis returns the axis a run ends on beyond the offset at its far end.
func (m *model) offsetAxis(r duct.RunID, f *duct.Fitting) geom.Curve {
	c := m.axes[r].Offset(float64(f.Offset))
	c.A.Z += float64(f.OffsetUp)
	c.B.Z += float64(f.OffsetUp)
	return c
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
