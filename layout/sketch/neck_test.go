package sketch_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
)

// A size between a terminal and its duct is the neck, and that is reported: the duct ends in the face, 300 about
// 4000,0;
// letters are 100 high.
func TestSizeTakenAsNeckIsReported(t *testing.T) {
	const air = `
		line SK-SUP-DUCT 0,0 4000,0
		circle SK-SUP-TERM 4000,0 300
		line SK-SUP-DUCT 0,3000 9000,3000
	`
	for name, c := range map[string]struct {
		text     string
		neck     bool
		reported bool
	}{
		"beside both, nearer to the face":   {"text SK-SUP-NOTE 3300,150 ø160", true, true},
		"below both":                        {"text SK-SUP-NOTE 3300,-280 ø160", true, true},
		"with an airflow":                   {"text SK-SUP-NOTE 3300,150 ø160 100 L/s", true, false},
		"an airflow alone":                  {"text SK-SUP-NOTE 3300,150 100 L/s", false, false},
		"along the duct, far from the face": {"text SK-SUP-NOTE 1500,150 ø160", false, false},
		"inside the face":                   {"text SK-SUP-NOTE 3850,-50 ø160", true, false},
		"beyond the face":                   {"text SK-SUP-NOTE 4450,-50 ø160", true, false},
		"above the face, far from the duct": {"text SK-SUP-NOTE 3800,350 ø160", true, false},
		"on the terminal's layer":           {"text SK-SUP-TERM 3300,150 ø160", true, false},
		"on the duct's layer":               {"text SK-SUP-DUCT 3300,150 ø160", false, false},
		"with a leader to the terminal": {"text SK-SUP-NOTE 3300,150 ø160\nleader SK-SUP-NOTE 4000,0 3700,200",
			true, false},
		"with a leader to the duct": {"text SK-SUP-NOTE 3300,150 ø160\nleader SK-SUP-NOTE 2000,0 3290,200",
			false, false},
		"beside a duct that leads elsewhere": {"circle SK-SUP-TERM 6000,2600 300\ntext SK-SUP-NOTE 5400,2760 ø160",
			true, false},
	} {
		t.Run(name, func(t *testing.T) {
			sk, found := findings(mm(t, air+c.text))
			neck := duct.Size{}
			for _, x := range sk.Terminals {
				if !x.Neck.IsZero() {
					neck = x.Neck
				}
			}
			require.Equal(t, c.neck, neck == duct.RoundOf(160*duct.Millimetre), "%v", neck)
			reported := 0
			for _, d := range found {
				if d.Code == diag.SizeAsNeck {
					reported++
					require.Contains(t, d.Text, `"ø160" was taken as the neck`)
				}
			}
			require.Equal(t, c.reported, reported == 1, "%v", found)
		})
	}
}
