// Package arch holds the arrows between the folders: who may import whom.
package arch

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// allowed lists, for a package of ours, the packages of ours it may import; a trailing
// slash allows everything below. The longest key that matches decides.
var allowed = map[string][]string{
	"cmd":               {"cmd/", "symbols", "sizing", "sizing/", "layout/", "dxfio"},
	"dxfio":             {},
	"layout/geom":       {},
	"layout/key":        {},
	"layout/diag":       {},
	"layout/duct":       {"layout/key", "layout/geom"},
	"layout/shape":      {"layout/key", "layout/duct", "layout/geom"},
	"layout/words":      {"layout/duct", "layout/geom"},
	"layout/sketch":     {"layout/key", "layout/words", "layout/duct", "layout/geom", "layout/diag", "dxfio"},
	"layout/sketchtest": {"layout/key", "layout/sketch", "layout/duct", "layout/geom"},
	"layout/nettest":    {"layout/sketchtest", "layout/network", "layout/fitting", "layout/duct"},
	"layout/network":    {"layout/key", "layout/words", "layout/sketch", "layout/duct", "layout/geom", "layout/diag"},
	"layout/fitting":    {"layout/duct", "layout/geom"},
	"layout/plan": {"symbols", "layout/key", "layout/words", "layout/fitting", "layout/sketch", "layout/shape",
		"layout/duct",
		"layout/geom", "layout/diag"},
	"layout/label": {"symbols", "layout/key", "layout/words", "layout/fitting", "layout/sketch", "layout/shape",
		"layout/duct",
		"layout/geom", "layout/diag"},
	"layout/mesh":     {"layout/key", "layout/fitting", "layout/shape", "layout/duct", "layout/geom"},
	"layout/emit":     {"layout/shape", "layout/duct", "layout/geom", "dxfio"},
	"sizing":          {"layout/words", "sizing/", "layout/duct", "layout/diag", "layout/fitting", "layout/geom"},
	"sizing/loss":     {"sizing/air", "layout/duct", "layout/geom"},
	"sizing/air":      {"layout/duct"},
	"sizing/quantity": {"sizing/loss", "layout/duct"},
	"symbols":         {"layout/shape", "layout/geom", "layout/duct"},
}

// forTests are the packages of ours that only tests import, and the second of them the first.
var forTests = []string{"twinline/layout/sketchtest", "twinline/layout/nettest"}

// outside lists the one file that may import a module of others, where there is such a rule.
var outside = map[string]string{"github.com/yofu/dxf": "dxfio/emit.go"}

func TestImports(t *testing.T) {
	root := filepath.Join("..", "..", "..")
	files := 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		rel, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		files++
		for _, spec := range f.Imports {
			name, _ := strconv.Unquote(spec.Path.Value)
			if ours, ok := strings.CutPrefix(name, "twinline/"); ok && !may(filepath.ToSlash(filepath.Dir(rel)), ours) {
				t.Errorf("%s imports %s, which the arrows do not allow", rel, ours)
			}
			if slices.Contains(forTests, name) && filepath.Dir(rel) != "layout/nettest" {
				t.Errorf("%s imports %s, which is for tests", rel, name)
			}
			for module, only := range outside {
				if strings.HasPrefix(name, module) && rel != only {
					t.Errorf("%s imports %s; only %s may", rel, name, only)
				}
			}
		}
		return nil
	})
	require.NoError(t, err)
	require.Greater(t, files, 20, "the walk found the source files")
}

// may reports whether package from may import package to.
func may(from, to string) bool {
	if strings.HasPrefix(to, from+"/internal") || strings.HasPrefix(from, to+"/internal") {
		return true
	}
	best := ""
	for key := range allowed {
		if (from == key || strings.HasPrefix(from, key+"/")) && len(key) > len(best) {
			best = key
		}
	}
	for _, ok := range allowed[best] {
		if to == ok || strings.HasSuffix(ok, "/") && strings.HasPrefix(to, ok) {
			return true
		}
	}
	return false
}

func TestMay(t *testing.T) {
	require.True(t, may("cmd/internal/cli", "dxfio"))
	require.False(t, may("layout/plan", "sizing"))
	require.False(t, may("dxfio", "layout/geom"))
	require.False(t, may("symbols", "layout/plan"))
	require.True(t, may("sizing", "sizing/loss"))
	require.False(t, may("sizing/loss", "sizing"))
	require.True(t, may("sizing", "sizing/internal/checks"))
	require.True(t, may("sizing/internal/dump", "sizing/loss"))
}
