package duct

// FittingKind names what happens to the air at a node, as the JSON prints it.
type FittingKind uint8

// The kinds of fitting.
const (
	Elbow         FittingKind = iota // smooth bend
	Mitre                            // sharp bend
	VanedMitre                       // sharp bend with turning vanes
	StraightJoint                    // two pieces in line, of one size: no loss, a joint line
	Reducer                          // size change in the direction of the air, smaller
	Expander                         // size change in the direction of the air, larger
	Takeoff                          // the branch leg of a junction
	Through                          // the straight leg of a junction
	Wye                              // one leg of a symmetrical split or join, no straight leg
	Bullhead                         // one leg of a tee whose common leg meets the cross bar
	Cross                            // one branch leg of a four-way junction
	Entry                            // from a unit into a duct
	Exit                             // from a duct into a unit
	TerminalConn                     // duct to terminal: from the side, or straight onto the neck
	DropConn                         // the turn from a horizontal run into the drop to its terminal, or into a riser
	InlineBox                        // a unit in the middle
	VolumeDamper                     // of a terminal or a branch
	EndCap                           // no loss
	Offset                           // two bends close together that set a duct aside, its size unchanged

	FittingKinds // how many there are
)

// Family is what a kind of fitting is made like, which decides what it takes of its runs and what it is reckoned with.
type Family uint8

// The families of kinds.
const (
	NoFamily     Family = iota
	JointFamily         // two pieces in line
	BendFamily          // a turn between two runs
	ChangeFamily        // a change of size
	OffsetFamily        // a duct set aside
	LegFamily           // one leg of a junction
	UnitFamily          // between a duct and the unit at the head of a system
	BoxFamily           // a unit in the middle
	OutletFamily        // between a duct and a terminal
	DamperFamily        // a damper
	CapFamily           // the end of a duct that leads nowhere
)

// Listing is how a kind of fitting is counted and its size listed in schedules.
type Listing uint8

// The listings.
const (
	Unlisted   Listing = iota // it is no piece to be made
	ListOwn                   // by its size
	ListAngle                 // by its size and angle
	ListChange                // by its two sizes, the larger first
	ListBranch                // by its form, its size and that of the main
	ListLegs                  // once a junction, by the sizes of all its legs
)

// Traits are what the program must know of a kind of fitting beside its formula, which is in package loss.
type Traits struct {
	Name    string // in JSON and settings
	Family  Family
	Word    string // in findings
	Count   string // what it counts as in schedules; "" where it is unlisted
	Listing Listing
}

// kinds are the traits of every kind. A row that is missing fails a test.
var kinds = [FittingKinds]Traits{
	Elbow:         {"elbow", BendFamily, "elbow", "elbow", ListAngle},
	Mitre:         {"mitre", BendFamily, "mitred elbow", "mitred elbow", ListAngle},
	VanedMitre:    {"vaned-mitre", BendFamily, "mitred elbow", "mitred elbow with vanes", ListAngle},
	StraightJoint: {"joint", JointFamily, "joint", "", Unlisted},
	Reducer:       {"reducer", ChangeFamily, "size change", "size change", ListChange},
	Expander:      {"expander", ChangeFamily, "size change", "size change", ListChange},
	Takeoff:       {"takeoff", LegFamily, "branch", "takeoff", ListBranch},
	Through:       {"through", LegFamily, "junction", "", Unlisted},
	Wye:           {"wye", LegFamily, "wye", "wye", ListLegs},
	Bullhead:      {"bullhead", LegFamily, "tee", "bullhead tee", ListLegs},
	Cross:         {"cross", LegFamily, "branch", "cross", ListLegs},
	Entry:         {"entry", UnitFamily, "entry", "connection to a unit", ListOwn},
	Exit:          {"exit", UnitFamily, "exit", "connection to a unit", ListOwn},
	TerminalConn:  {"terminal", OutletFamily, "connection of the terminal", "connection to a terminal", ListOwn},
	DropConn:      {"drop", BendFamily, "turn into the vertical duct", "bend to a vertical run", ListOwn},
	InlineBox:     {"box", BoxFamily, "box", "", Unlisted},
	VolumeDamper:  {"damper", DamperFamily, "damper", "", Unlisted},
	EndCap:        {"cap", CapFamily, "cap", "end cap", ListOwn},
	Offset:        {"offset", OffsetFamily, "offset", "offset", ListAngle},
}

// Traits returns what the program knows of k.
func (k FittingKind) Traits() *Traits { return &kinds[k] }

// Is reports whether k is of a family.
func (k FittingKind) Is(f Family) bool { return kinds[k].Family == f }

func (k FittingKind) String() string { return kinds[k].Name }
