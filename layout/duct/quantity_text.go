package duct

import (
	"math"
	"strconv"
	"strings"
)

// The texts below are what a drafter reads: inch-pound units in inch drawings, SI units in
// metric ones. The Parse functions read them back.

// trimmed writes v with at most that many decimals and no zeros at the end.
func trimmed(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// Text writes q in cfm or L/s.
func (q Flow) Text(inches bool) string {
	if inches {
		return trimmed(float64(q/CubicFootPerMinute), 0) + " cfm"
	}
	return trimmed(float64(q/LitrePerSecond), 1) + " L/s"
}

// Text writes p in in.wg or Pa.
func (p Pressure) Text(inches bool) string {
	if inches {
		return trimmed(float64(p/InchOfWater), 3) + " in.wg"
	}
	return trimmed(float64(p), 1) + " Pa"
}

// Text writes v in fpm or m/s.
func (v Velocity) Text(inches bool) string {
	if inches {
		return trimmed(float64(v/FootPerMinute), 0) + " fpm"
	}
	return trimmed(float64(v), 2) + " m/s"
}

// Text writes r in in.wg/100ft or Pa/m.
func (r Rate) Text(inches bool) string {
	if inches {
		return trimmed(float64(r/InchOfWaterPerHundredFeet), 3) + " in.wg/100ft"
	}
	return trimmed(float64(r), 2) + " Pa/m"
}

// Text writes l in inches or millimetres.
func (l Length) Text(inches bool) string {
	if inches {
		return trimmed(float64(l/Inch), 2) + " in"
	}
	return trimmed(float64(l/Millimetre), 1) + " mm"
}

// eighth is the fraction of an inch elevations are rounded to; common practice.
const eighth = Inch / 8

// Level writes l as an elevation: feet, inches and eighths, or metres.
func (l Length) Level(inches bool) string {
	if !inches {
		return strconv.FormatFloat(float64(l), 'f', 3, 64) + " m"
	}
	if math.Abs(float64(l)) > mostNumber {
		return trimmed(float64(l/Foot), 0) + "'"
	}
	sign, n := "", int64(math.Round(float64(l/eighth)))
	if n < 0 {
		sign, n = "-", -n
	}
	feet, rest := n/96, n%96
	text := sign + strconv.FormatInt(feet, 10) + "'-" + strconv.FormatInt(rest/8, 10)
	if f := rest % 8; f != 0 {
		d := int64(8)
		for f%2 == 0 {
			f, d = f/2, d/2
		}
		text += " " + strconv.FormatInt(f, 10) + "/" + strconv.FormatInt(d, 10)
	}
	return text + `"`
}

// Text writes s as it is lettered: ø315, 450x250 or 550x250 oval, in inches (with the inch
// marks) or millimetres.
func (s Size) Text(inches bool) string {
	side := func(l Length) string {
		if inches {
			return trimmed(float64(l/Inch), 2) + `"`
		}
		return trimmed(float64(l/Millimetre), 1)
	}
	switch {
	case s.IsZero():
		return ""
	case s.Shape == Round:
		return "ø" + side(s.Width)
	case s.Shape == Oval:
		return side(s.Width) + "x" + side(s.Height) + " oval"
	}
	return side(s.Width) + "x" + side(s.Height)
}
