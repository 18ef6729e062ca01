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

// The scallops of flexible walls. House style.
const (
	scallopPitch = 0.4  // to the diameter
	scallopLeast = 0.05 // metres
	scallopMost  = 0.12
	scallopBulge = 0.45
	scallopCount = 4096 // of one wall at most, whatever its length
)

// roomShare is how much of a piece of a flexible centreline the bend at one end of it may take.
const roomShare = 0.5

// flexes makes flexible ducts, and their centrelines with them.
type flexes struct {
	ducts
	lines []shape.Shape
}

// flexibles draws every chain of flexible runs as one smooth duct.
func flexibles(m *model, e ends) *flexes {
	d := &flexes{ducts: ducts{stage{model: m}, e}}
	for i := range m.net.Runs {
		r := &m.net.Runs[i]
		if !m.flexible(r) || m.single(r) || m.flexBeyond(r, m.net.UpNode(r), false) != nil {
			continue
		}
		chain := []*duct.Run{r}
		for next := r; next != nil && len(chain) <= len(m.net.Runs); {
			if next = m.flexBeyond(next, m.net.DownNode(next), true); next != nil {
				chain = append(chain, next)
			}
		}
		d.flexChain(chain)
	}
	return d
}

// flexBeyond returns the flexible run r goes on in at a node, outwards or back towards the unit, with nothing else
// there.
func (m *model) flexBeyond(r *duct.Run, at duct.NodeID, outward bool) *duct.Run {
	n := &m.net.Nodes[at]
	if len(n.Runs) != 2 || n.Kind != duct.Bend {
		return nil
	}
	o := &m.net.Runs[n.Runs[0]]
	if o.ID == r.ID {
		o = &m.net.Runs[n.Runs[1]]
	}
	if !m.flexible(o) || m.single(o) || (m.net.UpNode(o) == at) != outward {
		return nil
	}
	return o
}

// flexChain draws one flexible duct over its runs from the unit outwards.
func (d *flexes) flexChain(runs []*duct.Run) {
	first, last := runs[0], runs[len(runs)-1]
	dia := float64(d.size(first.ID).Width)
	least := float64(d.spec.Rules.FlexibleRadius) * dia
	var mid []geom.Curve
	var radii []float64 // of the bend before each piece
	var necks [2]bool   // at which end a transition joins it to a neck
	for i, r := range runs {
		from, to := 0.0, d.Axes[r.ID].PlanLen()
		if i == 0 {
			from = d.cut[runEnd{r.ID, near}]
			if l := d.change(r.ID); l != nil {
				from, to = lookOf(l.Change.Kind).beside(&d.ducts, l, from, to)
			}
		}
		if i == len(runs)-1 {
			to -= d.cut[runEnd{r.ID, far}]
		}
		if to-from > geom.Same {
			mid = append(mid, d.Axes[r.ID].PlanSub(from, to))
			radii = append(radii, d.flexRadius(r, math.Max(least, dia/2)))
		}
	}
	if len(mid) > 0 {
		mid, necks = d.squareEnds(smooth(mid, radii), first, last, least)
	}
	if len(mid) == 0 || dia <= 0 {
		d.report(diag.NoRoom, d.Axes[first.ID].A, handle(first),
			"there is no room for this flexible duct between what it connects",
			"move the terminal away from the duct, or connect it with rigid duct")
		for _, r := range runs {
			d.lines = append(d.lines, d.axisLine(r, d.detours)...)
		}
		return
	}
	d.flexAxis(runs, mid)
	d.tooTight(first, mid, least)

	p := d.newPiece(first.Key.Part("flex"), first, d.net.UpNode(first), d.net.DownNode(last))
	for _, r := range runs {
		p.nodes = append(p.nodes, d.net.UpNode(r))
	}
	p.spines = mid
	p.foot = flexFoot(mid, dia/2)
	p.paths = append(p.paths, path{scallops(mid, dia, 1), shape.Flex, "wall/l"},
		path{scallops(mid, dia, -1), shape.Flex, "wall/r"})
	a, b := mid[0], mid[len(mid)-1]
	if !necks[0] {
		p.joint("in", crossLine(a, 0, dia/2))
	}
	if !necks[1] && !d.endsOnColumn(last) {
		p.joint("out", crossLine(b, b.PlanLen(), dia/2))
	}
}

// flexAxis draws the centreline of a flexible duct as one smooth line, with the facts of its first run and the length
// of all its runs.
func (d *flexes) flexAxis(runs []*duct.Run, mid []geom.Curve) {
	if !d.spec.AxisLines {
		return
	}
	var length duct.Length
	for _, r := range runs {
		length += d.des.Runs[r.ID].Length
	}
	r, last := runs[0], runs[len(runs)-1]
	d.lines = append(d.lines, shape.Shape{Key: r.Key.Part("axis"), Part: shape.Axis, Air: r.Air, Status: r.Status,
		Facts: d.facts(r, last, length), Geom: shape.Polyline{Path: chainPath(mid)}})
}

