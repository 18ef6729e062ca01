package fitting

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

// A main that branches leave to several sides within less than their width is one piece from the first of them to the last: each
// side of it has its own openings, and those of one side do not ask for room on another. Such junctions are a row. The runs
// between them lie wholly within it.

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
	node *duct.Node
	main duct.RunID // that leads to it
	on   duct.RunID // that goes straight on
	at   float64    // metres from the first junction of the main
	open []opening
}

// faceShare is half the angle a branch takes around a rectangular or oval main: all of the face it leaves.
const faceShare = math.Pi / 8

// jointAt returns the joint at a node, if the main goes on there in its own size.
func (c *chooser) jointAt(n *duct.Node) (joint, bool) {
	if len(n.Runs) < 3 || n.Unit != duct.None || n.Terminal != duct.None {
		return joint{}, false
	}
	legs := c.legsAt(n)
	main := mainLeg(legs)
	if main < 0 {
		return joint{}, false
	}
	on := c.straightOf(legs, main)
	if on < 0 || geom.TurnBetween(legs[main].dir.Scale(-1), legs[on].dir) > leastAngle || c.size(legs[main].run).IsZero() {
		return joint{}, false
	}
	if !legs[main].run.Line.Straight() || !legs[on].run.Line.Straight() {
		return joint{}, false
	}
	for i, l := range legs {
		turn := geom.TurnBetween(legs[main].dir, l.dir)
		if i != main && i != on && (turn < leastAngle || math.Pi-turn < leastAngle) || l.end == far && i != main {
			return joint{}, false
		}
	}
	return joint{node: n, main: legs[main].run.ID, on: legs[on].run.ID}, true
}

// linked reports whether the main goes on from p to the next junction as one straight duct of one size.
func (c *chooser) linked(p joint) bool {
	a, b := &c.net.Runs[p.main], &c.net.Runs[p.on]
	for _, r := range []*duct.Run{a, b} {
		if r.Kind != duct.Rigid || r.Pliable {
			return false
		}
	}
	return a.Status == b.Status && sameSize(c.size(a), c.size(b)) && c.axes.long[b.ID] > geom.Same
}

// mains returns the straight mains with more than one junction: the joints of each from the unit outwards, with the openings
// as they are by fits, the fittings of a node. What it returned before is filled in anew.
func (c *chooser) mains(fits func(duct.NodeID) []*duct.Fitting) [][]joint {
	if c.straight == nil {
		c.straight = c.straightMains()
	}
	for _, main := range c.straight {
		for k := range main {
			main[k].open = main[k].open[:0]
			c.openings(&main[k], fits(main[k].node.ID))
		}
	}
	return c.straight
}

// straightMains returns what mains does, without openings. It is never nil.
func (c *chooser) straightMains() [][]joint {
	joints := make([]joint, 0, len(c.net.Nodes)/2)
	follows := make([]int32, len(c.net.Runs)) // by the run that leads to it: the joint, from 1
	goesOn := make([]int32, len(c.net.Runs))  // by the run that goes straight on from it
	for i := range c.net.Nodes {
		if j, ok := c.jointAt(&c.net.Nodes[i]); ok {
			joints = append(joints, j)
			follows[j.main], goesOn[j.on] = int32(len(joints)), int32(len(joints))
		}
	}
	out := [][]joint{}
	for _, j := range joints {
		if k := goesOn[j.main]; k > 0 && c.linked(joints[k-1]) {
			continue // not the first of its main
		}
		main := []joint{j}
		for range joints {
			k := follows[j.on]
			if k == 0 || !c.linked(j) {
				break
			}
			next := joints[k-1]
			next.at = j.at + c.axes.long[j.on]
			main = append(main, next)
			j = next
		}
		if len(main) > 1 {
			out = append(out, main)
		}
	}
	return out
}

// openings fills in what the branches at j take of the main.
func (c *chooser) openings(j *joint, fits []*duct.Fitting) {
	legs := c.legsAt(j.node)
	main := mainLeg(legs)
	in := legs[main]
	s := c.size(in.run)
	for _, l := range legs {
		if l.run.ID == j.main || l.run.ID == j.on {
			continue
		}
		k := slices.IndexFunc(fits, func(f *duct.Fitting) bool {
			return f.Run == l.run.ID && (f.Kind == duct.Takeoff || f.Kind == duct.Cross)
		})
		if k < 0 {
			continue
		}
		f, ahead := fits[k], in.dir.Scale(-1)
		hm, hb := half(in.run, s, ahead, l.dir), half(l.run, c.size(l.run), l.dir, ahead)
		side := l.dir.Sub(ahead.Scale(l.dir.Dot(ahead)))
		o := opening{fit: f, side: side.Unit(), wide: faceShare,
			from: j.at - wallsMeet(in.dir, l.dir, hm, hb), to: j.at + wallsMeet(ahead, l.dir, hm, hb)}
		if s.Shape == duct.Round {
			square := ahead.Cross(l.dir)
			o.wide = math.Asin(math.Min(1, half(l.run, c.size(l.run), l.dir, square)/hm))
		}
		switch {
		case f.Length <= 0:
		case f.Form == duct.Entry45:
			o.back = float64(f.Length)
		case f.Form == duct.Conical:
			o.back = (ConeMouth - 1) * hb / math.Max(side.Len(), LeastSine)
			o.fore = o.back
		}
		j.open = append(j.open, o)
	}
}

