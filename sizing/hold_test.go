package sizing_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/sizing"
)

// Two branches that follow each other closely leave no room for a change of size between them: the main keeps its size
// up to the second one, and changes after it. Farther apart it changes between them. Source: the order of the pieces,
// by hand.
func TestSizeHeldPastCloseBranches(t *testing.T) {
	for _, air := range []duct.Air{duct.SUP, duct.ETA} {
		for _, shape := range []duct.Shape{duct.Round, duct.Rect} {
			spec := metric()
			spec.Fittings = rules()
			spec.Shape = shape
			solve := func(between float64) (a, b, d duct.RunResult, short duct.Length) {
				net := network(air, line("A", 4, 0, to("x", 3, 90, litres(250), 10),
					line("B", between, 0, to("y", 4, -90, litres(100), 10), to("D", 5, 0, litres(60), 10))))
				des, found := sizing.Solve(net, spec)
				require.False(t, found.HasErrors(), "%v", found)
				for _, f := range des.Fittings {
					short = max(short, f.ShortBy)
				}
				return des.Runs[run(net, "A").ID], des.Runs[run(net, "B").ID], des.Runs[run(net, "D").ID], short
			}
			a, far, d, short := solve(4)
			require.Less(t, float64(far.Size.Area()), float64(a.Size.Area()))
			require.Zero(t, short)
			a2, close, d2, short := solve(0.1)
			require.Equal(t, a.Size, a2.Size)
			require.Equal(t, d.Size, d2.Size)
			require.Equal(t, a.Size, close.Size, "no room to change it")
			require.Equal(t, duct.HeldOn, close.Why.By)
			require.Zero(t, short)
		}
	}
}
