package symbols

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// usual is the house's style.
var usual Choices

// chosen returns the marks with one of them in another style.
func chosen(m Mark, style string) *Choices {
	var c Choices
	c[m].Style = style
	return &c
}

// Every style of every mark keeps to the ground the plan keeps for it, and no two styles are the same picture.
func TestStyles(t *testing.T) {
	at, along := geom.Vec{X: 2, Y: -1, Z: 3}, geom.Direction(0.4)
	face := []geom.Vec{{X: -1, Y: -1}, {X: 1, Y: -1}, {X: 1, Y: 1}, {X: -1, Y: 1}}
	ratings := map[Mark]duct.Rating{MarkRated: {}, MarkFire: {Fire: true}, MarkSmoke: {Smoke: true},
		MarkFireSmoke: {Fire: true, Smoke: true}}
	draw := func(m Mark, s *Choices) (gs []shape.Geometry, reach float64) {
		switch m {
		case MarkFlow:
			return s.Arrow(at, 0.4, 0.3), 0.15
		case MarkDropSupply, MarkRiseSupply:
			return s.Drop(at, along, duct.RectOf(0.4, 0.3), duct.SUP, m == MarkRiseSupply), 0.25
		case MarkDropOther, MarkRiseOther:
			return s.Drop(at, along, duct.RoundOf(0.5), duct.ETA, m == MarkRiseOther), 0.25
		case MarkDamper:
			return s.Damper(at, along, 0.4), math.Hypot(0.28, 0.08) // the handle: 0.08 beyond the wall, and as long
		case MarkCap:
			return s.Cap(at, along, 0.4), math.Hypot(0.2, 0.16)
		case MarkLevel:
			return s.Level(at, 0.4, 0.1), 0.13
		case MarkTerminal:
			return s.Face(face, duct.SUP), 4
		case MarkLeader:
			return s.Leader(at.Add(along.Scale(-0.5)), at, 0.1), 0.5
		}
		gs = s.Rated(ratings[m], at, along, 0.4, 0.1)
		for i, g := range gs {
			if _, ok := g.(shape.Text); ok { // stands beside the duct
				gs = append(gs[:i:i], gs[i+1:]...)
			}
		}
		return gs, math.Hypot(0.2, 0.1)
	}
	for m := range Mark(Marks) {
		seen := map[string]string{}
		for _, style := range m.Styles() {
			gs, reach := draw(m, chosen(m, style))
			for _, p := range points(t, gs) {
				require.LessOrEqual(t, p.PlanDist(at), reach+geom.Same, "%v %s", m, style)
			}
			if style == "letters" {
				require.Empty(t, gs, "but for its letters")
				continue
			}
			picture := fmt.Sprintf("%v", gs)
			require.NotContains(t, seen, picture, "%v: %s looks like %s", m, style, seen[picture])
			seen[picture] = style
			if style == "none" || style == "line" && m == MarkCap {
				require.Empty(t, gs)
			} else {
				require.NotEmpty(t, gs, "%v %s", m, style)
			}
		}
		house, _ := draw(m, &usual)
		first, _ := draw(m, chosen(m, m.Styles()[0]))
		require.Equal(t, house, first, "the first style of %v is the house's", m)
	}
}

// Crossings of walls rated for different things can be kept apart, by picture and by letters, and none is decided on.
func TestRatedMarksDiffer(t *testing.T) {
	for _, style := range []string{"body", "bar", "letters"} {
		pictures := map[string]bool{}
		for text, r := range map[string]duct.Rating{
			"FD/SD ?": {}, "FD ?": {Fire: true}, "SD ?": {Smoke: true}, "FSD ?": {Fire: true, Smoke: true},
			"FD EI 90 ?": {Fire: true, Class: "EI 90"},
		} {
			gs := rated(style, r, geom.Vec{}, geom.Vec{X: 1}, 0.4, 0.1)
			letters := gs[len(gs)-1].(shape.Text)
			require.Equal(t, text, letters.Value)
			if r.Class == "" {
				pictures[fmt.Sprint(gs[:len(gs)-1])] = true
			}
		}
		if style == "body" {
			require.Len(t, pictures, 4)
		}
	}
}

