// Package checks reads the tables of outside numbers in testdata/checks for tests.
package checks

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"
)

// Row is one line of a table by the names of its columns.
type Row struct {
	t      testing.TB
	fields map[string]string
}

// Root returns the folder the repository lies in.
func Root() string {
	_, here, _, _ := runtime.Caller(0)
	return filepath.Join(filepath.Dir(here), "../../..")
}

// Read returns the rows of a table, by its name in testdata; a bare name is that of one in its folder checks. Every row
// must say where it comes from.
func Read(t testing.TB, name string) []Row {
	t.Helper()
	if !strings.Contains(name, "/") {
		name = "checks/" + name
	}
	out := rows(t, filepath.Join(Root(), "testdata", name))
	for _, r := range out {
		if r.fields["source"] == "" || r.fields["provenance"] == "" {
			t.Fatalf("%s: row %s names no source", name, r.ID())
		}
	}
	return out
}

// rows reads a file.
func rows(t testing.TB, path string) []Row {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil || len(lines) < 2 {
		t.Fatalf("%s: %d lines, %v", path, len(lines), err)
	}
	var out []Row
	for _, line := range lines[1:] {
		r := Row{t, map[string]string{}}
		for i, column := range lines[0] {
			r.fields[column] = line[i]
		}
		out = append(out, r)
	}
	return out
}

// ID returns the id of the row: its column id, else what sets it apart from the others of its table.
func (r Row) ID() string {
	if id, ok := r.fields["id"]; ok {
		return id
	}
	var parts []string
	for _, column := range [...]string{"net", "method", "section", "outlet"} {
		if v := r.fields[column]; v != "" {
			parts = append(parts, v)
		}
	}
	return strings.Join(parts, "/")
}

// Text returns a column, "" where it is empty.
func (r Row) Text(column string) string {
	v, ok := r.fields[column]
	if !ok {
		r.t.Fatalf("row %s: no column %q", r.ID(), column)
	}
	return v
}

// Has reports whether a column holds something.
func (r Row) Has(column string) bool { return r.Text(column) != "" }

// Num returns a column as a number.
func (r Row) Num(column string) float64 {
	v, err := strconv.ParseFloat(r.Text(column), 64)
	if err != nil {
		r.t.Fatalf("row %s: %s: %v", r.ID(), column, err)
	}
	return v
}

var param = regexp.MustCompile(`-?[0-9]*\.?[0-9]+(?:[eE][-+]?[0-9]+)?`)

// Param returns the number after name= in the column params, whatever unit follows it.
func (r Row) Param(name string) float64 {
	for _, p := range strings.Split(r.Text("params"), ";") {
		if k, v, ok := strings.Cut(p, "="); ok && strings.TrimSpace(k) == name {
			f, err := strconv.ParseFloat(param.FindString(v), 64)
			if err != nil {
				r.t.Fatalf("row %s: parameter %s=%s", r.ID(), name, v)
			}
			return f
		}
	}
	r.t.Fatalf("row %s: no parameter %s in %q", r.ID(), name, r.Text("params"))
	return 0
}

// HasParam reports whether name= is in the column params.
func (r Row) HasParam(name string) bool {
	return strings.Contains(";"+r.Text("params"), ";"+name+"=")
}

// Outside reports whether the row may be tested against: it was read or computed elsewhere.
func (r Row) Outside() bool {
	p := r.fields["provenance"]
	return strings.HasPrefix(p, "READ") || p == "COMPUTED"
}

var tolerance = regexp.MustCompile(`^(rel|abs) ([0-9.]+(?:[eE][-+]?[0-9]+)?)`)

// printed is how near "exact" is for a number printed with ten digits.
const printed = 1e-9

// Near reports whether got is as near to want as the row's tolerance asks.
func (r Row) Near(want, got float64) bool {
	tol := r.Text("tol")
	if strings.HasPrefix(tol, "exact") {
		return math.Abs(got-want) <= printed*math.Max(1, math.Abs(want))
	}
	m := tolerance.FindStringSubmatch(tol)
	if m == nil {
		r.t.Fatalf("row %s: cannot read tolerance %q", r.ID(), tol)
	}
	by, _ := strconv.ParseFloat(m[2], 64)
	if m[1] == "rel" {
		by *= math.Abs(want)
		if want == 0 {
			by = printed
		}
	}
	return math.Abs(got-want) <= by // false for NaN
}

// Tally holds the rows of a table and which of them were compared.
type Tally struct {
	Rows []Row
	name string
	seen map[string]bool
}

// Open reads a table of Ledger. When the test ends, each row READ or COMPUTED must have been reported as Seen, or be in
// the ledger with the reason why not.
func Open(t *testing.T, name string) *Tally {
	t.Helper()
	table, ok := Ledger[name]
	if !ok {
		t.Fatalf("%s is not in the ledger", name)
	}
	y := &Tally{Read(t, name), name, map[string]bool{}}
	t.Cleanup(func() {
		if t.Failed() || t.Skipped() {
			return
		}
		n := 0
		for _, r := range y.Rows {
			why, left := table.Left[r.ID()]
			where, elsewhere := table.Elsewhere[r.ID()]
			switch {
			case !r.Outside():
			case y.seen[r.ID()] && (left || elsewhere):
				t.Errorf("%s: row %s was compared, and stands in the ledger as not: %s%s", name, r.ID(), why, where)
			case y.seen[r.ID()]:
				n++
			case !left && !elsewhere:
				t.Errorf("%s: row %s was not compared", name, r.ID())
			}
		}
		if n != table.Compared {
			t.Errorf("%s: compared %d rows, expected %d", name, n, table.Compared)
		}
	})
	return y
}

// Seen records that a row was compared.
func (y *Tally) Seen(r Row) { y.seen[r.ID()] = true }

// Account goes through a table of Ledger: test compares one row and reports whether it knew how to. Rows from memory or
// common practice are not tested.
func Account(t *testing.T, name string, test func(t *testing.T, r Row) bool) {
	t.Helper()
	y := Open(t, name)
	table := Ledger[name]
	for _, r := range y.Rows {
		if _, left := table.Left[r.ID()]; left || table.Elsewhere[r.ID()] != "" || !r.Outside() {
			continue
		}
		t.Run(r.ID(), func(t *testing.T) {
			r.t = t
			if !test(t, r) {
				t.Fatalf("no test knows this row: %v", r.fields)
			}
			y.Seen(r)
		})
	}
}

// Check fails unless got is as near to want as the row's tolerance asks.
func (r Row) Check(t *testing.T, what string, want, got float64) {
	t.Helper()
	if !r.Near(want, got) {
		t.Errorf("%s: got %.10g, want %.10g (%s; %s)", what, got, want, r.Text("tol"), r.Text("source"))
	}
}
