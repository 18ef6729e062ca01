// Package gen makes large drawings for tests and benchmarks: an architect's floor as CAD programs write it, with a duct
// sketch in it that holds together. The same Spec gives the same bytes.
package gen

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strconv"
)

// Spec says what to make.
type Spec struct {
	Bytes int    // about how long; never much shorter
	Runs  int    // of the sketch: half of them trunk, half branches; 0 no sketch
	End   string // line end, "\n" where empty
}

// layersOfOthers is how many layers the architect uses; a usual office drawing has some dozens.
const layersOfOthers = 60

// Drawing makes a drawing in millimetres, of version AC1015.
func Drawing(spec Spec) []byte {
	w := &writer{end: spec.End, random: rand.New(rand.NewPCG(3, 1009))}
	if w.end == "" {
		w.end = "\n"
	}
	w.out.Grow(spec.Bytes + spec.Bytes/64 + 1<<16)
	w.header()
	w.tables()
	w.blocks()
	w.tag(0, "SECTION").tag(2, "ENTITIES")
	w.sketch(spec.Runs)
	for i := 0; w.out.Len() < spec.Bytes; i++ {
		w.thing(i)
	}
	w.tag(0, "ENDSEC")
	w.objects()
	w.tag(0, "EOF")
	return w.out.Bytes()
}

// Handles that are named elsewhere.
const (
	modelRecord = 0x1F
	paperRecord = 0x1E
	doorRecord  = 0x30
	layerTable  = 0x2
	firstHandle = 0x100
	handSeed    = "7FFFFFF" // above what any size makes
)

type writer struct {
	out    bytes.Buffer
	end    string
	random *rand.Rand
	handle int
}

// tag writes one tag, its code padded as CAD programs do.
func (w *writer) tag(code int, value string) *writer {
	switch {
	case code < 10:
		w.out.WriteString("  ")
	case code < 100:
		w.out.WriteByte(' ')
	}
	w.out.Write(strconv.AppendInt(w.out.AvailableBuffer(), int64(code), 10))
	w.out.WriteString(w.end)
	w.out.WriteString(value)
	w.out.WriteString(w.end)
	return w
}

func (w *writer) num(code, value int) *writer { return w.tag(code, strconv.Itoa(value)) }

func (w *writer) hex(code, value int) *writer { return w.tag(code, fmt.Sprintf("%X", value)) }

func (w *writer) float(code int, value float64) *writer {
	return w.tag(code, strconv.FormatFloat(value, 'f', 12, 64))
}

func (w *writer) point(code int, x, y, z float64) *writer {
	return w.float(code, x).float(code+10, y).float(code+20, z)
}

// entity begins an entity of model space.
func (w *writer) entity(kind, class, layer string) *writer {
	if w.handle == 0 {
		w.handle = firstHandle
	}
	w.handle++
	w.tag(0, kind).hex(5, w.handle).hex(330, modelRecord).tag(100, "AcDbEntity").tag(8, layer)
	if class != "" {
		w.tag(100, class)
	}
	return w
}

func otherLayer(i int) string { return fmt.Sprintf("A-PLAN-%02d", i%layersOfOthers) }

func (w *writer) header() {
	w.tag(0, "SECTION").tag(2, "HEADER")
	w.tag(9, "$ACADVER").tag(1, "AC1015").tag(9, "$DWGCODEPAGE").tag(3, "ANSI_1252")
	w.tag(9, "$INSUNITS").num(70, 4).tag(9, "$HANDSEED").tag(5, handSeed)
	w.tag(0, "ENDSEC")
}

// table writes a table; entries is called between its head and its end.
func (w *writer) table(name string, handle, count int, entries func()) {
	w.tag(0, "TABLE").tag(2, name).hex(5, handle).tag(330, "0").tag(100, "AcDbSymbolTable").num(70, count)
	if name == "DIMSTYLE" {
		w.tag(100, "AcDbDimStyleTable")
	}
	if entries != nil {
		entries()
	}
	w.tag(0, "ENDTAB")
}

func (w *writer) entry(kind, class, name string, handle, table int) *writer {
	return w.tag(0, kind).hex(5, handle).hex(330, table).tag(100, "AcDbSymbolTableRecord").tag(100, class).tag(2, name)
}

