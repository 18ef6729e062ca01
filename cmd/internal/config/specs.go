package config

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"twinline/layout/duct"
	"twinline/layout/label"
	"twinline/layout/network"
	"twinline/layout/plan"
	"twinline/layout/sketch"
	"twinline/sizing"
	"twinline/sizing/loss"
	"twinline/symbols"
)

// Specs are the settings in force, as the stages want them.
type Specs struct {
	Sketch  sketch.Rules
	Network network.Spec
	Sizing  sizing.Spec
	Plan    plan.Spec
	Label   label.Spec
	Guide   *sizing.GuideSpec // nil where no guidance is asked for
	Marks   symbols.Choices   // the sizes of blocks are the drawing's to say
	Bodies  bool
	Flat    bool
}

// check reports every value that makes no sense.
func (s Settings) check() error {
	_, err := s.Specs()
	return err
}

// reader collects the errors of reading one value after the other.
type reader struct{ errs []error }

func (r *reader) fail(key, format string, args ...any) {
	r.errs = append(r.errs, fmt.Errorf("%s: %s", key, fmt.Sprintf(format, args...)))
}

// read parses a quantity that has to be there and over zero (or not below it, with zero).
func read[T ~float64](r *reader, key, text string, parse func(string) (T, error), zero bool) T {
	v, err := parse(text)
	switch {
	case err != nil:
		r.fail(key, "%v", err)
	case math.IsNaN(float64(v)) || math.IsInf(float64(v), 0) || float64(v) < 0 || (float64(v) == 0 && !zero):
		r.fail(key, "%q has to be more than zero", text)
	}
	return v
}

// optional is read for a value that may be empty, which gives zero.
func optional[T ~float64](r *reader, key, text string, parse func(string) (T, error)) T {
	if strings.TrimSpace(text) == "" || strings.EqualFold(strings.TrimSpace(text), "none") {
		return 0
	}
	return read(r, key, text, parse, true)
}

// oneOf returns the value of text in table, or an error that lists the words.
func oneOf[T any](r *reader, key, text string, table map[string]T) T {
	v, ok := table[strings.ToLower(strings.TrimSpace(text))]
	if !ok {
		words := make([]string, 0, len(table))
		for w := range table {
			words = append(words, strconv.Quote(w))
		}
		slices.Sort(words)
		r.fail(key, "%q is none of %s", text, strings.Join(words, ", "))
	}
	return v
}

// within reports a number out of its range.
func (r *reader) within(key string, v, least, most float64) float64 {
	if !(v >= least && v <= most) {
		r.fail(key, "%v is not between %v and %v", v, least, most)
	}
	return v
}

var units = map[string]duct.Length{"": 0, "inch": duct.Inch, "foot": duct.Foot, "mm": duct.Millimetre,
	"cm": duct.Centimetre, "m": duct.Metre}

var methods = map[string]sizing.Method{"equal-friction": sizing.EqualFriction, "velocity": sizing.ConstVelocity,
	"static-regain": sizing.StaticRegain, "balanced": sizing.Balanced, "optimised": sizing.Optimised}

var places = map[string]loss.Place{"": 0, "shaft": loss.InShaft, "ceiling": loss.AboveCeiling, "room": loss.InRoom}

var shapes = map[string]duct.Shape{"round": duct.Round, "rect": duct.Rect, "oval": duct.Oval}

var elbowMakes = func() map[string]duct.ElbowMake {
	out := map[string]duct.ElbowMake{}
	for m := duct.SmoothMake; m <= duct.Gored7; m++ {
		out[m.String()] = m
	}
	return out
}()

// Specs returns what the stages want, or an error with a line for every bad value.
func (s Settings) Specs() (Specs, error) {
	r := &reader{}
	out := Specs{
		Sketch: s.rules(r),
		Sizing: s.sizing(r),
		Plan:   s.plan(r),
		Guide:  s.guidance(r),
		Marks:  s.Symbols.Marks.choices(r),
		Bodies: s.Draw.Bodies,
		Flat:   s.Draw.Flat,
	}
	out.Sketch.Materials = materials(out.Sizing.Roughness)
	out.Network = network.Spec{Snap: out.Sketch.Snap, FlexibleEnd: out.Sizing.Fittings.FlexibleEnd}
	out.Plan.Rules = out.Sizing.Fittings
	out.Label = s.label(r, out.Plan)
	if f := out.Sizing.Fittings; f.MitreAlways && !f.MitreVanes {
		r.fail("sizing.mitre_vanes", "mitres are %q, which have turning vanes; leave this out or choose mitres = \"smooth\"", s.Sizing.Mitres)
	}
	s.Layers.check(r)
	r.within("schedule.waste", s.Schedule.Waste, 0, 2)
	return out, errors.Join(r.errs...)
}

