// Package plan draws the double-line plan: walls, joints, elbows, takeoffs, size changes,
// drops, flexible connections and hidden parts, as shapes with a meaning.
package plan

import (
	"twinline/layout/duct"
	"twinline/layout/sketch"
	"twinline/symbols"
)

// Spec is the settings of this stage.
type Spec struct {
	Scale       float64 // plot scale, 50 for 1:50
	TextHeight  float64 // plotted, metres (0.0025)
	Inches      bool    // findings in inches, else millimetres
	Flat        bool    // draw at Z zero
	AxisLines   bool
	Hidden      bool
	SingleBelow duct.Length // sizes up to this are drawn single-line; 0 none
	Clear       duct.Length // clearance kept to ceilings and limits
	Rules       duct.FittingRules
	Symbols     symbols.Choices // how marks look

	Limits   []sketch.Limit
	Ceilings []sketch.Ceiling
	Rated    []sketch.Rated
}
