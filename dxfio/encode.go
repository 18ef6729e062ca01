package dxfio

import (
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A form is how the tags of a drawing are spelt, so that what is added is spelt alike.
type form struct {
	binary bool   // binary DXF
	wide   bool   // binary: group codes take two bytes
	eol    string // ASCII: the line end
	pad    int    // ASCII: group codes are right-aligned to this width
}

// append writes one tag.
func (f form) append(dst []byte, p pair) []byte {
	if f.binary {
		return f.appendBinary(dst, p)
	}
	code := strconv.Itoa(p.code)
	for n := len(code); n < f.pad; n++ {
		dst = append(dst, ' ')
	}
	dst = append(dst, code...)
	dst = append(dst, f.eol...)
	dst = append(dst, p.value...)
	return append(dst, f.eol...)
}

const narrowEscape = 255 // in one-byte binary, this byte says that a two-byte code follows

func (f form) appendBinary(dst []byte, p pair) []byte {
	switch {
	case f.wide:
		dst = binary.LittleEndian.AppendUint16(dst, uint16(p.code))
	case p.code < narrowEscape:
		dst = append(dst, byte(p.code))
	default:
		dst = append(dst, narrowEscape)
		dst = binary.LittleEndian.AppendUint16(dst, uint16(p.code))
	}
	return f.appendValue(dst, p)
}

// plainText spells a text as the value of a tag: printable ASCII, everything else as \U+XXXX, whatever the version,
// so that no code page matters. A caret, which begins a control character, is written so too (a caret and a space, as
// the DXF reference has it, is shown with the space by LibreCAD); a line end becomes a space.
func plainText(s string) string {
	return strings.ReplaceAll(asciiText(strings.Map(spaced, s)), "^", `\U+005E`)
}

func spaced(r rune) rune {
	if r == '\n' || r == '\r' || r == '\t' {
		return ' '
	}
	return r
}

// asciiText spells a name as the value of a tag. A sign beyond U+FFFF, which \U+ cannot say in four digits, becomes a
// pair of surrogates, as programs that keep UTF-16 inside write it.
func asciiText(s string) string {
	ascii := true
	for i := range len(s) {
		ascii = ascii && s[i] >= ' ' && s[i] < 0x7f
	}
	if ascii {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		switch {
		case r >= ' ' && r < 0x7f:
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			b.WriteByte(' ')
		case r <= math.MaxUint16:
			fmt.Fprintf(&b, `\U+%04X`, r)
		default:
			r -= math.MaxUint16 + 1
			fmt.Fprintf(&b, `\U+%04X\U+%04X`, 0xD800+r>>10, 0xDC00+r&0x3FF)
		}
	}
	return b.String()
}

// formOf says how the tags of a drawing are spelt. An ASCII drawing is judged by its first tag, which is a
// group code 0 or 999 and so shows whether codes are padded.
func formOf(d *Document) form {
	f := form{binary: d.bin, wide: d.wide, eol: "\n", pad: 1}
	if f.binary {
		return f
	}
	line, _, found := strings.Cut(string(d.data[d.first:min(len(d.data), d.first+firstLines)]), string(d.newline))
	if !found {
		return f
	}
	f.eol = string(d.newline)
	if text, ok := strings.CutSuffix(line, "\r"); ok {
		f.eol, line = "\r\n", text
	}
	f.pad = min(len(line), widestCode)
	return f
}

const (
	firstLines = 1024 // bytes in which the first line ends
	widestCode = 6
)

// text spells a text as a value by itself, without its code.
func (f form) text(s string) []byte {
	return f.value(pair{0, s})
}

// integer spells a whole number in place of old, padded as that was.
func (f form) integer(n int, old []byte) []byte {
	if f.binary {
		return f.value(pair{70, strconv.Itoa(n)})
	}
	return fmt.Appendf(nil, "%*d", len(old), n)
}

func (f form) value(p pair) []byte {
	if f.binary {
		v := f.appendValue(nil, p)
		if p.code == 0 {
			return v[:len(v)-1] // the end mark of the old text stays
		}
		return v
	}
	return []byte(p.value)
}

// appendValue writes the value of a tag as binary DXF has it.
func (f form) appendValue(dst []byte, p pair) []byte {
	switch kindOf(p.code) {
	case 'd':
		v, _ := strconv.ParseFloat(p.value, 64)
		return binary.LittleEndian.AppendUint64(dst, math.Float64bits(v))
	case 'h':
		v, _ := strconv.ParseInt(strings.TrimSpace(p.value), 10, 32)
		return binary.LittleEndian.AppendUint16(dst, uint16(v))
	case 'i':
		v, _ := strconv.ParseInt(strings.TrimSpace(p.value), 10, 64)
		return binary.LittleEndian.AppendUint32(dst, uint32(v))
	case 'q':
		v, _ := strconv.ParseInt(strings.TrimSpace(p.value), 10, 64)
		return binary.LittleEndian.AppendUint64(dst, uint64(v))
	case 'c':
		chunk, _ := hex.DecodeString(strings.TrimSpace(p.value))
		chunk = chunk[:min(len(chunk), math.MaxUint8)]
		return append(append(dst, byte(len(chunk))), chunk...)
	case 'b':
		v, _ := strconv.ParseUint(strings.TrimSpace(p.value), 10, 8)
		return append(dst, byte(v))
	}
	return append(append(dst, p.value...), 0)
}
