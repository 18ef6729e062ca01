package dxfio

import (
	"cmp"
	"fmt"
	"slices"
	"sort"
	"strings"
)

// An edit replaces a span of the drawing's bytes; an empty span is a place to insert at. An edit of an entity of ours
// has no kind; the few other places a patch may touch have one, and say in words what they are.
type edit struct {
	start, end int
	text       []byte
	kind       placeKind
	place      string
}

// placeKind says what sort of place, other than entities of ours, an edit touches. Verify holds each kind to its own
// rules.
type placeKind uint8

const (
	placeNone    placeKind = iota
	placeSeed              // the value of $HANDSEED
	placeSeedNew           // $HANDSEED itself, where the header lacks it
	placeCount             // the entry count of a table
	placeEntry             // new entries at the end of a table
	placeTable             // a new table with its entries
	placeBlock             // a new block
	placeSection           // a new section with what is in it
)

// Apply gives the bytes of the drawing with the patch in it, and what that changed. The document itself stays as it is.
//
// Work of ours from before keeps its bytes and its handle where key and content are as they were; where the content
// differs it is replaced in its place under its handle; where its key is not wanted any more and p.Owns accepts it, it
// is taken out. New work goes to the end of the entities. Everything else stays byte for byte, but for the places named
// in Change.Places. Applying the same patch to the result gives the same bytes.
func (d *Document) Apply(p Patch) ([]byte, Change, error) {
	if why := writable(d.Version()); why != "" {
		return nil, Change{}, fmt.Errorf("nothing can be drawn into this drawing: %s", why)
	}
	if err := checkDefs(p); err != nil {
		return nil, Change{}, err
	}
	o, err := d.outline()
	if err != nil {
		return nil, Change{}, err
	}
	o = o.clone()
	a := &applier{doc: d, o: o, f: featuresOf(d.Version()), form: formOf(d)}
	a.f.handles = a.f.handles || o.handlesInUse
	a.handles = newAllocator(d, o)
	if err := a.items(p); err != nil {
		return nil, Change{}, err
	}
	if err := a.definitions(p); err != nil {
		return nil, Change{}, err
	}
	if err := a.references(p); err != nil {
		return nil, Change{}, err
	}
	a.tables()
	a.seed()
	a.sections()
	data := a.splice()
	a.change.Places = append(a.change.Places, a.dangling()...)
	return data, a.change, nil
}

// An applier gathers the edits of one patch.
type applier struct {
	doc     *Document
	o       *outline
	f       features
	form    form
	handles *allocator
	edits   []edit
	change  Change

	fresh     []byte          // new entities
	newTables []*tableOutline // tables the drawing lacks, in the order tables stand in
	newBlocks []newBlock
	gone      map[uint64]bool // handles of what is taken out
	out       []hole          // and where that lies
}

type newBlock struct {
	name string
	text []byte
}

// items compares what is wanted with what is there. The records of an item are made twice, for comparing and for
// writing, rather than kept: they take many times the room of the item.
func (a *applier) items(p Patch) error {
	byKey, digests, err := a.wanted(p)
	if err != nil {
		return err
	}
	there := make(map[string]bool)
	for i := range a.o.ours {
		e := &a.o.ours[i]
		if e.copy {
			a.change.Copied = append(a.change.Copied, e.view())
			continue
		}
		key := e.mark.key
		w, isWanted := byKey[key]
		there[key] = there[key] || isWanted
		switch {
		case isWanted && !e.edited && digests[w] == e.mark.digest && p.Items[w].Data == e.mark.data:
			a.change.Kept = append(a.change.Kept, key)
			a.refresh(e)
		case isWanted:
			a.noteEdited(e)
			a.change.Changed = append(a.change.Changed, key)
			text, err := a.entity(nil, p.Items[w], digests[w], e)
			if err != nil {
				return err
			}
			a.edits = append(a.edits, edit{start: e.start, end: e.end, text: text})
		case p.Owns == nil || p.Owns(key):
			a.noteEdited(e)
			a.change.Removed = append(a.change.Removed, key)
			a.removed(e)
			a.edits = append(a.edits, edit{start: e.start, end: e.end})
		}
	}
	for i, item := range p.Items {
		if there[item.Key] {
			continue
		}
		a.change.Added = append(a.change.Added, item.Key)
		if a.fresh, err = a.entity(a.fresh, item, digests[i], nil); err != nil {
			return err
		}
	}
	return nil
}

