package fitting

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// taker works out from the fittings what they take of every run.
type taker struct {
	*ledger
	flexible [][2]float64 // by run and end: what the curve of a flexible duct would take
}

// takeOuts returns how much of every run its fittings take.
func (g *given) takeOuts(fits chosen, mains [][]joint) []duct.TakeOut {
	t := &taker{newLedger(g), make([][2]float64, len(g.net.Runs))}
	for i := range g.net.Nodes {
		n := &g.net.Nodes[i]
		legs := g.legs.at(n.ID)
		t.takeGround(n, legs)
		if len(legs) > 2 && n.Unit == duct.None {
			t.takeJunction(legs)
			t.takeMouths(legs, fits.at(n.ID))
		}
	}
	for i := range fits.all {
		t.fitting(&fits.all[i])
	}
	t.takeRows(mains, fits)
	for i := range fits.all {
		t.leaveNeck(&fits.all[i])
	}
	out := make([]duct.TakeOut, len(g.net.Runs))
	for i := range out {
		k := t.ends[i]
		a, b := k[duct.Near].taken()+k[duct.Near].has, k[duct.Far].taken()+k[duct.Far].has
		if curves := t.flexible[i]; curves[duct.Near]+curves[duct.Far] > 0 { // what is left to curve in
			part := math.Min(1, math.Max(0, g.axes.long[i]-a-b)/(curves[duct.Near]+curves[duct.Far]))
			a, b = a+part*curves[duct.Near], b+part*curves[duct.Far]
		}
		out[i] = duct.TakeOut{duct.Length(a), duct.Length(b)}
	}
	return out
}

// fitting adds what one fitting takes.
func (t *taker) fitting(f *duct.Fitting) {
	if f.InDuct() {
		t.offset(f)
		return
	}
	switch f.Kind.Traits().Family {
	case duct.BendFamily:
		in, out := bendLegs(t.legs.at(f.Node))
		radius := float64(f.Radius)
		if radius == 0 {
			radius = half(in.Run, f.Own, in.Dir, out.Dir)
		}
		for _, l := range [...]*duct.Leg{in, out} {
			if t.isFlexible(f) {
				t.flexible[l.Run.ID][l.End] = curveTake(in, out, radius)
			} else {
				t.of(l).has += radius * math.Tan(f.Angle/2)
			}
		}
	case duct.ChangeFamily, duct.OffsetFamily, duct.LegFamily, duct.OutletFamily, duct.UnitFamily:
		end := duct.Near
		if t.net.DownNode(&t.net.Runs[f.Run]) == f.Node {
			end = duct.Far
		}
		t.ends[f.Run][end].has += float64(f.Length)
	case duct.JointFamily, duct.BoxFamily, duct.CapFamily, duct.DamperFamily, duct.NoFamily: // nothing
	}
}

// changeNeck is the straight duct left in metres between a branch and the change of size after it, where there is room:
// it has to be joined. Common practice.
const changeNeck = 0.05

// leaveNeck adds to a run the neck before its change of size.
func (t *taker) leaveNeck(f *duct.Fitting) {
	n := &t.net.Nodes[f.Node]
	if !f.Kind.Is(duct.ChangeFamily) || len(n.Runs) < 3 || n.Unit != duct.None {
		return
	}
	k := &t.ends[f.Run]
	if rest := t.left(f.Run); rest > geom.Same {
		k[duct.Near].has += math.Min(changeNeck, rest)
	}
}
