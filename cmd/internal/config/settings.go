// Package config reads an office's settings and turns them into the small spec each stage
// asks for. It owns the defaults.
package config

// Settings is a settings file. Quantities are strings with their unit. An empty string means
// "none" where the comment says so.
type Settings struct {
	Units     string    `toml:"units" comment:"What one drawing unit is: inch, foot, mm, cm or m. Empty: what the drawing says ($INSUNITS)."`
	Air       Air       `toml:"air"`
	Sizing    Sizing    `toml:"sizing"`
	Elevation Elevation `toml:"elevation"`
	Sketch    Sketch    `toml:"sketch"`
	Draw      Draw      `toml:"draw"`
	Layers    Layers    `toml:"layers"`
	Symbols   Symbols   `toml:"symbols"`
	Schedule  Schedule  `toml:"schedule"`
}

// Air is the state of the air.
type Air struct {
	Temperature string  `toml:"temperature" comment:"Air in the ducts. 20 °C at 0 m and humidity 0 is standard air, 1.204 kg/m³."`
	Altitude    string  `toml:"altitude" comment:"Height of the site above the sea."`
	Humidity    float64 `toml:"humidity" comment:"Relative humidity, 0 to 1."`
	Density     string  `toml:"density" comment:"Density of the air in the ducts, such as 1.2 kg/m3 or 0.075 lb/ft3. Empty: what follows from the three above."`
	StackEffect bool    `toml:"stack_effect" comment:"Count the buoyancy of vertical runs against air of the ambient temperature."`
	Ambient     string  `toml:"ambient" comment:"Air around vertical runs, for the stack effect."`
}

// Sizing is how ducts are sized and fittings made.
type Sizing struct {
	Method         string `toml:"method" comment:"equal-friction, velocity, static-regain, balanced, or optimised (duct cost against fan energy; needs sizing.costs)."`
	UpstreamMethod string `toml:"upstream_method" comment:"Method for what lies upstream of in-line boxes. Empty: the same."`
	Rate           string `toml:"rate" comment:"Friction limit; the aim of equal friction."`
	Velocity       string `toml:"velocity" comment:"The aim of method velocity."`
	MaxVelocity    string `toml:"max_velocity" comment:"Velocity limit of every run. Empty: none."`

	VelocityMain      string `toml:"velocity_main" comment:"The aim of method velocity in mains: what goes straight on from the unit. Empty: sizing.velocity."`
	VelocityBranch    string `toml:"velocity_branch" comment:"The same in branches."`
	VelocityRunout    string `toml:"velocity_runout" comment:"The same in runs to a single terminal."`
	MaxVelocityMain   string `toml:"max_velocity_main" comment:"Velocity limit of mains. Empty: sizing.max_velocity."`
	MaxVelocityBranch string `toml:"max_velocity_branch" comment:"The same of branches."`
	MaxVelocityRunout string `toml:"max_velocity_runout" comment:"The same of runs to a single terminal."`

	Shape           string  `toml:"shape" comment:"round, rect or oval, where no note says otherwise."`
	MaxHeight       string  `toml:"max_height" comment:"Height limit of every duct. Empty: none."`
	MaxAspect       float64 `toml:"max_aspect" comment:"Longer side over shorter side at the most."`
	Steps           any     `toml:"steps" comment:"Sizes to choose from: even-inch, inch, EN (recommended sizes of EN 1506 and EN 1505), EN-all, 50mm, an even step such as 25 mm, a list such as [\"100 mm\", \"125 mm\"], or exact: not rounded, to compare with calculations."`
	Least           string  `toml:"least" comment:"Smallest size."`
	FlexibleEnd     string  `toml:"flexible_end" comment:"This last part of a rigid run before a terminal is flexible. Empty: none."`
	FlexibleMost    string  `toml:"flexible_most" comment:"Longest flexible duct without a finding."`
	FlexibleRadius  float64 `toml:"flexible_radius" comment:"Least bend radius of flexible duct, on the centreline, in diameters."`
	FlexibleStretch float64 `toml:"flexible_stretch" comment:"Installed length of flexible duct over its full length: 1 is fully stretched."`

	ElbowRound    float64 `toml:"elbow_round" comment:"Centreline radius of round elbows, in diameters."`
	ElbowRect     float64 `toml:"elbow_rect" comment:"Centreline radius of rectangular and flat oval elbows, in widths."`
	ElbowLeast    float64 `toml:"elbow_least" comment:"The smallest such radius; where less room is left the elbow is mitred."`
	ElbowMake     string  `toml:"elbow_make" comment:"How round elbows are made, for their loss: smooth, stamped, 3-gore, 4-gore, 5-gore or 7-gore."`
	Mitres        string  `toml:"mitres" comment:"Rectangular elbows: smooth (mitred only where there is no room), vaned (always mitred, with turning vanes)."`
	MitreVanes    bool    `toml:"mitre_vanes" comment:"Mitred rectangular elbows have turning vanes."`
	ReducerAngle  string  `toml:"reducer_angle" comment:"Angle between opposite sloped sides of a size change."`
	ReducerLeast  string  `toml:"reducer_least" comment:"Shortest size change."`
	TakeoffRound  string  `toml:"takeoff_round" comment:"How round branches leave: plain, entry-45 or conical."`
	TakeoffRect   string  `toml:"takeoff_rect" comment:"How rectangular branches leave: plain or entry-45."`
	BranchDampers bool    `toml:"branch_dampers" comment:"A volume damper at every branch. Open it costs C = 0.05 on the branch's velocity pressure (from memory), or what damper in sizing.coefficients says."`

	Roughness    map[string]string  `toml:"roughness" comment:"Roughness by material (galvanised, flex, lined, ...): overrides the built-in values."`
	Coefficients map[string]float64 `toml:"coefficients" comment:"Loss coefficients of the office's own, on the velocity pressure of the piece itself: by kind of fitting (elbow, takeoff, ...), of one run: \"RUN-KEY/kind\", or at one node: \"NODE-KEY/kind\", with the keys that --explain prints. Where a table has it on the velocity pressure of the common leg of a junction: \"takeoff on common\". A note such as C=0.35 beside a run goes before them."`

	Costs    Costs    `toml:"costs"`
	Guidance Guidance `toml:"guidance"`
}

