package cli

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"twinline/cmd/internal/pipeline"
	"twinline/cmd/internal/report"
	"twinline/dxfio"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/words"
)

// mostChanges is how many changes are printed after drawing; compare prints them all.
const mostChanges = 12

func (a *app) compare() *cobra.Command {
	var asJSON, cloud bool
	var out string
	c := &cobra.Command{
		Use:   "compare BEFORE.dxf AFTER.dxf",
		Short: "List what changed between two drawn plans",
		Long: `Compare lists what changed from one drawn plan to a later one: terminals and ducts that came, went, moved, or have
another airflow, size, length or status. Both drawings have to be results of draw. With --cloud it writes a revision
cloud around everything that looks different into a copy of the later drawing, and nothing else; ducts in which only
the airflow changed get none.`,
		Example: "  twinline compare issued/floor2.dxf floor2-ducts.dxf\n" +
			"  twinline compare old.dxf new.dxf --cloud -o new-clouds.dxf",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) != 2 {
				return usageError(fmt.Errorf("compare takes two drawings: %s", cmd.UseLine()))
			}
			return nil
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"dxf"}, cobra.ShellCompDirectiveFilterFileExt
		},
		RunE: func(_ *cobra.Command, args []string) error {
			switch {
			case cloud && out == "":
				return usageError(errors.New("name the drawing with the clouds with -o OUT.dxf"))
			case out != "" && !cloud:
				return usageError(errors.New("compare writes a drawing only with --cloud"))
			case cloud && (sameFile(out, args[0]) || sameFile(out, args[1])):
				return usageError(fmt.Errorf("%s is one of the drawings compared; name another file with -o", out))
			}
			before, err := drawn(args[0])
			if err != nil {
				return fileError(err)
			}
			after, err := drawn(args[1])
			if err != nil {
				return fileError(err)
			}
			rev := report.Compare(before.Owned(), after.Owned())
			if asJSON {
				err = rev.JSON(a.stdout, Version())
			} else {
				a.say("%s to %s: %s.\n", args[0], args[1], rev.Counts())
				if !a.quiet {
					rev.Print(a.stdout, words.In(!pipeline.Metric(after, "")), len(rev.Changes))
				}
			}
			if err != nil || !cloud {
				return err
			}
			return a.cloud(rev, args[0], args[1], out, asJSON)
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print the changes as JSON, lengths and sizes in mm, airflows in m3/s")
	c.Flags().BoolVar(&cloud, "cloud", false, "write revision clouds around what changed into a copy of AFTER.dxf")
	c.Flags().StringVarP(&out, "output", "o", "", "the `file` to write, with --cloud")
	_ = c.MarkFlagFilename("output", "dxf") // it fails only for a flag that does not exist
	return c
}

// lastRun returns our work of the run before this one: what is in the drawing itself, or else in the file that is about
// to be replaced. It is asked before drawing, so that no more than two drawings are held at once.
func (a *app) lastRun(st *pipeline.Study, name string) []dxfio.Owned {
	if a.quiet {
		return nil // nothing will be printed of it
	}
	if owned := st.Doc.Owned(); report.HasFacts(owned) {
		return owned
	}
	doc, err := drawn(name)
	if err != nil {
		return nil // no such file, or none of ours: this is the first run
	}
	return doc.Owned()
}

// sinceLastRun prints what changed since the work of an earlier run.
func (a *app) sinceLastRun(st *pipeline.Study, d *pipeline.Drawing, was []dxfio.Owned) {
	if a.quiet || len(was) == 0 {
		return
	}
	rev := report.Compare(was, d.Owned)
	a.say("Since the last run: %s.\n", rev.Counts())
	rev.Print(a.stdout, st.Words(), mostChanges)
}

// drawn reads a drawing that has work of ours in it.
func drawn(name string) (*dxfio.Document, error) {
	data, err := readFile(name)
	if err != nil {
		return nil, err
	}
	doc, err := dxfio.Read(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if !report.HasFacts(doc.Owned()) {
		return nil, fmt.Errorf("%s holds no plan drawn by Twinline with its centrelines and labels; "+
			"draw it first, then compare the results", name)
	}
	return doc, nil
}

// cloud writes clouds around what looks different.
func (a *app) cloud(rev report.Revision, before, after, out string, quiet bool) error {
	st, err := a.study(after)
	if err != nil {
		return err
	}
	was, err := a.study(before)
	if err != nil {
		return err
	}
	spots := spots(rev, was, st)
	d, err := st.Clouds(spots)
	if err != nil {
		return fileError(fmt.Errorf("%s: %w", after, err))
	}
	if err := writeWhole(out, d.Output); err != nil {
		return fileError(err)
	}
	if !quiet {
		a.say("Wrote %s: %d added, %d changed, %d removed among its clouds.\n", out, len(d.Change.Added),
			len(d.Change.Changed), len(d.Change.Removed))
	}
	return nil
}

// bareSpot is half the side of the box around a change whose drawing cannot be worked out
// again, in metres.
const bareSpot duct.Length = 0.3

// spots returns the places of what looks different, from what each drawing shows there.
func spots(rev report.Revision, was, is *pipeline.Study) []pipeline.Spot {
	var things []key.Key
	for _, c := range rev.Changes {
		things = append(things, c.Key.Subject())
	}
	there, gone := is.Extents(things), was.Extents(things)
	var out []pipeline.Spot
	for i, c := range rev.Changes {
		if !c.Shows() {
			continue
		}
		box, ok := there[things[i]]
		if c.Kind == report.Removed {
			box, ok = gone[things[i]]
		}
		if !ok {
			u := float64(is.Unit())
			box = geom.BoxOf(geom.Vec{X: c.At.X * u, Y: c.At.Y * u}).Grow(float64(bareSpot))
		}
		out = append(out, pipeline.Spot{Key: things[i], Box: box})
	}
	return out
}
