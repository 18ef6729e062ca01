package plan

import (
	"fmt"
	"math"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// Draw returns the double-line plan of a sized network without its lettering, in metres at true elevation, and
// what cannot be made as drawn: fittings without room, ducts in one space, ducts too near to
// ceilings and limits, crossings of rated walls. des must be sized for net.
func Draw(net *duct.Network, des *duct.Design, spec Spec) ([]shape.Shape, diag.List) {
	d := newDrawing(net, des, spec)
	drawn := d.draw()
	return drawn, d.diags
}

// draw makes every piece, then passes over the whole plan: what lies under what, what
// clashes, what comes too near.
func (d *drawing) draw() []shape.Shape {
	d.level(false)
	d.standing = d.standingDucts()
	d.level(true)
	for i := range d.net.Runs {
		if r := &d.net.Runs[i]; !d.flexible(r) || d.single(r) {
			d.axisLine(r)
		}
	}
	d.flexibles()
	d.columns()
	d.singles()
	d.terminals()
	d.dampers()
	d.noRoom()
	drawn := append(d.emit(d.hide()), d.shapes...)
	d.spaces()
	d.clashes()
	d.clearances()
	return append(drawn, d.rated()...)
}

// level draws the nodes and the rigid runs seen in plan: first what stands, then what is
// removed, which may end at it.
func (d *drawing) level(removed bool) {
	for i := range d.net.Nodes {
		if n := &d.net.Nodes[i]; !d.close.taken[n.ID] && d.removedAll(n) == removed {
			d.node(n)
		}
	}
	for i := range d.net.Runs {
		r := &d.net.Runs[i]
		if (r.Status == duct.Removed) == removed && r.Kind == duct.Rigid && !r.Vertical() && !d.single(r) && !d.close.within[r.ID] {
			d.straight(r)
		}
	}
}

// removed reports whether all that meets at a node is removed work.
func (d *drawing) removed(n *duct.Node) bool {
	for _, id := range n.Runs {
		if d.net.Runs[id].Status != duct.Removed {
			return false
		}
	}
	return true
}

// node draws the pieces at one node and sets where the ducts around it begin.
func (d *drawing) node(n *duct.Node) {
	if row := d.close.rows[n.ID]; row != nil {
		d.row(row)
		return
	}
	if f := d.close.jogs[n.ID]; f != nil {
		d.jog(f)
		return
	}
	var level, vertical []*leg
	for _, l := range d.legs(n) {
		switch {
		case l.vertical():
			if !l.size.IsZero() {
				vertical = append(vertical, l)
			}
		case !d.single(l.run):
			level = append(level, l)
		}
	}
	switch {
	case len(level) == 0:
	case n.Kind == duct.Head || n.Kind == duct.Box:
		for _, l := range level {
			d.intoOutline(n, l)
		}
	case len(level) == 1 && len(vertical) > 0:
		d.ontoColumn(n, level[0], widest(vertical))
	case len(level) == 1 && n.Kind == duct.Outlet:
		d.intoOutline(n, level[0])
	case len(level) == 1:
		if g, ok := d.standsIn(level[0]); ok {
			d.intoRegion(n, level[0], g)
			break
		}
		level[0].trim = -d.pastSingles(n, level[0])
		d.closeEnd(n, level[0], "cap")
	case len(level) == 2 && len(n.Runs) == 2:
		if level[0].run.Kind != duct.Flexible || level[1].run.Kind != duct.Flexible {
			d.bend(n, level)
		}
	default:
		d.body(n, level, vertical)
	}
}

// pastSingles returns how far a duct goes on past a node where all that leaves is drawn single-line: by half the widest
// that leaves to a side, which would else begin at the corner of the cap.
func (d *drawing) pastSingles(n *duct.Node, l *leg) float64 {
	most := 0.0
	if l.run.Kind != duct.Rigid || len(n.Runs) < 3 {
		return most
	}
	for _, o := range d.legs(n) {
		turn := geom.TurnBetween(l.dir.Scale(-1), o.dir)
		if o.run != l.run && !o.vertical() && turn > straightOn {
			most = math.Max(most, o.half)
		}
	}
	return most
}

func widest(legs []*leg) *leg {
	best := legs[0]
	for _, l := range legs {
		if l.size.Area() > best.size.Area() {
			best = l
		}
	}
	return best
}

// centreOnly draws a run that is shown as its centreline alone, between the outlines at its
// ends: of the double lines it comes from or goes over into, of units and of terminals.
func (d *drawing) centreOnly(r *duct.Run, at [2][]geom.Region) {
	c := d.axes[r.ID]
	from, to := 0.0, c.PlanLen()
	for _, g := range at[0] {
		for _, s := range covered(g, c) {
			if s.From < geom.Same {
				from = math.Max(from, s.To)
			}
		}
	}
	for _, g := range at[1] {
		for _, s := range covered(g, c) {
			if s.To > c.PlanLen()-geom.Same {
				to = math.Min(to, s.From)
			}
		}
	}
	if to-from < geom.Same {
		return
	}
	p := d.newPiece(r.Key, r, r.From, r.To)
	mid := c.PlanSub(from, to)
	p.wall("single", mid)
	if size := d.size(r.ID); !size.IsZero() {
		p.thin, p.spines = true, []geom.Curve{mid}
		p.foot = stripFoot(walls(mid, float64(size.Width)/2))
	}
}

// singles draws the runs shown as their centreline alone.
func (d *drawing) singles() {
	var todo []*duct.Run
	for i := range d.net.Runs {
		if r := &d.net.Runs[i]; !r.Vertical() && d.single(r) {
			todo = append(todo, r)
		}
	}
	if len(todo) == 0 {
		return
	}
	feet := map[duct.NodeID][]geom.Region{}
	for _, p := range d.pieces {
		for _, n := range p.nodes {
			if !p.foot.Empty() {
				feet[n] = append(feet[n], p.foot)
			}
		}
	}
	around := func(n duct.NodeID) []geom.Region {
		if g := d.ground(&d.net.Nodes[n]); !g.Empty() {
			return append([]geom.Region{g}, feet[n]...)
		}
		return feet[n]
	}
	for _, r := range todo {
		ends := [2][]geom.Region{around(d.net.UpNode(r)), around(d.net.DownNode(r))}
		if r.Status == duct.Removed { // it is joined to none of what stands, but was taken off it
			c := d.axes[r.ID]
			ends[0] = append(slices.Clip(ends[0]), d.standingAt(c.A)...)
			ends[1] = append(slices.Clip(ends[1]), d.standingAt(c.B)...)
		}
		d.centreOnly(r, ends)
	}
}

// terminals makes the faces of terminals that have no block of their own: what ducts above cover of them goes under.
func (d *drawing) terminals() {
	if d.spec.Symbols.Face == nil {
		return
	}
	for i := range d.net.Terminals {
		t := &d.net.Terminals[i]
		if t.Block || len(t.Face) < 3 {
			continue
		}
		// No node: the duct that ends at the terminal lies over it like any other.
		p := &piece{key: t.Key, air: t.Air, status: t.Status, run: duct.None, spines: []geom.Curve{line(t.At, t.At)}}
		for k, g := range d.spec.Symbols.Face(t.Face, t.Air) {
			p.mark(shape.Term, fmt.Sprintf("%s/face/%d", t.Key, k+1), g)
		}
		d.pieces = append(d.pieces, p)
	}
}

// Where the volume damper of a branch sits, from the end of its takeoff to its width: where there is room, else at the least.
// Common practice.
const (
	damperAt    = 1.5
	damperLeast = 0.5
)

// dampers draws the volume damper of every branch that has one.
func (d *drawing) dampers() {
	if d.spec.Symbols.Damper == nil {
		return
	}
	for i := range d.des.Fittings {
		f := &d.des.Fittings[i]
		if !f.Damper || f.Run == duct.None {
			continue
		}
		r := &d.net.Runs[f.Run]
		if r.Vertical() || d.single(r) || d.net.UpNode(r) != f.Node {
			continue
		}
		c, w := d.axes[r.ID], float64(d.size(r.ID).Width)
		s, end := d.cut[r.ID][0]+damperAt*w, c.PlanLen()-d.cut[r.ID][1]
		switch {
		case r.Kind == duct.Flexible:
			s = d.cut[r.ID][0] - w/2 // in the middle of its rigid collar
		case s+w/2 > end:
			s += (damperLeast - damperAt) * w
		}
		if s > end {
			continue // no room to show it
		}
		p := d.newPiece(r.Key+"/damper", r, r.From, r.To)
		p.spines = []geom.Curve{c}
		p.mark(shape.Damp, r.Key+"/damper", d.spec.Symbols.Damper(c.PlanAt(s), c.PlanDir(s), w)...)
	}
}
