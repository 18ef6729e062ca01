package label

import (
	"math"

	"github.com/tidwall/rtree"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// matter is what stands in the way of a label.
type matter uint8

const (
	drawnLine  matter = iota // a wall, a joint, part of a symbol: no lettering over it
	reserved                 // lettering, a terminal, a unit, the architect's texts
	leaderRun                // the line of a leader
	ownNote                  // a text of the sketch, which may be switched off when the plan is issued
	sketchLine               // the line a duct was sketched as
	foot                     // the ground a run covers in plan
)

// thing is one convex piece of matter: two points are a line.
type thing struct {
	pts  []geom.Vec
	kind matter
	run  duct.RunID // foot
	z    float64    // foot: of the axis

	lettering bool // reserved for lettering
}

// field knows everything that is in the way.
type field struct {
	things []thing
	tree   rtree.RTreeG[int32]
	theirs rtree.RTreeG[bool] // lines of others by their boxes: whether they fall or rise from left to right
}

func (f *field) add(t thing) {
	if len(t.pts) < 2 {
		return
	}
	low, high := bounds(t.pts)
	if !finite(low) || !finite(high) {
		return
	}
	f.tree.Insert(low, high, int32(len(f.things)))
	f.things = append(f.things, t)
}

// addStroke remembers a straight line of others.
func (f *field) addStroke(a, b geom.Vec) {
	low, high := bounds([]geom.Vec{a, b})
	if finite(low) && finite(high) {
		f.theirs.Insert(low, high, (b.X-a.X)*(b.Y-a.Y) < 0)
	}
}

// strokes returns how many lines of others a convex piece meets, at most most.
func (f *field) strokes(pts []geom.Vec, most int) int {
	n := 0
	low, high := bounds(pts)
	f.theirs.Search(low, high, func(a, b [2]float64, falls bool) bool {
		if falls {
			a[1], b[1] = b[1], a[1]
		}
		if geom.Overlap(pts, []geom.Vec{{X: a[0], Y: a[1]}, {X: b[0], Y: b[1]}}) {
			n++
		}
		return n < most
	})
	return n
}

// hit reports whether a convex piece meets anything that counts. A common border is no meeting.
func (f *field) hit(pts []geom.Vec, counts func(*thing) bool) bool {
	found := false
	low, high := bounds(pts)
	f.tree.Search(low, high, func(_, _ [2]float64, i int32) bool {
		t := &f.things[i]
		found = counts(t) && geom.Overlap(pts, t.pts)
		return !found
	})
	return found
}

// count returns how many things that count a convex piece meets.
func (f *field) count(pts []geom.Vec, counts func(*thing) bool) int {
	n := 0
	low, high := bounds(pts)
	f.tree.Search(low, high, func(_, _ [2]float64, i int32) bool {
		if t := &f.things[i]; counts(t) && geom.Overlap(pts, t.pts) {
			n++
		}
		return true
	})
	return n
}

func bounds(pts []geom.Vec) (low, high [2]float64) {
	low, high = [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, p := range pts {
		low[0], low[1] = math.Min(low[0], p.X), math.Min(low[1], p.Y)
		high[0], high[1] = math.Max(high[0], p.X), math.Max(high[1], p.Y)
	}
	return low, high
}

func finite(p [2]float64) bool {
	return !math.IsNaN(p[0]) && !math.IsNaN(p[1]) && !math.IsInf(p[0], 0) && !math.IsInf(p[1], 0)
}

// chord is how far the chords of an arc stray from it, metres.
const chord = 0.002

// addShape puts what is drawn of s into f. Centrelines do not plot and are in nobody's way.
// Around the lines of dampers air is kept free.
func (f *field) addShape(s *shape.Shape, air float64) {
	switch s.Part {
	case shape.Axis, shape.Body, shape.Check, shape.Cloud:
		return
	case shape.Damp:
		if g, ok := s.Geom.(shape.Line); ok {
			if d := g.B.Sub(g.A).Plan(); d.Len() > 0 {
				f.add(thing{pts: geom.Rectangle(g.A.Lerp(g.B, 0.5), d.Unit(), d.Len()/2, air), kind: reserved})
			}
		}
	}
	f.addGeometry(s.Geom, drawnLine)
}

// addCurve puts a line or an arc into f, by its chords.
func (f *field) addCurve(c geom.Curve, kind matter) {
	pts := c.Flatten(chord)
	for i := 1; i < len(pts); i++ {
		f.add(thing{pts: pts[i-1 : i+1], kind: kind})
	}
}

func (f *field) addGeometry(g shape.Geometry, kind matter) {
	line := func(c geom.Curve) { f.addCurve(c, kind) }
	switch g := g.(type) {
	case shape.Line:
		line(geom.Curve{A: g.A, B: g.B})
	case shape.Arc:
		sweep := math.Mod(g.End-g.Start+4*math.Pi, 2*math.Pi)
		at := func(a float64) geom.Vec { return g.Center.Add(geom.Direction(a).Scale(g.Radius)) }
		line(geom.Curve{A: at(g.Start), B: at(g.Start + sweep/2), Bulge: math.Tan(sweep / 8)})
		line(geom.Curve{A: at(g.Start + sweep/2), B: at(g.Start + sweep), Bulge: math.Tan(sweep / 8)})
	case shape.Circle:
		a, b := g.Center.Add(geom.Vec{X: g.Radius}), g.Center.Sub(geom.Vec{X: g.Radius})
		line(geom.Curve{A: a, B: b, Bulge: 1})
		line(geom.Curve{A: b, B: a, Bulge: 1})
	case shape.Polyline:
		for _, c := range g.Path.Curves(g.Closed) {
			line(c)
		}
	case shape.Solid:
		f.add(thing{pts: g.Corners[:], kind: kind})
	case shape.Insert:
		f.add(thing{pts: geom.Rectangle(g.At, geom.Direction(g.Angle), g.Size/2, g.Size/2), kind: reserved})
	case shape.Text:
		f.add(thing{pts: g.Box(), kind: reserved, lettering: true})
	}
}

// addOutline reserves the ground of a face, an outline or a text: a quadrilateral as it is, anything
// else as its box.
func (f *field) addOutline(pts []geom.Vec, kind matter, lettering bool) {
	if len(pts) == 4 && convex(pts) {
		f.add(thing{pts: pts, kind: kind, lettering: lettering})
		return
	}
	if len(pts) < 2 {
		return
	}
	low, high := bounds(pts)
	mid := geom.Vec{X: (low[0] + high[0]) / 2, Y: (low[1] + high[1]) / 2}
	f.add(thing{pts: geom.Rectangle(mid, geom.Vec{X: 1}, (high[0]-low[0])/2, (high[1]-low[1])/2), kind: kind, lettering: lettering})
}

// belowText is how far letters of others may hang below the box of their capitals, to its height.
const belowText = 0.35

// withDescenders returns the box of a text of others, whose corners begin at the foot of its first letter and go
// counter-clockwise, with room for what hangs below its letters: a share of its height, but no more than most.
func withDescenders(box []geom.Vec, most float64) []geom.Vec {
	if len(box) != 4 {
		return box
	}
	down := box[0].Sub(box[3]).Plan()
	r := down.Unit().Scale(math.Min(most, belowText*down.Len()))
	return []geom.Vec{box[0].Add(r), box[1].Add(r), box[2], box[3]}
}

func convex(pts []geom.Vec) bool {
	left, right := false, false
	for i, p := range pts {
		q, r := pts[(i+1)%len(pts)], pts[(i+2)%len(pts)]
		z := q.Sub(p).Plan().Cross(r.Sub(q).Plan()).Z
		left, right = left || z > 0, right || z < 0
	}
	return !(left && right)
}

// addRun reserves the ground the straight or curved duct of a run covers.
func (f *field) addRun(r *duct.Run, axis geom.Curve, s duct.Size) {
	if s.IsZero() {
		return
	}
	half := float64(s.Width) / 2
	if r.Vertical() {
		u := r.Across.Plan().Unit()
		if u.Len() == 0 {
			u = geom.Vec{X: 1}
		}
		f.add(thing{pts: geom.Rectangle(axis.A, u, half, float64(s.Height)/2), kind: foot, run: r.ID, z: math.Max(axis.A.Z, axis.B.Z)})
		return
	}
	pts := axis.Flatten(chord)
	for i := 1; i < len(pts); i++ {
		a, b := pts[i-1], pts[i]
		d := b.Sub(a).Plan()
		if d.Len() == 0 {
			continue
		}
		side := d.Unit().Left().Scale(half)
		f.add(thing{pts: []geom.Vec{a.Sub(side), b.Sub(side), b.Add(side), a.Add(side)}, kind: foot, run: r.ID, z: (a.Z + b.Z) / 2})
	}
}
