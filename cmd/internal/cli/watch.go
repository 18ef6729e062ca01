package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"twinline/cmd/internal/report"
	"twinline/cmd/internal/watch"
)

// watchTries is how often a file that cannot be read or drawn is tried again before it is reported:
// some seconds at the pace of package watch.
const watchTries = 8

func (a *app) watch() *cobra.Command {
	var to target
	c := drawingArgs(&cobra.Command{
		Use:   "watch SKETCH.dxf",
		Short: "Draw again each time the drawing is saved",
		Long: `Watch draws, and then draws again each time the drawing or its settings file is saved, until you press Ctrl-C.
It writes beside the sketch or to -o, never into the sketch itself: your CAD program has that open, and would not
see the change or save over it.`,
		Example: "  twinline watch floor2.dxf\n  twinline watch floor2.dxf -o issued/floor2.dxf",
		RunE: func(cmd *cobra.Command, args []string) error {
			if to.inPlace {
				return usageError(errors.New("watch does not write into the drawing that is being worked on; " +
					"leave --in-place out, or use draw"))
			}
			if _, err := readFile(args[0]); err != nil {
				return fileError(err)
			}
			if sameFile(to.name(args[0], "-ducts"), args[0]) {
				return usageError(fmt.Errorf("%s is the sketch itself; name another file with -o", args[0]))
			}
			ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			a.say("Watching %s. Ctrl-C ends it.\n", args[0])
			if err := a.watcher(args[0], &to).Loop(ctx, watch.DefaultPace); err != nil {
				return fileError(err)
			}
			a.say("Ended.\n")
			return nil
		},
	})
	to.flags(c, "-ducts")
	return c
}

// watcher returns the work that draws a sketch.
func (a *app) watcher(drawing string, to *target) *watch.Watch {
	settings := a.settings
	if settings == "" {
		settings = filepath.Join(filepath.Dir(drawing), settingsName)
	}
	return &watch.Watch{
		Names: []string{drawing, settings},
		Tries: watchTries,
		Read: func(name string) ([]byte, error) {
			if name == settings && a.settings == "" {
				if _, err := os.Stat(name); errors.Is(err, fs.ErrNotExist) {
					return nil, nil
				}
			}
			return readFile(name)
		},
		Work:   func(contents [][]byte) error { return a.redraw(drawing, contents[0], contents[1], settings, to) },
		Report: func(err error) { fmt.Fprintf(a.stderr, "twinline: %v\nWaiting for the next save.\n", err) },
	}
}

// redraw draws once. Findings of level error are printed and done with: the drafter sees them and
// saves again.
func (a *app) redraw(drawing string, data, settings []byte, settingsName string, to *target) error {
	st, err := a.work(drawing, data, settings, settingsName)
	if err != nil {
		return err
	}
	now := time.Now().Format(time.TimeOnly)
	if st.Findings.HasErrors() {
		a.printFindings(st)
		fmt.Fprintf(a.stderr, "%s Nothing was written: %s.\n", now, report.Counts(st.Findings))
		return nil
	}
	was := a.lastRun(st, to.name(drawing, "-ducts"))
	d, err := st.Draw()
	if err != nil {
		return fmt.Errorf("%s: %w", drawing, err)
	}
	name, err := to.write(drawing, "-ducts", data, d.Output)
	if err != nil {
		return err
	}
	a.printFindings(st)
	a.say("%s Wrote %s; findings: %s.\n", now, name, report.Counts(st.Findings))
	a.sinceLastRun(st, d, was)
	return nil
}
