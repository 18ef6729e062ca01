package sketch

import "twinline/layout/duct"

// value is what one part of a note says. Only what its topic is about is set.
type value struct {
	mark     string
	flow     duct.Flow
	pressure duct.Pressure
	level    duct.Length // the elevation of datum
	datum    duct.Datum
	run      duct.Spec // about a duct; a size is Fixed, as the neck of a terminal or a unit too
	conn     duct.Conn
	rating   duct.Rating
	class    string  // of a rating, without its time: "EI", "REI S"
	minutes  float64 // of a rating
}

// topic is one thing notes speak of, with the rows of the table of notes that read it.
type topic struct {
	name string // in findings
	rows []row

	amounts     func(value) []float64 // what has to be more than zero, unless signed
	signed      bool
	least, most duct.Length // beyond these a length was written in another unit than the drawing's; most 0: no bounds

	run      func(to *duct.Spec, from duct.Spec) // sets in to what from says of this topic, nothing too
	holds    Extent                              // where it is about a duct
	terminal func(*Terminal, value)
	unit     func(*Unit, value)
}

// row is one way to write a topic.
type row struct {
	name  string   // in the README and the package documentation; "": the topic's
	shown []string // forms the README shows
	also  []string // more, which the package documentation shows
	means string   // what it is about, for both

	about     kind // what a text on a NOTE layer can be about
	otherwise kind // and where no such thing is near
	own       kind // what it can be about as well in a text on the layer of just that

	words []word   // what it begins with, and
	then  follower // what has to follow; nil: nothing
	read  reader   // reads what begins with no word

	example example // what a hint proposes; none: its words as they are
	slips   string  // words near to it that are no notes, for hints
}

// example is a form to propose in inch drawings, in those in millimetres, where a bare number is one of millimetres,
// and in other metric ones, where a number needs its unit.
type example struct{ inch, mm, other string }

// in returns the form for a drawing in that unit.
func (e example) in(unit duct.Length) string {
	switch {
	case unit == duct.Inch || unit == duct.Foot:
		return e.inch
	case unit == duct.Millimetre:
		return e.mm
	}
	return e.other
}

// everywhere is a form that depends on no unit.
func everywhere(form string) example { return example{form, form, form} }

// Forms other messages propose too.
var (
	heightForm     = example{`EL 9'-0"`, "EL 2700", "EL +2.70 m"}
	liningForm     = example{`lined 1"`, "lined 25", "lined 25 mm"}
	insulationForm = example{`insul 2"`, "insul 50", "insul 50 mm"}
	flowForm       = example{"220 cfm", "105 L/s", "105 L/s"}
	pressureForm   = example{"0.6 in.wg", "150 Pa", "150 Pa"}
)

// word begins a part of a note.
type word struct {
	text  string // in small letters
	value value
	shown string // what a hint proposes for it, where that is not the word
}

// Values beyond these were written in another unit than the drawing's. They are no limits of the trade, only far beyond
// what it builds.
const (
	mostSize  = 5 * duct.Metre
	mostCover = 0.5 * duct.Metre
	mostLevel = 1000 * duct.Metre
	leastSize = 20 * duct.Millimetre
)

