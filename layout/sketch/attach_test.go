package sketch_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/sketch"
)

// findings reads d with the convention.
func findings(d *drawing) (*sketch.Sketch, diag.List) { return sketch.Read(d, sketch.Rules{}) }

const pair = `
	line SK-SUP-DUCT 0,0 9000,0
	line SK-SUP-DUCT 0,1000 9000,1000
`

// What a note goes to, by where it stands; things are named by the handle of their line in the text.
func TestNoteGoesToTheNearest(t *testing.T) {
	const air = `
		line SK-SUP-DUCT 0,0 9000,0
		line SK-ETA-DUCT 0,400 9000,400
		circle SK-SUP-TERM 0,3000 100
		circle SK-ETA-TERM 1500,3000 100
		circle SK-SUP-UNIT 6000,3000 400
	`
	for name, c := range map[string]struct {
		text  string
		check func(*testing.T, *sketch.Sketch)
	}{
		"a note goes to things of its air alone": {air + "text SK-SUP-NOTE 2000,380 single",
			func(t *testing.T, sk *sketch.Sketch) {
				require.Len(t, sk.Lines[0].Notes, 1)
				require.Empty(t, sk.Lines[1].Notes)
			}},
		"a mark goes past a nearer duct": {`
			line SK-SUP-DUCT 0,0 9000,0
			circle SK-SUP-TERM 2000,900 100
			text SK-SUP-NOTE 2000,50 S-1`,
			func(t *testing.T, sk *sketch.Sketch) { require.Equal(t, "S-1", sk.Terminals[0].Mark) }},
		"a size goes to the nearer of duct and terminal": {`
			line SK-SUP-DUCT 0,0 9000,0
			circle SK-SUP-TERM 4000,900 100
			text SK-SUP-NOTE 2000,50 ø200
			text SK-SUP-NOTE 4000,700 ø160`, func(t *testing.T, sk *sketch.Sketch) {
			require.Equal(t, duct.RoundOf(200*duct.Millimetre), sk.Lines[0].Notes[0].Spec.Fixed)
			require.Equal(t, duct.RoundOf(160*duct.Millimetre), sk.Terminals[0].Neck)
		}},
		"a size with an airflow goes where both can": {`
			line SK-SUP-DUCT 0,0 9000,0
			circle SK-SUP-TERM 4000,900 100
			text SK-SUP-NOTE 4000,50 ø160 100 L/s`, func(t *testing.T, sk *sketch.Sketch) {
			require.Empty(t, sk.Lines[0].Notes)
			require.Equal(t, duct.RoundOf(160*duct.Millimetre), sk.Terminals[0].Neck)
			require.Equal(t, 100*duct.LitrePerSecond, sk.Terminals[0].Flow)
		}},
		"words nothing can take together are parted": {`
			line SK-SUP-DUCT 0,0 9000,0
			circle SK-SUP-TERM 4000,900 100
			text SK-SUP-NOTE 4000,50 S-7 100 L/s round CL 3500`, func(t *testing.T, sk *sketch.Sketch) {
			require.Equal(t, "S-7", sk.Terminals[0].Mark)
			require.True(t, sk.Lines[0].Notes[0].Spec.HasShape)
			require.InDelta(t, 3.5, sk.Lines[0].Path[0].Z, delta)
			require.InDelta(t, 2.7, sk.Terminals[0].At.Z, delta)
		}},
		"a text on a TERM layer is about a terminal": {`
			line SK-SUP-DUCT 0,0 9000,0
			circle SK-SUP-TERM 4000,900 100
			text SK-SUP-TERM 4000,50 ø160 EL 2600`, func(t *testing.T, sk *sketch.Sketch) {
			require.Equal(t, duct.RoundOf(160*duct.Millimetre), sk.Terminals[0].Neck)
			require.InDelta(t, 2.6, sk.Terminals[0].At.Z, delta)
			require.InDelta(t, 2.6, sk.Terminals[0].Face[2].Z, delta)
		}},
		"a text on a DUCT layer is about a duct": {`
			line SK-SUP-DUCT 0,0 9000,0
			circle SK-SUP-TERM 4000,900 100
			text SK-SUP-DUCT 4000,650 ø160 EL 3100`, func(t *testing.T, sk *sketch.Sketch) {
			require.Equal(t, duct.RoundOf(160*duct.Millimetre), sk.Lines[0].Notes[0].Spec.Fixed)
			require.InDelta(t, 3.1, sk.Lines[0].Path[0].Z, delta)
		}},
		"a text on a UNIT layer is about a unit": {air + "text SK-SUP-UNIT 6000,3500 AHU-1 400x300 EL 3000",
			func(t *testing.T, sk *sketch.Sketch) {
				require.Equal(t, "AHU-1", sk.Units[0].Mark)
				require.Equal(t, duct.Rect, sk.Units[0].Neck.Shape)
				require.InDelta(t, 3, sk.Units[0].At.Z, delta)
			}},
		"a note of existing work is about existing work": {`
			line SK-SUP-DUCT 0,0 9000,0
			line SK-SUP-DUCT-EX 0,600 9000,600
			text SK-SUP-NOTE-EX 4000,50 ø160`, func(t *testing.T, sk *sketch.Sketch) {
			require.Empty(t, sk.Lines[0].Notes)
			require.Len(t, sk.Lines[1].Notes, 1)
		}},
		"inside a face the distance is zero": {`
			block SK-SUP-TERM 0,0 1200,1200
			block SK-SUP-TERM 1500,0 1200,1200
			text SK-SUP-NOTE 200,0 S-1`, func(t *testing.T, sk *sketch.Sketch) {
			require.Equal(t, "S-1", sk.Terminals[0].Mark)
			require.Empty(t, sk.Terminals[1].Mark)
		}},
		"the far end of a long text counts": {`
			circle SK-SUP-TERM 0,0 100
			circle SK-SUP-TERM 3000,0 100
			text SK-SUP-NOTE 1100,0 S-1 220 cfm 12 Pa`,
			func(t *testing.T, sk *sketch.Sketch) { require.Equal(t, "S-1", sk.Terminals[1].Mark) }},
		"where two lines meet the one under the text is meant": {`
			line SK-SUP-DUCT 0,0 4000,0
			line SK-SUP-DUCT 4000,0 9000,0
			text SK-SUP-NOTE 3900,200 ø160 CL 3400`, func(t *testing.T, sk *sketch.Sketch) {
			require.Empty(t, sk.Lines[0].Notes)
			require.Len(t, sk.Lines[1].Notes, 1)
		}},
		"a duct across the letters gives way to the one they run along": {`
			line SK-SUP-DUCT 0,0 9000,0
			line SK-SUP-DUCT 2400,0 2400,4000
			text SK-SUP-NOTE 2000,150 600x300`, func(t *testing.T, sk *sketch.Sketch) {
			require.Len(t, sk.Lines[0].Notes, 1)
			require.Empty(t, sk.Lines[1].Notes)
		}},
		"a duct across the letters alone is meant": {`
			line SK-SUP-DUCT 0,0 9000,0
			line SK-SUP-DUCT 2400,0 2400,4000
			text SK-SUP-NOTE 2000,1000 600x300`, func(t *testing.T, sk *sketch.Sketch) { require.Len(t, sk.Lines[1].Notes, 1) }},
		"two values of one text stay two": {`
			line SK-SUP-DUCT 0,0 9000,0
			text SK-SUP-NOTE 2000,100 600x300 500x300 single`,
			func(t *testing.T, sk *sketch.Sketch) { require.Len(t, sk.Lines[0].Notes, 2) }},
		"a tenth nearer is nearer": {pair + "text SK-SUP-NOTE 2000,425 ø160", func(t *testing.T, sk *sketch.Sketch) {
			require.Len(t, sk.Lines[0].Notes, 1)
		}},
		"a centreline by a unit without ducts is the unit's": {"circle SK-SUP-UNIT 0,0 400\ntext SK-SUP-NOTE 0,600 CL 3100",
			func(t *testing.T, sk *sketch.Sketch) { require.InDelta(t, 3.1, sk.Units[0].At.Z, delta) }},
		"a face inside the letters counts": {"point SK-SUP-TERM 9000,0\n" +
			"circle SK-SUP-UNIT 200,50 30\ntext SK-SUP-NOTE 0,0 AHU-1",
			func(t *testing.T, sk *sketch.Sketch) { require.Equal(t, "AHU-1", sk.Units[0].Mark) }},
		"an arc is measured along its bow": {`
			pline SK-SUP-DUCT 0,0;1 4000,0
			line SK-SUP-DUCT 0,500 4000,500
			text SK-SUP-NOTE 2000,-2000 ø160`, func(t *testing.T, sk *sketch.Sketch) {
			require.Len(t, sk.Lines[0].Notes, 1)
			require.InDelta(t, 2, sk.Lines[0].Notes[0].At.PlanDist(geom.Vec{X: 2}), 0.01)
		}},
	} {
		t.Run(name, func(t *testing.T) { c.check(t, read(t, mm(t, c.text))) })
	}
}

