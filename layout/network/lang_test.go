package network

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/sketch"
)

// A sketch in a few lines of text, in metres and litres a second:
//
//	duct KEY [SUP] [EX|REM|FUT] [flex] [closed] [BOD|TOD] x,y,z[,bulge] ... [note x,y,z WORD=VALUE ...]
//	term KEY [SUP] [EX|REM|FUT] x,y,z [FLOW] [mark=S1] [side|top] [face=0.6]
//	unit KEY [SUP] [EX|REM|FUT] x,y [mark=AHU] [w=1] [h=1] [esp=100] [p=20] [dp=30] [flow=100]
//
// Notes: fixed=RxR or fixed=D in mm, maxh, shape, flat, single, lined, insul.
func parse(t testing.TB, text string) *sketch.Sketch {
	t.Helper()
	sk := &sketch.Sketch{Unit: duct.Metre, Metric: true}
	for _, row := range strings.Split(text, "\n") {
		row, _, _ = strings.Cut(row, "//")
		words := strings.Fields(row)
		if len(words) == 0 {
			continue
		}
		require.Greater(t, len(words), 2, row)
		switch words[0] {
		case "duct":
			sk.Lines = append(sk.Lines, parseDuct(t, words[1], words[2:]))
		case "term":
			sk.Terminals = append(sk.Terminals, parseTerm(t, words[1], words[2:]))
		case "unit":
			sk.Units = append(sk.Units, parseUnit(t, words[1], words[2:]))
		default:
			t.Fatalf("unknown %q", words[0])
		}
	}
	return sk
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
	return geom.Vertex{Vec: geom.Vec{X: number(t, f[0]), Y: number(t, f[1]), Z: number(t, f[2])}, Bulge: number(t, f[3])}
}

func parseDuct(t testing.TB, key string, words []string) sketch.Line {
	l := sketch.Line{Key: key, Handle: key}
	var note *sketch.RunNote
	for i := 0; i < len(words); i++ {
		w := words[i]
		name, value, _ := strings.Cut(w, "=")
		switch {
		case note != nil && value != "" || w == "single":
			parseNote(t, &note.Spec, name, value)
		case common(w, &l.Air, &l.Status):
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
			l.Notes = append(l.Notes, sketch.RunNote{At: vertex(t, words[i]).Vec, Handle: fmt.Sprintf("N%s%d", key, len(l.Notes))})
			note = &l.Notes[len(l.Notes)-1]
		default:
			l.Path = append(l.Path, vertex(t, w))
		}
	}
	return l
}

func parseNote(t testing.TB, s *duct.Spec, name, value string) {
	switch name {
	case "fixed":
		if w, h, ok := strings.Cut(value, "x"); ok {
			s.Fixed = duct.RectOf(duct.Length(number(t, w)/1000), duct.Length(number(t, h)/1000))
		} else {
			s.Fixed = duct.RoundOf(duct.Length(number(t, value) / 1000))
		}
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
		s.Flat = map[string]duct.Side{"left": duct.FlatLeft, "right": duct.FlatRight, "top": duct.FlatTop, "bottom": duct.FlatBottom}[value]
	case "single":
		s.Single = true
	default:
		t.Fatalf("unknown note %q", name)
	}
}

func square(at geom.Vec, w, h float64) []geom.Vec {
	w, h = w/2, h/2
	return []geom.Vec{at.Add(geom.Vec{X: -w, Y: -h}), at.Add(geom.Vec{X: w, Y: -h}), at.Add(geom.Vec{X: w, Y: h}), at.Add(geom.Vec{X: -w, Y: h})}
}

func parseTerm(t testing.TB, key string, words []string) sketch.Terminal {
	s := sketch.Terminal{Key: key, Handle: key}
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
		case has:
			t.Fatalf("unknown %q", w)
		case strings.Contains(w, ","):
			s.At = vertex(t, w).Vec
		default:
			s.Flow = duct.Flow(number(t, w)) * duct.LitrePerSecond
		}
	}
	s.Face = square(s.At, face, face)
	return s
}

func parseUnit(t testing.TB, key string, words []string) sketch.Unit {
	u := sketch.Unit{Key: key, Handle: key}
	w, h := 1.0, 1.0
	for _, word := range words {
		name, value, has := strings.Cut(word, "=")
		switch {
		case common(word, &u.Air, &u.Status):
		case name == "mark":
			u.Mark = value
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
	u.Outline = square(u.At, w, h)
	return u
}

// tell prints a network in one line a run, with the findings' codes, for comparing and for reading.
func tell(net *duct.Network) string {
	var s strings.Builder
	for _, sys := range net.Systems {
		fmt.Fprintf(&s, "system %s %s %.0f\n", sys.Name, sys.Air, sys.Flow*1000)
	}
	for i := range net.Runs {
		r := &net.Runs[i]
		up := "-"
		if r.Up != duct.None {
			up = net.Runs[r.Up].Key
		}
		fmt.Fprintf(&s, "%s %s %s %s(%s)->%s(%s) up %s %.0f len %.3f stretch %d\n", r.Key, r.Status, r.Kind,
			net.Nodes[r.From].Key, net.Nodes[r.From].Kind, net.Nodes[r.To].Key, net.Nodes[r.To].Kind, up, r.Flow*1000, r.Line.Len(), r.Section)
	}
	for _, t := range net.Terminals {
		fmt.Fprintf(&s, "terminal %s %s\n", t.Key, t.Name)
	}
	return s.String()
}
