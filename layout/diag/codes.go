package diag

import "maps"

// Code names a rule a finding is about. The catalogue below is the only list.
type Code string

// Info is what the catalogue says of a code.
type Info struct {
	Level   Level
	Meaning string
}

// The codes, by the stage that finds them.
const (
	// reading the drawing
	NoSketch     Code = "no-sketch"
	NoUnits      Code = "no-units"
	HiddenLayer  Code = "hidden-layer"
	UnknownLayer Code = "unknown-layer"
	BadGeometry  Code = "bad-geometry"
	BadBlock     Code = "bad-block"
	// reading the sketch
	UnknownWord   Code = "unknown-word"
	UnclaimedNote Code = "unclaimed-note"
	AmbiguousNote Code = "ambiguous-note"
	BadValue      Code = "bad-value"
	TwoValues     Code = "two-values"
	Unnamed       Code = "unnamed"
	Overruled     Code = "overruled"
	SizeAsNeck    Code = "size-as-neck"
	// building the network
	NearMiss       Code = "near-miss"
	NoHead         Code = "no-head"
	TwoHeads       Code = "two-heads"
	Loop           Code = "loop"
	NoAirflow      Code = "no-airflow"
	NoPath         Code = "no-path"
	DeadEnd        Code = "dead-end"
	Overlap        Code = "overlap"
	MixedAir       Code = "mixed-air"
	LevelStep      Code = "level-step"
	Riser          Code = "riser"
	ExistingBranch Code = "existing-branch"
	NoDuct         Code = "no-duct"
	FlowDiffers    Code = "flow-differs"
	HeadChosen     Code = "head-chosen"
	// sizing
	ExistingUnsized Code = "existing-unsized"
	OverVelocity    Code = "over-velocity"
	OverRate        Code = "over-rate"
	NoSize          Code = "no-size"
	SizeJump        Code = "size-jump"
	OutsideRange    Code = "outside-range"
	PressureShort   Code = "pressure-short"
	Imbalance       Code = "imbalance"
	FlexLong        Code = "flex-long"
	ShapeChanged    Code = "shape-changed"
	MethodChanged   Code = "method-changed"
	// drawing
	NoRoom        Code = "no-room"
	TightFitting  Code = "tight-fitting"
	Clash         Code = "clash"
	Clearance     Code = "clearance"
	RatedCrossing Code = "rated-crossing"
	LabelLeftOut  Code = "label-left-out"
	MissingBlock  Code = "missing-block"
	// writing
	EditedWork Code = "edited-work"
	CopiedWork Code = "copied-work"
	LostMarks  Code = "lost-marks"
	StrayWork  Code = "stray-work"
)

var catalogue = map[Code]Info{
	NoSketch:     {Error, "nothing in the drawing lies on a sketch layer"},
	NoUnits:      {Error, "neither the drawing nor the settings say what a drawing unit is"},
	HiddenLayer:  {Note, "a sketch layer is frozen or off and was not read"},
	UnknownLayer: {Warning, "a layer begins like a sketch layer but is none"},
	BadGeometry:  {Warning, "an entity on a sketch layer cannot be read or is of a kind not read there"},
	BadBlock:     {Warning, "a block is missing, refers to itself or is nested too deep"},

	UnknownWord:   {Warning, "a word of a note that no rule knows"},
	UnclaimedNote: {Error, "a note about nothing within reach"},
	AmbiguousNote: {Error, "a note equally near to two things it can be about"},
	BadValue:      {Error, "a value that cannot be: negative, zero, or no number"},
	TwoValues:     {Error, "one thing is given two different values"},
	Unnamed:       {Note, "a terminal without a mark was given one"},
	Overruled:     {Note, "a note differs from an attribute or from the geometry, which comes first"},
	SizeAsNeck:    {Note, "a size between a terminal and the duct that leads to it was taken as the terminal's neck"},

	NearMiss:       {Warning, "ends that almost meet"},
	NoHead:         {Error, "a connected system has no unit at its head"},
	TwoHeads:       {Error, "a connected system has two heads"},
	Loop:           {Error, "ducts close a loop"},
	NoAirflow:      {Error, "a terminal has no airflow"},
	NoPath:         {Error, "a terminal hangs on no duct"},
	DeadEnd:        {Warning, "a run leads to no terminal; it is capped"},
	Overlap:        {Error, "two runs lie on top of each other"},
	MixedAir:       {Error, "runs of different air touch"},
	LevelStep:      {Warning, "a duct noted by its bottom or top does not meet in height the duct it joins"},
	Riser:          {Note, "a riser was put between ends at two elevations"},
	ExistingBranch: {Note, "a new branch leaves an existing main"},
	NoDuct:         {Warning, "no duct ends at a unit"},
	FlowDiffers:    {Warning, "the airflow noted at a unit is not the sum of its terminals"},
	HeadChosen:     {Warning, "of several units that could be the head of a system one was taken"},

	ExistingUnsized: {Warning, "an existing run has no size and was sized like a new one"},
	OverVelocity:    {Warning, "a kept size is over the velocity limit"},
	OverRate:        {Warning, "a kept size is over the friction limit"},
	NoSize:          {Error, "no step of the sizes keeps within the limits"},
	SizeJump:        {Note, "rounding up made a run much larger than its exact size"},
	OutsideRange:    {Note, "a coefficient was taken at the edge of its source's range"},
	PressureShort:   {Warning, "the unit has less pressure than the system needs"},
	Imbalance:       {Warning, "a path would need more throttling than dampers should do"},
	FlexLong:        {Warning, "a flexible duct is longer than it should be"},
	ShapeChanged:    {Note, "a run became rectangular so as to fit under its height limit"},
	MethodChanged:   {Note, "a system was sized by another method than the settings name"},

	NoRoom:        {Warning, "a fitting needs more length than there is"},
	TightFitting:  {Note, "a fitting was made shorter than usual to fit"},
	Clash:         {Warning, "two ducts take the same space"},
	Clearance:     {Warning, "a duct comes too near to a ceiling or a limit"},
	RatedCrossing: {Warning, "a duct crosses a rated wall; to be settled by others"},
	LabelLeftOut:  {Note, "there is no free place for a label"},
	MissingBlock:  {Warning, "a block the settings name for a mark is not in the drawing or shows nothing"},

	EditedWork: {Warning, "work drawn by an earlier run was changed by hand"},
	CopiedWork: {Note, "a copy of work drawn by an earlier run was left as it is"},
	LostMarks: {Error,
		"the program that saved the drawing dropped the marks of all earlier work, which would be drawn twice"},
	StrayWork: {Warning, "entities that are not ours lie on layers of ours and stay as they are"},
}

// Level returns the level of c; a code not in the catalogue is an error.
func (c Code) Level() Level {
	if i, ok := catalogue[c]; ok {
		return i.Level
	}
	return Error
}

// Catalogue returns a copy of the whole list.
func Catalogue() map[Code]Info {
	out := make(map[Code]Info, len(catalogue))
	maps.Copy(out, catalogue)
	return out
}
