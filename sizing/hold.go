package sizing

import "twinline/layout/duct"

// holdMost is how often sizes are held on past a junction: as many branches may follow each other closely.
const holdMost = 30

// hold keeps the size of a main from one junction to the next where the change of size between them has no room: it is
// made after the last of branches that follow each other closely. What is held grows, so it still covers what it feeds.
func (z *solver) hold() {
	for range holdMost {
		held := false
		for i := range z.des.Fittings {
			f := &z.des.Fittings[i]
			if !isSizeChange(f) || f.ShortBy <= 0 || f.Main == duct.None || !z.between(&z.net.Runs[f.Run]) {
				continue
			}
			id, s := z.net.Runs[f.Run].Section, z.sizes[f.Main]
			if st := &z.sections[id]; st.keep == found && fits(s, st) {
				z.set(id, s)
				st.reason, st.cut, held = byRoom, false, true
			}
		}
		if !held {
			return
		}
		z.evaluate()
	}
}

// between reports whether r is all there is between two junctions.
func (z *solver) between(r *duct.Run) bool {
	if r.Section == duct.None || len(z.net.Sections[r.Section].Runs) != 1 || r.Kind != duct.Rigid {
		return false
	}
	for _, id := range [...]duct.NodeID{r.From, r.To} {
		if n := &z.net.Nodes[id]; len(n.Runs) < 3 || n.Unit != duct.None {
			return false
		}
	}
	return true
}

// fits reports whether the larger size s of the main before a section may go on in it.
func fits(s duct.Size, st *section) bool {
	return s.Shape == st.size.Shape && s.Area() > st.size.Area() && !(st.lim.height > 0 && over(s.Height, st.lim.height)) &&
		s.Width >= st.size.Width && s.Height >= st.size.Height
}
