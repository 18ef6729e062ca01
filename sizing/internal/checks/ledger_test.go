package checks

import (
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"testing"
)

// tables returns every CSV file under a folder, by its name in it.
func tables(t *testing.T, dir string) []string {
	t.Helper()
	var out []string
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(path, ".csv") {
			name, _ := filepath.Rel(dir, path)
			out = append(out, filepath.ToSlash(name))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	sort.Strings(out)
	return out
}

// Every table has its entry, and every row READ or COMPUTED in it is compared or has a reason; nothing in the ledger is
// about a row that is not there.
func TestLedgerIsWhole(t *testing.T) {
	found := map[string]bool{}
	for _, dir := range []string{"checks", "networks"} {
		for _, name := range tables(t, filepath.Join(Root(), "testdata", dir)) {
			found[dir+"/"+name] = true
		}
	}
	for name := range found {
		if _, ok := Ledger[name]; !ok {
			t.Errorf("%s has no entry in the ledger", name)
		}
	}
	total := 0
	for name, table := range Ledger {
		if !found[name] {
			t.Errorf("the ledger has %s, testdata has not", name)
			continue
		}
		outside, ids := 0, map[string]bool{}
		for _, r := range Read(t, name) {
			if ids[r.ID()] || r.ID() == "" {
				t.Errorf("%s: row %q is there twice, or has no name", name, r.ID())
			}
			if ids[r.ID()] = true; r.Outside() {
				outside++
				continue
			}
			if table.Left[r.ID()] != "" {
				t.Errorf("%s: row %s is no test anyway", name, r.ID())
			}
		}
		for id, why := range table.Left {
			if !ids[id] || len(strings.Fields(why)) < 2 {
				t.Errorf("%s: row %q is left out because %q", name, id, why)
			}
		}
		for id, where := range table.Elsewhere {
			if !ids[id] || table.Left[id] != "" {
				t.Errorf("%s: row %q", name, id)
			}
			testHas(t, where, id)
		}
		if got := table.Compared + len(table.Left) + len(table.Elsewhere); got != outside {
			t.Errorf("%s: %d rows READ or COMPUTED, %d accounted for", name, outside, got)
		}
		if !mentioned(t, table.By, filepath.Base(name)) {
			t.Errorf("%s: no test in %s reads it", name, table.By)
		}
		total += table.Compared + len(table.Elsewhere)
	}
	t.Logf("%d rows compared", total)
}

// testHas fails unless the test called where, "folder.TestName", is there and speaks of a row.
func testHas(t *testing.T, where, id string) {
	t.Helper()
	dir, name, _ := strings.Cut(where, ".")
	files, _ := filepath.Glob(filepath.Join(Root(), dir, "*_test.go"))
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		_, after, ok := strings.Cut(string(text), "\nfunc "+name+"(")
		if body, _, _ := strings.Cut(after, "\n}\n"); ok && strings.Contains(body, strconv.Quote(id)) {
			return
		}
	}
	t.Errorf("no test %s with row %s", where, id)
}

// mentioned reports whether a test of a folder names a file.
func mentioned(t *testing.T, dir, file string) bool {
	t.Helper()
	files, _ := filepath.Glob(filepath.Join(Root(), dir, "*_test.go"))
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(text), file+"\"") {
			return true
		}
	}
	return false
}

// copies are the tables under testdata by the name they have where they were collected; "" for inputs from memory
// alone.
var copies = map[string]string{
	"04a_ex8_sections.csv": "networks/nine_sections.csv", "04b_ex8_paths.csv": "networks/nine_sections_paths.csv",
	"04e_equal_friction_guide.csv": "networks/guide.csv", "04g_5400cfm_example.csv": "networks/area_shortcut.csv",
	"04h_manual_excerpt.csv": "networks/manual_excerpt.csv", "04i_net1_paths.csv": "networks/four_outlets_paths.csv",
	"04i_net1_sections.csv":    "networks/four_outlets_sections.csv",
	"04j_tmethod_sections.csv": "networks/optimised_sections.csv",
	"04j_tmethod_summary.csv":  "networks/optimised_summary.csv", "04k_tsal_five_section_memory.csv": "",
}

// Where the tables were collected, outside the repository, nothing READ or COMPUTED stands that testdata has not, value
// for value. The test has nothing to do where that folder is not.
func TestNothingLeftBehind(t *testing.T) {
	dir := filepath.Join(Root(), "..", "shared", "checks")
	if _, err := os.Stat(dir); err != nil {
		t.Skip("the folder of the collection is not here")
	}
	for _, file := range tables(t, dir) {
		name, moved := copies[file]
		if !moved {
			name = "checks/" + file
		}
		have := map[string]Row{}
		if name != "" {
			for _, r := range Read(t, name) {
				have[r.ID()] = r
			}
		}
		for _, r := range rows(t, filepath.Join(dir, file)) {
			if !r.Outside() {
				continue
			}
			ours, ok := have[r.ID()]
			if !ok {
				t.Errorf("%s: row %s is not in testdata", file, r.ID())
				continue
			}
			for column, value := range r.fields {
				if column != "source" && column != "note" && column != "provenance" && ours.fields[column] != value {
					t.Errorf("%s: row %s: %s is %q there, %q here", file, r.ID(), column, value, ours.fields[column])
				}
			}
		}
	}
}
