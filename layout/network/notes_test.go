package network

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/sketch"
)

// twice has two values for everything notes say about ducts, but for what has one value alone.
var twice = map[string][2]duct.Spec{
	"size":             {{Fixed: duct.RectOf(0.4, 0.2)}, {Fixed: duct.RectOf(0.3, 0.2)}},
	"height limit":     {{MaxHeight: 0.25}, {MaxHeight: 0.2}},
	"shape":            {{Shape: duct.Rect, HasShape: true}, {Shape: duct.Round, HasShape: true}},
	"straight side":    {{Flat: duct.FlatTop, HasFlat: true}, {Flat: duct.FlatBottom, HasFlat: true}},
	"lining":           {{Lining: 0.025}, {Lining: 0.05}},
	"insulation":       {{Insulation: 0.025}, {Insulation: 0.05}},
	"material":         {{Material: "spiral"}, {Material: "plastic"}},
	"loss coefficient": {{C: 0.1, HasC: true}, {C: 0, HasC: true}},
	"single line":      {{Single: true}, {Single: true}},
}

// noted is a main with two notes at one place and a branch behind it.
func noted(t *testing.T, a, b duct.Spec) *sketch.Sketch {
	sk := parse(t, "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP 6,0,3 6,4,3 \n term S SUP 9,0,3 60 \n"+
		"term T SUP 6,4,3 60")
	at := geom.Vec{X: 2, Z: 3}
	sk.Lines[0].Notes = []sketch.RunNote{{At: at, Handle: "N1", Spec: a}, {At: at, Handle: "N2", Spec: b}}
	return sk
}

// TestTwoValuesOfARun gives one run two values of everything notes can say, and what of it holds past the branch is
// there.
func TestTwoValuesOfARun(t *testing.T) {
	for _, topic := range sketch.RunTopics() {
		two, ok := twice[topic.Name]
		require.True(t, ok, "two values for %s", topic.Name)
		_, found := Build(noted(t, two[0], two[1]), Spec{})
		if two[0] != two[1] {
			require.Equal(t, []string{"two-values@N2"}, codes(found), topic.Name)
			require.Contains(t, found[0].Text, topic.Name)
		}
		net, found := Build(noted(t, two[0], two[0]), Spec{})
		require.Empty(t, codes(found), "the same value twice is one: %s", topic.Name)
		require.Equal(t, two[0], topic.Of(run(t, net, "A@0").Spec), topic.Name)
		for _, key := range []string{"A@5500", "B@0"} {
			got := topic.Of(run(t, net, key).Spec)
			require.Equal(t, topic.Holds == sketch.Downstream, got == two[0], "%s at %s", topic.Name, key)
		}
	}
}

// A size has a shape: another shape noted beside it is a second value.
func TestSizeAndShapeAreOfOneShape(t *testing.T) {
	size, shape := twice["size"][0], duct.Spec{Shape: duct.Oval, HasShape: true}
	for _, pair := range [][2]duct.Spec{{size, shape}, {shape, size}} {
		_, found := Build(noted(t, pair[0], pair[1]), Spec{})
		require.Equal(t, []string{"two-values@N2"}, codes(found))
	}
	_, found := Build(noted(t, size, twice["shape"][0]), Spec{})
	require.Empty(t, codes(found))
}

// A finding quotes both values as they are written, and says whether one note or two give them.
func TestWordsOfTwoValues(t *testing.T) {
	said := func(topic, text string) map[string]string { return map[string]string{topic: text} }
	size, shape := duct.Spec{Fixed: duct.RoundOf(0.25)}, duct.Spec{Shape: duct.Rect, HasShape: true}
	for want, notes := range map[string][2]sketch.RunNote{
		`Two notes give a duct two values for its lining: "lined 25" and "lined 50".`: {
			{Handle: "N1", Spec: duct.Spec{Lining: 0.025}, Texts: said("lining", "lined 25")},
			{Handle: "N2", Spec: duct.Spec{Lining: 0.05}, Texts: said("lining", "lined 50")}},
		`One note gives a duct two values for its loss coefficient: "C=0.1" and "C=0".`: {
			{Handle: "N1", Spec: duct.Spec{C: 0.1, HasC: true}, Texts: said("loss coefficient", "C=0.1")},
			{Handle: "N1", Spec: duct.Spec{HasC: true}, Texts: said("loss coefficient", "C=0")}},
		`Two notes give a duct two values for its shape: "ø250" and "rect".`: {
			{Handle: "N1", Spec: size, Texts: said("size", "ø250")},
			{Handle: "N2", Spec: shape, Texts: said("shape", "rect")}},
		`Two notes give a duct two values for its shape: "rect" and "ø250".`: {
			{Handle: "N1", Spec: shape, Texts: said("shape", "rect")},
			{Handle: "N2", Spec: size, Texts: said("size", "ø250")}},
	} {
		sk := noted(t, duct.Spec{}, duct.Spec{})
		for i, n := range notes {
			n.At = sk.Lines[0].Notes[i].At
			sk.Lines[0].Notes[i] = n
		}
		_, found := Build(sk, Spec{})
		require.Len(t, codes(found), 1, want)
		require.Equal(t, want, found[0].Text)
	}
}

// The attributes ESP and DP come before a pressure noted beside the unit, and that is reported.
func TestPressureOfUnitIsOverruled(t *testing.T) {
	for name, c := range map[string]struct {
		unit            string // V, at the head or, behind U, in the middle
		head            bool
		available, loss duct.Pressure
		text            string // "" where nothing differs
	}{
		"at the head": {"esp=200 p=150", true, 200, 0,
			"150 Pa noted at unit V was not used: the attribute ESP of its block, 200 Pa"},
		"the same":           {"esp=200 p=200", true, 200, 0, ""},
		"a note alone":       {"p=150", true, 150, 0, ""},
		"the loss of a head": {"dp=30 p=150", true, 150, 0, ""},
		"in the middle": {"dp=30 p=40", false, 0, 30,
			"40 Pa noted at unit V was not used: the attribute DP of its block, 30 Pa"},
		"a note in the middle":    {"p=40", false, 0, 40, ""},
		"a fan and its own loss":  {"esp=200 p=40", false, 200, 40, ""},
		"a fan with a given loss": {"esp=200 dp=40", false, 200, 40, ""},
	} {
		t.Run(name, func(t *testing.T) {
			text := "unit V SUP 0,0 mark=V " + c.unit + " \n duct A SUP 0.5,0,3 4.5,0,3 \n term T SUP 4.5,0,3 60"
			if !c.head {
				text = "unit U SUP -5,0 \n duct B SUP -4.5,0,3 -0.5,0,3 \n" + text
			}
			net, found := Build(parse(t, text), Spec{})
			for i := range net.Units {
				if u := &net.Units[i]; u.Mark == "V" {
					require.Equal(t, c.available, u.Available)
					require.Equal(t, c.loss, u.Loss)
				}
			}
			reported := 0
			for _, d := range found {
				if d.Code == diag.Overruled {
					reported++
					require.Contains(t, d.Text, c.text)
				}
			}
			require.Equal(t, c.text != "", reported == 1, strings.Join(codes(found), " "))
		})
	}
}
