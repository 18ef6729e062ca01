package config

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"twinline/dxfio"
	"twinline/layout/duct"
	"twinline/layout/emit"
	"twinline/layout/shape"
)

// scheme is the layer scheme of an office: how layers are called and how they look.
type scheme struct {
	pattern, check, cloud string
	air, part, status     map[string]string // words for ours
	color                 map[string]int
	weight                map[string]int // hundredths of a millimetre
	linetype              map[string]dxfio.LinetypeDef
}

// The look of a layer where no word of it has one.
const (
	plainColor  = 7
	plainWeight = 25
)

func (l *scheme) declare(t *entry) {
	add(t, "pattern", "TW-{air}-{part}-{status}", &l.pattern, pattern,
		"Name of a layer; {air}, {part} and {status} stand for the words below.")
	add(t, "check", "TW-CHECK", &l.check, notEmpty(symbolName), "Layer of findings.")
	add(t, "cloud", "TW-CLOUD", &l.cloud, notEmpty(symbolName), "Layer of revision clouds.")
	var parts, states, airs []string
	for part := shape.Wall; part <= shape.Body; part++ {
		parts = append(parts, part.String())
	}
	for status := duct.New; int(status) < len(statusWords); status++ {
		states = append(states, statusWords[status])
	}
	for _, air := range duct.Airs {
		airs = append(airs, air.String())
	}
	all := slices.Concat(airs, states, parts, []string{shape.Check.String(), shape.Cloud.String()})
	addWords(t, "air", airs, themselves(airs), &l.air, symbolName, "Words for the airs.")
	addWords(t, "part", parts, themselves(parts), &l.part, symbolName, "Words for the parts.")
	addWords(t, "status", states, themselves(states), &l.status, symbolName, "Words for the states.")
	// By air as EN 16798-3 gives them in words: supply blue, extract yellow, exhaust brown, outdoor green,
	// recirculation orange, transfer grey; the numbers are ours. The yellow is a dark one that can be read on paper.
	addWords(t, "color", all, wordTable{"SUP": int64(5), "ETA": int64(42), "EHA": int64(34), "ODA": int64(94),
		"RCA": int64(30),
		"TRA": int64(8), "AXIS": int64(8), "HIDE": int64(9), "CHECK": int64(1), "CLOUD": int64(6)}, &l.color, color,
		"Colour numbers 1 to 255, by air, or by part or status (which win).")
	addWords(t, "weight", all, wordTable{"NEW": "0.35 mm", "EX": "0.18 mm", "REM": "0.25 mm", "FUT": "0.25 mm",
		"JOINT": "0.18 mm", "AXIS": "0.13 mm", "HIDE": "0.18 mm", "VERT": "0.18 mm", "SIZE": "0.18 mm",
		"FLOW": "0.18 mm",
		"TERM": "0.25 mm", "BODY": "0.13 mm", "CHECK": "0.50 mm", "CLOUD": "0.35 mm"}, &l.weight, weight,
		"Line weights by status or part (which wins), such as \"0.35 mm\".")
	// Removed work is dashed whatever the part, but for what has dashes of its own.
	addWords(t, "linetype", all,
		wordTable{"REM": "dashed", "AXIS": "axis", "HIDE": "hidden", "SIZE": "solid", "FLOW": "solid",
			"VERT": "solid"}, &l.linetype, oneOf(linetypes),
		"Line types by status or part (which wins): solid, dashed, hidden or axis.")
}

// themselves is a table of words that stand for themselves.
func themselves(words []string) wordTable {
	out := wordTable{}
	for _, w := range words {
		out[w] = w
	}
	return out
}

func pattern(text string) (string, error) {
	if !strings.Contains(text, "{part}") {
		return "", fmt.Errorf("%q has no {part} in it, so walls and centrelines would share a layer", text)
	}
	_, err := symbolName(strings.NewReplacer("{air}", "", "{part}", "", "{status}", "").Replace(text))
	return text, err
}

