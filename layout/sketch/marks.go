package sketch

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"twinline/dxfio"
	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// A mark is a line, terminal, unit or outline as it is read, with what is still to be settled
// once all notes are known.
type (
	lineMark struct {
		Line
		levels []claim
	}
	terminalMark struct {
		Terminal
		claims [topics][]claim
		index  int // of its entity, to tell marks with the same key and place apart
	}
	unitMark struct {
		Unit
		claims [topics][]claim
		index  int
	}
	zone struct {
		key, handle string
		part        Part
		outline     []geom.Vec
		area        float64
		levels      []claim
	}
)

// claim is one value somebody gave for one thing.
type claim struct {
	part
	handle    string // of the text, or of the insert the attribute belongs to
	attribute bool
}

// circleSides is how many corners stand for a circle; four of them lie on the axes, where ducts end.
const circleSides = 48

// flat is how far a chord may lie from its arc, in metres, where an outline has to be a polygon.
const flat = 0.001

// addLine reads a centreline.
func (r *reader) addLine(e *dxfio.Entity, l Layer) {
	const kinds = "Draw ducts with LINE, polylines and ARC; flexible ducts with SPLINE too."
	switch e.Kind {
	case dxfio.KindLine, dxfio.KindPolyline, dxfio.KindArc:
	case dxfio.KindSpline:
		if l.Part != PartFlex {
			r.badKind(e, "A SPLINE is read on a FLEX layer alone; draw rigid duct with lines and arcs.")
			return
		}
	case dxfio.KindInsert:
		return // what is inside is offered next
	default:
		r.badKind(e, kinds)
		return
	}
	path, dropped, ok := r.cleanPath(e)
	if !ok {
		return
	}
	if len(path) < 2 {
		r.bad(e, "A duct line has no length and was left out.", "Erase it, or draw it anew.")
		return
	}
	if dropped > 0 {
		r.bad(e, fmt.Sprintf("A duct line has %d pieces without length, which were left out.", dropped),
			"Nothing has to be done; erasing the double points is tidier.")
	}
	r.lines = append(r.lines, lineMark{Line: Line{Key: r.key(e), Handle: e.Handle, Layer: e.Layer, Air: l.Air, Status: l.Status,
		Flex: l.Part == PartFlex, Closed: e.Closed, Path: path}})
}

// cleanPath returns the vertices of e in metres without pieces that have no length, and how
// many of those there were. ok is false, and a finding made, when a vertex is no point.
func (r *reader) cleanPath(e *dxfio.Entity) (out geom.Path, dropped int, ok bool) {
	for _, v := range r.path(e) {
		if !geom.Finite(v.Vec) || math.IsNaN(v.Bulge) || math.IsInf(v.Bulge, 0) {
			r.bad(e, fmt.Sprintf("%s has a coordinate that is no number or is farther away than any building.", kindName(e.Kind)),
				"Draw it anew, or move the drawing nearer to its origin.")
			return nil, 0, false
		}
		n := len(out)
		if n > 0 && v.Dist(out[n-1].Vec) < geom.Shortest {
			dropped++
			out[n-1].Bulge = v.Bulge
			if n > 1 { // the last of several points in one place is where the drafter went on from
				out[n-1].Vec = v.Vec
			}
			continue
		}
		out = append(out, v)
	}
	if n := len(out); e.Closed && n > 1 && out[0].Dist(out[n-1].Vec) < geom.Shortest {
		out, dropped = out[:n-1], dropped+1
	}
	for i := range out {
		c := geom.Curve{A: out[i].Vec, B: out[(i+1)%len(out)].Vec, Bulge: out[i].Bulge}
		if c.Straight() || c.Radius() <= geom.Farthest {
			continue
		}
		if math.Abs(c.Bulge) > 1 {
			r.bad(e, fmt.Sprintf("%s has an arc larger than any building.", kindName(e.Kind)), "Draw the arc anew.")
			return nil, 0, false
		}
		out[i].Bulge = 0 // as good as straight
	}
	return out, dropped, true
}

