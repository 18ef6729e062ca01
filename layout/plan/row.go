package plan

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// rowNode is one node of a row: its legs counter-clockwise, and the corners that follow them.
type rowNode struct {
	legs    []*leg
	corners []corner
	at      float64 // plan length along the main from the first node
	in, on  *leg    // of the main
}

// row draws the junctions of a main that stand within one another as one piece: the wall of the main goes on from each
// opening to the next one of its side.
func (j *joints) row(row *duct.Row) {
	nodes, first, last := j.rowNodes(row)
	in, on := nodes[0].in, nodes[len(nodes)-1].on
	p := j.newPiece(j.net.Nodes[row.Nodes[0]].Key.Part("body"), in.Run, row.Nodes...)
	p.half = float64(in.Outside.Height) / 2
	for i := range nodes {
		for _, l := range nodes[i].legs {
			switch {
			case l == in:
				l.takeOut = first
			case l == on:
				l.takeOut = last
			case j.within[l.Run.ID]:
				if l.End == 0 {
					p.spines = append(p.spines, j.Axes[l.Run.ID])
				}
				continue
			}
			p.spines = append(p.spines, l.axis.PlanSub(0, math.Max(l.takeOut, geom.Same)))
			j.place(l)
		}
	}
	p.foot = geom.RegionOf(j.rowWalls(p, nodes))
}

// rowNodes works out the nodes of a row, and how much of the mains that lead to it and away from it it takes, in plan.
func (j *joints) rowNodes(row *duct.Row) (nodes []rowNode, first, last float64) {
	long := 0.0
	for _, r := range row.Runs {
		long += j.Axes[r].PlanLen()
	}
	at := 0.0
	for _, id := range row.Nodes {
		n := &j.net.Nodes[id]
		f := rowNode{at: at}
		var vertical []*leg
		for _, l := range j.legsAt(n) {
			switch {
			case l.vertical():
				vertical = append(vertical, l)
			case !j.single(l.Run):
				f.legs = append(f.legs, l)
			}
		}
		for _, l := range f.legs {
			if j.within[l.Run.ID] { // walls of the main meet those of branches beyond the next node as well
				at += l.axis.PlanLen() * float64(1-l.End)
				l.axis.B = l.axis.A.Add(l.axis.B.Sub(l.axis.A).Scale(long / l.axis.PlanLen()))
			}
			switch {
			case l.End == 1:
				f.in = l
			case l.Role == duct.StraightLeg:
				f.on = l
			}
		}
		f.corners = cornersOf(n, f.legs)
		for _, l := range f.legs {
			l.takeOut += collarOf(l)
		}
		for _, v := range vertical {
			if along, _ := extents(v.Run, v.Outside, f.on.dir); !v.Outside.IsZero() {
				f.in.takeOut, f.on.takeOut = math.Max(f.in.takeOut, along), math.Max(f.on.takeOut, along)
			}
		}
		nodes = append(nodes, f)
	}
	for _, f := range nodes {
		first = math.Max(first, f.in.takeOut-f.at)
		last = math.Max(last, f.on.takeOut-(at-f.at))
	}
	return nodes, first, last
}

// rowWalls adds the walls and joints of a row to p and returns its outline, counter-clockwise from the mouth of its
// main.
func (j *joints) rowWalls(p *piece, nodes []rowNode) []geom.Curve {
	w := rowWalk{m: j.model, p: p, nodes: nodes, leg: slices.Index(nodes[0].legs, nodes[0].in)}
	start := nodes[0].in
	for first := true; first || w.here() != start; first = false {
		l := w.here()
		mouth := l.mouth()
		w.chain = appendLong(w.chain, mouth)
		if l.branches() && l.Fitting.Form != duct.Plain || l.Run.Kind == duct.Flexible {
			p.of(l.Run.Status).joint(string(l.Run.Key), mouth)
		}
		w.toNext(l)
	}
	p.of(start.Run.Status)
	return w.chain
}

// rowWalk goes around a row.
type rowWalk struct {
	m     *model
	p     *piece
	nodes []rowNode
	node  int // where it is
	leg   int
	n     int // walls since the last mouth
	chain []geom.Curve
}

