package fitting

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// room returns how much of a run the bend at one of its ends may take. What junctions and the change of size leave is
// shared by the bends at both ends: each gets what it wants if the other one can do with the rest, else they
// share alike; neither less than its tightest, while there is that much without the change of size.
func (c *chooser) room(r *duct.Run, at int) float64 {
	k := &c.claim[r.ID]
	mine, other := k[at], k[1-at]
	free := math.Max(0, r.Line.Len()-mine.fixed-other.fixed)
	rest := free - c.taper[r.ID]
	switch {
	case mine.want+other.want <= rest:
		return mine.want
	case mine.least+other.least >= free:
		if mine.least+other.least == 0 {
			return 0
		}
		return free * mine.least / (mine.least + other.least)
	case mine.least+other.least >= rest:
		return mine.least
	}
	share := rest / 2
	switch {
	case mine.want <= share:
		share = mine.want
	case other.want <= share:
		share = rest - other.want
	}
	return math.Min(math.Max(share, mine.least), rest-other.least)
}

// settleBend decides the radius of a bend, or that it is sharp, by the room on both sides.
func (c *chooser) settleBend(f *duct.Fitting) {
	n := &c.net.Nodes[f.Node]
	if f.Kind != duct.Elbow && f.Kind != duct.DropConn || c.isHose(f) {
		return
	}
	legs := c.legsAt(n)
	main := max(mainLeg(legs), 0)
	in, out := legs[main], legs[1-main]
	w := 2 * half(in.run, f.Own, in.dir, out.dir)
	tan := math.Tan(f.Angle / 2)
	room := math.Min(c.room(in.run, in.end), c.room(out.run, out.end))
	radius := room / tan
	want, least := c.radii(f, w)
	smooth := math.Max(c.rules.ElbowLeast*w, least)
	switch {
	case !c.mitred(f) && radius >= want-geom.Same:
		f.Radius = duct.Length(want)
	case !c.mitred(f) && radius >= smooth-geom.Same:
		f.Radius = duct.Length(radius)
	default:
		c.sharp(f, math.Max(0, least*tan-room))
	}
	has := float64(f.Radius) * tan
	if f.Radius == 0 {
		has = math.Min(least*tan, room)
	}
	for _, l := range [...]leg{in, out} {
		c.claim[l.run.ID][l.end].has = has
	}
	if f.ShortBy < geom.Same {
		f.ShortBy = 0
	}
}

// sharp makes a bend a mitre that lacks short metres.
func (c *chooser) sharp(f *duct.Fitting, short float64) {
	f.Radius, f.ShortBy = 0, duct.Length(short)
	if f.Kind == duct.DropConn {
		return
	}
	f.Kind = duct.Mitre
	vanes := c.rules.MitreVanes || c.rules.MitreAlways
	if vanes && f.Own.Shape == duct.Rect && f.Angle >= vanesFrom-geom.Straight {
		f.Kind = duct.VanedMitre
	}
}

// leastTaper is the share of its length by the rules below which a change of size is not made shorter: it is then
// almost a step, and told with what is missing. Common practice.
const leastTaper = 0.1

// settleLength fits changes of size, 45 degree entries and cones into what the other fittings leave of
// their run.
func (c *chooser) settleLength(f *duct.Fitting) {
	r := &c.net.Runs[f.Run]
	k := &c.claim[r.ID]
	left := r.Line.Len() - k[near].fixed - k[far].fixed - k[near].has - k[far].has
	switch f.Kind {
	case duct.Reducer, duct.Expander:
		want := float64(f.Length)
		if want <= left+geom.Same {
			return
		}
		length := math.Max(left, leastTaper*want)
		f.ShortBy = duct.Length(want - left)
		f.Length = duct.Length(length)
		f.Angle = taperAngle(f.Common, f.Own, length, f.Offset != 0, f.OffsetUp != 0)
	case duct.Takeoff, duct.Cross:
		if left < float64(f.Length) {
			f.Length = duct.Length(math.Max(0, left))
		}
		if f.Length < geom.Same {
			f.Length, f.Form = 0, duct.Plain
		}
		f.ShortBy = crowded(left)
	case duct.Through, duct.Wye, duct.Bullhead, duct.Entry, duct.Exit, duct.InlineBox, duct.StraightJoint:
		f.ShortBy = crowded(left)
	case duct.Elbow, duct.Mitre, duct.VanedMitre, duct.DropConn:
		f.ShortBy += crowded(left)
	case duct.TerminalConn:
		f.Length = duct.Length(math.Max(0, math.Min(float64(f.Length), left)))
	}
}

