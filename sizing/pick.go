package sizing

import (
	"math"

	"twinline/layout/duct"
)

// picker finds sizes. It keeps what each step carries, so that a network with few kinds of
// limits pays for a size with a binary search.
type picker struct {
	round, sides ladder
	tables       map[limits]*table
	last         *table // of the limits asked for last
}

// table holds what the steps carry within one set of limits, worked out when first asked for.
type table struct {
	lim   limits
	round []duct.Flow   // by step; 0 not known yet
	sides [][]duct.Flow // by step of the height, then of the width
}

func newPicker(spec *Spec) *picker {
	return &picker{
		round:  newLadder(spec.RoundSteps, spec.Least),
		sides:  newLadder(spec.RectSteps, spec.Least),
		tables: map[limits]*table{},
	}
}

func (p *picker) table(lim limits) *table {
	if p.last != nil && p.last.lim == lim {
		return p.last
	}
	t := p.tables[lim]
	if t == nil {
		t = &table{lim: lim}
		p.tables[lim] = t
	}
	p.last = t
	return t
}

// carriesRound and carriesSides return what a step carries.
func (t *table) carriesRound(l ladder, i int) duct.Flow {
	if t.round == nil {
		t.round = make([]duct.Flow, l.len())
	}
	if t.round[i] == 0 {
		t.round[i] = t.lim.carries(duct.RoundOf(l.at(i)))
	}
	return t.round[i]
}

func (t *table) carriesSides(l ladder, h, w int) duct.Flow {
	if t.sides == nil {
		t.sides = make([][]duct.Flow, l.len())
	}
	if t.sides[h] == nil {
		t.sides[h] = make([]duct.Flow, l.len())
	}
	if t.sides[h][w] == 0 {
		t.sides[h][w] = t.lim.carries(upright(t.lim.shape, l.at(w), l.at(h)))
	}
	return t.sides[h][w]
}

// upright returns the rectangular or oval size of that width and height.
func upright(shape duct.Shape, w, h duct.Length) duct.Size {
	if shape == duct.Oval {
		return duct.OvalOf(w, h)
	}
	return duct.RectOf(w, h)
}

// wish is what a size should be like where there is a choice.
type wish struct {
	height    duct.Length // of the main this goes straight on from: kept where that costs little; 0 none
	mostWidth duct.Length // of the size that feeds it: not wider; 0 none
	mostSide  duct.Length // not higher; 0 none
}

// keepHeight is how much more area a size may have than the smallest one, so as to keep the
// height of its main. Common practice: a reducer changes one side only.
const keepHeight = 1.2

// pick returns the smallest size within lim that carries q and covers f; false where no step does.
func (p *picker) pick(lim limits, q duct.Flow, f floor, w wish) (duct.Size, bool) {
	if math.IsNaN(float64(q)) || math.IsInf(float64(q), 0) {
		return duct.Size{}, false
	}
	if lim.shape == duct.Round {
		return p.pickRound(lim, q, f)
	}
	if p.sides.stepless() {
		return p.pickStepless(lim, q, f)
	}
	return p.pickSides(lim, q*(1-stepSlack), f, w)
}

func (p *picker) pickRound(lim limits, q duct.Flow, f floor) (duct.Size, bool) {
	if p.round.stepless() {
		d := max(lim.exact(q), p.round.least, f.equivalent)
		return duct.RoundOf(d), !over(d, lim.height)
	}
	q *= 1 - stepSlack
	t, n := p.table(lim), p.round.len()
	if lim.height > 0 {
		n = p.round.upto(lim.height)
	}
	i := first(p.round.index(f.equivalent), n, func(i int) bool { return t.carriesRound(p.round, i) >= q })
	if i >= n {
		return duct.Size{}, false
	}
	return duct.RoundOf(p.round.at(i)), true
}

// first returns the first i of lo..n-1 that is ok, n where none is; once ok, all after are.
func first(lo, n int, ok func(int) bool) int {
	for lo < n {
		mid := int(uint(lo+n) >> 1)
		if ok(mid) {
			n = mid
		} else {
			lo = mid + 1
		}
	}
	return lo
}

