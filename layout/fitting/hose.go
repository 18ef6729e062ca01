package fitting

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// Flexible duct is laid as one smooth curve, however many chords it was drawn with: a spline comes as dozens. Small
// turns that follow each other to one side are therefore told as one bend, at the last of them.

const (
	// curlTurn is the turn in radians, 30 degrees, up to which a corner of a flexible duct belongs to a longer curve.
	curlTurn = math.Pi / 6
	// curlMost is the turn in radians, 90 degrees, beyond which a longer curve is told as two.
	curlMost = math.Pi / 2
)

// curl is the bend that leads into a run, from its corners so far.
type curl struct{ angle, length float64 }

// hose reports whether flexible duct goes on at a node, seen in plan.
func (c *chooser) hose(n *duct.Node, in, out leg) bool {
	return in.run.Pliable && out.run.Pliable && !in.run.Vertical() && !out.run.Vertical() && n.Terminal == duct.None
}

// isHose reports whether f is the bend of a flexible duct.
func (c *chooser) isHose(f *duct.Fitting) bool {
	if f.Main == duct.None || f.Kind != duct.Elbow && f.Kind != duct.StraightJoint {
		return false
	}
	p, r := &c.net.Runs[f.Main], &c.net.Runs[f.Run]
	return p.Pliable && r.Pliable && !p.Vertical() && !r.Vertical()
}

// hoseBend makes f the bend of a flexible duct, or a joint without loss where the curve goes on. Its radius is what the
// length it turns over allows.
func (c *chooser) hoseBend(f *duct.Fitting, in, out leg) {
	if c.curl == nil {
		c.curl = make([]curl, len(c.net.Runs))
	}
	turn := f.Angle
	sofar := c.curl[in.run.ID]
	sofar.angle += turn
	sofar.length += (in.run.Line.Len() + out.run.Line.Len()) / 2
	if turn <= curlTurn && c.curlsOn(in, out, sofar.angle) {
		c.curl[out.run.ID] = sofar
		f.Angle = 0
		return
	}
	f.Angle = 0
	if sofar.angle <= straightTurn {
		return
	}
	f.Kind, f.Angle = duct.Elbow, sofar.angle
	radius := sofar.length / sofar.angle
	if turn > curlTurn { // a corner: the tangent points of the arc lie no farther than the middles of its pieces
		radius = math.Min(radius, math.Min(in.run.Line.Len(), out.run.Line.Len())/2/math.Tan(turn/2))
	}
	f.Radius = duct.Length(radius)
	if least := c.rules.FlexibleRadius * float64(f.Own.Width); radius < least-geom.Same {
		f.ShortBy = duct.Length((least - radius) * sofar.angle)
	}
}

// curlsOn reports whether the curve from in to out goes on to the same side at the far end of out.
func (c *chooser) curlsOn(in, out leg, angle float64) bool {
	if out.end != near {
		return false
	}
	n := &c.net.Nodes[c.net.DownNode(out.run)]
	if len(n.Runs) != 2 || n.Unit != duct.None || n.Terminal != duct.None {
		return false
	}
	for _, id := range n.Runs {
		next := &c.net.Runs[id]
		if id == out.run.ID || next.Up != out.run.ID || !next.Pliable || next.Vertical() {
			continue
		}
		u, v, w := in.dir.Scale(-1), out.run.Outward().Tangent(1), next.Outward().Tangent(0)
		turn := geom.TurnBetween(v, w)
		return turn <= curlTurn && angle+turn <= curlMost+geom.Straight && u.Cross(out.dir).Dot(v.Cross(w)) >= 0
	}
	return false
}

// hoseTrim returns how far from its corner the drawn curve begins: where an arc of that radius would, but no
// farther than half of the shorter piece.
// It gives way to all other fittings, and so claims nothing when they are chosen.
func (c *chooser) hoseTrim(legs []leg, radius float64) float64 {
	if len(legs) != 2 {
		return 0
	}
	turn := geom.TurnBetween(legs[0].dir.Scale(-1), legs[1].dir)
	most := math.Min(legs[0].run.Line.Len(), legs[1].run.Line.Len()) / 2
	return math.Min(most, radius*math.Tan(turn/2))
}
