package label

import (
	"math"

	"twinline/layout/geom"
	"twinline/layout/shape"
)

// Costs of a place along a duct, each the most it can add where nothing else is said.
const (
	offMiddle  = 3   // at the end of the part to be lettered
	shortPiece = 2   // on the shortest of its runs
	otherSide  = 0.3 // between the walls, on the lower side of the line of the sketch
	besideDuct = 4   // not between the walls
	belowDuct  = 0.5 // under a duct rather than over it
	farther    = 1.0 // for each height of capitals between wall and label after the nearest
	oneLine    = 0.5 // the lines of a label on one line
	lyingText  = 1.5 // not along the duct
	goodAlong  = 5.0 // a place that costs more is held against the rarer ones
)

// A lean is how far a label is set off along the duct from the tip of its leader, to the
// distance across, where the leader begins on the label, and what that costs.
type lean struct{ off, start, cost float64 }

// fromEnd is where a leader begins that does not begin in the middle of its label; see spot.
const fromEnd = 0.9

// effort is which places are tried for a label. Distances are to the height of capitals.
type effort struct {
	centred bool // between walls labels stand on the middle of the duct rather than beside the line of the sketch
	rare    bool // lines joined to one, along the sides of an outline, and lettering that lies beside a duct

	onRun   int       // places along one run
	gaps    []float64 // from the wall of a duct to a label beside it
	leans   []lean
	reaches []float64 // from an outline; from the second on there is a leader
}

// usually returns the places tried first.
func usually(centred bool) effort {
	return effort{centred: centred, onRun: 9,
		gaps:    []float64{labelGap, 2.2, 4},
		leans:   []lean{{0.6, 0, 0}, {-0.6, 0, 0.2}},
		reaches: []float64{labelGap, 2.5, 5, 8}}
}

// rarely returns the places tried where none of the usual is good.
func rarely(centred bool) effort {
	return effort{centred: centred, rare: true, onRun: 21,
		gaps: []float64{closeGap, labelGap, 1.5, 2.2, 3, 4, 5.5, 7, 9},
		leans: []lean{{0.6, 0, 0}, {-0.6, 0, 0.2}, {0.05, 0, 0.3}, {1, 0, 0.3}, {-1, 0, 0.4}, {1.5, 0, 0.6},
			{-1.5, 0, 0.7}, {1, -fromEnd, 0.4}, {-1, fromEnd, 0.5}, {1.5, -fromEnd, 0.6}, {-1.5, fromEnd, 0.7}},
		reaches: []float64{closeGap, labelGap, 1.7, 2.5, 3.5, 5, 6.5, 8, 10, 12}}
}

// rings are the distances from a duct of lettering that lies, to the height of capitals.
var rings = [...]float64{2, 3.5, 5.5, 8}

// alongChain adds the places on a part of c for b, which says on each run what w has to say of it.
func alongChain(out []spot, b label, c *chain, part span, w *writer, e effort) []spot {
	at, longest := 0.0, 0.0
	for _, r := range c.runs {
		longest = math.Max(longest, r.plan)
	}
	mid := (part.from + part.to) / 2
	for _, r := range c.runs {
		from, to := math.Max(part.from-at, r.from), math.Min(part.to-at, r.to)
		switch {
		case r.plan < geom.Same:
			out = atRiser(out, b, r)
		case to >= from:
			here := b.saying(w.run(r, true))
			if len(here.texts) == 0 {
				break
			}
			base := shortPiece * (1 - r.plan/longest)
			for _, t := range middleFirst(from, to, e.onRun) {
				cost := base + offMiddle*math.Abs(at+t-mid)/(part.to-part.from)*2
				out = onRun(out, here, r, t, cost, e)
			}
		}
		at += r.plan
	}
	return out
}

