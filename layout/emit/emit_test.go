package emit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/dxfio"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// The expected numbers are worked out by hand: a drawing in millimetres has 1000 units a metre, one in inches
// 1/0.0254, one in feet 1/0.3048.

// office is a standard of three looks in a drawing whose unit is unit.
func office(unit duct.Length) Standard {
	return Standard{
		Unit: unit,
		Layer: func(p shape.Part, a duct.Air, s duct.Status) dxfio.LayerDef {
			def := dxfio.LayerDef{Color: 5, Linetype: "CONTINUOUS", Weight: 35, Plots: true}
			def.Name = a.String() + "-" + p.String()
			switch {
			case p == shape.Axis:
				def.Linetype, def.Plots = "CENTER", false
			case p == shape.Body:
				def.Off = true
			case s == duct.Removed:
				def.Name, def.Linetype = def.Name+"-REM", "DASHED"
			}
			return def
		},
		Linetypes: []dxfio.LinetypeDef{{Name: "HIDDEN"}, {Name: "DASHED"}, {Name: "CENTER"}},
		Style:     dxfio.StyleDef{Name: "PLAIN", Font: "txt", Width: 1},
	}
}

func line(part shape.Part, air duct.Air, status duct.Status) shape.Shape {
	return shape.Shape{Part: part, Air: air, Status: status, Geom: shape.Line{B: geom.Vec{X: 1}}}
}

// Each layer is asked for once however many shapes lie on it, as it was described, and layers come by name.
func TestLayersAskedFor(t *testing.T) {
	p := Patch([]shape.Shape{
		line(shape.Wall, duct.SUP, duct.New),
		line(shape.Axis, duct.ETA, duct.New),
		line(shape.Wall, duct.SUP, duct.Existing),
		line(shape.Body, duct.SUP, duct.New),
		line(shape.Wall, duct.SUP, duct.Removed),
	}, office(duct.Metre))
	require.Equal(t, []dxfio.LayerDef{
		{Name: "ETA-AXIS", Color: 5, Linetype: "CENTER", Weight: 35},
		{Name: "SUP-BODY", Color: 5, Linetype: "CONTINUOUS", Weight: 35, Plots: true, Off: true},
		{Name: "SUP-WALL", Color: 5, Linetype: "CONTINUOUS", Weight: 35, Plots: true},
		{Name: "SUP-WALL-REM", Color: 5, Linetype: "DASHED", Weight: 35, Plots: true},
	}, p.Layers)
	var on []string
	for _, item := range p.Items {
		on = append(on, item.Layer)
	}
	require.Equal(t, []string{"SUP-WALL", "ETA-AXIS", "SUP-WALL", "SUP-BODY", "SUP-WALL-REM"}, on)
}

// Only line types a layer in use names are asked for, in the order of the standard.
func TestLinetypesAskedFor(t *testing.T) {
	names := func(shapes ...shape.Shape) []string {
		var out []string
		for _, lt := range Patch(shapes, office(duct.Metre)).Linetypes {
			out = append(out, lt.Name)
		}
		return out
	}
	wall, axis := line(shape.Wall, duct.SUP, duct.New), line(shape.Axis, duct.SUP, duct.New)
	removed := line(shape.Wall, duct.SUP, duct.Removed)
	require.Empty(t, names(wall))
	require.Equal(t, []string{"CENTER"}, names(wall, axis))
	require.Equal(t, []string{"DASHED", "CENTER"}, names(axis, axis, removed))
}

// Only text styles that letters are in are asked for, by name; a kind of lettering without one takes the usual one, and
// a text carries the width and slant of its style, since it does not take them from there.
func TestStyles(t *testing.T) {
	std := office(duct.Metre)
	std.Letters[shape.SizeText] = dxfio.StyleDef{Name: "LEAN", Font: "txt", Width: 0.8, Oblique: 15}
	std.Letters[shape.UnitText] = dxfio.StyleDef{Name: "UNUSED", Font: "txt", Width: 1}
	text := func(k shape.Letters) shape.Shape {
		return shape.Shape{Part: shape.Size, Geom: shape.Text{Letters: k, Height: 0.1}}
	}
	require.Empty(t, Patch([]shape.Shape{line(shape.Wall, duct.SUP, duct.New)}, std).Styles)
	p := Patch([]shape.Shape{text(shape.PlainText), text(shape.SizeText), text(shape.FlowText)}, std)
	require.Equal(t, []dxfio.StyleDef{std.Letters[shape.SizeText], std.Style}, p.Styles)
	for i, want := range []dxfio.StyleDef{std.Style, std.Letters[shape.SizeText], std.Style} {
		got := p.Items[i].Geometry.(dxfio.TextGeom)
		require.Equal(t, want.Name, got.Style)
		require.Equal(t, want.Width, got.Width)
		require.Equal(t, want.Oblique, got.Oblique)
	}
}

