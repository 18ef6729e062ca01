package mesh

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// build is how the body of a kind of fitting is made: the one of its fields that is set.
type build struct {
	bend func(turning) []ring // between two legs
	as   as                   // along its run, or as one leg of a junction
	none string               // it has no body of its own: why
}

// as is what the body of a fitting is, where it is not between two legs.
type as uint8

const (
	noBody   as = iota
	junction    // a leg of a junction: of its bar, or from the wall of it
	taper       // on its run, from one size or axis to another
	unitNeck    // at the near end of its run, from the neck of a unit
	lastNeck    // at the far end of its run, to the neck of a terminal
)

// buildOf returns how the body of a kind of fitting is made. A kind that is missing here fails a test and CI.
func buildOf(k duct.FittingKind) build {
	switch k {
	case duct.Elbow, duct.DropConn:
		return build{bend: smoothBend}
	case duct.Mitre, duct.VanedMitre, duct.StraightJoint:
		return build{bend: sharpBend}
	case duct.Takeoff, duct.Through, duct.Wye, duct.Bullhead, duct.Cross:
		return build{as: junction}
	case duct.Reducer, duct.Expander, duct.Offset:
		return build{as: taper}
	case duct.Entry, duct.Exit:
		return build{as: unitNeck}
	case duct.TerminalConn:
		return build{as: lastNeck}
	case duct.InlineBox:
		return build{none: "a box has no body, its necks are changes of size"}
	case duct.VolumeDamper:
		return build{none: "a damper is within its duct"}
	case duct.EndCap:
		return build{none: "every body is closed at its ends"}
	case duct.FittingKinds:
	}
	return build{}
}

// is reports whether f has a length and is built as a.
func is(f *duct.Fitting, a as) bool { return made(f) && buildOf(f.Kind).as == a }

// turning is a turn from one leg into another, to be made as a body.
type turning struct {
	f      frame    // where it begins, looking into the node
	to     geom.Vec // unit, the side it turns to, square to f.along
	angle  float64  // radians
	way    float64  // from f to the corner
	size   duct.Size
	smooth bool // it has a radius
}

// smoothBend returns the rings of a bend, smooth if it has a radius.
func smoothBend(t turning) []ring {
	if !t.smooth {
		return sharpBend(t)
	}
	return bend(t.f, t.to, t.angle, t.way/math.Tan(t.angle/2), t.size)
}

// sharpBend returns the rings of a mitre, none where the duct turns back on itself.
func sharpBend(t turning) []ring {
	if math.Pi-t.angle < geom.Straight {
		return nil
	}
	return mitre(t.f, t.f.at.Add(t.f.along.Scale(t.way)), t.to, t.angle, t.size)
}