func (w *writer) tables() {
	layers := []string{"0", "SK-SUP-DUCT", "SK-SUP-TERM", "SK-SUP-UNIT", "SK-SUP-NOTE"}
	for i := range layersOfOthers {
		layers = append(layers, otherLayer(i))
	}
	w.tag(0, "SECTION").tag(2, "TABLES")
	w.table("VPORT", 0x8, 0, nil)
	w.table("LTYPE", 0x5, 3, func() {
		for i, name := range []string{"ByBlock", "ByLayer", "Continuous"} {
			w.entry("LTYPE", "AcDbLinetypeTableRecord", name, 0x14+i, 0x5).num(70, 0).tag(3, "").num(72, 65).num(73,
				0).float(40, 0)
		}
	})
	w.table("LAYER", layerTable, len(layers), func() {
		for i, name := range layers {
			w.entry("LAYER", "AcDbLayerTableRecord", name, 0x40+i, layerTable).num(70, 0).num(62, 1+i%7).tag(6,
				"Continuous").num(370, -3).hex(390, 0xF)
		}
	})
	w.table("STYLE", 0x3, 1, func() {
		w.entry("STYLE", "AcDbTextStyleTableRecord", "Standard", 0x11, 0x3).num(70, 0).float(40, 0).float(41,
			1).float(50, 0).num(71, 0).float(42, 2.5).tag(3, "txt").tag(4, "")
	})
	w.table("VIEW", 0x6, 0, nil)
	w.table("UCS", 0x7, 0, nil)
	w.table("APPID", 0x9, 1, func() { w.entry("APPID", "AcDbRegAppTableRecord", "ACAD", 0x12, 0x9).num(70, 0) })
	w.table("DIMSTYLE", 0xA, 0, nil)
	w.table("BLOCK_RECORD", 0x1, 3, func() {
		w.entry("BLOCK_RECORD", "AcDbBlockTableRecord", "*Model_Space", modelRecord, 0x1).tag(340, "0")
		w.entry("BLOCK_RECORD", "AcDbBlockTableRecord", "*Paper_Space", paperRecord, 0x1).tag(340, "0")
		w.entry("BLOCK_RECORD", "AcDbBlockTableRecord", "DOOR-90", doorRecord, 0x1).tag(340, "0")
	})
	w.tag(0, "ENDSEC")
}

// block writes a block; content is called between its head and its end.
func (w *writer) block(name string, record, handle int, content func()) {
	w.tag(0, "BLOCK").hex(5, handle).hex(330, record).tag(100, "AcDbEntity").tag(8, "0").tag(100,
		"AcDbBlockBegin").tag(2, name).num(70, 0)
	w.point(10, 0, 0, 0).tag(3, name).tag(1, "")
	if content != nil {
		content()
	}
	w.tag(0, "ENDBLK").hex(5, handle+1).hex(330, record).tag(100, "AcDbEntity").tag(8, "0").tag(100, "AcDbBlockEnd")
}

func (w *writer) blocks() {
	w.tag(0, "SECTION").tag(2, "BLOCKS")
	w.block("*Model_Space", modelRecord, 0x20, nil)
	w.block("*Paper_Space", paperRecord, 0x22, nil)
	w.block("DOOR-90", doorRecord, 0x31, func() {
		part := func(kind, class string, handle int) *writer {
			return w.tag(0, kind).hex(5, handle).hex(330, doorRecord).tag(100, "AcDbEntity").tag(8, "0").tag(100, class)
		}
		part("LINE", "AcDbLine", 0x33).point(10, 0, 0, 0).point(11, 0, 900, 0)
		part("ARC", "AcDbCircle", 0x34).point(10, 0, 0, 0).float(40, 900).tag(100, "AcDbArc").float(50, 0).float(51, 90)
	})
	w.tag(0, "ENDSEC")
}

// Measures of the sketch, in millimetres.
const (
	branchEvery  = 3000.0
	branchLength = 2500.0
	textHeight   = 150.0
	branchFlow   = 40 // L/s
)

