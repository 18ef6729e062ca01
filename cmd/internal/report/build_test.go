package report

import (
	"fmt"
	"math"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/sizing"
)

// builder makes a network run by run, from each unit outwards, and a design of it that has sizes and lengths alone.
type builder struct {
	net duct.Network
	des duct.Design
}

// unit adds a supply system with its unit at a place, and returns its head.
func (b *builder) unit(at geom.Vec) duct.NodeID {
	id, unit := duct.SystemID(len(b.net.Systems)), duct.UnitID(len(b.net.Units))
	mark := fmt.Sprintf("U-%d", id+1)
	b.net.Units = append(b.net.Units, duct.Unit{ID: unit, Mark: mark})
	b.net.Systems = append(b.net.Systems, duct.System{ID: id, Name: mark, Unit: unit})
	b.des.Systems = append(b.des.Systems, duct.SystemResult{Deciding: duct.None})
	head := b.node(duct.Head, at)
	b.net.Systems[id].Head, b.net.Nodes[head].Unit = head, unit
	return head
}

// system is the one that is being built.
func (b *builder) system() *duct.System { return &b.net.Systems[len(b.net.Systems)-1] }

func (b *builder) node(kind duct.NodeKind, at geom.Vec) duct.NodeID {
	id := duct.NodeID(len(b.net.Nodes))
	b.net.Nodes = append(b.net.Nodes, duct.Node{ID: id, Kind: kind, At: at, System: b.system().ID,
		Unit: duct.None, Terminal: duct.None})
	b.des.Nodes = append(b.des.Nodes, duct.NodeResult{})
	return id
}

// run adds a run to a new node of that kind at a place, a section of its own.
func (b *builder) run(up duct.RunID, from duct.NodeID, kind duct.NodeKind, at geom.Vec, size duct.Size,
	q duct.Flow) (*duct.Run, duct.NodeID) {
	to, sys := b.node(kind, at), b.system()
	id, section := duct.RunID(len(b.net.Runs)), duct.SectionID(len(b.net.Sections))
	before := duct.SectionID(duct.None)
	if up != duct.None {
		before = b.net.Runs[up].Section
	}
	r := duct.Run{ID: id, System: sys.ID, From: from, To: to, Section: section, Up: up, Flow: q,
		Line: geom.Curve{A: b.net.Nodes[from].At, B: at}}
	b.net.Runs = append(b.net.Runs, r)
	b.des.Runs = append(b.des.Runs, duct.RunResult{Size: size, Length: duct.Length(r.Line.Len())})
	b.net.Sections = append(b.net.Sections,
		duct.Section{ID: section, System: sys.ID, Runs: []duct.RunID{id}, Up: before})
	b.net.Nodes[from].Runs, b.net.Nodes[to].Runs = append(b.net.Nodes[from].Runs, id), append(b.net.Nodes[to].Runs, id)
	sys.Runs, sys.Sections = append(sys.Runs, id), append(sys.Sections, section)
	return &b.net.Runs[id], to
}

// outlet adds a run to a new terminal.
func (b *builder) outlet(up duct.RunID, from duct.NodeID, at geom.Vec, size duct.Size,
	q duct.Flow) (*duct.Run, *duct.Terminal) {
	r, n := b.run(up, from, duct.Outlet, at, size, q)
	id, sys := duct.TerminalID(len(b.net.Terminals)), b.system()
	name := fmt.Sprintf("S-%d", id+1)
	b.net.Nodes[n].Terminal = id
	b.net.Terminals = append(b.net.Terminals,
		duct.Terminal{ID: id, Name: name, Mark: name, System: sys.ID, At: at, Flow: q, Node: n})
	b.des.Terminals = append(b.des.Terminals, duct.TerminalResult{Damper: duct.None})
	sys.Terminals, sys.Flow = append(sys.Terminals, id), sys.Flow+q
	return r, &b.net.Terminals[id]
}

// removed takes a run out of its system, as removed work is in none.
func (b *builder) removed(r *duct.Run) {
	sys := b.system()
	sys.Runs, sys.Sections = sys.Runs[:len(sys.Runs)-1], sys.Sections[:len(sys.Sections)-1]
	r.System, r.Status, r.Up, r.Section = duct.None, duct.Removed, duct.None, duct.None
}

// rows returns a network of that many systems side by side, together of about n runs: each a straight duct with a
// terminal on a branch at every joint.
func rows(systems, n int) *duct.Network {
	const each = 0.02
	b := &builder{}
	for s := range systems {
		y, count := float64(s)*50, n/systems/2
		at, up := b.unit(geom.Vec{Y: y}), duct.RunID(duct.None)
		for k := range count {
			x := float64(k+1) * 4
			main, next := b.run(up, at, duct.Branch, geom.Vec{X: x, Y: y}, duct.Size{}, each*duct.Flow(count-k+1))
			at, up = next, main.ID
			b.outlet(up, at, geom.Vec{X: x, Y: y + 4}, duct.Size{}, each)
		}
		b.outlet(up, at, geom.Vec{X: float64(count+1) * 4, Y: y}, duct.Size{}, each)
	}
	return &b.net
}

