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

// DuctNoiseBand returns DuctNoise in the octave band of middle frequency f, Hz: -2 - 26 lg(1.14 + 0.02 f/V) on it.
//
// Source: VDI 2081-1:2001, figure 16 as fitted in a public acoustics library.
// Valid: 63 to 8000 Hz.
func DuctNoiseBand(v duct.Velocity, a duct.Area, f float64) float64 {
	return DuctNoise(v, a) - 2 - 26*math.Log10(1.14+0.02*f/float64(v))
}

// DuctNoiseSimple returns the sound power level regenerated in a straight duct in an older form that
// lies 3 dB higher: 10 + 50 lg V + 10 lg A.
//
// Source: public engineering reference page with two worked examples.
// Valid: as DuctNoise.
func DuctNoiseSimple(v duct.Velocity, a duct.Area) float64 {
	return 10 + 50*math.Log10(float64(v)) + 10*math.Log10(float64(a))
}

// damperK is K of DamperNoise by blade angle in degrees.
var damperK = table{{0, 44}, {15, 53}, {45, 65}}

// DamperNoise returns the sound power level a single-blade damper regenerates with its blade at angle:
// K + 10 lg A + 55 lg V - 45. A rough estimate.
//
// Source: Woods Practical Guide to Noise Control, table 5.2, as quoted in a public help page.
// Valid: 0 to 45 degrees; K between its three entries is linear, our own choice.
func DamperNoise(angle float64, v duct.Velocity, a duct.Area) float64 {
	return damperK.at(angle/degree) + 10*math.Log10(float64(a)) + 55*math.Log10(float64(v)) - 45
}

// DamperNoiseOpen returns the overall level a butterfly damper regenerates in another form,
// -5 + 10 lg A + 60 lg V, its spectrum and turbulence terms left out.
//
// Source: CIBSE guide form as quoted in a public help page.
// Valid: second opinion on DamperNoise.
func DamperNoiseOpen(v duct.Velocity, a duct.Area) float64 {
	return -5 + 10*math.Log10(float64(a)) + 60*math.Log10(float64(v))
}

// RoomStep returns by how much the sound pressure level at distance r from an outlet lies below its
// power level: -10 lg(q/(4 pi r^2) + 4/absorption), q the directivity, absorption in m2.
//
// Source: VDI 2081-1:2001, eq. 36.
// Valid: diffuse field; r and absorption above 0.
func RoomStep(r duct.Length, absorption duct.Area, q float64) float64 {
	return -10 * math.Log10(q/(4*math.Pi*float64(r)*float64(r))+4/float64(absorption))
}

// AddLevels returns the level of sources that sound together.
//
// Source: energy sum.
// Valid: incoherent sources; -Inf for none.
func AddLevels(levels ...float64) float64 {
	sum := 0.0
	for _, l := range levels {
		sum += math.Pow(10, l/10)
	}
	return 10 * math.Log10(sum)
}
