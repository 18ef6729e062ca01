package sketch_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/dxfio"
	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/sketch"
)

func TestLines(t *testing.T) {
	sk := read(t, mm(t, `
		line SK-SUP-DUCT 0,0,3000 0,0,4000
		pline SK-SUP-DUCT 0,0 1000,0;1 1000,2000 0,2000
		pline SK-SUP-DUCT 0,0 1000,0 1000,1000 closed
		arc SK-SUP-DUCT 0,0;0.5 1000,0
		spline SK-SUP-FLEX 0,0 500,100 1000,0
	`))
	require.Len(t, sk.Lines, 5)
	at(t, geom.Vec{Z: 4}, sk.Lines[0].Path[1].Vec) // a riser keeps its Z
	require.Equal(t, duct.Centre, sk.Lines[0].Datum)
	require.Equal(t, 1.0, sk.Lines[1].Path[1].Bulge)
	at(t, geom.Vec{X: 1, Y: 2, Z: 3.3}, sk.Lines[1].Path[2].Vec)
	require.True(t, sk.Lines[2].Closed)
	require.Equal(t, 0.5, sk.Lines[3].Path[0].Bulge)
	require.True(t, sk.Lines[4].Flex)
	require.Len(t, sk.Lines[4].Path, 3)
	require.EqualValues(t, "3", sk.Lines[2].Key)
}

// README, "The sketch": the Z of the geometry where it is not zero, else a note, else the setting for that air.
func TestElevationOfLines(t *testing.T) {
	for _, c := range []struct {
		text  string
		z     float64
		datum duct.Datum
	}{
		{"line SK-SUP-DUCT 0,0 9000,0", 3.3, duct.Centre},
		{"line SK-ETA-DUCT 0,0 9000,0", 3.9, duct.Centre}, // the setting
		{"line SK-SUP-DUCT 0,0 9000,0\ntext SK-SUP-NOTE 100,100 BOD 3000", 3, duct.Bottom},
		{"line SK-SUP-DUCT 0,0 9000,0\ntext SK-SUP-NOTE 100,100 TOD 3.6 m", 3.6, duct.Top},
		{"line SK-SUP-DUCT 0,0 9000,0\ntext SK-SUP-NOTE 100,100 EL 0", 0, duct.Centre},
		{"line SK-SUP-DUCT 0,0,3100 9000,0,3100\ntext SK-SUP-NOTE 100,100 CL 3100", 3.1, duct.Centre},
	} {
		sk, found := sketch.Read(mm(t, c.text), sketch.Rules{Elevation: map[duct.Air]duct.Length{duct.ETA: 3.9}})
		require.Empty(t, found, c.text)
		require.InDelta(t, c.z, sk.Lines[0].Path[0].Z, delta, c.text)
		require.InDelta(t, c.z, sk.Lines[0].Path[1].Z, delta, c.text)
		require.Equal(t, c.datum, sk.Lines[0].Datum, c.text)
	}
	sk, found := findings(mm(t, "line SK-SUP-DUCT 0,0,3100 9000,0,3100\ntext SK-SUP-NOTE 100,100 BOD 3000"))
	only(t, found, diag.Overruled, "2")
	require.InDelta(t, 3.1, sk.Lines[0].Path[0].Z, delta)
	// A slope from zero is a slope.
	sk = read(t, mm(t, "line SK-SUP-DUCT 0,0,0 9000,0,500"))
	require.Zero(t, sk.Lines[0].Path[0].Z)
}

func TestElevationOfTerminals(t *testing.T) {
	const ceilings = `
		pline SK-CEIL 0,0 9000,0 9000,9000 0,9000 closed
		text SK-CEIL 500,8000 2600
		pline SK-CEIL 1000,1000 4000,1000 4000,4000 1000,4000 closed
		text SK-CEIL 1200,3000 EL 2.4 m
	`
	for _, c := range []struct {
		text string
		z    float64
	}{
		{"point SK-SUP-TERM 20000,0", 2.7},
		{"point SK-SUP-TERM 5000,5000", 2.6},
		{"point SK-SUP-TERM 2000,2000", 2.4}, // the inner of two ceilings
		{"point SK-SUP-TERM 2000,2000,2000", 2},
		{"block SK-SUP-TERM 2000,2000 600,600 EL=2200", 2.2},
		{"block SK-SUP-TERM 2000,2000,2100 600,600", 2.1},
		{"point SK-SUP-TERM 2000,2000\ntext SK-SUP-NOTE 2000,2400 EL 2300", 2.3},
	} {
		sk := read(t, mm(t, c.text+ceilings))
		require.InDelta(t, c.z, sk.Terminals[0].At.Z, delta, c.text)
		for _, v := range sk.Terminals[0].Face {
			require.InDelta(t, c.z, v.Z, delta, c.text)
		}
	}
	require.InDelta(t, 9*0.3048, read(t, inches(t, "point SK-SUP-TERM 0,0")).Terminals[0].At.Z, delta)
}

