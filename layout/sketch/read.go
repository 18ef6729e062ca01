package sketch

import (
	"fmt"
	"math"
	"slices"

	"twinline/dxfio"
	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/words"
)

// Source is a drawing to read a sketch from; *dxfio.Document is one.
type Source interface {
	// Walk offers the entities of model space whose kind and effective layer are wanted, and
	// reports those that could not be read. An insert whose visit returns false is not looked into.
	Walk(want func(kind dxfio.Kind, layer string) bool, visit func(*dxfio.Entity) (descend bool)) []dxfio.Trouble
	Layers() []dxfio.Layer
	InsUnits() int    // $INSUNITS, 0 where it says nothing
	Measurement() int // $MEASUREMENT, -1 where it says nothing
}

// Read reads the sketch in src. It never fails: what cannot be read are findings, and what is
// left of the sketch is returned with them. Its slices are sorted by key, so that the order of
// the entities in the drawing does not show. Without units the sketch comes back empty.
func Read(src Source, rules Rules) (*Sketch, diag.List) {
	unit, found := unitOfDrawing(src, rules.Unit)
	if found != nil {
		return &Sketch{}, found
	}
	f := newFrame(unit, rules)
	layers := readLayers(src, f.scheme)
	marks, found := collect(src, f, layers)
	things, attached := attach(f, &marks)
	sk, settled := settle(f, &marks, things)
	found = slices.Concat(found, attached, settled)
	if len(sk.Lines) == 0 && len(sk.Terminals) == 0 && len(sk.Units) == 0 {
		found.Add(diag.NoSketch, [3]float64{}, "",
			"Nothing in the drawing lies on a sketch layer: no duct, no terminal, no unit.",
			"Draw the sketch on layers named "+f.scheme.form()+", and see that they are neither frozen nor off.")
	}
	sk.Obstacles, sk.Strokes = surroundings(src, f, layers, sk)
	return sk, found.Sorted()
}

// Codes of $INSUNITS. Source: DXF reference, header variables.
var (
	drawingUnits = map[int]duct.Length{1: duct.Inch, 2: duct.Foot, 4: duct.Millimetre, 5: duct.Centimetre,
		6: duct.Metre}
	otherUnits = map[int]string{3: "miles", 7: "kilometres", 8: "microinches", 9: "mils", 10: "yards",
		11: "angstroms",
		12: "nanometres", 13: "microns", 14: "decimetres", 15: "decametres", 16: "hectometres", 17: "gigametres",
		18: "astronomical units", 19: "light years", 20: "parsecs", 21: "US survey feet", 22: "US survey inches",
		23: "US survey yards", 24: "US survey miles"}
)

// unitOfDrawing returns what a drawing unit is: what the settings say, else the drawing, else a finding.
func unitOfDrawing(src Source, set duct.Length) (duct.Length, diag.List) {
	if set > 0 {
		return set, nil
	}
	code := src.InsUnits()
	if u, ok := drawingUnits[code]; ok {
		return u, nil
	}
	text := "The drawing does not say what a drawing unit is ($INSUNITS is 0 or missing)."
	if name, ok := otherUnits[code]; ok {
		text = fmt.Sprintf("The drawing says that its unit is %s ($INSUNITS is %d); "+
			"a sketch is read in inches, feet, mm, cm or m.", name, code)
	} else if code != 0 {
		text = fmt.Sprintf("The drawing's unit is not known ($INSUNITS is %d).", code)
	} else if m, ok := map[int]string{0: "inch-pound", 1: "metric"}[src.Measurement()]; ok {
		text = "The drawing says that it is " + m + ", but not what a drawing unit is ($INSUNITS is 0 or missing)."
	}
	var found diag.List
	found.Add(diag.NoUnits, [3]float64{}, "", text,
		`Set the units in the CAD program, or write units = "mm" (or "inch", "foot", "cm", "m") in the settings.`)
	return 0, found
}

