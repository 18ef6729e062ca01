package plan

import "twinline/layout/shape"

// Symbols are the marks the plan is drawn with; package symbols has them. They come as a
// value because no package of layout may import symbols.
type Symbols = shape.Symbols