// wanted returns the items of a patch by key, and the digest of each.
func (a *applier) wanted(p Patch) (byKey map[string]int, digests []string, err error) {
	byKey, digests = make(map[string]int, len(p.Items)), make([]string, len(p.Items))
	for i, item := range p.Items {
		if err := checkItem(item); err != nil {
			return nil, nil, fmt.Errorf("item %d, %q: %w", i+1, item.Key, err)
		}
		if _, twice := byKey[item.Key]; twice {
			return nil, nil, fmt.Errorf("the key %q is there twice; every item needs a key of its own", item.Key)
		}
		rs, err := geometryRecords(item.Geometry, a.f)
		if err != nil {
			return nil, nil, fmt.Errorf("item %q: %w", item.Key, err)
		}
		byKey[item.Key] = i
		digests[i] = digest(asciiText(item.Layer), rs, a.doc.decode)
	}
	return byKey, digests, nil
}

// noteEdited notes that work changed by hand is replaced or removed.
func (a *applier) noteEdited(e *ownedEntity) {
	if e.edited {
		a.change.Edited = append(a.change.Edited, e.view())
	}
}

// refresh has a kept entity say the handle it has now, where another program gave all entities new ones. Else entities
// kept from before would look like copies beside those added since.
func (a *applier) refresh(e *ownedEntity) {
	if !a.o.renumbered || e.handleAgrees() || e.handles[0] == "" || e.hint[1] == 0 {
		return
	}
	a.edits = append(a.edits, edit{start: e.hint[0], end: e.hint[1], text: a.form.text(markHandle + e.handles[0])})
	a.change.refreshed = append(a.change.refreshed, e.mark.key)
}

func checkItem(item Item) error {
	switch {
	case item.Key == "":
		return fmt.Errorf("it has no key")
	case item.Layer == "":
		return fmt.Errorf("it lies on no layer")
	case len(item.Data) > maxDataBytes:
		return fmt.Errorf("its data are %d bytes; %d can be kept", len(item.Data), maxDataBytes)
	}
	if _, isAttrib := item.Geometry.(AttribGeom); isAttrib {
		return fmt.Errorf("an attribute stands in an insert or in a block, not by itself")
	}
	return nil
}

// entity writes an item of model space with its mark. old, where given, is what it takes the place of: its handles
// are used again, those of its parts as far as they reach, and what other programs hung on it stays.
func (a *applier) entity(dst []byte, item Item, sum string, old *ownedEntity) ([]byte, error) {
	rs, err := geometryRecords(item.Geometry, a.f)
	if err != nil {
		return nil, fmt.Errorf("item %q: %w", item.Key, err)
	}
	var reuse []string
	var groups, foreign []pair
	if old != nil {
		reuse, groups, foreign = old.handles, old.groups, old.foreign
	}
	h := a.handle(&reuse)
	m := mark{key: item.Key, data: item.Data, digest: sum, handle: h}
	return a.records(dst, rs, item.Layer, h, &reuse, a.o.modelSpace, groups, append(m.pairs(), foreign...)), nil
}

// handle gives the next handle to use again, or a new one; "" in a drawing without handles.
func (a *applier) handle(reuse *[]string) string {
	if !a.f.handles {
		return ""
	}
	for len(*reuse) > 0 {
		h := (*reuse)[0]
		*reuse = (*reuse)[1:]
		if h != "" {
			return h
		}
	}
	return a.handles.next()
}

// records writes the records of one entity, each with the tags all entities have.
func (a *applier) records(dst []byte, rs []record, layer, handle string, reuse *[]string, owner string, groups,
	extra []pair) []byte {
	main := handle
	for i, r := range rs {
		if i > 0 {
			handle, owner, groups = a.handle(reuse), main, nil
		}
		dst = a.head(dst, r.kind, handle, owner, groups)
		if a.f.markers {
			dst = a.form.append(dst, pair{100, "AcDbEntity"})
		}
		dst = a.form.append(dst, pair{8, asciiText(layer)})
		dst = a.body(dst, r.body)
		if i == 0 {
			for _, p := range extra {
				dst = a.form.append(dst, p)
			}
		}
	}
	return dst
}

func (a *applier) head(dst []byte, kind, handle, owner string, groups []pair) []byte {
	dst = a.form.append(dst, pair{0, kind})
	if handle != "" {
		dst = a.form.append(dst, pair{5, handle})
	}
	for _, p := range groups {
		dst = a.form.append(dst, p)
	}
	if a.f.owners && owner != "" {
		dst = a.form.append(dst, pair{330, owner})
	}
	return dst
}

