package dxfio

// Item is one entity to be written. Key is its identity from one patch to the next: an item
// whose key and content are already in the drawing leaves its bytes and its handle alone.
type Item struct {
	Key      string
	Layer    string
	Data     string // kept with the entity, at most 200 bytes of ASCII
	Geometry Geometry
}

// Geometry is one of the types below.
type Geometry interface{ geometry() }

// LineGeom is a LINE.
type LineGeom struct{ A, B Point }

// ArcGeom is an ARC, counter-clockwise from Start to End, degrees.
type ArcGeom struct {
	Center     Point
	Radius     float64
	Start, End float64
}

// CircleGeom is a CIRCLE.
type CircleGeom struct {
	Center Point
	Radius float64
}

// PointGeom is a POINT.
type PointGeom struct{ At Point }

// PolylineGeom is an LWPOLYLINE (R12: POLYLINE) where all Z are equal, else a 3D POLYLINE.
type PolylineGeom struct {
	Vertices []Vertex
	Closed   bool
}

// SolidGeom is a filled SOLID; corners in order around it.
type SolidGeom struct{ Corners [4]Point }

// TextGeom is a TEXT. Horizontal: 0 left, 1 centre, 2 right; Vertical: 0 baseline, 1 bottom, 2 middle, 3 top.
type TextGeom struct {
	At                   Point
	Height               float64
	Angle                float64 // degrees
	Horizontal, Vertical int
	Style                string
	Width                float64 // width factor, which a text does not take from its style; 0: 1
	Oblique              float64 // slant of its letters, degrees
	Value                string
}

// MeshGeom is a polyface POLYLINE; faces of three or four corners, from 0.
type MeshGeom struct {
	Vertices []Point
	Faces    [][]int
}

// InsertGeom is an INSERT with its attributes.
type InsertGeom struct {
	Block   string
	At      Point
	Scale   float64
	Angle   float64 // degrees
	Attribs []AttribGeom
}

// AttribGeom is an ATTRIB of an INSERT, or an ATTDEF of a block (with Prompt).
type AttribGeom struct {
	Tag, Value, Prompt string
	At                 Point
	Height             float64
	Style              string
	Invisible          bool
}

func (LineGeom) geometry()     {}
func (ArcGeom) geometry()      {}
func (CircleGeom) geometry()   {}
func (PointGeom) geometry()    {}
func (PolylineGeom) geometry() {}
func (SolidGeom) geometry()    {}
func (TextGeom) geometry()     {}
func (MeshGeom) geometry()     {}
func (InsertGeom) geometry()   {}
func (AttribGeom) geometry()   {}

// LayerDef is a layer that must be there. One that is there already is left as it is.
type LayerDef struct {
	Name     string
	Color    int // AutoCAD colour index, 1 to 255
	Linetype string
	Weight   int  // hundredths of a millimetre; -3 default
	Plots    bool // R12 cannot say it; there the layer's name has to do
	Off      bool // switched off, and frozen
}

// LinetypeDef is a line type that must be there. Pattern in drawing units: dash > 0, gap < 0, dot 0.
type LinetypeDef struct {
	Name, Description string
	Pattern           []float64
}

// StyleDef is a text style that must be there.
type StyleDef struct {
	Name, Font string
	Width      float64 // width factor
	Oblique    float64 // slant of its letters, degrees
}

// BlockDef is a block that must be there.
type BlockDef struct {
	Name  string
	Base  Point
	Items []Item // layers as given; keys and data are not written inside blocks
}

// Patch is everything that is to be in the drawing when it is done. Earlier work whose key
// Owns accepts and which is not among Items is removed; what Owns refuses stays.
type Patch struct {
	Layers    []LayerDef
	Linetypes []LinetypeDef
	Styles    []StyleDef
	Blocks    []BlockDef
	Items     []Item
	Owns      func(key string) bool // nil: all
}

// Change says what a patch did.
type Change struct {
	Kept, Added, Changed, Removed []string // keys
	Edited                        []Owned  // changed by hand since they were written, and replaced
	Copied                        []Owned  // copies of our work, left alone
	// what was changed that is not an entity of ours, and what of others refers to removed work, in words
	Places []string

	refreshed []string // kept, but for the handle their marks say they have
	places    []placed // the same as spans, in the order of the file, for Verify
}