// materials returns the names of materials that notes may say: those of the settings and the built-in ones. That
// duct is flexible or lined is said otherwise.
func materials(own map[string]duct.Length) []string {
	var out []string
	for m := range own {
		out = append(out, m)
	}
	for _, m := range loss.Materials() {
		out = append(out, m.Name)
	}
	out = slices.DeleteFunc(out, func(m string) bool { return m == "" || m == "lined" || strings.HasPrefix(m, "flex") })
	slices.Sort(out)
	slices.Reverse(out) // the longer of two names before the one it begins with
	return slices.Compact(out)
}

func (s Settings) rules(r *reader) sketch.Rules {
	k, e := s.Sketch, s.Elevation
	rules := sketch.Rules{
		Unit:    oneOf(r, "units", s.Units, units),
		Snap:    read(r, "sketch.snap", k.Snap, duct.ParseLength, false),
		Reach:   read(r, "sketch.reach", k.Reach, duct.ParseLength, false),
		Face:    read(r, "sketch.face", k.Face, duct.ParseLength, false),
		Ceiling: read(r, "elevation.ceiling", e.Ceiling, duct.ParseLength, true),
		Layers: sketch.LayerNames{
			Prefix: k.Prefix, Duct: k.Duct, Flex: k.Flex, Term: k.Term, Unit: k.Unit, Note: k.Note,
			Existing: k.Existing, Removed: k.Removed, Future: k.Future,
			Limit: k.Limit, Ceiling: k.Ceiling, Rated: k.Rated,
		},
		Elevation: map[duct.Air]duct.Length{},
	}
	for i, text := range []string{e.SUP, e.ETA, e.EHA, e.ODA, e.RCA, e.TRA} {
		air := duct.Airs[i]
		rules.Elevation[air] = read(r, "elevation."+air.String(), text, duct.ParseLength, true)
	}
	if len(k.Air) > 0 {
		rules.Layers.Air = map[string]duct.Air{}
		for word, air := range k.Air {
			rules.Layers.Air[word] = oneOf(r, "sketch.air."+word, air, airWords())
		}
	}
	return rules
}

// airWords returns the airs by their designations in small letters.
func airWords() map[string]duct.Air {
	out := map[string]duct.Air{}
	for _, a := range duct.Airs {
		out[strings.ToLower(a.String())] = a
	}
	return out
}

func (s Settings) sizing(r *reader) sizing.Spec {
	z, a := s.Sizing, s.Air
	spec := sizing.Spec{
		Method:      oneOf(r, "sizing.method", z.Method, methods),
		Rate:        read(r, "sizing.rate", z.Rate, duct.ParseRate, false),
		Velocity:    read(r, "sizing.velocity", z.Velocity, duct.ParseVelocity, false),
		MaxVelocity: optional(r, "sizing.max_velocity", z.MaxVelocity, duct.ParseVelocity),
		Velocities: sizing.ByPlace{
			Main:   optional(r, "sizing.velocity_main", z.VelocityMain, duct.ParseVelocity),
			Branch: optional(r, "sizing.velocity_branch", z.VelocityBranch, duct.ParseVelocity),
			Runout: optional(r, "sizing.velocity_runout", z.VelocityRunout, duct.ParseVelocity),
		},
		MaxVelocities: sizing.ByPlace{
			Main:   optional(r, "sizing.max_velocity_main", z.MaxVelocityMain, duct.ParseVelocity),
			Branch: optional(r, "sizing.max_velocity_branch", z.MaxVelocityBranch, duct.ParseVelocity),
			Runout: optional(r, "sizing.max_velocity_runout", z.MaxVelocityRunout, duct.ParseVelocity),
		},
		Costs:        z.costs(r),
		Shape:        oneOf(r, "sizing.shape", z.Shape, shapes),
		MaxHeight:    optional(r, "sizing.max_height", z.MaxHeight, duct.ParseLength),
		MaxAspect:    r.within("sizing.max_aspect", z.MaxAspect, 1, 12),
		Least:        read(r, "sizing.least", z.Least, duct.ParseLength, false),
		FlexExtended: r.within("sizing.flexible_stretch", z.FlexibleStretch, 0.5, 1),
		Air: sizing.AirSpec{
			Temperature: celsius(r, "air.temperature", a.Temperature),
			Altitude:    altitude(r, "air.altitude", a.Altitude),
			Humidity:    r.within("air.humidity", a.Humidity, 0, 1),
			Ambient:     celsius(r, "air.ambient", a.Ambient),
			StackEffect: a.StackEffect,
			Density:     density(r, "air.density", a.Density),
		},
		Coefficients: coefficients(r, z.Coefficients),
		Fittings:     s.fittings(r),
	}
	if z.UpstreamMethod != "" {
		spec.UpstreamMethod = oneOf(r, "sizing.upstream_method", z.UpstreamMethod, methods)
	}
	spec.RoundSteps, spec.RectSteps = steps(r, z.Steps)
	if len(z.Roughness) > 0 {
		spec.Roughness = map[string]duct.Length{}
		for m, text := range z.Roughness {
			spec.Roughness[strings.ToLower(strings.TrimSpace(m))] = read(r, "sizing.roughness."+m, text, duct.ParseLength, true)
		}
	}
	return spec
}

