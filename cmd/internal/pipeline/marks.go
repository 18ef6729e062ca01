package pipeline

import (
	"twinline/layout/diag"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/plan"
	"twinline/layout/shape"
	"twinline/symbols"
)

// marks returns the shapes that show findings at their places.
func marks(found diag.List, spec plan.Spec) []shape.Shape {
	var out []shape.Shape
	type entity struct {
		code   diag.Code
		handle string
	}
	seen := map[entity]int{}
	for _, d := range found.Sorted() {
		of := entity{d.Code, d.Handle}
		seen[of]++
		at := geom.Vec{X: d.At[0], Y: d.At[1], Z: d.At[2]}
		for i, g := range symbols.Finding(at, spec.TextHeight*spec.Scale, string(d.Code)+": "+d.Text) {
			out = append(out, shape.Shape{Key: key.Finding(string(d.Code), d.Handle, seen[of], i), Part: shape.Check,
				Geom: g})
		}
	}
	return out
}
