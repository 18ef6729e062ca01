package shape_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
	"twinline/layout/shape"
)

// The words are those drawings out there hold.
func TestFacts(t *testing.T) {
	for _, c := range []struct {
		text string
		want shape.Facts
	}{
		{"size=dia254 flow=0.15 length=3000 status=new kind=duct",
			shape.Facts{Size: duct.RoundOf(0.254), Flow: 0.15, Length: 3, Kind: duct.Rigid}},
		{"size=300x200.5 flow=0 length=2500.4 status=existing kind=flex to=Room%202",
			shape.Facts{Size: duct.RectOf(0.3, 0.2005), Length: 2.5004, Status: duct.Existing, Kind: duct.Flexible,
				To: "Room 2"}},
		{"size=oval550x250 flow=0.123457 length=1 status=future kind=drop to=S%C3%A9",
			shape.Facts{Size: duct.OvalOf(0.55, 0.25), Flow: 0.123457, Length: 0.001, Status: duct.Future,
				Kind: duct.Drop, To: "Sé"}},
		{"size=none flow=1.5e-05 length=0 status=removed kind=duct",
			shape.Facts{Flow: 1.5e-5, Status: duct.Removed}},
		{"terminal=S-1%2F2 flow=0.1 status=new", shape.Facts{Terminal: "S-1/2", Flow: 0.1}},
	} {
		require.Equal(t, c.text, c.want.String())
		got, ok := shape.ParseFacts(c.text + " later=1 word")
		require.True(t, ok, c.text)
		require.Equal(t, c.text, got.String())
		require.InDelta(t, float64(c.want.Flow), float64(got.Flow), 1e-12)
		require.InDelta(t, float64(c.want.Size.Width), float64(got.Size.Width), 1e-12)
		require.InDelta(t, float64(c.want.Length), float64(got.Length), 1e-12)
		require.Equal(t, []any{c.want.Kind, c.want.Status, c.want.To, c.want.Terminal, c.want.Size.Shape},
			[]any{got.Kind, got.Status, got.To, got.Terminal, got.Size.Shape})
	}
	for _, text := range []string{"", "nonsense", "x=1", "terminal= flow=0.1", "terminal=%zz", "size=huge", "size=dia",
		"size=1x",
		"size=dia100 flow=lots", "size=dia100 kind=pipe", "size=dia100 status=old", "flow=0.1"} {
		_, ok := shape.ParseFacts(text)
		require.False(t, ok, text)
	}
	require.Empty(t, (*shape.Facts)(nil).String())
	long := strings.Repeat("é", 20) // six bytes each as in a URL
	require.Empty(t, (&shape.Facts{Terminal: long}).String())
	require.NotContains(t, (&shape.Facts{To: long}).String(), "to=")
}

// Whatever facts there are, what is held is short, ASCII, and the same again once read.
func TestFactsLast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Custom(func(t *rapid.T) duct.Length {
			return duct.Length(rapid.Float64Range(1e-3, 1e4).Draw(t,
				"metres"))
		})
		f := &shape.Facts{
			Flow:   duct.Flow(rapid.Float64Range(0, 1e3).Draw(t, "flow")),
			Status: duct.Status(rapid.IntRange(0, int(duct.Future)).Draw(t, "status")),
		}
		if rapid.Bool().Draw(t, "terminal") {
			f.Terminal = rapid.StringN(1, 12, -1).Draw(t, "name")
		} else {
			f.Size = duct.Size{Shape: duct.Shape(rapid.IntRange(0, int(duct.Oval)).Draw(t, "shape")),
				Width: length.Draw(t, "width"), Height: length.Draw(t, "height")}
			f.Length, f.To = length.Draw(t, "length"), rapid.String().Draw(t, "to")
			f.Kind = duct.RunKind(rapid.IntRange(0, int(duct.Drop)).Draw(t, "kind"))
		}
		text := f.String()
		require.LessOrEqual(t, len(text), 200)
		require.Less(t, strings.IndexFunc(text, func(r rune) bool { return r > 126 || r < 32 }), 0, text)
		got, ok := shape.ParseFacts(text)
		require.Equal(t, text != "", ok, text)
		if !ok {
			return
		}
		require.Equal(t, text, got.String())
		require.InDelta(t, float64(f.Flow), float64(got.Flow), 1e-5*math.Abs(float64(f.Flow)), "six figures")
		require.InDelta(t, float64(f.Length), float64(got.Length), 0.6e-4, "a tenth of a millimetre")
		require.Equal(t, f.Terminal, got.Terminal)
	})
}
