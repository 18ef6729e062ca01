package fitting

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// junction adds the legs of a node where three runs or more meet. The leg that turns least, if it turns by no more
// than duct.StraightOn, goes straight on. Two legs without one are a bullhead if both turn about square and to
// opposite sides, else a wye; more are a cross.
func (c *chooser) junction(n *duct.Node, legs []duct.Leg) {
	in := &legs[withRole(legs, duct.MainLeg)]
	common := c.size(in.Run)
	kind := branchKind(legs)
	first := len(c.out)
	for i := range legs {
		out := &legs[i]
		if out.Role == duct.MainLeg {
			continue
		}
		f := duct.Fitting{
			Node: n.ID, Kind: kind, Run: out.Run.ID, Main: in.Run.ID, Common: common, Own: c.size(out.Run),
			Angle: geom.TurnBetween(in.Dir.Scale(-1), out.Dir), At: n.At,
		}
		if out.Role != duct.StraightLeg {
			f.Damper = c.BranchDampers
			f.Over = over(&f, in, out)
			c.takeoffForm(&f, in, out)
			c.add(f)
			continue
		}
		f.Kind = duct.Through
		changes := c.changes(in, out)
		if changes {
			f.Own = common // the size changes after the junction
		}
		c.add(f)
		if changes {
			c.sizeChange(n, in, out)
		}
	}
	partMouths(legs, c.out[first:])
	c.takeJunction(legs)
	c.takeMouths(legs, c.out[first:])
}

// partMouths makes plain what leaves one place of a main to one side so near to each other that the mouths would lie on
// each other: the branches part beyond the wall then, as one piece. fits are the fittings of the node.
func partMouths(legs []duct.Leg, fits []duct.Fitting) {
	in := &legs[withRole(legs, duct.MainLeg)]
	ahead := in.Dir.Scale(-1)
	type mouth struct {
		f          *duct.Fitting
		side       geom.Vec
		back, fore float64 // along the main, ahead of the node
	}
	var mouths []mouth
	for i := range fits {
		f := &fits[i]
		if f.Kind != duct.Takeoff && f.Kind != duct.Cross {
			continue
		}
		l := legOf(legs, f.Run)
		cos := l.Dir.Dot(ahead)
		side := l.Dir.Sub(ahead.Scale(cos))
		sin := math.Max(side.Len(), LeastSine)
		hb, hm := half(l.Run, f.Own, l.Dir, ahead), half(in.Run, f.Common, ahead, l.Dir)
		m := mouth{f, side, (hm*cos - hb) / sin, (hm*cos + hb) / sin}
		switch f.Form {
		case duct.Entry45:
			m.back -= float64(f.Length)
		case duct.Conical:
			m.back -= (ConeMouth - 1) * hb / sin
			m.fore += (ConeMouth - 1) * hb / sin
		case duct.Plain:
		}
		for _, o := range mouths {
			if o.side.Dot(side) > geom.Straight && math.Max(m.back, o.back) < math.Min(m.fore, o.fore)-geom.Same {
				o.f.Form, o.f.Length = duct.Plain, 0
				f.Form, f.Length = duct.Plain, 0
			}
		}
		mouths = append(mouths, m)
	}
}

// legOf returns the leg of a run.
func legOf(legs []duct.Leg, r duct.RunID) *duct.Leg {
	return &legs[slices.IndexFunc(legs, func(l duct.Leg) bool { return l.Run.ID == r })]
}

// branchKind names the legs that do not go straight on.
func branchKind(legs []duct.Leg) duct.FittingKind {
	switch {
	case len(legs) > 3:
		return duct.Cross
	case withRole(legs, duct.StraightLeg) >= 0:
		return duct.Takeoff
	}
	ahead := legs[withRole(legs, duct.MainLeg)].Dir.Scale(-1)
	var sides [2]geom.Vec
	square, k := true, 0
	for i := range legs {
		l := &legs[i]
		if l.Role == duct.MainLeg {
			continue
		}
		turn := geom.TurnBetween(ahead, l.Dir)
		square = square && turn >= bullheadTurn && turn <= math.Pi-bullheadTurn+2*duct.StraightOn
		sides[k] = l.Dir
		k++
	}
	if square && sides[0].Dot(sides[1]) < 0 {
		return duct.Bullhead
	}
	return duct.Wye
}

