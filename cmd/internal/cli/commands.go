package cli

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"twinline/cmd/internal/config"
	"twinline/cmd/internal/pipeline"
	"twinline/cmd/internal/report"
	"twinline/dxfio"
	"twinline/sizing"
)

// target is where a command writes a drawing.
type target struct {
	out     string
	inPlace bool
}

func (t *target) flags(c *cobra.Command, ending string) {
	c.Flags().StringVarP(&t.out, "output", "o", "",
		"write to this `file`; without it <name>"+ending+".dxf beside the sketch")
	c.Flags().BoolVar(&t.inPlace, "in-place", false, "write into the drawing itself and keep the earlier file as .bak")
	c.PreRunE = func(_ *cobra.Command, args []string) error { return t.check(args) }
	_ = c.MarkFlagFilename("output", "dxf") // it fails only for a flag that does not exist
}

// name returns the file the flags ask for.
func (t *target) name(sketch, ending string) string {
	switch {
	case t.inPlace:
		return sketch
	case t.out != "":
		return t.out
	}
	return beside(sketch, ending)
}

// check refuses what cannot be meant before any work is done.
func (t *target) check(args []string) error {
	switch {
	case t.out != "" && t.inPlace:
		return usageError(errors.New("-o names another file and --in-place means the drawing itself; give one of the two"))
	case t.out != "" && len(args) == 1 && sameFile(t.out, args[0]):
		return usageError(fmt.Errorf("%s is the sketch itself; use --in-place to write into it", t.out))
	}
	return nil
}

// write puts a finished drawing where the flags say and returns that name; was are the bytes of the sketch it was drawn
// into.
func (t *target) write(sketch, ending string, was, data []byte) (string, error) {
	name := t.name(sketch, ending)
	if t.inPlace {
		return name, replaceFile(name, was, data)
	}
	if sameFile(name, sketch) {
		return name, fmt.Errorf("%s is the sketch itself; use --in-place to write into it", name)
	}
	return name, writeWhole(name, data)
}

// drawingArgs takes one drawing and completes the names of DXF files.
func drawingArgs(c *cobra.Command) *cobra.Command {
	c.Args = func(cmd *cobra.Command, args []string) error {
		if len(args) != 1 {
			return usageError(fmt.Errorf("%s takes one drawing: %s", cmd.Name(), cmd.UseLine()))
		}
		return nil
	}
	c.ValidArgsFunction = func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return []string{"dxf"}, cobra.ShellCompDirectiveFilterFileExt
	}
	return c
}

func (a *app) draw() *cobra.Command {
	var to target
	c := drawingArgs(&cobra.Command{
		Use:   "draw SKETCH.dxf",
		Short: "Size the sketched ducts and draw the double-line plan",
		Long: `Draw does the whole job: it reads the sketch, adds up the air, sizes every duct, works out the pressures and
writes the double-line plan into a copy of the drawing. Run it again after every change: what did not change keeps
its place and its handle. Findings of level error stop it before anything is written.`,
		Example: "  twinline draw floor2.dxf\n  twinline draw floor2.dxf -o issued/floor2.dxf\n" +
			"  twinline draw floor2.dxf --in-place",
		RunE: func(_ *cobra.Command, args []string) error {
			st, err := a.study(args[0])
			if err != nil {
				return err
			}
			a.printFindings(st)
			if st.Findings.HasErrors() {
				fmt.Fprintf(a.stderr, "Nothing was written: %s.\n", report.Counts(st.Findings))
				return errFindings
			}
			was := a.lastRun(st, to.name(args[0], "-ducts"))
			d, err := st.Draw()
			if err != nil {
				return fileError(fmt.Errorf("%s: %w", args[0], err))
			}
			name, err := to.write(args[0], "-ducts", st.Doc.Bytes(), d.Output)
			if err != nil {
				return fileError(err)
			}
			a.summary(st, d, name)
			a.sinceLastRun(st, d, was)
			a.say("%s\n", report.Caution)
			return nil
		},
	})
	to.flags(c, "-ducts")
	c.Flags().BoolVar(&a.verbose, "verbose", false, "list every layer and table entry that was added")
	return c
}

