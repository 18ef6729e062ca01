// Package shape holds what plan, mesh and symbols draw: keyed primitives in metres with
// a meaning instead of a layer or a colour. Package emit turns them into drawing records.
package shape

import (
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
)

// Part is what a shape shows; with air and status it decides the layer.
type Part uint8

// The parts.
const (
	Wall  Part = iota // duct and fitting walls
	Joint             // lines across where two pieces meet, end caps
	Axis              // centrelines
	Hide              // walls covered by a higher duct
	Flex              // flexible duct
	Vert              // drop and riser symbols
	Term              // terminals and their connections
	Damp              // dampers and other in-line parts
	Size              // size labels and leaders
	Flow              // flow arrows, airflow and mark labels
	Body              // 3D bodies
	Check             // findings
	Cloud             // revision clouds
)

func (p Part) String() string {
	return [...]string{"WALL", "JOINT", "AXIS", "HIDE", "FLEX", "VERT", "TERM", "DAMP", "SIZE", "FLOW", "BODY",
		"CHECK", "CLOUD"}[p]
}

// Shape is one thing to draw.
type Shape struct {
	Key    key.Key // unique in a drawing, the same from one run of the program to the next
	Part   Part
	Air    duct.Air
	Status duct.Status
	Facts  *Facts // kept for two drawings to be compared; nil of most shapes
	Geom   Geometry
}

// Geometry is one of Line, Arc, Circle, Polyline, Solid, Text, Insert and Mesh.
type Geometry interface{ geometry() }

// Line is a straight line.
type Line struct{ A, B geom.Vec }

// Arc is a circular arc in plan, counter-clockwise from Start to End, radians.
type Arc struct {
	Center     geom.Vec
	Radius     float64
	Start, End float64
}

// Circle is a circle in plan.
type Circle struct {
	Center geom.Vec
	Radius float64
}

// Polyline is a chain of lines and arcs. With bulges all vertices share one Z.
type Polyline struct {
	Path   geom.Path
	Closed bool
}

// Solid is a filled triangle or quadrilateral, corners in order around it; a triangle repeats its last corner.
type Solid struct{ Corners [4]geom.Vec }

// Align is which point of a text At is.
type Align uint8

// The alignments: horizontal, then vertical.
const (
	BottomLeft Align = iota
	BottomCenter
	BottomRight
	MiddleLeft
	MiddleCenter
	MiddleRight
	TopLeft
	TopCenter
	TopRight
)

// Text is one line of text. Height is that of capitals, in metres of the model.
type Text struct {
	At     geom.Vec
	Height float64
	Angle  float64
	Align  Align
	Value  string

	Letters Letters // what the text is of; decides its style
}

// Insert shows a block of the drawing, its insertion point at At, as large as Scale times as it
// was drawn and turned by Angle.
type Insert struct {
	Block string
	At    geom.Vec
	Scale float64
	Angle float64
	Size  float64 // side of the square around At it takes about, metres
}

// Letters is what a text is of.
type Letters uint8

// The kinds of lettering.
const (
	PlainText Letters = iota // of findings and marks
	SizeText                 // size labels
	FlowText                 // labels of terminals
	UnitText                 // labels of units
	LevelText                // elevation tags

	LetterKinds = iota // how many there are
)

// Mesh is a closed body; faces are corners counter-clockwise seen from outside, three or four each.
type Mesh struct {
	Vertices []geom.Vec
	Faces    [][]int
}

func (Line) geometry()     {}
func (Arc) geometry()      {}
func (Circle) geometry()   {}
func (Polyline) geometry() {}
func (Solid) geometry()    {}
func (Text) geometry()     {}
func (Insert) geometry()   {}
func (Mesh) geometry()     {}
