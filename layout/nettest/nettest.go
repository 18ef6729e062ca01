// Package nettest makes networks and designs of sketches in the language of package sketchtest. Only tests import it.
package nettest

import (
	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/network"
	"twinline/layout/sketchtest"
)

// Make joins a drawing up and makes it with the sizes it gives.
func Make(t sketchtest.T, d *sketchtest.Drawing, rules duct.FittingRules) (*duct.Network, *duct.Design) {
	t.Helper()
	net := Build(t, d)
	return net, Design(net, d.RunSizes(net), rules)
}

// Build joins a drawing up, which may raise no error.
func Build(t sketchtest.T, d *sketchtest.Drawing) *duct.Network {
	t.Helper()
	net, found := network.Build(d.Sketch, network.Spec{})
	require.False(t, found.HasErrors(), "%v", found)
	return net
}

// Design returns a design of a network with sizes, by RunID: lengths and fittings, without losses or pressures.
func Design(net *duct.Network, sizes []duct.Size, rules duct.FittingRules) *duct.Design {
	des := &duct.Design{
		Runs:      make([]duct.RunResult, len(net.Runs)),
		Nodes:     make([]duct.NodeResult, len(net.Nodes)),
		Terminals: make([]duct.TerminalResult, len(net.Terminals)),
		Systems:   make([]duct.SystemResult, len(net.Systems)),
		Assembly:  fitting.Make(net, sizes, rules),
	}
	des.Fittings = des.Assembly.Fittings
	for i := range des.Runs {
		des.Runs[i].Size, des.Runs[i].Length = sizes[i], duct.Length(des.Assembly.Axes[i].Len())
	}
	for i := range des.Terminals {
		des.Terminals[i].Damper = duct.None
	}
	for i := range des.Systems {
		des.Systems[i].Deciding = duct.None
	}
	return des
}
