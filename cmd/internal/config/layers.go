package config

import (
	"strings"

	"twinline/dxfio"
	"twinline/layout/duct"
	"twinline/layout/emit"
	"twinline/layout/shape"
)

var statusWords = map[duct.Status]string{duct.New: "NEW", duct.Existing: "EX", duct.Removed: "REM", duct.Future: "FUT"}

// check reports what is wrong with the layer scheme.
func (l Layers) check(r *reader) {
	if !strings.Contains(l.Pattern, "{part}") {
		r.fail("layers.pattern", "%q has no {part} in it, so walls and centrelines would share a layer", l.Pattern)
	}
	for _, c := range strings.NewReplacer("{air}", "", "{part}", "", "{status}", "").Replace(l.Pattern + l.Check + l.Cloud) {
		if c < ' ' || strings.ContainsRune("<>/\\\":;?*|=`,", c) {
			r.fail("layers.pattern", "the letter %q cannot stand in a layer name", c)
		}
	}
	for k, v := range l.Color {
		if v < 1 || v > 255 {
			r.fail("layers.color."+k, "%d is no colour number of 1 to 255", v)
		}
	}
	for k, v := range l.Weight {
		weight(r, "layers.weight."+k, v)
	}
	for k, v := range l.Linetype {
		if _, ok := linetypes[v]; !ok {
			r.fail("layers.linetype."+k, "%q is none of solid, dashed, hidden, axis", v)
		}
	}
}

// weights are the line weights DXF knows, in hundredths of a millimetre (group code 370,
// DXF reference).
var weights = []int{0, 5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100, 106, 120, 140, 158, 200, 211}

// weight returns the line weight nearest to text, in hundredths of a millimetre.
func weight(r *reader, key, text string) int {
	l := optional(r, key, text, duct.ParseLength)
	best, gap := -3, 1e9
	for _, w := range weights {
		d := float64(w) - float64(l/duct.Millimetre)*100
		if d < 0 {
			d = -d
		}
		if d < gap {
			best, gap = w, d
		}
	}
	return best
}

// linetypes hold the dashes and gaps on paper, in millimetres. The names are the usual ones
// of CAD programs: some draw the dashes of no others, in lengths of their own, those with a 2 near ours. A drawing that
// has them keeps its own.
var linetypes = map[string]dxfio.LinetypeDef{
	"solid":  {Name: "CONTINUOUS"},
	"dashed": {Name: "DASHED2", Description: "Dashed", Pattern: []float64{4, -2}},
	"hidden": {Name: "HIDDEN2", Description: "Hidden", Pattern: []float64{1.5, -1}},
	"axis":   {Name: "CENTER2", Description: "Centre", Pattern: []float64{8, -1.5, 1.5, -1.5}},
}

// Standard returns the drawing standard for a drawing whose unit is unit and whose line
// types are scaled by ltscale. version is that of the drawing.
func (s Settings) Standard(unit duct.Length, ltscale float64, version string) emit.Standard {
	r := &reader{}
	paper := scale(r, "draw.scale", s.Draw.Scale) * float64(duct.Millimetre/unit)
	if ltscale > 0 {
		paper /= ltscale
	}
	std := emit.Standard{
		Unit:  unit,
		Flat:  s.Draw.Flat,
		Style: dxfio.StyleDef{Name: s.Symbols.Style, Font: s.Symbols.Font, Width: s.Symbols.Width},
	}
	for _, k := range s.Draw.Labels.kinds() {
		std.Letters[k.kind] = k.style(std.Style)
	}
	for _, name := range []string{"dashed", "hidden", "axis"} {
		lt := linetypes[name]
		pattern := make([]float64, len(lt.Pattern))
		for i, d := range lt.Pattern {
			pattern[i] = d * paper
		}
		lt.Pattern = pattern
		std.Linetypes = append(std.Linetypes, lt)
	}
	std.Layer = func(part shape.Part, air duct.Air, status duct.Status) dxfio.LayerDef {
		def := s.layer(part, air, status)
		// R12 has no mark for layers that do not plot; there the centrelines are switched off instead.
		if version <= "AC1009" && part == shape.Axis {
			def.Off = true
		}
		return def
	}
	return std
}

func (s Settings) layer(part shape.Part, air duct.Air, status duct.Status) dxfio.LayerDef {
	l := s.Layers
	state := statusWords[status]
	def := dxfio.LayerDef{Plots: part != shape.Axis && part != shape.Check, Off: part == shape.Body}
	switch part {
	case shape.Check:
		def.Name = l.Check
	case shape.Cloud:
		def.Name = l.Cloud
	default:
		def.Name = strings.NewReplacer("{air}", word(l.Air, air.String()), "{part}", word(l.Part, part.String()),
			"{status}", word(l.Status, state)).Replace(l.Pattern)
	}
	keys := []string{part.String(), state, air.String()}
	if part == shape.Check || part == shape.Cloud {
		keys = keys[:1]
	}
	def.Color = pick(l.Color, 7, keys...)
	def.Weight = weight(&reader{}, "", pick(l.Weight, "0.25 mm", keys...))
	// Removed work is dashed whatever the part, but for what has dashes of its own.
	def.Linetype = linetypes[pick(l.Linetype, "solid", keys...)].Name
	return def
}

// Ours returns a function that reports whether a layer is one work of ours is drawn on.
func (s Settings) Ours() func(layer string) bool {
	names := map[string]bool{}
	for part := shape.Wall; part <= shape.Body; part++ {
		for _, air := range duct.Airs {
			for status := range statusWords {
				names[strings.ToUpper(s.layer(part, air, status).Name)] = true
			}
		}
	}
	return func(layer string) bool { return names[strings.ToUpper(layer)] }
}

// word returns the office's word for one of ours.
func word(table map[string]string, ours string) string {
	if w, ok := table[ours]; ok {
		return w
	}
	return ours
}

// pick returns the value of the first key that table has.
func pick[T any](table map[string]T, other T, keys ...string) T {
	for _, k := range keys {
		if v, ok := table[k]; ok {
			return v
		}
	}
	return other
}
