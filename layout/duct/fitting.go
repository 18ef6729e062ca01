package duct

import "twinline/layout/geom"

// StraightOn is the turn in radians, 15 degrees, up to which a duct counts as going straight on at a junction. Common
// practice.
const StraightOn = 15 * Degree

// ChangeKind returns what a change from size p to size q beyond it, seen from the unit outwards, is to air of that
// kind: a Reducer where the air finds less room beyond it, else an Expander.
func ChangeKind(air Air, p, q Size) FittingKind {
	if !air.FromUnit() {
		p, q = q, p
	}
	if q.Area() < p.Area() {
		return Reducer
	}
	return Expander
}

// TakeoffForm is how a branch leaves its main.
type TakeoffForm uint8

// The forms of takeoff.
const (
	Plain   TakeoffForm = iota // straight tap at the angle of the branch
	Entry45                    // leading edge cut at 45 degrees
	Conical                    // round, a cone from 1.25 d or so
)

func (f TakeoffForm) String() string { return [...]string{"plain", "entry-45", "conical"}[f] }

// ElbowMake is how round elbows are made, which decides what they cost.
type ElbowMake uint8

// The makes of round elbows.
const (
	SmoothMake ElbowMake = iota // one smooth piece, bent or of many segments
	Stamped                     // die-stamped
	Gored3                      // of three gores, and so on
	Gored4
	Gored5
	Gored7
)

func (m ElbowMake) String() string {
	return [...]string{"smooth", "stamped", "3-gore", "4-gore", "5-gore", "7-gore"}[m]
}

// Fitting is one thing that happens to the air at a node, with the geometry that decides
// both its loss and its picture. It is chosen by package fitting from the network and the
// sizes, its loss added by package sizing.
type Fitting struct {
	Node NodeID
	Kind FittingKind
	Run  RunID // whose loss it is: the run it leads into (supply), or comes from (extract)
	Main RunID // the run on its other side towards the unit (a junction: the common leg); None at ends

	Common, Own Size // sizes of Main and of Run (for an elbow both the same)
	// radians the air turns, in each of the two bends of an Offset; for Reducer and Expander the total included angle
	Angle  float64
	Radius Length // elbow: of the centreline; zero on a mitre
	// reducer, expander, offset: along the axis; takeoff: of the cone or the 45 degree entry along the branch
	Length Length
	// reducer, expander, offset: of the axis beyond it to the left, seen outward; of a size change from the side kept
	// straight
	Offset   Length
	OffsetUp Length // likewise, upward
	Form     TakeoffForm
	// takeoff, cross: what the branch measures more than its main, square to both; 0 where it fits into the wall
	Over    Length
	Damper  bool   // takeoff: a volume damper just after it
	ShortBy Length // what the fitting lacks to be made as the settings ask; 0 if it fits
	At      geom.Vec

	// Loss, filled in by sizing.
	C float64
	// "own", "upstream", "downstream", "common": whose velocity pressure C is on; "fitting": that of Own, where the run
	// has another size
	Reference string
	Pv        Pressure // that velocity pressure
	Loss      Pressure
	Source    string // formula and publication
	// with Damper: coefficient of the open damper on the own velocity pressure; C and Loss hold its loss too
	DamperC float64
}

// InDuct reports whether an Offset is in the middle of a duct, rather than before its end.
func (f *Fitting) InDuct() bool { return f.Kind == Offset && f.Main != None }

// Word is what findings call f.
func (f *Fitting) Word() string {
	word := f.Kind.Traits().Word
	if f.Kind == Offset && !f.InDuct() {
		word += " back to what the duct leads to"
	}
	return word
}

// FittingRules are the office's choices for how fittings are made.
type FittingRules struct {
	ElbowRound     float64 // centreline radius over diameter
	ElbowRect      float64 // centreline radius over width in the plane of the bend
	ElbowLeast     float64 // the smallest such ratio still drawn smooth; tighter is a mitre
	ElbowMake      ElbowMake
	MitreVanes     bool    // mitred rectangular elbows have turning vanes
	MitreAlways    bool    // rectangular elbows are mitred, vaned
	ReducerAngle   float64 // total included angle of size changes, radians
	ReducerLeast   Length  // shortest size change
	TakeoffRound   TakeoffForm
	TakeoffRect    TakeoffForm
	BranchDampers  bool // a volume damper at every takeoff
	FlexibleEnd    Length
	FlexibleRadius float64 // least centreline radius of a flexible over its diameter
	FlexibleMost   Length  // longest flexible
}
