package arch

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestEveryFindingIsRaised wants every code of the catalogue in a test, by its name or its word.
func TestEveryFindingIsRaised(t *testing.T) {
	root := filepath.Join("..", "..", "..")
	f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root, "layout", "diag", "codes.go"), nil, 0)
	require.NoError(t, err)
	codes := map[string]string{} // word by name
	ast.Inspect(f, func(n ast.Node) bool {
		if v, ok := n.(*ast.ValueSpec); ok && len(v.Names) == 1 && len(v.Values) == 1 {
			if lit, ok := v.Values[0].(*ast.BasicLit); ok {
				codes[v.Names[0].Name], _ = strconv.Unquote(lit.Value)
			}
		}
		return true
	})
	require.Greater(t, len(codes), 30)
	var tests strings.Builder
	err = filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, "_test.go") && !strings.HasSuffix(path, ".txtar") {
			return err
		}
		data, err := os.ReadFile(path)
		tests.Write(data)
		return err
	})
	require.NoError(t, err)
	for name, word := range codes {
		require.True(t, strings.Contains(tests.String(), "diag."+name) || strings.Contains(tests.String(), word),
			"no test raises %s (%s)", name, word)
	}
}
