package dxfio

import (
	"fmt"
	"hash/fnv"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
)

// ApplicationName is the registered application name our marks are kept under.
const ApplicationName = "TWINLINE"

// The fields of a mark, each a 1000 string of XDATA. A field longer than markChunk goes on in the next string of its
// name.
const (
	markKey    = "key="
	markData   = "data="
	markDigest = "digest="
	markHandle = "handle="
	markChunk  = 200 // bytes; XDATA strings hold 255 at most
)

// A mark is what an entity of ours says about itself.
type mark struct {
	key, data string
	digest    string // of the content as it was written; see digest
	handle    string // its handle when it was written: a hint, since programs renumber
}

// pairs writes the mark as XDATA.
func (m mark) pairs() []pair {
	out := []pair{{1001, ApplicationName}}
	out = append(out, chunks(markKey, m.key)...)
	if m.data != "" {
		out = append(out, chunks(markData, m.data)...)
	}
	out = append(out, pair{1000, markDigest + m.digest})
	if m.handle != "" {
		out = append(out, pair{1000, markHandle + m.handle})
	}
	return out
}

func chunks(field, value string) []pair {
	var out []pair
	value = escapeMark(value)
	for len(value) > markChunk {
		out = append(out, pair{1000, field + value[:markChunk]})
		value = value[markChunk:]
	}
	return append(out, pair{1000, field + value})
}

// readMark reads a mark from the XDATA strings (1000) under our name. ok is false where no key is among them.
func readMark(values []string) (m mark, ok bool) {
	for _, v := range values {
		switch {
		case strings.HasPrefix(v, markKey):
			m.key, ok = m.key+v[len(markKey):], true
		case strings.HasPrefix(v, markData):
			m.data += v[len(markData):]
		case strings.HasPrefix(v, markDigest):
			m.digest = v[len(markDigest):]
		case strings.HasPrefix(v, markHandle):
			m.handle = v[len(markHandle):]
		}
	}
	m.key, m.data = unescapeMark(m.key), unescapeMark(m.data)
	return m, ok
}

// escapeMark keeps printable ASCII and writes every other byte, spaces at the ends included, as ~ and
// two hexadecimal digits, so that no program has a reason to recode or shorten it.
func escapeMark(s string) string {
	var b strings.Builder
	for i := range len(s) {
		c := s[i]
		plain := c > ' ' && c < 0x7f && !strings.ContainsRune(`~^\%"`, rune(c))
		if plain || (c == ' ' && i > 0 && i < len(s)-1) {
			b.WriteByte(c)
			continue
		}
		fmt.Fprintf(&b, "~%02X", c)
	}
	return b.String()
}

func unescapeMark(s string) string {
	if !strings.Contains(s, "~") {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] == '~' && i+2 < len(s) {
			if c, err := strconv.ParseUint(s[i+1:i+3], 16, 8); err == nil {
				b.WriteByte(byte(c))
				i += 2
				continue
			}
		}
		b.WriteByte(s[i])
	}
	return b.String()
}

// Content is compared in steps of 1/digestGrid drawing units or degrees. Numbers are written on the
// finer grid of 1/numberGrid, and the steps of the digest part in the middle between two numbers of
// that grid, so that a program that writes a number back with an error in its last digits never crosses one.
const (
	digestGrid  = 1e6
	digestShift = 0.5 + digestGrid/numberGrid/2
)

// digest sums up the content of an entity, over its values as read: not their spelling, nor the order of the tags, nor
// what a program adds that says nothing new (a colour BYLAYER, a zero angle). text decodes a string as it stands in the
// drawing.
func digest(layer string, rs []record, text func(string) string) string {
	var b strings.Builder
	b.WriteString(strings.ToUpper(text(layer)))
	d := digester{&b, text}
	main := fieldsOf(rs[0].body)
	switch kind := rs[0].kind; kind {
	case "LWPOLYLINE":
		d.chainHead(main)
		d.lightVertices(rs[0].body)
	case "POLYLINE":
		d.polyline(main, rs[1:])
	case "TEXT":
		d.name(kind)
		d.text(main)
	case "INSERT":
		d.name(kind)
		d.name(strings.ToUpper(text(main[2])))
		d.points(main, 10)
		for code := 41; code <= 43; code++ {
			d.number(main, code, unitScale)
		}
		d.angle(main, 50)
		for _, r := range rs[1:] {
			if r.kind != "ATTRIB" {
				continue
			}
			f := fieldsOf(r.body)
			d.name(text(f[2]))
			d.name(text(f[1]))
			d.points(f, 10)
			d.number(f, 40, 0)
		}
	default:
		d.name(kind)
		d.points(main, 10, 11, 12, 13)
		d.number(main, 40, 0)
		d.angle(main, 50)
		d.angle(main, 51)
	}
	d.common(main)
	h := fnv.New64a()
	h.Write([]byte(b.String()))
	return fmt.Sprintf("%016x", h.Sum64())
}

