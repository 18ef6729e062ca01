package mesh

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// Branches to both sides of a main, nearer to each other than they are wide: the main is whole, each branch begins at
// its wall. By hand: prisms, and for round ducts what two cylinders share, by quadrature.
func TestBuildRow(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		round := rapid.Bool().Draw(r, "round")
		main := duct.RectOf(0.4, 0.2)
		if round {
			main = duct.RoundOf(0.4)
		}
		d := draw(r, "duct L0 size=%v 0.5,0 5.71,0; term S 6,0 100", main)
		want := float64(main.Area()) * 5.2
		x, side := 3.0, 1.0
		for i := range rapid.IntRange(2, 3).Draw(r, "branches") {
			w := rapid.SampledFrom([]float64{0.15, 0.25, 0.3}).Draw(r, "wide")
			s := duct.RectOf(duct.Length(w), 0.15)
			within := float64(s.Area()) * 0.2
			if round {
				s, within = duct.RoundOf(duct.Length(w)), shared(0.2, w/2)
			}
			d.Addf(r, "duct B%d size=%v %v,0 %[3]v,%v; term T%[1]d %[3]v,%[5]v 100", i, s, x, side*2.71, side*3)
			want += float64(s.Area())*2.7 - within
			side = -side
			x += rapid.SampledFrom([]float64{0.05, 0.1, 0.2}).Draw(r, "step")
			if side > 0 {
				x += 0.3 // beside the first one, clear of it
			}
		}
		got := bodies(r, usual(), d)
		require.InEpsilon(r, want, total(got), 0.01)
		for _, m := range got { // nothing of the main is there twice, and nothing looks out of it
			for _, v := range m.Vertices {
				require.GreaterOrEqual(r, v.X, 0.5-geom.Same)
				require.LessOrEqual(r, v.X, 5.71)
			}
		}
	})
}

// shared returns what a round branch of radius r square to a round main of radius R has of it beyond its axis.
func shared(R, r float64) (v float64) {
	const n = 2000
	for i := range n {
		y := r * (2*(float64(i)+0.5)/n - 1)
		v += 2 * math.Sqrt(r*r-y*y) * math.Sqrt(R*R-y*y) * 2 * r / n
	}
	return v
}

// A step smaller than the duct, sideways or up: a sloped piece whose cross-sections stand square to the ducts, so its
// volume is that of a straight one.
func TestBuildOffset(t *testing.T) {
	for _, s := range []duct.Size{duct.RoundOf(0.315), duct.RectOf(0.4, 0.3), duct.OvalOf(0.4, 0.3)} {
		for _, move := range []geom.Vec{{Y: 0.2}, {Y: -0.1}, {Z: 0.2}, {Z: -0.2}} {
			at := geom.Vec{X: 4, Z: 3}.Add(move)
			got := bodies(t, usual(), draw(t, "duct L0 size=%v 0.5,0 4,0 %v %v; term T %v 100", s, at,
				at.Add(geom.Vec{X: 3.71}), at.Add(geom.Vec{X: 4})))
			require.Len(t, got, 3, "the duct before, the offset, the duct behind: %v", move)
			exact(t, float64(s.Area())*7.2, total(got), "area times length along the duct (Cavalieri)")
		}
	}
}
