package pipeline

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"twinline/cmd/internal/config"
	"twinline/dxfio"
	"twinline/layout/duct"
	"twinline/layout/network"
	"twinline/layout/sketch"
	"twinline/sizing"
)

// manyRuns returns an R12 drawing in millimetres of about n runs: mains with a branch every three metres to
// either side, each to a terminal by a drop.
func manyRuns(n int) []byte {
	var b bytes.Buffer
	tag := func(code int, value any) { fmt.Fprintf(&b, "%3d\r\n%v\r\n", code, value) }
	entity := func(kind, layer string, x, y, z int) {
		tag(0, kind)
		tag(8, layer)
		tag(10, float64(x))
		tag(20, float64(y))
		tag(30, float64(z))
	}
	line := func(x, y, x2, y2 int) {
		entity("LINE", "SK-SUP-DUCT", x, y, 3300)
		tag(11, float64(x2))
		tag(21, float64(y2))
		tag(31, 3300.0)
	}
	text := func(layer string, x, y int, s string) {
		entity("TEXT", layer, x, y, 0)
		tag(40, 150.0)
		tag(1, s)
	}
	tag(0, "SECTION")
	tag(2, "HEADER")
	tag(9, "$ACADVER")
	tag(1, "AC1009")
	tag(9, "$INSUNITS")
	tag(70, 4)
	tag(0, "ENDSEC")
	tag(0, "SECTION")
	tag(2, "ENTITIES")
	const perUnit = 30
	terminal := 0
	add := func(x, y int) {
		terminal++
		entity("CIRCLE", "SK-SUP-TERM", x, y, 2700)
		tag(40, 100.0)
		text("SK-SUP-TERM", x+200, y+200, fmt.Sprintf("S-%d", terminal))
		text("SK-SUP-TERM", x+200, y-200, fmt.Sprintf("%d L/s", 20+terminal*7919%100))
	}
	for row := 0; row*perUnit*3 < n; row++ {
		y := row * 20000
		entity("CIRCLE", "SK-SUP-UNIT", 0, y, 3300)
		tag(40, 500.0)
		text("SK-SUP-UNIT", 0, y, fmt.Sprintf("U-%d", row))
		end := 500 + (perUnit+1)*3000
		line(500, y, end, y)
		add(end, y)
		for i := range perUnit {
			x, far := 500+(i+1)*3000, y+(1-i%2*2)*5000
			line(x, y, x, far)
			add(x, far)
		}
	}
	tag(0, "ENDSEC")
	tag(0, "EOF")
	return b.Bytes()
}

// BenchmarkSolveAgainstRead holds the time of sizing by every method against that of reading the same network from its
// drawing, in one run: METHOD/read is the one over the other. The aim is 1 at the most.
func BenchmarkSolveAgainstRead(b *testing.B) {
	for _, n := range []int{1000, 10000, 100000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			data := manyRuns(n)
			settings, err := config.Load([]byte("[sizing]\nsteps = \"50mm\"\n"), true)
			require.NoError(b, err)
			specs := settings.Specs
			methods := []sizing.Method{sizing.EqualFriction, sizing.ConstVelocity, sizing.StaticRegain, sizing.Balanced,
				sizing.Optimised}
			specs.Sizing.Costs = sizing.Costs{Duct: 60, Energy: 0.12, Hours: 4000, Worth: 8, Efficiency: 0.6}
			var reading time.Duration
			solving := make([]time.Duration, len(methods))
			var net *duct.Network
			for b.Loop() {
				start := time.Now()
				doc, err := dxfio.Read(data)
				require.NoError(b, err)
				sk, found := sketch.Read(doc, specs.Sketch)
				reading += time.Since(start)
				require.False(b, found.HasErrors(), "%.3v", found)
				net, found = network.Build(sk, specs.Network)
				require.False(b, found.HasErrors(), "%.3v", found)
				require.GreaterOrEqual(b, len(net.Runs), n)
				for i, m := range methods {
					specs.Sizing.Method = m
					start = time.Now()
					des, found := sizing.Solve(net, specs.Sizing)
					solving[i] += time.Since(start)
					require.False(b, found.HasErrors(), "%.3v", found)
					require.Positive(b, des.Systems[0].Required)
				}
			}
			b.ReportMetric(float64(reading.Nanoseconds())/float64(b.N*len(net.Runs)), "read-ns/run")
			for i, m := range methods {
				b.ReportMetric(float64(solving[i])/float64(reading), string(m)+"/read")
			}
		})
	}
}
