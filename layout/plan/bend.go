package plan

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// bend draws a node where two runs meet that are both seen in plan.
func (j *joints) bend(n *duct.Node, legs []*leg) {
	in, out := legs[0], legs[1]
	if in.End == near && out.End == far {
		in, out = out, in
	}
	var f *duct.Fitting
	draw := (*joints).seam // a change of size alone, within the play of a joint
	for i := range j.Nodes[n.ID].Fittings {
		g := &j.Nodes[n.ID].Fittings[i]
		if bend := lookOf(g.Kind).bend; bend != nil {
			f, draw = g, bend
		}
	}
	turn := geom.TurnBetween(in.dir.Scale(-1), out.dir) // in plan
	smooth := f != nil && f.Radius > 0
	if turn*math.Max(in.half, out.half) < geom.Same/10 && (!smooth || level(in, out)) {
		j.straightJoint(n, in, out)
		return
	}
	draw(j, n, in, out, f)
}

// level reports whether two ducts leave their node level.
func level(in, out *leg) bool {
	return math.Abs(in.axis.Tangent(0).Z) < geom.Straight && math.Abs(out.axis.Tangent(0).Z) < geom.Straight
}

// seam draws a joint that turns within its play: the walls meet in a seam.
func (j *joints) seam(n *duct.Node, in, out *leg, _ *duct.Fitting) {
	j.body(n, []*leg{in, out}, nil)
	if inner, outer, ok := mitreCorners(n.At, in, out); ok && !j.jointOfItsOwn(in, out) {
		j.pieces[len(j.pieces)-1].joint("seam", line(inner, outer))
	}
}

// elbow draws a bend, smooth as far as it has a radius.
func (j *joints) elbow(n *duct.Node, in, out *leg, f *duct.Fitting) {
	switch {
	case f.Radius <= 0:
		j.mitre(n, in, out, f)
	case !level(in, out):
		j.slopingBend(n, in, out, f)
	default:
		j.levelBend(n, in, out, f)
	}
}

// jointOfItsOwn reports whether what follows a joint draws its line: a flexible duct and a
// size change do.
func (j *joints) jointOfItsOwn(in, out *leg) bool {
	return in.Run.Kind == duct.Flexible || out.Run.Kind == duct.Flexible || j.change(out.Run.ID) != nil
}

// straightJoint draws the line across where two pieces of one direction meet.
func (j *joints) straightJoint(n *duct.Node, in, out *leg) {
	p := j.newPiece(n.Key.Part("joint"), newer(in, out), n.ID)
	if j.jointOfItsOwn(in, out) {
		return
	}
	if math.Abs(in.half-out.half) < geom.Same && in.axis.A.PlanDist(out.axis.A) < geom.Same {
		p.joint("line", in.mouth())
		return
	}
	// Pieces of different width without a size change between them: the step is shown.
	p.joint("a", in.mouth())
	p.wall("l", line(in.mouth().A, out.mouth().B))
	p.wall("r", line(in.mouth().B, out.mouth().A))
}

// mitre draws a sharp bend with its seam, or with its vanes.
func (j *joints) mitre(n *duct.Node, in, out *leg, f *duct.Fitting) {
	j.body(n, []*leg{in, out}, nil)
	p := j.pieces[len(j.pieces)-1]
	p.joint("in", in.mouth())
	p.joint("out", out.mouth())
	inner, outer, ok := mitreCorners(n.At, in, out)
	if !ok {
		return
	}
	if f.Kind != duct.VanedMitre {
		p.joint("seam", line(inner, outer))
		return
	}
	for i, v := range vanes(inner, outer, in.dir.Scale(-1), out.dir) {
		p.add(shape.Joint, "vane/"+itoa(i+1), v)
	}
}

// mitreCorners returns the inner and the outer corner of a sharp bend.
func mitreCorners(n geom.Vec, in, out *leg) (inner, outer geom.Vec, ok bool) {
	a, b := newCorner(n, in, out), newCorner(n, out, in)
	if !a.ok || !b.ok {
		return inner, outer, false
	}
	if gap(in, out) > math.Pi {
		a, b = b, a
	}
	return a.p, b.p, true
}

// Turning vanes: as many as keep about vanePitch between them along the seam. Common practice.
const (
	vanePitch = 0.12 // metres
	vaneLeast = 2
	vaneMost  = 12
	vaneReach = 0.8 // how far the vane next to the throat goes towards the joints of the elbow
)

// vanes returns the turning vanes on the seam of a sharp bend from direction u to v. They stand at equal distances from
// each other and from both corners, and end within the elbow: at the throat, where it is shortest, it reaches from the
// seam to its joints by the pitch times the sine of half the turn.
func vanes(inner, outer, u, v geom.Vec) []geom.Curve {
	seam := inner.PlanDist(outer)
	n := min(max(int(math.Round(seam/vanePitch))-1, vaneLeast), vaneMost)
	turn := math.Atan2(u.X*v.Y-u.Y*v.X, u.Dot(v))
	t := vaneReach * seam / float64(n+1) * math.Sin(math.Abs(turn)/2)
	var out []geom.Curve
	for i := range n {
		x := inner.Lerp(outer, float64(i+1)/float64(n+1))
		out = append(out, geom.Curve{A: x.Sub(u.Scale(t)), B: x.Add(v.Scale(t)), Bulge: math.Tan(turn / 4)})
	}
	return out
}

