package label

import (
	"math"
	"strings"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// reaches are the distances from a terminal or a unit at which its label is tried, to the
// height of capitals, at first and where none of those is good; from the second on it has a leader.
var (
	reaches    = []float64{labelGap, 2.5, 5, 8}
	allReaches = []float64{closeGap, labelGap, 1.7, 2.5, 3.5, 5, 6.5, 8, 10, 12}
)

// around are the directions a label is tried in, seen from the thing it is about, the ones
// a reader looks at first before the others.
var around = [...]geom.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {X: 1, Y: 1}, {X: 1, Y: -1}, {X: -1, Y: 1}, {X: -1, Y: -1}}

// aroundCost is what each direction after the first adds to the cost of a place, reachCost
// each height of capitals after the nearest, alignCost a place off the middle of its side, and
// goodBeside is what a place may cost that is not held against the rarer ones.
const (
	aroundCost = 0.1
	reachCost  = 1
	alignCost  = 0.15
	goodBeside = 0.8
)

// beside returns the places around an outline for b; all of them, those with all of its lines on one as well, or those tried first.
func (l *labeler) beside(b label, outline []geom.Vec, z float64, all bool) []spot {
	out := l.aroundOutline(b, outline, z, all)
	if all && len(b.text) > 1 {
		b.text = []string{strings.Join(b.text, "  ")}
		for _, s := range l.aroundOutline(b, outline, z, all) {
			s.text = b.text
			s.cost += oneLine
			out = append(out, s)
		}
	}
	return out
}

// aroundOutline returns the places around an outline for b as it is.
func (l *labeler) aroundOutline(b label, outline []geom.Vec, z float64, all bool) []spot {
	tall := l.tall(b)
	w, h := l.box(b)
	low, high := bounds(outline)
	mid := geom.Vec{X: (low[0] + high[0]) / 2, Y: (low[1] + high[1]) / 2, Z: z}
	rx, ry := (high[0]-low[0])/2, (high[1]-low[1])/2
	list := reaches
	if all {
		list = allReaches
	}
	var out []spot
	add := func(s spot, d geom.Vec, off geom.Vec) {
		s.mid = mid.Add(off)
		s.tip = onOutline(outline, mid, mid.Add(geom.Vec{X: d.X * rx, Y: d.Y * ry}), s.mid)
		out = append(out, s)
	}
	for _, reach := range list {
		gap := reach * tall
		for k, d := range around {
			s := spot{dir: geom.Vec{X: 1}, side: -int(d.X), inside: duct.None, about: duct.None, leader: reach > labelGap,
				cost: aroundCost*float64(k) + reachCost*math.Abs(reach-labelGap)}
			off := geom.Vec{X: d.X * (rx + gap + w/2), Y: d.Y * (ry + gap + h/2)}
			if d.X != 0 && d.Y != 0 {
				// Off a corner the label need not clear both sides.
				off.Y = d.Y * (ry + gap/2)
			}
			add(s, d, off)
			if !all || d.X != 0 && d.Y != 0 {
				continue
			}
			// Shifted along the side: flush with its ends, and half as far.
			flush := d.Left().Scale(math.Abs(ry-h/2)*math.Abs(d.X) + math.Abs(rx-w/2)*math.Abs(d.Y))
			for m, part := range [...]float64{1, -1, 0.5, -0.5} {
				t := s
				t.cost += alignCost * float64(m+1)
				add(t, d, off.Add(flush.Scale(part)))
			}
		}
	}
	return out
}

// onOutline returns where a leader ends that comes from a label at from: on the outline, on the
// way to its middle from want, which lies on the box around it.
func onOutline(outline []geom.Vec, mid, want, from geom.Vec) geom.Vec {
	best, at := math.Inf(1), want
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		c := geom.Curve{A: a.At(mid.Z), B: b.At(mid.Z)}
		t, d := c.Nearest(want)
		p := c.Point(t)
		if d += geom.Same * p.PlanDist(from); d < best { // of two as near, the one on the side of the label
			best, at = d, p
		}
	}
	return at
}

// terminals letters mark and airflow beside every terminal.
func (l *labeler) terminals() {
	for i := range l.net.Terminals {
		t := &l.net.Terminals[i]
		mark := t.Mark
		if mark == "" {
			mark = t.Name
		}
		b := label{key: t.Key + "/flow", part: shape.Flow, kind: shape.FlowText, air: t.Air, status: t.Status,
			facts: &shape.Facts{Terminal: t.Name, Flow: t.Flow, Status: t.Status}}
		b.text = l.terminalLines(t, mark)
		l.besideOutline(b, t.Face, t.At, t.Handle)
	}
}

// units letters mark and airflow beside every unit: of each system where it heads several.
func (l *labeler) units() {
	heads := make([][]*duct.System, len(l.net.Units))
	for i := range l.net.Systems {
		s := &l.net.Systems[i]
		if s.Unit != duct.None {
			heads[s.Unit] = append(heads[s.Unit], s)
		}
	}
	through := l.boxFlows()
	for i := range l.net.Units {
		u := &l.net.Units[i]
		b := label{key: u.Key + "/flow", part: shape.Flow, kind: shape.UnitText, air: u.Air, status: u.Status}
		b.text = l.unitLines(u, heads[i], through[i])
		l.besideOutline(b, u.Outline, u.At, u.Handle)
	}
}

// boxFlows returns what flows through every unit in the middle of a system.
func (l *labeler) boxFlows() []duct.Flow {
	out := make([]duct.Flow, len(l.net.Units))
	for i := range l.net.Nodes {
		n := &l.net.Nodes[i]
		if n.Kind != duct.Box || n.Unit == duct.None {
			continue
		}
		for _, r := range n.Runs {
			out[n.Unit] = max(out[n.Unit], l.net.Runs[r].Flow)
		}
	}
	return out
}

func (l *labeler) flowLine(q duct.Flow) string {
	if !(q > 0) || math.IsInf(float64(q), 0) {
		return ""
	}
	return l.flows.stepped(q, l.spec.Forms.FlowStep)
}

func (l *labeler) besideOutline(b label, outline []geom.Vec, at geom.Vec, handle string) {
	if len(b.text) == 0 {
		return
	}
	if len(outline) == 0 {
		outline = []geom.Vec{at}
	}
	if !l.place(b, goodBeside, func(all bool) []spot { return l.beside(b, outline, at.Z, all) }) {
		l.missing(b, at, handle)
	}
}
