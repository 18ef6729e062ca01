package fitting

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// Step is a node where two ducts are joined that do not meet in height. A branch has to lie within the sides of its
// main; what goes on may lie beside it by half of the lower duct's height, which a sloped change of size takes up.
type Step struct {
	Node      duct.NodeID
	Near, Far duct.RunID // towards the unit, and away from it
	By        float64    // metres the axis of Far lies above that of Near
}

// Steps returns the nodes at which a duct noted by its bottom or top turns out beside the duct it joins: only sizes
// tell where its axis lies. slack is what is overlooked, in metres.
func Steps(net *duct.Network, des *duct.Design, slack float64) []Step {
	var out []Step
	axes := des.Assembly.Axes
	for i := range net.Runs {
		far := &net.Runs[i]
		if far.Up == duct.None || far.Vertical() {
			continue
		}
		near := &net.Runs[far.Up]
		node := net.UpNode(far)
		if near.Vertical() || near.Datum == far.Datum || net.Nodes[node].Unit != duct.None {
			continue
		}
		p, q := tall(near, des), tall(far, des)
		if p == 0 || q == 0 {
			continue
		}
		by := axes[far.ID].A.Z - axes[near.ID].B.Z
		most := (math.Max(p, q)-math.Min(p, q))/2 + slack
		if len(net.Nodes[node].Runs) == 2 ||
			geom.TurnBetween(near.Outward().Tangent(1), far.Outward().Tangent(0)) < duct.StraightOn {
			most = math.Max(most, math.Min(p, q)/2)
		}
		if math.Abs(by) > most+geom.Same {
			out = append(out, Step{node, near.ID, far.ID, by})
		}
	}
	return out
}

// Flush returns the drops that have no length: the duct over or under the terminal, noted by its bottom or top, turns
// out to have its axis at the terminal's own height. slack is what is overlooked, in metres.
func Flush(net *duct.Network, asm *duct.Assembly, slack float64) []duct.RunID {
	var out []duct.RunID
	for i := range net.Runs {
		r := &net.Runs[i]
		if r.Kind != duct.Drop || r.Up == duct.None || net.Runs[r.Up].Datum == duct.Centre {
			continue
		}
		if c := asm.Axes[i]; math.Abs(c.B.Z-c.A.Z) <= slack {
			out = append(out, r.ID)
		}
	}
	return out
}

// tall returns the height of a run, outside its lining, in metres; 0 where it has no size.
func tall(r *duct.Run, des *duct.Design) float64 {
	return float64(des.Runs[r.ID].Size.Lined(r.Spec.Lining).Height)
}
