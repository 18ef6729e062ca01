package plan

import (
	"fmt"
	"math"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// flange is how far the flanges of rectangular and oval duct stand out beyond its
// insulation. Common practice: profiles of 20 to 40 mm.
const flange = 0.03

// place is one outline with the height ducts have to keep from.
type place struct {
	region geom.Region
	height float64
	above  bool // ducts stay above it (a ceiling), else below it (a limit)
	handle string
}

// clearances reports the ducts that come too near to limits and ceilings, once for each
// section and outline, at the worst place.
func (c *checks) clearances(solids []solid) {
	var places []place
	for _, l := range c.spec.Limits {
		places = append(places, place{geom.PolygonRegion(l.Outline), l.Underside, false, l.Handle})
	}
	for _, l := range c.spec.Ceilings {
		places = append(places, place{geom.PolygonRegion(l.Outline), l.Height, true, l.Handle})
	}
	var ix geom.Index
	for i, p := range solids {
		if !p.column && p.status != duct.Removed {
			ix.Insert(p.ground.Box.Grow(flange), i)
		}
	}
	for _, o := range places {
		if o.region.Empty() {
			continue
		}
		worst := map[duct.RunID]hit{} // by the first run of the section
		var order []duct.RunID
		for _, i := range ix.Search(o.region.Box) {
			h := c.tooNear(solids[i], o)
			k := c.sectionOf(solids[i].run)
			w, seen := worst[k]
			if !seen {
				order = append(order, k)
			}
			if !seen || h.short > w.short {
				worst[k] = h
			}
		}
		for _, k := range order {
			if h := worst[k]; h.short > leastClash {
				c.reportClearance(&c.net.Runs[k], o, h)
			}
		}
	}
}

// sectionOf returns the first run of the section of r, or r where it has none.
func (m *model) sectionOf(r duct.RunID) duct.RunID {
	s := m.net.Runs[r].Section
	if s < 0 || int(s) >= len(m.net.Sections) || len(m.net.Sections[s].Runs) == 0 {
		return r
	}
	return m.net.Sections[s].Runs[0]
}

// tooNear returns by how much a piece with its flanges comes too near to o, at the worst place.
func (c *checks) tooNear(p solid, o place) hit {
	extra := 0.0
	if c.size(p.run).Shape != duct.Round {
		extra = flange
	}
	wide := p
	if extra > 0 && o.region.Box.Meets(p.ground.Box.Grow(extra)) {
		wide.ground = outset(p.ground, extra)
	}
	best := hit{short: math.Inf(-1)}
	for _, m := range common(wide, solid{&piece{}, o.region}) {
		low, high := p.span(m)
		short, z := high+extra-(o.height-float64(c.spec.Clear)), high
		if o.above {
			short, z = o.height+float64(c.spec.Clear)-(low-extra), low
		}
		if short > best.short {
			best = hit{short, m.At(z)}
		}
	}
	return best
}

func (c *checks) reportClearance(r *duct.Run, o place, h hit) {
	what, do := "the underside of the limit", "lower the duct, make it flatter, or lead it around"
	if o.above {
		what, do = "the ceiling", "raise the duct, make it flatter, or lower the ceiling"
	}
	c.report(diag.Clearance, h.at, handle(r),
		fmt.Sprintf("duct %s with insulation and flanges is %s too near to %s at %s", c.named(r),
			c.words.Rounded(duct.Length(h.short)), what,
			c.words.Level(duct.Length(o.height))), do)
}
