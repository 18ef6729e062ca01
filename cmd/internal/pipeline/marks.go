package pipeline

import (
	"fmt"
	"strings"

	"twinline/layout/diag"
	"twinline/layout/geom"
	"twinline/layout/plan"
	"twinline/layout/shape"
	"twinline/symbols"
)

// markPrefix begins the keys of findings written into a drawing.
const markPrefix = "check/"

func isMark(key string) bool { return strings.HasPrefix(key, markPrefix) }

// marks returns the shapes that show findings at their places.
func marks(found diag.List, spec plan.Spec) []shape.Shape {
	var out []shape.Shape
	seen := map[string]int{}
	for _, d := range found.Sorted() {
		key := fmt.Sprintf("%s%s/%s", markPrefix, d.Code, d.Handle)
		seen[key]++
		at := geom.Vec{X: d.At[0], Y: d.At[1], Z: d.At[2]}
		for i, g := range symbols.Finding(at, spec.TextHeight*spec.Scale, string(d.Code)+": "+d.Text) {
			out = append(out, shape.Shape{Key: fmt.Sprintf("%s/%d/%d", key, seen[key], i), Part: shape.Check, Geom: g})
		}
	}
	return out
}
