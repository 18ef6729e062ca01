package dxfio

import (
	"fmt"
	"strconv"
	"strings"
)

// The symbol tables we may have to add to.
const (
	tableLinetype = "LTYPE"
	tableLayer    = "LAYER"
	tableStyle    = "STYLE"
	tableApp      = "APPID"
	tableBlock    = "BLOCK_RECORD"
)

// tableRank is the order tables stand in. R12 demands that line types come before the layers that use them.
var tableRank = map[string]int{
	"VPORT": 1, tableLinetype: 2, tableLayer: 3, tableStyle: 4, "VIEW": 5, "UCS": 6, tableApp: 7, "DIMSTYLE": 8,
	tableBlock: 9,
}

// Names that every drawing of a later version has, and that a table we create gets first.
const (
	nameContinuous = "CONTINUOUS"
	nameByLayer    = "BYLAYER"
	nameByBlock    = "BYBLOCK"
	nameStandard   = "STANDARD"
	nameLayerZero  = "0"
	weightDefault  = -3 // a line weight: the default of the program
	colourWhite    = 7
)

// tableEntry is a table entry to be added.
type tableEntry struct {
	table, name string
	body        []pair // from its own class marker on
}

// linetypeAlignment is the alignment of a line type, the letter A; no other is known.
const linetypeAlignment = "65"

func linetypeEntry(def LinetypeDef, f features) tableEntry {
	total := 0.0
	for _, dash := range def.Pattern {
		total += max(dash, -dash)
	}
	body := []pair{
		{100, "AcDbLinetypeTableRecord"}, {2, asciiText(def.Name)}, {70, "0"}, {3, plainText(def.Description)},
		{72, linetypeAlignment}, {73, strconv.Itoa(len(def.Pattern))}, {40, number(total)},
	}
	for _, dash := range def.Pattern {
		body = append(body, pair{49, number(dash)})
		if f.markers {
			body = append(body, pair{74, "0"})
		}
	}
	return tableEntry{tableLinetype, def.Name, body}
}

// layerFrozen is the flag of a layer that is frozen. A layer that is off (a negative colour; DXF reference, LAYER) is
// frozen as well, since LibreCAD hides frozen layers alone and plots those that are off.
const layerFrozen = "1"

// layerEntry writes a layer. plotStyle and material are the handles that layer 0 of the drawing names under 390 and
// 347: later versions want every layer to have them.
func layerEntry(def LayerDef, f features, plotStyle, material string) tableEntry {
	colour := def.Color
	if colour == 0 {
		colour = colourWhite
	}
	flags := "0"
	if def.Off {
		colour = -colour
		flags = layerFrozen
	}
	linetype := def.Linetype
	if linetype == "" {
		linetype = nameContinuous
	}
	body := []pair{{100, "AcDbLayerTableRecord"}, {2, asciiText(def.Name)}, {70, flags}, {62, strconv.Itoa(colour)},
		{6, asciiText(linetype)}}
	if f.plots && !def.Plots {
		body = append(body, pair{290, "0"})
	}
	if f.weights {
		body = append(body, pair{370, strconv.Itoa(lineWeight(def.Weight))})
		if plotStyle != "" {
			body = append(body, pair{390, plotStyle})
		}
	}
	if f.material && material != "" {
		body = append(body, pair{347, material})
	}
	return tableEntry{tableLayer, def.Name, body}
}

// lineWeights are the weights there are, in hundredths of a millimetre. Source: DXF reference, lineweight enumeration.
var lineWeights = []int{0, 5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100, 106, 120, 140, 158, 200,
	211}

// lineWeight gives the weight next to the one asked for; below zero the default.
func lineWeight(asked int) int {
	if asked < 0 {
		return weightDefault
	}
	best := 0
	for _, w := range lineWeights {
		if max(w-asked, asked-w) < max(best-asked, asked-best) {
			best = w
		}
	}
	return best
}

func styleEntry(def StyleDef) tableEntry {
	width := def.Width
	if width == 0 {
		width = unitScale
	}
	return tableEntry{tableStyle, def.Name, []pair{
		{100, "AcDbTextStyleTableRecord"}, {2, asciiText(def.Name)}, {70, "0"}, {40, number(0)}, {41, number(width)},
		{50, number(def.Oblique)}, {71, "0"}, {42, number(styleLastHeight)}, {3, asciiText(def.Font)}, {4, ""},
	}}
}

// styleLastHeight is what a style says was its last height; it has no effect on texts that have their own.
const styleLastHeight = 2.5

func appEntry(name string) tableEntry {
	return tableEntry{tableApp, name, []pair{{100, "AcDbRegAppTableRecord"}, {2, asciiText(name)}, {70, "0"}}}
}

func blockRecordEntry(name string, f features) tableEntry {
	body := []pair{{100, "AcDbBlockTableRecord"}, {2, asciiText(name)}}
	if f.weights {
		body = append(body, pair{340, "0"})
	}
	if f.recordUnits {
		body = append(body, pair{70, "0"}, pair{280, "1"}, pair{281, "0"})
	}
	return tableEntry{tableBlock, name, body}
}

// checkDefs refuses definitions no drawing can hold.
func checkDefs(p Patch) error {
	for _, def := range p.Layers {
		if def.Name == "" {
			return fmt.Errorf("a layer to be added has no name")
		}
		if def.Color < 0 || def.Color > 255 {
			return fmt.Errorf("layer %q has the colour %d; colours are 1 to 255", def.Name, def.Color)
		}
		if strings.ContainsAny(def.Name, "<>/\\\":;?*|=`") {
			return fmt.Errorf("layer %q has a name with a sign that layer names cannot have", def.Name)
		}
	}
	for _, def := range p.Linetypes {
		if def.Name == "" {
			return fmt.Errorf("a line type to be added has no name")
		}
		if err := checkNumbers(def.Pattern...); err != nil {
			return fmt.Errorf("line type %q: %w", def.Name, err)
		}
	}
	for _, def := range p.Styles {
		if def.Name == "" {
			return fmt.Errorf("a text style to be added has no name")
		}
	}
	return checkBlocks(p.Blocks)
}

func checkBlocks(blocks []BlockDef) error {
	for _, def := range blocks {
		if def.Name == "" {
			return fmt.Errorf("a block to be added has no name")
		}
		if err := checkPoints(def.Base); err != nil {
			return fmt.Errorf("block %q: its base: %w", def.Name, err)
		}
		for i, item := range def.Items {
			if err := checkGeometry(item.Geometry); err != nil {
				return fmt.Errorf("block %q: item %d: %w", def.Name, i+1, err)
			}
		}
	}
	return nil
}
