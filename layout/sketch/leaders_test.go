package sketch_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/dxfio"
	"twinline/layout/duct"
	"twinline/layout/sketch"
)

// TestLeadersOfToday reads notes that stand too far away to be about anything but for their leaders: MULTILEADERs, and
// LEADERs that say by a handle alone which text is theirs. What is meant is said in testdata/dxf/make_notes.py.
func TestLeadersOfToday(t *testing.T) {
	for _, name := range []string{"note_multileader_R2000.dxf", "note_multileader_R2007.dxf",
		"note_multileader_R2018.dxf", "note_leader_list.dxf"} {
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join("../../testdata/dxf", name))
			require.NoError(t, err)
			doc, err := dxfio.Read(data)
			require.NoError(t, err)
			sk, found := sketch.Read(doc, sketch.Rules{})
			require.Empty(t, found)
			require.Len(t, sk.Units, 1)
			require.Equal(t, "TB-1", sk.Units[0].Mark)
			require.Len(t, sk.Terminals, 1)
			require.Equal(t, "S-101", sk.Terminals[0].Mark)
			require.InDelta(t, 0.22, float64(sk.Terminals[0].Flow), 1e-12, "220 L/s")
			require.Len(t, sk.Lines, 1)
			var spec duct.Spec
			for _, n := range sk.Lines[0].Notes {
				if !n.Spec.Fixed.IsZero() {
					spec.Fixed = n.Spec.Fixed
				}
				spec.Insulation = max(spec.Insulation, n.Spec.Insulation)
				spec.HasShape = spec.HasShape || n.Spec.HasShape
			}
			require.InDelta(t, 0.25, float64(spec.Fixed.Width), 1e-12)
			if name != "note_leader_list.dxf" {
				require.True(t, spec.HasShape, "round")
				require.InDelta(t, 0.05, float64(spec.Insulation), 1e-12, "from a turned, mirrored and stretched block")
			}
		})
	}
}
