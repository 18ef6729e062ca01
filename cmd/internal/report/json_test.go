package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/sizing"
)

// rows returns a network of that many systems side by side, together of about n runs: each a straight duct with a terminal on
// a branch at every joint.
func rows(systems, n int) *duct.Network {
	net := &duct.Network{}
	for s := range systems {
		addRow(net, s, n/systems)
	}
	return net
}

func addRow(net *duct.Network, s, n int) {
	id, unit := duct.SystemID(s), duct.UnitID(len(net.Units))
	y := float64(s) * 50
	net.Units = append(net.Units, duct.Unit{ID: unit, Mark: fmt.Sprintf("U-%d", s+1)})
	sys := duct.System{ID: id, Name: net.Units[unit].Mark, Unit: unit}
	node := func(kind duct.NodeKind, at geom.Vec) duct.NodeID {
		k := duct.NodeID(len(net.Nodes))
		net.Nodes = append(net.Nodes, duct.Node{ID: k, Kind: kind, At: at, System: id, Unit: duct.None, Terminal: duct.None})
		return k
	}
	add := func(from, to duct.NodeID, up duct.RunID, q duct.Flow) duct.RunID {
		k, st := duct.RunID(len(net.Runs)), duct.SectionID(len(net.Sections))
		before := duct.SectionID(duct.None)
		if up != duct.None {
			before = net.Runs[up].Section
		}
		net.Runs = append(net.Runs, duct.Run{ID: k, System: id, From: from, To: to, Section: st, Up: up, Flow: q,
			Line: geom.Curve{A: net.Nodes[from].At, B: net.Nodes[to].At}})
		net.Sections = append(net.Sections, duct.Section{ID: st, System: id, Runs: []duct.RunID{k}, Up: before})
		net.Nodes[from].Runs, net.Nodes[to].Runs = append(net.Nodes[from].Runs, k), append(net.Nodes[to].Runs, k)
		sys.Runs, sys.Sections = append(sys.Runs, k), append(sys.Sections, st)
		return k
	}
	outlet := func(at duct.NodeID, q duct.Flow) {
		k := duct.TerminalID(len(net.Terminals))
		net.Nodes[at].Kind, net.Nodes[at].Terminal = duct.Outlet, k
		net.Terminals = append(net.Terminals, duct.Terminal{ID: k, Name: fmt.Sprintf("S-%d", k+1), System: id, At: net.Nodes[at].At, Flow: q, Node: at})
		sys.Terminals = append(sys.Terminals, k)
	}
	const each = 0.02
	sys.Head = node(duct.Head, geom.Vec{Y: y})
	net.Nodes[sys.Head].Unit = unit
	at, up := sys.Head, duct.RunID(duct.None)
	for k := range n / 2 {
		x := float64(k+1) * 4
		next := node(duct.Branch, geom.Vec{X: x, Y: y})
		up = add(at, next, up, each*duct.Flow(n/2-k+1))
		side := node(duct.Outlet, geom.Vec{X: x, Y: y + 4})
		add(next, side, up, each)
		outlet(side, each)
		at = next
	}
	end := node(duct.Outlet, geom.Vec{X: float64(n/2+1) * 4, Y: y})
	add(at, end, up, each)
	outlet(end, each)
	sys.Flow = each * duct.Flow(n/2+1)
	net.Systems = append(net.Systems, sys)
}

func rowSpec() sizing.Spec {
	return sizing.Spec{Method: sizing.EqualFriction, Rate: 0.65, RoundSteps: sizing.Steps{Even: 0.025}, RectSteps: sizing.Steps{Even: 0.05}, Least: 0.1,
		MaxAspect: 4, Air: sizing.AirSpec{Temperature: 20}, Fittings: duct.FittingRules{ElbowRound: 1.5, ElbowRect: 1.5, ElbowLeast: 0.75,
			ReducerAngle: 0.5, ReducerLeast: 0.1, BranchDampers: true}}
}