// summary ends a drawing: systems, pressures, findings, what was written.
func (a *app) summary(st *pipeline.Study, d *pipeline.Drawing, name string) {
	for i := range st.Network.Systems {
		a.say("%s\n", report.Headline(st.Network, st.Design, &st.Network.Systems[i], st.Words()))
	}
	a.say("Findings: %s.\n", report.Counts(st.Findings))
	a.say("Drawn: %s. Everything else in the drawing is byte for byte as it was", changes(d.Change))
	if n := len(d.Change.Places); n > 0 {
		a.say(", but for:\n")
		for _, p := range a.places(d.Change.Places) {
			a.say("  %s\n", p)
		}
	} else {
		a.say(".\n")
	}
	a.say("Wrote %s.\n", name)
}

// mostNames is how many names of a list are printed without --verbose, where there are more.
const mostNames = 3

// places folds what was changed beside our own work into what a person reads: without the counts that follow from it,
// and with long lists of names cut. With --verbose it is printed as it is.
func (a *app) places(list []string) []string {
	if a.verbose {
		return list
	}
	var out []string
	for _, p := range list {
		if strings.Contains(p, ": number of entries from ") {
			continue
		}
		if names := strings.Split(p, ", "); len(names) > mostNames+1 {
			p = fmt.Sprintf("%s and %d more (--verbose lists them)", strings.Join(names[:mostNames], ", "),
				len(names)-mostNames)
		}
		out = append(out, p)
	}
	return out
}

func (a *app) check() *cobra.Command {
	var to target
	var mark, asJSON bool
	c := drawingArgs(&cobra.Command{
		Use:   "check SKETCH.dxf",
		Short: "List what is wrong or doubtful in the sketch",
		Long: `Check reads the sketch, does all the work of draw but the writing, and lists every finding with its place and
what to do. With --mark it writes the findings into a copy of the drawing, each at its place on the layer for findings,
and nothing else.`,
		Example: "  twinline check floor2.dxf\n  twinline check floor2.dxf --mark -o floor2-marked.dxf",
		RunE: func(_ *cobra.Command, args []string) error {
			if !mark && (to.out != "" || to.inPlace) {
				return usageError(errors.New("check writes a drawing only with --mark"))
			}
			st, err := a.study(args[0])
			if err != nil {
				return err
			}
			if asJSON {
				err = report.FindingsJSON(a.stdout, Version(), drawingInfo(st), st.Findings)
			} else {
				a.printFindings(st)
				a.say("%s: %s.\n", args[0], report.Counts(st.Findings))
			}
			if err != nil {
				return fileError(err)
			}
			if mark {
				d, err := st.Mark()
				if err != nil {
					return fileError(fmt.Errorf("%s: %w", args[0], err))
				}
				name, err := to.write(args[0], "-check", st.Doc.Bytes(), d.Output)
				if err != nil {
					return fileError(err)
				}
				if !asJSON {
					a.say("Wrote %s.\n", name)
				}
			}
			if st.Findings.HasErrors() {
				return errFindings
			}
			return nil
		},
	})
	to.flags(c, "-check")
	c.Flags().BoolVar(&mark, "mark", false, "write the findings at their places into a drawing")
	c.Flags().BoolVar(&asJSON, "json", false, "print the findings as JSON")
	return c
}