// levelBend draws a smooth level bend: two arcs about one centre, tangent to the walls.
func (j *joints) levelBend(n *duct.Node, in, out *leg, f *duct.Fitting) {
	si, so := 0.0, 0.0
	best := math.Inf(1)
	for _, m := range geom.Meet(in.axis, out.axis) {
		if dist := m.P.PlanDist(n.At); dist < best {
			best, si, so = dist, m.A, m.B
		}
	}
	u, v := in.axis.PlanDir(si).Scale(-1), out.axis.PlanDir(so)
	turn := math.Atan2(u.X*v.Y-u.Y*v.X, u.Dot(v))
	// A radius under half the width would turn the inner wall inside out.
	radius := math.Max(float64(f.Radius), in.half)
	tan := radius * math.Tan(math.Abs(turn)/2)
	in.takeOut, out.takeOut = si+tan, so+tan
	p := j.newPiece(n.Key.Part("elbow"), newer(in, out), n.ID)
	p.half = float64(in.Outside.Height) / 2
	centre := j.elbowCentre(in, out, turn)
	p.spines = centre
	var left, right []geom.Curve
	for _, c := range centre {
		left, right = append(left, c.Offset(in.half)), append(right, c.Offset(-in.half))
	}
	p.bent(left, right, in.mouth(), out.mouth())
	j.place(in)
	j.place(out)
}

// elbowCentre returns the centreline of a bend from the take-out of in to that of out: one
// arc between straight runs; between curved ones two arcs that are tangent to them.
func (j *joints) elbowCentre(in, out *leg, turn float64) []geom.Curve {
	a, b := in.axis.PlanAt(in.takeOut), out.axis.PlanAt(out.takeOut)
	if in.axis.Straight() && out.axis.Straight() {
		return []geom.Curve{{A: a, B: b, Bulge: math.Tan(turn / 4)}}
	}
	return biarc(a, in.axis.PlanDir(in.takeOut).Scale(-1), b, out.axis.PlanDir(out.takeOut))
}

// cutLoop cuts the loop out of the inner wall of a bend that is tighter in plan than half
// the width of the duct: the wall goes on from where it crosses itself.
func cutLoop(pts []geom.Vec) []geom.Vec {
	for i := 0; i+1 < len(pts); i++ {
		for j := len(pts) - 2; j > i+1; j-- {
			a, b := line(pts[i], pts[i+1]), line(pts[j], pts[j+1])
			for _, m := range geom.Meet(a, b) {
				if m.A >= 0 && m.A <= a.PlanLen() && m.B >= 0 && m.B <= b.PlanLen() {
					return append(append(pts[:i+1:i+1], m.P), pts[j+1:]...)
				}
			}
		}
	}
	return pts
}

// finest is the shortest line, in metres, a wall of many short lines is made of.
const finest = 0.004

// thin leaves out points that follow another too closely; the ends stay.
func thin(pts []geom.Vec) []geom.Vec {
	last := len(pts) - 1
	out := pts[:1:1]
	for i := 1; i < last; i++ {
		if pts[i].PlanDist(out[len(out)-1]) >= finest && pts[i].PlanDist(pts[last]) >= finest {
			out = append(out, pts[i])
		}
	}
	return append(out, pts[last])
}

// bendSteps is into how many lines the wall of a bend is drawn that is no arc in plan, a
// quarter turn.
const bendSteps = 16

// slopingBend draws a smooth bend of which a leg slopes: the centreline is an arc in
// space, seen from above an arc of an ellipse, so the walls are drawn as short lines.
func (j *joints) slopingBend(n *duct.Node, in, out *leg, f *duct.Fitting) {
	u, v := in.axis.Tangent(0).Scale(-1), out.axis.Tangent(0)
	turn := geom.TurnBetween(u, v)
	t := float64(f.Radius) * math.Tan(turn/2)
	in.takeOut, out.takeOut = t*in.cosine(), t*out.cosine()
	p := j.newPiece(n.Key.Part("elbow"), newer(in, out), n.ID)
	p.half = float64(in.Outside.Height) / 2
	steps := max(2, int(math.Ceil(bendSteps*turn/(math.Pi/2))))
	a := in.axis.PlanAt(in.takeOut)
	radius := float64(f.Radius)
	w := v.Sub(u.Scale(u.Dot(v))).Unit() // towards the centre, square to u
	var left, right, mid []geom.Vec
	for i := range steps + 1 {
		s, c := math.Sincos(turn * float64(i) / float64(steps))
		q := a.Add(u.Scale(radius * s)).Add(w.Scale(radius * (1 - c)))
		side := u.Scale(c).Add(w.Scale(s)).Plan().Unit().Left().Scale(in.half)
		mid = append(mid, q)
		left, right = append(left, q.Add(side)), append(right, q.Sub(side))
	}
	mi, mo := in.mouth(), out.mouth()
	left[0], right[0], left[steps], right[steps] = mi.A, mi.B, mo.B, mo.A
	if geom.TurnBetween(in.dir.Scale(-1), out.dir) < geom.Straight {
		left, right = []geom.Vec{left[0], left[steps]}, []geom.Vec{right[0], right[steps]}
	}
	p.bent(chainOf(thin(cutLoop(left))), chainOf(thin(cutLoop(right))), mi, mo)
	p.spines = chainOf(mid)
	j.place(in)
	j.place(out)
}

// chainOf returns the straight lines from point to point.
func chainOf(points []geom.Vec) []geom.Curve {
	out := make([]geom.Curve, len(points)-1)
	for i := range out {
		out[i] = line(points[i], points[i+1])
	}
	return out
}
