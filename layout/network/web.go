package network

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/sketch"
	"twinline/layout/words"
)

// class is what may join: ducts of one air, removed work apart from all other.
type class struct {
	air     duct.Air
	removed bool
}

func classOf(air duct.Air, status duct.Status) class { return class{air, status == duct.Removed} }

// jointKind says how a joint came to be, and so how firmly its place is fixed.
type jointKind uint8

const (
	openEnd jointKind = iota // the first or last point of a line
	corner                   // a point of a line with pieces of that line on both sides
	middle                   // a place on a piece where another line branches off
	atUnit                   // a unit, as one air sees it
	outlet                   // a terminal
)

// joint is a place where pieces meet or may meet. Joints that are found to be one are
// united in web.same.
type joint struct {
	kind  jointKind
	at    geom.Vec
	class class
	datum duct.Datum
	line  int     // the line it is on, none for units and terminals
	dist  float64 // along that line, in drawing order
	ref   int     // atUnit: index into Sketch.Units; outlet: into Sketch.Terminals

	taken  bool // of an end: it found what it leads to, a unit, a terminal or a run
	inUnit bool // of an end: it belongs to a unit
	side   bool // of an outlet: it is connected from the side
}

// piece is one straight part or arc of a line.
type piece struct {
	line   int
	curve  geom.Curve
	d0, d1 float64 // where it lies along its line
	a, b   int     // joints
	mids   []mid   // by rising t
}

// mid is a place at fraction t of a piece where something branches off it.
type mid struct {
	t     float64
	joint int
}

func (m mid) compare(t float64) int { return cmp.Compare(m.t, t) }

// line is a sketched line cut into pieces.
type line struct {
	src    *sketch.Line
	class  class
	pieces []int
	joints []int // in drawing order; a closed line does not repeat its first
	length float64
}

// lookup is what can be found by place, for one class.
type lookup struct{ ends, corners, pieces geom.Index }

// frame is what every stage needs to know of the sketch and of the settings. It is never changed.
type frame struct {
	sk      *sketch.Sketch // in order
	snap    float64        // metres
	flexEnd float64        // metres of a rigid run before a terminal that are flexible
	say     words.Words
}

// defaultSnap is the snap distance in metres where the spec gives none.
const defaultSnap = 0.025

func newFrame(sk *sketch.Sketch, spec Spec) frame {
	f := frame{sk: sk, snap: float64(spec.Snap), flexEnd: float64(spec.FlexibleEnd),
		say: words.In(!sk.Metric).DrawnIn(sk.Unit)}
	if !(f.snap > 0) {
		f.snap = defaultSnap
	}
	return f
}

// web is the lines of a sketch cut into pieces, with the joints where these meet or may meet.
type web struct {
	frame
	lines  []line
	pieces []piece
	joints []joint
	index  map[class]*lookup
	same   union // joints that are one node
	plumb  union // joints one above the other: they share their place in plan
}

func spot(p geom.Vec) [3]float64 { return [3]float64{p.X, p.Y, p.Z} }

// cutter takes lines apart.
type cutter struct {
	*web
	endsIn map[cell]int // how many ends lie in a cell
	found  diag.List
}

// cut cuts every line into pieces and gives them joints.
func cut(f frame) (*web, diag.List) {
	c := &cutter{web: &web{frame: f, index: map[class]*lookup{}}, endsIn: map[cell]int{}}
	corners := 0
	for i := range f.sk.Lines {
		corners += len(f.sk.Lines[i].Path)
	}
	// Half as many again for the branches, terminals and units to come.
	c.joints = make([]joint, 0, corners+corners/2)
	c.pieces = make([]piece, 0, corners)
	for i := range f.sk.Lines {
		c.cutLine(&f.sk.Lines[i])
	}
	return c.web, c.found
}

// clean returns the vertices of path without those that follow another more closely than
// geom.Shortest; the ends stay where they are. ok is false when a vertex is no point.
func clean(path geom.Path, closed bool) (out geom.Path, ok bool) {
	for i, v := range path {
		if !geom.Finite(v.Vec) || math.IsNaN(v.Bulge) || math.IsInf(v.Bulge, 0) {
			return nil, false
		}
		if math.Abs(v.Bulge) < geom.Flat {
			v.Bulge = 0
		}
		n := len(out)
		switch {
		case n == 0 || v.Dist(out[n-1].Vec) >= geom.Shortest:
			out = append(out, v)
		case i == len(path)-1 && !closed && n > 1:
			out[n-1].Vec = v.Vec // the last point is where the drafter ended the line
		default:
			out[n-1].Bulge = v.Bulge
		}
	}
	if n := len(out); closed && n > 1 && out[0].Dist(out[n-1].Vec) < geom.Shortest {
		out = out[:n-1]
	}
	return out, true
}

// dropStubs leaves out the corners of an open line that lie within the snap distance of its ends: snapping could
// leave nothing of the pieces between.
func dropStubs(path geom.Path, snap float64) geom.Path {
	for len(path) > 2 && path[1].Dist(path[0].Vec) <= snap {
		path[0].Bulge = path[1].Bulge
		path = slices.Delete(path, 1, 2)
	}
	for n := len(path); n > 2 && path[n-2].Dist(path[n-1].Vec) <= snap; n-- {
		path = slices.Delete(path, n-2, n-1)
	}
	return path
}

