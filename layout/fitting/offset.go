package fitting

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// A short run between two parallel ones in one direction that has no room for two bends, not even sharp ones, is meant
// as an offset: two equal turns on the straight duct before and behind it. It is sideways, or up or down where the
// short run is a riser.

// offset is one of those.
type offset struct {
	before, short, behind *duct.Run // from the unit outwards
	from, to              geom.Vec  // the ends of the axes it joins
	ahead                 geom.Vec  // unit direction of both
	own                   duct.Size
}

// along returns how far the short run leads ahead by itself, and aside and move how far aside.
func (o *offset) along() float64  { return o.to.Sub(o.from).Dot(o.ahead) }
func (o *offset) aside() geom.Vec { return o.to.Sub(o.from).Sub(o.ahead.Scale(o.along())) }
func (o *offset) move() float64   { return o.aside().Len() }

const (
	// offsetSteepest is the turn in radians, 45 degrees, up to which the bends of an offset are made. Common practice.
	offsetSteepest = 45 * duct.Degree
	// offsetLeast is what an offset takes of the ducts on both sides, in metres, where there is no room at all; its
	// ShortBy says so.
	offsetLeast = 0.01
)

// behind returns the run that follows the offset f outwards, nil if f is no offset between two runs.
func behind(net *duct.Network, f *duct.Fitting) *duct.Run {
	if !f.InDuct() {
		return nil
	}
	return other(net, net.DownNode(&net.Runs[f.Run]), f.Run)
}

// other returns the other one of the two runs that meet at a node, nil where not just two do.
func other(net *duct.Network, n duct.NodeID, r duct.RunID) *duct.Run {
	node := &net.Nodes[n]
	if len(node.Runs) != 2 || node.Unit != duct.None || node.Terminal != duct.None {
		return nil
	}
	for _, id := range node.Runs {
		if id != r {
			return &net.Runs[id]
		}
	}
	return nil
}

// offsetsOf finds the offsets in the middle of ducts.
func (g *given) offsetsOf() map[duct.NodeID]offset {
	out := map[duct.NodeID]offset{}
	for i := range g.net.Runs {
		r := &g.net.Runs[i]
		o, ok := g.offsetAt(r)
		if !ok {
			continue
		}
		near, far := g.net.UpNode(r), g.net.DownNode(r)
		_, a := out[near]
		_, b := out[far]
		if a || b {
			continue // the short run before this one is an offset already
		}
		out[near], out[far] = o, o
	}
	return out
}

// offsetAt returns the offset a run makes.
func (g *given) offsetAt(r *duct.Run) (offset, bool) {
	p, q := other(g.net, g.net.UpNode(r), r.ID), other(g.net, g.net.DownNode(r), r.ID)
	if p == nil || q == nil || p == q || g.net.DownNode(p) != g.net.UpNode(r) || g.net.UpNode(q) != g.net.DownNode(r) {
		return offset{}, false
	}
	own := g.size(r)
	for _, o := range [...]*duct.Run{p, r, q} {
		if o.Kind != duct.Rigid || o.Pliable || !o.Line.Straight() || o.Status != r.Status ||
			o.Spec.Single != r.Spec.Single ||
			o.Spec.Lining != r.Spec.Lining || g.size(o).IsZero() || !sameSize(g.size(o), own) || o.Vertical() &&
			o != r {
			return offset{}, false
		}
	}
	u, v, w := p.Outward().Tangent(1), r.Outward().Tangent(0), q.Outward().Tangent(0)
	turn := geom.TurnBetween(u, v)
	if geom.TurnBetween(u, w) > jointPlay || turn <= jointPlay || turn > math.Pi/2+jointPlay {
		return offset{}, false
	}
	if g.axes.long[r.ID] >= 2*half(p, own, u, v)*math.Tan(turn/2)-geom.Same {
		return offset{}, false
	}
	o := offset{before: p, short: r, behind: q, ahead: u.Unit(), own: own, from: g.axes.out[p.ID].B,
		to: g.axes.out[q.ID].A}
	return o, o.move() >= geom.Same
}

// offsetIn adds the offset in the middle of a duct at its first node and the joint at its second, and notes what it
// wants of the runs it joins.
func (c *chooser) offsetIn(n *duct.Node, o *offset) {
	if n.ID != c.net.UpNode(o.short) {
		c.add(duct.Fitting{Node: n.ID, Kind: duct.StraightJoint, Run: o.behind.ID, Main: o.short.ID, Common: o.own,
			Own: o.own, At: n.At})
		return
	}
	c.ends[o.short.ID][duct.Near].fixed = c.axes.long[o.short.ID]
	want, least := c.offsetWants(o)
	for _, k := range [...]*share{&c.ends[o.before.ID][duct.Far], &c.ends[o.behind.ID][duct.Near]} {
		k.want, k.least = want, least
	}
	c.add(duct.Fitting{
		Node: n.ID, Kind: duct.Offset, Run: o.short.ID, Main: o.before.ID, Common: o.own, Own: o.own, At: n.At,
		Offset: duct.Length(o.aside().Dot(o.ahead.Left().Unit())), OffsetUp: duct.Length(o.aside().Z),
	})
}

// offsetWants returns what an offset takes of the run before and of the one behind as the rules want it, and at its
// steepest.
func (r *rules) offsetWants(o *offset) (want, least float64) {
	least = math.Max(offsetLeast, (o.move()/math.Tan(offsetSteepest)-o.along())/2)
	return math.Max(least, (r.slopeLength(o.move())-o.along())/2), least
}

// offset decides the length of an offset in the middle of a duct by the room on both sides of it.
func (c *sharer) offset(f *duct.Fitting) {
	o := c.offsets[f.Node]
	want, least := c.offsetWants(&o)
	room := math.Min(c.room(o.before.ID, duct.Far), c.room(o.behind.ID, duct.Near))
	has := math.Min(want, room)
	if short := 2 * (least - has); short > geom.Same {
		f.ShortBy = duct.Length(short)
	}
	has = math.Max(has, offsetLeast)
	c.ends[o.before.ID][duct.Far].has, c.ends[o.behind.ID][duct.Near].has = has, has
	length := o.along() + 2*has
	f.Length = duct.Length(length)
	f.Angle = math.Atan2(o.move(), length)
}

// offset adds what an offset in the middle of a duct takes.
func (t *taker) offset(f *duct.Fitting) {
	after := behind(t.net, f)
	if after == nil {
		return
	}
	from, to := t.axes.out[f.Main].B, t.axes.out[after.ID].A
	has := math.Max(0, (float64(f.Length)-to.Sub(from).Dot(t.net.Runs[f.Main].Outward().Tangent(1)))/2)
	t.ends[f.Run][duct.Near].fixed = t.axes.long[f.Run]
	t.ends[f.Main][duct.Far].has += has
	t.ends[after.ID][duct.Near].has += has
}
