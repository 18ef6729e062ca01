package sketch_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"twinline/dxfio"
	"twinline/dxfio/gen"
	"twinline/layout/sketch"
)

// floor draws n branches with a terminal and three notes each off one main, in rows.
func floor(t testing.TB, n int) *drawing {
	var b strings.Builder
	const row = 100
	for i := range n {
		x, y := 4000*(i%row), 12000*(i/row)
		if i%row == 0 {
			fmt.Fprintf(&b, "line SK-SUP-DUCT %d,%d %d,%d\n", x, y, 4000*row, y)
		}
		fmt.Fprintf(&b, "line SK-SUP-DUCT %d,%d %d,%d\n", x, y, x, y+5000)
		fmt.Fprintf(&b, "text SK-SUP-NOTE %d,%d ø200\n", x+100, y+2500)
		fmt.Fprintf(&b, "circle SK-SUP-TERM %d,%d 150\n", x, y+5000)
		fmt.Fprintf(&b, "text SK-SUP-TERM %d,%d S-%d\ntext SK-SUP-NOTE %d,%d 100 L/s\n", x+400, y+5000, i, x+400,
			y+4800)
	}
	return mm(t, b.String())
}

func BenchmarkRead(b *testing.B) {
	for _, n := range []int{100, 1000, 10000} {
		d := floor(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				sk, found := sketch.Read(d, sketch.Rules{})
				require.Empty(b, found)
				require.Len(b, sk.Terminals, n)
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*n), "µs/branch")
		})
	}
}

// BenchmarkReadAmongOthers holds reading a small sketch, with the texts and the lines of others near it, against
// reading the large drawing it stands in; each the shortest of all turns.
func BenchmarkReadAmongOthers(b *testing.B) {
	for _, size := range []int{1, 10, 100} {
		if testing.Short() && size > 1 {
			return
		}
		b.Run(fmt.Sprintf("%dMB", size), func(b *testing.B) {
			data := gen.Drawing(gen.Spec{Bytes: size * 1_000_000, Runs: 200})
			reading, sketching := time.Hour, time.Hour
			for b.Loop() {
				start := time.Now()
				doc, err := dxfio.Read(data)
				reading = min(reading, time.Since(start))
				require.NoError(b, err)
				start = time.Now()
				sk, _ := sketch.Read(doc, sketch.Rules{})
				sketching = min(sketching, time.Since(start))
				require.NotEmpty(b, sk.Lines)
			}
			b.ReportMetric(float64(sketching)/float64(reading), "of-read")
		})
	}
}
