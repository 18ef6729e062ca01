package plan

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// reachBack is how far, in metres, a duct that stops short of an outline is drawn on to
// meet it. The sketch joins no wider gap than its snap distance.
const reachBack = 0.1

// leaveAt returns the plan length along c at which it leaves g for good, negative where c
// only begins beyond the outline.
func leaveAt(g geom.Region, c geom.Curve) (float64, bool) {
	best, ok := math.Inf(-1), false
	for _, e := range g.Edges {
		for _, m := range geom.Meet(c, e) {
			if m.B > -geom.Same && m.B < e.PlanLen()+geom.Same && m.A > -reachBack && m.A < c.PlanLen()+geom.Same &&
				m.A > best {
				best, ok = m.A, true
			}
		}
	}
	return best, ok
}

// leaveAt is leaveAt of the wall, by plan length along its axis.
func (w wallLine) leaveAt(g geom.Region) (float64, bool) {
	s, ok := leaveAt(g, w.Curve)
	return s / w.ratio, ok
}

// intoOutline ends a leg at the outline of the unit or the face of the terminal at its node: each wall
// runs up to where it meets the outline.
func (j *joints) intoOutline(n *duct.Node, l *leg) {
	g := j.ground(n)
	if g.Empty() {
		j.closeEnd(n, l, "end")
		return
	}
	if f := neckOf(l); f != nil {
		j.ontoNeck(n, l, f, g)
		return
	}
	j.intoRegion(n, l, g)
}

// intoRegion ends a leg where it leaves g: each wall runs up to where it meets an edge.
func (j *joints) intoRegion(n *duct.Node, l *leg, g geom.Region) {
	left, right := wallLines(l.axis, l.half)
	s, ok := leaveAt(g, l.axis)
	if !ok {
		j.closeEnd(n, l, "end")
		return
	}
	if l.Run.Kind == duct.Flexible {
		l.takeOut = s
		j.place(l)
		j.landAt(n, l, g, s, nil, duct.Size{})
		return
	}
	sl, okl := left.leaveAt(g)
	sr, okr := right.leaveAt(g)
	square := false
	if !okl || !okr || math.Max(math.Abs(sl-s), math.Abs(sr-s)) > 2*l.half+reachBack {
		sl, sr, square = s, s, true // wider than what it meets, or past a corner of it
	}
	l.takeOut = math.Max(sl, sr)
	j.place(l)
	p := j.newPiece(l.Run.Key.Part("end", int(l.End)), l.Run, n.ID)
	a, b := left.at(sl), right.at(sr)
	p.wall("l", left.sub(sl, l.takeOut))
	p.wall("r", right.sub(sr, l.takeOut))
	if square || g.EdgeDist(a.Lerp(b, 0.5)) < geom.Same {
		p.joint("conn", line(b, a))
	}
	if math.Abs(sl-sr) > geom.Same {
		p.spines = []geom.Curve{l.axis.PlanSub(math.Min(sl, sr), l.takeOut)}
		p.foot = stripFoot(left.sub(sl, l.takeOut), right.sub(sr, l.takeOut))
	}
}

// ground is the ducts that stand, for removed work to end at.
type ground struct {
	index  geom.Index
	pieces []*piece
}

// groundOf returns what pieces cover.
func groundOf(lists ...[]*piece) *ground {
	g := &ground{}
	for _, p := range slices.Concat(lists...) {
		if !p.foot.Empty() {
			g.index.Insert(p.foot.Box, len(g.pieces))
			g.pieces = append(g.pieces, p)
		}
	}
	return g
}

// standsIn returns the footprint of the standing duct a removed leg begins in: the main it
// is taken off. The wall of the main there is for those who close it to draw.
func (j *joints) standsIn(l *leg) (geom.Region, bool) {
	if j.standing == nil || l.Run.Status != duct.Removed {
		return geom.Region{}, false
	}
	// A main that is split where the branch was has an edge there: a step into it is inside.
	step := l.axis.PlanAt(math.Min(l.half, l.axis.PlanLen()/2))
	for _, g := range j.standing.at(l.axis.A) {
		if g.Contains(step) {
			return g, true
		}
	}
	return geom.Region{}, false
}

