package plan

import (
	"fmt"
	"math"
	"strconv"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

func itoa(i int) string { return strconv.Itoa(i) }

// ducts makes the ducts between nodes.
type ducts struct {
	stage
	ends
}

// straights makes the rigid ducts seen in plan, of what stands or of what is removed.
func straights(m *model, removed bool, e ends) made {
	d := &ducts{stage{model: m}, e}
	for i := range m.net.Runs {
		r := &m.net.Runs[i]
		if (r.Status == duct.Removed) == removed && r.Kind == duct.Rigid && !r.Vertical() && !m.single(r) &&
			!m.within[r.ID] {
			d.straight(r)
		}
	}
	return d.made
}

// straight draws what of a rigid run lies between the pieces at its ends: the size change
// it begins with, then the duct, straight or curved.
func (d *ducts) straight(r *duct.Run) {
	axis, size := d.Axes[r.ID], d.size(r.ID)
	half := float64(size.Width) / 2
	from, to := d.cut[runEnd{r.ID, near}], axis.PlanLen()-d.cut[runEnd{r.ID, far}]
	if l := d.legs[r.ID][far]; l.Back != nil {
		from, to = lookOf(l.Back.Kind).beside(d, l, from, to)
	}
	if l := d.change(r.ID); l != nil {
		from, to = lookOf(l.Change.Kind).beside(d, l, from, to)
	}
	if to-from < geom.Same {
		if from-to > geom.Same && !d.short[r.ID] {
			d.report(diag.NoRoom, axis.PlanAt((from+to)/2), handle(r),
				fmt.Sprintf("the fittings at the two ends of this duct overlap by %s",
					d.words.Rounded(duct.Length(from-to))),
				"move the bends or branches apart, or give the duct a smaller size")
		}
		return
	}
	c := axis.PlanSub(from, to)
	p := d.newPiece(r.Key, r, r.From, r.To)
	p.strip(c, half)
	p.round = size.Shape == duct.Round && c.Straight()
	p.duct = true
	if p.shell > 0 {
		p.space = stripFoot(walls(c, half+p.shell))
	}
}

// leastChange is the shortest size change that is still drawn where there is no room.
const leastChange = 0.02

// sizeChange draws the size change at the near end of a run: the duct begins beyond it.
func (d *ducts) sizeChange(l *duct.Leg, from, to float64) (begin, end float64) {
	r, f, before := l.Run, l.Change, d.LegAxis(l)
	axis := d.Axes[r.ID]
	length := float64(f.Length) * d.cosine(r.ID)
	if room := to - from; length > room {
		if room < leastChange {
			if !d.short[r.ID] {
				d.report(diag.NoRoom, axis.PlanAt(from), handle(r),
					fmt.Sprintf("the size change has %s where it needs %s",
						d.words.Rounded(duct.Length(math.Max(room, 0))), d.words.Rounded(duct.Length(length))),
					"move the next bend or branch further away, or keep the size")
			}
			room = leastChange
		}
		length = room
	}
	from = d.neck(l, before, from, to-length)
	p := d.newPiece(r.Key.Part("change"), r, d.net.UpNode(r))
	p.nodes = append(p.nodes, r.From, r.To)
	first, last := station{before, from, l.Outside}, station{axis, from + length, d.size(r.ID)}
	p.transition(first, last)
	d.slope(runEnd{r.ID, near}, first, last)
	return from + length, to
}

// offset draws the offset before the far end of a run, with the duct beyond it that a turn down or up begins with: the
// duct ends before it.
func (d *ducts) offset(l *duct.Leg, from, to float64) (begin, end float64) {
	r, f := l.Run, l.Back
	axis, size := d.Axes[r.ID], d.size(r.ID)
	cosine := d.cosine(r.ID)
	stop := math.Min(to, axis.PlanLen()-float64(d.TakeOuts[r.ID][far]-f.Length)*cosine)
	length := math.Max(leastChange, math.Min(float64(f.Length)*cosine, stop-from)) // package fitting says what it lacks
	beyond := d.LegAxis(l).Reverse()
	if to-stop > geom.Same {
		d.plainPiece(r, "beyond", beyond.PlanSub(stop, to), size)
	}
	p := d.newPiece(r.Key.Part("offset"), r, r.From, r.To)
	first, last := station{axis, stop - length, size}, station{beyond, stop, size}
	p.transition(first, last)
	d.slope(runEnd{r.ID, far}, first, last)
	return from, stop - length
}

// plainPiece draws a straight or curved piece of duct of a size that is made with a fitting of r.
func (d *ducts) plainPiece(r *duct.Run, role string, mid geom.Curve, size duct.Size) {
	p := d.newPiece(r.Key.Part(role), r, r.From, r.To)
	p.half = float64(size.Height) / 2
	p.strip(mid, float64(size.Width)/2)
}

// station is a place on an axis, with the size there as it is drawn.
type station struct {
	axis geom.Curve
	s    float64 // plan length from the start of the axis
	size duct.Size
}

// at returns the middle of a station.
func (t station) at() geom.Vec { return t.axis.PlanAt(t.s) }

// ends returns the ends of the line across a station, right and left.
func (t station) ends() (right, left geom.Vec) {
	c := crossLine(t.axis, t.s, float64(t.size.Width)/2)
	return c.A, c.B
}

// transition makes p the piece between two stations that follow each other along an axis.
func (p *piece) transition(first, last station) {
	ar, al := first.ends()
	br, bl := last.ends()
	p.wall("l", line(al, bl))
	p.wall("r", line(ar, br))
	p.joint("in", line(ar, al))
	p.joint("out", line(br, bl))
	a, b := first.at(), last.at()
	if (first.size.Shape == duct.Rect) != (last.size.Shape == duct.Rect) {
		if last.size.Shape == duct.Rect {
			creases(p, bl, br, a, first.axis.PlanDir(first.s).Left(), first.size)
		} else {
			creases(p, al, ar, b, last.axis.PlanDir(last.s).Left(), last.size)
		}
	}
	p.spines = []geom.Curve{line(a, b)}
	p.half = math.Max(float64(first.size.Height), float64(last.size.Height)) / 2
	p.foot = stripFoot(line(al, bl), line(ar, br))
}

// neck draws the duct of the size before the change between the fitting at the near node
// and the change, where package fitting leaves some, and returns where the change begins.
func (d *ducts) neck(l *duct.Leg, axis geom.Curve, from, most float64) float64 {
	r := l.Run
	to := math.Min(most, float64(d.TakeOuts[r.ID][near]-l.Change.Length)*d.cosine(r.ID))
	if to-from < geom.Same {
		return from
	}
	d.plainPiece(r, "neck", axis.PlanSub(from, to), l.Outside)
	return to
}

// creases draws the folds on top of a transition from a rectangle, with the corners l and r
// seen from above, to a round or oval end in the middle of which is c, u to its left.
func creases(p *piece, l, r, c, u geom.Vec, end duct.Size) {
	top := math.Max(0, float64(end.Width-end.Height)/2) // half the flat of an oval
	p.joint("crease/l", line(l, c.Add(u.Scale(top))))
	p.joint("crease/r", line(r, c.Sub(u.Scale(top))))
}

// slope notes where the middle of a run goes over, next to one end of it, from one axis to another between two
// stations.
func (d *ducts) slope(end runEnd, first, last station) {
	if !d.net.Runs[end.run].Line.Straight() || first.axis.A.Dist(last.axis.A) < geom.Same {
		return
	}
	by := []geom.Vec{first.axis.A, first.at(), last.at()}
	if end.end == far {
		by = []geom.Vec{first.at(), last.at(), last.axis.B}
	}
	d.detours = append(d.detours, detour{end, by})
}
