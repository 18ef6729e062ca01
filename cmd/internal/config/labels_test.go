package config

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/dxfio"
	"twinline/layout/shape"
	"twinline/symbols"
)

func TestLabelErrors(t *testing.T) {
	for file, want := range map[string][]string{
		"[draw]\nsize_place = \"above\"":     {"draw.size_place", "centred"},
		"[draw.labels]\nround = \"{w}\"":     {"draw.labels.round", "{d}"},
		"[draw.labels]\nlevel = \"cm\"":      {"draw.labels.level", "ft-in"},
		"[draw.labels]\nflow_unit = \"gpm\"": {"draw.labels.flow_unit", "m3/h"},
		"[draw.labels]\nflow_round = -5.0":   {"draw.labels.flow_round"},
		"[draw.labels.size_text]\nlines = [\"{size}\", \"{sise}\"]": {"draw.labels.size_text.lines", "line 2",
			"{size}"},
		"[draw.labels.unit_text]\nheight = \"tall\"":     {"draw.labels.unit_text.height"},
		"[draw.labels.unit_text]\nwidth = 9.0":           {"draw.labels.unit_text.width"},
		"[draw.labels.level_text]\noblique = \"80 deg\"": {"draw.labels.level_text.oblique"},
		"[draw.labels.duct_text]\nwidth = 1.0":           {"draw.labels.duct_text", "draw.labels"},
		"[symbols.marks]\nfire = \"red\"":                {"symbols.marks.fire", "letters", "block NAME"},
		"[symbols.marks]\nfires = \"bar\"":               {"symbols.marks.fire"},
	} {
		_, err := Load([]byte(file), true)
		require.Error(t, err, file)
		for _, w := range want {
			require.ErrorContains(t, err, w, file)
		}
	}
}

// Each kind of label can have a text style of its own, and says so in the drawing.
func TestLabelStyles(t *testing.T) {
	s, err := Load([]byte(`
[draw]
repeat_paper = "200 mm"
[draw.labels.size_text]
height = "1.8 mm"
oblique = "15 deg"
width = 0.8
[draw.labels.unit_text]
style = "OFFICE"
font = "arial.ttf"
[draw.labels.terminal_text]
height = "3 mm"
`), true)
	require.NoError(t, err)
	specs := s.Specs
	require.InDelta(t, 10, float64(specs.Label.RepeatEvery), 1e-9, "200 mm at 1:50")
	size := specs.Label.Letters[shape.SizeText]
	require.InDelta(t, 0.0018, size.Height, 1e-12)
	require.InDelta(t, math.Pi/12, size.Oblique, 1e-12)
	std := s.Standard(0.001, 1, "AC1015")
	style := std.Letters[shape.SizeText]
	require.InDelta(t, 15, style.Oblique, 1e-9)
	style.Oblique = 15
	require.Equal(t, dxfio.StyleDef{Name: "TW-TEXT-SIZE", Font: "txt", Width: 0.8, Oblique: 15}, style)
	require.Equal(t, dxfio.StyleDef{Name: "OFFICE", Font: "arial.ttf", Width: 1}, std.Letters[shape.UnitText])
	require.Equal(t, std.Style, std.Letters[shape.FlowText], "another height needs no style of its own")
}

func TestMarkChoices(t *testing.T) {
	s, err := Load([]byte("[symbols.marks]\ndamper = \"block VD-1\"\nflow = \"open\"\n"), true)
	require.NoError(t, err)
	specs := s.Specs
	require.Equal(t, "VD-1", specs.Marks[symbols.MarkDamper].Block.Name)
	require.Equal(t, "open", specs.Marks[symbols.MarkFlow].Style)
	require.Equal(t, "body", specs.Marks[symbols.MarkFire].Style)
	for m := range specs.Marks {
		if m := symbols.Mark(m); m != symbols.MarkDamper && m != symbols.MarkFlow {
			require.Equal(t, m.Styles()[0], specs.Marks[m].Style, "%v", m)
		}
	}
}