// guided is a job of one round run of 10 m, 0.1 m2 wide, with 8 m/s in it and 100 Pa of total pressure.
func guided(ask *sizing.GuideSpec) Job {
	b := &builder{}
	b.outlet(duct.None, b.unit(geom.Vec{}), geom.Vec{X: 10}, duct.RoundOf(duct.Length(math.Sqrt(0.4/math.Pi))), 0.8)
	b.des.Density, b.des.Runs[0].Velocity = 1.204, 8
	b.des.Nodes[0].Total, b.des.Nodes[1].Total = 100, 100
	return Job{Net: &b.net, Des: &b.des, Guide: ask}
}

// branched is a job small enough to add up by hand: a lined and insulated main, an existing
// branch, a flexible end with its drop, and removed work.
func branched() Job {
	v := func(x, y, z float64) geom.Vec { return geom.Vec{X: x, Y: y, Z: z} }
	dia, wide := duct.RoundOf(0.25), duct.RectOf(0.4, 0.2)
	b := &builder{}
	head := b.unit(v(0, 0, 3))
	main, tee := b.run(duct.None, head, duct.Branch, v(5, 0, 3), wide, 0.3)
	main.Spec = duct.Spec{Lining: 0.025, Insulation: 0.05}
	side, first := b.outlet(0, tee, v(5, 3, 3), dia, 0.1)
	side.Status, first.Status = duct.Existing, duct.Existing
	first.Name, first.Mark, first.At.Z, first.Loss = "=1+2", "=1+2", 2.4, 10
	flex, bend := b.run(0, tee, duct.Bend, v(7, 0, 3), dia, 0.2)
	flex.Kind, flex.Pliable = duct.Flexible, true
	drop, second := b.outlet(2, bend, v(7, 0, 2.4), dia, 0.2)
	drop.Kind, drop.Pliable, drop.Across, second.Loss = duct.Drop, true, v(1, 0, 0), 20
	gone, _ := b.run(duct.None, b.node(duct.Cap, v(0, 9, 3)), duct.Cap, v(2, 9, 3), dia, 0)
	gone.Spec.Material = "plastic"
	b.removed(gone)
	b.net.Units[0].Available, b.net.Units[0].HasAvailable = 50, true

	for i, p := range [][2]duct.Pressure{{4, 1}, {2, 3}, {5, -0.5}, {1.5, 0.25}, {0, 0}} {
		b.des.Runs[i].Friction, b.des.Runs[i].Fittings = p[0], p[1]
	}
	b.des.Terminals = []duct.TerminalResult{{Path: 20, Throttle: 11.25, DamperC: 7}, {Path: 31.25}}
	b.des.Systems = []duct.SystemResult{{Method: "equal-friction", Required: 31.25, Available: 50, Deciding: 1}}
	b.des.Fittings = []duct.Fitting{
		{Node: 0, Kind: duct.Entry, Run: 0, Main: duct.None, Own: wide, C: 0.5, Reference: "own", Loss: 1},
		{Node: 1, Kind: duct.Takeoff, Run: 1, Main: 0, Common: wide, Own: dia, Loss: 3, Damper: true},
		{Node: 1, Kind: duct.Through, Run: 2, Main: 0, Common: wide, Own: wide, Loss: -0.75},
		{Node: 1, Kind: duct.Reducer, Run: 2, Main: 0, Common: wide, Own: dia, Loss: 0.25},
		{Node: 3, Kind: duct.DropConn, Run: 3, Main: 2, Common: dia, Own: dia, Loss: 0.25},
		{Node: 2, Kind: duct.TerminalConn, Run: 1, Main: duct.None, Own: dia},
		{Node: 4, Kind: duct.TerminalConn, Run: 3, Main: duct.None, Own: dia},
		{Node: 5, Kind: duct.EndCap, Run: 4, Main: duct.None, Own: dia},
		{Node: 6, Kind: duct.EndCap, Run: 4, Main: duct.None, Own: dia},
	}
	found := diag.List{}
	found.Add(diag.RatedCrossing, [3]float64{2, 1, 3}, "2F", "A duct crosses a rated wall.", "Settle it.")
	return Job{Program: "test", File: "shed.dxf", Project: "-Boat shed", Drawing: Drawing{Units: "mm"},
		Unit: duct.Millimetre, Waste: 0.5, Net: &b.net, Des: &b.des, Found: found}
}
