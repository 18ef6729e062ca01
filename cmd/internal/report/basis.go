package report

import (
	"fmt"
	"maps"
	"slices"
	"strconv"

	"twinline/layout/duct"
	"twinline/sizing"
)

// given is a choice the calculation stands on, and the setting it is from. One without a value is left out.
type given struct{ what, value, from string }

// basis is what an engineer has to know of how the numbers came about: methods, limits, air, fittings.
func (s *scheduler) basis() Table {
	rows := slices.Concat(s.methods(), s.limits(), s.airAndLosses(), s.making())
	rows = slices.DeleteFunc(rows, func(g given) bool { return g.value == "" })
	return tabulate(Table{Name: "Summary", Title: "Basis of the calculation",
		Notes: []string{"twinline size --explain RUN says how the numbers of one run or terminal came about."}}, rows,
		[]column[given]{
			text("what", func(g given) string { return g.what }),
			text("value", func(g given) string { return g.value }),
			text("from", func(g given) string { return g.from }),
		})
}

// uses reports whether some system may be sized by a method.
func uses(z sizing.Spec, m sizing.Method) bool { return z.Method == m || z.UpstreamMethod == m }

func (s *scheduler) methods() []given {
	z := s.Spec
	out := []given{
		{"method", string(z.Method), "sizing.method"},
		{"method upstream of boxes", string(z.UpstreamMethod), "sizing.upstream_method"},
		{"friction limit", s.Words.Rate(z.Rate), "sizing.rate"},
	}
	if uses(z, sizing.ConstVelocity) {
		out = append(out, s.speeds("velocity aimed at", "sizing.velocity", z.Velocity, z.Velocities)...)
	}
	out = append(out, s.speeds("velocity limit", "sizing.max_velocity", z.MaxVelocity, z.MaxVelocities)...)
	if c := z.Costs; uses(z, sizing.Optimised) {
		out = append(out, []given{
			{"cost of a square metre of duct", figures(c.Duct), "sizing.costs.duct"},
			{"cost of a kilowatt hour", figures(c.Energy), "sizing.costs.energy"},
			{"hours of running a year", figures(c.Hours), "sizing.costs.hours"},
			{"present worth of one a year", figures(c.Worth), "sizing.costs.worth"},
			{"efficiency of fan and motor", figures(c.Efficiency), "sizing.costs.efficiency"},
		}...)
	}
	return out
}

// speeds are a velocity and those that hold in one place.
func (s *scheduler) speeds(what, key string, all duct.Velocity, own sizing.ByPlace) []given {
	say := func(v duct.Velocity) string { return when(v > 0, s.Words.Velocity(v)) }
	return []given{
		{what, say(all), key},
		{what + ", mains", say(own.Main), key + "_main"},
		{what + ", branches", say(own.Branch), key + "_branch"},
		{what + ", runs to a single terminal", say(own.Runout), key + "_runout"},
	}
}

func (s *scheduler) limits() []given {
	z := s.Spec
	return []given{
		{"shape", z.Shape.String(), "sizing.shape"},
		{"height limit", when(z.MaxHeight > 0, s.Words.Length(z.MaxHeight)), "sizing.max_height"},
		{"aspect limit", figures(z.MaxAspect), "sizing.max_aspect"},
		{"round sizes", z.RoundSteps.Name, "sizing.steps"},
		{"rectangular sizes", z.RectSteps.Name, "sizing.steps"},
		{"smallest size", s.Words.Length(z.Least), "sizing.least"},
	}
}

func (s *scheduler) airAndLosses() []given {
	a := s.Spec.Air
	const workedOut = "worked out from it"
	density, stack := workedOut, "not counted"
	if a.Density > 0 {
		density = "given, air.density"
	}
	if a.StackEffect {
		stack = fmt.Sprintf("counted, against air of %s °C", figures(a.Ambient))
	}
	return []given{
		{"air", fmt.Sprintf("%s °C, %s m above the sea, relative humidity %s %%", figures(a.Temperature),
			figures(a.Altitude), figures(a.Humidity*100)), "air.temperature, air.altitude, air.humidity"},
		{"density of the air", fmt.Sprintf("%.4g kg/m³", float64(s.Des.Density)), density},
		{"viscosity of the air", fmt.Sprintf("%.4g Pa s", s.Des.Viscosity), workedOut},
		{"stack effect", stack, "air.stack_effect"},
		{"friction", "Darcy-Weisbach with the friction factor of Colebrook, on the hydraulic diameter", ""},
		{"fittings", "coefficients by kind and geometry; each with its source in the deciding paths", ""},
	}
}

// making is how fittings and flexible ducts are made, and what the office has of its own.
func (s *scheduler) making() []given {
	z, f := s.Spec, s.Spec.Fittings
	out := []given{
		{"flexible duct, installed over full length", figures(z.FlexExtended), "sizing.flexible_stretch"},
		{"flexible end of rigid runs", when(f.FlexibleEnd > 0, s.Words.Length(f.FlexibleEnd)), "sizing.flexible_end"},
		{"longest flexible duct", when(f.FlexibleMost > 0, s.Words.Length(f.FlexibleMost)), "sizing.flexible_most"},
		{"radius of round elbows", figures(f.ElbowRound) + " diameters", "sizing.elbow_round"},
		{"radius of rectangular elbows", figures(f.ElbowRect) + " widths", "sizing.elbow_rect"},
		{"round branches", f.TakeoffRound.String(), "sizing.takeoff_round"},
		{"rectangular branches", f.TakeoffRect.String(), "sizing.takeoff_rect"},
		{"volume dampers", when(f.BranchDampers, "at every branch; the open blade is counted with the branch"),
			"sizing.branch_dampers"},
	}
	for _, kind := range slices.Sorted(maps.Keys(z.Coefficients)) {
		out = append(out, given{"coefficient of the office's own, " + kind, figures(z.Coefficients[kind]),
			"sizing.coefficients"})
	}
	for _, name := range slices.Sorted(maps.Keys(z.Roughness)) {
		out = append(out, given{"roughness of the office's own, " + name,
			fmt.Sprintf("%.4g mm", float64(z.Roughness[name]/duct.Millimetre)), "sizing.roughness"})
	}
	return append(out, given{"allowance on sheet metal", figures(s.Waste*100) + " %", "schedule.waste"})
}

// figures writes a number without needless zeros.
func figures(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
