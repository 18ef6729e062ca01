package sketch_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
)

// duct0 is some duct, without which a drawing is no sketch.
const duct0 = "\nline SK-SUP-DUCT -5000,0 -9000,0"

// Notes on rated walls. The classes are those of EN 13501-2: R, E, I, W with minutes, and S for limited leakage of
// smoke.
func TestRatedNotes(t *testing.T) {
	for text, want := range map[string]duct.Rating{
		"fire":             {Fire: true},
		"SMOKE":            {Smoke: true},
		"fire smoke":       {Fire: true, Smoke: true},
		"Fire/smoke wall":  {Fire: true, Smoke: true},
		"EI 90":            {Fire: true, Class: "EI 90"},
		"ei90":             {Fire: true, Class: "EI 90"},
		"REI 120 wall":     {Fire: true, Class: "REI 120"},
		"EI 60 S":          {Fire: true, Smoke: true, Class: "EI 60 S"},
		"EIS 60":           {Fire: true, Smoke: true, Class: "EI 60 S"},
		"EI 60-S, fire":    {Fire: true, Smoke: true, Class: "EI 60 S"},
		"2 h rated":        {Fire: true, Class: "2 h"},
		"1-hr fire":        {Fire: true, Class: "1 h"},
		"90 min":           {Fire: true, Class: "90 min"},
		"smoke, then 2 hr": {},
	} {
		t.Run(text, func(t *testing.T) {
			sk, found := findings(mm(t, "line SK-RATED 0,0 0,4000\ntext SK-RATED 200,2000 "+text+duct0))
			if !want.Known() {
				only(t, found, diag.UnknownWord, "2")
				require.True(t, sk.Rated[0].Rating.Smoke, "what is known of it counts")
				return
			}
			require.Equal(t, want, sk.Rated[0].Rating)
		})
	}
}

func TestRatedNotesFindTheirWall(t *testing.T) {
	two := "line SK-RATED 0,0 0,4000\nline SK-RATED 1000,0 1000,4000\n"
	sk, _ := findings(mm(t, two+"text SK-RATED 1100,2000 fire"+duct0))
	require.False(t, sk.Rated[0].Rating.Known())
	require.True(t, sk.Rated[1].Rating.Fire)

	// 280 wide
	_, found := findings(mm(t,
		"line SK-RATED 0,0 0,4000\nline SK-RATED 800,0 800,4000\ntext SK-RATED 260,2000 EI90"+duct0))
	only(t, found, diag.AmbiguousNote, "3")
	_, found = findings(mm(t, two+"text SK-RATED 3000,2000 fire"+duct0))
	only(t, found, diag.UnclaimedNote, "3")

	sk, found = findings(mm(t, "line SK-RATED 0,0 0,4000\nline SK-RATED 0,0 4000,0\ntext SK-RATED 300,300 EI90"+duct0))
	require.True(t, sk.Rated[0].Rating.Fire && sk.Rated[1].Rating.Fire,
		"in the corner of two walls it is about both: %v", found)
}
