package dxfio

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/yofu/dxf"
	"github.com/yofu/dxf/color"
	"github.com/yofu/dxf/table"
)

// TestYofuDrawing makes testdata/dxf/form_yofu_R2000.dxf with another library for Go, and sees that it is what stands
// there. With UPDATE set it writes it.
func TestYofuDrawing(t *testing.T) {
	d := dxf.NewDrawing()
	d.Header().LtScale = 1
	for _, line := range []struct {
		layer string
		y, z  float64
	}{{"SK-SUP-DUCT", 0, 3300}, {"WALL", 500, 0}} {
		_, err := d.AddLayer(line.layer, color.White, table.LT_CONTINUOUS, true)
		require.NoError(t, err)
		_, err = d.Line(0, line.y, line.z, 4000, line.y, line.z)
		require.NoError(t, err)
	}
	name := filepath.Join(t.TempDir(), "made.dxf")
	require.NoError(t, d.SaveAs(name))
	made, err := os.ReadFile(name)
	require.NoError(t, err)
	const kept = "../testdata/dxf/form_yofu_R2000.dxf"
	if os.Getenv("UPDATE") != "" {
		require.NoError(t, os.WriteFile(kept, made, 0o666))
	}
	there, err := os.ReadFile(kept)
	require.NoError(t, err)
	require.Equal(t, string(there), string(made))
}
