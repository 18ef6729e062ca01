package plan

import (
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
)

// Every kind has one look, and it is the one its family is drawn by: a kind without it would be left out of the plan.
func TestEveryKindHasItsLook(t *testing.T) {
	for k := range duct.FittingKinds {
		l := lookOf(k)
		has := map[string]bool{"end": l.end != nil, "bend": l.bend != nil, "leg": l.leg != noLeg,
			"beside": l.beside != nil, "with": l.with != ""}
		var set []string
		for name, is := range has {
			if is {
				set = append(set, name)
			}
		}
		require.Len(t, set, 1, "how is the kind %q drawn? See lookOf", k)
		want := map[duct.Family]string{duct.JointFamily: "bend", duct.BendFamily: "bend", duct.ChangeFamily: "beside",
			duct.OffsetFamily: "beside", duct.LegFamily: "leg", duct.UnitFamily: "end", duct.BoxFamily: "end",
			duct.OutletFamily: "end", duct.CapFamily: "end", duct.DamperFamily: "with"}[k.Traits().Family]
		if k == duct.DropConn {
			want = "with" // only one of the two ducts it joins is seen along its length
		}
		require.Equal(t, want, set[0], "the kind %q is of a family that is drawn otherwise", k)
	}
}
