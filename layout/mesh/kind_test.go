package mesh

import (
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
)

// Every kind has one way its body is made, that of its family, or a reason why it has none.
func TestEveryKindHasItsBody(t *testing.T) {
	for k := range duct.FittingKinds {
		b := buildOf(k)
		if b.none != "" {
			require.True(t, b.bend == nil && b.as == noBody, "%q", k)
			continue
		}
		require.NotEqual(t, b.bend == nil, b.as == noBody, "how is the body of the kind %q made? See buildOf", k)
		want := map[duct.Family]as{duct.LegFamily: junction, duct.ChangeFamily: taper, duct.OffsetFamily: taper,
			duct.UnitFamily: unitNeck, duct.OutletFamily: lastNeck}[k.Traits().Family] // else a bend
		require.Equal(t, want, b.as, "the kind %q is of a family that is made otherwise", k)
	}
}
