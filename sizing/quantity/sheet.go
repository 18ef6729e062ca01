package quantity

import (
	"math"

	"twinline/layout/duct"
	"twinline/sizing/loss"
)

// Sheet is the galvanised sheet a duct is taken to be made of. It is for estimating; standards by pressure class and
// stiffening come first.
type Sheet struct {
	Thickness duct.Length // nominal, with the coating
	Density   AreaDensity
	Basis     Basis // how the thickness was found
}

// AreaDensity is the mass of a sheet, in kilograms a square metre.
type AreaDensity float64

// Basis is how the thickness of a sheet was found.
type Basis uint8

// The bases. A duct that has no sheet has the zero Sheet but for its Basis, NotSteel or NoSize.
const (
	FromTable Basis = iota
	FromNearest
	FromLikeness
	NotSteel
	NoSize
)

func (b Basis) String() string {
	return [...]string{"table", "nearest row of the table", "as rectangular", "not sheet steel", "no size is known"}[b]
}

// gauge is the number of a step of galvanised sheet.
type gauge int

// gauges are the sheets the thickness tables below ask for.
// Source: ASTM A525-80, as quoted by a published duct weight worksheet (testdata/checks/06b).
var gauges = map[gauge]Sheet{
	26: {Thickness: 0.551 * duct.Millimetre, Density: 4.42},
	24: {Thickness: 0.701 * duct.Millimetre, Density: 5.64},
	22: {Thickness: 0.853 * duct.Millimetre, Density: 6.86},
	20: {Thickness: 1.006 * duct.Millimetre, Density: 8.08},
	18: {Thickness: 1.311 * duct.Millimetre, Density: 10.52},
}

// thicknessStep says which gauge holds for sizes below a size.
type thicknessStep struct {
	below duct.Length
	gauge gauge
}

// over is above all sizes.
var over = duct.Length(math.Inf(1))

// roundSheet is for round duct by its diameter, heating and general ventilation, low pressure.
// Source: a public engineering reference page (testdata/checks/06c, TH01 to TH05). It begins at 6 in.
var roundSheet = []thicknessStep{
	{20 * duct.Inch, 26}, {30 * duct.Inch, 24}, {40 * duct.Inch, 22}, {50 * duct.Inch, 20}, {over, 18},
}

// rectSheet is for rectangular duct by its longer side, low pressure.
// Source: a public page of questions and answers on the pattern of IS 655 (testdata/checks/06c,
// TH11 to TH13); of second quality. It ends at 3 m.
var rectSheet = []thicknessStep{{751 * duct.Millimetre, 24}, {1201 * duct.Millimetre, 22}, {over, 20}}

// The ends of the two tables, and the tolerance by which 20 in out of millimetres are 20 in.
const (
	roundSheetFrom = 6 * duct.Inch
	rectSheetTo    = 3000 * duct.Millimetre
	sizeTolerance  = duct.Millimetre / 10
)

// sheetOf returns the sheet a run with a wall of that outside size is taken to be made of.
func sheetOf(r *duct.Run, s duct.Size) Sheet {
	long := max(s.Width, s.Height) + sizeTolerance
	steps, basis := rectSheet, FromTable
	switch {
	case s.IsZero():
		return Sheet{Basis: NoSize}
	case !steel(r):
		return Sheet{Basis: NotSteel}
	case s.Shape == duct.Round:
		steps = roundSheet
		if long < roundSheetFrom {
			basis = FromNearest
		}
	case s.Shape == duct.Oval:
		basis = FromLikeness
	case long > rectSheetTo+2*sizeTolerance:
		basis = FromNearest
	}
	i := 0
	for i < len(steps)-1 && long >= steps[i].below {
		i++
	}
	sheet := gauges[steps[i].gauge]
	sheet.Basis = basis
	return sheet
}

// steel reports whether a run is made of sheet steel that has a weight here.
func steel(r *duct.Run) bool {
	m, ok := loss.MaterialOf(r.Spec.Material)
	return ok && (m.Name == "galvanised" || m.Name == "spiral" || m.Name == "lined" || m.Name == "lined-sprayed")
}
