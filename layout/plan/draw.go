package plan

import (
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/shape"
)

// Draw returns the double-line plan of a sized network without its lettering, in metres at true elevation, and
// what cannot be made as drawn: fittings without room, ducts in one space, ducts too near to
// ceilings and limits, crossings of rated walls. des must be sized for net.
func Draw(net *duct.Network, des *duct.Design, spec Spec) ([]shape.Shape, diag.List) {
	d := draw(newModel(net, des, spec))
	return d.shapes, d.list
}

// drawing is a plan without its lettering.
type drawing struct {
	made
	shapes []shape.Shape
}

// draw makes every piece, then passes over the whole plan: what lies under what, what clashes, what comes too near.
func draw(m *model) drawing {
	nodes := jointsOf(m, false, nil)
	rigid := straights(m, false, nodes.ends)
	standing := groundOf(nodes.pieces, rigid.pieces)
	gone := jointsOf(m, true, standing)
	ends := nodes.ends.with(gone.ends)

	var all made
	all.join(nodes.made, rigid, gone.made, straights(m, true, ends))
	axes := axisLines(m, all.detours)
	flex := flexibles(m, ends)
	all.join(flex.made)
	all.join(columns(m, all.pieces))
	all.join(singles(m, all.pieces, standing))
	all.join(terminals(m), dampers(m, ends))

	lines, others := emit(all.pieces, hide(all.pieces, m.spec.Hidden))
	crossings := m.crossings()
	c := checks{model: m}
	c.noRoom()
	solids := solidsOf(all.pieces)
	c.clashes(solids)
	c.clearances(solids)
	c.rated(crossings)
	all.list = append(all.list, c.list...)
	return drawing{all, slices.Concat(lines, axes, flex.lines, others, ratedMarks(m, crossings))}
}
