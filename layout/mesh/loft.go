package mesh

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// Fineness. A drawing records every corner and every face, so bodies are as coarse as they may be: polygons stand for
// circles and steps for bends where neither strays from what it stands for by more than sag. Volumes do not depend on
// it: polygons are as large in area as their circles, and the rings of a bend make up for the corners it cuts.
const (
	sag      = 0.01        // metres
	bendStep = math.Pi / 6 // the greatest turn between two rings of a bend

	quartersLeast = 2 // chords of a quarter of a circle
	quartersMixed = 3 // of the end of a change of shape: its volume is that of the circle to 1 % from here on
	quartersMost  = 8
)

// quartersOf returns the chords of a quarter of a circle that the rounded corners of sizes of one body are drawn with.
func quartersOf(sizes ...duct.Size) int {
	n := quartersLeast
	for _, s := range sizes {
		r := math.Min(float64(s.Width), float64(s.Height)) / 2
		if s.Shape == duct.Rect {
			r = 0
		}
		for n < quartersMost && r*(swollen(n)-1) > sag { // the corners of the polygon stand out
			n++
		}
		if f := sizes[0]; s.Shape != f.Shape || s.Shape == duct.Oval && s != f {
			n = max(n, quartersMixed)
		}
	}
	return n
}

// roundArea is the area of the polygon with that many chords in each quarter of a circle of radius 1 around it.
func roundArea(quarters int) float64 {
	n := float64(quarters)
	return 2 * n * math.Sin(math.Pi/(2*n))
}

// swollen is the radius of the circle around the polygon that is as large in area as the circle of radius 1.
func swollen(quarters int) float64 { return math.Sqrt(math.Pi / roundArea(quarters)) }

// frame is a place on a duct: the direction of its axis, and those its width and height lie
// along. across, up and along are a right-handed set of unit vectors.
type frame struct {
	at                geom.Vec
	along, across, up geom.Vec
}

// frameOf returns the frame at a point of a run whose axis goes along there. Width lies
// level, but for a vertical run along hint.
func frameOf(at, along, hint geom.Vec) frame {
	along = along.Unit()
	across := along.Left()
	if across.Len() < geom.Straight {
		if across = hint.Plan(); across.Len() < geom.Straight {
			across = geom.Vec{X: 1}
		}
	}
	across = across.Unit()
	return frame{at, along, across, along.Cross(across)}
}

// point returns the point x across and y up from f.
func (f frame) point(x, y float64) geom.Vec {
	return f.at.Add(f.across.Scale(x)).Add(f.up.Scale(y))
}

// moved returns f with another place.
func (f frame) moved(at geom.Vec) frame {
	f.at = at
	return f
}

// back returns f turned around its up: looking the other way, still a right-handed set.
func (f frame) back() frame { return frame{f.at, f.along.Scale(-1), f.across.Scale(-1), f.up} }

// turned returns f turned by angle around the line through about along the unit vector axis.
func (f frame) turned(about, axis geom.Vec, angle float64) frame {
	return frame{
		about.Add(turn(f.at.Sub(about), axis, angle)),
		turn(f.along, axis, angle), turn(f.across, axis, angle), turn(f.up, axis, angle),
	}
}

// turn is Rodrigues' formula.
func turn(v, axis geom.Vec, angle float64) geom.Vec {
	s, c := math.Sincos(angle)
	return v.Scale(c).Add(axis.Cross(v).Scale(s)).Add(axis.Scale(axis.Dot(v) * (1 - c)))
}

// ring is the outline of a cross-section: the same number of points in every quarter, counter-clockwise seen
// against the air, from the right-hand end of the width on. Where a quarter has fewer, as at the corners
// of a rectangle, points coincide; so any two rings of one number of points can be joined point by point.
type ring []geom.Vec

