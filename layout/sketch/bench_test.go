package sketch_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

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
		fmt.Fprintf(&b, "text SK-SUP-TERM %d,%d S-%d\ntext SK-SUP-NOTE %d,%d 100 L/s\n", x+400, y+5000, i, x+400, y+4800)
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