func TestFaces(t *testing.T) {
	sk := read(t, mm(t, `
		circle SK-SUP-TERM 1000,1000 50
		block SK-SUP-TERM 5000,0 500,300
		block SK-SUP-TERM 9000,0 0,0
	`))
	side := func(i int) (w, h float64) {
		f := sk.Terminals[i].Face
		require.Len(t, f, 4)
		require.Positive(t, geom.PolygonRegion(f).Area())
		return f[0].Dist(f[1]), f[1].Dist(f[2])
	}
	for i, want := range [][2]float64{{0.6, 0.6}, {0.5, 0.3}, {0.6, 0.6}} {
		w, h := side(i)
		require.InDelta(t, want[0], w, delta)
		require.InDelta(t, want[1], h, delta)
	}
	require.False(t, sk.Terminals[0].Block)
	require.True(t, sk.Terminals[2].Block)
	w := read(t, inches(t, "point SK-SUP-TERM 0,0")).Terminals[0].Face
	require.InDelta(t, 24*0.0254, w[0].Dist(w[1]), delta)

	// A mirrored block's box runs clockwise; the face does not.
	d := mm(t, "block SK-SUP-TERM 5000,0 500,300\nblock SK-SUP-UNIT 9000,0 500,300")
	for _, e := range d.entities {
		slices.Reverse(e.Box)
	}
	sk = read(t, d)
	require.Positive(t, geom.PolygonRegion(sk.Terminals[0].Face).Area())
	require.Positive(t, geom.PolygonRegion(sk.Units[0].Outline).Area())
}

func TestUnitForms(t *testing.T) {
	sk := read(t, mm(t, `
		circle SK-SUP-UNIT 0,0 350
		pline SK-SUP-UNIT 2000,0 2000,600 3000,600 3000,0 closed
		pline SK-ETA-UNIT 5000,0 6000,0 6000,600 5000,600 5000,0
		block SK-SUP-UNIT 9000,0 900,700 mark=AHU_2 flow=0.5_m3/s esp=0.6_in.wg dp=40_Pa neck=400x300 EL=3000
		block SK-SUP-UNIT 12000,0 0,0
	`))
	require.Len(t, sk.Units, 5)
	at(t, geom.Vec{X: 0.35, Z: 3.3}, sk.Units[0].Outline[0])
	for _, u := range sk.Units {
		require.Positive(t, geom.PolygonRegion(u.Outline).Area())
		require.True(t, geom.PolygonRegion(u.Outline).Contains(u.At))
	}
	at(t, geom.Vec{X: 2.5, Y: 0.3, Z: 3.3}, sk.Units[1].At)
	require.Len(t, sk.Units[2].Outline, 4)
	u := sk.Units[3]
	require.Equal(t, "AHU 2", u.Mark)
	require.Equal(t, duct.Flow(0.5), u.Flow)
	require.Equal(t, 0.6*duct.InchOfWater, u.ESP)
	require.Equal(t, 40*duct.Pascal, u.Loss)
	require.Equal(t, duct.Rect, u.Neck.Shape)
	require.InDelta(t, 3, u.At.Z, delta)
	require.InDelta(t, 3, u.Outline[2].Z, delta)
}