// frame is what every stage needs to know of the drawing and of the settings. It is never changed.
type frame struct {
	unit   duct.Length // one drawing unit
	metric bool
	rules  Rules // with the defaults of the convention
	scheme *scheme
	say    words.Words
}

// metric reports whether a drawing in that unit is metric.
func metric(unit duct.Length) bool { return unit != duct.Inch && unit != duct.Foot }

// newFrame fills in the defaults of the convention, which the README lists.
func newFrame(unit duct.Length, rules Rules) frame {
	f := frame{unit: unit, metric: metric(unit), rules: rules,
		scheme: newScheme(rules.Layers)}
	f.say = words.In(!f.metric)
	or := func(v *duct.Length, inch, metric duct.Length) {
		if *v <= 0 {
			*v = f.usual(inch, metric)
		}
	}
	or(&f.rules.Snap, 1*duct.Inch, 25*duct.Millimetre)
	or(&f.rules.Reach, 4*duct.Foot, 1200*duct.Millimetre)
	or(&f.rules.Face, 24*duct.Inch, 600*duct.Millimetre)
	or(&f.rules.Ceiling, 9*duct.Foot, 2700*duct.Millimetre)
	return f
}

// usual returns the default of an inch drawing or of a metric one.
func (f frame) usual(inch, metric duct.Length) duct.Length {
	if f.metric {
		return metric
	}
	return inch
}

// elevation returns the centreline of ducts of an air that nothing else places, in metres.
func (f frame) elevation(air duct.Air) float64 {
	if v, ok := f.rules.Elevation[air]; ok {
		return float64(v)
	}
	return float64(f.usual(11*duct.Foot, 3300*duct.Millimetre))
}

// vec turns a point of the drawing into metres.
func (f frame) vec(p dxfio.Point) geom.Vec {
	u := float64(f.unit)
	return geom.Vec{X: p.X * u, Y: p.Y * u, Z: p.Z * u}
}

// corners turns the box of e into metres, in plan; nil where it has none.
func (f frame) corners(e *dxfio.Entity) []geom.Vec {
	if len(e.Box) != 4 {
		return nil
	}
	out := make([]geom.Vec, len(e.Box))
	for i, p := range e.Box {
		if out[i] = f.vec(p).Plan(); !geom.Finite(out[i]) {
			return nil
		}
	}
	return out
}

// path turns the vertices of e into metres.
func (f frame) path(e *dxfio.Entity) geom.Path {
	out := make(geom.Path, len(e.Vertices))
	for i, v := range e.Vertices {
		out[i] = geom.Vertex{Vec: f.vec(v.Point), Bulge: v.Bulge}
	}
	return out
}

// start returns where e begins or was put.
func (f frame) start(e *dxfio.Entity) geom.Vec {
	if len(e.Vertices) > 0 {
		return f.vec(e.Vertices[0].Point)
	}
	return f.vec(e.Center)
}

// key names an entity by its handle and those of the inserts around it. Where the drawing has
// no handles its place does: that stays while other things are drawn.
func (f frame) key(e *dxfio.Entity) key.Key {
	if e.Handle != "" && !slices.Contains(e.Path, "") {
		return key.Handled(e.Path, e.Handle)
	}
	first, last := f.start(e), f.start(e)
	if n := len(e.Vertices); n > 0 {
		last = f.vec(e.Vertices[n-1].Point)
	}
	at := []float64{first.X, first.Y, first.Z}
	if first != last {
		at = append(at, last.X, last.Y, last.Z)
	}
	mm := make([]int64, len(at))
	for i, v := range at {
		if math.Abs(v) <= geom.Farthest {
			mm[i] = int64(math.Round(v / float64(duct.Millimetre)))
		}
	}
	return key.Placed(mm...)
}

// spot is a place as findings have it.
func spot(p geom.Vec) [3]float64 {
	if !geom.Finite(p) { // findings are shown on the drawing
		return [3]float64{}
	}
	return [3]float64{p.X, p.Y, p.Z}
}
