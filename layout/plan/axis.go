package plan

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// axisLines draws the centrelines of the runs that are no flexible duct.
func axisLines(m *model, detours []detour) []shape.Shape {
	var out []shape.Shape
	for i := range m.net.Runs {
		if r := &m.net.Runs[i]; !m.flexible(r) || m.single(r) {
			out = append(out, m.axisLine(r, detours)...)
		}
	}
	return out
}

// axisLine returns the centreline of a run, with the facts a comparison of drawings reports. Where a side kept straight
// sets the duct aside, it slopes with the size change or the offset.
func (m *model) axisLine(r *duct.Run, detours []detour) []shape.Shape {
	c := m.Axes[r.ID]
	if !m.spec.AxisLines || c.Len() < geom.Same || m.spec.Flat && r.Vertical() && !m.within[r.ID] {
		return nil
	}
	s := shape.Shape{Key: r.Key.Part("axis"), Part: shape.Axis, Air: r.Air, Status: r.Status,
		Facts: m.facts(r, r, m.des.Runs[r.ID].Length), Geom: curveShape(c)}
	if path := led(c, r.ID, detours); c.Straight() && path != nil {
		s.Geom = shape.Polyline{Path: vertices(path)}
	}
	return []shape.Shape{s}
}

// led returns the way the detours of a run on axis c lead its centreline, nil where it has none.
func led(c geom.Curve, r duct.RunID, detours []detour) []geom.Vec {
	path := []geom.Vec{c.A, c.B}
	has := false
	for _, d := range detours {
		switch n := len(path); {
		case d.run != r:
			continue
		case d.end == near:
			path = slices.Concat(d.by, path[1:])
		default:
			path = slices.Concat(path[:n-1], d.by)
		}
		has = true
	}
	if !has {
		return nil
	}
	return slices.CompactFunc(path, func(a, b geom.Vec) bool { return a.Dist(b) < geom.Same })
}

// facts returns what is kept of a run, or of a chain from r to last that is drawn as one.
func (m *model) facts(r, last *duct.Run, length duct.Length) *shape.Facts {
	f := &shape.Facts{Size: m.clear(r.ID), Flow: r.Flow, Length: length, Status: r.Status, Kind: r.Kind}
	if t := m.net.Nodes[m.net.DownNode(last)].Terminal; t != duct.None {
		f.To = m.net.Terminals[t].Name
	}
	return f
}

// curveShape returns the record of a curve: a line, an arc, or where an arc climbs a chain of lines.
func curveShape(c geom.Curve) shape.Geometry {
	if c.Straight() {
		return shape.Line{A: c.A, B: c.B}
	}
	if math.Abs(c.A.Z-c.B.Z) > geom.Same {
		return shape.Polyline{Path: vertices(c.Flatten(flattenTo))}
	}
	o := c.Center()
	a, b := c.A.Sub(o).Angle(), c.B.Sub(o).Angle()
	if c.Bulge < 0 {
		a, b = b, a
	}
	if b <= a {
		b += 2 * math.Pi
	}
	return shape.Arc{Center: o, Radius: c.Radius(), Start: a, End: b}
}

// vertices returns the chain of straight lines through points.
func vertices(points []geom.Vec) geom.Path {
	path := make(geom.Path, len(points))
	for i, v := range points {
		path[i] = geom.Vertex{Vec: v}
	}
	return path
}

// flattenTo is how far, in metres, the lines of a climbing arc may stray from it.
const flattenTo = 0.001
