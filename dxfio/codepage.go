package dxfio

import (
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/japanese"
	"golang.org/x/text/encoding/korean"
	"golang.org/x/text/encoding/simplifiedchinese"
	"golang.org/x/text/encoding/traditionalchinese"
)

// codepages are the encodings by what $DWGCODEPAGE calls them, in small letters.
var codepages = map[string]encoding.Encoding{
	"ansi_874": charmap.Windows874, "ansi_1250": charmap.Windows1250, "ansi_1251": charmap.Windows1251,
	"ansi_1252": charmap.Windows1252, "ansi_1253": charmap.Windows1253, "ansi_1254": charmap.Windows1254,
	"ansi_1255": charmap.Windows1255, "ansi_1256": charmap.Windows1256, "ansi_1257": charmap.Windows1257,
	"ansi_1258": charmap.Windows1258,
	"ansi_932":  japanese.ShiftJIS, "ansi_936": simplifiedchinese.GBK, "gb2312": simplifiedchinese.GBK,
	"ansi_949": korean.EUCKR, "ansi_950": traditionalchinese.Big5, "big5": traditionalchinese.Big5,
	"dos437": charmap.CodePage437, "dos850": charmap.CodePage850, "dos852": charmap.CodePage852,
	"dos855": charmap.CodePage855, "dos858": charmap.CodePage858, "dos860": charmap.CodePage860,
	"dos862": charmap.CodePage862, "dos863": charmap.CodePage863,
	"dos865": charmap.CodePage865, "dos866": charmap.CodePage866, "dos932": japanese.ShiftJIS,
	"ksc5601":   korean.EUCKR,
	"iso8859-1": charmap.ISO8859_1, "iso8859-2": charmap.ISO8859_2, "iso8859-3": charmap.ISO8859_3,
	"iso8859-4": charmap.ISO8859_4, "iso8859-5": charmap.ISO8859_5,
	"iso8859-6": charmap.ISO8859_6, "iso8859-7": charmap.ISO8859_7, "iso8859-8": charmap.ISO8859_8,
	"iso8859-9": charmap.ISO8859_9, "mac-roman": charmap.Macintosh,
}

// mifPages are the pages that the number in \M+n stands for, followed by two bytes in hexadecimal. Source: the table
// MIF_CODE_PAGE of ezdxf's lldxf/encoding.py, which names a page of the Open Design Alliance on fonts. 4 is Johab,
// which no decoder here knows: it stays as it is written.
var mifPages = map[byte]encoding.Encoding{
	'1': japanese.ShiftJIS, '2': traditionalchinese.Big5, '3': korean.EUCKR, '5': simplifiedchinese.GBK,
}

// firstUTF8 is the version from which drawings are UTF-8 (DXF reference, "AC1021").
const firstUTF8 = "AC1021"

// decoder turns the bytes of a drawing's texts into UTF-8.
type decoder struct {
	utf8 bool
	page encoding.Encoding
}

// newDecoder finds out how the texts of d are encoded. A text drawing of an earlier version that says a page and is
// good UTF-8 all through is UTF-8: a page would have to look like it by chance at each of its letters.
func (d *Document) newDecoder() decoder {
	page := strings.ToLower(strings.TrimSpace(d.header["$DWGCODEPAGE"]))
	page = strings.Replace(page, "iso8859_", "iso8859-", 1) // both are met
	enc, ok := codepages[page]
	if !ok {
		enc = charmap.Windows1252
	}
	unicode := wellFormedVersion(d.version) && d.version >= firstUTF8 || d.first == len(byteOrderMark) ||
		page == "utf-8" || page == "utf8"
	if !unicode && !d.bin {
		unicode = utf8.Valid(d.data) && (!multibyte[enc] || letters(d.data) >= enoughLetters)
	}
	return decoder{unicode, enc}
}

// multibyte are the pages in which two bytes make a letter; in a few letters they look like UTF-8 by chance.
var multibyte = map[encoding.Encoding]bool{
	japanese.ShiftJIS: true, simplifiedchinese.GBK: true, korean.EUCKR: true, traditionalchinese.Big5: true,
}

// enoughLetters of UTF-8 cannot stand in a drawing of another page by chance; common practice knows no figure.
const enoughLetters = 8

// letters counts the letters beyond ASCII of good UTF-8, as far as enoughLetters.
func letters(data []byte) (n int) {
	for _, c := range data {
		if c >= 0xC0 {
			if n++; n == enoughLetters {
				break
			}
		}
	}
	return n
}

// bytes decodes s. What is not good UTF-8 in a UTF-8 drawing is read by the declared page; what is long and good
// UTF-8 in another is UTF-8.
func (d decoder) bytes(s string) string {
	if ascii(s) {
		return s
	}
	if utf8.ValidString(s) && (d.utf8 || letters([]byte(s)) >= enoughLetters) {
		return s
	}
	out, err := d.page.NewDecoder().String(s)
	if err != nil {
		return strings.ToValidUTF8(s, "�")
	}
	return out
}

// letter returns the letter of one byte in the page of the drawing, for %%nnn.
func (d decoder) letter(n int) string {
	if n < utf8.RuneSelf {
		return string(rune(n))
	}
	out, err := d.page.NewDecoder().String(string([]byte{byte(n)}))
	if err != nil || multibyte[d.page] {
		return string(rune(n))
	}
	return out
}

func ascii(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// decode turns the value of a text, a name or the like into UTF-8, \U+XXXX and \M+nXXXX
// written out.
func (d *Document) decode(s string) string {
	s = d.text.bytes(s)
	if !strings.Contains(s, `\U+`) && !strings.Contains(s, `\M+`) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		if letter, n := codedLetter(s[i:]); n > 0 {
			b.WriteString(letter)
			i += n
			continue
		}
		b.WriteByte(s[i])
		i++
	}
	return b.String()
}

// unicodeCode reads \U+XXXX at the head of s.
func unicodeCode(s string) (r rune, ok bool) {
	if len(s) < len(`\U+0000`) || s[:3] != `\U+` {
		return 0, false
	}
	v, err := strconv.ParseUint(s[3:7], 16, 32)
	return rune(v), err == nil
}

// codedLetter reads \U+XXXX, two of them where they are the halves of one letter in UTF-16, or \M+nXXXX at the head of
// s, and says how long it is; 0 where there is none.
func codedLetter(s string) (letter string, n int) {
	if r, ok := unicodeCode(s); ok {
		n = len(`\U+0000`)
		if utf16.IsSurrogate(r) {
			half, _ := unicodeCode(s[n:])
			r, n = utf16.DecodeRune(r, half), 2*n
			if r == utf8.RuneError {
				return "", 0
			}
		}
		return string(r), n
	}
	n = len(`\M+10000`)
	if len(s) < n || s[:3] != `\M+` {
		return "", 0
	}
	page, ok := mifPages[s[3]]
	v, err := strconv.ParseUint(s[4:n], 16, 32)
	if !ok || err != nil {
		return "", 0
	}
	raw := string([]byte{byte(v >> 8), byte(v)})
	if v < 0x100 {
		raw = raw[1:]
	}
	out, err := page.NewDecoder().String(raw)
	if err != nil {
		return "", 0
	}
	return out, n
}
