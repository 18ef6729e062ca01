package dxfio_test

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/dxfio"
)

// walls is a patch of about the size that a sketch of some runs becomes.
func walls(runs int) dxfio.Patch {
	const layer = "TW-SUP-WALL-NEW"
	p := dxfio.Patch{Layers: []dxfio.LayerDef{{Name: layer, Color: 5, Plots: true}}}
	for i := range 10 * runs {
		x := float64(i % 100 * 1000)
		y := float64(i / 100 * 1000)
		p.Items = append(p.Items, dxfio.Item{Key: fmt.Sprintf("%X@0/wall/%d", i/10, i%10), Layer: layer,
			Geometry: dxfio.LineGeom{A: dxfio.Point{X: x, Y: y, Z: 3300}, B: dxfio.Point{X: x + 900, Y: y, Z: 3300}}})
	}
	return p
}

// BenchmarkWrite measures reading a drawing and writing it, unchanged and with 200 runs drawn into it and the result
// verified, against the bare split of the same bytes in the same turn. The ratios are times over that of the split:
// lower is better, the aim for unchanged is at most 2.5.
func BenchmarkWrite(b *testing.B) {
	patch := walls(200)
	for _, size := range sizes(b) {
		b.Run(fmt.Sprintf("%dMB", size), func(b *testing.B) {
			data := drawing(size)
			bare, unchanged, drawn, verified := best(), best(), best(), best()
			for b.Loop() {
				bare.time(func() {
					tags, _ := split(data)
					require.NotZero(b, tags)
				})
				unchanged.time(func() {
					d, err := dxfio.Read(data)
					require.NoError(b, err)
					out, _, err := d.Apply(dxfio.Patch{})
					require.NoError(b, err)
					require.True(b, bytes.Equal(data, out))
				})
				var d *dxfio.Document
				var out []byte
				var change dxfio.Change
				drawn.time(func() {
					var err error
					d, err = dxfio.Read(data)
					require.NoError(b, err)
					out, change, err = d.Apply(patch)
					require.NoError(b, err)
					require.Len(b, change.Added, len(patch.Items))
				})
				verified.time(func() { require.NoError(b, dxfio.Verify(d, out, change)) })
			}
			b.ReportMetric(float64(*unchanged)/float64(*bare), "unchanged/split")
			b.ReportMetric(float64(*drawn)/float64(*bare), "drawn/split")
			b.ReportMetric(float64(*verified)/float64(*bare), "verified/split")
			b.ReportMetric(float64(len(data))/1e6/unchanged.seconds(), "unchanged-MB/s")
		})
	}
}
