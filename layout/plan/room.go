package plan

import (
	"fmt"
	"math"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// noRoom reports the fittings that need more length than there is, and notes those that were
// made tighter than usual to fit.
func (c *checks) noRoom() {
	for i := range c.Fittings {
		f := &c.Fittings[i]
		if f.Run == duct.None {
			continue
		}
		r := &c.net.Runs[f.Run]
		if r.Pliable && f.Main != duct.None && c.net.Runs[f.Main].Pliable {
			continue // see tooTight
		}
		if f.Over > 0 {
			c.report(diag.NoRoom, f.At, handle(r), fmt.Sprintf(
				"the branch %s measures %s more than the main %s it leaves, and finds no wall to be cut into",
				c.named(r), c.words.Rounded(f.Over), c.named(&c.net.Runs[f.Main])), "give the main the size of the "+
				"branch at least, give the branch another shape, or let it leave from a larger piece")
		}
		if float64(f.ShortBy) < geom.Same {
			c.tight(f, r)
			continue
		}
		c.report(diag.NoRoom, f.At, handle(r),
			fmt.Sprintf("the %s here is %s short of the length it needs to be made as the settings ask", f.Word(),
				c.words.Rounded(f.ShortBy)),
			"move what lies next to it further away, or give the duct a smaller size")
	}
}

// tight notes a level bend with a smaller radius than the settings ask, or with none.
func (c *checks) tight(f *duct.Fitting, r *duct.Run) {
	if f.Main == duct.None || r.Vertical() || c.net.Runs[f.Main].Vertical() {
		return
	}
	ratio, sharp := c.spec.Rules.ElbowRect, c.spec.Rules.MitreAlways
	if f.Own.Shape == duct.Round {
		ratio, sharp = c.spec.Rules.ElbowRound, false
	}
	usual := ratio * float64(c.size(f.Main).Width)
	slope := math.Abs(r.Line.Tangent(0).Z) + math.Abs(c.net.Runs[f.Main].Line.Tangent(0).Z)
	switch {
	case slope > geom.Straight || sharp:
		// A bend up or down turns about the height; a sharp one may be what is wanted.
	case f.Kind == duct.Elbow && float64(f.Radius) < usual-geom.Same:
		c.report(diag.TightFitting, f.At, handle(r),
			fmt.Sprintf("the %s here has a radius of %s instead of %s", f.Word(), c.words.Rounded(f.Radius),
				c.words.Rounded(duct.Length(usual))),
			"nothing, if the higher loss will do; else give it more room")
	case f.Kind == duct.Mitre || f.Kind == duct.VanedMitre:
		c.report(diag.TightFitting, f.At, handle(r),
			fmt.Sprintf("the %s here is sharp because there is no room for a radius", f.Word()),
			"nothing, if the higher loss will do; else give it more room")
	}
}
