// Package duct holds what a duct network is: quantities, cross-sections, the network
// as it was found in the sketch, the fittings where its runs meet, and the design, the
// sizes and pressures worked out for it. It computes no sizes and draws nothing.
package duct

import "math"

// Quantities. Inside Twinline all are SI; other units exist only at the edges, and only here.
type (
	Length   float64 // metres
	Area     float64 // square metres
	Flow     float64 // cubic metres a second
	Velocity float64 // metres a second
	Pressure float64 // pascals
	Rate     float64 // pascals a metre
	Density  float64 // kilograms a cubic metre
	Mass     float64 // kilograms
	Power    float64 // watts
)

// Exact conversions, but for the inch of water, which is that of water at 4 °C
// (NIST SP 811, appendix B), and what is derived from it.
const (
	Metre      Length = 1
	Millimetre Length = 0.001
	Centimetre Length = 0.01
	Inch       Length = 0.0254
	Foot       Length = 0.3048

	LitrePerSecond     Flow = 0.001
	CubicMetrePerHour  Flow = 1.0 / 3600
	CubicFootPerMinute Flow = Flow(Foot*Foot*Foot) / 60

	FootPerMinute Velocity = Velocity(Foot) / 60

	Pascal      Pressure = 1
	Kilopascal  Pressure = 1000
	InchOfWater Pressure = 249.08891

	PascalPerMetre            Rate = 1
	InchOfWaterPerHundredFeet Rate = Rate(InchOfWater) / Rate(100*Foot)

	PoundPerCubicFoot Density = 0.45359237 / (0.3048 * 0.3048 * 0.3048)

	Kilogram Mass = 1
	Pound    Mass = 0.45359237

	Watt     Power = 1
	Kilowatt Power = 1000
)

// Degree is a degree of arc in radians, in which all angles are.
const Degree = math.Pi / 180

// Fahrenheit returns f degrees Fahrenheit in degrees Celsius, exactly.
func Fahrenheit(f float64) float64 { return (f - 32) * 5 / 9 }

// InFahrenheit returns c degrees Celsius in degrees Fahrenheit, exactly.
func InFahrenheit(c float64) float64 { return c*9/5 + 32 }

// zeroCelsius is 0 degrees Celsius in kelvins.
const zeroCelsius = 273.15

// Kelvin returns c degrees Celsius in kelvins, exactly.
func Kelvin(c float64) float64 { return c + zeroCelsius }
