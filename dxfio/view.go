package dxfio

// Point is a point in drawing units.
type Point struct{ X, Y, Z float64 }

// Vertex is a corner of a chain of lines and arcs; Bulge as in DXF, seen in plan.
type Vertex struct {
	Point
	Bulge float64
}

// Kind is the kind of an entity we look into.
type Kind uint8

// The kinds. Everything else is kept as bytes and never offered.
const (
	KindLine     Kind = iota + 1
	KindPolyline      // LWPOLYLINE and POLYLINE, 2D and 3D
	KindArc
	KindCircle
	KindPoint
	KindSpline
	KindEllipse
	KindInsert
	KindText
	KindMText
	KindLeader // of a MULTILEADER the text and each line are offered by themselves, under its handle
)

// Entity is the read-only view of one entity, in world axes and drawing units, all
// insert transforms and extrusions worked in.
type Entity struct {
	Kind   Kind
	Handle string   // "" in drawings without handles; "2F[1,0]" for what insert 2F repeats in row 1, column 0
	Index  int      // place of its record in the drawing; stands in for a handle where there is none
	Path   []string // the Handle of each insert it is nested in, outermost first
	Layer  string   // an entity on layer 0 inside a block lies on the layer of the insert

	// Vertices: the ends of a line; the corners of a polyline; an arc as two vertices with a
	// bulge (a full turn as two halves); a point; a leader from its arrow head on; a spline, an
	// ellipse, or an arc that a transform bent out of its circle or tilted out of plan, as a chain of chords.
	Vertices []Vertex
	Closed   bool

	Center Point   // circle; insertion point of an insert, a text
	Radius float64 // circle (the mean radius where a transform made it an ellipse)

	Value  string  // text, plain, format codes taken out; lines of MTEXT parted by \n
	Height float64 // text
	Angle  float64 // text, insert: radians in plan
	Of     string  // leader: the handle of the text it belongs to, where the drawing says so
	Box    []Point // text, insert: four corners in plan, counter-clockwise; of a text estimated from its letters

	Block   string   // insert
	Attribs []Attrib // insert, in order; then the constant ones of its block
}

// Attrib is an attribute of an insert.
type Attrib struct {
	Tag, Value string
	Handle     string
}

// Layer is an entry of the layer table.
type Layer struct {
	Name        string
	Frozen, Off bool
}

// Trouble is something in the drawing that could not be read; the rest was.
type Trouble struct {
	Handle string
	At     string // "line 1234" or "byte 0x4d2"
	Code   string // "bad-geometry" or "bad-block"
	Text   string
}

// Stray lists the entities on one layer of ours that do not carry our mark.
type Stray struct {
	Layer  string
	Count  int
	Handle string // of the first of them
	At     Point  // of the first of them, as it stands in the drawing
}

// Owned is an entity an earlier patch wrote.
type Owned struct {
	Key, Data string
	Handle    string
	Layer     string
	At        Point
	Edited    bool // changed since it was written
	Copy      bool // a copy somebody made; no longer ours
}
