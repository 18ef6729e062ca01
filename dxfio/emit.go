package dxfio

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/yofu/dxf/entity"
)

// Limits of what may be written. They are far beyond any drawing and keep nonsense out of it.
const (
	maxCoordinate  = 1e12  // drawing units; beyond it a double no longer holds a thousandth
	maxMeshIndex   = 32767 // faces of a polyface mesh name their corners by 16-bit numbers
	maxVertices    = 1 << 20
	numberGrid     = 1e9 // numbers are written in steps of 1/numberGrid
	exactUpTo      = 1 << 53
	maxDataBytes   = 200
	chordOfBulge   = math.Pi / 18 // a bulge in a polyline that leaves its plane becomes chords of this angle
	unitScale      = 1.0
	textVertBottom = 3 // largest value of TextGeom.Vertical
	textHorRight   = 2 // largest value of TextGeom.Horizontal
)

// pair is a group code and its value as the text of an ASCII DXF; encode.go turns it into bytes.
type pair struct {
	code  int
	value string
}

// record is one entity record to be written: what comes after the tags all entities have in
// common (type, handle, owner, layer). An entity is a main record and those that hang on it:
// VERTEX or ATTRIB, and SEQEND.
type record struct {
	kind string
	body []pair
}

// geometryRecords turns a geometry into the records that say it in a drawing of that version.
// The class markers (100) are in for every version; encoding leaves them out where they are unknown.
func geometryRecords(g Geometry, f features) ([]record, error) {
	if err := checkGeometry(g); err != nil {
		return nil, err
	}
	switch g := g.(type) {
	case LineGeom:
		e := entity.NewLine()
		e.Start, e.End = coords(g.A), coords(g.B)
		return collect(e), nil
	case ArcGeom:
		e := entity.NewArc(circle(g.Center, g.Radius))
		e.Angle = []float64{g.Start, g.End}
		return collect(e), nil
	case CircleGeom:
		return collect(circle(g.Center, g.Radius)), nil
	case PointGeom:
		return collect(entity.NewPoint(g.At.X, g.At.Y, g.At.Z)), nil
	case PolylineGeom:
		return polylineRecords(g, f), nil
	case SolidGeom:
		// A SOLID names its corners in the order of a bow tie: the last two change places.
		c := g.Corners
		body := []pair{{100, "AcDbTrace"}}
		for i, p := range []Point{c[0], c[1], c[3], c[2]} {
			body = append(body, point(10+i, p)...)
		}
		return []record{{"SOLID", body}}, nil
	case TextGeom:
		return []record{{"TEXT", textBody(g)}}, nil
	case MeshGeom:
		return meshRecords(g), nil
	case InsertGeom:
		return insertRecords(g, f), nil
	case AttribGeom:
		return []record{{"ATTDEF", attribBody(g, f, true)}}, nil
	}
	return nil, fmt.Errorf("a geometry of type %T cannot be written", g)
}

func circle(center Point, radius float64) *entity.Circle {
	e := entity.NewCircle()
	e.Center, e.Radius = coords(center), radius
	return e
}

func coords(p Point) []float64 { return []float64{p.X, p.Y, p.Z} }

// polylineRecords writes a flat chain as LWPOLYLINE, or as a 2D POLYLINE for a version that does
// not know it, and one that leaves its plane as a 3D POLYLINE, which knows no bulges.
func polylineRecords(g PolylineGeom, f features) []record {
	z, flat := g.Vertices[0].Z, true
	for _, v := range g.Vertices {
		flat = flat && onGrid(v.Z) == onGrid(z)
	}
	if flat && f.lwpolyline {
		e := entity.NewLwPolyline(len(g.Vertices))
		e.Closed = g.Closed
		for i, v := range g.Vertices {
			e.Vertices[i] = []float64{v.X, v.Y}
			e.Bulges[i] = v.Bulge
		}
		rs := collect(e)
		// The library has no elevation; it belongs behind the flags.
		for i, p := range rs[0].body {
			if p.code == 70 {
				rest := append([]pair{{38, number(z)}}, rs[0].body[i+1:]...)
				rs[0].body = append(rs[0].body[:i+1:i+1], rest...)
				break
			}
		}
		return rs
	}
	e := entity.NewPolyline()
	vertices := g.Vertices
	if flat {
		e.Flag = 0
	} else {
		vertices = chords(g)
	}
	if g.Closed {
		e.Close()
	}
	for _, v := range vertices {
		w := e.AddVertex(v.X, v.Y, v.Z)
		if flat {
			w.Flag, w.Buldge = 0, v.Bulge
		}
	}
	rs := collect(e)
	if !flat {
		return rs
	}
	// The library knows 3D polylines alone: a flat one has other classes, and its elevation in the head.
	for i := range rs {
		for j, p := range rs[i].body {
			switch {
			case p.value == "AcDb3dPolyline":
				rs[i].body[j].value = "AcDb2dPolyline"
			case p.value == "AcDb3dPolylineVertex":
				rs[i].body[j].value = "AcDb2dVertex"
			case i == 0 && p.code == 30:
				rs[i].body[j].value = number(z)
			}
		}
	}
	return rs
}

