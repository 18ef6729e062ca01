package loss

import "twinline/layout/duct"

// What follows in this file is guidance, never a limit: Twinline tells it beside its results
// and changes no size by it.

// Place is where a duct lies, as far as its noise is concerned.
type Place uint8

// The places.
const (
	InShaft      Place = iota // in a shaft or above a ceiling of solid board
	AboveCeiling              // above a suspended acoustical ceiling
	InRoom                    // in the room itself
)

func (p Place) String() string {
	return [...]string{"in a shaft or above a solid ceiling", "above a suspended ceiling", "within the room"}[p]
}

// maxVelocities holds m/s by place, then for NC or RC 45, 35 and 25 or less; rectangular, round.
var maxVelocities = [3][3][2]duct.Velocity{
	InShaft:      {{17.8, 25.4}, {12.7, 17.8}, {7.6, 12.7}},
	AboveCeiling: {{12.7, 22.9}, {8.9, 15.2}, {5.1, 10.2}},
	InRoom:       {{10.2, 19.8}, {7.4, 13.2}, {4.8, 8.6}},
}

// MaxVelocity returns the velocity up to which the noise of a duct of that shape and at that place
// should keep within room criterion nc. Between the criteria of the table the stricter one counts;
// a flat oval counts as rectangular, our own choice.
//
// Source: ASHRAE Handbook Fundamentals (2021), ch. 21, table 12.
// Valid: guidance; nc 25 to 45 (below, that of 25; above, that of 45).
func MaxVelocity(p Place, s duct.Shape, nc int) duct.Velocity {
	row := 2
	switch {
	case nc >= 45:
		row = 0
	case nc >= 35:
		row = 1
	}
	column := 0
	if s == duct.Round {
		column = 1
	}
	return maxVelocities[p][row][column]
}

// faceVelocities holds the upper bounds of NC bands and feet a minute through the free area: supply, return.
var faceVelocities = [...]struct {
	nc           int
	supply, back duct.Velocity
}{
	{20, 300, 360}, {25, 350, 420}, {30, 425, 510}, {35, 500, 600}, {40, 575, 690}, {45, 650, 780},
}

// FaceVelocity returns the velocity through the free area of a register or grille up to which its
// noise should keep within room criterion nc; return grilles may go faster.
//
// Source: public text on architectural acoustics, table for lined ducts and slots from half an inch.
// Valid: guidance; nc 20 to 45 in steps of 5, the step not above nc counts (below 20, that of 20).
func FaceVelocity(returns bool, nc int) duct.Velocity {
	v := faceVelocities[0]
	for _, f := range faceVelocities {
		if f.nc <= nc {
			v = f
		}
	}
	if returns {
		return v.back * duct.FootPerMinute
	}
	return v.supply * duct.FootPerMinute
}

// Building is a kind of building, as far as duct velocities are concerned.
type Building uint8

// The kinds.
const (
	Residential Building = iota
	Commercial           // and institutional
	Industrial
)

// usualVelocities holds feet a minute: main low and high, branch low and high.
var usualVelocities = [3][2][2]duct.Velocity{
	Residential: {{700, 900}, {500, 700}},
	Commercial:  {{1000, 1300}, {600, 900}},
	Industrial:  {{1200, 1800}, {800, 1000}},
}

// UsualVelocity returns the range of velocities usual in main or branch ducts of a kind of building.
//
// Source: public training page on recommended duct velocities.
// Valid: guidance.
func UsualVelocity(b Building, branch bool) (low, high duct.Velocity) {
	i := 0
	if branch {
		i = 1
	}
	v := usualVelocities[b][i]
	return v[0] * duct.FootPerMinute, v[1] * duct.FootPerMinute
}

// Guide is a velocity for one kind of place.
type Guide struct {
	Place    string
	Velocity duct.Velocity
	Source   string
}

// Guides returns velocities for louvres, shafts and the ends of ducts.
//
// Source: named in each; some are common practice without a source.
// Valid: guidance.
func Guides() []Guide {
	const ashrae, practice = "ASHRAE Handbook Fundamentals (2021), ch. 21", "common practice, no source"
	return []Guide{
		{"intake louvre, gross face, above 3300 L/s", 2, ashrae},
		{"exhaust louvre, gross face, above 2400 L/s", 2.5, ashrae},
		{"return shaft, free area, upper end of 4.1 to 6.1", 6.1, ashrae},
		{"outlet neck, quiet rooms, NC 25", 2.5, practice},
		{"outlet neck, offices, NC 35", 3.5, practice},
		{"outlet neck, shops, NC 40", 4.5, practice},
		{"flexible runout", 4, practice},
		{"last branch, bedrooms", 2.5, practice},
	}
}
