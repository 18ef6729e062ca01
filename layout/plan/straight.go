package plan

import (
	"fmt"
	"math"
	"strconv"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

func itoa(i int) string { return strconv.Itoa(i) }

// straight draws what of a rigid run lies between the pieces at its ends: the size change
// it begins with, then the duct, straight or curved.
func (d *drawing) straight(r *duct.Run) {
	axis, size := d.axes[r.ID], d.size(r.ID)
	half := float64(size.Width) / 2
	from, to := d.cut[r.ID][0], axis.PlanLen()-d.cut[r.ID][1]
	if f := d.fit(d.net.DownNode(r), r.ID, duct.Offset); f != nil {
		to = d.offset(r, f, from, to)
	}
	if st := d.start[r.ID]; st.fit != nil {
		from = d.change(r, st, from, to)
	}
	if to-from < geom.Same {
		if from-to > geom.Same && !d.short[r.ID] {
			d.tell(diag.NoRoom, at(axis.PlanAt((from+to)/2)), handle(r),
				fmt.Sprintf("the fittings at the two ends of this duct overlap by %s", d.long(from-to)),
				"move the bends or branches apart, or give the duct a smaller size")
		}
		return
	}
	c := axis.PlanSub(from, to)
	left, right := walls(c, half)
	p := d.newPiece(r.Key, r, r.From, r.To)
	p.round = size.Shape == duct.Round && c.Straight()
	p.wall("l", left)
	p.wall("r", right)
	p.spines = []geom.Curve{c}
	p.foot = stripFoot(left, right)
	p.duct = true
	if p.shell > 0 {
		p.space = stripFoot(walls(c, half+p.shell))
	}
}

// handle returns the handle of the sketch entity a run came from.
func handle(r *duct.Run) string {
	if len(r.Handles) == 0 {
		return ""
	}
	return r.Handles[0]
}

// leastChange is the shortest size change that is still drawn where there is no room.
const leastChange = 0.02

// change draws the size change at the near end of a run and returns where the duct begins.
func (d *drawing) change(r *duct.Run, st start, from, to float64) float64 {
	axis, f := d.axes[r.ID], st.fit
	length := float64(f.Length)
	if l := axis.Len(); l > 0 {
		length *= axis.PlanLen() / l
	}
	if room := to - from; length > room {
		if room < leastChange {
			if !d.short[r.ID] {
				d.tell(diag.NoRoom, at(axis.PlanAt(from)), handle(r),
					fmt.Sprintf("the size change has %s where it needs %s", d.long(math.Max(room, 0)), d.long(length)),
					"move the next bend or branch further away, or keep the size")
			}
			room = leastChange
		}
		length = room
	}
	from = d.neck(r, st, from, to-length)
	p := d.newPiece(r.Key+"/change", r, d.net.UpNode(r))
	p.nodes = append(p.nodes, r.From, r.To)
	first, last := station{st.axis, from, d.common(f)}, station{axis, from + length, d.size(r.ID)}
	p.transition(first, last)
	d.slope(r, first, last)
	return from + length
}

// offset draws the offset before the far end of a run, with the duct beyond it that a turn down or up begins with, and
// returns where the duct before it ends.
func (d *drawing) offset(r *duct.Run, f *duct.Fitting, from, to float64) float64 {
	axis, size := d.axes[r.ID], d.size(r.ID)
	cosine := 1.0
	if axis.Len() > 0 {
		cosine = axis.PlanLen() / axis.Len()
	}
	stop := math.Min(to, axis.PlanLen()-(d.trims[r.ID][1]-float64(f.Length))*cosine)
	length := math.Max(leastChange, math.Min(float64(f.Length)*cosine, stop-from)) // fitting tells what it lacks
	beyond := d.offsetAxis(r.ID, f)
	if to-stop > geom.Same {
		d.plainPiece(r, "/beyond", beyond.PlanSub(stop, to), size)
	}
	p := d.newPiece(r.Key+"/offset", r, r.From, r.To)
	first, last := station{axis, stop - length, size}, station{beyond, stop, size}
	p.transition(first, last)
	d.slope(r, first, last)
	return stop - length
}

// plainPiece draws a straight or curved piece of duct of a size that is made with a fitting of r.
func (d *drawing) plainPiece(r *duct.Run, role string, mid geom.Curve, size duct.Size) {
	left, right := walls(mid, float64(size.Width)/2)
	p := d.newPiece(r.Key+role, r, r.From, r.To)
	p.half = float64(size.Height) / 2
	p.wall("l", left)
	p.wall("r", right)
	p.spines = []geom.Curve{mid}
	p.foot = stripFoot(left, right)
}

// station is a place on an axis, with the size there as it is drawn.
type station struct {
	axis geom.Curve
	s    float64 // plan length from the start of the axis
	size duct.Size
}

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
	a, b := first.axis.PlanAt(first.s), last.axis.PlanAt(last.s)
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
func (d *drawing) neck(r *duct.Run, st start, from, most float64) float64 {
	cosine := 1.0
	if c := d.axes[r.ID]; c.Len() > 0 {
		cosine = c.PlanLen() / c.Len()
	}
	to := math.Min(most, (d.trims[r.ID][0]-float64(st.fit.Length))*cosine)
	if to-from < geom.Same {
		return from
	}
	d.plainPiece(r, "/neck", st.axis.PlanSub(from, to), d.common(st.fit))
	return to
}

// creases draws the folds on top of a transition from a rectangle, with the corners l and r
// seen from above, to a round or oval end in the middle of which is c, u to its left.
func creases(p *piece, l, r, c, u geom.Vec, end duct.Size) {
	top := math.Max(0, float64(end.Width-end.Height)/2) // half the flat of an oval
	p.joint("crease/l", line(l, c.Add(u.Scale(top))))
	p.joint("crease/r", line(r, c.Sub(u.Scale(top))))
}

// axisLine draws the centreline of a run, with the facts a comparison of drawings tells. Where a side kept straight sets the
// duct aside, it slopes with the size change or the offset.
func (d *drawing) axisLine(r *duct.Run) {
	c := d.axes[r.ID]
	if !d.spec.AxisLines || c.Len() < geom.Same || d.spec.Flat && r.Vertical() && !d.close.within[r.ID] {
		return
	}
	s := shape.Shape{Key: r.Key + "/axis", Part: shape.Axis, Air: r.Air, Status: r.Status, Facts: d.facts(r, r, d.des.Runs[r.ID].Length)}
	switch bent := d.sloped[r.ID]; {
	case c.Straight() && len(bent) == 0:
		s.Geom = shape.Line{A: c.A, B: c.B}
	case c.Straight():
		path := geom.Path{}
		for _, v := range bent {
			path = append(path, geom.Vertex{Vec: v})
		}
		s.Geom = shape.Polyline{Path: path}
	default:
		s.Geom = curveShape(c)
	}
	d.shapes = append(d.shapes, s)
}

// slope notes where the middle of r goes from one axis over to another: between two stations. The ends of the run that lie
// beyond them are noted once.
func (d *drawing) slope(r *duct.Run, first, last station) {
	if !r.Line.Straight() || first.axis.A.Dist(last.axis.A) < geom.Same {
		return
	}
	path := d.sloped[r.ID]
	if len(path) == 0 {
		path = []geom.Vec{d.axes[r.ID].A, d.axes[r.ID].B}
	}
	a, b := first.axis.PlanAt(first.s), last.axis.PlanAt(last.s)
	n := len(path)
	switch {
	case last.axis == d.axes[r.ID]: // near the beginning
		path = append([]geom.Vec{first.axis.A, a, b}, path[1:]...)
	default:
		path = append(path[:n-1:n-1], a, b, last.axis.B)
	}
	d.sloped[r.ID] = apart(path)
}

// apart leaves out points that follow another at its place.
func apart(path []geom.Vec) []geom.Vec {
	out := path[:1:1]
	for _, v := range path[1:] {
		if v.Dist(out[len(out)-1]) >= geom.Same {
			out = append(out, v)
		}
	}
	return out
}

// facts returns what is kept of a run, or of a chain from r to last that is drawn as one.
func (d *drawing) facts(r, last *duct.Run, length duct.Length) *shape.Facts {
	f := &shape.Facts{Size: d.clear(r.ID), Flow: r.Flow, Length: length, Status: r.Status, Kind: r.Kind}
	if t := d.net.Nodes[d.net.DownNode(last)].Terminal; t != duct.None {
		f.To = d.net.Terminals[t].Name
	}
	return f
}

// curveShape returns the record of a curve: a line, an arc, or where an arc climbs a chain of lines.
func curveShape(c geom.Curve) shape.Geometry {
	if c.Straight() {
		return shape.Line{A: c.A, B: c.B}
	}
	if math.Abs(c.A.Z-c.B.Z) > geom.Same {
		var path geom.Path
		for _, v := range c.Flatten(flattenTo) {
			path = append(path, geom.Vertex{Vec: v})
		}
		return shape.Polyline{Path: path}
	}
	o := c.Center()
	a, b := c.A.Sub(o).Angle(), c.B.Sub(o).Angle()
	if c.Bulge < 0 {
		a, b = b, a
	}
	if b <= a {
		b += 2 * math.Pi
	}
	return shape.Arc{Center: o, Radius: c.Radius(), Start: a, End: b}
}

// flattenTo is how far, in metres, the lines of a climbing arc may stray from it.
const flattenTo = 0.001