// addTerminal reads an air terminal.
func (r *reader) addTerminal(e *dxfio.Entity, l Layer) {
	if e.Kind != dxfio.KindInsert && e.Kind != dxfio.KindCircle && e.Kind != dxfio.KindPoint {
		r.badKind(e, "Draw an air terminal as a block, a CIRCLE or a POINT.")
		return
	}
	t := terminalMark{Terminal: Terminal{Key: r.key(e), Handle: e.Handle, Layer: e.Layer, Air: l.Air, Status: l.Status,
		At: r.place(e), Block: e.Kind == dxfio.KindInsert}, index: e.Index}
	if !r.inPlace(e, t.At) {
		return
	}
	if t.Block {
		t.Face = r.extents(e)
		r.terminalAttributes(e, &t)
	}
	if t.Face == nil {
		t.Face = r.defaultFace(t.At, e.Angle)
	} else {
		t.At = middle(t.Face).At(t.At.Z)
	}
	r.terminals = append(r.terminals, t)
}

// addUnit reads a unit.
func (r *reader) addUnit(e *dxfio.Entity, l Layer) {
	u := unitMark{Unit: Unit{Key: r.key(e), Handle: e.Handle, Layer: e.Layer, Air: l.Air, Status: l.Status, At: r.place(e)}, index: e.Index}
	switch e.Kind {
	case dxfio.KindInsert:
		if !r.inPlace(e, u.At) {
			return
		}
		if u.Outline = r.extents(e); u.Outline == nil {
			u.Outline = r.defaultFace(u.At, e.Angle)
		}
		r.unitAttributes(e, &u)
	case dxfio.KindPolyline, dxfio.KindCircle:
		var ok bool
		if u.Outline, ok = r.outline(e, "A unit is a closed polyline, a CIRCLE or a block."); !ok {
			return
		}
		if e.Kind == dxfio.KindCircle {
			u.Circle = duct.Length(e.Radius) * r.sk.Unit
		}
	default:
		r.badKind(e, "Draw a unit as a block, a closed polyline or a CIRCLE.")
		return
	}
	u.At = middle(u.Outline).At(u.Outline[0].Z)
	if e.Kind == dxfio.KindInsert {
		u.At.Z = r.place(e).Z
	}
	r.unitMarks = append(r.unitMarks, u)
}

// inPlace tells of an entity that lies nowhere.
func (r *reader) inPlace(e *dxfio.Entity, at geom.Vec) bool {
	if geom.Finite(at) {
		return true
	}
	r.bad(e, fmt.Sprintf("%s lies at a place that is no number or is farther away than any building.", kindName(e.Kind)),
		"Draw it anew, or move the drawing nearer to its origin.")
	return false
}

// addZone reads a limit or a ceiling.
func (r *reader) addZone(e *dxfio.Entity, l Layer) {
	if e.Kind == dxfio.KindInsert {
		return
	}
	outline, ok := r.outline(e, "Draw it as a closed polyline or a CIRCLE.")
	if ok {
		r.zones = append(r.zones, zone{key: r.key(e), handle: e.Handle, part: l.Part, outline: outline,
			area: geom.PolygonRegion(outline).Area()})
	}
}

// addRated reads a rated wall.
func (r *reader) addRated(e *dxfio.Entity) {
	switch e.Kind {
	case dxfio.KindInsert:
		return
	case dxfio.KindLine, dxfio.KindPolyline, dxfio.KindArc:
	default:
		r.badKind(e, "Draw rated walls with LINE, polylines and ARC.")
		return
	}
	path, _, ok := r.cleanPath(e)
	if !ok || len(path) < 2 {
		return
	}
	if e.Closed {
		path = append(path, geom.Vertex{Vec: path[0].Vec})
	}
	r.sk.Rated = append(r.sk.Rated, Rated{Handle: e.Handle, Path: path})
}

// outline reads a closed polyline or a circle as a polygon, counter-clockwise. A polyline that
// ends where it began is closed.
func (r *reader) outline(e *dxfio.Entity, do string) (pts []geom.Vec, ok bool) {
	if e.Kind == dxfio.KindCircle {
		c, radius := r.vec(e.Center), e.Radius*float64(r.sk.Unit)
		if !r.inPlace(e, c) || !r.inPlace(e, c.Add(geom.Vec{X: radius})) {
			return nil, false
		}
		if radius < geom.Shortest {
			r.bad(e, "A CIRCLE has no size and was left out.", do)
			return nil, false
		}
		for i := range circleSides {
			pts = append(pts, c.Add(geom.Direction(2*math.Pi*float64(i)/circleSides).Scale(radius)))
		}
		return pts, true
	}
	if e.Kind != dxfio.KindPolyline {
		r.badKind(e, do)
		return nil, false
	}
	path, _, ok := r.cleanPath(e)
	if !ok {
		return nil, false
	}
	if n := len(path); !e.Closed && n > 3 && path[0].Dist(path[n-1].Vec) <= float64(r.rules.Snap) {
		path = path[:n-1]
	} else if !e.Closed {
		r.bad(e, fmt.Sprintf("An outline on layer %s is not closed and was left out.", e.Layer), "Close the polyline. "+do)
		return nil, false
	}
	for _, c := range path.Curves(true) {
		p := c.Flatten(flat)
		pts = append(pts, p[:len(p)-1]...)
	}
	area := 0.0
	if len(pts) > 2 {
		area = geom.PolygonRegion(pts).Area()
	}
	if math.Abs(area) < geom.Shortest*geom.Shortest {
		r.bad(e, fmt.Sprintf("An outline on layer %s encloses nothing and was left out.", e.Layer), do)
		return nil, false
	}
	if area < 0 {
		slices.Reverse(pts)
	}
	return pts, true
}

