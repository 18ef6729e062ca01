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
	"twinline/layout/key"
)

// marks is what lies on the layers of the sketch, each by itself, sorted. What notes say is not in it yet.
type marks struct {
	lines     []Line
	terminals []terminalMark
	units     []unitMark
	zones     []zone
	walls     []Rated
	texts     []text
	leaders   []leader
}

type (
	terminalMark struct {
		Terminal
		given []claim // by its attributes
		index int     // of its entity, to order marks with the same key and place
	}
	unitMark struct {
		Unit
		given []claim
		index int
	}
	// zone is the outline of a limit or a ceiling.
	zone struct {
		key     key.Key
		handle  string
		part    Part
		outline []geom.Vec
	}
	// text is a note as it stands in the drawing.
	text struct {
		key    key.Key
		handle string
		layer  Layer
		value  string
		probe
	}
	// leader is a line from a text to what the text is about.
	leader struct {
		handle string
		of     key.Key     // key of the text it belongs to, where the drawing says so
		plain  string      // a line, either end of which may be the tip: what it is called
		layer  string      // of a plain line
		ends   [2]geom.Vec // the tip, the tail
	}
)

// collector reads marks.
type collector struct {
	frame
	layers *layerBook
	marks
	found diag.List
}

// collect reads every entity on a sketch layer.
func collect(src Source, f frame, layers *layerBook) (marks, diag.List) {
	c := &collector{frame: f, layers: layers}
	inside := notInside
	troubles := src.Walk(func(kind dxfio.Kind, layer string) bool {
		if kind == dxfio.KindInsert && layers.frozen(layer) {
			return true // what is inside is hidden with it
		}
		return f.scheme.claims(layer)
	}, func(e *dxfio.Entity) bool { return c.visit(e, &inside) })
	for _, t := range troubles {
		code, do := diag.BadGeometry, "Draw it anew, or have the CAD program check and repair the drawing."
		if t.Code == string(diag.BadBlock) {
			code, do = diag.BadBlock, "Put the block right in the CAD program, or take its insert out of the sketch."
		}
		text := t.Text
		if t.At != "" {
			text += " (" + t.At + ")"
		}
		c.found.Add(code, [3]float64{}, t.Handle, text, do)
	}
	c.sort()
	return c.marks, append(c.found, layers.notRead(f.scheme)...)
}

// notInside is the depth of the terminal or unit whose content is offered where there is none.
const notInside = -1

// visit reads one entity; inside is the depth of the insert of the terminal or unit it may be part of.
func (c *collector) visit(e *dxfio.Entity, inside *int) (descend bool) {
	if *inside != notInside && len(e.Path) <= *inside {
		*inside = notInside
	}
	l, known := c.scheme.layer(e.Layer)
	whole := known && (l.Part == PartTerm || l.Part == PartUnit)
	switch {
	case c.layers.hidden(e.Layer):
		if known {
			c.layers.passOver(e.Layer, c.start(e), e.Handle)
		}
		return !c.layers.frozen(e.Layer)
	case !known:
		if c.scheme.like(e.Layer) {
			c.layers.passOver(e.Layer, c.start(e), e.Handle)
		}
		return true
	case *inside != notInside && whole:
		return false // part of the picture of a terminal or unit
	}
	c.add(e, l)
	if e.Kind == dxfio.KindInsert && whole && *inside == notInside {
		*inside = len(e.Path)
	}
	return true
}

// add reads an entity on a layer of the sketch.
func (c *collector) add(e *dxfio.Entity, l Layer) {
	switch {
	case e.Kind == dxfio.KindText || e.Kind == dxfio.KindMText:
		c.addText(e, l)
		return
	case e.Kind == dxfio.KindLeader:
		c.addLeader(e, "")
		return
	}
	switch l.Part {
	case PartDuct, PartFlex:
		c.addLine(e, l)
	case PartTerm:
		c.addTerminal(e, l)
	case PartUnit:
		c.addUnit(e, l)
	case PartLimit, PartCeiling:
		c.addZone(e, l)
	case PartRated:
		c.addWall(e)
	case PartNote:
		// A plain line does for a leader where the CAD program has none.
		if (e.Kind == dxfio.KindLine || e.Kind == dxfio.KindPolyline) && !e.Closed {
			c.addLeader(e, kindName(e.Kind))
		} else if e.Kind != dxfio.KindInsert {
			c.badKind(e, "Notes are TEXT, MTEXT and MULTILEADER, with LEADER or LINE to what they are about.")
		}
	}
}

