package network

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/sketch"
)

// class is what may join: ducts of one air, removed work apart from all other.
type class struct {
	air     duct.Air
	removed bool
}

func classOf(air duct.Air, status duct.Status) class { return class{air, status == duct.Removed} }

// jointKind tells how a joint came to be, and so how firmly its place is fixed.
type jointKind uint8

const (
	openEnd   jointKind = iota // the first or last point of a line
	corner                     // a point of a line with pieces of that line on both sides
	middle                     // a place on a piece where another line branches off
	atUnit                     // a unit, as one air sees it
	outlet                     // a terminal
	flexStart                  // where the flexible end of a rigid run begins
)

// joint is a place where pieces meet or may meet. Joints that are found to be one are
// united in builder.same.
type joint struct {
	kind  jointKind
	at    geom.Vec
	class class
	datum duct.Datum
	line  int     // the line it is on, none for units and terminals
	dist  float64 // along that line, in drawing order
	ref   int     // atUnit: index into Sketch.Units; outlet: into Sketch.Terminals
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

// builder carries the work of Build from step to step.
type builder struct {
	sk    *sketch.Sketch
	spec  Spec
	snap  float64
	found diag.List

	lines     []line
	pieces    []piece
	joints    []joint
	index     map[class]*lookup
	same      union // joints that are one node
	plumb     union // joints one above the other: they share their place in plan
	unitAt    map[unitKey]int
	terminals []int        // sorted order of Sketch.Terminals
	units     []int        // sorted order of Sketch.Units
	outlets   []int        // by index of Sketch.Terminals: its joint, none without a duct
	taken     map[int]bool // joints of ends that found what they lead to: a unit, a terminal, a run
	inUnit    map[int]bool // joints of ends that belong to a unit
	sides     map[int]bool // outlets connected from the side
	faces     map[class]*geom.Index
	endsIn    map[cell]int // how many ends lie in a cell
	jammed    bool         // it was told that too many pieces pass one place
	loops     int          // rings found so far
	passed    map[int]bool // by index of Sketch.Terminals: a duct runs through it, as was told
	drops     []drop
	risen     []riser
	edges     []edge

	overlapping map[int]bool    // lines that lie upon another
	sizes       map[int]int     // how many joints a root of same stands for
	hasUnit     map[int]bool    // nodes that are units
	unitOf      map[int]int     // by node: index into Sketch.Units
	outletOf    map[int]int     // by node: index into Sketch.Terminals
	keys        map[int]key.Key // by node
	missed      map[int]bool    // free ends that were told as near misses
	rank        []int           // by index of Sketch.Units: place in their order
}

// drop is a vertical run to be put between an end and the outlet under or over it.
type drop struct{ end, outlet int }

// riser is a vertical run to be put between an end and a joint above or below it.
type riser struct{ end, other int }

type unitKey struct {
	unit  int
	class class
}

func place(p geom.Vec) [3]float64 { return [3]float64{p.X, p.Y, p.Z} }

// trace cuts every line into pieces and gives them joints.
func (b *builder) trace() {
	order := make([]int, len(b.sk.Lines))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int {
		p, q := &b.sk.Lines[i], &b.sk.Lines[j]
		return cmp.Or(key.Compare(p.Key, q.Key), comparePaths(p.Path, q.Path))
	})
	corners := 0
	for i := range b.sk.Lines {
		corners += len(b.sk.Lines[i].Path)
	}
	// Half as many again for the branches, terminals and units to come.
	b.joints = make([]joint, 0, corners+corners/2)
	b.pieces = make([]piece, 0, corners)
	for _, i := range order {
		b.traceLine(&b.sk.Lines[i])
	}
}

func comparePaths(p, q geom.Path) int {
	return slices.CompareFunc(p, q, func(a, b geom.Vertex) int {
		return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y), cmp.Compare(a.Z, b.Z), cmp.Compare(a.Bulge, b.Bulge))
	})
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

