package sizing

import (
	"fmt"
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/sizing/air"
	"twinline/sizing/loss"
)

// scratch is memory kept from one evaluation to the next.
type scratch struct {
	straight []duct.Length   // by run: length of straight or curved centreline at its own size
	extra    []duct.Pressure // by run: friction along half of the elbows at its ends, at their sizes
	outward  []duct.Pressure // by run: loss from the unit to its far end
	cursor   []int32         // by run: where the next of its fittings goes
	legs     []leg
	others   []loss.Leg
}

// leg is a leg of a junction and the run it belongs to.
type leg struct {
	loss.Leg
	run duct.RunID
}

// evaluate works out what follows from the sizes: fittings and their coefficients,
// the loss of every run, and every path. The pressures at nodes follow from those, see nodes.
func (z *solver) evaluate() {
	z.choose()
	z.fittings()
	z.frictions()
	z.paths()
}

// fittings works out the loss of every fitting and adds it to that of its run.
func (z *solver) fittings() {
	fits := z.des.Fittings
	for i := range z.des.Runs {
		z.des.Runs[i].Fittings = 0
	}
	z.index()
	z.outside = z.outside[:0]
	for i := 0; i < len(fits); {
		j := i + 1
		for j < len(fits) && fits[j].Node == fits[i].Node {
			j++
		}
		legs := z.legs(fits[i:j])
		for k := i; k < j; k++ {
			f := &fits[k]
			if f.Run == duct.None || z.net.Runs[f.Run].System == duct.None {
				continue
			}
			if !z.cost(f, legs) {
				z.outside = append(z.outside, int32(k))
			}
			z.des.Runs[f.Run].Fittings += f.Loss
		}
		i = j
	}
}

// index lists the fittings of every run.
func (z *solver) index() {
	n := len(z.net.Runs)
	if z.fitFirst == nil {
		z.fitFirst = make([]int32, n+1)
		z.scratch.cursor = make([]int32, n)
	}
	clear(z.fitFirst)
	for i := range z.des.Fittings {
		if r := z.des.Fittings[i].Run; r != duct.None {
			z.fitFirst[r+1]++
		}
	}
	for i := range n {
		z.fitFirst[i+1] += z.fitFirst[i]
	}
	cursor := z.scratch.cursor
	copy(cursor, z.fitFirst)
	z.fitList = slices.Grow(z.fitList[:0], int(z.fitFirst[n]))[:z.fitFirst[n]]
	for i := range z.des.Fittings {
		if r := z.des.Fittings[i].Run; r != duct.None {
			z.fitList[cursor[r]] = int32(i)
			cursor[r]++
		}
	}
}

// ofRun returns the indices of the fittings booked on a run.
func (z *solver) ofRun(r duct.RunID) []int32 { return z.fitList[z.fitFirst[r]:z.fitFirst[r+1]] }

// isLeg reports the kinds that are one leg of a junction.
func isLeg(k duct.FittingKind) bool {
	switch k {
	case duct.Takeoff, duct.Through, duct.Wye, duct.Bullhead, duct.Cross:
		return true
	}
	return false
}

// mostLegs is how many legs of one junction are looked at. Real ones have two or three; the
// limit keeps a node with thousands from costing their square.
const mostLegs = 16

// legs returns the legs of the junction at a node, in the order of its fittings. The straight leg
// counts with the size its run goes on with: that decides between the types of junction.
// The slice is good until the next call.
func (z *solver) legs(fits []duct.Fitting) []leg {
	legs := z.scratch.legs[:0]
	for i := range fits {
		if len(legs) == mostLegs {
			break
		}
		if f := &fits[i]; isLeg(f.Kind) && f.Run != duct.None {
			legs = append(legs, leg{loss.Leg{Size: z.sizes[f.Run], Flow: z.net.Runs[f.Run].Flow, Angle: f.Angle,
				Straight: f.Kind == duct.Through, Form: f.Form}, f.Run})
		}
	}
	z.scratch.legs = legs
	return legs
}

