package label

import (
	"twinline/layout/duct"
	"twinline/layout/shape"
	"twinline/layout/sketch"
	"twinline/layout/words"
	"twinline/symbols"
)

// Spec is the settings of this stage.
type Spec struct {
	Scale       float64 // plot scale, 50 for 1:50
	TextHeight  float64 // plotted, metres (0.0025)
	LetterWidth float64 // width factor of the text style; 0: 1
	Inches      bool    // sizes in inches and cfm, else millimetres and L/s
	Flat        bool    // letter at Z zero

	SizeLabels  bool
	FlowLabels  bool
	Arrows      bool
	ArrowLength float64     // of flow arrows, plotted, metres; 0: 6 mm
	Elevation   bool        // elevation in size labels
	PlainSizes  bool        // no lining and insulation in size labels
	SizeCentred bool        // labels between walls stand on the middle of the duct, not beside the line of the sketch
	SingleBelow duct.Length // sizes up to this are drawn single-line; 0 none
	RepeatEvery duct.Length // on long runs labels come again after this length; 0 never

	Forms   Forms                      // how sizes, elevations and airflows are written
	Letters [shape.LetterKinds]Letters // how labels of each kind differ
	Symbols symbols.Choices            // how marks look

	Obstacles []sketch.Obstacle // texts of others and of the sketch
	Strokes   []sketch.Stroke   // lines of others, which labels keep clear of where they can
}

// Letters is how labels of one kind look. Zero values say nothing.
type Letters struct {
	Height  float64 // plotted, metres; 0: Spec.TextHeight
	Width   float64 // width factor; 0: Spec.LetterWidth
	Oblique float64 // slant, radians
	Content Content // what they say; zero: the usual
}

// Forms is how sizes, elevations and airflows are written. The zero value is the usual way.
type Forms struct {
	Round, Rect, Oval Form // of sizes
	PlainInches       bool // inches without their mark
	Level             words.LevelForm
	FlowUnit          words.FlowUnit // zero: the one they were given in
	FlowStep          float64        // airflows are rounded to the next of these, in that unit; 0: written as given
}

// tall returns the usual height of capitals in the model.
func (s *Spec) tall() float64 { return s.TextHeight * s.Scale }

// look returns how labels of a kind are lettered.
func (s *Spec) look(k shape.Letters) look {
	own := s.Letters[k]
	out := look{kind: k, tall: s.tall(), factor: s.LetterWidth, slant: own.Oblique}
	if own.Height > 0 {
		out.tall = own.Height * s.Scale
	}
	if own.Width > 0 {
		out.factor = own.Width
	}
	if !(out.factor > 0) {
		out.factor = 1
	}
	return out
}

// content returns what labels of a kind say.
func (s *Spec) content(k shape.Letters) Content {
	if c := s.Letters[k].Content; c.lines != nil {
		return c
	}
	var names []string
	switch k {
	case shape.FlowText, shape.UnitText, shape.PlainText:
		names = []string{"mark", "flow"}
	case shape.LevelText:
		names = []string{"elevation"}
	case shape.SizeText:
		names = []string{"size"}
		if !s.PlainSizes {
			names = append(names, "cover")
		}
		if s.Elevation {
			names = append(names, "elevation")
		}
	}
	c := Content{}
	for _, name := range names {
		c.lines = append(c.lines, []token{{field: name}})
	}
	return c
}
