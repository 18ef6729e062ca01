package pipeline

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/dxfio"
	"twinline/layout/emit"
)

// listing writes what is drawn, one line an entity in the order of the drawing: layer, kind, numbers in drawing units,
// texts. A body is one line: how many corners and faces it has, and its extents.
func listing(t *testing.T, patch dxfio.Patch) string {
	t.Helper()
	var b strings.Builder
	for _, it := range patch.Items {
		fmt.Fprintf(&b, "%s %s\n", it.Layer, strings.TrimSpace(geometryLine(t, it.Geometry)))
	}
	return b.String()
}

func geometryLine(t *testing.T, g dxfio.Geometry) string {
	t.Helper()
	switch g := g.(type) {
	case dxfio.LineGeom:
		return fmt.Sprintf("line %s %s", at3(g.A), at3(g.B))
	case dxfio.ArcGeom:
		return fmt.Sprintf("arc %s r %.2f from %.2f to %.2f", at3(g.Center), g.Radius, g.Start, g.End)
	case dxfio.CircleGeom:
		return fmt.Sprintf("circle %s r %.2f", at3(g.Center), g.Radius)
	case dxfio.PolylineGeom:
		word := "polyline"
		if g.Closed {
			word = "outline"
		}
		for _, v := range g.Vertices {
			word += " " + at3(v.Point)
			if v.Bulge != 0 {
				word += fmt.Sprintf("~%.4f", v.Bulge)
			}
		}
		return word
	case dxfio.SolidGeom:
		return fmt.Sprintf("solid %s %s %s %s", at3(g.Corners[0]), at3(g.Corners[1]), at3(g.Corners[2]),
			at3(g.Corners[3]))
	case dxfio.TextGeom:
		return fmt.Sprintf("text %s h %.2f turn %.2f %q", at3(g.At), g.Height, g.Angle, g.Value)
	case dxfio.InsertGeom:
		return fmt.Sprintf("insert %s %s scale %.4f turn %.2f", g.Block, at3(g.At), g.Scale, g.Angle)
	case dxfio.MeshGeom:
		low, high := g.Vertices[0], g.Vertices[0]
		for _, v := range g.Vertices {
			low = dxfio.Point{X: min(low.X, v.X), Y: min(low.Y, v.Y), Z: min(low.Z, v.Z)}
			high = dxfio.Point{X: max(high.X, v.X), Y: max(high.Y, v.Y), Z: max(high.Z, v.Z)}
		}
		return fmt.Sprintf("body %d corners %d faces %s to %s", len(g.Vertices), len(g.Faces), at3(low), at3(high))
	}
	require.Failf(t, "unknown geometry", "%T", g)
	return ""
}

func at3(p dxfio.Point) string { return fmt.Sprintf("%.2f,%.2f,%.2f", p.X, p.Y, p.Z) }

// TestListings compares what is drawn with its listing, whose diff shows what moved. The demonstrations have their
// whole drawing beside it (TestDemonstrations); the reference sheet has its listing alone.
func TestListings(t *testing.T) {
	studies := demonstrations(t)
	studies["../../../testdata/plates/plates"] = study(t, "../../../testdata/plates/plates.dxf", "")
	studies["../../../testdata/plates/second"] = study(t, "../../../testdata/plates/plates.dxf",
		"../../../testdata/plates/second.toml")
	for name, st := range studies {
		golden(t, name+".golden.txt", []byte(listing(t, emit.Patch(st.Shapes, st.standard()))))
	}
}
