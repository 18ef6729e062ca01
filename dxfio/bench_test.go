package dxfio_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"twinline/dxfio"
	"twinline/dxfio/gen"
)

// sizes of the drawings that are measured; the largest only where there is time for it.
func sizes(b *testing.B) []int {
	if testing.Short() {
		return []int{1}
	}
	return []int{1, 10, 100}
}

var made = map[int][]byte{}

func drawing(megabytes int) []byte {
	if made[megabytes] == nil {
		clear(made) // one at a time is enough to hold
		made[megabytes] = gen.Drawing(gen.Spec{Bytes: megabytes * 1_000_000, Runs: 200})
	}
	return made[megabytes]
}

// split is the measure for all reading: it splits a text drawing into group codes and values, and does nothing else.
func split(data []byte) (tags, sum int) {
	for len(data) > 0 {
		i := bytes.IndexByte(data, '\n')
		if i < 0 {
			break
		}
		code := 0
		for _, c := range data[:i] {
			if c >= '0' && c <= '9' {
				code = 10*code + int(c-'0')
			}
		}
		data = data[i+1:]
		j := bytes.IndexByte(data, '\n')
		if j < 0 {
			j = len(data) - 1
		}
		sum += code + j
		tags++
		data = data[j+1:]
	}
	return tags, sum
}

// sketchOnly is what reading a sketch asks for; everything is what no command does.
func sketchOnly(_ dxfio.Kind, layer string) bool { return strings.HasPrefix(layer, "SK-") }

func everything(dxfio.Kind, string) bool { return true }

// asked is what reading a sketch asks for and then, for keeping labels clear, all texts, those in blocks too.
func asked(d *dxfio.Document) (n int) {
	count := func(*dxfio.Entity) bool { n++; return true }
	d.Walk(sketchOnly, count)
	d.Walk(func(k dxfio.Kind, _ string) bool { return k == dxfio.KindText || k == dxfio.KindMText }, count)
	return n
}

// BenchmarkRead measures reading against the bare split of the same bytes in the same turn. The ratio is the time of
// the split over that of reading, each the shortest of all turns: higher is better, the aim is at least 0.4.
func BenchmarkRead(b *testing.B) {
	ways := []struct {
		name string
		use  func(*dxfio.Document) int
	}{
		{"sketch", func(d *dxfio.Document) (n int) {
			d.Walk(sketchOnly, func(*dxfio.Entity) bool { n++; return true })
			return n
		}},
		{"texts", asked},
		{"everything", func(d *dxfio.Document) (n int) {
			d.Walk(everything, func(*dxfio.Entity) bool { n++; return true })
			return n
		}},
	}
	for _, way := range ways {
		for _, size := range sizes(b) {
			b.Run(fmt.Sprintf("%s/%dMB", way.name, size), func(b *testing.B) {
				data := drawing(size)
				bare, ours := best(), best()
				for b.Loop() {
					bare.time(func() {
						tags, _ := split(data)
						require.NotZero(b, tags)
					})
					ours.time(func() {
						d, err := dxfio.Read(data)
						require.NoError(b, err)
						require.NotZero(b, way.use(d))
					})
				}
				b.ReportMetric(float64(*bare)/float64(*ours), "of-split")
				b.ReportMetric(float64(len(data))/1e6/ours.seconds(), "read-MB/s")
				b.ReportMetric(float64(len(data))/1e6/bare.seconds(), "split-MB/s")
			})
		}
	}
}

// shortest is the shortest of several times: on a machine that others use as well the one least disturbed.
type shortest time.Duration

func best() *shortest {
	s := shortest(1<<63 - 1)
	return &s
}

func (s *shortest) time(f func()) {
	from := time.Now()
	f()
	*s = min(*s, shortest(time.Since(from)))
}

func (s *shortest) seconds() float64 { return time.Duration(*s).Seconds() }

// BenchmarkMemory measures the most that reading a drawing from a file holds, in bytes a byte of the file: the aim is
// below 2.5.
func BenchmarkMemory(b *testing.B) {
	for _, size := range sizes(b) {
		b.Run(fmt.Sprintf("%dMB", size), func(b *testing.B) {
			name := filepath.Join(b.TempDir(), "big.dxf")
			require.NoError(b, os.WriteFile(name, drawing(size), 0o600))
			clear(made)
			var most float64
			for range b.N {
				runtime.GC()
				var before, after runtime.MemStats
				runtime.ReadMemStats(&before)
				data, err := os.ReadFile(name)
				require.NoError(b, err)
				d, err := dxfio.Read(data)
				require.NoError(b, err)
				require.NotZero(b, asked(d))
				runtime.ReadMemStats(&after)
				// all that was ever asked for, freed or not
				held := float64(after.TotalAlloc-before.TotalAlloc) / float64(len(data))
				most = max(most, held)
				runtime.KeepAlive(d)
			}
			b.ReportMetric(most, "bytes/byte")
		})
	}
}