// chords breaks the arcs of a chain into straight pieces, climbing evenly.
func chords(g PolylineGeom) []Vertex {
	var out []Vertex
	n := len(g.Vertices)
	for i, v := range g.Vertices {
		out = append(out, Vertex{Point: v.Point})
		if v.Bulge == 0 || (i == n-1 && !g.Closed) {
			continue
		}
		w := g.Vertices[(i+1)%n]
		sweep := 4 * math.Atan(v.Bulge)
		steps := int(math.Ceil(math.Abs(sweep) / chordOfBulge))
		// The centre lies off the middle of the chord by cot(sweep/2) half chords, to its left for a bulge > 0.
		off := 1 / math.Tan(sweep/2)
		dx, dy := (w.X-v.X)/2, (w.Y-v.Y)/2
		cx, cy := v.X+dx-dy*off, v.Y+dy+dx*off
		for s := 1; s < steps; s++ {
			t := float64(s) / float64(steps)
			sin, cos := math.Sincos(sweep * t)
			rx, ry := v.X-cx, v.Y-cy
			out = append(out, Vertex{Point: Point{cx + rx*cos - ry*sin, cy + rx*sin + ry*cos, v.Z + (w.Z-v.Z)*t}})
		}
	}
	return out
}

func meshRecords(g MeshGeom) []record {
	rs := []record{{"POLYLINE", []pair{
		{100, "AcDbPolyFaceMesh"}, {66, "1"}, {10, number(0)}, {20, number(0)}, {30, number(0)},
		{70, "64"}, {71, strconv.Itoa(len(g.Vertices))}, {72, strconv.Itoa(len(g.Faces))},
	}}}
	for _, v := range g.Vertices {
		body := append([]pair{{100, "AcDbVertex"}, {100, "AcDbPolyFaceMeshVertex"}}, point(10, v)...)
		rs = append(rs, record{"VERTEX", append(body, pair{70, "192"})})
	}
	for _, face := range g.Faces {
		body := append([]pair{{100, "AcDbFaceRecord"}}, point(10, Point{})...)
		body = append(body, pair{70, "128"})
		for i, corner := range face {
			body = append(body, pair{71 + i, strconv.Itoa(corner + 1)})
		}
		rs = append(rs, record{"VERTEX", body})
	}
	return append(rs, record{"SEQEND", nil})
}

func textBody(g TextGeom) []pair {
	body := append([]pair{{100, "AcDbText"}}, point(10, g.At)...)
	body = append(body, pair{40, number(g.Height)}, pair{1, plainText(g.Value)}, pair{50, number(g.Angle)})
	if g.Width != 0 && g.Width != unitScale {
		body = append(body, pair{41, number(g.Width)})
	}
	if g.Oblique != 0 {
		body = append(body, pair{51, number(g.Oblique)})
	}
	if g.Style != "" {
		body = append(body, pair{7, asciiText(g.Style)})
	}
	aligned := g.Horizontal != 0 || g.Vertical != 0
	if g.Horizontal != 0 {
		body = append(body, pair{72, strconv.Itoa(g.Horizontal)})
	}
	if aligned {
		body = append(body, point(11, g.At)...)
	}
	body = append(body, pair{100, "AcDbText"})
	if g.Vertical != 0 {
		body = append(body, pair{73, strconv.Itoa(g.Vertical)})
	}
	return body
}

