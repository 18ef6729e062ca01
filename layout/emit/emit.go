// Package emit turns shapes with a meaning into a patch of drawing records: metres into
// drawing units, part, air and status into layers.
package emit

import (
	"maps"
	"math"
	"slices"

	"twinline/dxfio"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// Standard is an office's drawing standard, and what the drawing itself decides.
type Standard struct {
	Unit      duct.Length                                            // metres of one drawing unit
	Flat      bool                                                   // everything but bodies at Z zero
	Layer     func(shape.Part, duct.Air, duct.Status) dxfio.LayerDef // one look a name
	Linetypes []dxfio.LinetypeDef                                    // those the layers may name
	Style     dxfio.StyleDef                                         // of texts that have none of their own

	Letters [shape.LetterKinds]dxfio.StyleDef // text styles by kind; without a name: Style
}

// style returns the text style of a kind of lettering.
func (std *Standard) style(k shape.Letters) dxfio.StyleDef {
	if def := std.Letters[k]; def.Name != "" {
		return def
	}
	return std.Style
}

// Patch returns what is to be in the drawing so that it shows shapes. Only layers, line types and text styles that are
// used are asked for: layers and styles by name, line types in the order of the standard.
func Patch(shapes []shape.Shape, std Standard) dxfio.Patch {
	var p dxfio.Patch
	layers := map[string]dxfio.LayerDef{}
	styles := map[string]dxfio.StyleDef{}
	for _, s := range shapes {
		def := std.Layer(s.Part, s.Air, s.Status)
		layers[def.Name] = def
		c := converter{scale: 1 / float64(std.Unit), flat: std.Flat && s.Part != shape.Body}
		if t, ok := s.Geom.(shape.Text); ok {
			c.style = std.style(t.Letters)
			styles[c.style.Name] = c.style
		}
		p.Items = append(p.Items,
			dxfio.Item{Key: string(s.Key), Layer: def.Name, Data: s.Facts.String(), Geometry: c.geometry(s.Geom)})
	}
	used := map[string]bool{}
	for _, name := range slices.Sorted(maps.Keys(layers)) {
		p.Layers = append(p.Layers, layers[name])
		used[layers[name].Linetype] = true
	}
	for _, lt := range std.Linetypes {
		if used[lt.Name] {
			p.Linetypes = append(p.Linetypes, lt)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(styles)) {
		p.Styles = append(p.Styles, styles[name])
	}
	return p
}

// converter turns shapes in metres into records in drawing units. It is the one place
// where geometry leaves SI.
type converter struct {
	scale float64
	flat  bool
	style dxfio.StyleDef
}

func (c converter) point(v geom.Vec) dxfio.Point {
	if c.flat {
		v.Z = 0
	}
	return dxfio.Point{X: v.X * c.scale, Y: v.Y * c.scale, Z: v.Z * c.scale}
}

func (c converter) points(vs []geom.Vec) []dxfio.Point {
	out := make([]dxfio.Point, len(vs))
	for i, v := range vs {
		out[i] = c.point(v)
	}
	return out
}

func (c converter) geometry(g shape.Geometry) dxfio.Geometry {
	switch g := g.(type) {
	case shape.Line:
		return dxfio.LineGeom{A: c.point(g.A), B: c.point(g.B)}
	case shape.Arc:
		return dxfio.ArcGeom{Center: c.point(g.Center), Radius: g.Radius * c.scale,
			Start: degrees(g.Start), End: degrees(g.End)}
	case shape.Circle:
		return dxfio.CircleGeom{Center: c.point(g.Center), Radius: g.Radius * c.scale}
	case shape.Polyline:
		vs := make([]dxfio.Vertex, len(g.Path))
		for i, v := range g.Path {
			vs[i] = dxfio.Vertex{Point: c.point(v.Vec), Bulge: v.Bulge}
		}
		return dxfio.PolylineGeom{Vertices: vs, Closed: g.Closed}
	case shape.Solid:
		var s dxfio.SolidGeom
		for i, v := range g.Corners {
			s.Corners[i] = c.point(v)
		}
		return s
	case shape.Text:
		return dxfio.TextGeom{At: c.point(g.At), Height: g.Height * c.scale, Angle: degrees(g.Angle),
			Horizontal: int(g.Align) % 3, Vertical: 1 + int(g.Align)/3, Style: c.style.Name, Width: c.style.Width,
			Oblique: c.style.Oblique, Value: g.Value}
	case shape.Insert:
		return dxfio.InsertGeom{Block: g.Block, At: c.point(g.At), Scale: g.Scale, Angle: degrees(g.Angle)}
	case shape.Mesh:
		return dxfio.MeshGeom{Vertices: c.points(g.Vertices), Faces: g.Faces}
	}
	panic("emit: a shape without geometry")
}

// degrees returns an angle of [0, 360) for one in radians.
func degrees(a float64) float64 {
	d := math.Mod(a*180/math.Pi, 360)
	if d < 0 {
		d += 360
	}
	if d >= 360 || d == 0 { // a rounding of the line above, or a zero with a sign
		d = 0
	}
	return d
}
