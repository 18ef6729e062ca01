package loss

import (
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
)

// Every kind of fitting has a formula, if only the one that says it costs nothing; only what does not disturb the air
// has that one.
func TestEveryKindHasAFormula(t *testing.T) {
	for kind := range duct.FittingKinds {
		require.NotNil(t, formulas[kind], kind.String())
		f := duct.Fitting{Kind: kind, Own: duct.RoundOf(0.2), Common: duct.RoundOf(0.3), Angle: 1, Radius: 0.3,
			Length: 0.2}
		res := Coefficient(&f,
			Case{Own: 0.1, Common: 0.2, Diverging: true, Others: []Leg{{Size: duct.RoundOf(0.2), Flow: 0.1, Angle: 1}}},
			Air{1.2, 18e-6})
		require.NotEmpty(t, res.Formula, kind.String())
		free := kind.Is(duct.JointFamily) || kind.Is(duct.CapFamily) || kind.Is(duct.BoxFamily)
		require.Equal(t, free, res.C == 0, "%v: %v", kind, res.Formula)
	}
}
