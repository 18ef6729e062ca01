package loss

import "twinline/layout/duct"

// What follows in this file is guidance, never a limit: Twinline lists it beside its results
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
