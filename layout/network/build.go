package network

import (
	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/sketch"
)

// Build joins a sketch up. The network it returns is whole only when no finding is of level
// error; with errors it holds what could be joined, so that all that is wrong can be told and
// marked at once. The order of lines, terminals and units in the sketch does not matter.
func Build(sk *sketch.Sketch, spec Spec) (*duct.Network, diag.List) {
	var all diag.List
	tell := func(found diag.List) { all = append(all, found...) }

	web, found := cut(newFrame(sk, spec))
	tell(found)
	joined, found := join(web)
	tell(found)
	tell(joined.mixedAir())
	doubled, found := joined.overlaps()
	tell(found)
	missed, found := joined.nearMisses()
	tell(found)
	graph, found := freeze(joined)
	tell(found)
	parts, found := heads(graph)
	tell(found)
	a, found := outward(graph, parts, doubled)
	tell(found)
	tell(a.spread(joined.lines))
	a.sections()
	a.addFlows()
	tell(a.nameTerminals())
	tell(a.check(joined.passed, missed))
	return a.net, all
}
