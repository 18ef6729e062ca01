// Linters looks at the packages named for what .ci/run's other checks (gofmt, go vet, staticcheck, deadcode) do not: the
// house's limits and the mistakes listed below. What is let pass, and why, stands in allowed.
//
// On:
//
//   - exhaustive: a switch over kinds without a default names them all, so that a new kind is thought of everywhere.
//   - gocognit over 25: more cannot be held in one's head.
//   - length: a function of more than 60 lines does not fit a screen; a line of more than 120 columns no printed page.
//   - errorlint: an error that was wrapped is still known.
//   - nilerr, nilness: an error found and none returned; a nil looked into.
//   - unusedwrite: a field written that is never read.
//   - modernize: what the language and the standard library do by now is not written out by hand.
//
// Exhaustive, gocognit and the length of functions are not asked of tests: a test that looks at one kind means that kind,
// and a table of cases or a law tried in all its cases is as long as it has cases.
//
// Off, of what is usual:
//
//   - errcheck: what is left unchecked is printing to a terminal or to a buffer, closing what was only read.
//   - unparam, unused, ineffassign, unconvert, govet: staticcheck, deadcode and go vet find the same.
//   - gocyclo, cyclop, maintidx, nestif: gocognit counts what they count, and nesting too.
//   - funlen, lll: length does the same in thirty lines; statements are not counted, lines are.
//   - mnd, goconst: a figure of a formula stands where its source is named; tolerances have names by the house's rules.
//   - varnamelen, nlreturn, wsl, whitespace, godot, gofumpt, gci: gofmt decides how it looks, and the standard library
//     how names are.
//   - wrapcheck, err113: an error is worded for a drafter where it arises; wrapping every one would add words, no sense.
//   - exhaustruct: zero values mean "none" here, on purpose.
//   - gochecknoglobals, gochecknoinits: tables of words and coefficients are globals; there are no inits.
//   - ireturn, interfacebloat, forcetypeassert, revive, stylecheck: matters of taste, or found by staticcheck.
//   - paralleltest, testpackage, thelper: tests are quick and may look inside.
//   - dupl: two formulas of one form are still two formulas.
//   - gosec, bodyclose, noctx, sqlclosecheck and the like: there is no network, no database and no secret.
//   - modernize without forrange backwards, sequences of strings, errors.AsType and slices.Clip: no clearer here.
package main

import (
	"go/ast"
	"strings"
	"unicode/utf8"

	"codeberg.org/polyfloyd/go-errorlint/errorlint"
	"github.com/gostaticanalysis/nilerr"
	"github.com/nishanths/exhaustive"
	"github.com/uudashr/gocognit"
	"golang.org/x/tools/go/analysis"
	"golang.org/x/tools/go/analysis/multichecker"
	"golang.org/x/tools/go/analysis/passes/modernize"
	"golang.org/x/tools/go/analysis/passes/nilness"
	"golang.org/x/tools/go/analysis/passes/unusedwrite"
)

// The house's limits.
const (
	mostLines   = 60  // of a function
	mostColumns = 120 // of a line; a tab is one
)

// asItIs are the parts of modernize that are off.
var asItIs = map[string]bool{"slicesbackward": true, "stringsseq": true, "errorsastype": true, "slicesclip": true}

func main() {
	set(exhaustive.Analyzer, "d", "true")
	set(exhaustive.Analyzer, "typeonly", "^twinline/")
	set(gocognit.Analyzer, "over", "25")
	all := []*analysis.Analyzer{
		inProduction(exhaustive.Analyzer),
		inProduction(gocognit.Analyzer),
		inProduction(functions),
		lines,
		inProduction(errorlint.NewAnalyzer()),
		nilerr.Analyzer,
		nilness.Analyzer,
		unusedwrite.Analyzer,
	}
	for _, a := range modernize.Suite {
		if !asItIs[a.Name] {
			all = append(all, a)
		}
	}
	multichecker.Main(all...)
}

func set(a *analysis.Analyzer, name, value string) {
	if err := a.Flags.Set(name, value); err != nil {
		panic(err)
	}
}

// inProduction returns a without what it reports of tests.
func inProduction(a *analysis.Analyzer) *analysis.Analyzer {
	out := *a
	out.Run = func(pass *analysis.Pass) (any, error) {
		some := *pass
		some.Report = func(d analysis.Diagnostic) {
			if !strings.HasSuffix(pass.Fset.Position(d.Pos).Filename, "_test.go") {
				pass.Report(d)
			}
		}
		return a.Run(&some)
	}
	return &out
}

var functions = &analysis.Analyzer{Name: "functions", Doc: "reports long functions", Run: longFunctions}

func longFunctions(pass *analysis.Pass) (any, error) {
	for _, f := range pass.Files {
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok {
				continue
			}
			if n := pass.Fset.Position(fn.End()).Line - pass.Fset.Position(fn.Pos()).Line + 1; n > mostLines {
				pass.Reportf(fn.Pos(), "func %s has %d lines (> %d)", fn.Name.Name, n, mostLines)
			}
		}
	}
	return nil, nil
}

var lines = &analysis.Analyzer{Name: "lines", Doc: "reports long lines", Run: longLines}

func longLines(pass *analysis.Pass) (any, error) {
	for _, f := range pass.Files {
		if ast.IsGenerated(f) { // such as the main package of a test
			continue
		}
		file := pass.Fset.File(f.Pos())
		data, err := pass.ReadFile(file.Name())
		if err != nil {
			return nil, err
		}
		for i, line := range strings.Split(string(data), "\n") {
			if n := utf8.RuneCountInString(line); n > mostColumns {
				pass.Reportf(file.LineStart(i+1), "the line has %d columns (> %d)", n, mostColumns)
			}
		}
	}
	return nil, nil
}
