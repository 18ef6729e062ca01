package plan

import "twinline/layout/duct"

// look is how a kind of fitting is drawn in plan: the one of its fields that is set. What meets at a node is drawn by
// it, whatever else is known of the kind.
type look struct {
	end  func(*joints, *duct.Node, *leg)                      // where one duct ends
	bend func(*joints, *duct.Node, *leg, *leg, *duct.Fitting) // between two ducts
	leg  legLook                                              // as one leg of the body of a junction
	// Beside its run: from where that begins and ends so far to where the duct next to the fitting does.
	beside func(d *ducts, l *duct.Leg, from, to float64) (begin, end float64)
	with   string // it has no look of its own: what it is drawn with
}

// legLook is how a leg of a junction is joined to the others.
type legLook uint8

const (
	noLeg   legLook = iota
	wallLeg         // its walls run on until they meet those of the others
	cutLeg          // likewise, cut into its main: with a mouth of its form, or a collar
	ownLeg          // likewise, and the junction is a piece of its own, joined to a duct at each leg
)

// lookOf returns how a kind of fitting is drawn. A kind that is missing here fails a test and CI.
func lookOf(k duct.FittingKind) look {
	switch k {
	case duct.Elbow:
		return look{bend: (*joints).elbow}
	case duct.Mitre, duct.VanedMitre:
		return look{bend: (*joints).mitre}
	case duct.StraightJoint:
		return look{bend: (*joints).seam}
	case duct.Reducer, duct.Expander:
		return look{beside: (*ducts).sizeChange}
	case duct.Offset: // in the middle of a duct it is drawn with its two nodes
		return look{beside: (*ducts).offset}
	case duct.Takeoff, duct.Cross:
		return look{leg: cutLeg}
	case duct.Through:
		return look{leg: wallLeg}
	case duct.Wye, duct.Bullhead:
		return look{leg: ownLeg}
	case duct.Entry, duct.Exit, duct.InlineBox, duct.TerminalConn:
		return look{end: (*joints).intoOutline}
	case duct.EndCap:
		return look{end: (*joints).openEnd}
	case duct.DropConn:
		return look{with: "the column it turns into, which may be narrower than the duct"}
	case duct.VolumeDamper:
		return look{with: "the branch it belongs to: it is a part of that fitting"}
	case duct.FittingKinds:
	}
	return look{}
}
