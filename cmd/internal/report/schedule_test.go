package report

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"twinline/cmd/internal/pipeline"
	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// oneRun is a job with a single new run, from a unit to a terminal.
func oneRun(size duct.Size, length float64) Job {
	return Job{
		Net: &duct.Network{
			Systems: []duct.System{{Name: "U-1", Runs: []duct.RunID{0}, Terminals: []duct.TerminalID{0}}},
			Nodes: []duct.Node{
				{ID: 0, Kind: duct.Head, Runs: []duct.RunID{0}, Terminal: duct.None},
				{ID: 1, Kind: duct.Outlet, At: geom.Vec{X: length}, Runs: []duct.RunID{0}, Unit: duct.None}},
			Runs:      []duct.Run{{To: 1, Line: geom.Curve{B: geom.Vec{X: length}}, Up: duct.None, Flow: 0.1}},
			Terminals: []duct.Terminal{{Name: "S-1", Mark: "S-1", Node: 1, Flow: 0.1}},
			Units:     []duct.Unit{{Mark: "U-1"}},
		},
		Des: &duct.Design{
			Runs: []duct.RunResult{{Size: size, Length: duct.Length(length)}}, Nodes: make([]duct.NodeResult, 2),
			Terminals: make([]duct.TerminalResult, 1), Systems: make([]duct.SystemResult, 1),
		},
	}
}

func find(t *testing.T, b Book, name string) Table {
	t.Helper()
	i := slices.IndexFunc(b.Tables, func(t Table) bool { return t.Name == name })
	require.GreaterOrEqual(t, i, 0, name)
	return b.Tables[i]
}

func column(t *testing.T, table Table, name string) int {
	t.Helper()
	i := slices.IndexFunc(table.Columns, func(c Column) bool { return c.Name == name })
	require.GreaterOrEqual(t, i, 0, name)
	return i
}

func value(t *testing.T, table Table, row int, name string) float64 {
	t.Helper()
	c := table.Rows[row][column(t, table, name)]
	require.True(t, c.Number, "%s of row %d is no number", name, row)
	return c.Value
}

// plain prints the rows of a table, and its total, as lines.
func plain(table Table) []string {
	var out []string
	rows := table.Rows
	if table.Total != nil {
		rows = append(slices.Clone(rows), table.Total)
	}
	for _, row := range rows {
		words := make([]string, len(row))
		for i, c := range row {
			words[i] = c.Print(table.Columns[i])
		}
		out = append(out, strings.Join(words, "|"))
	}
	return out
}

