package report

import (
	"math"

	"twinline/layout/duct"
	"twinline/sizing/loss"
)

// gauge is a step of galvanised sheet.
type gauge struct {
	thickness duct.Length // nominal, with the coating
	mass      float64     // kilograms a square metre
}

// gauges are the sheets the thickness tables below ask for.
// Source: ASTM A525-80, as quoted by a published duct weight worksheet (testdata/checks/06b).
var gauges = map[int]gauge{
	26: {0.551 * duct.Millimetre, 4.42},
	24: {0.701 * duct.Millimetre, 5.64},
	22: {0.853 * duct.Millimetre, 6.86},
	20: {1.006 * duct.Millimetre, 8.08},
	18: {1.311 * duct.Millimetre, 10.52},
}

// thicknessStep says which gauge holds for sizes below a size.
type thicknessStep struct {
	below duct.Length
	gauge int
}

// roundSheet is for round duct by its diameter, heating and general ventilation, low pressure.
// Source: a public engineering reference page (testdata/checks/06c, TH01 to TH05). It begins at 6 in.
var roundSheet = []thicknessStep{
	{20 * duct.Inch, 26}, {30 * duct.Inch, 24}, {40 * duct.Inch, 22}, {50 * duct.Inch, 20}, {duct.Length(math.Inf(1)), 18},
}

// rectSheet is for rectangular duct by its longer side, low pressure.
// Source: a public page of questions and answers on the pattern of IS 655 (testdata/checks/06c,
// TH11 to TH13); of second quality. It ends at 3 m.
var rectSheet = []thicknessStep{
	{751 * duct.Millimetre, 24}, {1201 * duct.Millimetre, 22}, {duct.Length(math.Inf(1)), 20},
}

// The ends of the two tables.
const (
	roundSheetFrom duct.Length = 6 * duct.Inch
	rectSheetTo    duct.Length = 3000 * duct.Millimetre
)

// How the thickness of a sheet was found.
const (
	fromTable     = "table"
	fromNearest   = "nearest row of the table"
	fromLikeness  = "as rectangular"
	fromNoSheet   = "not sheet steel"
	slackOfInches = duct.Millimetre / 10 // so that 20 in out of millimetres are 20 in
)

// sheetOf returns the sheet a duct is taken to be made of and where that comes from.
func sheetOf(s duct.Size) (g gauge, basis string) {
	long := max(s.Width, s.Height) + slackOfInches
	steps, basis := rectSheet, fromTable
	switch {
	case s.Shape == duct.Round:
		steps = roundSheet
		if long < roundSheetFrom {
			basis = fromNearest
		}
	case s.Shape == duct.Oval:
		basis = fromLikeness
	case long > rectSheetTo+2*slackOfInches:
		basis = fromNearest
	}
	for _, step := range steps {
		if long < step.below {
			return gauges[step.gauge], basis
		}
	}
	return gauges[steps[len(steps)-1].gauge], basis
}

// steel reports whether a run is made of sheet steel that has a weight here.
func steel(r *duct.Run) bool {
	m, ok := loss.MaterialOf(r.Spec.Material)
	return ok && (m.Name == "galvanised" || m.Name == "spiral" || m.Name == "lined" || m.Name == "lined-sprayed")
}

// shellOf returns the size of the sheet around a run: its clear size and the lining.
func shellOf(s duct.Size, lining duct.Length) duct.Size {
	if s.IsZero() {
		return s
	}
	s.Width += 2 * lining
	s.Height += 2 * lining
	return s
}