func TestLeader(t *testing.T) {
	far := "text SK-SUP-NOTE 2000,5000 ø160\n"
	for name, c := range map[string]string{
		"from the duct to the text":      pair + far + "leader SK-SUP-NOTE 3000,0 2500,4000 2100,4950",
		"on the DUCT layer":              pair + far + "leader SK-SUP-DUCT 3000,0 2500,4000 2100,4950",
		"drawn the other way":            pair + far + "leader SK-SUP-NOTE 2100,4950 2500,4000 3000,0",
		"a plain line does":              pair + far + "line SK-SUP-NOTE 3000,0 2100,4950",
		"a plain line the other way":     pair + far + "line SK-SUP-NOTE 2100,4950 3000,0",
		"its tip near the duct":          pair + far + "leader SK-SUP-NOTE 3000,100 2100,4950",
		"it ends at the text, not in it": pair + far + "leader SK-SUP-NOTE 3000,0 2100,4860",
		"the nearer duct is not meant then": pair +
			"text SK-SUP-NOTE 2000,1100 ø160\nleader SK-SUP-NOTE 3000,0 2100,1150",
		"equally near is no matter then": pair +
			"text SK-SUP-NOTE 2000,450 ø160\nleader SK-SUP-NOTE 3000,0 2000,500",
		"the nearest text takes the leader": pair + far +
			"text SK-SUP-NOTE 2000,-300 round\nleader SK-SUP-NOTE 3000,0 2100,4950",
		"the text is in a block": pair +
			"block 0 0,0 1,1\n> text SK-SUP-NOTE 2000,5000 ø160\nleader SK-SUP-NOTE 3000,0 2100,4950",
		"leaders in blocks count like texts": pair + far + "block SK-SUP-NOTE 0,0 1,1\n> leader 0 3000,0 2100,4950",
	} {
		t.Run(name, func(t *testing.T) {
			sk := read(t, mm(t, c))
			require.NotEmpty(t, sk.Lines[0].Notes)
			require.Equal(t, duct.RoundOf(160*duct.Millimetre), sk.Lines[0].Notes[0].Spec.Fixed)
			require.InDelta(t, 3, sk.Lines[0].Notes[0].At.X, 0.2)
			require.Empty(t, sk.Lines[1].Notes)
		})
	}
	t.Run("two leaders point at two ducts", func(t *testing.T) {
		sk := read(t, mm(t, pair+far+"leader SK-SUP-NOTE 3000,0 2100,4950\nleader SK-SUP-NOTE 3500,1000 2100,4950"))
		require.Len(t, sk.Lines[0].Notes, 1)
		require.Len(t, sk.Lines[1].Notes, 1)
	})
	t.Run("pointing at nothing", func(t *testing.T) {
		_, found := findings(mm(t, pair+far+"leader SK-SUP-NOTE 3000,2500 2100,4950"))
		require.Contains(t, only(t, found, diag.UnclaimedNote, "3").Text, "the tip of its leader")
	})
}

