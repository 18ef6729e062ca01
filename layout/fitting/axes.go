package fitting

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// stub is the length in metres of an axis that the moves of its ends would turn about.
const stub = 100 * geom.Same

// axesOf works out the true centreline of every run, by RunID, from the unit outwards. It differs from
// the sketched line where the elevation is that of the bottom or top of the duct, and where a side
// stays straight through changes of size.
//
// An elevation of the bottom or top is that of the sheet: lining lies inside of it. The sketched line is that of the
// first run from the unit, or from the branch, outward; what follows moves aside by half of each change. A run stays
// parallel to its sketched line: what lies at a terminal or a box stays there, and the duct that leads to it comes back
// by an offset before its end (duct.Offset), a flexible one by itself. A run so short that the moves of its ends would
// turn it about is left as a stub in its own direction; its fittings say what it lacks.
func axesOf(net *duct.Network, sizes []duct.Size) *axes {
	n := len(net.Runs)
	a := &axes{
		net: net, sizes: sizes, out: make([]geom.Curve, n), long: make([]float64, n),
		side: make([]float64, n), up: make([]float64, n), aside: map[duct.RunID]geom.Vec{},
	}
	for i := range net.Runs { // every run after the one it hangs on
		a.shift(&net.Runs[i])
	}
	for i := range net.Runs {
		r := &net.Runs[i]
		plain := r.Outward()
		c, ahead := plain, plain.Tangent(0)
		if a.moved {
			c = a.moveSide(r, c)
		}
		if r.Vertical() {
			c = a.moveEnds(r, c)
		} else {
			ahead = ahead.Plan().Unit() // a sloping run keeps its climb, and is moved in plan alone
			c.A.Z += a.up[i]
			c.B.Z += a.up[i]
		}
		turned := 0.0
		if along := c.B.Sub(c.A).Dot(ahead); c != plain && c.Straight() && along < stub {
			turned = math.Min(along, -geom.Same)
			c.B = c.A.Add(plain.Tangent(0).Scale(stub))
		}
		a.long[i] = c.Len()
		if turned < 0 {
			a.long[i] = turned
		}
		a.out[i] = c
	}
	return a
}

// axes carries the work of Axes. side and up are by run: how far the axis lies to the left, seen
// outward from the unit, and above the sketched line.
type axes struct {
	net      *duct.Network
	sizes    []duct.Size
	out      []geom.Curve
	long     []float64 // lengths of the axes, negative where the moves of its ends turn a run about
	side, up []float64
	aside    map[duct.RunID]geom.Vec // where a vertical run stands beside its sketched place
	moved    bool                    // some axis lies aside
}

// back returns how far, to the left seen outward and up, a run has to come back before its far end, where what it leads
// to stays in its place: a terminal, or the vertical duct over it, or a box.
func (a *axes) back(r *duct.Run) (side, up float64) {
	if r.Vertical() || r.Pliable || !a.stays(r) {
		return 0, 0
	}
	side = -a.side[r.ID]
	if n := &a.net.Nodes[a.net.DownNode(r)]; r.Datum == duct.Centre &&
		(n.Terminal != duct.None || n.Unit != duct.None) {
		up = -a.up[r.ID]
	}
	return side, up
}

// stays reports whether what r leads to stays where it is.
func (a *axes) stays(r *duct.Run) bool {
	for range a.net.Runs {
		n := &a.net.Nodes[a.net.DownNode(r)]
		if n.Terminal != duct.None || n.Unit != duct.None {
			return true
		}
		next := duct.RunID(duct.None)
		for _, k := range n.Runs {
			if o := &a.net.Runs[k]; len(n.Runs) == 2 && k != r.ID && o.Up == r.ID && o.Vertical() {
				next = k
			}
		}
		if next == duct.None {
			return false
		}
		r = &a.net.Runs[next]
	}
	return false
}

// step returns how far the axis of run r moves to the left, seen outward, and up, where its size follows
// that of run p towards the unit, sp being the size of p as r has it.
func step(p, r *duct.Run, sp, sr duct.Size) (side, up float64) {
	if sp.IsZero() || sr.IsZero() {
		return 0, 0
	}
	if r.Spec.HasFlat {
		dw, dh := float64(sp.Width-sr.Width)/2, float64(sp.Height-sr.Height)/2
		if !r.Air.FromUnit() {
			dw = -dw // left and right are seen along the air
		}
		switch r.Spec.Flat {
		case duct.FlatLeft:
			side = dw
		case duct.FlatRight:
			side = -dw
		case duct.FlatTop:
			up = dh
		case duct.FlatBottom:
			up = -dh
		case duct.Centred:
		}
	}
	switch {
	case p.Vertical() || r.Vertical():
		up = 0 // a vertical run ends on the axis of the run it turns into
	case p.Datum != duct.Centre || r.Datum != duct.Centre:
		up = r.Outward().A.Z + r.AxisShift(sr) - p.Outward().B.Z - p.AxisShift(sp)
	}
	return side, up
}

