package network

import (
	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/sketch"
)

// Build joins a sketch up. The network it returns is whole only when no finding is of level
// error; with errors it holds what could be joined, so that all that is wrong can be reported and
// marked at once. The order of lines, terminals and units in the sketch does not matter.
func Build(sk *sketch.Sketch, spec Spec) (*duct.Network, diag.List) {
	var all diag.List
	report := func(found diag.List) { all = append(all, found...) }

	web, found := cut(newFrame(sk, spec))
	report(found)
	joined, found := join(web)
	report(found)
	report(joined.mixedAir())
	doubled, found := joined.overlaps()
	report(found)
	missed, found := joined.nearMisses()
	report(found)
	graph, found := freeze(joined)
	report(found)
	parts, found := heads(graph)
	report(found)
	a, found := outward(graph, parts, doubled)
	report(found)
	report(a.spread(joined.lines))
	a.sections()
	a.addFlows()
	report(a.nameTerminals())
	report(a.check(joined.passed, missed))
	return a.net, all
}
