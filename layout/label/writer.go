package label

import (
	"math"
	"strings"

	"twinline/layout/duct"
	"twinline/layout/shape"
	"twinline/layout/words"
)

// writer words what labels say.
type writer struct {
	words.Words
	forms    Forms
	flowUnit words.FlowUnit
	content  [shape.LetterKinds]Content
	looks    [shape.LetterKinds]look
}

func newWriter(net *duct.Network, spec *Spec) *writer {
	w := &writer{Words: words.In(spec.Inches), forms: spec.Forms, flowUnit: spec.Forms.FlowUnit}
	if w.flowUnit == (words.FlowUnit{}) {
		w.flowUnit = w.GivenIn(func(yield func(duct.Flow) bool) {
			for i := range net.Terminals {
				if !yield(net.Terminals[i].Flow) {
					return
				}
			}
		})
	}
	for k := range w.content {
		w.content[k], w.looks[k] = spec.content(shape.Letters(k)), spec.look(shape.Letters(k))
	}
	return w
}

// field is a field of labels about a T.
type field[T any] struct {
	name string
	say  func(*writer, T) string
}

// Fields of labels, by what they are about.
var (
	runFields = []field[*run]{
		{"size", func(w *writer, r *run) string { return w.size(r.Size) }},
		{"width", func(w *writer, r *run) string { return w.Side(r.Size.Width) }},
		{"height", func(w *writer, r *run) string { return w.Side(r.Size.Height) }},
		{"cover", func(w *writer, r *run) string {
			return strings.TrimSpace(w.cover("lined ", r.Spec.Lining) + " " + w.cover("insul ", r.Spec.Insulation))
		}},
		{"lining", func(w *writer, r *run) string { return w.cover("", r.Spec.Lining) }},
		{"insulation", func(w *writer, r *run) string { return w.cover("", r.Spec.Insulation) }},
		{"elevation", func(w *writer, r *run) string {
			if r.Kind != duct.Rigid || !r.level() {
				return ""
			}
			return w.datum(r, r.axis.A.Z)
		}},
		{"flow", func(w *writer, r *run) string { return w.flow(r.Flow) }},
		{"velocity", func(w *writer, r *run) string { return known(r.Velocity, w.velocity) }},
		{"rate", func(w *writer, r *run) string { return known(r.Rate, w.Rate) }},
		{"length", func(w *writer, r *run) string { return w.Side(duct.Length(r.axis.Len())) }},
		{"id", func(_ *writer, r *run) string { return words.Run(r.ID) }},
		{"material", func(_ *writer, r *run) string { return r.Spec.Material }},
		{"air", func(_ *writer, r *run) string { return r.Air.String() }},
		{"status", func(_ *writer, r *run) string { return r.Status.String() }},
	}
	terminalFields = []field[*duct.Terminal]{
		{"mark", func(_ *writer, t *duct.Terminal) string {
			if t.Mark == "" {
				return t.Name
			}
			return t.Mark
		}},
		{"name", func(_ *writer, t *duct.Terminal) string { return t.Name }},
		{"flow", func(w *writer, t *duct.Terminal) string { return w.flow(t.Flow) }},
		{"neck", func(w *writer, t *duct.Terminal) string {
			if t.Neck.IsZero() {
				return ""
			}
			return w.size(t.Neck)
		}},
		{"elevation", func(w *writer, t *duct.Terminal) string { return "EL " + w.elevation(t.At.Z) }},
		{"loss", func(w *writer, t *duct.Terminal) string { return known(t.Loss, w.Pressure) }},
		{"air", func(_ *writer, t *duct.Terminal) string { return t.Air.String() }},
		{"status", func(_ *writer, t *duct.Terminal) string { return t.Status.String() }},
	}
	unitFields = []field[headed]{
		{"mark", func(_ *writer, u headed) string { return u.Mark }},
		{"flow", func(_ *writer, u headed) string { return u.flow }},
		{"pressure", func(_ *writer, u headed) string { return u.pressure }},
		{"air", func(_ *writer, u headed) string { return u.Air.String() }},
		{"status", func(_ *writer, u headed) string { return u.Status.String() }},
	}
	levelFields = []field[string]{
		{"elevation", func(_ *writer, level string) string { return level }},
	}
)

// headed is a unit and what is said of one of the systems it heads.
type headed struct {
	*duct.Unit
	flow, pressure string
}

// fieldsOf returns the fields labels of a kind know.
func fieldsOf(k shape.Letters) []string {
	switch k {
	case shape.SizeText:
		return names(runFields)
	case shape.FlowText:
		return names(terminalFields)
	case shape.UnitText:
		return names(unitFields)
	case shape.LevelText:
		return names(levelFields)
	case shape.PlainText:
	}
	return nil
}

