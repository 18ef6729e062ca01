package plan

import (
	"math"
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

	axes  []geom.Curve      // by run, those of the assembly
	takes []duct.TakeOut    // by run, those of the assembly
	fits  [][]*duct.Fitting // by node
	start []start           // by run: how a size change at its near end begins
	short []bool            // by run: a fitting on it is reported to be short of room
	close close             // what is made as one piece of several nodes
}

// start is the size change a run begins with, and the axis with which it leaves its near node.
type start struct {
	fit  *duct.Fitting
	axis geom.Curve
}

func newModel(net *duct.Network, des *duct.Design, spec Spec) *model {
	m := &model{net: net, des: des, spec: spec, words: words.In(spec.Inches), axes: des.Assembly.Axes, takes: des.Assembly.TakeOuts}
	m.short = make([]bool, len(net.Runs))
	m.fits = make([][]*duct.Fitting, len(net.Nodes))
	for i := range des.Fittings {
		f := &des.Fittings[i]
		m.fits[f.Node] = append(m.fits[f.Node], f)
		if float64(f.ShortBy) >= geom.Same {
			for _, r := range []duct.RunID{f.Run, f.Main} {
				if r != duct.None {
					m.short[r] = true
				}
			}
		}
	}
	m.start = make([]start, len(net.Runs))
	for i := range net.Runs {
		r := &net.Runs[i]
		n := net.UpNode(r)
		if f := m.fit(n, r.ID, duct.Reducer, duct.Expander); f != nil && !f.Common.IsZero() && net.Nodes[n].Kind != duct.Head {
			m.start[i] = start{f, m.changeAxis(r.ID, f)}
		}
	}
	m.close = m.closeNodes()
	return m
}

// clear returns the size the air has in a run.
func (m *model) clear(r duct.RunID) duct.Size { return m.des.Runs[r].Size }

// named words which duct a run is: its size.
func (m *model) named(r *duct.Run) string { return m.words.Size(m.clear(r.ID)) }

// size returns the size of a run as it is drawn, with its lining.
func (m *model) size(r duct.RunID) duct.Size {
	return m.clear(r).Lined(m.net.Runs[r].Spec.Lining)
}

// common returns the size a size change begins with, as it is drawn.
func (m *model) common(f *duct.Fitting) duct.Size {
	if f.Main == duct.None {
		return f.Common
	}
	return f.Common.Lined(m.net.Runs[f.Main].Spec.Lining)
}

// cosine returns how much of a length along a run is seen in plan.
func (m *model) cosine(r duct.RunID) float64 { return cosine(m.axes[r], 1) }

// cosine returns how much of a length along c is seen in plan, none where c has no length.
func cosine(c geom.Curve, none float64) float64 {
	if n := c.Len(); n > 0 {
		return c.PlanLen() / n
	}
	return none
}

// single reports whether a run is drawn as its centreline alone.
func (m *model) single(r *duct.Run) bool {
	s := m.size(r.ID)
	return s.IsZero() || r.Spec.Single ||
		m.spec.SingleBelow > 0 && math.Max(float64(s.Width), float64(s.Height)) <= float64(m.spec.SingleBelow)+geom.Same
}

// flexible reports whether r is flexible duct seen in plan along its length.
func (m *model) flexible(r *duct.Run) bool { return r.Kind == duct.Flexible && !r.Vertical() }

// fit returns the fitting of a run at a node whose kind is among kinds.
func (m *model) fit(n duct.NodeID, r duct.RunID, kinds ...duct.FittingKind) *duct.Fitting {
	for _, f := range m.fits[n] {
		if f.Run == r && slices.Contains(kinds, f.Kind) {
			return f
		}
	}
	return nil
}

// removed reports whether all that meets at a row, or at one node, is removed work.
func (m *model) removed(n *duct.Node) bool {
	for _, id := range append([]duct.NodeID{n.ID}, m.close.rows[n.ID]...) {
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

// ground returns the inside of what stands at a node, a unit or a terminal's face; empty where there is nothing of the kind.
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
