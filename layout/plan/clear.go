package plan

import (
	"fmt"
	"math"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
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
func (d *drawing) clearances() {
	var places []place
	for _, l := range d.spec.Limits {
		places = append(places, place{geom.PolygonRegion(l.Outline), l.Underside, false, l.Handle})
	}
	for _, c := range d.spec.Ceilings {
		places = append(places, place{geom.PolygonRegion(c.Outline), c.Height, true, c.Handle})
	}
	var ix geom.Index
	for i, p := range d.pieces {
		if !p.foot.Empty() && !p.column && p.status != duct.Removed {
			ix.Insert(p.ground().Box.Grow(flange), i)
		}
	}
	for _, o := range places {
		if o.region.Empty() {
			continue
		}
		worst := map[duct.RunID]hit{} // by the first run of the section
		var order []duct.RunID
		for _, i := range ix.Search(o.region.Box) {
			p := d.pieces[i]
			h := d.tooNear(p, o)
			k := d.sectionOf(p.run)
			if _, seen := worst[k]; !seen {
				order = append(order, k)
			}
			if w, seen := worst[k]; !seen || h.short > w.short {
				worst[k] = h
			}
		}
		for _, k := range order {
			if h := worst[k]; h.short > leastClash {
				d.tellClearance(&d.net.Runs[k], o, h)
			}
		}
	}
}

// stretchOf returns the first run of the section of r, or r where it has none.
func (d *drawing) sectionOf(r duct.RunID) duct.RunID {
	s := d.net.Runs[r].Section
	if s < 0 || int(s) >= len(d.net.Sections) || len(d.net.Sections[s].Runs) == 0 {
		return r
	}
	return d.net.Sections[s].Runs[0]
}

// tooNear returns by how much a piece with its flanges comes too near to o, at the worst place.
func (d *drawing) tooNear(p *piece, o place) hit {
	extra := 0.0
	if d.size(p.run).Shape != duct.Round {
		extra = flange
	}
	best := hit{short: math.Inf(-1)}
	wide := *p
	if extra > 0 && o.region.Box.Meets(p.ground().Box.Grow(extra)) {
		wide.space = outset(p.ground(), extra)
	}
	for _, m := range common(&wide, &piece{foot: o.region}) {
		low, high := p.span(m)
		short := high + extra - (o.height - float64(d.spec.Clear))
		z := high
		if o.above {
			short, z = o.height+float64(d.spec.Clear)-(low-extra), low
		}
		if short > best.short {
			best = hit{short, m.At(z)}
		}
	}
	return best
}

func (d *drawing) tellClearance(r *duct.Run, o place, h hit) {
	what, do := "the underside of the limit", "lower the duct, make it flatter, or lead it around"
	if o.above {
		what, do = "the ceiling", "raise the duct, make it flatter, or lower the ceiling"
	}
	d.tell(diag.Clearance, at(h.at), handle(r),
		fmt.Sprintf("duct %s with insulation and flanges is %s too near to %s at %s", d.named(r), mm(h.short), what, duct.Length(o.height).Level(d.spec.Inches)), do)
}

// ratedWall words what is crossed.
func ratedWall(rating duct.Rating) string {
	if !rating.Known() {
		return "rated wall"
	}
	return "wall rated for " + rating.String()
}

// rated marks and reports where ducts cross rated walls.
func (d *drawing) rated() []shape.Shape {
	var ix geom.Index
	var lines []geom.Curve
	var handles []string
	var ratings []duct.Rating
	for _, w := range d.spec.Rated {
		for _, c := range w.Path.Curves(false) {
			ix.Insert(c.Box(), len(lines))
			lines, handles, ratings = append(lines, c), append(handles, w.Handle), append(ratings, w.Rating)
		}
	}
	if len(lines) == 0 {
		return nil
	}
	before := len(d.shapes)
	for i := range d.net.Runs {
		r := &d.net.Runs[i]
		if r.Vertical() || r.Status == duct.Removed {
			continue
		}
		axis, n := d.axes[i], 0
		for _, k := range ix.Search(axis.Box()) {
			for _, m := range geom.Meet(axis, lines[k]) {
				// A crossing at the very end of a run is the next run's.
				if m.A < 0 || m.A >= axis.PlanLen() || m.B < 0 || m.B >= lines[k].PlanLen() {
					continue
				}
				n++
				d.tell(diag.RatedCrossing, at(m.P), handles[k],
					fmt.Sprintf("%s duct %s crosses a %s", r.Air, d.named(r), ratedWall(ratings[k])),
					"have a fire or smoke damper settled by those responsible; Twinline chooses none")
				if d.spec.Symbols.Rated != nil {
					mark := d.spec.Symbols.Rated(ratings[k], m.P, axis.PlanDir(m.A), float64(d.size(r.ID).Width), d.spec.TextHeight*d.spec.Scale)
					d.show(r, shape.Damp, r.Key+"/rated/"+itoa(n), offWall(mark, m.P, lines[k])...)
				}
			}
		}
	}
	out := d.shapes[before:]
	return append([]shape.Shape(nil), out...)
}
