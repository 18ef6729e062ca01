package sketch

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"twinline/dxfio"
	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// Source is a drawing to read a sketch from; *dxfio.Document is one.
type Source interface {
	// Walk offers the entities of model space whose kind and effective layer are wanted, and
	// tells of those that could not be read. An insert whose visit returns false is not looked into.
	Walk(want func(kind dxfio.Kind, layer string) bool, visit func(*dxfio.Entity) (descend bool)) []dxfio.Trouble
	Layers() []dxfio.Layer
	InsUnits() int    // $INSUNITS, 0 where it says nothing
	Measurement() int // $MEASUREMENT, -1 where it says nothing
}

// Read reads the sketch in src. It never fails: what cannot be read are findings, and what is
// left of the sketch is returned with them. Its slices are sorted by key, so that the order of
// the entities in the drawing does not show. Without units the sketch comes back empty.
func Read(src Source, rules Rules) (*Sketch, diag.List) {
	r := &reader{src: src, sk: &Sketch{}, scheme: newScheme(rules.Layers), rules: rules}
	if !r.units() {
		return r.sk, r.found
	}
	r.defaults()
	r.layers()
	r.walk()
	r.hidden()
	r.order()
	r.attach()
	r.settle()
	r.rate()
	if len(r.sk.Lines) == 0 && len(r.sk.Terminals) == 0 && len(r.sk.Units) == 0 {
		r.found.Add(diag.NoSketch, [3]float64{}, "", "Nothing in the drawing lies on a sketch layer: no duct, no terminal, no unit.",
			"Draw the sketch on layers named "+r.scheme.form()+", and see that they are neither frozen nor off.")
	}
	r.obstacles()
	return r.sk, r.found.Sorted()
}

// reader carries the work of Read from step to step.
type reader struct {
	src    Source
	rules  Rules
	scheme *scheme
	sk     *Sketch
	found  diag.List

	invisible map[string]dxfio.Layer // frozen and switched-off layers, by name in capitals
	unread    map[string]*unread     // hidden and misspelt sketch layers with something on them
	inMark    int                    // depth of the terminal's or unit's insert whose content is offered, or noMark

	lines     []lineMark
	terminals []terminalMark
	unitMarks []unitMark
	zones     []zone
	notes     []note
	leaders   []leader
	ratings   []ratedNote
}

const noMark = -1

// unread is what is known of a layer that is not read.
type unread struct {
	name   string
	count  int
	at     geom.Vec
	handle string
	hidden bool
}

// Codes of $INSUNITS. Source: DXF reference, header variables.
var (
	drawingUnits = map[int]duct.Length{1: duct.Inch, 2: duct.Foot, 4: duct.Millimetre, 5: duct.Centimetre, 6: duct.Metre}
	otherUnits   = map[int]string{3: "miles", 7: "kilometres", 8: "microinches", 9: "mils", 10: "yards", 11: "angstroms",
		12: "nanometres", 13: "microns", 14: "decimetres", 15: "decametres", 16: "hectometres", 17: "gigametres",
		18: "astronomical units", 19: "light years", 20: "parsecs", 21: "US survey feet", 22: "US survey inches",
		23: "US survey yards", 24: "US survey miles"}
)

// units finds out what a drawing unit is.
func (r *reader) units() bool {
	u := r.rules.Unit
	code := r.src.InsUnits()
	if u <= 0 {
		u = drawingUnits[code]
	}
	if u <= 0 {
		text := "The drawing does not say what a drawing unit is ($INSUNITS is 0 or missing)."
		if name, ok := otherUnits[code]; ok {
			text = fmt.Sprintf("The drawing says that its unit is %s ($INSUNITS is %d); a sketch is read in inches, feet, mm, cm or m.", name, code)
		} else if code != 0 {
			text = fmt.Sprintf("The drawing's unit is not known ($INSUNITS is %d).", code)
		} else if m, ok := map[int]string{0: "inch-pound", 1: "metric"}[r.src.Measurement()]; ok {
			text = "The drawing says that it is " + m + ", but not what a drawing unit is ($INSUNITS is 0 or missing)."
		}
		r.found.Add(diag.NoUnits, [3]float64{}, "", text,
			`Set the units in the CAD program, or write units = "mm" (or "inch", "foot", "cm", "m") in the settings.`)
		return false
	}
	r.sk.Unit = u
	r.sk.Metric = u != duct.Inch && u != duct.Foot
	return true
}

