package sketch_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/sketch"
)

// TestThresholds holds every distance of this stage from both sides: the drawing within it makes the finding or not,
// the drawing beyond it the other way round. Letters are 100 mm high. The reach, the snap distance and the defaults are
// the README's; the other figures are ours.
func TestThresholds(t *testing.T) {
	const lines = "line SK-SUP-DUCT 0,0 9000,0\nline SK-SUP-DUCT 0,1000 9000,1000\n"
	const far = lines + "text SK-SUP-NOTE 2000,5000 ø160\n"
	for name, c := range map[string]struct {
		within, beyond string
		code           diag.Code
		inside         bool // the finding is made within, not beyond
	}{
		"a reach of 1.2 m": {"line SK-SUP-DUCT 0,0 9000,0\ntext SK-SUP-NOTE 100,1199 ø160",
			"line SK-SUP-DUCT 0,0 9000,0\ntext SK-SUP-NOTE 100,1201 ø160", diag.UnclaimedNote, false},
		"two distances 2 % apart are equal": {lines + "text SK-SUP-NOTE 2000,446 ø160", lines +
			"text SK-SUP-NOTE 2000,445 ø160",
			diag.AmbiguousNote, true},
		"a leader ends within one and a half letters": {far + "leader SK-SUP-NOTE 3000,0 2100,4851",
			far + "leader SK-SUP-NOTE 3000,0 2100,4849", diag.UnclaimedNote, false},
		"a text 2.5 letters from a duct is along it": { // and nearer to the face
			"line SK-SUP-DUCT 0,0 4000,0\ncircle SK-SUP-TERM 4000,0 300\ntext SK-SUP-NOTE 3300,249 ø160",
			"line SK-SUP-DUCT 0,0 4000,0\ncircle SK-SUP-TERM 4000,0 300\ntext SK-SUP-NOTE 3300,251 ø160",
			diag.SizeAsNeck, true},
		"an outline open by 25 mm is closed": {duct0 + "\npline SK-SUP-UNIT 0,0 900,0 900,900 0,900 0,24",
			duct0 + "\npline SK-SUP-UNIT 0,0 900,0 900,900 0,900 0,26", diag.BadGeometry, false},
		"walls meet within 25 mm in a corner": {
			"line SK-RATED 0,0 0,4000\nline SK-RATED 24,0 4024,0\ntext SK-RATED 300,300 EI90" + duct0,
			"line SK-RATED 0,0 0,4000\nline SK-RATED 26,0 4026,0\ntext SK-RATED 300,300 EI90" + duct0,
			diag.AmbiguousNote, false},
		"a loss coefficient of 1000": {lines + "text SK-SUP-NOTE 2000,100 C=1000", lines +
			"text SK-SUP-NOTE 2000,100 C=1001", diag.BadValue, false},
		"a size of 5 m": {lines + "text SK-SUP-NOTE 2000,100 ø4999", lines +
			"text SK-SUP-NOTE 2000,100 ø5001", diag.BadValue, false},
		"a size of 20 mm": {lines + "text SK-SUP-NOTE 2000,100 ø21", lines +
			"text SK-SUP-NOTE 2000,100 ø19", diag.BadValue, false},
		"a height limit of 20 mm": {lines + "text SK-SUP-NOTE 2000,100 H<=21", lines +
			"text SK-SUP-NOTE 2000,100 H<=19", diag.BadValue, false},
		"a lining of half a metre": {lines + "text SK-SUP-NOTE 2000,100 lined 499", lines +
			"text SK-SUP-NOTE 2000,100 lined 501", diag.BadValue, false},
		"an insulation of half a metre": {lines + "text SK-SUP-NOTE 2000,100 insul 499", lines +
			"text SK-SUP-NOTE 2000,100 insul 501", diag.BadValue, false},
		"an elevation of 1000 m": {lines + "text SK-SUP-NOTE 2000,100 EL 999 m", lines +
			"text SK-SUP-NOTE 2000,100 EL 1001 m", diag.BadValue, false},
		"an elevation 1000 m down": {lines + "text SK-SUP-NOTE 2000,100 EL -999 m", lines +
			"text SK-SUP-NOTE 2000,100 EL -1001 m", diag.BadValue, false},
		"decimals under 100 mm": {lines + "text SK-SUP-NOTE 2000,100 CL 100.5", lines +
			"text SK-SUP-NOTE 2000,100 CL 99.5", diag.BadValue, false},
		"a text of 2000 bytes is a note": {lines + "text SK-SUP-NOTE 2000,100 " + spaced(2000), lines +
			"text SK-SUP-NOTE 2000,100 " + spaced(2001), diag.BadValue, false},
	} {
		t.Run(name, func(t *testing.T) {
			for text, want := range map[string]bool{c.within: c.inside, c.beyond: !c.inside} {
				_, found := findings(mm(t, text))
				got := false
				for _, d := range found {
					got = got || d.Code == c.code
				}
				require.Equal(t, want, got, "%s: %v", strings.TrimSpace(text), found)
			}
		})
	}
}