// The topics, each with its rows of the table of notes.
var (
	elevation = &topic{
		name: "elevation", signed: true, least: -mostLevel, most: mostLevel,
		amounts: func(v value) []float64 { return []float64{float64(v.level)} },
		rows: []row{
			{
				shown: []string{`EL 9'-0"`}, also: []string{"EL 2700", "EL=9'"},
				means: "nearest duct (centreline), terminal or unit; on its layer limit or ceiling, a number alone too",
				about: onLine | onTerminal | onUnit, own: onLimit | onCeiling,
				words: []word{{text: "el"}}, then: levelAfter, slips: "elev elevation", example: heightForm,
			}, {
				name: "elevation of the centreline", shown: []string{"CL +3.30"}, also: []string{"CL 3300"},
				means: "duct, else terminal or unit; on its layer limit or ceiling",
				about: onLine, otherwise: onTerminal | onUnit, own: onLimit | onCeiling,
				words: []word{{text: "cl"}}, then: levelAfter,
				example: example{`CL 10'-10"`, "CL 3300", "CL +3.30 m"},
			}, {
				name: "elevation of the bottom", shown: []string{`BOD 10'-6"`}, also: []string{"BOD 2700"},
				means: "duct; on its layer limit", about: onLine, own: onLimit,
				words: []word{{text: "bod", value: value{datum: duct.Bottom}}}, then: levelAfter, slips: "bop bottom",
				example: example{`BOD 10'-6"`, "BOD 3200", "BOD +3.20 m"},
			}, {
				name: "elevation of the top", shown: []string{`TOD 11'-4"`}, also: []string{"TOD 3600"},
				means: "duct", about: onLine,
				words: []word{{text: "tod", value: value{datum: duct.Top}}}, then: levelAfter, slips: "top",
				example: example{`TOD 11'-4"`, "TOD 3450", "TOD +3.45 m"},
			},
		},
	}

	size = &topic{
		name: "size", least: leastSize, most: mostSize,
		amounts: func(v value) []float64 { return []float64{float64(v.run.Fixed.Width), float64(v.run.Fixed.Height)} },
		run:     func(to *duct.Spec, from duct.Spec) { to.Fixed = from.Fixed }, holds: OneSize,
		terminal: func(t *Terminal, v value) { t.Neck = v.run.Fixed },
		unit:     func(u *Unit, v value) { u.Neck = v.run.Fixed },
		rows: []row{
			{
				name: "size, round", shown: []string{"ø250", "%%c250", `10" dia`, "250 dia"},
				also:  []string{"⌀250", "250ø", "dia 250"},
				means: "duct: keep this size; terminal, and unit on its layer: the neck",
				about: onLine | onTerminal, own: onUnit,
				words: diameterWords, then: diameterAfter, read: diameterBefore, slips: "diam",
				example: example{`ø10"`, "ø250", "ø250 mm"},
			}, {
				name: "size, rectangular, width x height", shown: []string{"450x250", `18"x10"`},
				also:  []string{"450×250", `18x10"`, "450x250 mm"},
				means: "duct: keep this size; terminal, and unit on its layer: the neck",
				about: onLine | onTerminal, own: onUnit, read: sides,
				example: example{`18"x10"`, "450x250", "450x250 mm"},
			}, {
				name: "size, flat oval", shown: []string{"22x10 oval"}, also: []string{"oval 22x10"},
				means: "duct: keep this size; terminal, and unit on its layer: the neck",
				about: onLine | onTerminal, own: onUnit, // a size and a shape, which settleShapes brings together
				example: example{`22"x10" oval`, "550x250 oval", "550x250 mm oval"},
			},
		},
	}

	heightLimit = &topic{
		name: "height limit", least: leastSize, most: mostSize,
		amounts: func(v value) []float64 { return []float64{float64(v.run.MaxHeight)} },
		run:     func(to *duct.Spec, from duct.Spec) { to.MaxHeight = from.MaxHeight }, holds: Downstream,
		rows: []row{{
			shown: []string{"H<=250", `H<=10"`}, also: []string{`H≤10"`, "H<250"},
			means: "duct, and all of its system downstream", about: onLine,
			words: []word{{text: "h"}}, then: limitAfter, slips: "height",
			example: example{`H<=10"`, "H<=250", "H<=250 mm"},
		}},
	}

	ductShape = &topic{
		name: "shape", holds: Downstream,
		run: func(to *duct.Spec, from duct.Spec) { to.Shape, to.HasShape = from.Shape, from.HasShape },
		rows: []row{{
			shown: []string{"round", "rect", "oval"}, also: []string{"rectangular"}, means: "duct and downstream",
			about: onLine,
			words: []word{
				{text: "round", value: value{run: duct.Spec{Shape: duct.Round, HasShape: true}}},
				{text: "rect", value: value{run: duct.Spec{Shape: duct.Rect, HasShape: true}}},
				{text: "rectangular", value: value{run: duct.Spec{Shape: duct.Rect, HasShape: true}}, shown: "rect"},
				{text: "oval", value: value{run: duct.Spec{Shape: duct.Oval, HasShape: true}}},
			},
		}},
	}

	straightSide = &topic{
		name: "straight side", holds: Downstream,
		run: func(to *duct.Spec, from duct.Spec) { to.Flat, to.HasFlat = from.Flat, from.HasFlat },
		rows: []row{{
			shown: []string{"flat left", "flat right", "FOT", "FOB"}, also: []string{"flat top", "flat on top"},
			means: "duct and downstream: the side that stays straight where the size changes", about: onLine,
			words: []word{
				{text: "flat left", value: flat(duct.FlatLeft)}, {text: "flat right", value: flat(duct.FlatRight)},
				{text: "flat top", value: flat(duct.FlatTop)}, {text: "flat bottom", value: flat(duct.FlatBottom)},
				{text: "flat on top", value: flat(duct.FlatTop)},
				{text: "flat on bottom", value: flat(duct.FlatBottom)},
				{text: "fot", value: flat(duct.FlatTop), shown: "FOT"},
				{text: "fob", value: flat(duct.FlatBottom), shown: "FOB"},
			},
			slips: "flat left right", example: everywhere("flat left or flat right"),
		}},
	}

	single = &topic{
		name: "single line", holds: OneSize, run: func(to *duct.Spec, from duct.Spec) { to.Single = from.Single },
		rows: []row{{
			shown: []string{"single"}, means: "duct: its centreline alone is drawn", about: onLine,
			words: []word{{text: "single", value: value{run: duct.Spec{Single: true}}}},
		}},
	}

	lining = &topic{
		name: "lining", most: mostCover, amounts: func(v value) []float64 { return []float64{float64(v.run.Lining)} },
		run: func(to *duct.Spec, from duct.Spec) { to.Lining = from.Lining }, holds: Downstream,
		rows: []row{{
			shown: []string{`lined 1"`}, also: []string{"lining 25"}, means: "duct and downstream", about: onLine,
			words: []word{{text: "lined"}, {text: "lining"}}, then: liningAfter, slips: "liner", example: liningForm,
		}},
	}

	insulation = &topic{
		name: "insulation", most: mostCover,
		amounts: func(v value) []float64 { return []float64{float64(v.run.Insulation)} },
		run:     func(to *duct.Spec, from duct.Spec) { to.Insulation = from.Insulation }, holds: Downstream,
		rows: []row{{
			shown: []string{"insul 50"}, also: []string{"insulation 50", "insulated 50", "ins 50"},
			means: "duct and downstream", about: onLine,
			words: []word{{text: "insul"}, {text: "insulation"}, {text: "insulated"}, {text: "ins"}},
			then:  insulationAfter, example: insulationForm,
		}},
	}

	material = &topic{
		name: "material", run: func(to *duct.Spec, from duct.Spec) { to.Material = from.Material }, holds: Downstream,
		rows: []row{{
			shown: []string{"spiral", "plastic", "concrete"},
			also:  []string{"galvanised", "aluminium", "steel", "pvc", "masonry", "brick", "phenolic", "corrugated"},
			means: "duct and all downstream of it; any name in `sizing.roughness` is a material", about: onLine,
			words: []word{
				made("galvanised"), madeOf("galvanized", "galvanised"), madeOf("galv", "galvanised"), made("spiral"),
				made("aluminium"), madeOf("aluminum", "aluminium"), made("steel"), made("plastic"),
				madeOf("pvc", "plastic"),
				made("concrete"), made("masonry"), made("brick"), made("phenolic"), made("corrugated"),
			},
		}},
	}

	lossCoefficient = &topic{
		name: "loss coefficient", holds: RunAlone,
		run: func(to *duct.Spec, from duct.Spec) { to.C, to.HasC = from.C, from.HasC },
		rows: []row{{
			shown: []string{"C=0.35"}, also: []string{"C = -0.1"},
			means: "duct: all fittings of that run together, on its own velocity pressure", about: onLine,
			words: []word{{text: "c"}}, then: coefficientAfter, example: everywhere("C=0.35"),
		}},
	}

	airflow = &topic{
		name: "airflow", amounts: func(v value) []float64 { return []float64{float64(v.flow)} },
		terminal: func(t *Terminal, v value) { t.Flow = v.flow },
		unit:     func(u *Unit, v value) { u.Flow = v.flow },
		rows: []row{{
			shown: []string{"220 cfm", "105 L/s", "380 m3/h", "0.11 m3/s"}, also: []string{"380 m³/h"},
			means: "terminal, unit",
			about: onTerminal | onUnit, read: flowHere, example: flowForm,
		}},
	}

	pressure = &topic{
		name: "pressure", amounts: func(v value) []float64 { return []float64{float64(v.pressure)} },
		terminal: func(t *Terminal, v value) { t.Loss = v.pressure },
		unit:     func(u *Unit, v value) { u.Pressure = v.pressure },
		rows: []row{{
			shown: []string{"0.6 in.wg", "150 Pa"}, also: []string{`0.6"wg`, "0.15 kPa"},
			means: "unit at the head: available; in the middle: its loss; terminal: its loss",
			about: onTerminal | onUnit, read: pressureHere, example: pressureForm,
		}},
	}

	mark = &topic{
		name:     "mark",
		terminal: func(t *Terminal, v value) { t.Mark = v.mark },
		unit:     func(u *Unit, v value) { u.Mark = v.mark },
		rows: []row{{
			shown: []string{"S-101", "E2", "TB-4"}, also: []string{"AHU-3a", "TB-2-04"},
			means: "terminal, unit: any other letters with digits",
			about: onTerminal | onUnit, read: markHere, example: everywhere("S-101"),
		}},
	}

	wallRating = &topic{
		name: "rating",
		rows: []row{{
			name: "rating, on SK-RATED", shown: []string{"fire", "smoke", "fire smoke", "EI 90", "EI 60 S", "2 h"},
			means: "rated wall: which mark its crossings get, always for others to settle", own: onWall,
		}},
	}

	// What attributes alone can say.
	available = &topic{name: "pressure", unit: func(u *Unit, v value) { u.ESP = v.pressure }}
	unitLoss  = &topic{name: "pressure loss", unit: func(u *Unit, v value) { u.Loss = v.pressure }}
	neckPlace = &topic{
		name: "place of the neck", terminal: func(t *Terminal, v value) { t.Conn = v.conn },
		rows: []row{{words: []word{{text: "top", value: value{conn: duct.ConnTop}},
			{text: "side", value: value{conn: duct.ConnSide}}}}},
	}
)