// A flat plan lies at Z zero; bodies keep their height.
func TestFlat(t *testing.T) {
	std := office(duct.Metre)
	std.Flat = true
	at := geom.Vec{X: 1, Y: 2, Z: 3}
	shapes := []shape.Shape{
		{Part: shape.Wall, Geom: shape.Line{A: at, B: at}},
		{Part: shape.Axis, Geom: shape.Circle{Center: at, Radius: 1}},
		{Part: shape.Body, Geom: shape.Mesh{Vertices: []geom.Vec{at}, Faces: [][]int{{0, 0, 0}}}},
	}
	flat := dxfio.Point{X: 1, Y: 2}
	items := Patch(shapes, std).Items
	require.Equal(t, dxfio.LineGeom{A: flat, B: flat}, items[0].Geometry)
	require.Equal(t, dxfio.CircleGeom{Center: flat, Radius: 1}, items[1].Geometry)
	require.Equal(t, []dxfio.Point{{X: 1, Y: 2, Z: 3}}, items[2].Geometry.(dxfio.MeshGeom).Vertices)
	std.Flat = false
	require.Equal(t, dxfio.Point{X: 1, Y: 2, Z: 3}, Patch(shapes, std).Items[1].Geometry.(dxfio.CircleGeom).Center)
}

// Every kind of geometry becomes the record of its name, lengths in millimetres, angles in degrees.
func TestGeometry(t *testing.T) {
	tests := []struct {
		name string
		geom shape.Geometry
		want dxfio.Geometry
	}{
		{"line", shape.Line{A: geom.Vec{X: 1, Y: -2, Z: 0.5}, B: geom.Vec{X: 0.25}},
			dxfio.LineGeom{A: dxfio.Point{X: 1000, Y: -2000, Z: 500}, B: dxfio.Point{X: 250}}},
		{"arc", shape.Arc{Center: geom.Vec{X: 1}, Radius: 0.5, Start: -math.Pi / 2, End: math.Pi},
			dxfio.ArcGeom{Center: dxfio.Point{X: 1000}, Radius: 500, Start: 270, End: 180}},
		{"circle", shape.Circle{Center: geom.Vec{Y: 2}, Radius: 0.125},
			dxfio.CircleGeom{Center: dxfio.Point{Y: 2000}, Radius: 125}},
		{"polyline", shape.Polyline{Path: geom.Path{{Vec: geom.Vec{X: 1}, Bulge: 0.5}, {Vec: geom.Vec{Y: 1}}},
			Closed: true},
			dxfio.PolylineGeom{Closed: true, Vertices: []dxfio.Vertex{{Point: dxfio.Point{X: 1000}, Bulge: 0.5},
				{Point: dxfio.Point{Y: 1000}}}}},
		{"solid", shape.Solid{Corners: [4]geom.Vec{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}}},
			dxfio.SolidGeom{Corners: [4]dxfio.Point{{}, {X: 1000}, {X: 1000, Y: 1000}, {Y: 1000}}}},
		{"insert", shape.Insert{Block: "VD", At: geom.Vec{X: 2}, Scale: 1.5, Angle: math.Pi / 2, Size: 9},
			dxfio.InsertGeom{Block: "VD", At: dxfio.Point{X: 2000}, Scale: 1.5, Angle: 90}},
		{"mesh", shape.Mesh{Vertices: []geom.Vec{{}, {X: 1}, {Z: 1}}, Faces: [][]int{{0, 1, 2}}},
			dxfio.MeshGeom{Vertices: []dxfio.Point{{}, {X: 1000}, {Z: 1000}}, Faces: [][]int{{0, 1, 2}}}},
		{"text", shape.Text{At: geom.Vec{X: 1}, Height: 0.125, Angle: math.Pi, Align: shape.MiddleCenter,
			Value: "ø200"},
			dxfio.TextGeom{At: dxfio.Point{X: 1000}, Height: 125, Angle: 180, Horizontal: 1, Vertical: 2,
				Style: "PLAIN",
				Width: 1, Value: "ø200"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			facts := &shape.Facts{Terminal: "S-1", Flow: 0.25}
			p := Patch([]shape.Shape{{Key: "k", Facts: facts, Geom: tt.geom}}, office(duct.Millimetre))
			require.Equal(t, []dxfio.Item{{Key: "k", Layer: "SUP-WALL", Data: "terminal=S-1 flow=0.25 status=new",
				Geometry: tt.want}}, p.Items)
		})
	}
	require.Panics(t, func() { Patch([]shape.Shape{{}}, office(duct.Metre)) }, "a shape has to show something")
}

