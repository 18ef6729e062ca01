package network

import (
	"fmt"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/words"
)

// addFlows adds up the flow of every run from its terminals.
func (a *assembly) addFlows() {
	for i := len(a.net.Runs) - 1; i >= 0; i-- { // every run after its Up
		r := &a.net.Runs[i]
		if r.System == duct.None {
			continue
		}
		if t := a.net.Nodes[a.net.DownNode(r)].Terminal; t != duct.None {
			r.Flow += a.net.Terminals[t].Flow
		}
		if r.Up != duct.None {
			a.net.Runs[r.Up].Flow += r.Flow
		} else {
			a.net.Systems[r.System].Flow += r.Flow
		}
	}
}

// nameTerminals gives every terminal a name of its own: its mark, with #1, #2 where it stands for several in a
// system, and T1, T2 where it has none. Later terminals have later keys and rename no earlier ones.
func (a *assembly) nameTerminals() (found diag.List) {
	type group struct {
		system duct.SystemID
		mark   string
	}
	count, next := map[group]int{}, map[group]int{}
	used := map[string]bool{}
	for i := range a.net.Terminals {
		t := &a.net.Terminals[i]
		count[group{t.System, t.Mark}]++
		used[t.Mark] = true
	}
	unnamed := 0
	for i := range a.net.Terminals {
		t := &a.net.Terminals[i]
		g := group{t.System, t.Mark}
		switch {
		case t.Mark == "":
			for unnamed++; used[fmt.Sprintf("T%d", unnamed)]; unnamed++ {
			}
			t.Name = fmt.Sprintf("T%d", unnamed)
			if t.Status != duct.Removed {
				found.Add(diag.Unnamed, spot(t.At), t.Handle,
					fmt.Sprintf("A terminal without a mark is called %s.", t.Name),
					"Give it a mark to call it otherwise.")
			}
		case count[g] > 1:
			for next[g]++; used[fmt.Sprintf("%s#%d", t.Mark, next[g])]; next[g]++ {
			}
			t.Name = fmt.Sprintf("%s#%d", t.Mark, next[g])
		}
	}
	for i := range a.net.Terminals {
		if t := &a.net.Terminals[i]; t.System != duct.None {
			sys := &a.net.Systems[t.System]
			sys.Terminals = append(sys.Terminals, t.ID)
		}
	}
	return found
}

// checker looks at a network that is done.
type checker struct {
	*assembly
	passed   map[int]bool // as in joined
	missed   map[int]bool // joints of free ends that were reported as near misses
	overhead *geom.Index  // of the lines of runs, once a terminal without a duct has asked for it
	found    diag.List
}

// check reports what is wrong with the network as a whole.
func (a *assembly) check(passed, missed map[int]bool) diag.List {
	c := &checker{assembly: a, passed: passed, missed: missed}
	c.checkTerminals()
	c.checkNodes()
	return c.found
}

// checkTerminals reports terminals without a duct or without an airflow.
func (c *checker) checkTerminals() {
	for i := range c.net.Terminals {
		t := &c.net.Terminals[i]
		s := &c.sk.Terminals[i]
		if t.Status == duct.Removed || !finite(s.At, s.Face) {
			continue
		}
		if t.Node == duct.None && !c.passed[i] {
			c.reportNoPath(t)
		}
		if !(t.Flow > 0) {
			c.found.Add(diag.NoAirflow, spot(t.At), t.Handle,
				fmt.Sprintf("%s has no airflow.", words.Capital(words.Terminal(t.Mark))),
				"Give it the attribute FLOW, or write its airflow beside it.")
		}
	}
}

