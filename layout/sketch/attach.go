package sketch

import (
	"fmt"
	"slices"
	"strings"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
)

// claim is one value somebody gave for one thing.
type claim struct {
	part
	at     geom.Vec // the nearest point of the thing
	handle string   // of the text, or of the insert the attribute belongs to
	tag    string   // of the attribute; "": a note says it
}

// note is a text with what it says.
type note struct {
	text
	parts  []part
	probes []probe // where it lies, or the tips of its leaders
}

// attacher gives notes to what they are about.
type attacher struct {
	frame
	things []thing
	index  geom.Index // of things
	found  diag.List
}

// attach reads every note and returns the things with what is claimed for each.
func attach(f frame, m *marks) ([]thing, diag.List) {
	a := &attacher{frame: f, things: m.things()}
	for i := range a.things {
		a.index.Insert(a.things[i].box(), i)
	}
	tips := a.tips(m.texts, m.leaders)
	for i, t := range m.texts {
		n := note{text: t, probes: []probe{t.probe}}
		n.parts = a.read(&n)
		if len(tips[i]) > 0 && t.layer.Part != PartRated {
			n.probes = nil
			for _, tip := range tips[i] {
				n.probes = append(n.probes, probe{at: tip, middle: tip, tip: true})
			}
		}
		for k := range n.probes {
			a.attach(&n, &n.probes[k])
		}
	}
	return a.things, a.found
}

// read reads the words of a note by the grammar of its layer.
func (a *attacher) read(n *note) []part {
	g := grammar{unit: a.unit, topics: noteTopics, materials: a.rules.Materials}
	if n.layer.Part == PartLimit || n.layer.Part == PartCeiling {
		g.bare = elevation
	}
	parse := g.parse
	if n.layer.Part == PartRated {
		parse = parseRating
	}
	parts, faults := parse(n.value)
	for _, f := range faults {
		code := diag.BadValue
		if f.unknown {
			code = diag.UnknownWord
		}
		a.report(code, n, f.text, f.do)
	}
	return parts
}

func (a *attacher) report(code diag.Code, n *note, text, do string) {
	a.found.Add(code, spot(n.text.at), n.handle, text, do)
}

// leaderReach is how far from a text, in heights of its letters, a leader may end that belongs to it.
const leaderReach = 1.5

// tips gives every leader to the text it belongs to by the drawing, else to the one it ends at, and returns what they
// point at, by text.
func (a *attacher) tips(texts []text, leaders []leader) [][]geom.Vec {
	out := make([][]geom.Vec, len(texts))
	if len(leaders) == 0 {
		return out
	}
	var index geom.Index
	most := 0.0
	byKey := make(map[key.Key]int, len(texts))
	for i := range texts {
		t := &texts[i]
		byKey[t.key] = i
		index.Insert(t.box(), i)
		most = max(most, a.tailReach(t))
	}
	for _, l := range leaders {
		i, said := byKey[l.of]
		tip := l.ends[0]
		if !said || l.of == "" {
			i, tip = a.tailOf(l, texts, &index, most)
		}
		if i >= 0 {
			out[i] = append(out[i], tip)
		} else if l.plain != "" {
			a.found.Add(diag.BadGeometry, spot(l.ends[0]), l.handle, notReadThere(l.plain, l.layer),
				"A line on a NOTE layer is a leader: let it end at a text, or move it to another layer.")
		}
	}
	for i := range out {
		slices.SortFunc(out[i], geom.Vec.Compare)
		out[i] = slices.Compact(out[i])
	}
	return out
}

func (a *attacher) tailReach(t *text) float64 {
	return max(float64(a.rules.Snap), leaderReach*t.height)
}

// tailOf returns the text nearest to the tail of l, and its tip. Where no text is at the tail
// but one at the tip, the leader was drawn the other way round.
func (a *attacher) tailOf(l leader, texts []text, index *geom.Index, most float64) (nearest int, tip geom.Vec) {
	best, nearest := 0.0, -1
	for _, way := range []int{1, 0} {
		if nearest >= 0 && l.plain == "" {
			break
		}
		for _, i := range index.Near(l.ends[way], most) {
			t := &texts[i]
			d := t.at.PlanDist(l.ends[way])
			if len(t.corners) > 0 {
				e := outlineEdges(t.corners)
				area := thing{edges: e, region: geom.RegionOf(e)}
				_, d = area.nearest(l.ends[way])
			}
			if d <= a.tailReach(t) && (nearest < 0 || d < best-geom.Same) {
				best, nearest, tip = d, i, l.ends[1-way]
			}
		}
	}
	return nearest, tip
}

// group is parts of a note that go to one thing: of the kinds about, or, where none is near, of the others.
type group struct {
	parts            []part
	about, otherwise kind
}

// layerKinds are the kinds of things that lie on a layer of their own.
var layerKinds = map[Part]kind{PartDuct: onLine, PartFlex: onLine, PartTerm: onTerminal, PartUnit: onUnit,
	PartLimit: onLimit, PartCeiling: onCeiling, PartRated: onWall}

// groups parts what a note says by what it can be about. On the layer of a thing it is about such a thing. The first is
// all of the note together, where one kind of thing can take that.
func (n *note) groups() (whole group, out []group) {
	whole = group{parts: n.parts, about: ^kind(0)}
	for _, p := range n.parts {
		about, otherwise := p.row.about, p.row.otherwise
		if on, ok := layerKinds[n.layer.Part]; ok {
			about, otherwise = (about|otherwise|p.row.own)&on, 0
		}
		whole.about &= about
		k := slices.IndexFunc(out, func(g group) bool { return g.about == about && g.otherwise == otherwise })
		if k < 0 {
			out = append(out, group{nil, about, otherwise})
			k = len(out) - 1
		}
		out[k].parts = append(out[k].parts, p)
	}
	if len(out) < 2 || whole.about == 0 {
		whole.parts = nil
	}
	return whole, out
}

