package config

import (
	"math"
	"strings"

	"twinline/dxfio"
	"twinline/layout/duct"
	"twinline/layout/label"
	"twinline/layout/shape"
	"twinline/symbols"
)

// Labels is what labels say and how they look.
type Labels struct {
	Round     string  `toml:"round" comment:"How sizes are written: {d} stands for the diameter, {w} and {h} for width and height. Empty: Ø{d}, {w}x{h}, {w}x{h} oval."`
	Rect      string  `toml:"rect"`
	Oval      string  `toml:"oval"`
	InchMarks bool    `toml:"inch_marks" comment:"Sizes in inches carry the inch mark."`
	Level     string  `toml:"level" comment:"Elevations: m (+3.30), mm (+3300), ft-in (10'-6\"). Empty: by the drawing's units."`
	FlowUnit  string  `toml:"flow_unit" comment:"Unit of airflows: L/s, m3/h, m3/s, cfm. Empty: the one they were given in."`
	FlowRound float64 `toml:"flow_round" comment:"Airflows are rounded to the next multiple of this, in that unit. 0: written as given."`

	SizeText     LabelText `toml:"size_text" comment:"Labels of ducts. Fields: {size} {width} {height} {cover} {lining} {insulation} {elevation} {flow} {velocity} {rate} {length} {id} {material} {air} {status}. Usual: {size}, {cover}, {elevation}, by draw.linings and draw.elevations."`
	TerminalText LabelText `toml:"terminal_text" comment:"Labels of terminals. Fields: {mark} {name} {flow} {neck} {elevation} {loss} {air} {status}. Usual: {mark}, {flow}."`
	UnitText     LabelText `toml:"unit_text" comment:"Labels of units. Fields: {mark} {flow} {pressure} {air} {status}. Usual: {mark}, {flow}."`
	LevelText    LabelText `toml:"level_text" comment:"Elevation tags. Field: {elevation}."`
}

// LabelText is how labels of one kind look and what they say.
type LabelText struct {
	Lines   []string `toml:"lines" comment:"One text a line; what stands in [brackets] is left out where its fields have nothing to say. Empty: the usual."`
	Height  string   `toml:"height" comment:"On paper. Empty: draw.text_height."`
	Style   string   `toml:"style" comment:"Text style. Empty: symbols.style."`
	Font    string   `toml:"font" comment:"Its font file. Empty: symbols.font."`
	Width   float64  `toml:"width" comment:"Width factor. 0: symbols.width."`
	Oblique string   `toml:"oblique" comment:"Slant of the letters, such as \"15 deg\". Empty: upright."`
}

func usualLabels() Labels {
	t := LabelText{Lines: []string{}}
	return Labels{InchMarks: true, SizeText: t, TerminalText: t, UnitText: t, LevelText: t}
}

// labelKind is the settings of one kind of label.
type labelKind struct {
	LabelText
	kind shape.Letters
	key  string
}

func (l Labels) kinds() []labelKind {
	return []labelKind{
		{l.SizeText, shape.SizeText, "draw.labels.size_text"},
		{l.TerminalText, shape.FlowText, "draw.labels.terminal_text"},
		{l.UnitText, shape.UnitText, "draw.labels.unit_text"},
		{l.LevelText, shape.LevelText, "draw.labels.level_text"},
	}
}

// steepest is the greatest slant of letters; the DXF reference allows 85°, which nobody could read.
const steepest = math.Pi / 4

// slant returns the slant of the letters in radians.
func (k labelKind) slant(r *reader) float64 {
	if strings.TrimSpace(k.Oblique) == "" {
		return 0
	}
	v, err := duct.ParseAngle(k.Oblique)
	if err != nil {
		r.fail(k.key+".oblique", "%v", err)
		return 0
	}
	return r.within(k.key+".oblique", v, -steepest, steepest)
}

// read returns what lettering has to know of a kind of label.
func (k labelKind) read(r *reader) label.Letters {
	out := label.Letters{
		Height:  float64(optional(r, k.key+".height", k.Height, duct.ParseLength)),
		Oblique: k.slant(r),
	}
	if k.Width != 0 {
		out.Width = r.within(k.key+".width", k.Width, 0.3, 3)
	}
	if len(k.Lines) > 0 {
		c, err := label.ParseContent(k.kind, k.Lines)
		if err != nil {
			r.fail(k.key+".lines", "%v", err)
		}
		out.Content = c
	}
	return out
}