// over returns what a branch measures more than its main in the direction square to both: what of it finds no wall to
// leave from.
func over(f *duct.Fitting, in, out *duct.Leg) duct.Length {
	square := in.Dir.Cross(out.Dir)
	if f.Kind != duct.Takeoff && f.Kind != duct.Cross || f.Common.IsZero() || square.Len() < geom.Straight {
		return 0
	}
	over := 2 * (half(out.Run, f.Own, out.Dir, square) - half(in.Run, f.Common, in.Dir, square))
	if over < geom.Same {
		return 0
	}
	return duct.Length(over)
}

// takeoffForm decides how a branch leaves its main, and how long that makes it.
func (r *rules) takeoffForm(f *duct.Fitting, in, out *duct.Leg) {
	w := half(out.Run, f.Own, out.Dir, in.Dir) * 2
	if f.Kind != duct.Takeoff && f.Kind != duct.Cross || w <= 0 || f.Over > 0 {
		return // a wide mouth on a branch that is too large as it is would be wider still
	}
	switch {
	case f.Own.Shape == duct.Rect && r.TakeoffRect == duct.Entry45, f.Own.Shape == duct.Round &&
		r.TakeoffRound == duct.Entry45:
		f.Form, f.Length = duct.Entry45, duct.Length(math.Max(w*entryShare, entryLeast))
	case f.Own.Shape == duct.Round && r.TakeoffRound == duct.Conical:
		f.Form, f.Length = duct.Conical, duct.Length(w*coneShare)
	}
}

// ConeMouth is the width of a conical takeoff where it meets the main, to that of the branch. Common practice.
const ConeMouth = 1.25

// LeastSine bounds how far the mouth of a cone is drawn out along the main by a branch that leaves at a slight angle.
const LeastSine = 0.35

// The usual measures of a 45 degree entry, a quarter of the branch's width and no less than 100 mm, and of a cone, half
// of its diameter. Common practice, from memory.
const (
	entryShare = 0.25
	entryLeast = 0.1
	coneShare  = 0.5
)

// takeJunction notes how much of every leg lies within the body of a junction. The straight leg begins with the size of
// the main.
func (b *ledger) takeJunction(legs []duct.Leg) {
	main := b.size(legs[withRole(legs, duct.MainLeg)].Run)
	here := func(l *duct.Leg) duct.Size {
		if l.Role == duct.StraightLeg && !main.IsZero() {
			return main
		}
		return b.size(l.Run)
	}
	for i := range legs {
		p := &legs[i]
		sp, most := here(p), 0.0
		for j := range legs {
			q := &legs[j]
			if i == j {
				continue
			}
			sq := here(q)
			hp := half(p.Run, sp, p.Dir, q.Dir)
			most = math.Max(most, reach(p.Dir, q.Dir, hp, half(q.Run, sq, q.Dir, p.Dir)))
			if geom.TurnBetween(p.Dir, q.Dir) < leastAngle && !sp.IsZero() && !sq.IsZero() {
				// One lies on the other all along: there is no room whatever their length.
				most = math.Max(most, math.Min(p.Run.Line.Len(), q.Run.Line.Len())+hp)
			}
		}
		b.of(p).fixed = most
	}
}

// takeMouths notes how much more of the main and of what goes on from it the wide mouths of the branches take: that of
// a 45 degree entry on the side of the unit, that of a cone on both sides. fits are the fittings of the node.
func (b *ledger) takeMouths(legs []duct.Leg, fits []duct.Fitting) {
	for i := range legs {
		b.of(&legs[i]).mouth = 0
	}
	for i := range fits {
		f := &fits[i]
		if f.Form == duct.Plain || f.Length <= 0 {
			continue
		}
		in, branch := &legs[withRole(legs, duct.MainLeg)], legOf(legs, f.Run)
		hb := half(branch.Run, f.Own, branch.Dir, in.Dir)
		for k := range legs {
			l := &legs[k]
			if l == branch || b.within[l.Run.ID] || l != in &&
				geom.TurnBetween(in.Dir.Scale(-1), l.Dir) > duct.StraightOn {
				continue
			}
			sin := math.Max(math.Sin(geom.TurnBetween(branch.Dir, l.Dir)), LeastSine)
			more := 0.0
			switch {
			case f.Form == duct.Conical:
				more = (ConeMouth - 1) * hb / sin
			case l == in:
				more = float64(f.Length)
			}
			s := b.size(in.Run)
			if s.IsZero() {
				s = b.size(l.Run)
			}
			k := b.of(l)
			at := wallsMeet(l.Dir, branch.Dir, half(l.Run, s, l.Dir, branch.Dir), hb)
			k.mouth = math.Max(k.mouth, at+more-k.fixed)
		}
	}
}
