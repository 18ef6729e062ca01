package fitting

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

const (
	// straightLeg is the turn in radians, 15 degrees, up to which a leg of a junction goes straight on. Common practice.
	straightLeg = math.Pi / 12
	// straightTurn is the turn in radians, one degree, up to which two pieces are joined without a bend: what the
	// play of a joint takes up. Common practice.
	straightTurn = math.Pi / 180
	// bullheadTurn is the turn in radians, 75 degrees, from which two legs that leave on both sides form the cross bar of a tee.
	bullheadTurn = math.Pi * 75 / 180
	// vanesFrom is the turn in radians, 45 degrees, from which a sharp bend gets vanes. Common practice.
	vanesFrom = math.Pi / 4
)

// SharpMost is the turn in radians, 120 degrees, up to which a bend can be made sharp: beyond it the outer walls of a mitre would
// run on for more than the width of the duct before they meet. What is drawn sharper has its corner cut off there. Common practice.
const SharpMost = math.Pi * 2 / 3

// choose decides the fittings.
func choose(net *duct.Network, sizes []duct.Size, rules duct.FittingRules) *chooser {
	c := &chooser{
		net: net, sizes: sizes, rules: rules,
		out:    make([]duct.Fitting, 0, 2*len(net.Nodes)),
		claim:  make([][2]claim, len(net.Runs)),
		taper:  make([]float64, len(net.Runs)),
		within: make([]bool, len(net.Runs)),
	}
	c.axes = axesOf(net, sizes)
	c.findJogs()
	for i := range net.Nodes {
		c.node(&net.Nodes[i])
	}
	fits := byNode(net, c.out)
	c.partRows(fits)
	c.claimRows(fits)
	for i := range c.out {
		c.settleBend(&c.out[i])
	}
	c.settleForms()
	c.claimRows(fits)
	for i := range c.out {
		c.settleLength(&c.out[i])
	}
	c.tellRows(fits)
	return c
}

// claim is what one end of a run gives up to the fittings there, in metres along its axis.
type claim struct {
	fixed float64 // to a junction, or inside a unit
	mouth float64 // to what the mouth of a branch takes beyond that
	want  float64 // to a bend as the rules want it
	least float64 // to the tightest bend there is
	has   float64 // to the bend as it is made
}

// taken returns what no bend can have of the run.
func (k claim) taken() float64 { return k.fixed + k.mouth }

type chooser struct {
	net      *duct.Network
	sizes    []duct.Size
	rules    duct.FittingRules
	out      []duct.Fitting
	claim    [][2]claim // by run, near and far end
	taper    []float64  // by run: length its change of size wants
	within   []bool     // by run: it lies wholly within a row of junctions
	jogs     map[duct.NodeID]jog
	axes     *axes
	straight [][]joint // of mains, once they were asked for
	legs     []leg     // room for legsAt
	curl     []curl    // by run, where there is flexible duct
}

func (c *chooser) size(r *duct.Run) duct.Size { return c.sizes[r.ID] }

// mainLeg returns which leg leads towards the unit: the one whose far end is here. At a head, and where removed work
// begins nowhere, there is none, and main is -1.
func mainLeg(legs []leg) int {
	for i, l := range legs {
		if l.end == far {
			return i
		}
	}
	return -1
}

// node adds the fittings of one node.
func (c *chooser) node(n *duct.Node) {
	legs := c.legsAt(n)
	main := mainLeg(legs)
	switch {
	case n.Unit != duct.None:
		c.unit(n, legs, main)
	case n.Terminal != duct.None && len(legs) == 1:
		c.terminal(n, legs[0])
	case len(legs) == 1:
		c.add(duct.Fitting{Node: n.ID, Kind: duct.EndCap, Run: legs[0].run.ID, Main: duct.None, Own: c.size(legs[0].run), At: endOf(legs[0])})
	case len(legs) == 2:
		c.bend(n, legs, max(main, 0))
	case len(legs) > 2:
		c.junction(n, legs, max(main, 0))
	}
}

func (c *chooser) add(f duct.Fitting) { c.out = append(c.out, f) }

// endOf returns where the line of a leg ends at its node.
func endOf(l leg) geom.Vec {
	line := l.run.Outward()
	if l.end == near {
		return line.A
	}
	return line.B
}

