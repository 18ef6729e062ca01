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
	free := math.Max(0, c.axes.long[r.ID]-mine.taken()-other.taken())
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
	if isJog(f) {
		c.settleJog(f)
		return
	}
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
		short := least*tan - room
		if f.Angle > SharpMost+geom.Straight { // nobody makes that sharp
			short = smooth*tan - room
		}
		c.sharp(f, math.Max(0, short))
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
	if vanes && f.Own.Shape == duct.Rect && f.Angle >= vanesFrom-geom.Straight && f.Angle <= SharpMost+geom.Straight {
		f.Kind = duct.VanedMitre
	}
}

// leastTaper is the share of its length by the rules below which a change of size is not made shorter: it is then
// almost a step, and told with what is missing. Common practice.
const leastTaper = 0.1

// left returns what junctions and bends leave of a run.
func (c *chooser) left(r duct.RunID) float64 {
	k := &c.claim[r]
	return c.axes.long[r] - k[near].taken() - k[far].taken() - k[near].has - k[far].has
}

// settleForms fits 45 degree entries and cones into what bends and changes of size leave of their branch and of the main
// on both sides; where there is no room, the branch is plain.
func (c *chooser) settleForms() {
	for i := 0; i < len(c.out); {
		j, shaped := i, false
		for ; j < len(c.out) && c.out[j].Node == c.out[i].Node; j++ {
			shaped = shaped || c.out[j].Form != duct.Plain
		}
		if shaped {
			c.settleForm(c.out[i:j])
		}
		i = j
	}
}

// settleForm is settleForms for the fittings of one node.
func (c *chooser) settleForm(fits []duct.Fitting) {
	legs := c.legsAt(&c.net.Nodes[fits[0].Node])
	main := max(mainLeg(legs), 0)
	room := math.Inf(1)
	for _, l := range legs {
		if c.claim[l.run.ID][l.end].mouth > geom.Same {
			room = math.Min(room, c.left(l.run.ID)-c.taper[l.run.ID])
		}
	}
	for i := range fits {
		f := &fits[i]
		if f.Form == duct.Plain {
			continue
		}
		f.Length = duct.Length(math.Max(0, math.Min(float64(f.Length), c.left(f.Run))))
		if room < -geom.Same || f.Length < geom.Same {
			f.Length, f.Form = 0, duct.Plain
		}
	}
	for _, l := range legs {
		c.claim[l.run.ID][l.end].mouth = 0
	}
	c.claimMouths(legs, main, fits)
}

// settleLength fits changes of size and necks into what the other fittings leave of their run, and tells what is missing.
func (c *chooser) settleLength(f *duct.Fitting) {
	left := c.left(f.Run)
	if isJog(f) {
		return
	}
	switch f.Kind {
	case duct.Reducer, duct.Expander, duct.Offset:
		want, all := float64(f.Length), c.taper[f.Run]
		if all <= left+geom.Same {
			return
		}
		left *= want / all // shared with what else slopes on this run
		length := math.Max(left, leastTaper*want)
		f.ShortBy = duct.Length(want - left)
		f.Length = duct.Length(length)
		if f.Kind == duct.Offset {
			f.Angle = math.Atan2(math.Hypot(float64(f.Offset), float64(f.OffsetUp)), length)
			return
		}
		f.Angle = taperAngle(f.Common, f.Own, length, f.Offset != 0, f.OffsetUp != 0)
	case duct.Takeoff, duct.Cross:
		f.ShortBy = crowded(left)
	case duct.Through, duct.Wye, duct.Bullhead, duct.InlineBox, duct.StraightJoint:
		f.ShortBy = crowded(left)
	case duct.Entry, duct.Exit:
		f.Length = duct.Length(math.Max(0, math.Min(float64(f.Length), left-c.taper[f.Run])))
		f.ShortBy = crowded(left)
	case duct.Elbow, duct.Mitre, duct.VanedMitre, duct.DropConn:
		f.ShortBy += crowded(left)
	case duct.TerminalConn:
		f.Length = duct.Length(math.Max(0, math.Min(float64(f.Length), left-c.taper[f.Run])))
	}
}

// crowded returns what a run lacks when what is left of it is less than nothing.
func crowded(left float64) duct.Length {
	if left < -geom.Same {
		return duct.Length(-left)
	}
	return 0
}

// takeOuts returns how much of every run its fittings take.
func takeOuts(net *duct.Network, sizes []duct.Size, ax *axes, fittings []duct.Fitting) []duct.TakeOut {
	c := &chooser{net: net, sizes: sizes, axes: ax, claim: make([][2]claim, len(net.Runs)), taper: make([]float64, len(net.Runs)),
		within: make([]bool, len(net.Runs))}
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
			if !legs[0].run.Vertical() {
				c.claim[legs[0].run.ID][legs[0].end].fixed = inside(legs[0], net.Terminals[n.Terminal].Face)
			}
		case len(legs) > 2:
			c.claimJunction(legs, main, c.straightOf(legs, main))
		}
	}
	for i := 0; i < len(fittings); {
		j := i
		for ; j < len(fittings) && fittings[j].Node == fittings[i].Node; j++ {
			c.trim(&fittings[j])
		}
		if legs := c.legsAt(&net.Nodes[fittings[i].Node]); len(legs) > 2 {
			c.claimMouths(legs, max(mainLeg(legs), 0), fittings[i:j])
		}
		i = j
	}
	c.claimRows(byNode(net, fittings))
	for i := range fittings {
		c.leaveNeck(&fittings[i])
	}
	out := make([]duct.TakeOut, len(net.Runs))
	for i := range net.Runs {
		k := c.claim[i]
		a, b := k[near].taken()+k[near].has, k[far].taken()+k[far].has
		if hoses := k[near].want + k[far].want; hoses > 0 { // what is left to curve in
			share := math.Min(1, math.Max(0, c.axes.long[i]-a-b)/hoses)
			a, b = a+share*k[near].want, b+share*k[far].want
		}
		out[i] = duct.TakeOut{duct.Length(a), duct.Length(b)}
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
	if isJog(f) {
		c.trimJog(f)
		return
	}
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
	case duct.Reducer, duct.Expander, duct.Offset, duct.Takeoff, duct.Cross, duct.TerminalConn, duct.Entry, duct.Exit:
		mine.has += float64(f.Length)
	}
}

// changeNeck is the straight duct left in metres between a branch and the change of size after it, where there is room: it
// has to be joined. Common practice.
const changeNeck = 0.05

// leaveNeck adds to a run the neck before its change of size.
func (c *chooser) leaveNeck(f *duct.Fitting) {
	n := &c.net.Nodes[f.Node]
	if f.Kind != duct.Reducer && f.Kind != duct.Expander || len(n.Runs) < 3 || n.Unit != duct.None {
		return
	}
	k := &c.claim[f.Run]
	if rest := c.left(f.Run) - c.taper[f.Run]; rest > geom.Same {
		k[near].has += math.Min(changeNeck, rest)
	}
}