// Costs are what the optimised method weighs, in any one currency.
type Costs struct {
	Duct       float64 `toml:"duct" comment:"A square metre of duct, installed. 0: no costs; the optimised method then sizes by equal friction."`
	Energy     float64 `toml:"energy" comment:"A kilowatt hour."`
	Hours      float64 `toml:"hours" comment:"Of running in a year."`
	Worth      float64 `toml:"worth" comment:"Present worth of one a year over the life of the ducts."`
	Efficiency float64 `toml:"efficiency" comment:"Of fan and motor together, 0 to 1."`
}

// Guidance is what twinline size tells beside sizes and pressures. It changes no size.
type Guidance struct {
	Noise       string  `toml:"noise" comment:"Where the ducts lie, to hold their velocity against what a room criterion allows and to estimate their noise, roughly: shaft (or above a solid ceiling), ceiling (a suspended one), room. Empty: not asked for."`
	Criterion   int     `toml:"criterion" comment:"NC or RC of the rooms."`
	Leakage     string  `toml:"leakage" comment:"Tightness class of the ducts: A, B, C, D, or ATC 1 to ATC 6. Empty: leakage is not asked for."`
	Conductance float64 `toml:"conductance" comment:"Heat through a square metre of duct wall with its insulation, W/(m2 K). 0: heat is not asked for."`
	Around      string  `toml:"around" comment:"Air around the ducts, for heat; the air enters them at air.temperature."`
}

// Elevation holds default elevations: the centreline of ducts by air, and the ceiling.
type Elevation struct {
	SUP     string `toml:"SUP" comment:"Centreline of ducts that neither their geometry nor a note places."`
	ETA     string `toml:"ETA"`
	EHA     string `toml:"EHA"`
	ODA     string `toml:"ODA"`
	RCA     string `toml:"RCA"`
	TRA     string `toml:"TRA"`
	Ceiling string `toml:"ceiling" comment:"Terminals, where neither their geometry, a note nor a ceiling outline places them."`
}

