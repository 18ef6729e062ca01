package cli

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"twinline/cmd/internal/pipeline"
	"twinline/cmd/internal/report"
)

// forms are the files schedules can be written to, by the ending of their name.
var forms = map[string]func(report.Book) ([]byte, error){
	".csv":  report.Book.CSV,
	".xlsx": report.Book.XLSX,
	".html": report.Book.HTML,
}

func (a *app) schedule() *cobra.Command {
	var out string
	c := drawingArgs(&cobra.Command{
		Use:   "schedule SKETCH.dxf -o FILE.{csv,xlsx,html}",
		Short: "Write schedules, quantities and the engineer's summary",
		Long: `Schedule does all the work of draw but the drawing, and writes what came out: the basis of the calculation,
units with the pressure they need, the deciding path of every system piece by piece, terminals, ducts by size with
surface and weight, fittings, flexible duct, dampers, insulation and lining, and the findings. The ending of the file
decides its form: .csv is one file with all tables below each other, .xlsx a workbook with a sheet for each, .html a
page to print.`,
		Example: "  twinline schedule floor2.dxf -o floor2.xlsx\n  twinline schedule floor2.dxf -o floor2.html",
		RunE: func(_ *cobra.Command, args []string) error {
			if out == "" {
				return usageError(errors.New("name the file to write with -o FILE.csv, FILE.xlsx or FILE.html"))
			}
			form, ok := forms[strings.ToLower(filepath.Ext(out))]
			if !ok {
				return usageError(fmt.Errorf("%s: schedules are written to files that end in .csv, .xlsx or .html",
					out))
			}
			st, err := a.study(args[0])
			if err != nil {
				return err
			}
			a.printFindings(st)
			if st.Findings.HasErrors() {
				fmt.Fprintf(a.stderr, "Nothing was written: %s.\n", report.Counts(st.Findings))
				return errFindings
			}
			data, err := form(report.Schedules(job(st, args[0])))
			if err != nil {
				return fileError(err)
			}
			if err := writeWhole(out, data); err != nil {
				return fileError(err)
			}
			a.say("Findings: %s.\nWrote %s.\n%s\n", report.Counts(st.Findings), out, report.Caution)
			return nil
		},
	})
	c.Flags().StringVarP(&out, "output", "o", "", "the `file` to write: .csv, .xlsx or .html")
	_ = c.MarkFlagFilename("output", "csv", "xlsx", "html") // it fails only for a flag that does not exist
	return c
}

// job is what a study gives to schedules.
func job(st *pipeline.Study, drawing string) report.Job {
	return report.Job{
		Program: Version(), File: filepath.Base(drawing), Project: st.Settings.Schedule.Project,
		Drawing: drawingInfo(st), Unit: st.Unit(), Words: st.Words(), Waste: st.Settings.Schedule.Waste,
		Spec: st.Specs.Sizing, Guide: st.Specs.Guide, Net: st.Network, Des: st.Design, Found: st.Findings,
	}
}
