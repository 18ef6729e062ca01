package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/sizing"
)

// Job is what schedules are made of: a network worked out without errors, and what was asked for.
type Job struct {
	Program string // version of the program
	File    string // name of the drawing, without its folder
	Project string
	Drawing Drawing
	Unit    duct.Length // one drawing unit
	Style   Style
	Waste   float64 // allowance on sheet metal, 0.2 is 20 %
	Spec    sizing.Spec
	Guide   *sizing.GuideSpec // nil where no guidance is asked for
	Net     *duct.Network
	Des     *duct.Design
	Found   diag.List
}

// Book is a set of schedules, ready to be written in any form.
type Book struct {
	Title    string
	About    []string // whose they are and of what
	Cautions []string
	Tables   []Table
}

// Table is one schedule. Rows are as long as Columns; Total, where there is one, is the last row.
type Table struct {
	Name    string // short: the name of a sheet
	Title   string
	Notes   []string
	Columns []Column
	Rows    [][]Cell
	Total   []Cell
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

func text(s string) Cell { return Cell{Text: s} }

// roundTo bounds the decimals a number is kept with beyond those shown, so that the last bits
// of a sum do not show in a file.
const roundTo = 1e6

func num(v float64) Cell {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Cell{}
	}
	return Cell{Value: math.Round(v*roundTo) / roundTo, Number: true}
}

// sum fills in the total of a table: the sums of its columns that add up.
func (t *Table) sum(label string) {
	if len(t.Rows) == 0 {
		return
	}
	t.Total = make([]Cell, len(t.Columns))
	t.Total[0] = text(label)
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

// measure is a unit a column is in.
type measure struct {
	unit     string
	one      float64 // of it, in SI
	decimals int
}

func (m measure) column(name string) Column {
	return Column{Name: name, Unit: m.unit, Number: true, Decimals: m.decimals}
}

func (m measure) summed(name string) Column {
	c := m.column(name)
	c.Sum = true
	return c
}

func (m measure) cell(v float64) Cell { return num(v / m.one) }

// measures are the units of a drawing.
type measures struct{ length, area, mass, flow, velocity, pressure, rate, thin measure }

func (st Style) measures() measures {
	if st.Inches {
		return measures{
			length: measure{"ft", float64(duct.Foot), 1}, area: measure{"ft²", float64(duct.Foot * duct.Foot), 1},
			mass: measure{"lb", float64(duct.Pound), 1}, flow: measure{"cfm", float64(duct.CubicFootPerMinute), 0},
			velocity: measure{"fpm", float64(duct.FootPerMinute), 0}, pressure: measure{"in.wg", float64(duct.InchOfWater), 4},
			rate: measure{"in.wg/100ft", float64(duct.InchOfWaterPerHundredFeet), 3}, thin: measure{"in", float64(duct.Inch), 4},
		}
	}
	return measures{
		length: measure{"m", 1, 2}, area: measure{"m²", 1, 2}, mass: measure{"kg", float64(duct.Kilogram), 1},
		flow: measure{"L/s", float64(duct.LitrePerSecond), 1}, velocity: measure{"m/s", 1, 2}, pressure: measure{"Pa", 1, 1},
		rate: measure{"Pa/m", 1, 2}, thin: measure{"mm", float64(duct.Millimetre), 2},
	}
}

func texts(names ...string) []Column {
	out := make([]Column, len(names))
	for i, n := range names {
		out[i].Name = n
	}
	return out
}

func count(name string) Column { return Column{Name: name, Number: true, Sum: true} }

// scheduler makes the tables of one job.
type scheduler struct {
	Job
	measures
	axes   []geom.Curve     // by run
	byRun  [][]duct.Fitting // the fittings booked on each run
	byNode [][]duct.Fitting // the fittings at each node
}

// Schedules makes the schedules, quantities and the engineer's summary of a job.
func Schedules(job Job) Book {
	s := &scheduler{job, job.Style.measures(), axesOf(job.Net, job.Des),
		make([][]duct.Fitting, len(job.Net.Runs)), make([][]duct.Fitting, len(job.Net.Nodes))}
	for _, f := range job.Des.Fittings {
		if f.Run != duct.None {
			s.byRun[f.Run] = append(s.byRun[f.Run], f)
			s.byNode[f.Node] = append(s.byNode[f.Node], f)
		}
	}
	b := Book{
		Title: "Duct schedules and quantities",
		Cautions: []string{strings.ReplaceAll(Caution, "\n", " "),
			"Crossings of rated walls and grease or laboratory exhaust are marked for others to settle, never solved.",
			"Quantities are estimates from the centrelines of the drawing, for planning and checking, not for cutting."},
	}
	if job.Project != "" {
		b.About = append(b.About, "Project: "+job.Project)
	}
	b.About = append(b.About, "Drawing: "+job.File,
		fmt.Sprintf("Units of the drawing: %s", job.Drawing.Units), "Twinline "+job.Program, "Findings: "+Counts(job.Found))
	b.Tables = []Table{
		s.basis(), s.units(), s.paths(), s.terminals(), s.ducts(), s.totals(), s.fittings(), s.flexible(),
		s.dampers(), s.coverings(),
	}
	b.Tables = append(append(b.Tables, s.guidance()...), s.findings())
	return b
}

// system returns name and air of a system, of removed work its air alone.
func (s *scheduler) system(id duct.SystemID, air duct.Air) (name, designation string) {
	if id == duct.None {
		return "", air.String()
	}
	return s.Net.Systems[id].Name, s.Net.Systems[id].Air.String()
}

func (s *scheduler) long(id duct.RunID) float64 { return float64(s.Des.Runs[id].Length) }

func (s *scheduler) size(id duct.RunID) duct.Size { return s.Des.Runs[id].Size }