// at returns the footprints of the standing ducts in or on the edge of which a point lies.
func (g *ground) at(at geom.Vec) []geom.Region {
	var out []geom.Region
	for _, i := range g.index.Near(at, geom.Same) {
		p := g.pieces[i]
		low, high := p.span(at)
		if at.Z > low && at.Z < high && (p.foot.Contains(at) || p.foot.EdgeDist(at) < geom.Same) {
			out = append(out, p.foot)
		}
	}
	return out
}

// openEnd ends a duct that goes on as nothing seen: at the main it was taken off, or with a cap.
func (j *joints) openEnd(n *duct.Node, l *leg) {
	if n.Unit != duct.None { // a box nothing hangs on
		j.intoOutline(n, l)
		return
	}
	if g, ok := j.standsIn(l); ok {
		j.intoRegion(n, l, g)
		return
	}
	l.takeOut = -j.pastSingles(n, l)
	j.closeEnd(n, l, "cap")
}

// closeEnd draws the line across the end of a leg, at its node.
func (j *joints) closeEnd(n *duct.Node, l *leg, role string) {
	p := j.newPiece(l.Run.Key.Part(role, int(l.End)), l.Run, n.ID)
	m := l.mouth()
	p.joint("line", m)
	j.place(l)
	if role == "cap" {
		p.mark(shape.Joint, p.key.Part("mark"), j.spec.Symbols.Cap(m.Point(0.5), l.dir, m.PlanLen())...)
	}
}

// How far a duct goes on past a narrower vertical one before its cap: past a drop to a
// terminal by half the width of the drop, past a riser by as much as it takes to build. Common practice.
const (
	pastDrop  = 1.0  // to half the width of the drop
	pastRiser = 0.05 // metres
)

// ontoColumn ends a level or sloping leg at a vertical duct: a duct no wider than it turns
// into it; a wider one goes on past it and is capped.
func (j *joints) ontoColumn(n *duct.Node, l, v *leg) {
	size := j.size(v.Run.ID)
	g := columnRegion(j.columnAt(v), v.Run, size)
	along, across := extents(v.Run, size, l.dir)
	p := j.newPiece(l.Run.Key.Part("turn", int(l.End)), l.Run, n.ID)
	if l.half > across+geom.Same && l.Run.Kind == duct.Rigid {
		l.takeOut = -along - pastRiser
		if j.endsAtTerminal(v.Run) {
			l.takeOut = -along * (1 + pastDrop)
		}
		p.joint("cap", l.mouth())
		j.place(l)
		return
	}
	left, right := wallLines(l.axis, l.half)
	sl, okl := left.leaveAt(g)
	sr, okr := right.leaveAt(g)
	if !okl || !okr {
		// The walls run along the sides of the column and end at its face.
		s, ok := leaveAt(g, l.axis)
		if !ok || size.Shape == duct.Round {
			s = 0
		}
		sl, sr = s, s
	}
	l.takeOut = math.Max(sl, sr)
	j.place(l)
	p.wall("l", left.sub(sl, l.takeOut))
	p.wall("r", right.sub(sr, l.takeOut))
	if f := j.turnRadius(n, l.Run.ID, v.Run.ID); l.Run.Kind == duct.Rigid && f > l.takeOut && f < l.axis.PlanLen() {
		p.joint("elbow", line(right.at(f), left.at(f)))
	}
}

// endsAtTerminal reports whether a run meets a terminal.
func (m *model) endsAtTerminal(r *duct.Run) bool {
	return m.net.Nodes[r.From].Kind == duct.Outlet || m.net.Nodes[r.To].Kind == duct.Outlet
}

// columnAt returns where a vertical leg stands in plan.
func (m *model) columnAt(v *leg) geom.Vec { return m.Axes[v.Run.ID].A }

// turnRadius returns the plan length a smooth turn from a run into a vertical one takes of
// it, zero where the turn is sharp.
func (m *model) turnRadius(n *duct.Node, a, b duct.RunID) float64 {
	for _, f := range m.Nodes[n.ID].Fittings {
		if (f.Run == a || f.Run == b) && f.Radius > 0 {
			return float64(f.Radius) * math.Tan(f.Angle/2)
		}
	}
	return 0
}
