package sizing

import "twinline/layout/duct"

// The lines of Why, by what decided the size. They are shared, never changed.
var (
	whyKept = map[keeping][]duct.Reason{
		noted:    {{What: "The size is kept: a note says it", Source: "note on the drawing"}},
		existing: {{What: "The size is kept: the run exists", Source: "note on the drawing"}},
		necked:   {{What: "Flexible duct with the size of the neck it ends on", Source: "neck of the terminal"}},
	}
	whyMethod = map[Method][]duct.Reason{
		EqualFriction: {{What: "The smallest step whose friction and velocity keep within the limits",
			Formula: "f/D rho V^2/2 <= sizing.rate, V <= sizing.max_velocity", Source: "equal friction; sizing.rate, sizing.max_velocity"}},
		ConstVelocity: {{What: "The smallest step whose velocity keeps within the limit",
			Formula: "Q/A <= V", Source: "constant velocity; sizing.velocity, sizing.max_velocity"}},
		StaticRegain: {{What: "The first duct, by the largest velocity allowed",
			Formula: "Q/A <= V", Source: "static regain; sizing.max_velocity"}},
		Optimised: {{What: "The smallest step whose friction and velocity keep within the limits; there is no loss here to weigh against the cost of duct",
			Formula: "f/D rho V^2/2 <= sizing.rate, V <= sizing.max_velocity", Source: "equal friction; sizing.rate, sizing.max_velocity"}},
		Balanced: {{What: "The smallest step whose friction and velocity keep within the limits; making it smaller would not balance better",
			Formula: "f/D rho V^2/2 <= sizing.rate, V <= sizing.max_velocity", Source: "balanced; sizing.rate, sizing.max_velocity"}},
	}
	whyReason = map[reason][]duct.Reason{
		byFlow: {{What: "No air flows: the least size", Source: "sizing.least"}},
		byFeeds: {{What: "The smallest step that is no smaller than the pieces it feeds",
			Formula: "D >= D of what it feeds; sides likewise; equivalent diameters where shapes differ", Source: "sizing rule: no piece smaller than the one it feeds"}},
		byRegain: {{What: "The step whose static pressure gain meets its loss best",
			Formula: "pv before - pv here - loss of the duct to its end, nearest to 0", Source: "static regain, exact energy form; ASHRAE Handbook Fundamentals, ch. 21"}},
		byFriction: {{What: "No size regains the loss, up to that of what feeds it or twice the area by friction; the smallest step whose friction and velocity keep within the limits, no larger than what feeds it",
			Formula: "f/D rho V^2/2 <= sizing.rate, V <= sizing.max_velocity", Source: "static regain; where it cannot be had equal friction, sizing.rate: our own rule"}},
		byCost: {{What: "The step nearest to the diameter at which duct and fan energy cost least together",
			Formula: "K = m^0.2 Q^0.4 L, P = (0.2 z2 K/z1)^0.833, shared out by (Ki/K)^0.833; D = 0.959 (m rho)^0.2 Q^0.4 dp^-0.2", Source: "T-method, Tsal, Behls and Mangel (1988); sizing costs"}},
		byRoom: {{What: "The size of the duct before it goes on, since there is no room for a change of size before the next branch",
			Formula: "length between the branches < what both take + the change of size", Source: "sizing rule: the size changes after the last of branches that follow each other closely; common practice"}},
		byBudget: {{What: "Made smaller, so that less is left to throttle",
			Formula: "loss <= its share of what the deciding path loses from the common node on; V <= sizing.max_velocity", Source: "balanced; ASHRAE Handbook Fundamentals, ch. 21"}},
	}
)

// why returns the lines of why a section has its size.
func (st *section) why() []duct.Reason {
	switch {
	case st.keep != found:
		return whyKept[st.keep]
	case st.reason != byLimits:
		return whyReason[st.reason]
	}
	return whyMethod[st.method]
}

// decided reports whether a run's size was decided by that reason.
func decided(res *duct.RunResult, by reason) bool {
	return len(res.Why) > 0 && &res.Why[0] == &whyReason[by][0]
}
