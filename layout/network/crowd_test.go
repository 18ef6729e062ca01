package network

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/sketch"
)

// Drawings made by a program gone wrong: much at one place. Each is read in seconds, and reported.
func TestCrowds(t *testing.T) {
	const n = 5000
	crowd := map[string]func(i int) geom.Path{
		"a star": func(i int) geom.Path {
			end := geom.Direction(2 * math.Pi * float64(i) / n).Scale(float64(i%50) + 1)
			return geom.Path{{Vec: geom.Vec{}}, {Vec: end}}
		},
		"one line over and over": func(int) geom.Path { return geom.Path{{}, {Vec: geom.Vec{X: 10}}} },
		"ever longer lines": func(i int) geom.Path {
			return geom.Path{{Vec: geom.Vec{X: -float64(i)}}, {Vec: geom.Vec{X: float64(i) + 1}}}
		},
		"closed lines": func(int) geom.Path { return geom.Path{{}, {Vec: geom.Vec{X: 10}}, {Vec: geom.Vec{Y: 10}}} },
		"a stack of ends": func(i int) geom.Path {
			return geom.Path{{Vec: geom.Vec{Z: float64(i)}}, {Vec: geom.Vec{X: float64(i) + 1, Y: 5, Z: float64(i)}}}
		},
	}
	for name, path := range crowd {
		t.Run(name, func(t *testing.T) {
			sk := &sketch.Sketch{Metric: true}
			for i := range n {
				k := fmt.Sprintf("%X", 0x10000+i)
				sk.Lines = append(sk.Lines,
					sketch.Line{Key: key.Key(k), Handle: k, Path: path(i), Closed: name == "closed lines"})
			}
			start := time.Now()
			_, found := Build(sk, Spec{})
			require.Less(t, time.Since(start), 20*time.Second)
			require.True(t, found.HasErrors())
			count := map[diag.Code]int{}
			for _, d := range found {
				count[d.Code]++
			}
			require.Less(t, count[diag.BadGeometry], 10)
			require.LessOrEqual(t, count[diag.Overlap], mostOverlaps)
		})
	}
}