// density reads a density that air can have; 0 where none is given.
func density(r *reader, key, text string) duct.Density {
	v := optional(r, key, text, duct.ParseDensity)
	if v != 0 {
		r.within(key, float64(v), 0.3, 2)
	}
	return v
}

// coefficients checks that every key ends in a kind of fitting, and that every value is a number.
func coefficients(r *reader, own map[string]float64) map[string]float64 {
	kinds := map[string]bool{}
	for k := duct.Elbow; k <= duct.Offset; k++ {
		kinds[k.String()] = true
	}
	for key, c := range own {
		kind := strings.TrimSuffix(key[strings.LastIndex(key, "/")+1:], sizing.OnCommon)
		if !kinds[kind] {
			words := make([]string, 0, len(kinds))
			for w := range kinds {
				words = append(words, w)
			}
			slices.Sort(words)
			r.fail("sizing.coefficients."+key, "%q is no kind of fitting; known are %s", kind, strings.Join(words, ", "))
		}
		r.within("sizing.coefficients."+key, c, -1000, 1000)
	}
	return own
}

// costs reads what the optimised method weighs, and asks for it where that method is.
func (z Sizing) costs(r *reader) sizing.Costs {
	c := z.Costs
	out := sizing.Costs{Duct: r.within("sizing.costs.duct", c.Duct, 0, 1e9), Energy: r.within("sizing.costs.energy", c.Energy, 0, 1e6),
		Hours: r.within("sizing.costs.hours", c.Hours, 0, 8784), Worth: r.within("sizing.costs.worth", c.Worth, 0, 1000),
		Efficiency: r.within("sizing.costs.efficiency", c.Efficiency, 0, 1)}
	if (z.Method == "optimised" || z.UpstreamMethod == "optimised") && (out.Duct == 0 || out.Energy == 0) {
		r.fail("sizing.method", "optimised needs sizing.costs.duct and sizing.costs.energy")
	}
	return out
}

// guidance returns what guidance is asked for, nil where none is.
func (s Settings) guidance(r *reader) *sizing.GuideSpec {
	g := s.Sizing.Guidance
	out := &sizing.GuideSpec{
		Noise: strings.TrimSpace(g.Noise) != "", Place: oneOf(r, "sizing.guidance.noise", g.Noise, places),
		Criterion:   int(r.within("sizing.guidance.criterion", float64(g.Criterion), 15, 65)),
		Conductance: loss.Conductance(r.within("sizing.guidance.conductance", g.Conductance, 0, 100)),
		Around:      celsius(r, "sizing.guidance.around", g.Around),
	}
	if t, err := duct.ParseTemperature(s.Air.Temperature); err == nil { // else it is told for air.temperature
		out.Inside = float64(t)
	}
	if class := strings.ToUpper(strings.TrimSpace(g.Leakage)); class != "" {
		k, ok := loss.LeakClass(class)
		if !ok {
			r.fail("sizing.guidance.leakage", "%q is none of A, B, C, D, ATC 1 to ATC 6", g.Leakage)
		}
		out.Leak = k
	}
	if !out.Noise && out.Leak == 0 && out.Conductance == 0 {
		return nil
	}
	return out
}

func celsius(r *reader, key, text string) float64 {
	v, err := duct.ParseTemperature(text)
	if err != nil {
		r.fail(key, "%v", err)
		return 0
	}
	return r.within(key, float64(v), -40, 200)
}

func altitude(r *reader, key, text string) float64 {
	v, err := duct.ParseLength(text)
	if err != nil {
		r.fail(key, "%v", err)
		return 0
	}
	return r.within(key, float64(v), -500, 6000)
}

