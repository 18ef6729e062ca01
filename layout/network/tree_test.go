package network

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/sketch"
	"twinline/layout/sketchtest"
)

// tree is a random duct tree that knows what it is: a main with branches on alternate sides, and
// branches on those, laid out so that nothing meets but where it should.
type tree struct {
	sk    *sketch.Sketch
	flows map[string]float64 // l/s by terminal key
	up    map[string]string  // by line key: the line it leaves, "" for the main
	at    map[string]float64 // by line key: how far along that line
}

// drawTree draws a tree. Every line is one entity; the turns in it are random.
func drawTree(t *rapid.T) tree {
	out := tree{sk: &sketch.Sketch{}, flows: map[string]float64{}, up: map[string]string{}, at: map[string]float64{}}
	air := rapid.SampledFrom([]duct.Air{duct.SUP, duct.ETA, duct.EHA, duct.ODA}).Draw(t, "air")
	next := 16
	handle := func() string { next++; return fmt.Sprintf("%X", next) }
	out.sk.Units = []sketch.Unit{{Key: "U", Handle: "U", Air: air, Mark: "AHU", At: geom.Vec{Z: 3},
		Outline: sketchtest.Square(geom.Vec{Z: 3}, 1, 1)}}
	// grow draws a line from p in direction d, with n branches; room is how far to the sides it may spread.
	var grow func(up string, at float64, p, d geom.Vec, depth int, room float64)
	grow = func(up string, at float64, p, d geom.Vec, depth int, room float64) {
		k := handle()
		out.up[k], out.at[k] = up, at
		n := 0
		if depth > 0 {
			n = rapid.IntRange(0, 3).Draw(t, "branches")
		}
		length := room
		if depth == 0 {
			// In steps that halves, thirds and quarters of fall on whole millimetres, so that no key
			// depends on how half a millimetre is rounded.
			length = 0.012 * float64(rapid.IntRange(100, int(room/0.012)).Draw(t, "length"))
		}
		end := p.Add(d.Scale(length))
		l := sketch.Line{Key: key.Key(k), Handle: k, Air: air, Path: geom.Path{{Vec: p}, {Vec: end}}}
		if rapid.Bool().Draw(t, "elbow") && n == 0 && depth == 0 {
			end = end.Add(d.Left().Scale(0.9))
			l.Path = append(l.Path, geom.Vertex{Vec: end})
		}
		if rapid.Bool().Draw(t, "reversed") {
			slices.Reverse(l.Path)
		}
		out.sk.Lines = append(out.sk.Lines, l)
		tk := handle()
		z := end.Z - rapid.SampledFrom([]float64{0, 0.6}).Draw(t, "drop")
		flow := float64(rapid.IntRange(1, 300).Draw(t, "flow"))
		out.flows[tk] = flow
		out.sk.Terminals = append(out.sk.Terminals, sketch.Terminal{
			Key: key.Key(tk), Handle: tk, Air: air, At: end.At(z), Face: sketchtest.Square(end.At(z), 0.6, 0.6),
			Flow: duct.Flow(flow) * duct.LitrePerSecond,
		})
		for i := range n {
			s := length * float64(i+1) / float64(n+1)
			side := d.Left()
			if i%2 == 1 {
				side = side.Scale(-1)
			}
			grow(k, s, p.Add(d.Scale(s)), side, depth-1, room/5)
		}
	}
	start := geom.Vec{X: 0.5, Z: 3}
	grow("", 0, start, geom.Vec{X: 1}, rapid.IntRange(0, 3).Draw(t, "depth"), 480)
	return out
}

// A tree that was drawn comes back as the same tree.
func TestTreeComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := drawTree(t)
		net, found := Build(tr.sk, Spec{})
		require.Empty(t, codes(found), "%v", found)
		sound(t, net)
		require.Len(t, net.Systems, 1)
		require.Len(t, net.Systems[0].Terminals, len(tr.flows))
		total := 0.0
		for _, f := range tr.flows {
			total += f
		}
		require.InDelta(t, total, float64(net.Systems[0].Flow)*1000, 1e-6*total)
		// Walking from a run towards the unit passes through the lines the tree was grown from.
		for i := range net.Runs {
			r := &net.Runs[i]
			if r.Kind == duct.Drop || r.Up == duct.None {
				continue
			}
			line, up := r.Key.Line(), net.Runs[r.Up].Key.Line()
			if line != up {
				require.Equal(t, tr.up[string(line)], string(up))
			}
		}
		// A branch leaves where it was drawn.
		for _, l := range tr.sk.Lines {
			if tr.up[string(l.Key)] == "" {
				continue
			}
			require.True(t, slices.ContainsFunc(net.Nodes, func(n duct.Node) bool {
				p := l.Path[0].Vec
				if e := l.Path[len(l.Path)-1].Vec; e.PlanDist(n.At) < p.PlanDist(n.At) {
					p = e
				}
				return n.Kind == duct.Branch && n.At.Dist(p) < 1e-9
			}), "no branch for line %s", l.Key)
		}
	})
}