// The nine alignments are those of TEXT: across 0, 1, 2; up from the bottom 1, 2, 3, since 0 is the baseline. Source:
// DXF reference, TEXT, group codes 72 and 73.
func TestAlignments(t *testing.T) {
	for align, want := range map[shape.Align][2]int{
		shape.BottomLeft: {0, 1}, shape.BottomCenter: {1, 1}, shape.BottomRight: {2, 1},
		shape.MiddleLeft: {0, 2}, shape.MiddleCenter: {1, 2}, shape.MiddleRight: {2, 2},
		shape.TopLeft: {0, 3}, shape.TopCenter: {1, 3}, shape.TopRight: {2, 3},
	} {
		g := Patch([]shape.Shape{{Geom: shape.Text{Align: align}}},
			office(duct.Metre)).Items[0].Geometry.(dxfio.TextGeom)
		require.Equal(t, want, [2]int{g.Horizontal, g.Vertical}, "%d", align)
	}
}

// Metres become units of the drawing, whatever those are; the scale of a block and the bulge of an arc have none.
func TestUnits(t *testing.T) {
	for _, tt := range []struct {
		unit duct.Length
		want float64 // of 1 m
	}{
		{duct.Millimetre, 1000}, {duct.Centimetre, 100}, {duct.Metre, 1},
		{duct.Inch, 39.37007874015748}, {duct.Foot, 3.280839895013123},
	} {
		p := Patch([]shape.Shape{
			{Geom: shape.Circle{Center: geom.Vec{X: 1, Y: -1, Z: 2}, Radius: 1}},
			{Geom: shape.Insert{Scale: 1.5}},
			{Geom: shape.Polyline{Path: geom.Path{{Bulge: 0.25}}}},
		}, office(tt.unit))
		c := p.Items[0].Geometry.(dxfio.CircleGeom)
		require.InDelta(t, tt.want, c.Radius, 1e-9)
		require.InDelta(t, tt.want, c.Center.X, 1e-9)
		require.InDelta(t, -tt.want, c.Center.Y, 1e-9)
		require.InDelta(t, 2*tt.want, c.Center.Z, 1e-9)
		require.Equal(t, 1.5, p.Items[1].Geometry.(dxfio.InsertGeom).Scale)
		require.Equal(t, 0.25, p.Items[2].Geometry.(dxfio.PolylineGeom).Vertices[0].Bulge)
	}
}

// Angles are of [0, 360): a whole turn is none, and neither a negative one nor what rounding leaves of one is left.
func TestDegrees(t *testing.T) {
	for radians, want := range map[float64]float64{
		0: 0, math.Pi / 6: 30, math.Pi: 180, 2 * math.Pi: 0, -math.Pi / 2: 270, -2 * math.Pi: 0, 5 * math.Pi: 180,
		-1e-18: 0, 2*math.Pi - 1e-15: 360 - 180e-15/math.Pi,
	} {
		got := degrees(radians)
		require.InDelta(t, want, got, 1e-9, "%v", radians)
		require.False(t, got < 0 || got >= 360 || math.Signbit(got), "%v: %v", radians, got)
	}
}
