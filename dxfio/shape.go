package dxfio

import (
	"math"
	"strings"
)

// shape reads the geometry of record i, mapped by m, into e. It returns what is wrong with it.
func (d *Document) shape(i int, m matrix, e *Entity) (bad string) {
	switch e.Kind {
	case KindLine, KindPoint:
		return d.lineShape(i, m, e)
	case KindCircle, KindArc:
		return d.arcShape(i, m, e)
	case KindEllipse:
		return d.ellipseShape(i, m, e)
	case KindPolyline:
		return d.polylineShape(i, m, e)
	case KindSpline:
		return d.splineShape(i, m, e)
	case KindLeader:
		return d.leaderShape(i, m, e)
	case KindInsert, KindText, KindMText, kindMultiLeader: // read elsewhere
	}
	return ""
}

func (d *Document) lineShape(i int, m matrix, e *Entity) string {
	var a, b Point
	f := floats{}
	for c := d.tags(i); c.next() && c.code < 1000; {
		switch c.code {
		case 38: // elevation, before R11
			f.into(c, &a.Z)
			b.Z = a.Z
		default:
			coordinate(c, &f, 10, &a)
			coordinate(c, &f, 11, &b)
		}
	}
	e.Vertices = []Vertex{{Point: m.point(a)}}
	if e.Kind == KindLine {
		e.Vertices = append(e.Vertices, Vertex{Point: m.point(b)})
	}
	if f.bad {
		return badNumber
	}
	return ""
}

// chordTurn is the most a chain of chords that stands for a bent curve turns at a corner.
const chordTurn = math.Pi / 32

func (d *Document) arcShape(i int, m matrix, e *Entity) string {
	var center Point
	var radius, start float64
	end := 360.0
	extrusion := Point{0, 0, 1}
	f := floats{}
	for c := d.tags(i); c.next() && c.code < 1000; {
		switch c.code {
		case 38: // elevation, before R11
			f.into(c, &center.Z)
		case 40:
			f.into(c, &radius)
		case 50:
			f.into(c, &start)
		case 51:
			f.into(c, &end)
		default:
			coordinate(c, &f, 10, &center)
			coordinate(c, &f, 210, &extrusion)
		}
	}
	if f.bad {
		return badNumber
	}
	if !(radius > 0) {
		return "its radius is not more than zero"
	}
	m = m.times(ocs(extrusion))
	e.Center = m.point(center)
	e.Radius = radius * (m.x.len() + m.y.len()) / 2
	if e.Kind == KindCircle {
		return ""
	}
	sweep := math.Mod(end-start, 360)
	if sweep <= 0 {
		sweep += 360
	}
	local := identity
	local.o = center
	local.x, local.y = local.x.scale(radius), local.y.scale(radius)
	e.Vertices = curve(m.times(local), start*math.Pi/180, sweep*math.Pi/180)
	return ""
}

// curve returns the arc of the unit circle from start over sweep, mapped by m: with bulges where
// it stays an arc, in two halves past a half turn, and as chords where it does not.
func curve(m matrix, start, sweep float64) []Vertex {
	at := func(a float64) Point {
		s, c := math.Sincos(a)
		return m.point(Point{c, s, 0})
	}
	n, bulge := int(math.Ceil(sweep/chordTurn)), 0.0
	if flip, ok := m.planar(); ok {
		n = 1
		if sweep > math.Pi {
			n = 2
		}
		bulge = flip * math.Tan(sweep/float64(n)/4)
	}
	n = max(n, 1)
	out := make([]Vertex, n+1)
	for k := range out {
		out[k] = Vertex{at(start + sweep*float64(k)/float64(n)), bulge}
	}
	out[n].Bulge = 0
	return out
}

func (d *Document) ellipseShape(i int, m matrix, e *Entity) string {
	var center, major Point
	ratio, start, end := 1.0, 0.0, 2*math.Pi
	extrusion := Point{0, 0, 1}
	f := floats{}
	for c := d.tags(i); c.next() && c.code < 1000; {
		switch c.code {
		case 40:
			f.into(c, &ratio)
		case 41:
			f.into(c, &start)
		case 42:
			f.into(c, &end)
		default:
			coordinate(c, &f, 10, &center)
			coordinate(c, &f, 11, &major)
			coordinate(c, &f, 210, &extrusion)
		}
	}
	if f.bad {
		return badNumber
	}
	l := extrusion.len()
	if l == 0 || major.len() == 0 {
		return "it has no size"
	}
	minor := extrusion.scale(1 / l).cross(major).scale(ratio) // an ellipse lies in world axes
	sweep := math.Mod(end-start, 2*math.Pi)
	if sweep <= 0 {
		sweep += 2 * math.Pi
	}
	e.Center = m.point(center)
	e.Vertices = curve(m.times(matrix{x: major, y: minor, z: extrusion, o: center}), start, sweep)
	return ""
}

// Flags of POLYLINE and VERTEX. Source: DXF reference.
const (
	polyClosed    = 1
	poly3D        = 8
	polyMesh      = 16
	polyFaces     = 64
	vertexControl = 16 // a point of the frame of a smoothed polyline, not on it
)

