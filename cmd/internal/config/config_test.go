package config

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/dxfio"
	"twinline/layout/duct"
	"twinline/layout/emit"
	"twinline/layout/shape"
	"twinline/sizing"
)

// loaded returns the settings of a file of a metric drawing.
func loaded(t *testing.T, file string) *Settings {
	s, err := Load([]byte(file), true)
	require.NoError(t, err)
	return s
}

// Always vaned and never vaned at once is refused, not settled in silence.
func TestVanesContradict(t *testing.T) {
	_, err := Load([]byte("[sizing]\nmitres = \"vaned\"\nmitre_vanes = false\n"), true)
	require.ErrorContains(t, err, "sizing.mitre_vanes")
	_, err = Load([]byte("[sizing]\nmitre_vanes = false\n"), true)
	require.NoError(t, err)
}

// A plan at Z zero is drawn as one, not only written as one.
func TestFlatReachesThePlan(t *testing.T) {
	require.True(t, loaded(t, "[draw]\nflat = true\n").Plan.Flat)
}

func TestDefaultsAreTheDesigns(t *testing.T) {
	tests := []struct {
		name   string
		metric bool
		check  func(t *testing.T, s Specs)
	}{
		{"metric", true, func(t *testing.T, s Specs) {
			require.InDelta(t, 0.65, float64(s.Sizing.Rate), 1e-12)
			require.InDelta(t, 7.5, float64(s.Sizing.MaxVelocity), 1e-12)
			require.InDelta(t, 0.025, float64(s.Sketch.Snap), 1e-12)
			require.InDelta(t, 1.2, float64(s.Sketch.Reach), 1e-12)
			require.InDelta(t, 3.3, float64(s.Sketch.Elevation[duct.SUP]), 1e-12)
			require.InDelta(t, 2.7, float64(s.Sketch.Ceiling), 1e-12)
			require.InDelta(t, 0.1, float64(s.Sizing.Least), 1e-12)
			require.Equal(t, "EN 1506", s.Sizing.RoundSteps.Name)
			require.Len(t, s.Sizing.RoundSteps.List, 14)
		}},
		{"inch", false, func(t *testing.T, s Specs) {
			require.InDelta(t, 0.08, float64(s.Sizing.Rate/duct.InchOfWaterPerHundredFeet), 1e-12)
			require.InDelta(t, 1500, float64(s.Sizing.MaxVelocity/duct.FootPerMinute), 1e-9)
			require.InDelta(t, 900, float64(s.Sizing.Velocity/duct.FootPerMinute), 1e-9)
			require.InDelta(t, 1, float64(s.Sketch.Snap/duct.Inch), 1e-12)
			require.InDelta(t, 4, float64(s.Sketch.Reach/duct.Foot), 1e-12)
			require.InDelta(t, 11, float64(s.Sketch.Elevation[duct.EHA]/duct.Foot), 1e-12)
			require.InDelta(t, 9, float64(s.Sketch.Ceiling/duct.Foot), 1e-12)
			require.InDelta(t, 2, float64(s.Sizing.RectSteps.Even/duct.Inch), 1e-12)
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, err := Load(nil, tt.metric)
			require.NoError(t, err)
			specs := s.Specs
			require.Equal(t, sizing.EqualFriction, specs.Sizing.Method)
			require.Equal(t, duct.Round, specs.Sizing.Shape)
			require.Equal(t, 4.0, specs.Sizing.MaxAspect)
			tt.check(t, specs)
		})
	}
}

