package report

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
)

// byteOrderMark shows spreadsheets that the file is UTF-8; without it some show "Ã¸" for "ø".
const byteOrderMark = "\ufeff"

// CSV writes a book as one file of comma-separated values (RFC 4180): its tables one below the
// other, each with its title, the heads of its columns and its rows, an empty line between.
// Numbers have a point and no unit; the unit stands in the head.
func (b Book) CSV() ([]byte, error) {
	var out bytes.Buffer
	out.WriteString(byteOrderMark)
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	line := func(words ...string) {
		for i, word := range words {
			words[i] = harmless(word)
		}
		_ = w.Write(words) // errors stay with w; see w.Error below
	}
	for _, s := range slices.Concat([]string{b.Title}, b.About, b.Cautions) {
		line(s)
	}
	for _, t := range b.Tables {
		line()
		line(t.Title)
		for _, n := range t.Notes {
			line(n)
		}
		line(t.heads()...)
		for _, row := range t.lines() {
			out := t.print(row)
			for i, c := range row {
				if !c.Number {
					out[i] = harmless(out[i])
				}
			}
			_ = w.Write(out)
		}
	}
	w.Flush()
	return out.Bytes(), w.Error()
}

// harmless returns a text no spreadsheet takes for a formula: one that begins like a formula
// has an apostrophe before it, which spreadsheets read as "this is text".
func harmless(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}
