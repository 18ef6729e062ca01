package sketch

import (
	"fmt"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/geom"
)

// tellNeck tells of a size that became the neck of a terminal though it also stands beside the duct that leads to it, where
// a reader may take it for the duct's: no further from it than a text lettered along it would be. A text within the face of the
// terminal, or with a leader, or with words that only a terminal can take, is plain.
func (r *reader) tellNeck(t *thing, g group, n *note, p *probe, near []*thing) {
	if t.kind != onTerminal || p.tip || g.first&onLine == 0 || !slices.ContainsFunc(g.parts, func(q part) bool { return q.topic == aboutSize }) {
		return
	}
	if len(p.corners) > 0 && !slices.ContainsFunc(p.corners, func(c geom.Vec) bool { return !t.holds(c) }) {
		return
	}
	for _, o := range r.possible(n, onLine, near) {
		if o.dist(p) <= alongReach*p.height && r.leadsTo(o, t) {
			r.found.Add(diag.SizeAsNeck, place(n.at), n.handle,
				fmt.Sprintf("The size %s was taken as the neck of %s, not as the size of %s, which leads to it.", quote(groupText(g)), r.name(t), r.name(o)),
				"If it is the duct's, move it along the duct away from the terminal, put it on the layer of the duct, or draw a LEADER from the duct to it.")
			return
		}
	}
}

// leadsTo reports whether an end of a line lies on or in the face of a terminal, or within the snap distance of it.
func (r *reader) leadsTo(line, terminal *thing) bool {
	path := r.lines[line.ref].Path
	for _, end := range []geom.Vec{path[0].Vec, path[len(path)-1].Vec} {
		if _, d := terminal.nearest(end); d <= float64(r.rules.Snap) {
			return true
		}
	}
	return false
}
