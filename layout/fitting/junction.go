package fitting

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// junction adds the legs of a node where three runs or more meet. The leg that turns least, if it turns by no more
// than straightLeg, goes straight on. Two legs without one are a bullhead if both turn about square and to
// opposite sides, else a wye; more are a cross.
func (c *chooser) junction(n *duct.Node, legs []leg, main int) {
	in := legs[main]
	common := c.size(in.run)
	straight := c.straightOf(legs, main)
	kind := c.branchKind(legs, main, straight)
	first := len(c.out)
	for i, out := range legs {
		if i == main {
			continue
		}
		own := c.size(out.run)
		f := duct.Fitting{
			Node: n.ID, Kind: kind, Run: out.run.ID, Main: in.run.ID, Common: common, Own: own,
			Angle: geom.TurnBetween(in.dir.Scale(-1), out.dir), At: n.At,
		}
		if i == straight {
			f.Kind = duct.Through
			if c.changes(in, out) {
				f.Own = common // the size changes after the junction
			}
			c.add(f)
			if c.changes(in, out) {
				c.sizeChange(n, in, out)
			}
			continue
		}
		f.Damper = c.rules.BranchDampers
		f.Over = c.over(&f, in, out)
		c.form(&f, out)
		c.add(f)
	}
	c.partMouths(legs, main, c.out[first:])
	c.claimJunction(legs, main, straight)
	c.claimMouths(legs, main, c.out[first:])
}

