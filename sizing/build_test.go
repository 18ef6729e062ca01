package sizing_test

import (
	"fmt"
	"maps"
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/sizing"
)

// piece is one run of a network written down as a tree, from the unit outwards whatever way the
// air flows: the run itself and what hangs on its far end.
type piece struct {
	key    string
	length float64 // metres
	turn   float64 // degrees it turns to the left of what it hangs on
	bulge  float64 // of an arc
	rise   float64 // metres it rises along its length; a length of nearly zero in plan is a riser

	flow duct.Flow     // not zero: a terminal is at its end
	loss duct.Pressure // of that terminal, or of the box
	neck duct.Size
	box  bool // a box is at its end
	mark string

	kind   duct.RunKind
	status duct.Status
	spec   duct.Spec
	next   []piece
}

// line, fork and to are short forms: a run, one with branches at its end, one with a terminal.
func line(key string, length, turn float64, next ...piece) piece {
	return piece{key: key, length: length, turn: turn, next: next}
}

func to(key string, length, turn float64, flow duct.Flow, loss duct.Pressure) piece {
	return piece{key: key, length: length, turn: turn, flow: flow, loss: loss, mark: key}
}

// builder makes a network of trees.
type builder struct {
	net   *duct.Network
	sys   duct.SystemID
	air   duct.Air
	place func(geom.Vec) geom.Vec // where points go: mirrored, turned
}

// network returns a network of one system.
func network(air duct.Air, root piece) *duct.Network {
	return networkAt(air, root, func(v geom.Vec) geom.Vec { return v }, false)
}

// networkAt returns a network of one system with its points moved; mirrored says that moving
// them turns left into right.
func networkAt(air duct.Air, root piece, move func(geom.Vec) geom.Vec, mirrored bool) *duct.Network {
	b := &builder{net: &duct.Network{}, air: air, place: move}
	b.system(root, geom.Vec{Z: 3}, mirrored)
	return b.net
}

// networks returns a network of one system for each root, side by side.
func networks(air duct.Air, roots ...piece) *duct.Network {
	b := &builder{net: &duct.Network{}, air: air, place: func(v geom.Vec) geom.Vec { return v }}
	for i, r := range roots {
		b.system(r, geom.Vec{Y: float64(i) * 1000, Z: 3}, false)
	}
	return b.net
}

func (b *builder) system(root piece, at geom.Vec, mirrored bool) {
	n := b.net
	unit := duct.UnitID(len(n.Units))
	n.Units = append(n.Units,
		duct.Unit{ID: unit, Key: key.Key(fmt.Sprintf("u%d", unit)), Mark: fmt.Sprintf("U-%d", unit+1), Air: b.air,
			At: b.place(at)})
	b.sys = duct.SystemID(len(n.Systems))
	head := b.node(fmt.Sprintf("head%d", b.sys), duct.Head, at)
	n.Nodes[head].Unit = unit
	n.Systems = append(n.Systems, duct.System{ID: b.sys, Name: n.Units[unit].Mark, Air: b.air, Unit: unit, Head: head})
	sign := 1.0
	if mirrored {
		sign = -1
	}
	n.Systems[b.sys].Flow = b.add(root, head, at, 0, duct.None, sign)
}

func (b *builder) node(name string, kind duct.NodeKind, at geom.Vec) duct.NodeID {
	id := duct.NodeID(len(b.net.Nodes))
	b.net.Nodes = append(b.net.Nodes,
		duct.Node{ID: id, Key: key.Key(name), Kind: kind, At: b.place(at), System: b.sys, Unit: duct.None,
			Terminal: duct.None})
	return id
}

// add adds p and all that hangs on it, and returns its flow. at and dir are where and which way,
// in degrees, what it hangs on ends.
func (b *builder) add(p piece, from duct.NodeID, at geom.Vec, dir float64, up duct.RunID, sign float64) duct.Flow {
	n := b.net
	dir += p.turn
	id := duct.RunID(len(n.Runs))
	end := at.Add(geom.Direction(dir * math.Pi / 180).Scale(p.length))
	end.Z += p.rise
	if p.bulge != 0 {
		dir += 2 * math.Atan(p.bulge) * 180 / math.Pi // the chord is at half of the sweep; the end at all of it
	}
	node := b.node("n-"+p.key, b.kindOf(p), end)
	run := duct.Run{ID: id, Key: key.Key(p.key), Handles: []string{p.key}, System: b.sys, Air: b.air, Status: p.status,
		Kind:    p.kind,
		Pliable: p.kind == duct.Flexible, Up: up, Spec: p.spec, From: from, To: node,
		Line: geom.Curve{A: b.place(at), B: b.place(end), Bulge: p.bulge * sign}, Across: geom.Vec{X: 1}}
	if !b.air.FromUnit() {
		run.From, run.To, run.Line = node, from, run.Line.Reverse()
	}
	n.Runs = append(n.Runs, run)
	n.Nodes[from].Runs = append(n.Nodes[from].Runs, id)
	n.Nodes[node].Runs = append(n.Nodes[node].Runs, id)
	sys := &n.Systems[b.sys]
	sys.Runs = append(sys.Runs, id)
	n.Runs[id].Section = b.section(id, p)
	flow := p.flow
	if p.flow > 0 {
		t := duct.TerminalID(len(n.Terminals))
		n.Terminals = append(n.Terminals,
			duct.Terminal{ID: t, Key: key.Key("t-" + p.key), Handle: "t-" + p.key, Mark: p.mark, Name: p.mark,
				System: b.sys,
				Air:    b.air, Status: p.status, At: b.place(end), Neck: p.neck, Flow: p.flow, Loss: p.loss,
				Node: node})
		n.Nodes[node].Terminal = t
		sys.Terminals = append(sys.Terminals, t)
	}
	if p.box {
		u := duct.UnitID(len(n.Units))
		n.Units = append(n.Units,
			duct.Unit{ID: u, Key: key.Key("u-" + p.key), Mark: p.mark, Air: b.air, At: b.place(end), Loss: p.loss})
		n.Nodes[node].Unit = u
	}
	for _, c := range p.next {
		flow += b.add(c, node, end, dir, id, sign)
	}
	n.Runs[id].Flow = flow
	return flow
}