// Sketch is how the sketch is read.
type Sketch struct {
	Snap  string `toml:"snap" comment:"Ends nearer than this join."`
	Reach string `toml:"reach" comment:"A note is about nothing farther than this."`
	Face  string `toml:"face" comment:"Side of the face of a terminal drawn as a circle or a point."`

	Prefix   string            `toml:"prefix" comment:"Words of sketch layer names: PREFIX-AIR-PART-STATUS."`
	Duct     string            `toml:"duct"`
	Flex     string            `toml:"flex"`
	Term     string            `toml:"term"`
	Unit     string            `toml:"unit"`
	Note     string            `toml:"note"`
	Existing string            `toml:"existing"`
	Removed  string            `toml:"removed"`
	Future   string            `toml:"future"`
	Limit    string            `toml:"limit"`
	Ceiling  string            `toml:"ceiling"`
	Rated    string            `toml:"rated"`
	Air      map[string]string `toml:"air" comment:"More words for an air, such as LUFT = \"SUP\"."`
}

// Draw is what the plan shows and how large.
type Draw struct {
	Scale       string `toml:"scale" comment:"Plot scale."`
	TextHeight  string `toml:"text_height" comment:"Height of lettering on paper."`
	Flat        bool   `toml:"flat" comment:"Draw the plan at Z zero instead of its true elevation."`
	Sizes       bool   `toml:"sizes" comment:"Size labels."`
	Flows       bool   `toml:"flows" comment:"Airflow and mark at terminals and units."`
	Arrows      bool   `toml:"arrows" comment:"Flow arrows."`
	Axes        bool   `toml:"axes" comment:"Centrelines, on a layer that does not plot."`
	Hidden      bool   `toml:"hidden" comment:"Parts of walls under higher ducts, on the hidden layer."`
	Bodies      bool   `toml:"bodies" comment:"3D bodies, on a layer that is switched off at first."`
	Elevations  bool   `toml:"elevations" comment:"Elevations in size labels."`
	Linings     bool   `toml:"linings" comment:"Lining and insulation in size labels."`
	SingleBelow string `toml:"single_below" comment:"Ducts up to this size are drawn as their centreline alone. Empty: none."`
	RepeatEvery string `toml:"repeat_every" comment:"Long ducts get their size again after this length. Empty: never."`
	RepeatPaper string `toml:"repeat_paper" comment:"The same as a length on paper, which goes before repeat_every. Empty: repeat_every counts."`
	SizePlace   string `toml:"size_place" comment:"Size labels between the walls: clear stands beside the line of the sketch, centred on it, for offices that freeze the sketch."`
	Clear       string `toml:"clear" comment:"Clearance ducts keep to ceilings and limits."`
	Labels      Labels `toml:"labels"`
}

// Layers is the layer scheme.
type Layers struct {
	Pattern  string            `toml:"pattern" comment:"Name of a layer; {air}, {part} and {status} stand for the words below."`
	Check    string            `toml:"check" comment:"Layer of findings."`
	Cloud    string            `toml:"cloud" comment:"Layer of revision clouds."`
	Air      map[string]string `toml:"air" comment:"Words for the airs where they are not SUP, ETA, EHA, ODA, RCA, TRA."`
	Part     map[string]string `toml:"part" comment:"Words for the parts where they are not WALL, JOINT, AXIS, HIDE, FLEX, VERT, TERM, DAMP, SIZE, FLOW, BODY."`
	Status   map[string]string `toml:"status" comment:"Words for the states where they are not NEW, EX, REM, FUT."`
	Color    map[string]int    `toml:"color" comment:"Colour numbers 1 to 255, by air, or by part or status (which win)."`
	Weight   map[string]string `toml:"weight" comment:"Line weights by status or part (which wins), such as \"0.35 mm\"."`
	Linetype map[string]string `toml:"linetype" comment:"Line types by status or part (which wins): solid, dashed, hidden or axis."`
}

// Symbols is how marks and lettering look.
type Symbols struct {
	Arrow string     `toml:"arrow" comment:"Length of flow arrows on paper."`
	Font  string     `toml:"font" comment:"Font file of the text style."`
	Style string     `toml:"style" comment:"Name of the text style."`
	Width float64    `toml:"width" comment:"Width factor of the text style."`
	Marks MarkStyles `toml:"marks"`
}

// Schedule is what schedules and quantities count and say.
type Schedule struct {
	Project string  `toml:"project" comment:"Name of the project, at the top of schedules."`
	Waste   float64 `toml:"waste" comment:"Allowance on sheet metal, 0.2 is 20 %."`
}
