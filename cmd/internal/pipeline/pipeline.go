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
	"twinline/layout/network"
	"twinline/layout/plan"
	"twinline/layout/shape"
	"twinline/layout/sketch"
	"twinline/layout/words"
	"twinline/sizing"
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
	set, err := config.Load(settings, Metric(doc, config.UnitsIn(settings)))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrSettings, err)
	}
	st := &Study{Doc: doc, Settings: set, Specs: set.Specs}
	sk, found := sketch.Read(doc, st.Specs.Sketch)
	st.Sketch = sk
	st.Findings = append(found, earlierWork(doc, set.Ours(), st.Unit())...)
	if sk == nil || found.HasErrors() && len(sk.Lines)+len(sk.Terminals)+len(sk.Units) == 0 {
		return st, nil
	}
	st.Specs.Sizing.Inches = !sk.Metric
	net, des, found := solve(sk, st.Specs, st.Findings)
	if shifts := offLevel(net, des, st.Specs.Network.Snap); len(shifts) > 0 {
		st.Sketch = sk.Centred(shifts)
		net, des, found = solve(st.Sketch, st.Specs, st.Findings)
	}
	st.Network, st.Design = net, des
	st.Findings = append(st.Findings, found...)
	if des == nil {
		return st, nil
	}
	st.Findings = append(st.Findings, levelSteps(net, des, st.Specs.Network.Snap, st.Words())...)
	marks, found := chosenMarks(doc, st.Specs.Marks, sk.Unit)
	st.Findings = append(st.Findings, found...)
	st.Shapes, found = draw(st.Sketch, net, des, st.Specs, marks)
	st.Findings = append(st.Findings, found...)
	return st, nil
}

// solve builds the network of a sketch and sizes it. Where what was read or what is found has errors there is no
// design.
func solve(sk *sketch.Sketch, specs config.Specs, read diag.List) (*duct.Network, *duct.Design, diag.List) {
	net, found := network.Build(sk, specs.Network)
	if read.HasErrors() || found.HasErrors() {
		return net, nil, found
	}
	des, sized := sizing.Solve(net, specs.Sizing)
	if sized.HasErrors() {
		des = nil
	}
	return net, des, append(found, sized...)
}

// chosenMarks returns how every mark looks, with the sizes of the blocks chosen for some. For a block that is not
// there the usual mark stands in, with a finding.
func chosenMarks(doc *dxfio.Document, marks symbols.Choices, unit duct.Length) (symbols.Choices, diag.List) {
	var found diag.List
	for m := range marks {
		b := &marks[m].Block
		if b.Name == "" {
			continue
		}
		box, ok := doc.BlockBox(b.Name)
		b.Long, b.Wide = (box.MaxX-box.MinX)*float64(unit), (box.MaxY-box.MinY)*float64(unit)
		if ok && math.Max(b.Long, b.Wide) > 0 {
			continue
		}
		what := "is not in the drawing"
		if ok {
			what = "shows nothing that has a size"
		}
		mark := symbols.Mark(m)
		found.Add(diag.MissingBlock, [3]float64{}, "",
			fmt.Sprintf("The block %q, which symbols.marks.%s names, %s; the usual mark was drawn.", b.Name, mark,
				what),
			"Insert the block once and delete it again, so that the drawing knows it, or choose one of "+
				strings.Join(mark.Styles(), ", ")+".")
		marks[m] = symbols.Choice{}
	}
	return marks, found
}

// draw draws what was worked out, as shapes, and letters it.
func draw(sk *sketch.Sketch, net *duct.Network, des *duct.Design, specs config.Specs,
	marks symbols.Choices) ([]shape.Shape, diag.List) {
	spec, lettering := specs.Plan, specs.Label
	spec.Symbols, lettering.Symbols = marks, marks
	spec.Inches, lettering.Inches = !sk.Metric, !sk.Metric
	spec.Limits, spec.Ceilings, spec.Rated = sk.Limits, sk.Ceilings, sk.Rated
	lettering.Obstacles, lettering.Strokes = sk.Obstacles, sk.Strokes
	shapes, found := plan.Draw(net, des, spec)
	labels, left := label.Place(net, des, shapes, lettering)
	shapes = append(shapes, labels...)
	if specs.Bodies {
		shapes = append(shapes, mesh.Build(net, des)...)
	}
	return shapes, append(found, left...)
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
	return st.Settings.Standard(st.Unit(), st.Doc.LinetypeScale(), st.Doc.Version())
}

// Unit returns the length of a drawing unit, one metre where it is not known.
func (st *Study) Unit() duct.Length {
	if st.Sketch != nil && st.Sketch.Unit > 0 {
		return st.Sketch.Unit
	}
	return duct.Metre
}

// Words returns the words of the drawing, with places in its units.
func (st *Study) Words() words.Words {
	return words.In(st.Sketch != nil && !st.Sketch.Metric).DrawnIn(st.Unit())
}

// Two drawings are held while one is written. For large ones garbage is collected then when it is tight percent of
// what is held: most of that are the bytes of the drawings, which are not searched, so that it costs next to nothing.
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
