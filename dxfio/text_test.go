package dxfio

import (
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

// The sources of the expected texts: DXF reference, "MTEXT" and "Formatting and comments"; the manuals' tables of
// control codes.
func TestPlainMText(t *testing.T) {
	cases := []struct{ in, want, source string }{
		{`a\Pb`, "a\nb", "paragraph"},
		{`a\Nb`, "a\nb", "next column"},
		{`no\~break`, "no break", "space that does not break"},
		{`{\fArial|b1|i0|c0|p34;S-101}`, "S-101", "font"},
		{`\H2.5;big\H0.5x; small`, "big small", "height"},
		{`\C1;red \c255;r\W0.8;w\Q12;q\T1.1;t\A2;a\pi-3,l4;p`, "red rwqtap",
			"colour, width, slant, tracking, alignment, paragraph"},
		{`\Lu\l\Oo\o\Kk\k`, "uok", "lines under, over, through"},
		{`1\S1/2;`, "1 1/2", "stack, parted from the number before it so that it is not 11/2"},
		{`\S1#2; in`, "1/2 in", "stack with a slanted line"},
		{`\S+0.1^ -0.2;`, "+0.1/-0.2", "tolerance; the caret is coded with a space"},
		{`\S1\/2;x`, "1/2x", "a slash that does not part"},
		{`a\\b \{c\}`, `a\b {c}`, "letters that need a backslash"},
		{`\U+00D8250`, "Ø250", "letter by number"},
		{`%%c250 %%d`, "Ø250 °", "control codes work here too"},
		{`a^Jb^Ic^Md`, "a\nb\tcd", "caret codes"},
		{`\Xabove`, "\nabove", "parts of a dimension text"},
		{`end\`, `end\`, "a backslash at the end"},
		{`\Hbroken`, `\Hbroken`, "a code without its end"},
		{`{{{`, "", "braces alone"},
	}
	d := &Document{}
	d.text = d.newDecoder()
	for _, c := range cases {
		require.Equal(t, c.want, d.text.plainMText(d.decode(c.in)), "%s: %s", c.source, c.in)
	}
}

func TestPercent(t *testing.T) {
	cases := []struct{ in, want string }{
		{"%%c250 %%C 20%%d %%p5", "Ø250 Ø 20° ±5"}, {"%%uunder%%u %%oover%%O %%kthrough", "under over through"},
		{"100%%%", "100%"}, {"%%65%%066%%0677", "ABC7"}, {"%%176 %%216250", "° Ø250"}, {"%%", "%%"}, {"50%", "50%"},
		{"%%x", "%%x"}, {"%%7", ""}, {"%%999", ""},
	}
	d := &Document{}
	d.text = d.newDecoder()
	for _, c := range cases {
		require.Equal(t, c.want, d.text.percent(c.in), c.in)
	}
}

// textOf reads the one text of a drawing with that version and page, whose bytes are given.
func textOf(t *testing.T, version, page, value string) string {
	t.Helper()
	head := lines(0, "SECTION", 2, "HEADER", 9, "$ACADVER", 1, version, 9, "$DWGCODEPAGE", 3, page, 0, "ENDSEC")
	_, got, troubles := walkAll(t, []byte(head+inEntities(lines(0, "TEXT", 8, "N", 10, 0, 20, 0, 40, 1, 1, value))))
	require.Empty(t, troubles)
	require.Len(t, got, 1)
	require.True(t, utf8.ValidString(got[0].Value))
	return got[0].Value
}

// The bytes are those of the Unicode consortium's mapping tables for each page, taken down by hand.
func TestPages(t *testing.T) {
	cases := []struct{ name, version, page, bytes, want string }{
		{"1252", "AC1015", "ANSI_1252", "\xd8250 m\xb3/h", "Ø250 m³/h"},
		{"1251", "AC1015", "ansi_1251", "\xcf\xf0\xe8\xf2\xee\xea", "Приток"},
		{"932", "AC1018", "ANSI_932", "\x8b\x8b\x8bC", "給気"},
		{"936", "AC1009", "ANSI_936", "\xcb\xcd\xb7\xe7", "送风"},
		{"949", "AC1015", "ANSI_949", "\xb1\xde\xb1\xe2", "급기"},
		{"950", "AC1015", "ANSI_950", "\xb0\x65\xad\xb7", "送風"},
		{"874", "AC1015", "ANSI_874", "\xc5\xc1", "ลม"},
		{"DOS 850", "AC1009", "dos850", "\x9d250", "Ø250"},
		{"DOS 437", "AC1009", "DOS437", "20\xf8", "20°"},
		{"UTF-8", "AC1021", "ANSI_1252", "Ø250", "Ø250"},
		{"a page declared, UTF-8 written", "AC1015", "ANSI_1252", "Ø250 – 380 m³/h", "Ø250 – 380 m³/h"},
		{"a page of two-byte letters declared, a little that looks like UTF-8", "AC1015", "ANSI_936",
			"\xc2\xb0\xc2\xb0", "掳掳"},
		{"UTF-8 declared, a page written", "AC1024", "ANSI_1252", "\xd8250", "Ø250"},
		{"an unknown page", "AC1015", "KLINGON", "\xd8250", "Ø250"},
		{"no good in its page", "AC1015", "ANSI_932", "a\x81", "a�"},
		{"letter by number", "AC1015", "ANSI_1252", `\U+00D8250 \U+zzzz \U+12`, `Ø250 \U+zzzz \U+12`},
		// Johab
		{"page that is not decoded", "AC1015", "ANSI_1252", `\M+48861`, `\M+48861`},
		// U+1F525 in UTF-16, by the Unicode standard
		{"letter in two halves", "AC1015", "ANSI_1252", `\U+D83D\U+DD25 \U+D83D \U+DD25x`, "\U0001F525 " +
			`\U+D83D \U+DD25x`},
		{"letter of another page", "AC1015", "ANSI_1252", `\M+18B8B \M+5CBCD \M+9CBCD`, `給 送 \M+9CBCD`},
		{"versions of before AC1006", "AC2.10", "ANSI_1252", "\xd8250", "Ø250"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { require.Equal(t, c.want, textOf(t, c.version, c.page, c.bytes)) })
	}
}

func TestLongText(t *testing.T) {
	got := textOf(t, "AC1015", "ANSI_1252", strings.Repeat("x", 1<<20))
	require.Equal(t, 1<<20, len(got), "one line is one value, however long")
}

// TestCodesWithoutEnd: a text of nothing but codes that do not end takes no longer than any other.
func TestCodesWithoutEnd(t *testing.T) {
	d := &Document{}
	d.text = d.newDecoder()
	for _, code := range []string{`\f`, `\S`, `\U+`, `%%`, `{`, `^`} {
		begin := time.Now()
		d.text.plainMText(d.decode(strings.Repeat(code, 1<<20)))
		require.Less(t, time.Since(begin), 5*time.Second, code)
	}
}

// FuzzMText holds the decoders to good UTF-8, no growth beyond what the codes stand for, and no panic.
func FuzzMText(f *testing.F) {
	for _, s := range []string{`{\fArial|b0|i0;S-102}\P105 L/s`, `1\S1/2;`, `\M+18B8B%%c%%176^I\U+00D8`, "\xd8\xff\\",
		`\S\\;`} {
		f.Add(s, "ANSI_932")
		f.Add(s, "ANSI_1252")
	}
	f.Fuzz(func(t *testing.T, s, page string) {
		d := &Document{header: map[string]string{"$DWGCODEPAGE": page}}
		d.text = d.newDecoder()
		decoded := d.decode(s)
		for _, out := range []string{d.text.plainMText(decoded), d.text.percent(caret(decoded))} {
			if utf8.ValidString(decoded) && !utf8.ValidString(out) {
				t.Fatalf("%q became %q, which is no good UTF-8", s, out)
			}
			if len(out) > 4*len(s)+4 {
				t.Fatalf("%q grew to %d bytes", s, len(out))
			}
		}
	})
}
