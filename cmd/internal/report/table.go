package report

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"

	"twinline/layout/words"
	"twinline/sizing/quantity"
)

// Book is a set of tables, ready to be written in any form.
type Book struct {
	Title    string
	About    []string // whose they are and of what
	Cautions []string
	Tables   []Table
}

// Table is one table as it is printed. Rows are as long as Columns; Total, where there is one, is the last row. What
// its rows are of only the columns know that tabulate makes it from.
type Table struct {
	Name    string // short: the name of a sheet
	Title   string
	Notes   []string
	Columns []Column
	Rows    [][]Cell
	Total   []Cell
	All     string // heads the total
}

// Column is the head of a column. A column of numbers is set flush right.
type Column struct {
	Name     string
	Unit     string
	Number   bool
	Decimals int
	Sum      bool // its numbers add up to the total
}

// Head returns the name with its unit.
func (c Column) Head() string {
	if c.Unit == "" {
		return c.Name
	}
	return c.Name + " (" + c.Unit + ")"
}

// Cell is a text or a number.
type Cell struct {
	Text   string
	Value  float64
	Number bool
}

// Print writes a cell as it stands in a column, an empty text for no number.
func (c Cell) Print(col Column) string {
	if !c.Number {
		return c.Text
	}
	// Halves go away from zero, as spreadsheets show them.
	shift := math.Pow10(col.Decimals)
	s := strconv.FormatFloat(math.Round(c.Value*shift)/shift, 'f', col.Decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return s
}

// heads returns the heads of the columns.
func (t Table) heads() []string {
	var out []string
	for _, c := range t.Columns {
		out = append(out, c.Head())
	}
	return out
}

// print writes a row as it stands in its columns.
func (t Table) print(row []Cell) []string {
	out := make([]string, len(row))
	for i, c := range row {
		out[i] = c.Print(t.Columns[i])
	}
	return out
}

// lines returns the rows and, where there is one, the total.
func (t Table) lines() [][]Cell {
	if t.Total == nil {
		return t.Rows
	}
	return append(slices.Clip(t.Rows), t.Total)
}

// column is a column of a table of rows R: its head, and what it has of a row.
type column[R any] struct {
	Column
	of func(R) Cell
}

// text is a column of texts.
func text[R any](name string, of func(R) string) column[R] {
	return column[R]{Column{Name: name}, func(r R) Cell { return Cell{Text: of(r)} }}
}

// amount is a column of numbers in a unit, which of returns in SI; what is no number stays empty.
func amount[R any, Q ~float64 | ~int](name string, in words.Measure, of func(R) Q) column[R] {
	return column[R]{Column{Name: name, Unit: in.Unit, Number: true, Decimals: in.Decimals},
		func(r R) Cell { return num(float64(of(r)) / in.One) }}
}

// summed makes the numbers of c add up to the total of their table.
func (c column[R]) summed() column[R] {
	c.Sum = true
	return c
}

// plain is the measure of a number without a unit.
func plain(decimals int) words.Measure { return words.Measure{One: 1, Decimals: decimals} }

// roundTo bounds the decimals a number is kept with beyond those shown, so that the last bits of a sum do not show in
// a file.
const roundTo = 1e6

func num(v float64) Cell {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Cell{}
	}
	return Cell{Value: math.Round(v*roundTo) / roundTo, Number: true}
}

// ids returns the first n ids.
func ids[ID ~int](n int) []ID {
	out := make([]ID, n)
	for i := range out {
		out[i] = ID(i)
	}
	return out
}

// only returns v where ok holds, else no number.
func only[Q ~float64](ok bool, v Q) Q {
	if !ok {
		return Q(math.NaN())
	}
	return v
}

// when returns s where ok holds, else nothing.
func when(ok bool, s string) string {
	if !ok {
		return ""
	}
	return s
}

// tabulate fills t in: a line for each row, and under all the sums of the columns that add up.
func tabulate[R any](t Table, rows []R, columns []column[R]) Table {
	for _, c := range columns {
		t.Columns = append(t.Columns, c.Column)
	}
	for _, r := range rows {
		line := make([]Cell, len(columns))
		for i, c := range columns {
			line[i] = c.of(r)
		}
		t.Rows = append(t.Rows, line)
	}
	t.sum()
	return t
}

// sum fills in the total.
func (t *Table) sum() {
	if len(t.Rows) == 0 || !slices.ContainsFunc(t.Columns, func(c Column) bool { return c.Sum }) {
		return
	}
	t.Total = make([]Cell, len(t.Columns))
	t.Total[0].Text = t.All
	for k, col := range t.Columns {
		if !col.Sum {
			continue
		}
		v := 0.0
		for _, row := range t.Rows {
			v += row[k].Value
		}
		t.Total[k] = num(v)
	}
}

// tally tabulates what is counted: of the rows of one system those that read alike are one line, with their number.
// Systems keep their order, what is in none comes last; within one the lines go by what they read.
func tally[R interface{ Of() quantity.Work }](t Table, rows []R, columns []column[R]) Table {
	type line struct {
		system uint
		cells  []Cell
	}
	compare := func(a, b line) int {
		return cmp.Or(cmp.Compare(a.system, b.system),
			slices.CompareFunc(a.cells, b.cells, func(a, b Cell) int { return cmp.Compare(a.Text, b.Text) }))
	}
	t = tabulate(t, rows, columns)
	lines := make([]line, len(rows))
	for i, r := range rows {
		lines[i] = line{uint(r.Of().System), t.Rows[i]}
	}
	slices.SortFunc(lines, compare)
	t.Columns, t.Rows = append(t.Columns, Column{Name: "number", Number: true, Sum: true}), nil
	for i, l := range lines {
		if i > 0 && compare(lines[i-1], l) == 0 {
			t.Rows[len(t.Rows)-1][len(columns)].Value++
		} else {
			t.Rows = append(t.Rows, append(slices.Clip(l.cells), num(1)))
		}
	}
	t.sum()
	return t
}

// Text writes the heads and the rows for a terminal, set in.
func (t Table) Text(out io.Writer) {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "  "+strings.Join(t.heads(), "\t"))
	for _, row := range t.lines() {
		fmt.Fprintln(w, "  "+strings.Join(t.print(row), "\t"))
	}
	w.Flush()
}