// extents returns the four corners of a block, counter-clockwise, nil where it has none.
func (r *reader) extents(e *dxfio.Entity) []geom.Vec {
	if len(e.Box) != 4 {
		return nil
	}
	pts := make([]geom.Vec, 4)
	for i, p := range e.Box {
		pts[i] = r.vec(p).At(float64(e.Center.Z) * float64(r.sk.Unit))
		if !geom.Finite(pts[i]) {
			return nil
		}
	}
	if pts[0].PlanDist(pts[1]) < geom.Shortest || pts[1].PlanDist(pts[2]) < geom.Shortest {
		return nil
	}
	if geom.PolygonRegion(pts).Area() < 0 {
		slices.Reverse(pts)
	}
	return pts
}

// defaultFace returns the face of a terminal that has no extents of its own.
func (r *reader) defaultFace(at geom.Vec, angle float64) []geom.Vec {
	if math.IsNaN(angle) || math.IsInf(angle, 0) {
		angle = 0
	}
	h := float64(r.rules.Face) / 2
	pts := make([]geom.Vec, 0, 4)
	for _, c := range []geom.Vec{{X: -h, Y: -h}, {X: h, Y: -h}, {X: h, Y: h}, {X: -h, Y: h}} {
		pts = append(pts, at.Add(c.Rotate(angle)))
	}
	return pts
}

// middle returns the middle of the box around pts.
func middle(pts []geom.Vec) geom.Vec {
	b := geom.BoxOf(pts...)
	return geom.Vec{X: (b.MinX + b.MaxX) / 2, Y: (b.MinY + b.MaxY) / 2}
}

// byKey orders keys: shorter handles are older.
func byKey(a, b string) int { return cmp.Or(cmp.Compare(len(a), len(b)), cmp.Compare(a, b)) }

// order sorts what was read and gives things that share a key, as the copies of one insert in
// rows and columns do, keys of their own.
func (r *reader) order() {
	slices.SortStableFunc(r.lines, func(a, b lineMark) int {
		return cmp.Or(byKey(a.Key, b.Key), comparePath(a.Path, b.Path), cmp.Compare(a.Layer, b.Layer))
	})
	slices.SortStableFunc(r.terminals, func(a, b terminalMark) int {
		return cmp.Or(byKey(a.Key, b.Key), compareVec(a.At, b.At), cmp.Compare(a.Layer, b.Layer), cmp.Compare(a.index, b.index))
	})
	slices.SortStableFunc(r.unitMarks, func(a, b unitMark) int {
		return cmp.Or(byKey(a.Key, b.Key), compareVec(a.At, b.At), cmp.Compare(a.Layer, b.Layer), cmp.Compare(a.index, b.index))
	})
	slices.SortStableFunc(r.zones, func(a, b zone) int {
		return cmp.Or(byKey(a.key, b.key), slices.CompareFunc(a.outline, b.outline, compareVec))
	})
	slices.SortStableFunc(r.notes, func(a, b note) int {
		return cmp.Or(byKey(a.key, b.key), compareVec(a.at, b.at), cmp.Compare(a.value, b.value))
	})
	slices.SortStableFunc(r.sk.Rated, func(a, b Rated) int { return cmp.Or(byKey(a.Handle, b.Handle), comparePath(a.Path, b.Path)) })
	distinct(len(r.lines), func(i int) *string { return &r.lines[i].Key })
	distinct(len(r.terminals), func(i int) *string { return &r.terminals[i].Key })
	distinct(len(r.unitMarks), func(i int) *string { return &r.unitMarks[i].Key })
}