func TestLoadErrors(t *testing.T) {
	tests := []struct {
		name, file string
		want       []string
	}{
		{"misspelt key", "[sizing]\nmetod = \"velocity\"\n", []string{"line 2", `"sizing.metod"`, `"sizing.method"`}},
		{"a quantity without quotes", "[sizing]\nrate = 0.08\n", []string{"line 2", "sizing.rate", "in quotes"}},
		{"a weight without quotes", "[layers.weight]\nNEW = 0.35\n",
			[]string{"line 2", "layers.weight.NEW", "in quotes; \"0.35\" has no unit"}},
		{"a switch in quotes", "[draw]\nsizes = \"yes\"\n", []string{"line 2", "draw.sizes", "true or false"}},
		{"a number in quotes", "[sizing]\nmax_aspect = \"4\"\n",
			[]string{"line 2", "sizing.max_aspect", "write a number"}},
		{"a value for a table", "air = 5\n", []string{"line 1", "air", "table"}},
		{"misspelt table", "[sizng]\nrate = \"1 Pa/m\"\n", []string{`"sizing"`}},
		{"no method", "[sizing]\nmethod = \"guess\"\n", []string{"sizing.method", `"guess"`, "static-regain"}},
		{"no unit", "[sizing]\nrate = \"0.8\"\n", []string{"sizing.rate"}},
		{"negative", "[sizing]\nmax_velocity = \"-5 m/s\"\n", []string{"sizing.max_velocity"}},
		{"wrong type", "[draw]\nflat = \"yes\"\n", []string{"line 2", "draw.flat"}},
		{"syntax", "[sizing\n", []string{"line 1"}},
		{"units", "units = \"furlong\"\n", []string{"line 1: units", "foot"}},
		{"steps", "[sizing]\nsteps = \"thirds\"\n", []string{"sizing.steps", "thirds"}},
		{"steps list", "[sizing]\nsteps = [\"100 mm\", \"wide\"]\n", []string{"line 2: sizing.steps: item 2"}},
		{"steps numbers", "[sizing]\nsteps = [100, 125]\n", []string{"sizing.steps", "in quotes"}},
		{"scale", "[draw]\nscale = \"half\"\n", []string{"draw.scale", "1:50"}},
		{"colour", "[layers.color]\nSUP = 300\n", []string{"line 2: layers.color.SUP", "300"}},
		{"a colour in braces", "[layers]\ncolor = {SUP = 300}\n", []string{"line 2: layers.color.SUP", "300"}},
		{"a colour after dots", "layers.color.SUP = 300\n", []string{"line 1: layers.color.SUP", "300"}},
		{"pattern", "[layers]\npattern = \"DUCT\"\n", []string{"layers.pattern", "{part}"}},
		{"pattern letters", "[layers]\npattern = \"{part}/{air}\"\n", []string{"layers.pattern", "'/'"}},
		{"humidity", "[air]\nhumidity = 50.0\n", []string{"air.humidity"}},
		{"findings on a layer of ducts", "[sizing]\n[layers]\ncheck = \"TW-SUP-WALL-NEW\"\n",
			[]string{"line 3: layers.check: layer TW-SUP-WALL-NEW is to have two looks"}},
		{"clouds on that of findings", "[layers]\ncloud = \"TW-CHECK\"\n", []string{"line 2: layers.cloud: layer"}},
		{"both to one", "[layers]\ncloud = \"A\"\ncheck = \"a\"\n",
			[]string{"line 2: layers.cloud, line 3: layers.check: layer"}},
		{"two states of one word", "[layers]\ncheck = \"X\"\n[layers.status]\nNEW = \"ex\"\n",
			[]string{"line 4: layers.status.NEW: layer TW-SUP-WALL-EX"}},
		{"two states under a pattern", "[layers]\npattern = \"{status}-{air}-{part}\"\n[layers.status]\nNEW = \"ex\"\n",
			[]string{"line 4: layers.status.NEW: layer"}},
		{"a style no table takes", "[draw.labels.size_text]\nstyle = \"A|B\"\n",
			[]string{"line 2: draw.labels.size_text.style", "'|'", "hyphen"}},
		{"no style", "[symbols]\nstyle = \"\"\n", []string{"line 2: symbols.style"}},
		{"no layer of findings", "[layers]\ncheck = \" \"\n", []string{"line 2: layers.check"}},
		{"no name left", "[layers]\npattern = \"{part}\"\npart = {WALL = \"\"}\n",
			[]string{"line 2: layers.pattern, line 3: layers.part.WALL: ", "for WALL NEW SUP would have no name"}},
		{"a part there is not", "[layers.part]\nWALLS = \"A\"\n",
			[]string{"line 2: ", `"layers.part.WALLS"`, `did you mean "layers.part.WALL"?`}},
		{"an air there is not", "[layers.air]\nSUPP = \"A\"\n", []string{`did you mean "layers.air.SUP"?`}},
		{"a state there is not", "[layers.status]\nNEWS = \"A\"\n", []string{`did you mean "layers.status.NEW"?`}},
		{"a colour of nothing", "[layers.color]\nSUPPLY = 3\n", []string{"line 2", `did you mean "layers.color.SUP"?`}},
		{"a weight of nothing", "[layers.weight]\nBODIES = \"0.2 mm\"\n", []string{"line 2", `"layers.weight.BOD`}},
		{"a line type of nothing", "layers.linetype.AXES = \"axis\"\n", []string{"line 1", `"layers.linetype.AXIS"`}},
		{"a sketch word twice", "[sketch]\nduct = \"term\"\n",
			[]string{"line 2: sketch.duct: sketch.duct and sketch.term make one name of two layers, SK-EA-TERM"}},
		{"two sketch words", "[sketch]\nflex = \"A\"\nduct = \"a\"\n",
			[]string{"line 2: sketch.flex, line 3: sketch.duct: "}},
		{"two states of a sketch", "[sketch]\nexisting = \"REM\"\n", []string{"sketch.existing and sketch.removed"}},
		{"a part and a state", "[sketch]\nflex = \"DUCT-EX\"\n", []string{"line 2: sketch.flex", "SK-EA-DUCT-EX"}},
		{"limits on a layer of ducts", "[sketch]\nlimit = \"SK-SUP-DUCT\"\n",
			[]string{"line 2: sketch.limit", "sketch.duct"}},
		{"a number for a word", "units = 3\n",
			[]string{"line 1: units: write the value in quotes; \"3\" is none of cm, foot"}},
		{"degrees without unit", "[air]\ntemperature = 20\n",
			[]string{"in quotes; \"20\" is no temperature", "20 °C"}},
		{"too cold", "[air]\ntemperature = \"-300 C\"\n", []string{"-300 is not between -40 and 200 °C"}},
		{"too high", "[air]\naltitude = \"9 km\"\n", []string{"air.altitude"}},
		{"airs as they are written", "[sketch.air]\nLUFT = \"SUPP\"\n", []string{"EHA, ETA, ODA"}},
		{"airflows as they are written", "[draw.labels]\nflow_unit = \"l\"\n", []string{"L/s, cfm, m3/h, m3/s"}},
		{"two at once", "[air]\nhumidity = 50.0\n[sizing]\nrate = \"x\"\n",
			[]string{"line 2: air.humidity", "line 4: sizing.rate"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Load([]byte(tt.file), true)
			require.Error(t, err)
			for _, w := range tt.want {
				require.ErrorContains(t, err, w)
			}
		})
	}
}