// The convention's defaults in inch drawings and in metric ones; section 2 of the design.
func (r *reader) defaults() {
	or := func(v *duct.Length, inch, metric duct.Length) {
		if *v <= 0 && r.sk.Metric {
			*v = metric
		} else if *v <= 0 {
			*v = inch
		}
	}
	or(&r.rules.Snap, 1*duct.Inch, 25*duct.Millimetre)
	or(&r.rules.Reach, 4*duct.Foot, 1200*duct.Millimetre)
	or(&r.rules.Face, 24*duct.Inch, 600*duct.Millimetre)
	or(&r.rules.Ceiling, 9*duct.Foot, 2700*duct.Millimetre)
}

// elevation returns the centreline of ducts of an air that nothing else places.
func (r *reader) elevation(air duct.Air) float64 {
	if v, ok := r.rules.Elevation[air]; ok {
		return float64(v)
	}
	if r.sk.Metric {
		return float64(3300 * duct.Millimetre)
	}
	return float64(11 * duct.Foot)
}

// layers learns which layers are not to be read and tells of names that are nearly right.
func (r *reader) layers() {
	r.invisible, r.unread, r.inMark = map[string]dxfio.Layer{}, map[string]*unread{}, noMark
	for _, l := range r.src.Layers() {
		if l.Frozen || l.Off {
			r.invisible[strings.ToUpper(strings.TrimSpace(l.Name))] = l
		}
		if _, ok := r.scheme.layer(l.Name); !ok && r.scheme.like(l.Name) {
			r.notRead(l.Name, nil)
		}
	}
}

// notRead remembers that e was left out, on a layer called name; e may be nil.
func (r *reader) notRead(name string, e *dxfio.Entity) *unread {
	k := strings.ToUpper(strings.TrimSpace(name))
	u := r.unread[k]
	if u == nil {
		u = &unread{name: name}
		r.unread[k] = u
	}
	if e != nil {
		at := r.place(e)
		if u.count == 0 || lessVec(at, u.at) {
			u.at, u.handle = at, e.Handle
		}
		u.count++
	}
	return u
}

func lessVec(a, b geom.Vec) bool { return compareVec(a, b) < 0 }

func compareVec(a, b geom.Vec) int {
	return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y), cmp.Compare(a.Z, b.Z))
}

// walk reads every entity on a sketch layer.
func (r *reader) walk() {
	troubles := r.src.Walk(func(kind dxfio.Kind, layer string) bool {
		if kind == dxfio.KindInsert && r.invisible[strings.ToUpper(layer)].Frozen {
			return true // what is inside is hidden with it
		}
		_, ok := r.scheme.layer(layer)
		return ok || r.scheme.like(layer)
	}, r.visit)
	for _, t := range troubles {
		code := diag.BadGeometry
		do := "Draw it anew, or have the CAD program check and repair the drawing."
		if t.Code == string(diag.BadBlock) {
			code, do = diag.BadBlock, "Put the block right in the CAD program, or take its insert out of the sketch."
		}
		text := t.Text
		if t.At != "" {
			text += " (" + t.At + ")"
		}
		r.found.Add(code, [3]float64{}, t.Handle, text, do)
	}
}

// visit reads one entity.
func (r *reader) visit(e *dxfio.Entity) (descend bool) {
	if r.inMark != noMark && len(e.Path) <= r.inMark {
		r.inMark = noMark
	}
	l, known := r.scheme.layer(e.Layer)
	hidden, isHidden := r.invisible[strings.ToUpper(strings.TrimSpace(e.Layer))]
	switch {
	case isHidden:
		if known {
			r.notRead(e.Layer, e).hidden = true
		}
		return !hidden.Frozen
	case !known:
		if r.scheme.like(e.Layer) {
			r.notRead(e.Layer, e)
		}
		return true
	case r.inMark != noMark && (l.Part == PartTerm || l.Part == PartUnit):
		return false // part of the picture of a terminal or unit
	}
	switch e.Kind {
	case dxfio.KindText, dxfio.KindMText:
		r.addNote(e, l)
	case dxfio.KindLeader:
		r.addLeader(e, false)
	default:
		r.addMark(e, l)
	}
	if e.Kind == dxfio.KindInsert && (l.Part == PartTerm || l.Part == PartUnit) && r.inMark == noMark {
		r.inMark = len(e.Path)
	}
	return true
}

