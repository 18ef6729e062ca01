package quantity

import (
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
)

// A junction counts once, with its other legs from the largest down; straight legs, joints, boxes and the bends of
// flexible duct count for nothing.
func TestFittings(t *testing.T) {
	a, b, c := duct.RoundOf(0.4), duct.RoundOf(0.315), duct.RectOf(0.3, 0.2)
	net := &duct.Network{Runs: []duct.Run{{ID: 0, Up: duct.None}, {ID: 1}, {ID: 2}, {ID: 3},
		{ID: 4, Kind: duct.Flexible}}}
	leg := func(kind duct.FittingKind, run duct.RunID, own duct.Size) duct.Fitting {
		return duct.Fitting{Kind: kind, Run: run, Common: a, Own: own}
	}
	for _, x := range []struct {
		name     string
		fittings []duct.Fitting
		want     int
		of       int // the run it is counted with, the first
		legs     []duct.Size
	}{
		{"cross", []duct.Fitting{leg(duct.Cross, 2, c), leg(duct.Cross, 1, b), leg(duct.Through, 3, a)}, 1, 1,
			[]duct.Size{a, b, c}},
		{"wye", []duct.Fitting{leg(duct.Wye, 1, c), leg(duct.Wye, 2, b)}, 1, 1, []duct.Size{b, c}},
		{"bullhead", []duct.Fitting{leg(duct.Bullhead, 1, b), leg(duct.Bullhead, 2, b)}, 1, 1, []duct.Size{b, b}},
		{"branch", []duct.Fitting{leg(duct.Takeoff, 1, b), leg(duct.Through, 2, a), leg(duct.Reducer, 2, b)}, 2, 1,
			nil},
		{"elbow", []duct.Fitting{leg(duct.Elbow, 1, a)}, 1, 1, nil},
		{"flexible elbow", []duct.Fitting{leg(duct.Elbow, 4, a), leg(duct.DropConn, 4, a)}, 0, 0, nil},
		{"none", []duct.Fitting{leg(duct.StraightJoint, 1, a), leg(duct.InlineBox, 1, a), leg(duct.VolumeDamper, 1, a)},
			0, 0, nil},
		{"of no run", []duct.Fitting{leg(duct.Elbow, duct.None, a)}, 0, 0, nil},
	} {
		got := Fittings(net, &duct.Design{Fittings: x.fittings})
		require.Len(t, got, x.want, x.name)
		if x.want > 0 {
			require.Equal(t, x.legs, got[0].Legs, x.name)
			require.Equal(t, duct.RunID(x.of), got[0].Run, x.name)
		}
	}
}

// A flexible duct with its drop is one piece; where the size changes, or a rigid run lies between, another begins. By
// hand: pieces of 2 + 0.5, 1 and 3 m.
func TestFlexibles(t *testing.T) {
	d := duct.RoundOf(0.2)
	net := &duct.Network{Runs: []duct.Run{
		{ID: 0, Up: duct.None}, {ID: 1, Up: 0, Kind: duct.Flexible}, {ID: 2, Up: 1, Kind: duct.Drop, Pliable: true},
		{ID: 3, Up: 1, Kind: duct.Flexible}, {ID: 4, Up: 0, Kind: duct.Flexible},
	}}
	des := &duct.Design{Runs: []duct.RunResult{{Size: d, Length: 9}, {Size: d, Length: 2}, {Size: d, Length: 0.5},
		{Size: duct.RoundOf(0.1), Length: 1}, {Size: d, Length: 3}}}
	require.Equal(t, []Flexible{{Size: d, Pieces: 2, Length: 5.5, Longest: 3},
		{Size: duct.RoundOf(0.1), Pieces: 1, Length: 1, Longest: 1}}, Flexibles(net, des))
}

// Removed and existing work is not bought; neither is what is not of sheet steel weighed. By hand: a round duct of
// 0.2 m, lined with 25 mm, is sheet of 0.25 m, pi 0.25 = 0.7854 m around; 10 m of it at 4.42 kg/m2 (26 gauge)
// weigh 34.714 kg.
func TestDucts(t *testing.T) {
	spec := duct.Spec{Lining: 0.025}
	net := &duct.Network{Runs: []duct.Run{{Spec: spec}, {Spec: spec, Status: duct.Future},
		{Spec: spec, Status: duct.Existing}, {Spec: duct.Spec{Material: "plastic"}, System: duct.None},
		{System: duct.None, Status: duct.Removed}, {Spec: spec}}}
	d := duct.RoundOf(0.2)
	des := &duct.Design{Runs: []duct.RunResult{{Size: d, Length: 4}, {Size: d, Length: 10}, {Size: d, Length: 10},
		{Size: d, Length: 10}, {Length: 10}, {Size: d, Length: 6}}}
	ducts := Ducts(net, des, 0.5)
	require.Len(t, ducts, 5)
	for i, want := range []struct {
		runs          int
		mass, ordered float64
		basis         Basis
	}{{2, 34.714, 52.072, FromTable}, {1, 34.714, 0, FromTable}, {1, 34.714, 52.072, FromTable}, {1, 0, 0, NotSteel},
		{1, 0, 0, NoSize}} {
		require.Equal(t, want.runs, ducts[i].Runs, i)
		require.InDelta(t, want.mass, float64(ducts[i].Mass), 1e-3, i)
		require.InDelta(t, want.ordered, float64(ducts[i].Ordered), 1e-3, i)
		require.Equal(t, want.basis, ducts[i].Sheet.Basis, i)
		require.InDelta(t, 10, float64(ducts[i].Length), 1e-12, i)
	}
	totals := Totals(net, des, 0.5)
	require.Len(t, totals, 4)
	require.Equal(t, duct.Removed, totals[2].Status)
	require.InDelta(t, 20, float64(totals[0].Duct.Length), 1e-12)
	require.InDelta(t, 7.854, float64(totals[0].Lining), 1e-3)
}