// symbolName takes a name of a layer or a text style without the letters that cannot stand in one. Source: DXF
// reference, symbol table names.
func symbolName(text string) (string, error) {
	for _, c := range text {
		if c < ' ' || strings.ContainsRune("<>/\\\":;?*|=`,", c) {
			return "", fmt.Errorf("%q: the letter %q cannot stand in the name of a layer or text style; "+
				"put a hyphen in its place or leave it out", text, c)
		}
	}
	return text, nil
}

func color(v int64) (int, error) {
	if v < 1 || v > 255 {
		return 0, fmt.Errorf("%d is no colour number of 1 to 255", v)
	}
	return int(v), nil
}

// weights are the line weights DXF knows, in hundredths of a millimetre (group code 370,
// DXF reference).
var weights = []int{0, 5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100, 106, 120, 140, 158, 200, 211}

// weight returns the line weight nearest to text, in hundredths of a millimetre.
func weight(text string) (int, error) {
	v, err := orNone(duct.ParseLength)(text)
	off := func(w int) float64 { return math.Abs(float64(w) - float64(v/duct.Millimetre)*100) }
	return slices.MinFunc(weights, func(a, b int) int { return cmp.Compare(off(a), off(b)) }), err
}

// linetypes hold the dashes and gaps on paper, in millimetres. The names are the usual ones of CAD programs: some draw
// the dashes of no others, in lengths of their own, those with a 2 near ours. A drawing that has them keeps its own.
var linetypes = map[string]dxfio.LinetypeDef{
	"solid":  {Name: "CONTINUOUS"},
	"dashed": {Name: "DASHED2", Description: "Dashed", Pattern: []float64{4, -2}},
	"hidden": {Name: "HIDDEN2", Description: "Hidden", Pattern: []float64{1.5, -1}},
	"axis":   {Name: "CENTER2", Description: "Centre", Pattern: []float64{8, -1.5, 1.5, -1.5}},
}

// Standard returns the drawing standard for a drawing whose unit is unit and whose line
// types are scaled by ltscale. version is that of the drawing.
func (s *Settings) Standard(unit duct.Length, ltscale float64, version string) emit.Standard {
	paper := s.Plan.Scale * float64(duct.Millimetre/unit)
	if ltscale > 0 {
		paper /= ltscale
	}
	std := emit.Standard{Unit: unit, Flat: s.Plan.Flat, Style: s.Style, Letters: s.letters}
	for _, name := range []string{"dashed", "hidden", "axis"} {
		lt := linetypes[name]
		lt.Pattern = slices.Clone(lt.Pattern)
		for i := range lt.Pattern {
			lt.Pattern[i] *= paper
		}
		std.Linetypes = append(std.Linetypes, lt)
	}
	std.Layer = func(part shape.Part, air duct.Air, status duct.Status) dxfio.LayerDef {
		def := s.scheme.layer(usage{part, air, status})
		// R12 has no mark for layers that do not plot; there the centrelines are switched off instead.
		if version <= "AC1009" && part == shape.Axis {
			def.Off = true
		}
		return def
	}
	return std
}

// AirColor returns the colour number of an air; of what has none the plain one.
func (s *Settings) AirColor(air string) int { return pick(s.scheme.color, plainColor, air) }

// usage is what a layer is used for.
type usage struct {
	part   shape.Part
	air    duct.Air
	status duct.Status
}

// everywhere reports whether there is one layer for all airs and states.
func (u usage) everywhere() bool { return u.part == shape.Check || u.part == shape.Cloud }

// words returns the settings' words for a usage, those that win first.
func (u usage) words() []string {
	if u.everywhere() {
		return []string{u.part.String()}
	}
	return []string{u.part.String(), statusWords[u.status], u.air.String()}
}

var statusWords = map[duct.Status]string{duct.New: "NEW", duct.Existing: "EX", duct.Removed: "REM", duct.Future: "FUT"}

func (u usage) String() string { return strings.Join(u.words(), " ") }

// usages returns all there are.
func usages() []usage {
	var out []usage
	for part := shape.Wall; part <= shape.Cloud; part++ {
		for status := duct.New; int(status) < len(statusWords); status++ {
			for _, air := range duct.Airs {
				out = append(out, usage{part, air, status})
			}
		}
	}
	return out
}

