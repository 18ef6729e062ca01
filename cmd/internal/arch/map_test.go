package arch

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestTheMapIsTrue looks up every `package.Name` of DEVELOPERS.md in the sources.
func TestTheMapIsTrue(t *testing.T) {
	root := "../../.."
	data, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	require.NoError(t, err)
	exported := map[string]bool{}
	for _, dir := range []string{"dxfio", "symbols", "sizing", "sizing/*", "sizing/internal/*", "layout/*",
		"cmd/internal/*"} {
		files, err := filepath.Glob(filepath.Join(root, dir, "*.go"))
		require.NoError(t, err)
		for _, name := range files {
			f, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
			require.NoError(t, err)
			for _, d := range f.Decls {
				for _, n := range declared(d) {
					exported[f.Name.Name+"."+n] = true
				}
			}
		}
	}
	names := regexp.MustCompile("`([a-z]+\\.[A-Z]\\w*)`").FindAllStringSubmatch(string(data), -1)
	require.Greater(t, len(names), 10)
	for _, m := range names {
		require.True(t, exported[m[1]], "DEVELOPERS.md names %s, which is not there", m[1])
	}
	require.NotContains(t, strings.ToLower(string(data)), "todo")
}

func declared(d ast.Decl) []string {
	switch d := d.(type) {
	case *ast.FuncDecl:
		return []string{d.Name.Name}
	case *ast.GenDecl:
		var out []string
		for _, s := range d.Specs {
			switch s := s.(type) {
			case *ast.TypeSpec:
				out = append(out, s.Name.Name)
			case *ast.ValueSpec:
				for _, n := range s.Names {
					out = append(out, n.Name)
				}
			}
		}
		return out
	}
	return nil
}
