package pipeline

import (
	"cmp"
	"math"
	"slices"
	"unicode/utf8"

	"twinline/layout/emit"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/shape"
	"twinline/symbols"
)

// Measures of revision clouds, to the height of lettering.
const (
	cloudMargin = 2 // kept around what changed
	cloudArc    = 4 // length of an arc
)

// Spot is the place of something that changed: a box in metres, and the key of the thing.
type Spot struct {
	Key key.Key
	Box geom.Box
}

// Clouds writes a revision cloud around every spot, one around spots that lie together, and
// nothing else; clouds of an earlier comparison go.
func (st *Study) Clouds(spots []Spot) (*Drawing, error) {
	height := st.Specs.Plan.TextHeight * st.Specs.Plan.Scale
	var out []shape.Shape
	for _, s := range together(spots, cloudMargin*height) {
		low, high := geom.Vec{X: s.Box.MinX, Y: s.Box.MinY}, geom.Vec{X: s.Box.MaxX, Y: s.Box.MaxY}
		for _, g := range symbols.Cloud(low, high, cloudArc*height) {
			out = append(out, shape.Shape{Key: key.Cloud(s.Key), Part: shape.Cloud, Geom: g})
		}
	}
	patch := emit.Patch(out, st.standard())
	patch.Owns = func(k string) bool { return key.Key(k).IsCloud() }
	return st.write(patch)
}

// together grows spots by margin and joins those that then meet, until none do. A joined
// spot has the first of its keys; spots come in the order of their keys.
func together(spots []Spot, margin float64) []Spot {
	list := make([]Spot, len(spots))
	for i, s := range spots {
		list[i] = Spot{s.Key, s.Box.Grow(margin)}
	}
	for {
		slices.SortFunc(list, func(a, b Spot) int { return cmp.Compare(a.Key, b.Key) })
		joined := joinOnce(list)
		if len(joined) == len(list) {
			return joined
		}
		list = joined
	}
}

// joinOnce joins every spot with those later ones whose boxes meet its own.
func joinOnce(list []Spot) []Spot {
	var ix geom.Index
	for i, s := range list {
		ix.Insert(s.Box, i)
	}
	gone := make([]bool, len(list))
	var out []Spot
	for i, s := range list {
		if gone[i] {
			continue
		}
		for _, k := range ix.Search(s.Box) {
			if k > i && !gone[k] {
				gone[k] = true
				s.Box = union(s.Box, list[k].Box)
			}
		}
		out = append(out, s)
	}
	return out
}

func union(a, b geom.Box) geom.Box {
	return geom.Box{MinX: math.Min(a.MinX, b.MinX), MinY: math.Min(a.MinY, b.MinY),
		MaxX: math.Max(a.MaxX, b.MaxX), MaxY: math.Max(a.MaxY, b.MaxY)}
}

// Extents returns the box of everything the study draws of each thing: a run, a node, a
// terminal with its drop. Things it does not draw are left out.
func (st *Study) Extents(things []key.Key) map[key.Key]geom.Box {
	wanted, out := map[key.Key]bool{}, map[key.Key]geom.Box{}
	for _, k := range things {
		wanted[k] = true
	}
	for i := range st.Shapes {
		s := &st.Shapes[i]
		if s.Part == shape.Body {
			continue
		}
		b, ok := extent(s.Geom)
		for k := s.Key; ok && k != ""; k = k.Parent() {
			if !wanted[k] {
				continue
			}
			if was, there := out[k]; there {
				out[k] = union(was, b)
			} else {
				out[k] = b
			}
		}
	}
	return out
}

// letterWidth is the mean width of a letter to the height of capitals; enough for a cloud.
const letterWidth = 0.8

// extent returns the box of a shape in plan.
func extent(g shape.Geometry) (b geom.Box, ok bool) {
	var curves []geom.Curve
	switch g := g.(type) {
	case shape.Line:
		return geom.Curve{A: g.A, B: g.B}.Box(), true
	case shape.Arc:
		return geom.BoxOf(g.Center).Grow(g.Radius), true
	case shape.Circle:
		return geom.BoxOf(g.Center).Grow(g.Radius), true
	case shape.Insert:
		return geom.BoxOf(g.At).Grow(g.Size / 2), true
	case shape.Text:
		return geom.BoxOf(lettering(g)...), true
	case shape.Polyline:
		curves = g.Path.Curves(g.Closed)
	case shape.Solid:
		return geom.BoxOf(g.Corners[:]...), true
	}
	for i, c := range curves {
		if i == 0 {
			b, ok = c.Box(), true
			continue
		}
		b = union(b, c.Box())
	}
	return b, ok
}

// lettering returns the corners of a text, whose alignments count from the bottom left in rows of three.
func lettering(t shape.Text) []geom.Vec {
	width := t.Height * letterWidth * float64(utf8.RuneCountInString(t.Value))
	along, up := geom.Direction(t.Angle), geom.Direction(t.Angle).Left()
	corner := t.At.Sub(along.Scale(width * float64(t.Align%3) / 2)).Sub(up.Scale(t.Height * float64(t.Align/3) / 2))
	top := corner.Add(up.Scale(t.Height))
	return []geom.Vec{corner, corner.Add(along.Scale(width)), top, top.Add(along.Scale(width))}
}
