package sizing

import (
	"fmt"
	"math"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/words"
)

// draft is a plan with sizes, as they stand.
type draft struct {
	*plan
	picker *picker
	runs   []duct.Size // by run
	sizes  []sized     // by section
	found  diag.List
}

// sized is the size of a section and how it came about.
type sized struct {
	size  duct.Size
	by    duct.Decision
	exact duct.Length // before rounding; 0 where kept
	cut   bool        // made smaller by balancing, whatever it covers since
	flat  bool        // became rectangular under a height limit
	none  bool        // no step would do
	base  duct.Size   // by its limits alone, whatever it feeds
}

// newDraft gives every section of a plan its size: kept ones theirs, the others by their limits, outward, and then,
// inward, no smaller than what they feed.
func newDraft(p *plan) *draft {
	d := &draft{plan: p, picker: newPicker(&p.spec),
		runs: make([]duct.Size, len(p.net.Runs)), sizes: make([]sized, len(p.sections))}
	for i := range p.net.Runs {
		if r := &p.net.Runs[i]; r.System == duct.None {
			d.runs[i] = r.Spec.Fixed
		}
	}
	for si := range p.net.Systems {
		for _, id := range p.net.Systems[si].Sections {
			if s := &p.sections[id]; s.kept != duct.Undecided {
				d.sizes[id].by = s.kept
				d.set(id, s.fixed)
			}
		}
	}
	for si := range p.net.Systems {
		list := p.net.Systems[si].Sections
		for _, id := range list {
			if d.isFree(id) {
				d.sizes[id].exact = p.sections[id].lim.exact(p.sections[id].flow)
				d.size(id, d.limits(id), floor{})
				d.sizes[id].base = d.sizes[id].size
			}
		}
		d.coverAll(list)
	}
	return d
}

// isFree reports a section whose size is to be found.
func (d *draft) isFree(id duct.SectionID) bool { return d.sections[id].kept == duct.Undecided }

// limits returns what a section has to keep within, in the shape it has.
func (d *draft) limits(id duct.SectionID) limits {
	lim := d.sections[id].lim
	if d.sizes[id].flat {
		lim.shape = duct.Rect
	}
	return lim
}

// set gives a section a size.
func (d *draft) set(id duct.SectionID, s duct.Size) {
	d.sizes[id].size = s
	for _, r := range d.net.Sections[id].Runs {
		d.runs[r] = s
	}
}

// plain returns what decides a size found by its limits alone, before it is known which of them.
func (s *section) plain() duct.Decision {
	if s.flow <= leastFlow {
		return duct.NoAir
	}
	return duct.FrictionLimit
}

// isPlain reports a size decided by its limits alone.
func isPlain(by duct.Decision) bool { return by == duct.FrictionLimit }

// size gives a section the smallest size within limits that covers f. Where there is none it stays as it is.
func (d *draft) size(id duct.SectionID, lim limits, f floor) {
	s, st := &d.sections[id], &d.sizes[id]
	st.by = s.plain()
	size, ok := d.pick(id, lim, f)
	if !ok && lim.shape == duct.Round && lim.height > 0 {
		w := d.wishes(id)
		lim.shape = duct.Rect
		if size, ok = d.picker.pick(lim, s.flow, f, w); ok {
			st.flat = true
			d.sayShapeChanged(id, size)
		}
	}
	switch {
	case ok:
		d.set(id, size)
	case st.size.IsZero():
		st.none = true
		d.sayNoSize(id)
		d.set(id, duct.RoundOf(max(st.exact, d.spec.Least, duct.Millimetre))) // to go on with
	}
}

// pick returns the smallest size of a section within limits that covers f, as wished for if there is such a one.
func (d *draft) pick(id duct.SectionID, lim limits, f floor) (duct.Size, bool) {
	w := d.wishes(id)
	size, ok := d.picker.pick(lim, d.sections[id].flow, f, w)
	if !ok && (w != wish{}) {
		size, ok = d.picker.pick(lim, d.sections[id].flow, f, wish{})
	}
	return size, ok
}

// wishes returns what the size of a section should be like, from that of the one that feeds it.
func (d *draft) wishes(id duct.SectionID) wish {
	up := d.net.Sections[id].Up
	if d.sections[id].first || up == duct.None || !d.sizes[id].flat && d.sections[id].lim.shape == duct.Round {
		return wish{}
	}
	s := d.runs[d.lastRun(up).ID]
	if s.IsZero() || s.Shape == duct.Round {
		return wish{}
	}
	w := wish{mostWidth: max(s.Width, s.Height), mostSide: s.Height}
	if d.sections[up].on == id {
		w.height = s.Height
	}
	return w
}

// coverAll makes every section that is found no smaller than those it feeds, from the outermost in.
func (d *draft) coverAll(list []duct.SectionID) {
	for k := len(list) - 1; k >= 0; k-- {
		d.cover(list[k])
	}
}

// cover makes a section that is found no smaller than those it feeds; what ends on a box need not be. What was decided
// by something else than the limit of friction is not held against that here either.
func (d *draft) cover(id duct.SectionID) {
	st := &d.sizes[id]
	if !d.isFree(id) || d.endOf(id).Kind == duct.Box {
		return
	}
	f := d.floorOf(id)
	if f.covers(st.size) {
		return
	}
	before, was, unbound := st.size, st.by, d.unbound(id) || d.heldDown(id)
	again := func(f floor) {
		lim := d.limits(id)
		if unbound {
			lim.rate = 0
		}
		d.size(id, lim, f)
	}
	again(f)
	if g := d.floorOf(id); g != f { // it became rectangular, so that sides are compared too
		again(g)
	}
	if st.by = was; st.size != before {
		st.by = duct.WhatItFeeds
	}
}

