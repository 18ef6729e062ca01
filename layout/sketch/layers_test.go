package sketch_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/sketch"
)

func TestLayerNames(t *testing.T) {
	for layer, want := range map[string]struct {
		air    duct.Air
		status duct.Status
		flex   bool
	}{
		"SK-SUP-DUCT": {duct.SUP, duct.New, false}, "sk-sup-duct": {duct.SUP, duct.New, false},
		"Sk-Eta-Flex": {duct.ETA, duct.New, true},
		"SK-SA-DUCT":  {duct.SUP, duct.New, false}, "SK-RA-DUCT": {duct.ETA, duct.New, false},
		"SK-EA-DUCT-EX":  {duct.EHA, duct.Existing, false},
		"SK-OA-DUCT-REM": {duct.ODA, duct.Removed, false}, "SK-EHA-DUCT-FUT": {duct.EHA, duct.Future, false},
		"SK-ODA-DUCT": {duct.ODA, duct.New, false},
		"SK-RCA-DUCT": {duct.RCA, duct.New, false}, "SK-TRA-FLEX-ex": {duct.TRA, duct.Existing, true},
	} {
		sk := read(t, mm(t, "line "+layer+" 0,0 900,0"))
		require.Len(t, sk.Lines, 1, layer)
		require.Equal(t, want.air, sk.Lines[0].Air, layer)
		require.Equal(t, want.status, sk.Lines[0].Status, layer)
		require.Equal(t, want.flex, sk.Lines[0].Flex, layer)
		require.Equal(t, layer, sk.Lines[0].Layer)
	}
}

// An office's own words take the place of the convention's; more words for an air are read as well.
func TestOwnLayerNames(t *testing.T) {
	rules := sketch.Rules{Layers: sketch.LayerNames{Prefix: "M-AIR", Duct: "CENTRELINE", Existing: "E", Limit: "X-BEAM",
		Air: map[string]duct.Air{"zul": duct.SUP}}}
	d := mm(t, `
		line M-AIR-ZUL-CENTRELINE 0,0 900,0
		line m-air-sup-centreline-e 0,900 900,900
		pline X-BEAM 0,0,3000 900,0,3000 900,900,3000 closed
		line SK-SUP-DUCT 0,0 900,0
		point M-AIR-SA-TERM 900,0
	`)
	sk, found := sketch.Read(d, rules)
	require.Empty(t, found)
	require.Len(t, sk.Lines, 2)
	require.Equal(t, duct.SUP, sk.Lines[0].Air)
	require.Equal(t, duct.Existing, sk.Lines[1].Status)
	require.Len(t, sk.Terminals, 1)
	require.Len(t, sk.Limits, 1)
	_, found = sketch.Read(mm(t, "line M-AIR-ZUL-CENTRELINE 0,0 900,0\nline M-AIR-ZUL-DUCT 0,0 900,0"), rules)
	only(t, found, diag.UnknownLayer, "2")
}

func TestUnknownLayer(t *testing.T) {
	for layer, nearest := range map[string]string{
		"SK-SUP-DUCTS": "SK-SUP-DUCT", "SK-SPU-DUCT": "SK-SUP-DUCT", "SK-ETA-TREM": "SK-ETA-TERM",
		"SK-SUP-DUCT-EXX": "SK-SUP-DUCT-EX", "SK-CEILING": "SK-CEIL",
		"SK-LIMITS": "SK-LIMIT", "SK-SUP-DUCT-NEW": "SK-SUP-DUCT;", "SK-SUP-DUCT-LEVEL-3": "SK-SUP-DUCT;",
	} {
		_, found := findings(mm(t,
			"line SK-SUP-DUCT 0,0 900,0\nline "+layer+" 5000,0 6000,0\nline "+layer+" 4000,0 6000,0"))
		got := only(t, found, diag.UnknownLayer, "3") // reported once, at its first entity from the left
		require.Contains(t, got.Text, layer)
		require.Contains(t, got.Do, nearest)
		require.InDelta(t, 4, got.At[0], delta)
	}
	// A layer of the table with nothing on it is reported too.
	_, found := findings(mm(t, "layer SK-SUP-DUKT\nlayer A-WALL\nlayer SK-SUP-FLEX\nline SK-SUP-DUCT 0,0 900,0"))
	only(t, found, diag.UnknownLayer, "")
}

