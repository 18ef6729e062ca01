package label

import (
	"fmt"
	"slices"
	"strings"

	"twinline/layout/duct"
	"twinline/layout/shape"
)

// usual are the contents of labels where the settings give none.
var usual = func() (out [shape.LetterKinds]Content) {
	for k, lines := range map[shape.Letters][]string{
		shape.SizeText: {"{size}", "{cover}", "{elevation}"}, shape.FlowText: {"{mark}", "{flow}"},
		shape.UnitText: {"{mark}", "{flow}"}, shape.LevelText: {"{elevation}"},
	} {
		c, err := ParseContent(k, lines)
		if err != nil {
			panic(err) // of the lines above
		}
		out[k] = c
	}
	return out
}()

// content returns what labels of a kind say, and whether it is the usual.
func (l *labeler) content(k shape.Letters) (Content, bool) {
	if c := l.spec.Letters[k].Content; c.lines != nil {
		return c, false
	}
	return usual[k], true
}

// runLines returns what is said of a run. Its elevation is that of the place of the label, and said only where it is
// placed on a run that lies at one.
func (l *labeler) runLines(r *duct.Run, placed bool) []string {
	if l.size(r).IsZero() {
		return nil
	}
	c, plain := l.content(shape.SizeText)
	return c.say(func(field string) string {
		switch {
		case field == "elevation" && (!placed || plain && !l.spec.Elevation):
			return ""
		case field == "cover" && plain && l.spec.PlainSizes:
			return ""
		}
		return l.runField(r, field)
	})
}

// runField returns what a field says of a run.
func (l *labeler) runField(r *duct.Run, field string) string {
	s, res, inches := l.size(r), &l.des.Runs[r.ID], l.spec.Inches
	switch field {
	case "size":
		return l.spec.Forms.sizeText(s, inches)
	case "width":
		return lengthText(s.Width, inches)
	case "height":
		return lengthText(s.Height, inches)
	case "cover":
		return strings.TrimSpace(coverText("lined", r.Spec.Lining, inches) + " " + coverText("insul", r.Spec.Insulation, inches))
	case "lining":
		return coverText("", r.Spec.Lining, inches)
	case "insulation":
		return coverText("", r.Spec.Insulation, inches)
	case "elevation":
		if r.Kind != duct.Rigid || !l.level(r) {
			return ""
		}
		return l.spec.Forms.datumText(datumHeight(r, s, l.axes[r.ID].A.Z), r.Datum, inches)
	case "flow":
		return l.flowLine(r.Flow)
	case "velocity":
		if res.Velocity > 0 {
			return velocityText(res.Velocity, inches)
		}
	case "rate":
		if res.Rate > 0 {
			return res.Rate.Text(inches)
		}
	case "length":
		return lengthText(duct.Length(l.axes[r.ID].Len()), inches)
	case "id":
		return fmt.Sprintf("r%d", r.ID+1)
	case "material":
		return r.Spec.Material
	case "air":
		return r.Air.String()
	case "status":
		return r.Status.String()
	}
	return ""
}

// velocityText prints a velocity as engineers read it: whole feet per minute, or metres per second with one decimal.
func velocityText(v duct.Velocity, inches bool) string {
	if inches {
		return v.Text(true)
	}
	return decimal(float64(v), 1) + " m/s"
}

// terminalLines returns what is said of a terminal that is called mark.
func (l *labeler) terminalLines(t *duct.Terminal, mark string) []string {
	c, _ := l.content(shape.FlowText)
	return c.say(func(field string) string {
		switch field {
		case "mark":
			return mark
		case "name":
			return t.Name
		case "flow":
			return l.flowLine(t.Flow)
		case "neck":
			if !t.Neck.IsZero() {
				return l.spec.Forms.sizeText(t.Neck, l.spec.Inches)
			}
		case "elevation":
			return "EL " + l.spec.Forms.levelText(t.At.Z, l.spec.Inches)
		case "loss":
			if t.Loss > 0 {
				return t.Loss.Text(l.spec.Inches)
			}
		case "air":
			return t.Air.String()
		case "status":
			return t.Status.String()
		}
		return ""
	})
}

// unitLines returns what is said of a unit: its airflow for each system it heads, or what flows through it in the middle of one.
func (l *labeler) unitLines(u *duct.Unit, heads []*duct.System, through duct.Flow) []string {
	var flows, pressures []string
	for _, s := range heads {
		air := ""
		if len(heads) > 1 {
			air = s.Air.String() + " "
		}
		if line := l.flowLine(s.Flow); line != "" {
			flows = append(flows, air+line)
		}
		if p := l.des.Systems[s.ID].Required; p > 0 {
			pressures = append(pressures, air+p.Text(l.spec.Inches))
		}
	}
	if line := l.flowLine(through); len(heads) == 0 && line != "" {
		flows = append(flows, line)
	}
	c, _ := l.content(shape.UnitText)
	var out []string
	for _, line := range c.lines {
		// A line about airflow or pressure comes again for every system.
		n := max(1, min(len(heads), max(len(flows), len(pressures))))
		if !mentions(line, "flow") && !mentions(line, "pressure") {
			n = 1
		}
		for i := range n {
			pick := func(list []string) string {
				if i < len(list) {
					return list[i]
				}
				return ""
			}
			out = append(out, Content{[][]word{line}}.say(func(field string) string {
				switch field {
				case "mark":
					return u.Mark
				case "flow":
					return pick(flows)
				case "pressure":
					return pick(pressures)
				case "air":
					return u.Air.String()
				case "status":
					return u.Status.String()
				}
				return ""
			})...)
		}
	}
	return out
}

// mentions reports whether a field stands in a line.
func mentions(line []word, field string) bool {
	return slices.ContainsFunc(line, func(p word) bool { return p.field == field || mentions(p.group, field) })
}

// levelLines returns what an elevation tag says.
func (l *labeler) levelLines(z float64, datum duct.Datum) []string {
	c, _ := l.content(shape.LevelText)
	return c.say(func(string) string { return l.spec.Forms.datumText(z, datum, l.spec.Inches) })
}
