package dxfio

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"sync"
)

// Document is a drawing that was read. It keeps the bytes and an index of its records, and
// is never changed.
//
// A record is what stands from a tag with code 0 to the next one: an entity, a table
// entry, SECTION, ENDSEC. Records lie one behind the other, so one byte place each is enough.
// Values are looked at only when somebody asks for them.
type Document struct {
	data    []byte
	newline byte // ends a line: '\n', with or without '\r' before it; '\r' where the whole file has no '\n'
	bin     bool // binary DXF
	wide    bool // its group codes are two bytes
	first   int  // where the tags begin: after a byte-order mark or the sentinel
	tail    int  // where they end: after EOF, or at the end of the data
	version string
	text    decoder

	records  []record32
	layers   []string          // names by number, as they are written
	layerIDs map[string]uint32 // numbers by name as it stands in the file
	sections []section
	header   map[string]string // first value of each header variable
	blocks   map[string]*block // by name in capitals
	table    []Layer

	lines *lineIndex
	known *known
}

// known is what was found out about a drawing when it was first asked for.
type known struct {
	outlined sync.Once
	outline  *outline
	bad      error
	counted  sync.Once
	highest  uint64 // handle
}

// record32 is the index entry of one record; it ends where the next one begins.
type record32 struct {
	start uint32
	layer uint32 // number of the layer; 0 none
	kind  Kind   // 0 for kinds that are not looked into
	flags uint8
}

const (
	flagOwned  = 1 << iota // carries our XDATA
	flagPaper              // lies on a sheet, not in model space
	flagVertex             // VERTEX, ATTRIB or SEQEND: belongs to the entity before it
)

type section struct {
	name       string
	start, end int // records: of SECTION, of ENDSEC
}

// kinds are the entities that are looked into.
var kinds = map[string]Kind{
	"LINE": KindLine, "LWPOLYLINE": KindPolyline, "POLYLINE": KindPolyline, "ARC": KindArc, "CIRCLE": KindCircle,
	"POINT": KindPoint, "SPLINE": KindSpline, "ELLIPSE": KindEllipse, "INSERT": KindInsert, "TEXT": KindText,
	"MTEXT": KindMText, "LEADER": KindLeader, "MULTILEADER": kindMultiLeader, "MLEADER": kindMultiLeader,
}

// Read reads a drawing. It returns an error, with the line or the byte, for what is no DXF,
// is cut off or is damaged so that its records cannot be parted. What is inside the
// records is not looked at yet.
func Read(data []byte) (*Document, error) {
	if int64(len(data)) > MaxFile {
		return nil, fmt.Errorf("the drawing has %d bytes; no more than %d can be read", len(data), int64(MaxFile))
	}
	d := &Document{data: data, tail: len(data), newline: '\n', lines: &lineIndex{}, known: &known{},
		layerIDs: map[string]uint32{"": 0}, layers: []string{""}}
	if bytes.HasPrefix(data, []byte(sentinel)) {
		d.bin, d.first = true, len(sentinel)
		d.wide = wideCodes(data[d.first:])
	} else {
		if bytes.HasPrefix(data, []byte(byteOrderMark)) {
			d.first = len(byteOrderMark)
		}
		if bytes.IndexByte(data, '\n') < 0 {
			d.newline = '\r'
		}
	}
	if err := d.index(); err != nil {
		return nil, err
	}
	if err := d.structure(); err != nil {
		return nil, err
	}
	d.readHeader()
	d.text = d.newDecoder()
	for i, name := range d.layers {
		d.layers[i] = d.decode(strings.TrimSpace(name))
	}
	d.layerIDs = nil
	d.readBlocks()
	d.readLayers()
	return d, nil
}

// The room the index begins with: no drawing with much in it has fewer records than one in so many bytes. What it lacks
// is foreseen from what was read so far, and a little more.
const (
	bytesPerRecord = 512
	moreRecords    = 1.03
	leastGrowth    = 64
)

// room makes room for one more record, which begins at byte start. Growing by foresight costs a large drawing one copy
// of its index in place of a dozen, and leaves little unused.
func (d *Document) room(start int) {
	n := len(d.records)
	if n < cap(d.records) {
		return
	}
	whole := float64(n) * moreRecords * float64(len(d.data)) / float64(max(start, 1))
	grown := make([]record32, n, max(n+n/8, min(int(whole), len(d.data)/leastRecord))+leastGrowth)
	copy(grown, d.records)
	d.records = grown
}

