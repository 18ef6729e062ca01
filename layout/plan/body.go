package plan

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/geom"
)

// collar is the length of rigid stub before a flexible duct that leaves a main. Common practice. Where a damper has to
// go into it, it is as long as the duct is wide.
const collar = 0.05

// collarOf returns the rigid stub a flexible leg begins with at a junction, in metres.
func collarOf(l *leg) float64 {
	switch {
	case l.Run.Kind != duct.Flexible || l.End != 0 || l.Fitting == nil:
		return 0
	case l.Fitting.Damper:
		return math.Max(collar, 2*l.half)
	case l.branches():
		return collar
	}
	return 0
}

// corner is where the wall on the left of one leg meets the wall on the right of the next
// one, counter-clockwise: how far along each, and the point. Without a meeting (ok false)
// the walls are joined by a straight line.
type corner struct {
	a, b         *leg
	left         wallLine // left wall of a, leaving the node
	right        wallLine // right wall of b, leaving the node
	ok           bool
	sa           float64
	sb           float64
	p            geom.Vec
	cutA         float64 // a line cuts the corner from cutA along a to cutB along b
	cutB         float64
	cutOff       bool // an outer corner that would be a spike ends at backA and backB behind the node
	backA, backB float64
}

// past is how far beyond the node a wall may run on to meet that of the next leg, to half
// the width of the wider one.
const past = 0.5

func newCorner(n geom.Vec, a, b *leg) corner {
	c := corner{a: a, b: b}
	c.left, _ = wallLines(a.axis, a.half)
	_, c.right = wallLines(b.axis, b.half)
	g := gap(a, b)
	if math.Abs(g-math.Pi) < geom.Straight && c.left.A.PlanDist(c.right.A) < geom.Same/10 {
		// One wall runs on: the walls meet beside the node.
		c.ok, c.p = true, c.left.A
		return c
	}
	best := math.Inf(1)
	for _, m := range geom.Meet(c.left.Curve, c.right.Curve) {
		if dist := m.P.PlanDist(n); dist < best {
			best = dist
			c.ok, c.p, c.sa, c.sb = true, m.P, m.A/c.left.ratio, m.B/c.right.ratio
		}
	}
	// Inside corners lie in front of the node on both legs, or little behind it, or behind it
	// on a leg that goes straight on there; outside corners lie behind it. Any other meeting
	// is that of a wide leg with a narrow one that almost runs on.
	slack := geom.Same + past*math.Max(a.half, b.half)
	inside := (a.goesOn || c.sa > -slack) && (b.goesOn || c.sb > -slack)
	outside := c.sa < geom.Same && c.sb < geom.Same
	// Nor do walls meet beyond the ends of their runs.
	within := c.sa < a.axis.PlanLen()+a.half && c.sb < b.axis.PlanLen()+b.half
	if g < math.Pi && !inside || g > math.Pi && !outside || !within {
		c.ok, c.sa, c.sb = false, 0, 0
	}
	if most := math.Tan(fitting.SharpMost/2) * (1 + geom.Straight); c.ok && g > math.Pi &&
		(-c.sa > most*a.half || -c.sb > most*b.half) {
		c.cutOff, c.backA, c.backB = true, math.Min(-c.sa, most*a.half), math.Min(-c.sb, most*b.half)
		c.p = c.left.at(-c.backA).Lerp(c.right.at(-c.backB), 0.5)
	}
	return c
}

// side is a piece of wall between two legs, and the leg it is made with.
type side struct {
	geom.Curve
	leg *leg
}

// edges returns the wall from the mouth of a to the mouth of b. What is cut off a corner, and
// a line from one leg to another, is made with the branch.
func (c corner) edges() []side {
	branch := c.a
	if c.b.branches() {
		branch = c.b
	}
	la, rb := c.left.at(c.a.takeOut), c.right.at(c.b.takeOut)
	switch {
	case c.cutA > 0 || c.cutB > 0:
		sa, sb := c.cutA, c.cutB
		return []side{{c.left.sub(c.a.takeOut, sa), c.a}, {line(c.left.at(sa), c.right.at(sb)), branch},
			{c.right.sub(sb, c.b.takeOut), c.b}}
	case c.cutOff:
		return []side{{c.left.sub(c.a.takeOut, -c.backA), c.a},
			{line(c.left.at(-c.backA), c.right.at(-c.backB)), branch},
			{c.right.sub(-c.backB, c.b.takeOut), c.b}}
	case c.ok:
		x, y := c.left.sub(c.a.takeOut, c.sa), c.right.sub(c.sb, c.b.takeOut)
		y.A = x.B // one point, not two a rounding apart
		// A piece too short to be drawn goes into the other one, so that no gap is left.
		switch {
		case x.PlanLen() < geom.Same:
			return []side{{rejoin(y, x.A, y.B), c.b}}
		case y.PlanLen() < geom.Same:
			return []side{{rejoin(x, x.A, y.B), c.a}}
		}
		return []side{{x, c.a}, {y, c.b}}
	}
	return []side{{line(la, rb), branch}}
}

// rejoin returns c with its ends put to a and b, which lie next to its own.
func rejoin(c geom.Curve, a, b geom.Vec) geom.Curve {
	c.A, c.B = a, b
	return c
}

