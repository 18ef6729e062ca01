package fitting

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// chooser chooses what sits at every node, and notes what it wants of the runs there.
type chooser struct {
	*ledger
	rules
	out    []duct.Fitting
	curves []curve // by run, where there is flexible duct
}

// node adds the fittings of one node.
func (c *chooser) node(n *duct.Node) {
	legs := c.legs.at(n.ID)
	c.takeGround(n, legs)
	switch {
	case n.Unit != duct.None:
		c.unit(n, legs)
	case n.Terminal != duct.None && len(legs) == 1:
		c.terminal(n, &legs[0])
	case len(legs) == 1:
		c.end(n, &legs[0])
	case len(legs) == 2:
		c.bend(n, legs)
	case len(legs) > 2:
		c.junction(n, legs)
	}
}

// takeGround notes what of the legs of a node lies within the outline of its unit, or within the face of a terminal at
// the end of a level run.
func (b *ledger) takeGround(n *duct.Node, legs []duct.Leg) {
	var outline []geom.Vec
	switch {
	case n.Unit != duct.None:
		outline = b.net.Units[n.Unit].Outline
	case n.Terminal != duct.None && len(legs) == 1 && !legs[0].Run.Vertical():
		outline = b.net.Terminals[n.Terminal].Face
	default:
		return
	}
	for i := range legs {
		b.of(&legs[i]).fixed = inside(&legs[i], outline)
	}
}

func (c *chooser) add(f duct.Fitting) { c.out = append(c.out, f) }

// end adds the cap on the end of a run that leads nowhere.
func (c *chooser) end(n *duct.Node, l *duct.Leg) {
	c.add(duct.Fitting{Node: n.ID, Kind: duct.EndCap, Run: l.Run.ID, Main: duct.None, Own: c.size(l.Run), At: endOf(l)})
}

// endOf returns where the line of a leg ends at its node.
func endOf(l *duct.Leg) geom.Vec {
	line := l.Run.Outward()
	if l.End == duct.Near {
		return line.A
	}
	return line.B
}

// unit adds the fittings at a unit: entry or exit at the head, the box itself in the middle.
func (c *chooser) unit(n *duct.Node, legs []duct.Leg) {
	u := &c.net.Units[n.Unit]
	main := withRole(legs, duct.MainLeg)
	for i := range legs {
		l := &legs[i]
		if i == main {
			c.boxNeck(n, l, c.size(l.Run), u.Neck)
			c.offset(n, l)
			continue
		}
		f := duct.Fitting{Node: n.ID, Run: l.Run.ID, Main: duct.None, Own: c.size(l.Run), At: endOf(l)}
		switch {
		case main >= 0:
			f.Kind, f.Main, f.Common, f.At = duct.InlineBox, legs[main].Run.ID, c.size(legs[main].Run), n.At
		case l.Run.Air.FromUnit():
			f.Kind, f.Common = duct.Entry, u.Neck
		default:
			f.Kind, f.Common = duct.Exit, u.Neck
		}
		if main < 0 {
			f.Length = c.neckLength(u.Neck, f.Own)
		}
		c.add(f)
		if main >= 0 {
			c.boxNeck(n, l, u.Neck, f.Own)
		}
	}
	if main >= 0 && len(legs) == 1 { // a box nothing hangs on
		c.end(n, &legs[main])
	}
}

// boxNeck adds the size change between the neck of a box, or of the side of a terminal, and a duct on it, where they
// differ: from size p on the side of the unit to q beyond it.
func (c *chooser) boxNeck(n *duct.Node, l *duct.Leg, p, q duct.Size) {
	length := float64(c.neckLength(p, q))
	if length == 0 {
		return
	}
	f := duct.Fitting{Node: n.ID, Kind: duct.ChangeKind(l.Run.Air, p, q), Run: l.Run.ID, Main: duct.None, Common: p,
		Own: q, At: endOf(l),
		Length: duct.Length(length), Angle: taperAngle(p, q, length, false, false)}
	c.change[l.Run.ID] += length
	c.add(f)
}

// inside returns how much of a straight leg lies within an outline, from its end there. Of an arc it is
// measured along the chord.
func inside(l *duct.Leg, outline []geom.Vec) float64 {
	line := l.Run.Outward()
	if l.End == duct.Far {
		line = line.Reverse()
	}
	if len(outline) < 3 || !geom.Inside(outline, line.A) || geom.OutlineDist(outline, line.A) < geom.Same {
		return 0
	}
	d := line.B.Sub(line.A)
	best := 1.0
	for i, a := range outline {
		e := outline[(i+1)%len(outline)].Sub(a)
		det := d.X*e.Y - d.Y*e.X
		if det == 0 {
			continue
		}
		w := a.Sub(line.A)
		t := (w.X*e.Y - w.Y*e.X) / det
		s := (w.X*d.Y - w.Y*d.X) / det
		if t > 0 && s >= 0 && s <= 1 {
			best = math.Min(best, t)
		}
	}
	return best * line.Len()
}

