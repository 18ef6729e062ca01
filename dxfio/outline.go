package dxfio

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// An outline is what writing has to know of a drawing: where its sections and tables begin and end, which names are
// taken, and which entities are ours.
type outline struct {
	sections []sectionOutline
	eof      int // where the EOF record begins, or the end of the data

	tables       map[string]*tableOutline
	names        map[string]map[string]bool // by table, in capitals
	blocks       map[string]bool            // added, in capitals
	blockRecords map[string]string          // handles by name in capitals

	headerEnd          int    // where the variables of the header end; 0 where there is no header
	seed               uint64 // $HANDSEED
	seedStart, seedEnd int    // its value; 0 where there is none
	handlesInUse       bool   // R12: the drawing has handles
	modelSpace         string // handle of the block record of model space
	plotStyle          string // what layer 0 has as 390
	material           string // and as 347

	ours       []ownedEntity // in file order, copies too
	renumbered bool          // another program gave our entities new handles
}

type sectionOutline struct {
	name       string
	start, end int // of its SECTION tag; of its ENDSEC tag
}

type tableOutline struct {
	name                 string
	handle               string
	start, end           int // of its TABLE tag; of its ENDTAB tag
	count                int // what its head claims, -1 nothing
	countStart, countEnd int
	entries              int

	created    bool
	added      []byte
	addedNames []string
}

func (o *outline) section(name string) *sectionOutline {
	for i := range o.sections {
		if o.sections[i].name == name {
			return &o.sections[i]
		}
	}
	return nil
}

func (o *outline) note(table, name string) {
	if o.names[table] == nil {
		o.names[table] = make(map[string]bool)
	}
	o.names[table][nameKey(name)] = true
}

// An ownedEntity is an entity that carries our mark, with all records that hang on it.
type ownedEntity struct {
	start, end int      // bytes, of the whole chain
	handles    []string // of its records, in order; "" where one has none
	groups     []pair   // 102 groups of the main record: reactors, extension dictionary
	foreign    []pair   // XDATA of other programs on the main record
	mark       mark
	hint       [2]int // the span of the text in which the mark keeps its handle
	layer      string
	at         Point
	edited     bool
	copy       bool
}

func (e *ownedEntity) view() Owned {
	handle := ""
	if len(e.handles) > 0 {
		handle = e.handles[0]
	}
	return Owned{Key: e.mark.key, Data: e.mark.data, Handle: handle, Layer: e.layer, At: e.at, Edited: e.edited,
		Copy: e.copy}
}

// clone gives an outline to note additions in; what is never changed is shared.
func (o *outline) clone() *outline {
	own := *o
	own.tables = make(map[string]*tableOutline, len(o.tables))
	for name, t := range o.tables {
		copied := *t
		own.tables[name] = &copied
	}
	own.names = make(map[string]map[string]bool, len(o.names))
	for table, names := range o.names {
		own.names[table] = maps.Clone(names)
	}
	own.blocks = maps.Clone(o.blocks)
	return &own
}

// outline gives the outline of the drawing, which is made once. It is not to be changed.
func (d *Document) outline() (*outline, error) {
	d.known.outlined.Do(func() { d.known.outline, d.known.bad = outlineOf(d) })
	return d.known.outline, d.known.bad
}

// outlineOf looks through a drawing for what writing has to know. Of entities it looks into those alone that are ours.
func outlineOf(d *Document) (*outline, error) {
	o := &outline{
		eof:          d.tail,
		tables:       make(map[string]*tableOutline),
		names:        make(map[string]map[string]bool),
		blocks:       make(map[string]bool),
		blockRecords: make(map[string]string),
	}
	if last := len(d.records) - 1; d.name(last) == "EOF" {
		o.eof = int(d.records[last].start)
	}
	w := outliner{doc: d, o: o}
	for _, s := range d.sections {
		if s.end >= len(d.records) {
			return nil, fmt.Errorf("section %s has no end (ENDSEC); the drawing is cut off", s.name)
		}
		o.sections = append(o.sections,
			sectionOutline{s.name, int(d.records[s.start].start), int(d.records[s.end].start)})
		switch s.name {
		case sectionHeader:
			if o.headerEnd == 0 {
				o.headerEnd = d.end(s.start)
				w.header(s.start)
			}
		case sectionTables:
			for i := s.start + 1; i < s.end; i++ {
				w.table(i)
			}
			w.tab = nil
		case sectionBlocks:
			w.marked(s, true)
		case sectionEntities:
			if s.end > s.start+1 {
				w.first(s.start + 1)
			}
			w.marked(s, false)
		}
	}
	for _, t := range o.tables {
		if t.end < 0 {
			return nil, fmt.Errorf("table %s has no end (ENDTAB); the drawing is damaged", t.name)
		}
	}
	o.handlesInUse = w.handling == handlingOn || w.handling == handlingUnsaid && (w.entityHandles || o.seedStart > 0)
	if o.modelSpace == "" {
		o.modelSpace = w.firstOwner
	}
	o.markCopies()
	return o, nil
}