// spaced is a note of that many bytes.
func spaced(n int) string { return "round" + strings.Repeat(" ", n-len("round single")) + " single" }

// A bare number of four feet or more is no size of a duct in a drawing in feet.
func TestCoarseUnits(t *testing.T) {
	for text, reported := range map[string]bool{"ø3.9": false, "ø4": true, "3.9x1": false, "4x1": true, "H<=3.9": false,
		"H<=4": true} {
		_, found := sketch.Read(draw(t, 2, "line SK-SUP-DUCT 0,0 90,0\ntext SK-SUP-NOTE 1,0.5 "+text),
			sketch.Rules{Reach: 99})
		require.Equal(t, reported, len(found) > 0 && found[0].Code == diag.BadValue, "%s: %v", text, found)
	}
}

// A duct counts as along a text up to 0.2 radians, 11.5 degrees: the text lies across the first duct, and along the
// second.
func TestAlongIsWithinAnAngle(t *testing.T) {
	// 2020 and 2040 over 10 m; the tangent of 0.2 is 0.2027
	for end, along := range map[string]bool{"820": true, "840": false} {
		sk, found := findings(mm(t,
			"line SK-SUP-DUCT 2300,-2000 2300,2000\n"+
				"line SK-SUP-DUCT -2650,-1200 7350,"+end+"\ntext SK-SUP-NOTE 2000,-50 600x300"))
		require.Empty(t, found)
		require.Equal(t, along, len(sk.Lines[1].Notes) == 1, end)
	}
}

// A text that runs into a second face may be about the first while it begins within two letters of that.
func TestTextBeginsBesideItsTerminal(t *testing.T) {
	for at, unclear := range map[string]bool{"499,-75": true, "501,-75": false} { // the first face ends at 300
		sk, found := findings(mm(t,
			"circle SK-SUP-TERM 0,0 150\ncircle SK-SUP-TERM 1700,0 150\ntext SK-SUP-NOTE "+at+" S-100 105 L/s"))
		if unclear {
			only(t, found, diag.AmbiguousNote, "3")
			continue
		}
		require.Empty(t, found)
		require.Equal(t, "S-100", sk.Terminals[1].Mark)
	}
}

// Lines of others count within 2.5 m of a duct, texts within 5 m of the sketch; what is under 10 mm long is left out.
func TestWhatIsNear(t *testing.T) {
	for text, want := range map[string][2]int{
		"line A-WALL 100,2499 900,2499":  {0, 1},
		"line A-WALL 100,2501 900,2501":  {0, 0},
		"line A-WALL 100,100 100,111":    {0, 1},
		"line A-WALL 100,100 100,109":    {0, 0},
		"text A-ROOM 100,4999 KITCHEN":   {1, 0},
		"text A-ROOM 100,5001 KITCHEN":   {0, 0},
		"text A-ROOM -5489,100 KITCHEN":  {1, 0}, // 490 long
		"text A-ROOM -5491,100 KITCHEN":  {0, 0},
		"text SK-X 100,100 no such word": {1, 0},
	} {
		sk, _ := findings(mm(t, "line SK-SUP-DUCT 0,0 9000,0\n"+text))
		require.Equal(t, want, [2]int{len(sk.Obstacles), len(sk.Strokes)}, text)
	}
}

// The defaults of inch and of metric drawings, which the README lists.
func TestDefaults(t *testing.T) {
	metric, inch := read(t, mm(t, "point SK-SUP-TERM 0,0\ncircle SK-SUP-UNIT 9000,0 300")),
		read(t, inches(t, "point SK-SUP-TERM 0,0\ncircle SK-SUP-UNIT 900,0 12"))
	require.InDelta(t, 0.6, metric.Terminals[0].Face[0].Dist(metric.Terminals[0].Face[1]), delta)
	require.InDelta(t, float64(24*duct.Inch), inch.Terminals[0].Face[0].Dist(inch.Terminals[0].Face[1]), delta)
	require.InDelta(t, 2.7, metric.Terminals[0].At.Z, delta)
	require.InDelta(t, float64(9*duct.Foot), inch.Terminals[0].At.Z, delta)
	require.InDelta(t, 3.3, metric.Units[0].At.Z, delta)
	require.InDelta(t, float64(11*duct.Foot), inch.Units[0].At.Z, delta)
	for gap, open := range map[string]bool{"0.9": false, "1.1": true} { // the snap distance is 1 in
		_, found := findings(inches(t, "line SK-SUP-DUCT 0,0 90,0\npline SK-SUP-UNIT 0,0 40,0 40,40 0,40 0,"+gap))
		require.Equal(t, open, len(found) > 0, gap)
	}
}