// pickSides returns the size of the smallest area; of equals that of the wished height, then
// the squarest. Width is never under height. The wished height is kept where that costs no
// more than keepHeight.
func (p *picker) pickSides(lim limits, q duct.Flow, f floor, w wish) (duct.Size, bool) {
	best, kept := duct.Size{}, duct.Size{}
	n := p.sides.len()
	for h := p.sides.index(f.height); h < n; h++ {
		hh := p.sides.at(h)
		if over(hh, lim.height) || over(hh, w.mostSide) {
			break
		}
		if !best.IsZero() && float64(upright(lim.shape, hh, hh).Area()) > keepHeight*float64(best.Area()) {
			break // no size this high is small enough
		}
		s, ok := p.narrowest(lim, h, q, f, w)
		if !ok {
			continue
		}
		if best.IsZero() || float64(s.Area()) < float64(best.Area())*(1-stepSlack) ||
			float64(s.Area()) <= float64(best.Area())*(1+stepSlack) && s.Aspect() < best.Aspect() {
			best = s
		}
		if w.height > 0 && math.Abs(float64(hh-w.height)) <= float64(w.height)*stepSlack {
			kept = s
		}
	}
	if !kept.IsZero() && float64(kept.Area()) <= keepHeight*float64(best.Area()) {
		return kept, true
	}
	return best, !best.IsZero()
}

// narrowest returns the narrowest size of height step h that will do.
func (p *picker) narrowest(lim limits, h int, q duct.Flow, f floor, w wish) (duct.Size, bool) {
	hh := p.sides.at(h)
	n := p.sides.len()
	for _, most := range []duct.Length{duct.Length(lim.aspect) * hh, w.mostWidth} {
		if most > 0 {
			n = min(n, p.sides.upto(most))
		}
	}
	t := p.table(lim)
	i := first(max(h, p.sides.index(f.width)), n, func(i int) bool {
		return t.carriesSides(p.sides, h, i) >= q && f.covers(upright(lim.shape, p.sides.at(i), hh))
	})
	if i >= n {
		return duct.Size{}, false
	}
	return upright(lim.shape, p.sides.at(i), hh), true
}

// The powers of its sides a square size's flow goes with at a given friction, and of its width that of one of given
// height. They only steer the search below.
const (
	squarePower = 2.6
	widthPower  = 1.5
)

// pickStepless returns the size of the height limit, else a square, that just carries q.
func (p *picker) pickStepless(lim limits, q duct.Flow, f floor) (duct.Size, bool) {
	d := max(lim.exact(q), f.equivalent)
	least := max(p.sides.least, f.height)
	h := max(least, widthFor(lim.shape, 0, d))
	if over(h, lim.height) {
		h = lim.height
	}
	w := max(h, f.width, widthFor(lim.shape, h, d))
	// equal friction of an upright size by hydraulic diameter is a little off its equivalent diameter
	for range flowMost {
		got := lim.carries(upright(lim.shape, w, h))
		k := float64(q / got)
		if math.Abs(k-1) <= flowTol || q <= leastFlow {
			break
		}
		was, high := w, h
		if square := h * duct.Length(math.Pow(k, 1/squarePower)); w <= h && !over(square, lim.height) {
			h = max(least, square)
			w = h
		} else {
			w *= duct.Length(math.Pow(k, 1/widthPower))
		}
		w = max(w, h, f.width)
		if f.equivalent > 0 {
			w = max(w, widthFor(lim.shape, h, f.equivalent))
		}
		if w == was && h == high {
			break // held up by what it feeds, or the least size
		}
	}
	s := upright(lim.shape, w, h)
	return s, lim.aspect <= 0 || s.Aspect() <= lim.aspect*(1+stepSlack)
}

// widthFor returns the width of the size of height h (0: square) with equivalent diameter d.
func widthFor(shape duct.Shape, h, d duct.Length) duct.Length {
	if d <= 0 {
		return 0
	}
	if h == 0 {
		return d * d / upright(shape, d, d).Equivalent()
	}
	lo, hi := h/16, h
	for upright(shape, hi, h).Equivalent() < d && hi < 1e3*duct.Metre {
		hi *= 2
	}
	return halve(lo, hi, 1e-13, func(w duct.Length) bool { return upright(shape, w, h).Equivalent() >= d })
}

// steps returns the steps of a shape.
func (p *picker) steps(s duct.Shape) *ladder {
	if s == duct.Round {
		return &p.round
	}
	return &p.sides
}