type handling int

const (
	handlingUnsaid handling = iota
	handlingOff
	handlingOn
)

type outliner struct {
	doc           *Document
	o             *outline
	tab           *tableOutline
	handling      handling
	entityHandles bool
	firstOwner    string
}

func (w *outliner) header(i int) {
	variable := ""
	for c := w.doc.tags(i); c.next(); {
		switch {
		case c.code == 9:
			variable = strings.TrimSpace(c.text())
		case variable == "$HANDSEED" && c.code == 5:
			w.o.seed = parseHandle(strings.TrimSpace(c.text()))
			w.o.seedStart, w.o.seedEnd = c.vs, c.ve
		case variable == "$HANDLING" && c.code == 70:
			w.handling = handlingOff
			if c.int() != 0 {
				w.handling = handlingOn
			}
		}
	}
}

// table looks at a record of the TABLES section.
func (w *outliner) table(i int) {
	switch kind := w.doc.name(i); {
	case kind == "TABLE":
		w.tableHead(i)
	case w.tab == nil:
	case kind == "ENDTAB":
		w.tab.end = int(w.doc.records[i].start)
		w.tab = nil
	default:
		w.tab.entries++
		f := w.fields(i, 2, 5, 390, 347)
		name := w.doc.decode(f[2])
		w.o.note(w.tab.name, name)
		switch {
		case w.tab.name == tableBlock:
			w.o.blockRecords[nameKey(name)] = f[5]
			if nameKey(name) == "*MODEL_SPACE" {
				w.o.modelSpace = f[5]
			}
		case w.tab.name == tableLayer && name == nameLayerZero:
			w.o.plotStyle, w.o.material = f[390], f[347]
		}
	}
}

func (w *outliner) tableHead(i int) {
	w.tab = &tableOutline{start: int(w.doc.records[i].start), end: -1, count: -1}
	for c := w.doc.tags(i); c.next(); {
		switch {
		case c.code == 2 && w.tab.name == "":
			w.tab.name = strings.ToUpper(strings.TrimSpace(c.text()))
		case c.code == 5 && w.tab.handle == "":
			w.tab.handle = strings.TrimSpace(c.text())
		case c.code == 70 && w.tab.count < 0:
			w.tab.count, w.tab.countStart, w.tab.countEnd = c.int(), c.vs, c.ve
		}
	}
	if w.o.tables[w.tab.name] == nil {
		w.o.tables[w.tab.name] = w.tab
	}
}

// fields gives the first value of each code asked for.
func (w *outliner) fields(i int, codes ...int) map[int]string {
	f := make(map[int]string, len(codes))
	for c := w.doc.tags(i); c.next(); {
		if _, seen := f[c.code]; !seen && slices.Contains(codes, c.code) {
			f[c.code] = strings.TrimSpace(c.text())
		}
	}
	return f
}

// first looks at the first entity of the drawing, which stands for all where the drawing does not say whether it has
// handles, or which block record stands for model space.
func (w *outliner) first(i int) {
	f := w.fields(i, 5, 330)
	w.entityHandles = f[5] != ""
	if w.doc.records[i].flags&flagPaper == 0 {
		w.firstOwner = f[330]
	}
}

// marked gathers the entities of a section that carry our mark. Those in blocks and on sheets are copies: we draw in
// model space.
func (w *outliner) marked(s section, inBlock bool) {
	for i := s.start + 1; i < s.end; i++ {
		if w.doc.records[i].flags&flagOwned == 0 {
			continue
		}
		n := w.chainLength(i, s.end)
		if e, ok := w.owned(i, n); ok {
			e.copy = inBlock || w.doc.records[i].flags&flagPaper != 0
			w.o.ours = append(w.o.ours, e)
			i += n - 1
		}
	}
}

