package pipeline

import "slices"

// Sources of the expectations. Sizes of 60, 100, ... l/s by the default method come from the
// friction functions of python3-fluids (Colebrook, 0.09 mm) over the recommended sizes.
const (
	table        = "the table of notes"
	inches       = "the table of notes; 1 in = 25.4 mm"
	feet         = "the table of notes; 1 ft = 304.8 mm"
	friction     = "python3-fluids: the first size within 0.65 Pa/m and 7.5 m/s"
	frictionInch = "python3-fluids: the first even inch within 0.08 in.wg/100 ft and 1500 fpm"
	drawn        = "as drawn"
	joining      = "the convention: connecting"
	heights      = "the convention: elevations"
	sums         = "flows added by hand"
)

var caseSheets = []caseSheet{
	{"notes-mm", "", "", slices.Concat(
		rows("size 4,0", table, "ø250", "ø250", "ø254", "ø250", "450x250", "450x250", "457.2x254", "550x250 oval",
			"ø317.5",
			"ø250", "450x250", "ø250", "ø250", "", "", "", "", "", "ø250", "ø200", "ø250", "450x300", "ø200",
			"550x250 oval", "ø250", "ø250"),
		rows("shape 4,0", table, "", "", "", "", "", "", "", "", "", "", "", "", "", "rect", "rect", "oval", "rect",
			"rect", "round"),
		rows("low 4,0 150", table, "", "", "", "", "", "", "", "", "", "", "", "", "", "", "yes", "yes", "", "yes"),
		rows("low 4,0 177.8", inches, "", "", "", "", "", "", "", "", "", "", "", "", "", "", "", "", "yes"),
		rows("levels 4,0", heights, "3300 3300", "", "", "", "", "", "", "", "", "", "3000 3000", "", "", "", "", "",
			"", "",
			"3300 3300", "3000 3000", "3375 3375", "3150 3150", "3100 3100", "3300 3300", "", "3000 3000"),
		rows("terminal S-1", "default ceiling", "8000,0,2700 60 l/s 0 Pa"),
	)},
	{"notes-inch", "units = \"inch\"", "", slices.Concat(
		rows("size 4,0", inches, "ø254", "ø254", "ø254", "457.2x254", "457.2x254", "558.8x254 oval", "", "ø266.7",
			"ø266.7",
			"ø203.2", "ø203.2", "457.2x304.8", "ø304.8", "ø203.2", "ø203.2", "ø203.2", "ø254", "ø304.8"),
		rows("levels 4,0", feet, "3352.8 3352.8", "", "", "", "", "", "", "", "", "3200.4 3200.4", "3200.4 3200.4",
			"3352.8 3352.8",
			"3302 3302", "3060.7 3060.7", "3048 3048", "3200.4 3200.4"),
		rows("shape 4,0", table, "", "", "", "", "", "", "rect", "", "", "", "", "", "", "", "", "", "", "", "rect",
			"rect"),
		rows("low 4,0 152.4", inches, "", "", "", "", "", "", "yes"),
		rows("terminal S-1", "default ceiling 9 ft; 200 cfm of 4.719474E-4 m3/s", "8000,0,2743.2 94.4 l/s 0 Pa"),
	)},
	{"notes-foot", "", "over-rate", slices.Concat(
		rows("size 4,0", feet, "ø304.8", "ø152.4", "457.2x228.6", "ø203.2", "ø254", "ø304.8"),
		rows("levels 4,0", feet, "3352.8 3352.8", "", "", "3200.4 3200.4", "", "3352.8 3352.8"),
		rows("low 4,0 152.4", feet, "", "", "", "", "", "", "yes"),
	)},
	{"notes-metre", "", "", slices.Concat(
		rows("size 4,0", table, "ø250", "450x250", "ø200", "ø200", "ø250", "ø250"),
		rows("levels 4,0", heights, "", "", "3300 3300", "3100 3100", "", "3125 3125"),
	)},
	{"notes-cm", "", "", slices.Concat(
		rows("size 4,0", table, "ø250", "450x250", "ø200"),
		rows("levels 4,0", heights, "", "", "3000 3000"),
	)},
	{"flows", "", "", slices.Concat(
		rows("flow", "4.719474E-4 m3/s a cfm", "103.8", "105", "105.6", "110", "103.8", "105.6", "105", "100", "100",
			"100", "103.8", "100", "100", "100"),
		rows("terminals", table, "S-101", "E2", "TB-4", "S-1", "S-1", "S-1", "S-1", "S-1", "S-1", "S-1", "S-1", "s-1",
			"S-1", "S-1"),
		[]caseRow{
			{"U-8", "terminal S-1", "8000,0,2500 100 l/s 0 Pa", table},
			{"U-9", "terminal S-1", "8000,0,2700 100 l/s 25 Pa", table},
			{"U-11", "terminal S-1", "8000,0,2438.4 103.8 l/s 24.9 Pa", "249.0889 Pa an inch of water"},
			{"U-14", "terminal S-1", "8000,0,2400 100 l/s 0 Pa", table},
		},
	)},
	{"attributes", "", "overruled", slices.Concat(
		rows("terminal S-1", "attributes of the convention", "8000,0,2700 100 l/s 0 Pa", "8000,0,2500 103.8 l/s 12 Pa",
			"8000,0,2700 100 l/s 0 Pa",
			"8000,0,2700 100 l/s 0 Pa", "8000,0,2700 100 l/s 0 Pa", "8000,0,2590.8 100 l/s 0 Pa",
			"8000,0,2700 100 l/s 0 Pa"),
		rows("available", "attribute ESP; 249.0889 Pa an inch of water", "80", "none", "none", "99.6"),
	)},
	{"airs", "", "", slices.Concat(
		rows("air", "the designations and what is read as well", "SUP", "ETA", "EHA", "ODA", "RCA", "TRA", "SUP", "ETA",
			"EHA", "ODA"),
		rows("way 4,0", "supply and outdoor air from the unit, extract and exhaust to it", "+1 +0 +0", "-1 +0 +0",
			"-1 +0 +0", "+1 +0 +0", "", "",
			"+1 +0 +0", "-1 +0 +0", "-1 +0 +0", "+1 +0 +0"),
		[]caseRow{{"u-11", "terminals", "s-1", "layer names without regard to case"}, {"u-11", "flow", "100", drawn}},
	)},
	{"lines", "", "", slices.Concat(
		rows("levels 5,1", heights, "3300 3300", "3100 3100", "3300 3300", "3000 3500", "", "", "", "", "3200 3200"),
		rows("length 5,1", drawn, "3000", "3000", "3000", "3041.4", "", "", "", "", "3000"), // sqrt(3^2 + 0.5^2)
		rows("length 4.41421,0.58579", "a quarter of a circle of 2 m", "", "", "", "", "3141.6", "3141.6", "", "", "",
			"3141.6"),
		[]caseRow{
			{"U-7", "kind 7.5,0.1", "flex", drawn},
			{"U-7", "kind 4,0", "duct", drawn},
			{"U-8", "way 4,0", "+1 +0 +0", "supply flows from the unit however it was drawn"},
			{"U-8", "levels 4,0", "2900 2900", heights},
		},
		rows("flow", drawn, "100", "100", "100", "100", "100", "100", "100", "100", "100", "100"),
	)},
	{"blocks", "", "", rows("terminal S-1", "worked out by hand from the inserts", "5000,3000,2700 100 l/s 0 Pa",
		"-3000,5000,2700 100 l/s 0 Pa",
		"-5000,3000,2700 100 l/s 0 Pa", "-5000,-3000,2700 100 l/s 0 Pa", "-5000,3000,2700 100 l/s 0 Pa",
		"5000,3000,2700 100 l/s 0 Pa", "8300,0,2700 100 l/s 0 Pa")},
	{"hidden-layers", "", "hidden-layer",
		[]caseRow{{"U-1", "terminals", "S-1", "frozen and switched-off layers are not read"}}},
	{"joins", "", "clash", slices.Concat(
		rows("flow 1,0", sums, "150", "210", "210", "150", "150", "150", "210"),
		rows("flow 7,0", sums, "100", "100", "100", "100", "100", "100", "100"),
		rows("terminals", drawn, "S-1 S-2", "S-1 S-2 S-3", "S-1 S-2 S-3", "S-1 S-2", "S-1 S-2", "S-1 S-2",
			"S-1 S-2 S-3"),
		[]caseRow{
			{"U-2", "flow 4,0", "160", sums},
			{"U-4", "flow 4.5,0", "100", "lines that merely cross do not join"},
			{"U-4", "flow 5,-1", "50", "lines that merely cross do not join"},
			{"U-7", "flow 2,1", "110", sums},
			{"U-7", "way 1,2", "-1 +0 +0", drawn},
		},
	)},
	{"near-misses", "", "near-miss no-head", nil},
	{"levels", "", "riser", slices.Concat(
		rows("kinds", joining, "drop 1, duct 3", "drop 1, duct 1", "duct 1", "drop 1, duct 1", "drop 1, duct 1",
			"drop 1, duct 1", "drop 1, duct 3"),
		rows("terminal S-1", heights, "8000,0,2700 100 l/s 0 Pa", "8000,0,2700 100 l/s 0 Pa", "",
			"8000,0,2500 100 l/s 0 Pa", "8000,0,3000 100 l/s 0 Pa",
			"8000,0,2700 100 l/s 0 Pa"),
		[]caseRow{
			{"U-1", "length 4,0v", "1000", joining},
			{"U-2", "length 8,0v", "700", joining},
			{"U-2", "way 8,0v", "+0 +0 +1", joining},
			{"U-4", "length 8,0v", "800", joining},
			{"U-5", "length 8,0v", "300", joining},
			{"U-7", "length 4,0v", "500", drawn},
		},
	)},
	{"unit-kinds", "", "", slices.Concat(
		rows("available", "attribute ESP, note on the unit", "80", "99.6", "60", "none", "none"),
		rows("flow", drawn, "100", "100", "100", "100", "100"),
	)},
	{"boxes", "", "head-chosen", []caseRow{
		{"AHU-1", "systems", "1", "what hangs from one unit is one system"},
		{"AHU-1", "flow", "400", sums},
		{"AHU-1", "available", "300", table},
		{"AHU-1", "box", "40 50", "attribute DP, note on the box"},
		{"AHU-1", "deciding", "S-2", "two like paths, 50 Pa against 40 Pa"},
		{"AHU-1", "terminals", "S-1 S-2", drawn},
	}},
	{"extract", "", "", []caseRow{
		{"F-1", "air", "ETA", drawn},
		{"F-1", "flow 2,0", "180", sums},
		{"F-1", "flow 6,0", "100", sums},
		{"F-1", "way 6,0", "-1 +0 +0", "extract air flows to the unit"},
		{"F-1", "way 4,1", "+0 -1 +0", "extract air flows to the unit"},
		{"F-1", "size 2,0", "ø315", friction},
		{"F-1", "size 4,1", "ø200", friction},
	}},
	{"marks", "", "unnamed", []caseRow{{"U-1", "terminals", "D-2#1 D-2#2 S-9 T1", "the convention: marks may repeat"}}},
	{"leaders", "", "", []caseRow{
		{"U-1", "size 6,0", "ø315", "a note belongs to what its leader points to"},
		{"U-1", "size 4,1", "ø160", friction},
	}},
	{"ambiguous", "", "ambiguous-note", nil},
	{"retrofit", "", "existing-branch no-room over-rate over-velocity", []caseRow{
		{"U-1", "flow", "210", "removed work is in no system"},
		{"U-1", "terminals", "S-1 S-2 S-4", "removed work is in no system"},
		{"U-1", "status 2,0", "existing", drawn},
		{"U-1", "status 5,1", "new", drawn},
		{"U-1", "status 8,-1", "future", drawn},
		{"U-1", "size 2,0", "ø160", "existing runs keep their size"},
		{"U-1", "size 9,0", "ø160", "existing runs keep their size"},
		{"U-1", "size 5,1", "ø200", friction},
		{"", "removed", "duct ø125, drop ø125", "removed work is drawn"},
	}},
	{"downstream", "", "", []caseRow{
		{"U-1", "size 2,0", "ø315", friction},
		{"U-1", "size 4,1", "ø250", friction},
		{"U-1", "low 6,0 150", "yes", "a height limit holds downstream"},
		{"U-1", "low 8,1 150", "yes", "a height limit holds downstream"},
		{"U-1", "low 10,0 150", "yes", "a height limit holds downstream"},
		{"U-1", "shape 8,1", "rect", "a shape holds downstream"},
	}},
	{"two-airs", "units = \"mm\"", "clash", []caseRow{
		{"U-1", "flow 2,0", "150", sums},
		{"U-2", "flow 2,0", "100", "lines that merely cross do not join"},
	}},
	{"sizing", "", "", sized("ø315", "ø315", "ø250")},
	{"sizing", "sizing.steps = \"EN-all\"", "", sized("ø315", "ø280", "ø224")},
	{"sizing", "sizing.steps = \"50mm\"", "", sized("ø350", "ø300", "ø250")},
	{"sizing", "sizing.steps = \"inch\"", "", sized("ø330.2", "ø279.4", "ø228.6")},
	{"sizing", "sizing.steps = \"even-inch\"\nsizing.rate = \"2 Pa/m\"", "", sized("ø254", "ø254", "ø203.2")},
	{"sizing", "sizing.rate = \"2 Pa/m\"", "", sized("ø250", "ø250", "ø200")},
	{"sizing", "sizing.max_velocity = \"3 m/s\"", "", sized("ø400", "ø315", "ø250")},
	{"sizing", "sizing.max_velocity = \"3 m/s\"\nsizing.steps = \"EN-all\"", "", sized("ø400", "ø300", "ø224")},
	{"sizing", "sizing.steps = [\"350 mm\", \"200 mm\", \"12 in\"]", "", sized("ø350", "ø304.8", "ø304.8")},
	{"sizing", "sizing.least = \"300 mm\"", "", sized("ø315", "ø315", "ø315")},
	{"sizing", "sizing.method = \"velocity\"", "", sized("ø315", "ø250", "ø200")},
	{"sizing", "sizing.method = \"velocity\"\nsizing.steps = \"50mm\"", "", sized("ø300", "ø250", "ø200")},
	{"sizing", "sizing.shape = \"rect\"\nsizing.max_height = \"200 mm\"", "", []caseRow{
		{"U-1", "low 2,0 200", "yes", "the height limit of the settings"},
		{"U-1", "shape 2,0", "rect", "the shape of the settings"},
	}},
	{"sizing", "sizing.flexible_end = \"1 m\"", "", []caseRow{
		{"U-1", "kinds", "drop 2, duct 3, flex 2", "the last metre of each rigid run before a terminal is flexible"},
		{"U-1", "length 11.5,0", "1000", "the setting"},
		{"U-1", "length 8,0", "7000", "8 m less the flexible metre"},
		{"U-1", "kind 4,5.5", "flex", "the setting"},
	}},
	{"sizing", "elevation.SUP = \"3.6 m\"\nelevation.ceiling = \"3 m\"", "", []caseRow{
		{"U-1", "levels 2,0", "3600 3600", "the setting"},
		{"U-1", "terminal S-2", "4000,6000,3000 100 l/s 0 Pa", "the setting"},
	}},
	{"sizing", "sketch.snap = \"5 mm\"", "", []caseRow{{"U-1", "flow 2,0", "300", sums}}},
	{"hangs", "", "", []caseRow{
		{"U-1", "low 4,0 203.2", "yes", inches},
		{"U-1", "terminal E-1", "8000,0,2743.2 94.4 l/s 12.5 Pa",
			"200 cfm of 4.719474E-4 m3/s; 0.05 of 249.0889 Pa; 9 ft"},
		{"U-2", "flow 2,0", "141.6", "300 cfm of 4.719474E-4 m3/s"},
		{"U-2", "available", "62.3", "0.25 of 249.0889 Pa"},
		{"U-2", "way 4,-1", "+0 +1 +0", "exhaust air flows to the unit"},
		{"U-2", "size 6,0", "ø203.2", frictionInch},
	}},
	{"limits", "", "clearance rated-crossing", nil},
	{"crossing", "", "", []caseRow{
		{"U-1", "levels 4,5", "3000 3000", heights},
		{"U-2", "levels 4,0", "4000 4000", heights},
	}},
	{"sides", "", "", slices.Concat(
		rows("size 2,0", table, "450x250", "450x250", "450x250", "300x300", "300x300"),
		rows("levels 6,0", "half of the change of height: (300-200)/2", "3300 3300", "", "", "3350 3350", "3250 3250"),
		// Half of the change of width, (450-250)/2, to the left of the air or to the right.
		rows("size 6,0", table, "250x250", "no run there", "no run there", "300x200", "300x200"),
		[]caseRow{
			{"U-2", "size 6,0.1", "250x250", "the left side stays straight: the axis moves to the left"},
			{"U-3", "size 6,-0.1", "250x250", "the right side stays straight: the axis moves to the right"},
		},
	)},
}

// sized makes the rows of the sheet "sizing": the sizes of 300, 200 and 100 l/s.
func sized(main, on, branch string) []caseRow {
	return []caseRow{{"U-1", "size 2,0", main, friction}, {"U-1", "size 8,0", on, friction},
		{"U-1", "size 4,3", branch, friction}}
}