// bad reports an entity that was left out.
func (c *collector) bad(e *dxfio.Entity, text, do string) {
	c.found.Add(diag.BadGeometry, spot(c.start(e)), e.Handle, text, do)
}

func (c *collector) badKind(e *dxfio.Entity, do string) {
	c.bad(e, notReadThere(kindName(e.Kind), e.Layer), do)
}

func notReadThere(kind, layer string) string {
	return fmt.Sprintf("%s on layer %s is not read there.", kind, layer)
}

func kindName(k dxfio.Kind) string {
	names := map[dxfio.Kind]string{dxfio.KindLine: "A LINE", dxfio.KindPolyline: "A polyline", dxfio.KindArc: "An ARC",
		dxfio.KindCircle: "A CIRCLE", dxfio.KindPoint: "A POINT", dxfio.KindSpline: "A SPLINE",
		dxfio.KindEllipse: "An ELLIPSE",
		dxfio.KindInsert:  "A block", dxfio.KindText: "A TEXT", dxfio.KindMText: "An MTEXT",
		dxfio.KindLeader: "A LEADER"}
	if n, ok := names[k]; ok {
		return n
	}
	return "An entity"
}

// inPlace reports whether e lies somewhere, and where it does not, a finding.
func (c *collector) inPlace(e *dxfio.Entity, at geom.Vec) bool {
	if geom.Finite(at) {
		return true
	}
	c.bad(e, kindName(e.Kind)+" lies at a place that is no number or is farther away than any building.",
		"Draw it anew, or move the drawing nearer to its origin.")
	return false
}

// addText reads a note.
func (c *collector) addText(e *dxfio.Entity, l Layer) {
	at := c.start(e)
	if !c.inPlace(e, at) || strings.TrimSpace(e.Value) == "" {
		return
	}
	p := probe{at: at, middle: at, height: e.Height * float64(c.unit)}
	if corners := c.corners(e); corners != nil {
		p.corners, p.middle = corners, middle(corners)
	}
	c.texts = append(c.texts, text{c.key(e), e.Handle, l, e.Value, p})
}

// addLeader reads a leader, or a plain line that may be one.
func (c *collector) addLeader(e *dxfio.Entity, plain string) {
	path := c.path(e)
	if len(path) < 2 || !geom.Finite(path[0].Vec) || !geom.Finite(path[len(path)-1].Vec) {
		return
	}
	l := leader{handle: e.Handle, plain: plain, layer: e.Layer, ends: [2]geom.Vec{path[0].Vec, path[len(path)-1].Vec}}
	if e.Of != "" && !slices.Contains(e.Path, "") {
		l.of = key.Handled(e.Path, e.Of)
	}
	c.leaders = append(c.leaders, l)
}

// addLine reads a centreline.
func (c *collector) addLine(e *dxfio.Entity, l Layer) {
	switch e.Kind {
	case dxfio.KindLine, dxfio.KindPolyline, dxfio.KindArc:
	case dxfio.KindSpline:
		if l.Part != PartFlex {
			c.badKind(e, "A SPLINE is read on a FLEX layer alone; draw rigid duct with lines and arcs.")
			return
		}
	case dxfio.KindInsert:
		return // what is inside is offered next
	default:
		c.badKind(e, "Draw ducts with LINE, polylines and ARC; flexible ducts with SPLINE too.")
		return
	}
	path, dropped, ok := c.cleanPath(e)
	if !ok {
		return
	}
	if len(path) < 2 {
		c.bad(e, "A duct line has no length and was left out.", "Erase it, or draw it anew.")
		return
	}
	if dropped > 0 {
		c.bad(e, fmt.Sprintf("A duct line has %d pieces without length, which were left out.", dropped),
			"Nothing has to be done; erasing the double points is tidier.")
	}
	c.lines = append(c.lines, Line{Key: c.key(e), Handle: e.Handle, Layer: e.Layer, Air: l.Air, Status: l.Status,
		Flex: l.Part == PartFlex, Closed: e.Closed, Path: path})
}

