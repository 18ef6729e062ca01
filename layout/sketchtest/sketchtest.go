// Package sketchtest is the little language tests write sketches in. Only tests import it.
package sketchtest

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/sketch"
)

// Drawing is a sketch, and the sizes its ducts are given where no solver is asked.
type Drawing struct {
	Sketch *sketch.Sketch
	Sizes  map[string]duct.Size // by the key of the duct
}

// Parse reads a sketch of a few lines of text, in metres, litres a second and pascals; sizes are in millimetres. Two
// slashes begin a remark.
//
//	duct KEY [SUP] [EX|REM|FUT] [flex] [closed] [BOD|TOD] [size=SIZE] x,y,z[,bulge] ... [note x,y,z WORD=VALUE ...]
//	term KEY [SUP] [EX|REM|FUT] x,y,z [FLOW] [mark=S1] [side|top] [face=0.6] [neck=SIZE] [dp=20]
//	unit KEY [SUP] [EX|REM|FUT] x,y[,z] [mark=AHU] [w=1] [h=1] [esp=100] [p=20] [dp=30] [flow=100] [neck=SIZE]
//
// A SIZE is 200 (round), 400x300 or 550x250o (flat oval). Notes: fixed=SIZE, maxh, shape, flat, single, lined, insul.
func Parse(t testing.TB, text string) *Drawing {
	t.Helper()
	d := &Drawing{Sketch: &sketch.Sketch{Unit: duct.Metre, Metric: true}, Sizes: map[string]duct.Size{}}
	for _, row := range strings.Split(text, "\n") {
		row, _, _ = strings.Cut(row, "//")
		words := strings.Fields(row)
		if len(words) == 0 {
			continue
		}
		require.Greater(t, len(words), 2, row)
		sk := d.Sketch
		switch handle, rest := words[1], words[2:]; words[0] {
		case "duct":
			sk.Lines = append(sk.Lines, d.duct(t, handle, rest))
		case "term":
			sk.Terminals = append(sk.Terminals, terminal(t, handle, rest))
		case "unit":
			sk.Units = append(sk.Units, unit(t, handle, rest))
		default:
			t.Fatalf("unknown %q", words[0])
		}
	}
	return d
}

// RunSizes returns the sizes of the runs of the network made of d, by RunID: what their duct has, of a run whose key
// goes on after that of a duct (a part of it, a drop) what that has, else that of the run it goes on from.
func (d *Drawing) RunSizes(net *duct.Network) []duct.Size {
	out := make([]duct.Size, len(net.Runs))
	for i := range net.Runs {
		r := &net.Runs[i]
		out[i] = d.Sizes[string(r.Key.Line())]
		if s, ok := d.Sizes[string(r.Key)]; ok {
			out[i] = s
		}
		if out[i].IsZero() && r.Up != duct.None {
			out[i] = out[r.Up]
		}
	}
	return out
}

// Size reads a size in millimetres: 200, 400x300 or 550x250o.
func Size(t testing.TB, text string) duct.Size {
	t.Helper()
	mm := func(s string) duct.Length { return duct.Length(number(t, s)) * duct.Millimetre }
	w, h, both := strings.Cut(text, "x")
	switch flat, oval := strings.CutSuffix(h, "o"); {
	case !both:
		return duct.RoundOf(mm(text))
	case oval:
		return duct.OvalOf(mm(w), mm(flat))
	default:
		return duct.RectOf(mm(w), mm(h))
	}
}

// Square returns the corners of a level rectangle around its middle.
func Square(at geom.Vec, w, h float64) []geom.Vec {
	w, h = w/2, h/2
	return []geom.Vec{at.Add(geom.Vec{X: -w, Y: -h}), at.Add(geom.Vec{X: w, Y: -h}), at.Add(geom.Vec{X: w, Y: h}),
		at.Add(geom.Vec{X: -w, Y: h})}
}

