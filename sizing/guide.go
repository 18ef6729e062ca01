package sizing

import (
	"math"

	"twinline/layout/duct"
	"twinline/sizing/loss"
)

// GuideSpec is what guidance is asked for; the zero value asks for nothing.
type GuideSpec struct {
	Noise       bool // velocity and noise are asked for
	Place       loss.Place
	Criterion   int             // NC or RC of the rooms; 0 means DefaultCriterion
	Leak        loss.LeakFactor // 0: leakage is not asked for
	Conductance loss.Conductance
	Around      float64 // °C around the ducts; heat is asked for where Conductance is not 0
	Inside      float64 // °C of the air as it enters: at the unit, or at the terminals of air that flows to it
}

// DefaultCriterion is the room criterion where none is asked for: the strictest of the table.
const DefaultCriterion = 25

// Guidance is what an engineer may want to know beside sizes and pressures. It is guidance, rough where it is
// about noise, and changes no size. Slices are by the ids of the network.
type Guidance struct {
	Runs      []RunGuide
	Systems   []SystemGuide
	Terminals []float64 // °C of the air at every terminal, where heat is asked for
}

// RunGuide is the guidance on one run; removed work has none.
type RunGuide struct {
	Most    duct.Velocity // recommended for its shape, place and criterion
	Over    bool          // the run is faster
	Noise   float64       // sound power level regenerated in it, dB re 1 pW, a rough estimate; 0 where nothing flows
	Static  duct.Pressure // mean, against the room
	Leak    duct.Flow     // through its wall
	In, Out float64       // °C of the air along its flow
	Heat    duct.Power    // it gains
}

// SystemGuide is the guidance on one system.
type SystemGuide struct {
	Wall  duct.Area  // of its ducts
	Leak  duct.Flow  // which the fan moves on top of the terminals' flow
	Share float64    // of the flow of the system
	Heat  duct.Power // all ducts gain
}

// Guide works out guidance on a finished design of net.
//
// Source: velocity by place, ASHRAE Handbook Fundamentals, ch. 21, table 12; noise, VDI 2081-1:2001; leakage
// by EN 12237 and EN 1507; heat by the energy balance. See package loss.
func Guide(net *duct.Network, des *duct.Design, ask GuideSpec) *Guidance {
	g := &Guidance{Runs: make([]RunGuide, len(net.Runs)), Systems: make([]SystemGuide, len(net.Systems)),
		Terminals: make([]float64, len(net.Terminals))}
	if ask.Criterion == 0 {
		ask.Criterion = DefaultCriterion
	}
	for si := range net.Systems {
		sys := &net.Systems[si]
		out := &g.Systems[si]
		for _, id := range sys.Runs {
			g.run(net, des, ask, id)
			out.Wall += innerWall(&des.Runs[id])
			out.Leak += g.Runs[id].Leak
		}
		if sys.Flow > 0 {
			out.Share = float64(out.Leak / sys.Flow)
		}
		if ask.Conductance > 0 {
			g.heat(net, des, ask, sys)
			for _, id := range sys.Runs {
				out.Heat += g.Runs[id].Heat
			}
		}
	}
	return g
}

// run works out velocity, noise and leakage of one run.
func (g *Guidance) run(net *duct.Network, des *duct.Design, ask GuideSpec, id duct.RunID) {
	r, res, out := &net.Runs[id], &des.Runs[id], &g.Runs[id]
	if ask.Noise {
		out.Most = loss.MaxVelocity(ask.Place, res.Size.Shape, ask.Criterion)
		out.Over = res.Velocity > out.Most
	}
	if ask.Noise && res.Velocity > 0 {
		out.Noise = math.Max(0, loss.DuctNoise(res.Velocity, res.Size.Area()))
	}
	total := (des.Nodes[r.From].Total + des.Nodes[r.To].Total) / 2
	out.Static = total - loss.VelocityPressure(res.Velocity, des.Density)
	if ask.Leak > 0 {
		out.Leak = loss.Leakage(ask.Leak, out.Static, innerWall(res))
	}
}

// innerWall returns the inner surface of a run.
func innerWall(r *duct.RunResult) duct.Area { return duct.Area(r.Size.Perimeter() * r.Length) }

// heat follows the temperature of the air along its flow. Where flows join it is that of their mixture.
func (g *Guidance) heat(net *duct.Network, des *duct.Design, ask GuideSpec, sys *duct.System) {
	along := func(r *duct.Run) {
		res, out := &des.Runs[r.ID], &g.Runs[r.ID]
		out.Out = loss.HeatedTo(out.In, ask.Around, ask.Conductance, res.Size.Perimeter(), res.Length, r.Flow,
			des.Density)
		out.Heat = duct.Power(loss.HeatGain(out.In, out.Out, r.Flow, des.Density))
	}
	if sys.Air.FromUnit() {
		for _, id := range sys.Runs {
			r := &net.Runs[id]
			g.Runs[id].In = ask.Inside
			if r.Up != duct.None {
				g.Runs[id].In = g.Runs[r.Up].Out
			}
			along(r)
			if n := &net.Nodes[r.To]; n.Terminal != duct.None {
				g.Terminals[n.Terminal] = g.Runs[id].Out
			}
		}
		return
	}
	warmth := make(map[duct.RunID]float64) // sum of flow times temperature of what joins into a run
	for k := len(sys.Runs) - 1; k >= 0; k-- {
		r := &net.Runs[sys.Runs[k]]
		out := &g.Runs[r.ID]
		out.In = ask.Inside
		if n := &net.Nodes[r.From]; n.Terminal != duct.None {
			g.Terminals[n.Terminal] = ask.Inside
		} else if sum, ok := warmth[r.ID]; ok && r.Flow > 0 {
			out.In = sum / float64(r.Flow)
		}
		along(r)
		if r.Up != duct.None && r.Flow > 0 {
			warmth[r.Up] += float64(r.Flow) * out.Out
		}
	}
}
