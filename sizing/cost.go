package sizing

import (
	"fmt"
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/sizing/loss"
)

// mostLegs is how many legs of one junction are looked at. Real ones have two or three; the
// limit keeps a node with thousands from costing their square.
const mostLegs = 16

// ofFitting names the velocity of a fitting that has not the size of the run its loss is booked on: of a straight leg
// or a bend before the change of size that follows it.
const ofFitting = "fitting"

// leg is a leg of a junction and the run it belongs to.
type leg struct {
	loss.Leg
	run duct.RunID
}

// legsOf returns the legs of the junction of some fittings at one node, in their order. The straight leg
// counts with the size its run goes on with: that decides between the types of junction.
// The slice is good until the next call.
func (e *evaluation) legsOf(fits []duct.Fitting) []leg {
	legs := e.legs[:0]
	for i := range fits {
		if len(legs) == mostLegs {
			break
		}
		if f := &fits[i]; f.Kind.Is(duct.LegFamily) && f.Run != duct.None {
			legs = append(legs, leg{loss.Leg{Size: e.runs[f.Run], Flow: e.net.Runs[f.Run].Flow, Angle: f.Angle,
				Straight: f.Kind == duct.Through, Form: f.Form}, f.Run})
		}
	}
	e.legs = legs
	return legs
}

// legsAt returns the legs of the junction f is a leg of; none where it is no leg.
func (e *evaluation) legsAt(f *duct.Fitting) []leg {
	if !f.Kind.Is(duct.LegFamily) {
		return nil
	}
	return e.legsOf(e.des.Assembly.Nodes[f.Node].Fittings)
}

// again works out the coefficient of f with its working.
func (e *evaluation) again(f *duct.Fitting) loss.Result { return e.coefficient(f, e.legsAt(f)) }

// cost works out the loss of f. legs are those of its node. It reports whether the
// coefficient lay within the range of its source.
func (e *evaluation) cost(f *duct.Fitting, legs []leg) bool {
	r := &e.net.Runs[f.Run]
	noted := r.Spec.HasC
	c, source, given := e.override(f)
	damper := e.damperOf(f)
	f.DamperC = damper.c
	f.Pv, f.Reference = 0, loss.Own.String()
	if s := e.runs[f.Run]; !s.IsZero() {
		f.Pv = e.pv(s, r.Flow)
	}
	switch {
	case given && (f.Kind != duct.InlineBox || !noted):
		if f.Damper && !noted {
			c, source = c+damper.c, source+"; open damper: "+damper.source
		}
		f.C, f.Loss, f.Source = c, duct.Pressure(c)*f.Pv, source
	case f.Kind == duct.InlineBox:
		f.C, f.Loss, f.Source = 0, e.boxLoss(f), "the loss noted at the box"
		if given {
			f.Loss += duct.Pressure(c) * f.Pv
			f.Source += ", and " + source
		}
		if f.Pv > 0 {
			f.C = float64(f.Loss / f.Pv)
		}
	default:
		res := e.coefficient(f, legs)
		f.C, f.Reference, f.Pv, f.Loss, f.Source = res.C, res.Reference.String(), res.Pv, res.Loss, res.Source
		if res.Reference == loss.Own && f.Own != e.runs[f.Run] {
			f.Reference = ofFitting
		}
		return res.InRange
	}
	return true
}

// boxLoss returns the loss of the box at the node of f.
func (j *job) boxLoss(f *duct.Fitting) duct.Pressure {
	if u := j.net.Nodes[f.Node].Unit; u != duct.None {
		return j.net.Units[u].Loss
	}
	return 0
}

// coefficient returns what f costs by the formulas, its damper included.
func (e *evaluation) coefficient(f *duct.Fitting, legs []leg) loss.Result {
	c := e.caseOf(f, legs)
	switch d := e.damperOf(f); {
	case f.Damper && d.c == 0:
		plain := *f
		plain.Damper = false
		return loss.Coefficient(&plain, c, e.air)
	case d.own:
		c.Damper = d.c
	}
	return loss.Coefficient(f, c, e.air)
}

// damper is the coefficient of an open damper on its own velocity pressure, and what gave it.
type damper struct {
	c      float64
	source string
	own    bool // of the office
}