func (a *applier) body(dst []byte, body []pair) []byte {
	for _, p := range body {
		if p.code != 100 || a.f.markers {
			dst = a.form.append(dst, p)
		}
	}
	return dst
}

// definitions adds the table entries and blocks that are missing.
func (a *applier) definitions(p Patch) error {
	if len(p.Items) > 0 && len(a.fresh)+len(a.edits) > 0 {
		a.entry(appEntry(ApplicationName))
	}
	for _, def := range p.Linetypes {
		a.entry(linetypeEntry(def, a.f))
	}
	for _, def := range p.Layers {
		linetype := def.Linetype
		if linetype == "" {
			linetype = nameContinuous
		}
		if a.has(tableLayer, def.Name) {
			continue
		}
		if !a.has(tableLinetype, linetype) {
			if !strings.EqualFold(linetype, nameContinuous) {
				return fmt.Errorf("layer %q is to have the line type %q, which is neither in the drawing nor among those "+
					"to be added", def.Name, linetype)
			}
			a.entry(linetypeEntry(LinetypeDef{Name: nameContinuous, Description: "Solid line"}, a.f))
		}
		a.entry(layerEntry(def, a.f, a.o.plotStyle, a.o.material))
	}
	for _, def := range p.Styles {
		a.entry(styleEntry(def))
	}
	for _, def := range p.Blocks {
		if err := a.block(def); err != nil {
			return err
		}
	}
	return nil
}

// references sees to it that what the items name is there. A layer without a definition is made with the defaults of a
// layer; a text style or a block without one is a mistake.
func (a *applier) references(p Patch) error {
	check := func(what string, item Item) error {
		if !a.has(tableLayer, item.Layer) {
			a.entry(layerEntry(LayerDef{Name: item.Layer, Weight: weightDefault, Plots: true}, a.f, a.o.plotStyle,
				a.o.material))
		}
		for _, style := range stylesOf(item.Geometry) {
			if !a.has(tableStyle, style) {
				return fmt.Errorf("%s has the text style %q, which is neither in the drawing nor among those to be added",
					what, style)
			}
		}
		if g, ok := item.Geometry.(InsertGeom); ok && !a.hasBlock(g.Block) {
			return fmt.Errorf("%s inserts the block %q, which is neither in the drawing nor among those to be added",
				what, g.Block)
		}
		return nil
	}
	for _, def := range p.Blocks {
		for i, item := range def.Items {
			item.Layer = cmp.Or(item.Layer, nameLayerZero)
			if err := check(fmt.Sprintf("block %q: item %d", def.Name, i+1), item); err != nil {
				return err
			}
		}
	}
	for _, item := range p.Items {
		if err := check(fmt.Sprintf("item %q", item.Key), item); err != nil {
			return err
		}
	}
	return nil
}

// stylesOf lists the text styles a geometry names.
func stylesOf(g Geometry) []string {
	var out []string
	switch g := g.(type) {
	case TextGeom:
		out = append(out, g.Style)
	case AttribGeom:
		out = append(out, g.Style)
	case InsertGeom:
		for _, a := range g.Attribs {
			out = append(out, a.Style)
		}
	}
	return slices.DeleteFunc(out, func(s string) bool { return s == "" })
}

// has reports whether a table has an entry of that name, or is about to get it.
func (a *applier) has(table, name string) bool {
	return a.o.names[table][nameKey(name)]
}

// hasBlock reports whether there is a block of that name, or is about to be.
func (a *applier) hasBlock(name string) bool {
	return a.o.blocks[nameKey(name)] || a.doc.blocks[nameKey(name)] != nil
}

// nameKey is a name as tables compare it: without regard to case.
func nameKey(name string) string { return strings.ToUpper(name) }

// entry adds a table entry where there is none of its name, and gives its handle.
func (a *applier) entry(e tableEntry) string {
	if a.has(e.table, e.name) {
		return ""
	}
	t := a.o.tables[e.table]
	if t == nil {
		t = a.newTable(e.table)
		if a.has(e.table, e.name) {
			return "" // one of those every table of its kind begins with
		}
	}
	a.o.note(e.table, e.name)
	handle := ""
	if a.f.tableHandles {
		handle = a.handles.next()
	}
	t.added = a.head(t.added, e.table, handle, t.handle, nil)
	if a.f.markers {
		t.added = a.form.append(t.added, pair{100, "AcDbSymbolTableRecord"})
	}
	t.added = a.body(t.added, e.body)
	t.addedNames = append(t.addedNames, e.name)
	return handle
}