// style returns the text style of a kind of label. One that differs from the usual style has a name of its own.
func (k labelKind) style(usual dxfio.StyleDef) dxfio.StyleDef {
	def := usual
	if k.Font != "" {
		def.Font = k.Font
	}
	if k.Width != 0 {
		def.Width = k.Width
	}
	def.Oblique = k.slant(&reader{}) * 180 / math.Pi
	switch {
	case k.Style != "":
		def.Name = k.Style
	case def != usual:
		key := k.key[strings.LastIndex(k.key, ".")+1:]
		def.Name += "-" + strings.ToUpper(strings.TrimSuffix(key, "_text"))
	}
	return def
}

// forms returns how sizes, elevations and airflows are written.
func (l Labels) forms(r *reader) label.Forms {
	form := func(key, text string, fields ...string) label.Form {
		f, err := label.ParseForm(text, fields...)
		if err != nil {
			r.fail("draw.labels."+key, "%v", err)
		}
		return f
	}
	return label.Forms{
		Round: form("round", l.Round, "d"), Rect: form("rect", l.Rect, "w", "h"), Oval: form("oval", l.Oval, "w", "h"),
		PlainInches: !l.InchMarks,
		Level: oneOf(r, "draw.labels.level", l.Level, map[string]label.LevelForm{
			"": label.LevelUsual, "m": label.LevelMetres, "mm": label.LevelMillimetres, "ft-in": label.LevelFeet}),
		FlowUnit: oneOf(r, "draw.labels.flow_unit", l.FlowUnit, map[string]label.FlowUnit{
			"": label.FlowAsGiven, "l/s": label.FlowLitres, "m3/h": label.FlowCubicMetresHour, "m3/s": label.FlowCubicMetresSecond, "cfm": label.FlowCubicFeet}),
		FlowStep: r.within("draw.labels.flow_round", l.FlowRound, 0, 1e6),
	}
}

// MarkStyles is the look of every mark: a style of ours, or a block of the drawing.
type MarkStyles struct {
	Flow       string `toml:"flow" comment:"Each mark is one of the styles named beside it, or \"block NAME\": a block of the drawing, drawn along X around its insertion point, which is inserted as large as the mark and turned along the duct. Flow arrows: slim, open, head, none."`
	DropSupply string `toml:"drop_supply" comment:"Vertical ducts of supply air, down and up, and of other air: cross, stroke, cross-filled, half-filled, ring, none."`
	RiseSupply string `toml:"rise_supply"`
	DropOther  string `toml:"drop_other"`
	RiseOther  string `toml:"rise_other"`
	Damper     string `toml:"damper" comment:"Volume dampers: blade, bar, wedges, none."`
	Rated      string `toml:"rated" comment:"Where a duct crosses a rated wall of which the sketch does not say what it is rated for, one for fire, for smoke, for both: body, bar, letters, none."`
	Fire       string `toml:"fire"`
	Smoke      string `toml:"smoke"`
	FireSmoke  string `toml:"fire_smoke"`
	Cap        string `toml:"cap" comment:"Capped ends: line, double, cross; a block stands beside the line."`
	Level      string `toml:"level" comment:"Before elevations: tip, open, none."`
	Terminal   string `toml:"terminal" comment:"Faces of terminals without a block of their own: frame, plain, cross, none."`
	Leader     string `toml:"leader" comment:"Tips of leaders: ring, dot, arrow, line."`
}

// marks returns the texts of m by mark.
func (m *MarkStyles) marks() [symbols.Marks]*string {
	return [symbols.Marks]*string{
		symbols.MarkFlow: &m.Flow, symbols.MarkDropSupply: &m.DropSupply, symbols.MarkRiseSupply: &m.RiseSupply,
		symbols.MarkDropOther: &m.DropOther, symbols.MarkRiseOther: &m.RiseOther, symbols.MarkDamper: &m.Damper,
		symbols.MarkRated: &m.Rated, symbols.MarkFire: &m.Fire, symbols.MarkSmoke: &m.Smoke, symbols.MarkFireSmoke: &m.FireSmoke,
		symbols.MarkCap: &m.Cap, symbols.MarkLevel: &m.Level, symbols.MarkTerminal: &m.Terminal, symbols.MarkLeader: &m.Leader,
	}
}

func usualMarks() MarkStyles {
	var m MarkStyles
	for k, text := range m.marks() {
		*text = symbols.Mark(k).Styles()[0]
	}
	return m
}

// choices reads the look of every mark.
func (m MarkStyles) choices(r *reader) symbols.Choices {
	var out symbols.Choices
	for k, text := range m.marks() {
		c, err := symbols.ParseChoice(symbols.Mark(k), *text)
		if err != nil {
			r.fail("symbols.marks."+symbols.Mark(k).String(), "%v", err)
		}
		out[k] = c
	}
	return out
}
