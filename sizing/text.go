package sizing

import (
	"fmt"

	"twinline/layout/duct"
)

// runName is the id of a run as people read it and the JSON prints it.
func runName(id duct.RunID) string { return fmt.Sprintf("r%d", id+1) }

// Numbers of findings and explanations are in SI, as in the JSON.

func (z *solver) text(s duct.Section) string {
	mm := func(l duct.Length) string { return fmt.Sprintf("%.4g", float64(l/duct.Millimetre)) }
	switch s.Shape {
	case duct.Rect:
		return mm(s.Width) + "x" + mm(s.Height) + " mm"
	case duct.Oval:
		return mm(s.Width) + "x" + mm(s.Height) + " mm oval"
	}
	return "ø" + mm(s.Width) + " mm"
}

func (z *solver) flowText(q duct.Flow) string {
	return fmt.Sprintf("%.4g l/s", float64(q/duct.LitrePerSecond))
}

func (z *solver) velocityText(v duct.Velocity) string { return fmt.Sprintf("%.3g m/s", float64(v)) }

func (z *solver) rateText(r duct.Rate) string { return fmt.Sprintf("%.3g Pa/m", float64(r)) }

func (z *solver) pressureText(p duct.Pressure) string { return fmt.Sprintf("%.3g Pa", float64(p)) }