// branched is a job small enough to add up by hand: a lined and insulated main, an existing
// branch, a flexible end with its drop, and removed work.
func branched() Job {
	v := func(x, y, z float64) geom.Vec { return geom.Vec{X: x, Y: y, Z: z} }
	line := func(a, b geom.Vec) geom.Curve { return geom.Curve{A: a, B: b} }
	dia := duct.RoundOf(0.25)
	main := duct.RectOf(0.4, 0.2)
	net := &duct.Network{
		Systems: []duct.System{{Name: "U-1", Head: 0, Runs: []duct.RunID{0, 1, 2, 3}, Terminals: []duct.TerminalID{0, 1}, Flow: 0.3}},
		Nodes: []duct.Node{
			{ID: 0, Kind: duct.Head, Runs: []duct.RunID{0}, Terminal: duct.None},
			{ID: 1, Kind: duct.Branch, At: v(5, 0, 3), Runs: []duct.RunID{0, 1, 2}, Unit: duct.None, Terminal: duct.None},
			{ID: 2, Kind: duct.Outlet, At: v(5, 3, 3), Runs: []duct.RunID{1}, Unit: duct.None, Terminal: 0},
			{ID: 3, Kind: duct.Bend, At: v(7, 0, 3), Runs: []duct.RunID{2, 3}, Unit: duct.None, Terminal: duct.None},
			{ID: 4, Kind: duct.Outlet, At: v(7, 0, 2.4), Runs: []duct.RunID{3}, Unit: duct.None, Terminal: 1},
			{ID: 5, Kind: duct.Cap, At: v(0, 9, 3), Runs: []duct.RunID{4}, System: duct.None, Unit: duct.None, Terminal: duct.None},
			{ID: 6, Kind: duct.Cap, At: v(2, 9, 3), Runs: []duct.RunID{4}, System: duct.None, Unit: duct.None, Terminal: duct.None},
		},
		Runs: []duct.Run{
			{ID: 0, From: 0, To: 1, Line: line(v(0, 0, 3), v(5, 0, 3)), Up: duct.None, Flow: 0.3, Spec: duct.Spec{Lining: 0.025, Insulation: 0.05}},
			{ID: 1, From: 1, To: 2, Line: line(v(5, 0, 3), v(5, 3, 3)), Up: 0, Flow: 0.1, Status: duct.Existing},
			{ID: 2, From: 1, To: 3, Line: line(v(5, 0, 3), v(7, 0, 3)), Up: 0, Flow: 0.2, Kind: duct.Flexible, Pliable: true},
			{ID: 3, From: 3, To: 4, Line: line(v(7, 0, 3), v(7, 0, 2.4)), Up: 2, Flow: 0.2, Kind: duct.Drop, Pliable: true, Across: v(1, 0, 0)},
			{ID: 4, System: duct.None, From: 5, To: 6, Line: line(v(0, 9, 3), v(2, 9, 3)), Up: duct.None, Status: duct.Removed, Spec: duct.Spec{Material: "plastic"}},
		},
		Terminals: []duct.Terminal{
			{ID: 0, Name: "=1+2", Mark: "=1+2", Node: 2, At: v(5, 3, 2.4), Flow: 0.1, Loss: 10, Status: duct.Existing},
			{ID: 1, Name: "S-2", Mark: "S-2", Node: 4, At: v(7, 0, 2.4), Flow: 0.2, Loss: 20},
		},
		Units: []duct.Unit{{Mark: "U-1", Available: 50, HasAvailable: true}},
	}
	des := &duct.Design{
		Runs: []duct.RunResult{{Size: main, Length: 5, Friction: 4, Fittings: 1}, {Size: dia, Length: 3, Friction: 2, Fittings: 3},
			{Size: dia, Length: 2, Friction: 5, Fittings: -0.5}, {Size: dia, Length: 0.6, Friction: 1.5, Fittings: 0.25}, {Size: dia, Length: 2}},
		Nodes:     make([]duct.NodeResult, 7),
		Terminals: []duct.TerminalResult{{Path: 20, Throttle: 11.25, DamperC: 7}, {Path: 31.25}},
		Systems:   []duct.SystemResult{{Method: "equal-friction", Required: 31.25, Available: 50, Deciding: 1}},
		Fittings: []duct.Fitting{
			{Node: 0, Kind: duct.Entry, Run: 0, Main: duct.None, Own: main, C: 0.5, Reference: "own", Loss: 1},
			{Node: 1, Kind: duct.Takeoff, Run: 1, Main: 0, Common: main, Own: dia, Loss: 3, Damper: true},
			{Node: 1, Kind: duct.Through, Run: 2, Main: 0, Common: main, Own: main, Loss: -0.75},
			{Node: 1, Kind: duct.Reducer, Run: 2, Main: 0, Common: main, Own: dia, Loss: 0.25},
			{Node: 3, Kind: duct.DropConn, Run: 3, Main: 2, Common: dia, Own: dia, Loss: 0.25},
			{Node: 2, Kind: duct.TerminalConn, Run: 1, Main: duct.None, Own: dia},
			{Node: 4, Kind: duct.TerminalConn, Run: 3, Main: duct.None, Own: dia},
			{Node: 5, Kind: duct.EndCap, Run: 4, Main: duct.None, Own: dia}, {Node: 6, Kind: duct.EndCap, Run: 4, Main: duct.None, Own: dia},
		},
	}
	found := diag.List{}
	found.Add(diag.RatedCrossing, [3]float64{2, 1, 3}, "2F", "A duct crosses a rated wall.", "Settle it.")
	return Job{Program: "test", File: "shed.dxf", Project: "-Boat shed", Drawing: Drawing{Units: "mm"}, Unit: duct.Millimetre, Waste: 0.5, Net: net, Des: des, Found: found}
}