// reaches returns how far the openings at the first k joints and before reach, and where those behind begin, by joint: ends[k]
// is of joints up to k, begins[k] of joints from k on. plain leaves out the mouths.
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

// eachPair calls f for every two openings of a row that lie at different junctions and on one side, the one nearer the unit first.
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
func (c *chooser) partRows(fits func(duct.NodeID) []*duct.Fitting) {
	plain := func(o *opening, mouth *float64) {
		if *mouth > 0 {
			o.fit.Form, o.fit.Length = duct.Plain, 0
			o.back, o.fore = 0, 0
		}
	}
	for _, main := range c.mains(fits) {
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

// claimRows shares out the mains with rows: what a row takes of the runs at its ends, and that the runs within are all its own.
func (c *chooser) claimRows(fits func(duct.NodeID) []*duct.Fitting) {
	for i := range c.within {
		c.within[i] = false
	}
	for _, main := range c.mains(fits) {
		c.claimAlone(main, fits)
		rows := split(main)
		if len(rows) == len(main) {
			continue
		}
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
				c.within[j.on] = true
				c.claim[j.on] = [2]claim{near: {fixed: c.axes.long[j.on]}}
			}
			// Not even a reach from another row ends here: rows part where none reaches over.
			c.claimReach(&c.claim[row[0].main][far], row[0].at-plainBegins[first], row[0].at-begins[first])
			c.claimReach(&c.claim[row[len(row)-1].on][near], plainEnds[last]-row[len(row)-1].at, ends[last]-row[len(row)-1].at)
		}
	}
}

// claimAlone notes what the junctions of a main take of their runs each by itself.
func (c *chooser) claimAlone(main []joint, fits func(duct.NodeID) []*duct.Fitting) {
	for _, j := range main {
		legs := c.legsAt(j.node)
		in := mainLeg(legs)
		c.claimJunction(legs, in, c.straightOf(legs, in))
		for _, l := range legs {
			c.claim[l.run.ID][l.end].mouth = 0
		}
		var here []duct.Fitting
		for _, f := range fits(j.node.ID) {
			here = append(here, *f)
		}
		c.claimMouths(legs, in, here)
	}
}

// claimReach raises a claim to what a row takes, without and with the mouths of its branches.
func (c *chooser) claimReach(k *claim, plain, mouth float64) {
	k.fixed = math.Max(k.fixed, plain)
	k.mouth = math.Max(k.mouth, mouth-k.fixed)
}

// tellRows notes by how much branches of a row lie on each other, on the one farther from the unit.
func (c *chooser) tellRows(fits func(duct.NodeID) []*duct.Fitting) {
	for _, main := range c.mains(fits) {
		for _, row := range split(main) {
			eachPair(row, func(o, p *opening) {
				if over := math.Min(o.to-p.from, p.to-o.from); over > geom.Same {
					p.fit.ShortBy = duct.Length(math.Max(float64(p.fit.ShortBy), over))
				}
			})
		}
	}
}

// rows returns the rows of a network with its fittings.
func (c *chooser) rows(fits func(duct.NodeID) []*duct.Fitting) []duct.Row {
	var out []duct.Row
	for _, main := range c.mains(fits) {
		for _, row := range split(main) {
			if len(row) < 2 {
				continue
			}
			r := duct.Row{Runs: []duct.RunID{row[0].main}}
			for _, j := range row {
				r.Nodes, r.Runs = append(r.Nodes, j.node.ID), append(r.Runs, j.on)
			}
			out = append(out, r)
		}
	}
	return out
}

// byNode returns a function that finds the fittings of a node.
func byNode(net *duct.Network, fittings []duct.Fitting) func(duct.NodeID) []*duct.Fitting {
	at := make([][]*duct.Fitting, len(net.Nodes))
	for i := range fittings {
		f := &fittings[i]
		at[f.Node] = append(at[f.Node], f)
	}
	return func(n duct.NodeID) []*duct.Fitting { return at[n] }
}
