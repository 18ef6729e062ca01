package duct

// Design is what sizing worked out for a Network. Slices are indexed by the ids of
// the network it belongs to; entries of removed runs are their kept size, their length and zeros.
type Design struct {
	Runs      []RunResult
	Nodes     []NodeResult
	Terminals []TerminalResult
	Systems   []SystemResult
	Fittings  []Fitting // those of Assembly, with their losses
	Assembly  *Assembly // how the network is made with these sizes
	Density   Density
	Viscosity float64 // dynamic, Pa s
}

// Sizes returns the sizes of all runs, by RunID.
func (d *Design) Sizes() []Size {
	out := make([]Size, len(d.Runs))
	for i := range out {
		out[i] = d.Runs[i].Size
	}
	return out
}

// RunResult is what became of one run.
type RunResult struct {
	Size Size
	// of its centreline from node to node, as it lies at this size: drops included, elbows to their corners
	Length   Length
	Exact    Length // diameter (or equivalent diameter) before rounding to the steps; 0 where the size was kept
	Velocity Velocity
	Rate     Rate
	Friction Pressure
	Fittings Pressure
	Why      Choice // what decided its size
}

// FrictionLength returns the length friction is counted over at the run's own rate: its Length with half the arc of
// each smooth elbow in place of the way to its corner. It is zero where nothing flows.
func (r *RunResult) FrictionLength() Length {
	if r.Rate <= 0 {
		return 0
	}
	return Length(float64(r.Friction) / float64(r.Rate))
}

// Choice says what decided a size: the limit it is held to, and where that limit comes from. Of the limits the one
// that By is about is set, the others are 0.
type Choice struct {
	By       Decision
	Rate     Rate     // FrictionLimit
	Velocity Velocity // VelocityLimit
	Length   Length   // LeastSize, NoAir: the least size; HeightLimit: the height
	Aspect   float64  // AspectLimit: the longer side over the shorter
	Feeds    RunID    // WhatItFeeds: the largest run it feeds, by equivalent diameter; else None
	Source   string   // setting, note or publication
}

// Decision is what decides a size.
type Decision uint8

// The decisions. A step is the smallest that keeps within the limits; the limit named is the one that rules out a
// smaller.
const (
	Undecided     Decision = iota // removed work, and sizes that no step would do for
	NotedSize                     // kept: a note on new work says it
	ExistingSize                  // kept: existing work with its noted size
	NeckSize                      // kept: flexible duct with the size of the neck it ends on
	NoAir                         // the least size, since no air flows
	FrictionLimit                 // the step within the limit of friction
	VelocityLimit                 // the step within the limit of velocity
	LeastSize                     // the least size, which would carry more
	HeightLimit                   // of an upright size: without its limit of height another would do
	AspectLimit                   // likewise, without its limit of aspect
	WhatItFeeds                   // the step that is no smaller than what it feeds
	StaticGain                    // static regain: the gain meets the loss best
	NoStaticGain                  // static regain asked for, but no size regains the loss: by friction
	LeastCost                     // duct cost against fan energy
	Budget                        // made smaller so that less is left to throttle
	HeldOn                        // the size before it goes on, since there is no room to change it
)

// NodeResult holds the pressures at a node, relative to the room.
type NodeResult struct{ Total, Static, Velocity Pressure }

// TerminalResult is the path of one terminal.
type TerminalResult struct {
	Path     Pressure // runs and fittings from the unit to it, and its own loss
	Throttle Pressure // what its damper must take
	DamperC  float64  // loss coefficient of that damper on the velocity pressure of its run
	Damper   RunID    // the run the damper sits in
}

// SystemResult is the outcome for one system.
type SystemResult struct {
	Method    string
	Required  Pressure
	Available Pressure
	Deciding  TerminalID
	// Unthrottled is the sum over terminals of the throttling before balancing by size; equal to
	// the sum after it for methods that do not balance.
	Unthrottled Pressure
}
