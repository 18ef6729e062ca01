package dxfio

import (
	"bytes"
	"encoding/binary"
	"math"
	"strconv"
	"strings"
)

// sentinel begins a binary DXF file. Source: DXF reference, "Binary DXF files".
const sentinel = "AutoCAD Binary DXF\r\n\x1a\x00"

// byteOrderMark may stand before an ASCII file; it belongs to no tag.
const byteOrderMark = "\ufeff"

// wideCodes distinguishes the two forms of binary files by their first tag, which is 0 SECTION or a comment, 999: group
// codes are one byte, or 255 and two more, up to R12, and two bytes later.
func wideCodes(tags []byte) bool {
	return len(tags) > 1 && tags[0] != 255 && (tags[0] != 0 || tags[1] == 0)
}

// kindOf returns how the value of a group code is held in binary files: 's' text up to a
// zero byte, 'd' 8-byte float, 'q' 8-byte, 'i' 4-byte and 'h' 2-byte integer, 'b' one byte,
// 'c' a chunk led by its length. Source: DXF reference, "Group code value types".
func kindOf(code int) byte {
	switch {
	case code >= 10 && code < 60, code >= 110 && code < 150, code >= 210 && code < 240, code >= 460 && code < 470,
		code >= 1010 && code < 1060:
		return 'd'
	case code >= 60 && code < 80, code >= 170 && code < 180, code >= 270 && code < 290, code >= 370 && code < 390,
		code >= 400 && code < 410, code >= 1060 && code < 1071:
		return 'h'
	case code >= 90 && code < 100, code >= 420 && code < 430, code >= 440 && code < 460, code == 1071:
		return 'i'
	case code >= 160 && code < 170:
		return 'q'
	case code >= 290 && code < 300:
		return 'b'
	case code >= 310 && code < 320, code == 1004:
		return 'c'
	}
	return 's'
}

// A cursor goes through the tags of a span of the drawing, ASCII or binary.
type cursor struct {
	d        *Document
	pos, lim int
	code     int
	start    int // of the tag
	end      int // of the tag
	vs, ve   int // of its value
	bad      bool
}

// cursor returns a cursor over the bytes from start to end, which have to be borders of tags.
func (d *Document) cursor(start, end int) *cursor {
	return &cursor{d: d, pos: max(start, d.first), lim: end}
}

// next goes to the next tag and reports whether there is one. After the last, bad says
// whether it ended in something that is no tag.
func (c *cursor) next() bool {
	c.start = c.pos
	if c.pos >= c.lim {
		return false
	}
	if c.d.bin {
		return c.nextBinary()
	}
	data := c.d.data[:c.lim]
	code, pos := codeAt(data, c.pos, c.d.newline)
	if pos < 0 {
		c.bad = len(bytes.TrimSpace(data[c.pos:])) > 0
		return false
	}
	c.code, c.vs = code, pos
	c.ve, c.pos = lineAt(data, pos, c.d.newline)
	c.end = c.pos
	return true
}

// lineAt returns where the line at pos ends, without its line end, and where the next one begins.
func lineAt(data []byte, pos int, newline byte) (end, next int) {
	i := bytes.IndexByte(data[pos:], newline)
	if i < 0 {
		return len(data), len(data)
	}
	end = pos + i
	next = end + 1
	if i > 0 && data[end-1] == '\r' {
		end--
	}
	return end, next
}

// mostDigits bounds a group code; the largest in use have four.
const mostDigits = 5

