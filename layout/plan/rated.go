package plan

import (
	"math"

	"twinline/layout/geom"
	"twinline/layout/shape"
)

// chord is how far the chords of a curved wall may stray from it, metres.
const chord = 0.002

// offWall returns a mark around at with its lettering moved to another of the four corners of the mark where the wall,
// whose line the mark stands on, runs through it. Walls cross ducts at any angle; a mark knows the duct alone.
func offWall(mark []shape.Geometry, at geom.Vec, wall geom.Curve) []shape.Geometry {
	pts := wall.Flatten(chord)
	free := func(t shape.Text) bool {
		box := t.Box()
		for i := 1; i < len(pts); i++ {
			if geom.Overlap(box, pts[i-1:i+1]) {
				return false
			}
		}
		return true
	}
	out := make([]shape.Geometry, len(mark))
	copy(out, mark)
	for i, g := range out {
		t, ok := g.(shape.Text)
		if !ok || t.Align != shape.BottomLeft {
			continue
		}
		u := geom.Direction(t.Angle)
		d := t.At.Sub(at)
		x, y := math.Abs(d.Dot(u)), math.Abs(d.Dot(u.Left()))
		for _, c := range [...]struct {
			x, y  float64
			align shape.Align
		}{{1, 1, shape.BottomLeft}, {-1, 1, shape.BottomRight}, {1, -1, shape.TopLeft}, {-1, -1, shape.TopRight}} {
			moved := t
			moved.At, moved.Align = at.Add(u.Scale(c.x*x)).Add(u.Left().Scale(c.y*y)), c.align
			if free(moved) {
				out[i] = moved
				break
			}
		}
	}
	return out
}
