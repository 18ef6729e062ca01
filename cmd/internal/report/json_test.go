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
	"twinline/layout/words"
	"twinline/sizing"
)

func rowSpec() sizing.Spec {
	return sizing.Spec{Method: sizing.EqualFriction, Rate: 0.65, RoundSteps: sizing.Steps{Even: 0.025},
		RectSteps: sizing.Steps{Even: 0.05}, Least: 0.1, MaxAspect: 4, Air: sizing.AirSpec{Temperature: 20},
		Fittings: duct.FittingRules{ElbowRound: 1.5, ElbowRect: 1.5, ElbowLeast: 0.75,
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
			c, v := float64(f.C), float64(f.Speed)
			require.InDelta(t, c*1.204*v*v/2, float64(f.Loss), 1e-4*(1+c), f.Kind)
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
	unitTable(net, des, words.In(false)).Text(&out)
	require.Regexp(t, `-5 Pa +100 Pa +105 Pa\n$`, out.String())
}

// A unit has to give what the system that needs most asks for on either side of it; a terminal with nothing to throttle
// has no damper.
func TestUnitOfManySystems(t *testing.T) {
	b := &builder{}
	for range 3 {
		b.outlet(duct.None, b.unit(geom.Vec{}), geom.Vec{X: 10}, duct.RoundOf(0.2), 0.1)
	}
	b.net.Systems[1].Unit, b.net.Systems[2].Unit, b.net.Systems[2].Air = 0, 0, duct.ETA
	for i, need := range []duct.Pressure{40, 60, 25} {
		b.des.Systems[i].Required, b.des.Nodes[b.net.Systems[i].Head].Total = need, need
	}
	require.Equal(t, []string{"U-1|60 Pa|0 Pa|25 Pa|0 Pa|85 Pa|-|-"},
		printed(unitTable(&b.net, &b.des, words.In(false))))
	b.des.Terminals[0].Damper = 0
	require.Equal(t, []string{"S-1|n2|new|100 L/s|0 Pa|0 Pa|0 Pa|-|-"},
		printed(terminalTable(&b.net, &b.des, &b.net.Systems[0], words.In(false))))
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
				if Sizes(&out, net, des, words.In(false)); out.Len() == 0 {
					b.Fatal("nothing was printed")
				}
			}
		})
	}
}
