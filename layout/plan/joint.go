package plan

import (
	"maps"
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// joints makes what stands at nodes, and with it where the ducts between them begin and end.
type joints struct {
	stage
	ends
	standing *ground // what removed work may end at
}

// ends is where nodes leave off: how much of a run they take in plan, and what flexible runs may end on.
type ends struct {
	cut  map[runEnd]float64
	land map[runEnd]landings
}

// with adds what other nodes leave.
func (e ends) with(o ends) ends {
	out := ends{maps.Clone(e.cut), maps.Clone(e.land)}
	maps.Copy(out.cut, o.cut)
	maps.Copy(out.land, o.land)
	return out
}

// jointsOf makes the pieces at the nodes of what stands, or of what is removed, which may end at what stands.
func jointsOf(m *model, removed bool, standing *ground) *joints {
	j := &joints{stage: stage{model: m}, ends: ends{map[runEnd]float64{}, map[runEnd]landings{}}, standing: standing}
	for i := range m.net.Nodes {
		if n := &m.net.Nodes[i]; !m.taken(n.ID) && m.removed(n) == removed {
			j.node(n)
		}
	}
	return j
}

// place sets where the straight duct of a leg's run begins.
func (j *joints) place(l *leg) { j.cut[runEnd{l.Run.ID, l.End}] = l.takeOut }

// node draws the pieces at one node and sets where the ducts around it begin.
func (j *joints) node(n *duct.Node) {
	if row := j.rowAt(n.ID); row != nil {
		j.row(row)
		return
	}
	if o := j.offsetAt(n.ID); o != nil {
		j.offset(o)
		return
	}
	var level, vertical []*leg
	for _, l := range j.legsAt(n) {
		switch {
		case l.vertical():
			if !l.Outside.IsZero() {
				vertical = append(vertical, l)
			}
		case !j.single(l.Run):
			level = append(level, l)
		}
	}
	switch {
	case len(level) == 0:
	case n.Unit != duct.None || len(j.Nodes[n.ID].Legs) == 1:
		end := lookOf(j.endAt(n.ID)).end
		for _, l := range level {
			end(j, n, l)
		}
	case len(level) == 1 && len(vertical) > 0:
		j.ontoColumn(n, level[0], widest(vertical))
	case len(level) == 1 && n.Kind == duct.Outlet:
		j.intoOutline(n, level[0])
	case len(level) == 1: // what else meets here is drawn single-line
		j.openEnd(n, level[0])
	case len(level) == 2 && len(n.Runs) == 2:
		if level[0].Run.Kind != duct.Flexible || level[1].Run.Kind != duct.Flexible {
			j.bend(n, level)
		}
	default:
		j.body(n, level, vertical)
	}
}

// endAt returns the kind of the fitting ducts end with at a node, beside what lies along them.
func (j *joints) endAt(n duct.NodeID) duct.FittingKind {
	fits := j.Nodes[n].Fittings
	return fits[slices.IndexFunc(fits, func(f duct.Fitting) bool { return lookOf(f.Kind).beside == nil })].Kind
}

// pastSingles returns how far a duct goes on past a node where all that leaves is drawn single-line: by half the widest
// that leaves to a side, which would else begin at the corner of the cap.
func (j *joints) pastSingles(n *duct.Node, l *leg) float64 {
	most := 0.0
	if l.Run.Kind != duct.Rigid || len(n.Runs) < 3 {
		return most
	}
	for _, o := range j.legsAt(n) {
		turn := geom.TurnBetween(l.dir.Scale(-1), o.dir)
		if o.Run != l.Run && !o.vertical() && turn > duct.StraightOn {
			most = math.Max(most, o.half)
		}
	}
	return most
}

func widest(legs []*leg) *leg {
	best := legs[0]
	for _, l := range legs {
		if l.Outside.Area() > best.Outside.Area() {
			best = l
		}
	}
	return best
}
