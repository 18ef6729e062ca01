package label

import (
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/fitting"
	"twinline/layout/sketch"
)

// A lined duct is drawn as wide as its sheet, so that it is lettered as a single line only where that is no wider than
// the settings ask for.
func TestLinedDuctIsLetteredAsItIsDrawn(t *testing.T) {
	for below, want := range map[duct.Length]bool{0: false, 0.29: false, 0.3: true} {
		p := &labelled{}
		p.unit(v(0, 0), duct.SUP)
		p.term(v(9, 0), duct.SUP, 0.1)
		l := p.line(duct.SUP, v(0.4, 0), v(8.7, 0))
		l.Notes = []sketch.RunNote{{At: v(1, 0), Spec: duct.Spec{Fixed: duct.RoundOf(0.25), Lining: 0.025}}}
		p.build(t)
		p.des.Assembly = fitting.Assemble(p.net, p.des.Sizes(), nil)
		require.Equal(t, want, runsOf(p.net, p.des, below)[0].single, "%v", below)
	}
}
