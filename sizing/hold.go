package sizing

import "twinline/layout/duct"

// holdMost is how often sizes are held on past a junction: as many branches may follow each other closely.
const holdMost = 30

// hold keeps the size of a main from one junction to the next where the change of size between them has no room: it is
// made after the last of branches that follow each other closely. What is held grows, so it still covers what it feeds.
func (e *evaluation) hold() {
	for range holdMost {
		held := false
		for i := range e.des.Fittings {
			f := &e.des.Fittings[i]
			if !f.Kind.Is(duct.ChangeFamily) || f.ShortBy <= 0 || f.Main == duct.None ||
				!e.between(&e.net.Runs[f.Run]) {
				continue
			}
			id, s := e.net.Runs[f.Run].Section, e.runs[f.Main]
			if st := &e.sizes[id]; e.isFree(id) && fits(s, st.size, e.sections[id].lim.height) {
				e.set(id, s)
				st.by, st.cut, held = duct.HeldOn, false, true
			}
		}
		if !held {
			return
		}
		e.evaluate()
	}
}

// between reports whether r is all there is between two junctions.
func (j *job) between(r *duct.Run) bool {
	if r.Section == duct.None || len(j.net.Sections[r.Section].Runs) != 1 || r.Kind != duct.Rigid {
		return false
	}
	for _, id := range [...]duct.NodeID{r.From, r.To} {
		if n := &j.net.Nodes[id]; len(n.Runs) < 3 || n.Unit != duct.None {
			return false
		}
	}
	return true
}

// fits reports whether the size s of the main before a section of size own may go on in it: it is larger, and no
// higher than allowed.
func fits(s, own duct.Size, height duct.Length) bool {
	return s.Shape == own.Shape && s.Area() > own.Area() && !over(s.Height, height) &&
		s.Width >= own.Width && s.Height >= own.Height
}