// chainLength is the number of records an entity takes up: a POLYLINE and an INSERT may have others behind them, up to
// a SEQEND. A chain that something else breaks into ends there.
func (w *outliner) chainLength(i, end int) int {
	part := ""
	switch w.doc.name(i) {
	case "POLYLINE":
		part = "VERTEX"
	case "INSERT":
		part = "ATTRIB"
	default:
		return 1
	}
	for n := 1; i+n < end; n++ {
		switch w.doc.name(i + n) {
		case part:
		case "SEQEND":
			return n + 1
		default:
			return n
		}
	}
	return end - i
}

// usualTags is how many tags most records of ours have.
const usualTags = 16

// ownedRecord reads one record of an entity of ours: its body, its handle, our XDATA and where it ends. What other
// programs hung on it, and where it holds the handle in our mark, go into e.
func (w *outliner) ownedRecord(i int, e *ownedEntity) (r record, handle string, marks []string, end int) {
	r.body = make([]pair, 0, usualTags)
	app, group := "", false
	for c := w.doc.tags(i); c.next(); {
		text := c.text()
		if c.code != 999 {
			end = c.end // a comment behind our entity is not ours
		}
		if c.code == 1001 {
			app = strings.TrimSpace(text)
		}
		switch {
		case c.code == 0:
			r.kind = strings.TrimSpace(text)
		case c.code == 999:
		case c.code == 1000 && app == ApplicationName:
			marks = append(marks, text)
			if strings.HasPrefix(text, markHandle) {
				e.hint = [2]int{c.vs, c.ve}
			}
		case c.code >= 1000:
			if app != ApplicationName {
				e.foreign = append(e.foreign, pair{c.code, text})
			}
		case c.code == 102 || group:
			if c.code == 102 {
				group = strings.HasPrefix(text, "{")
			}
			e.groups = append(e.groups, pair{c.code, text})
		default:
			if c.code == 5 && handle == "" {
				handle = strings.TrimSpace(text)
			}
			r.body = append(r.body, pair{c.code, text})
		}
	}
	return r, handle, marks, end
}

// owned reads an entity of ours, of n records from the i-th on. ok is false where its mark cannot be read.
func (w *outliner) owned(i, n int) (e ownedEntity, ok bool) {
	e = ownedEntity{start: int(w.doc.records[i].start)}
	var marks []string
	records := make([]record, n)
	for k := range records {
		var part ownedEntity // what other programs hung on the parts of an entity is not kept
		hung := &part
		if k == 0 {
			hung = &e
		}
		var handle string
		var own []string
		records[k], handle, own, e.end = w.ownedRecord(i+k, hung)
		e.handles = append(e.handles, handle)
		if k == 0 {
			marks = own
		}
	}
	if e.mark, ok = readMark(marks); !ok {
		return e, false
	}
	f := fieldsOf(records[0].body)
	e.layer = w.doc.decode(f[8])
	place := f
	if records[0].kind == "POLYLINE" && len(records) > 1 {
		place = fieldsOf(records[1].body)
	}
	e.at = Point{floatOf(place, 10, 0), floatOf(place, 20, 0), floatOf(place, 30, floatOf(f, 38, 0))}
	e.edited = digest(f[8], records, w.doc.decode) != e.mark.digest
	return e, true
}

// markCopies finds out which entities of ours are copies that somebody made: a copy has the mark of what it was copied
// from, and with it a handle that is not its own. Programs that give every entity a new handle when they save make all
// handles disagree; where most do, the drawing was renumbered, the handles say nothing, and of several entities with
// one key the first is ours. The same holds in drawings without handles.
func (o *outline) markCopies() {
	agree, disagree := 0, 0
	for i := range o.ours {
		switch e := &o.ours[i]; {
		case e.copy || e.mark.handle == "":
		case e.handleAgrees():
			agree++
		default:
			disagree++
		}
	}
	o.renumbered = disagree > agree
	best := make(map[string]*ownedEntity)
	for i := range o.ours {
		e := &o.ours[i]
		if e.copy {
			continue
		}
		if e.mark.handle != "" && !o.renumbered && !e.handleAgrees() {
			e.copy = true
			continue
		}
		first := best[e.mark.key]
		switch {
		case first == nil:
			best[e.mark.key] = e
		case e.handleAgrees() && !first.handleAgrees():
			first.copy, best[e.mark.key] = true, e
		default:
			e.copy = true
		}
	}
}

// handleAgrees reports whether an entity has the handle its mark says it has.
func (e *ownedEntity) handleAgrees() bool {
	return e.mark.handle != "" && strings.EqualFold(e.handles[0], e.mark.handle)
}
