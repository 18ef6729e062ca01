package pipeline

import (
	"fmt"
	"maps"
	"math"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/words"
)

// offLevel returns the lines that are to be taken by their centreline, and how far that lies above the height noted:
// those noted by bottom or top that do not meet what they join, or lie level with their terminal. A line that changes
// its height is left, since its bottom or top is what it keeps.
func offLevel(net *duct.Network, des *duct.Design, snap duct.Length) map[key.Key]float64 {
	out := map[key.Key]float64{}
	if des == nil {
		return out
	}
	sizes := des.Sizes()
	take := func(node *duct.Node, runs ...duct.RunID) {
		shifts := map[key.Key]float64{}
		for _, id := range runs {
			r := &net.Runs[id]
			if r.Datum == duct.Centre {
				continue
			}
			shift, ok := shiftOf(net, r.Key.Line(), sizes)
			if !ok {
				return // the other one alone would not do
			}
			shifts[r.Key.Line()] = shift
		}
		for _, id := range node.Runs {
			r := &net.Runs[id]
			if _, taken := shifts[r.Key.Line()]; r.Datum != duct.Centre && !taken {
				return // a third that may belong to either
			}
		}
		maps.Copy(out, shifts)
	}
	for _, s := range fitting.Steps(net, des, float64(snap)) {
		take(&net.Nodes[s.Node], s.Near, s.Far)
	}
	for _, id := range fitting.Flush(net, des.Assembly, float64(snap)) {
		r := &net.Runs[id]
		take(&net.Nodes[net.UpNode(r)], r.Up)
	}
	return out
}

// shiftOf returns how far the axis of a line lies above the height noted for it, if that is the same all along.
func shiftOf(net *duct.Network, line key.Key, sizes []duct.Size) (shift float64, same bool) {
	first := true
	for i := range net.Runs {
		r := &net.Runs[i]
		if r.Vertical() || r.Key.Line() != line {
			continue
		}
		s := r.AxisShift(sizes[i])
		if !first && math.Abs(s-shift) > geom.Same {
			return 0, false
		}
		shift, first = s, false
	}
	return shift, !first
}

// levelSteps finds where ducts that are joined do not meet in height, and no riser could be put between them.
func levelSteps(net *duct.Network, des *duct.Design, snap duct.Length, w words.Words) diag.List {
	var found diag.List
	sizes := des.Sizes()
	for _, s := range fitting.Steps(net, des, float64(snap)) {
		near, far := &net.Runs[s.Near], &net.Runs[s.Far]
		at := net.Nodes[s.Node].At
		side := "above"
		if s.By < 0 {
			side = "below"
		}
		found.Add(diag.LevelStep, [3]float64{at.X, at.Y, at.Z}, far.Handles[0],
			fmt.Sprintf("The middle of the %s duct %s lies %s %s that of the %s duct it is drawn to (handle %s): "+
				"they do not meet.",
				far.Air, w.Size(sizes[s.Far]), w.Length(duct.Length(math.Abs(s.By))), side, w.Size(sizes[s.Near]),
				near.Handles[0]),
			"Give both the elevation of their centrelines (CL), so that a riser is put between them, "+
				"or heights at which they meet.")
	}
	return found
}
