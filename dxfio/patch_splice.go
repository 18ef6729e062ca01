package dxfio

import (
	"fmt"
	"slices"
	"strings"
)

// The sections we may have to add to.
const (
	sectionHeader   = "HEADER"
	sectionTables   = "TABLES"
	sectionBlocks   = "BLOCKS"
	sectionEntities = "ENTITIES"
)

// sectionRank is the order sections stand in.
var sectionRank = map[string]int{
	sectionHeader: 1, "CLASSES": 2, sectionTables: 3, sectionBlocks: 4, sectionEntities: 5, "OBJECTS": 6, "ACDSDATA": 7,
	"THUMBNAILIMAGE": 8,
}

// seed raises $HANDSEED above the handles given out.
func (a *applier) seed() {
	if a.handles.last == 0 {
		return
	}
	next := fmt.Sprintf("%X", a.handles.last+1)
	switch {
	case a.o.seedStart > 0:
		if a.o.seed > a.handles.last {
			return
		}
		a.edits = append(a.edits, edit{start: a.o.seedStart, end: a.o.seedEnd, text: a.form.text(next), kind: placeSeed,
			place: fmt.Sprintf("$HANDSEED: from %X to %s", a.o.seed, next)})
	case a.o.headerEnd > 0:
		text := a.form.append(a.form.append(nil, pair{9, "$HANDSEED"}), pair{5, next})
		a.edits = append(a.edits,
			edit{start: a.o.headerEnd, end: a.o.headerEnd, text: text, kind: placeSeedNew, place: "$HANDSEED: added, " +
				next})
	}
}

// sections puts what was gathered where it belongs: into the sections there are, or into new ones.
func (a *applier) sections() {
	a.placeTables()
	if len(a.newBlocks) > 0 {
		var text []byte
		var names []string
		for _, b := range a.newBlocks {
			text, names = append(text, b.text...), append(names, b.name)
		}
		a.into(sectionBlocks, text, edit{kind: placeBlock, place: "blocks: added " + strings.Join(names, ", ")})
	}
	if len(a.fresh) > 0 {
		a.into(sectionEntities, a.fresh, edit{})
	}
}

// placeTables writes the tables the drawing lacked, each before the first that comes after it in the order of tables.
func (a *applier) placeTables() {
	var all []byte
	for _, t := range a.newTables {
		text := a.form.append(nil, pair{0, "TABLE"})
		text = a.form.append(text, pair{2, t.name})
		if t.handle != "" {
			text = a.form.append(text, pair{5, t.handle})
			text = a.form.append(text, pair{330, "0"})
		}
		if a.f.markers {
			text = a.form.append(text, pair{100, "AcDbSymbolTable"})
		}
		text = a.form.append(text, pair{70, fmt.Sprint(len(t.addedNames))})
		text = a.form.append(append(text, t.added...), pair{0, "ENDTAB"})
		section := a.o.section(sectionTables)
		if section == nil {
			all = append(all, text...)
			continue
		}
		at := section.end
		for _, other := range a.o.tables {
			if !other.created && tableRank[other.name] > tableRank[t.name] && other.start < at {
				at = other.start
			}
		}
		a.edits = append(a.edits,
			edit{start: at, end: at, text: text, kind: placeTable,
				place: fmt.Sprintf("table %s: added, with %s", t.name, strings.Join(t.addedNames, ", "))})
	}
	if len(all) > 0 {
		var names []string
		for _, t := range a.newTables {
			names = append(names, t.name)
		}
		a.into(sectionTables, all, edit{kind: placeTable, place: "tables: added " + strings.Join(names, ", ")})
	}
}

// into puts text at the end of a section, or into a new one in its place.
func (a *applier) into(name string, text []byte, e edit) {
	if s := a.o.section(name); s != nil {
		e.start, e.end, e.text = s.end, s.end, text
		a.edits = append(a.edits, e)
		return
	}
	at := a.o.eof
	for i := range a.o.sections {
		s := &a.o.sections[i]
		if rank, known := sectionRank[s.name]; known && rank > sectionRank[name] && s.start < at {
			at = s.start
		}
	}
	head := a.form.append(a.form.append(nil, pair{0, "SECTION"}), pair{2, name})
	body := a.form.append(append(head, text...), pair{0, "ENDSEC"})
	place := "section " + name + ": added"
	if e.place != "" {
		place += "; " + e.place
	}
	a.edits = append(a.edits, edit{start: at, end: at, text: body, kind: placeSection, place: place})
}

// splice puts the edits into the bytes, and keeps for Verify where each came to lie.
func (a *applier) splice() []byte {
	slices.SortStableFunc(a.edits, func(x, y edit) int { return x.start - y.start })
	data := a.doc.data
	size := len(data)
	for _, e := range a.edits {
		size += len(e.text)
	}
	out := make([]byte, 0, size)
	at := 0
	for _, e := range a.edits {
		out = append(out, data[at:e.start]...)
		from := len(out)
		if e.start == len(data) && !a.form.binary && from > 0 && out[from-1] != a.doc.newline {
			out = append(out, a.form.eol...) // the last line of the drawing has no end
		}
		if e.kind != placeNone {
			a.change.places = append(a.change.places, placed{e.kind, e.start, e.end, from, len(out) + len(e.text)})
			a.change.Places = append(a.change.Places, e.place)
		}
		out = append(out, e.text...)
		at = e.end
	}
	return append(out, data[at:]...)
}