func TestPrintedSettingsReadBack(t *testing.T) {
	for _, metric := range []bool{true, false} {
		data := Print(Defaults(metric))
		back, err := Load(data, !metric) // every key is in the file, so the other defaults must not show
		require.NoError(t, err)
		require.Equal(t, string(data), string(Print(back)))
	}
}

// Printed settings are the same settings, tables in braces among them, and hold every word of the layers.
func TestPrintedWordsReadBack(t *testing.T) {
	for _, file := range []string{"", "[layers]\ncolor = {WALL = 3}\nweight = {}\n[layers.part]\nWALL = \"W\"\n",
		"[sketch]\nair = {LUFT = \"SUP\"}\n", "[layers.color]\nwall = 3\n", "[sizing.roughness]\nTile = \"1 mm\"\n"} {
		s := loaded(t, file)
		back := loaded(t, string(Print(s)))
		require.Equal(t, s.Specs, back.Specs, file)
		require.Equal(t, s.scheme, back.scheme, file)
	}
	for _, want := range []string{"[layers.air]\nEHA = 'EHA'", "WALL = 'WALL'", "EX = 'EX'", "[sketch.air]\n",
		"RA = 'ETA'"} {
		require.Contains(t, string(Print(Defaults(true))), want)
	}
	require.Contains(t, string(Print(loaded(t, "[layers.part]\nwall = \"MUR\"\n"))), "WALL = 'MUR'")
}

// Every letter that no symbol table takes is refused in every name of a layer or text style.
// Source: DXF reference, symbol table names.
func TestNamesNoTableTakes(t *testing.T) {
	keys := []string{"layers.check", "layers.cloud", "symbols.style", "draw.labels.size_text.style",
		"draw.labels.terminal_text.style", "draw.labels.unit_text.style", "draw.labels.level_text.style"}
	keys = append(keys, "layers.air.TRA", "layers.part.BODY", "layers.status.FUT")
	for _, key := range keys {
		for _, c := range "|*<>/\\\":;?,=`" {
			_, err := Load([]byte(fmt.Sprintf("%s = %q\n", key, "A"+string(c)+"B")), true)
			require.ErrorContains(t, err, fmt.Sprintf("line 1: %s: ", key))
			require.ErrorContains(t, err, fmt.Sprintf("the letter %q", c))
		}
	}
	_, err := Load([]byte("schedule.project = 5\n"), true)
	require.EqualError(t, err, "line 1: schedule.project: write the value in quotes")
}

