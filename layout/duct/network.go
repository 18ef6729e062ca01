package duct

import (
	"twinline/layout/geom"
	"twinline/layout/key"
)

// Air is the kind of air a duct carries, by its designation in EN 16798-3.
type Air uint8

// The kinds of air.
const (
	SUP Air = iota // supply
	ETA            // extract
	EHA            // exhaust
	ODA            // outdoor
	RCA            // recirculation
	TRA            // transfer
)

// Airs lists the kinds of air in their usual order.
var Airs = [...]Air{SUP, ETA, EHA, ODA, RCA, TRA}

func (a Air) String() string { return [...]string{"SUP", "ETA", "EHA", "ODA", "RCA", "TRA"}[a] }

// FromUnit reports whether air of this kind flows from the unit to the terminals
// (supply, outdoor, transfer) rather than from the terminals to the unit.
func (a Air) FromUnit() bool { return a == SUP || a == ODA || a == TRA }

// Status distinguishes new work from what is there.
type Status uint8

// The states of work.
const (
	New Status = iota
	Existing
	Removed
	Future
)

func (s Status) String() string { return [...]string{"new", "existing", "removed", "future"}[s] }

// Ids are dense within one run of the program, from 0; None means there is none.
type (
	NodeID     int
	RunID      int
	SectionID  int
	TerminalID int
	UnitID     int
	SystemID   int
)

// None is the id of nothing, for every kind of id.
const None = -1

// RunKind is what a run is made of or how it lies.
type RunKind uint8

// The kinds of run.
const (
	Rigid    RunKind = iota // JSON "duct"
	Flexible                // JSON "flex"
	Drop                    // vertical, between a run's end and a terminal; JSON "drop"
)

func (k RunKind) String() string { return [...]string{"duct", "flex", "drop"}[k] }

// Datum says which height of a duct an elevation is of.
type Datum uint8

// The datums.
const (
	Centre Datum = iota
	Bottom
	Top
)

// Side is the side of a duct that stays straight where its size changes, seen along the air.
type Side uint8

// The sides.
const (
	Centred Side = iota
	FlatLeft
	FlatRight
	FlatTop
	FlatBottom
)

// Spec is what notes say about a run, by themselves or by what lies upstream of it.
// Zero values say nothing.
type Spec struct {
	Fixed      Size // size to keep
	MaxHeight  Length
	Shape      Shape
	HasShape   bool
	Flat       Side
	HasFlat    bool
	Single     bool    // draw the centreline alone
	Lining     Length  // thickness inside the size
	Insulation Length  // thickness outside
	Material   string  // "" as the settings say
	C          float64 // of all fittings of this run together, on its own velocity pressure; where HasC
	HasC       bool
}

// NodeKind is what a node is.
type NodeKind uint8

// The kinds of node.
const (
	Bend   NodeKind = iota // two runs, at any angle; a straight joint is a bend of zero
	Branch                 // three runs or more
	Head                   // a unit where a system starts
	Box                    // a unit in the middle of a system
	Outlet                 // a terminal
	Cap                    // the end of a run that leads nowhere
)

func (k NodeKind) String() string {
	return [...]string{"bend", "branch", "head", "box", "terminal", "cap"}[k]
}

// Node is where runs meet or end.
type Node struct {
	ID       NodeID
	Key      key.Key // stable from one run of the program to the next
	Kind     NodeKind
	At       geom.Vec // a Head or Box: the middle of its outline, at the elevation of its runs
	Runs     []RunID  // all that touch it
	System   SystemID // None for removed work
	Unit     UnitID
	Terminal TerminalID
}

// Run is one straight piece, or one arc, between two nodes. The air flows From -> To
// and Line runs the same way. Its ends lie on its nodes, except at units and side-connected
// terminals, where they lie where the sketch has them, on or in the outline.
type Run struct {
	ID      RunID
	Key     key.Key  // stable from one run of the program to the next
	Handles []string // of the entities of the sketch it came from
	System  SystemID // None for removed work
	Air     Air
	Status  Status
	Kind    RunKind
	Pliable bool // made of flexible duct: a Flexible run, or the Drop at the end of one
	From    NodeID
	To      NodeID
	Line    geom.Curve // Z is that of Datum
	Datum   Datum
	Across  geom.Vec // vertical runs: plan direction the Width lies along (unit vector)
	Section SectionID
	Up      RunID // the run towards the unit, None at the head; for removed work None
	Flow    Flow
	Spec    Spec
}

