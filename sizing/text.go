package sizing

import (
	"fmt"

	"twinline/layout/duct"
)

// runName is the id of a run as people read it and the JSON prints it.
func runName(id duct.RunID) string { return fmt.Sprintf("r%d", id+1) }

// units writes quantities for findings, in the units of the drawing's office. The JSON and
// Explain are in SI.
type units struct{ inches bool }

func (u units) side(l duct.Length) string {
	if u.inches {
		return fmt.Sprintf("%.4g", float64(l/duct.Inch))
	}
	return fmt.Sprintf("%.4g", float64(l/duct.Millimetre))
}

// length writes a length of the order of a duct size.
func (u units) length(l duct.Length) string {
	if u.inches {
		return u.side(l) + " in"
	}
	return u.side(l) + " mm"
}

// far writes a length of the order of a run.
func (u units) far(l duct.Length) string {
	if u.inches {
		return fmt.Sprintf("%.3g ft", float64(l/duct.Foot))
	}
	return fmt.Sprintf("%.3g m", float64(l))
}

func (u units) section(s duct.Section) string {
	unit := " mm"
	if u.inches {
		unit = " in"
	}
	switch s.Shape {
	case duct.Rect:
		return u.side(s.Width) + "x" + u.side(s.Height) + unit
	case duct.Oval:
		return u.side(s.Width) + "x" + u.side(s.Height) + unit + " oval"
	}
	return "ø" + u.side(s.Width) + unit
}

func (u units) flow(q duct.Flow) string {
	if u.inches {
		return fmt.Sprintf("%.4g cfm", float64(q/duct.CubicFootPerMinute))
	}
	return fmt.Sprintf("%.4g l/s", float64(q/duct.LitrePerSecond))
}

func (u units) velocity(v duct.Velocity) string {
	if u.inches {
		return fmt.Sprintf("%.4g fpm", float64(v/duct.FootPerMinute))
	}
	return fmt.Sprintf("%.3g m/s", float64(v))
}

func (u units) rate(r duct.Rate) string {
	if u.inches {
		return fmt.Sprintf("%.3g in.wg/100ft", float64(r/duct.InchOfWaterPerHundredFeet))
	}
	return fmt.Sprintf("%.3g Pa/m", float64(r))
}

func (u units) pressure(p duct.Pressure) string {
	if u.inches {
		return fmt.Sprintf("%.3g in.wg", float64(p/duct.InchOfWater))
	}
	return fmt.Sprintf("%.3g Pa", float64(p))
}
