package sizing

import (
	"iter"
	"math"

	"twinline/layout/duct"
)

// term is one loss of a run or of a section. Summed they are what it loses; printed they are why.
type term struct {
	kind termKind
	loss duct.Pressure

	rate   duct.Rate     // of friction
	length duct.Length   // of friction, along the true centreline
	arcs   duct.Pressure // of friction: what the arcs of elbows of another size add

	fitting *duct.Fitting    // of a run's fitting: that of the design
	of      duct.FittingKind // of a fitting
	node    duct.NodeID      // likewise
}

type termKind uint8

const (
	frictionTerm termKind = iota
	fittingTerm
	stackTerm // what the stack effect gives, as a negative loss
)

// termsOfRun returns the losses of a run as it is.
func (e *evaluation) termsOfRun(r *duct.Run) iter.Seq[term] {
	return func(yield func(term) bool) {
		if !yield(e.friction(r.ID, e.walls[r.ID].rate(e.runs[r.ID], r.Flow))) {
			return
		}
		for _, k := range e.book.of(r.ID) {
			f := &e.des.Fittings[k]
			if !yield(term{kind: fittingTerm, loss: f.Loss, fitting: f, of: f.Kind, node: f.Node}) {
				return
			}
		}
		if s := e.stack(r); s != 0 {
			yield(term{kind: stackTerm, loss: -s})
		}
	}
}

// friction returns the friction of a run over its true centreline.
func (e *evaluation) friction(r duct.RunID, rate duct.Rate) term {
	t := term{kind: frictionTerm, rate: rate, length: max(0, e.straight[r]), arcs: e.arcs[r]}
	t.loss = duct.Pressure(rate)*duct.Pressure(t.length) + t.arcs
	return t
}

// terms returns what section id would lose with size s: friction over the lengths of the last
// evaluation, and its fittings with s in place of its size.
func (e *evaluation) terms(id duct.SectionID, s duct.Size) iter.Seq[term] {
	return func(yield func(term) bool) {
		sec := &e.sections[id]
		rate := sec.lim.wall.rate(s, sec.flow)
		for _, r := range e.net.Sections[id].Runs {
			if !yield(e.friction(r, rate)) {
				return
			}
			if s := e.stack(&e.net.Runs[r]); s != 0 && !yield(term{kind: stackTerm, loss: -s}) {
				return
			}
			for f := range e.made(r) {
				if !yield(term{kind: fittingTerm, loss: e.fittingLoss(f, id, s), fitting: f, of: f.Kind,
					node: f.Node}) {
					return
				}
			}
		}
		if f, ok := e.changeInto(id, s); ok {
			yield(term{kind: fittingTerm, loss: e.tryLoss(&f, s, nil), of: f.Kind, node: f.Node})
		}
	}
}

// made returns the fittings booked on a run but for changes of size: those depend on the size that is tried.
func (e *evaluation) made(r duct.RunID) iter.Seq[*duct.Fitting] {
	return func(yield func(*duct.Fitting) bool) {
		for _, k := range e.book.of(r) {
			if f := &e.des.Fittings[k]; !f.Kind.Is(duct.ChangeFamily) && !yield(f) {
				return
			}
		}
	}
}

// changeInto returns the change of size with which section id would begin if it had size s, whether there is one so
// far or not; false where it would have none, since the size goes on or since a branch or a box stands there, which
// takes the change up.
func (e *evaluation) changeInto(id duct.SectionID, s duct.Size) (duct.Fitting, bool) {
	first := e.firstRun(id)
	if first.Up == duct.None {
		return duct.Fitting{}, false
	}
	for _, r := range e.net.Sections[id].Runs {
		for f := range e.made(r) {
			if f.Kind.Is(duct.LegFamily) && f.Kind != duct.Through || f.Kind.Is(duct.BoxFamily) {
				return duct.Fitting{}, false
			}
		}
	}
	return e.change(first, e.runs[first.Up], s)
}

// sectionLoss returns the sum of the terms of section id with size s.
func (e *evaluation) sectionLoss(id duct.SectionID, s duct.Size) duct.Pressure {
	var sum duct.Pressure
	for t := range e.terms(id, s) {
		sum += t.loss
	}
	return sum
}

// change returns the change of size there would be from size up, towards the unit, to size s of run r; false for none.
func (j *job) change(r *duct.Run, up, s duct.Size) (duct.Fitting, bool) {
	if up == s || up.IsZero() {
		return duct.Fitting{}, false
	}
	return duct.Fitting{Node: j.net.UpNode(r), Kind: duct.ChangeKind(r.Air, up, s), Run: r.ID, Main: r.Up,
		Common: up, Own: s, Angle: changeAngle(&j.spec.Fittings, up, s)}, true
}

// changeAngle returns the included angle of a centred change of size with all the room it wants.
func changeAngle(rules *duct.FittingRules, up, s duct.Size) float64 {
	if rules.ReducerLeast <= 0 {
		return rules.ReducerAngle
	}
	move := math.Max(math.Abs(float64(up.Width-s.Width)), math.Abs(float64(up.Height-s.Height))) / 2
	return math.Min(rules.ReducerAngle, 2*math.Atan(move/float64(rules.ReducerLeast)))
}

// fittingLoss returns what a fitting of section id would lose with size s in place of its own.
func (e *evaluation) fittingLoss(f *duct.Fitting, id duct.SectionID, s duct.Size) duct.Pressure {
	if f.Kind == duct.InlineBox {
		return f.Loss // with a coefficient noted there, at the size as it is
	}
	try := *f
	inside := f.Main != duct.None && e.net.Runs[f.Main].Section == id
	switch {
	case inside && f.Kind.Is(duct.BendFamily):
		try.Own, try.Common = s, s
		if f.Radius > 0 {
			try.Radius *= e.sideInPlane(&try) / e.sideInPlane(f) // of the same proportions
		}
	case f.Main == duct.None, f.Kind.Is(duct.LegFamily) && f.Kind != duct.Through:
		try.Own = s
	} // else it has the size of the run towards the unit
	return e.tryLoss(&try, s, e.legsAt(f))
}

// sideInPlane returns the side of the size of a bend that lies in the plane of the bend.
func (e *evaluation) sideInPlane(f *duct.Fitting) duct.Length {
	c := e.caseOf(f, nil)
	if f.Own.Shape == duct.Round || c.InPlane == f.Own.Width || c.InPlane == 0 && !c.Upright &&
		f.Kind != duct.DropConn {
		return f.Own.Width
	}
	return f.Own.Height
}

// tryLoss returns the loss of a fitting that is tried out, with size s in the run it is booked on.
func (e *evaluation) tryLoss(f *duct.Fitting, s duct.Size, legs []leg) duct.Pressure {
	if c, _, ok := e.override(f); ok {
		c += e.damperOf(f).c
		return duct.Pressure(c) * e.pv(s, e.net.Runs[f.Run].Flow)
	}
	return e.coefficient(f, legs).Loss
}