func (b *builder) kindOf(p piece) duct.NodeKind {
	switch {
	case p.box:
		return duct.Box
	case p.flow > 0:
		return duct.Outlet
	case len(p.next) > 1:
		return duct.Branch
	case len(p.next) == 1:
		return duct.Bend
	}
	return duct.Cap
}

// section puts run id into that of the run it hangs on, or into one of its own.
func (b *builder) section(id duct.RunID, p piece) duct.SectionID {
	n := b.net
	r := &n.Runs[id]
	up := duct.SectionID(duct.None)
	if r.Up != duct.None {
		o := &n.Runs[r.Up]
		up = o.Section
		if n.Nodes[n.UpNode(r)].Kind == duct.Bend && o.Status == r.Status && o.Kind == r.Kind && o.Spec == r.Spec {
			n.Sections[up].Runs = append(n.Sections[up].Runs, id)
			return up
		}
	}
	s := duct.SectionID(len(n.Sections))
	n.Sections = append(n.Sections, duct.Section{ID: s, System: b.sys, Runs: []duct.RunID{id}, Up: up})
	n.Systems[b.sys].Sections = append(n.Systems[b.sys].Sections, s)
	return s
}

// run, terminal and node return what has that key or mark; they stop the test program where nothing has.
func run(net *duct.Network, name string) *duct.Run {
	for i := range net.Runs {
		if string(net.Runs[i].Key) == name {
			return &net.Runs[i]
		}
	}
	panic("no run " + name)
}

func terminal(net *duct.Network, name string) *duct.Terminal {
	for i := range net.Terminals {
		if net.Terminals[i].Name == name {
			return &net.Terminals[i]
		}
	}
	panic("no terminal " + name)
}

// litres returns a flow in litres a second, mm a length.
func litres(q float64) duct.Flow { return duct.Flow(q) * duct.LitrePerSecond }

func mm(v ...float64) []duct.Length {
	out := make([]duct.Length, len(v))
	for i, x := range v {
		out[i] = duct.Length(x) * duct.Millimetre
	}
	return out
}

// en1506 are the recommended and intermediate round sizes the generated networks were rounded to.
// Source: EN 1506; as listed by the program that made them.
var en1506 = mm(80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600)

// metric are settings as a metric office has them.
func metric() sizing.Spec {
	steps := sizing.Steps{Name: "EN 1506", List: en1506}
	sides := sizing.Steps{Name: "EN 1505",
		List: mm(100, 150, 200, 250, 300, 400, 500, 600, 800, 1000, 1200, 1400, 1600, 1800, 2000)}
	return sizing.Spec{Method: sizing.EqualFriction, Rate: 0.65, Velocity: 4.5, MaxVelocity: 7.5, MaxAspect: 4,
		RoundSteps: steps, RectSteps: sides, Least: 0.1, Air: sizing.AirSpec{Temperature: 20}, Fittings: rules()}
}

// rules are how fittings are made.
func rules() duct.FittingRules {
	return duct.FittingRules{ElbowRound: 1.5, ElbowRect: 1.5, ElbowLeast: 0.75, MitreVanes: true,
		ReducerAngle: 30 * math.Pi / 180, ReducerLeast: 0.1, TakeoffRound: duct.Plain, TakeoffRect: duct.Entry45,
		FlexibleRadius: 1, FlexibleMost: 2}
}

// quiet are coefficients that leave every fitting without loss but those asked for.
func quiet(own map[string]float64) map[string]float64 {
	out := map[string]float64{}
	for k := range duct.FittingKinds {
		out[k.String()] = 0
	}
	maps.Copy(out, own)
	return out
}
