// Package config reads an office's settings and turns them into the small spec each stage
// asks for. It owns the defaults.
package config

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"twinline/dxfio"
	"twinline/layout/duct"
	"twinline/layout/label"
	"twinline/layout/network"
	"twinline/layout/plan"
	"twinline/layout/shape"
	"twinline/layout/sketch"
	"twinline/sizing"
	"twinline/sizing/loss"
	"twinline/symbols"
)

// Settings are the settings in force.
type Settings struct {
	Specs
	Schedule Schedule
	Style    dxfio.StyleDef // of texts that have none of their own

	file    entry // the keys of a settings file, with the values in force
	scheme  scheme
	letters [shape.LetterKinds]dxfio.StyleDef
	parts   parts
}

// Specs are the settings as the stages want them.
type Specs struct {
	Sketch  sketch.Rules
	Network network.Spec
	Sizing  sizing.Spec
	Plan    plan.Spec
	Label   label.Spec
	Guide   *sizing.GuideSpec // nil where no guidance is asked for
	Marks   symbols.Choices   // the sizes of blocks are the drawing's to say
	Bodies  bool
}

// Schedule is what schedules and quantities count and say.
type Schedule struct {
	Project string  // at the top of schedules
	Waste   float64 // allowance on sheet metal, 0.2 is 20 %
}

// parts are values of which a spec is put together.
type parts struct {
	elevations  [len(duct.Airs)]duct.Length
	steps       series
	noise       ask
	guide       sizing.GuideSpec
	linings     bool
	inchMarks   bool
	repeatPaper duct.Length
	lettering   [shape.LetterKinds]lettering
}

// ask is whether noise is asked for, and where ducts lie for it.
type ask struct {
	noise bool
	where loss.Place
}

// usual returns the value of a key in a metric or an inch drawing that has no settings.
type usual func(metric, inch string) string

// declare declares every key of a settings file, in the order they are printed. Rates, velocities and radii are common
// practice; the sizes and the air are as the comments say.
func (s *Settings) declare(metric bool) {
	by := func(ofMetric, ofInch string) string {
		if metric {
			return ofMetric
		}
		return ofInch
	}
	add(&s.file, "units", "", &s.Sketch.Unit, orEmpty(oneOf(units)),
		"What one drawing unit is: inch, foot, mm, cm or m. Empty: what the drawing says ($INSUNITS).")
	s.declareAir(s.file.table("air", ""))
	t := s.file.table("sizing", "")
	s.declareMethod(t, by)
	s.declareSizes(t, by)
	s.declareFittings(t, by)
	s.declareOwn(t)
	s.declareCosts(t.table("costs", ""))
	s.declareGuidance(t.table("guidance", ""))
	s.declareElevation(s.file.table("elevation", ""), by)
	s.declareSketch(s.file.table("sketch", ""), by)
	t = s.file.table("draw", "")
	s.declareDraw(t, by)
	s.declareLabels(t.table("labels", ""))
	s.scheme.declare(s.file.table("layers", ""))
	s.declareSymbols(s.file.table("symbols", ""), by)
	t = s.file.table("schedule", "")
	add(t, "project", "", &s.Schedule.Project, same, "Name of the project, at the top of schedules.")
	add(t, "waste", 0.2, &s.Schedule.Waste, between(0.0, 2), "Allowance on sheet metal, 0.2 is 20 %.")
}

var units = map[string]duct.Length{"inch": duct.Inch, "foot": duct.Foot, "mm": duct.Millimetre,
	"cm": duct.Centimetre, "m": duct.Metre}

func (s *Settings) declareAir(t *entry) {
	a := &s.Sizing.Air
	add(t, "temperature", "20 °C", &a.Temperature, celsius,
		"Air in the ducts. 20 °C at 0 m and humidity 0 is standard air, 1.204 kg/m³.")
	add(t, "altitude", "0 m", &a.Altitude, plain(within(duct.ParseLength, -500, 6000, "m")),
		"Height of the site above the sea.")
	add(t, "humidity", 0.0, &a.Humidity, between(0.0, 1), "Relative humidity, 0 to 1.")
	add(t, "density", "", &a.Density, orEmpty(within(duct.ParseDensity, 0.3, 2, "kg/m3")),
		"Density of the air in the ducts, such as 1.2 kg/m3 or 0.075 lb/ft3. Empty: what follows from the three above.")
	add(t, "stack_effect", false, &a.StackEffect, same,
		"Count the buoyancy of vertical runs against air of the ambient temperature.")
	add(t, "ambient", "20 °C", &a.Ambient, celsius, "Air around vertical runs, for the stack effect.")
}