func insertRecords(g InsertGeom, f features) []record {
	body := []pair{{100, "AcDbBlockReference"}}
	if len(g.Attribs) > 0 {
		body = append(body, pair{66, "1"})
	}
	body = append(body, pair{2, asciiText(g.Block)})
	body = append(body, point(10, g.At)...)
	scale := g.Scale
	if scale == 0 {
		scale = unitScale
	}
	for code := 41; code <= 43; code++ {
		body = append(body, pair{code, number(scale)})
	}
	rs := []record{{"INSERT", append(body, pair{50, number(g.Angle)})}}
	if len(g.Attribs) == 0 {
		return rs
	}
	for _, a := range g.Attribs {
		rs = append(rs, record{"ATTRIB", attribBody(a, f, false)})
	}
	return append(rs, record{"SEQEND", nil})
}

// attribBody writes an attribute of an insert or, with its prompt, the definition of one in a block.
func attribBody(g AttribGeom, f features, definition bool) []pair {
	body := append([]pair{{100, "AcDbText"}}, point(10, g.At)...)
	body = append(body, pair{40, number(g.Height)}, pair{1, plainText(g.Value)})
	if g.Style != "" {
		body = append(body, pair{7, asciiText(g.Style)})
	}
	class := "AcDbAttribute"
	if definition {
		class = "AcDbAttributeDefinition"
	}
	body = append(body, pair{100, class})
	if f.attribVersion {
		body = append(body, pair{280, "0"})
	}
	if definition {
		body = append(body, pair{3, plainText(g.Prompt)})
	}
	flags := "0"
	if g.Invisible {
		flags = "1"
	}
	return append(body, pair{2, asciiText(g.Tag)}, pair{70, flags})
}

func point(code int, p Point) []pair {
	return []pair{{code, number(p.X)}, {code + 10, number(p.Y)}, {code + 20, number(p.Z)}}
}

// onGrid rounds to the step numbers are written in; numbers too large for it are left as they are.
func onGrid(v float64) float64 {
	if math.Abs(v)*numberGrid >= exactUpTo {
		return v
	}
	return math.Round(v*numberGrid) / numberGrid
}

// number writes a number as the shortest decimal that reads back as the rounded number. It always
// has a point, never an exponent and never a minus before zero, since there are programs that stumble over each.
func number(v float64) string {
	v = onGrid(v)
	if v == 0 {
		return "0.0"
	}
	s := strconv.FormatFloat(v, 'f', -1, 64)
	if !strings.Contains(s, ".") {
		s += ".0"
	}
	return s
}

// collector is a format.Formatter of the library that keeps pairs instead of writing them.
type collector struct{ pairs []pair }

func (c *collector) Reset()                             { c.pairs = nil }
func (c *collector) WriteTo(io.Writer) (int64, error)   { return 0, nil }
func (c *collector) SetPrecision(int)                   {}
func (c *collector) Output() string                     { return "" }
func (c *collector) String(int, string) string          { return "" }
func (c *collector) Hex(int, int) string                { return "" }
func (c *collector) Int(int, int) string                { return "" }
func (c *collector) Float(int, float64) string          { return "" }
func (c *collector) WriteString(code int, value string) { c.pairs = append(c.pairs, pair{code, value}) }
func (c *collector) WriteHex(code int, value int)       { c.WriteString(code, fmt.Sprintf("%X", value)) }
func (c *collector) WriteInt(code int, value int)       { c.WriteString(code, strconv.Itoa(value)) }
func (c *collector) WriteFloat(code int, value float64) { c.WriteString(code, number(value)) }

// collect has the library write an entity and keeps what is special to its kind. What all
// entities have in common is dropped, since the library writes it as R2000 has it and with
// handles of its own; so is the extrusion, since ours is always along Z, which is the default.
func collect(e entity.Entity) []record {
	var c collector
	e.Format(&c)
	var rs []record
	for _, p := range c.pairs {
		switch {
		case p.code == 0:
			rs = append(rs, record{kind: p.value})
		case p.code == 5, p.code == 8, p.code == 330, p.code == 102, p.code >= 210 && p.code <= 230:
		case p.code == 100 && p.value == "AcDbEntity":
		default:
			last := &rs[len(rs)-1]
			last.body = append(last.body, p)
		}
	}
	return rs
}
