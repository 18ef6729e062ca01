// Package pipeline is the straight line from the bytes of a sketch to the bytes of the
// finished drawing. It opens no file.
package pipeline

import (
	"errors"
	"fmt"
	"math"
	"runtime/debug"
	"strings"

	"twinline/cmd/internal/config"
	"twinline/dxfio"
	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/emit"
	"twinline/layout/key"
	"twinline/layout/label"
	"twinline/layout/mesh"
	"twinline/layout/plan"
	"twinline/layout/shape"
	"twinline/layout/sketch"
	"twinline/symbols"
)

// Study is a sketch read, joined up and sized.
type Study struct {
	Doc      *dxfio.Document
	Settings *config.Settings
	Specs    config.Specs
	Sketch   *sketch.Sketch
	Network  *duct.Network // nil where the sketch could not be read
	Design   *duct.Design  // nil where there are errors
	Shapes   []shape.Shape // empty where there are errors
	Findings diag.List
}

// Drawing is a finished drawing.
type Drawing struct {
	Output []byte
	Change dxfio.Change
	Owned  []dxfio.Owned // what is ours in it, as read back
}

// ErrSettings marks errors of the settings file.
var ErrSettings = errors.New("settings")

// Read reads the drawing and works everything out, as far as its errors allow. settings is
// the content of the settings file, nil where there is none.
func Read(drawing, settings []byte) (*Study, error) {
	doc, err := dxfio.Read(drawing)
	if err != nil {
		return nil, err
	}
	st := &Study{Doc: doc}
	st.Settings, err = config.Load(settings, Metric(doc, config.UnitsIn(settings)))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrSettings, err)
	}
	st.Specs = st.Settings.Specs
	var found diag.List
	st.Sketch, found = sketch.Read(doc, st.Specs.Sketch)
	st.Findings = append(st.Findings, found...)
	st.earlierWork()
	if st.Sketch == nil || found.HasErrors() && nothing(st.Sketch) {
		return st, nil
	}
	if st.join(); st.Design != nil {
		st.plan()
	}
	return st, nil
}

// earlierWork tells of what an earlier run drew and cannot be known again, or was changed by hand.
func (st *Study) earlierWork() {
	owned := st.Doc.Owned()
	for _, o := range owned {
		at := st.metres(o.At)
		switch {
		case o.Copy:
			st.Findings.Add(diag.CopiedWork, at, o.Handle, "This is a copy of work drawn by an earlier run; it is nobody's now.",
				"Delete it if it is not wanted.")
		case o.Edited:
			st.Findings.Add(diag.EditedWork, at, o.Handle, "Work drawn by an earlier run was changed by hand on layer "+o.Layer+"; it is drawn anew.",
				"Make the change in the sketch or in the settings, or draw it on a layer of your own.")
		}
	}
	st.strays(len(owned) > 0)
}

// nothing reports a sketch with nothing to join up.
func nothing(sk *sketch.Sketch) bool {
	return len(sk.Lines) == 0 && len(sk.Terminals) == 0 && len(sk.Units) == 0
}

// plan draws what was worked out, as shapes, and letters it.
func (st *Study) plan() {
	spec, lettering := st.Specs.Plan, st.Specs.Label
	spec.Symbols = st.marks()
	spec.Inches = !st.Sketch.Metric
	spec.Limits, spec.Ceilings, spec.Rated = st.Sketch.Limits, st.Sketch.Ceilings, st.Sketch.Rated
	lettering.Symbols, lettering.Inches = spec.Symbols, spec.Inches
	lettering.Obstacles, lettering.Strokes = st.Sketch.Obstacles, st.Sketch.Strokes
	drawn, found := plan.Draw(st.Network, st.Design, spec)
	labels, left := label.Place(st.Network, st.Design, drawn, lettering)
	shapes := append(drawn, labels...)
	st.Findings = append(append(st.Findings, found...), left...)
	if st.Specs.Bodies {
		shapes = append(shapes, mesh.Build(st.Network, st.Design)...)
	}
	st.Shapes = shapes
}

// marks returns how every mark looks, with the sizes of the blocks chosen for some. A block that is not there is
// told, and the mark drawn in the house's style.
func (st *Study) marks() symbols.Choices {
	out := st.Specs.Marks
	for m := range out {
		b := &out[m].Block
		if b.Name == "" {
			continue
		}
		box, ok := st.Doc.BlockBox(b.Name)
		b.Long, b.Wide = (box.MaxX-box.MinX)*float64(st.Sketch.Unit), (box.MaxY-box.MinY)*float64(st.Sketch.Unit)
		if ok && math.Max(b.Long, b.Wide) > 0 {
			continue
		}
		what := "is not in the drawing"
		if ok {
			what = "shows nothing that has a size"
		}
		st.Findings.Add(diag.MissingBlock, [3]float64{}, "",
			fmt.Sprintf("The block %q, which symbols.marks.%s names, %s; the usual mark was drawn.", b.Name, symbols.Mark(m), what),
			"Insert the block once and delete it again, so that the drawing knows it, or choose one of "+strings.Join(symbols.Mark(m).Styles(), ", ")+".")
		out[m] = symbols.Choice{}
	}
	return out
}

// Draw draws a study without errors into its drawing, and proves that nothing else changed.
func (st *Study) Draw() (*Drawing, error) {
	return st.write(emit.Patch(st.Shapes, st.standard()))
}

// Mark writes the findings at their places and nothing else.
func (st *Study) Mark() (*Drawing, error) {
	patch := emit.Patch(marks(st.Findings, st.Specs.Plan), st.standard())
	patch.Owns = func(k string) bool { return key.Key(k).IsFinding() }
	return st.write(patch)
}

func (st *Study) standard() emit.Standard {
	unit := duct.Length(1)
	if st.Sketch != nil && st.Sketch.Unit > 0 {
		unit = st.Sketch.Unit
	}
	return st.Settings.Standard(unit, st.Doc.LinetypeScale(), st.Doc.Version())
}

// Two drawings are held while one is written. For large ones garbage is collected then when it is tight percent of what is
// held: most of that are the bytes of the drawings, which are not searched, so that it costs next to nothing.
const (
	large = 8 << 20 // bytes of a drawing
	tight = 4       // percent
)

func (st *Study) write(patch dxfio.Patch) (*Drawing, error) {
	if len(st.Doc.Bytes()) > large {
		defer debug.SetGCPercent(debug.SetGCPercent(tight))
	}
	out, change, err := st.Doc.Apply(patch)
	if err != nil {
		return nil, err
	}
	doc, err := dxfio.ReadBack(st.Doc, out, change)
	if err != nil {
		return nil, err
	}
	return &Drawing{out, change, doc.Owned()}, nil
}

// Metric reports whether doc is a metric drawing: by the settings' units, else by its own.
func Metric(doc *dxfio.Document, units string) bool {
	switch units {
	case "inch", "foot":
		return false
	case "":
		switch doc.InsUnits() {
		case 1, 2, 8, 9, 10: // inch, foot, microinch, mil, yard
			return false
		case 0:
			return doc.Measurement() != 0
		}
	}
	return true
}