var celsius = within(duct.ParseTemperature, -40, 200, "°C")

var methods = map[string]sizing.Method{"equal-friction": sizing.EqualFriction, "velocity": sizing.ConstVelocity,
	"static-regain": sizing.StaticRegain, "balanced": sizing.Balanced, "optimised": sizing.Optimised}

func (s *Settings) declareMethod(t *entry, by usual) {
	z := &s.Sizing
	velocity := orNone(duct.ParseVelocity)
	add(t, "method", "equal-friction", &z.Method, oneOf(methods),
		"equal-friction, velocity, static-regain, balanced, or optimised (duct cost against fan energy; "+
			"needs sizing.costs).")
	add(t, "upstream_method", "", &z.UpstreamMethod, orEmpty(oneOf(methods)),
		"Method for what lies upstream of in-line boxes. Empty: the same.")
	add(t, "rate", by("0.65 Pa/m", "0.08 in.wg/100ft"), &z.Rate, positive(duct.ParseRate),
		"Friction limit; the aim of equal friction.")
	add(t, "velocity", by("4.5 m/s", "900 fpm"), &z.Velocity, positive(duct.ParseVelocity),
		"The aim of method velocity.")
	add(t, "max_velocity", by("7.5 m/s", "1500 fpm"), &z.MaxVelocity, velocity,
		"Velocity limit of every run. Empty: none.")
	add(t, "velocity_main", "", &z.Velocities.Main, velocity,
		"The aim of method velocity in mains: what goes straight on from the unit. Empty: sizing.velocity.")
	add(t, "velocity_branch", "", &z.Velocities.Branch, velocity, "The same in branches.")
	add(t, "velocity_runout", "", &z.Velocities.Runout, velocity, "The same in runs to a single terminal.")
	add(t, "max_velocity_main", "", &z.MaxVelocities.Main, velocity,
		"Velocity limit of mains. Empty: sizing.max_velocity.")
	add(t, "max_velocity_branch", "", &z.MaxVelocities.Branch, velocity, "The same of branches.")
	add(t, "max_velocity_runout", "", &z.MaxVelocities.Runout, velocity, "The same of runs to a single terminal.")
}

func (s *Settings) declareSizes(t *entry, by usual) {
	z, f := &s.Sizing, &s.Sizing.Fittings
	add(t, "shape", "round", &z.Shape, oneOf(named(duct.Round, duct.Rect, duct.Oval)),
		"round, rect or oval, where no note says otherwise.")
	add(t, "max_height", "", &z.MaxHeight, orNone(duct.ParseLength), "Height limit of every duct. Empty: none.")
	add(t, "max_aspect", 4.0, &z.MaxAspect, between(1.0, 12), "Longer side over shorter side at the most.")
	add(t, "steps", any(by("EN", "even-inch")), &s.parts.steps, steps,
		"Sizes to choose from: even-inch, inch, EN (recommended sizes of EN 1506 and EN 1505), EN-all, 50mm, "+
			"an even step such as 25 mm, a list such as [\"100 mm\", \"125 mm\"], or exact: not rounded, "+
			"to compare with calculations.")
	add(t, "least", by("100 mm", "4 in"), &z.Least, positive(duct.ParseLength), "Smallest size.")
	add(t, "flexible_end", "", &f.FlexibleEnd, orNone(duct.ParseLength),
		"This last part of a rigid run before a terminal is flexible. Empty: none.")
	add(t, "flexible_most", by("2 m", "6 ft"), &f.FlexibleMost, positive(duct.ParseLength),
		"Longest flexible duct without a finding.")
	add(t, "flexible_radius", 1.5, &f.FlexibleRadius, between(0.5, 10),
		"Least bend radius of flexible duct, on the centreline, in diameters.")
	add(t, "flexible_stretch", 0.96, &z.FlexExtended, between(0.5, 1),
		"Installed length of flexible duct over its full length: 1 is fully stretched.")
}

// Angles of size changes, in degrees: below the one they are longer than any run, above the other no size change.
const (
	leastAngle = 5
	mostAngle  = 120
)

var takeoffs = map[string]duct.TakeoffForm{"plain": duct.Plain, "entry-45": duct.Entry45}

