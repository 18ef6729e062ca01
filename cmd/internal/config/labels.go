package config

import (
	"errors"
	"math"
	"strings"

	"twinline/layout/duct"
	"twinline/layout/label"
	"twinline/layout/shape"
	"twinline/layout/words"
)

var levels = map[string]words.LevelForm{"m": words.LevelMetres, "mm": words.LevelMillimetres, "ft-in": words.LevelFeet}

var flowUnits = map[string]words.FlowUnit{"L/s": words.Litres, "m3/h": words.MetresHour,
	"m3/s": words.MetresSecond, "cfm": words.CubicFeet}

// declareLabels declares what labels say and how they look.
func (s *Settings) declareLabels(t *entry) {
	f := &s.Label.Forms
	form := func(fields ...string) func(string) (label.Form, error) {
		return func(text string) (label.Form, error) { return label.ParseForm(text, fields...) }
	}
	add(t, "round", "", &f.Round, form("d"),
		"How sizes are written: {d} stands for the diameter, {w} and {h} for width and height. Empty: ø{d}, {w}x{h}, "+
			"{w}x{h} oval.")
	add(t, "rect", "", &f.Rect, form("w", "h"), "")
	add(t, "oval", "", &f.Oval, form("w", "h"), "")
	add(t, "inch_marks", true, &s.parts.inchMarks, same, "Sizes in inches carry the inch mark.")
	add(t, "level", "", &f.Level, orEmpty(oneOf(levels)),
		"Elevations: m (+3.30), mm (+3300), ft-in (10'-6\"). Empty: by the drawing's units.")
	add(t, "flow_unit", "", &f.FlowUnit, orEmpty(oneOf(flowUnits)),
		"Unit of airflows: L/s, m3/h, m3/s, cfm. Empty: that of the drawing (L/s or cfm), unless all airflows are round "+
			"numbers only in another.")
	add(t, "flow_round", 0.0, &f.FlowStep, between(0, 1e6),
		"Airflows are rounded to the next multiple of this, in that unit. 0: written as given.")
	s.declareText(t.table("size_text",
		"Labels of ducts. Fields: {size} {width} {height} {cover} {lining} {insulation} {elevation} {flow} {velocity} "+
			"{rate} {length} {id} {material} {air} {status}. Usual: {size}, {cover}, {elevation}, by draw.linings and "+
			"draw.elevations."), shape.SizeText)
	s.declareText(t.table("terminal_text",
		"Labels of terminals. Fields: {mark} {name} {flow} {neck} {elevation} {loss} {air} {status}. "+
			"Usual: {mark}, {flow}."), shape.FlowText)
	s.declareText(t.table("unit_text",
		"Labels of units. Fields: {mark} {flow} {pressure} {air} {status}. Usual: {mark}, {flow}."), shape.UnitText)
	s.declareText(t.table("level_text", "Elevation tags. Field: {elevation}."), shape.LevelText)
}

// lettering is the text style of a kind of label, as far as the settings say.
type lettering struct {
	suffix      string // of the name of a style that has none of its own
	style, font string
}

// steepest is the greatest slant of letters, in degrees; the DXF reference allows 85, which could not be read.
const steepest = 45

// declareText declares how labels of one kind look and what they say.
func (s *Settings) declareText(t *entry, k shape.Letters) {
	of, text := &s.Label.Letters[k], &s.parts.lettering[k]
	text.suffix = "-" + strings.ToUpper(strings.TrimSuffix(t.key[strings.LastIndex(t.key, ".")+1:], "_text"))
	content := func(list []any) (label.Content, error) {
		if len(list) == 0 {
			return label.Content{}, nil
		}
		lines := make([]string, len(list))
		for i, v := range list {
			var ok bool
			if lines[i], ok = v.(string); !ok {
				return label.Content{}, errors.New("write every line in quotes")
			}
		}
		return label.ParseContent(k, lines)
	}
	width := func(v float64) (float64, error) {
		if v == 0 {
			return 0, nil
		}
		return between(0.3, 3)(v)
	}
	add(t, "lines", []any{}, &of.Content, content,
		"One text a line; what stands in [brackets] is left out where its fields have nothing to say. Empty: the usual.")
	add(t, "height", "", &of.Height, plain(orNone(duct.ParseLength)), "On paper. Empty: draw.text_height.")
	add(t, "style", "", &text.style, symbolName, "Text style. Empty: symbols.style.")
	add(t, "font", "", &text.font, same, "Its font file. Empty: symbols.font.")
	add(t, "width", 0.0, &of.Width, width, "Width factor. 0: symbols.width.")
	add(t, "oblique", "", &of.Oblique, orEmpty(angle(-steepest, steepest)),
		"Slant of the letters, such as \"15 deg\". Empty: upright.")
}

// finishLabels works out the text style of every kind of label. One that differs from the usual style has a name of
// its own.
func (s *Settings) finishLabels() {
	for k, text := range s.parts.lettering {
		def := s.Style
		if text.font != "" {
			def.Font = text.font
		}
		if w := s.Label.Letters[k].Width; w != 0 {
			def.Width = w
		}
		def.Oblique = s.Label.Letters[k].Oblique * 180 / math.Pi
		switch {
		case text.style != "":
			def.Name = text.style
		case def != s.Style:
			def.Name += text.suffix
		}
		s.letters[k] = def
	}
}