func (s Settings) fittings(r *reader) duct.FittingRules {
	z := s.Sizing
	rules := duct.FittingRules{
		ElbowRound:     r.within("sizing.elbow_round", z.ElbowRound, 0.5, 10),
		ElbowRect:      r.within("sizing.elbow_rect", z.ElbowRect, 0.5, 10),
		ElbowLeast:     r.within("sizing.elbow_least", z.ElbowLeast, 0.5, 10),
		ElbowMake:      oneOf(r, "sizing.elbow_make", z.ElbowMake, elbowMakes),
		MitreVanes:     z.MitreVanes,
		MitreAlways:    oneOf(r, "sizing.mitres", z.Mitres, map[string]bool{"smooth": false, "vaned": true}),
		ReducerAngle:   angle(r, "sizing.reducer_angle", z.ReducerAngle),
		ReducerLeast:   read(r, "sizing.reducer_least", z.ReducerLeast, duct.ParseLength, true),
		TakeoffRound:   oneOf(r, "sizing.takeoff_round", z.TakeoffRound, map[string]duct.TakeoffForm{"plain": duct.Plain, "entry-45": duct.Entry45, "conical": duct.Conical}),
		TakeoffRect:    oneOf(r, "sizing.takeoff_rect", z.TakeoffRect, map[string]duct.TakeoffForm{"plain": duct.Plain, "entry-45": duct.Entry45}),
		BranchDampers:  z.BranchDampers,
		FlexibleEnd:    optional(r, "sizing.flexible_end", z.FlexibleEnd, duct.ParseLength),
		FlexibleMost:   read(r, "sizing.flexible_most", z.FlexibleMost, duct.ParseLength, false),
		FlexibleRadius: r.within("sizing.flexible_radius", z.FlexibleRadius, 0.5, 10),
	}
	return rules
}

func angle(r *reader, key, text string) float64 {
	v, err := duct.ParseAngle(text)
	if err != nil {
		r.fail(key, "%v", err)
		return 0
	}
	if !(v >= leastAngle*duct.Degree && v <= mostAngle*duct.Degree) {
		r.fail(key, "%s is not between %v and %v deg", text, leastAngle, mostAngle)
	}
	return v
}

// Angles of size changes, in degrees: below the one they are longer than any run, above the other no size change.
const (
	leastAngle = 5
	mostAngle  = 120
)

func (s Settings) plan(r *reader) plan.Spec {
	d := s.Draw
	return plan.Spec{
		Scale:       scale(r, "draw.scale", d.Scale),
		TextHeight:  float64(read(r, "draw.text_height", d.TextHeight, duct.ParseLength, false)),
		Flat:        d.Flat,
		AxisLines:   d.Axes,
		Hidden:      d.Hidden,
		SingleBelow: optional(r, "draw.single_below", d.SingleBelow, duct.ParseLength),
		Clear:       optional(r, "draw.clear", d.Clear, duct.ParseLength),
	}
}

// label returns the settings of the lettering of a plan.
func (s Settings) label(r *reader, p plan.Spec) label.Spec {
	d := s.Draw
	spec := label.Spec{
		Scale:       p.Scale,
		TextHeight:  p.TextHeight,
		LetterWidth: r.within("symbols.width", s.Symbols.Width, 0.3, 3),
		Flat:        p.Flat,
		SizeLabels:  d.Sizes,
		FlowLabels:  d.Flows,
		Arrows:      d.Arrows,
		ArrowLength: float64(read(r, "symbols.arrow", s.Symbols.Arrow, duct.ParseLength, false)),
		Elevation:   d.Elevations,
		PlainSizes:  !d.Linings,
		SizeCentred: oneOf(r, "draw.size_place", d.SizePlace, map[string]bool{"clear": false, "centred": true}),
		SingleBelow: p.SingleBelow,
		RepeatEvery: optional(r, "draw.repeat_every", d.RepeatEvery, duct.ParseLength),
		Forms:       d.Labels.forms(r),
	}
	if paper := optional(r, "draw.repeat_paper", d.RepeatPaper, duct.ParseLength); paper > 0 {
		spec.RepeatEvery = paper * duct.Length(spec.Scale)
	}
	for _, k := range d.Labels.kinds() {
		spec.Letters[k.kind] = k.read(r)
	}
	return spec
}

// scale reads a plot scale such as 1:50.
func scale(r *reader, key, text string) float64 {
	one, many, ok := strings.Cut(strings.ReplaceAll(text, " ", ""), ":")
	a, errA := strconv.ParseFloat(one, 64)
	b, errB := strconv.ParseFloat(many, 64)
	if !ok || errA != nil || errB != nil || a <= 0 || b <= 0 {
		r.fail(key, "%q is no scale; write it like 1:50", text)
		return 1
	}
	return r.within(key, b/a, 0.1, 10000)
}
