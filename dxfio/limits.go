package dxfio

// MaxFile is the most bytes a drawing may have: places in it are held in 32 bits.
const MaxFile = 1<<32 - 1

// Limits. A drawing that goes over one is reported, never followed.
const (
	maxLayers = 1_000_000
	maxDepth  = 32 // inserts within inserts
	// entities offered by one walk beyond four times those of the drawing: blocks repeat them
	maxWalked     = 500_000
	maxPassed     = 30_000_000 // records passed by one walk beyond ten times those of the drawing
	maxSearched   = 2_000      // blocks within blocks that are searched for what is wanted
	maxArray      = 10_000     // inserts of one MINSERT
	maxCorners    = 1_000_000  // of one polyline
	maxSplineCtrl = 10_000     // control points of one spline
	maxText       = 64 << 10   // bytes of one text that are looked at
)