// A note about two things, or about none, is reported.
func TestAmbiguousAndUnclaimedNotes(t *testing.T) {
	for name, c := range map[string]struct {
		code   diag.Code
		handle string
		text   string
	}{
		"midway between two ducts, by its letters": {diag.AmbiguousNote, "3", pair + "text SK-SUP-NOTE 2000,450 ø160"},
		"nearly midway between two ducts":          {diag.AmbiguousNote, "3", pair + "text SK-SUP-NOTE 2000,448 ø160"},
		"midway between two ducts, by its place":   {diag.AmbiguousNote, "3", pair + "text SK-SUP-NOTE 2000,500 ø160"},
		"across two ducts": {diag.AmbiguousNote, "3",
			"line SK-SUP-DUCT 0,0 9000,0\nline SK-SUP-DUCT 0,60 9000,60\ntext SK-SUP-NOTE 2000,-20 ø160"},
		"midway between two terminals": {diag.AmbiguousNote, "3", `
			circle SK-SUP-TERM 0,0 100
			circle SK-SUP-TERM 2000,0 100
			text SK-SUP-NOTE 895,0 S-1`},
		"in the corner of two ducts": {diag.AmbiguousNote, "3", `
			line SK-SUP-DUCT 0,0 4000,0
			line SK-SUP-DUCT 0,0 0,4000
			text SK-SUP-NOTE 300,300 single`},
		"beyond the reach":            {diag.UnclaimedNote, "3", pair + "text SK-SUP-NOTE 2000,2300 ø160"},
		"of another air":              {diag.UnclaimedNote, "3", pair + "text SK-ETA-NOTE 2000,1100 ø160"},
		"a mark with no terminal":     {diag.UnclaimedNote, "3", pair + "text SK-SUP-NOTE 2000,1100 S-1"},
		"an airflow on a DUCT layer":  {diag.UnclaimedNote, "3", pair + "text SK-SUP-DUCT 2000,1100 220 cfm"},
		"of work of another status":   {diag.UnclaimedNote, "3", pair + "text SK-SUP-NOTE-REM 2000,1100 ø160"},
		"a shape on a TERM layer":     {diag.UnclaimedNote, "3", pair + "text SK-SUP-TERM 2000,1100 round"},
		"part of a text beyond reach": {diag.UnclaimedNote, "3", pair + "text SK-SUP-NOTE 2000,1100 round S-1"},
		"a top elevation on a terminal": {diag.UnclaimedNote, "2",
			"circle SK-SUP-TERM 0,0 100\ntext SK-SUP-NOTE 0,400 TOD 3500"},
	} {
		t.Run(name, func(t *testing.T) {
			_, found := findings(mm(t, c.text))
			only(t, found, c.code, c.handle)
		})
	}
}