// reportNoPath reports a terminal no duct ends at, and the duct that passes over it, if one does: a line that merely
// crosses is not joined.
func (c *checker) reportNoPath(t *duct.Terminal) {
	if c.overhead == nil {
		c.overhead = &geom.Index{}
		for i := range c.net.Runs {
			c.overhead.Insert(c.net.Runs[i].Line.Box(), i)
		}
	}
	what, do := fmt.Sprintf("No duct ends at %s.", words.Terminal(t.Mark)),
		fmt.Sprintf("End a duct for %s air over its face or at its border.", t.Air)
	if face := geom.PolygonRegion(t.Face); len(t.Face) > 2 {
		for _, i := range c.overhead.Search(face.Box) {
			r := &c.net.Runs[i]
			if r.Air != t.Air || r.Status == duct.Removed || len(r.Handles) == 0 || len(face.Inside(r.Line)) == 0 {
				continue
			}
			what = fmt.Sprintf("No duct ends at %s; one passes over it without an end there (handle %s).",
				words.Terminal(t.Mark), r.Handles[0])
			do = "Break the line of that duct over the face, or draw a branch from it to the terminal."
			break
		}
	}
	c.found.Add(diag.NoPath, spot(t.At), t.Handle, what, do)
}

// checkNodes reports ends that lead nowhere, new branches on existing mains, and airflows
// noted at units that are not what hangs on them.
func (c *checker) checkNodes() {
	for i := range c.net.Nodes {
		n := &c.net.Nodes[i]
		first := &c.net.Runs[n.Runs[0]]
		if first.Status == duct.Removed {
			continue
		}
		switch n.Kind {
		case duct.Cap:
			if !c.missed[c.root[n.ID]] {
				c.found.Add(diag.DeadEnd, spot(n.At), first.Handles[0],
					"A duct ends here at no terminal; it is drawn with a cap and carries no air.",
					"Draw it on to a terminal, or leave it if a capped end is meant.")
			}
		case duct.Head, duct.Box:
			if n.System != duct.None {
				c.compareFlows(n)
			}
		case duct.Branch:
			c.existingBranch(n)
		case duct.Bend, duct.Outlet:
		}
	}
}

// existingBranch reports new branches on an existing main.
func (c *checker) existingBranch(n *duct.Node) {
	var main *duct.Run
	for _, id := range n.Runs {
		if r := &c.net.Runs[id]; c.net.DownNode(r) == n.ID && r.Status == duct.Existing {
			main = r
		}
	}
	if main == nil {
		return
	}
	goesOn := slices.ContainsFunc(n.Runs, func(id duct.RunID) bool {
		return id != main.ID && c.net.Runs[id].Status == duct.Existing
	})
	for _, id := range n.Runs {
		if r := &c.net.Runs[id]; goesOn && (r.Status == duct.New || r.Status == duct.Future) {
			c.found.Add(diag.ExistingBranch, spot(n.At), r.Handles[0],
				fmt.Sprintf("A %s branch of %s leaves an existing main (handle %s).", r.Status, c.say.Flow(r.Flow),
					main.Handles[0]),
				"See whether the main and its unit can carry the airflow.")
		}
	}
}

// flowShare is the part by which an airflow noted at a unit may differ from the sum of its terminals
// without a word: what rounding of the noted figures makes. Common practice.
const flowShare = 0.02

// compareFlows reports where the airflow noted at a unit is not what its terminals add up to.
func (c *checker) compareFlows(n *duct.Node) {
	sum := duct.Flow(0) // what goes outward from the unit
	for _, id := range n.Runs {
		if r := &c.net.Runs[id]; c.net.UpNode(r) == n.ID {
			sum += r.Flow
		}
	}
	u := &c.net.Units[n.Unit]
	if !(u.Flow > 0) || !(sum > 0) {
		return
	}
	if diff := float64(u.Flow-sum) / float64(sum); diff > flowShare || diff < -flowShare {
		c.found.Add(diag.FlowDiffers, spot(u.At), u.Handle,
			fmt.Sprintf("At %s an airflow of %s is noted, but its terminals add up to %s, which is what counts.",
				words.Unit(u.Mark), c.say.Flow(u.Flow), c.say.Flow(sum)),
			"Correct the airflow of the unit, or those of its terminals.")
	}
}
