package pipeline

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/geom"
	"twinline/layout/shape"
)

func TestTogether(t *testing.T) {
	box := func(x, y float64) geom.Box { return geom.BoxOf(geom.Vec{X: x, Y: y}).Grow(1) }
	got := together([]Spot{{"c", box(0, 0)}, {"b", box(2.5, 0)}, {"a", box(50, 0)}, {"d", box(4.9, 0)}}, 0.5)
	// Grown by 0.5 they are 3 wide; 0, 2.5 and 4.9 meet one after the other, 50 stands alone.
	require.Equal(t, []Spot{
		{"a", geom.Box{MinX: 48.5, MinY: -1.5, MaxX: 51.5, MaxY: 1.5}},
		{"b", geom.Box{MinX: -1.5, MinY: -1.5, MaxX: 6.4, MaxY: 1.5}},
	}, got)
	require.Empty(t, together(nil, 1))
}

func TestExtent(t *testing.T) {
	v := func(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
	for name, c := range map[string]struct {
		g    shape.Geometry
		want geom.Box
	}{
		"line":   {shape.Line{A: v(3, 1), B: v(1, 2)}, geom.Box{MinX: 1, MinY: 1, MaxX: 3, MaxY: 2}},
		"circle": {shape.Circle{Center: v(1, 1), Radius: 2}, geom.Box{MinX: -1, MinY: -1, MaxX: 3, MaxY: 3}},
		"solid":  {shape.Solid{Corners: [4]geom.Vec{v(0, 0), v(2, 0), v(1, 1), v(1, 1)}}, geom.Box{MaxX: 2, MaxY: 1}},
		// Five letters of 0.8 x 1 are 4 wide; upright at the middle of its right side it lies below and about its
		// place.
		"text": {shape.Text{At: v(10, 10), Height: 1, Angle: math.Pi / 2, Align: shape.MiddleRight, Value: "S-101"},
			geom.Box{MinX: 9.5, MinY: 6, MaxX: 10.5, MaxY: 10}},
		// A half circle over the chord from 0 to 2 bulges to y = -1 where it turns left.
		"arc of a polyline": {shape.Polyline{Path: geom.Path{{Vec: v(0, 0), Bulge: 1}, {Vec: v(2, 0)}}},
			geom.Box{MinY: -1, MaxX: 2}},
	} {
		got, ok := extent(c.g)
		require.True(t, ok, name)
		for _, d := range []float64{got.MinX - c.want.MinX, got.MinY - c.want.MinY, got.MaxX - c.want.MaxX,
			got.MaxY - c.want.MaxY} {
			require.InDelta(t, 0, d, 1e-9, "%s: %v, want %v", name, got, c.want)
		}
	}
	_, ok := extent(shape.Mesh{})
	require.False(t, ok)
}
