package loss

import (
	"math"

	"twinline/layout/duct"
)

// Sound levels in this file are rough estimates in decibels, power re 1 pW, pressure re 20 µPa.

// DuctNoise returns the sound power level regenerated in a straight duct: 7 + 50 lg V + 10 lg A. A rough estimate.
//
// Source: VDI 2081-1:2001, eq. 16, as quoted in a public acoustics library; the 2022 revision was not seen.
// Valid: straight duct, V above 0; -Inf where nothing flows.
func DuctNoise(v duct.Velocity, a duct.Area) float64 {
	return 7 + 50*math.Log10(float64(v)) + 10*math.Log10(float64(a))
}
