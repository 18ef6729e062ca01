package symbols

import (
	"fmt"
	"slices"
	"strings"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// Mark is one mark of a plan that an office may choose the look of.
type Mark uint8

// The marks.
const (
	MarkFlow       Mark = iota // flow arrows
	MarkDropSupply             // vertical duct of supply air, down
	MarkRiseSupply             // the same, up
	MarkDropOther              // vertical duct of other air, down
	MarkRiseOther              // the same, up
	MarkDamper                 // volume dampers
	MarkRated                  // crossings of rated walls of which the drawing does not say what they are rated for
	MarkFire                   // of walls rated for fire
	MarkSmoke                  // for smoke
	MarkFireSmoke              // for both
	MarkCap                    // capped ends
	MarkLevel                  // before elevations
	MarkTerminal               // faces of terminals without a block of their own
	MarkLeader                 // tips of leaders

	Marks = iota // how many there are
)

// look is what the settings call a mark, and the styles there are of it, the usual one first.
type look struct {
	name   string
	styles []string
}

var looks = [Marks]look{
	MarkFlow:       {"flow", []string{"slim", "open", "head", "none"}},
	MarkDropSupply: {"drop_supply", []string{"cross", "stroke", "cross-filled", "half-filled", "ring", "none"}},
	MarkRiseSupply: {"rise_supply", []string{"cross-filled", "cross", "stroke", "half-filled", "ring", "none"}},
	MarkDropOther:  {"drop_other", []string{"stroke", "cross", "cross-filled", "half-filled", "ring", "none"}},
	MarkRiseOther:  {"rise_other", []string{"half-filled", "stroke", "cross", "cross-filled", "ring", "none"}},
	MarkDamper:     {"damper", []string{"blade", "bar", "wedges", "none"}},
	MarkRated:      {"rated", []string{"body", "bar", "letters", "none"}},
	MarkFire:       {"fire", []string{"body", "bar", "letters", "none"}},
	MarkSmoke:      {"smoke", []string{"body", "bar", "letters", "none"}},
	MarkFireSmoke:  {"fire_smoke", []string{"body", "bar", "letters", "none"}},
	MarkCap:        {"cap", []string{"line", "double", "cross"}},
	MarkLevel:      {"level", []string{"tip", "open", "none"}},
	MarkTerminal:   {"terminal", []string{"frame", "plain", "cross", "none"}},
	MarkLeader:     {"leader", []string{"ring", "dot", "arrow", "line"}},
}

// String returns the name of m in settings.
func (m Mark) String() string { return looks[m].name }

// Styles returns the styles there are of m, the usual one first.
func (m Mark) Styles() []string { return slices.Clone(looks[m].styles) }

// Choice is how one mark is to look.
type Choice struct {
	Style string // one of Styles; "" for the usual one
	Block Block  // shown instead, where it has a name
}

// Block is a block of the drawing that stands for a mark. It is drawn along X, with its insertion point
// where the mark has its middle.
type Block struct {
	Name       string
	Long, Wide float64 // extent along X and across, in metres where it is inserted as it was drawn
}

// blockPrefix begins a choice that names a block.
const blockPrefix = "block "

// ParseChoice reads a choice as settings have it: a style of m, or "block NAME". The size of a block is the
// drawing's to say.
func ParseChoice(m Mark, text string) (Choice, error) {
	text = strings.TrimSpace(text)
	if len(text) > len(blockPrefix) && strings.EqualFold(text[:len(blockPrefix)], blockPrefix) {
		return Choice{Block: Block{Name: strings.TrimSpace(text[len(blockPrefix):])}}, nil
	}
	style := strings.ToLower(text)
	if style != "" && !slices.Contains(looks[m].styles, style) {
		return Choice{}, fmt.Errorf("%q is none of %s; a block of the drawing is named like \"block NAME\"", text,
			strings.Join(looks[m].styles, ", "))
	}
	return Choice{Style: style}, nil
}

// Choices is the choice of every mark, which draws it; the zero value is the house's style. Lengths are metres of the
// model, angles radians.
type Choices [Marks]Choice

// style returns the style chosen for m.
func (c *Choices) style(m Mark) string {
	if s := c[m].Style; s != "" {
		return s
	}
	return looks[m].styles[0]
}

// insert shows the block chosen for m at a place, so large that what it measures of the block, across or along, is size
// metres; ok is false where no block is chosen.
func (c *Choices) insert(m Mark, at geom.Vec, angle, size float64, across bool) (out []shape.Geometry, ok bool) {
	b := c[m].Block
	if b.Name == "" {
		return nil, false
	}
	measure := b.Long
	if across {
		measure = b.Wide
	}
	if !(measure > 0) {
		measure = max(b.Long, b.Wide)
	}
	if !(measure > 0) || !(size > 0) {
		return nil, true
	}
	return []shape.Geometry{shape.Insert{Block: b.Name, At: at, Scale: size / measure, Angle: angle, Size: size}}, true
}

// What a block measures of its mark.
const (
	along  = false
	across = true
)

// Arrow is a flow arrow of the given length whose middle is at, pointing along angle.
func (c *Choices) Arrow(at geom.Vec, angle, length float64) []shape.Geometry {
	if g, ok := c.insert(MarkFlow, at, angle, length, along); ok {
		return g
	}
	return arrow(c.style(MarkFlow), at, angle, length)
}

// Drop is what lies within the outline of a vertical duct in plan, the outline itself not included. wide is the plan
// direction the width lies along; up says that the duct goes up from the plan, cut towards the viewer, rather than down
// and out of sight.
func (c *Choices) Drop(at, wide geom.Vec, size duct.Size, air duct.Air, up bool) []shape.Geometry {
	m := vertical(air, up)
	if g, ok := c.insert(m, at, wide.Angle(), float64(size.Width), along); ok {
		return g
	}
	return drop(c.style(m), at, wide, size)
}

// Damper is a volume damper in a duct of the given width, dir being the direction of the duct.
func (c *Choices) Damper(at, dir geom.Vec, width float64) []shape.Geometry {
	if g, ok := c.insert(MarkDamper, at, dir.Angle(), width, across); ok {
		return g
	}
	return damper(c.style(MarkDamper), at, dir, width)
}

// Rated marks where a duct in direction dir crosses a wall rated for what rating says: a fire or smoke damper to be
// settled by others. height is that of its lettering.
func (c *Choices) Rated(rating duct.Rating, at, dir geom.Vec, width, height float64) []shape.Geometry {
	m := ratedMark(rating)
	if g, ok := c.insert(m, at, dir.Angle(), width, across); ok {
		return append(g, ratedLetters(rating, at, dir, width, height))
	}
	return rated(c.style(m), rating, at, dir, width, height)
}

// Cap is what a capped end shows beside the line across it, which is drawn anyway; dir points into the duct.
func (c *Choices) Cap(at, dir geom.Vec, width float64) []shape.Geometry {
	if g, ok := c.insert(MarkCap, at, dir.Angle(), width, across); ok {
		return g
	}
	return capEnd(c.style(MarkCap), at, dir, width)
}

// Face is the face of an air terminal that has no block of its own; corners are in order around it.
func (c *Choices) Face(corners []geom.Vec, air duct.Air) []shape.Geometry {
	if len(corners) > 2 {
		side := corners[1].Sub(corners[0]).Plan()
		if g, ok := c.insert(MarkTerminal, middle(corners), side.Angle(), side.Len(), along); ok {
			return g
		}
	}
	return face(c.style(MarkTerminal), corners, air)
}

// Level is the mark before the lettering of an elevation tag, in a square of side height whose lower left corner is at,
// turned by angle.
func (c *Choices) Level(at geom.Vec, angle, height float64) []shape.Geometry {
	u := geom.Direction(angle).Scale(height / 2)
	if g, ok := c.insert(MarkLevel, at.Add(u).Add(u.Left()), angle, height, across); ok {
		return g
	}
	return level(c.style(MarkLevel), at, angle, height)
}

// Leader is the line from a label to what it is about; the tip of it lies at to.
func (c *Choices) Leader(from, to geom.Vec, height float64) []shape.Geometry {
	if g, ok := c.insert(MarkLeader, to, to.Sub(from).Angle(), 2*leaderDot*height, across); ok {
		return append(leader("line", from, to, height), g...)
	}
	return leader(c.style(MarkLeader), from, to, height)
}

// vertical returns the mark of a vertical duct.
func vertical(air duct.Air, up bool) Mark {
	switch {
	case air == duct.SUP && up:
		return MarkRiseSupply
	case air == duct.SUP:
		return MarkDropSupply
	case up:
		return MarkRiseOther
	}
	return MarkDropOther
}

// ratedMark returns the mark of a crossing.
func ratedMark(r duct.Rating) Mark {
	switch {
	case r.Fire && r.Smoke:
		return MarkFireSmoke
	case r.Fire:
		return MarkFire
	case r.Smoke:
		return MarkSmoke
	}
	return MarkRated
}

// middle returns the middle of the corners of an outline.
func middle(corners []geom.Vec) geom.Vec {
	var mid geom.Vec
	for _, c := range corners {
		mid = mid.Add(c.Scale(1 / float64(len(corners))))
	}
	return mid
}
