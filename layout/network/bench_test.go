package network

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/sketch"
	"twinline/layout/sketchtest"
)

// floor is a sketch with about n runs: mains with branches to both sides, each to a terminal by a
// drop, a unit for every hundred branches.
func floor(n int) *sketch.Sketch {
	sk := &sketch.Sketch{}
	line := func(path ...geom.Vec) {
		k := fmt.Sprintf("%X", 0x1000+len(sk.Lines))
		l := sketch.Line{Key: key.Key(k), Handle: k}
		for _, p := range path {
			l.Path = append(l.Path, geom.Vertex{Vec: p})
		}
		sk.Lines = append(sk.Lines, l)
	}
	terminal := func(at geom.Vec) {
		k := fmt.Sprintf("T%X", 0x1000+len(sk.Terminals))
		sk.Terminals = append(sk.Terminals,
			sketch.Terminal{Key: key.Key(k), Handle: k, At: at, Face: sketchtest.Square(at, 0.6, 0.6), Flow: 0.05,
				Mark: k})
	}
	const perUnit = 100
	for row := 0; row*perUnit*3 < n; row++ {
		y := float64(row) * 20
		at := geom.Vec{Y: y, Z: 3.3}
		k := fmt.Sprintf("U%X", row)
		sk.Units = append(sk.Units,
			sketch.Unit{Key: key.Key(k), Handle: k, At: at, Outline: sketchtest.Square(at, 1, 1)})
		end := geom.Vec{X: 2*perUnit + 2, Y: y, Z: 3.3}
		line(geom.Vec{X: 0.5, Y: y, Z: 3.3}, end)
		terminal(end.At(2.7))
		for i := range perUnit {
			p := geom.Vec{X: float64(i+1) * 2, Y: y, Z: 3.3}
			q := p.Add(geom.Vec{Y: float64(1-i%2*2) * 5})
			line(p, q)
			terminal(q.At(2.7))
		}
	}
	return sk
}

func BenchmarkBuild(b *testing.B) {
	for _, n := range []int{1000, 10000, 100000} {
		sk := floor(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			var net *duct.Network
			for b.Loop() {
				built, found := Build(sk, Spec{})
				require.Empty(b, found)
				net = built
			}
			require.GreaterOrEqual(b, len(net.Runs), n)
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(net.Runs)), "ns/run")
		})
	}
}
