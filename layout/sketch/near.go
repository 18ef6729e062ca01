package sketch

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// kind is what a note can be about.
type kind uint8

// The kinds, as bits, so that several make a set.
const (
	onLine kind = 1 << iota
	onTerminal
	onUnit
	onLimit
	onCeiling
)

// thing is something a note can be about.
type thing struct {
	kind   kind
	ref    int // index into the reader's lines, terminals, unitMarks or zones
	air    duct.Air
	status duct.Status
	edges  []geom.Curve // straight
	region geom.Region  // the area the edges go round, empty for a line
	at     geom.Vec
}

// probe is a text as it lies in plan, or the tip of a leader.
type probe struct {
	corners []geom.Vec
	middle  geom.Vec
	at      geom.Vec // where the text was put
	height  float64  // of its letters
	tip     bool
}

// chord is how far, in metres, a chord may lie from an arc when distances to texts are taken.
const chord = 0.005

// outlineEdges returns the edges of a polygon.
func outlineEdges(pts []geom.Vec) []geom.Curve {
	p := make(geom.Path, len(pts))
	for i, v := range pts {
		p[i].Vec = v
	}
	return p.Curves(true)
}

// straightened returns the pieces of a path as straight edges.
func straightened(path geom.Path, closed bool) []geom.Curve {
	var out []geom.Curve
	for _, c := range path.Curves(closed) {
		pts := c.Flatten(chord)
		for i := 1; i < len(pts); i++ {
			out = append(out, geom.Curve{A: pts[i-1], B: pts[i]})
		}
	}
	return out
}

// box returns the box around t.
func (t *thing) box() geom.Box {
	b := geom.BoxOf()
	for _, e := range t.edges {
		b = b.Join(e.Box())
	}
	return b
}

// holds reports whether p lies inside the area of t.
func (t *thing) holds(p geom.Vec) bool {
	return !t.region.Empty() && t.region.Contains(p)
}

// nearest returns the point of t nearest to p and its distance in plan, zero inside an area.
func (t *thing) nearest(p geom.Vec) (geom.Vec, float64) {
	if t.holds(p) {
		return p, 0
	}
	best, at := math.Inf(1), p
	for _, e := range t.edges {
		if f, d := e.Nearest(p); d < best {
			best, at = d, e.Point(f)
		}
	}
	return at, best
}

// dist returns the distance in plan between t and the nearest part of the text, zero where
// they overlap.
func (t *thing) dist(p *probe) float64 {
	if len(p.corners) < 3 {
		_, d := t.nearest(p.at)
		return d
	}
	for _, c := range p.corners {
		if t.holds(c) {
			return 0
		}
	}
	best := math.Inf(1)
	sides := outlineEdges(p.corners)
	inside := geom.RegionOf(sides)
	for _, e := range t.edges {
		if inside.Contains(e.A) {
			return 0
		}
		for _, s := range sides {
			best = math.Min(best, edgeDist(e, s))
		}
	}
	return best
}

// edgeDist returns the distance in plan between two straight edges.
func edgeDist(a, b geom.Curve) float64 {
	if crosses(a, b) {
		return 0
	}
	best := math.Inf(1)
	for _, d := range []float64{onto(a, b.A), onto(a, b.B), onto(b, a.A), onto(b, a.B)} {
		best = math.Min(best, d)
	}
	return best
}

func onto(c geom.Curve, p geom.Vec) float64 {
	_, d := c.Nearest(p)
	return d
}

// crosses reports whether two straight edges cross in plan, ends on the other not counted.
func crosses(a, b geom.Curve) bool {
	side := func(c geom.Curve, p geom.Vec) float64 {
		return c.B.Sub(c.A).Plan().Cross(p.Sub(c.A).Plan()).Z
	}
	return side(a, b.A)*side(a, b.B) < 0 && side(b, a.A)*side(b, a.B) < 0
}

// even is how little two distances may differ, as a part of the smaller, to count as equal.
const even = 0.02

// equal reports whether distance d is as good as the smaller distance least.
func equal(d, least float64) bool { return d <= least*(1+even)+geom.Shortest }

// choice is what a search for the thing a note is about came to.
type choice struct {
	best  *thing
	other *thing // equally near; nil where best is the one
}