// leastRecord is the least a record takes up, in bytes: a group code, a name of one letter, and what ends them.
const leastRecord = 3

// Bytes returns the drawing as it was read. They are not to be changed.
func (d *Document) Bytes() []byte { return d.data }

// index finds the records, in one pass over the bytes.
func (d *Document) index() error {
	x := indexer{d: d, cur: &record32{}}
	d.records = make([]record32, 0, len(d.data)/bytesPerRecord)
	var at int
	var bad bool
	if d.bin {
		c := cursor{d: d, pos: d.first, lim: len(d.data)}
		for !x.done && c.next() {
			x.tag(c.code, c.start, c.vs, c.ve, c.end)
		}
		at, bad = c.start, c.bad
	} else {
		at, bad = d.indexText(&x)
	}
	switch {
	case x.err != nil:
		return x.err
	case bad || len(d.records) == 0:
		return d.notDXF(at)
	}
	return nil
}

// indexText goes through a text drawing. It does what cursor.next does, for speed in its own loop.
func (d *Document) indexText(x *indexer) (at int, bad bool) {
	data, pos := d.data, d.first
	for pos < len(data) && !x.done {
		code, value := codeAt(data, pos, d.newline)
		if value < 0 {
			return pos, len(bytes.TrimSpace(data[pos:])) > 0
		}
		n := bytes.IndexByte(data[value:], d.newline)
		end, next := value+n, value+n+1
		if n < 0 {
			end, next = len(data), len(data)
		}
		if code == 0 || code == 8 || code == 67 || code == 9 || code == 1001 {
			x.tag(code, pos, value, end, next)
		}
		pos = next
	}
	return pos, false
}

// An indexer notes the tags that matter to the index.
type indexer struct {
	d         *Document
	cur       *record32 // the last record
	lastLayer []byte
	lastID    uint32
	inHeader  bool
	done      bool
	err       error
}

func (x *indexer) tag(code, start, vs, ve, end int) {
	d := x.d
	switch code {
	case 0:
		x.record(start, vs, ve, end)
	case 8:
		if x.cur.layer != 0 || x.inHeader {
			return
		}
		if v := d.data[vs:ve]; !bytes.Equal(v, x.lastLayer) || x.lastID == 0 {
			x.lastLayer, x.lastID = v, d.layerID(v)
			if len(d.layers) > maxLayers {
				x.done, x.err = true,
					fmt.Errorf("the drawing names more than %d layers (%s); that many cannot be read", maxLayers,
						d.placeOf(start))
			}
		}
		x.cur.layer = x.lastID
	case 67:
		c := cursor{d: d, code: code, vs: vs, ve: ve}
		if c.int() == 1 {
			x.cur.flags |= flagPaper
		}
	case 9:
		x.inHeader = true
	case 1001:
		if string(bytes.TrimSpace(d.data[vs:ve])) == ApplicationName {
			x.cur.flags |= flagOwned
		}
	}
}

func (x *indexer) record(start, vs, ve, end int) {
	d := x.d
	d.room(start)
	d.records = append(d.records, record32{start: uint32(start)})
	x.cur = &d.records[len(d.records)-1]
	x.inHeader = false
	switch name := bytes.TrimSpace(d.data[vs:ve]); string(name) { // no allocation
	case "VERTEX", "ATTRIB", "SEQEND":
		x.cur.flags |= flagVertex
	case "EOF":
		d.tail = end
		x.done = true
	default:
		x.cur.kind = kinds[string(name)]
	}
}

// layerID returns the number of a layer name, a new one for a new name.
func (d *Document) layerID(name []byte) uint32 {
	if id, ok := d.layerIDs[string(name)]; ok {
		return id
	}
	id := uint32(len(d.layers))
	own := string(name)
	d.layers = append(d.layers, own)
	d.layerIDs[own] = id
	return id
}