func (l *scheme) layer(u usage) dxfio.LayerDef {
	w := u.words()
	def := dxfio.LayerDef{
		Color:    pick(l.color, plainColor, w...),
		Weight:   pick(l.weight, plainWeight, w...),
		Linetype: pick(l.linetype, linetypes["solid"], w...).Name,
		Plots:    u.part != shape.Axis && u.part != shape.Check,
		Off:      u.part == shape.Body,
	}
	switch u.part {
	case shape.Check:
		def.Name = l.check
	case shape.Cloud:
		def.Name = l.cloud
	default:
		def.Name = strings.NewReplacer("{air}", pick(l.air, w[2], w[2]), "{part}", pick(l.part, w[0], w[0]),
			"{status}", pick(l.status, w[1], w[1])).Replace(l.pattern)
	}
	return def
}

// namedBy returns the keys that make the name of the layer of u, among them every word in it.
func (l *scheme) namedBy(u usage) []string {
	if u.part == shape.Check {
		return []string{"layers.check"}
	}
	if u.part == shape.Cloud {
		return []string{"layers.cloud"}
	}
	keys := []string{"layers.pattern"}
	for i, field := range fields {
		if strings.Contains(l.pattern, "{"+field+"}") {
			keys = append(keys, "layers."+field+"."+u.words()[i])
		}
	}
	return keys
}

// fields are those of the pattern, in the order of usage.words.
var fields = []string{"part", "status", "air"}

// sharedBy returns the keys that give the layers of a and b one name: the pattern where it says nothing of what sets
// them apart, else the words that are the same.
func (l *scheme) sharedBy(a, b usage) []string {
	if a.everywhere() || b.everywhere() {
		return append(l.namedBy(a), l.namedBy(b)...)
	}
	var keys []string
	for i, words := range []map[string]string{l.part, l.status, l.air} {
		x, y := a.words()[i], b.words()[i]
		if x == y {
			continue
		}
		said := strings.Contains(l.pattern, "{"+fields[i]+"}")
		if said {
			keys = append(keys, "layers."+fields[i]+"."+x, "layers."+fields[i]+"."+y)
		}
		if !said || !strings.EqualFold(pick(words, x, x), pick(words, y, y)) {
			keys = append(keys, "layers.pattern")
		}
	}
	return keys
}

// checkLooks reports a layer without a name, and the first that is asked for with two looks, since a layer has one.
func (l *scheme) checkLooks(r *reading) {
	first := map[string]usage{} // by name in capitals: names of layers know no case
	for _, u := range usages() {
		def := l.layer(u)
		name := strings.ToUpper(def.Name)
		if strings.TrimSpace(name) == "" {
			r.complain(fmt.Errorf("the layer for %s would have no name; give the pattern or its words letters", u),
				l.namedBy(u)...)
			return
		}
		before, ok := first[name]
		if !ok {
			first[name] = u
			continue
		}
		if one, two := look(l.layer(before)), look(def); one != two {
			r.complain(fmt.Errorf("layer %s is to have two looks, %s for %s and %s for %s; "+
				"put what sets them apart into the pattern ({air}, {status}), give parts and layers names of their own, "+
				"or set one colour, weight and line type for both", def.Name, one, before, two, u),
				l.sharedBy(before, u)...)
			return
		}
	}
}

// look says how a layer looks.
func look(def dxfio.LayerDef) string {
	text := fmt.Sprintf("colour %d, %.2f mm, %s", def.Color, float64(def.Weight)/100, def.Linetype)
	if !def.Plots {
		text += ", not plotted"
	}
	if def.Off {
		text += ", switched off"
	}
	return text
}

// Ours returns a function that reports whether a layer is one work of ours is drawn on.
func (s *Settings) Ours() func(layer string) bool {
	names := map[string]bool{}
	for _, u := range usages() {
		if !u.everywhere() {
			names[strings.ToUpper(s.scheme.layer(u).Name)] = true
		}
	}
	return func(layer string) bool { return names[strings.ToUpper(layer)] }
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
