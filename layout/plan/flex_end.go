package plan

import (
	"math"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// landing is a place where a flexible duct can end square on the outline of what it connects.
type landing struct {
	at  geom.Vec // the middle of its end, on the outline
	dir geom.Vec // square to the outline, into it
}

// landings are those that one end of a flexible duct has to choose from, with the transition to a neck between, which
// may be nil.
type landings struct {
	node   duct.NodeID
	places []landing
	neck   *duct.Fitting
	to     duct.Size // of the neck
}

// cornerGap is how far the end of a flexible duct stays from a corner of what it ends on, in metres: there has to be
// sheet around its spigot. Common practice.
const cornerGap = 0.025

// landingsOn returns where a duct of half that width, which comes to the outline g at x in direction u, can end on it:
// on the side it meets, and near a corner on the one beyond it. All of the end lies on the side, clear of its corners,
// as far as that is wide enough for it.
func landingsOn(g geom.Region, x, u geom.Vec, half float64) []landing {
	var out []landing
	for _, e := range sides(g) {
		t, dist := e.Nearest(x)
		if dist > geom.Same && dist > half-geom.Same {
			continue
		}
		l := e.PlanLen()
		s := t * l
		if e.Straight() {
			clear := math.Min(half+cornerGap, l/2)
			s = math.Max(math.Min(s, l-clear), clear)
		}
		dir := e.PlanDir(s).Left()
		if g.Area() < 0 {
			dir = dir.Scale(-1)
		}
		if dir.Dot(u) > geom.Straight {
			at := e.PlanAt(s)
			at.Z = x.Z
			out = append(out, landing{at, dir})
		}
	}
	return out
}

// sides returns the edges of g, straight ones that go on in one line as one.
func sides(g geom.Region) []geom.Curve {
	var out []geom.Curve
	goesOn := func(a, b geom.Curve) bool {
		return a.Straight() && b.Straight() && a.B.PlanDist(b.A) < geom.Same &&
			geom.TurnBetween(a.PlanDir(0), b.PlanDir(0)) < geom.Straight
	}
	for _, e := range g.Edges {
		if e.PlanLen() < geom.Same {
			continue
		}
		if n := len(out); n > 0 && goesOn(out[n-1], e) {
			out[n-1].B = e.B
			continue
		}
		out = append(out, e)
	}
	if n := len(out); n > 2 && goesOn(out[n-1], out[0]) {
		out[0].A = out[n-1].A
		out = out[:n-1]
	}
	return out
}

// landAt notes how the end of a flexible leg may land on g, which its axis meets at plan length s from its node; f is
// the transition to a neck of size to.
func (j *joints) landAt(n *duct.Node, l *leg, g geom.Region, s float64, f *duct.Fitting, to duct.Size) {
	half := l.half
	if f != nil {
		half = float64(to.Width) / 2
	}
	j.land[runEnd{l.Run.ID, l.End}] = landings{n.ID, landingsOn(g, l.axis.PlanAt(s), l.axis.PlanDir(s).Scale(-1), half),
		f, to}
}

// squareEnds leads both ends of a flexible duct square on to what they connect, and draws the transitions to necks
// there. It returns the centreline between, and whether its ends have a transition. least is the radius no bend should
// be tighter than.
func (d *flexes) squareEnds(chain []geom.Curve, first, last *duct.Run, least float64) ([]geom.Curve, [2]bool) {
	var necks [2]bool
	for end, r := range [2]*duct.Run{first, last} {
		ways := d.land[runEnd{r.ID, duct.End(end)}]
		if len(ways.places) == 0 || len(chain) == 0 {
			continue
		}
		if end == 0 {
			chain = reversed(chain)
		}
		length := 0.0
		if ways.neck != nil {
			length = float64(ways.neck.Length)
		}
		half := float64(d.size(r.ID).Width) / 2
		out, where, ok := landBest(chain, ways.places, length, math.Max(least, half), half)
		switch {
		case ok:
			chain = out
		default:
			d.report(diag.TightFitting, chain[len(chain)-1].B, handle(r),
				"the flexible duct has no room to turn square to what it ends at",
				"bring it straight to the middle of a side, or give it more room before it")
		}
		if ok && length > geom.Same {
			p := d.newPiece(r.Key.Part("neck", end), r, ways.node, r.From, r.To)
			axis := line(where.at, where.at.Sub(where.dir.Scale(length)))
			p.transition(station{axis, 0, ways.to}, station{axis, length, d.size(r.ID)})
			necks[end] = true
		}
		if end == 0 {
			chain = reversed(chain)
		}
	}
	return chain, necks
}

// reversed returns a chain of curves the other way.
func reversed(chain []geom.Curve) []geom.Curve {
	out := make([]geom.Curve, 0, len(chain))
	for _, c := range slices.Backward(chain) {
		out = append(out, c.Reverse())
	}
	return out
}

// landBest leads a chain to that of several landings which takes the widest bends, of those that keep least the one
// with the least turning; length of a transition lies before each. It fails where not even half the width, half, is
// left as a radius.
func landBest(chain []geom.Curve, places []landing, length, least, half float64) (best []geom.Curve, where landing,
	ok bool) {
	bestRadius, bestTurn := 0.0, math.Inf(1)
	for _, p := range places {
		out, radius := land(chain, p.at.Sub(p.dir.Scale(length)), p.dir, least)
		turn := 0.0
		for _, c := range out {
			turn += math.Abs(c.Sweep())
		}
		radius = math.Min(radius, least)
		if radius < half-geom.Same || radius < bestRadius-geom.Same || radius < bestRadius+geom.Same &&
			turn > bestTurn-geom.Straight {
			continue
		}
		best, where, ok, bestRadius, bestTurn = out, p, true, radius, turn
	}
	return best, where, ok
}

// How a flexible duct turns to where it ends: it leaves its way by approach, as a share of the last piece of it at most
// and no more than that many radii, or earlier, in steps of a share of the radius, where the turn would else be too
// tight. House style.
const (
	approachRadii = 2.0
	approachStep  = 0.25
	approachMost  = 200 // steps, whatever the length
)

// squareEnough is the angle in radians up to which a duct counts as square to what it ends on: over a metre of width
// its walls miss it by less than geom.Same.
const squareEnough = geom.Same

// land leads a chain on to end at a place in a direction, along two arcs that leave it as near to its end as they can
// keep the radius least, else where they are widest. It returns no chain where nothing leads there.
func land(chain []geom.Curve, at, dir geom.Vec, least float64) ([]geom.Curve, float64) {
	total := 0.0
	for _, c := range chain {
		total += c.PlanLen()
	}
	last := chain[len(chain)-1]
	l := last.PlanLen()
	off := at.PlanDist(last.B)
	if off < geom.Same && geom.TurnBetween(last.PlanDir(l), dir) < squareEnough {
		return chain, math.Inf(1)
	}
	step := math.Max(approachStep*least, total/approachMost)
	var best []geom.Curve
	radius := 0.0
	for back := math.Min(approachRadii*least, l*roomShare) + off; ; back += step {
		back = math.Min(back, total)
		rest := shorten(chain, back)
		a, u := chain[0].A, chain[0].PlanDir(0)
		if n := len(rest); n > 0 {
			a, u = rest[n-1].B, rest[n-1].PlanDir(rest[n-1].PlanLen())
		}
		if arcs, r := turnTo(a, u, at, dir); r > radius+geom.Same {
			best, radius = append(rest, arcs...), r
		}
		if radius >= least-geom.Same || back >= total {
			return best, radius
		}
	}
}

// shorten returns a chain without the last metres of it.
func shorten(chain []geom.Curve, metres float64) []geom.Curve {
	out := slices.Clone(chain)
	for n := len(out); n > 0; n-- {
		if l := out[n-1].PlanLen(); l > metres+geom.Same {
			out[n-1] = out[n-1].PlanSub(0, l-metres)
			return out[:n:n]
		} else {
			metres -= l
		}
	}
	return nil
}

// turnTo returns what leads from a in direction u to b in direction v, and the radius of its tighter arc: without an
// end where it is straight, zero where nothing does that a duct can follow.
func turnTo(a, u, b, v geom.Vec) ([]geom.Curve, float64) {
	if a.PlanDist(b) < geom.Same {
		return nil, 0
	}
	if w := b.Sub(a).Plan().Unit(); geom.TurnBetween(u, w) < squareEnough && geom.TurnBetween(w, v) < squareEnough {
		return []geom.Curve{line(a, b)}, math.Inf(1)
	}
	arcs := biarc(a, u, b, v)
	if len(arcs) < 2 {
		return nil, 0
	}
	radius, turn := math.Inf(1), 0.0
	for _, c := range arcs {
		turn += math.Abs(c.Sweep())
		if r := c.Radius(); r > 0 {
			radius = math.Min(radius, r)
		}
	}
	if turn > turnMost {
		return nil, 0
	}
	return arcs, radius
}

// turnMost bounds what a flexible duct turns before it ends: more would be a loop.
const turnMost = 1.25 * math.Pi