func (d *Document) notDXF(at int) error {
	if len(d.records) == 0 {
		return noDrawing(d.data)
	}
	if d.bin {
		return fmt.Errorf("the drawing is damaged or cut off at %s: there is no whole tag", d.placeOf(at))
	}
	e, _ := lineAt(d.data, at, d.newline)
	line := d.data[at:e]
	if len(line) > 40 {
		line = line[:40]
	}
	return fmt.Errorf("the drawing is damaged or cut off at line %d: %q is no group code, or its value is missing",
		d.line(at), line)
}

// lineChunk is how far apart the places lie up to which lines are counted beforehand.
const lineChunk = 1 << 16

// lineIndex holds how many lines end before each chunk of lineChunk bytes; made when first asked for.
type lineIndex struct {
	once  sync.Once
	ended []int
}

// line returns the number of the line that holds a byte, from 1.
func (d *Document) line(at int) int {
	end := []byte{d.newline}
	d.lines.once.Do(func() {
		n := 0
		for from := 0; from < len(d.data); from += lineChunk {
			d.lines.ended = append(d.lines.ended, n)
			n += bytes.Count(d.data[from:min(from+lineChunk, len(d.data))], end)
		}
	})
	if len(d.lines.ended) == 0 {
		return 1
	}
	chunk := min(at/lineChunk, len(d.lines.ended)-1)
	return 1 + d.lines.ended[chunk] + bytes.Count(d.data[chunk*lineChunk:at], end)
}

// place says where a record is, for people.
func (d *Document) place(rec int) string {
	return d.placeOf(int(d.records[rec].start))
}

func (d *Document) placeOf(at int) string {
	if d.bin {
		return fmt.Sprintf("byte %#x", at)
	}
	return "line " + strconv.Itoa(d.line(at))
}

// end returns where record i ends.
func (d *Document) end(i int) int {
	if i+1 < len(d.records) {
		return int(d.records[i+1].start)
	}
	return d.tail
}

// tags returns a cursor over the tags of record i, its code 0 included.
func (d *Document) tags(i int) *cursor { return d.cursor(int(d.records[i].start), d.end(i)) }

// name returns the type of record i.
func (d *Document) name(i int) string {
	c := d.tags(i)
	c.next()
	b := bytes.TrimSpace(c.bytes())
	if known, ok := knownNames[string(b)]; ok {
		return known // without allocating: there may be millions
	}
	return string(b)
}

// knownNames are the types that make up most of most drawings.
var knownNames = map[string]string{}

func init() {
	for name := range kinds {
		knownNames[name] = name
	}
	for _, name := range []string{"VERTEX", "ATTRIB", "SEQEND", "ATTDEF", "HATCH", "DIMENSION", "SOLID", "3DFACE",
		"BLOCK", "ENDBLK",
		"SECTION", "ENDSEC", "EOF", "TABLE", "ENDTAB", "LAYER", "BLOCK_RECORD", "DICTIONARY"} {
		knownNames[name] = name
	}
}

// first value of code in record i, trimmed; "" where it has none.
func (d *Document) value(i, code int) string {
	for c := d.tags(i); c.next(); {
		if c.code == code {
			return strings.TrimSpace(c.text())
		}
	}
	return ""
}

// structure finds the sections.
func (d *Document) structure() error {
	open := -1
	for i := range d.records {
		r := &d.records[i]
		if r.kind != 0 || r.layer != 0 || r.flags&flagVertex != 0 {
			continue // an entity
		}
		switch d.name(i) {
		case "SECTION":
			if open >= 0 {
				return fmt.Errorf("the drawing is damaged at %s: a section begins inside section %s", d.place(i),
					d.sections[open].name)
			}
			open = len(d.sections)
			d.sections = append(d.sections, section{strings.ToUpper(d.value(i, 2)), i, len(d.records)})
		case "ENDSEC":
			if open < 0 {
				return fmt.Errorf("the drawing is damaged at %s: a section ends that did not begin", d.place(i))
			}
			d.sections[open].end = i
			open = -1
		}
	}
	switch {
	case len(d.sections) == 0:
		return errors.New("this is no DXF drawing: it has no section")
	case open >= 0:
		return fmt.Errorf("the drawing is cut off: section %s does not end", d.sections[open].name)
	}
	return nil
}

