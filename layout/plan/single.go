package plan

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// centreOnly draws a run that is shown as its centreline alone, between the outlines at its
// ends: of the double lines it comes from or goes over into, of units and of terminals.
func (s *stage) centreOnly(r *duct.Run, at [2][]geom.Region) {
	c := s.Axes[r.ID]
	from, to := 0.0, c.PlanLen()
	for _, g := range at[0] {
		for _, x := range covered(g, c) {
			if x.From < geom.Same {
				from = math.Max(from, x.To)
			}
		}
	}
	for _, g := range at[1] {
		for _, x := range covered(g, c) {
			if x.To > c.PlanLen()-geom.Same {
				to = math.Min(to, x.From)
			}
		}
	}
	if to-from < geom.Same {
		return
	}
	p := s.newPiece(r.Key, r, r.From, r.To)
	mid := c.PlanSub(from, to)
	p.wall("single", mid)
	if size := s.size(r.ID); !size.IsZero() {
		p.thin, p.spines = true, []geom.Curve{mid}
		p.foot = stripFoot(walls(mid, float64(size.Width)/2))
	}
}

// singles draws the runs shown as their centreline alone.
func singles(m *model, pieces []*piece, standing *ground) made {
	s := &stage{model: m}
	at := byNode(pieces)
	around := func(n duct.NodeID) []geom.Region {
		var out []geom.Region
		if g := m.ground(&m.net.Nodes[n]); !g.Empty() {
			out = append(out, g)
		}
		for _, p := range at[n] {
			if !p.foot.Empty() {
				out = append(out, p.foot)
			}
		}
		return out
	}
	for i := range m.net.Runs {
		r := &m.net.Runs[i]
		if r.Vertical() || !m.single(r) {
			continue
		}
		ends := [2][]geom.Region{around(m.net.UpNode(r)), around(m.net.DownNode(r))}
		if c := m.Axes[r.ID]; r.Status == duct.Removed { // it is joined to none of what stands, but was taken off it
			ends[near] = append(ends[near], standing.at(c.A)...)
			ends[far] = append(ends[far], standing.at(c.B)...)
		}
		s.centreOnly(r, ends)
	}
	return s.made
}
