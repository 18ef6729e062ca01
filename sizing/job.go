package sizing

import (
	"strings"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/words"
	"twinline/sizing/air"
	"twinline/sizing/loss"
)

// Defaults of the settings of this package where they say nothing.
const (
	// defaultExtended is how far flexible duct is stretched. Common practice: nearly straight.
	defaultExtended = 0.96
	// leastFlow is the smallest flow that counts as one, in cubic metres a second.
	leastFlow = 1e-9
)

// job is what is asked for, and what follows from it before any size is known. It does not change.
type job struct {
	net     *duct.Network
	spec    Spec
	words   words.Words
	air     loss.Air
	ambient duct.Density // of the air around vertical runs
	walls   []wall       // by run
}

func newJob(net *duct.Network, spec Spec) *job {
	altitude := duct.Length(spec.Air.Altitude)
	state := air.Of(spec.Air.Temperature, altitude, spec.Air.Humidity)
	j := &job{net: net, spec: spec, words: words.In(spec.Inches), walls: make([]wall, len(net.Runs)),
		air:     loss.Air{Density: state.Density, Viscosity: state.Viscosity},
		ambient: air.Of(spec.Air.Ambient, altitude, spec.Air.Humidity).Density}
	if spec.Air.Density > 0 {
		j.air.Density = spec.Air.Density
	}
	for i := range net.Runs {
		j.walls[i] = spec.wall(&net.Runs[i], &j.air)
	}
	return j
}

// firstRun returns the run of a section nearest to the unit.
func (j *job) firstRun(id duct.SectionID) *duct.Run { return &j.net.Runs[j.net.Sections[id].Runs[0]] }

// lastRun returns the run of a section farthest from the unit.
func (j *job) lastRun(id duct.SectionID) *duct.Run {
	runs := j.net.Sections[id].Runs
	return &j.net.Runs[runs[len(runs)-1]]
}

// endOf returns the node at the far end of a section.
func (j *job) endOf(id duct.SectionID) *duct.Node { return &j.net.Nodes[j.net.DownNode(j.lastRun(id))] }

// terminalOf returns the terminal a section ends on, nil where it ends on none.
func (j *job) terminalOf(id duct.SectionID) *duct.Terminal {
	if n := j.endOf(id); n.Kind == duct.Outlet && n.Terminal != duct.None {
		return &j.net.Terminals[n.Terminal]
	}
	return nil
}

// runOf returns the run that ends at a terminal.
func (j *job) runOf(t duct.TerminalID) duct.RunID {
	node := j.net.Terminals[t].Node
	if node == duct.None {
		return duct.None
	}
	for _, r := range j.net.Nodes[node].Runs {
		if run := &j.net.Runs[r]; run.System != duct.None && j.net.DownNode(run) == node {
			return r
		}
	}
	return duct.None
}

// pathTo returns the sections from a terminal to the unit.
func (j *job) pathTo(t duct.TerminalID) func(yield func(duct.SectionID) bool) {
	return func(yield func(duct.SectionID) bool) {
		r := j.runOf(t)
		if r == duct.None {
			return
		}
		for s := j.net.Runs[r].Section; s != duct.None && yield(s); s = j.net.Sections[s].Up {
		}
	}
}

// stack returns the pressure that warm air gains by rising through r, or cold air by falling.
func (j *job) stack(r *duct.Run) duct.Pressure {
	if !j.spec.Air.StackEffect {
		return 0
	}
	return air.StackEffect(j.ambient, j.air.Density, duct.Length(r.Line.B.Z-r.Line.A.Z))
}

// pv returns the velocity pressure of q in s.
func (j *job) pv(s duct.Size, q duct.Flow) duct.Pressure {
	return loss.VelocityPressure(s.Velocity(q), j.air.Density)
}

// wall is what the friction of a duct depends on beside its size.
type wall struct {
	roughness duct.Length
	extended  float64 // flexible: installed over fully extended length; 0 not flexible
	air       *loss.Air
}

// rate returns the friction a metre of q in s.
func (w wall) rate(s duct.Size, q duct.Flow) duct.Rate {
	r := loss.FrictionRate(s, q, w.roughness, *w.air)
	if w.extended > 0 {
		r *= duct.Rate(loss.Compression(s.Equivalent(), w.extended))
	}
	return r
}

// wall returns the wall of a run. Flexible duct is worked out at its own roughness whatever its
// material is called, since its compression factor was measured against that.
func (spec *Spec) wall(r *duct.Run, air *loss.Air) wall {
	w := wall{roughness: spec.material(r).Roughness, air: air}
	if r.Pliable || r.Kind == duct.Flexible {
		w.extended = spec.FlexExtended
		if w.extended <= 0 || w.extended > 1 {
			w.extended = defaultExtended
		}
	}
	return w
}

// material returns the material of a run: its flexible duct, its noted material, its lining, or rigid duct. Its
// roughness is that of the settings, which may call it by another of its names ("galvanised" is rigid duct nothing is
// noted of), and then it has no name; else that of its source.
func (spec *Spec) material(r *duct.Run) loss.Material {
	name := materialName(r)
	m, known := loss.MaterialOf(name)
	if len(spec.Roughness) > 0 {
		names := []string{strings.ToLower(name)}
		if known {
			names = append(append(names, m.Name), loss.Names(m.Name)...)
		}
		for _, other := range names {
			if e, ok := spec.Roughness[other]; ok {
				return loss.Material{Roughness: e, Source: "sizing.roughness in the settings"}
			}
		}
	}
	if !known {
		m, _ = loss.MaterialOf("")
	}
	return m
}

// materialName returns what the wall of a run is called.
func materialName(r *duct.Run) string {
	switch {
	case r.Pliable || r.Kind == duct.Flexible:
		return "flex"
	case r.Spec.Material != "":
		return r.Spec.Material
	case r.Spec.Lining > 0:
		return "lined"
	}
	return ""
}

func at(v geom.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }
