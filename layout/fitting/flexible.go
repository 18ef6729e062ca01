package fitting

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// Flexible duct is laid as one smooth curve, however many chords it was drawn with: a spline comes as dozens. Small
// turns that follow each other to one side are therefore one bend, at the last of them.

const (
	// cornerMost is the turn in radians, 30 degrees, up to which a corner of a flexible duct belongs to a longer curve.
	cornerMost = math.Pi / 6
	// curveMost is the turn in radians, 90 degrees, beyond which a longer curve counts as two.
	curveMost = math.Pi / 2
)

// curve is the bend of a flexible duct that leads into a run, from its corners so far.
type curve struct{ angle, length float64 }

// flexibleOn reports whether flexible duct goes on at a node, seen in plan.
func flexibleOn(n *duct.Node, in, out *duct.Leg) bool {
	return in.Run.Pliable && out.Run.Pliable && !in.Run.Vertical() && !out.Run.Vertical() && n.Terminal == duct.None
}

// isFlexible reports whether f is the bend of a flexible duct.
func (g *given) isFlexible(f *duct.Fitting) bool {
	if f.Main == duct.None || f.Kind != duct.Elbow && f.Kind != duct.StraightJoint {
		return false
	}
	p, r := &g.net.Runs[f.Main], &g.net.Runs[f.Run]
	return p.Pliable && r.Pliable && !p.Vertical() && !r.Vertical()
}

// flexibleBend makes f the bend of a flexible duct, or a joint without loss where the curve goes on. Its radius is what
// the length it turns over allows.
func (c *chooser) flexibleBend(f *duct.Fitting, in, out *duct.Leg) {
	if c.curves == nil {
		c.curves = make([]curve, len(c.net.Runs))
	}
	turn := f.Angle
	sofar := c.curves[in.Run.ID]
	sofar.angle += turn
	sofar.length += (in.Run.Line.Len() + out.Run.Line.Len()) / 2
	if turn <= cornerMost && c.curvesOn(in, out, sofar.angle) {
		c.curves[out.Run.ID] = sofar
		f.Angle = 0
		return
	}
	f.Angle = 0
	if sofar.angle <= jointPlay {
		return
	}
	f.Kind, f.Angle = duct.Elbow, sofar.angle
	radius := sofar.length / sofar.angle
	if turn > cornerMost { // a corner: the tangent points of the arc lie no farther than the middles of its pieces
		radius = math.Min(radius, math.Min(in.Run.Line.Len(), out.Run.Line.Len())/2/math.Tan(turn/2))
	}
	f.Radius = duct.Length(radius)
	if least := c.FlexibleRadius * float64(f.Own.Width); radius < least-geom.Same {
		f.ShortBy = duct.Length((least - radius) * sofar.angle)
	}
}

// curvesOn reports whether the curve from in to out goes on to the same side at the far end of out.
func (g *given) curvesOn(in, out *duct.Leg, angle float64) bool {
	if out.End != duct.Near {
		return false
	}
	n := &g.net.Nodes[g.net.DownNode(out.Run)]
	if len(n.Runs) != 2 || n.Unit != duct.None || n.Terminal != duct.None {
		return false
	}
	for _, id := range n.Runs {
		next := &g.net.Runs[id]
		if id == out.Run.ID || next.Up != out.Run.ID || !next.Pliable || next.Vertical() {
			continue
		}
		u, v, w := in.Dir.Scale(-1), out.Run.Outward().Tangent(1), next.Outward().Tangent(0)
		turn := geom.TurnBetween(v, w)
		return turn <= cornerMost && angle+turn <= curveMost+geom.Straight && u.Cross(out.Dir).Dot(v.Cross(w)) >= 0
	}
	return false
}

// curveTake returns how far from its corner the drawn curve of a flexible duct begins: where an arc of that radius
// would, but no farther than half of the shorter piece. It gives way to all other fittings, and so asks for nothing
// when they are chosen.
func curveTake(in, out *duct.Leg, radius float64) float64 {
	turn := geom.TurnBetween(in.Dir.Scale(-1), out.Dir)
	most := math.Min(in.Run.Line.Len(), out.Run.Line.Len()) / 2
	return math.Min(most, radius*math.Tan(turn/2))
}
