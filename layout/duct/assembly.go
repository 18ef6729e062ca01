package duct

import "twinline/layout/geom"

// Assembly is how a network is made with the sizes it has: where the axes of its runs lie, what sits where runs meet,
// and how much of every run that takes. It is made by package fitting, once for every set of sizes, and never changed
// after. Slices are indexed by the ids of the network; all is seen from the unit outwards.
type Assembly struct {
	Axes     []geom.Curve // by run: true centrelines
	TakeOuts []TakeOut    // by run
	Nodes    []NodeMake   // by node
	Fittings []Fitting    // by node, the legs of a junction in the order of the node's runs; without their losses
	Rows     []Row
}

// End is an end of a run as seen from the unit.
type End uint8

// The ends of a run.
const (
	Near End = iota // towards the unit
	Far             // away from it
)

// TakeOut is how much of a run its fittings take, along its axis from its near and from its far end. Between them lies
// straight duct (of an arc: the arc itself); where the two overlap there is none. A change of size is counted at the
// end it lies at, with the neck before it; a mitre by its inner corner; a branch by the far wall it meets its main
// with, and by its 45 degree entry or cone, whose mouth counts on the main; the part of a run within the outline of a
// unit or a terminal as well, and the transition to its neck.
type TakeOut [2]Length

// Sum returns what is taken at both ends.
func (t TakeOut) Sum() Length { return t[Near] + t[Far] }

// Role is what a leg is at its node.
type Role uint8

// The roles of legs.
const (
	MainLeg Role = iota // it leads to the unit; of removed work, which leads nowhere, the first
	// the air goes straight on in it: the other one of two, or that of a junction that turns least
	StraightLeg
	BarLeg // of two in line where nothing goes straight on from the main: the bar of a bullhead
	BranchLeg
)

// Leg is a run as it leaves one of its nodes.
type Leg struct {
	Run     *Run
	End     End
	Role    Role
	Dir     geom.Vec // unit direction in space in which its sketched line leaves the node
	Size    Size     // clear, at the node: before the change of size that may follow there
	Outside Size     // likewise, with the lining
	Fitting *Fitting // booked on the run here, changes of size and offsets aside; nil on the main of a junction
	Change  *Fitting // the change of size at this end, or the one to the neck of a box; nil for none
	Back    *Fitting // the offset before the far end with which it comes back to what it leads to; nil for none
}

// NodeMake is how one node is made.
type NodeMake struct {
	Fittings []Fitting   // those here, of Assembly.Fittings
	Legs     []Leg       // in the order of the node's runs
	Row      *Row        // the row its junction belongs to; nil for none
	Offset   *DuctOffset // the offset in the middle of a duct it belongs to; nil for none
}

// Row is junctions that follow each other along one straight main so closely that no duct is left between them, from
// the unit outwards: they are made as one piece, and the runs between them lie wholly within it.
type Row struct {
	Nodes []NodeID
	Runs  []RunID // of the main: that which leads to the first node, those within, that which goes on from the last
}

// DuctOffset is an offset in the middle of a duct: in place of a run too short for two bends, and of some of those
// beside it.
type DuctOffset struct {
	Fitting               *Fitting // at the first of its two nodes
	Before, Short, Behind RunID
}

// LegAxis returns the axis a leg begins on, leaving its node: that of its run, moved back by what a change of size
// moves it there, or aside by the offset before its end.
func (a *Assembly) LegAxis(l *Leg) geom.Curve {
	c := a.Axes[l.Run.ID]
	switch {
	case l.End == Near && l.Change != nil:
		f := l.Change
		if f.Offset != 0 && !l.Run.Vertical() {
			c = c.Offset(-float64(f.Offset))
		}
		c.A.Z -= float64(f.OffsetUp)
		c.B.Z -= float64(f.OffsetUp)
	case l.Back != nil:
		c = c.Offset(float64(l.Back.Offset))
		c.A.Z += float64(l.Back.OffsetUp)
		c.B.Z += float64(l.Back.OffsetUp)
	}
	if l.End == Far {
		return c.Reverse()
	}
	return c
}

// Along returns the axis of r in the direction of its Line, that of the air.
func (a *Assembly) Along(r *Run) geom.Curve {
	if r.Air.FromUnit() {
		return a.Axes[r.ID]
	}
	return a.Axes[r.ID].Reverse()
}
