package gen_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/dxfio"
	"twinline/dxfio/gen"
)

func TestDrawing(t *testing.T) {
	spec := gen.Spec{Bytes: 300_000, Runs: 200}
	data := gen.Drawing(spec)
	require.True(t, bytes.Equal(data, gen.Drawing(spec)), "the same bytes each time")
	require.InDelta(t, spec.Bytes, len(data), 5000)
	if dir := os.Getenv("TWINLINE_WRITTEN"); dir != "" { // for other programs to judge
		require.NoError(t, os.WriteFile(filepath.Join(dir, "gen.dxf"), data, 0o600))
	}
	d, err := dxfio.Read(data)
	require.NoError(t, err)
	ducts, doors := 0, 0
	troubles := d.Walk(func(dxfio.Kind, string) bool { return true }, func(e *dxfio.Entity) bool {
		if e.Layer == "SK-SUP-DUCT" {
			ducts++
		}
		if e.Block == "DOOR-90" {
			doors++
		}
		return false
	})
	require.Empty(t, troubles)
	require.Equal(t, 1+spec.Runs/2, ducts, "a trunk, and half of the runs as branches")
	require.Positive(t, doors)
	require.True(t, strings.Contains(string(gen.Drawing(gen.Spec{Bytes: 1000, End: "\r\n"})), "\r\n"))
}
