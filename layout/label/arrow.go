package label

import (
	"fmt"
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// Flow arrows.
const (
	arrowSlim   = 0.3  // width of the box of an arrow, to its length
	arrowAt     = 0.7  // where along a duct, in the direction of the air, an arrow stands best
	arrowShort  = 0.65 // length of the shorter arrow tried where the usual one does not fit
	arrowPlaces = 11   // places tried along one run
	levelSide   = 1.1  // width of the mark before an elevation, to the height of capitals
)

// arrows puts arrows along every duct that has air, between its walls.
func (l *labeler) arrows(chains []*chain) {
	if l.spec.Symbols.Arrow == nil {
		return
	}
	long := l.spec.ArrowLength
	if !(long > 0) {
		long = defaultArrow
	}
	long *= l.spec.Scale
	for _, c := range chains {
		r := c.runs[0]
		if r.Kind != duct.Rigid || !(r.Flow > 0) {
			continue
		}
		length := l.length(c)
		n := l.repeats(length)
		for i := range n {
			key := fmt.Sprintf("%s/arrow/%d", r.Key, i+1)
			from, to := length*float64(i)/float64(n), length*float64(i+1)/float64(n)
			if !l.arrow(key, c, from, to, long) {
				l.arrow(key, c, from, to, long*arrowShort)
			}
		}
	}
}

// arrow puts one arrow on the part of c between two lengths and reports whether it fits.
func (l *labeler) arrow(key string, c *chain, from, to, long float64) bool {
	type place struct {
		run  *duct.Run
		at   geom.Vec
		dir  geom.Vec
		cost float64
	}
	want := from + arrowAt*(to-from)
	if !c.runs[0].Air.FromUnit() {
		want = to - arrowAt*(to-from)
	}
	best := place{cost: math.Inf(1)}
	begin := 0.0
	for _, r := range c.runs {
		axis := l.axes[r.ID]
		length := axis.PlanLen()
		half := float64(l.size(r).Width) / 2
		a, z := math.Max(from-begin, l.duct[r.ID][0]+long/2), math.Min(to-begin, l.duct[r.ID][1]-long/2)
		begin += length
		if z < a || l.single(r) || arrowSlim*long/2+labelInside*l.h > half {
			continue
		}
		for i := range arrowPlaces {
			t := a + (z-a)*float64(i)/float64(arrowPlaces-1)
			cost := math.Abs(begin - length + t - want)
			if cost >= best.cost {
				continue
			}
			p := place{r, axis.Point(t / length), axis.Tangent(t / length).Plan().Unit(), cost}
			if !r.Air.FromUnit() {
				p.dir = p.dir.Scale(-1)
			}
			air := labelAir * l.h
			if l.taken(geom.Rectangle(p.at, p.dir, long/2+air, arrowSlim*long/2+air), r.ID, p.at.Z, true) {
				continue
			}
			// An arrow and lettering stand one after the other in a duct, not side by side.
			if l.field.hit(geom.Rectangle(p.at, p.dir, long/2+air, half), func(t *thing) bool { return t.lettering && t.kind == reserved }) {
				continue
			}
			best = p
		}
	}
	if best.run == nil {
		return false
	}
	if l.spec.Flat {
		best.at.Z = 0
	}
	l.field.add(thing{pts: geom.Rectangle(best.at, best.dir, long/2, arrowSlim*long/2), kind: reserved})
	b := label{part: shape.Flow, air: best.run.Air, status: best.run.Status}
	l.draw(b, key, l.spec.Symbols.Arrow(best.at, best.dir.Angle(), long))
	return true
}
