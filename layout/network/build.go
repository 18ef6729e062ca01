package network

import (
	"cmp"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/key"
	"twinline/layout/sketch"
)

// Build joins a sketch up. The network it returns is whole only when no finding is of level
// error; with errors it holds what could be joined, so that all that is wrong can be reported and
// marked at once. The order of lines, terminals and units in the sketch does not matter.
func Build(sk *sketch.Sketch, spec Spec) (*duct.Network, diag.List) {
	var all diag.List
	report := func(found diag.List) { all = append(all, found...) }

	web, found := cut(newFrame(inOrder(sk), spec))
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

// inOrder returns a copy of sk whose lines, terminals and units are sorted by key: an index of one is its place in that
// order, and that of terminals and units their number in the network.
func inOrder(sk *sketch.Sketch) *sketch.Sketch {
	out := *sk
	out.Lines, out.Terminals, out.Units = slices.Clone(sk.Lines), slices.Clone(sk.Terminals), slices.Clone(sk.Units)
	slices.SortFunc(out.Lines, func(p, q sketch.Line) int {
		return cmp.Or(key.Compare(p.Key, q.Key), p.Path.Compare(q.Path))
	})
	slices.SortFunc(out.Terminals, func(p, q sketch.Terminal) int {
		return cmp.Or(key.Compare(p.Key, q.Key), p.At.Compare(q.At))
	})
	slices.SortFunc(out.Units, func(p, q sketch.Unit) int {
		return cmp.Or(key.Compare(p.Key, q.Key), p.At.Compare(q.At))
	})
	return &out
}
