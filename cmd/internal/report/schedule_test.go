package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
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
	"twinline/layout/duct"
	"twinline/layout/shape"
	"twinline/layout/words"
	"twinline/sizing/quantity"
)

func find(t *testing.T, b Book, name string) Table {
	t.Helper()
	i := slices.IndexFunc(b.Tables, func(t Table) bool { return t.Name == name })
	require.GreaterOrEqual(t, i, 0, name)
	return b.Tables[i]
}

func at(t *testing.T, table Table, name string) int {
	t.Helper()
	i := slices.IndexFunc(table.Columns, func(c Column) bool { return c.Name == name })
	require.GreaterOrEqual(t, i, 0, name)
	return i
}

func value(t *testing.T, table Table, row int, name string) float64 {
	t.Helper()
	c := table.Rows[row][at(t, table, name)]
	require.True(t, c.Number, "%s of row %d is no number", name, row)
	return c.Value
}

// printed prints the rows of a table, and its total, as lines.
func printed(table Table) []string {
	var out []string
	for _, row := range table.lines() {
		out = append(out, strings.Join(table.print(row), "|"))
	}
	return out
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
	}, printed(find(t, b, "Ducts")))
	// 2 m of flexible duct and a drop of 0.6 m are one piece of 2.6 m.
	require.Equal(t, []string{"U-1|SUP|new|ø250|1|2.60|2.60", "all states||||1|2.60|"}, printed(find(t, b, "Flexible")))
	require.Equal(t, []string{"U-1|SUP|new|insulation|50.0|5.00|7.00", "U-1|SUP|new|lining|25.0|5.00|7.00",
		"all states|||||10.00|14.00"}, printed(find(t, b, "Insulation and lining")))
	require.Equal(t, []string{"new|5.00|7.00|39.5|59.2|2.60|7.00|7.00|1", "existing|3.00|2.36|10.4||0.00|0.00|0.00|1",
		"removed|2.00|1.57|0.0||0.00|0.00|0.00|0"}, printed(find(t, b, "Totals")))
	// The straight leg and the bend of the flexible duct do not count.
	require.Equal(t, []string{
		"U-1|SUP|existing|connection to a terminal|ø250|1", "U-1|SUP|existing|takeoff, plain|ø250 from 400x200|1",
		"U-1|SUP|new|connection to a terminal|ø250|1", "U-1|SUP|new|connection to a unit|400x200|1",
		"U-1|SUP|new|size change|400x200 to ø250|1",
		"|SUP|removed|end cap|ø250|2", "all states|||||7",
	}, printed(find(t, b, "Fittings")))
	require.Equal(t, []string{"U-1|SUP|existing|volume damper|ø250|1",
		"|||crossing of a rated wall, to be settled: A duct crosses a rated wall.||1", "all states|||||2"},
		printed(find(t, b, "Dampers")))
	require.Equal(t, []string{"U-1|SUP|new|equal-friction|300.0|2|31.3|50.0|18.8|S-2"}, printed(find(t, b, "Units")))
	require.Equal(t, []string{"U-1|SUP|=1+2|=1+2|existing|100.0|ø250|2.400 m|10.0|20.0|11.3|7.0|",
		"U-1|SUP|S-2|S-2|new|200.0|ø250|2.400 m|20.0|31.3|0.0||decides"}, printed(find(t, b, "Terminals")))
	require.Equal(t, []string{"warning|rated-crossing|2000.0|1000.0|3000.0|2F|A duct crosses a rated wall.|Settle it."},
		printed(find(t, b, "Findings")))
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

	// What a run has beyond its friction and fittings is shown.
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
	job.Words = words.In(true)
	b := Schedules(job)
	require.Equal(t, `U-1|SUP|new|rect|15.75"x7.87"|0.98 in||1|16.4|75.3|0.0276|table|87.0|130.6`,
		printed(find(t, b, "Ducts"))[0])
	require.Equal(t, "U-1|SUP|new|equal-friction|636|2|0.1255|0.2007|0.0753|S-2", printed(find(t, b, "Units"))[0])
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
		for i, line := range printed(table) {
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
					require.NotContains(t,
						[]excelize.CellType{excelize.CellTypeSharedString, excelize.CellTypeInlineString},
						kind, "%s %s is a number", table.Name, ref)
					raw, err := f.GetCellValue(table.Name, ref, excelize.Options{RawCellValue: true})
					require.NoError(t, err)
					v, err := strconv.ParseFloat(raw, 64)
					require.NoError(t, err)
					require.InDelta(t, table.Rows[i][k].Value, v, 1e-9)
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
		want += len(printed(table))
	}
	require.Equal(t, want, rows)
	require.Equal(t, len(b.Tables), tables)
	for _, c := range b.Cautions {
		require.Contains(t, string(data), strings.ReplaceAll(c, "'", "&#39;"))
	}
}

func TestHarmless(t *testing.T) {
	for in, want := range map[string]string{"=1": "'=1", "+1": "'+1", "-1": "'-1", "@a": "'@a", "\ta": "'\ta",
		"\ra": "'\ra",
		"a=1": "a=1", "": ""} {
		require.Equal(t, want, harmless(in))
	}
}