func (b *builder) traceLine(src *sketch.Line) {
	path, ok := clean(src.Path, src.Closed)
	if !ok {
		b.found.Add(diag.BadGeometry, [3]float64{}, src.Handle,
			"A duct line has a coordinate that is no number or lies farther away than any building.",
			"Draw the line anew, or move the drawing nearer to its origin.")
		return
	}
	if !src.Closed {
		path = dropStubs(path, b.snap)
	}
	curves := path.Curves(src.Closed)
	length := 0.0
	for _, c := range curves {
		length += c.Len()
	}
	if !(length <= geom.Farthest) {
		b.found.Add(diag.BadGeometry, place(path[0].Vec), src.Handle,
			"An arc of a duct line has a bulge no building holds.", "Draw the arc anew.")
		return
	}
	if len(curves) == 0 || length <= b.snap && !src.Closed {
		at := [3]float64{}
		if len(path) > 0 {
			at = place(path[0].Vec)
		}
		b.found.Add(diag.BadGeometry, at, src.Handle,
			fmt.Sprintf("A duct line is only %s long, less than the snap distance, and was left out.", b.long(length)),
			"Erase it, or draw it longer.")
		return
	}
	if !src.Closed && b.crowded(src, path) {
		return
	}
	l := line{src: src, class: classOf(src.Air, src.Status), length: length}
	li, dist := len(b.lines), 0.0
	for _, c := range curves {
		l.joints = append(l.joints, b.addJoint(joint{kind: corner, at: c.A, class: l.class, datum: src.Datum, line: li, dist: dist}))
		dist += c.Len()
	}
	if !src.Closed {
		b.joints[l.joints[0]].kind = openEnd
		end := curves[len(curves)-1].B
		l.joints = append(l.joints, b.addJoint(joint{kind: openEnd, at: end, class: l.class, datum: src.Datum, line: li, dist: length}))
	}
	dist = 0
	for i, c := range curves {
		p := piece{line: li, curve: c, d0: dist, d1: dist + c.Len(), a: l.joints[i], b: l.joints[(i+1)%len(l.joints)]}
		dist = p.d1
		if b.plumbLine(c) {
			b.plumb.join(p.a, p.b)
		}
		l.pieces = append(l.pieces, len(b.pieces))
		b.pieces = append(b.pieces, p)
	}
	b.lines = append(b.lines, l)
	b.enter(li)
}

// mostEnds is how many ducts of one air can end within one snap distance. No fitting has so many legs; a drawing that goes
// beyond was made by a program gone wrong, and comparing all with all would take it for ever.
const mostEnds = 100

// cell is a square of the side of the snap distance, for one class.
type cell struct {
	class class
	x, y  int64
}

// crowded counts the ends of a line and reports whether one of them is one too many where it lies.
func (b *builder) crowded(src *sketch.Line, path geom.Path) bool {
	for _, p := range [...]geom.Vertex{path[0], path[len(path)-1]} {
		c := cell{classOf(src.Air, src.Status), int64(math.Floor(p.X / b.snap)), int64(math.Floor(p.Y / b.snap))}
		b.endsIn[c]++
		switch n := b.endsIn[c]; {
		case n == mostEnds+1:
			b.found.Add(diag.BadGeometry, place(p.Vec), src.Handle,
				fmt.Sprintf("More than %d ducts end at one place; the others were left out.", mostEnds), "Erase what was drawn over and over.")
			return true
		case n > mostEnds:
			return true
		}
	}
	return false
}

// steep is how many times higher than wide a piece is that was meant to be vertical.
const steep = 20

// plumbLine reports whether c goes straight up or down, but for what snapping mends.
func (b *builder) plumbLine(c geom.Curve) bool {
	w, h := c.A.PlanDist(c.B), math.Abs(c.A.Z-c.B.Z)
	return c.Straight() && w <= b.snap && h > steep*w
}

// enter puts line li into the index.
func (b *builder) enter(li int) {
	l := &b.lines[li]
	ix := b.index[l.class]
	if ix == nil {
		ix = &lookup{}
		b.index[l.class] = ix
	}
	for _, j := range l.joints {
		box := geom.BoxOf(b.joints[j].at)
		if b.joints[j].kind == openEnd {
			ix.ends.Insert(box, j)
		} else {
			ix.corners.Insert(box, j)
		}
	}
	for _, p := range l.pieces {
		ix.pieces.Insert(b.pieces[p].curve.Box(), p)
	}
}

func (b *builder) addJoint(j joint) int {
	b.joints = append(b.joints, j)
	b.same.add()
	b.plumb.add()
	return len(b.joints) - 1
}

// unite makes i and j one node.
func (b *builder) unite(i, j int) {
	b.same.join(i, j)
	b.plumb.join(i, j)
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
