package dxfio

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/dxfio/gen"
)

// What lies in the area is offered whatever is passed over, and what begins far away is passed over.
func TestWalkNear(t *testing.T) {
	d, err := Read(gen.Drawing(gen.Spec{Bytes: 1_000_000, Runs: 20}))
	require.NoError(t, err)
	all := func(Kind, string) bool { return true }
	inside := func(e *Entity, a Area) bool {
		in := func(p Point) bool { return p.X >= a.MinX && p.X <= a.MaxX && p.Y >= a.MinY && p.Y <= a.MaxY }
		for _, v := range e.Vertices {
			if in(v.Point) {
				return true
			}
		}
		if slices.ContainsFunc(e.Box, in) {
			return true
		}
		return in(e.Center) && len(e.Vertices) == 0
	}
	reach := 0.0 // the farthest anything lies from where it begins
	d.Walk(all, func(e *Entity) bool {
		for _, v := range e.Vertices {
			reach = math.Max(reach, math.Hypot(v.X-e.Vertices[0].X, v.Y-e.Vertices[0].Y))
		}
		return true
	})
	name := func(e *Entity) string { return strings.Join(append(e.Path, e.Handle), ".") + fmt.Sprint(e.Index) }
	rapid.Check(t, func(rt *rapid.T) {
		x, y := rapid.Float64Range(0, 900000).Draw(rt, "x"), rapid.Float64Range(0, 900000).Draw(rt, "y")
		a := Area{MinX: x, MinY: y, MaxX: x + 100000, MaxY: y + 100000}
		offered := map[string]bool{}
		d.WalkNear(a, reach, all, func(e *Entity) bool { offered[name(e)] = true; return true })
		total := 0
		d.Walk(all, func(e *Entity) bool {
			total++
			if inside(e, a) {
				require.True(rt, offered[name(e)], "a %v in the area was passed over", e.Kind)
			}
			return true
		})
		require.Less(rt, len(offered), total/4, "most of the drawing is elsewhere")
	})
}

func TestBlockBox(t *testing.T) {
	d, err := Read(withBlocks("", "OURS", lines(0, "LINE", 8, "0", 10, -1, 20, 0, 11, 3, 21, 0.5), "BARE", ""))
	require.NoError(t, err)
	box, ok := d.BlockBox("ours")
	require.True(t, ok)
	require.Equal(t, Area{MinX: -1, MaxX: 3, MaxY: 0.5}, box)
	box, ok = d.BlockBox("BARE")
	require.True(t, ok)
	require.Zero(t, box)
	_, ok = d.BlockBox("none")
	require.False(t, ok)
}
