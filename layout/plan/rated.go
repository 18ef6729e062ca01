package plan

import (
	"fmt"
	"math"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
	"twinline/layout/sketch"
)

// crossing is a place where a duct crosses a rated wall.
type crossing struct {
	run   *duct.Run
	n     int // of this run, from 1
	at    geom.Vec
	along geom.Vec
	wall  geom.Curve
	of    *sketch.Rated
}

// crossings returns where ducts that stand cross rated walls.
func (m *model) crossings() []crossing {
	var ix geom.Index
	var lines []geom.Curve
	var of []*sketch.Rated
	for i := range m.spec.Rated {
		w := &m.spec.Rated[i]
		for _, c := range w.Path.Curves(false) {
			ix.Insert(c.Box(), len(lines))
			lines, of = append(lines, c), append(of, w)
		}
	}
	var out []crossing
	for i := range m.net.Runs {
		r := &m.net.Runs[i]
		if r.Vertical() || r.Status == duct.Removed {
			continue
		}
		axis, n := m.Axes[i], 0
		for _, k := range ix.Search(axis.Box()) {
			for _, x := range geom.Meet(axis, lines[k]) {
				// A crossing at the very end of a run is the next run's.
				if x.A < 0 || x.A >= axis.PlanLen() || x.B < 0 || x.B >= lines[k].PlanLen() {
					continue
				}
				n++
				out = append(out, crossing{r, n, x.P, axis.PlanDir(x.A), lines[k], of[k]})
			}
		}
	}
	return out
}

// ratedWall words what is crossed.
func ratedWall(rating duct.Rating) string {
	if !rating.Known() {
		return "rated wall"
	}
	return "wall rated for " + rating.String()
}

// rated reports crossings of rated walls.
func (c *checks) rated(crossings []crossing) {
	for _, x := range crossings {
		c.report(diag.RatedCrossing, x.at, x.of.Handle,
			fmt.Sprintf("%s duct %s crosses a %s", x.run.Air, c.named(x.run), ratedWall(x.of.Rating)),
			"have a fire or smoke damper settled by those responsible; Twinline chooses none")
	}
}

// ratedMarks draws the marks of crossings of rated walls.
func ratedMarks(m *model, crossings []crossing) []shape.Shape {
	var out []shape.Shape
	for _, x := range crossings {
		mark := m.spec.Symbols.Rated(x.of.Rating, x.at, x.along, float64(m.size(x.run.ID).Width),
			m.spec.TextHeight*m.spec.Scale)
		p := piece{air: x.run.Air, status: x.run.Status}
		p.mark(shape.Damp, x.run.Key.Part("rated", x.n), offWall(mark, x.at, x.wall)...)
		for _, k := range p.marks {
			out = append(out, k.whole(&p))
		}
	}
	return out
}

// chord is how far the chords of a curved wall may stray from it, metres.
const chord = 0.002

// offWall returns a mark around at with its lettering moved to another of the four corners of the mark where the wall,
// whose line the mark stands on, runs through it. Walls cross ducts at any angle; a mark knows the duct alone.
func offWall(mark []shape.Geometry, at geom.Vec, wall geom.Curve) []shape.Geometry {
	pts := wall.Flatten(chord)
	free := func(t shape.Text) bool {
		box := t.Box()
		for i := 1; i < len(pts); i++ {
			if geom.Overlap(box, pts[i-1:i+1]) {
				return false
			}
		}
		return true
	}
	out := make([]shape.Geometry, len(mark))
	copy(out, mark)
	for i, g := range out {
		t, ok := g.(shape.Text)
		if !ok || t.Align != shape.BottomLeft {
			continue
		}
		u := geom.Direction(t.Angle)
		d := t.At.Sub(at)
		x, y := math.Abs(d.Dot(u)), math.Abs(d.Dot(u.Left()))
		for _, c := range [...]struct {
			x, y  float64
			align shape.Align
		}{{1, 1, shape.BottomLeft}, {-1, 1, shape.BottomRight}, {1, -1, shape.TopLeft}, {-1, -1, shape.TopRight}} {
			moved := t
			moved.At, moved.Align = at.Add(u.Scale(c.x*x)).Add(u.Left().Scale(c.y*y)), c.align
			if free(moved) {
				out[i] = moved
				break
			}
		}
	}
	return out
}
