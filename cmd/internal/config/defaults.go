package config

// Defaults returns the settings of an office that has none, for a metric or an inch drawing.
// Rates, velocities and radii are common practice; the sizes and the air are as the
// settings' comments say.
func Defaults(metric bool) Settings {
	s := Settings{
		Air: Air{Temperature: "20 °C", Altitude: "0 m", Ambient: "20 °C"},
		Sizing: Sizing{
			Method: "equal-friction", Rate: "0.65 Pa/m", Velocity: "4.5 m/s", MaxVelocity: "7.5 m/s",
			Shape: "round", MaxAspect: 4, Steps: "EN", Least: "100 mm",
			FlexibleMost: "2 m", FlexibleRadius: 1.5, FlexibleStretch: 0.96,
			ElbowRound: 1.5, ElbowRect: 1, ElbowLeast: 0.7, ElbowMake: "smooth", Mitres: "smooth", MitreVanes: true,
			ReducerAngle: "30 deg", ReducerLeast: "100 mm",
			TakeoffRound: "plain", TakeoffRect: "entry-45",
			// A year and twenty of them at 5 %; the costs themselves are the office's. Common practice.
			Costs:    Costs{Hours: 4000, Worth: 12.5, Efficiency: 0.6},
			Guidance: Guidance{Criterion: 35, Around: "20 °C"},
		},
		Elevation: Elevation{"3.3 m", "3.3 m", "3.3 m", "3.3 m", "3.3 m", "3.3 m", "2.7 m"},
		Sketch: Sketch{
			Snap: "25 mm", Reach: "1.2 m", Face: "600 mm",
			Prefix: "SK", Duct: "DUCT", Flex: "FLEX", Term: "TERM", Unit: "UNIT", Note: "NOTE",
			Existing: "EX", Removed: "REM", Future: "FUT", Limit: "SK-LIMIT", Ceiling: "SK-CEIL", Rated: "SK-RATED",
		},
		Draw: Draw{
			Scale: "1:50", TextHeight: "2.5 mm", Sizes: true, Flows: true, Arrows: true, Axes: true,
			Hidden: true, Bodies: true, Linings: true, RepeatEvery: "12 m", Clear: "25 mm", SizePlace: "clear", Labels: usualLabels(),
		},
		Layers: Layers{
			Pattern: "TW-{air}-{part}-{status}", Check: "TW-CHECK", Cloud: "TW-CLOUD",
			// By air as EN 16798-3 gives them in words: supply blue, extract yellow, exhaust brown,
			// outdoor green, recirculation orange, transfer grey; the numbers are ours. The yellow is
			// a dark one that can be read on paper.
			Color: map[string]int{"SUP": 5, "ETA": 42, "EHA": 34, "ODA": 94, "RCA": 30, "TRA": 8,
				"AXIS": 8, "HIDE": 9, "CHECK": 1, "CLOUD": 6},
			Weight: map[string]string{"NEW": "0.35 mm", "EX": "0.18 mm", "REM": "0.25 mm", "FUT": "0.25 mm",
				"JOINT": "0.18 mm", "AXIS": "0.13 mm", "HIDE": "0.18 mm", "VERT": "0.18 mm", "SIZE": "0.18 mm",
				"FLOW": "0.18 mm", "TERM": "0.25 mm", "BODY": "0.13 mm", "CHECK": "0.50 mm", "CLOUD": "0.35 mm"},
			Linetype: map[string]string{"REM": "dashed", "AXIS": "axis", "HIDE": "hidden", "SIZE": "solid", "FLOW": "solid", "VERT": "solid"},
		},
		Symbols:  Symbols{Arrow: "6 mm", Font: "txt", Style: "TW-TEXT", Width: 1, Marks: usualMarks()},
		Schedule: Schedule{Waste: 0.2},
	}
	if metric {
		return s
	}
	s.Air.Temperature, s.Air.Altitude, s.Air.Ambient = "20 °C", "0 m", "20 °C"
	z := &s.Sizing
	z.Rate, z.Velocity, z.MaxVelocity = "0.08 in.wg/100ft", "900 fpm", "1500 fpm"
	z.Steps, z.Least, z.ReducerLeast, z.FlexibleMost = "even-inch", "4 in", "4 in", "6 ft"
	s.Elevation = Elevation{"11 ft", "11 ft", "11 ft", "11 ft", "11 ft", "11 ft", "9 ft"}
	s.Sketch.Snap, s.Sketch.Reach, s.Sketch.Face = "1 in", "4 ft", "24 in"
	s.Draw.Scale, s.Draw.TextHeight, s.Draw.RepeatEvery, s.Draw.Clear = "1:48", "3/32 in", "40 ft", "1 in"
	s.Symbols.Arrow = "1/4 in"
	return s
}
