package network

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
)

// codes returns the findings as "code@handle", sorted, notes about names left out.
func codes(found diag.List) []string {
	out := []string{}
	for _, d := range found {
		if d.Code != diag.Unnamed {
			out = append(out, fmt.Sprintf("%s@%s", d.Code, d.Handle))
		}
	}
	slices.Sort(out)
	return out
}

// shapeOf prints every run as "key kind from>to flow", sorted.
func shapeOf(net *duct.Network) []string {
	var out []string
	for i := range net.Runs {
		r := &net.Runs[i]
		a, b := &net.Nodes[r.From], &net.Nodes[r.To]
		out = append(out, fmt.Sprintf("%s %s %s>%s %.0f", r.Key, r.Kind, a.Kind, b.Kind, r.Flow*1000))
	}
	slices.Sort(out)
	return out
}

func TestBuild(t *testing.T) {
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			net, found := Build(parse(t, c.sketch), Spec{})
			require.Equal(t, c.found, codes(found), "%v\n%s", found, list(net))
			if c.runs != nil {
				slices.Sort(c.runs)
				require.Equal(t, c.runs, shapeOf(net), "%s", list(net))
			}
			sound(t, net)
			for _, d := range found {
				require.NotEmpty(t, d.Text)
				require.NotEmpty(t, d.Do)
				require.NotEmpty(t, d.Handle)
			}
		})
	}
}

// The order of entities in the drawing must not show.
func TestBuildOrder(t *testing.T) {
	for _, c := range cases {
		sk := parse(t, c.sketch)
		net, found := Build(sk, Spec{FlexibleEnd: 1})
		for seed := range uint64(5) {
			rng := rand.New(rand.NewPCG(seed, 1))
			mixed := *sk
			mixed.Lines = slices.Clone(sk.Lines)
			mixed.Terminals = slices.Clone(sk.Terminals)
			mixed.Units = slices.Clone(sk.Units)
			rng.Shuffle(len(mixed.Lines),
				func(i, j int) { mixed.Lines[i], mixed.Lines[j] = mixed.Lines[j], mixed.Lines[i] })
			rng.Shuffle(len(mixed.Terminals), func(i, j int) {
				mixed.Terminals[i], mixed.Terminals[j] = mixed.Terminals[j], mixed.Terminals[i]
			})
			rng.Shuffle(len(mixed.Units),
				func(i, j int) { mixed.Units[i], mixed.Units[j] = mixed.Units[j], mixed.Units[i] })
			net2, found2 := Build(&mixed, Spec{FlexibleEnd: 1})
			require.Equal(t, print(net), print(net2), c.name)
			require.Equal(t, found.Sorted(), found2.Sorted(), c.name)
		}
	}
}

func print(net *duct.Network) string {
	return strings.ReplaceAll(fmt.Sprintf("%+v", *net), "NaN", "nan")
}

// sound checks what must hold for any network, with or without findings.
func sound(t require.TestingT, net *duct.Network) {
	keys := map[string]bool{}
	for i := range net.Runs {
		r := &net.Runs[i]
		require.EqualValues(t, i, r.ID)
		require.False(t, keys[string(r.Key)], "key %s twice", r.Key)
		keys[string(r.Key)] = true
		require.NotEmpty(t, r.Handles)
		require.Contains(t, net.Nodes[r.From].Runs, r.ID)
		require.Contains(t, net.Nodes[r.To].Runs, r.ID)
		require.Contains(t, net.Sections[r.Section].Runs, r.ID)
		require.Equal(t, r.System, net.Sections[r.Section].System)
		require.Less(t, r.Up, r.ID, "every run after its Up")
		require.Greater(t, r.Line.Len(), 0.0)
		for k, id := range []duct.NodeID{r.From, r.To} {
			n := &net.Nodes[id]
			end := r.Line.A
			if k == 1 {
				end = r.Line.B
			}
			if n.Unit == duct.None && n.Terminal == duct.None {
				require.InDelta(t, 0, n.At.PlanDist(end), 1e-6, "run %s does not end on its node", r.Key)
				if oneDatum(net, n) {
					require.InDelta(t, n.At.Z, end.Z, 1e-6, "run %s does not end on its node", r.Key)
				}
			}
		}
	}
	keys = map[string]bool{}
	for i := range net.Nodes {
		n := &net.Nodes[i]
		require.EqualValues(t, i, n.ID)
		require.NotEmpty(t, n.Key)
		require.False(t, keys[string(n.Key)], "node key %s twice", n.Key)
		keys[string(n.Key)] = true
		require.NotEmpty(t, n.Runs)
		if n.System == duct.None || n.Kind == duct.Head && net.Systems[n.System].Head == n.ID {
			continue
		}
		in, out := 0.0, 0.0
		for _, id := range n.Runs {
			r := &net.Runs[id]
			if r.To == n.ID {
				in += float64(r.Flow)
			} else {
				out += float64(r.Flow)
			}
		}
		if n.Terminal != duct.None {
			if f := float64(net.Terminals[n.Terminal].Flow); net.Runs[n.Runs[0]].Air.FromUnit() {
				out += f
			} else {
				in += f
			}
		}
		require.InDelta(t, in, out, 1e-9*(1+in), "flows at node %s", n.Key)
	}
	for _, s := range net.Systems {
		for _, id := range s.Runs {
			if up := net.Runs[id].Up; up != duct.None {
				require.Equal(t, net.UpNode(&net.Runs[id]), net.DownNode(&net.Runs[up]))
			} else {
				require.Equal(t, s.Head, net.UpNode(&net.Runs[id]))
			}
		}
		names := map[string]bool{}
		for _, id := range s.Terminals {
			require.False(t, names[net.Terminals[id].Name])
			names[net.Terminals[id].Name] = true
		}
	}
	for _, s := range net.Sections {
		for k, id := range s.Runs {
			r := &net.Runs[id]
			require.Equal(t, s.ID, r.Section)
			require.InDelta(t, float64(net.Runs[s.Runs[0]].Flow), float64(r.Flow), 1e-12, "one flow a stretch")
			if k > 0 && r.Up != duct.None {
				require.Equal(t, s.Runs[k-1], r.Up)
			}
		}
	}
}

func oneDatum(net *duct.Network, n *duct.Node) bool {
	for _, id := range n.Runs {
		if net.Runs[id].Datum != net.Runs[n.Runs[0]].Datum {
			return false
		}
	}
	return true
}

func run(t *testing.T, net *duct.Network, name string) *duct.Run {
	t.Helper()
	for i := range net.Runs {
		if string(net.Runs[i].Key) == name {
			return &net.Runs[i]
		}
	}
	t.Fatalf("no run %s in\n%s", name, list(net))
	return nil
}