func common(w string, air *duct.Air, status *duct.Status) bool {
	for _, a := range duct.Airs {
		if a.String() == w {
			*air = a
			return true
		}
	}
	switch w {
	case "EX":
		*status = duct.Existing
	case "REM":
		*status = duct.Removed
	case "FUT":
		*status = duct.Future
	default:
		return false
	}
	return true
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

func vertex(t testing.TB, w string) geom.Vertex {
	t.Helper()
	f := append(strings.Split(w, ","), "0", "0")
	return geom.Vertex{Vec: geom.Vec{X: number(t, f[0]), Y: number(t, f[1]), Z: number(t, f[2])},
		Bulge: number(t, f[3])}
}

func (d *Drawing) duct(t testing.TB, handle string, words []string) sketch.Line {
	l := sketch.Line{Key: key.Key(handle), Handle: handle}
	var note *sketch.RunNote
	for i := 0; i < len(words); i++ {
		w := words[i]
		name, value, _ := strings.Cut(w, "=")
		switch {
		case note != nil && value != "" || w == "single":
			spec(t, &note.Spec, name, value)
		case common(w, &l.Air, &l.Status):
		case name == "size":
			d.Sizes[handle] = Size(t, value)
		case w == "flex":
			l.Flex = true
		case w == "closed":
			l.Closed = true
		case w == "BOD":
			l.Datum = duct.Bottom
		case w == "TOD":
			l.Datum = duct.Top
		case w == "note":
			i++
			l.Notes = append(l.Notes,
				sketch.RunNote{At: vertex(t, words[i]).Vec, Handle: fmt.Sprintf("N%s%d", handle, len(l.Notes))})
			note = &l.Notes[len(l.Notes)-1]
		default:
			l.Path = append(l.Path, vertex(t, w))
		}
	}
	return l
}

func spec(t testing.TB, s *duct.Spec, name, value string) {
	switch name {
	case "fixed":
		s.Fixed = Size(t, value)
	case "maxh":
		s.MaxHeight = duct.Length(number(t, value) / 1000)
	case "lined":
		s.Lining = duct.Length(number(t, value) / 1000)
	case "insul":
		s.Insulation = duct.Length(number(t, value) / 1000)
	case "shape":
		s.HasShape = true
		s.Shape = map[string]duct.Shape{"round": duct.Round, "rect": duct.Rect, "oval": duct.Oval}[value]
	case "flat":
		s.HasFlat = true
		s.Flat = map[string]duct.Side{"left": duct.FlatLeft, "right": duct.FlatRight, "top": duct.FlatTop,
			"bottom": duct.FlatBottom}[value]
	case "single":
		s.Single = true
	default:
		t.Fatalf("unknown note %q", name)
	}
}

func terminal(t testing.TB, handle string, words []string) sketch.Terminal {
	s := sketch.Terminal{Key: key.Key(handle), Handle: handle}
	face := 0.6
	for _, w := range words {
		name, value, has := strings.Cut(w, "=")
		switch {
		case common(w, &s.Air, &s.Status):
		case w == "side":
			s.Conn = duct.ConnSide
		case w == "top":
			s.Conn = duct.ConnTop
		case name == "mark":
			s.Mark = value
		case name == "face":
			face = number(t, value)
		case name == "neck":
			s.Neck = Size(t, value)
		case name == "dp":
			s.Loss = duct.Pressure(number(t, value))
		case has:
			t.Fatalf("unknown %q", w)
		case strings.Contains(w, ","):
			s.At = vertex(t, w).Vec
		default:
			s.Flow = duct.Flow(number(t, w)) * duct.LitrePerSecond
		}
	}
	s.Face = Square(s.At, face, face)
	return s
}

func unit(t testing.TB, handle string, words []string) sketch.Unit {
	u := sketch.Unit{Key: key.Key(handle), Handle: handle}
	w, h := 1.0, 1.0
	for _, word := range words {
		name, value, has := strings.Cut(word, "=")
		switch {
		case common(word, &u.Air, &u.Status):
		case name == "mark":
			u.Mark = value
		case name == "neck":
			u.Neck = Size(t, value)
		case name == "w":
			w = number(t, value)
		case name == "h":
			h = number(t, value)
		case name == "esp":
			u.ESP = duct.Pressure(number(t, value))
		case name == "p":
			u.Pressure = duct.Pressure(number(t, value))
		case name == "dp":
			u.Loss = duct.Pressure(number(t, value))
		case name == "flow":
			u.Flow = duct.Flow(number(t, value)) * duct.LitrePerSecond
		case has:
			t.Fatalf("unknown %q", word)
		default:
			u.At = vertex(t, word).Vec
		}
	}
	u.Outline = Square(u.At, w, h)
	return u
}