func comparePath(p, q geom.Path) int {
	return slices.CompareFunc(p, q, func(a, b geom.Vertex) int {
		return cmp.Or(compareVec(a.Vec, b.Vec), cmp.Compare(a.Bulge, b.Bulge))
	})
}

// distinct numbers the second and later ones of equal keys, which follow each other.
func distinct(n int, key func(i int) *string) {
	before, count := "", 0
	for i := range n {
		k := key(i)
		if i > 0 && *k == before {
			count++
			*k = fmt.Sprintf("%s+%d", before, count)
			continue
		}
		before, count = *k, 1
	}
}

// attribute reads one attribute as a note of one part. Values that say nothing are skipped.
func (r *reader) attribute(e *dxfio.Entity, tag, value string, want topic) (claim, bool) {
	value = strings.TrimSpace(plain(value))
	if strings.Trim(value, "-–—. ") == "" {
		return claim{}, false
	}
	if want == aboutMark {
		return claim{part{topic: aboutMark, text: value, mark: strings.Join(strings.Fields(value), " ")}, e.Handle, true}, true
	}
	got := parseNote(value, r.sk.Unit)
	if len(got.parts) == 1 && got.parts[0].topic == aboutBare && len(got.faults) == 0 {
		// What the tag says already need not be said again.
		switch want {
		case aboutSize:
			got = parseNote("ø"+value, r.sk.Unit)
		case aboutLevel:
			got = parseNote("EL "+value, r.sk.Unit)
		}
	}
	if len(got.parts) == 1 && len(got.faults) == 0 && got.parts[0].topic == want {
		return claim{got.parts[0], e.Handle, true}, true
	}
	text := fmt.Sprintf("The attribute %s of a block is %s, which is no %s.", tag, quote(value), want)
	do := "Correct the value of the attribute, such as " + attributeExample[want] + "."
	if len(got.faults) > 0 && !got.faults[0].unknown {
		text = fmt.Sprintf("The attribute %s of a block is %s. %s", tag, quote(value), got.faults[0].text)
	}
	r.found.Add(diag.BadValue, place(r.place(e)), e.Handle, text, do)
	return claim{}, false
}

var attributeExample = map[topic]string{aboutFlow: "220 cfm or 105 L/s", aboutLevel: `9'-0" or 2700`, aboutSize: `10" or ø250`,
	aboutPressure: "0.05 in.wg or 12 Pa"}

func (r *reader) terminalAttributes(e *dxfio.Entity, t *terminalMark) {
	for _, a := range e.Attribs {
		tag := strings.ToUpper(strings.TrimSpace(a.Tag))
		want, ok := map[string]topic{"MARK": aboutMark, "FLOW": aboutFlow, "EL": aboutLevel, "NECK": aboutSize, "DP": aboutPressure}[tag]
		if ok {
			if c, said := r.attribute(e, tag, a.Value, want); said {
				t.claims[want] = append(t.claims[want], c)
			}
		}
		if tag == "CONN" {
			t.Conn = r.conn(e, a.Value)
		}
	}
}

func (r *reader) conn(e *dxfio.Entity, value string) duct.Conn {
	switch strings.ToUpper(strings.TrimSpace(value)) {
	case "TOP":
		return duct.ConnTop
	case "SIDE":
		return duct.ConnSide
	case "", "-":
		return duct.ConnUnknown
	}
	r.found.Add(diag.BadValue, place(r.place(e)), e.Handle, fmt.Sprintf("The attribute CONN of a block is %s.", quote(value)),
		"Write TOP or SIDE, or leave it empty.")
	return duct.ConnUnknown
}

func (r *reader) unitAttributes(e *dxfio.Entity, u *unitMark) {
	for _, a := range e.Attribs {
		tag := strings.ToUpper(strings.TrimSpace(a.Tag))
		want, ok := map[string]topic{"MARK": aboutMark, "FLOW": aboutFlow, "EL": aboutLevel, "NECK": aboutSize,
			"ESP": aboutPressure, "DP": aboutPressure}[tag]
		if !ok {
			continue
		}
		c, said := r.attribute(e, tag, a.Value, want)
		switch {
		case !said:
		case tag == "ESP":
			u.ESP = c.pressure
		case tag == "DP":
			u.Loss = c.pressure
		default:
			u.claims[want] = append(u.claims[want], c)
		}
	}
}
