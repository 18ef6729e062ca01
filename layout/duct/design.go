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
	Size     Size
	Length   Length // of its centreline from node to node, as it lies at this size: drops included, elbows to their corners
	Exact    Length // diameter (or equivalent diameter) before rounding to the steps; 0 where the size was kept
	Velocity Velocity
	Rate     Rate
	Friction Pressure
	Fittings Pressure
	Why      []Reason // why this size, in order
}

// FrictionLength returns the length friction is counted over at the run's own rate: its Length with half the arc of
// each smooth elbow in place of the way to its corner. It is zero where nothing flows.
func (r *RunResult) FrictionLength() Length {
	if r.Rate <= 0 {
		return 0
	}
	return Length(float64(r.Friction) / float64(r.Rate))
}

// Reason is one line of the explanation of a size or a number.
type Reason struct {
	What    string // what was worked out, in words
	Formula string // with symbols
	Values  string // with numbers and units
	Source  string // publication, setting or note
}

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
