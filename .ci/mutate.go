//go:build ignore

// Mutate changes one small thing at a time in the packages named and asks whether a test notices: an operator, a
// condition, a constant, a statement left out. The tree itself is never touched (go build -overlay).
//
//	go run .ci/mutate.go -n 60 ./sizing ./layout/fitting ./layout/plan
//
// A mutant that the package's own tests let pass goes on to the golden files and cases of the pipeline. What both let
// pass is printed as a survivor, to be looked at: a missing test, or a change that means nothing.
package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"go/ast"
	"go/format"
	"go/parser"
	"go/token"
	"log"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

// mutant is one change: what it was, what it becomes, and how to make and undo it in the syntax tree.
type mutant struct {
	file, what string
	line       int
	node       string // before and after, for people
	apply      func()
	undo       func()
}

var (
	count = flag.Int("n", 40, "mutants a package")
	seed  = flag.Uint64("seed", 1, "which ones are drawn")
	limit = flag.Duration("limit", 4*time.Minute, "longest run of the tests of one mutant")
)

func main() {
	log.SetFlags(0)
	flag.Parse()
	work, err := os.MkdirTemp("", "mutate")
	check(err)
	defer os.RemoveAll(work)
	killed, late, survived := 0, 0, 0
	for _, pkg := range flag.Args() {
		if _, passed := runs(work, "", pkg, "."); !passed {
			log.Fatalf("%s: its tests fail as it is", pkg)
		}
		mutants, fset, files := mutantsOf(pkg)
		draw := rand.New(rand.NewPCG(*seed, 0))
		draw.Shuffle(len(mutants), func(i, k int) { mutants[i], mutants[k] = mutants[k], mutants[i] })
		k, l, s, tried := 0, 0, 0, 0
		for _, m := range mutants {
			if tried == *count {
				break
			}
			m.apply()
			overlay := overlayOf(work, m.file, fset, files[m.file])
			m.undo()
			built, passed := runs(work, overlay, pkg, ".")
			if !built {
				continue // it does not compile: no mutant
			}
			tried++
			if !passed {
				k++
				continue
			}
			if _, passed = runs(work, overlay, "./cmd/internal/pipeline", "TestDemonstrations|TestListings|TestCases|TestExamples"); !passed {
				l++
				fmt.Printf("late     %s:%d  %s: %s\n", m.file, m.line, m.what, m.node)
				continue
			}
			s++
			fmt.Printf("survived %s:%d  %s: %s\n", m.file, m.line, m.what, m.node)
		}
		fmt.Printf("%s: %d mutants, %d found by its own tests, %d by the golden files alone, %d by none\n", pkg, tried, k, l, s)
		killed, late, survived = killed+k, late+l, survived+s
	}
	fmt.Printf("in all: %d found, %d late, %d survived\n", killed, late, survived)
}

func check(err error) {
	if err != nil {
		log.Fatal(err)
	}
}

// mutantsOf lists what can be changed in the production files of a package.
func mutantsOf(dir string) ([]mutant, *token.FileSet, map[string]*ast.File) {
	fset, files := token.NewFileSet(), map[string]*ast.File{}
	paths, err := filepath.Glob(filepath.Join(dir, "*.go"))
	check(err)
	var out []mutant
	for _, path := range paths {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(fset, path, nil, parser.ParseComments)
		check(err)
		files[path] = f
		add := func(n ast.Node, what, node string, apply, undo func()) {
			out = append(out, mutant{path, what, fset.Position(n.Pos()).Line, node, apply, undo})
		}
		ast.Inspect(f, func(n ast.Node) bool { return visit(n, add) })
	}
	return out, fset, files
}

// swaps are operators and what they become.
var swaps = map[token.Token]token.Token{
	token.LSS: token.LEQ, token.LEQ: token.LSS, token.GTR: token.GEQ, token.GEQ: token.GTR, token.EQL: token.NEQ, token.NEQ: token.EQL,
	token.ADD: token.SUB, token.SUB: token.ADD, token.MUL: token.QUO, token.QUO: token.MUL, token.LAND: token.LOR, token.LOR: token.LAND,
}

func visit(n ast.Node, add func(n ast.Node, what, node string, apply, undo func())) bool {
	switch n := n.(type) {
	case *ast.ImportSpec:
		return false
	case *ast.BinaryExpr:
		was, to := n.Op, swaps[n.Op]
		if to != token.ILLEGAL {
			add(n, "operator", text(n.X)+" "+was.String()+" -> "+to.String()+" "+text(n.Y), func() { n.Op = to }, func() { n.Op = was })
		}
	case *ast.BasicLit:
		if v, err := strconv.ParseFloat(n.Value, 64); err == nil && n.Kind != token.STRING && n.Kind != token.CHAR && v != 0 {
			was, to := n.Value, strconv.FormatFloat(v*1.3, 'g', -1, 64)
			if n.Kind == token.INT {
				to = strconv.Itoa(int(v) + 1)
			}
			add(n, "constant", was+" -> "+to, func() { n.Value = to }, func() { n.Value = was })
		}
	case *ast.IfStmt:
		was := n.Cond
		add(n, "condition", "if "+text(was)+" negated", func() { n.Cond = &ast.UnaryExpr{Op: token.NOT, X: &ast.ParenExpr{X: was}} }, func() { n.Cond = was })
	case *ast.BlockStmt:
		for i, s := range n.List {
			switch s.(type) {
			case *ast.ExprStmt, *ast.IncDecStmt, *ast.IfStmt:
			case *ast.AssignStmt:
				if s.(*ast.AssignStmt).Tok == token.DEFINE {
					continue
				}
			default:
				continue
			}
			was := s
			add(s, "left out", text(s), func() { n.List[i] = &ast.EmptyStmt{} }, func() { n.List[i] = was })
		}
	}
	return true
}

func text(n ast.Node) string {
	var b bytes.Buffer
	if err := format.Node(&b, token.NewFileSet(), n); err != nil {
		return "?"
	}
	s := strings.Join(strings.Fields(b.String()), " ")
	return s[:min(len(s), 90)]
}

// overlayOf writes the changed file and the list that puts it in the place of the real one.
func overlayOf(work, path string, fset *token.FileSet, f *ast.File) string {
	var b bytes.Buffer
	check(format.Node(&b, fset, f))
	changed := filepath.Join(work, "changed.go")
	check(os.WriteFile(changed, b.Bytes(), 0o600))
	full, err := filepath.Abs(path)
	check(err)
	list, err := json.Marshal(map[string]map[string]string{"Replace": {full: changed}})
	check(err)
	overlay := filepath.Join(work, "overlay.json")
	check(os.WriteFile(overlay, list, 0o600))
	return overlay
}

// runs builds and runs the tests of a package with an overlay.
func runs(work, overlay, pkg, which string) (built, passed bool) {
	binary := filepath.Join(work, "pkg.test")
	if exec.Command("go", "test", "-overlay", overlay, "-c", "-o", binary, pkg).Run() != nil {
		return false, false
	}
	ctx, cancel := context.WithTimeout(context.Background(), *limit)
	defer cancel()
	args := []string{"-test.run", which, "-test.failfast"}
	if deps, err := exec.Command("go", "list", "-test", "-deps", pkg).Output(); err == nil && bytes.Contains(deps, []byte("pgregory.net/rapid")) {
		args = append(args, "-rapid.nofailfile", "-rapid.seed", "1")
	}
	test := exec.CommandContext(ctx, binary, args...)
	test.Dir = pkg
	return true, test.Run() == nil
}
