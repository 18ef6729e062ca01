package sizing

import "twinline/layout/duct"

// reason words a decision for a reader: what was done, the rule with symbols, and where that comes from.
type reason struct{ what, formula, source string }

// withinLimits is the rule of a step within limits.
const withinLimits = "f/D rho V^2/2 <= sizing.rate, V <= sizing.max_velocity"

// limitReasons word what is decided by limits alone, by method.
var limitReasons = map[Method]reason{
	EqualFriction: {"The smallest step whose friction and velocity keep within the limits", withinLimits,
		"equal friction; sizing.rate, sizing.max_velocity"},
	ConstVelocity: {"The smallest step whose velocity keeps within the limit", "Q/A <= V",
		"constant velocity; sizing.velocity, sizing.max_velocity"},
	StaticRegain: {"The first duct, by the largest velocity allowed", "Q/A <= V", "static regain; sizing.max_velocity"},
	Optimised: {"The smallest step whose friction and velocity keep within the limits; " +
		"there is no loss here to weigh against the cost of duct",
		withinLimits, "equal friction; sizing.rate, sizing.max_velocity"},
	Balanced: {"The smallest step whose friction and velocity keep within the limits; " +
		"making it smaller would not balance better",
		withinLimits, "balanced; sizing.rate, sizing.max_velocity"},
}

// reasons word the other decisions.
var reasons = map[duct.Decision]reason{
	duct.NotedSize:    {"The size is kept: a note says it", "", "note on the drawing"},
	duct.ExistingSize: {"The size is kept: the run exists", "", "note on the drawing"},
	duct.NeckSize:     {"Flexible duct with the size of the neck it ends on", "", "neck of the terminal"},
	duct.NoAir:        {"No air flows: the least size", "", "sizing.least"},
	duct.WhatItFeeds: {"The smallest step that is no smaller than the pieces it feeds",
		"D >= D of what it feeds; sides likewise; equivalent diameters where shapes differ",
		"sizing rule: no piece smaller than the one it feeds"},
	duct.StaticGain: {"The step whose static pressure gain meets its loss best",
		"pv before - pv here - loss of the duct to its end, nearest to 0",
		"static regain, exact energy form; ASHRAE Handbook Fundamentals, ch. 21"},
	duct.NoStaticGain: {"No size regains the loss, up to that of what feeds it or twice the area by friction; " +
		"the smallest step whose friction and velocity keep within the limits, no larger than what feeds it",
		withinLimits,
		"static regain; where it cannot be had equal friction, sizing.rate: our own rule"},
	duct.LeastCost: {"The step nearest to the diameter at which duct and fan energy cost least together",
		"K = m^0.2 Q^0.4 L, P = (0.2 z2 K/z1)^0.833, shared out by (Ki/K)^0.833; D = 0.959 (m rho)^0.2 Q^0.4 dp^-0.2",
		"T-method, Tsal, Behls and Mangel (1988); sizing costs"},
	duct.HeldOn: {"The size of the duct before it goes on, " +
		"since there is no room for a change of size before the next branch",
		"length between the branches < what both take + the change of size",
		"sizing rule: the size changes after the last of branches that follow each other closely; common practice"},
	duct.Budget: {"Made smaller, so that less is left to throttle",
		"loss <= its share of what the deciding path loses from the common node on; V <= sizing.max_velocity",
		"balanced; ASHRAE Handbook Fundamentals, ch. 21"},
}

// reasonOf words a decision. Which of the limits decided, the sizes that were tried against them show.
func reasonOf(by duct.Decision, m Method) reason {
	if r, ok := reasons[by]; ok {
		return r
	}
	return limitReasons[m]
}
