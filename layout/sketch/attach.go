package sketch

import (
	"fmt"
	"slices"
	"strings"

	"twinline/dxfio"
	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// note is a text of the sketch.
type note struct {
	key, handle string
	layer       Layer
	value       string
	words
	probe  probe
	at     geom.Vec
	height float64
	tips   []geom.Vec // of the leaders that end at it
}

// leader is a line from a text to what the text is about.
type leader struct {
	handle string
	of     string        // key of the text it belongs to, where the drawing says so
	entity *dxfio.Entity // kept for its place, of plain lines alone
	plain  bool          // a line, either end of which may be the tip
	ends   [2]geom.Vec   // the tip, the tail
}

// addNote reads a text.
func (r *reader) addNote(e *dxfio.Entity, l Layer) {
	n := note{key: r.key(e), handle: e.Handle, layer: l, value: e.Value, at: r.place(e), height: e.Height * float64(r.sk.Unit)}
	if !r.inPlace(e, n.at) {
		return
	}
	if strings.TrimSpace(e.Value) == "" {
		return
	}
	n.probe = probe{at: n.at, middle: n.at, height: n.height}
	corners := make([]geom.Vec, 0, 4)
	for _, p := range e.Box {
		if v := r.vec(p); geom.Finite(v) {
			corners = append(corners, v.Plan())
		}
	}
	if len(corners) == 4 {
		n.probe.corners, n.probe.middle = corners, middle(corners)
	}
	if l.Part == PartRated {
		r.addRatedNote(n)
		return
	}
	n.words = parseNote(e.Value, r.sk.Unit, r.rules.Materials...)
	r.notes = append(r.notes, n)
}

// addLeader reads a leader, or a plain line that may be one.
func (r *reader) addLeader(e *dxfio.Entity, plainLine bool) {
	path := r.path(e)
	if len(path) < 2 || !geom.Finite(path[0].Vec) || !geom.Finite(path[len(path)-1].Vec) {
		return
	}
	l := leader{handle: e.Handle, plain: plainLine, ends: [2]geom.Vec{path[0].Vec, path[len(path)-1].Vec}}
	if e.Of != "" && !slices.Contains(e.Path, "") {
		l.of = joinKey(e.Path, e.Of)
	}
	if plainLine {
		c := *e
		l.entity = &c
	}
	r.leaders = append(r.leaders, l)
}

// leaderReach is how far from a text, in heights of its letters, a leader may end that belongs to it.
const leaderReach = 1.5

// lead gives every leader to the text it belongs to by the drawing, else to the one it ends at.
func (r *reader) lead() {
	if len(r.leaders) == 0 {
		return
	}
	var index geom.Index
	most := 0.0
	byKey := make(map[string]int, len(r.notes))
	for i := range r.notes {
		n := &r.notes[i]
		byKey[n.key] = i
		index.Insert(geom.BoxOf(append([]geom.Vec{n.at}, n.probe.corners...)...), i)
		most = max(most, n.tailReach(r))
	}
	for _, l := range r.leaders {
		text, said := byKey[l.of]
		tip := l.ends[0]
		if !said || l.of == "" {
			text, tip = r.tailOf(l, &index, most)
		}
		if text >= 0 {
			r.notes[text].tips = append(r.notes[text].tips, tip)
		} else if l.plain {
			r.badKind(l.entity, "A line on a NOTE layer is a leader: let it end at a text, or move it to another layer.")
		}
	}
	for i := range r.notes {
		slices.SortFunc(r.notes[i].tips, compareVec)
		r.notes[i].tips = slices.Compact(r.notes[i].tips)
	}
}

func (n *note) tailReach(r *reader) float64 {
	return max(float64(r.rules.Snap), leaderReach*n.height)
}

// tailOf returns the text nearest to the tail of l, and its tip. Where no text is at the tail
// but one at the tip, the leader was drawn the other way round.
func (r *reader) tailOf(l leader, index *geom.Index, most float64) (text int, tip geom.Vec) {
	best, text := 0.0, -1
	for _, way := range []int{1, 0} {
		if text >= 0 && !l.plain {
			break
		}
		for _, i := range index.Near(l.ends[way], most) {
			n := &r.notes[i]
			d := n.at.PlanDist(l.ends[way])
			if len(n.probe.corners) > 0 {
				e := outlineEdges(n.probe.corners)
				t := thing{edges: e, region: geom.RegionOf(e)}
				_, d = t.nearest(l.ends[way])
			}
			if d <= n.tailReach(r) && (text < 0 || d < best-geom.Same) {
				best, text, tip = d, i, l.ends[1-way]
			}
		}
	}
	return text, tip
}

// attach gives every note to what it is about.
func (r *reader) attach() {
	r.lead()
	things := r.things()
	var index geom.Index
	for i := range things {
		index.Insert(things[i].box(), i)
	}
	reach := float64(r.rules.Reach)
	for i := range r.notes {
		n := &r.notes[i]
		r.tellFaults(n)
		for _, g := range r.groups(n) {
			probes := []probe{n.probe}
			if len(n.tips) > 0 {
				probes = probes[:0]
				for _, tip := range n.tips {
					probes = append(probes, probe{at: tip, middle: tip, tip: true})
				}
			}
			for k := range probes {
				p := &probes[k]
				b := geom.BoxOf(append([]geom.Vec{p.at}, p.corners...)...).Grow(reach + geom.Shortest)
				var near []*thing
				for _, j := range index.Search(b) {
					near = append(near, &things[j])
				}
				r.settleGroup(n, g, p, near)
			}
		}
	}
}

// things lists everything a note can be about, in the order of their slices.
func (r *reader) things() []thing {
	var out []thing
	for i := range r.lines {
		l := &r.lines[i]
		out = append(out, thing{kind: onLine, ref: i, air: l.Air, status: l.Status, edges: straightened(l.Path, l.Closed)})
	}
	area := func(k kind, i int, air duct.Air, st duct.Status, pts []geom.Vec, at geom.Vec) {
		e := outlineEdges(pts)
		out = append(out, thing{k, i, air, st, e, geom.RegionOf(e), at})
	}
	for i := range r.terminals {
		t := &r.terminals[i]
		area(onTerminal, i, t.Air, t.Status, t.Face, t.At)
	}
	for i := range r.unitMarks {
		u := &r.unitMarks[i]
		area(onUnit, i, u.Air, u.Status, u.Outline, u.At)
	}
	for i := range r.zones {
		z := &r.zones[i]
		k := onLimit
		if z.part == PartCeiling {
			k = onCeiling
		}
		area(k, i, 0, duct.New, z.outline, middle(z.outline))
	}
	return out
}

// tellFaults makes findings of what could not be read in a note.
func (r *reader) tellFaults(n *note) {
	for _, f := range n.faults {
		code := diag.BadValue
		if f.unknown {
			code = diag.UnknownWord
		}
		r.found.Add(code, place(n.at), n.handle, f.text, f.do)
	}
}

// kinds returns what a part of a note can be about, in a text on a layer for part, and what
// else it may be about where there is no such thing near.
func kinds(g part, on Part) (first, second kind) {
	var all kind
	switch g.topic {
	case aboutMark, aboutFlow, aboutPressure:
		all = onTerminal | onUnit
	case aboutSize:
		all = onLine | onTerminal
	case aboutLevel:
		all = onLine | onTerminal | onUnit | onLimit | onCeiling
		if g.datum != duct.Centre {
			all = onLine
			if g.datum == duct.Bottom {
				all |= onLimit
			}
		}
	case aboutBare:
		all = onLimit | onCeiling
	default:
		all = onLine
	}
	switch on {
	case PartDuct, PartFlex:
		return all & onLine, 0
	case PartTerm:
		return all & onTerminal, 0
	case PartUnit:
		if g.topic == aboutSize {
			return onUnit, 0
		}
		return all & onUnit, 0
	case PartLimit:
		return all & onLimit, 0
	case PartCeiling:
		return all & onCeiling, 0
	}
	all &^= onLimit | onCeiling
	if g.topic == aboutLevel && g.centre {
		return onLine, onTerminal | onUnit
	}
	return all, 0
}

// group is parts of a note that go to one thing.
type group struct {
	parts         []part
	first, second kind
}

// groups parts the words of a note by what they can be about: one group, if one kind of thing
// can take all of them.
func (r *reader) groups(n *note) []group {
	parts := slices.Clone(n.parts)
	if n.layer.Part == PartLimit || n.layer.Part == PartCeiling {
		parts = r.zoneParts(n, parts)
	}
	var out []group
	whole := group{first: ^kind(0)}
	for _, p := range parts {
		first, second := kinds(p, n.layer.Part)
		if p.topic == aboutBare && first == 0 {
			r.found.Add(diag.UnknownWord, place(n.at), n.handle, fmt.Sprintf("No rule knows %s in this note.", quote(p.text)),
				fmt.Sprintf("Say what it is, such as ø%s for a round duct, CL %s for an elevation, or an airflow with its unit.", p.text, p.text))
			continue
		}
		whole.parts, whole.first = append(whole.parts, p), whole.first&first
		k := slices.IndexFunc(out, func(g group) bool { return g.first == first && g.second == second })
		if k < 0 {
			out = append(out, group{nil, first, second})
			k = len(out) - 1
		}
		out[k].parts = append(out[k].parts, p)
	}
	if len(out) > 1 && whole.first != 0 && len(whole.parts) > 1 {
		return []group{whole}
	}
	return out
}

// zoneParts reads bare lengths on the layers of limits and ceilings as elevations.
func (r *reader) zoneParts(n *note, parts []part) []part {
	var out []part
	for _, p := range parts {
		if p.topic != aboutBare {
			out = append(out, p)
			continue
		}
		w := parseNote("EL "+p.text, r.sk.Unit)
		for _, f := range w.faults {
			r.found.Add(diag.BadValue, place(n.at), n.handle, f.text, f.do)
		}
		out = append(out, w.parts...)
	}
	return out
}

// settleGroup finds what a group is about and gives it to it.
func (r *reader) settleGroup(n *note, g group, p *probe, near []*thing) {
	reach := float64(r.rules.Reach)
	c := choose(r.possible(n, g.first, near), p, reach)
	if c.best == nil && g.second != 0 {
		c = choose(r.possible(n, g.second, near), p, reach)
	}
	if c.best == nil && len(g.parts) > 1 {
		// Nothing can take all of it: each topic looks for itself.
		if split := r.split(n, g); len(split) > 1 {
			for _, s := range split {
				r.settleGroup(n, s, p, near)
			}
			return
		}
	}
	text := groupText(g)
	switch {
	case c.best == nil:
		r.unclaimed(n, g, text)
	case c.other != nil:
		r.found.Add(diag.AmbiguousNote, place(n.at), n.handle,
			fmt.Sprintf("The note %s is equally near to %s and to %s.", quote(text), r.name(c.best), r.name(c.other)),
			"Move it nearer to the one it is about, or draw a LEADER from that to the note.")
	default:
		at, _ := c.best.nearest(p.middle)
		for _, q := range g.parts {
			r.give(c.best, q, n, at)
		}
		r.claimed(c.best, n)
		r.tellNeck(c.best, g, n, p, near)
	}
}

// split parts a group by what its parts can be about one by one.
func (r *reader) split(n *note, g group) []group {
	var out []group
	for _, p := range g.parts {
		first, second := kinds(p, n.layer.Part)
		k := slices.IndexFunc(out, func(o group) bool { return o.first == first && o.second == second })
		if k < 0 {
			out = append(out, group{nil, first, second})
			k = len(out) - 1
		}
		out[k].parts = append(out[k].parts, p)
	}
	return out
}

func groupText(g group) string {
	var list []string
	for _, p := range g.parts {
		list = append(list, p.text)
	}
	return strings.Join(list, " ")
}

// possible returns the things of the kinds a note on that layer may speak of.
func (r *reader) possible(n *note, kinds kind, near []*thing) []*thing {
	var out []*thing
	for _, t := range near {
		if t.kind&kinds == 0 {
			continue
		}
		if t.kind&(onLimit|onCeiling) == 0 {
			if t.air != n.layer.Air || n.layer.Status != duct.New && t.status != n.layer.Status {
				continue
			}
		}
		out = append(out, t)
	}
	return out
}

// unclaimed tells of a note about nothing.
func (r *reader) unclaimed(n *note, g group, text string) {
	first, second := g.first, g.second
	var list []string
	for _, k := range []struct {
		kind
		name string
	}{{onLine, "duct"}, {onTerminal, "terminal"}, {onUnit, "unit"}, {onLimit, "limit"}, {onCeiling, "ceiling"}} {
		if (first|second)&k.kind != 0 {
			list = append(list, k.name)
		}
	}
	if len(list) == 0 {
		r.found.Add(diag.UnclaimedNote, place(n.at), n.handle,
			fmt.Sprintf("The note %s cannot be about anything on its layer.", quote(text)),
			"Move the text to a NOTE layer, or to the layer of what it is about.")
		return
	}
	air := ""
	if first&(onLimit|onCeiling) == 0 {
		air = n.layer.Air.String() + " "
	}
	where := "of it"
	if len(n.tips) > 0 {
		where = "of the tip of its leader"
	}
	r.found.Add(diag.UnclaimedNote, place(n.at), n.handle,
		fmt.Sprintf("The note %s is about nothing: there is no %s%s within %s %s.", quote(text), air, strings.Join(list, " or "), r.rules.Reach.Text(!r.sk.Metric), where),
		"Move it to what it is about, draw a LEADER from that to the note, or erase it.")
}

// name names a thing for a message.
func (r *reader) name(t *thing) string {
	handle := func(what, h string) string {
		if h == "" {
			return "a " + what
		}
		return fmt.Sprintf("the %s with handle %s", what, h)
	}
	switch t.kind {
	case onLine:
		return handle("duct", r.lines[t.ref].Handle)
	case onTerminal:
		return handle("terminal", r.terminals[t.ref].Handle)
	case onUnit:
		return handle("unit", r.unitMarks[t.ref].Handle)
	}
	return handle("outline", r.zones[t.ref].handle)
}

// give gives a part of a note to a thing.
func (r *reader) give(t *thing, p part, n *note, at geom.Vec) {
	c := claim{part: p, handle: n.handle}
	switch t.kind {
	case onLine:
		l := &r.lines[t.ref]
		if p.topic == aboutLevel {
			l.levels = append(l.levels, c)
			return
		}
		note := RunNote{At: at, Handle: n.handle}
		if k := len(l.Notes); k > 0 && l.Notes[k-1].Handle == n.handle && l.Notes[k-1].At == at && addSpec(&l.Notes[k-1].Spec, p) {
			return
		}
		addSpec(&note.Spec, p)
		l.Notes = append(l.Notes, note)
	case onTerminal:
		k := &r.terminals[t.ref].claims[p.topic]
		*k = append(*k, c)
	case onUnit:
		k := &r.unitMarks[t.ref].claims[p.topic]
		*k = append(*k, c)
	default:
		z := &r.zones[t.ref]
		z.levels = append(z.levels, c)
	}
}

// claimed lists a note with the thing it was given to.
func (r *reader) claimed(t *thing, n *note) {
	if n.handle == "" {
		return
	}
	switch t.kind {
	case onTerminal:
		r.terminals[t.ref].Texts = append(r.terminals[t.ref].Texts, n.handle)
	case onUnit:
		r.unitMarks[t.ref].Texts = append(r.unitMarks[t.ref].Texts, n.handle)
	}
}

// addSpec adds what a part of a note says about a run to s, unless s says something else
// about it already.
func addSpec(s *duct.Spec, p part) (ok bool) {
	was := *s
	switch p.topic {
	case aboutSize:
		s.Fixed = p.size
	case aboutHeight:
		s.MaxHeight = p.length
	case aboutShape:
		s.Shape, s.HasShape = p.shape, true
	case aboutFlat:
		s.Flat, s.HasFlat = p.flat, true
	case aboutSingle:
		s.Single = true
	case aboutLining:
		s.Lining = p.length
	case aboutInsulation:
		s.Insulation = p.length
	case aboutMaterial:
		s.Material = p.material
	case aboutLoss:
		s.C, s.HasC = p.c, true
	}
	if was.Fixed != s.Fixed && !was.Fixed.IsZero() || was.MaxHeight != s.MaxHeight && was.MaxHeight > 0 ||
		was.HasShape && was.Shape != s.Shape || was.HasFlat && was.Flat != s.Flat ||
		was.Lining != s.Lining && was.Lining > 0 || was.Insulation != s.Insulation && was.Insulation > 0 ||
		was.Material != s.Material && was.Material != "" || was.HasC && was.C != s.C {
		*s = was
		return false
	}
	return true
}