func (s *Settings) declareFittings(t *entry, by usual) {
	f := &s.Sizing.Fittings
	var makes []duct.ElbowMake
	for m := duct.SmoothMake; m <= duct.Gored7; m++ {
		makes = append(makes, m)
	}
	roundTakeoffs := maps.Clone(takeoffs)
	roundTakeoffs["conical"] = duct.Conical
	add(t, "elbow_round", 1.5, &f.ElbowRound, between(0.5, 10), "Centreline radius of round elbows, in diameters.")
	add(t, "elbow_rect", 1.0, &f.ElbowRect, between(0.5, 10),
		"Centreline radius of rectangular and flat oval elbows, in widths.")
	add(t, "elbow_least", 0.7, &f.ElbowLeast, between(0.5, 10),
		"The smallest such radius; where less room is left the elbow is mitred.")
	add(t, "elbow_make", "smooth", &f.ElbowMake, oneOf(named(makes...)),
		"How round elbows are made, for their loss: smooth, stamped, 3-gore, 4-gore, 5-gore or 7-gore.")
	add(t, "mitres", "smooth", &f.MitreAlways, oneOf(map[string]bool{"smooth": false, "vaned": true}),
		"Rectangular elbows: smooth (mitred only where there is no room), vaned (always mitred, with turning vanes).")
	add(t, "mitre_vanes", true, &f.MitreVanes, same, "Mitred rectangular elbows have turning vanes.")
	add(t, "reducer_angle", "30 deg", &f.ReducerAngle, angle(leastAngle, mostAngle),
		"Angle between opposite sloped sides of a size change.")
	add(t, "reducer_least", by("100 mm", "4 in"), &f.ReducerLeast, notNegative(duct.ParseLength),
		"Shortest size change.")
	add(t, "takeoff_round", "plain", &f.TakeoffRound, oneOf(roundTakeoffs),
		"How round branches leave: plain, entry-45 or conical.")
	add(t, "takeoff_rect", "entry-45", &f.TakeoffRect, oneOf(takeoffs),
		"How rectangular branches leave: plain or entry-45.")
	add(t, "branch_dampers", false, &f.BranchDampers, same,
		"A volume damper at every branch. Open it costs C = 0.05 on the branch's velocity pressure (from memory), "+
			"or what damper in sizing.coefficients says.")
}

func (s *Settings) declareOwn(t *entry) {
	addWords(t, "roughness", nil, nil, &s.Sizing.Roughness, notNegative(duct.ParseLength),
		"Roughness by material (galvanised, flex, lined, ...): overrides the built-in values.")
	addWords(t, "coefficients", nil, nil, &s.Sizing.Coefficients, between(-1000.0, 1000),
		"Loss coefficients of the office's own, on the velocity pressure of the piece itself: by kind of fitting "+
			"(elbow, takeoff, ...), of one run: \"RUN-KEY/kind\", or at one node: \"NODE-KEY/kind\", with the keys "+
			"that --explain prints. Where a table has it on the velocity pressure of the common leg of a junction: "+
			"\"takeoff on common\". A note such as C=0.35 beside a run goes before them.")
}

// The costs themselves are the office's; 4000 hours are most of a year of working days, 12.5 is the worth of one a year
// for twenty years at 5 %. Common practice.
func (s *Settings) declareCosts(t *entry) {
	c := &s.Sizing.Costs
	add(t, "duct", 0.0, &c.Duct, between(0, 1e9),
		"A square metre of duct, installed. 0: no costs; the optimised method then sizes by equal friction.")
	add(t, "energy", 0.0, &c.Energy, between(0, 1e6), "A kilowatt hour.")
	add(t, "hours", 4000.0, &c.Hours, between(0.0, 8784), "Of running in a year.")
	add(t, "worth", 12.5, &c.Worth, between(0.0, 1000), "Present worth of one a year over the life of the ducts.")
	add(t, "efficiency", 0.6, &c.Efficiency, between(0.0, 1), "Of fan and motor together, 0 to 1.")
}

var places = map[string]ask{"shaft": {true, loss.InShaft}, "ceiling": {true, loss.AboveCeiling},
	"room": {true, loss.InRoom}}

