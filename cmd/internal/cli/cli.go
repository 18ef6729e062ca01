// Package cli is the command line: which words a drafter types, which files are read and
// written, and with what status the program ends.
package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"twinline/cmd/internal/pipeline"
	"twinline/cmd/internal/report"
	"twinline/dxfio"
	"twinline/layout/diag"
	"twinline/layout/duct"
)

// The exit statuses.
const (
	statusDone     = 0
	statusFindings = 1 // findings of level error; nothing was drawn
	statusUsage    = 2
	statusFile     = 3 // a file could not be read or written

	statusInterrupted = 130 // stopped while writing; what shells say of a program ended by Ctrl-C
)

// statusError is an error that knows the status the program ends with.
type statusError struct {
	status int
	err    error
}

func (e *statusError) Error() string { return e.err.Error() }
func (e *statusError) Unwrap() error { return e.err }

// fileError gives an error the status of files, unless it knows its own.
func fileError(err error) error {
	var known *statusError
	if errors.As(err, &known) {
		return err
	}
	return &statusError{statusFile, err}
}

func usageError(err error) error { return &statusError{statusUsage, err} }

// errFindings ends a command whose findings have been printed already.
var errFindings = &statusError{statusFindings, errors.New("")}

// Main runs the command line args and returns the exit status.
func Main(args []string, stdout, stderr io.Writer) int {
	out := &teller{Writer: stdout}
	root := newRoot(out, stderr)
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(stderr)
	err := root.Execute()
	if err == nil && out.err != nil {
		err = fileError(fmt.Errorf("what was to be printed could not be: %w", plain("the output", out.err)))
	}
	if err == nil {
		return statusDone
	}
	if text := err.Error(); text != "" {
		fmt.Fprintf(stderr, "twinline: %s\n", text)
	}
	var known *statusError
	if errors.As(err, &known) {
		return known.status
	}
	return statusUsage // cobra's own errors are about flags and arguments
}

// A teller prints, and remembers the first error of printing, so that no half table passes for a whole one.
type teller struct {
	io.Writer
	err error
}

func (t *teller) Write(p []byte) (int, error) {
	n, err := t.Writer.Write(p)
	if t.err == nil {
		t.err = err
	}
	return n, err
}

// app holds what the commands share.
type app struct {
	stdout, stderr io.Writer
	settings       string
	quiet          bool
	verbose        bool
}

func newRoot(stdout, stderr io.Writer) *cobra.Command {
	a := &app{stdout: stdout, stderr: stderr}
	root := &cobra.Command{
		Use:   "twinline",
		Short: "Single-line duct sketch in, sized double-line duct plan out, in the same DXF drawing",
		Long: `Twinline reads the duct centrelines, terminals and airflows you sketched in a DXF drawing, sizes the ducts,
works out the pressures, and writes the finished double-line plan into a copy of that drawing.
Everything in the drawing that is not Twinline's stays as it is, byte for byte.

` + report.Caution,
		Version:       Version(),
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SetVersionTemplate("twinline {{.Version}}\n")
	root.PersistentFlags().StringVar(&a.settings, "settings", "",
		"settings `file`; without it twinline.toml beside the drawing, if there is one")
	root.PersistentFlags().BoolVarP(&a.quiet, "quiet", "q", false, "say nothing but errors")
	root.AddCommand(a.draw(), a.check(), a.size(), a.starter(), a.settingsCommand(), a.schedule(), a.compare(),
		a.watch())
	return root
}

// Version returns the version of the program.
func Version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" && info.Main.Version != "(devel)" {
		return info.Main.Version
	}
	return version
}

// version is that of the next release, where the build does not know its own.
const version = "0.2.0"

// paint reports whether w is a terminal that wants colour.
func paint(w io.Writer) report.Paint {
	f, ok := w.(*os.File)
	return report.Paint(ok && term.IsTerminal(int(f.Fd())) && os.Getenv("NO_COLOR") == "" &&
		os.Getenv("TERM") != "dumb")
}

// study reads and works out the drawing file.
func (a *app) study(drawing string) (*pipeline.Study, error) {
	data, err := readFile(drawing)
	if err != nil {
		return nil, fileError(err)
	}
	settings, name, err := a.readSettings(drawing)
	if err != nil {
		return nil, fileError(err)
	}
	return a.work(drawing, data, settings, name)
}

// work works out what a drawing file holds, with a settings file.
func (a *app) work(drawing string, data, settings []byte, settingsName string) (*pipeline.Study, error) {
	st, err := pipeline.Read(data, settings)
	switch {
	case errors.Is(err, pipeline.ErrSettings):
		return nil, usageError(fmt.Errorf("%s: %w", settingsName, err))
	case err != nil:
		return nil, fileError(fmt.Errorf("%s: %w", drawing, err))
	}
	return st, nil
}

// printFindings prints the findings: all of them, or with --quiet the errors alone.
func (a *app) printFindings(st *pipeline.Study) {
	found := st.Findings
	if a.quiet {
		var errs diag.List
		for _, d := range found {
			if d.Level == diag.Error {
				errs = append(errs, d)
			}
		}
		found = errs
	}
	report.Findings(a.stderr, found, st.Words(), paint(a.stderr))
}

func (a *app) say(format string, args ...any) {
	if !a.quiet {
		fmt.Fprintf(a.stdout, format, args...)
	}
}

// drawingInfo is what the JSON says of the drawing.
func drawingInfo(st *pipeline.Study) report.Drawing {
	name := map[duct.Length]string{duct.Inch: "inch", duct.Foot: "foot", duct.Millimetre: "mm", duct.Centimetre: "cm",
		duct.Metre: "m"}
	units := ""
	if st.Sketch != nil {
		units = name[st.Sketch.Unit]
	}
	return report.Drawing{Units: units, Version: st.Doc.Version()}
}

// changes says in a line what a patch did.
func changes(c dxfio.Change) string {
	return fmt.Sprintf("%d added, %d changed, %d removed, %d left as they were", len(c.Added), len(c.Changed),
		len(c.Removed), len(c.Kept))
}
