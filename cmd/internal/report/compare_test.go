package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/dxfio"
	"twinline/layout/words"
)

var (
	earlier = []dxfio.Owned{
		{Key: "a/axis", Data: "size=dia200 flow=0.1 length=3000 status=new kind=duct", Handle: "2F"},
		{Key: "b/axis", Data: "size=300x200 flow=0.2 length=1000 status=new kind=duct", Handle: "30"},
		{Key: "c/axis", Data: "size=dia100 flow=0.02 length=500 status=new kind=flex to=S-3"},
		{Key: "c/wall"},
		{Key: "t/mark", Data: "terminal=S-1 flow=0.1"},
		{Key: "copy", Data: "size=dia100", Copy: true},
	}
	later = []dxfio.Owned{
		{Key: "a/axis", Data: "size=dia254 flow=0.15 length=3000 status=new kind=duct", Handle: "2F",
			At: dxfio.Point{X: 1200.5, Y: 3}},
		{Key: "b/axis", Data: "size=300x200 flow=0.2 length=1000 status=new kind=duct", Handle: "30",
			At: dxfio.Point{X: 50}},
		{Key: "d/axis", Data: "size=oval550x250 flow=0.3 length=2500 status=future kind=drop to=Room%202"},
		{Key: "t/mark", Data: "terminal=S-1 flow=0.15"},
	}
)

func TestCompare(t *testing.T) {
	rev := Compare(earlier, later)
	var b strings.Builder
	rev.Print(&b, words.In(false), 10)
	require.Equal(t, `  changed terminal S-1 at 0, 0: 100 L/s -> 150 L/s
  added drop to Room 2 at 0, 0: 550x250 oval, 300 L/s, 2.50 m long, future
  changed duct at 1200.5, 3: ø200, 100 L/s -> ø254, 150 L/s
  moved duct at 50, 0
  removed flex to S-3 at 0, 0: ø100, 20 L/s, 0.50 m long, new
`, b.String())
	require.Equal(t, "1 added, 1 removed, 2 changed, 1 moved", rev.Counts())

	// An inch is 25.4 mm: 254 mm are 10 in; a foot 304.8 mm: 2500 mm are 8.2 ft; 0.3 m3/s over
	// 0.3048^3/60 m3/s a cfm are 636 cfm.
	b.Reset()
	rev.Print(&b, words.In(true), 2)
	require.Equal(t, "  changed terminal S-1 at 0, 0: 212 cfm -> 318 cfm\n"+
		"  added drop to Room 2 at 0, 0: 21.65\"x9.84\" oval, 636 cfm, 8.2 ft long, future\n  and 3 more\n", b.String())

	b.Reset()
	require.NoError(t, rev.JSON(&b, "test"))
	require.Contains(t, b.String(), `"kind": "changed"`)
	require.Contains(t, b.String(), `"size": "dia254"`)
	require.Empty(t, Compare(later, later).Changes)
	require.Equal(t, "nothing", Compare(later, later).Counts())
}

// A terminal whose label found no place is still there: the run that leads to it says so.
func TestCompareWithoutLabels(t *testing.T) {
	run := dxfio.Owned{Key: "a/axis", Data: "size=dia200 flow=0.1 status=new kind=drop to=S-1"}
	label := dxfio.Owned{Key: "t/mark", Data: "terminal=S-1 flow=0.1"}
	with, without := []dxfio.Owned{run, label}, []dxfio.Owned{run}
	require.Empty(t, Compare(with, without).Changes)
	require.Empty(t, Compare(without, with).Changes)

	// Another of the same name, in another system, is news all the same.
	other := dxfio.Owned{Key: "u/mark", Data: "terminal=S-1 flow=0.2"}
	second := dxfio.Owned{Key: "b/axis", Data: "size=dia200 flow=0.2 status=new kind=drop to=S-1"}
	rev := Compare(with, append([]dxfio.Owned{other, second}, with...))
	require.Equal(t, "2 added", rev.Counts())
	require.Equal(t, "2 removed", Compare(append([]dxfio.Owned{other, second}, with...), with).Counts())
}

func TestHasFacts(t *testing.T) {
	require.False(t, HasFacts([]dxfio.Owned{{Key: "a"}, {Key: "b", Data: "size=dia100", Copy: true},
		{Key: "c", Data: "x=1"}}))
	require.True(t, HasFacts(later))
	none := dxfio.Owned{Key: "a/axis", Data: "size=none flow=0 length=1000 status=existing kind=duct"}
	sized := dxfio.Owned{Key: "a/axis", Data: "size=dia200 flow=0 length=1000 status=existing kind=duct"}
	var b strings.Builder
	Compare([]dxfio.Owned{none}, []dxfio.Owned{sized}).Print(&b, words.In(false), 10)
	require.Equal(t, "  changed duct at 0, 0: no size -> ø200\n", b.String())
}