func TestQuantities(t *testing.T) {
	b := Schedules(branched())
	// Main: 400x200 with 25 mm of lining is sheet of 450x250, 2 (0.45 + 0.25) = 1.4 m around; 5 m of it are 7 m2;
	// of 5.64 kg/m2 39.48 kg; and half 59.22. Branch: pi 0.25 3 = 2.356 m2, of 4.42 kg/m2 10.41 kg, existing, so
	// nothing is to be ordered. Removed: pi 0.25 2 = 1.571 m2 of plastic, which has no weight here.
	require.Equal(t, []string{
		"U-1|SUP|new|rect|400x200|25 mm||1|5.00|7.00|0.70|table|39.5|59.2",
		"U-1|SUP|existing|round|ø250|||1|3.00|2.36|0.55|table|10.4|",
		"|SUP|removed|round|ø250||plastic|1|2.00|1.57||not sheet steel||",
		"all states|||||||3|10.00|10.93|||49.9|59.2",
	}, plain(find(t, b, "Ducts")))
	// 2 m of flexible duct and a drop of 0.6 m are one piece of 2.6 m.
	require.Equal(t, []string{"U-1|SUP|new|ø250|1|2.60|2.60", "all states||||1|2.60|"}, plain(find(t, b, "Flexible")))
	require.Equal(t, []string{"U-1|SUP|new|insulation|50.0|5.00|7.00", "U-1|SUP|new|lining|25.0|5.00|7.00", "all states|||||10.00|14.00"},
		plain(find(t, b, "Insulation and lining")))
	require.Equal(t, []string{"new|5.00|7.00|39.5|59.2|2.60|7.00|7.00|1", "existing|3.00|2.36|10.4||0.00|0.00|0.00|1", "removed|2.00|1.57|0.0||0.00|0.00|0.00|0"},
		plain(find(t, b, "Totals")))
	// The straight leg and the bend of the flexible duct do not count.
	require.Equal(t, []string{
		"U-1|SUP|existing|connection to a terminal|ø250|1", "U-1|SUP|existing|takeoff, plain|ø250 from 400x200|1",
		"U-1|SUP|new|connection to a terminal|ø250|1", "U-1|SUP|new|connection to a unit|400x200|1", "U-1|SUP|new|size change|400x200 to ø250|1",
		"|SUP|removed|end cap|ø250|2", "all states|||||7",
	}, plain(find(t, b, "Fittings")))
	require.Equal(t, []string{"U-1|SUP|existing|volume damper|ø250|1",
		"|||crossing of a rated wall, to be settled: A duct crosses a rated wall.||1", "all states|||||2"}, plain(find(t, b, "Dampers")))
	require.Equal(t, []string{"U-1|SUP|new|equal-friction|300.0|2|31.3|50.0|18.8|S-2"}, plain(find(t, b, "Units")))
	require.Equal(t, []string{"U-1|SUP|=1+2|=1+2|existing|100.0|ø250|2.400 m|10.0|20.0|11.3|7.0|", "U-1|SUP|S-2|S-2|new|200.0|ø250|2.400 m|20.0|31.3|0.0||decides"},
		plain(find(t, b, "Terminals")))
	require.Equal(t, []string{"warning|rated-crossing|2000.0|1000.0|3000.0|2F|A duct crosses a rated wall.|Settle it."}, plain(find(t, b, "Findings")))
}

func TestDecidingPath(t *testing.T) {
	table := find(t, Schedules(branched()), "Deciding paths")
	// Entry 1, main 4, straight on -0.75, size change 0.25, flexible 5, then the drop: its bend 0.25, friction 1.5,
	// the connection 0, and the terminal 20. The bend is where the air enters the drop, the connection where it leaves.
	sums := []float64{1, 5, 4.25, 4.5, 9.5, 9.75, 11.25, 11.25, 31.25}
	require.Len(t, table.Rows, len(sums))
	for i, want := range sums {
		require.InDelta(t, want, value(t, table, i, "sum"), 1e-9, "row %d", i)
	}

	// Extract runs the other way: the terminal comes first.
	job := branched()
	for i := range job.Net.Systems {
		job.Net.Systems[i].Air = duct.ETA
	}
	for i := range job.Net.Runs {
		r := &job.Net.Runs[i]
		r.Air, r.From, r.To, r.Line = duct.ETA, r.To, r.From, r.Line.Reverse()
	}
	table = find(t, Schedules(job), "Deciding paths")
	require.Equal(t, "S-2", table.Rows[0][2].Text)
	sums = []float64{20, 20, 21.5, 21.75, 26.75, 26, 26.25, 30.25, 31.25}
	require.Len(t, table.Rows, len(sums))
	for i, want := range sums {
		require.InDelta(t, want, value(t, table, i, "sum"), 1e-9, "row %d", i)
	}

	// What a run has beyond its friction and fittings is told.
	job = branched()
	job.Des.Runs[3].Fittings -= 2
	table = find(t, Schedules(job), "Deciding paths")
	require.Len(t, table.Rows, 10)
	require.Equal(t, "stack effect", table.Rows[8][3].Text)
	require.InDelta(t, 29.25, value(t, table, 9, "sum"), 1e-9)
}