// Where nothing can take a whole text its words look for themselves.
func TestPartsOfAText(t *testing.T) {
	sk, found := findings(mm(t, "line SK-SUP-DUCT 0,0 9000,0\ntext SK-SUP-NOTE 2000,100 ø160 100 L/s"))
	require.Contains(t, only(t, found, diag.UnclaimedNote, "2").Text, `"100 L/s"`)
	require.Equal(t, duct.RoundOf(160*duct.Millimetre), sk.Lines[0].Notes[0].Spec.Fixed)
}

// The reach is the setting's, or 4 ft in inch drawings and 1.2 m in metric ones.
func TestReach(t *testing.T) {
	metric := mm(t, "line SK-SUP-DUCT 0,0 9000,0\ntext SK-SUP-NOTE 100,1200 ø160")
	read(t, metric)
	_, found := sketch.Read(metric, sketch.Rules{Reach: 1 * duct.Metre})
	only(t, found, diag.UnclaimedNote, "2")
	read(t, inches(t, "line SK-SUP-DUCT 0,0 900,0\ntext SK-SUP-NOTE 100,48 ø10"))
	_, found = findings(inches(t, "line SK-SUP-DUCT 0,0 900,0\ntext SK-SUP-NOTE 100,48.1 ø10"))
	only(t, found, diag.UnclaimedNote, "2")
}