// cost works out the loss of f. legs are those of its node. It reports whether the
// coefficient lay within the range of its source.
func (z *solver) cost(f *duct.Fitting, legs []leg) bool {
	r := &z.net.Runs[f.Run]
	own := duct.Velocity(0)
	if s := z.sizes[f.Run]; !s.IsZero() {
		own = s.Velocity(r.Flow)
	}
	pv := loss.VelocityPressure(own, z.air.Density)
	c, source, given := z.override(f)
	damper := z.damperOf(f)
	f.DamperC = damper.c
	if given && (f.Kind != duct.InlineBox || !r.Spec.HasC) {
		if f.Damper && !r.Spec.HasC {
			c, source = c+damper.c, source+"; open damper: "+damper.source
		}
		f.C, f.Reference, f.Pv, f.Loss, f.Source = c, loss.Own.String(), pv, duct.Pressure(c)*pv, source
		return true
	}
	if f.Kind == duct.InlineBox {
		f.Loss = z.boxLoss(f)
		f.C, f.Reference, f.Pv, f.Source = 0, loss.Own.String(), pv, "the loss noted at the box"
		if given {
			f.Loss += duct.Pressure(c) * pv
			f.Source += ", and " + source
		}
		if pv > 0 {
			f.C = float64(f.Loss / pv)
		}
		return true
	}
	res := z.coefficient(f, legs)
	f.C, f.Reference, f.Pv, f.Loss, f.Source = res.C, res.Reference.String(), res.Pv, res.Loss, res.Source
	if res.Reference == loss.Own && f.Own != z.sizes[f.Run] {
		f.Reference = ofFitting
	}
	return res.InRange
}

// coefficient returns what f costs by the formulas, its damper included.
func (z *solver) coefficient(f *duct.Fitting, legs []leg) loss.Result {
	c := z.caseOf(f, legs)
	switch d := z.damperOf(f); {
	case f.Damper && d.c == 0:
		plain := *f
		plain.Damper = false
		return loss.Coefficient(&plain, c, z.air)
	case d.own:
		c.Damper = d.c
	}
	return loss.Coefficient(f, c, z.air)
}

// damper is the coefficient of an open damper on its own velocity pressure, and what gave it.
type damper struct {
	c      float64
	source string
	own    bool // of the office
}

// damperOf returns the open damper just after a branch: the office's own, as "damper" among its coefficients, else that of
// an open blade. A coefficient noted for all fittings of the run holds it already.
func (z *solver) damperOf(f *duct.Fitting) damper {
	switch {
	case !f.Damper || f.Own.IsZero():
		return damper{}
	case z.net.Runs[f.Run].Spec.HasC:
		return damper{0, "counted in the note on the drawing", true}
	}
	if c, source, ok := z.ownCoefficient(f, duct.VolumeDamper); ok {
		return damper{c, source, true}
	}
	return damper{loss.Butterfly(f.Own.Shape, 0), loss.DamperSource, false}
}

// ofFitting names the velocity of a fitting that has not the size of the run its loss is booked on: of a straight leg or a bend
// before the change of size that follows it.
const ofFitting = "fitting"

// boxLoss returns the loss of the box at the node of f.
func (z *solver) boxLoss(f *duct.Fitting) duct.Pressure {
	if u := z.net.Nodes[f.Node].Unit; u != duct.None {
		return z.net.Units[u].Loss
	}
	return 0
}

// override returns the coefficient for f that a note or the office gave, the most particular first, and what
// gave it. A note is about all fittings of its run together: the first of them has it, the others none.
func (z *solver) override(f *duct.Fitting) (c float64, source string, ok bool) {
	if s := &z.net.Runs[f.Run].Spec; s.HasC {
		if z.carriesNote(f) {
			return s.C, fmt.Sprintf("note C=%g on the drawing, for all fittings of the run", s.C), true
		}
		return 0, fmt.Sprintf("counted in the note C=%g on the drawing", s.C), true
	}
	return z.ownCoefficient(f, f.Kind)
}

// ownCoefficient returns the coefficient the settings give for a kind of fitting where f is, the most particular first.
func (z *solver) ownCoefficient(f *duct.Fitting, of duct.FittingKind) (c float64, source string, ok bool) {
	if len(z.spec.Coefficients) == 0 {
		return 0, "", false
	}
	kind := of.String()
	for _, name := range [...]string{string(z.net.Runs[f.Run].Key.Part(kind)), string(z.net.Nodes[f.Node].Key.Part(kind)), kind} {
		if c, ok := z.spec.Coefficients[name]; ok {
			return c, "sizing.coefficients, \"" + name + "\"", true
		}
		if c, ok := z.spec.Coefficients[name+OnCommon]; ok && f.Main != duct.None {
			common, own := z.sizes[f.Main].Velocity(z.net.Runs[f.Main].Flow), z.sizes[f.Run].Velocity(z.net.Runs[f.Run].Flow)
			return loss.Convert(c, common, own), fmt.Sprintf("sizing.coefficients, %q: %g on the velocity pressure of the common leg", name+OnCommon, c), true
		}
	}
	return 0, "", false
}

// carriesNote reports whether f is the fitting that a coefficient noted for its run is booked on: the first of
// the run that is no box, else the box.
func (z *solver) carriesNote(f *duct.Fitting) bool {
	var first *duct.Fitting
	for _, k := range z.ofRun(f.Run) {
		g := &z.des.Fittings[k]
		if first == nil || first.Kind == duct.InlineBox {
			first = g
		}
	}
	return first != nil && first.Node == f.Node && first.Kind == f.Kind
}

