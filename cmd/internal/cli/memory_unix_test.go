//go:build unix

package cli

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/dxfio/gen"
)

// BenchmarkDrawMemory measures the most memory that drawing into a large drawing takes from the system, in bytes a byte
// of the drawing: the first time, again with the result of before in the way, and into the drawing itself. The aim is
// 2.5.
func BenchmarkDrawMemory(b *testing.B) {
	self, err := os.Executable()
	require.NoError(b, err)
	dir := b.TempDir()
	program := filepath.Join(dir, "twinline")
	require.NoError(b, os.Symlink(self, program)) // TestMain is the program where it has that name
	for _, megabytes := range []int{10, 100} {
		sketch := filepath.Join(dir, fmt.Sprintf("big%d.dxf", megabytes))
		require.NoError(b, os.WriteFile(sketch, gen.Drawing(gen.Spec{Bytes: megabytes * 1_000_000, Runs: 200}), 0o600))
		info, err := os.Stat(sketch)
		require.NoError(b, err)
		out := filepath.Join(dir, "out.dxf")
		for _, way := range []struct {
			name string
			args []string
		}{
			{"first", []string{sketch, "-o", out}},
			{"again", []string{sketch, "-o", out}},
			{"in-place", []string{sketch, "--in-place"}},
		} {
			b.Run(fmt.Sprintf("%s/%dMB", way.name, megabytes), func(b *testing.B) {
				for b.Loop() {
					c := exec.Command(program, append([]string{"draw"}, way.args...)...)
					require.NoError(b, c.Run())
					most := c.ProcessState.SysUsage().(*syscall.Rusage).Maxrss
					if runtime.GOOS == "linux" {
						most *= 1 << 10 // it counts in kilobytes
					}
					b.ReportMetric(float64(most)/float64(info.Size()), "bytes/byte")
				}
			})
		}
		require.NoError(b, os.Remove(out))
	}
}
