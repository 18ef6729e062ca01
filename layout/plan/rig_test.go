package plan

import (
	"fmt"
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/sketchtest"
)

// rig builds networks for tests: points, and runs between them from the unit outwards, by rows of text (sketched) or,
// where their places are worked out, one by one.
// Fittings are chosen by plain rules of its own, so that what is drawn is judged against
// geometry written down here.
type rig struct {
	net   duct.Network
	sizes []duct.Size
	air   duct.Air
	rules duct.FittingRules
	kind  map[duct.NodeID]duct.FittingKind // of bends; a smooth elbow where nothing is said
	form  duct.TakeoffForm
}

func newRig(air duct.Air) *rig {
	return &rig{air: air, kind: map[duct.NodeID]duct.FittingKind{},
		rules: duct.FittingRules{ElbowRound: 1, ElbowRect: 1, ElbowLeast: 0.6, ReducerLeast: 0.1,
			ReducerAngle: math.Pi / 6, FlexibleRadius: 1}}
}

func (g *rig) node(x, y, z float64) duct.NodeID {
	id := duct.NodeID(len(g.net.Nodes))
	g.net.Nodes = append(g.net.Nodes, duct.Node{ID: id, Key: key.Key(fmt.Sprintf("n%d", id)),
		At: geom.Vec{X: x, Y: y, Z: z}, Kind: duct.Cap,
		Unit: duct.None, Terminal: duct.None, System: duct.None})
	return id
}

// run adds a run that leads outwards from a to b; the line goes the way the air goes.
func (g *rig) run(a, b duct.NodeID, size duct.Size, change ...func(*duct.Run)) *duct.Run {
	id := duct.RunID(len(g.net.Runs))
	r := duct.Run{ID: id, Key: key.Key(fmt.Sprintf("r%d", id)), Air: g.air, From: a, To: b, System: duct.None,
		Section: duct.None, Up: duct.None}
	r.Line = geom.Curve{A: g.net.Nodes[a].At, B: g.net.Nodes[b].At}
	r.Across = geom.Vec{X: 1}
	for _, f := range change {
		f(&r)
	}
	if !r.Air.FromUnit() {
		r.From, r.To, r.Line = b, a, r.Line.Reverse()
	}
	g.net.Runs = append(g.net.Runs, r)
	g.sizes = append(g.sizes, size)
	for _, n := range []duct.NodeID{a, b} {
		g.net.Nodes[n].Runs = append(g.net.Nodes[n].Runs, id)
	}
	return &g.net.Runs[id]
}

func bulged(b float64) func(*duct.Run) { return func(r *duct.Run) { r.Line.Bulge = b } }
func flexible(r *duct.Run)             { r.Kind, r.Pliable = duct.Flexible, true }
func airOf(a duct.Air) func(*duct.Run) { return func(r *duct.Run) { r.Air = a } }

// sketched reads ducts, units and terminals at elevation 3: every piece of a duct is a run, ends at one place are one
// node. Nothing has to hang from a unit, so package network is not asked.
func sketched(t sketchtest.T, air duct.Air, format string, args ...any) *rig {
	t.Helper()
	d := sketchtest.Parse(t, fmt.Sprintf("air %s; level 3", air))
	d.Addf(t, format, args...)
	g := newRig(air)
	at := func(v geom.Vec) duct.NodeID {
		i := slices.IndexFunc(g.net.Nodes, func(n duct.Node) bool { return n.At == v })
		if i < 0 {
			return g.node(v.X, v.Y, v.Z)
		}
		return duct.NodeID(i)
	}
	for _, l := range d.Sketch.Lines {
		for _, c := range l.Path.Curves(l.Closed) {
			from, up := at(c.A), duct.RunID(duct.None)
			for _, id := range g.net.Nodes[from].Runs {
				if g.net.DownNode(&g.net.Runs[id]) == from {
					up = id
				}
			}
			g.run(from, at(c.B), d.Sizes[l.Handle], func(r *duct.Run) {
				r.Line, r.Air, r.Status, r.Up, r.Handles = c, l.Air, l.Status, up, []string{l.Handle}
				if l.Flex {
					flexible(r)
				}
				for _, n := range l.Notes {
					r.Spec = n.Spec
				}
			})
		}
	}
	for _, u := range d.Sketch.Units {
		g.unit(at(u.At), (u.Outline[2].X-u.Outline[0].X)/2)
	}
	for _, x := range d.Sketch.Terminals {
		g.terminal(at(x.At), (x.Face[2].X-x.Face[0].X)/2)
	}
	return g
}

// unit puts a square unit of half side h at a node, terminal a face.
func (g *rig) unit(n duct.NodeID, h float64) {
	g.net.Nodes[n].Kind, g.net.Nodes[n].Unit = duct.Head, duct.UnitID(len(g.net.Units))
	c := g.net.Nodes[n].At
	g.net.Units = append(g.net.Units, duct.Unit{ID: g.net.Nodes[n].Unit, Key: key.Key(fmt.Sprintf("u%d", n)), At: c,
		Outline: square(c, h), Air: g.air})
}

