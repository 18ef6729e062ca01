package label

import (
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/fitting"
)

// A lined duct is drawn as wide as its sheet, so that it is lettered as a single line only where that is no wider than
// the settings ask for.
func TestLinedDuctIsLetteredAsItIsDrawn(t *testing.T) {
	for below, want := range map[duct.Length]bool{0: false, 0.29: false, 0.3: true} {
		p := draw(t, duct.SUP, "duct L0 0.4,0 8.7,0 note 1,0 fixed=250 lined=25; term T0 9,0 100")
		p.des.Assembly = fitting.Assemble(p.net, p.des.Sizes(), nil)
		require.Equal(t, want, runsOf(p.net, p.des, below)[0].single, "%v", below)
	}
}