// unit adds the fittings at a unit: entry or exit at the head, the box itself in the middle.
func (c *chooser) unit(n *duct.Node, legs []leg, main int) {
	u := &c.net.Units[n.Unit]
	for i, l := range legs {
		c.claim[l.run.ID][l.end].fixed = inside(l, u.Outline)
		if i == main {
			c.boxNeck(n, l, c.size(l.run), u.Neck)
			c.offset(n, l)
			continue
		}
		f := duct.Fitting{Node: n.ID, Run: l.run.ID, Main: duct.None, Own: c.size(l.run), At: endOf(l)}
		switch {
		case main >= 0:
			f.Kind = duct.InlineBox
			f.Main = legs[main].run.ID
			f.Common = c.size(legs[main].run)
			f.At = n.At
		case l.run.Air.FromUnit():
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
		l := legs[main]
		c.add(duct.Fitting{Node: n.ID, Kind: duct.EndCap, Run: l.run.ID, Main: duct.None, Own: c.size(l.run), At: endOf(l)})
	}
}

// boxNeck adds the size change between the neck of a box, or of the side of a terminal, and a duct on it, where they differ: from
// size p on the side of the unit to q beyond it.
func (c *chooser) boxNeck(n *duct.Node, l leg, p, q duct.Size) {
	length := float64(c.neckLength(p, q))
	if length == 0 {
		return
	}
	f := duct.Fitting{Node: n.ID, Kind: duct.ChangeKind(l.run.Air, p, q), Run: l.run.ID, Main: duct.None, Common: p, Own: q, At: endOf(l),
		Length: duct.Length(length), Angle: taperAngle(p, q, length, false, false)}
	c.taper[l.run.ID] += length
	c.add(f)
}

// inside returns how much of a straight leg lies within an outline, from its end there. Of an arc it is
// measured along the chord.
func inside(l leg, outline []geom.Vec) float64 {
	line := l.run.Outward()
	if l.end == far {
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

// terminal adds the connection of a terminal: straight onto its neck, or from the side. Where the terminal is said to be
// connected from the side, its neck is there, and a duct of another size changes to it first. Where it only happens that the duct
// comes from the side, it enters a box over the neck as it is.
func (c *chooser) terminal(n *duct.Node, l leg) {
	t := &c.net.Terminals[n.Terminal]
	own := c.size(l.run)
	f := duct.Fitting{Node: n.ID, Kind: duct.TerminalConn, Run: l.run.ID, Main: duct.None, Common: t.Neck, Own: own, At: endOf(l)}
	if !l.run.Vertical() {
		c.claim[l.run.ID][l.end].fixed = inside(l, t.Face)
	}
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

// offset adds the offset with which a run comes back to what it leads to at node n, where a side kept straight has moved it aside.
func (c *chooser) offset(n *duct.Node, l leg) {
	side, up := c.axes.back(l.run)
	move := math.Hypot(side, up)
	if move < geom.Same || c.size(l.run).IsZero() {
		return
	}
	own := c.size(l.run)
	length := c.slopeLength(move)
	c.taper[l.run.ID] += length
	c.add(duct.Fitting{
		Node: n.ID, Kind: duct.Offset, Run: l.run.ID, Main: duct.None, Common: own, Own: own, At: endOf(l),
		Offset: duct.Length(side), OffsetUp: duct.Length(up), Length: duct.Length(length), Angle: math.Atan2(move, length),
	})
}

// neckLength returns the length of the transition between the neck of a terminal or unit and the duct on it, zero where
// there is none.
func (c *chooser) neckLength(neck, own duct.Size) duct.Length {
	if neck.IsZero() || own.IsZero() || sameSize(neck, own) {
		return 0
	}
	return duct.Length(c.taperLength(neck, own, false, false))
}

// fromSide reports whether a run comes from the side of a face that looks down or up, and turns
// square into it, rather than straight onto the neck.
func fromSide(n *duct.Node, t *duct.Terminal, l leg) bool {
	return !l.run.Vertical() && (t.Conn == duct.ConnSide || !geom.SamePlan(n.At, endOf(l)))
}

// bend adds what lies where two runs meet: a joint, a bend, the turn into a drop, and a change of size.
func (c *chooser) bend(n *duct.Node, legs []leg, main int) {
	if j, ok := c.jogs[n.ID]; ok {
		c.jog(n, j)
		return
	}
	in, out := legs[main], legs[1-main]
	turn := geom.TurnBetween(in.dir.Scale(-1), out.dir)
	own := c.size(in.run)
	changes := c.changes(in, out)
	f := duct.Fitting{Node: n.ID, Kind: duct.StraightJoint, Run: out.run.ID, Main: in.run.ID, Common: own, Own: own, Angle: turn, At: n.At}
	if c.hose(n, in, out) {
		c.hoseBend(&f, in, out)
		c.add(f)
	} else if turn <= straightTurn {
		f.Angle = 0
		if !changes {
			c.add(f)
		}
	} else {
		f.Kind = duct.Elbow
		if in.run.Vertical() != out.run.Vertical() {
			f.Kind = duct.DropConn
		}
		c.claimBend(&f, in, out)
		c.add(f)
	}
	if changes {
		c.sizeChange(n, in, out)
	}
	if out.run.Vertical() {
		c.offset(n, in)
	}
}

// claimBend notes what a bend wants of the two runs it joins.
func (c *chooser) claimBend(f *duct.Fitting, in, out leg) {
	w := 2 * half(in.run, f.Own, in.dir, out.dir)
	tan := math.Tan(f.Angle / 2)
	want, least := c.radii(f, w)
	for _, l := range [...]leg{in, out} {
		k := &c.claim[l.run.ID][l.end]
		k.want, k.least = want*tan, least*tan
	}
}

// radii returns the centreline radius the rules want of a bend, and the tightest it can be made with, a mitre's
// being half the width: that is how far its inner corner reaches.
func (c *chooser) radii(f *duct.Fitting, w float64) (want, least float64) {
	if c.mitred(f) {
		return w / 2, w / 2
	}
	return c.ratio(f.Own) * w, w / 2
}

func (c *chooser) ratio(s duct.Size) float64 {
	if s.Shape == duct.Round {
		return c.rules.ElbowRound
	}
	return c.rules.ElbowRect
}

// mitred reports whether the rules want a bend sharp whatever room there is, and it can be made so.
func (c *chooser) mitred(f *duct.Fitting) bool {
	return c.rules.MitreAlways && f.Own.Shape == duct.Rect && f.Angle <= SharpMost+geom.Straight
}

// changes reports whether the size changes from leg in to leg out.
func (c *chooser) changes(in, out leg) bool {
	p, q := seenFrom(in.run, out.run, c.size(in.run)), c.size(out.run)
	return !p.IsZero() && !q.IsZero() && !sameSize(p, q)
}

func sameSize(p, q duct.Size) bool {
	return p.Shape == q.Shape && math.Abs(float64(p.Width-q.Width)) < geom.Same && math.Abs(float64(p.Height-q.Height)) < geom.Same
}

// sizeChange adds the change of size at the near end of run out.
func (c *chooser) sizeChange(n *duct.Node, in, out leg) {
	p, q := seenFrom(in.run, out.run, c.size(in.run)), c.size(out.run)
	side, up := step(in.run, out.run, p, q)
	f := duct.Fitting{
		Node: n.ID, Kind: duct.ChangeKind(out.run.Air, p, q), Run: out.run.ID, Main: in.run.ID, Common: p, Own: q,
		Offset: duct.Length(side), OffsetUp: duct.Length(up), At: n.At,
	}
	length := c.taperLength(p, q, side != 0, up != 0)
	f.Length = duct.Length(length)
	f.Angle = taperAngle(p, q, length, side != 0, up != 0)
	c.taper[out.run.ID] += length
	c.add(f)
}

// slopes returns the greatest distance one side of a size change moves. Where one side stays straight the other one moves all
// the way.
func slopes(p, q duct.Size, flatSide, flatUp bool) (move float64, flat bool) {
	w, h := math.Abs(float64(p.Width-q.Width)), math.Abs(float64(p.Height-q.Height))
	if !flatSide {
		w /= 2
	}
	if !flatUp {
		h /= 2
	}
	if w >= h {
		return w, flatSide
	}
	return h, flatUp
}

// taperLength returns how long a change of size is by the rules: so long that no side slopes by more than half of the
// total angle.
func (c *chooser) taperLength(p, q duct.Size, flatSide, flatUp bool) float64 {
	move, _ := slopes(p, q, flatSide, flatUp)
	return c.slopeLength(move)
}

// slopeLength returns how long a side that moves so far across has to be by the rules.
func (c *chooser) slopeLength(move float64) float64 {
	length := 0.0
	if tan := math.Tan(c.rules.ReducerAngle / 2); tan > 0 {
		length = move / tan
	}
	return math.Max(length, float64(c.rules.ReducerLeast))
}

// taperAngle returns the angle between the opposite sides of a change of size of that length, of the pair that closes
// fastest.
func taperAngle(p, q duct.Size, length float64, flatSide, flatUp bool) float64 {
	move, flat := slopes(p, q, flatSide, flatUp)
	a := math.Atan2(move, length)
	if flat {
		return a
	}
	return 2 * a
}