// damperOf returns the open damper just after a branch: the office's own, as "damper" among its coefficients, else
// that of an open blade. A coefficient noted for all fittings of the run holds it already.
func (d *draft) damperOf(f *duct.Fitting) damper {
	switch {
	case !f.Damper || f.Own.IsZero():
		return damper{}
	case d.net.Runs[f.Run].Spec.HasC:
		return damper{0, "counted in the note on the drawing", true}
	}
	if c, source, ok := d.ownCoefficient(f, duct.VolumeDamper); ok {
		return damper{c, source, true}
	}
	return damper{loss.Butterfly(f.Own.Shape, 0), loss.DamperSource, false}
}

// override returns the coefficient for f that a note or the office gave, the most particular first, and what
// gave it. A note is about all fittings of its run together: the first of them has it, the others none.
func (e *evaluation) override(f *duct.Fitting) (c float64, source string, ok bool) {
	if s := &e.net.Runs[f.Run].Spec; s.HasC {
		if e.carriesNote(f) {
			return s.C, fmt.Sprintf("note C=%g on the drawing, for all fittings of the run", s.C), true
		}
		return 0, fmt.Sprintf("counted in the note C=%g on the drawing", s.C), true
	}
	return e.ownCoefficient(f, f.Kind)
}

// ownCoefficient returns the coefficient the settings give for a kind of fitting where f is, the most particular first.
func (d *draft) ownCoefficient(f *duct.Fitting, of duct.FittingKind) (c float64, source string, ok bool) {
	if len(d.spec.Coefficients) == 0 {
		return 0, "", false
	}
	kind := of.String()
	run, node := d.net.Runs[f.Run].Key.Part(kind), d.net.Nodes[f.Node].Key.Part(kind)
	for _, name := range [...]string{string(run), string(node), kind} {
		if c, ok := d.spec.Coefficients[name]; ok {
			return c, "sizing.coefficients, \"" + name + "\"", true
		}
		if c, ok := d.spec.Coefficients[name+OnCommon]; ok && f.Main != duct.None {
			common, own := d.runs[f.Main].Velocity(d.net.Runs[f.Main].Flow),
				d.runs[f.Run].Velocity(d.net.Runs[f.Run].Flow)
			return loss.Convert(c, common, own),
				fmt.Sprintf("sizing.coefficients, %q: %g on the velocity pressure of the common leg", name+OnCommon, c),
				true
		}
	}
	return 0, "", false
}

// carriesNote reports whether f is the fitting that a coefficient noted for its run is booked on: the first of
// the run that is no box, else the box.
func (e *evaluation) carriesNote(f *duct.Fitting) bool {
	var first *duct.Fitting
	for _, k := range e.book.of(f.Run) {
		if first == nil || first.Kind == duct.InlineBox {
			first = &e.des.Fittings[k]
		}
	}
	return first != nil && first.Node == f.Node && first.Kind == f.Kind
}

// caseOf returns what the coefficient of f depends on beside its own geometry.
func (e *evaluation) caseOf(f *duct.Fitting, legs []leg) loss.Case {
	r := &e.net.Runs[f.Run]
	c := loss.Case{Own: r.Flow, Diverging: r.Air.FromUnit(), Roughness: e.walls[f.Run].roughness,
		Pliable: r.Pliable || r.Kind == duct.Flexible, Make: e.spec.Fittings.ElbowMake}
	if f.Main != duct.None {
		m := &e.net.Runs[f.Main]
		c.Common = m.Flow
		c.Pliable = c.Pliable && (m.Pliable || m.Kind == duct.Flexible)
		if f.Kind.Is(duct.BendFamily) && f.Own.Shape != duct.Round {
			c.Upright = upturn(m.Outward().Tangent(1), r.Outward().Tangent(0))
			c.InPlane = inPlane(f, m, r)
		}
	}
	if f.Kind.Is(duct.LegFamily) && len(legs) > 1 {
		e.others = e.others[:0]
		for i := range legs {
			if legs[i].run != f.Run {
				e.others = append(e.others, legs[i].Leg)
			}
		}
		c.Others = e.others
	}
	switch n := &e.net.Nodes[f.Node]; {
	case n.Kind == duct.Outlet && n.Terminal != duct.None:
		t := &e.net.Terminals[n.Terminal]
		c.Neck, c.Plenum = t.Neck, faceArea(t)
		c.SideNeck = t.Conn == duct.ConnSide && !t.Neck.IsZero()
	case n.Kind == duct.Head && n.Unit != duct.None:
		c.Neck = e.net.Units[n.Unit].Neck
	}
	return c
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
