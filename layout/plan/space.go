package plan

import (
	"math"

	"twinline/layout/geom"
)

// checks read a plan and report what cannot be built like that.
type checks struct {
	*model
	findings
}

// solid is a piece as a check of space sees it: with the ground it takes in plan, insulation included.
type solid struct {
	*piece
	ground geom.Region
}

// solidsOf returns the pieces that take space.
func solidsOf(pieces []*piece) []solid {
	var out []solid
	for _, p := range pieces {
		switch {
		case p.foot.Empty():
		case !p.space.Empty():
			out = append(out, solid{p, p.space})
		case p.shell > 0:
			out = append(out, solid{p, outset(p.foot, p.shell)})
		default:
			out = append(out, solid{p, p.foot})
		}
	}
	return out
}

// outset returns what lies within dist of g: its edges moved outwards, with arcs around the corners that stand out. In
// a hollow corner the border crosses itself, which leaves what is inside inside.
func outset(g geom.Region, dist float64) geom.Region {
	side := 1.0
	if g.Area() > 0 {
		side = -1 // the outside is on the right
	}
	n := len(g.Edges)
	moved := make([]geom.Curve, n)
	for i, e := range g.Edges {
		moved[i] = e.Offset(side * dist)
	}
	var edges []geom.Curve
	for i, e := range moved {
		edges = appendLong(edges, e)
		join := line(e.B, moved[(i+1)%n].A)
		u, v := g.Edges[i].Tangent(1).Plan(), g.Edges[(i+1)%n].Tangent(0).Plan()
		if turn := math.Atan2(u.Cross(v).Z, u.Dot(v)); turn*side < 0 {
			join.Bulge = math.Tan(turn / 4)
		}
		edges = appendLong(edges, join)
	}
	return geom.RegionOf(edges)
}
