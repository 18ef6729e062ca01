package geom

import (
	"math"
	"slices"

	"github.com/tidwall/rtree"
)

// Box is an upright rectangle in plan, in metres.
type Box struct{ MinX, MinY, MaxX, MaxY float64 }

// BoxOf returns the smallest box around points. Without points it is the empty box, which meets nothing.
func BoxOf(points ...Vec) Box {
	b := Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, p := range points {
		b.MinX, b.MaxX = math.Min(b.MinX, p.X), math.Max(b.MaxX, p.X)
		b.MinY, b.MaxY = math.Min(b.MinY, p.Y), math.Max(b.MaxY, p.Y)
	}
	return b
}

// Grow returns b moved outward by d metres on every side.
func (b Box) Grow(d float64) Box { return Box{b.MinX - d, b.MinY - d, b.MaxX + d, b.MaxY + d} }

// Meets reports whether b and c have a point in common.
func (b Box) Meets(c Box) bool {
	return b.MinX <= c.MaxX && c.MinX <= b.MaxX && b.MinY <= c.MaxY && c.MinY <= b.MaxY
}

// Box returns the smallest box around c in plan, the belly of an arc included.
func (c Curve) Box() Box {
	b := BoxOf(c.A, c.B)
	if c.Straight() {
		return b
	}
	o, r := c.Center(), c.Radius()
	from, sweep := c.A.Sub(o).Angle(), c.Sweep()
	if sweep < 0 {
		from, sweep = from+sweep, -sweep
	}
	// The arc reaches an axis of its circle at every quarter turn within its sweep.
	for q := math.Ceil(from / (math.Pi / 2)); q*math.Pi/2 <= from+sweep; q++ {
		p := o.Add(Direction(q * math.Pi / 2).Scale(r))
		b.MinX, b.MaxX = math.Min(b.MinX, p.X), math.Max(b.MaxX, p.X)
		b.MinY, b.MaxY = math.Min(b.MinY, p.Y), math.Max(b.MaxY, p.Y)
	}
	return b
}

// Index finds things by their box in plan in logarithmic time. The zero Index is empty.
// Things are distinguished by a number the caller chooses.
type Index struct{ tree rtree.RTreeG[int] }

// Insert adds the thing called id.
func (ix *Index) Insert(b Box, id int) {
	ix.tree.Insert([2]float64{b.MinX, b.MinY}, [2]float64{b.MaxX, b.MaxY}, id)
}

// Search returns the things whose boxes meet b, by rising number: the order of
// insertion does not show.
func (ix *Index) Search(b Box) []int { return ix.AppendSearch(nil, b) }

// AppendSearch is Search for a caller that brings its own slice.
func (ix *Index) AppendSearch(found []int, b Box) []int {
	start := len(found)
	ix.tree.Search([2]float64{b.MinX, b.MinY}, [2]float64{b.MaxX, b.MaxY}, func(_, _ [2]float64, id int) bool {
		found = append(found, id)
		return true
	})
	slices.Sort(found[start:])
	return found
}

// Near returns the things whose boxes come within d metres of p in x and in y.
func (ix *Index) Near(p Vec, d float64) []int { return ix.Search(BoxOf(p).Grow(d)) }

// Any reports whether the box of anything meets b.
func (ix *Index) Any(b Box) bool {
	any := false
	ix.tree.Search([2]float64{b.MinX, b.MinY}, [2]float64{b.MaxX, b.MaxY}, func(_, _ [2]float64, _ int) bool {
		any = true
		return false
	})
	return any
}

// NearMost is Near that gives up when it has found most things; which ones then depends on
// the order of insertion.
func (ix *Index) NearMost(p Vec, d float64, most int) []int {
	b := BoxOf(p).Grow(d)
	var found []int
	ix.tree.Search([2]float64{b.MinX, b.MinY}, [2]float64{b.MaxX, b.MaxY}, func(_, _ [2]float64, id int) bool {
		found = append(found, id)
		return len(found) < most
	})
	slices.Sort(found)
	return found
}