// terminal adds the connection of a terminal: straight onto its neck, or from the side. Where the terminal is said to
// be connected from the side, its neck is there, and a duct of another size changes to it first. Where it only happens
// that the duct comes from the side, it enters a box over the neck as it is.
func (c *chooser) terminal(n *duct.Node, l *duct.Leg) {
	t := &c.net.Terminals[n.Terminal]
	own := c.size(l.Run)
	f := duct.Fitting{Node: n.ID, Kind: duct.TerminalConn, Run: l.Run.ID, Main: duct.None, Common: t.Neck, Own: own,
		At: endOf(l)}
	if fromSide(n, t, l) {
		f.Angle = math.Pi / 2
	}
	switch {
	case f.Angle == 0:
		f.Length = c.neckLength(t.Neck, own)
	case t.Conn == duct.ConnSide:
		c.boxNeck(n, l, own, t.Neck)
	}
	c.add(f)
	c.offset(n, l)
}

// offset adds the offset with which a run comes back to what it leads to at node n, where a side kept straight has
// moved it aside.
func (c *chooser) offset(n *duct.Node, l *duct.Leg) {
	side, up := c.axes.back(l.Run)
	move := math.Hypot(side, up)
	if move < geom.Same || c.size(l.Run).IsZero() {
		return
	}
	own := c.size(l.Run)
	length := c.slopeLength(move)
	c.change[l.Run.ID] += length
	c.add(duct.Fitting{
		Node: n.ID, Kind: duct.Offset, Run: l.Run.ID, Main: duct.None, Common: own, Own: own, At: endOf(l),
		Offset: duct.Length(side), OffsetUp: duct.Length(up), Length: duct.Length(length),
		Angle: math.Atan2(move, length),
	})
}

// fromSide reports whether a run comes from the side of a face that looks down or up, and turns
// square into it, rather than straight onto the neck.
func fromSide(n *duct.Node, t *duct.Terminal, l *duct.Leg) bool {
	return !l.Run.Vertical() && (t.Conn == duct.ConnSide || !geom.SamePlan(n.At, endOf(l)))
}

// bendLegs returns the two legs of a bend, that towards the unit first.
func bendLegs(legs []duct.Leg) (in, out *duct.Leg) {
	main := withRole(legs, duct.MainLeg)
	return &legs[main], &legs[1-main]
}

// bend adds what lies where two runs meet: a joint, a bend, the turn into a drop, and a change of size.
func (c *chooser) bend(n *duct.Node, legs []duct.Leg) {
	if o, ok := c.offsets[n.ID]; ok {
		c.offsetIn(n, &o)
		return
	}
	in, out := bendLegs(legs)
	turn := geom.TurnBetween(in.Dir.Scale(-1), out.Dir)
	own := c.size(in.Run)
	changes := c.changes(in, out)
	f := duct.Fitting{Node: n.ID, Kind: duct.StraightJoint, Run: out.Run.ID, Main: in.Run.ID, Common: own, Own: own,
		Angle: turn, At: n.At}
	switch {
	case flexibleOn(n, in, out):
		c.flexibleBend(&f, in, out)
		c.add(f)
	case turn > jointPlay:
		f.Kind = duct.Elbow
		if in.Run.Vertical() != out.Run.Vertical() {
			f.Kind = duct.DropConn
		}
		c.bendWants(&f, in, out)
		c.add(f)
	case !changes:
		f.Angle = 0
		c.add(f)
	}
	if changes {
		c.sizeChange(n, in, out)
	}
	if out.Run.Vertical() {
		c.offset(n, in)
	}
}

// bendWants notes what a bend wants of the two runs it joins.
func (c *chooser) bendWants(f *duct.Fitting, in, out *duct.Leg) {
	tan := math.Tan(f.Angle / 2)
	want, least := c.radii(f, 2*half(in.Run, f.Own, in.Dir, out.Dir))
	for _, l := range [...]*duct.Leg{in, out} {
		k := c.of(l)
		k.want, k.least = want*tan, least*tan
	}
}

// changes reports whether the size changes from leg in to leg out.
func (c *chooser) changes(in, out *duct.Leg) bool {
	p, q := seenFrom(in.Run, out.Run, c.size(in.Run)), c.size(out.Run)
	return !p.IsZero() && !q.IsZero() && !sameSize(p, q)
}

// sizeChange adds the change of size at the near end of run out.
func (c *chooser) sizeChange(n *duct.Node, in, out *duct.Leg) {
	p, q := seenFrom(in.Run, out.Run, c.size(in.Run)), c.size(out.Run)
	side, up := step(in.Run, out.Run, p, q)
	f := duct.Fitting{
		Node: n.ID, Kind: duct.ChangeKind(out.Run.Air, p, q), Run: out.Run.ID, Main: in.Run.ID, Common: p, Own: q,
		Offset: duct.Length(side), OffsetUp: duct.Length(up), At: n.At,
	}
	length := c.taperLength(p, q, side != 0, up != 0)
	f.Length = duct.Length(length)
	f.Angle = taperAngle(p, q, length, side != 0, up != 0)
	c.change[out.Run.ID] += length
	c.add(f)
}