// Guidance is what twinline size lists beside sizes and pressures. It changes no size.
func (s *Settings) declareGuidance(t *entry) {
	g := &s.parts.guide
	add(t, "noise", "", &s.parts.noise, orEmpty(oneOf(places)),
		"Where the ducts lie, to hold their velocity against what a room criterion allows and to estimate their noise, "+
			"roughly: shaft (or above a solid ceiling), ceiling (a suspended one), room. Empty: not asked for.")
	add(t, "criterion", int64(35), &g.Criterion, criterion, "NC or RC of the rooms.")
	add(t, "leakage", "", &g.Leak, orEmpty(tightness),
		"Tightness class of the ducts: A, B, C, D, or ATC 1 to ATC 6. Empty: leakage is not asked for.")
	add(t, "conductance", 0.0, &g.Conductance, conductance,
		"Heat through a square metre of duct wall with its insulation, W/(m2 K). 0: heat is not asked for.")
	add(t, "around", "20 °C", &g.Around, celsius,
		"Air around the ducts, for heat; the air enters them at air.temperature.")
}

func criterion(v int64) (int, error) {
	v, err := between[int64](15, 65)(v)
	return int(v), err
}

func conductance(v float64) (loss.Conductance, error) {
	return loss.Conductance(v), inRange(v, 0, 100, " W/(m2 K)")
}

func tightness(text string) (loss.LeakFactor, error) {
	k, ok := loss.LeakClass(strings.ToUpper(strings.TrimSpace(text)))
	if !ok {
		return k, fmt.Errorf("%q is none of A, B, C, D, ATC 1 to ATC 6", text)
	}
	return k, nil
}

func (s *Settings) declareElevation(t *entry, by usual) {
	comment := "Centreline of ducts that neither their geometry nor a note places."
	for i, air := range duct.Airs {
		add(t, air.String(), by("3.3 m", "11 ft"), &s.parts.elevations[i], notNegative(duct.ParseLength), comment)
		comment = ""
	}
	add(t, "ceiling", by("2.7 m", "9 ft"), &s.Sketch.Ceiling, notNegative(duct.ParseLength),
		"Terminals, where neither their geometry, a note nor a ceiling outline places them.")
}

func (s *Settings) declareSketch(t *entry, by usual) {
	k, l := &s.Sketch, &s.Sketch.Layers
	add(t, "snap", by("25 mm", "1 in"), &k.Snap, positive(duct.ParseLength), "Ends nearer than this join.")
	add(t, "reach", by("1.2 m", "4 ft"), &k.Reach, positive(duct.ParseLength),
		"A note is about nothing farther than this.")
	add(t, "face", by("600 mm", "24 in"), &k.Face, positive(duct.ParseLength),
		"Side of the face of a terminal drawn as a circle or a point.")
	add(t, "prefix", "SK", &l.Prefix, same, "Words of sketch layer names: PREFIX-AIR-PART-STATUS.")
	add(t, "duct", "DUCT", &l.Duct, same, "")
	add(t, "flex", "FLEX", &l.Flex, same, "")
	add(t, "term", "TERM", &l.Term, same, "")
	add(t, "unit", "UNIT", &l.Unit, same, "")
	add(t, "note", "NOTE", &l.Note, same, "")
	add(t, "existing", "EX", &l.Existing, same, "")
	add(t, "removed", "REM", &l.Removed, same, "")
	add(t, "future", "FUT", &l.Future, same, "")
	add(t, "limit", "SK-LIMIT", &l.Limit, same, "")
	add(t, "ceiling", "SK-CEIL", &l.Ceiling, same, "")
	add(t, "rated", "SK-RATED", &l.Rated, same, "")
	airs := wordTable{}
	for word, air := range sketch.AirWords() {
		airs[word] = air.String()
	}
	addWords(t, "air", nil, airs, &l.Air, oneOf(named(duct.Airs[:]...)),
		"Words for an air, to which you can add, such as LUFT = \"SUP\".")
}