// caseOf returns what the coefficient of f depends on beside its own geometry.
func (z *solver) caseOf(f *duct.Fitting, legs []leg) loss.Case {
	r := &z.net.Runs[f.Run]
	c := loss.Case{Own: r.Flow, Diverging: r.Air.FromUnit(), Roughness: z.walls[f.Run].roughness,
		Pliable: r.Pliable || r.Kind == duct.Flexible, Make: z.spec.Fittings.ElbowMake}
	if f.Main != duct.None {
		m := &z.net.Runs[f.Main]
		c.Common = m.Flow
		c.Pliable = c.Pliable && (m.Pliable || m.Kind == duct.Flexible)
		if isBend(f.Kind) && f.Own.Shape != duct.Round {
			c.Upright = upturn(m.Outward().Tangent(1), r.Outward().Tangent(0))
			c.InPlane = inPlane(f, m, r)
		}
	}
	if isLeg(f.Kind) && len(legs) > 1 {
		c.Others = z.others(f, legs)
	}
	n := &z.net.Nodes[f.Node]
	switch {
	case n.Kind == duct.Outlet && n.Terminal != duct.None:
		c.Neck = z.net.Terminals[n.Terminal].Neck
		c.Plenum = faceArea(&z.net.Terminals[n.Terminal])
		c.SideNeck = z.net.Terminals[n.Terminal].Conn == duct.ConnSide && !c.Neck.IsZero()
	case n.Kind == duct.Head && n.Unit != duct.None:
		c.Neck = z.net.Units[n.Unit].Neck
	}
	return c
}

// others returns the legs but that of f.
func (z *solver) others(f *duct.Fitting, legs []leg) []loss.Leg {
	others := z.scratch.others[:0]
	for i := range legs {
		if legs[i].run != f.Run {
			others = append(others, legs[i].Leg)
		}
	}
	z.scratch.others = others
	return others
}

// inPlane returns which side of the size of a bend lies in the plane of the bend where it begins in a
// riser: that along the turn. It is 0 where the run is no riser.
func inPlane(f *duct.Fitting, riser, out *duct.Run) duct.Length {
	if !riser.Vertical() {
		return 0
	}
	across := riser.Across
	if across == (geom.Vec{}) {
		across = geom.Vec{X: 1}
	}
	if math.Abs(out.Outward().Tangent(0).Unit().Dot(across)) >= math.Sqrt2/2 {
		return f.Own.Width
	}
	return f.Own.Height
}

// faceArea returns a size as large as the face of a terminal drawn as a block: what a duct from the side
// blows into. A face that is only a setting says nothing about the box, so it gives none.
func faceArea(t *duct.Terminal) duct.Size {
	if !t.Block || len(t.Face) < 3 {
		return duct.Size{}
	}
	twice := 0.0
	for i, a := range t.Face {
		b := t.Face[(i+1)%len(t.Face)]
		twice += (a.X-t.At.X)*(b.Y-t.At.Y) - (a.Y-t.At.Y)*(b.X-t.At.X)
	}
	side := duct.Length(math.Sqrt(math.Abs(twice) / 2))
	return duct.RectOf(side, side)
}

// upturn reports a turn from a to b that lies in a plane nearer to the vertical than to the level.
func upturn(a, b geom.Vec) bool {
	n := a.Cross(b)
	return math.Abs(n.Z) < n.Len()*math.Sqrt2/2
}

// frictions works out the friction of every run over its true centreline: the axis as it was
// drawn from corner to corner, with the arc of a smooth elbow in place of its corner. An arc
// belongs half to each of the runs it joins. Coefficients hold no wall friction, so it is
// counted once.
func (z *solver) frictions() {
	n := len(z.net.Runs)
	if z.scratch.straight == nil {
		z.scratch.straight = make([]duct.Length, n)
		z.scratch.extra = make([]duct.Pressure, n)
	}
	straight, extra := z.scratch.straight, z.scratch.extra
	for i := range straight {
		z.des.Runs[i].Length = duct.Length(z.des.Assembly.Axes[i].Len())
		straight[i], extra[i] = z.des.Runs[i].Length, 0
	}
	for i := range z.des.Fittings {
		f := &z.des.Fittings[i]
		if (f.Kind != duct.Elbow && f.Kind != duct.DropConn) || f.Radius <= 0 || f.Run == duct.None || f.Main == duct.None {
			continue
		}
		tangent, arc := halfElbow(f)
		for _, r := range [...]duct.RunID{f.Run, f.Main} {
			if z.sizes[r] == f.Own {
				straight[r] += arc - tangent
				continue
			}
			straight[r] -= tangent
			extra[r] += duct.Pressure(z.walls[r].rate(f.Own, z.net.Runs[r].Flow)) * duct.Pressure(arc)
		}
	}
	for i := range z.net.Runs {
		r, res := &z.net.Runs[i], &z.des.Runs[i]
		res.Size = z.sizes[i]
		if r.System == duct.None || res.Size.IsZero() {
			continue
		}
		res.Velocity = res.Size.Velocity(r.Flow)
		res.Rate = z.walls[i].rate(res.Size, r.Flow)
		res.Friction = duct.Pressure(res.Rate)*duct.Pressure(max(0, straight[i])) + extra[i]
		res.Fittings -= z.stack(r)
	}
}

