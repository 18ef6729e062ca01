package report

import (
	"bytes"
	"encoding/csv"
	"strings"
)

// byteOrderMark tells spreadsheets that the file is UTF-8; without it some show "Ã¸" for "ø".
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
	line(b.Title)
	for _, s := range b.About {
		line(s)
	}
	for _, s := range b.Cautions {
		line(s)
	}
	for _, t := range b.Tables {
		line()
		line(t.Title)
		for _, n := range t.Notes {
			line(n)
		}
		heads := make([]string, len(t.Columns))
		for i, c := range t.Columns {
			heads[i] = c.Head()
		}
		line(heads...)
		rows := t.Rows
		if t.Total != nil {
			rows = append(rows[:len(rows):len(rows)], t.Total)
		}
		for _, row := range rows {
			words := make([]string, len(row))
			for i, c := range row {
				if c.Number {
					words[i] = c.Print(t.Columns[i])
				} else {
					words[i] = harmless(c.Text)
				}
			}
			_ = w.Write(words)
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