func TestAttributes(t *testing.T) {
	sk := read(t, inches(t,
		`block SK-SUP-TERM 0,0 24,24 Mark=S-101 flow=220_cfm EL=9'-0" NECK=10" conn=side DP=0.05_in.wg COLOUR=red`))
	s := sk.Terminals[0]
	require.Equal(t, "S-101", s.Mark)
	require.InDelta(t, 220*0.0004719474, float64(s.Flow), 1e-8)
	require.InDelta(t, 2.7432, s.At.Z, delta)
	require.Equal(t, duct.RoundOf(10*duct.Inch), s.Neck)
	require.Equal(t, duct.ConnSide, s.Conn)
	require.Equal(t, 0.05*duct.InchOfWater, s.Loss)
	// Empty ones say nothing; bare sizes and elevations are in drawing units; a mark may be any words.
	sk = read(t, inches(t, "block SK-SUP-TERM 0,0 24,24 MARK= FLOW=- EL=108 NECK=18x10 CONN= DP=--"))
	require.Zero(t, sk.Terminals[0].Flow)
	require.Empty(t, sk.Terminals[0].Mark)
	require.InDelta(t, 2.7432, sk.Terminals[0].At.Z, delta)
	require.Equal(t, duct.RectOf(18*duct.Inch, 10*duct.Inch), sk.Terminals[0].Neck)
	require.Equal(t, "D 14 lobby",
		read(t, inches(t, "block SK-SUP-TERM 0,0 24,24 MARK=D_14_lobby CONN=top")).Terminals[0].Mark)

	for _, bad := range []string{"FLOW=220", "FLOW=-5_L/s", "FLOW=much", "FLOW=220_cfm_S-1", "FLOW=1,200_cfm",
		"EL=high", "NECK=0", "NECK=-10", "NECK=10_cfm",
		"DP=12", "DP=-1_Pa", "CONN=BOTTOM"} {
		_, found := findings(mm(t, "block SK-SUP-TERM 0,0 600,600 "+bad))
		got := only(t, found, diag.BadValue, "1")
		require.Contains(t, got.Text, bad[:2], bad)
	}
	_, found := findings(mm(t, "block SK-SUP-UNIT 0,0 600,600 ESP=lots"))
	only(t, found, diag.BadValue, "1")
	_, found = findings(mm(t, "block SK-SUP-TERM 0,0 600,600 EL=2.70"))
	require.Contains(t, only(t, found, diag.BadValue, "1").Text, "2.7 mm above zero")
}

// Everything that is no part of a sketch where it lies is reported and left out.
func TestBadGeometry(t *testing.T) {
	const good = "line SK-SUP-DUCT 0,0 900,0\n"
	for _, bad := range []string{
		"circle SK-SUP-DUCT 0,0 100", "point SK-SUP-DUCT 0,0", "spline SK-SUP-DUCT 0,0 1,1 2,0",
		"ellipse SK-SUP-FLEX 0,0 1,1",
		"line SK-SUP-TERM 0,0 900,0", "pline SK-SUP-TERM 0,0 900,0 900,900 closed", "line SK-SUP-UNIT 0,0 900,0",
		"point SK-SUP-UNIT 0,0",
		"pline SK-SUP-UNIT 0,0 900,0 900,900 0,900", "pline SK-SUP-UNIT 0,0 900,0 closed", "circle SK-SUP-UNIT 0,0 0",
		"line SK-SUP-DUCT 5,5 5,5", "line SK-SUP-DUCT 5,5 5.1,5.1", "line SK-SUP-DUCT 0,0 1e300,0",
		"line SK-SUP-DUCT 0,0 NaN,0", "pline SK-SUP-DUCT 0,0;NaN 900,0",
		"line SK-SUP-DUCT 0,0 0,Inf", "point SK-SUP-TERM 1e300,0", "circle SK-SUP-UNIT 0,NaN 100",
		"circle SK-SUP-UNIT 0,0 NaN", "block SK-SUP-UNIT 1e300,0 1,1",
		"line SK-LIMIT 0,0 900,0", "pline SK-CEIL 0,0 900,0 900,900", "circle SK-RATED 0,0 100",
		"circle SK-SUP-NOTE 0,0 100",
		"line SK-SUP-NOTE 0,0 900,0", "text SK-SUP-NOTE 1e300,0 S-1", "pline SK-SUP-DUCT 0,0 0,0",
		"pline SK-SUP-DUCT 0,0;1e200 900,0", "pline SK-SUP-UNIT 0,0;1e200 900,0 900,900 closed",
	} {
		sk, found := findings(mm(t, good+bad))
		only(t, found, diag.BadGeometry, "2")
		require.Len(t, sk.Lines, 1, bad)
		require.Empty(t, sk.Units, bad)
	}
	// Pieces without length are dropped, the rest is kept.
	sk, found := findings(mm(t, "pline SK-SUP-DUCT 0,0 500,0 500,0 900,0 900,900 0,0 closed"))
	require.Contains(t, only(t, found, diag.BadGeometry, "1").Text, "2 pieces")
	require.Len(t, sk.Lines[0].Path, 4)
	// An arc after a piece without length stays an arc.
	sk, _ = findings(mm(t, "pline SK-SUP-DUCT 0,0 500,0 500,0;1 900,0"))
	require.Equal(t, 1.0, sk.Lines[0].Path[1].Bulge)
}