func (g *rig) terminal(n duct.NodeID, h float64) {
	g.net.Nodes[n].Kind, g.net.Nodes[n].Terminal = duct.Outlet, duct.TerminalID(len(g.net.Terminals))
	c := g.net.Nodes[n].At
	g.net.Terminals = append(g.net.Terminals, duct.Terminal{ID: g.net.Nodes[n].Terminal,
		Key: key.Key(fmt.Sprintf("t%d", n)), At: c, Face: square(c, h),
		Air: g.air, Mark: fmt.Sprintf("S-%d", n), Name: fmt.Sprintf("S-%d", n), Node: n, System: duct.None, Flow: 0.1})
}

func square(c geom.Vec, h float64) []geom.Vec {
	return []geom.Vec{c.Add(geom.Vec{X: -h, Y: -h}), c.Add(geom.Vec{X: h, Y: -h}), c.Add(geom.Vec{X: h, Y: h}),
		c.Add(geom.Vec{X: -h, Y: h})}
}

// design chooses the fittings and returns what Draw needs.
func (g *rig) design() (*duct.Network, *duct.Design) {
	des := &duct.Design{Runs: make([]duct.RunResult, len(g.net.Runs)),
		Terminals: make([]duct.TerminalResult, len(g.net.Terminals))}
	for i, s := range g.sizes {
		des.Runs[i].Size, des.Runs[i].Length = s, duct.Length(g.net.Runs[i].Line.Len())
	}
	for i := range g.net.Nodes {
		n := &g.net.Nodes[i]
		if n.Kind == duct.Cap && len(n.Runs) == 2 {
			n.Kind = duct.Bend
		}
		if n.Kind == duct.Cap && len(n.Runs) > 2 {
			n.Kind = duct.Branch
		}
		des.Fittings = append(des.Fittings, g.fittings(n)...)
	}
	des.Assembly = fitting.Assemble(&g.net, g.sizes, des.Fittings)
	return &g.net, des
}

// ends returns what the runs at a unit, a terminal or the end of a duct end with.
func (g *rig) ends(n *duct.Node) []duct.Fitting {
	var out []duct.Fitting
	for _, id := range n.Runs {
		f := duct.Fitting{Node: n.ID, Kind: duct.Entry, Run: id, Main: duct.None, Own: g.sizes[id], At: n.At}
		switch n.Kind {
		case duct.Outlet:
			f.Kind = duct.TerminalConn
		case duct.Cap:
			f.Kind = duct.EndCap
		}
		out = append(out, f)
	}
	return out
}

func (g *rig) fittings(n *duct.Node) []duct.Fitting {
	if n.Kind != duct.Bend && n.Kind != duct.Branch {
		return g.ends(n)
	}
	var main *duct.Run
	var legs []*duct.Run
	for _, id := range n.Runs {
		r := &g.net.Runs[id]
		if g.net.DownNode(r) == n.ID && main == nil {
			main = r
		} else {
			legs = append(legs, r)
		}
	}
	if main == nil {
		return nil
	}
	m := main.Outward()
	u, common := m.Tangent(1), g.sizes[main.ID]
	var out []duct.Fitting
	straight := 0
	for _, r := range legs {
		turn := geom.TurnBetween(u, r.Outward().Tangent(0))
		f := duct.Fitting{Node: n.ID, Run: r.ID, Main: main.ID, Common: common, Own: g.sizes[r.ID], Angle: turn,
			At: n.At}
		change := f
		switch {
		case len(legs) == 1 && turn < geom.Straight:
			f.Kind = duct.StraightJoint
		case len(legs) == 1:
			f.Kind, f.Own = g.kind[n.ID], common
			if f.Kind == duct.Elbow {
				f.Radius = duct.Length(g.rules.ElbowRound) * common.Width
				if r.Pliable && main.Pliable {
					f.Radius = duct.Length(g.rules.FlexibleRadius) * common.Width
				}
			}
		case turn < math.Pi/12:
			f.Kind = duct.Through
			straight++
		default:
			f.Kind, f.Form = duct.Takeoff, g.form
			switch f.Form {
			case duct.Conical:
				f.Length = 0.1
			case duct.Entry45:
				f.Length = f.Own.Width / 4
			}
		}
		out = append(out, f)
		if (f.Kind != duct.Takeoff) && change.Common != change.Own && !r.Vertical() {
			change.Kind = duct.Reducer
			if change.Own.Area() > change.Common.Area() {
				change.Kind = duct.Expander
			}
			d := math.Abs(float64(change.Common.Width - change.Own.Width))
			change.Length = duct.Length(math.Max(0.1, d/2/math.Tan(g.rules.ReducerAngle/2)))
			out = append(out, change)
		}
	}
	if n.Kind == duct.Branch && straight == 0 {
		for i := range out {
			if out[i].Kind == duct.Takeoff {
				out[i].Kind, out[i].Form = duct.Wye, duct.Plain
			}
		}
	}
	return out
}