// choose returns the nearest of the things within reach of p. It compares, one after the
// other while things are equally near: the distance to the text as it is seen, to its middle,
// the sizes of outlines around it, and to the middle of outlines.
func choose(things []*thing, p *probe, reach float64) choice {
	type rival struct {
		*thing
		d float64
	}
	var near []rival
	for _, t := range things {
		if d := t.dist(p); d <= reach+geom.Same {
			near = append(near, rival{t, d})
		}
	}
	if len(near) == 0 {
		return choice{}
	}
	all := near
	if t := along(things, p); t != nil {
		for _, n := range near {
			if n.d == 0 && n.kind == onLine && !p.runsAlong(n.thing) {
				return choice{best: t}
			}
		}
	}
	if head := p.part(headPart); head != nil {
		narrow := p.part(narrowPart)
		for _, n := range near {
			if n.d > 0 || n.holds(p.middle) || n.dist(head) == 0 {
				continue
			}
			for _, o := range near {
				if o.kind != n.kind || n.region.Empty() || o.d == 0 || o.dist(head) > headReach*p.height {
					continue
				}
				if 2*o.dist(narrow) < n.dist(narrow) {
					return choice{best: o.thing}
				}
				return choice{best: o.thing, other: n.thing}
			}
		}
	}
	measures := []func(t *thing) float64{
		nil, // the distance found already
		func(t *thing) float64 { _, d := t.nearest(p.middle); return d },
		func(t *thing) float64 {
			if t.holds(p.middle) {
				return math.Sqrt(math.Abs(t.region.Area()))
			}
			return math.Inf(1)
		},
		func(t *thing) float64 {
			if !t.region.Empty() {
				return t.at.PlanDist(p.middle)
			}
			_, d := t.nearest(p.middle)
			return d
		},
	}
	for _, m := range measures {
		least := math.Inf(1)
		for i := range near {
			if m != nil {
				near[i].d = m(near[i].thing)
			}
			least = math.Min(least, near[i].d)
		}
		var left []rival
		for _, n := range near {
			if math.IsInf(least, 1) || equal(n.d, least) {
				left = append(left, n)
			}
		}
		near = left
		if len(near) == 1 {
			break
		}
	}
	c := choice{best: near[0].thing}
	if len(near) > 1 {
		c.other = near[1].thing
		return c
	}
	for _, n := range all {
		if n.thing != c.best && between(c.best, n.thing, p) {
			c.other = n.thing
			break
		}
	}
	return c
}

// How far a text runs depends on its font, and is estimated for a wide one. A text that begins right beside one outline, within headReach
// heights of its letters, and runs into another of its kind with its far end alone is about the first if in a narrow font it ends well
// before the other; else it may be about either. Common practice has no figure for these.
const (
	headReach  = 2
	headPart   = 0.5  // of its length
	narrowPart = 0.75 // letters 0.64 of their height wide instead of 0.85
)

// part returns that much of a text from the end at which it was put, nil where it was put by its middle.
func (p *probe) part(much float64) *probe {
	if len(p.corners) != 4 || p.tip {
		return nil
	}
	c := p.corners
	first, last := c[0].Lerp(c[3], 0.5), c[1].Lerp(c[2], 0.5)
	length := first.PlanDist(last)
	out := probe{at: p.at, height: p.height}
	switch to, from := p.at.PlanDist(first), p.at.PlanDist(last); {
	case length <= 2*p.height: // too short to run anywhere
		return nil
	case to < from-length/2:
		out.corners = []geom.Vec{c[0], c[0].Lerp(c[1], much), c[3].Lerp(c[2], much), c[3]}
	case from < to-length/2:
		out.corners = []geom.Vec{c[1].Lerp(c[0], much), c[1], c[2], c[2].Lerp(c[3], much)}
	default:
		return nil
	}
	out.middle = middle(out.corners)
	return &out
}

// A text is lettered along a duct when it lies within this many heights of its letters from it, in
// its direction up to this angle, in radians. Common practice has no figure for either.
const (
	alongReach = 2.5
	alongAngle = 0.2
)

// along returns the duct a text is lettered along, nil where there is none or several. It counts where another
// duct runs across the letters: that one is in the way, and not what the text is about.
func along(things []*thing, p *probe) *thing {
	var found *thing
	for _, t := range things {
		if t.kind == onLine && p.runsAlong(t) && t.dist(p) <= alongReach*p.height {
			if found != nil {
				return nil
			}
			found = t
		}
	}
	return found
}

// runsAlong reports whether the piece of t nearest to the middle of the text has the direction of the text.
func (p *probe) runsAlong(t *thing) bool {
	if len(p.corners) != 4 {
		return false
	}
	best, nearest := math.Inf(1), geom.Curve{}
	for _, e := range t.edges {
		if d := onto(e, p.middle); d < best {
			best, nearest = d, e
		}
	}
	turn := geom.TurnBetween(p.corners[1].Sub(p.corners[0]).Plan(), nearest.B.Sub(nearest.A).Plan())
	return min(turn, math.Pi-turn) <= alongAngle
}

// between reports whether a text was put at the same distance from two things: what a drafter
// set exactly midway belongs to neither, whatever way its letters run.
func between(a, b *thing, p *probe) bool {
	if p.tip {
		return false
	}
	pa, da := a.nearest(p.at)
	pb, db := b.nearest(p.at)
	return da > geom.Shortest && math.Abs(da-db) < geom.Shortest && pa.PlanDist(pb) > geom.Shortest
}