// ringOf returns the outline of s at f with that many chords in a quarter. Polygons that stand for circles are as large
// in area as the circle, so that volumes come out right.
func ringOf(f frame, s duct.Size, quarters int) ring {
	w, h := float64(s.Width)/2, float64(s.Height)/2
	r := 0.0 // radius of the corners
	if s.Shape != duct.Rect {
		flat, area := 2*math.Abs(w-h), roundArea(quarters)
		// area·r² + 2·flat·r is the area of the size
		r = (math.Sqrt(flat*flat+area*float64(s.Area())) - flat) / area
		w, h = w-math.Min(w, h), h-math.Min(w, h)
	}
	out := make(ring, 4*(quarters+1))
	for q := range 4 {
		x, y := w, h
		if q == 1 || q == 2 {
			x = -w
		}
		if q >= 2 {
			y = -h
		}
		for i := range quarters + 1 {
			sin, cos := math.Sincos((float64(q) + float64(i)/float64(quarters)) * math.Pi / 2)
			out[q*(quarters+1)+i] = f.point(x+r*cos, y+r*sin)
		}
	}
	return out
}

// body is a mesh in the making.
type body struct{ shape.Mesh }

// loft joins rings one after the other into a closed body with its faces outwards. Rings go
// along the duct, counter-clockwise seen from their front; fewer than two are no body.
func loft(rings ...ring) (shape.Mesh, bool) {
	if len(rings) < 2 {
		return shape.Mesh{}, false
	}
	var b body
	ids := make([][]int, len(rings))
	for i := range rings {
		if i == 0 {
			ids[i] = b.enter(rings[i], nil, nil)
			continue
		}
		ids[i] = b.enter(rings[i], rings[i-1], ids[i-1])
		p, q := ids[i-1], ids[i]
		for k := range p {
			n := (k + 1) % len(p)
			b.face(p[k], p[n], q[n], q[k])
		}
	}
	b.cap(ids[0], true)
	b.cap(ids[len(ids)-1], false)
	return b.Mesh, true
}

// enter adds the corners of r and returns their numbers. Corners that coincide, with each other or with those of the
// ring before, as in the throat of a mitre, are one.
func (b *body) enter(r, before ring, were []int) []int {
	ids := make([]int, len(r))
	for k, p := range r {
		switch {
		case before != nil && geom.SamePoint(p, before[k]):
			ids[k] = were[k]
		case k > 0 && geom.SamePoint(p, r[k-1]):
			ids[k] = ids[k-1]
		case k > 0 && geom.SamePoint(p, r[0]):
			ids[k] = ids[0]
		default:
			ids[k] = len(b.Vertices)
			b.Vertices = append(b.Vertices, p)
		}
	}
	return ids
}

// face adds a face without the corners that repeat the one before; fewer than three are none.
func (b *body) face(ids ...int) {
	var f []int
	for i, id := range ids {
		if id != ids[(i+1)%len(ids)] {
			f = append(f, id)
		}
	}
	if len(f) > 2 {
		b.Faces = append(b.Faces, f)
	}
}

// cap closes a ring with a strip of faces across it; back turns them to the other side.
func (b *body) cap(ids []int, back bool) {
	points := make([]geom.Vec, len(ids))
	for k, id := range ids {
		points[k] = b.Vertices[id]
	}
	for _, f := range strip(points) {
		face := make([]int, len(f))
		for i, k := range f {
			face[i] = ids[k]
		}
		if back {
			slices.Reverse(face)
		}
		b.face(face...)
	}
}

// strip cuts the area within a chain of points into faces of three or four of them, one
// across beside the other. It begins at the top or bottom of a ring, so that what it goes across is the width.
func strip(points []geom.Vec) [][]int {
	var ring []int
	n := len(points)
	for i := range n {
		k := (i + n/4) % n
		if !geom.SamePoint(points[k], points[(k+1)%n]) {
			ring = append(ring, k)
		}
	}
	var out [][]int
	last := len(ring) - 1
	for i, j := 0, last; j-i > 1; i, j = i+1, j-1 {
		if j-i == 2 {
			out = append(out, []int{ring[i], ring[i+1], ring[j]})
			break
		}
		out = append(out, []int{ring[i], ring[i+1], ring[j-1], ring[j]})
	}
	return out
}
