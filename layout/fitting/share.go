package fitting

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// sharer shares out the lengths of the runs among the fittings chosen.
type sharer struct {
	*ledger
	rules
	fits  chosen
	mains [][]joint
}

// bends decides how far bends and offsets in the middle of ducts reach.
func (c *sharer) bends() {
	for i := range c.fits.all {
		switch f := &c.fits.all[i]; {
		case f.InDuct():
			c.offset(f)
		case (f.Kind == duct.Elbow || f.Kind == duct.DropConn) && !c.isFlexible(f):
			c.bend(f)
		}
	}
}

// bend decides the radius of a bend, or that it is sharp, by the room on both sides.
func (c *sharer) bend(f *duct.Fitting) {
	legs := c.legs.at(f.Node)
	in, out := bendLegs(legs)
	w := 2 * half(in.Run, f.Own, in.Dir, out.Dir)
	tan := math.Tan(f.Angle / 2)
	room := math.Min(c.room(in.Run.ID, in.End), c.room(out.Run.ID, out.End))
	radius := room / tan
	want, least := c.radii(f, w)
	smooth := math.Max(c.ElbowLeast*w, least)
	switch {
	case !c.mitred(f) && radius >= want-geom.Same:
		f.Radius = duct.Length(want)
	case !c.mitred(f) && radius >= smooth-geom.Same:
		f.Radius = duct.Length(radius)
	default:
		short := least*tan - room
		if f.Angle > SharpMost+geom.Straight { // it cannot be made sharp
			short = smooth*tan - room
		}
		c.sharp(f, math.Max(0, short))
	}
	has := float64(f.Radius) * tan
	if f.Radius == 0 {
		has = math.Min(least*tan, room)
	}
	c.of(in).has, c.of(out).has = has, has
	if f.ShortBy < geom.Same {
		f.ShortBy = 0
	}
}

// sharp makes a bend a mitre that lacks short metres.
func (c *sharer) sharp(f *duct.Fitting, short float64) {
	f.Radius, f.ShortBy = 0, duct.Length(short)
	if f.Kind == duct.DropConn {
		return
	}
	f.Kind = duct.Mitre
	vanes := c.MitreVanes || c.MitreAlways
	if vanes && f.Own.Shape == duct.Rect && f.Angle >= vanesFrom-geom.Straight && f.Angle <= SharpMost+geom.Straight {
		f.Kind = duct.VanedMitre
	}
}

// leastTaper is the share of its length by the rules below which a change of size is not made shorter: it is then
// almost a step, and its ShortBy says what is missing. Common practice.
const leastTaper = 0.1

// forms fits 45 degree entries and cones into what bends and changes of size leave of their branch and of the main
// on both sides; where there is no room, the branch is plain.
func (c *sharer) forms() {
	for i := range c.net.Nodes {
		fits := c.fits.at(duct.NodeID(i))
		if slices.ContainsFunc(fits, func(f duct.Fitting) bool { return f.Form != duct.Plain }) {
			c.form(c.legs.at(duct.NodeID(i)), fits)
		}
	}
}

// form is forms for one node.
func (c *sharer) form(legs []duct.Leg, fits []duct.Fitting) {
	room := math.Inf(1)
	for i := range legs {
		if l := &legs[i]; c.of(l).mouth > geom.Same {
			room = math.Min(room, c.left(l.Run.ID)-c.change[l.Run.ID])
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
	c.takeMouths(legs, fits)
}

// lengths fits changes of size, offsets and necks into what the other fittings leave of their run, and says what each
// lacks.
func (c *sharer) lengths() {
	for i := range c.fits.all {
		f := &c.fits.all[i]
		left := c.left(f.Run)
		crowded := duct.Length(0) // what the run lacks when what is left of it is less than nothing
		if left < -geom.Same {
			crowded = duct.Length(-left)
		}
		switch f.Kind.Traits().Family {
		case duct.ChangeFamily, duct.OffsetFamily:
			if !f.InDuct() {
				c.slope(f, left)
			}
		case duct.UnitFamily:
			f.Length = duct.Length(math.Max(0, math.Min(float64(f.Length), left-c.change[f.Run])))
			f.ShortBy = crowded
		case duct.OutletFamily:
			f.Length = duct.Length(math.Max(0, math.Min(float64(f.Length), left-c.change[f.Run])))
		case duct.BendFamily:
			f.ShortBy += crowded
		case duct.LegFamily, duct.BoxFamily, duct.JointFamily:
			f.ShortBy = crowded
		case duct.CapFamily, duct.DamperFamily, duct.NoFamily:
		}
	}
}

// slope fits a change of size or an offset before the end of a duct into what is left of its run, which it shares with
// what else slopes there.
func (c *sharer) slope(f *duct.Fitting, left float64) {
	want, all := float64(f.Length), c.change[f.Run]
	if all <= left+geom.Same {
		return
	}
	left *= want / all
	length := math.Max(left, leastTaper*want)
	f.ShortBy, f.Length = duct.Length(want-left), duct.Length(length)
	if f.Kind == duct.Offset {
		f.Angle = math.Atan2(math.Hypot(float64(f.Offset), float64(f.OffsetUp)), length)
		return
	}
	f.Angle = taperAngle(f.Common, f.Own, length, f.Offset != 0, f.OffsetUp != 0)
}
