package sizing_test

import (
	"fmt"
	"testing"

	"twinline/layout/duct"
	"twinline/sizing"
)

// floorNetwork returns a network of about n runs: systems of 100 runs each, a main with branches
// of a few terminals, flows that differ from terminal to terminal.
func floorNetwork(n int) *duct.Network {
	var roots []piece
	k := 0
	for runs := 0; runs < n; {
		depth := 0
		var main func() piece
		main = func() piece {
			depth++
			p := line(fmt.Sprintf("m%d", k), 6, 0)
			k, runs = k+1, runs+1
			branch := line(fmt.Sprintf("b%d", k), 5, 90)
			k, runs = k+1, runs+1
			for i, turn := range []float64{0, 90, -90} {
				q := 20 + float64((k*7919+i*104729)%100)
				branch.next = append(branch.next, to(fmt.Sprintf("t%d", k), 4, turn, litres(q), 15))
				k, runs = k+1, runs+1
			}
			p.next = append(p.next, branch)
			if depth < 20 {
				p.next = append(p.next, main())
			} else {
				p.next = append(p.next, to(fmt.Sprintf("e%d", k), 6, 0, litres(100), 15))
				k, runs = k+1, runs+1
			}
			return p
		}
		roots = append(roots, main())
	}
	return networks(duct.SUP, roots...)
}

// comb returns one system of about n runs: a main with a terminal every few metres.
func comb(n int) *duct.Network {
	last := to("end", 6, 0, litres(1), 15)
	for i := range n / 2 {
		last = line(fmt.Sprintf("m%d", i), 6, 0, to(fmt.Sprintf("t%d", i), 5, 90, litres(0.1+0.05*float64(i%7)), 15),
			last)
	}
	return network(duct.SUP, last)
}

func BenchmarkSolve(b *testing.B) {
	for _, m := range methods {
		for _, n := range []int{1000, 10000, 100000} {
			if testing.Short() && n > 10000 {
				continue
			}
			b.Run(fmt.Sprintf("%s/%d", m, n), func(b *testing.B) { benchmark(b, floorNetwork(n), m) })
		}
	}
	for _, m := range methods { // one deep system: a main with a terminal every few metres
		for _, n := range []int{1000, 10000} {
			b.Run(fmt.Sprintf("%s/comb/%d", m, n), func(b *testing.B) { benchmark(b, comb(n), m) })
		}
	}
}

func benchmark(b *testing.B, net *duct.Network, m sizing.Method) {
	spec := metric()
	spec.Method = m
	spec.Costs = sizing.Costs{Duct: 60, Energy: 0.12, Hours: 4000, Worth: 8, Efficiency: 0.6}
	b.ReportAllocs()
	for b.Loop() {
		if des, found := sizing.Solve(net, spec); found.HasErrors() || des.Systems[0].Required <= 0 {
			b.Fatal(found[0])
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(net.Runs)), "ns/run")
}