func TestSteps(t *testing.T) {
	s, err := Load([]byte("[sizing]\nsteps = [\"200 mm\", \"4 in\", \"100 mm\"]\n"), true)
	require.NoError(t, err)
	specs := s.Specs
	require.Equal(t, []duct.Length{0.1, 4 * duct.Inch, 0.2}, specs.Sizing.RoundSteps.List)
}

func TestLayerNames(t *testing.T) {
	s, err := Load([]byte(`
[layers]
pattern = "M-{air}-{status}-{part}"
[layers.air]
SUP = "ZUL"
[layers.status]
NEW = "N"
[layers.color]
WALL = 3
[layers.linetype]
FUT = "dashed"
`), true)
	require.NoError(t, err)
	std := s.Standard(duct.Millimetre, 1, "AC1024")
	wall := std.Layer(shape.Wall, duct.SUP, duct.New)
	require.Equal(t, "M-ZUL-N-WALL", wall.Name)
	require.Equal(t, 3, wall.Color)
	require.Equal(t, 35, wall.Weight)
	require.Equal(t, "DASHED2", std.Layer(shape.Joint, duct.ETA, duct.Future).Linetype)

	std = Defaults(true).Standard(duct.Millimetre, 1, "AC1024")
	axis := std.Layer(shape.Axis, duct.ETA, duct.New)
	require.Equal(t, "TW-ETA-AXIS-NEW", axis.Name)
	require.False(t, axis.Plots)
	require.Equal(t, axis.Color, std.Layer(shape.Axis, duct.SUP, duct.Existing).Color,
		"centrelines are grey for every air")
	require.Equal(t, "TW-CHECK", std.Layer(shape.Check, duct.SUP, duct.New).Name)
	require.True(t, std.Layer(shape.Body, duct.SUP, duct.New).Off)
	require.Less(t, std.Layer(shape.Wall, duct.SUP, duct.Existing).Weight,
		std.Layer(shape.Wall, duct.SUP, duct.New).Weight)
	require.Equal(t, "DASHED2", std.Layer(shape.Wall, duct.SUP, duct.Removed).Linetype)
	require.True(t, Defaults(true).Standard(1, 1, "AC1009").Layer(shape.Axis, duct.SUP, duct.New).Off,
		"R12 cannot say that a layer does not plot")
}

func TestLinetypesFollowTheScaleOfTheDrawing(t *testing.T) {
	find := func(std []dxfio.LinetypeDef, name string) []float64 {
		for _, lt := range std {
			if lt.Name == name {
				return lt.Pattern
			}
		}
		return nil
	}
	mm := find(Defaults(true).Standard(duct.Millimetre, 1, "AC1024").Linetypes, "DASHED2")
	inch := find(Defaults(true).Standard(duct.Inch, 1, "AC1024").Linetypes, "DASHED2")
	half := find(Defaults(true).Standard(duct.Millimetre, 2, "AC1024").Linetypes, "DASHED2")
	require.InDelta(t, 4*50, mm[0], 1e-9, "4 mm on paper at 1:50")
	require.InDelta(t, 4*50/25.4, inch[0], 1e-9)
	require.InDelta(t, 4*50/2.0, half[0], 1e-9)
	require.False(t, math.Signbit(mm[0]))
}

func TestKeysHoldTheFixedOnes(t *testing.T) {
	keys := Defaults(true).file.keys()
	for _, k := range []string{"units", "air.temperature", "air.altitude", "air.humidity", "sizing.method",
		"sizing.upstream_method",
		"sizing.rate", "sizing.velocity", "sizing.max_velocity", "sizing.shape", "sizing.max_height",
		"sizing.max_aspect",
		"sizing.steps", "sizing.least", "sizing.flexible_end", "elevation.SUP", "elevation.TRA", "elevation.ceiling",
		"sketch.snap", "sketch.reach", "draw", "layers", "symbols", "schedule"} {
		require.Contains(t, keys, k)
	}
}

func FuzzLoad(f *testing.F) {
	f.Add(Print(Defaults(true)))
	f.Add([]byte("[sizing]\nsteps = [\"100 mm\"]\n"))
	f.Add([]byte("[sizing]\nrate = \"1e400 Pa/m\"\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := Load(data, true)
		if err != nil {
			return
		}
		again, err := Load(Print(s), false)
		if err != nil {
			t.Fatalf("settings that loaded do not load again: %v", err)
		}
		require.Equal(t, s.Sizing.Rate, again.Sizing.Rate)
	})
}

