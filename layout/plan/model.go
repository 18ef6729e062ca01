package plan

import (
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/words"
)

// model is what a plan is drawn from: the network, its sizes and how its nodes are made. It is asked, never written to.
type model struct {
	net   *duct.Network
	des   *duct.Design
	spec  Spec
	words words.Words

	*duct.Assembly
	legs   [][2]*duct.Leg // by run and end
	short  []bool         // by run: a fitting on it is reported to be short of room
	within []bool         // by run: it lies wholly within one piece
}

func newModel(net *duct.Network, des *duct.Design, spec Spec) *model {
	n := len(net.Runs)
	m := &model{net: net, des: des, spec: spec, words: words.In(spec.Inches), Assembly: des.Assembly,
		legs: make([][2]*duct.Leg, n), short: make([]bool, n), within: make([]bool, n)}
	for i := range m.Nodes {
		for k := range m.Nodes[i].Legs {
			l := &m.Nodes[i].Legs[k]
			m.legs[l.Run.ID][l.End] = l
		}
		if o := m.offsetAt(duct.NodeID(i)); o != nil {
			m.within[o.Short] = true
		}
	}
	for i := range m.Fittings {
		for _, r := range []duct.RunID{m.Fittings[i].Run, m.Fittings[i].Main} {
			if r != duct.None && float64(m.Fittings[i].ShortBy) >= geom.Same {
				m.short[r] = true
			}
		}
	}
	for i := range m.Rows {
		if row := &m.Rows[i]; m.rowAt(row.Nodes[0]) != nil {
			for _, r := range row.Runs[1 : len(row.Runs)-1] {
				m.within[r] = true
			}
		}
	}
	return m
}

// rowAt returns the row of junctions a node is drawn with, nil where it is drawn alone: a row that is not seen in plan
// and drawn double-line from end to end is drawn node by node.
func (m *model) rowAt(n duct.NodeID) *duct.Row {
	row := m.Nodes[n].Row
	if row == nil || slices.ContainsFunc(row.Runs, func(r duct.RunID) bool {
		return m.net.Runs[r].Vertical() || m.single(&m.net.Runs[r])
	}) {
		return nil
	}
	return row
}

// offsetAt returns the offset in the middle of a duct a node is drawn with, nil where it is drawn alone.
func (m *model) offsetAt(n duct.NodeID) *duct.DuctOffset {
	if o := m.Nodes[n].Offset; o != nil && !m.single(&m.net.Runs[o.Behind]) {
		return o
	}
	return nil
}

// taken reports whether a node is drawn with another one that is nearer to the unit.
func (m *model) taken(n duct.NodeID) bool {
	row, o := m.rowAt(n), m.offsetAt(n)
	return row != nil && row.Nodes[0] != n || o != nil && o.Fitting.Node != n
}

// change returns the leg of a run at its near end where it begins with a change of size, else nil.
func (m *model) change(r duct.RunID) *duct.Leg {
	if l := m.legs[r][near]; l != nil && l.Change != nil && !l.Change.Common.IsZero() {
		return l
	}
	return nil
}

// clear returns the size the air has in a run.
func (m *model) clear(r duct.RunID) duct.Size { return m.des.Runs[r].Size }

// named words which duct a run is: its size.
func (m *model) named(r *duct.Run) string { return m.words.Size(m.clear(r.ID)) }

// size returns the size of a run as it is drawn, with its lining.
func (m *model) size(r duct.RunID) duct.Size {
	return m.clear(r).Lined(m.net.Runs[r].Spec.Lining)
}

// cosine returns how much of a length along a run is seen in plan.
func (m *model) cosine(r duct.RunID) float64 { return cosine(m.Axes[r], 1) }

// cosine returns how much of a length along c is seen in plan, none where c has no length.
func cosine(c geom.Curve, none float64) float64 {
	if n := c.Len(); n > 0 {
		return c.PlanLen() / n
	}
	return none
}

// single reports whether a run is drawn as its centreline alone.
func (m *model) single(r *duct.Run) bool {
	return r.SingleLine(m.size(r.ID), m.spec.SingleBelow)
}

// flexible reports whether r is flexible duct seen in plan along its length.
func (m *model) flexible(r *duct.Run) bool { return r.Kind == duct.Flexible && !r.Vertical() }

// removed reports whether all that meets at a row, or at one node, is removed work.
func (m *model) removed(n *duct.Node) bool {
	nodes := []duct.NodeID{n.ID}
	if row := m.rowAt(n.ID); row != nil {
		nodes = row.Nodes
	}
	for _, id := range nodes {
		for _, r := range m.net.Nodes[id].Runs {
			if m.net.Runs[r].Status != duct.Removed {
				return false
			}
		}
	}
	return true
}

// hasLevel reports whether a run that is no vertical one meets at a node.
func (m *model) hasLevel(n duct.NodeID) bool {
	return slices.ContainsFunc(m.net.Nodes[n].Runs, func(r duct.RunID) bool { return !m.net.Runs[r].Vertical() })
}

// ground returns the inside of what stands at a node, a unit or a terminal's face; empty where there is nothing of the
// kind.
func (m *model) ground(n *duct.Node) geom.Region {
	var outline []geom.Vec
	switch {
	case n.Unit != duct.None:
		u := &m.net.Units[n.Unit]
		if u.Circle > 0 {
			return geom.CircleRegion(u.At, float64(u.Circle))
		}
		outline = u.Outline
	case n.Terminal != duct.None:
		outline = m.net.Terminals[n.Terminal].Face
	}
	if len(outline) < 3 {
		return geom.Region{}
	}
	return geom.PolygonRegion(outline)
}