func (d *Document) polylineShape(i int, m matrix, e *Entity) string {
	p := polylineTags{f: floats{}, extrusion: Point{0, 0, 1}, light: d.name(i) == "LWPOLYLINE"}
	if bad := p.read(d.tags(i)); bad != "" {
		return bad
	}
	if p.flags&(polyMesh|polyFaces) != 0 {
		return "it is a mesh, not a line"
	}
	if !p.light {
		p.corners = d.vertices(i, &p.f)
	}
	if p.f.bad {
		return badNumber
	}
	if len(p.corners) == 0 {
		return "it has no corners"
	}
	e.Closed = p.flags&polyClosed != 0
	if p.flags&poly3D != 0 {
		e.Vertices = make([]Vertex, len(p.corners))
		for k, v := range p.corners {
			e.Vertices[k] = Vertex{Point: m.point(v.Point)}
		}
		return ""
	}
	for k := range p.corners {
		p.corners[k].Z = p.z
	}
	e.Vertices = mapBulges(p.corners, e.Closed, m.times(ocs(p.extrusion)))
	return ""
}

// polylineTags is what the record of an LWPOLYLINE or a POLYLINE says.
type polylineTags struct {
	f         floats
	light     bool // an LWPOLYLINE, which has its corners in its own record
	flags     int
	z         float64
	extrusion Point
	corners   []Vertex
}

func (p *polylineTags) read(c *cursor) string {
	for c.next() && c.code < 1000 {
		switch c.code {
		case 70:
			p.flags = c.int()
		case 38:
			p.f.into(c, &p.z)
		case 30:
			if !p.light {
				p.f.into(c, &p.z)
			}
		case 10, 20, 42:
			if bad := p.corner(c); bad != "" {
				return bad
			}
		default:
			coordinate(c, &p.f, 210, &p.extrusion)
		}
	}
	return ""
}

// corner reads a tag of a corner of an LWPOLYLINE: 10 begins a new one.
func (p *polylineTags) corner(c *cursor) string {
	if !p.light {
		return ""
	}
	if c.code == 10 {
		if len(p.corners) == maxCorners {
			return tooManyCorners
		}
		p.corners = append(p.corners, Vertex{})
	}
	if len(p.corners) == 0 {
		return ""
	}
	last := &p.corners[len(p.corners)-1]
	if c.code == 42 {
		p.f.into(c, &last.Bulge)
	} else {
		coordinate(c, &p.f, 10, &last.Point)
	}
	return ""
}

// vertices reads the VERTEX records behind a POLYLINE.
func (d *Document) vertices(i int, f *floats) []Vertex {
	var vs []Vertex
	for j := i + 1; j < len(d.records) && d.records[j].flags&flagVertex != 0; j++ {
		if len(vs) == maxCorners || d.name(j) != "VERTEX" {
			break
		}
		var v Vertex
		flags := 0
		for c := d.tags(j); c.next() && c.code < 1000; {
			switch c.code {
			case 10:
				f.into(c, &v.X)
			case 20:
				f.into(c, &v.Y)
			case 30:
				f.into(c, &v.Z)
			case 42:
				f.into(c, &v.Bulge)
			case 70:
				flags = c.int()
			}
		}
		if flags&vertexControl == 0 {
			vs = append(vs, v)
		}
	}
	return vs
}

// mapBulges maps a chain of lines and arcs; arcs that do not stay arcs become chords.
func mapBulges(vs []Vertex, closed bool, m matrix) []Vertex {
	flip, planar := m.planar()
	out := make([]Vertex, 0, len(vs))
	for k, v := range vs {
		last := k == len(vs)-1
		switch {
		case v.Bulge == 0 || last && !closed:
			out = append(out, Vertex{Point: m.point(v.Point)})
		case planar:
			out = append(out, Vertex{m.point(v.Point), flip * v.Bulge})
		default:
			out = append(out, arcChords(v, vs[(k+1)%len(vs)], m)...)
		}
	}
	return out
}

// arcChords returns the arc from a to b as a chain, mapped by m, without b.
func arcChords(a, b Vertex, m matrix) []Vertex {
	sweep := 4 * math.Atan(a.Bulge)
	k := (1 - a.Bulge*a.Bulge) / (4 * a.Bulge)
	mid := a.Point.add(b.Point).scale(0.5)
	center := Point{mid.X - k*(b.Y-a.Y), mid.Y + k*(b.X-a.X), mid.Z}
	n := max(1, int(math.Ceil(math.Abs(sweep)/chordTurn)))
	out := make([]Vertex, n)
	for j := range out {
		s, c := math.Sincos(sweep * float64(j) / float64(n))
		dx, dy := a.X-center.X, a.Y-center.Y
		out[j] = Vertex{Point: m.point(Point{center.X + c*dx - s*dy, center.Y + s*dx + c*dy, a.Z})}
	}
	return out
}

func (d *Document) leaderShape(i int, m matrix, e *Entity) string {
	f := floats{}
	var vs []Vertex
	for c := d.tags(i); c.next() && c.code < 1000; {
		switch {
		case c.code == 340:
			if of := strings.TrimSpace(c.text()); of != "0" {
				e.Of = of
			}
		case c.code == 10 && len(vs) == maxCorners:
			return tooManyCorners
		case c.code == 10:
			vs = append(vs, Vertex{})
			fallthrough
		case len(vs) > 0:
			coordinate(c, &f, 10, &vs[len(vs)-1].Point)
		}
	}
	if f.bad {
		return badNumber
	}
	if len(vs) < 2 {
		return "it has no length"
	}
	for k := range vs {
		vs[k].Point = m.point(vs[k].Point)
	}
	e.Vertices = vs
	return ""
}
