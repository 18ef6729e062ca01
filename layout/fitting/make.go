package fitting

import "twinline/layout/duct"

// Make works out how a network is made with sizes, by RunID; a run without a size counts as having no width. It is the one place
// where that is decided: sizing, drawing, bodies, lettering and schedules read what it returns. Losses of fittings are left empty.
//
// Lengths are shared out run by run: junctions first, then changes of size, then elbows, whose
// radius goes down to the least ratio, then to a mitre; what even so does not fit is told in ShortBy.
func Make(net *duct.Network, sizes []duct.Size, rules duct.FittingRules) *duct.Assembly {
	return choose(net, sizes, rules).assemble()
}

// Assemble is Make where the fittings are chosen already, by node.
func Assemble(net *duct.Network, sizes []duct.Size, fittings []duct.Fitting) *duct.Assembly {
	return (&chooser{net: net, sizes: sizes, axes: axesOf(net, sizes), out: fittings}).assemble()
}

func (c *chooser) assemble() *duct.Assembly {
	net := c.net
	a := &duct.Assembly{Axes: c.axes.out, Fittings: c.out, TakeOuts: takeOuts(net, c.sizes, c.axes, c.out)}
	a.Rows = c.rows(byNode(net, c.out))
	a.Nodes = make([]duct.NodeMake, len(net.Nodes))
	c.nodeMakes(a)
	for i := range a.Rows {
		for _, n := range a.Rows[i].Nodes {
			a.Nodes[n].Row = &a.Rows[i]
		}
	}
	return a
}

// nodeMakes fills in the fittings, the legs and the offsets of every node.
func (c *chooser) nodeMakes(a *duct.Assembly) {
	for i := 0; i < len(c.out); {
		j := i + 1
		for j < len(c.out) && c.out[j].Node == c.out[i].Node {
			j++
		}
		a.Nodes[c.out[i].Node].Fittings = c.out[i:j:j]
		i = j
	}
	all := make([]duct.Leg, 0, 2*len(c.net.Runs))
	for i := range c.net.Nodes {
		n, made := &c.net.Nodes[i], &a.Nodes[i]
		legs := c.legsAt(n)
		first, main := len(all), max(mainLeg(legs), 0)
		straight := -1
		if len(legs) > 1 {
			straight = c.straightOf(legs, main)
		}
		if len(legs) == 2 {
			straight = 1 - main
		}
		for k, l := range legs {
			leg := duct.Leg{Run: l.run, End: duct.End(l.end), Role: duct.BranchLeg, Dir: l.dir, Size: c.size(l.run)}
			switch k {
			case main:
				leg.Role = duct.MainLeg
			case straight:
				leg.Role = duct.StraightLeg
			}
			c.fitLeg(&leg, made.Fittings)
			all = append(all, leg)
		}
		made.Legs = all[first:len(all):len(all)]
		for k := range made.Fittings {
			f := &made.Fittings[k]
			after := behind(c.net, f)
			if after == nil {
				continue
			}
			o := &duct.DuctOffset{Fitting: f, Before: f.Main, Short: f.Run, Behind: after.ID}
			made.Offset, a.Nodes[c.net.DownNode(&c.net.Runs[f.Run])].Offset = o, o
		}
	}
}

// fitLeg finds what of the fittings of its node is on a leg, and the size it begins with.
func (c *chooser) fitLeg(l *duct.Leg, fits []duct.Fitting) {
	l.Outside = l.Size.Lined(l.Run.Spec.Lining)
	for k := range fits {
		f := &fits[k]
		if f.Run != l.Run.ID {
			continue
		}
		switch f.Kind {
		case duct.Reducer, duct.Expander:
			l.Change = f
			if l.End == duct.Near && !f.Common.IsZero() {
				l.Size, l.Outside = f.Common, f.Common
				if f.Main != duct.None {
					l.Outside = f.Common.Lined(c.net.Runs[f.Main].Spec.Lining)
				}
			}
		case duct.Offset:
			if f.Main == duct.None {
				l.Back = f
			}
		default:
			l.Fitting = f
		}
	}
}