func (w *rowWalk) here() *leg { return w.nodes[w.node].legs[w.leg] }

// ofMain reports whether a leg is of the main: a wall of it goes on past junctions that have nothing on its side.
func (w *rowWalk) ofMain(l *leg) bool { return l == w.nodes[w.node].in || l == w.nodes[w.node].on }

// toNext adds the walls from the mouth of l to that of the next leg that is not of the main within the row.
func (w *rowWalk) toNext(l *leg) {
	w.n = 0
	from, dir := w.chain[len(w.chain)-1].B, l.dir.Scale(-1) // of the wall of the main that is under way
	for {
		c := w.nodes[w.node].corners[w.leg]
		w.leg = (w.leg + 1) % len(w.nodes[w.node].legs)
		next := w.here()
		if passes := w.ofMain(c.a) && w.ofMain(c.b); !passes {
			a, b := *c.a, *c.b
			if w.ofMain(c.a) {
				w.mainWall(l, c.a, from, c.left.at(c.endA()), dir)
				a.takeOut = c.endA()
			}
			if w.ofMain(c.b) {
				b.takeOut = c.endB()
				from, dir = c.right.at(c.endB()), next.dir
			}
			c.a, c.b = &a, &b
			for _, s := range c.edges() {
				w.wall(l, s)
			}
		}
		if !w.m.within[next.Run.ID] {
			if w.ofMain(next) {
				_, right := wallLines(next.axis, next.half)
				w.mainWall(l, next, from, right.at(next.takeOut), dir)
			}
			return
		}
		w.node += 1 - 2*int(next.End)
		w.leg = slices.IndexFunc(w.nodes[w.node].legs, func(o *leg) bool { return o.Run == next.Run })
	}
}

// wall adds a wall after the mouth of l.
func (w *rowWalk) wall(l *leg, s side) {
	w.n++
	w.p.of(s.leg.Run.Status).wall(string(l.Run.Key.Nth(w.n)), s.Curve)
	w.chain = appendLong(w.chain, s.Curve)
}

// mainWall adds the wall of the main from one opening to the next one in direction dir. Where two branches of one side
// lie on each other there is none.
func (w *rowWalk) mainWall(l, of *leg, from, to, dir geom.Vec) {
	if to.Sub(from).Plan().Dot(dir) > 0 {
		w.wall(l, side{line(from, to), of})
		return
	}
	w.chain = appendLong(w.chain, line(from, to))
}

// endA and endB return how far along its legs a corner reaches.
func (c *corner) endA() float64 {
	if c.cutA > 0 || c.cutB > 0 {
		return c.cutA
	}
	return c.sa
}

func (c *corner) endB() float64 {
	if c.cutA > 0 || c.cutB > 0 {
		return c.cutB
	}
	return c.sb
}

// offset draws an offset in the middle of a duct: the walls slope from the duct before it to the one behind.
func (j *joints) offset(o *duct.DuctOffset) {
	before, short, behind := &j.net.Runs[o.Before], &j.net.Runs[o.Short], &j.net.Runs[o.Behind]
	a, b := j.Axes[before.ID], j.Axes[behind.ID]
	along := b.A.Sub(a.B).Dot(a.Tangent(1))
	has := math.Max(0, (float64(o.Fitting.Length)-along)/2)
	hasA, hasB := has*j.cosine(before.ID), has*j.cosine(behind.ID)
	end, begin := runEnd{before.ID, far}, runEnd{behind.ID, near}
	j.cut[end], j.cut[begin] = hasA, hasB
	p := j.newPiece(short.Key.Part("offset"), short, before.From, before.To, behind.From, behind.To)
	first := station{a, a.PlanLen() - hasA, j.size(before.ID)}
	last := station{b, hasB, j.size(behind.ID)}
	p.transition(first, last)
	from, to := []geom.Vec{first.at()}, []geom.Vec{last.at()}
	j.detours = append(j.detours, detour{runEnd{short.ID, near}, from}, detour{runEnd{short.ID, far}, to},
		detour{end, from}, detour{begin, to})
}
