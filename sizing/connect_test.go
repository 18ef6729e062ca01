package sizing_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/sizing"
	"twinline/sizing/internal/checks"
)

// fittingOf returns the only fitting of a kind.
func fittingOf(t *testing.T, des *duct.Design, kind duct.FittingKind) duct.Fitting {
	t.Helper()
	var out []duct.Fitting
	for _, f := range des.Fittings {
		if f.Kind == kind {
			out = append(out, f)
		}
	}
	require.Len(t, out, 1, "fittings of kind %v", kind)
	return out[0]
}

// Which side of a rectangular size lies in the plane of its bend decides C1(H/W), H the other side over that one. The
// duct is 800 by 400 with 10 m/s: Dh 533 mm, Re 3.5e5, so that kRe is 1; r is 1.5 times the side in the plane. By hand
// C = 1 x 0.17 x C1: 0.17 x 1.17 = 0.1989 where the 800 lies in the plane (H/W 0.5), 0.17 x 0.85 = 0.1445 where the 400
// does (H/W 2).
// Source: Idelchik, Handbook of Hydraulic Resistance, diagram 6-1; rows BA07 (A1 90 degrees, 1), BB08 (B1 1.5, 0.17),
// BC02 and BC06.
func TestSideInThePlaneOfTheBend(t *testing.T) {
	const long, short = 0.17 * 1.17, 0.17 * 0.85
	alongX, alongY := geom.Vec{X: 1}, geom.Vec{Y: 1}
	for _, c := range []struct {
		name      string
		across    geom.Vec // of the riser, the direction its 800 lie in
		riseFirst bool     // the riser comes first, seen from the unit
		turn      float64  // of the level duct against X, degrees
		want      float64
	}{
		{"out of a riser along its width", alongX, true, 0, long},
		{"out of a riser across its width", alongX, true, 90, short},
		{"out of a riser back along its width", alongX, true, 180, long},
		{"out of a riser turned a quarter", alongY, true, 0, short},
		{"out of a riser turned a quarter, along it", alongY, true, -90, long},
		{"out of a riser of no stated direction", geom.Vec{}, true, 0, long},
		{"level into a riser: the height", alongX, false, 0, short},
		{"level into a riser turned a quarter: the height", alongY, false, 0, short},
	} {
		for _, air := range []duct.Air{duct.SUP, duct.ETA} {
			for _, rise := range []float64{6, -6} {
				t.Run(fmt.Sprintf("%s, %v, %+.0f m", c.name, air, rise), func(t *testing.T) {
					spec := duct.Spec{Fixed: duct.RectOf(0.8, 0.4)}
					end := to("b", 6, c.turn, duct.Flow(10*0.32), 0)
					root := line("a", 0, 0, end)
					root.rise = rise
					if !c.riseFirst {
						end.length, end.rise = 0, rise
						root = line("a", 6, c.turn, end)
					}
					root.spec, root.next[0].spec = spec, spec
					net := network(air, root)
					for i := range net.Runs {
						net.Runs[i].Across = c.across
					}
					des, _ := sizing.Solve(net, metric())
					f := fittingOf(t, des, duct.DropConn)
					side := 0.8
					if c.want == short {
						side = 0.4
					}
					require.InDelta(t, 1.5*side, float64(f.Radius), 1e-9, "radius by the side in the plane")
					require.InDelta(t, c.want, f.C, 1e-9)
					pv := 1.204 * 10 * 10 / 2 // to the fourth digit of the density
					require.InEpsilon(t, c.want*pv, float64(f.Loss), 1e-4)
				})
			}
		}
	}
}

// A level bend has its width in the plane; one that climbs at a slope has its height there.
// Source: as above; the sloping duct turns by atan(6/6) = 45 degrees: A1 0.60, row BA04.
func TestSideInThePlaneOfALevelOrSlopingBend(t *testing.T) {
	spec := duct.Spec{Fixed: duct.RectOf(0.8, 0.4)}
	flat := to("b", 6, 90, duct.Flow(3.2), 0)
	climbs := to("b", 6, 0, duct.Flow(3.2), 0)
	climbs.rise = 6
	for _, c := range []struct {
		end  piece
		want float64
	}{{flat, 0.17 * 1.17}, {climbs, 0.60 * 0.17 * 0.85}} {
		root := line("a", 6, 0, c.end)
		root.spec, root.next[0].spec = spec, spec
		des, _ := sizing.Solve(network(duct.SUP, root), metric())
		require.InDelta(t, c.want, fittingOf(t, des, duct.Elbow).C, 1e-9)
	}
}