// In inch drawings: 7 m2 are 75.3 ft2 (0.3048 m a foot), 39.48 kg 87.0 lb (0.45359237 kg a pound),
// 0.701 mm 0.0276 in, 300 L/s 636 cfm, 31.25 Pa 0.1255 in.wg (249.0889 Pa an inch of water).
func TestInches(t *testing.T) {
	job := branched()
	job.Style.Inches = true
	b := Schedules(job)
	require.Equal(t, `U-1|SUP|new|rect|15.75"x7.87"|0.98 in||1|16.4|75.3|0.0276|table|87.0|130.6`, plain(find(t, b, "Ducts"))[0])
	require.Equal(t, "U-1|SUP|new|equal-friction|636|2|0.1255|0.2007|0.0753|S-2", plain(find(t, b, "Units"))[0])
	require.Equal(t, "surface (ft²)", find(t, b, "Ducts").Columns[9].Head())
}

func TestCSV(t *testing.T) {
	b := Schedules(branched())
	data, err := b.CSV()
	require.NoError(t, err)
	require.True(t, bytes.HasPrefix(data, []byte(byteOrderMark)))
	require.Equal(t, bytes.Count(data, []byte("\n")), bytes.Count(data, []byte("\r\n")), "RFC 4180 wants CRLF")
	r := csv.NewReader(bytes.NewReader(data[len(byteOrderMark):]))
	r.FieldsPerRecord = -1
	records, err := r.ReadAll()
	require.NoError(t, err)
	var first []string
	for _, rec := range records {
		first = append(first, rec[0])
		for _, word := range rec {
			if strings.ContainsAny(word[:min(1, len(word))], "=+-@") {
				_, err := strconv.ParseFloat(word, 64)
				require.NoError(t, err, "%q begins like a formula and is no number", word)
			}
		}
	}
	for _, table := range b.Tables {
		i := slices.Index(first, table.Title)
		require.GreaterOrEqual(t, i, 0, table.Title)
		head := records[i+1+len(table.Notes)]
		require.Len(t, head, len(table.Columns))
		require.Equal(t, table.Columns[0].Head(), head[0])
		for k := range table.Rows {
			require.Len(t, records[i+2+len(table.Notes)+k], len(table.Columns))
		}
	}
	for _, c := range b.Cautions {
		require.Contains(t, first, c)
	}
	require.Contains(t, string(data), "'=1+2")
	require.Contains(t, string(data), "\r\nProject: -Boat shed\r\n")
}

func TestXLSX(t *testing.T) {
	b := Schedules(branched())
	data, err := b.XLSX()
	require.NoError(t, err)
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	defer f.Close()
	var names []string
	for _, table := range b.Tables {
		names = append(names, table.Name)
		panes, err := f.GetPanes(table.Name)
		require.NoError(t, err)
		require.True(t, panes.Freeze && panes.YSplit == 1, "%s: the heads are frozen", table.Name)
		rows, err := f.GetRows(table.Name)
		require.NoError(t, err)
		for i, line := range plain(table) {
			words := strings.Split(line, "|")
			for k, want := range words {
				ref, err := excelize.CoordinatesToCellName(k+1, i+2)
				require.NoError(t, err)
				got, err := f.GetCellValue(table.Name, ref)
				require.NoError(t, err)
				require.Equal(t, want, got, "%s %s as it is shown", table.Name, ref)
				formula, err := f.GetCellFormula(table.Name, ref)
				require.NoError(t, err)
				require.Empty(t, formula)
				kind, err := f.GetCellType(table.Name, ref)
				require.NoError(t, err)
				if i < len(table.Rows) && table.Rows[i][k].Number {
					require.NotContains(t, []excelize.CellType{excelize.CellTypeSharedString, excelize.CellTypeInlineString}, kind, "%s %s is a number", table.Name, ref)
					raw, err := f.GetCellValue(table.Name, ref, excelize.Options{RawCellValue: true})
					require.NoError(t, err)
					require.InDelta(t, table.Rows[i][k].Value, float(t, raw), 1e-9)
				} else if want != "" && i < len(table.Rows) {
					require.Equal(t, excelize.CellTypeSharedString, kind, "%s %s is a text", table.Name, ref)
				}
			}
		}
		all := ""
		for _, row := range rows {
			all += strings.Join(row, " ") + "\n"
		}
		require.Contains(t, all, b.Cautions[0], table.Name)
	}
	require.Equal(t, names, f.GetSheetList())
	for range 5 {
		again, err := Schedules(branched()).XLSX()
		require.NoError(t, err)
		require.True(t, bytes.Equal(data, again), "the same job gives the same bytes")
	}
}