// What is drawn turned, mirrored or farther away is the same network.
func TestTreeMoved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := drawTree(t)
		angle := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "angle")
		mirror := rapid.Bool().Draw(t, "mirror")
		by := geom.Vec{X: rapid.Float64Range(-1e4, 1e4).Draw(t, "x"), Y: rapid.Float64Range(-1e4, 1e4).Draw(t, "y"),
			Z: rapid.Float64Range(-50, 50).Draw(t, "z")}
		move := func(p geom.Vec) geom.Vec {
			if mirror {
				p.Y = -p.Y
			}
			return p.Rotate(angle).Add(by)
		}
		net, _ := Build(tr.sk, Spec{})
		moved, found := Build(moveSketch(tr.sk, move), Spec{})
		require.Empty(t, codes(found))
		require.Equal(t, shapeOf(net), shapeOf(moved))
		for i := range net.Runs {
			a, b := &net.Runs[i], &moved.Runs[i]
			require.Equal(t, a.Key, b.Key)
			require.InDelta(t, 0, move(a.Line.A).Dist(b.Line.A), 1e-7)
			require.InDelta(t, 0, move(a.Line.B).Dist(b.Line.B), 1e-7)
		}
	})
}

func moveSketch(sk *sketch.Sketch, move func(geom.Vec) geom.Vec) *sketch.Sketch {
	out := *sk
	points := func(p []geom.Vec) []geom.Vec {
		q := make([]geom.Vec, len(p))
		for i := range p {
			q[i] = move(p[i])
		}
		return q
	}
	out.Lines, out.Terminals, out.Units = slices.Clone(sk.Lines), slices.Clone(sk.Terminals), slices.Clone(sk.Units)
	for i := range out.Lines {
		l := &out.Lines[i]
		l.Path = slices.Clone(l.Path)
		for k := range l.Path {
			l.Path[k].Vec = move(l.Path[k].Vec)
		}
	}
	for i := range out.Terminals {
		x := &out.Terminals[i]
		x.At, x.Face = move(x.At), points(x.Face)
	}
	for i := range out.Units {
		u := &out.Units[i]
		u.At, u.Outline = move(u.At), points(u.Outline)
	}
	return &out
}

// Renumbering every entity changes keys and nothing else.
func TestTreeRenumbered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := drawTree(t)
		net, _ := Build(tr.sk, Spec{})
		re := *tr.sk
		re.Lines, re.Terminals = slices.Clone(re.Lines), slices.Clone(re.Terminals)
		order := rapid.Permutation(seq(len(re.Lines)+len(re.Terminals))).Draw(t, "order")
		for i := range re.Lines {
			re.Lines[i].Key = key.Key(fmt.Sprintf("%X", 0x100+order[i]))
			re.Lines[i].Handle = string(re.Lines[i].Key)
		}
		for i := range re.Terminals {
			re.Terminals[i].Key = key.Key(fmt.Sprintf("%X", 0x100+order[len(re.Lines)+i]))
			re.Terminals[i].Handle = string(re.Terminals[i].Key)
		}
		other, found := Build(&re, Spec{})
		require.Empty(t, codes(found))
		require.Equal(t, bare(net), bare(other))
	})
}

func seq(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// bare prints where the runs of a network lie and what they carry, without ids and keys.
func bare(net *duct.Network) []string {
	var out []string
	for i := range net.Runs {
		r := &net.Runs[i]
		up := geom.Vec{}
		if r.Up != duct.None {
			up = net.Runs[r.Up].Line.Point(0.5)
		}
		out = append(out, fmt.Sprintf("%s %.6f %.6f %.6f %.6f %v", r.Kind, r.Line.A, r.Line.B, r.Flow, up,
			len(net.Sections[r.Section].Runs)))
	}
	slices.Sort(out)
	return out
}

// Snapping holds whatever small errors the ends have.
func TestTreeShaken(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := drawTree(t)
		net, _ := Build(tr.sk, Spec{})
		shaken := *tr.sk
		shaken.Lines = slices.Clone(shaken.Lines)
		for i := range shaken.Lines {
			l := &shaken.Lines[i]
			l.Path = slices.Clone(l.Path)
			for k := range l.Path {
				l.Path[k].X += rapid.Float64Range(-0.005, 0.005).Draw(t, "x")
				l.Path[k].Y += rapid.Float64Range(-0.005, 0.005).Draw(t, "y")
				l.Path[k].Z += rapid.Float64Range(-0.005, 0.005).Draw(t, "z")
			}
		}
		other, found := Build(&shaken, Spec{})
		require.Empty(t, codes(found))
		sound(t, other)
		require.Len(t, other.Runs, len(net.Runs))
		for i := range net.Runs {
			require.Equal(t, net.Runs[i].Key.Line(), other.Runs[i].Key.Line())
			require.InDelta(t, float64(net.Runs[i].Flow), float64(other.Runs[i].Flow), 1e-12)
		}
	})
}

