package report

import (
	"fmt"
	"maps"
	"slices"
	"strconv"

	"twinline/layout/duct"
	"twinline/sizing"
)

// basis is what an engineer has to know of how the numbers came about: methods, limits, air.
func (s *scheduler) basis() Table {
	t := Table{Name: "Summary", Title: "Basis of the calculation", Columns: texts("what", "value", "from"),
		Notes: []string{"twinline size --explain RUN tells how the numbers of one run or terminal came about."}}
	row := func(what, value, from string) {
		if value != "" {
			t.Rows = append(t.Rows, []Cell{text(what), text(value), text(from)})
		}
	}
	z, in := s.Spec, s.Style.Inches
	row("method", string(z.Method), "sizing.method")
	row("method upstream of boxes", string(z.UpstreamMethod), "sizing.upstream_method")
	row("friction limit", z.Rate.Text(in), "sizing.rate")
	speeds := func(what, key string, all duct.Velocity, own sizing.ByPlace) {
		if all > 0 {
			row(what, all.Text(in), "sizing."+key)
		}
		for _, p := range []struct {
			place, key string
			v          duct.Velocity
		}{{"mains", "_main", own.Main}, {"branches", "_branch", own.Branch}, {"runs to a single terminal", "_runout", own.Runout}} {
			if p.v > 0 {
				row(what+", "+p.place, p.v.Text(in), "sizing."+key+p.key)
			}
		}
	}
	if z.Method == sizing.ConstVelocity || z.UpstreamMethod == sizing.ConstVelocity {
		speeds("velocity aimed at", "velocity", z.Velocity, z.Velocities)
	}
	speeds("velocity limit", "max_velocity", z.MaxVelocity, z.MaxVelocities)
	if z.Method == sizing.Optimised || z.UpstreamMethod == sizing.Optimised {
		c := z.Costs
		row("cost of a square metre of duct", plainNumber(c.Duct), "sizing.costs.duct")
		row("cost of a kilowatt hour", plainNumber(c.Energy), "sizing.costs.energy")
		row("hours of running a year", plainNumber(c.Hours), "sizing.costs.hours")
		row("present worth of one a year", plainNumber(c.Worth), "sizing.costs.worth")
		row("efficiency of fan and motor", plainNumber(c.Efficiency), "sizing.costs.efficiency")
	}
	row("shape", z.Shape.String(), "sizing.shape")
	if z.MaxHeight > 0 {
		row("height limit", z.MaxHeight.Text(in), "sizing.max_height")
	}
	row("aspect limit", plainNumber(z.MaxAspect), "sizing.max_aspect")
	row("round sizes", z.RoundSteps.Name, "sizing.steps")
	row("rectangular sizes", z.RectSteps.Name, "sizing.steps")
	row("smallest size", z.Least.Text(in), "sizing.least")
	row("air", fmt.Sprintf("%s °C, %s m above the sea, relative humidity %s %%", plainNumber(z.Air.Temperature), plainNumber(z.Air.Altitude),
		plainNumber(z.Air.Humidity*100)), "air.temperature, air.altitude, air.humidity")
	from := "worked out from it"
	if z.Air.Density > 0 {
		from = "given, air.density"
	}
	row("density of the air", fmt.Sprintf("%.4g kg/m³", float64(s.Des.Density)), from)
	row("viscosity of the air", fmt.Sprintf("%.4g Pa s", s.Des.Viscosity), "worked out from it")
	if z.Air.StackEffect {
		row("stack effect", fmt.Sprintf("counted, against air of %s °C", plainNumber(z.Air.Ambient)), "air.stack_effect")
	} else {
		row("stack effect", "not counted", "air.stack_effect")
	}
	row("friction", "Darcy-Weisbach with the friction factor of Colebrook, on the hydraulic diameter", "")
	row("fittings", "coefficients by kind and geometry; each with its source in the deciding paths", "")
	row("flexible duct, installed over full length", plainNumber(z.FlexExtended), "sizing.flexible_stretch")
	if z.Fittings.FlexibleEnd > 0 {
		row("flexible end of rigid runs", z.Fittings.FlexibleEnd.Text(in), "sizing.flexible_end")
	}
	if z.Fittings.FlexibleMost > 0 {
		row("longest flexible duct", z.Fittings.FlexibleMost.Text(in), "sizing.flexible_most")
	}
	f := z.Fittings
	row("radius of round elbows", plainNumber(f.ElbowRound)+" diameters", "sizing.elbow_round")
	row("radius of rectangular elbows", plainNumber(f.ElbowRect)+" widths", "sizing.elbow_rect")
	row("round branches", f.TakeoffRound.String(), "sizing.takeoff_round")
	row("rectangular branches", f.TakeoffRect.String(), "sizing.takeoff_rect")
	if f.BranchDampers {
		row("volume dampers", "at every branch; the open blade is counted with the branch", "sizing.branch_dampers")
	}
	for _, kind := range slices.Sorted(maps.Keys(z.Coefficients)) {
		row("coefficient of the office's own, "+kind, plainNumber(z.Coefficients[kind]), "sizing.coefficients")
	}
	for _, name := range slices.Sorted(maps.Keys(z.Roughness)) {
		row("roughness of the office's own, "+name, fmt.Sprintf("%.4g mm", float64(z.Roughness[name]/duct.Millimetre)), "sizing.roughness")
	}
	row("allowance on sheet metal", plainNumber(s.Waste*100)+" %", "schedule.waste")
	return t
}

// plainNumber writes a number without needless zeros.
func plainNumber(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
