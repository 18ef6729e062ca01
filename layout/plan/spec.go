// Package plan draws the double-line plan: walls, joints, elbows, takeoffs, size changes,
// drops, flexible connections, hidden parts and labels, as shapes with a meaning.
package plan

import (
	"twinline/layout/duct"
	"twinline/layout/shape"
	"twinline/layout/sketch"
)

// Spec is the settings of this stage.
type Spec struct {
	Scale       float64 // plot scale, 50 for 1:50
	TextHeight  float64 // plotted, metres (0.0025)
	Inches      bool    // sizes in inches and cfm, else millimetres and L/s
	Flat        bool    // draw at Z zero
	SizeLabels  bool
	FlowLabels  bool
	Arrows      bool
	AxisLines   bool
	Hidden      bool
	Elevation   bool        // elevation in size labels
	SingleBelow duct.Length // sizes up to this are drawn single-line; 0 none
	RepeatEvery duct.Length // on long runs labels come again after this length; 0 never
	Clear       duct.Length // clearance kept to ceilings and limits
	Rules       duct.FittingRules

	PlainSizes  bool    // no lining and insulation in size labels
	ArrowLength float64 // of flow arrows, plotted, metres; 0: 6 mm
	LetterWidth float64 // width factor of the text style; 0: 1
	Symbols     Symbols // the marks; see package symbols

	SizeCentred bool                       // labels between walls stand on the middle of the duct rather than beside the line of the sketch
	Forms       Forms                      // how sizes, elevations and airflows are written
	Letters     [shape.LetterKinds]Letters // how labels of each kind differ

	Obstacles []sketch.Obstacle
	Strokes   []sketch.Stroke // lines of others, which labels keep clear of where they can
	Limits    []sketch.Limit
	Ceilings  []sketch.Ceiling
	Rated     []sketch.Rated
}

// Letters is how labels of one kind look. Zero values say nothing.
type Letters struct {
	Height  float64 // plotted, metres; 0: Spec.TextHeight
	Width   float64 // width factor; 0: Spec.LetterWidth
	Oblique float64 // slant, radians
	Content Content // what they say; zero: the usual
}