func TestSizingExtras(t *testing.T) {
	s, err := Load([]byte(`
[sizing]
method = "optimised"
velocity_main = "6 m/s"
max_velocity_runout = "3 m/s"
[sizing.costs]
duct = 60
energy = 0.2
[sizing.guidance]
noise = "room"
leakage = "c"
[sizing.roughness]
Tile = "0.5 mm"
flex = "1 mm"
`), true)
	require.NoError(t, err)
	specs := s.Specs
	z := specs.Sizing
	require.Equal(t, sizing.Optimised, z.Method)
	require.Equal(t, sizing.ByPlace{Main: 6}, z.Velocities)
	require.Equal(t, sizing.ByPlace{Runout: 3}, z.MaxVelocities)
	require.Equal(t, sizing.Costs{Duct: 60, Energy: 0.2, Hours: 4000, Worth: 12.5, Efficiency: 0.6}, z.Costs)
	require.Contains(t, specs.Sketch.Materials, "tile")
	require.Contains(t, specs.Sketch.Materials, "plywood")
	require.NotContains(t, specs.Sketch.Materials, "flex")
	require.NotNil(t, specs.Guide)
	require.True(t, specs.Guide.Noise)
	require.Positive(t, float64(specs.Guide.Leak))
	require.Zero(t, specs.Guide.Conductance)

	require.Nil(t, Defaults(true).Guide, "guidance is off unless asked for")
	for _, bad := range [][2]string{
		{"[sizing]\nmethod = \"optimised\"", "sizing.costs.duct"},
		{"[sizing.guidance]\nleakage = \"Z\"", "sizing.guidance.leakage"},
		{"[sizing.guidance]\nnoise = \"attic\"", "sizing.guidance.noise"},
		{"[sizing]\nvelocity_main = \"fast\"", "sizing.velocity_main"},
		{"[sizing.cost]\nduct = 1", "sizing.costs"},
	} {
		_, err := Load([]byte(bad[0]+"\n"), true)
		require.ErrorContains(t, err, bad[1])
	}
}

// A layer has one look: a scheme that asks for two is refused when it is read, and says which and for what. The looks
// are those of the comments and defaults above: supply blue, extract yellow, existing work thin.
func TestLayersOfTwoLooks(t *testing.T) {
	tests := []struct {
		name, file string
		want       []string
	}{
		{"no air", "[layers]\npattern = \"TW-{part}-{status}\"\n", []string{"line 2: layers.pattern: layer TW-WALL-NEW",
			"colour 5, 0.35 mm, CONTINUOUS for WALL NEW SUP", "colour 42, 0.35 mm, CONTINUOUS for WALL NEW ETA",
			"{air}"}},
		{"no status", "[layers]\npattern = \"TW-{air}-{part}\"\n", []string{"layer TW-SUP-WALL ",
			"0.35 mm, CONTINUOUS for WALL NEW SUP", "0.18 mm, CONTINUOUS for WALL EX SUP", "{status}"}},
		{"two parts of one word", "[layers.part]\nAXIS = \"Wall\"\n", []string{"layer TW-SUP-Wall-NEW",
			"colour 8, 0.13 mm, CENTER2, not plotted for AXIS NEW SUP"}},
		{"findings and clouds", "[layers]\ncloud = \"tw-check\"\n", []string{"layer tw-check", "not plotted for CHECK",
			"colour 6, 0.35 mm, CONTINUOUS for CLOUD"}},
		{"one colour by status", "[layers]\npattern = \"TW-{part}-{status}\"\n" +
			"color = {NEW = 7, EX = 8, REM = 1, FUT = 3}\n", nil},
		{"one look of every part", "[layers]\npattern = \"TW-{air}-{part}\"\nweight = {}\nlinetype = {}\n", nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Load([]byte(tt.file), true)
			if tt.want == nil {
				require.NoError(t, err)
			}
			for _, w := range tt.want {
				require.ErrorContains(t, err, w)
			}
		})
	}
}

// A table in braces is the whole of it; one of its own adds to what there is.
func TestTablesInBraces(t *testing.T) {
	whole := loaded(t, "[layers]\ncolor = {WALL = 3}\n").Standard(1, 1, "AC1024")
	more := loaded(t, "[layers.color]\nWALL = 3\n").Standard(1, 1, "AC1024")
	for _, std := range []emit.Standard{whole, more} {
		require.Equal(t, 3, std.Layer(shape.Wall, duct.SUP, duct.New).Color)
	}
	require.Equal(t, plainColor, whole.Layer(shape.Flex, duct.SUP, duct.New).Color)
	require.Equal(t, 5, more.Layer(shape.Flex, duct.SUP, duct.New).Color)
}