// besides returns a network of one duct that comes to a terminal from the side, where a box over the neck takes it up;
// face is that of its block, nil for a terminal drawn without one.
func besides(air duct.Air, d, neck duct.Size, face []geom.Vec) *duct.Network {
	p := to("a", 6, 0, litres(100), 0)
	p.spec, p.neck = duct.Spec{Fixed: d}, neck
	net := network(air, p)
	x := &net.Terminals[0]
	x.Block = face != nil
	x.At.X += 0.15 // the duct ends before its middle
	net.Nodes[x.Node].At = x.At
	x.Face = face
	if face == nil {
		x.Face = faceOf(geom.Vec{}, 0.3, 0.3) // from the settings: it says nothing about the box
	}
	for i := range x.Face {
		x.Face[i] = x.Face[i].Add(x.At)
	}
	return net
}

func faceOf(at geom.Vec, w, h float64) []geom.Vec {
	return []geom.Vec{{X: -w / 2, Y: -h / 2}, {X: w / 2, Y: -h / 2}, {X: w / 2, Y: h / 2}, {X: -w / 2, Y: h / 2}}
}

// A duct that meets a terminal from the side blows into a box over its neck, as large as the face of its block. The
// turn adds 1.
// Source: rows BX00 to BX07 of 05f (Borda-Carnot, Idelchik diagram 4-9); the turn is common practice.
func TestTerminalFromTheSide(t *testing.T) {
	compared := 0
	for _, r := range checks.Read(t, "05f_dampers_offsets_boots_flex.csv") {
		if !strings.HasPrefix(r.ID(), "BX") {
			continue
		}
		compared++
		var w, h float64
		_, err := fmt.Sscanf(r.Text("params")[strings.Index(r.Text("params"), "plenum_mm=")+len("plenum_mm="):],
			"%fx%f", &w, &h)
		require.NoError(t, err)
		d, n := duct.RoundOf(mm(r.Param("D_duct_mm"))[0]), duct.RoundOf(mm(r.Param("D_neck_mm"))[0])
		des, _ := sizing.Solve(besides(duct.SUP, d, n, faceOf(geom.Vec{}, w/1000, h/1000)), metric())
		f := fittingOf(t, des, duct.TerminalConn)
		require.InEpsilon(t, r.Num("C")+1, f.C, 1e-6, r.ID())
		require.Equal(t, "own", f.Reference)
		v := 0.1 / (math.Pi / 4 * math.Pow(r.Param("D_duct_mm")/1000, 2))
		require.InEpsilon(t, (r.Num("C")+1)*1.204*v*v/2, float64(f.Loss), 1e-4, r.ID())
		// Extract, the other way about: out of the neck into the box, out of the box into the duct.
		ad, an, ap := math.Pow(r.Param("D_duct_mm"), 2)*math.Pi/4, math.Pow(r.Param("D_neck_mm"), 2)*math.Pi/4, w*h
		want := math.Pow((1-an/ap)*ad/an, 2) + 0.5*math.Pow(1-ad/ap, 0.75) + 1
		des, _ = sizing.Solve(besides(duct.ETA, d, n, faceOf(geom.Vec{}, w/1000, h/1000)), metric())
		require.InEpsilon(t, want, fittingOf(t, des, duct.TerminalConn).C, 1e-6, r.ID())
	}
	require.Equal(t, 8, compared)
}

