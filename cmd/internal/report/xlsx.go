package report

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// Measures of sheets, in letters and rows.
const (
	narrowest   = 6.0
	widest      = 60.0
	widthSpare  = 2.0
	longestCell = 32767 // letters a cell may hold
)

// made is the time every workbook says it was made at, so that one drawing always gives one file.
const made = "2000-01-01T00:00:00Z"

// XLSX writes a book as a workbook: a sheet for each table, with the heads of its columns frozen
// at the top. Numbers are numbers, shown with the decimals of their column.
func (b Book) XLSX() ([]byte, error) {
	f := excelize.NewFile()
	defer f.Close()
	s := sheet{f: f}
	s.try(f.SetDocProps(&excelize.DocProperties{Title: b.Title, Creator: "Twinline", LastModifiedBy: "Twinline",
		Created: made, Modified: made}))
	line := []excelize.Border{{Type: "bottom", Color: "000000", Style: 1}}
	for i, side := range []string{"", "right"} {
		s.head[i] = s.style(excelize.Style{Font: &excelize.Font{Bold: true}, Border: line,
			Alignment: &excelize.Alignment{WrapText: true, Vertical: "bottom", Horizontal: side}})
	}
	s.note = s.style(excelize.Style{Font: &excelize.Font{Italic: true}})
	for i, t := range b.Tables {
		s.name = t.Name
		if i == 0 {
			s.try(f.SetSheetName(f.GetSheetName(0), t.Name))
		} else {
			_, err := f.NewSheet(t.Name)
			s.try(err)
		}
		s.table(t)
		s.below(slices.Concat([]string{""}, t.Notes, b.Cautions, []string{""}))
		if i == 0 {
			s.below(append([]string{b.Title}, b.About...))
		}
		s.page()
		if s.err != nil {
			return nil, fmt.Errorf("sheet %s: %w", t.Name, s.err)
		}
	}
	var out bytes.Buffer
	err := f.Write(&out)
	return out.Bytes(), err
}

// sheet writes the sheets of a workbook, each from the top down; the first error stays.
type sheet struct {
	f    *excelize.File
	name string
	row  int
	head [2]int // styles of the heads of texts and of numbers
	note int    // style of notes
	err  error
}

func (s *sheet) try(err error) {
	if s.err == nil {
		s.err = err
	}
}

func (s *sheet) style(style excelize.Style) int {
	id, err := s.f.NewStyle(&style)
	s.try(err)
	return id
}

// numbers returns the styles of the numbers of each column, bold and ruled off in a total.
func (s *sheet) numbers(columns []Column, total bool) []int {
	out := make([]int, len(columns))
	for i, c := range columns {
		format := strconv.FormatFloat(0, 'f', c.Decimals, 64)
		style := excelize.Style{CustomNumFmt: &format}
		if total {
			style.Font = &excelize.Font{Bold: true}
			style.Border = []excelize.Border{{Type: "top", Color: "000000", Style: 1}}
		}
		out[i] = s.style(style)
	}
	return out
}

// set fills in a cell; style 0 is that of plain text.
func (s *sheet) set(column int, c Cell, style int) {
	ref, err := excelize.CoordinatesToCellName(column, s.row)
	s.try(err)
	switch {
	case c.Number:
		s.try(s.f.SetCellFloat(s.name, ref, c.Value, -1, 64))
	case c.Text != "":
		// Always a text, never a formula, whatever it begins with.
		letters := []rune(c.Text)
		s.try(s.f.SetCellStr(s.name, ref, string(letters[:min(len(letters), longestCell)])))
	}
	if style != 0 {
		s.try(s.f.SetCellStyle(s.name, ref, ref, style))
	}
}

// table writes heads, rows and total, and makes the columns wide enough.
func (s *sheet) table(t Table) {
	widths := make([]float64, len(t.Columns))
	s.row = 1
	for i, col := range t.Columns {
		style := s.head[0]
		if col.Number {
			style = s.head[1]
		}
		s.set(i+1, Cell{Text: col.Head()}, style)
		// Heads of two words may stand in two lines.
		for _, word := range strings.Fields(col.Head()) {
			widths[i] = math.Max(widths[i], float64(utf8.RuneCountInString(word)))
		}
	}
	s.try(s.f.SetPanes(s.name, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}))
	var numbers []int
	for k, row := range t.lines() {
		s.row++
		total := k == len(t.Rows)
		if k == 0 || total {
			numbers = s.numbers(t.Columns, total)
		}
		for i, text := range t.print(row) {
			widths[i] = math.Max(widths[i], float64(utf8.RuneCountInString(text)))
			style := numbers[i]
			if !row[i].Number && !total {
				style = 0
			}
			s.set(i+1, row[i], style)
		}
	}
	for i, w := range widths {
		name, err := excelize.ColumnNumberToName(i + 1)
		s.try(err)
		s.try(s.f.SetColWidth(s.name, name, name, math.Min(widest, math.Max(narrowest, w)+widthSpare)))
	}
}

// below writes lines of text under what is there.
func (s *sheet) below(lines []string) {
	for _, line := range lines {
		s.row++
		s.set(1, Cell{Text: line}, s.note)
	}
}

// page sets a sheet up for printing: across the page, its width on one sheet, heads repeated.
func (s *sheet) page() {
	landscape, one, zero, fit := "landscape", 1, 0, true
	s.try(s.f.SetPageLayout(s.name,
		&excelize.PageLayoutOptions{Orientation: &landscape, FitToWidth: &one, FitToHeight: &zero}))
	s.try(s.f.SetSheetProps(s.name, &excelize.SheetPropsOptions{FitToPage: &fit}))
	s.try(s.f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles",
		RefersTo: "'" + s.name + "'!$1:$1", Scope: s.name}))
}
