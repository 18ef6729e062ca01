package fitting

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// A main that branches leave to several sides within less than their width is one piece from the first of them to the
// last: each side of it has its own openings, and those of one side do not ask for room on another. Such junctions are
// a row. The runs between them lie wholly within it.

// opening is what one branch takes of a straight main, in metres from the first junction of the main outwards.
type opening struct {
	fit      *duct.Fitting
	from, to float64  // of the branch itself
	back     float64  // how much further its mouth begins
	fore     float64  // and how much further it ends
	side     geom.Vec // unit, square to the main
	wide     float64  // half the angle it takes around the main
}

// begin and end are from and to with the mouth.
func (o *opening) begin() float64 { return o.from - o.back }
func (o *opening) end() float64   { return o.to + o.fore }

// sameSide reports whether two branches are cut into the same part of the wall around the main.
func (o *opening) sameSide(p *opening) bool {
	return geom.TurnBetween(o.side, p.side) < o.wide+p.wide-geom.Straight
}

// joint is a junction of a main that goes straight on.
type joint struct {
	node duct.NodeID
	main duct.RunID // that leads to it
	on   duct.RunID // that goes straight on
	at   float64    // metres from the first junction of the main
	open []opening
}

// faceShare is half the angle a branch takes around a rectangular or oval main: all of the face it leaves.
const faceShare = math.Pi / 8

// jointAt returns the joint at a node, if the main goes on there in its own size.
func (g *given) jointAt(n *duct.Node) (joint, bool) {
	if len(n.Runs) < 3 || n.Unit != duct.None || n.Terminal != duct.None {
		return joint{}, false
	}
	legs := g.legs.at(n.ID)
	main, on := withRole(legs, duct.MainLeg), withRole(legs, duct.StraightLeg)
	if on < 0 || legs[main].End != duct.Far || g.size(legs[main].Run).IsZero() ||
		geom.TurnBetween(legs[main].Dir.Scale(-1), legs[on].Dir) > leastAngle {
		return joint{}, false
	}
	if !legs[main].Run.Line.Straight() || !legs[on].Run.Line.Straight() {
		return joint{}, false
	}
	for i := range legs {
		l := &legs[i]
		turn := geom.TurnBetween(legs[main].Dir, l.Dir)
		if i != main && i != on && (turn < leastAngle || math.Pi-turn < leastAngle) || l.End == duct.Far && i != main {
			return joint{}, false
		}
	}
	return joint{node: n.ID, main: legs[main].Run.ID, on: legs[on].Run.ID}, true
}

// linked reports whether the main goes on from p to the next junction as one straight duct of one size.
func (g *given) linked(p joint) bool {
	a, b := &g.net.Runs[p.main], &g.net.Runs[p.on]
	for _, r := range []*duct.Run{a, b} {
		if r.Kind != duct.Rigid || r.Pliable {
			return false
		}
	}
	return a.Status == b.Status && sameSize(g.size(a), g.size(b)) && g.axes.long[b.ID] > geom.Same
}

// straightMains returns the straight mains with more than one junction: the joints of each from the unit outwards,
// without openings.
func (g *given) straightMains() [][]joint {
	joints := make([]joint, 0, len(g.net.Nodes)/2)
	follows := make([]int32, len(g.net.Runs)) // by the run that leads to it: the joint, from 1
	goesOn := make([]int32, len(g.net.Runs))  // by the run that goes straight on from it
	for i := range g.net.Nodes {
		if j, ok := g.jointAt(&g.net.Nodes[i]); ok {
			joints = append(joints, j)
			follows[j.main], goesOn[j.on] = int32(len(joints)), int32(len(joints))
		}
	}
	var out [][]joint
	for _, j := range joints {
		if k := goesOn[j.main]; k > 0 && g.linked(joints[k-1]) {
			continue // not the first of its main
		}
		main := []joint{j}
		for range joints {
			k := follows[j.on]
			if k == 0 || !g.linked(j) {
				break
			}
			next := joints[k-1]
			next.at = j.at + g.axes.long[j.on]
			main = append(main, next)
			j = next
		}
		if len(main) > 1 {
			out = append(out, main)
		}
	}
	return out
}

// open fills in what the branches at the joints of mains take of them, by the fittings as they are.
func (g *given) open(mains [][]joint, fits chosen) {
	for _, main := range mains {
		for k := range main {
			main[k].open = main[k].open[:0]
			g.openings(&main[k], fits.at(main[k].node))
		}
	}
}

// openings fills in what the branches at j take of the main.
func (g *given) openings(j *joint, fits []duct.Fitting) {
	legs := g.legs.at(j.node)
	in := &legs[withRole(legs, duct.MainLeg)]
	for i := range legs {
		l := &legs[i]
		if l.Run.ID == j.main || l.Run.ID == j.on {
			continue
		}
		k := slices.IndexFunc(fits, func(f duct.Fitting) bool {
			return f.Run == l.Run.ID && (f.Kind == duct.Takeoff || f.Kind == duct.Cross)
		})
		if k >= 0 {
			j.open = append(j.open, g.openingOf(&fits[k], j.at, in, l))
		}
	}
}

