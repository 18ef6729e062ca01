package network

import (
	"cmp"
	"math"
	"slices"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/sketch"
)

// onLine is one run on a line, by the part of the line it covers.
type onLine struct {
	d0, d1 float64
	run    duct.RunID
}

// runsOnLines returns the runs of every line in drawing order.
func (a *assembly) runsOnLines(lines int) [][]onLine {
	out := make([][]onLine, lines)
	for i := range a.edges {
		if e := &a.edges[i]; e.line != none {
			out[e.line] = append(out[e.line], onLine{e.d0, e.d1, a.edgeRun[i]})
		}
	}
	for _, list := range out {
		slices.SortFunc(list, func(p, q onLine) int { return cmp.Compare(p.d0, q.d0) })
	}
	return out
}

// spread puts the notes on their runs and carries on what holds there.
func (a *assembly) spread(lines []line) (found diag.List) {
	notes := map[duct.RunID]*runNotes{}
	for li, runs := range a.runsOnLines(len(lines)) {
		list := slices.Clone(lines[li].src.Notes)
		slices.SortStableFunc(list, func(p, q sketch.RunNote) int {
			return cmp.Or(key.Compare(p.Handle, q.Handle), p.At.Compare(q.At))
		})
		for _, note := range list {
			if len(runs) == 0 || !geom.Finite(note.At) {
				continue
			}
			id := a.nearestRun(runs, note.At)
			if notes[id] == nil {
				notes[id] = &runNotes{written: map[string]sketch.Written{}}
			}
			notes[id].add(note, &found)
		}
	}
	a.hold(notes)
	return found
}

// nearestRun returns the run of a line a note stands at. Where two are equally near, at a node, it is
// the one farther from the unit, where what is noted takes effect.
func (a *assembly) nearestRun(runs []onLine, at geom.Vec) duct.RunID {
	best, nearest := runs[0].run, math.Inf(1)
	for _, o := range runs {
		r := &a.net.Runs[o.run]
		t, d := r.Line.Nearest(at)
		d = math.Hypot(d, r.Line.Point(t).Z-at.Z)
		if d < nearest-geom.Same || d < nearest+geom.Same && o.run > best {
			best, nearest = o.run, d
		}
	}
	return best
}

// The topics of notes about ducts, by how far they hold.
var topics = map[sketch.Extent][]sketch.RunTopic{}

func init() {
	for _, t := range sketch.RunTopics() {
		topics[t.Holds] = append(topics[t.Holds], t)
	}
}

// runNotes is what the notes on one run say.
type runNotes struct {
	spec    duct.Spec
	written map[string]sketch.Written // by topic
}

// add adds what one note says, and reports what has another value already.
func (n *runNotes) add(note sketch.RunNote, found *diag.List) {
	report := func(topic string, first, second sketch.Written) {
		text, do := first.Against(second, "a duct", topic)
		found.Add(diag.TwoValues, spot(note.At), note.Handle, text, do)
	}
	s, o, twice := &n.spec, note.Spec, false
	for _, t := range sketch.RunTopics() {
		by := sketch.Written{Text: note.Texts[t.Name], Handle: note.Handle}
		switch is, said := t.Of(*s), t.Of(o); {
		case said == duct.Spec{}:
		case is == duct.Spec{}:
			t.Put(s, o)
			n.written[t.Name] = by
		case is != said:
			twice = true
			report(t.Name, n.written[t.Name], by)
		}
	}
	sized := s.HasShape && !s.Fixed.IsZero() && (o.HasShape || !o.Fixed.IsZero())
	if sized && s.Shape != s.Fixed.Shape && !twice { // a size has a shape
		first, second := n.written["shape"], n.written["size"]
		if o.HasShape {
			first, second = second, first
		}
		report("shape", first, second)
	}
}

// override puts what o says of some topics in the place of what s says.
func override(s *duct.Spec, o duct.Spec, topics []sketch.RunTopic) {
	for _, t := range topics {
		if t.Of(o) != (duct.Spec{}) {
			t.Put(s, o)
		}
	}
}

