package label

import (
	"math"

	"twinline/layout/geom"
)

// around are the directions a label is tried in, seen from the thing it is about, the ones
// a reader looks at first before the others.
var around = [...]geom.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {X: 1, Y: 1}, {X: 1, Y: -1}, {X: -1, Y: 1}, {X: -1, Y: -1}}

// Costs of a place beside an outline.
const (
	aroundCost  = 0.1  // each direction after the first
	reachCost   = 1    // each height of capitals farther, or nearer, than the usual distance
	alignCost   = 0.15 // off the middle of its side, each way after the first more
	atRiserCost = 2    // at a vertical part of a duct
	goodBeside  = 0.8  // a place that costs more is held against the rarer ones
)

// alongSide are the places on one side of an outline besides its middle: flush with its ends, and half as far.
var alongSide = [...]float64{1, -1, 0.5, -0.5}

// besideOutline adds the places around an outline whose labels stand at height z.
func besideOutline(out []spot, b label, outline []geom.Vec, z float64, e effort) []spot {
	for i := range b.texts {
		if i > 0 && !e.rare {
			break
		}
		start := len(out)
		out = textBeside(out, &b.texts[i], b.tall, outline, z, e)
		for k := range out[start:] {
			out[start+k].cost += oneLine * float64(i)
		}
	}
	return out
}

func textBeside(out []spot, text *lettering, tall float64, outline []geom.Vec, z float64, e effort) []spot {
	box := geom.BoxOf(outline...)
	mid := geom.Vec{X: (box.MinX + box.MaxX) / 2, Y: (box.MinY + box.MaxY) / 2, Z: z}
	rx, ry := (box.MaxX-box.MinX)/2, (box.MaxY-box.MinY)/2
	for _, reach := range e.reaches {
		gap := reach * tall
		for k, d := range around {
			s := spot{text: text, dir: geom.Vec{X: 1}, side: -int(d.X), leader: reach > labelGap,
				cost: aroundCost*float64(k) + reachCost*math.Abs(reach-labelGap)}
			add := func(off geom.Vec, cost float64) {
				t := s
				t.cost += cost
				t.mid = mid.Add(off)
				t.tip = onOutline(outline, mid, mid.Add(geom.Vec{X: d.X * rx, Y: d.Y * ry}), t.mid)
				out = append(out, t)
			}
			off := geom.Vec{X: d.X * (rx + gap + text.w/2), Y: d.Y * (ry + gap + text.h/2)}
			corner := d.X != 0 && d.Y != 0
			if corner { // the label need not clear both sides
				off.Y = d.Y * (ry + gap/2)
			}
			add(off, 0)
			if !e.rare || corner {
				continue
			}
			flush := d.Left().Scale(math.Abs(ry-text.h/2)*math.Abs(d.X) + math.Abs(rx-text.w/2)*math.Abs(d.Y))
			for m, part := range alongSide {
				add(off.Add(flush.Scale(part)), alignCost*float64(m+1))
			}
		}
	}
	return out
}

// onOutline returns where a leader ends that comes from a label at from: on the outline, on the
// way to its middle from want, which lies on the box around it.
func onOutline(outline []geom.Vec, mid, want, from geom.Vec) geom.Vec {
	best, at := math.Inf(1), want
	for i, a := range outline {
		c := geom.Curve{A: a.At(mid.Z), B: outline[(i+1)%len(outline)].At(mid.Z)}
		t, d := c.Nearest(want)
		p := c.Point(t)
		if d += geom.Same * p.PlanDist(from); d < best { // of two as near, the one on the side of the label
			best, at = d, p
		}
	}
	return at
}

// atRiser adds the places beside a vertical run; the leader ends at its outline.
func atRiser(out []spot, b label, r *run) []spot {
	top := r.axis.A
	if r.axis.B.Z > top.Z {
		top = r.axis.B
	}
	start := len(out)
	out = besideOutline(out, b, r.outline(top), top.Z, rarely(false))
	for k := range out[start:] {
		s := &out[start+k]
		s.leader = true
		s.cost += besideDuct + atRiserCost
	}
	return out
}