// Whatever is drawn, Build ends, and what it returns is sound.
func TestAnythingIsSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coord := rapid.Custom(func(t *rapid.T) float64 {
			return float64(rapid.IntRange(-6, 6).Draw(t, "grid"))*0.5 +
				rapid.SampledFrom([]float64{0, 0, 0, 0.01, 0.024, 0.05}).Draw(t, "off")
		})
		point := rapid.Custom(func(t *rapid.T) geom.Vec {
			return geom.Vec{X: coord.Draw(t, "x"), Y: coord.Draw(t, "y"),
				Z: rapid.SampledFrom([]float64{3, 3, 3, 3.01, 2.7, 4}).Draw(t, "z")}
		})
		air := rapid.SampledFrom([]duct.Air{duct.SUP, duct.SUP, duct.ETA})
		status := rapid.SampledFrom([]duct.Status{duct.New, duct.New, duct.Existing, duct.Removed, duct.Future})
		sk := &sketch.Sketch{}
		for i := range rapid.IntRange(0, 12).Draw(t, "lines") {
			k := fmt.Sprintf("A%d", i)
			l := sketch.Line{Key: key.Key(k), Handle: k, Air: air.Draw(t, "air"), Status: status.Draw(t, "status"),
				Flex:   rapid.IntRange(0, 4).Draw(t, "flex") == 0,
				Closed: rapid.IntRange(0, 9).Draw(t, "closed") == 0,
				Datum:  rapid.SampledFrom([]duct.Datum{duct.Centre, duct.Centre, duct.Bottom}).Draw(t, "datum")}
			for range rapid.IntRange(0, 4).Draw(t, "points") {
				l.Path = append(l.Path,
					geom.Vertex{Vec: point.Draw(t, "p"),
						Bulge: rapid.SampledFrom([]float64{0, 0, 0, 0.4, -1}).Draw(t, "bulge")})
			}
			sk.Lines = append(sk.Lines, l)
		}
		for i := range rapid.IntRange(0, 6).Draw(t, "terminals") {
			k, at := fmt.Sprintf("T%d", i), point.Draw(t, "at")
			sk.Terminals = append(sk.Terminals,
				sketch.Terminal{Key: key.Key(k), Handle: k, Air: air.Draw(t, "air"), Status: status.Draw(t, "status"),
					At:   at,
					Face: sketchtest.Square(at, 0.6, 0.6), Flow: 0.1,
					Conn: rapid.SampledFrom([]duct.Conn{duct.ConnUnknown, duct.ConnTop, duct.ConnSide}).Draw(t,
						"conn")})
		}
		for i := range rapid.IntRange(0, 3).Draw(t, "units") {
			k, at := fmt.Sprintf("U%d", i), point.Draw(t, "at")
			sk.Units = append(sk.Units,
				sketch.Unit{Key: key.Key(k), Handle: k, Air: air.Draw(t, "air"), Status: status.Draw(t, "status"),
					At:      at,
					Outline: sketchtest.Square(at, 0.9, 0.9)})
		}
		spec := Spec{FlexibleEnd: duct.Length(rapid.SampledFrom([]float64{0, 0.7}).Draw(t, "flexible end"))}
		net, found := Build(sk, spec)
		sound(t, net)
		back := *sk
		back.Lines, back.Terminals, back.Units = slices.Clone(sk.Lines), slices.Clone(sk.Terminals),
			slices.Clone(sk.Units)
		slices.Reverse(back.Lines)
		slices.Reverse(back.Terminals)
		slices.Reverse(back.Units)
		net2, found2 := Build(&back, spec)
		require.Equal(t, found.Sorted(), found2.Sorted())
		require.Equal(t, print(net), print(net2))
	})
}
