package mesh

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/geom"
)

// leg is a run as it leaves a node.
type leg struct {
	*duct.Leg
	axis    geom.Curve // outwards
	takeOut float64    // from the node to where the body of the node ends
	dir     geom.Vec
}

// legsAt returns the runs that meet at n and have a body, with the one towards the unit first.
func (b *builder) legsAt(n *duct.Node) []leg {
	var out []leg
	for i := range b.Nodes[n.ID].Legs {
		made := &b.Nodes[n.ID].Legs[i]
		id := made.Run.ID
		if b.size(made.Run).IsZero() || b.Axes[id].Len() < geom.Same {
			continue
		}
		l := leg{Leg: made, axis: b.LegAxis(made), takeOut: float64(b.TakeOuts[id][made.End])}
		if l.End == far {
			l.axis = l.axis.Reverse()
			l.dir = b.Axes[id].Tangent(1).Scale(-1)
			if l.Back != nil {
				l.takeOut -= float64(l.Back.Length)
			}
			out = append([]leg{l}, out...)
			continue
		}
		l.dir = b.Axes[id].Tangent(0)
		if l.Change != nil && !l.Change.Common.IsZero() {
			l.takeOut -= float64(l.Change.Length)
		}
		out = append(out, l)
	}
	return out
}

// frameOut returns the frame on a leg at a distance from its node, looking away from it.
func (l leg) frameOut(at float64) frame {
	if l.End == far {
		return frameAt(l.axis, l.Run, l.axis.Len()-at).back()
	}
	return frameAt(l.axis, l.Run, at)
}

// frameIn returns the frame where a leg ends and the body of its node begins, looking into the node.
func (l leg) frameIn() frame { return l.frameOut(l.takeOut).back() }

// node adds the body of the fitting at n.
func (b *builder) node(n *duct.Node) {
	if n.Unit != duct.None {
		return
	}
	if o := b.Nodes[n.ID].Offset; o != nil {
		if o.Fitting.Node == n.ID {
			b.offset(n, o)
		}
		return
	}
	switch legs := b.legsAt(n); {
	case len(legs) == 2:
		b.add(n.Key.Part("body"), legs[0].Run, legs[0].turn(legs[1]))
	case len(legs) > 2:
		b.junction(n, legs)
	}
}

// turn returns the rings from one leg to another: an elbow, a mitre, or nothing where they
// go straight on with no body between them.
func (l leg) turn(out leg) []ring {
	if l.takeOut < geom.Same || out.takeOut < geom.Same {
		return nil
	}
	f := l.frameIn()
	t := turning{f: f, angle: geom.TurnBetween(f.along, out.dir), way: l.takeOut, size: l.Outside,
		to: out.dir.Sub(f.along.Scale(out.dir.Dot(f.along))).Unit()}
	if t.angle < geom.Straight {
		return between(f, l.Outside, f.moved(out.frameOut(out.takeOut).at), l.Outside)
	}
	body := sharpBend // of two legs with a change of size alone, or two of a junction whose others have no body
	if f := out.Fitting; f != nil && buildOf(f.Kind).bend != nil {
		body, t.smooth = buildOf(f.Kind).bend, f.Radius > 0
	}
	return body(t)
}

// junction adds the bodies of a node where three legs or more meet. What goes straight
// through is one of them: main and straight leg, or the bar of a bullhead; every other leg
// begins at the wall of it.
func (b *builder) junction(n *duct.Node, legs []leg) {
	line := straightOn(legs)
	if len(line) != 2 {
		b.wye(n, legs)
		return
	}
	p, q := legs[line[0]], legs[line[1]]
	b.add(n.Key.Part("body"), p.Run, bar(p, q))
	wall := p
	if q.Outside.Area() > p.Outside.Area() {
		wall = q
	}
	for i, l := range legs {
		if slices.Contains(line, i) {
			continue
		}
		m := mouthOf(l, wall.frameOut(0), wall.Outside, legs[0].dir)
		switch {
		case m.end == nil:
			b.tap[l.Run.ID] = m.begin // the duct itself begins at the wall
			continue
		case m.cut: // it begins where the entry ends, on its other side still at the wall
			b.tap[l.Run.ID] = m.end
		}
		b.add(n.Key.At(l.Run.Key).Part("body"), l.Run, []ring{m.begin, m.end})
	}
}