func TestTroublesOfTheDrawing(t *testing.T) {
	d := mm(t, "line SK-SUP-DUCT 0,0 900,0")
	d.troubles = []dxfio.Trouble{{Handle: "2F", At: "line 12", Code: "bad-geometry", Text: "A LINE has no end."}}
	_, found := findings(d)
	require.Contains(t, only(t, found, diag.BadGeometry, "2F").Text, "line 12")
	d.troubles = []dxfio.Trouble{{Handle: "30", Code: "bad-block", Text: "The block A is missing."}}
	_, found = findings(d)
	only(t, found, diag.BadBlock, "30")
}

func TestZones(t *testing.T) {
	sk := read(t, mm(t, `
		line SK-SUP-DUCT 0,0 9000,0
		pline SK-LIMIT 0,0 0,1000 1000,1000 1000,0 closed
		text SK-LIMIT 100,500 EL 3000
		circle SK-CEIL 5000,5000 2000
		mtext SK-CEIL 4500,5000 2.6 m
		pline SK-CEIL 0,9000,2800 1000,9000,2800 1000,9900,2800 closed
		line SK-RATED 0,500 9000,500
		pline SK-RATED 0,0 100,0 100,100 closed
	`))
	require.Len(t, sk.Limits, 1)
	require.InDelta(t, 3, sk.Limits[0].Underside, delta)
	require.Positive(t, geom.PolygonRegion(sk.Limits[0].Outline).Area())
	require.Len(t, sk.Ceilings, 2)
	require.InDelta(t, 2.6, sk.Ceilings[0].Height, delta)
	require.InDelta(t, 2.8, sk.Ceilings[1].Height, delta)
	require.Len(t, sk.Rated, 2)
	require.Len(t, sk.Rated[1].Path, 4)
	_, found := findings(mm(t, "line SK-SUP-DUCT 0,0 9000,0\npline SK-LIMIT 0,0 0,1000 1000,1000 closed"))
	require.Contains(t, only(t, found, diag.BadValue, "2").Text, "limit")
	_, found = findings(mm(t,
		"line SK-SUP-DUCT 0,0 9000,0\npline SK-CEIL 0,0 0,1000 1000,1000 closed\ntext SK-CEIL 0,100 hallo"))
	require.Len(t, found, 2)
}

// An arc too flat to be distinguished from its chord is straight.
func TestFlatArc(t *testing.T) {
	sk := read(t, mm(t, "pline SK-SUP-DUCT 0,0;1e-300 900,0"))
	require.Zero(t, sk.Lines[0].Path[0].Bulge)
}

