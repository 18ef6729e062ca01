package symbols

import (
	"math"
	"strings"
	"unicode/utf8"

	"twinline/layout/geom"
	"twinline/layout/shape"
)

// Proportions of the mark of a finding, to the height of its lettering.
const (
	findingRadius = 1.5
	findingLine   = 1.6 // from one line to the next
	findingWidth  = 48  // letters of a line
)

// Finding returns the mark of a finding: a circle with a cross at the place, and beside it
// text in lines of lettering of the given height.
func Finding(at geom.Vec, height float64, text string) []shape.Geometry {
	f := frameAt(at, geom.Vec{X: 1})
	r := findingRadius * height
	k := r * math.Sqrt2 / 2
	out := []shape.Geometry{
		shape.Circle{Center: at, Radius: r},
		f.line(-k, -k, k, k),
		f.line(-k, k, k, -k),
	}
	for i, line := range fold(text, findingWidth) {
		out = append(out, shape.Text{
			At:     f.point(r+height, r-float64(i)*findingLine*height),
			Height: height, Align: shape.TopLeft, Value: line,
		})
	}
	return out
}

// fold breaks text at blanks into lines of at most width letters; a longer word has a line
// of its own.
func fold(text string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) <= width:
			line += " " + word
		default:
			lines, line = append(lines, line), word
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// Measures of a revision cloud.
const (
	cloudBulge = 0.5  // of its arcs: a sweep of 106°
	cloudMost  = 4000 // arcs
)

// Cloud returns a revision cloud around the box from low to high: a closed chain of arcs
// that swell outwards, each about arc long.
func Cloud(low, high geom.Vec, arc float64) []shape.Geometry {
	low, high = geom.Vec{X: math.Min(low.X, high.X), Y: math.Min(low.Y, high.Y), Z: low.Z},
		geom.Vec{X: math.Max(low.X, high.X), Y: math.Max(low.Y, high.Y), Z: low.Z}
	if arc <= 0 || low.X == high.X || low.Y == high.Y {
		return nil
	}
	corners := [...]geom.Vec{low, {X: high.X, Y: low.Y, Z: low.Z}, high, {X: low.X, Y: high.Y, Z: low.Z}}
	arc = math.Max(arc, 2*(high.X-low.X+high.Y-low.Y)/cloudMost)
	var path geom.Path
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		n := max(1, int(math.Round(a.PlanDist(b)/arc)))
		for k := range n {
			path = append(path, geom.Vertex{Vec: a.Lerp(b, float64(k)/float64(n)), Bulge: cloudBulge})
		}
	}
	return []shape.Geometry{shape.Polyline{Path: path, Closed: true}}
}