// straightOn returns the two legs that lie in one line: the main with what goes straight on from it, or the bar.
func straightOn(legs []leg) []int {
	var main, bar []int
	on := false
	for i, l := range legs {
		switch l.Role {
		case duct.MainLeg, duct.StraightLeg:
			main, on = append(main, i), on || l.Role == duct.StraightLeg
		case duct.BarLeg:
			bar = append(bar, i)
		case duct.BranchLeg:
		}
	}
	if on {
		return main
	}
	return bar
}

// bar returns the rings of what goes straight through a junction.
func bar(p, q leg) []ring {
	if p.takeOut < geom.Same && q.takeOut < geom.Same {
		return nil
	}
	f, g := p.frameIn(), q.frameOut(q.takeOut)
	if f.at.Dist(g.at) < geom.Same {
		return nil
	}
	rings := between(f, p.Outside, g, q.Outside)
	if geom.TurnBetween(f.along, g.along) < geom.Straight {
		return rings
	}
	seam := f.along.Add(g.along).Unit()
	corner := p.frameOut(0).at
	mid := make(ring, len(rings[0]))
	for i, v := range rings[0] {
		mid[i] = onPlane(v, f.along, corner, seam)
	}
	return []ring{rings[0], mid, rings[1]}
}

// mouth is how a leg begins at the wall of the duct it leaves: with the ring begin there, and where it is not plain
// with a piece as far as the ring end. With cut that ring is not square to the leg: it lies at the wall on the side
// away from the unit.
type mouth struct {
	begin, end ring
	cut        bool
}

// mouthOf returns the mouth of a leg on the wall of the duct it leaves, whose
// frame and size are given. upstream is the direction towards the unit.
func mouthOf(l leg, main frame, wall duct.Size, upstream geom.Vec) mouth {
	first, quarters := l.frameOut(0), quartersOf(l.Outside)
	plain := ringOf(first, l.Outside, quarters)
	begin := plain
	form, length := duct.Plain, 0.0
	if l.Fitting != nil {
		form, length = l.Fitting.Form, float64(l.Fitting.Length)
	}
	if l.End == far || length <= 0 {
		form = duct.Plain
	}
	way := func(p geom.Vec) float64 {
		d := p.Sub(main.at)
		t := leave(wall, d.Dot(main.across), d.Dot(main.up), first.along.Dot(main.across), first.along.Dot(main.up))
		return math.Max(0, math.Min(t, l.takeOut))
	}
	// towards the unit, square to the branch; as long as the sine of the angle between it and the main
	side := upstream.Sub(first.along.Scale(upstream.Dot(first.along)))
	reach := 0.0 // of the branch towards that side
	switch form {
	case duct.Plain:
	case duct.Conical:
		wide := l.Outside
		wide.Width *= fitting.ConeMouth
		wide.Height *= fitting.ConeMouth
		begin = ringOf(first, wide, quarters)
	case duct.Entry45:
		// The leading edge lies that far along the main from where the branch would begin.
		begin = slices.Clone(plain)
		for i, p := range plain {
			if d := p.Sub(first.at).Dot(side.Unit()); d > geom.Same {
				reach = math.Max(reach, d)
				begin[i] = p.Add(side.Scale(length))
			}
		}
	}
	shift := saddle(begin, first.at, way)
	moved := make(ring, len(begin))
	for i, p := range begin {
		moved[i] = p.Add(first.along.Scale(way(p) + shift))
	}
	switch form {
	case duct.Plain:
	case duct.Conical:
		return mouth{begin: moved, end: ringOf(l.frameOut(l.takeOut), l.Outside, quarters)}
	case duct.Entry45:
		// It ends that far along the branch from its corner with the main, as the plan has it.
		stop := way(first.at.Add(side.Unit().Scale(reach))) + length
		end := make(ring, len(plain))
		for i, p := range plain {
			end[i] = p.Add(first.along.Scale(math.Max(stop, way(p)+shift)))
		}
		return mouth{moved, end, true}
	}
	return mouth{begin: moved}
}

// saddleSteps is into how many rings a mouth is cut to find the mean way to the wall.
const saddleSteps = 16

