package label

import (
	"math"
	"slices"

	"github.com/tidwall/rtree"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// matter is what stands in the way of a label.
type matter uint8

const (
	drawnLine  matter = iota // a wall, a joint, part of a symbol: no lettering over it
	reserved                 // a terminal, a unit, an arrow, a damper
	letters                  // lettering, ours and the texts of others
	leaderRun                // the line of a leader
	ownNote                  // a text of the sketch, which may be switched off when the plan is issued
	sketchLine               // the line a duct was sketched as
	foot                     // the ground a run covers in plan
)

// blocks reports whether neither lettering nor a leader may go over it.
func (m matter) blocks() bool { return m == reserved || m == letters }

// obstacle is one convex piece of matter: two points are a line.
type obstacle struct {
	pts  []geom.Vec
	kind matter
	run  *run    // foot
	z    float64 // foot: of the axis
}

// obstacles are everything that is in the way.
type obstacles struct {
	list   []obstacle
	tree   rtree.RTreeG[int32] // into list
	theirs rtree.RTreeG[bool]  // lines of others by their boxes: whether they fall or rise from left to right
}

// damperAir is kept free on both sides of the lines of a damper, to the height of capitals.
const damperAir = 0.35

// obstaclesOf returns what is in the way before there is any lettering.
func obstaclesOf(net *duct.Network, runs []run, drawn []shape.Shape, spec *Spec) *obstacles {
	o := &obstacles{}
	for i := range runs {
		if r := &runs[i]; !r.single { // else its line is all there is of it
			o.addRun(r)
		}
		if !spec.SizeCentred {
			o.addCurve(runs[i].Line, sketchLine)
		}
	}
	for i := range drawn {
		o.addShape(&drawn[i], damperAir*spec.tall())
	}
	for i := range net.Terminals {
		o.addOutline(net.Terminals[i].Face, reserved)
	}
	for i := range net.Units {
		o.addOutline(net.Units[i].Outline, reserved)
	}
	for _, text := range spec.Obstacles {
		if text.Own {
			o.addOutline(text.Corners, ownNote)
		} else {
			o.addOutline(withDescenders(text.Corners, spec.tall()), letters)
		}
	}
	for _, s := range spec.Strokes {
		if low, high, ok := bounds(s.A, s.B); ok {
			o.theirs.Insert(low, high, (s.B.X-s.A.X)*(s.B.Y-s.A.Y) < 0)
		}
	}
	return o
}

// bounds returns the corners of the box around points, and whether they are numbers.
func bounds(pts ...geom.Vec) (low, high [2]float64, ok bool) {
	b := geom.BoxOf(pts...)
	sum := b.MinX + b.MinY + b.MaxX + b.MaxY
	return [2]float64{b.MinX, b.MinY}, [2]float64{b.MaxX, b.MaxY}, !math.IsNaN(sum) && !math.IsInf(sum, 0)
}

func (o *obstacles) add(t obstacle) {
	if low, high, ok := bounds(t.pts...); ok && len(t.pts) > 1 {
		o.tree.Insert(low, high, int32(len(o.list)))
		o.list = append(o.list, t)
	}
}

// addCurve puts in a line or an arc, by its chords.
func (o *obstacles) addCurve(c geom.Curve, kind matter) {
	pts := c.Flatten(chord)
	for i := 1; i < len(pts); i++ {
		o.add(obstacle{pts: pts[i-1 : i+1], kind: kind})
	}
}

// chord is how far the chords of an arc stray from it, metres.
const chord = 0.002

// notPlotted is what is in no label's way: it does not plot, or is not of the plan.
var notPlotted = []shape.Part{shape.Axis, shape.Body, shape.Check, shape.Cloud}

// addShape puts in what is drawn of s.
// Around the lines of dampers air is kept free.
func (o *obstacles) addShape(s *shape.Shape, air float64) {
	if slices.Contains(notPlotted, s.Part) {
		return
	}
	if g, ok := s.Geom.(shape.Line); ok && s.Part == shape.Damp {
		if d := g.B.Sub(g.A).Plan(); d.Len() > 0 {
			o.add(obstacle{pts: geom.Rectangle(g.A.Lerp(g.B, 0.5), d.Unit(), d.Len()/2, air), kind: reserved})
		}
	}
	switch g := s.Geom.(type) {
	case shape.Line:
		o.addCurve(geom.Curve{A: g.A, B: g.B}, drawnLine)
	case shape.Arc:
		sweep := math.Mod(g.End-g.Start+4*math.Pi, 2*math.Pi)
		at := func(a float64) geom.Vec { return g.Center.Add(geom.Direction(a).Scale(g.Radius)) }
		mid, bulge := at(g.Start+sweep/2), math.Tan(sweep/8)
		o.addCurve(geom.Curve{A: at(g.Start), B: mid, Bulge: bulge}, drawnLine)
		o.addCurve(geom.Curve{A: mid, B: at(g.Start + sweep), Bulge: bulge}, drawnLine)
	case shape.Circle:
		for _, c := range geom.CircleRegion(g.Center, g.Radius).Edges {
			o.addCurve(c, drawnLine)
		}
	case shape.Polyline:
		for _, c := range g.Path.Curves(g.Closed) {
			o.addCurve(c, drawnLine)
		}
	case shape.Solid:
		o.add(obstacle{pts: g.Corners[:], kind: drawnLine})
	case shape.Insert:
		o.add(obstacle{pts: geom.Rectangle(g.At, geom.Direction(g.Angle), g.Size/2, g.Size/2), kind: reserved})
	case shape.Text:
		o.add(obstacle{pts: g.Box(), kind: letters})
	}
}

// addOutline puts in the ground of a face, an outline or a text: a quadrilateral as it is, anything
// else as its box.
func (o *obstacles) addOutline(pts []geom.Vec, kind matter) {
	if len(pts) < 2 {
		return
	}
	if len(pts) != 4 || !convex(pts) {
		b := geom.BoxOf(pts...)
		mid := geom.Vec{X: (b.MinX + b.MaxX) / 2, Y: (b.MinY + b.MaxY) / 2}
		pts = geom.Rectangle(mid, geom.Vec{X: 1}, (b.MaxX-b.MinX)/2, (b.MaxY-b.MinY)/2)
	}
	o.add(obstacle{pts: pts, kind: kind})
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

// addRun puts in the ground the straight or curved duct of a run covers.
func (o *obstacles) addRun(r *run) {
	if r.Vertical() {
		o.add(obstacle{pts: r.outline(r.axis.A), kind: foot, run: r, z: math.Max(r.axis.A.Z, r.axis.B.Z)})
		return
	}
	pts := r.axis.Flatten(chord)
	for i := 1; i < len(pts); i++ {
		a, b := pts[i-1], pts[i]
		if d := b.Sub(a).Plan(); d.Len() > 0 {
			side := d.Unit().Left().Scale(r.half())
			ground := []geom.Vec{a.Sub(side), b.Sub(side), b.Add(side), a.Add(side)}
			o.add(obstacle{pts: ground, kind: foot, run: r, z: (a.Z + b.Z) / 2})
		}
	}
}

// addLabel puts in a label where it was placed, with its leader.
func (o *obstacles) addLabel(p placed) {
	for _, box := range p.boxes(p.tall, 0) {
		o.add(obstacle{pts: box, kind: letters})
	}
	if p.leader {
		o.add(obstacle{pts: []geom.Vec{p.leaderFrom(p.tall), p.tip}, kind: leaderRun})
	}
}

// meets reports whether a convex piece meets anything that counts. A common border is no meeting.
func (o *obstacles) meets(pts []geom.Vec, counts func(*obstacle) bool) bool {
	return o.count(pts, 1, counts) > 0
}

// count returns how many obstacles that count a convex piece meets, at most most.
func (o *obstacles) count(pts []geom.Vec, most int, counts func(*obstacle) bool) int {
	n := 0
	low, high, _ := bounds(pts...)
	o.tree.Search(low, high, func(_, _ [2]float64, i int32) bool {
		if t := &o.list[i]; counts(t) && geom.Overlap(pts, t.pts) {
			n++
		}
		return n < most
	})
	return n
}

// strokes returns how many lines of others a convex piece meets, at most mostTheirs.
func (o *obstacles) strokes(pts []geom.Vec) int {
	n := 0
	low, high, _ := bounds(pts...)
	o.theirs.Search(low, high, func(a, b [2]float64, falls bool) bool {
		if falls {
			a[1], b[1] = b[1], a[1]
		}
		if geom.Overlap(pts, []geom.Vec{{X: a[0], Y: a[1]}, {X: b[0], Y: b[1]}}) {
			n++
		}
		return n < mostTheirs
	})
	return n
}