// By hand, where less is known: a terminal that is no block says nothing about its box, which then counts as large,
// (1 - 0)^2 + 0.5 (Ad/An)^2 + 1; without a neck noted it has the size of the duct.
// Source: Borda-Carnot and Idelchik diagram 4-9 with Ap without end; the turn is common practice.
func TestTerminalFromTheSideOfALargeBox(t *testing.T) {
	d200, d250 := duct.RoundOf(0.2), duct.RoundOf(0.25)
	for _, c := range []struct {
		neck duct.Size
		want float64
	}{{d250, 1 + 0.5*math.Pow(0.64, 2) + 1}, {duct.Size{}, 1 + 0.5 + 1}} {
		des, _ := sizing.Solve(besides(duct.SUP, d200, c.neck, nil), metric())
		require.InDelta(t, c.want, fittingOf(t, des, duct.TerminalConn).C, 1e-9)
	}
	// A box smaller than what it joins cannot be: it counts as large as the larger of them. 200 mm into 250 mm:
	// (1 - 0.64)^2 + 0 + 1.
	des, _ := sizing.Solve(besides(duct.SUP, d200, d250, faceOf(geom.Vec{}, 0.1, 0.1)), metric())
	require.InDelta(t, 0.36*0.36+1, fittingOf(t, des, duct.TerminalConn).C, 1e-9)
}

// A bend before a change of size has the size of the duct before it; its coefficient is on the velocity there, and says
// so. By hand: 100 l/s in 250 mm, 2.0372 m/s, 2.4984 Pa; the run goes on with 200 mm.
func TestBendBeforeAChangeOfSize(t *testing.T) {
	b := to("b", 6, 90, litres(100), 0)
	b.spec = round(200)
	a := line("a", 6, 0, b)
	a.spec = round(250)
	des, _ := sizing.Solve(network(duct.SUP, a), metric())
	f := fittingOf(t, des, duct.Elbow)
	require.Equal(t, "fitting", f.Reference)
	require.InDelta(t, 2.4984, float64(f.Pv), 1e-3)
	require.InDelta(t, f.C*float64(f.Pv), float64(f.Loss), 1e-9)
	a.next[0].spec = a.spec
	des, _ = sizing.Solve(network(duct.SUP, a), metric())
	require.Equal(t, "own", fittingOf(t, des, duct.Elbow).Reference)
}

// Where the terminal is said to be connected from the side the neck is there: the duct changes to it, and air of the
// velocity in the neck turns in the box. By hand: a duct of 250 mm on a neck of 200 mm, (BX00 + 1) (Ad/An)^2 with BX00
// of 05f: 200 mm into 300 mm square and out at 200 mm, both ways; the change of size is 25 mm on each side and so as
// short as any, 100 mm.
func TestNeckOnTheSide(t *testing.T) {
	const bx00 = 0.786060704
	d200, d250 := duct.RoundOf(0.2), duct.RoundOf(0.25)
	for air, kind := range map[duct.Air]duct.FittingKind{duct.SUP: duct.Reducer, duct.ETA: duct.Expander} {
		net := besides(air, d250, d200, faceOf(geom.Vec{}, 0.3, 0.3))
		net.Terminals[0].Conn = duct.ConnSide
		des, _ := sizing.Solve(net, metric())
		f := fittingOf(t, des, duct.TerminalConn)
		require.InEpsilon(t, (bx00+1)*math.Pow(250./200, 4), f.C, 1e-6)
		v := 0.1 / (math.Pi / 4 * 0.25 * 0.25)
		require.InEpsilon(t, (bx00+1)*math.Pow(250./200, 4)*1.204*v*v/2, float64(f.Loss), 1e-4)
		change := fittingOf(t, des, kind)
		require.Equal(t, f.Run, change.Run)
		require.Equal(t, f.Node, change.Node)
		require.Equal(t, [2]duct.Size{d250, d200}, [2]duct.Size{change.Common, change.Own})
		require.InDelta(t, 0.1, float64(change.Length), 1e-9)
		require.Positive(t, float64(change.Loss))
		// As large as the duct, and where none is noted: BX00 + 1, no change of size.
		for _, neck := range []duct.Size{d200, {}} {
			net = besides(air, d200, neck, faceOf(geom.Vec{}, 0.3, 0.3))
			net.Terminals[0].Conn = duct.ConnSide
			des, _ = sizing.Solve(net, metric())
			require.InEpsilon(t, bx00+1, fittingOf(t, des, duct.TerminalConn).C, 1e-6)
			for _, g := range des.Fittings {
				require.NotEqual(t, kind, g.Kind)
			}
		}
	}
}
