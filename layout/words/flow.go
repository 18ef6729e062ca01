package words

import (
	"iter"
	"math"

	"twinline/layout/duct"
)

// FlowUnit is a unit airflows are lettered in.
type FlowUnit struct {
	name   string
	one    duct.Flow
	places int // decimals a drafter would type in it
}

// The units of airflow.
var (
	CubicFeet    = FlowUnit{"cfm", duct.CubicFootPerMinute, 0}
	Litres       = FlowUnit{"L/s", duct.LitrePerSecond, 1}
	MetresHour   = FlowUnit{"m3/h", duct.CubicMetrePerHour, 0}
	MetresSecond = FlowUnit{"m3/s", 1, exactPlaces}
)

// GivenIn returns the unit flows are lettered in: that of the drawing, but where they are round numbers only in
// another, they were given in that one and are lettered as they were given.
func (w Words) GivenIn(flows iter.Seq[duct.Flow]) FlowUnit {
	order := []FlowUnit{Litres, MetresHour, CubicFeet}
	if w.inches {
		order = []FlowUnit{CubicFeet, Litres, MetresHour}
	}
	for _, u := range order {
		round := true
		for q := range flows {
			round = round && u.exact(q, u.places)
		}
		if round {
			return u
		}
	}
	return order[0]
}

// flowNoise is the relative error a flow may have picked up by being turned into SI units and added up.
const flowNoise = 5e-7

// exact reports whether q has no more decimals than that in u.
func (u FlowUnit) exact(q duct.Flow, places int) bool {
	v := float64(q / u.one)
	k := math.Pow10(places)
	return math.Abs(math.Round(v*k)/k-v) <= flowNoise*math.Abs(v)
}

// exactPlaces is the number of decimals of a flow that is kept as it was given, where its noise leaves as many.
const exactPlaces = 3

// noiseShare is the part of the last decimal that noise may be, for that decimal to say that a flow is a round number.
const noiseShare = 0.02

// given returns how many decimals a flow of v units can be known to have been given with: the larger it is, the fewer.
func given(v float64) (places int) {
	for places = exactPlaces; places > 0 && flowNoise*math.Abs(v)*math.Pow10(places) > noiseShare; places-- {
	}
	return places
}

// Text writes q: as given where it has few decimals, else rounded to three figures or whole numbers.
func (u FlowUnit) Text(q duct.Flow) string {
	v, places := float64(q/u.one), 0
	switch a := math.Abs(v); {
	case u == MetresSecond:
		places = exactPlaces
	case u.exact(q, given(v)):
		places = given(v)
	case a < 10:
		places = 2
	case a < 100:
		places = 1
	}
	return Decimal(v, places) + " " + u.name
}

// Stepped writes q rounded to the next multiple of step, in the unit; a step of 0 rounds as Text does.
func (u FlowUnit) Stepped(q duct.Flow, step float64) string {
	if !(step > 0) {
		return u.Text(q)
	}
	return Decimal(math.Round(float64(q/u.one)/step)*step, exactPlaces) + " " + u.name
}