// unbound reports a section whose size is not held against the limit of friction: sized by regain, by cost or to a
// budget.
func (d *draft) unbound(id duct.SectionID) bool {
	s, st := &d.sections[id], &d.sizes[id]
	return st.cut || s.method == StaticRegain && !s.first && st.by != duct.NoStaticGain ||
		s.method == Optimised && d.isFree(id) && !isPlain(st.by)
}

// heldDown reports a section that static regain sized by friction and kept no larger than what feeds it: smaller than
// friction asks.
func (d *draft) heldDown(id duct.SectionID) bool {
	st := &d.sizes[id]
	return st.by == duct.NoStaticGain && st.size.Equivalent() < st.base.Equivalent()
}

// floorOf returns what section id has to cover.
func (d *draft) floorOf(id duct.SectionID) floor {
	var f floor
	lim := d.limits(id)
	for c := range d.children(id) {
		f = f.with(d.sizes[c].size, &lim)
	}
	return f
}

// choice returns what decided the size of a section, with the limit.
func (d *draft) choice(id duct.SectionID) duct.Choice {
	s, st, lim := &d.sections[id], &d.sizes[id], d.limits(id)
	c := duct.Choice{By: st.by, Feeds: duct.None}
	if isPlain(c.By) {
		c.By = d.binding(id, lim)
	}
	switch c.By {
	case duct.FrictionLimit:
		c.Rate, c.Source = lim.rate, "sizing.rate"
	case duct.VelocityLimit:
		c.Velocity, c.Source = lim.velocity, "sizing.max_velocity"
		if s.method == ConstVelocity {
			c.Source = "sizing.velocity, sizing.max_velocity"
		}
	case duct.LeastSize, duct.NoAir:
		c.Length, c.Source = d.spec.Least, "sizing.least"
	case duct.HeightLimit:
		c.Length, c.Source = lim.height, "sizing.max_height, or a note"
	case duct.AspectLimit:
		c.Aspect, c.Source = lim.aspect, "sizing.max_aspect"
	case duct.WhatItFeeds:
		largest := duct.Length(0)
		for child := range d.children(id) {
			if e := d.sizes[child].size.Equivalent(); e > largest {
				largest, c.Feeds = e, d.firstRun(child).ID
			}
		}
	case duct.Undecided, duct.NotedSize, duct.ExistingSize, duct.NeckSize, duct.StaticGain, duct.NoStaticGain,
		duct.LeastCost, duct.Budget, duct.HeldOn: // decided by no limit
	}
	if c.Source == "" {
		c.Source = reasonOf(c.By, s.method).source
	}
	return c
}

// binding returns which of its limits decided the size of a section.
func (d *draft) binding(id duct.SectionID, lim limits) duct.Decision {
	st := &d.sizes[id]
	round := st.size.Shape == duct.Round
	least := st.exact < d.spec.Least
	at := duct.RoundOf(st.exact) // what the limits of friction and velocity are compared in
	if !round {
		at, least = st.size, st.size.Width <= d.picker.sides.least*(1+stepSlack)
	}
	wider, flatter := lim, lim
	wider.height, flatter.aspect = 0, math.Inf(1)
	differs := func(other limits) bool { // from what is picked within lim
		size, _ := d.pick(id, lim, floor{})
		s, ok := d.pick(id, other, floor{})
		return size == st.size && ok && s != size
	}
	switch {
	case st.none:
		return duct.Undecided
	case st.flat || !round && lim.height > 0 && differs(wider):
		return duct.HeightLimit
	case least:
		return duct.LeastSize
	case !round && !math.IsInf(lim.aspect, 1) && differs(flatter):
		return duct.AspectLimit
	case lim.byVelocity(at):
		return duct.VelocityLimit
	}
	return duct.FrictionLimit
}

// sayNoSize reports that no step keeps within the limits.
func (d *draft) sayNoSize(id duct.SectionID) {
	s, r := &d.sections[id], d.firstRun(id)
	limit := ""
	if s.lim.height > 0 {
		limit = fmt.Sprintf(" under its height limit of %s", d.words.Length(s.lim.height))
	}
	say(&d.found, diag.NoSize, r,
		fmt.Sprintf("No size of the steps carries the %s of run %s%s; it would need %s round.",
			d.words.Flow(s.flow), words.Run(r.ID), limit, d.words.Size(duct.RoundOf(d.sizes[id].exact))),
		"Allow more height, a flatter duct or larger steps, or split the run.")
}

// sayShapeChanged reports that a run became rectangular, unless the one that feeds it did too.
func (d *draft) sayShapeChanged(id duct.SectionID, s duct.Size) {
	r := d.firstRun(id)
	if up := d.net.Sections[id].Up; up != duct.None && d.sizes[up].flat {
		return
	}
	say(&d.found, diag.ShapeChanged, r,
		fmt.Sprintf("No round size fits under the height limit of %s of run %s; it became %s.",
			d.words.Length(d.sections[id].lim.height), words.Run(r.ID), d.words.Size(s)),
		"Write \"rect\" or \"oval\" beside it to say which it should be.")
}
