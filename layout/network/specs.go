package network

import (
	"cmp"
	"fmt"
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
func (a *assembly) runsOnLines() [][]onLine {
	out := make([][]onLine, len(a.lines))
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

// noted is what the notes of one run say together.
type noted struct {
	spec   duct.Spec
	handle string // of the note that fixed the size
}

// specs puts the notes on their runs and carries downstream what holds there.
func (a *assembly) specs() {
	notes := map[duct.RunID]*noted{}
	for li, runs := range a.runsOnLines() {
		src := a.lines[li].src
		list := slices.Clone(src.Notes)
		slices.SortStableFunc(list, func(p, q sketch.RunNote) int {
			return cmp.Or(key.Compare(p.Handle, q.Handle), compareVecs(p.At, q.At))
		})
		for _, note := range list {
			if len(runs) == 0 || !geom.Finite(note.At) {
				continue
			}
			a.note(notes, a.nearestRun(runs, note.At), note)
		}
	}
	a.hold(notes)
	a.keep(notes)
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

// note adds what one note says to what is known of a run.
func (a *assembly) note(notes map[duct.RunID]*noted, id duct.RunID, note sketch.RunNote) {
	n := notes[id]
	if n == nil {
		n = &noted{}
		notes[id] = n
	}
	s, o := &n.spec, &note.Spec
	clash := func(what string) {
		a.found.Add(diag.TwoValues, place(note.At), note.Handle,
			fmt.Sprintf("Two notes give one duct two different values for its %s.", what), "Keep one of the two notes.")
	}
	merge(&s.Fixed, o.Fixed, "size", clash)
	if n.handle == "" && !o.Fixed.IsZero() {
		n.handle = note.Handle
	}
	merge(&s.MaxHeight, o.MaxHeight, "height limit", clash)
	merge(&s.Lining, o.Lining, "lining", clash)
	merge(&s.Insulation, o.Insulation, "insulation", clash)
	merge(&s.Material, o.Material, "material", clash)
	if o.HasShape {
		if s.HasShape && s.Shape != o.Shape {
			clash("shape")
		}
		s.Shape, s.HasShape = o.Shape, true
	}
	if o.HasFlat {
		if s.HasFlat && s.Flat != o.Flat {
			clash("straight side")
		}
		s.Flat, s.HasFlat = o.Flat, true
	}
	if o.HasC {
		if s.HasC && s.C != o.C {
			clash("loss coefficient")
		}
		s.C, s.HasC = o.C, true
	}
	s.Single = s.Single || o.Single
}

// merge puts value v into p, unless v says nothing, and tells when p holds another already.
func merge[T comparable](p *T, v T, what string, clash func(string)) {
	var nothing T
	if v == nothing {
		return
	}
	if *p != nothing && *p != v {
		clash(what)
		return
	}
	*p = v
}

// hold carries downstream, away from the unit, what holds there: of two notes about one thing the nearer one
// upstream counts. A note holds from the beginning of the chain of runs it stands at, the last branch before it; a second
// one about the same thing on one chain takes over at its own run.
func (a *assembly) hold(notes map[duct.RunID]*noted) {
	chain := a.chains()
	first := map[duct.RunID]duct.Spec{}
	for i := range a.net.Runs {
		if n := notes[duct.RunID(i)]; n != nil {
			s := n.spec
			override(&s, first[chain[i]]) // what stands nearer to the unit comes first
			first[chain[i]] = s
		}
	}
	for i := range a.net.Runs { // every run after its Up
		r := &a.net.Runs[i]
		if r.Up != duct.None {
			r.Spec = a.net.Runs[r.Up].Spec
			r.Spec.C, r.Spec.HasC = 0, false // a coefficient is of one run alone
		}
		if chain[i] == r.ID {
			override(&r.Spec, first[r.ID])
		}
		if n := notes[r.ID]; n != nil {
			override(&r.Spec, n.spec)
			r.Spec.C, r.Spec.HasC = n.spec.C, n.spec.HasC
		}
	}
}

// override puts what o says of the kind that holds downstream in the place of what s says.
func override(s *duct.Spec, o duct.Spec) {
	if o.MaxHeight != 0 {
		s.MaxHeight = o.MaxHeight
	}
	if o.Lining != 0 {
		s.Lining = o.Lining
	}
	if o.Insulation != 0 {
		s.Insulation = o.Insulation
	}
	if o.Material != "" {
		s.Material = o.Material
	}
	if o.HasShape {
		s.Shape, s.HasShape = o.Shape, true
	}
	if o.HasFlat {
		s.Flat, s.HasFlat = o.Flat, true
	}
}

// chains returns, by run, the first run of the chain it belongs to: from a branch, a box or a change of status or make to
// the next. What stands already is not parted by the new branches that are cut into it.
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
	return len(node.Runs) == 2 && node.Unit == duct.None && node.Terminal == duct.None && p.Status == r.Status && sameMake
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

// keep gives the sizes noted, and the word "single", to the whole chain of runs between two branches. Where a
// second size is noted farther out on a chain it takes over from there.
func (a *assembly) keep(notes map[duct.RunID]*noted) {
	chain := a.chains()
	first := map[duct.RunID]duct.Size{}
	single := map[duct.RunID]bool{}
	for i := range a.net.Runs {
		r := &a.net.Runs[i]
		if n := notes[r.ID]; n != nil {
			single[chain[i]] = single[chain[i]] || n.spec.Single
			if _, ok := first[chain[i]]; !ok && !n.spec.Fixed.IsZero() {
				first[chain[i]] = n.spec.Fixed
			}
		}
	}
	for i := range a.net.Runs {
		r := &a.net.Runs[i]
		r.Spec.Fixed = first[chain[i]]
		r.Spec.Single = single[chain[i]]
		if chain[i] != r.ID {
			r.Spec.Fixed = a.net.Runs[a.upOf(r)].Spec.Fixed
		}
		if n := notes[r.ID]; n != nil && !n.spec.Fixed.IsZero() {
			r.Spec.Fixed = n.spec.Fixed
		}
	}
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
		s := duct.Section{ID: duct.SectionID(len(a.net.Sections)), System: r.System, Runs: []duct.RunID{r.ID}, Up: duct.None}
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