func TestTwoValues(t *testing.T) {
	for name, c := range map[string]struct{ handle, text string }{
		"two airflows of a terminal": {"3", `
			circle SK-SUP-TERM 0,0 100
			text SK-SUP-TERM 0,400 100 L/s
			text SK-SUP-TERM 0,600 120 L/s`},
		"two marks in one text": {"2", "circle SK-SUP-TERM 0,0 100\ntext SK-SUP-TERM 0,400 S-1 S-2"},
		"two elevations of a duct": {"3", `
			line SK-SUP-DUCT 0,0 9000,0
			text SK-SUP-NOTE 1000,100 CL 3300
			text SK-SUP-NOTE 5000,100 CL 3400`},
		"one elevation of two heights of a duct": {"3", `
			line SK-SUP-DUCT 0,0 9000,0
			text SK-SUP-NOTE 1000,100 CL 3300
			text SK-SUP-NOTE 5000,100 BOD 3300`},
		"two pressures of a unit": {"3", `
			circle SK-SUP-UNIT 0,0 400
			text SK-SUP-UNIT 0,600 100 Pa
			text SK-SUP-NOTE 0,800 120 Pa`},
		"two undersides of a limit": {"4", `
			line SK-SUP-DUCT 0,0 9000,0
			pline SK-LIMIT 0,0 9000,0 9000,9000 0,9000 closed
			text SK-LIMIT 1000,1000 3000
			text SK-LIMIT 1000,2000 3100`},
		"two undersides of a ceiling": {"4", `
			line SK-SUP-DUCT 0,0 9000,0
			pline SK-CEIL 0,0 9000,0 9000,9000 0,9000 closed
			text SK-CEIL 1000,1000 2700
			text SK-CEIL 1000,2000 2.6 m`},
		"two necks of a terminal": {"3", `
			circle SK-SUP-TERM 0,0 100
			text SK-SUP-TERM 0,400 ø160
			text SK-SUP-TERM 0,600 ø200`},
		"two losses of a terminal": {"3", `
			circle SK-SUP-TERM 0,0 100
			text SK-SUP-TERM 0,400 20 Pa
			text SK-SUP-TERM 0,600 30 Pa`},
		"two elevations of a terminal": {"3", `
			circle SK-SUP-TERM 0,0 100
			text SK-SUP-TERM 0,400 EL 2700
			text SK-SUP-TERM 0,600 EL 2600`},
		"two classes of a rated wall": {"3", `
			line SK-RATED 0,0 0,4000
			text SK-RATED 200,2000 EI 90
			text SK-RATED 200,1000 EI 60` + duct0},
		"two classes of a rated wall in one text": {"2", "line SK-RATED 0,0 0,4000\ntext SK-RATED 200,2000 EI 90 2 h" +
			duct0},
		"a leakage of smoke beside one without it": {"2",
			"line SK-RATED 0,0 0,4000\ntext SK-RATED 200,2000 EI 90 EI 90 S" + duct0},
		"two attributes ESP":          {"1", "block SK-SUP-UNIT 0,0 600,600 ESP=100_Pa ESP=120_Pa"},
		"two attributes DP of a unit": {"1", "block SK-SUP-UNIT 0,0 600,600 DP=100_Pa DP=120_Pa"},
		"two attributes CONN":         {"1", "block SK-SUP-TERM 0,0 600,600 CONN=TOP CONN=SIDE"},
		"two attributes FLOW":         {"1", "block SK-SUP-TERM 0,0 600,600 FLOW=100_L/s FLOW=90_L/s"},
	} {
		t.Run(name, func(t *testing.T) {
			_, found := findings(mm(t, c.text))
			d := only(t, found, diag.TwoValues, c.handle)
			require.Contains(t, d.Text, " two values ")
		})
	}
	t.Run("the same value twice is no matter", func(t *testing.T) {
		read(t, mm(t, "circle SK-SUP-TERM 0,0 100\ntext SK-SUP-TERM 0,400 100 L/s\ntext SK-SUP-TERM 0,600 360 m3/h"))
		read(t, mm(t, "line SK-RATED 0,0 0,4000\ntext SK-RATED 200,2000 EI 120\ntext SK-RATED 200,1000 2 h fire"+duct0))
	})
}

