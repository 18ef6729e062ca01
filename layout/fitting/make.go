package fitting

import "twinline/layout/duct"

// Make works out how a network is made with sizes, by RunID; a run without a size counts as having no width. It is the
// one place where that is decided: sizing, drawing, bodies, lettering and schedules read what it returns. Losses of
// fittings are left empty.
//
// Lengths are shared out run by run: junctions first, then changes of size, then elbows, whose
// radius goes down to the least ratio, then to a mitre; what even so does not fit is in ShortBy.
func Make(net *duct.Network, sizes []duct.Size, office duct.FittingRules) *duct.Assembly {
	g := givenOf(net, sizes)
	mains := g.straightMains()
	fits := g.choose(rules{office}, mains)
	return g.assemble(fits, mains)
}

// Assemble is Make where the fittings are chosen already, by node.
func Assemble(net *duct.Network, sizes []duct.Size, fittings []duct.Fitting) *duct.Assembly {
	g := givenOf(net, sizes)
	return g.assemble(chosenOf(net, fittings), g.straightMains())
}

// given is what is known before any fitting is chosen.
type given struct {
	net     *duct.Network
	sizes   []duct.Size
	axes    *axes
	legs    legTable
	offsets map[duct.NodeID]offset // by both of their nodes
}

func givenOf(net *duct.Network, sizes []duct.Size) *given {
	g := &given{net: net, sizes: sizes, axes: axesOf(net, sizes), legs: legsOf(net, sizes)}
	g.offsets = g.offsetsOf()
	return g
}

func (g *given) size(r *duct.Run) duct.Size { return g.sizes[r.ID] }

// choose decides the fittings.
func (g *given) choose(r rules, mains [][]joint) chosen {
	c := &chooser{ledger: newLedger(g), rules: r, out: make([]duct.Fitting, 0, 2*len(g.net.Nodes))}
	for i := range g.net.Nodes {
		c.node(&g.net.Nodes[i])
	}
	s := &sharer{ledger: c.ledger, rules: r, fits: chosenOf(g.net, c.out), mains: mains}
	s.partRows()
	s.takeRows(s.mains, s.fits)
	s.bends()
	s.forms()
	s.takeRows(s.mains, s.fits)
	s.lengths()
	s.overlaps()
	return s.fits
}

// assemble works out what follows from the fittings.
func (g *given) assemble(fits chosen, mains [][]joint) *duct.Assembly {
	a := &duct.Assembly{Axes: g.axes.out, Fittings: fits.all, TakeOuts: g.takeOuts(fits, mains), Rows: rowsOf(mains)}
	a.Nodes = make([]duct.NodeMake, len(g.net.Nodes))
	for i := range a.Nodes {
		n := duct.NodeID(i)
		made := &a.Nodes[i]
		made.Fittings, made.Legs = fits.at(n), g.legs.at(n)
		for k := range made.Legs {
			g.fitLeg(&made.Legs[k], made.Fittings)
		}
		for k := range made.Fittings {
			f := &made.Fittings[k]
			if after := behind(g.net, f); after != nil {
				o := &duct.DuctOffset{Fitting: f, Before: f.Main, Short: f.Run, Behind: after.ID}
				made.Offset, a.Nodes[g.net.DownNode(&g.net.Runs[f.Run])].Offset = o, o
			}
		}
	}
	for i := range a.Rows {
		for _, n := range a.Rows[i].Nodes {
			a.Nodes[n].Row = &a.Rows[i]
		}
	}
	return a
}

// fitLeg finds what of the fittings of its node is on a leg, and the size it begins with.
func (g *given) fitLeg(l *duct.Leg, fits []duct.Fitting) {
	l.Outside = l.Size.Lined(l.Run.Spec.Lining)
	for k := range fits {
		f := &fits[k]
		if f.Run != l.Run.ID {
			continue
		}
		switch {
		case f.Kind.Is(duct.ChangeFamily):
			l.Change = f
			if l.End == duct.Near && !f.Common.IsZero() {
				l.Size, l.Outside = f.Common, f.Common
				if f.Main != duct.None {
					l.Outside = f.Common.Lined(g.net.Runs[f.Main].Spec.Lining)
				}
			}
		case f.Kind.Is(duct.OffsetFamily):
			if !f.InDuct() {
				l.Back = f
			}
		default:
			l.Fitting = f
		}
	}
}

// chosen is the fittings of a network, by node.
type chosen struct {
	all   []duct.Fitting
	first []int32 // by node, and one more
}

func chosenOf(net *duct.Network, all []duct.Fitting) chosen {
	c := chosen{all, make([]int32, len(net.Nodes)+1)}
	for i := range all {
		c.first[all[i].Node+1] = int32(i + 1)
	}
	for i := range net.Nodes {
		c.first[i+1] = max(c.first[i+1], c.first[i])
	}
	return c
}

// at returns the fittings of a node.
func (c *chosen) at(n duct.NodeID) []duct.Fitting { return c.all[c.first[n]:c.first[n+1]:c.first[n+1]] }
