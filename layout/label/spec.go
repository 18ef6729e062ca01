// Package label letters a plan: sizes, elevations, airflows and marks, with their leaders, and flow arrows, each where it is
// clear of what is drawn.
package label

import (
	"twinline/layout/duct"
	"twinline/layout/shape"
	"twinline/layout/sketch"
)

// Spec is the settings of this stage.
type Spec struct {
	Scale       float64 // plot scale, 50 for 1:50
	TextHeight  float64 // plotted, metres (0.0025)
	LetterWidth float64 // width factor of the text style; 0: 1
	Inches      bool    // sizes in inches and cfm, else millimetres and L/s
	Flat        bool    // letter at Z zero

	SizeLabels  bool
	FlowLabels  bool
	Arrows      bool
	ArrowLength float64     // of flow arrows, plotted, metres; 0: 6 mm
	Elevation   bool        // elevation in size labels
	PlainSizes  bool        // no lining and insulation in size labels
	SizeCentred bool        // labels between walls stand on the middle of the duct rather than beside the line of the sketch
	SingleBelow duct.Length // sizes up to this are drawn single-line; 0 none
	RepeatEvery duct.Length // on long runs labels come again after this length; 0 never

	Forms   Forms                      // how sizes, elevations and airflows are written
	Letters [shape.LetterKinds]Letters // how labels of each kind differ
	Symbols shape.Symbols              // the marks; see package symbols

	Obstacles []sketch.Obstacle // texts of others and of the sketch
	Strokes   []sketch.Stroke   // lines of others, which labels keep clear of where they can
}

// Letters is how labels of one kind look. Zero values say nothing.
type Letters struct {
	Height  float64 // plotted, metres; 0: Spec.TextHeight
	Width   float64 // width factor; 0: Spec.LetterWidth
	Oblique float64 // slant, radians
	Content Content // what they say; zero: the usual
}