func names[T any](fields []field[T]) []string {
	out := make([]string, len(fields))
	for i, f := range fields {
		out[i] = f.name
	}
	return out
}

// saying returns what each field says of a thing.
func saying[T any](w *writer, fields []field[T], about T) func(string) string {
	return func(name string) string {
		for _, f := range fields {
			if f.name == name {
				return f.say(w, about)
			}
		}
		return ""
	}
}

// run returns what is said of a run. Its elevation is that of the place of the label, and said only where it is placed.
func (w *writer) run(r *run, placed bool) []string {
	if r.Size.IsZero() {
		return nil
	}
	get := saying(w, runFields, r)
	return w.content[shape.SizeText].say(func(field string) string {
		if field == "elevation" && !placed {
			return ""
		}
		return get(field)
	})
}

func (w *writer) terminal(t *duct.Terminal) []string {
	return w.content[shape.FlowText].say(saying(w, terminalFields, t))
}

// unit returns what is said of a unit: its airflow and pressure for each system it heads, or what flows through it in
// the middle of one.
func (w *writer) unit(u *duct.Unit, heads []*duct.System, results []duct.SystemResult, through duct.Flow) []string {
	var flows, pressures []string
	for _, s := range heads {
		air := ""
		if len(heads) > 1 {
			air = s.Air.String() + " "
		}
		if text := w.flow(s.Flow); text != "" {
			flows = append(flows, air+text)
		}
		if text := known(results[s.ID].Required, w.Pressure); text != "" {
			pressures = append(pressures, air+text)
		}
	}
	if text := w.flow(through); len(heads) == 0 && text != "" {
		flows = append(flows, text)
	}
	var out []string
	for _, line := range w.content[shape.UnitText].lines {
		n := 1
		if mentions(line, "flow", "pressure") { // it comes again for every system
			n = max(1, min(len(heads), max(len(flows), len(pressures))))
		}
		for i := range n {
			about := headed{u, nth(flows, i), nth(pressures, i)}
			out = append(out, Content{[][]token{line}}.say(saying(w, unitFields, about))...)
		}
	}
	return out
}

func nth(list []string, i int) string {
	if i < len(list) {
		return list[i]
	}
	return ""
}

// level returns what is said of a run whose centreline lies at z.
func (w *writer) level(r *run, z float64) []string {
	return w.content[shape.LevelText].say(saying(w, levelFields, w.datum(r, z)))
}

// datum writes the elevation a duct with its centreline at z was noted by, with the word for what it is of.
func (w *writer) datum(r *run, z float64) string {
	word := [...]string{duct.Centre: "CL", duct.Bottom: "BOD", duct.Top: "TOD"}[r.Datum]
	return word + " " + w.elevation(z-r.AxisShift(r.Size))
}

func (w *writer) elevation(z float64) string { return w.LevelAs(w.forms.Level, duct.Length(z)) }

// size writes a size in the form the office chose for its shape.
func (w *writer) size(s duct.Size) string {
	width, height := w.Side(s.Width), w.Side(s.Height)
	if w.forms.PlainInches {
		width, height = strings.TrimSuffix(width, `"`), strings.TrimSuffix(height, `"`)
	}
	get := func(field string) string {
		if field == "h" {
			return height
		}
		return width
	}
	switch s.Shape {
	case duct.Rect:
		return w.forms.Rect.or(width+"x"+height, get)
	case duct.Oval:
		return w.forms.Oval.or(width+"x"+height+" oval", get)
	case duct.Round:
	}
	return w.forms.Round.or("ø"+width, get)
}

// cover writes a thickness of lining or insulation with a word before it, "" where there is none.
func (w *writer) cover(word string, thickness duct.Length) string {
	return known(thickness, func(l duct.Length) string { return word + w.Side(l) })
}

func (w *writer) flow(q duct.Flow) string {
	if math.IsInf(float64(q), 0) {
		return ""
	}
	return known(q, func(q duct.Flow) string { return w.flowUnit.Stepped(q, w.forms.FlowStep) })
}

// velocity writes a velocity as it is lettered: whole feet per minute, or metres per second with one decimal.
func (w *writer) velocity(v duct.Velocity) string {
	m := w.Measures().Velocity
	m.Decimals = min(m.Decimals, 1)
	return m.Text(float64(v))
}

// known writes a quantity that is over zero, and nothing where it is not known.
func known[Q ~float64](q Q, text func(Q) string) string {
	if !(q > 0) {
		return ""
	}
	return text(q)
}
