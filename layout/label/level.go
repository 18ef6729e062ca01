package label

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// levelWindow is how far from the place where the level changes its tag is tried, metres.
const levelWindow = 3.0

// levels tags the elevation of the ducts on both sides of every place where the level
// changes: at risers, and where a sloping duct begins or ends. Drops to terminals and
// flexible ducts have none; the terminal's own elevation is its ceiling's.
func (l *labeler) levels() {
	for i := range l.net.Nodes {
		n := &l.net.Nodes[i]
		if n.System == duct.None || !l.changesLevel(n) {
			continue
		}
		for _, id := range n.Runs {
			r := &l.net.Runs[id]
			if r.Kind == duct.Rigid && l.level(r) {
				l.tag(n, r)
			}
		}
	}
}

// level reports whether r lies at one elevation.
func (l *labeler) level(r *duct.Run) bool {
	a := l.axes[r.ID]
	return !r.Vertical() && math.Abs(a.A.Z-a.B.Z) < geom.Same
}

// changesLevel reports whether a rigid duct at n climbs.
func (l *labeler) changesLevel(n *duct.Node) bool {
	for _, id := range n.Runs {
		if r := &l.net.Runs[id]; r.Kind == duct.Rigid && !l.level(r) {
			return true
		}
	}
	return false
}

// tag letters the elevation of r near its end at n.
func (l *labeler) tag(node *duct.Node, r *duct.Run) {
	axis := l.axes[r.ID]
	if axis.PlanLen() < geom.Same {
		return
	}
	if node.ID != l.net.UpNode(r) {
		axis = axis.Reverse()
	}
	z := datumHeight(r, l.size(r), axis.A.Z)
	b := label{key: node.Key + "/" + r.Key + "/level", part: shape.Size, kind: shape.LevelText, air: r.Air, status: r.Status,
		text: l.levelLines(z, r.Datum), level: true}
	if len(b.text) == 0 {
		return
	}
	from, to := l.duct[r.ID][0], l.duct[r.ID][1]
	reach := math.Min(to-from, levelWindow)
	ok := l.place(b, goodEnough, func(all bool) []spot {
		n := placesOnRun
		if all {
			n = morePlaces
		}
		spots := l.spots[:0]
		for i := range n {
			off := reach * float64(i+1) / float64(n+1)
			t := from + off
			if node.ID != l.net.UpNode(r) {
				t = to - off
			}
			spots = l.onRun(spots, b, r, t, offMiddle*off/levelWindow, all)
		}
		l.spots = spots
		return spots
	})
	if !ok {
		l.missing(b, axis.A, "")
	}
}
