package plan

import (
	"fmt"
	"math"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// fittingWords words a kind of fitting for a finding.
var fittingWords = map[duct.FittingKind]string{
	duct.Elbow: "elbow", duct.Mitre: "mitred elbow", duct.VanedMitre: "mitred elbow", duct.Reducer: "size change",
	duct.Expander: "size change", duct.Takeoff: "branch", duct.Through: "junction", duct.Wye: "wye", duct.Bullhead: "tee",
	duct.Cross: "branch", duct.DropConn: "turn into the vertical duct", duct.TerminalConn: "connection of the terminal",
	duct.Offset: "offset back to what the duct leads to",
}

// noRoom reports the fittings that need more length than there is, and notes those that were
// made tighter than usual to fit.
func (d *drawing) noRoom() {
	for i := range d.des.Fittings {
		f := &d.des.Fittings[i]
		if f.Run == duct.None {
			continue
		}
		r := &d.net.Runs[f.Run]
		if r.Pliable && f.Main != duct.None && d.net.Runs[f.Main].Pliable {
			continue // see tooTight
		}
		what := fittingWords[f.Kind]
		if what == "" {
			what = f.Kind.String()
		}
		if f.Kind == duct.Offset && f.Main != duct.None {
			what = "offset"
		}
		if f.Over > 0 {
			d.tell(diag.NoRoom, at(f.At), handle(r),
				fmt.Sprintf("the branch %s measures %s more than the main %s it leaves, and finds no wall to be cut into", d.named(r), d.long(float64(f.Over)), d.named(&d.net.Runs[f.Main])),
				"give the main the size of the branch at least, give the branch another shape, or let it leave from a larger piece")
		}
		if float64(f.ShortBy) >= geom.Same {
			d.tell(diag.NoRoom, at(f.At), handle(r),
				fmt.Sprintf("the %s here is short of %s to be made as the settings ask", what, d.long(float64(f.ShortBy))),
				"move what lies next to it further away, or give the duct a smaller size")
			continue
		}
		d.tight(f, r, what)
	}
}

// tight notes a level bend with a smaller radius than the settings ask, or with none.
func (d *drawing) tight(f *duct.Fitting, r *duct.Run, what string) {
	if f.Main == duct.None || r.Vertical() || d.net.Runs[f.Main].Vertical() {
		return
	}
	ratio, sharp := d.spec.Rules.ElbowRect, d.spec.Rules.MitreAlways
	if f.Own.Shape == duct.Round {
		ratio, sharp = d.spec.Rules.ElbowRound, false
	}
	usual := ratio * float64(d.size(f.Main).Width)
	slope := math.Abs(r.Line.Tangent(0).Z) + math.Abs(d.net.Runs[f.Main].Line.Tangent(0).Z)
	switch {
	case slope > geom.Straight || sharp:
		// A bend up or down turns about the height; a sharp one may be what is wanted.
	case f.Kind == duct.Elbow && float64(f.Radius) < usual-geom.Same:
		d.tell(diag.TightFitting, at(f.At), handle(r),
			fmt.Sprintf("the %s here has a radius of %s instead of %s", what, d.long(float64(f.Radius)), d.long(usual)),
			"nothing, if the higher loss will do; else give it more room")
	case f.Kind == duct.Mitre || f.Kind == duct.VanedMitre:
		d.tell(diag.TightFitting, at(f.At), handle(r),
			fmt.Sprintf("the %s here is sharp because there is no room for a radius", what),
			"nothing, if the higher loss will do; else give it more room")
	}
}
