package label

import (
	"math"
	"strings"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// Costs of a place along a duct, each the most it can add where nothing else is said.
const (
	offMiddle   = 3   // at the end of the part to be lettered
	shortPiece  = 2   // on the shortest of its runs
	otherSide   = 0.3 // between the walls, on the lower side of the line of the sketch
	besideDuct  = 4   // not between the walls
	belowDuct   = 0.5 // under a duct rather than over it
	farther     = 1.0 // for each height of capitals between wall and label after the nearest
	oneLine     = 0.5 // the lines of a label on one line
	lyingText   = 1.5 // not along the duct
	atRiserCost = 2   // at a vertical part of it
	goodEnough  = 5.0 // a place that costs more is held against the rarer ones
)

// Places tried along one run: at first, and where none of those is good.
const (
	placesOnRun = 9
	morePlaces  = 21
)

// A lean is how far a label is set off along the duct from the tip of its leader, to the
// distance across, where the leader begins on the label, and what that costs.
type lean struct{ off, start, cost float64 }

// fromEnd is where a leader begins that does not begin in the middle of its label; see spot.
const fromEnd = 0.9

// The leans and distances from the wall, to the height of capitals, at which a label beside a
// duct is tried, at first and where none of those is good.
var (
	leans    = []lean{{0.6, 0, 0}, {-0.6, 0, 0.2}}
	allLeans = []lean{{0.6, 0, 0}, {-0.6, 0, 0.2}, {0.05, 0, 0.3}, {1, 0, 0.3}, {-1, 0, 0.4}, {1.5, 0, 0.6}, {-1.5, 0, 0.7},
		{1, -fromEnd, 0.4}, {-1, fromEnd, 0.5}, {1.5, -fromEnd, 0.6}, {-1.5, fromEnd, 0.7}}
	gaps    = []float64{labelGap, 2.2, 4}
	allGaps = []float64{closeGap, labelGap, 1.5, 2.2, 3, 4, 5.5, 7, 9}
	ringOf  = []float64{2, 3.5, 5.5, 8} // for lettering that lies
)

// placeAlong puts b on the part of c between two lengths from its beginning.
func (l *labeler) placeAlong(b label, c *chain, from, to float64) bool {
	return l.place(b, goodEnough, func(all bool) []spot { return l.spotsAlong(b, c, from, to, all) })
}

// spotsAlong returns the places for b on the part of c between two lengths; all of them, or those tried first.
func (l *labeler) spotsAlong(b label, c *chain, from, to float64, all bool) []spot {
	spots := l.spots[:0]
	at, longest := 0.0, 0.0
	for _, r := range c.runs {
		longest = math.Max(longest, l.axes[r.ID].PlanLen())
	}
	mid := (from + to) / 2
	for _, r := range c.runs {
		axis := l.axes[r.ID]
		length := axis.PlanLen()
		a, z := math.Max(from-at, l.duct[r.ID][0]), math.Min(to-at, l.duct[r.ID][1])
		if length < geom.Same {
			spots = append(spots, l.atRiser(b, r)...)
		} else if z >= a {
			base := shortPiece * (1 - length/longest)
			here := b
			here.text = l.runLines(r, true)
			n := placesOnRun
			if all {
				n = morePlaces
			}
			for _, t := range places(a, z, n) {
				cost := base + offMiddle*math.Abs(at+t-mid)/(to-from)*2
				spots = l.onRun(spots, here, r, t, cost, all)
			}
		}
		at += length
	}
	l.spots = spots
	return spots
}

// places returns n lengths between a and b, the middle one first.
func places(a, b float64, n int) []float64 {
	if b-a < geom.Same {
		return []float64{(a + b) / 2}
	}
	out := make([]float64, 0, n)
	for i := range n {
		k := float64((i+1)/2) / float64(n+1)
		if i%2 == 1 {
			k = -k
		}
		out = append(out, a+(b-a)*(0.5+k))
	}
	return out
}

// onRun adds to out the places for b at length t of a run: between its walls where they are far
// enough apart, and beside it.
func (l *labeler) onRun(out []spot, b label, r *duct.Run, t, cost float64, all bool) []spot {
	axis := l.axes[r.ID]
	length := axis.PlanLen()
	p := axis.Point(t / length)
	dir := geom.Direction(shape.Readable(axis.Tangent(t / length).Angle()))
	s := spot{mid: p, dir: dir, text: b.text, inside: r.ID, about: r.ID, cost: cost}
	half := float64(l.drawnSize(r).Width) / 2
	single := l.single(r)
	if !single {
		room := math.Min(t-l.duct[r.ID][0], l.duct[r.ID][1]-t)
		if l.spec.SizeCentred {
			out = l.centred(out, b, s, half, room)
		} else {
			out = l.besideLine(out, b, s, half, room)
		}
	} else {
		half = 0
	}
	return l.besideRun(out, b, s, half, single, all)
}

// centred adds the place for b in the middle between walls that are half away, on lettering
// of which room is the most there is on either side of its middle.
func (l *labeler) centred(out []spot, b label, s spot, half, room float64) []spot {
	tall := l.tall(b)
	w, h := l.box(b)
	if h/2+labelInside*tall <= half && w/2 <= room {
		return append(out, s)
	}
	if len(b.text) > 1 {
		b.text = []string{strings.Join(b.text, "  ")}
		if w, h = l.box(b); h/2+labelInside*tall <= half && w/2 <= room {
			s.text, s.cost = b.text, s.cost+oneLine
			out = append(out, s)
		}
	}
	return out
}

// besideLine adds the places for b between the line of the sketch and the walls: that line is
// plotted by whoever does not freeze it, and no lettering stands on it.
func (l *labeler) besideLine(out []spot, b label, s spot, half, room float64) []spot {
	tall := l.tall(b)
	up := s.dir.Left()
	line := l.lineOffset(s, half)
	// Two lines stand on either side of it where each has room.
	if n := len(b.text); n == 2 && !b.level {
		need := (1 + 2*labelClear) * tall
		if w, _ := l.box(b); w/2 <= room && half-line >= need && half+line >= need {
			two := s
			two.mid, two.step = s.mid.Add(up.Scale(line/2)), half
			out = append(out, two)
		}
	}
	texts := [][]string{b.text}
	if len(b.text) > 1 {
		texts = append(texts, []string{strings.Join(b.text, "  ")})
	}
	for i, text := range texts {
		b.text = text
		w, h := l.box(b)
		need := h - (shape.LineBox-1)*tall + 2*labelClear*tall
		if w/2 > room {
			continue
		}
		for side, zone := range [...][2]float64{{line, half}, {-half, line}} {
			if zone[1]-zone[0] < need {
				continue
			}
			in := s
			in.text, in.mid = text, s.mid.Add(up.Scale((zone[0]+zone[1])/2))
			in.cost += oneLine*float64(i) + otherSide*float64(side)
			out = append(out, in)
		}
	}
	return out
}

// lineOffset returns how far to the left of the middle of the duct, seen along the lettering,
// the line of the sketch lies at s; at a wall where it lies outside.
func (l *labeler) lineOffset(s spot, half float64) float64 {
	line := l.net.Runs[s.inside].Line
	t, _ := line.Nearest(s.mid)
	off := line.Point(t).Sub(s.mid).Plan().Dot(s.dir.Left())
	return math.Max(-half, math.Min(half, off))
}

// besideRun adds the places for b beside a duct whose walls are half away from s, with a leader;
// beside a line that is all there is of a duct the nearest ones need none.
func (l *labeler) besideRun(out []spot, b label, s spot, half float64, single, all bool) []spot {
	tall := l.tall(b)
	_, h := l.box(b)
	up := s.dir.Left()
	p := s.mid
	s.inside = duct.None
	distances, leanings := gaps, leans
	if all {
		distances, leanings = allGaps, allLeans
	}
	for i, g := range distances {
		for k, side := range [...]float64{1, -1} {
			c := s
			c.cost += besideDuct + farther*math.Abs(g-labelGap) + belowDuct*float64(k)
			c.leader = !single || i > 0
			off := half + g*tall + h/2
			c.mid = p.Add(up.Scale(side * off))
			if !c.leader {
				out = append(out, c)
				continue
			}
			c.tip = l.tip(p, up.Scale(side), half, tall)
			for _, m := range leanings {
				leaned := c
				leaned.mid = c.mid.Add(s.dir.Scale(m.off * (off - h/2)))
				leaned.start = m.start
				leaned.cost += m.cost
				out = append(out, leaned)
			}
		}
	}
	if all && len(s.text) > 0 {
		out = l.lying(out, b, s, half)
	}
	return out
}

// tip returns where a leader ends in a duct at p, of which the label stands on the side of up: half way
// to the wall, clear of the line of the sketch, where there is room for the mark at its end.
func (l *labeler) tip(p, up geom.Vec, half, tall float64) geom.Vec {
	if off := half / 2; off >= 2*leaderRoom*tall {
		return p.Add(up.Scale(off))
	}
	return p
}

// lying adds the places for b around s with lettering that lies whatever way the duct goes.
func (l *labeler) lying(out []spot, b label, s spot, half float64) []spot {
	tall := l.tall(b)
	w, h := l.box(b)
	p := s.mid
	s.dir, s.leader, s.tip = geom.Vec{X: 1}, true, p
	for _, ring := range ringOf {
		for k, d := range around {
			u := d.Unit()
			c := s
			c.mid = p.Add(u.Scale(half + ring*tall)).Add(geom.Vec{X: d.X * w / 2, Y: d.Y * h / 2})
			c.side = -int(d.X)
			c.cost += besideDuct + lyingText + farther*(ring-labelGap) + aroundCost*float64(k)
			out = append(out, c)
		}
	}
	return out
}

// atRiser returns the places for b beside a vertical run; the leader ends at its outline.
func (l *labeler) atRiser(b label, r *duct.Run) []spot {
	s, axis := l.drawnSize(r), l.axes[r.ID]
	u := r.Across.Plan().Unit()
	if u.Len() == 0 {
		u = geom.Vec{X: 1}
	}
	top := axis.A
	if axis.B.Z > top.Z {
		top = axis.B
	}
	out := l.beside(b, geom.Rectangle(top, u, float64(s.Width)/2, float64(s.Height)/2), top.Z, true)
	for i := range out {
		out[i].leader = true
		out[i].cost += besideDuct + atRiserCost
	}
	return out
}
