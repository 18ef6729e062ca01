package network

// The expected runs and findings follow by hand from what the README says of the sketch.
var cases = []struct {
	name, sketch string
	runs         []string
	found        []string
}{
	{
		name:   "one duct to one terminal, with a drop",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 5,0,3.3 \n term T SUP 5,0,2.7 100",
		runs:   []string{"A@0 duct head>bend 100", "T/drop drop bend>terminal 100"},
		found:  []string{},
	},
	{
		name:   "extract flows to the unit",
		sketch: "unit U ETA 0,0 \n duct A ETA 0.5,0,3.3 5,0,3.3 \n term T ETA 5,0,2.7 100",
		runs:   []string{"A@0 duct bend>head 100", "T/drop drop terminal>bend 100"},
		found:  []string{},
	},
	{
		name:   "a rise to a terminal above",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,0.2 5,0,0.2 \n term T SUP 5,0,0.5 100",
		runs:   []string{"A@0 duct head>bend 100", "T/drop drop bend>terminal 100"},
		found:  []string{},
	},
	{
		name:   "ends within the snap distance join",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n duct B SUP 5.02,0.01,3 5,4,3 \n term T SUP 5,4,3 100",
		runs:   []string{"A@0 duct head>bend 100", "B@0 duct bend>terminal 100"},
		found:  []string{},
	},
	{
		name: "a tee into the middle splits the main, from the side within the snap distance",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP 5,0.02,3 5,4,3 \n term S SUP 9,0,3 60 \n" +
			"term T SUP 5,4,3 40",
		runs:  []string{"A@0 duct head>branch 100", "A@4500 duct branch>terminal 60", "B@0 duct branch>terminal 40"},
		found: []string{},
	},
	{
		name: "two branches at one place are a cross",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP 5,0,3 5,4,3 \n duct C SUP 5.01,0,3 5,-4,3 \n" +
			"term S SUP 9,0,3 60 \n term T SUP 5,4,3 40 \n term V SUP 5,-4,3 30",
		runs: []string{"A@0 duct head>branch 130", "A@4500 duct branch>terminal 60", "B@0 duct branch>terminal 40",
			"C@0 duct branch>terminal 30"},
		found: []string{},
	},
	{
		name: "lines that merely cross do not join",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n term S SUP 9,0,3 60 \n unit V SUP 5,-4 \n" +
			"duct B SUP 5,-3.5,3 5,4,3 \n term T SUP 5,4,3 40",
		runs:  []string{"A@0 duct head>terminal 60", "B@0 duct head>terminal 40"},
		found: []string{},
	},
	{
		name: "a tee into an arc splits it",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3,0.41421356237 4.5,4,3 \n" +
			"duct B SUP 3.32842712475,1.17157287525,3 6,-1.5,3 \n term S SUP 4.5,4,3 60 \n term T SUP 6,-1.5,3 40",
		runs:  []string{"A@0 duct head>branch 100", "A@3142 duct branch>terminal 60", "B@0 duct branch>terminal 40"},
		found: []string{},
	},
	{
		name:   "ends at two elevations are joined by a riser",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n duct B SUP 5,0,4 5,4,4 \n term T SUP 5,4,4 100",
		runs:   []string{"A@0 duct head>bend 100", "A@4500/riser duct bend>bend 100", "B@0 duct bend>terminal 100"},
		found:  []string{"riser@A"},
	},
	{
		name: "an end over the middle of a run is joined by a riser",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP 5,0,4 5,4,4 \n term S SUP 9,0,3 60 \n" +
			"term T SUP 5,4,4 40",
		runs: []string{"A@0 duct head>branch 100", "A@4500 duct branch>terminal 60", "B@0/riser duct branch>bend 40",
			"B@0 duct bend>terminal 40"},
		found: []string{"riser@B"},
	},
	{
		name: "ducts above and below one place of a main",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP 5,0,4 5,4,4 \n duct C SUP 5,0,2 5,-4,2 \n" +
			"term S SUP 9,0,3 60 \n term T SUP 5,4,4 40 \n term V SUP 5,-4,2 30",
		runs: []string{"A@0 duct head>branch 130", "A@4500 duct branch>terminal 60", "B@0 duct bend>terminal 40",
			"B@0/riser duct branch>bend 40",
			"C@0 duct bend>terminal 30", "C@0/riser duct branch>bend 30"},
		found: []string{"riser@B", "riser@C"},
	},
	{
		name: "a riser that is drawn needs no other",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n duct R SUP 5,0,3 5,0,4 \n duct B SUP 5,0,4 5,4,4 \n" +
			"term T SUP 5,4,4 100",
		runs:  []string{"A@0 duct head>bend 100", "R@0 duct bend>bend 100", "B@0 duct bend>terminal 100"},
		found: []string{},
	},
	{
		name:   "a drawn drop that ends in the air is capped, not looped",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct R SUP 5,0,3 5,0,4 \n term S SUP 9,0,3 60",
		runs:   []string{"A@0 duct head>branch 60", "A@4500 duct branch>terminal 60", "R@0 duct branch>cap 0"},
		found:  []string{"dead-end@R"},
	},
	{
		name:   "side: the run enters the side, no drop",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 4.7,0,3.3 \n term T SUP 5,0,2.7 100 side",
		runs:   []string{"A@0 duct head>terminal 100"},
		found:  []string{},
	},
	{
		name:   "nothing said and the end at the border: from the side",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 4.69,0,3.3 \n term T SUP 5,0,2.7 100",
		runs:   []string{"A@0 duct head>terminal 100"},
		found:  []string{},
	},
	{
		name:   "top: a drop even from the border",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 4.7,0,3.3 \n term T SUP 5,0,2.7 100 top",
		runs:   []string{"A@0 duct head>bend 100", "T/drop drop bend>terminal 100"},
		found:  []string{},
	},
	{
		name: "a main that goes on over a terminal drops into it",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 5,0,3.3 \n duct B SUP 5,0,3.3 9,0,3.3 \n" +
			"term S SUP 5,0,2.7 40 \n term T SUP 9,0,2.7 60",
		runs: []string{"A@0 duct head>branch 100", "B@0 duct branch>bend 60", "S/drop drop branch>terminal 40",
			"T/drop drop bend>terminal 60"},
		found: []string{},
	},
	{
		name:   "flexible duct is a run of its own",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 5,0,3.3 \n duct F SUP flex 5,0,3.3 6,1,3.3 \n term T SUP 6,1,2.7 100",
		runs:   []string{"A@0 duct head>bend 100", "F@0 flex bend>bend 100", "T/drop drop bend>terminal 100"},
		found:  []string{},
	},
	{
		name: "a box in the middle",
		sketch: "unit U SUP 0,0 mark=AHU \n duct A SUP 0.5,0,3 4.5,0,3 \n unit B SUP 5,0 mark=TB \n" +
			"duct C SUP 5.5,0,3 9,0,3 \n duct D SUP 5,0.5,3 5,4,3 \n" +
			"term S SUP 9,0,3 60 \n term T SUP 5,4,3 40",
		runs:  []string{"A@0 duct head>box 100", "C@0 duct box>terminal 60", "D@0 duct box>terminal 40"},
		found: []string{},
	},
	{
		name: "two mains leave the head, which is known by its pressure",
		sketch: "unit U SUP 0,0 mark=AHU esp=200 \n duct A SUP 0.5,0,3 4.5,0,3 \n unit B SUP 5,0 \n" +
			"duct C SUP 5.5,0,3 9,0,3 \n" +
			"duct D SUP 0,0.5,3 0,4,3 \n term S SUP 9,0,3 60 \n term T SUP 0,4,3 40",
		runs:  []string{"A@0 duct head>box 60", "C@0 duct box>terminal 60", "D@0 duct head>terminal 40"},
		found: []string{},
	},
	{
		name: "a fan amid its ducts, and the outlet at their end",
		sketch: "unit O EHA 0,0 mark=ROOF \n duct A EHA 0.5,0,3 4.5,0,3 \n unit F EHA 5,0 mark=FAN esp=200 \n" +
			"duct B EHA 5.5,0,3 9,0,3 \n term S EHA 9,0,3 60",
		runs:  []string{"A@0 duct box>head 60", "B@0 duct terminal>box 60"},
		found: []string{"head-chosen@O"},
	},
	{
		name: "two units with several ducts each and none with a pressure",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 4.5,0,3 \n unit B SUP 5,0 \n duct C SUP 5.5,0,3 9,0,3 \n" +
			"duct D SUP 0,0.5,3 0,4,3 \n term S SUP 9,0,3 60 \n term T SUP 0,4,3 40",
		found: []string{"two-heads@U"},
	},
	{
		name: "two mains leave the head, and their boxes stand behind it",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 4.5,0,3 \n unit B SUP 5,0 \n duct C SUP 5.5,0,3 9,0,3 \n" +
			"duct D SUP -0.5,0,3 -4.5,0,3 \n unit E SUP -5,0 \n duct F SUP -5.5,0,3 -9,0,3 \n term S SUP 9,0,3 60 \n" +
			"term T SUP -9,0,3 40",
		runs: []string{"A@0 duct head>box 60", "C@0 duct box>terminal 60", "D@0 duct head>box 40",
			"F@0 duct box>terminal 40"},
		// From B the other box would be fed through the first one, as from E.
		found: []string{"head-chosen@U"},
	},
	{
		name: "two mains leave the head, and the other unit is a box by its loss",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 4.5,0,3 \n unit B SUP 5,0 dp=40 \n duct C SUP 5.5,0,3 9,0,3 \n" +
			"duct D SUP 0,0.5,3 0,4,3 \n term S SUP 9,0,3 60 \n term T SUP 0,4,3 40",
		runs:  []string{"A@0 duct head>box 60", "C@0 duct box>terminal 60", "D@0 duct head>terminal 40"},
		found: []string{},
	},
	{
		name: "units of two airs on one place, each with its duct",
		sketch: "unit U SUP 0,0 \n unit V ETA 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n term S SUP 5,0,3 60 \n" +
			"duct B ETA -0.5,0,3 -5,0,3 \n term T ETA -5,0,3 40",
		runs:  []string{"A@0 duct head>terminal 60", "B@0 duct terminal>head 40"},
		found: []string{},
	},
	{
		name: "one unit with two airs heads two systems",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n term S SUP 5,0,3 60 \n duct B ETA -0.5,0,3 -5,0,3 \n" +
			"term T ETA -5,0,3 40",
		runs:  []string{"A@0 duct head>terminal 60", "B@0 duct terminal>head 40"},
		found: []string{},
	},
	{
		name: "removed work is by itself",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n term S SUP 5,0,3 60 \n duct B SUP REM 3,0,3 3,4,3 \n" +
			"term T SUP REM 3,4,3",
		runs:  []string{"A@0 duct head>terminal 60", "B@0 duct cap>terminal 0"},
		found: []string{},
	},
	{
		name: "a new branch on an existing main",
		sketch: "unit U SUP EX 0,0 \n duct A SUP EX 0.5,0,3 9,0,3 \n duct B SUP 5,0,3 5,4,3 \n" +
			"term S SUP EX 9,0,3 60 \n term T SUP 5,4,3 40",
		runs:  []string{"A@0 duct head>branch 100", "A@4500 duct branch>terminal 60", "B@0 duct branch>terminal 40"},
		found: []string{"existing-branch@B"},
	},
	{
		name:   "no unit",
		sketch: "duct A SUP 0.5,0,3 5,0,3 \n term T SUP 5,0,3 100",
		runs:   []string{"A@0 duct cap>terminal 0"},
		found:  []string{"dead-end@A", "no-head@A"},
	},
	{
		name: "two heads",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9.5,0,3 \n unit V SUP 10,0 \n duct B SUP 5,0,3 5,4,3 \n" +
			"term T SUP 5,4,3 100",
		runs:  []string{"A@0 duct head>branch 100", "A@4500 duct branch>head 0", "B@0 duct branch>terminal 100"},
		found: []string{"two-heads@V"},
	},
	{
		name: "two heads, one of them with a pressure of its own",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9.5,0,3 \n unit V SUP 10,0 esp=200 \n duct B SUP 5,0,3 5,4,3 \n" +
			"term T SUP 5,4,3 100",
		found: []string{"two-heads@V"},
	},
	{
		name: "an end near two units of other air goes to the nearer", // 10 mm from U, 20 from V
		sketch: "unit U ETA 0,0 \n unit V ETA 1.03,0 \n duct A SUP 0.51,0,3 0.51,4,3 \n term T SUP 0.51,4,3 100 \n" +
			"duct B ETA 1.53,0,3 5,0,3 \n term S ETA 5,0,3 50",
		runs:  []string{"A@0 duct head>terminal 100", "B@0 duct terminal>head 50"},
		found: []string{},
	},
	{
		name:   "a loop",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP 3,0,3 3,4,3 6,4,3 6,0,3 \n term T SUP 9,0,3 100",
		found:  []string{"loop@B"},
	},
	{
		name: "a closed line is a loop",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n duct B SUP closed 5,-2,3 9,-2,3 9,2,3 5,2,3 \n" +
			"duct C SUP 9,0,3 12,0,3 \n term T SUP 12,0,3 100",
		found: []string{"loop@B"},
	},
	{
		name:   "a terminal without a duct, and one without airflow",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n term S SUP 5,0,3 \n term T SUP 5,4,3 100",
		runs:   []string{"A@0 duct head>terminal 0"},
		found:  []string{"no-airflow@S", "no-path@T"},
	},
	{
		name:   "a gap between ends is reported once, from the side that was missed",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n duct B SUP 5.1,0,3 9,0,3 \n term T SUP 9,0,3 100",
		runs:   []string{"A@0 duct head>cap 0", "B@0 duct cap>terminal 0"},
		found:  []string{"near-miss@A", "no-head@B"},
	},
	{
		name:   "a gap of more than six times the snap distance is none",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n term T SUP 5.46,0,2.7 100",
		runs:   []string{"A@0 duct head>cap 0"},
		found:  []string{"dead-end@A", "no-path@T"},
	},
	{
		name:   "gaps to a unit and to a terminal",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.6,0,3 5,0,3 \n term T SUP 5.4,0,2.7 100",
		runs:   []string{"A@0 duct cap>cap 0"},
		found:  []string{"near-miss@A", "near-miss@A", "no-duct@U", "no-head@A", "no-path@T"},
	},
	{
		name:   "two ducts on top of each other",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP 4,0,3 9,0,3 \n term T SUP 9,0,3 100",
		found:  []string{"no-path@T", "overlap@B"},
	},
	{
		name: "one above the other is no overlap",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n term T SUP 9,0,3 100 \n unit V SUP 1,-1 \n" +
			"duct B SUP 1,-0.5,4 1,0,4 9,0,4 9,3,4 \n term S SUP 9,3,4 10",
		found: []string{},
	},
	{
		name: "air of two kinds",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n term T SUP 9,0,3 100 \n duct B ETA 5,0,3 5,4,3 \n" +
			"term S ETA 5,4,3 50",
		found: []string{"dead-end@B", "mixed-air@B", "no-head@B"},
	},
	{
		name: "air of two kinds merely near",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n term T SUP 9,0,3 100 \n unit V ETA 5,5 \n" +
			"duct B ETA 5,0.1,3 5,4.5,3 \n term S ETA 5,0.1,3 50",
		found: []string{},
	},
	{
		name:   "an airflow noted at a unit that is not the sum",
		sketch: "unit U SUP 0,0 flow=150 \n duct A SUP 0.5,0,3 5,0,3 \n term S SUP 5,0,3 100",
		runs:   []string{"A@0 duct head>terminal 100"},
		found:  []string{"flow-differs@U"},
	},
	{
		name: "an airflow noted at a box that is not the sum of what hangs on it",
		sketch: "unit U SUP 0,0 flow=101 \n duct A SUP 0.5,0,3 4.5,0,3 \n unit B SUP 5,0 flow=80 \n" +
			"duct C SUP 5.5,0,3 9,0,3 \n term S SUP 9,0,3 100",
		found: []string{"flow-differs@B"},
	},
	{
		name:   "a duct that ends at a terminal of another air",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n term T ETA 5,0,2.7 100",
		runs:   []string{"A@0 duct head>cap 0"},
		found:  []string{"dead-end@A", "mixed-air@A", "no-path@T"},
	},
	{
		name: "one duct drawn twice",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 4,0,3 \n duct B SUP 4,0,3 8,0,3 \n duct C SUP 4,0,3 8,0,3 \n" +
			"duct D SUP 8,0,3 12,0,3 \n term T SUP 12,0,3 100",
		found: []string{"overlap@C"},
	},
	{
		name: "one arc drawn twice, and the other way round",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 4,0,3,0.4142 8,4,3 \n duct B SUP 8,4,3,-0.4142 4,0,3 \n" +
			"duct C SUP 8,4,3 8,8,3 \n term T SUP 8,8,3 100",
		found: []string{"overlap@B"},
	},
	{
		name: "an arc that parts from a straight main at a tangent is no overlap",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 12,0,3 \n duct B SUP 4,0,3,0.4142 8,4,3 \n" +
			"term S SUP 12,0,3 50 \n term T SUP 8,4,3 100",
		runs:  []string{"A@0 duct head>branch 150", "A@3500 duct branch>terminal 50", "B@0 duct branch>terminal 100"},
		found: []string{},
	},
	{
		name: "two risers at one place",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 4,0,3 4,0,6 \n duct B SUP 4,0,4 4,0,6 \n" +
			"duct C SUP 4,0,6 8,0,6 \n term T SUP 8,0,6 100",
		found: []string{"overlap@B"},
	},
	{
		name: "future work is in its system",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP FUT 5,0,3 5,4,3 \n term S SUP 9,0,3 60 \n" +
			"term T SUP FUT 5,4,3 40",
		runs:  []string{"A@0 duct head>branch 100", "A@4500 duct branch>terminal 60", "B@0 duct branch>terminal 40"},
		found: []string{},
	},
	{
		name:   "a unit to be removed takes removed ducts alone",
		sketch: "unit U SUP REM 0,0 \n duct A SUP REM 0.5,0,3 5,0,3 \n duct B SUP 0,0.5,3 0,5,3 \n term T SUP 0,5,3 40",
		runs:   []string{"A@0 duct head>cap 0", "B@0 duct cap>terminal 0"},
		found:  []string{"dead-end@B", "no-head@B"},
	},
	{
		name: "a removed duct on an existing one's route disturbs nothing",
		sketch: "unit U SUP EX 0,0 \n duct A SUP EX 0.5,0,3 9,0,3 \n duct B SUP REM 3,0,3 7,0,3 \n" +
			"duct C ETA REM 3,0,3 7,0,3 \n term T SUP EX 9,0,3 40",
		runs:  []string{"A@0 duct head>terminal 40", "B@0 duct cap>cap 0", "C@0 duct cap>cap 0"},
		found: []string{},
	},
	{
		name: "a branch drawn a little past its main",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n duct B SUP 5,-0.06,3 5,4,3 \n term S SUP 9,0,3 60 \n" +
			"term T SUP 5,4,3 40",
		found: []string{"near-miss@B", "no-head@B"},
	},
	{
		name:   "a unit no duct ends at",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 9,0,3 \n unit B SUP 5,0 \n term S SUP 9,0,3 100",
		runs:   []string{"A@0 duct head>terminal 100"},
		found:  []string{"no-duct@B"},
	},
	{
		name: "two ducts to one terminal",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3.3 4.9,0,3.3 \n duct B SUP 2,0,3.3 2,0.2,3.3 4.9,0.2,3.3 \n" +
			"term T SUP 5,0,2.7 100",
		found: []string{"dead-end@B", "loop@B"},
	},
	{
		name: "coordinates beyond any building",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n term S SUP 5,0,3 100 \n duct B SUP 1e300,0,3 5,0,3 \n" +
			"duct C SUP NaN,0,3 5,0,3 \n term D SUP Inf,0,3 5 \n unit E SUP NaN,0",
		runs:  []string{"A@0 duct head>terminal 100"},
		found: []string{"bad-geometry@B", "bad-geometry@C", "bad-geometry@D", "bad-geometry@E"},
	},
	{
		name: "a bulge that is none, and one that is too much",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3,1e-13 5,0,3 \n term S SUP 5,0,3 100 \n" +
			"duct B SUP 1,5,3,1e200 5,5,3 \n duct C SUP 1,5,3,1e12 5,5,3",
		runs:  []string{"A@0 duct head>terminal 100"},
		found: []string{"bad-geometry@B", "bad-geometry@C"},
	},
	{
		name:   "a duct shorter than the snap distance is left out",
		sketch: "unit U SUP 0,0 \n duct A SUP 0.5,0,3 5,0,3 \n term S SUP 5,0,3 100 \n duct B SUP 3,0,3 3,0.02,3",
		runs:   []string{"A@0 duct head>terminal 100"},
		found:  []string{"bad-geometry@B"},
	},
}