func (s *Settings) declareDraw(t *entry, by usual) {
	p, l := &s.Plan, &s.Label
	add(t, "scale", by("1:50", "1:48"), &p.Scale, scale, "Plot scale.")
	add(t, "text_height", by("2.5 mm", "3/32 in"), &p.TextHeight, plain(positive(duct.ParseLength)),
		"Height of lettering on paper.")
	add(t, "flat", false, &p.Flat, same, "Draw the plan at Z zero instead of its true elevation.")
	add(t, "sizes", true, &l.SizeLabels, same, "Size labels.")
	add(t, "flows", true, &l.FlowLabels, same, "Airflow and mark at terminals and units.")
	add(t, "arrows", true, &l.Arrows, same, "Flow arrows.")
	add(t, "axes", true, &p.AxisLines, same, "Centrelines, on a layer that does not plot.")
	add(t, "hidden", true, &p.Hidden, same, "Parts of walls under higher ducts, on the hidden layer.")
	add(t, "bodies", true, &s.Bodies, same, "3D bodies, on a layer that is switched off at first.")
	add(t, "elevations", false, &l.Elevation, same, "Elevations in size labels.")
	add(t, "linings", true, &s.parts.linings, same, "Lining and insulation in size labels.")
	add(t, "single_below", "", &p.SingleBelow, orNone(duct.ParseLength),
		"Ducts up to this size are drawn as their centreline alone. Empty: none.")
	add(t, "repeat_every", by("12 m", "40 ft"), &l.RepeatEvery, orNone(duct.ParseLength),
		"Long ducts get their size again after this length. Empty: never.")
	add(t, "repeat_paper", "", &s.parts.repeatPaper, orNone(duct.ParseLength),
		"The same as a length on paper, which goes before repeat_every. Empty: repeat_every counts.")
	add(t, "size_place", "clear", &l.SizeCentred, oneOf(map[string]bool{"clear": false, "centred": true}),
		"Size labels between the walls: clear stands beside the line of the sketch, centred on it, for offices that "+
			"freeze the sketch.")
	add(t, "clear", by("25 mm", "1 in"), &p.Clear, orNone(duct.ParseLength),
		"Clearance ducts keep to ceilings and limits.")
}

func (s *Settings) declareSymbols(t *entry, by usual) {
	add(t, "arrow", by("6 mm", "1/4 in"), &s.Label.ArrowLength, plain(positive(duct.ParseLength)),
		"Length of flow arrows on paper.")
	add(t, "font", "txt", &s.Style.Font, same, "Font file of the text style.")
	add(t, "style", "TW-TEXT", &s.Style.Name, notEmpty(symbolName), "Name of the text style.")
	add(t, "width", 1.0, &s.Style.Width, between(0.3, 3), "Width factor of the text style.")
	t = t.table("marks", "")
	comments := map[symbols.Mark]string{
		symbols.MarkFlow: "Each mark is one of the styles named beside it, or \"block NAME\": a block of the drawing, " +
			"drawn along X around its insertion point, which is inserted as large as the mark and turned along the " +
			"duct. Flow arrows: slim, open, head, none.",
		symbols.MarkDropSupply: "Vertical ducts of supply air, down and up, and of other air: cross, stroke, " +
			"cross-filled, half-filled, ring, none.",
		symbols.MarkDamper: "Volume dampers: blade, bar, wedges, none.",
		symbols.MarkRated: "Where a duct crosses a rated wall of which the sketch does not say what it is rated for, " +
			"one for fire, for smoke, for both: body, bar, letters, none.",
		symbols.MarkCap:      "Capped ends: line, double, cross; a block stands beside the line.",
		symbols.MarkLevel:    "Before elevations: tip, open, none.",
		symbols.MarkTerminal: "Faces of terminals without a block of their own: frame, plain, cross, none.",
		symbols.MarkLeader:   "Tips of leaders: ring, dot, arrow, line.",
	}
	for i := range s.Marks {
		m := symbols.Mark(i)
		read := func(text string) (symbols.Choice, error) { return symbols.ParseChoice(m, text) }
		add(t, m.String(), m.Styles()[0], &s.Marks[i], read, comments[m])
	}
}