// Vertical reports whether r goes straight up or down.
func (r *Run) Vertical() bool { return r.Line.Straight() && r.Line.A.PlanDist(r.Line.B) < geom.Same }

// SingleLine reports whether r is drawn as its centreline alone: where a note says so, where it has no size, and where
// its size as it is drawn is no larger than most, which 0 turns off.
func (r *Run) SingleLine(drawn Size, most Length) bool {
	return drawn.IsZero() || r.Spec.Single || most > 0 &&
		float64(max(drawn.Width, drawn.Height)) <= float64(most)+geom.Same
}

// AxisShift returns how far, in metres, the axis of r lies above its Line where it has size s: half its height over the
// bottom, or under the top, where the elevation is that of one of them. Lining lies inside the sheet.
func (r *Run) AxisShift(s Size) float64 {
	h := float64(s.Height)/2 + float64(r.Spec.Lining)
	switch {
	case s.IsZero():
	case r.Datum == Bottom:
		return h
	case r.Datum == Top:
		return -h
	}
	return 0
}

// Section is a chain of runs that carry one flow and get one size: from the unit, a
// branch or a box to the next one or to a terminal, cut where status, kind or notes change.
type Section struct {
	ID     SectionID
	System SystemID
	Runs   []RunID // from the unit outwards, whatever way the air flows
	Up     SectionID
}

// Conn is how a terminal is connected.
type Conn uint8

// The connections.
const (
	ConnUnknown Conn = iota // nothing said: from the top if a run ends over its face, else the side
	ConnTop
	ConnSide
)

// Terminal is an air terminal.
type Terminal struct {
	ID     TerminalID
	Key    key.Key
	Handle string
	Mark   string // as it stands in the drawing; "" if none
	Name   string // the id of the convention: unique in its system
	System SystemID
	Air    Air
	Status Status
	At     geom.Vec   // middle of the face, at the terminal's elevation
	Face   []geom.Vec // corners of the face, counter-clockwise
	Neck   Size       // zero: the size of the duct that meets it
	Conn   Conn
	Flow   Flow
	Loss   Pressure
	Block  bool // drawn as a block of the user's, which is kept
	Node   NodeID
}

// Unit is a terminal box, air-handling unit, fan or shaft connection.
type Unit struct {
	ID        UnitID
	Key       key.Key
	Handle    string
	Mark      string
	Air       Air
	Status    Status
	At        geom.Vec
	Outline   []geom.Vec // counter-clockwise
	Circle    Length     // its radius where it is drawn as a circle about At; Outline has corners on it
	Available Pressure   // what it can give, where HasAvailable
	Loss      Pressure   // of a box in the middle
	Neck      Size
	Flow      Flow // zero: the sum of its terminals

	HasAvailable bool
}

// System is what hangs from one unit with one kind of air.
type System struct {
	ID        SystemID
	Name      string // the unit's mark
	Air       Air
	Unit      UnitID
	Head      NodeID
	Runs      []RunID     // from the unit outwards: every run after its Up
	Sections  []SectionID // likewise
	Terminals []TerminalID
	Flow      Flow
}

// Network is what the sketch says: what is connected to what, where it lies and how
// much air flows. It is built once, by package network, and never changed after; ids
// are indices of its slices. Runs of removed work are in Runs but in no system.
type Network struct {
	Systems   []System
	Nodes     []Node
	Runs      []Run
	Sections  []Section
	Terminals []Terminal
	Units     []Unit
}

// UpNode and DownNode return the ends of r towards the unit and away from it.
func (n *Network) UpNode(r *Run) NodeID {
	if r.Air.FromUnit() {
		return r.From
	}
	return r.To
}

// DownNode returns the end of r away from the unit.
func (n *Network) DownNode(r *Run) NodeID {
	if r.Air.FromUnit() {
		return r.To
	}
	return r.From
}

// LastRun returns the run that meets a terminal, None where there is none.
func (n *Network) LastRun(t *Terminal) RunID {
	if t.Node == None || len(n.Nodes[t.Node].Runs) == 0 {
		return None
	}
	return n.Nodes[t.Node].Runs[0]
}

// Outward returns the line of r from the unit outwards.
func (r *Run) Outward() geom.Curve {
	if r.Air.FromUnit() {
		return r.Line
	}
	return r.Line.Reverse()
}
