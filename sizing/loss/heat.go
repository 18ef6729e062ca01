package loss

import (
	"math"

	"twinline/layout/duct"
)

// specificHeat is that of air, J/(kg K).
const specificHeat = 1006

// Conductance is heat through a square metre of duct wall a kelvin, W/(m2 K).
type Conductance float64

// HeatedTo returns the temperature, °C, that air of flow q and density rho with temperature in reaches
// after length l of duct with wall conductance u on the perimeter given, in surroundings of temperature
// around: around + (in - around) exp(-u P l/(rho q cp)).
//
// Source: energy balance of a duct in even surroundings.
// Valid: even u and surroundings; u on the perimeter it is multiplied with. No flow gives around.
func HeatedTo(in, around float64, u Conductance, perimeter, l duct.Length, q duct.Flow, rho duct.Density) float64 {
	if q == 0 {
		return around
	}
	ntu := float64(u) * float64(perimeter) * float64(l) / (float64(rho) * float64(q) * specificHeat)
	return around + (in-around)*math.Exp(-ntu)
}

// HeatGain returns the heat, W, that warms air of flow q and density rho from one temperature to another.
//
// Source: rho q cp (out - in), cp 1006 J/(kg K).
// Valid: dry air near 20 °C.
func HeatGain(in, out float64, q duct.Flow, rho duct.Density) float64 {
	return float64(rho) * float64(q) * specificHeat * (out - in)
}