// hold carries on, away from the unit, what notes say: of two about one thing the nearer one upstream counts. A note
// holds from the beginning of the chain of runs it stands at, the last branch before it; a second one about the same
// thing on one chain takes over at its own run. What holds downstream goes past branches, a size to the end of its
// chain.
func (a *assembly) hold(notes map[duct.RunID]*runNotes) {
	down, one, alone := topics[sketch.Downstream], topics[sketch.OneSize], topics[sketch.RunAlone]
	chain := a.chains()
	first := map[duct.RunID]*duct.Spec{}
	for i := range a.net.Runs {
		n := notes[duct.RunID(i)]
		if n == nil {
			continue
		}
		s := n.spec
		if f := first[chain[i]]; f != nil { // what stands nearer to the unit comes first
			override(&s, *f, down)
			override(&s, *f, one)
		}
		first[chain[i]] = &s
	}
	for i := range a.net.Runs { // every run after its Up
		r := &a.net.Runs[i]
		if r.Up != duct.None {
			for _, t := range down {
				t.Put(&r.Spec, a.net.Runs[r.Up].Spec)
			}
		}
		if chain[i] != r.ID {
			for _, t := range one {
				t.Put(&r.Spec, a.net.Runs[a.upOf(r)].Spec)
			}
		} else if f := first[r.ID]; f != nil {
			override(&r.Spec, *f, down)
			override(&r.Spec, *f, one)
		}
		if n := notes[r.ID]; n != nil {
			override(&r.Spec, n.spec, down)
			override(&r.Spec, n.spec, one)
			override(&r.Spec, n.spec, alone)
		}
	}
}

// chains returns, by run, the first run of the chain it belongs to: from a branch, a box or a change of status or
// make to the next. What stands already is not parted by the new branches that are cut into it.
func (a *assembly) chains() []duct.RunID {
	chain := make([]duct.RunID, len(a.net.Runs))
	for i := range a.net.Runs {
		r := &a.net.Runs[i]
		chain[i] = r.ID
		if up := a.upOf(r); a.continues(r, up) || a.standsOn(r, up) {
			chain[i] = chain[up]
		}
	}
	return chain
}

// standsOn reports whether r is the only existing run that goes on from the existing run up, whatever new
// work leaves them where they meet.
func (a *assembly) standsOn(r *duct.Run, up duct.RunID) bool {
	if up == duct.None || r.Status != duct.Existing {
		return false
	}
	node := &a.net.Nodes[a.net.UpNode(r)]
	if node.Unit != duct.None || node.Terminal != duct.None {
		return false
	}
	standing := 0
	for _, id := range node.Runs {
		if o := &a.net.Runs[id]; o.Status == duct.Existing && o.Kind == r.Kind {
			standing++
		}
	}
	return standing == 2 && a.net.Runs[up].Status == duct.Existing && a.net.Runs[up].Kind == r.Kind
}

// continues reports whether run r is the only one that goes on from its neighbour towards the unit, of the same
// make: what is noted of one piece by itself holds for the other as well.
func (a *assembly) continues(r *duct.Run, up duct.RunID) bool {
	if up == duct.None {
		return false
	}
	p := &a.net.Runs[up]
	node := &a.net.Nodes[a.net.UpNode(r)]
	sameMake := p.Kind == r.Kind || r.Kind == duct.Drop
	return len(node.Runs) == 2 && node.Unit == duct.None && node.Terminal == duct.None && p.Status == r.Status &&
		sameMake
}

// upOf returns the run towards the unit; for removed work, the one towards where the walk began.
func (a *assembly) upOf(r *duct.Run) duct.RunID {
	if r.Up != duct.None {
		return r.Up
	}
	for _, k := range a.net.Nodes[a.net.UpNode(r)].Runs {
		if o := &a.net.Runs[k]; k < r.ID && a.net.DownNode(o) == a.net.UpNode(r) {
			return k
		}
	}
	return duct.None
}

// oneSize reports whether two specs that follow each other can be met by one size and one kind of wall.
func oneSize(p, q duct.Spec) bool {
	for _, s := range []*duct.Spec{&p, &q} {
		s.Single, s.Insulation, s.Flat, s.HasFlat = false, 0, duct.Centred, false
		s.C, s.HasC = 0, false
	}
	return p == q
}

// sections joins runs that get one size.
func (a *assembly) sections() {
	for i := range a.net.Runs {
		r := &a.net.Runs[i]
		up := a.upOf(r)
		if a.continues(r, up) && oneSize(r.Spec, a.net.Runs[up].Spec) {
			r.Section = a.net.Runs[up].Section
			s := &a.net.Sections[r.Section]
			s.Runs = append(s.Runs, r.ID)
			continue
		}
		s := duct.Section{ID: duct.SectionID(len(a.net.Sections)), System: r.System, Runs: []duct.RunID{r.ID},
			Up: duct.None}
		if r.Up != duct.None {
			s.Up = a.net.Runs[r.Up].Section
		}
		r.Section = s.ID
		a.net.Sections = append(a.net.Sections, s)
		if r.System != duct.None {
			sys := &a.net.Systems[r.System]
			sys.Sections = append(sys.Sections, s.ID)
		}
	}
}