func TestHTML(t *testing.T) {
	job := branched()
	job.Project = `<script>alert("x")</script>`
	b := Schedules(job)
	data, err := b.HTML()
	require.NoError(t, err)
	require.NotContains(t, string(data), "<script>")
	for _, outer := range []string{"http:", "https:", "url(", "src="} {
		require.NotContains(t, string(data), outer, "the page needs nothing else")
	}
	// The page is well-formed XML too; every row of a table has as many cells as heads, and
	// numbers stand under heads of numbers.
	d := xml.NewDecoder(bytes.NewReader(data))
	var heads, cells []string
	tables, rows := 0, 0
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch e := tok.(type) {
		case xml.StartElement:
			class := ""
			for _, a := range e.Attr {
				if a.Name.Local == "class" {
					class = a.Value
				}
			}
			switch e.Name.Local {
			case "table":
				heads, tables = nil, tables+1
			case "th":
				heads = append(heads, class)
			case "tr":
				cells = nil
			case "td":
				cells = append(cells, class)
			}
		case xml.EndElement:
			if e.Name.Local == "tr" && cells != nil {
				rows++
				require.Equal(t, heads, cells, "table %d", tables)
			}
		}
	}
	want := 0
	for _, table := range b.Tables {
		want += len(plain(table))
	}
	require.Equal(t, want, rows)
	require.Equal(t, len(b.Tables), tables)
	for _, c := range b.Cautions {
		require.Contains(t, string(data), strings.ReplaceAll(c, "'", "&#39;"))
	}
}

func TestPrint(t *testing.T) {
	two := Column{Number: true, Decimals: 2}
	require.Equal(t, "0.00", num(-0.001).Print(two))
	require.Equal(t, "-0.25", num(-0.25).Print(two))
	require.Equal(t, "1.00", num(0.999999).Print(two))
	require.Empty(t, num(math.NaN()).Print(two))
	require.Empty(t, num(math.Inf(1)).Print(two))
	require.Equal(t, "x", text("x").Print(two))
}

// On the demonstrations the sum of every deciding path is the pressure the system needs, and
// lengths and terminals are all accounted for.
func TestSchedulesOfTheDemonstrations(t *testing.T) {
	files, err := filepath.Glob("../../../testdata/sketch/*.dxf")
	require.NoError(t, err)
	n := 0
	for _, name := range files {
		if strings.Contains(name, ".golden") {
			continue
		}
		n++
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		st, err := pipeline.Read(data, nil)
		require.NoError(t, err)
		require.False(t, st.Findings.HasErrors(), name)
		job := Job{Net: st.Network, Des: st.Design, Found: st.Findings, Unit: st.Sketch.Unit, Spec: st.Specs.Sizing}
		b := Schedules(job)
		paths := find(t, b, "Deciding paths")
		last := map[string]float64{}
		for i := range paths.Rows {
			last[paths.Rows[i][0].Text+paths.Rows[i][1].Text] = value(t, paths, i, "sum")
		}
		units := find(t, b, "Units")
		for i := range st.Network.Systems {
			require.InDelta(t, value(t, units, i, "required"), last[units.Rows[i][0].Text+units.Rows[i][1].Text], 1e-4, "%s, %s", name, units.Rows[i][0].Text)
		}
		var drawn, told float64
		axes := axesOf(st.Network, st.Design)
		for i := range st.Network.Runs {
			drawn += axes[i].Len()
		}
		for _, table := range []string{"Ducts", "Flexible"} {
			told += find(t, b, table).Total[column(t, find(t, b, table), "length")].Value
		}
		require.InDelta(t, drawn, told, 1e-3, name)
		require.Len(t, find(t, b, "Terminals").Rows, len(st.Network.Terminals))
	}
	require.GreaterOrEqual(t, n, 3)
}
