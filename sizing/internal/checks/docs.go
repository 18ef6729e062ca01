package checks

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strings"
	"testing"
)

// Documented fails for each exported function of the package in dir whose doc comment has no Source: or
// Valid: line, or that has no Example.
func Documented(t *testing.T, dir string) {
	t.Helper()
	examples, functions := map[string]bool{}, map[string]string{}
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no source in %s: %v", dir, err)
	}
	for _, name := range files {
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok || fn.Recv != nil || !fn.Name.IsExported() {
				continue
			}
			switch {
			case !strings.HasSuffix(name, "_test.go"):
				functions[fn.Name.Name] = fn.Doc.Text()
			case strings.HasPrefix(fn.Name.Name, "Example"):
				examples[strings.TrimPrefix(fn.Name.Name, "Example")] = true
			}
		}
	}
	if len(functions) == 0 {
		t.Fatalf("no exported function in %s", dir)
	}
	for name, doc := range functions {
		for _, want := range []string{"\nSource: ", "\nValid: "} {
			if !strings.Contains(doc, want) {
				t.Errorf("%s: its comment has no line that begins with %q", name, strings.TrimSpace(want))
			}
		}
		if !examples[name] {
			t.Errorf("%s: it has no Example", name)
		}
	}
}