func (c *cutter) cutLine(src *sketch.Line) {
	path, length, ok := c.usable(src)
	if !ok {
		return
	}
	curves := path.Curves(src.Closed)
	l := line{src: src, class: classOf(src.Air, src.Status), length: length}
	li, dist := len(c.lines), 0.0
	add := func(k jointKind, at geom.Vec) {
		l.joints = append(l.joints,
			c.addJoint(joint{kind: k, at: at, class: l.class, datum: src.Datum, line: li, dist: dist}))
	}
	for i, curve := range curves {
		k := corner
		if i == 0 && !src.Closed {
			k = openEnd
		}
		add(k, curve.A)
		dist += curve.Len()
	}
	if !src.Closed {
		add(openEnd, curves[len(curves)-1].B)
	}
	dist = 0
	for i, curve := range curves {
		p := piece{line: li, curve: curve, d0: dist, d1: dist + curve.Len(), a: l.joints[i],
			b: l.joints[(i+1)%len(l.joints)]}
		dist = p.d1
		if c.upright(curve) {
			c.plumb.join(p.a, p.b)
		}
		l.pieces = append(l.pieces, len(c.pieces))
		c.pieces = append(c.pieces, p)
	}
	c.lines = append(c.lines, l)
	c.enter(li)
}

// usable returns the path of a line and its length, and whether there is something in it to build; what is
// not is reported.
func (c *cutter) usable(src *sketch.Line) (path geom.Path, length float64, ok bool) {
	path, ok = clean(src.Path, src.Closed)
	if !ok {
		c.found.Add(diag.BadGeometry, [3]float64{}, src.Handle,
			"A duct line has a coordinate that is no number or lies farther away than any building.",
			"Draw the line anew, or move the drawing nearer to its origin.")
		return nil, 0, false
	}
	if !src.Closed {
		path = dropStubs(path, c.snap)
	}
	curves := path.Curves(src.Closed)
	for _, k := range curves {
		length += k.Len()
	}
	switch {
	case !(length <= geom.Farthest):
		c.found.Add(diag.BadGeometry, spot(path[0].Vec), src.Handle,
			"An arc of a duct line has a bulge no building holds.", "Draw the arc anew.")
		return nil, 0, false
	case len(curves) == 0 || length <= c.snap && !src.Closed:
		at := geom.Vec{}
		if len(path) > 0 {
			at = path[0].Vec
		}
		c.found.Add(diag.BadGeometry, spot(at), src.Handle, fmt.Sprintf(
			"A duct line is only %s long, less than the snap distance, and was left out.",
			c.say.Length(duct.Length(length))),
			"Erase it, or draw it longer.")
		return nil, 0, false
	}
	return path, length, src.Closed || !c.crowded(src, path)
}

// mostEnds is how many ducts of one air can end within one snap distance. No fitting has so many legs; a drawing that
// goes beyond was made by a program gone wrong, and comparing all with all would take it for ever.
const mostEnds = 100

// cell is a square of the side of the snap distance, for one class.
type cell struct {
	class class
	x, y  int64
}

// crowded counts the ends of a line and reports whether one of them is one too many where it lies.
func (c *cutter) crowded(src *sketch.Line, path geom.Path) bool {
	for _, p := range [...]geom.Vertex{path[0], path[len(path)-1]} {
		in := cell{classOf(src.Air, src.Status), int64(math.Floor(p.X / c.snap)), int64(math.Floor(p.Y / c.snap))}
		c.endsIn[in]++
		switch n := c.endsIn[in]; {
		case n == mostEnds+1:
			c.found.Add(diag.BadGeometry, spot(p.Vec), src.Handle,
				fmt.Sprintf("More than %d ducts end at one place; the others were left out.", mostEnds),
				"Erase what was drawn over and over.")
			return true
		case n > mostEnds:
			return true
		}
	}
	return false
}

// steep is how many times higher than wide a piece is that was meant to be vertical.
const steep = 20

// upright reports whether c goes straight up or down, but for what snapping mends.
func (w *web) upright(c geom.Curve) bool {
	wide, high := c.A.PlanDist(c.B), math.Abs(c.A.Z-c.B.Z)
	return c.Straight() && wide <= w.snap && high > steep*wide
}

// enter puts line li into the index.
func (w *web) enter(li int) {
	l := &w.lines[li]
	ix := w.index[l.class]
	if ix == nil {
		ix = &lookup{}
		w.index[l.class] = ix
	}
	for _, j := range l.joints {
		box := geom.BoxOf(w.joints[j].at)
		if w.joints[j].kind == openEnd {
			ix.ends.Insert(box, j)
		} else {
			ix.corners.Insert(box, j)
		}
	}
	for _, p := range l.pieces {
		ix.pieces.Insert(w.pieces[p].curve.Box(), p)
	}
}

func (w *web) addJoint(j joint) int {
	w.joints = append(w.joints, j)
	w.same.add()
	w.plumb.add()
	return len(w.joints) - 1
}

// unite makes i and j one node.
func (w *web) unite(i, j int) {
	w.same.join(i, j)
	w.plumb.join(i, j)
}

// union is a set of disjoint sets of joints. The root of a set is its lowest member.
type union struct{ parent []int }

func (u *union) add() { u.parent = append(u.parent, len(u.parent)) }

func (u *union) root(i int) int {
	for u.parent[i] != i {
		u.parent[i] = u.parent[u.parent[i]]
		i = u.parent[i]
	}
	return i
}

func (u *union) join(i, j int) {
	i, j = u.root(i), u.root(j)
	if i == j {
		return
	}
	u.parent[max(i, j)] = min(i, j)
}
