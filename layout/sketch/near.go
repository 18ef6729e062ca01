package sketch

import (
	"fmt"
	"math"
	"math/bits"
	"slices"

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
	onWall
)

// kindNames are the words for them, as lists in messages have them.
var kindNames = []struct {
	kind kind
	name string
}{{onLine, "duct"}, {onTerminal, "terminal"}, {onUnit, "unit"}, {onLimit, "limit"}, {onCeiling, "ceiling"},
	{onWall, "rated wall"}}

// thing is something a note can be about.
type thing struct {
	kind   kind
	ref    int // index into the marks of its kind
	handle string
	air    duct.Air
	status duct.Status
	edges  []geom.Curve // straight
	region geom.Region  // the area the edges go round, empty for a line
	at     geom.Vec     // the middle of an area
	ends   [2]geom.Vec  // of a line
	claims []claim      // what somebody gave for it, attributes before notes
}

// things lists everything a note can be about.
func (m *marks) things() []thing {
	var out []thing
	line := func(t thing, p geom.Path, closed bool) {
		t.edges, t.ends = straightened(p, closed), [2]geom.Vec{p[0].Vec, p[len(p)-1].Vec}
		out = append(out, t)
	}
	area := func(t thing, pts []geom.Vec) {
		t.edges = outlineEdges(pts)
		t.region = geom.RegionOf(t.edges)
		out = append(out, t)
	}
	for i, l := range m.lines {
		line(thing{kind: onLine, ref: i, handle: l.Handle, air: l.Air, status: l.Status}, l.Path, l.Closed)
	}
	for i, t := range m.terminals {
		area(thing{kind: onTerminal, ref: i, handle: t.Handle, air: t.Air, status: t.Status, at: t.At, claims: t.given},
			t.Face)
	}
	for i, u := range m.units {
		area(thing{kind: onUnit, ref: i, handle: u.Handle, air: u.Air, status: u.Status, at: u.At, claims: u.given},
			u.Outline)
	}
	for i, z := range m.zones {
		k := onLimit
		if z.part == PartCeiling {
			k = onCeiling
		}
		area(thing{kind: k, ref: i, handle: z.handle, at: middle(z.outline)}, z.outline)
	}
	for i, w := range m.walls {
		line(thing{kind: onWall, ref: i, handle: w.Handle}, w.Path, false)
	}
	return out
}

// name names a thing for a message.
func (t *thing) name() string {
	what := "outline"
	if t.kind&(onLimit|onCeiling) == 0 {
		what = kindNames[bits.TrailingZeros8(uint8(t.kind))].name
	}
	if t.handle == "" {
		return "a " + what
	}
	return fmt.Sprintf("the %s with handle %s", what, t.handle)
}

// probe is a text as it lies in plan, or the tip of a leader.
type probe struct {
	corners []geom.Vec
	middle  geom.Vec
	at      geom.Vec // where the text was put
	height  float64  // of its letters
	tip     bool
}

// box returns the box around p.
func (p *probe) box() geom.Box { return geom.BoxOf(append([]geom.Vec{p.at}, p.corners...)...) }

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
	if slices.ContainsFunc(p.corners, t.holds) {
		return 0
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

// rival is a thing within reach of a text, with a distance to it.
type rival struct {
	*thing
	d float64
}

// choose returns the nearest of the things within reach of p.
func choose(things []*thing, p *probe, reach float64) choice {
	var near []rival
	for _, t := range things {
		if d := t.dist(p); d <= reach+geom.Same {
			near = append(near, rival{t, d})
		}
	}
	if len(near) == 0 {
		return choice{}
	}
	if t := along(things, p); t != nil {
		across := func(n rival) bool { return n.d == 0 && n.kind == onLine && !p.runsAlong(n.thing) }
		if slices.ContainsFunc(near, across) {
			return choice{best: t}
		}
	}
	if c := p.begins(near); c.best != nil {
		return c
	}
	left := nearest(near, p)
	c := choice{best: left[0].thing}
	if len(left) > 1 {
		c.other = left[1].thing
		return c
	}
	for _, n := range near {
		if n.thing != c.best && between(c.best, n.thing, p) {
			c.other = n.thing
			break
		}
	}
	return c
}

// nearest returns which of some things are nearest to a text. It compares, one after the other while things are
// equally near: the distance to the text as it is seen, to its middle, the sizes of outlines around it, and to the
// middle of outlines.
func nearest(near []rival, p *probe) []rival {
	middle := func(t *thing) float64 { _, d := t.nearest(p.middle); return d }
	measures := []func(t *thing) float64{
		nil, // the distance found already
		middle,
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
			return middle(t)
		},
	}
	for _, m := range measures {
		left, least := make([]rival, 0, len(near)), math.Inf(1)
		for _, n := range near {
			if m != nil {
				n.d = m(n.thing)
			}
			left, least = append(left, n), math.Min(least, n.d)
		}
		near = slices.DeleteFunc(left, func(n rival) bool { return !math.IsInf(least, 1) && !equal(n.d, least) })
		if len(near) == 1 {
			break
		}
	}
	return near
}

// How far a text runs depends on its font, and is estimated for a wide one. A text that begins right beside one
// outline, within headReach heights of its letters, and runs into another of its kind with its far end alone is about
// the first if in a narrow font it ends well before the other; else it may be about either. Common practice has no
// figure for these.
const (
	headReach  = 2
	headPart   = 0.5  // of its length
	narrowPart = 0.75 // letters 0.64 of their height wide instead of 0.85
)

// begins returns what a text is about that begins right beside one outline and runs into another.
func (p *probe) begins(near []rival) choice {
	head := p.part(headPart)
	if head == nil {
		return choice{}
	}
	for _, n := range near {
		if n.d > 0 || n.holds(p.middle) || n.dist(head) == 0 {
			continue
		}
		for _, o := range near {
			if o.kind != n.kind || n.region.Empty() || o.d == 0 || o.dist(head) > headReach*p.height {
				continue
			}
			if narrow := p.part(narrowPart); 2*o.dist(narrow) < n.dist(narrow) {
				return choice{best: o.thing}
			}
			return choice{best: o.thing, other: n.thing}
		}
	}
	return choice{}
}

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