// crossLine returns the line across a duct on axis c at plan length s.
func crossLine(c geom.Curve, s, half float64) geom.Curve {
	u := c.PlanDir(s).Left().Scale(half)
	q := c.PlanAt(s)
	return line(q.Sub(u), q.Add(u))
}

// flexFoot returns the footprint around a chain of curves at half a width from it. Small gaps are closed, at bends
// tighter than that.
func flexFoot(mid []geom.Curve, half float64) geom.Region {
	var edges, out []geom.Curve
	for _, c := range mid {
		edges = append(edges, c.Offset(-half))
	}
	for _, c := range slices.Backward(mid) {
		edges = append(edges, c.Offset(half).Reverse())
	}
	for i, c := range edges {
		out = appendLong(out, c)
		out = appendLong(out, line(c.B, edges[(i+1)%len(edges)].A))
	}
	return geom.RegionOf(out)
}

// endsOnColumn reports whether a run goes over into a vertical one at its far end.
func (m *model) endsOnColumn(r *duct.Run) bool {
	for _, id := range m.net.Nodes[m.net.DownNode(r)].Runs {
		if m.net.Runs[id].Vertical() {
			return true
		}
	}
	return false
}

// flexRadius returns the radius of the bend at the near end of a flexible run.
func (m *model) flexRadius(r *duct.Run, least float64) float64 {
	if f := m.legs[r.ID][near].Fitting; f != nil && f.Kind == duct.Elbow && f.Radius > 0 {
		return float64(f.Radius)
	}
	return least
}

// smooth rounds the corners of a chain of curves, that before piece i with radii[i], smaller
// where the pieces are too short for it.
func smooth(chain []geom.Curve, radii []float64) []geom.Curve {
	out := []geom.Curve{chain[0]}
	for i, next := range chain[1:] {
		prev := out[len(out)-1]
		lp, ln := prev.PlanLen(), next.PlanLen()
		u, v := prev.PlanDir(lp), next.PlanDir(0)
		turn := geom.TurnBetween(u, v)
		if turn < geom.Straight {
			out = append(out, next)
			continue
		}
		last := len(chain) - 1
		room := math.Min(math.Min(lp, chain[i].PlanLen()*share(i, last)), ln*share(i+1, last))
		t := math.Min(radii[i+1]*math.Tan(turn/2), room)
		a, b := prev.PlanSub(0, lp-t), next.PlanSub(t, ln)
		out[len(out)-1] = a
		if a.Straight() && b.Straight() {
			s := math.Atan2(u.X*v.Y-u.Y*v.X, u.Dot(v))
			out = append(out, geom.Curve{A: a.B, B: b.A, Bulge: math.Tan(s / 4)})
		} else {
			out = append(out, biarc(a.B, a.PlanDir(lp-t), b.A, b.PlanDir(0))...)
		}
		out = append(out, b)
	}
	kept := out[:0]
	for _, c := range out {
		if c.PlanLen() > geom.Same {
			kept = append(kept, c)
		}
	}
	return kept
}

// share returns how much of piece i of a chain one bend may take: those at the ends have
// but one bend.
func share(i, last int) float64 {
	if i == 0 || i == last {
		return 2 * roomShare
	}
	return roomShare
}

// tooTight reports a flexible duct that bends sharper than it should.
func (d *flexes) tooTight(r *duct.Run, mid []geom.Curve, least float64) {
	tight, where := math.Inf(1), geom.Vec{}
	for _, c := range mid {
		if rad := c.Radius(); rad > 0 && rad < tight {
			tight, where = rad, c.Point(0.5)
		}
	}
	if tight < least-geom.Same {
		d.report(diag.TightFitting, where, handle(r),
			fmt.Sprintf("the flexible duct bends to a radius of %s here, less than %s",
				d.words.Rounded(duct.Length(tight)), d.words.Rounded(duct.Length(least))),
			"give the bend more room, or turn with a rigid elbow")
	}
}

// scallops returns the wavy wall of a flexible duct: a row of small arcs that swell
// outwards, beside the centreline, on its left for side 1 and on its right for -1.
func scallops(centre []geom.Curve, dia, side float64) []geom.Curve {
	total := 0.0
	for _, c := range centre {
		total += c.PlanLen()
	}
	pitch := math.Max(scallopLeast, math.Min(scallopMost, scallopPitch*dia))
	n := max(1, int(math.Round(math.Min(total/pitch, scallopCount))))
	pts := make([]geom.Vec, 0, n+1)
	i, before := 0, 0.0
	for k := range n + 1 {
		s := total * float64(k) / float64(n)
		for i < len(centre)-1 && s > before+centre[i].PlanLen() {
			before += centre[i].PlanLen()
			i++
		}
		c := centre[i]
		q := c.PlanAt(s - before)
		pts = append(pts, q.Add(c.PlanDir(s-before).Left().Scale(side*dia/2)))
	}
	var out []geom.Curve
	for k := range n {
		out = appendLong(out, geom.Curve{A: pts[k], B: pts[k+1], Bulge: -side * scallopBulge})
	}
	return out
}