// attach gives what a note says to what lies nearest to p: one thing that can take all of it, else every part by
// itself.
func (a *attacher) attach(n *note, p *probe) {
	var near []*thing
	for _, j := range a.index.Search(p.box().Grow(float64(a.rules.Reach) + geom.Shortest)) {
		near = append(near, &a.things[j])
	}
	whole, groups := n.groups()
	if len(whole.parts) > 0 && a.give(n, &whole, p, near) {
		return
	}
	for i := range groups {
		if g := &groups[i]; !a.give(n, g, p, near) {
			a.unclaimed(n, g)
		}
	}
}

// give gives a group to the thing it is about and reports whether there is one, or are several.
func (a *attacher) give(n *note, g *group, p *probe, near []*thing) bool {
	if n.layer.Part == PartRated {
		return a.giveWalls(n, g, p, near)
	}
	reach := float64(a.rules.Reach)
	c := choose(n.possible(g.about, near), p, reach)
	if c.best == nil {
		c = choose(n.possible(g.otherwise, near), p, reach)
	}
	switch {
	case c.best == nil:
		return false
	case c.other != nil:
		a.report(diag.AmbiguousNote, n,
			fmt.Sprintf("The note %s is equally near to %s and to %s.", quote(g.text()), c.best.name(), c.other.name()),
			"Move it nearer to the one it is about, or draw a LEADER from that to the note.")
	default:
		c.best.claim(n, g, p)
		a.reportNeck(c.best, n, g, p, near)
	}
	return true
}

// claim adds what a group says to what is claimed for t.
func (t *thing) claim(n *note, g *group, p *probe) {
	at, _ := t.nearest(p.middle)
	for _, q := range g.parts {
		t.claims = append(t.claims, claim{part: q, at: at, handle: n.handle})
	}
}

func (g *group) text() string {
	var list []string
	for _, p := range g.parts {
		list = append(list, p.text)
	}
	return strings.Join(list, " ")
}

// possible returns the things of these kinds a note on that layer may speak of.
func (n *note) possible(kinds kind, near []*thing) []*thing {
	var out []*thing
	for _, t := range near {
		own := t.air == n.layer.Air && (n.layer.Status == duct.New || t.status == n.layer.Status)
		if t.kind&kinds != 0 && (own || t.kind&(onLimit|onCeiling) != 0) {
			out = append(out, t)
		}
	}
	return out
}

// unclaimed reports a note about nothing.
func (a *attacher) unclaimed(n *note, g *group) {
	if n.layer.Part == PartRated {
		a.report(diag.UnclaimedNote, n, fmt.Sprintf("The note %s is near no rated wall.", quote(n.value)),
			"Move it nearer to the line of the wall it is about.")
		return
	}
	var list []string
	for _, k := range kindNames {
		if (g.about|g.otherwise)&k.kind != 0 {
			list = append(list, k.name)
		}
	}
	if len(list) == 0 {
		a.report(diag.UnclaimedNote, n,
			fmt.Sprintf("The note %s cannot be about anything on its layer.", quote(g.text())),
			"Move the text to a NOTE layer, or to the layer of what it is about.")
		return
	}
	air, where := "", "of it"
	if g.about&(onLimit|onCeiling) == 0 {
		air = n.layer.Air.String() + " "
	}
	if n.probes[0].tip {
		where = "of the tip of its leader"
	}
	a.report(diag.UnclaimedNote, n, fmt.Sprintf("The note %s is about nothing: there is no %s%s within %s %s.",
		quote(g.text()), air, strings.Join(list, " or "), a.say.Length(a.rules.Reach), where),
		"Move it to what it is about, draw a LEADER from that to the note, or erase it.")
}

// reportNeck reports a size that became the neck of a terminal though it also stands beside the duct that leads to it,
// where a reader may take it for the duct's: no further from it than a text lettered along it would be. A text within
// the face of the terminal, or with a leader, or with words that only a terminal can take, is plain.
func (a *attacher) reportNeck(t *thing, n *note, g *group, p *probe, near []*thing) {
	isSize := func(q part) bool { return q.topic == size }
	if t.kind != onTerminal || p.tip || g.about&onLine == 0 || !slices.ContainsFunc(g.parts, isSize) {
		return
	}
	outside := func(c geom.Vec) bool { return !t.holds(c) }
	if len(p.corners) > 0 && !slices.ContainsFunc(p.corners, outside) {
		return
	}
	for _, o := range n.possible(onLine, near) {
		if o.dist(p) <= alongReach*p.height && o.leadsTo(t, float64(a.rules.Snap)) {
			a.report(diag.SizeAsNeck, n,
				fmt.Sprintf("The size %s was taken as the neck of %s, not as the size of %s, which leads to it.",
					quote(g.text()), t.name(), o.name()),
				"If it is the duct's, move it along the duct away from the terminal, put it on the layer of the duct, "+
					"or draw a LEADER from the duct to it.")
			return
		}
	}
}

// leadsTo reports whether an end of a line lies on or in the face of a terminal, or within the snap distance of it.
func (t *thing) leadsTo(terminal *thing, snap float64) bool {
	return slices.ContainsFunc(t.ends[:], func(end geom.Vec) bool {
		_, d := terminal.nearest(end)
		return d <= snap
	})
}