// saddle returns how far the corners of a mouth have to move outwards along the branch so that the flat faces that
// close it take up as much as the curved wall of the main does.
func saddle(mouth ring, middle geom.Vec, way func(geom.Vec) float64) float64 {
	// The mouth in triangles around its middle: the mean of way over each, on the faces and on the wall.
	exact, flat, area := 0.0, 0.0, 0.0
	for _, f := range strip(mouth) {
		for k := 2; k < len(f); k++ {
			p, q, r := mouth[f[0]], mouth[f[k-1]], mouth[f[k]]
			a := q.Sub(p).Cross(r.Sub(p)).Len() / 2
			flat += a * (way(p) + way(q) + way(r)) / 3
			area += a
		}
	}
	if area <= 0 {
		return 0
	}
	sum := 0.0
	for i, p := range mouth {
		q := mouth[(i+1)%len(mouth)]
		a := p.Sub(middle).Cross(q.Sub(middle)).Len() / 2
		if a <= 0 {
			continue
		}
		// In rings of equal width, each taken at the middle of its area: a flat wall comes out exactly.
		mean, weight := 0.0, 0.0
		for k := range saddleSteps {
			in, out := float64(k)/saddleSteps, float64(k+1)/saddleSteps
			ring := out*out - in*in
			t := 2.0 / 3 * (out*out*out - in*in*in) / ring
			m := 0.0
			for j := range saddleSteps {
				m += way(middle.Lerp(p.Lerp(q, (float64(j)+0.5)/saddleSteps), t)) / saddleSteps
			}
			mean += ring * m
			weight += ring
		}
		exact += a * mean / weight
		sum += a
	}
	return exact/sum - flat/area
}

// leave returns how far a ray goes from x, y in direction dx, dy until it leaves a size
// for good. Where it passes by, it is the way to the point nearest to the size.
func leave(s duct.Size, x, y, dx, dy float64) float64 {
	if math.Hypot(dx, dy) < geom.Straight {
		return math.Inf(1)
	}
	w, h := float64(s.Width)/2, float64(s.Height)/2
	if s.Shape == duct.Rect {
		return leaveBox(w, h, x, y, dx, dy)
	}
	r := math.Min(w, h)
	w, h = w-r, h-r
	t := math.Max(leaveDisc(r, x-w, y-h, dx, dy), leaveDisc(r, x+w, y+h, dx, dy))
	switch {
	case w > 0:
		return math.Max(t, leaveBox(w, r, x, y, dx, dy))
	case h > 0:
		return math.Max(t, leaveBox(r, h, x, y, dx, dy))
	}
	return t
}

func leaveBox(w, h, x, y, dx, dy float64) float64 {
	t := math.Inf(1)
	if math.Abs(dx) > geom.Straight {
		t = (math.Copysign(w, dx) - x) / dx
	}
	if math.Abs(dy) > geom.Straight {
		t = math.Min(t, (math.Copysign(h, dy)-y)/dy)
	}
	return t
}

func leaveDisc(r, x, y, dx, dy float64) float64 {
	a, half := dx*dx+dy*dy, x*dx+y*dy
	root := half*half - a*(x*x+y*y-r*r)
	return (-half + math.Sqrt(math.Max(0, root))) / a
}

// wye adds the legs of a junction none of whose legs lie in one line: each from the main's
// end, turning to its own direction.
func (b *builder) wye(n *duct.Node, legs []leg) {
	in := legs[0]
	f := in.frameIn()
	for _, l := range legs[1:] {
		angle := geom.TurnBetween(f.along, l.dir)
		if in.takeOut < geom.Same || l.takeOut < geom.Same || math.Pi-angle < geom.Straight {
			continue
		}
		seam := f.along.Add(l.dir).Unit()
		corner := f.at.Add(f.along.Scale(in.takeOut))
		q := quartersOf(in.Outside, l.Outside)
		first, last := ringOf(f, in.Outside, q), ringOf(l.frameOut(l.takeOut), l.Outside, q)
		mid := make(ring, len(first))
		for i, p := range ringOf(f, l.Outside, q) {
			mid[i] = onPlane(p, f.along, corner, seam)
		}
		b.add(n.Key.At(l.Run.Key).Part("body"), l.Run, []ring{first, mid, last})
	}
}