// codeAt reads the line at pos as a group code, with blanks around it, and returns where its
// value begins; negative where there is no group code with a value behind it. It is the
// innermost loop of reading, hence by hand.
func codeAt(data []byte, pos int, newline byte) (code, next int) {
	i := pos
	for i < len(data) && (data[i] == ' ' || data[i] == '\t') {
		i++
	}
	sign := 1
	if i < len(data) && data[i] == '-' {
		sign = -1
		i++
	}
	first := i
	for i < len(data) && data[i]-'0' <= 9 {
		code = 10*code + int(data[i]-'0')
		i++
		if i-first > mostDigits {
			return 0, -1
		}
	}
	if i == first {
		return 0, -1
	}
	for i < len(data) {
		switch data[i] {
		case newline:
			if i+1 == len(data) {
				return 0, -1
			}
			return sign * code, i + 1
		case ' ', '\t', '\r':
			i++
		default:
			return 0, -1
		}
	}
	return 0, -1
}

func (c *cursor) nextBinary() bool {
	d := c.d.data[:c.lim]
	c.bad = true
	switch {
	case c.d.wide:
		if c.pos+2 > c.lim {
			return false
		}
		c.code = int(int16(binary.LittleEndian.Uint16(d[c.pos:])))
		c.pos += 2
	case d[c.pos] == 255:
		if c.pos+3 > c.lim {
			return false
		}
		c.code = int(binary.LittleEndian.Uint16(d[c.pos+1:]))
		c.pos += 3
	default:
		c.code = int(d[c.pos])
		c.pos++
	}
	c.vs = c.pos
	size := 0
	switch kindOf(c.code) {
	case 's':
		i := bytes.IndexByte(d[c.pos:], 0)
		if i < 0 {
			return false
		}
		c.ve, c.pos = c.pos+i, c.pos+i+1
		c.end, c.bad = c.pos, false
		return true
	case 'd', 'q':
		size = 8
	case 'i':
		size = 4
	case 'h':
		size = 2
	case 'b':
		size = 1
	case 'c':
		if c.pos >= c.lim {
			return false
		}
		size = 1 + int(d[c.pos])
	}
	if c.pos+size > c.lim {
		return false
	}
	c.pos += size
	c.ve, c.end, c.bad = c.pos, c.pos, false
	return true
}

// bytes returns the value as it stands in the file.
func (c *cursor) bytes() []byte { return c.d.data[c.vs:c.ve] }

// text returns the value as text, of a number in a binary file its decimal form.
func (c *cursor) text() string {
	v := c.bytes()
	if !c.d.bin {
		return string(v)
	}
	switch kindOf(c.code) {
	case 'd':
		return strconv.FormatFloat(math.Float64frombits(binary.LittleEndian.Uint64(v)), 'g', -1, 64)
	case 'q':
		return strconv.FormatInt(int64(binary.LittleEndian.Uint64(v)), 10)
	case 'h':
		return strconv.Itoa(int(int16(binary.LittleEndian.Uint16(v))))
	case 'i':
		return strconv.Itoa(int(int32(binary.LittleEndian.Uint32(v))))
	case 'b':
		return strconv.Itoa(int(v[0]))
	case 'c':
		return strings.ToUpper(hexOf(v[1:]))
	}
	return string(v)
}

func hexOf(b []byte) string {
	const digits = "0123456789ABCDEF"
	out := make([]byte, 0, 2*len(b))
	for _, x := range b {
		out = append(out, digits[x>>4], digits[x&15])
	}
	return string(out)
}

// float returns the value as a number; ok is false where it is none, not finite, or
// beyond maxCoordinate.
func (c *cursor) float() (v float64, ok bool) {
	b := c.bytes()
	if c.d.bin {
		switch kindOf(c.code) {
		case 'd':
			v = math.Float64frombits(binary.LittleEndian.Uint64(b))
		default:
			n, _ := strconv.ParseFloat(c.text(), 64)
			v = n
		}
	} else {
		var err error
		if v, err = strconv.ParseFloat(string(bytes.TrimSpace(b)), 64); err != nil {
			return 0, false
		}
	}
	return v, !math.IsNaN(v) && math.Abs(v) <= maxCoordinate
}

// int returns the value as a whole number, zero where it is none.
func (c *cursor) int() int {
	v, ok := c.float()
	if !ok {
		return 0
	}
	return int(v)
}