// noteTopics is the table of notes. A part of a note that begins with a word is read by the row that has it; any
// other by the first row that knows its form.
var noteTopics = []*topic{
	mark, airflow, size, heightLimit, ductShape, elevation, straightSide, single, lining, insulation, material,
	lossCoefficient, pressure,
}

// settledTopics are all that one thing is given one value of.
var settledTopics = append(noteTopics[:len(noteTopics):len(noteTopics)], available, unitLoss, neckPlace)

// attribute is one of a block that says something about it.
type attribute struct {
	tag     string
	on      kind
	reads   []*topic // whose forms its value has; the first is what it is about
	bare    *topic   // what a number alone means
	gives   *topic
	example example
}

var attributes = []attribute{
	{"FLOW", onTerminal | onUnit, []*topic{airflow}, nil, airflow, flowForm},
	{"EL", onTerminal | onUnit, []*topic{elevation}, elevation, elevation, example{`9'-0"`, "2700", "2.70 m"}},
	{"NECK", onTerminal | onUnit, []*topic{size, ductShape}, size, size, example{`ø10"`, "ø250", "ø250 mm"}},
	{"DP", onTerminal, []*topic{pressure}, nil, pressure, example{"0.05 in.wg", "12 Pa", "12 Pa"}},
	{"DP", onUnit, []*topic{pressure}, nil, unitLoss, example{"0.05 in.wg", "12 Pa", "12 Pa"}},
	{"ESP", onUnit, []*topic{pressure}, nil, available, example{"0.05 in.wg", "12 Pa", "12 Pa"}},
	{"CONN", onTerminal, []*topic{neckPlace}, nil, neckPlace, everywhere("TOP or SIDE")},
}

func flat(side duct.Side) value { return value{run: duct.Spec{Flat: side, HasFlat: true}} }

func made(material string) word { return madeOf(material, material) }

func madeOf(text, material string) word {
	return word{text: text, value: value{run: duct.Spec{Material: material}}}
}

// Extent is how far a note about a duct holds.
type Extent uint8

// The extents.
const (
	RunAlone   Extent = iota // the run it stands at
	OneSize                  // all runs from one branch to the next
	Downstream               // and all that hangs on them
)

// RunTopic is a thing notes say about ducts.
type RunTopic struct {
	Name  string
	Holds Extent
	Put   func(to *duct.Spec, from duct.Spec) // sets in to what from says of it, nothing too
}

// Of returns what s says of the topic alone.
func (t RunTopic) Of(s duct.Spec) (only duct.Spec) {
	t.Put(&only, s)
	return only
}

// RunTopics lists what notes say about ducts.
func RunTopics() []RunTopic {
	var out []RunTopic
	for _, t := range noteTopics {
		if t.run != nil {
			out = append(out, RunTopic{t.name, t.holds, t.run})
		}
	}
	return out
}