// sketch draws a trunk from a unit, branches to both sides, and a terminal with its note at the end of each.
func (w *writer) sketch(runs int) {
	branches := runs / 2
	if branches == 0 {
		return
	}
	w.entity("LWPOLYLINE", "AcDbPolyline", "SK-SUP-UNIT").num(90, 4).num(70, 1)
	for _, p := range [][2]float64{{-1200, -600}, {0, -600}, {0, 600}, {-1200, 600}} {
		w.float(10, p[0]).float(20, p[1])
	}
	w.text("SK-SUP-NOTE", -1100, 0, "AHU-1 400 Pa")
	last := branchEvery * float64(branches)
	w.entity("LINE", "AcDbLine", "SK-SUP-DUCT").point(10, 0, 0, 0).point(11, last, 0, 0)
	for i := range branches {
		x, y := branchEvery*float64(i+1), branchLength
		if i%2 == 1 {
			y = -y
		}
		w.entity("LINE", "AcDbLine", "SK-SUP-DUCT").point(10, x, 0, 0).point(11, x, y, 0)
		w.entity("CIRCLE", "AcDbCircle", "SK-SUP-TERM").point(10, x, y, 0).float(40, 200)
		w.text("SK-SUP-NOTE", x+250, y, fmt.Sprintf("S-%d %d L/s", 101+i, branchFlow))
	}
}

func (w *writer) text(layer string, x, y float64, value string) {
	w.entity("TEXT", "AcDbText", layer).point(10, x, y, 0).float(40, textHeight).tag(1, value).tag(100, "AcDbText")
}

// thing draws entity i of the architect: the kinds in about the shares of an office's plan, well away from the sketch.
func (w *writer) thing(i int) {
	layer := otherLayer(w.random.IntN(layersOfOthers))
	x, y := 1e6*w.random.Float64(), 20000+1e6*w.random.Float64()
	switch k := i % 20; {
	case k < 8:
		w.entity("LINE", "AcDbLine", layer).point(10, x, y, 0).point(11, x+5000*w.random.Float64(), y, 0)
	case k < 12:
		n := 3 + w.random.IntN(9)
		w.entity("LWPOLYLINE", "AcDbPolyline", layer).num(90, n).num(70, 1).float(43, 0)
		for range n {
			w.float(10, x+3000*w.random.Float64()).float(20, y+3000*w.random.Float64())
		}
	case k < 14:
		w.text(layer, x, y, fmt.Sprintf("Room %d.%02d", i%7, i%90))
	case k == 14:
		w.entity("MTEXT", "AcDbMText", layer).point(10, x, y, 0).float(40, 120).float(41, 2000).num(71, 1).num(72,
			1).tag(1, `{\fArial|b0|i0;Floor finish:\Plinoleum 2.5 mm}`)
	case k == 15:
		w.entity("ARC", "AcDbCircle", layer).point(10, x, y, 0).float(40, 900).tag(100, "AcDbArc").float(50,
			0).float(51, 90)
	case k == 16:
		w.entity("CIRCLE", "AcDbCircle", layer).point(10, x, y, 0).float(40, 50)
	case k < 19:
		w.entity("INSERT", "AcDbBlockReference", layer).tag(2, "DOOR-90").point(10, x, y, 0).float(50, 90*float64(i%4))
	default:
		w.hatch(layer, x, y)
	}
}

// hatch draws what is not looked into.
func (w *writer) hatch(layer string, x, y float64) {
	w.entity("HATCH", "AcDbHatch", layer).point(10, 0, 0, 0).point(210, 0, 0, 1).tag(2, "SOLID").num(70, 1).num(71,
		0).num(91, 1)
	w.num(92, 2).num(72, 0).num(73, 1).num(93, 4)
	for _, p := range [][2]float64{{0, 0}, {400, 0}, {400, 400}, {0, 400}} {
		w.float(10, x+p[0]).float(20, y+p[1])
	}
	w.num(97, 0).num(75, 0).num(76, 1).num(98, 1).float(10, x).float(20, y)
}

// objects writes the least that later versions want.
func (w *writer) objects() {
	w.tag(0, "SECTION").tag(2, "OBJECTS")
	w.tag(0, "DICTIONARY").tag(5, "C").tag(330, "0").tag(100, "AcDbDictionary").num(281, 1).tag(3,
		"ACAD_GROUP").tag(350, "D")
	w.tag(0, "DICTIONARY").tag(5, "D").tag(330, "C").tag(100, "AcDbDictionary").num(281, 1)
	w.tag(0, "ENDSEC")
}
