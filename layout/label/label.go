package label

import (
	"fmt"
	"math"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// defaultArrow is the plotted length of flow arrows where the settings give none, metres.
const defaultArrow = 0.006

// labeler places lettering and arrows, one after the other, each clear of what is there.
type labeler struct {
	net   *duct.Network
	des   *duct.Design
	spec  Spec
	h     float64 // height of capitals in the model
	flows flowUnit
	axes  []geom.Curve // by run, true centrelines from the unit outwards
	duct  [][2]float64 // by run: where on the plan length of its axis the straight duct begins and ends
	field field
	out   []shape.Shape
	diags diag.List

	letters [shape.LetterKinds]letters // how each kind of label looks
	spots   []spot                     // room for the places of the label in hand
	order   []int32                    // and for their order
}

// Place returns the lettering of a plan of which everything else is drawn: airflow and mark
// at terminals and units, elevations where the level changes, sizes, and flow arrows, in
// that order of importance. Each stands where it is clear of what is drawn, of the texts of
// others and of the lettering before it; what has no such place is left out, with a note
// where the plan cannot be read without it.
func Place(net *duct.Network, des *duct.Design, drawn []shape.Shape, spec Spec) ([]shape.Shape, diag.List) {
	l := &labeler{net: net, des: des, spec: spec, h: spec.TextHeight * spec.Scale, flows: spec.Forms.flowUnit(net, spec.Inches)}
	if !(l.h > 0) || math.IsInf(l.h, 0) {
		return nil, nil
	}
	l.styles()
	l.survey(drawn)
	if spec.FlowLabels {
		l.terminals()
		l.units()
	}
	chains := l.chains()
	if spec.SizeLabels {
		l.levels()
		l.sizes(chains)
	}
	if spec.Arrows {
		l.arrows(chains)
	}
	return l.out, l.diags
}

// survey enters everything that is in the way.
func (l *labeler) survey(drawn []shape.Shape) {
	sizes := make([]duct.Size, len(l.net.Runs))
	for i := range sizes {
		sizes[i] = l.des.Runs[i].Size
	}
	l.axes = append(l.axes, fitting.Axes(l.net, sizes)...)
	l.duct = make([][2]float64, len(l.net.Runs))
	trims := fitting.Trims(l.net, sizes, l.des.Fittings)
	for i := range l.net.Runs {
		r := &l.net.Runs[i]
		near, far := float64(trims[i][0]), float64(trims[i][1])
		if !r.Air.FromUnit() {
			l.axes[i] = l.axes[i].Reverse()
			near, far = far, near
		}
		if long := l.axes[i].Len(); long > 0 {
			plan := l.axes[i].PlanLen()
			l.duct[i] = [2]float64{near / long * plan, plan - far/long*plan}
			if l.duct[i][1]-l.duct[i][0] < geom.Same {
				// All of it is fittings: nothing stands between its walls.
				mid := math.Max(0, math.Min(plan, (l.duct[i][0]+l.duct[i][1])/2))
				l.duct[i] = [2]float64{mid, mid}
			}
		}
		if l.single(r) {
			continue // its line is all there is of it
		}
		l.field.addRun(r, l.axes[i], l.drawnSize(r))
	}
	for i := range drawn {
		l.field.addShape(&drawn[i], damperAir*l.h)
	}
	for i := range l.net.Terminals {
		l.field.addOutline(l.net.Terminals[i].Face, reserved, false)
	}
	for i := range l.net.Units {
		l.field.addOutline(l.net.Units[i].Outline, reserved, false)
	}
	for i := range l.spec.Obstacles {
		o := &l.spec.Obstacles[i]
		if o.Own {
			l.field.addOutline(o.Corners, ownNote, true)
			continue
		}
		l.field.addOutline(withDescenders(o.Corners, l.h), reserved, true)
	}
	for _, s := range l.spec.Strokes {
		l.field.addStroke(s.A, s.B)
	}
	if !l.spec.SizeCentred {
		for i := range l.net.Runs {
			l.field.addCurve(l.net.Runs[i].Line, sketchLine)
		}
	}
}

// letters is how one kind of label looks, in metres of the model.
type letters struct {
	height, factor, slant float64
}

// styles settles how each kind of label looks.
func (l *labeler) styles() {
	for k := range l.letters {
		s := l.spec.Letters[k]
		t := letters{l.h, l.spec.LetterWidth, s.Oblique}
		if s.Height > 0 {
			t.height = s.Height * l.spec.Scale
		}
		if s.Width > 0 {
			t.factor = s.Width
		}
		if !(t.factor > 0) {
			t.factor = 1
		}
		l.letters[k] = t
	}
}

// tall returns the height of the capitals of b.
func (l *labeler) tall(b label) float64 { return l.letters[b.kind].height }

// single reports whether a run is drawn as its centreline alone.
func (l *labeler) single(r *duct.Run) bool {
	s := l.size(r)
	return s.IsZero() || r.Spec.Single ||
		l.spec.SingleBelow > 0 && math.Max(float64(s.Width), float64(s.Height)) <= float64(l.spec.SingleBelow)+geom.Same
}

func (l *labeler) size(r *duct.Run) duct.Size { return l.des.Runs[r.ID].Size }

// drawnSection returns the size of a run as it is drawn, with its lining.
func (l *labeler) drawnSize(r *duct.Run) duct.Size { return l.size(r).Lined(r.Spec.Lining) }

// missing notes that there is no place for a label the plan cannot do without.
func (l *labeler) missing(b label, at geom.Vec, handle string) {
	text := ""
	for i, line := range b.text {
		if i > 0 {
			text += ", "
		}
		text += line
	}
	l.diags.Add(diag.LabelLeftOut, [3]float64{at.X, at.Y, at.Z}, handle,
		fmt.Sprintf("There is no free place for the label %q.", text),
		"Letter it by hand, or plot at a larger scale or with smaller lettering.")
}