// Every node and every fitting stands in the system it belongs to, once.
func TestJSONBySystem(t *testing.T) {
	net, spec := rows(3, 30), rowSpec()
	spec.Fittings.TakeoffRound = duct.Conical
	des, found := sizing.Solve(net, spec)
	require.False(t, found.HasErrors(), "%v", found)
	var out bytes.Buffer
	require.NoError(t, JSON(&out, "", Drawing{}, net, des, nil))
	var file jsonFile
	require.NoError(t, json.Unmarshal(out.Bytes(), &file))
	require.Len(t, file.Systems, 3)
	nodes, fittings, dampers := 0, 0, 0
	speeds := map[string]float64{}
	for _, s := range file.Systems {
		runs := map[string]bool{}
		for _, r := range s.Runs {
			runs[r.ID], speeds[r.ID] = true, float64(r.Velocity)
			require.Len(t, r.Points, 2)
		}
		seen := map[string]bool{}
		for _, n := range s.Nodes {
			require.False(t, seen[n.ID])
			seen[n.ID] = true
		}
		for _, r := range s.Runs {
			require.True(t, seen[r.From] && seen[r.To])
		}
		loss := map[string]float64{}
		for _, f := range s.Fittings {
			require.True(t, runs[f.Run] && seen[f.Node])
			loss[f.Run] += float64(f.Loss)
			require.InDelta(t, float64(f.C)*1.204*float64(f.Speed)*float64(f.Speed)/2, float64(f.Loss), 1e-4*(1+float64(f.C)), f.Kind)
			if v := speeds[f.Run]; f.Reference == "own" && f.C != 0 {
				require.InDelta(t, v, float64(f.Speed), 1e-5, f.Kind)
			}
			if f.Damper > 0 {
				dampers++
				require.Equal(t, "takeoff", f.Kind)
				require.InDelta(t, 0.05, float64(f.Damper), 1e-9) // Weisbach's table in Idelchik, ch. 9, from memory
				require.Contains(t, f.Source, "open damper: Weisbach")
			}
		}
		for _, r := range s.Runs {
			require.InDelta(t, float64(r.Fitting), loss[r.ID], 1e-5, r.ID)
		}
		for _, x := range s.Terminals {
			require.True(t, x.Damper == "" || runs[x.Damper])
			require.Equal(t, x.Throttle > 0, x.Damper != "")
		}
		nodes, fittings = nodes+len(s.Nodes), fittings+len(s.Fittings)
	}
	require.Equal(t, len(net.Nodes), nodes)
	require.Equal(t, len(des.Fittings), fittings)
	require.Equal(t, 15, dampers)
}

// Buoyancy can do more than a unit has to: what it needs is below zero then, and its margin above what it has.
func TestUnitThatNeedsLessThanNothing(t *testing.T) {
	net := rows(1, 4)
	net.Units[0].Available, net.Units[0].HasAvailable = 100, true
	des, found := sizing.Solve(net, rowSpec())
	require.False(t, found.HasErrors(), "%v", found)
	des.Systems[0].Required = -5
	var out strings.Builder
	units(&out, net, des, Style{})
	require.Regexp(t, `-5 Pa +100 Pa +105 Pa\n$`, out.String())
}

// Many systems cost what one does: compare the lines.
func BenchmarkJSON(b *testing.B) {
	for _, systems := range []int{1, 10, 100, 1000} {
		net := rows(systems, 10000)
		des, _ := sizing.Solve(net, rowSpec())
		b.Run(fmt.Sprintf("%d systems", systems), func(b *testing.B) {
			for b.Loop() {
				if err := JSON(io.Discard, "", Drawing{}, net, des, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run(fmt.Sprintf("%d systems as tables", systems), func(b *testing.B) {
			for b.Loop() {
				var out strings.Builder
				if Sizes(&out, net, des, Style{}); out.Len() == 0 {
					b.Fatal("nothing was printed")
				}
			}
		})
	}
}