// halfElbow returns, of half an elbow, the length of centreline from its start to the corner
// and along its arc.
func halfElbow(f *duct.Fitting) (tangent, arc duct.Length) {
	return f.Radius * duct.Length(math.Tan(f.Angle/2)), f.Radius * duct.Length(f.Angle/2)
}

// stack returns the pressure that warm air gains by rising through r, or cold air by falling.
func (z *solver) stack(r *duct.Run) duct.Pressure {
	if !z.spec.Air.StackEffect {
		return 0
	}
	return air.StackEffect(z.ambient, z.air.Density, duct.Length(r.Line.B.Z-r.Line.A.Z))
}

// paths adds up the losses from the unit to every terminal and finds the deciding one.
func (z *solver) paths() {
	if z.scratch.outward == nil {
		z.scratch.outward = make([]duct.Pressure, len(z.net.Runs))
	}
	sum := z.scratch.outward
	for si := range z.net.Systems {
		sys, res := &z.net.Systems[si], &z.des.Systems[si]
		for _, id := range sys.Runs {
			r := &z.net.Runs[id]
			sum[id] = z.des.Runs[id].Friction + z.des.Runs[id].Fittings
			if r.Up != duct.None {
				sum[id] += sum[r.Up]
			}
		}
		res.Required, res.Deciding = 0, duct.None
		for _, t := range sys.Terminals {
			tr := &z.des.Terminals[t]
			tr.Path = z.net.Terminals[t].Loss
			if r := z.runOf(t); r != duct.None {
				tr.Path += sum[r]
			}
			if res.Deciding == duct.None || tr.Path > res.Required {
				res.Required, res.Deciding = tr.Path, t
			}
		}
		for _, t := range sys.Terminals {
			z.throttle(t, res.Required)
		}
	}
}

// runOf returns the run that ends at a terminal.
func (z *solver) runOf(t duct.TerminalID) duct.RunID {
	node := z.net.Terminals[t].Node
	if node == duct.None {
		return duct.None
	}
	for _, r := range z.net.Nodes[node].Runs {
		if run := &z.net.Runs[r]; run.System != duct.None && z.net.DownNode(run) == node {
			return r
		}
	}
	return duct.None
}

// throttle works out what the damper of a terminal has to take. It sits in the first run that
// serves the terminal alone.
func (z *solver) throttle(t duct.TerminalID, required duct.Pressure) {
	tr := &z.des.Terminals[t]
	tr.Throttle, tr.DamperC, tr.Damper = required-tr.Path, 0, z.runOf(t)
	if tr.Damper == duct.None {
		return
	}
	for {
		r := &z.net.Runs[tr.Damper]
		if kind := z.net.Nodes[z.net.UpNode(r)].Kind; r.Up == duct.None || kind == duct.Branch || kind == duct.Box {
			break
		}
		tr.Damper = r.Up
	}
	tr.DamperC = loss.DamperCoefficient(tr.Throttle, z.sizes[tr.Damper], z.net.Runs[tr.Damper].Flow, z.air.Density)
}

// nodes works out the pressures at every node, relative to the room: just where the run on the
// side of the unit meets it, before the losses that lead on from there, and as if all
// throttling were at the terminals. On the suction side they are negative.
func (z *solver) nodes() {
	for i := range z.des.Nodes {
		z.des.Nodes[i] = duct.NodeResult{}
	}
	for si := range z.net.Systems {
		sys := &z.net.Systems[si]
		sign := duct.Pressure(1)
		if !sys.Air.FromUnit() {
			sign = -1
		}
		required := z.des.Systems[si].Required
		for _, id := range sys.Runs {
			r := &z.net.Runs[id]
			pv := loss.VelocityPressure(z.des.Runs[id].Velocity, z.air.Density)
			if r.Up == duct.None {
				z.des.Nodes[z.net.UpNode(r)] = nodeResult(sign*required, pv)
			}
			z.des.Nodes[z.net.DownNode(r)] = nodeResult(sign*(required-z.scratch.outward[id]), pv)
		}
	}
}

func nodeResult(total, pv duct.Pressure) duct.NodeResult {
	return duct.NodeResult{Total: total, Velocity: pv, Static: total - pv}
}
