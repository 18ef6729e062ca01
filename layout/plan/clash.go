package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// leastClash is the overlap in metres from which two ducts are said to clash: less than
// anybody builds to.
const leastClash = 0.001

// hit is where two runs, or a run and an outline, are closest: how far they are short there.
type hit struct {
	short float64
	at    geom.Vec
}

// pair is two runs, the lower id first.
type pair struct{ a, b duct.RunID }

// inOrder returns the keys of m by rising ids.
func inOrder(m map[pair]hit) []pair {
	keys := make([]pair, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(x, y pair) int {
		return cmp.Or(cmp.Compare(x.a, y.a), cmp.Compare(x.b, y.b))
	})
	return keys
}

// leastTogether is the length in metres from which two ducts that leave one place are said to lie on each other.
const leastTogether = 0.005

// runTogether returns for how long the walls of two ducts that leave one place lie within each other, where they do so
// at one level.
func runTogether(p, q *piece) (hit, bool) {
	if !p.duct || !q.duct {
		return hit{}, false
	}
	best := hit{}
	for _, x := range [2][2]*piece{{p, q}, {q, p}} {
		for _, e := range x[0].foot.Edges {
			for _, s := range x[1].foot.Inside(e) {
				m := e.PlanAt((s.From + s.To) / 2)
				lp, hp := p.span(m)
				lq, hq := q.span(m)
				if s.To-s.From > best.short && math.Min(hp, hq)-math.Max(lp, lq) >= leastClash {
					best = hit{s.To - s.From, m.At((math.Max(lp, lq) + math.Min(hp, hq)) / 2)}
				}
			}
		}
	}
	return best, best.short >= leastTogether
}

// clashes reports the ducts that take the same space, each pair of runs once, at the worst place.
func (c *checks) clashes(solids []solid) {
	worst, branches := map[pair]hit{}, map[pair]hit{}
	keep := func(in map[pair]hit, p, q solid, h hit) {
		k := pair{min(p.run, q.run), max(p.run, q.run)}
		if k.a != k.b && h.short > in[k].short {
			in[k] = h
		}
	}
	boxes := make([]geom.Box, len(solids))
	for i, p := range solids {
		boxes[i] = p.ground.Box
	}
	pairs(boxes, func(int) bool { return true }, func(i, j int) {
		p, q := solids[i], solids[j]
		switch {
		case p.status == duct.Removed || q.status == duct.Removed:
		case p.joined(q.piece):
			if long, ok := runTogether(p.piece, q.piece); ok {
				keep(branches, p, q, long)
			}
		default:
			if h, ok := meetInSpace(p, q); ok && h.short >= leastClash && !c.crowded(p, q) {
				keep(worst, p, q, h)
			}
		}
	})
	for _, k := range inOrder(branches) {
		a, b, h := &c.net.Runs[k.a], &c.net.Runs[k.b], branches[k]
		c.report(diag.NoRoom, h.at, handle(a),
			fmt.Sprintf("duct %s and duct %s leave one place and lie on each other for %s", c.named(a), c.named(b),
				c.words.Rounded(duct.Length(h.short))),
			"widen the angle between them, or let one leave further along the main")
	}
	for _, k := range inOrder(worst) {
		a, b, h := &c.net.Runs[k.a], &c.net.Runs[k.b], worst[k]
		c.report(diag.Clash, h.at, handle(a),
			fmt.Sprintf("%s duct %s and %s duct %s overlap by %s", a.Air, c.named(a), b.Air, c.named(b),
				c.words.Rounded(duct.Length(h.short))),
			"raise or lower one of them, or move it aside")
	}
}

// crowded reports whether p and q are joined by runs that are all fittings, themselves short of room or shorter than
// the duct is wide, where that is reported of one of them or of p or q: what they overlap by is that.
func (c *checks) crowded(p, q solid) bool {
	reported := c.short[p.run] || c.short[q.run]
	seen := map[duct.NodeID]bool{}
	todo := slices.Clone(p.nodes)
	for len(todo) > 0 {
		n := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if seen[n] {
			continue
		}
		seen[n] = true
		for _, id := range c.net.Nodes[n].Runs {
			long := c.Axes[id].Len()
			if (c.short[id] || long < float64(c.size(id).Width)) && float64(c.TakeOuts[id].Sum()) >= long-geom.Same {
				reported = reported || c.short[id]
				todo = append(todo, c.net.Runs[id].From, c.net.Runs[id].To)
			}
		}
	}
	return reported && slices.ContainsFunc(q.nodes, func(m duct.NodeID) bool { return seen[m] })
}

