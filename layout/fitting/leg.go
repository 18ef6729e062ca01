package fitting

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// legTable holds the legs of all nodes.
type legTable struct {
	all   []duct.Leg
	first []int32 // by node, and one more
}

// at returns the legs of a node, in the order of its runs. A run that begins and ends at one node has two.
func (t *legTable) at(n duct.NodeID) []duct.Leg {
	return t.all[t.first[n]:t.first[n+1]:t.first[n+1]]
}

// legsOf finds the legs of every node and their roles.
func legsOf(net *duct.Network, sizes []duct.Size) legTable {
	t := legTable{make([]duct.Leg, 0, 2*len(net.Runs)), make([]int32, len(net.Nodes)+1)}
	for i := range net.Nodes {
		n := &net.Nodes[i]
		for _, id := range n.Runs {
			r := &net.Runs[id]
			line := r.Outward()
			if net.UpNode(r) == n.ID {
				t.all = append(t.all,
					duct.Leg{Run: r, End: duct.Near, Role: duct.BranchLeg, Dir: line.Tangent(0), Size: sizes[id]})
			}
			if net.DownNode(r) == n.ID {
				t.all = append(t.all,
					duct.Leg{Run: r, End: duct.Far, Role: duct.BranchLeg, Dir: line.Tangent(1).Scale(-1),
						Size: sizes[id]})
			}
		}
		t.first[i+1] = int32(len(t.all))
		giveRoles(t.at(n.ID), n.Unit != duct.None)
	}
	return t
}

// giveRoles finds the main of a node and what goes straight on from it. Where no leg leads to the unit it is the first
// one; a unit at the head of a system has no main.
func giveRoles(legs []duct.Leg, unit bool) {
	main := slices.IndexFunc(legs, func(l duct.Leg) bool { return l.End == duct.Far })
	if main < 0 && (unit || len(legs) == 0) {
		return
	}
	main = max(main, 0)
	legs[main].Role = duct.MainLeg
	on := -1
	switch {
	case len(legs) == 2:
		on = 1 - main
	case len(legs) > 2:
		on = straightest(legs, main)
	}
	switch {
	case on >= 0:
		legs[on].Role = duct.StraightLeg
	case len(legs) > 2:
		giveBar(legs, main)
	}
}

// giveBar finds the two legs of a junction that lie in one line beside its main, if there are any.
func giveBar(legs []duct.Leg, main int) {
	for i := range legs {
		if i == main {
			continue
		}
		if k := straightest(legs, i); k >= 0 {
			legs[i].Role, legs[k].Role = duct.BarLeg, duct.BarLeg
			return
		}
	}
}

// straightest returns the leg of a junction that goes straight on from its main, -1 if none does. Of two in one
// direction it is the larger.
func straightest(legs []duct.Leg, main int) int {
	best, least, area := -1, duct.StraightOn, duct.Area(0)
	for i := range legs {
		l := &legs[i]
		if i == main {
			continue
		}
		turn := geom.TurnBetween(legs[main].Dir.Scale(-1), l.Dir)
		s := l.Size.Area()
		if turn < least-geom.Straight || turn < least+geom.Straight && (best < 0 || s > area) {
			best, least, area = i, turn, s
		}
	}
	return best
}

// withRole returns which leg has a role, -1 where none has.
func withRole(legs []duct.Leg, role duct.Role) int {
	return slices.IndexFunc(legs, func(l duct.Leg) bool { return l.Role == role })
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
