package dxfio

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// lines makes a text drawing of code, value, code, value ...
func lines(tags ...any) string {
	var b strings.Builder
	for i := 0; i+1 < len(tags); i += 2 {
		fmt.Fprintf(&b, "%v\n%v\n", tags[i], tags[i+1])
	}
	return b.String()
}

// inEntities puts entities, given as text, into the least a drawing needs.
func inEntities(entities string) string {
	return lines(0, "SECTION", 2, "ENTITIES") + entities + lines(0, "ENDSEC", 0, "EOF")
}

// simple is a drawing of one line on SK-SUP-DUCT with handle 2F.
var simple = inEntities(lines(0, "LINE", 5, "2F", 8, "SK-SUP-DUCT", 10, 1, 20, 2, 30, 3, 11, 4.5, 21, -5e3, 31, "+6"))

// toBinary writes a text drawing as a binary one, by the tables of group codes and the record forms of the DXF
// reference.
func toBinary(t testing.TB, text string, wide bool) []byte {
	t.Helper()
	out := []byte(sentinel)
	rows := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	for i := 0; i+1 < len(rows); i += 2 {
		code, err := strconv.Atoi(strings.TrimSpace(rows[i]))
		require.NoError(t, err)
		switch {
		case wide:
			out = binary.LittleEndian.AppendUint16(out, uint16(code))
		case code >= 255:
			out = binary.LittleEndian.AppendUint16(append(out, 255), uint16(code))
		default:
			out = append(out, byte(code))
		}
		value := rows[i+1]
		switch {
		case code >= 10 && code <= 59 || code >= 210 && code <= 239:
			v, err := strconv.ParseFloat(value, 64)
			require.NoError(t, err)
			out = binary.LittleEndian.AppendUint64(out, math.Float64bits(v))
		case code >= 60 && code <= 79:
			v, err := strconv.Atoi(value)
			require.NoError(t, err)
			out = binary.LittleEndian.AppendUint16(out, uint16(v))
		default:
			out = append(append(out, value...), 0)
		}
	}
	return out
}

// walkAll reads a drawing and returns all of its entities.
func walkAll(t testing.TB, data []byte) (*Document, []*Entity, []Trouble) {
	t.Helper()
	d, err := Read(data)
	require.NoError(t, err)
	var got []*Entity
	troubles := d.Walk(func(Kind, string) bool { return true }, func(e *Entity) bool {
		got = append(got, e)
		return true
	})
	return d, got, troubles
}

func TestForms(t *testing.T) {
	crlf := strings.ReplaceAll(simple, "\n", "\r\n")
	half := len(simple) / 2
	padded := strings.NewReplacer("\n0\n", "\n    0 \t\n", "\n8\n", "\n\t8\n", "\n5\n", "\n  5  \n").Replace(simple)
	noted := strings.ReplaceAll(lines(999, "written by hand")+simple, "5\n2F\n", "999\nnote\n5\n2F\n")
	forms := map[string]string{
		"LF": simple, "CRLF": crlf, "CR": strings.ReplaceAll(simple, "\n", "\r"),
		"mixed": simple[:half] + strings.ReplaceAll(simple[half:], "\n", "\r\n"), "padded codes": padded,
		"comments":        noted,
		"byte-order mark": byteOrderMark + simple, "no line end at the end": strings.TrimSuffix(simple, "\n"),
		"no EOF":                 strings.TrimSuffix(simple, lines(0, "EOF")),
		"data after EOF":         simple + "what a transfer left\x00\x1a\n",
		"blank lines at the end": strings.TrimSuffix(simple, lines(0, "EOF")) + "\n\n",
		"unknown section":        lines(0, "SECTION", 2, "WONDERS", 0, "MIRACLE", 1, "x", 0, "ENDSEC") + simple,
		"unknown entity": strings.Replace(simple, "0\nLINE\n",
			lines(0, "MIRACLE", 8, "SK-SUP-DUCT", 10, "north", 310, "ABCDEF")+"0\nLINE\n", 1),
		"empty handles":            strings.Replace(simple, "0\nLINE\n", "0\nLINE\n5\n\n8\nX\n10\n0\n0\nLINE\n", 1),
		"two sections of entities": strings.TrimSuffix(simple, lines(0, "EOF")) + inEntities(""),
	}
	forms["binary, codes of one byte"] = string(toBinary(t, simple, false))
	forms["binary, codes of two bytes"] = string(toBinary(t, simple, true))
	forms["binary, comment first"] = string(toBinary(t, lines(999, "x")+simple, true))
	forms["binary of one byte, comment first"] = string(toBinary(t, lines(999, "x")+simple, false))
	for name, data := range forms {
		t.Run(name, func(t *testing.T) {
			d, got, troubles := walkAll(t, []byte(data))
			require.Empty(t, troubles)
			last := got[len(got)-1]
			require.Equal(t, KindLine, last.Kind)
			require.Equal(t, "SK-SUP-DUCT", last.Layer)
			require.Equal(t, "2F", last.Handle)
			require.Equal(t, []Vertex{{Point: Point{1, 2, 3}}, {Point: Point{4.5, -5000, 6}}}, last.Vertices)
			require.Equal(t, "AC1009", d.Version())
			require.Equal(t, -1, d.Measurement())
			spansCover(t, d)
		})
	}
}

