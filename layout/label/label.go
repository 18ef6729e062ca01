// Package label letters a plan: sizes, elevations, airflows and marks, with their leaders, and flow arrows, each where
// it is clear of what is drawn. What is to be labelled (wants.go) is worded (writer.go), places for it are tried
// (around.go, along.go) and held against what is in the way (obstacles.go) and against each other (choose.go), and the
// one chosen is drawn (placed.go).
package label

import (
	"math"
	"strings"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/key"
	"twinline/layout/shape"
)

// look is how labels of one kind are lettered.
type look struct {
	kind   shape.Letters
	tall   float64 // height of capitals in the model, metres
	factor float64 // width factor of the text style
	slant  float64 // radians
}

// part returns the part of the plan labels of this kind are.
func (k look) part() shape.Part {
	if k.kind == shape.SizeText || k.kind == shape.LevelText {
		return shape.Size
	}
	return shape.Flow
}

// lettering is the lines of a label, and the width and height of the box they take, in metres.
type lettering struct {
	lines []string
	w, h  float64
}

// lineStep is from one line of a label to the next, levelSide the width of the mark before an elevation, to the height
// of capitals.
const (
	lineStep  = 1.6
	levelSide = 1.1
)

// letter returns lines as they are lettered.
func (k look) letter(lines ...string) lettering {
	w := 0.0
	for _, line := range lines {
		w = math.Max(w, shape.LetterWidths(line))
	}
	w *= k.tall * k.factor
	if k.kind == shape.LevelText {
		w += levelSide * k.tall
	}
	h := (shape.LineBox + lineStep*float64(len(lines)-1)) * k.tall
	return lettering{lines, w + math.Abs(math.Tan(k.slant))*k.tall, h}
}

// label is one thing to letter.
type label struct {
	look
	key    key.Key
	air    duct.Air
	status duct.Status
	facts  *shape.Facts // kept for two drawings to be compared
	texts  []lettering  // what it says: as it is, and where that is several lines, joined to one
}

// saying returns b with other lines.
func (b label) saying(lines []string) label {
	b.texts = nil
	if len(lines) > 0 {
		b.texts = append(b.texts, b.letter(lines...))
	}
	if len(lines) > 1 {
		b.texts = append(b.texts, b.letter(strings.Join(lines, "  ")))
	}
	return b
}

// Place returns the lettering of a plan of which everything else is drawn: airflow and mark
// at terminals and units, elevations where the level changes, sizes, and flow arrows, in
// that order of importance. Each stands where it is clear of what is drawn, of the texts of
// others and of the lettering before it; what has no such place is left out, with a note
// where the plan cannot be read without it.
func Place(net *duct.Network, des *duct.Design, drawn []shape.Shape, spec Spec) ([]shape.Shape, diag.List) {
	if h := spec.tall(); !(h > 0) || math.IsInf(h, 0) {
		return nil, nil
	}
	runs, w := runsOf(net, des, spec.SingleBelow), newWriter(net, &spec)
	chains := chainsOf(net, runs, w)
	taken := obstaclesOf(net, runs, drawn, &spec)
	choice := chooser{obstacles: taken, usual: usually(spec.SizeCentred), rare: rarely(spec.SizeCentred)}
	var out []shape.Shape
	var found diag.List
	lettered := map[*chain]bool{}
	for _, t := range wanted(net, des, runs, chains, w, &spec) {
		p, ok := choice.place(t)
		switch {
		case ok:
			p = p.flattened(spec.Flat)
			taken.addLabel(p)
			out = append(out, p.shapes(&spec.Symbols)...)
			lettered[t.chain] = true
		case t.chain == nil:
			leftOut(&found, t.texts[0].lines, t.at, t.handle)
		}
	}
	if spec.SizeLabels {
		unread(&found, chains, lettered)
	}
	if spec.Arrows {
		out = append(out, arrows(chains, taken, &spec)...)
	}
	return out, found
}
