package network

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/sketch"
	"twinline/layout/sketchtest"
)

// floor is a sketch with about n runs: mains with branches to both sides, each to a terminal by a
// drop, a unit for every hundred branches.
func floor(t sketchtest.T, n int) *sketch.Sketch {
	d := sketchtest.Parse(t, "level 3.3")
	const perUnit = 100
	for row := 0; row*perUnit*3 < n; row++ {
		y, end := row*20, 2*perUnit+2
		d.Addf(t, "unit U%d 0,%d; duct M%[1]d 0.5,%[2]d %[3]d,%[2]d; term T%[1]d %[3]d,%[2]d,2.7 50 mark=T%[1]d",
			row, y, end)
		for i := range perUnit {
			d.Addf(t, "duct B%d.%d %d,%d %[3]d,%[5]d; term T%[1]d.%[2]d %[3]d,%[5]d,2.7 50 mark=T%[1]d.%[2]d", row, i,
				(i+1)*2, y, y+(1-i%2*2)*5)
		}
	}
	return d.Sketch
}

func BenchmarkBuild(b *testing.B) {
	for _, n := range []int{1000, 10000, 100000} {
		sk := floor(b, n)
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