// A finding quotes both values as they are written, says whether one note or two give them, and names the thing.
func TestWordsOfTwoValues(t *testing.T) {
	for drawing, want := range map[string]string{
		"circle SK-SUP-TERM 0,0 100\ntext SK-SUP-TERM 0,400 S-1 100 L/s\ntext SK-SUP-TERM 0,600 120 L/s": "Two notes give " +
			`terminal S-1 two values for its airflow: "100 L/s" and "120 L/s".`,
		"circle SK-SUP-TERM 0,0 100\ntext SK-SUP-TERM 0,400 100 L/s 120 L/s": "One note gives " +
			`a terminal two values for its airflow: "100 L/s" and "120 L/s".`,
		"block SK-SUP-UNIT 0,0 600,600 MARK=A-1 ESP=100_Pa ESP=120_Pa": "Two attributes give " +
			`unit A-1 two values for its pressure: "100 Pa" and "120 Pa".`,
		"circle SK-SUP-TERM 0,0 100\ntext SK-SUP-TERM 0,400 S-1 S-2": "One note gives " +
			`a terminal two values for its mark: "S-1" and "S-2".`,
	} {
		_, found := findings(mm(t, drawing))
		require.Len(t, found, 1, drawing)
		require.Equal(t, want, found[0].Text)
	}
	sk := read(t, mm(t, "line SK-SUP-DUCT 0,0 9000,0\ntext SK-SUP-NOTE 1000,100 lined 25 lined 50 rect"))
	require.Equal(t, map[string]string{"lining": "lined 25"}, sk.Lines[0].Notes[0].Texts)
	require.Equal(t, map[string]string{"lining": "lined 50", "shape": "rect"}, sk.Lines[0].Notes[1].Texts)
	require.Equal(t, sk.Lines[0].Notes[0].Handle, sk.Lines[0].Notes[1].Handle)
}

// What is not used is called what it is, a note or an attribute, with advice that fits.
func TestWordsOfOverruled(t *testing.T) {
	for drawing, want := range map[string][2]string{
		"block SK-SUP-TERM 0,0,2500 600,600 MARK=S-1 EL=2700_mm": {
			`The attribute EL "2700 mm" of terminal S-1 was not used: the elevation it was drawn at comes first.`,
			"Change or empty the attribute, or correct what it differs from."},
		"point SK-SUP-TERM 0,0,2500\ntext SK-SUP-NOTE 0,400 EL 2700": {
			`The note "EL 2700" about a terminal was not used: the elevation it was drawn at comes first.`,
			"Erase the note, or correct what it differs from."},
		"block SK-SUP-TERM 0,0 600,600 FLOW=100_L/s\ntext SK-SUP-NOTE 0,400 120 L/s": {
			`The note "120 L/s" about a terminal was not used: the attribute FLOW of its block, "100 L/s", comes first.`,
			"Erase the note, or correct what it differs from."},
	} {
		_, found := findings(mm(t, drawing))
		require.Len(t, found, 1, drawing)
		require.Equal(t, want, [2]string{found[0].Text, found[0].Do})
	}
}

// Attributes win over notes; the note is named.
func TestAttributesWin(t *testing.T) {
	d := mm(t, "block SK-SUP-TERM 0,0 600,600 MARK=S-1 FLOW=100_L/s EL=2500 NECK=200 DP=15_Pa\n"+
		"text SK-SUP-NOTE 0,400 120 L/s")
	sk, found := findings(d)
	got := only(t, found, diag.Overruled, "2")
	require.Equal(t, diag.Note, got.Level)
	require.Equal(t, 100*duct.LitrePerSecond, sk.Terminals[0].Flow)
	require.Equal(t, duct.RoundOf(200*duct.Millimetre), sk.Terminals[0].Neck)
	require.InDelta(t, 2.5, sk.Terminals[0].At.Z, delta)
	require.Equal(t, 15*duct.Pascal, sk.Terminals[0].Loss)
	require.True(t, sk.Terminals[0].Block)
}

// The findings about words name the text they stand in.
func TestFaultsOfNotes(t *testing.T) {
	for text, code := range map[string]diag.Code{
		"singel": diag.UnknownWord, "-5 L/s": diag.BadValue, "ø0": diag.BadValue, "250": diag.UnknownWord,
		"1,200 cfm":            diag.BadValue,
		"round 450x250 single": diag.BadValue, strings.Repeat("single ", 300): diag.BadValue,
	} {
		_, found := findings(mm(t, pair+"text SK-SUP-NOTE 2000,1100 "+text))
		if !strings.HasPrefix(text, "single ") {
			only(t, found, code, "3")
			continue
		}
		require.Equal(t, code, found[0].Code) // too long for a note
	}
}