func TestHiddenLayers(t *testing.T) {
	text := `
		line SK-SUP-DUCT 0,0 900,0
		line SK-SUP-FLEX 900,0 1800,0
		text SK-SUP-FLEX 1000,100 ø160
		line SK-SUP-DUCT-FUT 0,0 0,900
	`
	for _, word := range []string{"off", "frozen"} {
		sk, found := findings(mm(t, word+" sk-sup-flex\n"+word+" A-WALL\n"+text))
		got := only(t, found, diag.HiddenLayer, "2")
		require.Contains(t, got.Text, "SK-SUP-FLEX")
		require.Contains(t, got.Text, "2 entities")
		require.Len(t, sk.Lines, 2)
	}
	// Nothing but hidden layers is no sketch.
	_, found := findings(mm(t, "off SK-SUP-DUCT\nline SK-SUP-DUCT 0,0 900,0"))
	require.Len(t, found, 2)
	require.Equal(t, diag.NoSketch, found[0].Code)
	require.Equal(t, diag.HiddenLayer, found[1].Code)
	// What is inside an insert on a frozen layer is hidden with it; switching off hides only what is on the layer
	// itself.
	inside := "line SK-SUP-DUCT 0,0 900,0\nblock A-FURN 0,0 1,1\n> line SK-SUP-DUCT 0,500 900,500"
	require.Len(t, read(t, mm(t, "frozen A-FURN\n"+inside)).Lines, 1)
	require.Len(t, read(t, mm(t, "off A-FURN\n"+inside)).Lines, 2)
}

func TestUnits(t *testing.T) {
	for code, want := range map[int]duct.Length{1: duct.Inch, 2: duct.Foot, 4: duct.Millimetre, 5: duct.Centimetre,
		6: duct.Metre} {
		sk := read(t, draw(t, code, "line SK-SUP-DUCT 0,0 100,0"))
		require.Equal(t, want, sk.Unit)
		require.Equal(t, code >= 4, sk.Metric)
		require.InDelta(t, 100*float64(want), sk.Lines[0].Path[1].X, delta)
		elevation := 3.3
		if code < 4 {
			elevation = 11 * 0.3048
		}
		require.InDelta(t, elevation, sk.Lines[0].Path[1].Z, delta)
	}
	for code, word := range map[int]string{0: "does not say", 3: "miles", 14: "decimetres", 21: "US survey feet",
		99: "not known"} {
		d := draw(t, code, "line SK-SUP-DUCT 0,0 100,0")
		sk, found := sketch.Read(d, sketch.Rules{})
		require.Contains(t, only(t, found, diag.NoUnits, "").Text, word)
		require.NotNil(t, sk)
		require.Empty(t, sk.Lines)
		// The settings' unit comes before the drawing's.
		sk, found = sketch.Read(d, sketch.Rules{Unit: duct.Inch})
		require.Empty(t, found)
		require.False(t, sk.Metric)
	}
}

func TestMeasurementIsNoUnit(t *testing.T) {
	for m, word := range map[int]string{0: "inch-pound", 1: "metric", -1: "does not say"} {
		d := draw(t, 0, "line SK-SUP-DUCT 0,0 100,0")
		d.measurement = m
		_, found := findings(d)
		require.Contains(t, only(t, found, diag.NoUnits, "").Text, word)
	}
}

func TestNoSketch(t *testing.T) {
	_, found := findings(mm(t, "line A-WALL 0,0 900,0\ntext SK-NOTES 0,0 hello"))
	require.Len(t, found, 2)
	require.Equal(t, diag.NoSketch, found[0].Code)
	require.Contains(t, found[0].Do, "SK-")
	_, found = findings(mm(t, ""))
	only(t, found, diag.NoSketch, "")
}