// shift works out side and up of r from those of the run it hangs on.
func (a *axes) shift(r *duct.Run) {
	i := r.ID
	if r.Datum != duct.Centre {
		a.up[i] = r.AxisShift(a.sizes[i])
	}
	if r.Up == duct.None {
		return
	}
	p := &a.net.Runs[r.Up]
	n := &a.net.Nodes[a.net.UpNode(r)]
	if n.Unit != duct.None {
		return
	}
	side, up := step(p, r, seenFrom(p, r, a.sizes[p.ID]), a.sizes[i])
	goesOn := len(n.Runs) == 2 || geom.TurnBetween(p.Outward().Tangent(1), r.Outward().Tangent(0)) < duct.StraightOn
	if goesOn {
		a.goOn(p, r, side)
	}
	if r.Datum == duct.Centre && p.Datum == duct.Centre {
		a.up[i] = a.up[p.ID]
		if goesOn {
			a.up[i] += up
		}
	}
	a.moved = a.moved || a.side[i] != 0
}

// goOn moves r aside with the run p it goes on from, and by side more.
func (a *axes) goOn(p, r *duct.Run, side float64) {
	from := a.aside[p.ID]
	if !p.Vertical() {
		from = p.Outward().Tangent(1).Left().Unit().Scale(a.side[p.ID])
	}
	switch {
	case r.Vertical() && from != (geom.Vec{}) && !a.stays(r):
		a.aside[r.ID] = from
	case r.Vertical():
	case p.Vertical():
		a.side[r.ID] = from.Dot(r.Outward().Tangent(0).Left().Unit()) + side
	default:
		a.side[r.ID] = a.side[p.ID] + side
	}
}

// moveEnds sets the ends of a vertical run to the axes of the runs it joins.
func (a *axes) moveEnds(r *duct.Run, c geom.Curve) geom.Curve {
	c.A.Z += a.upAt(r, a.net.UpNode(r))
	c.B.Z += a.upAt(r, a.net.DownNode(r))
	return c
}

func (a *axes) upAt(r *duct.Run, id duct.NodeID) float64 {
	for _, k := range a.net.Nodes[id].Runs {
		if o := &a.net.Runs[k]; k != r.ID && !o.Vertical() {
			return a.up[k]
		}
	}
	return 0
}

// moveSide moves the outward line c of run r aside.
func (a *axes) moveSide(r *duct.Run, c geom.Curve) geom.Curve {
	d := a.side[r.ID]
	if r.Vertical() {
		v := a.aside[r.ID]
		return geom.Curve{A: c.A.Add(v), B: c.B.Add(v)}
	}
	out := c
	out.A = c.A.Add(c.Tangent(0).Left().Unit().Scale(d))
	out.B = c.B.Add(c.Tangent(1).Left().Unit().Scale(d))
	if r.Up != duct.None {
		out.A = a.nearEnd(r, c, out.A)
	}
	if next := a.next(r); next != nil {
		// The corner lies where this axis meets that of the next piece, before that changes its size.
		u, v := c.Tangent(1), next.Outward().Tangent(0)
		out.B = c.B.Add(cornerShift(u, v, d, d))
	}
	if r.Pliable && a.stays(r) {
		out.B = c.B
	}
	return out
}

// nearEnd returns where the moved axis of r begins: beyond an elbow on the moved axis of the run before,
// at a branch on the axis of the main.
func (a *axes) nearEnd(r *duct.Run, c geom.Curve, plain geom.Vec) geom.Vec {
	p := &a.net.Runs[r.Up]
	n := &a.net.Nodes[a.net.UpNode(r)]
	if n.Unit != duct.None {
		return plain
	}
	if p.Vertical() { // it leaves the vertical run where that stands
		v := c.Tangent(0).Plan().Unit()
		if len(n.Runs) != 2 {
			return plain
		}
		return plain.Add(v.Scale(a.aside[p.ID].Dot(v)))
	}
	dp, d := a.side[p.ID], a.side[r.ID]
	u, v := p.Outward().Tangent(1), c.Tangent(0)
	if dp == 0 {
		return plain
	}
	if len(n.Runs) == 2 {
		return c.A.Add(cornerShift(u, v, dp, dp)).Add(v.Left().Unit().Scale(d - dp))
	}
	across := u.Left().Unit().Dot(v.Plan())
	if geom.TurnBetween(u, v) < duct.StraightOn || math.Abs(across) < duct.StraightOn {
		return plain
	}
	return plain.Add(v.Plan().Scale(dp / across))
}

// next returns the run that goes on outward from r round a corner, nil where there is none.
func (a *axes) next(r *duct.Run) *duct.Run {
	n := &a.net.Nodes[a.net.DownNode(r)]
	if len(n.Runs) != 2 || n.Unit != duct.None {
		return nil
	}
	for _, k := range n.Runs {
		o := &a.net.Runs[k]
		if k != r.ID && o.Up == r.ID && !o.Vertical() {
			return o
		}
	}
	return nil
}

// cornerShift returns how the corner between directions u and v moves in plan when the line along u moves du and the
// one along v moves dv to the left.
func cornerShift(u, v geom.Vec, du, dv float64) geom.Vec {
	u, v = u.Plan().Unit(), v.Plan().Unit()
	sin := u.X*v.Y - u.Y*v.X
	if math.Abs(sin) < leastAngle {
		return u.Left().Scale(du)
	}
	// x·left(u) = du and x·left(v) = dv
	return v.Scale(du).Sub(u.Scale(dv)).Scale(1 / sin)
}