// finish puts together what several keys decide, and reports keys that contradict each other.
func (s *Settings) finish(r *reading) {
	z := &s.Sizing
	s.Sketch.Elevation = map[duct.Air]duct.Length{}
	for i, air := range duct.Airs {
		s.Sketch.Elevation[air] = s.parts.elevations[i]
	}
	own := z.Roughness
	z.Roughness = nil
	for m, v := range own {
		if z.Roughness == nil {
			z.Roughness = map[string]duct.Length{}
		}
		z.Roughness[strings.ToLower(strings.TrimSpace(m))] = v
	}
	z.RoundSteps, z.RectSteps = s.parts.steps.round, s.parts.steps.rect
	s.Sketch.Materials = materials(z.Roughness)
	s.Network = network.Spec{Snap: s.Sketch.Snap, FlexibleEnd: z.Fittings.FlexibleEnd}

	p, l := &s.Plan, &s.Label
	p.Rules = z.Fittings
	l.Scale, l.TextHeight, l.Flat, l.SingleBelow = p.Scale, p.TextHeight, p.Flat, p.SingleBelow
	l.LetterWidth, l.PlainSizes, l.Forms.PlainInches = s.Style.Width, !s.parts.linings, !s.parts.inchMarks
	if paper := s.parts.repeatPaper; paper > 0 {
		l.RepeatEvery = paper * duct.Length(p.Scale)
	}
	s.finishLabels()

	g := s.parts.guide
	g.Noise, g.Place, g.Inside = s.parts.noise.noise, s.parts.noise.where, z.Air.Temperature
	if g.Noise || g.Leak != 0 || g.Conductance != 0 {
		s.Guide = &g
	}
	checkCoefficients(z.Coefficients, r)
	optimised := z.Method == sizing.Optimised || z.UpstreamMethod == sizing.Optimised
	if optimised && (z.Costs.Duct == 0 || z.Costs.Energy == 0) {
		r.complain(errors.New("optimised needs sizing.costs.duct and sizing.costs.energy"), "sizing.method")
	}
	if f := z.Fittings; f.MitreAlways && !f.MitreVanes {
		r.complain(errors.New("mitres are \"vaned\", which have turning vanes; leave this out or choose "+
			"mitres = \"smooth\""), "sizing.mitre_vanes")
	}
	s.checkSketchNames(r)
	s.scheme.checkLooks(r)
}

// checkSketchNames reports words that give two kinds of sketch layers one name.
func (s *Settings) checkSketchNames(r *reading) {
	n := s.Sketch.Layers.Filled()
	names, seen := map[string][]string{}, map[string]bool{}
	claim := func(name string, keys ...string) {
		name = strings.ToUpper(name)
		before, ok := names[name]
		if !ok {
			names[name] = keys
			return
		}
		apart := func(keys, other []string) []string {
			return slices.DeleteFunc(slices.Clone(keys), func(k string) bool { return slices.Contains(other, k) })
		}
		both := strings.Join(append(apart(before, keys), apart(keys, before)...), " and ")
		if seen[both] {
			return
		}
		seen[both] = true
		r.complain(fmt.Errorf("%s make one name of two layers, %s; give each a word of its own", both, name),
			append(apart(before, keys), apart(keys, before)...)...)
	}
	type word struct{ key, text string }
	states := []word{{"", ""}, {"sketch.existing", "-" + n.Existing}, {"sketch.removed", "-" + n.Removed},
		{"sketch.future", "-" + n.Future}}
	parts := []word{{"sketch.duct", n.Duct}, {"sketch.flex", n.Flex}, {"sketch.term", n.Term}, {"sketch.unit", n.Unit},
		{"sketch.note", n.Note}}
	airs := sketch.AirWords()
	for w, air := range n.Air {
		airs[strings.ToUpper(w)] = air
	}
	for _, air := range slices.Sorted(maps.Keys(airs)) {
		for _, part := range parts {
			for _, state := range states {
				keys := []string{"sketch.prefix", "sketch.air." + air, part.key}
				if state.key != "" {
					keys = append(keys, state.key)
				}
				claim(n.Prefix+"-"+air+"-"+part.text+state.text, keys...)
			}
		}
	}
	claim(n.Limit, "sketch.limit")
	claim(n.Ceiling, "sketch.ceiling")
	claim(n.Rated, "sketch.rated")
}

// checkCoefficients reports keys that end in no kind of fitting.
func checkCoefficients(own map[string]float64, r *reading) {
	var kinds []duct.FittingKind
	for k := range duct.FittingKinds {
		kinds = append(kinds, k)
	}
	known := named(kinds...)
	for _, key := range slices.Sorted(maps.Keys(own)) {
		kind := strings.TrimSuffix(key[strings.LastIndex(key, "/")+1:], sizing.OnCommon)
		if _, ok := known[kind]; !ok {
			r.complain(fmt.Errorf("%q is no kind of fitting; known are %s", kind,
				strings.Join(slices.Sorted(maps.Keys(known)), ", ")), "sizing.coefficients."+key)
		}
	}
}

// materials returns the names of materials that notes may say: those of the settings and the built-in ones. That
// duct is flexible or lined is said otherwise.
func materials(own map[string]duct.Length) []string {
	out := slices.Collect(maps.Keys(own))
	for _, m := range loss.Materials() {
		out = append(out, m.Name)
	}
	out = slices.DeleteFunc(out, func(m string) bool { return m == "" || m == "lined" || strings.HasPrefix(m, "flex") })
	slices.Sort(out)
	slices.Reverse(out) // the longer of two names before the one it begins with
	return slices.Compact(out)
}