// in returns the records of the first section of that name, without SECTION and ENDSEC.
func (d *Document) in(name string) (from, to int) {
	for _, s := range d.sections {
		if s.name == name {
			return s.start + 1, s.end
		}
	}
	return 0, 0
}

// readHeader keeps the first value of every header variable.
func (d *Document) readHeader() {
	d.header = map[string]string{}
	for _, s := range d.sections {
		if s.name != "HEADER" {
			continue
		}
		variable := ""
		for c := d.tags(s.start); c.next(); {
			if c.code == 9 {
				variable = strings.ToUpper(strings.TrimSpace(c.text()))
			} else if _, seen := d.header[variable]; variable != "" && !seen {
				d.header[variable] = strings.TrimSpace(c.text())
			}
		}
	}
	d.version = strings.ToUpper(d.header["$ACADVER"])
}

// Version returns the version, such as AC1015; for a drawing that does not say it, that of
// R12, which is what such drawings follow.
func (d *Document) Version() string {
	if d.version == "" {
		return "AC1009"
	}
	return d.version
}

// InsUnits returns $INSUNITS, 0 where the drawing has none.
func (d *Document) InsUnits() int { return d.headerInt("$INSUNITS", 0) }

// Measurement returns $MEASUREMENT, 0 for inches and 1 for metric, -1 where the drawing has none.
func (d *Document) Measurement() int { return d.headerInt("$MEASUREMENT", -1) }

// LinetypeScale returns $LTSCALE, 1 where the drawing has none.
func (d *Document) LinetypeScale() float64 {
	v, err := strconv.ParseFloat(d.header["$LTSCALE"], 64)
	if err != nil || !(v > 0) || v > maxCoordinate {
		return 1
	}
	return v
}

func (d *Document) headerInt(name string, other int) int {
	v, err := strconv.Atoi(d.header[name])
	if err != nil {
		return other
	}
	return v
}

// Layers returns the layer table.
func (d *Document) Layers() []Layer { return append([]Layer(nil), d.table...) }

func (d *Document) readLayers() {
	from, to := d.in("TABLES")
	for i := from; i < to; i++ {
		if d.records[i].kind != 0 || d.name(i) != "LAYER" {
			continue
		}
		var l Layer
		for c := d.tags(i); c.next(); {
			switch c.code {
			case 2:
				l.Name = d.decode(strings.TrimSpace(c.text()))
			case 70:
				l.Frozen = c.int()&1 != 0
			case 62:
				l.Off = c.int() < 0
			}
		}
		d.table = append(d.table, l)
	}
}

// maxHandle returns the highest handle that stands anywhere in the drawing, in places
// that are not interpreted too, up to highHandle.
func (d *Document) maxHandle() uint64 {
	d.known.counted.Do(func() {
		d.eachHandle(func(h uint64) {
			if h <= highHandle {
				d.known.highest = max(d.known.highest, h)
			}
		})
	})
	return d.known.highest
}

// handles returns every handle that stands anywhere in the drawing.
func (d *Document) handles() map[uint64]bool {
	out := map[uint64]bool{}
	d.eachHandle(func(h uint64) { out[h] = true })
	return out
}

// eachHandle calls f with every value that can be a handle. Source of the group codes: DXF
// reference, "Group codes in numerical order".
func (d *Document) eachHandle(f func(uint64)) {
	for c := d.cursor(d.first, d.tail); c.next(); {
		code := c.code
		if code == 5 || code == 105 || code >= 320 && code < 370 || code >= 390 && code < 400 || code == 480 ||
			code == 481 || code == 1005 {
			if h, ok := hexValue(bytes.TrimSpace(c.bytes())); ok {
				f(h)
			}
		}
	}
}

// hexValue reads a hexadecimal number without allocating.
func hexValue(b []byte) (uint64, bool) {
	if len(b) == 0 || len(b) > 16 {
		return 0, false
	}
	var v uint64
	for _, x := range b {
		switch {
		case x >= '0' && x <= '9':
			v = v<<4 | uint64(x-'0')
		case x >= 'A' && x <= 'F':
			v = v<<4 | uint64(x-'A'+10)
		case x >= 'a' && x <= 'f':
			v = v<<4 | uint64(x-'a'+10)
		default:
			return 0, false
		}
	}
	return v, true
}