// part lets both legs of a corner without a meeting begin beyond each other: a narrow leg of a wide main would else
// begin within the main.
func (c corner) part() {
	if c.ok {
		return
	}
	apart := func(l, other *leg, wall wallLine) {
		into := wall.at(l.takeOut).Sub(other.axis.A).Plan().Dot(other.dir) - other.takeOut
		if closing := -l.dir.Dot(other.dir); into > geom.Same && closing > duct.StraightOn {
			l.takeOut += into / closing
		}
	}
	apart(c.a, c.b, c.left)
	apart(c.b, c.a, c.right)
}

// widen widens the take-outs of both legs to reach the corner.
func (c corner) widen() {
	c.a.takeOut = math.Max(c.a.takeOut, math.Max(c.sa, c.cutA))
	c.b.takeOut = math.Max(c.b.takeOut, math.Max(c.sb, c.cutB))
}

// cornersOf sorts the legs of a node counter-clockwise and returns the corner after each of them, cut as the forms of
// the branches ask. It sets the take-outs of the legs.
func cornersOf(n *duct.Node, legs []*leg) []corner {
	byAngle(legs)
	for i, a := range legs {
		for _, b := range legs[i+1:] {
			if math.Abs(gap(a, b)-math.Pi) < duct.StraightOn && math.Abs(a.half-b.half) < geom.Same {
				a.goesOn, b.goesOn = true, true
			}
		}
	}
	var corners []corner
	for i, l := range legs {
		corners = append(corners, newCorner(n.At, l, legs[(i+1)%len(legs)]))
	}
	for i := range corners {
		corners[i].widen()
	}
	for i, l := range legs {
		shapeTakeoff(l, &corners[(i+len(legs)-1)%len(legs)], &corners[i])
	}
	for i := range corners {
		corners[i].widen()
	}
	for i := range corners {
		corners[i].part()
	}
	return corners
}

// body makes the piece where level or sloping legs meet at a node: every wall runs on
// until it meets the next one, and where a leg leaves, the wall is open. vertical are the
// legs that leave straight up or down; a size change begins beyond their outline.
func (j *joints) body(n *duct.Node, legs, vertical []*leg) {
	corners := cornersOf(n, legs)
	for _, l := range legs {
		l.takeOut += collarOf(l)
		for _, v := range vertical {
			if along, _ := extents(v.Run, v.Outside, l.dir); l.End == near && j.change(l.Run.ID) != nil {
				l.takeOut = math.Max(l.takeOut, along)
			}
		}
	}
	owner := bodyOwner(legs)
	p := j.newPiece(n.Key.Part("body"), owner.Run, n.ID)
	made := madeFitting(legs)
	var chain []geom.Curve
	for i, l := range legs {
		mouth := l.mouth()
		chain = appendLong(chain, mouth)
		if made || l.branches() && l.Fitting.Form != duct.Plain || l.Run.Kind == duct.Flexible {
			p.of(l.Run.Status).joint(string(l.Run.Key), mouth)
		}
		for k, s := range corners[i].edges() {
			p.of(s.leg.Run.Status).wall(string(l.Run.Key.Part(string(rune('a'+k)))), s.Curve)
			chain = appendLong(chain, s.Curve)
		}
		p.of(owner.Run.Status)
		p.spines = append(p.spines, l.axis.PlanSub(0, math.Max(l.takeOut, geom.Same)))
		j.place(l)
	}
	p.half = float64(owner.Outside.Height) / 2
	p.foot = geom.RegionOf(chain)
}

// mouth returns the line across a leg at its take-out, from its right to its left wall.
func (l *leg) mouth() geom.Curve {
	left, right := wallLines(l.axis, l.half)
	return line(right.at(l.takeOut), left.at(l.takeOut))
}

func appendLong(chain []geom.Curve, c geom.Curve) []geom.Curve {
	if c.A.PlanDist(c.B) < geom.Same {
		return chain
	}
	return append(chain, c)
}

// shapeTakeoff cuts the corners on both sides of a branch as its form asks. before is the
// corner on its right, after the one on its left.
func shapeTakeoff(l *leg, before, after *corner) {
	if !l.branches() {
		return
	}
	length := float64(l.Fitting.Length) * l.cosine()
	switch {
	case l.Fitting.Form == duct.Entry45 && length > 0:
		// The leading edge is the one on the side of the common leg, whatever way the air goes.
		if before.a.Run.ID == l.Fitting.Main && before.ok {
			before.cutA, before.cutB = before.sa+length, before.sb+length
		}
		if after.b.Run.ID == l.Fitting.Main && after.ok {
			after.cutA, after.cutB = after.sa+length, after.sb+length
		}
	case l.Fitting.Form == duct.Conical && length > 0 && before.ok && after.ok:
		flare := (fitting.ConeMouth - 1) * l.half
		end := math.Max(before.sb, after.sa) + length
		before.cutA, before.cutB = before.sa+flare/math.Max(math.Sin(gap(before.a, l)), fitting.LeastSine), end
		after.cutA, after.cutB = end, after.sb+flare/math.Max(math.Sin(gap(l, after.b)), fitting.LeastSine)
	}
}

// bodyOwner returns the leg whose run the body of a junction is booked on: the common leg,
// else the widest.
func bodyOwner(legs []*leg) *leg {
	owner := legs[0]
	for _, l := range legs {
		if l.End == 1 && owner.End == 0 || l.End == owner.End && l.half > owner.half {
			owner = l
		}
	}
	return owner
}

// madeFitting reports whether a junction is a piece of its own, joined to duct at each leg,
// rather than a branch cut into a main.
func madeFitting(legs []*leg) bool {
	for _, l := range legs {
		if l.Fitting != nil && lookOf(l.Fitting.Kind).leg == ownLeg {
			return true
		}
	}
	return false
}