// openingOf returns what the branch l, made as f, takes of the main in, at metres from its first junction.
func (g *given) openingOf(f *duct.Fitting, at float64, in, l *duct.Leg) opening {
	s, own, ahead := g.size(in.Run), g.size(l.Run), in.Dir.Scale(-1)
	hm, hb := half(in.Run, s, ahead, l.Dir), half(l.Run, own, l.Dir, ahead)
	side := l.Dir.Sub(ahead.Scale(l.Dir.Dot(ahead)))
	o := opening{fit: f, side: side.Unit(), wide: faceShare,
		from: at - wallsMeet(in.Dir, l.Dir, hm, hb), to: at + wallsMeet(ahead, l.Dir, hm, hb)}
	if s.Shape == duct.Round {
		o.wide = math.Asin(math.Min(1, half(l.Run, own, l.Dir, ahead.Cross(l.Dir))/hm))
	}
	switch {
	case f.Length <= 0:
	case f.Form == duct.Entry45:
		o.back = float64(f.Length)
	case f.Form == duct.Conical:
		o.back = (ConeMouth - 1) * hb / math.Max(side.Len(), LeastSine)
		o.fore = o.back
	}
	return o
}

// reaches returns how far the openings at the first k joints and before reach, and where those behind begin, by joint:
// ends[k] is of joints up to k, begins[k] of joints from k on. plain leaves out the mouths.
func reaches(main []joint, plain bool) (ends, begins []float64) {
	ends, begins = make([]float64, len(main)), make([]float64, len(main))
	for k, j := range main {
		ends[k], begins[k] = j.at, j.at
		for i := range j.open {
			o := &j.open[i]
			from, to := o.begin(), o.end()
			if plain {
				from, to = o.from, o.to
			}
			ends[k], begins[k] = math.Max(ends[k], to), math.Min(begins[k], from)
		}
	}
	for k := 1; k < len(main); k++ {
		ends[k] = math.Max(ends[k], ends[k-1])
	}
	for k := len(main) - 2; k >= 0; k-- {
		begins[k] = math.Min(begins[k], begins[k+1])
	}
	return ends, begins
}

// split cuts a main into rows: joints between which no straight duct is left. Most rows are of one joint.
func split(main []joint) [][]joint {
	ends, begins := reaches(main, false)
	var out [][]joint
	first := 0
	for k := range main {
		if k+1 == len(main) || ends[k] <= begins[k+1]+geom.Same {
			out = append(out, main[first:k+1])
			first = k + 1
		}
	}
	return out
}

// eachPair calls f for every two openings of a row that lie at different junctions and on one side, the one nearer the
// unit first.
func eachPair(row []joint, f func(o, p *opening)) {
	for i := range row {
		for k := range row[:i] {
			for a := range row[k].open {
				for b := range row[i].open {
					if o, p := &row[k].open[a], &row[i].open[b]; o.sameSide(p) {
						f(o, p)
					}
				}
			}
		}
	}
}

// partRows makes plain the mouths of branches that would lie on each other on one side of a main.
func (c *sharer) partRows() {
	plain := func(o *opening, mouth *float64) {
		if *mouth > 0 {
			o.fit.Form, o.fit.Length = duct.Plain, 0
			o.back, o.fore = 0, 0
		}
	}
	c.open(c.mains, c.fits)
	for _, main := range c.mains {
		for _, row := range split(main) {
			eachPair(row, func(o, p *opening) {
				if o.end() > p.begin()+geom.Same && p.end() > o.begin()+geom.Same {
					plain(o, &o.fore)
					plain(p, &p.back)
				}
			})
		}
	}
}

// takeRows shares out the mains with rows: what a row takes of the runs at its ends, and that the runs within are all
// its own.
func (b *ledger) takeRows(mains [][]joint, fits chosen) {
	clear(b.within)
	b.open(mains, fits)
	for _, main := range mains {
		for _, j := range main {
			legs := b.legs.at(j.node)
			b.takeJunction(legs)
			b.takeMouths(legs, fits.at(j.node))
		}
		if rows := split(main); len(rows) < len(main) {
			b.takeRowsOf(main, rows)
		}
	}
}

// takeRowsOf is takeRows for one main.
func (b *ledger) takeRowsOf(main []joint, rows [][]joint) {
	plainEnds, plainBegins := reaches(main, true)
	ends, begins := reaches(main, false)
	k := 0
	for _, row := range rows {
		first, last := k, k+len(row)-1
		k = last + 1
		if len(row) == 1 {
			continue
		}
		for _, j := range row[:len(row)-1] {
			b.within[j.on] = true
			b.ends[j.on] = [2]share{duct.Near: {fixed: b.axes.long[j.on]}}
		}
		// Not even a reach from another row ends here: rows part where none reaches over.
		b.ends[row[0].main][duct.Far].reach(row[0].at-plainBegins[first], row[0].at-begins[first])
		b.ends[row[len(row)-1].on][duct.Near].reach(plainEnds[last]-row[len(row)-1].at, ends[last]-row[len(row)-1].at)
	}
}

// reach raises a share to what a row takes, without and with the mouths of its branches.
func (k *share) reach(plain, mouth float64) {
	k.fixed = math.Max(k.fixed, plain)
	k.mouth = math.Max(k.mouth, mouth-k.fixed)
}

// overlaps notes by how much branches of a row lie on each other, on the one farther from the unit.
func (c *sharer) overlaps() {
	c.open(c.mains, c.fits)
	for _, main := range c.mains {
		for _, row := range split(main) {
			eachPair(row, func(o, p *opening) {
				if over := math.Min(o.to-p.from, p.to-o.from); over > geom.Same {
					p.fit.ShortBy = duct.Length(math.Max(float64(p.fit.ShortBy), over))
				}
			})
		}
	}
}

// rowsOf returns the rows of mains, with their openings filled in.
func rowsOf(mains [][]joint) []duct.Row {
	var out []duct.Row
	for _, main := range mains {
		for _, row := range split(main) {
			if len(row) < 2 {
				continue
			}
			r := duct.Row{Runs: []duct.RunID{row[0].main}}
			for _, j := range row {
				r.Nodes, r.Runs = append(r.Nodes, j.node), append(r.Runs, j.on)
			}
			out = append(out, r)
		}
	}
	return out
}
