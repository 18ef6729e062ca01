package label

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// Flow arrows.
const (
	defaultArrow = 0.006 // plotted length where the settings give none, metres
	arrowSlim    = 0.3   // width of the box of an arrow, to its length
	arrowAt      = 0.7   // where along a duct, in the direction of the air, an arrow stands best
	arrowShort   = 0.65  // length of the shorter arrow tried where the usual one does not fit
	arrowPlaces  = 11    // places tried along one run
)

// arrow is a flow arrow at its place.
type arrow struct {
	run     *run
	at, dir geom.Vec // its middle, and where the air goes
	long    float64
}

// box returns the box of a with air around it.
func (a *arrow) box(air float64) []geom.Vec {
	return geom.Rectangle(a.at, a.dir, a.long/2+air, arrowSlim*a.long/2+air)
}

// arrows puts arrows along every duct that has air, between its walls.
func arrows(chains []*chain, taken *obstacles, spec *Spec) []shape.Shape {
	long := spec.ArrowLength
	if !(long > 0) {
		long = defaultArrow
	}
	long *= spec.Scale
	var out []shape.Shape
	for _, c := range chains {
		r := c.runs[0]
		if r.Kind != duct.Rigid || !(r.Flow > 0) {
			continue
		}
		for i, part := range c.spans(spec.RepeatEvery) {
			a, ok := taken.arrow(c, part, long, spec.tall())
			if !ok {
				a, ok = taken.arrow(c, part, long*arrowShort, spec.tall())
			}
			if !ok {
				continue
			}
			if spec.Flat {
				a.at.Z = 0
			}
			taken.add(obstacle{pts: a.box(0), kind: reserved})
			b := label{look: look{kind: shape.FlowText}, air: a.run.Air, status: a.run.Status}
			of := r.Key.Part("arrow", i+1)
			out = b.numbered(out, of, spec.Symbols.Arrow(a.at, a.dir.Angle(), a.long))
		}
	}
	return out
}

// arrow returns an arrow on a part of c, as near as can be to where it stands best, and whether it fits.
func (o *obstacles) arrow(c *chain, part span, long, tall float64) (arrow, bool) {
	want := part.from + arrowAt*(part.to-part.from)
	if !c.runs[0].Air.FromUnit() {
		want = part.to - arrowAt*(part.to-part.from)
	}
	best, least, begin := arrow{}, math.Inf(1), 0.0
	for _, r := range c.runs {
		from, to := math.Max(part.from-begin, r.from+long/2), math.Min(part.to-begin, r.to-long/2)
		start := begin
		begin += r.plan
		if to < from || r.single || arrowSlim*long/2+labelInside*tall > float64(r.Size.Width)/2 {
			continue
		}
		for i := range arrowPlaces {
			t := from + (to-from)*float64(i)/float64(arrowPlaces-1)
			cost := math.Abs(start + t - want)
			if cost >= least {
				continue
			}
			a := arrow{r, r.axis.Point(t / r.plan), r.axis.Tangent(t / r.plan).Plan().Unit(), long}
			if !r.Air.FromUnit() {
				a.dir = a.dir.Scale(-1)
			}
			if !o.arrowBlocked(&a, labelAir*tall) {
				best, least = a, cost
			}
		}
	}
	return best, best.run != nil
}

// arrowBlocked reports whether a cannot stand where it is, with air around it. An arrow may stand on the line of the
// sketch; it and lettering stand one after the other in a duct, not side by side.
func (o *obstacles) arrowBlocked(a *arrow, air float64) bool {
	across := geom.Rectangle(a.at, a.dir, a.long/2+air, float64(a.run.Size.Width)/2)
	return o.meets(a.box(air), func(t *obstacle) bool { return t.kind != sketchLine && t.hides(a.run, a.at.Z) }) ||
		o.meets(across, func(t *obstacle) bool { return t.kind == letters })
}
