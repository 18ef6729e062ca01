package report

import (
	"fmt"
	"math"
	"slices"
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
	if err := f.SetDocProps(&excelize.DocProperties{Title: b.Title, Creator: "Twinline", LastModifiedBy: "Twinline", Created: made, Modified: made}); err != nil {
		return nil, err
	}
	styles, err := newXLSXStyles(f)
	if err != nil {
		return nil, err
	}
	for i, t := range b.Tables {
		if i == 0 {
			err = f.SetSheetName(f.GetSheetName(0), t.Name)
		} else {
			_, err = f.NewSheet(t.Name)
		}
		if err != nil {
			return nil, err
		}
		s := sheet{f: f, name: t.Name, styles: styles}
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
	buf, err := f.WriteToBuffer()
	if err != nil {
		return nil, err
	}
	return buf.Bytes(), nil
}

// xlsxStyles are the styles of a workbook.
type xlsxStyles struct {
	f             *excelize.File
	head, numHead int
	note          int
	numbers       map[string]int
}

func newXLSXStyles(f *excelize.File) (*xlsxStyles, error) {
	s := &xlsxStyles{f: f, numbers: map[string]int{}}
	line := []excelize.Border{{Type: "bottom", Color: "000000", Style: 1}}
	var err error
	if s.head, err = f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}, Border: line,
		Alignment: &excelize.Alignment{WrapText: true, Vertical: "bottom"}}); err != nil {
		return nil, err
	}
	if s.numHead, err = f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}, Border: line,
		Alignment: &excelize.Alignment{WrapText: true, Vertical: "bottom", Horizontal: "right"}}); err != nil {
		return nil, err
	}
	s.note, err = f.NewStyle(&excelize.Style{Font: &excelize.Font{Italic: true}})
	return s, err
}

// number returns the style of numbers with so many decimals, bold and ruled off in a total.
func (s *xlsxStyles) number(decimals int, total bool) (int, error) {
	format := "0"
	if decimals > 0 {
		format += "." + strings.Repeat("0", decimals)
	}
	key := fmt.Sprint(format, total)
	if id, ok := s.numbers[key]; ok {
		return id, nil
	}
	style := &excelize.Style{CustomNumFmt: &format}
	if total {
		style.Font = &excelize.Font{Bold: true}
		style.Border = []excelize.Border{{Type: "top", Color: "000000", Style: 1}}
	}
	id, err := s.f.NewStyle(style)
	s.numbers[key] = id
	return id, err
}

// sheet writes one sheet from the top down; the first error stops it.
type sheet struct {
	f      *excelize.File
	name   string
	styles *xlsxStyles
	row    int
	err    error
}

func (s *sheet) try(err error) {
	if s.err == nil {
		s.err = err
	}
}

func (s *sheet) set(column int, c Cell, style int) {
	ref, err := excelize.CoordinatesToCellName(column, s.row)
	s.try(err)
	switch {
	case c.Number:
		s.try(s.f.SetCellFloat(s.name, ref, c.Value, -1, 64))
	case c.Text != "":
		// Always a text, never a formula, whatever it begins with.
		s.try(s.f.SetCellStr(s.name, ref, shortened(c.Text)))
	}
	if style != 0 {
		s.try(s.f.SetCellStyle(s.name, ref, ref, style))
	}
}

func shortened(text string) string {
	if utf8.RuneCountInString(text) <= longestCell {
		return text
	}
	return string([]rune(text)[:longestCell])
}

// table writes heads, rows and total, and makes the columns wide enough.
func (s *sheet) table(t Table) {
	widths := make([]float64, len(t.Columns))
	s.row = 1
	for i, col := range t.Columns {
		style := s.styles.head
		if col.Number {
			style = s.styles.numHead
		}
		s.set(i+1, Cell{Text: col.Head()}, style)
		// Heads of two words may stand in two lines.
		for _, word := range strings.Fields(col.Head()) {
			widths[i] = math.Max(widths[i], float64(utf8.RuneCountInString(word)))
		}
	}
	s.try(s.f.SetPanes(s.name, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}))
	for k, row := range t.lines() {
		s.row++
		total := t.Total != nil && k == len(t.Rows)
		for i, c := range row {
			widths[i] = math.Max(widths[i], float64(utf8.RuneCountInString(c.Print(t.Columns[i]))))
			style, err := s.styles.number(t.Columns[i].Decimals, total)
			s.try(err)
			if !c.Number && !total {
				style = 0
			}
			s.set(i+1, c, style)
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
		s.set(1, Cell{Text: line}, s.styles.note)
	}
}

// page sets a sheet up for printing: across the page, its width on one sheet, heads repeated.
func (s *sheet) page() {
	landscape, one, zero, fit := "landscape", 1, 0, true
	s.try(s.f.SetPageLayout(s.name, &excelize.PageLayoutOptions{Orientation: &landscape, FitToWidth: &one, FitToHeight: &zero}))
	s.try(s.f.SetSheetProps(s.name, &excelize.SheetPropsOptions{FitToPage: &fit}))
	s.try(s.f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: "'" + s.name + "'!$1:$1", Scope: s.name}))
}