// newTable starts a table that the drawing lacks, with the entries every table of its kind has.
func (a *applier) newTable(name string) *tableOutline {
	t := &tableOutline{name: name, created: true}
	if a.f.tableHandles {
		t.handle = a.handles.next()
	}
	a.o.tables[name] = t
	switch name {
	case tableLinetype:
		if a.f.markers {
			a.entry(linetypeEntry(LinetypeDef{Name: nameByBlock}, a.f))
			a.entry(linetypeEntry(LinetypeDef{Name: nameByLayer}, a.f))
		}
		a.entry(linetypeEntry(LinetypeDef{Name: nameContinuous, Description: "Solid line"}, a.f))
	case tableLayer:
		if !a.has(tableLinetype, nameContinuous) {
			a.entry(linetypeEntry(LinetypeDef{Name: nameContinuous, Description: "Solid line"}, a.f))
		}
		a.entry(layerEntry(LayerDef{Name: nameLayerZero, Weight: weightDefault, Plots: true}, a.f, a.o.plotStyle,
			a.o.material))
	case tableStyle:
		a.entry(styleEntry(StyleDef{Name: nameStandard, Font: "txt"}))
	}
	return t
}

// tables turns what was gathered for each table into edits.
func (a *applier) tables() {
	names := make([]string, 0, len(a.o.tables))
	for name := range a.o.tables {
		names = append(names, name)
	}
	sort.Slice(names, func(i, j int) bool { return tableRank[names[i]] < tableRank[names[j]] })
	for _, name := range names {
		t := a.o.tables[name]
		switch {
		case len(t.addedNames) == 0:
		case t.created:
			a.newTables = append(a.newTables, t)
		default:
			a.edits = append(a.edits, edit{start: t.end, end: t.end, text: t.added, kind: placeEntry,
				place: fmt.Sprintf("table %s: added %s", name, strings.Join(t.addedNames, ", "))})
			a.count(t)
		}
	}
}

// count raises the number of entries a table claims, where it was no lie before and would be one now.
func (a *applier) count(t *tableOutline) {
	total := t.entries + len(t.addedNames)
	if t.count < 0 || t.count < t.entries || t.count >= total {
		return
	}
	a.edits = append(a.edits,
		edit{start: t.countStart, end: t.countEnd, text: a.form.integer(total, a.doc.data[t.countStart:t.countEnd]),
			kind:  placeCount,
			place: fmt.Sprintf("table %s: number of entries from %d to %d", t.name, t.count, total)})
}

// block adds a block where there is none of its name.
func (a *applier) block(def BlockDef) error {
	if a.hasBlock(def.Name) {
		return nil
	}
	a.o.blocks[nameKey(def.Name)] = true
	owner := ""
	if a.f.blockRecords {
		owner = a.entry(blockRecordEntry(def.Name, a.f))
		if owner == "" {
			owner = a.o.blockRecords[nameKey(def.Name)]
		}
	}
	flags := "0"
	for _, item := range def.Items {
		if _, ok := item.Geometry.(AttribGeom); ok {
			flags = "2" // it has attribute definitions
		}
	}
	name := asciiText(def.Name)
	body := append([]pair{{100, "AcDbBlockBegin"}, {2, name}, {70, flags}}, point(10, def.Base)...)
	body = append(body, pair{3, name}, pair{1, ""})
	var none []string
	text := a.records(nil, []record{{"BLOCK", body}}, nameLayerZero, a.handle(&none), &none, owner, nil, nil)
	for i, item := range def.Items {
		rs, err := geometryRecords(item.Geometry, a.f)
		if err != nil {
			return fmt.Errorf("block %q: item %d: %w", def.Name, i+1, err)
		}
		text = a.records(text, rs, cmp.Or(item.Layer, nameLayerZero), a.handle(&none), &none, owner, nil, nil)
	}
	text = a.records(text, []record{{"ENDBLK", []pair{{100, "AcDbBlockEnd"}}}}, nameLayerZero, a.handle(&none), &none,
		owner, nil, nil)
	a.newBlocks = append(a.newBlocks, newBlock{def.Name, text})
	return nil
}
