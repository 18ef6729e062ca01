package plan

import (
	"fmt"
	"math"
	"unicode"
	"unicode/utf8"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// drawing is the state of one Draw: what it works from, and the pieces as they come.
type drawing struct {
	net  *duct.Network
	des  *duct.Design
	spec Spec

	axes   []geom.Curve      // by run, true centrelines from the unit outwards
	cut    [][2]float64      // by run: plan length from its near and its far end at which the straight duct begins
	fits   [][]*duct.Fitting // by node
	start  []start           // by run: how a size change at its near end begins
	trims  [][2]float64      // by run: how much of it the fittings at its near and its far end take, along the axis
	short  []bool            // by run: a fitting on it is told to be short of room
	pieces []*piece

	close    close                     // what is made as one piece of several nodes
	sloped   map[duct.RunID][]geom.Vec // the middle of a straight run that a size change or an offset sets aside
	enter    map[runEnd]landings       // where flexible runs may end on a face or a unit
	standing *ground                   // what removed work may end at
	shapes   []shape.Shape             // drawn as they are: axis lines, symbols, flexible walls
	diags    diag.List
}

// start is the size, and the axis, with which an outward run leaves its near node where
// a size change follows.
type start struct {
	fit  *duct.Fitting
	axis geom.Curve
}

// at turns a point into the place of a finding.
func at(v geom.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

// mm words a length in millimetres.
func mm(l float64) string { return fmt.Sprintf("%.0f mm", duct.Length(l)/duct.Millimetre) }

// long words a length in the units of the drawing.
func (d *drawing) long(l float64) string {
	if d.spec.Inches {
		return duct.Length(l).Text(true)
	}
	return mm(l)
}

// tell adds a finding, its two parts as sentences.
func (d *drawing) tell(code diag.Code, at [3]float64, handle, text, do string) {
	d.diags.Add(code, at, handle, sentence(text), sentence(do))
}

func sentence(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:] + "."
}

func newDrawing(net *duct.Network, des *duct.Design, spec Spec) *drawing {
	d := &drawing{net: net, des: des, spec: spec}
	sizes := des.Sizes()
	d.axes = append(d.axes, fitting.Axes(net, sizes)...)
	for i := range net.Runs {
		if !net.Runs[i].Air.FromUnit() {
			d.axes[i] = d.axes[i].Reverse()
		}
	}
	d.cut = make([][2]float64, len(net.Runs))
	d.start = make([]start, len(net.Runs))
	d.trims, d.short = make([][2]float64, len(net.Runs)), make([]bool, len(net.Runs))
	for i, t := range fitting.Trims(net, sizes, des.Fittings) {
		if !net.Runs[i].Air.FromUnit() {
			t[0], t[1] = t[1], t[0]
		}
		d.trims[i] = [2]float64{float64(t[0]), float64(t[1])}
	}
	d.sloped = map[duct.RunID][]geom.Vec{}
	d.enter = map[runEnd]landings{}
	d.fits = make([][]*duct.Fitting, len(net.Nodes))
	for i := range des.Fittings {
		f := &des.Fittings[i]
		d.fits[f.Node] = append(d.fits[f.Node], f)
		if float64(f.ShortBy) >= geom.Same {
			for _, r := range []duct.RunID{f.Run, f.Main} {
				if r != duct.None {
					d.short[r] = true
				}
			}
		}
	}
	d.close = d.closeNodes(sizes)
	return d
}

// clear returns the size the air has in a run.
func (d *drawing) clear(r duct.RunID) duct.Size { return d.des.Runs[r].Size }

// size returns the size of a run as it is drawn, with its lining.
func (d *drawing) size(r duct.RunID) duct.Size {
	return d.clear(r).Lined(d.net.Runs[r].Spec.Lining)
}

// common returns the size a size change begins with, as it is drawn.
func (d *drawing) common(f *duct.Fitting) duct.Size {
	if f.Main == duct.None {
		return f.Common
	}
	return f.Common.Lined(d.net.Runs[f.Main].Spec.Lining)
}

// single reports whether a run is drawn as its centreline alone.
func (d *drawing) single(r *duct.Run) bool {
	s := d.size(r.ID)
	return s.IsZero() || r.Spec.Single ||
		d.spec.SingleBelow > 0 && math.Max(float64(s.Width), float64(s.Height)) <= float64(d.spec.SingleBelow)+geom.Same
}

// shell returns the thickness around the drawn size of a run.
func shell(r *duct.Run) float64 { return float64(r.Spec.Insulation) }

// fit returns the fitting of a run at a node whose kind is among kinds.
func (d *drawing) fit(n duct.NodeID, r duct.RunID, kinds ...duct.FittingKind) *duct.Fitting {
	for _, f := range d.fits[n] {
		if f.Run != r {
			continue
		}
		for _, k := range kinds {
			if f.Kind == k {
				return f
			}
		}
	}
	return nil
}

// newPiece starts a piece that is booked on r.
func (d *drawing) newPiece(key string, r *duct.Run, nodes ...duct.NodeID) *piece {
	p := &piece{key: key, air: r.Air, status: r.Status, run: r.ID, nodes: nodes, shell: shell(r),
		half: float64(d.size(r.ID).Height) / 2}
	d.pieces = append(d.pieces, p)
	return p
}

// show adds shapes that no later pass cuts.
func (d *drawing) show(r *duct.Run, part shape.Part, key string, geoms ...shape.Geometry) {
	for i, g := range geoms {
		k := key
		if len(geoms) > 1 {
			k = fmt.Sprintf("%s/%d", key, i+1)
		}
		d.shapes = append(d.shapes, shape.Shape{Key: k, Part: part, Air: r.Air, Status: r.Status, Geom: g})
	}
}