func (a *app) size() *cobra.Command {
	var asJSON bool
	var explain string
	c := drawingArgs(&cobra.Command{
		Use:   "size SKETCH.dxf",
		Short: "Print sizes and pressures",
		Long: `Size prints every run with its size, airflow, velocity and losses, and every terminal with the pressure of its path
and what is left to throttle. --json prints the whole network in SI units. --explain shows how the numbers of one run
or terminal came about, so that they can be worked out again by hand.`,
		Example: "  twinline size floor2.dxf\n  twinline size floor2.dxf --json > floor2.json\n" +
			"  twinline size floor2.dxf --explain r3",
		RunE: func(_ *cobra.Command, args []string) error {
			st, err := a.study(args[0])
			if err != nil {
				return err
			}
			if asJSON {
				if err := report.JSON(a.stdout, Version(), drawingInfo(st), st.Network, st.Design,
					st.Findings); err != nil {
					return fileError(err)
				}
			} else {
				a.printFindings(st)
			}
			if st.Findings.HasErrors() {
				return errFindings
			}
			switch {
			case asJSON:
			case explain != "":
				return a.explain(st, explain)
			default:
				report.Sizes(a.stdout, st.Network, st.Design, st.Words())
				if ask := st.Specs.Guide; ask != nil {
					report.Guidance(a.stdout, st.Network, st.Design, *ask, st.Words())
				}
				a.say("\n%s\n", report.Caution)
			}
			return nil
		},
	})
	c.Flags().BoolVar(&asJSON, "json", false, "print the network as JSON, in SI units")
	c.Flags().StringVar(&explain, "explain", "", "show how the numbers of this `run` or terminal came about")
	c.MarkFlagsMutuallyExclusive("json", "explain")
	return c
}

func (a *app) settingsCommand() *cobra.Command {
	var write, inch bool
	var out string
	c := &cobra.Command{
		Use:   "settings [SKETCH.dxf]",
		Short: "Print the settings in force, with comments",
		Long: `Settings prints every setting with what it means: those in force for a drawing, or without one the defaults.
With --write it makes a settings file of them to edit, twinline.toml unless -o names another.`,
		Example: "  twinline settings --inch\n  twinline settings floor2.dxf\n  twinline settings --write",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			s, err := a.settingsFor(args, !inch)
			if err != nil {
				return err
			}
			data := config.Print(s)
			if !write && out == "" {
				_, err = a.stdout.Write(data)
				return err
			}
			if out == "" {
				out = settingsName
			}
			if old, err := readFile(out); err == nil && !bytes.Equal(old, data) {
				return fileError(fmt.Errorf("%s is there already; remove it first or name another file with -o", out))
			}
			if err := writeWhole(out, data); err != nil {
				return fileError(err)
			}
			a.say("Wrote %s.\n", out)
			return nil
		},
	}
	c.Flags().BoolVar(&write, "write", false, "write them to a settings file")
	c.Flags().StringVarP(&out, "output", "o", "", "the settings `file` to write")
	c.Flags().BoolVar(&inch, "inch", false, "defaults of an inch drawing")
	return c
}

// settingsFor returns the settings in force for the drawing args name, or for none.
func (a *app) settingsFor(args []string, metric bool) (*config.Settings, error) {
	drawing := ""
	if len(args) == 1 {
		drawing = args[0]
	} else if a.settings == "" {
		return config.Defaults(metric), nil
	}
	settings, name, err := a.readSettings(drawing)
	if err != nil {
		return nil, fileError(err)
	}
	if drawing != "" {
		data, err := readFile(drawing)
		if err != nil {
			return nil, fileError(err)
		}
		doc, err := dxfio.Read(data)
		if err != nil {
			return nil, fileError(fmt.Errorf("%s: %w", drawing, err))
		}
		metric = pipeline.Metric(doc, config.UnitsIn(settings))
	}
	s, err := config.Load(settings, metric)
	if err != nil {
		return s, usageError(fmt.Errorf("%s: %w", name, err))
	}
	return s, nil
}

// explain prints how the numbers of one run or terminal came about.
func (a *app) explain(st *pipeline.Study, what string) error {
	text, err := sizing.Explain(st.Network, st.Design, st.Specs.Sizing, what)
	if err != nil {
		return usageError(err)
	}
	fmt.Fprintf(a.stdout, "%s\n%s\n", text, report.Caution)
	return nil
}
