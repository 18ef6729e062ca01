package sketch

import (
	"cmp"
	"slices"
	"strings"

	"twinline/dxfio"
	"twinline/layout/geom"
	"twinline/layout/key"
)

// around is how far beyond the sketch, in metres, texts of others are kept clear of: no
// label lies farther from its duct.
const around = 5

// mostObstacles bounds what a damaged drawing can make us keep.
const mostObstacles = 200_000

// nearWalker is a source that can pass over what is far away; see dxfio.Document.WalkNear.
type nearWalker interface {
	WalkNear(area dxfio.Area, reach float64, want func(dxfio.Kind, string) bool,
		visit func(*dxfio.Entity) bool) []dxfio.Trouble
}

// What lines of others are kept. Labels do without what is more than that.
const (
	nearDuct    = 2.5     // metres from a duct, a terminal or a unit
	mostStrokes = 100_000 // in all
	mostChords  = 64      // of one entity
	strokeChord = 0.05    // metres a chord may stray from its curve
	leastStroke = 0.01    // metres: the shortest that is kept
	longStroke  = 30      // metres: a line that begins farther from the sketch is passed over
)

// surroundings returns what is drawn among the sketch, in blocks as well: its own texts and those of others,
// and the lines of others, with those of limits, ceilings and rated walls.
func surroundings(src Source, f frame, layers *layerBook, sk *Sketch) ([]Obstacle, []Stroke) {
	s := &surveyor{frame: f, layers: layers, area: geom.BoxOf()}
	s.measure(sk)
	if s.area.MinX > s.area.MaxX {
		return nil, nil
	}
	s.area = s.area.Grow(around)
	walk := src.Walk
	if near, ok := src.(nearWalker); ok { // in a large drawing this passes over most of it
		u := float64(f.unit)
		area := dxfio.Area{MinX: s.area.MinX / u, MinY: s.area.MinY / u, MaxX: s.area.MaxX / u, MaxY: s.area.MaxY / u}
		walk = func(want func(dxfio.Kind, string) bool, visit func(*dxfio.Entity) bool) []dxfio.Trouble {
			return near.WalkNear(area, longStroke/u, want, visit)
		}
	}
	walk(s.wants, func(e *dxfio.Entity) bool {
		switch e.Kind {
		case dxfio.KindLine, dxfio.KindPolyline, dxfio.KindArc, dxfio.KindCircle:
			s.addStrokes(e)
		default:
			s.addObstacle(e)
		}
		return false
	})
	slices.SortStableFunc(s.obstacles, func(a, b Obstacle) int {
		return cmp.Or(key.Compare(a.Handle, b.Handle), slices.CompareFunc(a.Corners, b.Corners, geom.Vec.Compare))
	})
	return s.obstacles, s.strokes
}

// surveyor looks at what stands around the sketch.
type surveyor struct {
	frame
	layers    *layerBook
	area      geom.Box   // in which texts count
	near      geom.Index // the ground in which lines count
	obstacles []Obstacle
	strokes   []Stroke
}

// measure finds the ground the sketch covers.
func (s *surveyor) measure(sk *Sketch) {
	n := 0
	add := func(b geom.Box) {
		if b.MinX <= b.MaxX {
			s.area = s.area.Join(b)
			s.near.Insert(b.Grow(nearDuct), n)
			n++
		}
	}
	for i := range sk.Lines {
		for _, c := range sk.Lines[i].Path.Curves(sk.Lines[i].Closed) {
			add(c.Box())
		}
	}
	for i := range sk.Terminals {
		add(geom.BoxOf(sk.Terminals[i].Face...))
	}
	for i := range sk.Units {
		add(geom.BoxOf(sk.Units[i].Outline...))
	}
}

// wants reports whether what lies on a layer may be in the way of labels: texts, and lines but those that are drawn
// anew.
func (s *surveyor) wants(kind dxfio.Kind, layer string) bool {
	switch kind {
	case dxfio.KindText, dxfio.KindMText:
		return !s.layers.hidden(layer)
	case dxfio.KindLine, dxfio.KindPolyline, dxfio.KindArc, dxfio.KindCircle:
		l, ok := s.scheme.layer(layer)
		drawnAnew := s.scheme.claims(layer) &&
			!(ok && (l.Part == PartLimit || l.Part == PartCeiling || l.Part == PartRated))
		return !s.layers.hidden(layer) && !drawnAnew
	case dxfio.KindInsert:
		// What a frozen insert holds does not show; every other one is looked into unasked.
		return s.layers.frozen(layer)
	case dxfio.KindPoint, dxfio.KindSpline, dxfio.KindEllipse, dxfio.KindLeader:
	}
	return false
}

// addObstacle keeps a text near the sketch.
func (s *surveyor) addObstacle(e *dxfio.Entity) {
	if s.layers.hidden(e.Layer) || strings.TrimSpace(e.Value) == "" || len(s.obstacles) >= mostObstacles {
		return
	}
	if corners := s.corners(e); corners != nil && geom.BoxOf(corners...).Meets(s.area) {
		s.obstacles = append(s.obstacles, Obstacle{e.Handle, corners, s.scheme.claims(e.Layer)})
	}
}

// addStrokes keeps what of a line of others is near the sketch.
func (s *surveyor) addStrokes(e *dxfio.Entity) {
	path, closed := s.path(e), e.Closed
	if e.Kind == dxfio.KindCircle {
		c, rad := s.vec(e.Center), e.Radius*float64(s.unit)
		path = geom.Path{{Vec: c.Sub(geom.Vec{X: rad}), Bulge: 1}, {Vec: c.Add(geom.Vec{X: rad}), Bulge: 1}}
		closed = true
	}
	chords := 0
	for _, c := range path.Curves(closed) {
		if !geom.Finite(c.A) || !geom.Finite(c.B) || !s.near.Any(c.Box()) {
			continue
		}
		pts := []geom.Vec{c.A, c.B}
		if !c.Straight() {
			pts = c.Flatten(strokeChord)
		}
		for i := 1; i < len(pts); i++ {
			a, b := pts[i-1].Plan(), pts[i].Plan()
			if a.PlanDist(b) < leastStroke {
				continue
			}
			if chords++; chords > mostChords || len(s.strokes) >= mostStrokes {
				return
			}
			s.strokes = append(s.strokes, Stroke{a, b})
		}
	}
}