// The blades of a smoke damper lie within its body and, where half of it is filled, in the other half.
func TestBladesKeepToTheirHalf(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		x, y := rapid.Float64Range(0.02, 0.2).Draw(rt, "x"), rapid.Float64Range(0.05, 1).Draw(rt, "y")
		for _, half := range []bool{false, true} {
			gs := blades(frameAt(geom.Vec{}, geom.Vec{X: 1}), x, y, half)
			require.NotEmpty(rt, gs)
			for _, p := range points(rt, gs) {
				require.LessOrEqual(rt, math.Abs(p.X), x+geom.Same)
				require.LessOrEqual(rt, math.Abs(p.Y), y+geom.Same)
				if half {
					require.GreaterOrEqual(rt, p.Y, y/x*p.X-geom.Same, "above the diagonal")
				}
			}
		}
	})
}

// A block is inserted so large that what it measures along or across is the size of the mark, and turned along the
// duct.
func TestBlocks(t *testing.T) {
	at, along := geom.Vec{X: 1, Y: 2, Z: 3}, geom.Direction(0.5)
	var c Choices
	for m := range c {
		c[m].Block = Block{Name: "OURS", Long: 2, Wide: 0.5}
	}
	s := &c
	insert := func(gs []shape.Geometry) shape.Insert {
		for _, g := range gs {
			if in, ok := g.(shape.Insert); ok {
				return in
			}
		}
		require.Fail(t, "no block")
		return shape.Insert{}
	}
	for name, want := range map[string]struct {
		got   shape.Insert
		scale float64
	}{
		"an arrow of 0.3 by a block 2 long":   {insert(s.Arrow(at, 0.5, 0.3)), 0.15},
		"a damper of 0.4 by a block 0.5 wide": {insert(s.Damper(at, along, 0.4)), 0.8},
		"a fire damper of 0.4":                {insert(s.Rated(duct.Rating{Fire: true}, at, along, 0.4, 0.1)), 0.8},
		"a cap of 0.4":                        {insert(s.Cap(at, along, 0.4)), 0.8},
		"a drop 0.4 wide by a block 2 long": {insert(s.Drop(at, along, duct.RectOf(0.4, 0.2), duct.ETA, false)),
			0.2},
		"the tip of a leader, 0.036 of 0.1 high": {insert(s.Leader(at.Sub(along), at, 0.1)), 0.072},
	} {
		require.Equal(t, "OURS", want.got.Block, name)
		require.InDelta(t, want.scale, want.got.Scale, 1e-9, name)
		require.InDelta(t, 0.5, want.got.Angle, 1e-9, name)
		require.Equal(t, at, want.got.At, name)
	}
	text := s.Rated(duct.Rating{Smoke: true}, at, along, 0.4, 0.1)[1].(shape.Text)
	require.Contains(t, text.Value, "?", "a block of the office's settles nothing either")
	c[MarkFlow].Block = Block{Name: "DOT"}
	require.Empty(t, c.Arrow(at, 0, 0.3), "a block without a size cannot be scaled")
}

func TestParseChoice(t *testing.T) {
	for m := range Mark(Marks) {
		for _, style := range m.Styles() {
			c, err := ParseChoice(m, " "+style+" ")
			require.NoError(t, err)
			require.Equal(t, Choice{Style: style}, c)
		}
		c, err := ParseChoice(m, "Block  Fire damper 2 ")
		require.NoError(t, err)
		require.Equal(t, "Fire damper 2", c.Block.Name)
		_, err = ParseChoice(m, "fancy")
		require.ErrorContains(t, err, m.Styles()[0])
	}
}