// meetInSpace returns by how much two pieces overlap where they overlap in plan, at the worst place: in height, or
// sideways where that is less. It returns false where they do not overlap in plan.
func meetInSpace(p, q solid) (hit, bool) {
	places := common(p, q)
	if len(places) == 0 {
		return hit{}, false
	}
	best := hit{short: math.Inf(-1)}
	for _, m := range places {
		lp, hp := p.inside(m)
		lq, hq := q.inside(m)
		low, high := math.Max(lp, lq), math.Min(hp, hq)
		if high-low > best.short {
			best = hit{high - low, m.At((low + high) / 2)}
		}
	}
	if side := sideways(p, q, places); side < best.short {
		best.short = side
	}
	if p.round && q.round {
		// Of two round ducts the distance of the centrelines is exact.
		a, b := p.spines[0], q.spines[0]
		x, y := closest(a, b)
		best = hit{p.half + p.shell + q.half + q.shell - x.Dist(y), x.Lerp(y, 0.5)}
	}
	return best, true
}

// sideways returns how far p and q reach into each other in plan, at the deepest of places.
func sideways(p, q solid, places []geom.Vec) float64 {
	deepest := 0.0
	for _, m := range places {
		for _, g := range [2]geom.Region{p.ground, q.ground} {
			if d := g.EdgeDist(m); d > deepest {
				deepest = d
			}
		}
	}
	return deepest
}

// inside returns the heights of the underside and the top of a piece at a place; those of a
// round duct come together towards its sides.
func (p *piece) inside(m geom.Vec) (low, high float64) {
	low, high = p.span(m)
	if !p.round || p.column {
		return low, high
	}
	_, off := p.spines[0].Nearest(m)
	r := p.half + p.shell
	h := math.Sqrt(math.Max(0, r*r-off*off))
	z := (low + high) / 2
	return z - h, z + h
}

// common returns places that lie in what both take in plan: where edges and centrelines of the
// one enter, cross and leave the other. None if the footprints only touch.
func common(p, q solid) []geom.Vec {
	var out []geom.Vec
	into := func(g geom.Region, c geom.Curve) {
		for _, s := range g.Inside(c) {
			out = append(out, c.PlanAt(s.From), c.PlanAt((s.From+s.To)/2), c.PlanAt(s.To))
		}
	}
	for _, pair := range [2][2]solid{{p, q}, {q, p}} {
		for _, e := range pair[0].ground.Edges {
			into(pair[1].ground, e)
		}
		for _, s := range pair[0].spines {
			into(pair[1].ground, s)
		}
	}
	for _, a := range p.spines {
		for _, b := range q.spines {
			for _, m := range geom.Meet(a, b) {
				if m.A >= 0 && m.A <= a.PlanLen() && m.B >= 0 && m.B <= b.PlanLen() {
					out = append(out, m.P)
				}
			}
		}
	}
	return out
}

// closest returns the points of two straight lines in space that lie nearest to each other.
func closest(a, b geom.Curve) (x, y geom.Vec) {
	u, v, w := a.B.Sub(a.A), b.B.Sub(b.A), a.A.Sub(b.A)
	uu, uv, vv := u.Dot(u), u.Dot(v), v.Dot(v)
	clamp := func(t float64) float64 { return math.Max(0, math.Min(1, t)) }
	s := 0.0
	if k := uu*vv - uv*uv; k > geom.Parallel*uu*vv {
		s = clamp((uv*v.Dot(w) - vv*u.Dot(w)) / k)
	}
	t := 0.0
	if vv > 0 {
		t = clamp((uv*s + v.Dot(w)) / vv)
	}
	if uu > 0 {
		s = clamp((uv*t - u.Dot(w)) / uu)
	}
	return a.A.Add(u.Scale(s)), b.A.Add(v.Scale(t))
}
