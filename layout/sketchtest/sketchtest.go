// Package sketchtest is the little language tests write sketches in. Only tests import it.
package sketchtest

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/sketch"
)

// T is a *testing.T, a *testing.B or a *rapid.T.
type T interface {
	require.TestingT
	Helper()
	Fatalf(format string, args ...any)
}

// Drawing is a sketch, and the sizes its ducts are given where no solver is asked.
type Drawing struct {
	Sketch *sketch.Sketch
	Sizes  map[string]duct.Size // by the key of the duct
	air    duct.Air             // of the rows that follow
	level  float64              // likewise, metres
}

// Parse reads a sketch of a few lines of text, in metres, litres a second and pascals; sizes are in millimetres. Two
// slashes begin a remark, a semicolon ends a row as the end of the line does.
//
//	air ETA
//	level 3
//	duct KEY [SUP] [EX|REM|FUT] [flex] [closed] [BOD|TOD] [size=SIZE] x,y[,z[,bulge]] ... [note x,y[,z] WORD=VALUE ...]
//	term KEY [SUP] [EX|REM|FUT] x,y[,z] [FLOW] [mark=S1] [side|top] [face=0.6] [neck=SIZE] [dp=20]
//	unit KEY [SUP] [EX|REM|FUT] x,y[,z] [mark=AHU] [w=1] [h=1] [esp=100] [p=20] [dp=30] [flow=100] [neck=SIZE]
//
// The rows air and level say what holds for the rows after them that say nothing else: supply and z = 0 at first. A
// SIZE is 200 (round), 400x300 or 550x250o (flat oval). Notes: fixed=SIZE, maxh, shape, flat, single, lined, insul,
// material.
func Parse(t T, text string) *Drawing {
	t.Helper()
	d := &Drawing{Sketch: &sketch.Sketch{Unit: duct.Metre, Metric: true}, Sizes: map[string]duct.Size{}}
	d.read(t, text)
	return d
}

// Addf adds rows made by a format. Places (geom.Vec) and sizes (duct.Size) are written as the language has them, so
// that %v does for every value.
func (d *Drawing) Addf(t T, format string, args ...any) {
	t.Helper()
	words := make([]any, len(args))
	for i, a := range args {
		switch a := a.(type) {
		case geom.Vec:
			words[i] = fmt.Sprintf("%v,%v,%v", a.X, a.Y, a.Z)
		case duct.Size:
			words[i] = sizeText(a)
		default:
			words[i] = a
		}
	}
	d.read(t, fmt.Sprintf(format, words...))
}

func (d *Drawing) read(t T, text string) {
	t.Helper()
	sk := d.Sketch
	for _, row := range strings.FieldsFunc(text, func(r rune) bool { return r == '\n' || r == ';' }) {
		row, _, _ = strings.Cut(row, "//")
		words := strings.Fields(row)
		if len(words) == 0 {
			continue
		}
		require.Greater(t, len(words), 1, row)
		switch handle, rest := words[1], words[2:]; words[0] {
		case "air":
			require.True(t, common(handle, &d.air, new(duct.Status)), row)
		case "level":
			d.level = number(t, handle)
		case "duct":
			sk.Lines = append(sk.Lines, d.duct(t, handle, rest))
		case "term":
			sk.Terminals = append(sk.Terminals, d.terminal(t, handle, rest))
		case "unit":
			sk.Units = append(sk.Units, d.unit(t, handle, rest))
		default:
			t.Fatalf("unknown %q", words[0])
		}
	}
}

// RunSizes returns the sizes of the runs of the network made of d, by RunID: what is given for the key of the run, or
// else for that of its duct (a part of it, a riser), else that of the run it goes on from.
func (d *Drawing) RunSizes(net *duct.Network) []duct.Size {
	out := make([]duct.Size, len(net.Runs))
	for i := range net.Runs {
		r := &net.Runs[i]
		size, given := d.Sizes[string(r.Key)]
		if !given {
			size, given = d.Sizes[string(r.Key.Line())]
		}
		if !given && r.Up != duct.None {
			size = out[r.Up]
		}
		out[i] = size
	}
	return out
}

// Size reads a size in millimetres: 200, 400x300 or 550x250o.
func Size(t T, text string) duct.Size {
	t.Helper()
	mm := func(s string) duct.Length { return duct.Length(number(t, s) / 1000) } // as near as 0.35 is to 350 mm
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

func sizeText(s duct.Size) string {
	w, h := float64(s.Width*1000), float64(s.Height*1000)
	switch s.Shape {
	case duct.Round:
		return fmt.Sprint(w)
	case duct.Oval:
		return fmt.Sprintf("%vx%vo", w, h)
	default:
		return fmt.Sprintf("%vx%v", w, h)
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

func number(t T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

func (d *Drawing) vertex(t T, w string) geom.Vertex {
	t.Helper()
	f := strings.Split(w, ",")
	require.GreaterOrEqual(t, len(f), 2, w)
	v := geom.Vertex{Vec: geom.Vec{X: number(t, f[0]), Y: number(t, f[1]), Z: d.level}}
	if len(f) > 2 {
		v.Z = number(t, f[2])
	}
	if len(f) > 3 {
		v.Bulge = number(t, f[3])
	}
	return v
}

func (d *Drawing) duct(t T, handle string, words []string) sketch.Line {
	l := sketch.Line{Key: key.Key(handle), Handle: handle, Air: d.air}
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
				sketch.RunNote{At: d.vertex(t, words[i]).Vec, Handle: fmt.Sprintf("N%s%d", handle, len(l.Notes))})
			note = &l.Notes[len(l.Notes)-1]
		default:
			l.Path = append(l.Path, d.vertex(t, w))
		}
	}
	return l
}

func spec(t T, s *duct.Spec, name, value string) {
	switch name {
	case "fixed":
		s.Fixed = Size(t, value)
	case "maxh":
		s.MaxHeight = duct.Length(number(t, value) / 1000)
	case "lined":
		s.Lining = duct.Length(number(t, value) / 1000)
	case "insul":
		s.Insulation = duct.Length(number(t, value) / 1000)
	case "material":
		s.Material = value
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

func (d *Drawing) terminal(t T, handle string, words []string) sketch.Terminal {
	s := sketch.Terminal{Key: key.Key(handle), Handle: handle, Air: d.air}
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
			s.At = d.vertex(t, w).Vec
		default:
			s.Flow = duct.Flow(number(t, w)) * duct.LitrePerSecond
		}
	}
	s.Face = Square(s.At, face, face)
	return s
}

func (d *Drawing) unit(t T, handle string, words []string) sketch.Unit {
	u := sketch.Unit{Key: key.Key(handle), Handle: handle, Air: d.air}
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
			u.At = d.vertex(t, word).Vec
		}
	}
	u.Outline = Square(u.At, w, h)
	return u
}