// fieldsOf gives the first value of every code before any XDATA.
func fieldsOf(body []pair) map[int]string {
	return fieldsInto(make(map[int]string, len(body)), body)
}

// fieldsInto does so in a map that was used before.
func fieldsInto(f map[int]string, body []pair) map[int]string {
	clear(f)
	for _, p := range body {
		if p.code >= 1000 {
			break
		}
		if _, ok := f[p.code]; !ok {
			f[p.code] = p.value
		}
	}
	return f
}

type digester struct {
	b      *strings.Builder
	decode func(string) string
}

func (d digester) name(s string) {
	d.b.WriteByte('|')
	d.b.WriteString(strconv.Quote(s))
}

func (d digester) value(v float64) {
	d.b.WriteByte(',')
	d.b.WriteString(strconv.FormatFloat(math.Floor(v*digestGrid+digestShift)+0, 'f', 0, 64)) // +0: no minus zero
}

func (d digester) number(f map[int]string, code int, missing float64) {
	d.value(floatOf(f, code, missing))
}

func (d digester) angle(f map[int]string, code int) {
	turn := math.Mod(math.Floor(floatOf(f, code, 0)*digestGrid+digestShift), 360*digestGrid)
	if turn < 0 {
		turn += 360 * digestGrid
	}
	d.b.WriteByte(',')
	d.b.WriteString(strconv.FormatFloat(turn, 'f', 0, 64))
}

func (d digester) points(f map[int]string, codes ...int) {
	for _, code := range codes {
		for k := 0; k <= 20; k += 10 {
			d.number(f, code+k, 0)
		}
	}
}

// chainHead and vertex give the same for LWPOLYLINE and POLYLINE, since programs turn one into the other.
func (d digester) chainHead(f map[int]string) {
	d.name("CHAIN")
	d.b.WriteString(strconv.Itoa(int(floatOf(f, 70, 0)) & 1))
}

func (d digester) lightVertices(body []pair) {
	z := floatOf(fieldsOf(body), 38, 0)
	var x, y, bulge float64
	seen := false
	flush := func() {
		if seen {
			d.value(x)
			d.value(y)
			d.value(z)
			d.value(bulge)
		}
		x, y, bulge = 0, 0, 0
	}
	for _, p := range body {
		switch v, _ := strconv.ParseFloat(strings.TrimSpace(p.value), 64); p.code {
		case 10:
			flush()
			seen, x = true, v
		case 20:
			y = v
		case 42:
			bulge = v
		}
	}
	flush()
}

func (d digester) polyline(main map[int]string, rest []record) {
	flags := int(floatOf(main, 70, 0))
	mesh := flags&64 != 0
	if mesh {
		d.name("MESH")
	} else {
		d.chainHead(main)
	}
	f := map[int]string{}
	for _, r := range rest {
		if r.kind != "VERTEX" {
			continue
		}
		fieldsInto(f, r.body)
		vflags := int(floatOf(f, 70, 0))
		switch {
		case mesh && vflags&64 == 0:
			for code := 71; code <= 74; code++ {
				d.number(f, code, 0)
			}
			continue
		case !mesh && flags&8 == 0: // flat: the elevation is in the head
			d.number(f, 10, 0)
			d.number(f, 20, 0)
			d.number(main, 30, 0)
		default:
			d.points(f, 10)
		}
		d.number(f, 42, 0)
	}
}

func (d digester) text(f map[int]string) {
	d.name(d.decode(f[1]))
	style := strings.ToUpper(d.decode(f[7]))
	if style == "" {
		style = "STANDARD"
	}
	d.name(style)
	d.number(f, 40, 0)
	d.angle(f, 50)
	d.number(f, 72, 0)
	d.number(f, 73, 0)
	if floatOf(f, 72, 0) != 0 || floatOf(f, 73, 0) != 0 {
		d.points(f, 11)
		return
	}
	d.points(f, 10)
}

// common adds what a person may set on any entity, where it is not what we leave it at.
func (d digester) common(f map[int]string) {
	var said []string
	say := func(code int, plain ...string) {
		v := strings.ToUpper(strings.TrimSpace(f[code]))
		if slices.Contains(append(plain, ""), v) {
			return
		}
		said = append(said, fmt.Sprintf("%d=%s", code, v))
	}
	say(6, "BYLAYER")
	say(62, "256")
	say(60, "0")
	if x, y, z := floatOf(f, 210, 0), floatOf(f, 220, 0), floatOf(f, 230, 1); x != 0 || y != 0 || z <= 0 {
		said = append(said, fmt.Sprintf("normal=%.6f,%.6f,%.6f", x, y, z))
	}
	sort.Strings(said)
	d.name(strings.Join(said, ";"))
}

func floatOf(f map[int]string, code int, missing float64) float64 {
	s, ok := f[code]
	if !ok {
		return missing
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil {
		return missing
	}
	return v
}
