package sketch

import (
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
)

// Sketch is what a drafter drew, read but not yet joined up.
type Sketch struct {
	Unit      duct.Length // one drawing unit
	Metric    bool        // metric drawing: millimetres, centimetres, metres
	Lines     []Line
	Terminals []Terminal
	Units     []Unit
	Limits    []Limit
	Ceilings  []Ceiling
	Rated     []Rated
	Obstacles []Obstacle // texts and blocks of others, for labels to keep clear of
	Strokes   []Stroke   // lines of others near the sketch, for labels to keep clear of where they can
}

// Line is one sketched centreline: an entity, whatever number of pieces it has.
type Line struct {
	Key    key.Key // handle, with the handles of the inserts it is nested in
	Handle string
	Layer  string
	Air    duct.Air
	Status duct.Status
	Flex   bool
	Closed bool
	Path   geom.Path // Z is that of Datum, from the geometry, a note or the settings
	Datum  duct.Datum
	Notes  []RunNote
}

// Centred returns a copy of sk in which the lines with these keys are noted by their centrelines, which lie that many
// metres above the heights noted before.
func (sk *Sketch) Centred(shifts map[key.Key]float64) *Sketch {
	out := *sk
	out.Lines = slices.Clone(sk.Lines)
	for i := range out.Lines {
		l := &out.Lines[i]
		up, ok := shifts[l.Key]
		if !ok {
			continue
		}
		l.Datum, l.Path = duct.Centre, slices.Clone(l.Path)
		for k := range l.Path {
			l.Path[k].Z += up
		}
	}
	return &out
}

// RunNote is one note about a line at one place of it. Its spec is about the section at
// that place; height limit, shape, flat side, lining and insulation hold downstream too.
type RunNote struct {
	At     geom.Vec // the nearest point of the line
	Handle string   // of the text
	Spec   duct.Spec
	Texts  map[string]string // by the name of a topic, what it says of it as it is written
}

// Terminal is one sketched air terminal. Values that were not given are zero.
type Terminal struct {
	Key    key.Key
	Handle string
	Layer  string
	Air    duct.Air
	Status duct.Status
	At     geom.Vec   // middle of the face
	Face   []geom.Vec // corners, counter-clockwise, at the elevation of At
	Block  bool
	Mark   string
	Flow   duct.Flow
	Neck   duct.Size
	Conn   duct.Conn
	Loss   duct.Pressure
}

// Unit is one sketched terminal box, air-handling unit, fan or shaft connection.
type Unit struct {
	Key      key.Key
	Handle   string
	Layer    string
	Air      duct.Air
	Status   duct.Status
	At       geom.Vec
	Outline  []geom.Vec  // counter-clockwise
	Circle   duct.Length // its radius where it is drawn as a circle about At; Outline has corners on it
	Mark     string
	Flow     duct.Flow
	Neck     duct.Size
	Pressure duct.Pressure // from a note: available at a head, its loss in the middle
	Note     string        // handle of that note
	ESP      duct.Pressure // from the attribute ESP: available
	Loss     duct.Pressure // from the attribute DP: its loss
}

// Limit is an outline under which ducts have to stay.
type Limit struct {
	Handle    string
	Outline   []geom.Vec
	Underside float64 // metres
}

// Ceiling is an outline with the height of the ceiling inside.
type Ceiling struct {
	Handle  string
	Outline []geom.Vec
	Height  float64 // metres
}

// Rated is a line of a fire- or smoke-rated wall.
type Rated struct {
	Handle string
	Path   geom.Path
	Rating duct.Rating // from a note on the wall
}

// Obstacle is the box in plan, as corners, of a text or block that is not part of the sketch.
type Obstacle struct {
	Handle  string
	Corners []geom.Vec
	Own     bool // a note of the sketch itself: labels keep clear of it only where they can
}

// Stroke is a straight line of others in plan, or a chord of a curve.
type Stroke struct{ A, B geom.Vec }

// Rules are the settings of this stage.
type Rules struct {
	Unit      duct.Length // one drawing unit; 0: from the drawing's header
	Snap      duct.Length // 0: 1 in or 25 mm, by the drawing
	Reach     duct.Length // 0: 4 ft or 1.2 m
	Face      duct.Length // side of the face of a terminal drawn as circle or point; 0: 24 in or 600 mm
	Ceiling   duct.Length // 0: 9 ft or 2.7 m
	Elevation map[duct.Air]duct.Length
	Layers    LayerNames
	Materials []string // in small letters: names an office gave a roughness, which notes may say
}

// LayerNames are the words of sketch layer names. Empty fields take the convention's.
type LayerNames struct {
	Prefix                       string
	Duct, Flex, Term, Unit, Note string
	Existing, Removed, Future    string
	Limit, Ceiling, Rated        string
	Air                          map[string]duct.Air // more words for an air
}