// Nothing a drawing may hold makes the reader panic, hang, or return what is no place.
func TestAnyDrawing(t *testing.T) {
	layers := []string{"SK-SUP-DUCT", "SK-SUP-FLEX", "SK-SUP-TERM", "SK-SUP-UNIT", "SK-SUP-NOTE", "SK-LIMIT", "SK-CEIL",
		"SK-RATED", "SK-X", "0", "A-WALL"}
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.OneOf(rapid.Float64Range(-2000, 2000),
			rapid.SampledFrom([]float64{0, 0, 0, 1, 1e-9, 1e300, math.NaN(), math.Inf(1), 3e10}))
		point := rapid.Custom(func(t *rapid.T) dxfio.Point {
			return dxfio.Point{X: number.Draw(t, "x"), Y: number.Draw(t, "y"), Z: number.Draw(t, "z")}
		})
		var entity func(depth int) *rapid.Generator[*dxfio.Entity]
		d := &drawing{units: 4, measurement: -1, inner: map[*dxfio.Entity][]*dxfio.Entity{}}
		entity = func(depth int) *rapid.Generator[*dxfio.Entity] {
			return rapid.Custom(func(t *rapid.T) *dxfio.Entity {
				e := &dxfio.Entity{
					Kind:   dxfio.Kind(rapid.IntRange(0, 12).Draw(t, "kind")),
					Layer:  rapid.SampledFrom(layers).Draw(t, "layer"),
					Handle: rapid.SampledFrom([]string{"", "A", "B", "C"}).Draw(t, "handle"),
					Closed: rapid.Bool().Draw(t, "closed"),
					Center: point.Draw(t, "centre"), Radius: number.Draw(t, "radius"), Height: number.Draw(t, "height"),
					Angle: number.Draw(t, "angle"),
					Value: rapid.SampledFrom([]string{"", "S-1", "ø200", "100 L/s", "2700", "rect CL 3000", "nonsense",
						"\xff"}).Draw(t, "value"),
					Box: rapid.SliceOfN(point, 0, 5).Draw(t, "box"), Path: make([]string, depth),
				}
				for _, p := range rapid.SliceOfN(point, 0, 4).Draw(t, "vertices") {
					e.Vertices = append(e.Vertices, dxfio.Vertex{Point: p, Bulge: number.Draw(t, "bulge")})
				}
				if rapid.Bool().Draw(t, "attributes") {
					e.Attribs = []dxfio.Attrib{{Tag: rapid.SampledFrom([]string{"MARK", "FLOW", "EL", "NECK", "DP",
						"CONN", "ESP"}).Draw(t, "tag"), Value: e.Value}}
				}
				if e.Kind == dxfio.KindInsert && depth < 2 {
					d.inner[e] = rapid.SliceOfN(entity(depth+1), 0, 3).Draw(t, "inside")
				}
				return e
			})
		}
		d.entities = rapid.SliceOfN(entity(0), 0, 8).Draw(t, "entities")
		sk, _ := findings(d)
		for _, l := range sk.Lines {
			require.GreaterOrEqual(t, len(l.Path), 2)
			for _, v := range l.Path {
				require.True(t, geom.Finite(v.Vec))
			}
			for _, n := range l.Notes {
				require.True(t, geom.Finite(n.At))
			}
		}
		for _, x := range sk.Terminals {
			require.True(t, geom.Finite(x.At))
			require.Len(t, x.Face, 4)
			require.GreaterOrEqual(t, float64(x.Flow), 0.0)
		}
		for _, u := range sk.Units {
			require.True(t, geom.Finite(u.At))
			for _, v := range u.Outline {
				require.True(t, geom.Finite(v))
			}
		}
	})
}

// Blocks of any depth are looked into, but not the picture of a terminal or a unit.
func TestNested(t *testing.T) {
	sk := read(t, mm(t, `
		block 0 0,0 9000,9000
		> block A-1 0,0 9000,9000
		>> line SK-SUP-DUCT 0,0 9000,0
		>> text SK-SUP-NOTE 4000,100 ø160
		> block SK-SUP-TERM 9000,0 600,600
		>> circle 0 9000,0 100
		>> text 0 9000,0 not a note
		>> block 0 9000,0 10,10
		>>> line 0 9000,0 9100,0
		>> line SK-SUP-FLEX 9000,0 9000,900
		> block SK-SUP-DUCT 0,0 1,1
		>> line 0 0,5000 900,5000
		block SK-SUP-UNIT 0,0 500,500
		> line SK-SUP-UNIT 0,0 100,100
		circle SK-SUP-TERM 9000,9000 100
	`))
	require.Len(t, sk.Lines, 3)
	require.EqualValues(t, "1.2.3", sk.Lines[0].Key)
	require.Equal(t, "3", sk.Lines[0].Handle)
	require.Len(t, sk.Lines[0].Notes, 1)
	require.True(t, sk.Lines[1].Flex)
	require.EqualValues(t, "1.5.A", sk.Lines[1].Key)
	require.EqualValues(t, "1.B.C", sk.Lines[2].Key)
	require.Len(t, sk.Terminals, 2)
	require.Len(t, sk.Units, 1)
}

