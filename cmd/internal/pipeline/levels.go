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
	"twinline/layout/network"
	"twinline/sizing"
)

// join joins the sketch up and sizes it. Where a duct noted by its bottom or top turns out, once it has a size, beside
// what it joins, both are done again with that duct noted by the centreline it got, so that a riser joins them.
func (st *Study) join() {
	before := st.Findings
	st.solve()
	if st.Design == nil {
		return
	}
	if shifts := st.offLevel(); len(shifts) > 0 {
		st.Sketch = st.Sketch.Centred(shifts)
		st.Findings = before
		st.solve()
	}
	if st.Design != nil {
		st.tellSteps()
	}
}

// solve builds the network and sizes it. Design is nil where there are errors.
func (st *Study) solve() {
	var found diag.List
	st.Design = nil
	st.Network, found = network.Build(st.Sketch, st.Specs.Network)
	st.Findings = append(st.Findings[:len(st.Findings):len(st.Findings)], found...)
	if st.Findings.HasErrors() {
		return
	}
	st.Specs.Sizing.Inches = !st.Sketch.Metric
	design, found := sizing.Solve(st.Network, st.Specs.Sizing)
	st.Findings = append(st.Findings, found...)
	if !st.Findings.HasErrors() {
		st.Design = design
	}
}

// offLevel returns the lines that are to be taken by their centreline, and how far that lies above the height noted: those
// noted by bottom or top that do not meet what they join, or lie level with their terminal. A line that changes its
// height is left, since its bottom or top is what it keeps.
func (st *Study) offLevel() map[key.Key]float64 {
	sizes, snap := st.Design.Sizes(), float64(st.Specs.Network.Snap)
	out := map[key.Key]float64{}
	take := func(node *duct.Node, runs ...duct.RunID) {
		shifts := map[key.Key]float64{}
		for _, id := range runs {
			r := &st.Network.Runs[id]
			if r.Datum == duct.Centre {
				continue
			}
			shift, ok := st.shiftOf(r.Key.Line(), sizes)
			if !ok {
				return // the other one alone would not do
			}
			shifts[r.Key.Line()] = shift
		}
		for _, id := range node.Runs {
			r := &st.Network.Runs[id]
			if _, taken := shifts[r.Key.Line()]; r.Datum != duct.Centre && !taken {
				return // a third that may belong to either
			}
		}
		maps.Copy(out, shifts)
	}
	for _, s := range fitting.Steps(st.Network, st.Design, snap) {
		take(&st.Network.Nodes[s.Node], s.Near, s.Far)
	}
	for _, id := range fitting.Flush(st.Network, st.Design.Assembly, snap) {
		r := &st.Network.Runs[id]
		take(&st.Network.Nodes[st.Network.UpNode(r)], r.Up)
	}
	return out
}

// shiftOf returns how far the axis of a line lies above the height noted for it, if that is the same all along.
func (st *Study) shiftOf(line key.Key, sizes []duct.Size) (shift float64, same bool) {
	first := true
	for i := range st.Network.Runs {
		r := &st.Network.Runs[i]
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

// tellSteps tells where ducts that are joined do not meet in height, and no riser could be put between them.
func (st *Study) tellSteps() {
	sizes := st.Design.Sizes()
	metric := st.Sketch.Metric
	for _, s := range fitting.Steps(st.Network, st.Design, float64(st.Specs.Network.Snap)) {
		near, far := &st.Network.Runs[s.Near], &st.Network.Runs[s.Far]
		at := st.Network.Nodes[s.Node].At
		side := "above"
		if s.By < 0 {
			side = "below"
		}
		st.Findings.Add(diag.LevelStep, [3]float64{at.X, at.Y, at.Z}, far.Handles[0],
			fmt.Sprintf("The middle of the %s duct %s lies %s %s that of the %s duct it is drawn to (handle %s): they do not meet.",
				far.Air, sizes[s.Far].Text(!metric), duct.Length(math.Abs(s.By)).Text(!metric), side, sizes[s.Near].Text(!metric), near.Handles[0]),
			"Give both the elevation of their centrelines (CL), so that a riser is put between them, or heights at which they meet.")
	}
}
