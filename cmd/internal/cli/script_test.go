package cli

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"twinline": func() { os.Exit(Main(os.Args[1:], os.Stdout, os.Stderr)) },
	})
}

// TestScripts runs the command line as a drafter would. The drawings in the scripts are
// written in a small language, see sketchCommand.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "../../../testdata/script",
		UpdateScripts: os.Getenv("UPDATE") != "",
		Setup: func(env *testscript.Env) error {
			env.Setenv("TESTDATA", testdata())
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"sketch": sketchCommand,
			"replace": replaceCommand},
	})
}

func testdata() string {
	dir, err := os.Getwd()
	if err != nil {
		panic(err)
	}
	return dir + "/../../../testdata"
}

// sketchCommand turns a sketch in words into an R12 drawing: sketch FILE.txt OUT.dxf.
// A line is a layer, a kind and its numbers or words:
//
//	insunits 4
//	SK-SUP-DUCT line 0 0 5000 0 [more points]
//	SK-SUP-TERM circle 5000 0 150
//	SK-SUP-NOTE text 100 100 CL 3300
func sketchCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: sketch FILE.txt OUT.dxf")
	}
	var header, body strings.Builder
	handle := 0x20
	entity := func(kind, layer string) {
		handle++
		fmt.Fprintf(&body, "0\n%s\n5\n%X\n8\n%s\n", kind, handle, layer)
	}
	for _, line := range strings.Split(ts.ReadFile(args[0]), "\n") {
		f := strings.Fields(line)
		switch {
		case len(f) == 0 || f[0] == "#":
		case f[0] == "insunits":
			fmt.Fprintf(&header, "9\n$INSUNITS\n70\n%s\n", f[1])
		case f[1] == "line":
			for i := 2; i+3 < len(f); i += 2 {
				entity("LINE", f[0])
				fmt.Fprintf(&body, "10\n%s\n20\n%s\n30\n0\n11\n%s\n21\n%s\n31\n0\n", f[i], f[i+1], f[i+2], f[i+3])
			}
		case f[1] == "circle":
			entity("CIRCLE", f[0])
			fmt.Fprintf(&body, "10\n%s\n20\n%s\n30\n0\n40\n%s\n", f[2], f[3], f[4])
		case f[1] == "text":
			entity("TEXT", f[0])
			fmt.Fprintf(&body, "10\n%s\n20\n%s\n30\n0\n40\n100\n1\n%s\n", f[2], f[3], strings.Join(f[4:], " "))
		default:
			ts.Fatalf("sketch: what is %q?", line)
		}
	}
	drawing := "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1009\n" + header.String() +
		"0\nENDSEC\n0\nSECTION\n2\nENTITIES\n" +
		body.String() + "0\nENDSEC\n0\nEOF\n"
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), []byte(drawing), 0o644))
}

// replaceCommand changes a text in a file: replace FILE OLD NEW.
func replaceCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: replace FILE OLD NEW")
	}
	data := ts.ReadFile(args[0])
	if !strings.Contains(data, args[1]) {
		ts.Fatalf("%s holds no %q", args[0], args[1])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.ReplaceAll(data, args[1], args[2])), 0o644))
}
