// Package mesh builds the bodies of a sized network: closed meshes with their faces
// outwards, at true elevation, one for every straight or curved piece of duct and every
// fitting. Where a branch enters a main its body begins at the wall of the main. The legs of
// a wye overlap where they part.
package mesh

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/shape"
)

// Build returns the bodies of net with the sizes and fittings of des. Runs without a size have none.
func Build(net *duct.Network, des *duct.Design) []shape.Shape {
	b := newBuilder(net, des)
	for i := range net.Nodes {
		b.node(&net.Nodes[i])
	}
	for i := range net.Runs {
		b.run(&net.Runs[i])
	}
	return b.out
}

// builder carries the work of Build. All is seen from the unit outwards.
type builder struct {
	net *duct.Network
	des *duct.Design
	*duct.Assembly
	legs [][2]*duct.Leg // by run and end
	tap  []ring         // by run: where a plain branch begins at the wall of its main
	out  []shape.Shape
}

// The ends of a run as seen from the unit.
const (
	near = duct.Near
	far  = duct.Far
)

func newBuilder(net *duct.Network, des *duct.Design) *builder {
	b := &builder{net: net, des: des, Assembly: des.Assembly, legs: make([][2]*duct.Leg, len(net.Runs)),
		tap: make([]ring, len(net.Runs))}
	for i := range b.Nodes {
		for k := range b.Nodes[i].Legs {
			l := &b.Nodes[i].Legs[k]
			b.legs[l.Run.ID][l.End] = l
		}
	}
	return b
}

// size returns the size of a run outside, with its lining.
func (b *builder) size(r *duct.Run) duct.Size {
	return b.des.Runs[r.ID].Size.Lined(r.Spec.Lining)
}

// leastBody is the mean length, in metres, below which a piece is nothing but the seam
// between two others.
const leastBody = 0.001

// add adds the body of rings, if they are one.
func (b *builder) add(of key.Key, r *duct.Run, rings []ring) {
	if m, ok := loft(rings...); ok && content(m) > leastBody*float64(b.size(r).Area()) {
		b.out = append(b.out, shape.Shape{Key: of, Part: shape.Body, Air: r.Air, Status: r.Status, Geom: m})
	}
}

// content returns the volume within m: the sum of the tetrahedra its faces span with one point.
func content(m shape.Mesh) float64 {
	sum, o := 0.0, m.Vertices[0]
	for _, f := range m.Faces {
		for i := 2; i < len(f); i++ {
			p, q, r := m.Vertices[f[0]].Sub(o), m.Vertices[f[i-1]].Sub(o), m.Vertices[f[i]].Sub(o)
			sum += p.Dot(q.Cross(r)) / 6
		}
	}
	return sum
}

// run adds the straight or curved duct of a run, and what tapers at its ends.
func (b *builder) run(r *duct.Run) {
	s, length := b.size(r), b.Axes[r.ID].Len()
	if s.IsZero() || length < geom.Same {
		return
	}
	takes, first, last := b.TakeOuts[r.ID], b.legs[r.ID][near], b.legs[r.ID][far]
	from, to := float64(takes[near]), length-float64(takes[far])
	if to-from > geom.Same {
		rings := b.along(r, from, to)
		if tap := b.tap[r.ID]; tap != nil && len(tap) == len(rings[0]) {
			if len(rings) == 2 {
				rings = rings[1:]
			}
			rings = append([]ring{tap}, rings...)
		}
		b.add(r.Key.Part("body"), r, rings)
	}
	if f := first.Change; is(f, taper) {
		// It begins with the size, and on the axis, of the run before.
		begin := frameAt(b.LegAxis(first), r, from-float64(f.Length))
		b.add(r.Key.Part("taper/body"), r, between(begin, first.Outside, b.frame(r, from), s))
	}
	if f := first.Fitting; is(f, unitNeck) {
		begin := b.frame(r, from-float64(f.Length))
		b.add(r.Key.Part("unit-neck/body"), r, between(begin, f.Common, b.frame(r, from), s))
	}
	beyond := b.LegAxis(last).Reverse()
	if back := last.Back; back != nil && buildOf(back.Kind).as == taper {
		end := to + float64(back.Length)
		b.add(r.Key.Part("offset/body"), r, between(b.frame(r, to), s, frameAt(beyond, r, end), s))
		to = end
	}
	neck := duct.Size{}
	f := last.Fitting
	switch {
	case last.Change != nil:
		f, neck = last.Change, last.Change.Own // of a box
	case is(f, lastNeck):
		neck = f.Common
	}
	if !neck.IsZero() && f.Length > 0 {
		g := frameAt(beyond, r, to)
		end := frameAt(beyond, r, math.Min(length, to+float64(f.Length)))
		b.add(r.Key.Part("neck/body"), r, between(g, s, g.moved(end.at), neck))
	}
}

// made reports whether f leads from one size to another over some length.
func made(f *duct.Fitting) bool { return f != nil && f.Length > 0 && !f.Common.IsZero() }

// offset adds an offset in the middle of a duct.
func (b *builder) offset(n *duct.Node, o *duct.DuctOffset) {
	before, behind := &b.net.Runs[o.Before], &b.net.Runs[o.Behind]
	first := b.frame(before, b.Axes[before.ID].Len()-float64(b.TakeOuts[before.ID][far]))
	last := b.frame(behind, float64(b.TakeOuts[behind.ID][near]))
	b.add(n.Key.Part("body"), &b.net.Runs[o.Short], between(first, b.size(before), last, b.size(behind)))
}

// along returns the rings of the duct of r between two lengths along its axis.
func (b *builder) along(r *duct.Run, from, to float64) []ring {
	axis, s := b.Axes[r.ID], b.size(r)
	length := axis.Len()
	c := axis.Sub(from/length, to/length)
	if c.Straight() {
		return straight(c.A, c.B, r.Across, s)
	}
	return curved(c, s)
}

// frame returns the frame at a length along the axis of r.
func (b *builder) frame(r *duct.Run, at float64) frame { return frameAt(b.Axes[r.ID], r, at) }

// frameAt returns the frame at a length along an axis of r.
func frameAt(axis geom.Curve, r *duct.Run, at float64) frame {
	t := math.Max(0, math.Min(1, at/axis.Len()))
	return frameOf(axis.Point(t), axis.Tangent(t), r.Across)
}

// between returns the rings of the piece from size p at f to size q at g.
func between(f frame, p duct.Size, g frame, q duct.Size) []ring {
	n := quartersOf(p, q)
	return []ring{ringOf(f, p, n), ringOf(g, q, n)}
}
