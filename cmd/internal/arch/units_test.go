package arch

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// factors are numbers that turn one unit into another; outside of layout/duct/units.go they are a conversion that has
// strayed. Source: definitions of the inch, foot, pound, hour, degree Celsius, inch of water; NIST SP 811, appendix B.
var factors = []string{"0.0254", "25.4", "0.3048", "304.8", "2.54", "3600", "0.4719474", "0.47195", "0.000471947",
	"249.08891", "249.089", "249.1",
	"0.45359237", "0.4536", "273.15", "0.00508", "196.85", "2118.88", "8.172208"}

// otherwise are places where such a number is something else.
var otherwise = map[string]string{"sizing/loss/guidance.go 25.4": "metres a second, of a table"}

func TestConversionsStandInOneFile(t *testing.T) {
	root := filepath.Join("..", "..", "..")
	home, used := 0, 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		rel, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(f, func(n ast.Node) bool {
			lit, ok := n.(*ast.BasicLit)
			if !ok || lit.Kind != token.INT && lit.Kind != token.FLOAT || !slices.Contains(factors, lit.Value) {
				return true
			}
			switch {
			case rel == "layout/duct/units.go":
				home++
			case otherwise[rel+" "+lit.Value] != "":
				used++
			default:
				t.Errorf("%s has the conversion factor %s; it belongs in layout/duct/units.go", rel, lit.Value)
			}
			return true
		})
		return nil
	})
	require.NoError(t, err)
	require.GreaterOrEqual(t, home, 5, "units.go has them")
	require.Positive(t, used, "an exception that is none any more")
}
