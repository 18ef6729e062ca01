package loss

import (
	"math"

	"twinline/layout/duct"
)

// The range of Reynolds numbers between laminar and turbulent flow.
const (
	laminarEnd     = 2300
	turbulentStart = 4000
)

// LaminarEnd and TurbulentStart are the Reynolds numbers between which FrictionFactor is a line.
const LaminarEnd, TurbulentStart = laminarEnd, turbulentStart

const (
	colebrookTol  = 1e-14 // relative, of 1/sqrt f; gives f to better than 1e-12
	colebrookMost = 30    // steps; four are usual
	diameterTol   = 1e-13 // relative
	diameterMost  = 80
)

// Reynolds returns rho V D/mu, with D the hydraulic diameter.
//
// Source: definition; ASHRAE Handbook Fundamentals, ch. 21, eq. 20.
// Valid: always.
func Reynolds(v duct.Velocity, d duct.Length, air Air) float64 {
	return float64(air.Density) * float64(v) * float64(d) / air.Viscosity
}

// Colebrook returns the Darcy friction factor of turbulent flow for a Reynolds number and a
// relative roughness eps/D, the root of 1/sqrt f = -2 log10(eps/(3.7 D) + 2.51/(Re sqrt f)).
//
// Source: Colebrook (1939), as in ASHRAE Handbook Fundamentals, ch. 21, eq. 19.
// Valid: Re from 4000; eps/D from 0 to 0.05. Solved to 1e-12 of f.
func Colebrook(re, rel float64) float64 {
	a, b := rel/3.7, 2.51/re
	g := 8.0 // 1/sqrt f
	for range colebrookMost {
		arg := a + b*g
		step := (g + 2*math.Log10(arg)) / (1 + 2*b/(arg*math.Ln10))
		g -= step
		if math.Abs(step) < colebrookTol*g {
			break
		}
	}
	return 1 / (g * g)
}

// FrictionFactor returns the Darcy friction factor at any Reynolds number: 64/Re when
// laminar, Colebrook when turbulent, and in between a straight line in Re from the one to
// the other, so that it is continuous.
//
// Source: laminar, Hagen-Poiseuille; turbulent, Colebrook (1939), both in ASHRAE Handbook
// Fundamentals, ch. 21. The line from Re 2300 to 4000 is our own choice; no source.
// Valid: Re above 0; eps/D from 0 to 0.05. It is 0 where nothing flows.
func FrictionFactor(re, rel float64) float64 {
	switch {
	case !(re > 0):
		return 0
	case re <= laminarEnd:
		return 64 / re
	case re >= turbulentStart:
		return Colebrook(re, rel)
	}
	lo, hi := 64.0/laminarEnd, Colebrook(turbulentStart, rel)
	return lo + (hi-lo)*(re-laminarEnd)/(turbulentStart-laminarEnd)
}

// Friction is the working of a friction rate.
type Friction struct {
	Velocity  duct.Velocity
	Pv        duct.Pressure
	Hydraulic duct.Length
	Reynolds  float64
	Relative  float64 // roughness over hydraulic diameter
	Factor    float64 // Darcy
	Rate      duct.Rate
}

// FrictionOf returns the wall friction of flow q in size s with wall roughness eps, with its
// working. Sizes of every shape go by one way: hydraulic diameter 4A/P with the true mean
// velocity. The other usual way, a round duct of the equivalent diameter that carries q, reads
// 1 to 3 % higher; the usual mistake, a round duct of the hydraulic diameter that carries q,
// several times too much.
//
// Source: Darcy-Weisbach, ASHRAE Handbook Fundamentals, ch. 21, eq. 18 with the hydraulic diameter of eq. 24.
// Valid: aspect ratio up to about 8; fully developed flow. No size or no flow gives 0.
func FrictionOf(s duct.Size, q duct.Flow, eps duct.Length, air Air) Friction {
	var r Friction
	r.Hydraulic = s.Hydraulic()
	r.Velocity = s.Velocity(q)
	if r.Hydraulic <= 0 || r.Velocity == 0 {
		return r
	}
	r.Pv = VelocityPressure(r.Velocity, air.Density)
	r.Reynolds = Reynolds(r.Velocity, r.Hydraulic, air)
	r.Relative = float64(eps / r.Hydraulic)
	r.Factor = FrictionFactor(r.Reynolds, r.Relative)
	r.Rate = duct.Rate(r.Factor / float64(r.Hydraulic) * float64(r.Pv))
	return r
}

// FrictionRate returns the wall friction a metre of flow q in size s with wall roughness eps.
//
// Source: Darcy-Weisbach, ASHRAE Handbook Fundamentals, ch. 21, eq. 18.
// Valid: as FrictionOf, which shows the working.
func FrictionRate(s duct.Size, q duct.Flow, eps duct.Length, air Air) duct.Rate {
	return FrictionOf(s, q, eps, air).Rate
}

// DiameterForVelocity returns the diameter of the round duct in which flow q moves at v.
//
// Source: continuity, D = sqrt(4 Q/(pi V)).
// Valid: q and v above 0, else it is 0.
func DiameterForVelocity(q duct.Flow, v duct.Velocity) duct.Length {
	if !(q > 0) || !(v > 0) {
		return 0
	}
	return duct.Length(math.Sqrt(4 * float64(q) / (math.Pi * float64(v))))
}