// cleanPath returns the vertices of e in metres without pieces that have no length, and how
// many of those there were. ok is false, and a finding made, when a vertex is no point.
func (c *collector) cleanPath(e *dxfio.Entity) (out geom.Path, dropped int, ok bool) {
	for _, v := range c.path(e) {
		if !geom.Finite(v.Vec) || math.IsNaN(v.Bulge) || math.IsInf(v.Bulge, 0) {
			c.bad(e, kindName(e.Kind)+" has a coordinate that is no number or is farther away than any building.",
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
		arc := geom.Curve{A: out[i].Vec, B: out[(i+1)%len(out)].Vec, Bulge: out[i].Bulge}
		if arc.Straight() || arc.Radius() <= geom.Farthest {
			continue
		}
		if math.Abs(arc.Bulge) > 1 {
			c.bad(e, kindName(e.Kind)+" has an arc larger than any building.", "Draw the arc anew.")
			return nil, 0, false
		}
		out[i].Bulge = 0 // as good as straight
	}
	return out, dropped, true
}

// addTerminal reads an air terminal.
func (c *collector) addTerminal(e *dxfio.Entity, l Layer) {
	if e.Kind != dxfio.KindInsert && e.Kind != dxfio.KindCircle && e.Kind != dxfio.KindPoint {
		c.badKind(e, "Draw an air terminal as a block, a CIRCLE or a POINT.")
		return
	}
	t := terminalMark{Terminal: Terminal{Key: c.key(e), Handle: e.Handle, Layer: e.Layer, Air: l.Air, Status: l.Status,
		At: c.start(e), Block: e.Kind == dxfio.KindInsert}, index: e.Index}
	if !c.inPlace(e, t.At) {
		return
	}
	if t.Block {
		t.Face = c.extents(e)
		t.given = c.attributes(e, onTerminal)
	}
	if t.Face == nil {
		t.Face = c.defaultFace(t.At, e.Angle)
	} else {
		t.At = middle(t.Face).At(t.At.Z)
	}
	c.terminals = append(c.terminals, t)
}

// addUnit reads a unit.
func (c *collector) addUnit(e *dxfio.Entity, l Layer) {
	u := unitMark{Unit: Unit{Key: c.key(e), Handle: e.Handle, Layer: e.Layer, Air: l.Air, Status: l.Status},
		index: e.Index}
	at := c.start(e)
	switch e.Kind {
	case dxfio.KindInsert:
		if !c.inPlace(e, at) {
			return
		}
		if u.Outline = c.extents(e); u.Outline == nil {
			u.Outline = c.defaultFace(at, e.Angle)
		}
		u.given = c.attributes(e, onUnit)
	case dxfio.KindPolyline, dxfio.KindCircle:
		var ok bool
		if u.Outline, ok = c.outline(e, "A unit is a closed polyline, a CIRCLE or a block."); !ok {
			return
		}
		at = u.Outline[0]
		if e.Kind == dxfio.KindCircle {
			u.Circle = duct.Length(e.Radius) * c.unit
		}
	default:
		c.badKind(e, "Draw a unit as a block, a closed polyline or a CIRCLE.")
		return
	}
	u.At = middle(u.Outline).At(at.Z)
	c.units = append(c.units, u)
}

// addZone reads a limit or a ceiling.
func (c *collector) addZone(e *dxfio.Entity, l Layer) {
	if e.Kind == dxfio.KindInsert {
		return
	}
	if outline, ok := c.outline(e, "Draw it as a closed polyline or a CIRCLE."); ok {
		c.zones = append(c.zones, zone{c.key(e), e.Handle, l.Part, outline})
	}
}

// addWall reads a rated wall.
func (c *collector) addWall(e *dxfio.Entity) {
	switch e.Kind {
	case dxfio.KindInsert:
		return
	case dxfio.KindLine, dxfio.KindPolyline, dxfio.KindArc:
	default:
		c.badKind(e, "Draw rated walls with LINE, polylines and ARC.")
		return
	}
	path, _, ok := c.cleanPath(e)
	if !ok || len(path) < 2 {
		return
	}
	if e.Closed {
		path = append(path, geom.Vertex{Vec: path[0].Vec})
	}
	c.walls = append(c.walls, Rated{Handle: e.Handle, Path: path})
}

// circleSides is how many corners stand for a circle; four of them lie on the axes, where ducts end.
const circleSides = 48

// outlineChord is how far a chord may lie from its arc, in metres, where an outline has to be a polygon.
const outlineChord = 0.001

// outline reads a closed polyline or a circle as a polygon, counter-clockwise. A polyline that
// ends where it began is closed.
func (c *collector) outline(e *dxfio.Entity, do string) (pts []geom.Vec, ok bool) {
	switch e.Kind {
	case dxfio.KindCircle:
		return c.circle(e, do)
	case dxfio.KindPolyline:
	default:
		c.badKind(e, do)
		return nil, false
	}
	path, _, ok := c.cleanPath(e)
	if !ok {
		return nil, false
	}
	if n := len(path); !e.Closed && n > 3 && path[0].Dist(path[n-1].Vec) <= float64(c.rules.Snap) {
		path = path[:n-1]
	} else if !e.Closed {
		c.bad(e, fmt.Sprintf("An outline on layer %s is not closed and was left out.", e.Layer),
			"Close the polyline. "+do)
		return nil, false
	}
	for _, k := range path.Curves(true) {
		p := k.Flatten(outlineChord)
		pts = append(pts, p[:len(p)-1]...)
	}
	area := 0.0
	if len(pts) > 2 {
		area = geom.PolygonRegion(pts).Area()
	}
	if math.Abs(area) < geom.Shortest*geom.Shortest {
		c.bad(e, fmt.Sprintf("An outline on layer %s encloses nothing and was left out.", e.Layer), do)
		return nil, false
	}
	if area < 0 {
		slices.Reverse(pts)
	}
	return pts, true
}

func (c *collector) circle(e *dxfio.Entity, do string) (pts []geom.Vec, ok bool) {
	at, radius := c.vec(e.Center), e.Radius*float64(c.unit)
	if !c.inPlace(e, at) || !c.inPlace(e, at.Add(geom.Vec{X: radius})) {
		return nil, false
	}
	if radius < geom.Shortest {
		c.bad(e, "A CIRCLE has no size and was left out.", do)
		return nil, false
	}
	for i := range circleSides {
		pts = append(pts, at.Add(geom.Direction(2*math.Pi*float64(i)/circleSides).Scale(radius)))
	}
	return pts, true
}

// extents returns the four corners of a block, counter-clockwise, nil where it has none.
func (c *collector) extents(e *dxfio.Entity) []geom.Vec {
	pts := c.corners(e)
	if pts == nil || pts[0].PlanDist(pts[1]) < geom.Shortest || pts[1].PlanDist(pts[2]) < geom.Shortest {
		return nil
	}
	for i := range pts {
		pts[i] = pts[i].At(e.Center.Z * float64(c.unit))
	}
	if geom.PolygonRegion(pts).Area() < 0 {
		slices.Reverse(pts)
	}
	return pts
}

// defaultFace returns the face of a terminal that has no extents of its own.
func (c *collector) defaultFace(at geom.Vec, angle float64) []geom.Vec {
	if math.IsNaN(angle) || math.IsInf(angle, 0) {
		angle = 0
	}
	h := float64(c.rules.Face) / 2
	pts := make([]geom.Vec, 0, 4)
	for _, v := range []geom.Vec{{X: -h, Y: -h}, {X: h, Y: -h}, {X: h, Y: h}, {X: -h, Y: h}} {
		pts = append(pts, at.Add(v.Rotate(angle)))
	}
	return pts
}

// attributes reads what the attributes of a terminal or a unit say. Empty ones say nothing.
func (c *collector) attributes(e *dxfio.Entity, on kind) []claim {
	var out []claim
	for _, a := range e.Attribs {
		tag, value := strings.ToUpper(strings.TrimSpace(a.Tag)), strings.TrimSpace(plain(a.Value))
		if strings.Trim(value, "-–—. ") == "" {
			continue
		}
		if tag == "MARK" { // any words are a mark
			out = append(out, markClaim(value, e.Handle, tag))
			continue
		}
		k := slices.IndexFunc(attributes, func(r attribute) bool { return r.tag == tag && r.on&on != 0 })
		if k < 0 {
			continue
		}
		r := &attributes[k]
		parts, faults := grammar{unit: c.unit, topics: r.reads, bare: r.bare}.parse(value)
		if len(parts) == 1 && len(faults) == 0 && parts[0].topic == r.reads[0] {
			parts[0].topic = r.gives
			out = append(out, claim{part: parts[0], handle: e.Handle, tag: tag})
			continue
		}
		text := fmt.Sprintf("The attribute %s of a block is %s", tag, quote(value))
		if len(faults) > 0 && !faults[0].unknown {
			text += ". " + faults[0].text
		} else {
			text += ", which is no " + r.reads[0].name + "."
		}
		c.found.Add(diag.BadValue, spot(c.start(e)), e.Handle, text,
			"Correct the value of the attribute, such as "+r.example.in(c.unit)+".")
	}
	return out
}

func markClaim(text, handle, tag string) claim {
	name := strings.Join(strings.Fields(text), " ")
	return claim{part: part{mark, &mark.rows[0], value{mark: name}, text}, handle: handle, tag: tag}
}

// middle returns the middle of the box around pts.
func middle(pts []geom.Vec) geom.Vec {
	b := geom.BoxOf(pts...)
	return geom.Vec{X: (b.MinX + b.MaxX) / 2, Y: (b.MinY + b.MaxY) / 2}
}

// sort sorts what was read and gives things that share a key, as the copies of one insert in
// rows and columns do, keys of their own.
func (m *marks) sort() {
	slices.SortStableFunc(m.lines, func(a, b Line) int {
		return cmp.Or(key.Compare(a.Key, b.Key), a.Path.Compare(b.Path), cmp.Compare(a.Layer, b.Layer))
	})
	slices.SortStableFunc(m.terminals, func(a, b terminalMark) int {
		return cmp.Or(key.Compare(a.Key, b.Key), a.At.Compare(b.At), cmp.Compare(a.Layer, b.Layer),
			cmp.Compare(a.index, b.index))
	})
	slices.SortStableFunc(m.units, func(a, b unitMark) int {
		return cmp.Or(key.Compare(a.Key, b.Key), a.At.Compare(b.At), cmp.Compare(a.Layer, b.Layer),
			cmp.Compare(a.index, b.index))
	})
	slices.SortStableFunc(m.zones, func(a, b zone) int {
		return cmp.Or(key.Compare(a.key, b.key), slices.CompareFunc(a.outline, b.outline, geom.Vec.Compare))
	})
	slices.SortStableFunc(m.texts, func(a, b text) int {
		return cmp.Or(key.Compare(a.key, b.key), a.at.Compare(b.at), cmp.Compare(a.value, b.value))
	})
	slices.SortStableFunc(m.walls, func(a, b Rated) int {
		return cmp.Or(key.Compare(a.Handle, b.Handle), a.Path.Compare(b.Path))
	})
	distinct(m.lines, func(l *Line) *key.Key { return &l.Key })
	distinct(m.terminals, func(t *terminalMark) *key.Key { return &t.Key })
	distinct(m.units, func(u *unitMark) *key.Key { return &u.Key })
}

// distinct numbers the second and later ones of equal keys, which follow each other.
func distinct[T any](list []T, of func(*T) *key.Key) {
	before, count := key.Key(""), 0
	for i := range list {
		k := of(&list[i])
		if i > 0 && *k == before {
			count++
			*k = before.Copy(count)
			continue
		}
		before, count = *k, 1
	}
}
