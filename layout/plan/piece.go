package plan

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/shape"
)

// edge is one line of a piece before the passes over the whole plan: a wall, a joint, a crease.
type edge struct {
	geom.Curve
	part   shape.Part
	role   string // of the key: "wall/l", "joint"
	status duct.Status
}

// path is a chain of lines and arcs that is drawn as one: the wall of a flexible duct.
type path struct {
	curves []geom.Curve
	part   shape.Part
	role   string
}

// piece is one made part of the ductwork: a straight duct, an elbow, the body of a
// junction, a size change, a drop. Its footprint is what it covers in plan.
type piece struct {
	key    key.Key
	air    duct.Air
	status duct.Status
	run    duct.RunID // the run it is booked on
	nodes  []duct.NodeID
	edges  []edge
	paths  []path
	marks  []mark
	foot   geom.Region
	spines []geom.Curve // centrelines, for the height at a place
	round  bool         // a straight round duct: its distance to another is that of the centrelines
	half   float64      // half the drawn height
	shell  float64      // insulation around the drawn size
	low    float64      // of a vertical piece: the ends of its column
	high   float64
	column bool
	duct   bool        // straight or curved duct between fittings
	space  geom.Region // the ground with the insulation, where there is some
	thin   bool        // drawn as its centreline alone: it takes space, but covers nothing
}

// wall and joint add one line to p; what has no length in plan is left out: where a level duct meets a sloping one,
// their walls meet in plan, one over the other.
func (p *piece) wall(role string, c geom.Curve)  { p.add(shape.Wall, "wall/"+role, c) }
func (p *piece) joint(role string, c geom.Curve) { p.add(shape.Joint, "joint/"+role, c) }

// of sets the status of the lines added next.
func (p *piece) of(s duct.Status) *piece {
	p.status = s
	return p
}

func (p *piece) add(part shape.Part, role string, c geom.Curve) {
	if c.A.PlanDist(c.B) < geom.Same {
		return
	}
	p.edges = append(p.edges, edge{c, part, role, p.status})
}

// zAt returns the height of the centreline at a place in plan.
func (p *piece) zAt(q geom.Vec) float64 {
	best, z := math.Inf(1), 0.0
	for _, c := range p.spines {
		t, dist := c.Nearest(q)
		if dist < best {
			best, z = dist, c.Point(t).Z
		}
	}
	return z
}

// span returns the heights of the underside and the top at a place, of the duct with its
// insulation.
func (p *piece) span(q geom.Vec) (low, high float64) {
	if p.column {
		return p.low, p.high
	}
	z := p.zAt(q)
	return z - p.half - p.shell, z + p.half + p.shell
}

// joined reports whether p and q are parts of one connection.
func (p *piece) joined(q *piece) bool {
	for _, a := range p.nodes {
		if slices.Contains(q.nodes, a) {
			return true
		}
	}
	return false
}

// line returns the straight curve from a to b.
func line(a, b geom.Vec) geom.Curve { return geom.Curve{A: a, B: b} }

// walls returns the left and the right wall of an axis at half a width from it.
func walls(axis geom.Curve, half float64) (left, right geom.Curve) {
	return axis.Offset(half), axis.Offset(-half)
}

// wallLine is a wall measured by plan lengths along the axis it belongs to: on an arc the wall
// itself is longer or shorter.
type wallLine struct {
	geom.Curve
	ratio float64 // its length to that of the axis
}

// wallLines returns the left and the right wall of an axis at half a width from it.
func wallLines(axis geom.Curve, half float64) (left, right wallLine) {
	l, r := walls(axis, half)
	return newWallLine(l, axis), newWallLine(r, axis)
}

func newWallLine(c, axis geom.Curve) wallLine {
	n, l := axis.PlanLen(), c.PlanLen()
	if n < geom.Same || l < geom.Same {
		return wallLine{c, 1} // the inner wall of an arc tighter than half the width is a point
	}
	return wallLine{c, l / n}
}

// at returns the point of the wall beside the point at s of the axis.
func (w wallLine) at(s float64) geom.Vec { return w.PlanAt(s * w.ratio) }

// sub returns the part of the wall beside the axis between s0 and s1.
func (w wallLine) sub(s0, s1 float64) geom.Curve { return w.PlanSub(s0*w.ratio, s1*w.ratio) }

// strip makes p the duct around a straight or curved centreline at half a width from it.
func (p *piece) strip(centre geom.Curve, half float64) {
	left, right := walls(centre, half)
	p.wall("l", left)
	p.wall("r", right)
	p.spines = []geom.Curve{centre}
	p.foot = stripFoot(left, right)
}

// bent makes p what lies between the chains of its left and right walls, which run the same way, and the lines across
// its ends, from the right to the left.
func (p *piece) bent(left, right []geom.Curve, in, out geom.Curve) {
	for i, c := range left {
		p.wall("l/"+itoa(i+1), c)
	}
	for i, c := range right {
		p.wall("r/"+itoa(i+1), c)
	}
	p.joint("in", in)
	p.joint("out", out)
	var edges []geom.Curve
	for _, c := range slices.Concat(right, []geom.Curve{out}, reversed(left), []geom.Curve{in}) {
		edges = appendLong(edges, c)
	}
	p.foot = geom.RegionOf(edges)
}

// stripFoot returns the footprint between two walls that run the same way.
func stripFoot(left, right geom.Curve) geom.Region {
	var edges []geom.Curve
	for _, c := range []geom.Curve{right, line(right.B, left.B), left.Reverse(), line(left.A, right.A)} {
		edges = appendLong(edges, c)
	}
	return geom.RegionOf(edges)
}

// byNode returns which pieces stand at a node.
func byNode(pieces []*piece) map[duct.NodeID][]*piece {
	out := map[duct.NodeID][]*piece{}
	for _, p := range pieces {
		for _, n := range p.nodes {
			out[n] = append(out[n], p)
		}
	}
	return out
}
