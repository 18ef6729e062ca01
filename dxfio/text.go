package dxfio

import (
	"strings"
	"unicode/utf8"
)

// caret writes out the caret codes of a value: "^ " is a caret, ^J a line end, ^I a tab.
// Source: DXF reference, "Formatting and comments in DXF files".
func caret(s string) string {
	if !strings.Contains(s, "^") {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] != '^' || i+1 == len(s) {
			b.WriteByte(s[i])
			continue
		}
		i++
		switch c := s[i]; {
		case c == ' ':
			b.WriteByte('^')
		case c == 'J':
			b.WriteByte('\n')
		case c == 'I':
			b.WriteByte('\t')
		case c == 'M':
		default:
			b.WriteByte('^')
			b.WriteByte(c)
		}
	}
	return b.String()
}

// percent writes out the control codes of TEXT: %%c diameter, %%d degrees, %%p plus-minus,
// %%nnn a letter by number; %%u %%o %%k switch lines on and off and vanish; %%% is a percent sign.
func (d decoder) percent(s string) string {
	if !strings.Contains(s, "%%") {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		if !strings.HasPrefix(s[i:], "%%") || i+2 == len(s) {
			b.WriteByte(s[i])
			i++
			continue
		}
		c := s[i+2]
		i += 3
		switch c {
		case 'c', 'C':
			b.WriteString("Ø")
		case 'd', 'D':
			b.WriteString("°")
		case 'p', 'P':
			b.WriteString("±")
		case 'u', 'U', 'o', 'O', 'k', 'K':
		case '%':
			b.WriteByte('%')
		default:
			n, digits := 0, 0
			for digits < 3 && i-1+digits < len(s) && s[i-1+digits] >= '0' && s[i-1+digits] <= '9' {
				n = 10*n + int(s[i-1+digits]-'0')
				digits++
			}
			if digits == 0 {
				b.WriteString("%%")
				i--
				continue
			}
			i += digits - 1
			if n >= ' ' && n < 256 {
				b.WriteString(d.letter(n))
			}
		}
	}
	return b.String()
}

// plainMText takes the format codes out of the content of an MTEXT; paragraphs, and
// columns, are parted by \n. Source: DXF reference, "MTEXT", and the inline codes of the text editor's manual.
func (d decoder) plainMText(s string) string {
	s = caret(s)
	var b strings.Builder
	ends := true // there may be a semicolon further on
	for i := 0; i < len(s); {
		c := s[i]
		if c == '{' || c == '}' {
			i++
			continue
		}
		if c != '\\' || i+1 == len(s) {
			b.WriteByte(c)
			i++
			continue
		}
		code := s[i+1]
		i += 2
		switch code {
		case '\\', '{', '}':
			b.WriteByte(code)
		case 'P', 'N', 'X':
			b.WriteByte('\n')
		case '~':
			b.WriteByte(' ')
		case 'L', 'l', 'O', 'o', 'K', 'k':
		case 'S':
			inner, n := untilSemicolon(s[i:])
			if n == 0 {
				n = len(inner)
			}
			i += n
			b.WriteString(stack(inner, endsInDigit(b.String())))
		case 'f', 'F', 'H', 'C', 'c', 'Q', 'W', 'A', 'T', 'p':
			n := 0
			if ends {
				_, n = untilSemicolon(s[i:])
				ends = n > 0 // once is enough: no second search to the end of the text
			}
			if n == 0 { // no end: no code
				b.WriteString(s[i-2 : i])
			}
			i += n
		default: // no code: the letter itself, as programs show it
			r, n := utf8.DecodeRuneInString(s[i-1:])
			b.WriteRune(r)
			i += n - 1
		}
	}
	return d.percent(b.String())
}

// untilSemicolon returns what stands before the next semicolon and how far it reaches; all
// and 0 where there is none.
func untilSemicolon(s string) (inner string, n int) {
	for i := 0; i < len(s); i++ {
		switch s[i] {
		case '\\':
			i++
		case ';':
			return s[:i], i + 1
		}
	}
	return s, 0
}

// stack writes a stacked fraction or tolerance in a line: 1#2, 1/2 and 1^2 become 1/2. A number
// right before it is parted from it.
func stack(s string, after bool) string {
	for i := 0; i < len(s); i++ {
		switch s[i] {
		case '\\':
			i++
		case '/', '#', '^':
			out := strings.TrimSpace(s[:i]) + "/" + strings.TrimSpace(s[i+1:])
			if after {
				out = " " + out
			}
			return bare(out)
		}
	}
	return bare(s)
}

func endsInDigit(s string) bool {
	return s != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9'
}

// bare takes the backslash away from letters that have one before them.
func bare(s string) string {
	if !strings.Contains(s, `\`) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] == '\\' && i+1 < len(s) {
			i++
		}
		b.WriteByte(s[i])
	}
	return b.String()
}
