package label

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/shape"
)

// want is a label that is wanted, and where it may stand.
type want struct {
	label
	spots  func(out []spot, e effort) []spot // adds the places tried
	good   float64                           // a place that costs more is held against the rarer ones
	at     geom.Vec                          // where it is noted if it is left out
	handle string
	chain  *chain // the duct of a size label, which is missed only where the size can be read nowhere else
}

// wanted returns what is to be labelled, the most important first.
func wanted(net *duct.Network, des *duct.Design, runs []run, chains []*chain, w *writer, spec *Spec) []want {
	var out []want
	if spec.FlowLabels {
		out = append(terminals(net, w), units(net, des, w)...)
	}
	if spec.SizeLabels {
		out = append(append(out, levels(net, runs, w)...), sizes(chains, w, spec.RepeatEvery)...)
	}
	return slices.DeleteFunc(out, func(t want) bool { return len(t.texts) == 0 })
}

// terminals returns the mark and airflow beside every terminal.
func terminals(net *duct.Network, w *writer) []want {
	var out []want
	for i := range net.Terminals {
		t := &net.Terminals[i]
		b := label{look: w.looks[shape.FlowText], key: t.Key.Part("flow"), air: t.Air, status: t.Status,
			facts: &shape.Facts{Terminal: t.Name, Flow: t.Flow, Status: t.Status}}
		out = append(out, beside(b.saying(w.terminal(t)), t.Face, t.At, t.Handle))
	}
	return out
}

// units returns the mark and airflow beside every unit: of each system where it heads several.
func units(net *duct.Network, des *duct.Design, w *writer) []want {
	heads := make([][]*duct.System, len(net.Units))
	for i := range net.Systems {
		if s := &net.Systems[i]; s.Unit != duct.None {
			heads[s.Unit] = append(heads[s.Unit], s)
		}
	}
	through := make([]duct.Flow, len(net.Units)) // each unit in the middle of a system
	for i := range net.Nodes {
		if n := &net.Nodes[i]; n.Kind == duct.Box && n.Unit != duct.None {
			for _, r := range n.Runs {
				through[n.Unit] = max(through[n.Unit], net.Runs[r].Flow)
			}
		}
	}
	var out []want
	for i := range net.Units {
		u := &net.Units[i]
		b := label{look: w.looks[shape.UnitText], key: u.Key.Part("flow"), air: u.Air, status: u.Status}
		out = append(out, beside(b.saying(w.unit(u, heads[i], des.Systems, through[i])), u.Outline, u.At, u.Handle))
	}
	return out
}

// beside wants b beside an outline around at.
func beside(b label, outline []geom.Vec, at geom.Vec, handle string) want {
	if len(outline) == 0 {
		outline = []geom.Vec{at}
	}
	return want{label: b, good: goodBeside, at: at, handle: handle,
		spots: func(out []spot, e effort) []spot { return besideOutline(out, b, outline, at.Z, e) }}
}

// levelWindow is how far from the place where the level changes its tag is tried, metres.
const levelWindow = 3.0

// levels returns the elevations of the ducts on both sides of every place where the level
// changes: at risers, and where a sloping duct begins or ends. Drops to terminals and
// flexible ducts have none; the terminal's own elevation is its ceiling's.
func levels(net *duct.Network, runs []run, w *writer) []want {
	var out []want
	for i := range net.Nodes {
		n := &net.Nodes[i]
		climbs := func(id duct.RunID) bool { return runs[id].Kind == duct.Rigid && !runs[id].level() }
		if n.System == duct.None || !slices.ContainsFunc(n.Runs, climbs) {
			continue
		}
		for _, id := range n.Runs {
			if r := &runs[id]; r.Kind == duct.Rigid && r.level() && r.plan >= geom.Same {
				out = append(out, tag(n, r, n.ID == net.UpNode(r.Run), w))
			}
		}
	}
	return out
}

// tag wants the elevation of r near its end at n.
func tag(n *duct.Node, r *run, atStart bool, w *writer) want {
	end := r.axis.A
	if !atStart {
		end = r.axis.B
	}
	b := label{look: w.looks[shape.LevelText], key: n.Key.At(r.Key).Part("level"), air: r.Air, status: r.Status}
	b = b.saying(w.level(r, end.Z))
	return want{label: b, good: goodAlong, at: end, spots: func(out []spot, e effort) []spot {
		reach := math.Min(r.to-r.from, levelWindow)
		for i := range e.onRun {
			off := reach * float64(i+1) / float64(e.onRun+1)
			t := r.from + off
			if !atStart {
				t = r.to - off
			}
			out = onRun(out, b, r, t, offMiddle*off/levelWindow, e)
		}
		return out
	}}
}

// sizes returns the size of every duct, again and again on long ones.
func sizes(chains []*chain, w *writer, every duct.Length) []want {
	var out []want
	for _, c := range chains {
		if !c.speaks() {
			continue
		}
		r := c.runs[0]
		for i, part := range c.spans(every) {
			b := label{look: w.looks[shape.SizeText], key: r.Key.Part("size", i+1), air: r.Air, status: r.Status}
			b = b.saying(c.text)
			out = append(out, want{label: b, good: goodAlong, chain: c,
				spots: func(out []spot, e effort) []spot { return alongChain(out, b, c, part, w, e) }})
		}
	}
	return out
}

// unread notes the ducts whose size can be read neither on them nor on the one they come from.
func unread(found *diag.List, chains []*chain, lettered map[*chain]bool) {
	read := func(c *chain) bool { return lettered[c] || !c.speaks() }
	for _, c := range chains {
		if read(c) || c.up != nil && slices.Equal(c.up.text, c.text) && read(c.up) {
			continue
		}
		r, handle := c.runs[0], ""
		if len(r.Handles) > 0 {
			handle = r.Handles[0]
		}
		leftOut(found, c.text, r.axis.Point(0.5), handle)
	}
}

// leftOut notes that there is no place for a label the plan cannot do without.
func leftOut(found *diag.List, lines []string, at geom.Vec, handle string) {
	found.Add(diag.LabelLeftOut, [3]float64{at.X, at.Y, at.Z}, handle,
		fmt.Sprintf("There is no free place for the label %q.", strings.Join(lines, ", ")),
		"Letter it by hand, or plot at a larger scale or with smaller lettering.")
}