func TestPrint(t *testing.T) {
	two := Column{Number: true, Decimals: 2}
	require.Equal(t, "0.00", num(-0.001).Print(two))
	require.Equal(t, "-0.25", num(-0.25).Print(two))
	require.Equal(t, "1.00", num(0.999999).Print(two))
	require.Empty(t, num(math.NaN()).Print(two))
	require.Empty(t, num(math.Inf(1)).Print(two))
	require.Equal(t, "x", Cell{Text: "x"}.Print(two))
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
			unit, air := units.Rows[i][0].Text, units.Rows[i][1].Text
			require.InDelta(t, value(t, units, i, "required"), last[unit+air], 1e-4, "%s, %s", name, unit)
		}
		var drawn, listed float64
		for i := range st.Network.Runs {
			drawn += st.Design.Assembly.Axes[i].Len()
		}
		for _, table := range []string{"Ducts", "Flexible"} {
			listed += find(t, b, table).Total[at(t, find(t, b, table), "length")].Value
		}
		require.InDelta(t, drawn, listed, 1e-3, name)
		require.Len(t, find(t, b, "Terminals").Rows, len(st.Network.Terminals))
	}
	require.GreaterOrEqual(t, n, 3)
}

// A run has one length, from node to node on its own axis: the drop under a duct noted by its bottom is longer than its
// line in the sketch, and the size table, the JSON, the schedules and the facts of the drawing all have it.
func TestOneLength(t *testing.T) {
	data, err := os.ReadFile("../../../testdata/cases/notes-metre.dxf")
	require.NoError(t, err)
	st, err := pipeline.Read(data, nil)
	require.NoError(t, err)
	require.False(t, st.Findings.HasErrors())
	drawing, err := st.Draw()
	require.NoError(t, err)
	key := func(kind string, metres float64) string { return fmt.Sprintf("%s %.4f", kind, metres) }
	held := map[string]int{} // by kind and length, in the drawing
	for _, o := range drawing.Owned {
		if f, ok := shape.ParseFacts(o.Data); ok && f.Terminal == "" {
			held[key(f.Kind.String(), float64(f.Length))]++
		}
	}
	var js bytes.Buffer
	require.NoError(t, JSON(&js, "", Drawing{}, st.Network, st.Design, nil))
	var file jsonFile
	require.NoError(t, json.Unmarshal(js.Bytes(), &file))
	axes := st.Design.Assembly.Axes
	moved, sum := 0, 0.0
	require.Len(t, file.Systems, len(st.Network.Systems))
	for k, s := range file.Systems {
		table := runTable(st.Network, st.Design, &st.Network.Systems[k], words.In(false))
		for i, r := range s.Runs {
			id := st.Network.Systems[k].Runs[i]
			require.InDelta(t, axes[id].Len(), float64(r.Length), 1e-6, r.ID)
			require.Equal(t, fmt.Sprintf("%.2f m", float64(r.Length)), table.Rows[i][at(t, table, "length")].Text, r.ID)
			require.Positive(t, held[key(r.Kind, float64(r.Length))], r.ID)
			sum += float64(r.Length)
			if math.Abs(st.Network.Runs[id].Line.Len()-float64(r.Length)) > 0.01 {
				moved++
			}
		}
	}
	require.Positive(t, moved, "some run is longer or shorter than its line in the sketch")
	b := Schedules(Job{Net: st.Network, Des: st.Design, Unit: st.Sketch.Unit})
	for _, name := range []string{"Ducts", "Flexible"} {
		if table := find(t, b, name); table.Total != nil {
			sum -= table.Total[at(t, table, "length")].Value
		}
	}
	require.InDelta(t, 0, sum, 1e-4)
}

// A box in the middle of a system stands below the systems, with its own loss and the airflow of the duct that leads to
// it; a terminal has the neck it is drawn with; a joint without a loss is no piece of a path, one with a loss is.
func TestWhatIsListed(t *testing.T) {
	job := branched()
	job.Net.Units = append(job.Net.Units, duct.Unit{ID: 1, Mark: "B-1", Loss: 30})
	job.Net.Nodes[1].Kind, job.Net.Nodes[1].Unit = duct.Box, 1
	job.Net.Terminals[0].Neck = duct.RoundOf(0.2)
	job.Des.Fittings = append(job.Des.Fittings, duct.Fitting{Node: 3, Kind: duct.StraightJoint, Run: 3},
		duct.Fitting{Node: 4, Kind: duct.StraightJoint, Run: 3, Loss: 0.5})
	b := Schedules(job)
	require.Equal(t, "B-1|SUP|new|in the middle of U-1, own loss 30 Pa|300.0|||||", printed(find(t, b, "Units"))[1])
	require.Equal(t, "ø200", find(t, b, "Terminals").Rows[0][at(t, find(t, b, "Terminals"), "neck")].Text)
	require.Equal(t, "ø250", find(t, b, "Terminals").Rows[1][at(t, find(t, b, "Terminals"), "neck")].Text)
	joints := 0
	for _, row := range find(t, b, "Deciding paths").Rows {
		if row[3].Text == "joint" {
			joints++
		}
	}
	require.Equal(t, 1, joints)
}

// What reads alike is one line with its number, within a system; systems keep their order, what is in none comes last.
func TestTally(t *testing.T) {
	type row = quantity.Damper
	in := func(system duct.SystemID, status duct.Status) row {
		return row{Work: quantity.Work{System: system, Status: status}}
	}
	rows := []row{in(duct.None, duct.New), in(1, duct.New), in(0, duct.New), in(1, duct.Existing), in(0, duct.New)}
	table := tally(Table{All: "all"}, rows,
		[]column[row]{text("state", func(d row) string { return d.Status.String() })})
	require.Equal(t, []string{"new|2", "existing|1", "new|1", "new|1", "all|5"}, printed(table))
}