// addMark reads geometry.
func (r *reader) addMark(e *dxfio.Entity, l Layer) {
	switch l.Part {
	case PartDuct, PartFlex:
		r.addLine(e, l)
	case PartTerm:
		r.addTerminal(e, l)
	case PartUnit:
		r.addUnit(e, l)
	case PartLimit, PartCeiling:
		r.addZone(e, l)
	case PartRated:
		r.addRated(e)
	case PartNote:
		// A plain line does for a leader where the CAD program has none.
		if (e.Kind == dxfio.KindLine || e.Kind == dxfio.KindPolyline) && !e.Closed {
			r.addLeader(e, true)
		} else if e.Kind != dxfio.KindInsert {
			r.badKind(e, "Notes are TEXT, MTEXT and MULTILEADER, with LEADER or LINE to what they are about.")
		}
	}
}

// hidden tells of the layers that were not read.
func (r *reader) hidden() {
	for _, u := range r.unread {
		at := place(u.at)
		if u.hidden {
			things := fmt.Sprintf("%d entities on it were", u.count)
			if u.count == 1 {
				things = "1 entity on it was"
			}
			r.found.Add(diag.HiddenLayer, at, u.handle, fmt.Sprintf("The sketch layer %s is frozen or switched off; %s not read.", u.name, things),
				"Thaw the layer and switch it on if it belongs to the sketch.")
			continue
		}
		r.found.Add(diag.UnknownLayer, at, u.handle,
			fmt.Sprintf("The layer %s begins like a sketch layer, but the rest of its name is not known; it was not read.", u.name),
			fmt.Sprintf("The nearest sketch layer is %s; rename the layer.", r.scheme.nearest(u.name)))
	}
}

func place(p geom.Vec) [3]float64 {
	if !geom.Finite(p) { // findings are shown on the drawing
		return [3]float64{}
	}
	return [3]float64{p.X, p.Y, p.Z}
}

// vec turns a point of the drawing into metres.
func (r *reader) vec(p dxfio.Point) geom.Vec {
	u := float64(r.sk.Unit)
	return geom.Vec{X: p.X * u, Y: p.Y * u, Z: p.Z * u}
}

// path turns the vertices of e into metres.
func (r *reader) path(e *dxfio.Entity) geom.Path {
	out := make(geom.Path, len(e.Vertices))
	for i, v := range e.Vertices {
		out[i] = geom.Vertex{Vec: r.vec(v.Point), Bulge: v.Bulge}
	}
	return out
}

// place returns where e is, for findings.
func (r *reader) place(e *dxfio.Entity) geom.Vec {
	if len(e.Vertices) > 0 {
		return r.vec(e.Vertices[0].Point)
	}
	return r.vec(e.Center)
}

// key names an entity by its handle and those of the inserts around it. Where the drawing has
// no handles the place of the entity does: it stays while other things are drawn.
func (r *reader) key(e *dxfio.Entity) string {
	if e.Handle != "" && !slices.Contains(e.Path, "") {
		return joinKey(e.Path, e.Handle)
	}
	first, last := r.place(e), r.place(e)
	if n := len(e.Vertices); n > 0 {
		last = r.vec(e.Vertices[n-1].Point)
	}
	mm := func(v float64) int64 {
		if !(math.Abs(v) <= geom.Farthest) {
			return 0
		}
		return int64(math.Round(v / float64(duct.Millimetre)))
	}
	if first == last {
		return fmt.Sprintf("@%d_%d_%d", mm(first.X), mm(first.Y), mm(first.Z))
	}
	return fmt.Sprintf("@%d_%d_%d_%d_%d_%d", mm(first.X), mm(first.Y), mm(first.Z), mm(last.X), mm(last.Y), mm(last.Z))
}

func joinKey(path []string, handle string) string {
	return strings.Join(append(slices.Clone(path), handle), ".")
}

// bad tells of an entity that was left out.
func (r *reader) bad(e *dxfio.Entity, text, do string) {
	r.found.Add(diag.BadGeometry, place(r.place(e)), e.Handle, text, do)
}

func (r *reader) badKind(e *dxfio.Entity, do string) {
	r.bad(e, fmt.Sprintf("%s on layer %s is not read there.", kindName(e.Kind), e.Layer), do)
}

func kindName(k dxfio.Kind) string {
	names := map[dxfio.Kind]string{dxfio.KindLine: "A LINE", dxfio.KindPolyline: "A polyline", dxfio.KindArc: "An ARC",
		dxfio.KindCircle: "A CIRCLE", dxfio.KindPoint: "A POINT", dxfio.KindSpline: "A SPLINE", dxfio.KindEllipse: "An ELLIPSE",
		dxfio.KindInsert: "A block", dxfio.KindText: "A TEXT", dxfio.KindMText: "An MTEXT", dxfio.KindLeader: "A LEADER"}
	if n, ok := names[k]; ok {
		return n
	}
	return "An entity"
}
