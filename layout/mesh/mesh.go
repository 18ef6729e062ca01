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
	net   *duct.Network
	des   *duct.Design
	axes  []geom.Curve                  // by run, outwards
	trim  [][2]float64                  // by run: length along the axis its fittings take at the near and the far end
	fits  [][]*duct.Fitting             // by node
	jogs  map[duct.NodeID]*duct.Fitting // by both nodes: the offset between them
	taper []*duct.Fitting               // by run: the size change at its near end
	tap   []ring                        // by run: where a plain branch begins at the wall of its main
	out   []shape.Shape
}

// The ends of a run as seen from the unit.
const (
	near = 0
	far  = 1
)

func newBuilder(net *duct.Network, des *duct.Design) *builder {
	b := &builder{net: net, des: des, jogs: map[duct.NodeID]*duct.Fitting{}, trim: make([][2]float64, len(net.Runs)),
		fits: make([][]*duct.Fitting, len(net.Nodes)), taper: make([]*duct.Fitting, len(net.Runs)), tap: make([]ring, len(net.Runs))}
	b.axes = des.Assembly.Axes
	for i, t := range des.Assembly.TakeOuts {
		b.trim[i] = [2]float64{float64(t[duct.Near]), float64(t[duct.Far])}
	}
	for i := range des.Fittings {
		f := &des.Fittings[i]
		b.fits[f.Node] = append(b.fits[f.Node], f)
		if o := des.Assembly.Nodes[f.Node].Offset; o != nil && o.Short == f.Run {
			b.jogs[f.Node], b.jogs[net.DownNode(&net.Runs[f.Run])] = f, f
		}
		if (f.Kind == duct.Reducer || f.Kind == duct.Expander) && net.UpNode(&net.Runs[f.Run]) == f.Node {
			b.taper[f.Run] = f
		}
	}
	return b
}

// size returns the size of a run outside, with its lining.
func (b *builder) size(r *duct.Run) duct.Size {
	return b.des.Runs[r.ID].Size.Lined(r.Spec.Lining)
}

// common returns the size a size change begins with, with its lining.
func (b *builder) common(f *duct.Fitting) duct.Size {
	if f.Main == duct.None {
		return f.Common
	}
	return f.Common.Lined(b.net.Runs[f.Main].Spec.Lining)
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
	s, axis := b.size(r), b.axes[r.ID]
	length := axis.Len()
	if s.IsZero() || length < geom.Same {
		return
	}
	from, to := b.trim[r.ID][near], length-b.trim[r.ID][far]
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
	if f := b.taper[r.ID]; f != nil && f.Length > 0 && !f.Common.IsZero() {
		b.add(r.Key.Part("taper/body"), r, b.sizeChange(r, f, from))
	}
	for _, f := range b.fits[b.net.UpNode(r)] {
		if f.Run == r.ID && (f.Kind == duct.Entry || f.Kind == duct.Exit) && f.Length > 0 && !f.Common.IsZero() {
			begin := b.frame(r, from-float64(f.Length))
			b.add(r.Key.Part("unit-neck/body"), r, between(begin, f.Common, b.frame(r, from), s))
		}
	}
	back := b.offset(r)
	if back != nil {
		b.add(r.Key.Part("offset/body"), r, between(b.frame(r, to), s, b.beyond(r, back, to+float64(back.Length)), s))
		to += float64(back.Length)
	}
	for _, f := range b.fits[b.net.DownNode(r)] {
		neck := f.Common
		switch f.Kind {
		case duct.Reducer, duct.Expander:
			neck = f.Own // of a box
		case duct.TerminalConn:
		default:
			continue
		}
		if f.Run == r.ID && f.Length > 0 && !neck.IsZero() {
			g := b.beyond(r, back, to)
			end := b.beyond(r, back, math.Min(length, to+float64(f.Length)))
			b.add(r.Key.Part("neck/body"), r, between(g, s, g.moved(end.at), neck))
		}
	}
}

// offset returns the offset before the far end of a run, nil where there is none.
func (b *builder) offset(r *duct.Run) *duct.Fitting {
	for _, f := range b.fits[b.net.DownNode(r)] {
		if f.Run == r.ID && f.Kind == duct.Offset {
			return f
		}
	}
	return nil
}

// jog adds the offset f in the middle of a duct, at the first of its two nodes.
func (b *builder) jog(n *duct.Node, f *duct.Fitting) {
	if n.ID != f.Node {
		return
	}
	before, behind := &b.net.Runs[f.Main], &b.net.Runs[b.des.Assembly.Nodes[f.Node].Offset.Behind]
	first := b.frame(before, b.axes[before.ID].Len()-b.trim[before.ID][far])
	last := b.frame(behind, b.trim[behind.ID][near])
	b.add(n.Key.Part("body"), &b.net.Runs[f.Run], between(first, b.size(before), last, b.size(behind)))
}

// beyond returns the frame at a length along the axis of r behind the offset back, which may be nil.
func (b *builder) beyond(r *duct.Run, back *duct.Fitting, at float64) frame {
	f := b.frame(r, at)
	if back != nil {
		f.at = f.at.Add(f.across.Scale(float64(back.Offset))).Add(geom.Vec{Z: float64(back.OffsetUp)})
	}
	return f
}

// along returns the rings of the duct of r between two lengths along its axis.
func (b *builder) along(r *duct.Run, from, to float64) []ring {
	axis, s := b.axes[r.ID], b.size(r)
	length := axis.Len()
	c := axis.Sub(from/length, to/length)
	if c.Straight() {
		return straight(c.A, c.B, r.Across, s)
	}
	return curved(c, s)
}

// frame returns the frame at a length along the axis of r.
func (b *builder) frame(r *duct.Run, at float64) frame {
	axis := b.axes[r.ID]
	t := math.Max(0, math.Min(1, at/axis.Len()))
	return frameOf(axis.Point(t), axis.Tangent(t), r.Across)
}

// sizeChange returns the rings of the size change of r that ends at a length along its axis.
// It begins with the size, and on the axis, of the run before.
func (b *builder) sizeChange(r *duct.Run, f *duct.Fitting, to float64) []ring {
	first, last := b.frame(r, to-float64(f.Length)), b.frame(r, to)
	first.at = first.at.Add(b.aside(r, first))
	return between(first, b.common(f), last, b.size(r))
}

// between returns the rings of the piece from size p at f to size q at g.
func between(f frame, p duct.Size, g frame, q duct.Size) []ring {
	n := quartersOf(p, q)
	return []ring{ringOf(f, p, n), ringOf(g, q, n)}
}

// aside returns how far the axis of the run before r lies beside that of r where they meet.
func (b *builder) aside(r *duct.Run, f frame) geom.Vec {
	if r.Up == duct.None {
		return geom.Vec{}
	}
	d := b.axes[r.Up].B.Sub(b.axes[r.ID].A)
	return d.Sub(f.along.Scale(d.Dot(f.along)))
}
