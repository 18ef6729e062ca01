package sketch_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/dxfio"
	"twinline/layout/duct"
	"twinline/layout/sketch"
)

var _ sketch.Source = (*dxfio.Document)(nil)

// The demonstration sketches, drawn by another program's library, read through dxfio. What is
// expected stands in testdata/sketch/make.py, the script that drew them.
func TestDemonstrations(t *testing.T) {
	for file, want := range map[string]struct {
		unit                    duct.Length
		lines, terminals, units int
		flow                    duct.Flow // of all terminals together
	}{
		"clinic.dxf":          {duct.Inch, 20, 10, 2, 2850 * duct.CubicFootPerMinute},
		"workshop.dxf":        {duct.Millimetre, 13, 9, 2, 1330 * duct.LitrePerSecond},
		"townhall.dxf":        {duct.Millimetre, 24, 9, 4, 870 * duct.LitrePerSecond},
		"library/library.dxf": {duct.Millimetre, 7, 6, 1, 1490 * duct.CubicMetrePerHour},
	} {
		data, err := os.ReadFile(filepath.Join("../../testdata/sketch", file))
		require.NoError(t, err)
		doc, err := dxfio.Read(data)
		require.NoError(t, err)
		sk, found := sketch.Read(doc, sketch.Rules{Unit: want.unit})
		require.Empty(t, found, file)
		require.Len(t, sk.Lines, want.lines, file)
		require.Len(t, sk.Terminals, want.terminals, file)
		require.Len(t, sk.Units, want.units, file)
		var flow duct.Flow
		for _, x := range sk.Terminals {
			require.NotEmpty(t, x.Mark, file)
			flow += x.Flow
		}
		require.InDelta(t, float64(want.flow), float64(flow), delta, file)
		for _, u := range sk.Units {
			require.NotEmpty(t, u.Mark, file)
		}
	}
}
