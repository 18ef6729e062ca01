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

// Read returns the rows of a table, by file name. Every row must say where it comes from.
func Read(t testing.TB, name string) []Row {
	t.Helper()
	_, here, _, _ := runtime.Caller(0)
	f, err := os.Open(filepath.Join(filepath.Dir(here), "../../../testdata/checks", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil || len(lines) < 2 {
		t.Fatalf("%s: %d lines, %v", name, len(lines), err)
	}
	var out []Row
	for _, line := range lines[1:] {
		r := Row{t, map[string]string{}}
		for i, column := range lines[0] {
			r.fields[column] = line[i]
		}
		if r.Text("source") == "" || r.Text("provenance") == "" {
			t.Fatalf("%s: row %s names no source", name, r.ID())
		}
		out = append(out, r)
	}
	return out
}

// ID returns the id of the row.
func (r Row) ID() string { return r.fields["id"] }

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
	p := r.Text("provenance")
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

// Account goes through a table: test compares one row and reports whether it knew how to. Rows from memory or
// common practice are not tested. Every other row must be known, or be in left with a reason; a row that is
// both is a failure. compared is how many rows must have been compared, so that none drops out unseen.
func Account(t *testing.T, name string, compared int, left map[string]string, test func(t *testing.T, r Row) bool) {
	t.Helper()
	n, unused := 0, map[string]bool{}
	for id := range left {
		unused[id] = true
	}
	for _, r := range Read(t, name) {
		if !r.Outside() {
			continue
		}
		why, out := left[r.ID()]
		if out {
			delete(unused, r.ID())
			if why == "" {
				t.Errorf("%s: row %s is left out without a reason", name, r.ID())
			}
			continue
		}
		t.Run(r.ID(), func(t *testing.T) {
			r.t = t
			if !test(t, r) {
				t.Fatalf("no test knows this row: %v", r.fields)
			}
			n++
		})
	}
	for id := range unused {
		t.Errorf("%s: no READ or COMPUTED row %s to leave out", name, id)
	}
	if n != compared && !t.Failed() {
		t.Errorf("%s: compared %d rows, expected %d", name, n, compared)
	}
}

// Check fails unless got is as near to want as the row's tolerance asks.
func (r Row) Check(t *testing.T, what string, want, got float64) {
	t.Helper()
	if !r.Near(want, got) {
		t.Errorf("%s: got %.10g, want %.10g (%s; %s)", what, got, want, r.Text("tol"), r.Text("source"))
	}
}
