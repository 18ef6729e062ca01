// Package sizing works out how big every run is and how much pressure every piece costs.
// Solve is the only entry that decides anything; Explain says how a number came about.
package sizing

import "twinline/layout/duct"

// Method is how sizes are found.
type Method string

// The methods.
const (
	EqualFriction Method = "equal-friction"
	ConstVelocity Method = "velocity"
	StaticRegain  Method = "static-regain"
	Balanced      Method = "balanced"
	Optimised     Method = "optimised" // duct cost against fan energy; needs Spec.Costs
)

// Spec is the settings of this stage.
type Spec struct {
	Method         Method
	UpstreamMethod Method // upstream of in-line boxes; "" the same as Method
	Rate           duct.Rate
	Velocity       duct.Velocity // for ConstVelocity
	MaxVelocity    duct.Velocity // 0 none
	Velocities     ByPlace       // for ConstVelocity, where a place has its own
	MaxVelocities  ByPlace       // likewise, the limits
	Shape          duct.Shape
	MaxHeight      duct.Length // 0 none
	MaxAspect      float64
	RoundSteps     Steps
	RectSteps      Steps
	Least          duct.Length
	Air            AirSpec
	Roughness      map[string]duct.Length // by material; "" rigid duct, "flex" flexible, "lined" lined
	FlexExtended   float64                // installed over fully extended length of flexible duct, 0..1; 0 means 0.96
	Fittings       duct.FittingRules
	Costs          Costs // for Optimised
	Inches         bool  // findings speak of inches, cfm and in.wg, else of millimetres, l/s and Pa
	// Coefficients are an office's own C, on the own velocity pressure, by the name of a kind of fitting,
	// "NODE-KEY/kind" or "RUN-KEY/kind".
	Coefficients map[string]float64
}

// OnCommon ends a name in Spec.Coefficients whose value is on the velocity pressure of the common leg of the junction,
// or of the run before a fitting that has no common leg, instead of the own one.
const OnCommon = " on common"

// ByPlace is a velocity by the place of a duct in its system; 0 where the place has none of its own.
type ByPlace struct {
	Main   duct.Velocity // from the unit straight on, or with most air where no leg goes straight on
	Branch duct.Velocity // everything else
	Runout duct.Velocity // off the main, to a single terminal
}

// Steps is a series of sizes: a list, or an even step where List is empty. With neither,
// every size is a step.
type Steps struct {
	Name string
	List []duct.Length // rising
	Even duct.Length
}

// AirSpec is the state of the air.
type AirSpec struct {
	Temperature float64      // °C
	Altitude    float64      // m
	Humidity    float64      // relative, 0 to 1
	Density     duct.Density // where it is given; 0: what follows from the three above
	Ambient     float64      // °C around vertical runs, for the stack effect
	StackEffect bool
}