// spansCover checks that the records lie end to end, from the first to what follows EOF.
func spansCover(t testing.TB, d *Document) {
	t.Helper()
	all := d.spans()
	for i, s := range all {
		require.Less(t, s.start, s.end)
		if i > 0 {
			require.Equal(t, all[i-1].end, s.start)
		}
	}
	require.Equal(t, d.tail, all[len(all)-1].end)
}

func TestRefused(t *testing.T) {
	entity := strings.Index(simple, "LINE")
	cases := []struct{ name, data, says string }{
		{"nothing", "", "the file is empty"},
		{"text", "Dear Sir or Madam,\n", "no DXF drawing"},
		{"a picture", "\x89PNG\r\n\x1a\n\x00\x00", "this is a picture, not DXF"},
		{"another format of drawings", "AC1015\x00\x00\x00\x00\x00\x00", "this is a DWG drawing, not DXF"},
		{"numbers", "0\n1\n2\n3\n", "no section"},
		{"cut off in an entity", simple[:entity+20], "cut off: section ENTITIES does not end"},
		{"cut off in a group code", simple[:strings.Index(simple, "20\n2")+1], "cut off at line 13"},
		{"cut off before a value", simple[:strings.Index(simple, "20\n2")+3], "cut off at line 13"},
		{"a line lost", strings.Replace(simple, "\n8\nSK", "\nSK", 1),
			`damaged or cut off at line 9: "SK-SUP-DUCT" is no group code`},
		{"section in a section", strings.Replace(simple, "0\nLINE", "0\nSECTION\n2\nBLOCKS\n0\nLINE", 1),
			"a section begins inside section ENTITIES"},
		{"end without a section", lines(0, "ENDSEC") + simple, "line 1: a section ends that did not begin"},
		{"binary, only the head", sentinel, "no DXF drawing"},
		{"binary, cut off", string(toBinary(t, simple, true)[:70]), "at byte 0x"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := Read([]byte(c.data))
			require.ErrorContains(t, err, c.says)
		})
	}
}

// TestCutOffAnywhere cuts drawings off at every byte: each piece is refused, but for those that lack no
// more than the end mark.
func TestCutOffAnywhere(t *testing.T) {
	for _, data := range [][]byte{[]byte(simple), toBinary(t, simple, true), toBinary(t, simple, false)} {
		whole := bytes.LastIndex(data, []byte("ENDSEC")) + len("ENDSEC")
		for n := range whole {
			_, err := Read(data[:n])
			require.Error(t, err, "%d of %d bytes", n, len(data))
		}
	}
}

func TestLineOfAByte(t *testing.T) {
	data := []byte(inEntities(strings.Repeat(lines(0, "POINT", 8, "A", 10, 0), 3*lineChunk/16)))
	d, err := Read(data)
	require.NoError(t, err)
	for i := 0; i < len(d.records); i += 997 {
		at := int(d.records[i].start)
		require.Equal(t, 1+bytes.Count(data[:at], []byte("\n")), d.line(at))
	}
}

func TestHeader(t *testing.T) {
	head := lines(0, "SECTION", 2, "HEADER", 9, "$ACADVER", 1, "AC1024", 9, "$INSUNITS", 70, "     4", 9,
		"$MEASUREMENT", 70, 1, 9, "$LTSCALE", 40, "0.5", 9, "$CLAYER", 8, "X", 0, "ENDSEC")
	d, err := Read([]byte(head + simple))
	require.NoError(t, err)
	require.Equal(t, "AC1024", d.Version())
	require.Equal(t, 4, d.InsUnits())
	require.Equal(t, 1, d.Measurement())
	require.InDelta(t, 0.5, d.LinetypeScale(), 0)
	for _, bad := range []string{"nan", "-1", "0", "1e300", "x"} {
		d, err := Read([]byte(strings.Replace(head, "0.5", bad, 1) + simple))
		require.NoError(t, err)
		require.InDelta(t, 1, d.LinetypeScale(), 0, bad)
	}
}

// TestHighestHandle hides handles where no value is read.
func TestHighestHandle(t *testing.T) {
	for _, code := range []int{5, 105, 320, 330, 340, 350, 360, 369, 390, 399, 480, 481, 1005} {
		data := lines(0, "SECTION", 2, "SECRETS", 0, "MIRACLE", code, "ABC", 1, "FFFF", 40, "1e5", 0, "ENDSEC") + simple
		d, err := Read([]byte(data))
		require.NoError(t, err)
		require.Equal(t, uint64(0xABC), d.maxHandle(), "code %d", code)
	}
}

func TestOursIsNotOffered(t *testing.T) {
	ours := lines(0, "LINE", 5, "30", 8, "SK-SUP-DUCT", 10, 0, 20, 0, 11, 1, 21, 1, 1001, ApplicationName, 1000, "x")
	d, got, _ := walkAll(t, []byte(strings.Replace(simple, "0\nLINE\n", ours+"0\nLINE\n", 1)))
	require.Len(t, got, 1)
	require.Equal(t, "2F", got[0].Handle)
	owned := 0
	for _, s := range d.spans() {
		if s.owned {
			owned++
		}
	}
	require.Equal(t, 1, owned)
}

// span is a record as writing wants it.
type span struct {
	start, end int
	kind       string
	owned      bool
}

// spans returns all records in the order of the file.
func (d *Document) spans() []span {
	out := make([]span, len(d.records))
	for i, r := range d.records {
		out[i] = span{int(r.start), d.end(i), d.name(i), r.flags&flagOwned != 0}
	}
	return out
}
