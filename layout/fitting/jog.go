package fitting

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// A jog is a short run between two parallel ones in one direction that is too short for two bends: what is meant is an offset,
// two equal turns on the straight duct before and behind it. It is sideways, or up or down where the short run is a riser.
type jog struct {
	before, short, behind *duct.Run // from the unit outwards
	from, to              geom.Vec  // the ends of the axes it joins
	ahead                 geom.Vec  // unit direction of both
	own                   duct.Size
}

// along returns how far a jog leads ahead by itself, and move how far aside.
func (j jog) along() float64  { return j.to.Sub(j.from).Dot(j.ahead) }
func (j jog) aside() geom.Vec { return j.to.Sub(j.from).Sub(j.ahead.Scale(j.along())) }
func (j jog) move() float64   { return j.aside().Len() }
func (j jog) nodes(net *duct.Network) [2]duct.NodeID {
	return [2]duct.NodeID{net.UpNode(j.short), net.DownNode(j.short)}
}

const (
	// jogSteepest is the turn in radians, 45 degrees, up to which the bends of an offset are made. Common practice.
	jogSteepest = math.Pi / 4
	// jogLeast is what an offset takes of the ducts on both sides, in metres, where there is no room at all: it is told then.
	jogLeast = 0.01
)

// isJog reports whether f is an offset in the middle of a duct, rather than at the end of one: Run is the jog of the sketch.
func isJog(f *duct.Fitting) bool { return f.Kind == duct.Offset && f.Main != duct.None }

// behind returns the run that follows the offset f outwards, nil if f is no offset between two runs.
func behind(net *duct.Network, f *duct.Fitting) *duct.Run {
	if !isJog(f) {
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

// findJogs finds the jogs whose own length has no room for two bends, not even sharp ones, by the nodes at both ends.
func (c *chooser) findJogs() {
	c.jogs = map[duct.NodeID]jog{}
	for i := range c.net.Runs {
		j, ok := c.jogOf(&c.net.Runs[i])
		if !ok {
			continue
		}
		nodes := j.nodes(c.net)
		_, a := c.jogs[nodes[0]]
		_, b := c.jogs[nodes[1]]
		if a || b {
			continue // the short run before this one is a jog already
		}
		c.jogs[nodes[0]], c.jogs[nodes[1]] = j, j
	}
}

// jogOf returns the jog a run makes.
func (c *chooser) jogOf(r *duct.Run) (jog, bool) {
	p, q := other(c.net, c.net.UpNode(r), r.ID), other(c.net, c.net.DownNode(r), r.ID)
	if p == nil || q == nil || p == q || c.net.DownNode(p) != c.net.UpNode(r) || c.net.UpNode(q) != c.net.DownNode(r) {
		return jog{}, false
	}
	own := c.size(r)
	for _, o := range []*duct.Run{p, r, q} {
		if o.Kind != duct.Rigid || o.Pliable || !o.Line.Straight() || o.Status != r.Status || o.Spec.Single != r.Spec.Single ||
			o.Spec.Lining != r.Spec.Lining || c.size(o).IsZero() || !sameSize(c.size(o), own) || o.Vertical() && o != r {
			return jog{}, false
		}
	}
	u, v, w := p.Outward().Tangent(1), r.Outward().Tangent(0), q.Outward().Tangent(0)
	turn := geom.TurnBetween(u, v)
	if geom.TurnBetween(u, w) > straightTurn || turn <= straightTurn || turn > math.Pi/2+straightTurn {
		return jog{}, false
	}
	if room := c.axes.long[r.ID]; room >= 2*half(p, own, u, v)*math.Tan(turn/2)-geom.Same {
		return jog{}, false
	}
	j := jog{before: p, short: r, behind: q, ahead: u.Unit(), own: own}
	j.from, j.to = c.axes.out[p.ID].B, c.axes.out[q.ID].A
	return j, j.move() >= geom.Same
}

// jog adds the offset at its first node and the joint at its second, and notes what it wants of the runs it joins.
func (c *chooser) jog(n *duct.Node, j jog) {
	nodes := j.nodes(c.net)
	if n.ID != nodes[0] {
		c.add(duct.Fitting{Node: n.ID, Kind: duct.StraightJoint, Run: j.behind.ID, Main: j.short.ID, Common: j.own, Own: j.own, At: n.At})
		return
	}
	side := j.aside().Dot(j.ahead.Left().Unit())
	c.claim[j.short.ID][near].fixed = c.axes.long[j.short.ID]
	want, least := c.jogClaims(j)
	for _, k := range []*claim{&c.claim[j.before.ID][far], &c.claim[j.behind.ID][near]} {
		k.want, k.least = want, least
	}
	c.add(duct.Fitting{
		Node: n.ID, Kind: duct.Offset, Run: j.short.ID, Main: j.before.ID, Common: j.own, Own: j.own, At: n.At,
		Offset: duct.Length(side), OffsetUp: duct.Length(j.aside().Z),
	})
}

// jogClaims returns what the offset of a jog takes of the run before and of the one behind as the rules want it, and at its steepest.
func (c *chooser) jogClaims(j jog) (want, least float64) {
	least = math.Max(jogLeast, (j.move()/math.Tan(jogSteepest)-j.along())/2)
	return math.Max(least, (c.slopeLength(j.move())-j.along())/2), least
}

// settleJog decides the length of the offset of a jog by the room on both sides of it.
func (c *chooser) settleJog(f *duct.Fitting) {
	j := c.jogs[f.Node]
	want, least := c.jogClaims(j)
	room := math.Min(c.room(j.before, far), c.room(j.behind, near))
	has := math.Min(want, room)
	if short := 2 * (least - has); short > geom.Same {
		f.ShortBy = duct.Length(short)
	}
	has = math.Max(has, jogLeast)
	c.claim[j.before.ID][far].has, c.claim[j.behind.ID][near].has = has, has
	length := j.along() + 2*has
	f.Length = duct.Length(length)
	f.Angle = math.Atan2(j.move(), length)
}

// trimJog adds what an offset in the middle of a duct takes.
func (c *chooser) trimJog(f *duct.Fitting) {
	before, short, after := &c.net.Runs[f.Main], &c.net.Runs[f.Run], behind(c.net, f)
	if after == nil {
		return
	}
	from, to := c.axes.out[before.ID].B, c.axes.out[after.ID].A
	has := math.Max(0, (float64(f.Length)-to.Sub(from).Dot(before.Outward().Tangent(1)))/2)
	c.claim[short.ID][near].fixed = c.axes.long[short.ID]
	c.claim[before.ID][far].has += has
	c.claim[after.ID][near].has += has
}
