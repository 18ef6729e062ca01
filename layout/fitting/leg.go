package fitting

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// The two ends of a run as seen from the unit.
const (
	near = 0
	far  = 1
)

// leg is a run as it leaves a node.
type leg struct {
	run *duct.Run
	end int      // near: the run leads away from the unit here; far: it comes from it
	dir geom.Vec // unit direction in space, away from the node
}

// legsAt returns the legs of a node, in the order of its runs. A run that begins and ends at
// one node has two.
func (c *chooser) legsAt(n *duct.Node) []leg {
	out := c.legs[:0]
	for _, id := range n.Runs {
		r := &c.net.Runs[id]
		line := r.Outward()
		if c.net.UpNode(r) == n.ID {
			out = append(out, leg{r, near, line.Tangent(0)})
		}
		if c.net.DownNode(r) == n.ID {
			out = append(out, leg{r, far, line.Tangent(1).Scale(-1)})
		}
	}
	c.legs = out
	return out
}

// across returns the direction in which the width of a size lies in a run that goes in direction dir.
func across(r *duct.Run, dir geom.Vec) geom.Vec {
	if r.Vertical() {
		if r.Across == (geom.Vec{}) {
			return geom.Vec{X: 1}
		}
		return r.Across
	}
	return dir.Left().Unit()
}

// seenFrom returns size s of run p as run r that follows it outward has it at their node: a rectangular or oval riser
// keeps its size, and a duct that leaves it along the side its width lies along begins as wide as the riser is high.
func seenFrom(p, r *duct.Run, s duct.Size) duct.Size {
	if !p.Vertical() || r.Vertical() || s.Shape == duct.Round {
		return s
	}
	if math.Abs(r.Outward().Tangent(0).Unit().Dot(across(p, geom.Vec{}))) >= math.Sqrt2/2 {
		s.Width, s.Height = s.Height, s.Width
	}
	return s
}

// half returns half of what a duct of clear size s and the lining of run r measures outside, square to direction dir of
// the run, in the plane that dir and other span. Where they lie in one line it is half the width.
func half(r *duct.Run, s duct.Size, dir, other geom.Vec) float64 {
	if s.IsZero() {
		return 0
	}
	s = s.Lined(r.Spec.Lining)
	w, h := float64(s.Width)/2, float64(s.Height)/2
	if s.Shape == duct.Round {
		return w
	}
	p := other.Sub(dir.Scale(dir.Dot(other)))
	if p.Len() < geom.Straight {
		return w
	}
	p = p.Unit()
	u := across(r, dir)
	along, up := math.Abs(p.Dot(u)), math.Abs(p.Dot(dir.Cross(u)))
	if s.Shape == duct.Oval {
		// Half circles at the ends of the longer side, a box between them.
		if w > h {
			return (w-h)*along + h
		}
		return (h-w)*up + w
	}
	return along*w + up*h
}

// reach returns how far along leg a, with half measure ha, its wall runs until it meets the wall of leg b,
// with half measure hb, in the plane of both: where the straight duct can begin. Zero where the walls
// meet beside or behind the node.
func reach(a, b geom.Vec, ha, hb float64) float64 { return math.Max(0, wallsMeet(a, b, ha, hb)) }

// wallsMeet is reach that is negative where the walls meet behind the node.
func wallsMeet(a, b geom.Vec, ha, hb float64) float64 {
	angle := geom.TurnBetween(a, b)
	if angle < leastAngle || math.Pi-angle < leastAngle {
		return 0
	}
	sin, cos := math.Sincos(angle)
	return (hb + ha*cos) / sin
}

// leastAngle is the angle in radians, about half a degree, below which two runs count as in line.
const leastAngle = 0.01
