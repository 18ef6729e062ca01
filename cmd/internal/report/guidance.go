package report

import (
	"fmt"
	"io"
	"strconv"
	"text/tabwriter"

	"twinline/layout/duct"
	"twinline/sizing"
)

// Guidance prints what the settings ask for beside sizes and pressures: velocities against a room criterion, a
// rough estimate of noise, leakage, heat. All of it is guidance, and no size follows from it.
func Guidance(w io.Writer, net *duct.Network, des *duct.Design, ask sizing.GuideSpec, st Style) {
	g := sizing.Guide(net, des, ask)
	fmt.Fprintln(w, "\nGuidance only; it changes no size.")
	if ask.Noise {
		fmt.Fprintf(w, "  Velocity against what NC or RC %d allows for ducts %s (ASHRAE Handbook Fundamentals, ch. 21), and the sound\n"+
			"  power regenerated in straight duct: a rough estimate (VDI 2081-1:2001).\n", ask.Criterion, ask.Place)
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	head := "  run"
	if ask.Noise {
		head += "\tvelocity\tguide\tnoise, rough estimate\t"
	}
	if ask.Leak > 0 {
		head += "\tstatic\tleakage"
	}
	if ask.Conductance > 0 {
		head += "\tair in\tair out\theat gained"
	}
	fmt.Fprintln(t, head)
	for i := range net.Systems {
		for _, id := range net.Systems[i].Runs {
			guideRun(t, des, g, ask, id, st)
		}
	}
	t.Flush()
	for i := range net.Systems {
		guideSystem(w, &net.Systems[i], &g.Systems[i], ask, st)
	}
}

func guideRun(w io.Writer, des *duct.Design, g *sizing.Guidance, ask sizing.GuideSpec, id duct.RunID, st Style) {
	r := &g.Runs[id]
	line := "  " + RunName(id)
	if ask.Noise {
		verdict := ""
		if r.Over {
			verdict = "faster"
		}
		line += fmt.Sprintf("\t%s\t%s\t%.0f dB\t%s", st.Velocity(des.Runs[id].Velocity), st.Velocity(r.Most), r.Noise, verdict)
	}
	if ask.Leak > 0 {
		line += fmt.Sprintf("\t%s\t%s", st.Pressure(r.Static), leak(r.Leak, st))
	}
	if ask.Conductance > 0 {
		line += fmt.Sprintf("\t%s\t%s\t%.0f W", warmth(r.In, st), warmth(r.Out, st), float64(r.Heat))
	}
	fmt.Fprintln(w, line)
}

func guideSystem(w io.Writer, s *duct.System, g *sizing.SystemGuide, ask sizing.GuideSpec, st Style) {
	if ask.Leak > 0 {
		area := st.measures().area
		fmt.Fprintf(w, "  %s %s: %.1f %s of wall leak %s, %.2f %% of its airflow; the fan moves %s.\n", s.Name, s.Air, float64(g.Wall)/area.one, area.unit,
			leak(g.Leak, st), 100*g.Share, st.Flow(s.Flow+g.Leak))
	}
	if ask.Conductance > 0 {
		fmt.Fprintf(w, "  %s %s: its ducts gain %.0f W.\n", s.Name, s.Air, float64(g.Heat))
	}
}

// leak prints a flow too small for the digits of an airflow.
func leak(q duct.Flow, st Style) string {
	if st.Inches {
		return strconv.FormatFloat(float64(q/duct.CubicFootPerMinute), 'g', 3, 64) + " cfm"
	}
	return strconv.FormatFloat(float64(q/duct.LitrePerSecond), 'g', 3, 64) + " L/s"
}

// warmth prints a temperature, °C or °F.
func warmth(t float64, st Style) string {
	if st.Inches {
		return strconv.FormatFloat(duct.InFahrenheit(t), 'f', 1, 64) + " °F"
	}
	return strconv.FormatFloat(t, 'f', 1, 64) + " °C"
}