// middleFirst returns n lengths between a and b, the middle one first.
func middleFirst(a, b float64, n int) []float64 {
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

// onRun adds the places for b at plan length t of r: between its walls where they are far enough apart, and beside it.
func onRun(out []spot, b label, r *run, t, cost float64, e effort) []spot {
	s := spot{text: &b.texts[0], mid: r.axis.Point(t / r.plan), about: r, cost: cost,
		dir: geom.Direction(shape.Readable(r.axis.Tangent(t / r.plan).Angle()))}
	if !r.single {
		in := s
		in.inside = r
		room := math.Min(t-r.from, r.to-t)
		if e.centred {
			out = centred(out, b, in, room)
		} else {
			out = besideLine(out, b, in, room)
		}
	}
	return besideRun(out, b, s, e)
}

// centred adds the place for b in the middle between the walls, where room is the most there is on either side of it.
func centred(out []spot, b label, s spot, room float64) []spot {
	for i := range b.texts {
		s.text = &b.texts[i]
		if s.text.h/2+labelInside*b.tall <= s.about.half() && s.text.w/2 <= room {
			s.cost += oneLine * float64(i)
			return append(out, s)
		}
	}
	return out
}

// besideLine adds the places for b between the line of the sketch and the walls: that line is
// plotted by whoever does not freeze it, and no lettering stands on it.
func besideLine(out []spot, b label, s spot, room float64) []spot {
	half, up := s.about.half(), s.dir.Left()
	line := lineOffset(s)
	s.capitals = true
	// Two lines stand on either side of it where each has room.
	if len(s.text.lines) == 2 && b.kind != shape.LevelText {
		if need := (1 + 2*labelClear) * b.tall; s.text.w/2 <= room && half-line >= need && half+line >= need {
			two := s
			two.mid, two.step = s.mid.Add(up.Scale(line/2)), half
			out = append(out, two)
		}
	}
	for i := range b.texts {
		text := &b.texts[i]
		need := text.h - (shape.LineBox-1)*b.tall + 2*labelClear*b.tall
		if text.w/2 > room {
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
func lineOffset(s spot) float64 {
	t, _ := s.about.Line.Nearest(s.mid)
	off := s.about.Line.Point(t).Sub(s.mid).Plan().Dot(s.dir.Left())
	return math.Max(-s.about.half(), math.Min(s.about.half(), off))
}

// besideRun adds the places for b beside the duct at s, with a leader; beside a line that is all there is of a duct the
// nearest ones need none.
func besideRun(out []spot, b label, s spot, e effort) []spot {
	half := s.about.half()
	if s.about.single {
		half = 0
	}
	up, p := s.dir.Left(), s.mid
	for i, gap := range e.gaps {
		off := half + gap*b.tall + s.text.h/2
		for k, side := range [...]float64{1, -1} {
			c := s
			c.cost += besideDuct + farther*math.Abs(gap-labelGap) + belowDuct*float64(k)
			c.leader = !s.about.single || i > 0
			c.mid = p.Add(up.Scale(side * off))
			if !c.leader {
				out = append(out, c)
				continue
			}
			c.tip = tipIn(p, up.Scale(side), half, b.tall)
			for _, m := range e.leans {
				leaned := c
				leaned.mid = c.mid.Add(s.dir.Scale(m.off * (off - s.text.h/2)))
				leaned.start = m.start
				leaned.cost += m.cost
				out = append(out, leaned)
			}
		}
	}
	if e.rare {
		out = lying(out, b, s, half)
	}
	return out
}

// tipIn returns where a leader ends in a duct at p, of which the label stands on the side of up: half way
// to the wall, clear of the line of the sketch, where there is room for the mark at its end.
func tipIn(p, up geom.Vec, half, tall float64) geom.Vec {
	if off := half / 2; off >= 2*leaderRoom*tall {
		return p.Add(up.Scale(off))
	}
	return p
}

// lying adds the places for b around s with lettering that lies whatever way the duct goes.
func lying(out []spot, b label, s spot, half float64) []spot {
	p := s.mid
	s.dir, s.leader, s.tip = geom.Vec{X: 1}, true, p
	for _, ring := range rings {
		for k, d := range around {
			c := s
			middle := geom.Vec{X: d.X * s.text.w / 2, Y: d.Y * s.text.h / 2}
			c.mid = p.Add(d.Unit().Scale(half + ring*b.tall)).Add(middle)
			c.side = -int(d.X)
			c.cost += besideDuct + lyingText + farther*(ring-labelGap) + aroundCost*float64(k)
			out = append(out, c)
		}
	}
	return out
}