// crowded returns what a run lacks when what is left of it is less than nothing.
func crowded(left float64) duct.Length {
	if left < -geom.Same {
		return duct.Length(-left)
	}
	return 0
}

// Trims returns how much of every run its fittings take, by RunID: in metres along its axis from the node at From and
// from the node at To. Between them lies straight duct (of an arc: the arc itself); where the two overlap there is none. A change of
// size is counted at the end it lies at; a mitre by its inner corner; a branch by the far wall it meets its
// main with, and by its 45 degree entry or cone; the part of a run within the outline of a unit or a terminal as well.
func Trims(net *duct.Network, sections []duct.Section, fittings []duct.Fitting) [][2]duct.Length {
	c := &chooser{net: net, sections: sections, claim: make([][2]claim, len(net.Runs))}
	for i := range net.Nodes {
		n := &net.Nodes[i]
		legs := c.legsAt(n)
		main := max(mainLeg(legs), 0)
		switch {
		case n.Unit != duct.None:
			for _, l := range legs {
				c.claim[l.run.ID][l.end].fixed = inside(l, net.Units[n.Unit].Outline)
			}
		case n.Terminal != duct.None && len(legs) == 1:
			if t := &net.Terminals[n.Terminal]; fromSide(n, t, legs[0]) {
				c.claim[legs[0].run.ID][legs[0].end].fixed = inside(legs[0], t.Face)
			}
		case len(legs) > 2:
			c.claimJunction(legs, main, c.straightOf(legs, main))
		}
	}
	for i := range fittings {
		c.trim(&fittings[i])
	}
	out := make([][2]duct.Length, len(net.Runs))
	for i := range net.Runs {
		k := c.claim[i]
		a, b := k[near].fixed+k[near].has, k[far].fixed+k[far].has
		if hoses := k[near].want + k[far].want; hoses > 0 { // what is left to curve in
			share := math.Min(1, math.Max(0, net.Runs[i].Line.Len()-a-b)/hoses)
			a, b = a+share*k[near].want, b+share*k[far].want
		}
		if !net.Runs[i].Air.FromUnit() {
			a, b = b, a
		}
		out[i] = [2]duct.Length{duct.Length(a), duct.Length(b)}
	}
	return out
}

// trim adds what one fitting takes.
func (c *chooser) trim(f *duct.Fitting) {
	end := near
	if c.net.DownNode(&c.net.Runs[f.Run]) == f.Node {
		end = far
	}
	mine := &c.claim[f.Run][end]
	switch f.Kind {
	case duct.Elbow, duct.Mitre, duct.VanedMitre, duct.DropConn:
		legs := c.legsAt(&c.net.Nodes[f.Node])
		main := max(mainLeg(legs), 0)
		radius := float64(f.Radius)
		if radius == 0 {
			radius = half(legs[main].run, f.Own, legs[main].dir, legs[1-main].dir)
		}
		for _, l := range legs {
			if k := &c.claim[l.run.ID][l.end]; c.isHose(f) {
				k.want = c.hoseTrim(legs, radius)
			} else {
				k.has += radius * math.Tan(f.Angle/2)
			}
		}
	case duct.Reducer, duct.Expander, duct.Takeoff, duct.Cross, duct.TerminalConn:
		mine.has += float64(f.Length)
	}
}
