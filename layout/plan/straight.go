package plan

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

func itoa(i int) string { return strconv.Itoa(i) }

// straight draws what of a rigid run lies between the pieces at its ends: the size change
// it begins with, then the duct, straight or curved.
func (d *drawing) straight(r *duct.Run) {
	axis, sec := d.axes[r.ID], d.section(r.ID)
	half := float64(sec.Width) / 2
	from, to := d.cut[r.ID][0], axis.PlanLen()-d.cut[r.ID][1]
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
	p.round = sec.Shape == duct.Round && c.Straight()
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
	begin := st.axis
	from = d.neck(r, st, from, to-length)
	own := d.section(r.ID)
	a, b := begin.PlanAt(from), axis.PlanAt(from+length)
	u, v := begin.PlanDir(from).Left(), axis.PlanDir(from+length).Left()
	first := d.common(f)
	ha, hb := float64(first.Width)/2, float64(own.Width)/2
	al, ar := a.Add(u.Scale(ha)), a.Sub(u.Scale(ha))
	bl, br := b.Add(v.Scale(hb)), b.Sub(v.Scale(hb))
	p := d.newPiece(r.Key+"/change", r, d.net.UpNode(r))
	p.nodes = append(p.nodes, r.From, r.To)
	p.wall("l", line(al, bl))
	p.wall("r", line(ar, br))
	p.joint("in", line(ar, al))
	p.joint("out", line(br, bl))
	if (first.Shape == duct.Rect) != (own.Shape == duct.Rect) {
		if own.Shape == duct.Rect {
			creases(p, bl, br, a, u, first)
		} else {
			creases(p, al, ar, b, v, own)
		}
	}
	p.spines = []geom.Curve{line(a, b)}
	p.half = math.Max(float64(first.Height), float64(own.Height)) / 2
	p.foot = stripFoot(line(al, bl), line(ar, br))
	return from + length
}

// neck draws the duct of the size before the change between the fitting at the near node
// and the change, where package fitting leaves some, and returns where the change begins.
func (d *drawing) neck(r *duct.Run, st start, from, most float64) float64 {
	cosine := 1.0
	if c := d.axes[r.ID]; c.Len() > 0 {
		cosine = c.PlanLen() / c.Len()
	}
	to := math.Min(most, (d.trims[r.ID]-float64(st.fit.Length))*cosine)
	if to-from < geom.Same {
		return from
	}
	mid := st.axis.PlanSub(from, to)
	sec := d.common(st.fit)
	left, right := walls(mid, float64(sec.Width)/2)
	p := d.newPiece(r.Key+"/neck", r, r.From, r.To)
	p.half = float64(sec.Height) / 2
	p.wall("l", left)
	p.wall("r", right)
	p.spines = []geom.Curve{mid}
	p.foot = stripFoot(left, right)
	return to
}

// creases draws the folds on top of a transition from a rectangle, with the corners l and r
// seen from above, to a round or oval end in the middle of which is c, u to its left.
func creases(p *piece, l, r, c, u geom.Vec, end duct.Section) {
	top := math.Max(0, float64(end.Width-end.Height)/2) // half the flat of an oval
	p.joint("crease/l", line(l, c.Add(u.Scale(top))))
	p.joint("crease/r", line(r, c.Sub(u.Scale(top))))
}

// axisLine draws the centreline of a run, with the facts a comparison of drawings tells.
func (d *drawing) axisLine(r *duct.Run) {
	if !d.spec.AxisLines {
		return
	}
	c := d.axes[r.ID]
	s := shape.Shape{Key: r.Key + "/axis", Part: shape.Axis, Air: r.Air, Status: r.Status, Data: d.facts(r, r, c.Len())}
	switch {
	case c.Len() < geom.Same:
		return
	case c.Straight():
		s.Geom = shape.Line{A: c.A, B: c.B}
	default:
		s.Geom = curveShape(c)
	}
	d.shapes = append(d.shapes, s)
}

// facts words what a run is, or a chain from r to last that is drawn as one, in ASCII, for two
// revisions to be compared.
func (d *drawing) facts(r, last *duct.Run, length float64) string {
	sec := d.clear(r.ID)
	size := millimetres(sec.Width) + "x" + millimetres(sec.Height)
	switch {
	case sec.IsZero():
		size = "none"
	case sec.Shape == duct.Round:
		size = "dia" + millimetres(sec.Width)
	case sec.Shape == duct.Oval:
		size = "oval" + size
	}
	text := fmt.Sprintf("size=%s flow=%.6g length=%s status=%s kind=%s", size, float64(r.Flow),
		millimetres(duct.Length(length)), r.Status, r.Kind)
	if t := d.net.Nodes[d.net.DownNode(last)].Terminal; t != duct.None {
		text = strings.TrimSpace(text + " " + nameFact("to", d.net.Terminals[t].Name))
	}
	return text
}

// millimetres writes l to a tenth of a millimetre, which tells whole inches apart too.
func millimetres(l duct.Length) string {
	return strconv.FormatFloat(math.Round(float64(l/duct.Millimetre)*10)/10, 'f', -1, 64)
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