// Things of one handle, as in rows and columns of an insert, and things with none have keys of their own.
func TestKeys(t *testing.T) {
	d := mm(t, "point SK-SUP-TERM 9000,0\npoint SK-SUP-TERM 3000,0\npoint SK-SUP-TERM 6000,0\nline SK-SUP-DUCT 0,0 9000,0")
	for _, e := range d.entities {
		e.Handle = "7"
	}
	sk := read(t, d)
	for i, want := range []string{"7", "7+2", "7+3"} {
		require.EqualValues(t, want, sk.Terminals[i].Key)
		require.InDelta(t, 3*float64(i+1), sk.Terminals[i].At.X, delta)
	}
	d = mm(t, "point SK-SUP-TERM 9000,0\nline SK-SUP-DUCT 0,0 9000,0\nline SK-SUP-DUCT 0,0 9000,0")
	for _, e := range d.entities {
		e.Handle = ""
	}
	sk = read(t, d)
	require.EqualValues(t, "@9000_0_0", sk.Terminals[0].Key)
	require.EqualValues(t, "@0_0_0_9000_0_0", sk.Lines[0].Key)
	require.EqualValues(t, "@0_0_0_9000_0_0+2", sk.Lines[1].Key)
}

func TestObstacles(t *testing.T) {
	sk := read(t, mm(t, `
		off A-OFF
		line SK-SUP-DUCT 0,0 9000,0
		text A-ROOM 100,100 KITCHEN
		text A-OFF 100,300 hidden
		text A-FAR 100,9000 far away
		mtext 0 100,500 note
		text SK-SUP-NOTE 4000,100 ø160
		block A-TAGS 0,0 1,1
		> text 0 500,500 TAG
		>> text A-FAR 500,500 x
		line A-WALL 0,0 1,1
	`))
	var handles []string
	for _, o := range sk.Obstacles {
		require.Len(t, o.Corners, 4)
		handles = append(handles, o.Handle)
	}
	require.Equal(t, []string{"2", "5", "6", "8"}, handles)
	require.True(t, sk.Obstacles[2].Own, "a note of the sketch")
	require.False(t, sk.Obstacles[0].Own)
	at(t, geom.Vec{X: 0.1, Y: 0.1}, sk.Obstacles[0].Corners[0])
	at(t, geom.Vec{X: 0.59, Y: 0.2}, sk.Obstacles[0].Corners[2])
}

// The order of the entities in the drawing does not show.
func TestOrderOfEntities(t *testing.T) {
	const text = `
		circle SK-SUP-UNIT 0,0 350
		text SK-SUP-UNIT 0,500 AHU-1 400 m3/h
		line SK-SUP-DUCT 350,0 4000,0
		line SK-SUP-DUCT 4000,0 8000,0
		line SK-SUP-DUCT 4000,0 4000,3000
		text SK-SUP-NOTE 2000,200 rect H<=250 CL 3300
		text SK-SUP-NOTE 2000,400 CL 3400
		text SK-SUP-NOTE 5000,200 ø200 singel
		text SK-SUP-NOTE 4250,250 ø160
		circle SK-SUP-TERM 4000,3000 150
		text SK-SUP-TERM 4400,3060 S-1
		text SK-SUP-TERM 4400,2820 300 m3/h
		text SK-SUP-TERM 4400,2700 310 m3/h
		point SK-SUP-TERM 8000,0
		text SK-SUP-NOTE 8400,0 S-2 250 m3/h 12 Pa
		text A-ROOM 100,100 KITCHEN
		block SK-ETA-TERM 0,5000 600,600 FLOW=no
		text SK-ETA-NOTE 9000,9000 S-2
		line SK-SUP-DUCTS 0,0 1,0
		line SK-SUP-DUCT 1,1 1,1
		pline SK-CEIL 0,0 9000,0 9000,9000 0,9000 closed
		text SK-CEIL 1000,1000 2600
		leader SK-SUP-NOTE 2000,0 5000,180
	`
	whole := mm(t, text)
	want, wantFound := findings(whole)
	require.NotEmpty(t, wantFound)
	rapid.Check(t, func(rt *rapid.T) {
		d := *whole
		d.entities = rapid.Permutation(whole.entities).Draw(rt, "order")
		got, found := findings(&d)
		if fmt.Sprintf("%+v", got) != fmt.Sprintf("%+v", want) ||
			fmt.Sprintf("%+v", found) != fmt.Sprintf("%+v", wantFound) {
			rt.Fatalf("got\n%+v\n%+v\nwant\n%+v\n%+v", got, found, want, wantFound)
		}
	})
}
