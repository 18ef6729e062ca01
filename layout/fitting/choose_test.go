package fitting_test

import (
	"testing"

	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/geom"
	"twinline/layout/network"
	"twinline/layout/sketch"
)

var rules = duct.FittingRules{ElbowRound: 1.5, ElbowRect: 1, ElbowLeast: 0.75, MitreVanes: true, ReducerAngle: 0.5, ReducerLeast: 0.15}

func path(v ...float64) geom.Path {
	var p geom.Path
	for i := 0; i+2 < len(v); i += 3 {
		p = append(p, geom.Vertex{Vec: geom.Vec{X: v[i], Y: v[i+1], Z: v[i+2]}})
	}
	return p
}

func square(x, y, z, s float64) []geom.Vec {
	s /= 2
	return []geom.Vec{{X: x - s, Y: y - s, Z: z}, {X: x + s, Y: y - s, Z: z}, {X: x + s, Y: y + s, Z: z}, {X: x - s, Y: y + s, Z: z}}
}

func TestTry(t *testing.T) {
	sk := &sketch.Sketch{
		Units: []sketch.Unit{{Key: "U", Handle: "U", Outline: square(0, 0, 3, 1), At: geom.Vec{Z: 3}}},
		Lines: []sketch.Line{{Key: "A", Handle: "A", Path: path(0.5, 0, 3, 10, 0, 3, 10, 4, 3)}, {Key: "B", Handle: "B", Path: path(5, 0, 3, 5, 4, 3)}},
		Terminals: []sketch.Terminal{{Key: "T", Handle: "T", At: geom.Vec{X: 10, Y: 4, Z: 2.7}, Face: square(10, 4, 2.7, 0.6), Flow: 0.1},
			{Key: "V", Handle: "V", At: geom.Vec{X: 5, Y: 4, Z: 2.7}, Face: square(5, 4, 2.7, 0.6), Flow: 0.1}},
	}
	net, found := network.Build(sk, network.Spec{})
	t.Log(found)
	sections := make([]duct.Section, len(net.Runs))
	for i := range sections {
		sections[i] = duct.RoundOf(0.2)
	}
	sections[0] = duct.RectOf(0.45, 0.25)
	fits := fitting.Choose(net, sections, rules)
	for _, f := range fits {
		t.Logf("%s node %s run %s angle %.2f r %.3f len %.3f short %.3f", f.Kind, net.Nodes[f.Node].Key, net.Runs[f.Run].Key, f.Angle, f.Radius, f.Length, f.ShortBy)
	}
	for i, tr := range fitting.Trims(net, sections, fits) {
		t.Log(net.Runs[i].Key, tr)
	}
	t.Log(fitting.Axes(net, sections))
}