// partMouths makes plain what leaves one place of a main to one side so near to each other that the mouths would lie on each
// other: the branches part beyond the wall then, as one piece. fits are the fittings of the node.
func (c *chooser) partMouths(legs []leg, main int, fits []duct.Fitting) {
	ahead := legs[main].dir.Scale(-1)
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
		l := legs[slices.IndexFunc(legs, func(l leg) bool { return l.run.ID == f.Run })]
		cos := l.dir.Dot(ahead)
		side := l.dir.Sub(ahead.Scale(cos))
		sin := math.Max(side.Len(), LeastSine)
		hb, hm := half(l.run, f.Own, l.dir, ahead), half(legs[main].run, f.Common, ahead, l.dir)
		m := mouth{f, side, (hm*cos - hb) / sin, (hm*cos + hb) / sin}
		switch f.Form {
		case duct.Entry45:
			m.back -= float64(f.Length)
		case duct.Conical:
			m.back -= (ConeMouth - 1) * hb / sin
			m.fore += (ConeMouth - 1) * hb / sin
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

// straightOf returns the leg that goes straight on from the main, -1 if none does. Of two in one direction it is the larger.
func (c *chooser) straightOf(legs []leg, main int) int {
	best, least, area := -1, straightLeg, duct.Area(0)
	for i, l := range legs {
		if i == main {
			continue
		}
		turn := geom.TurnBetween(legs[main].dir.Scale(-1), l.dir)
		s := c.size(l.run).Area()
		if turn < least-geom.Straight || turn < least+geom.Straight && (best < 0 || s > area) {
			best, least, area = i, turn, s
		}
	}
	return best
}

// branchKind names the legs that do not go straight on.
func (c *chooser) branchKind(legs []leg, main, straight int) duct.FittingKind {
	switch {
	case len(legs) > 3:
		return duct.Cross
	case straight >= 0:
		return duct.Takeoff
	}
	ahead := legs[main].dir.Scale(-1)
	var sides [2]geom.Vec
	square, k := true, 0
	for i, l := range legs {
		if i == main {
			continue
		}
		turn := geom.TurnBetween(ahead, l.dir)
		square = square && turn >= bullheadTurn && turn <= math.Pi-bullheadTurn+straightLeg+straightLeg
		sides[k] = l.dir
		k++
	}
	if square && sides[0].Dot(sides[1]) < 0 {
		return duct.Bullhead
	}
	return duct.Wye
}

// over returns what a branch measures more than its main in the direction square to both: what of it finds no wall to
// leave from.
func (c *chooser) over(f *duct.Fitting, in, out leg) duct.Length {
	square := in.dir.Cross(out.dir)
	if f.Kind != duct.Takeoff && f.Kind != duct.Cross || f.Common.IsZero() || square.Len() < geom.Straight {
		return 0
	}
	over := 2 * (half(out.run, f.Own, out.dir, square) - half(in.run, f.Common, in.dir, square))
	if over < geom.Same {
		return 0
	}
	return duct.Length(over)
}

// form decides how a branch leaves its main, and how long that makes it.
func (c *chooser) form(f *duct.Fitting, out leg) {
	w := half(out.run, f.Own, out.dir, c.legDir(f.Main, f.Node)) * 2
	if f.Kind != duct.Takeoff && f.Kind != duct.Cross || w <= 0 || f.Over > 0 {
		return // a wide mouth on a branch that is too large as it is would be wider still
	}
	switch {
	case f.Own.Shape == duct.Rect && c.rules.TakeoffRect == duct.Entry45, f.Own.Shape == duct.Round && c.rules.TakeoffRound == duct.Entry45:
		f.Form, f.Length = duct.Entry45, duct.Length(math.Max(w*entryShare, entryLeast))
	case f.Own.Shape == duct.Round && c.rules.TakeoffRound == duct.Conical:
		f.Form, f.Length = duct.Conical, duct.Length(w*coneShare)
	}
}

// ConeMouth is the width of a conical takeoff where it meets the main, to that of the branch. Common practice.
const ConeMouth = 1.25

// LeastSine bounds how far the mouth of a cone is drawn out along the main by a branch that leaves at a slight angle.
const LeastSine = 0.35

// The usual measures of a 45 degree entry, a quarter of the branch's width and no less than 100 mm, and of a cone, half of its
// diameter. Common practice, from memory.
const (
	entryShare = 0.25
	entryLeast = 0.1
	coneShare  = 0.5
)

func (c *chooser) legDir(id duct.RunID, node duct.NodeID) geom.Vec {
	r := &c.net.Runs[id]
	line := r.Outward()
	if c.net.DownNode(r) == node {
		return line.Tangent(1).Scale(-1)
	}
	return line.Tangent(0)
}

// claimJunction notes how much of every leg lies within the body of a junction. The straight leg begins with the size of
// the main.
func (c *chooser) claimJunction(legs []leg, main, straight int) {
	for i, a := range legs {
		sa := c.atJunction(legs, i, main, straight)
		most := 0.0
		for j, b := range legs {
			if i == j {
				continue
			}
			sb := c.atJunction(legs, j, main, straight)
			ha := half(a.run, sa, a.dir, b.dir)
			most = math.Max(most, reach(a.dir, b.dir, ha, half(b.run, sb, b.dir, a.dir)))
			if geom.TurnBetween(a.dir, b.dir) < leastAngle && !sa.IsZero() && !sb.IsZero() {
				// One lies on the other all along: there is no room whatever their length.
				most = math.Max(most, math.Min(a.run.Line.Len(), b.run.Line.Len())+ha)
			}
		}
		c.claim[a.run.ID][a.end].fixed = most
	}
}

// atJunction returns the size leg i has at the junction.
func (c *chooser) atJunction(legs []leg, i, main, straight int) duct.Size {
	if i == straight && !c.size(legs[main].run).IsZero() {
		return c.size(legs[main].run)
	}
	return c.size(legs[i].run)
}

// claimMouths notes how much more of the main and of what goes on from it the wide mouths of the branches take: that of a 45
// degree entry on the side of the unit, that of a cone on both sides. fits are the fittings of the node.
func (c *chooser) claimMouths(legs []leg, main int, fits []duct.Fitting) {
	for i := range fits {
		f := &fits[i]
		if f.Form == duct.Plain || f.Length <= 0 {
			continue
		}
		branch := slices.IndexFunc(legs, func(l leg) bool { return l.run.ID == f.Run })
		hb := half(legs[branch].run, f.Own, legs[branch].dir, legs[main].dir)
		for k, l := range legs {
			if k == branch || c.within[l.run.ID] || k != main && geom.TurnBetween(legs[main].dir.Scale(-1), l.dir) > straightLeg {
				continue
			}
			sin := math.Max(math.Sin(geom.TurnBetween(legs[branch].dir, l.dir)), LeastSine)
			more := 0.0
			switch {
			case f.Form == duct.Conical:
				more = (ConeMouth - 1) * hb / sin
			case k == main:
				more = float64(f.Length)
			}
			s := c.size(legs[main].run)
			if s.IsZero() {
				s = c.size(l.run)
			}
			k := &c.claim[l.run.ID][l.end]
			at := wallsMeet(l.dir, legs[branch].dir, half(l.run, s, l.dir, legs[branch].dir), hb)
			k.mouth = math.Max(k.mouth, at+more-k.fixed)
		}
	}
}
