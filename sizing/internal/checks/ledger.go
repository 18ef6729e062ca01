package checks

import (
	"fmt"
	"maps"
)

// Table is what the tests make of one table of outside numbers.
type Table struct {
	By        string            // folder of the test that reads it
	Compared  int               // rows compared, so that none drops out unseen
	Elsewhere map[string]string // rows that another test compares, by id, with that test as "folder.TestName"
	Left      map[string]string // rows READ or COMPUTED that are left out, by id, each with the reason
}

// same gives many rows one reason.
func same(why string, ids ...string) map[string]string {
	out := map[string]string{}
	for _, id := range ids {
		out[id] = why
	}
	return out
}

// series returns the ids of a series, such as NO09 to NO23.
func series(prefix string, digits, from, to int) []string {
	var out []string
	for i := from; i <= to; i++ {
		out = append(out, fmt.Sprintf("%s%0*d", prefix, digits, i))
	}
	return out
}

// and adds the rows of others to those of left.
func and(left map[string]string, others ...map[string]string) map[string]string {
	for _, o := range others {
		maps.Copy(left, o)
	}
	return left
}

// Ledger accounts for every table under testdata, by folder and name: each row that was read or computed elsewhere is
// compared by a test, or stands here with the reason why it is not.
var Ledger = map[string]Table{
	"checks/00_units.csv": {By: "sizing/loss", Compared: 10, Left: map[string]string{
		"U09": "heat conductance is asked for in W/(m2 K) alone",
		"U11": "leakage is asked for by the European classes alone"}},

	"checks/01_air.csv":           {By: "sizing/air", Compared: 38},
	"checks/01b_viscosity.csv":    {By: "sizing/air", Compared: 14},
	"checks/01c_stack_effect.csv": {By: "sizing/air", Compared: 10},

	"checks/02_friction.csv": {By: "sizing/loss", Compared: 52},
	"checks/02a_friction_factor.csv": {By: "sizing/loss", Compared: 13, Left: and(
		same("Altshul and Tsal's factor without iteration; Colebrook's equation is solved", series("FT", 1, 1, 4)...),
		same("Swamee and Jain's factor without iteration; Colebrook's equation is solved", series("FS", 1, 1, 4)...))},
	"checks/02b_roughness.csv": {By: "sizing/loss", Compared: 22, Left: map[string]string{
		"RO11": "0.15 mm belongs to ducts with joints at 0.76 m, as of old charts; " +
			"RO05 replaces it, and sizing.roughness takes it",
		"RH01": "Idelchik's 0.15 mm for new galvanised sheet; the ASHRAE category of RO05 is used, " +
			"and sizing.roughness takes it",
		"RH02": "roofing sheet is no duct wall",
	}},
	"checks/02c_flexible.csv": {By: "sizing/loss", Compared: 33},

	"checks/03_equiv_rect.csv": {By: "sizing/loss", Compared: 84},
	"checks/03b_equiv_oval.csv": {By: "sizing/loss", Compared: 97, Left: map[string]string{
		"EO96": "a circle put into the oval's equation, 0.11 % high; row X27 of the traps asks for the circle, tested there",
	}},
	"checks/03c_rect_friction.csv": {By: "sizing/loss", Compared: 8},

	"checks/05a_elbows.csv": {By: "sizing/loss", Compared: 92, Left: and(map[string]string{
		"EM04": "Miller's chart for a slight bend: 0.155 here with its arc, 0.116 there; charts differ most at slight angles",
		"EP06": "pipe fitting, not duct", "EP07": "pipe fitting, not duct",
		"EP09": "course sheet for one elbow of r/D about 1: 0.21 by the diagram at high Re, " +
			"0.27 to 0.34 at the Re of small ducts; sizing.coefficients takes it",
		"EP11": "ratio of pipe bends by Ito at r/D 2.5, 1.20; the diagram has 1.40 for ducts",
	}, same("Rennels' mitre; Idelchik's is used, tested by the MI rows", series("MR", 2, 1, 7)...))},
	"checks/05b_transitions.csv": {By: "sizing/loss", Compared: 39, Left: and(map[string]string{
		"TP04": "fan outlet to duct, on a third section's pressure; the fan's own uneven flow is in it; a note C= takes it",
		"TP06": "printed for Idelchik's gradual expansion, as the TT rows",
	},
		same("fit of Idelchik's cone; Rennels' formula is used, tested by the TD rows", series("TF", 2, 1, 12)...),
		same("Idelchik's gradual expansion; Rennels' formula is used, tested by the TD rows", series("TT", 2, 1, 5)...),
		same("Idelchik's gradual expansion; Rennels' formula is used, tested by the TD rows",
			series("TT", 2, 9, 12)...),
		same("Idelchik's contraction; Rennels' formula is used, tested by the TC rows", series("TN", 2, 1, 5)...),
		same("Idelchik's contraction; Rennels' formula is used, tested by the TC rows", series("TN", 2, 7, 8)...))},
	"checks/05c_diverging.csv": {By: "sizing/loss", Compared: 73, Left: and(map[string]string{
		"DPb02": "a 45 degree branch with an elbow behind it is drawn as it is, two fittings: " +
			"0.43 and 0.12 for 0.74 together",
		"DPs02": "straight leg of DPb02: 0.05 for 0.15",
		"DPs08": "straight leg of DPb08: 0.05 for 0.15, as Idelchik's table has it",
		"DPb04": "a cone tapered into a reducing body, no form of ours; sizing.coefficients takes its 1.10",
		"DPs04": "as DPb04",
		"DPb07": "a reducing body, no form of ours; a note C= takes its 0.50", "DPs07": "as DPb07",
		"DPb08": "printed for one make; Idelchik's formula, tested by the DV rows, has 0.43 for 0.70; " +
			"sizing.coefficients takes it",
		"DPs06": "straight leg of a 45 degree wye, as DPs08", "DPs05": "straight leg of one make: 0.10 for 0.15",
	},
		same("straight leg by the later edition of Idelchik; the earlier one is used, tested by the DV1s rows",
			series("DV1t", 2, 1, 12)...),
		same("straight leg by Crane, as the later edition of Idelchik; the earlier one is used",
			series("DCs", 2, 1, 8)...),
		same("Crane's own constants for wide branches from 60 degrees; Idelchik's formula is used",
			series("DCb", 2, 4, 7)...))},
	"checks/05d_converging.csv": {By: "sizing/loss", Compared: 32, Left: and(map[string]string{
		"CP38": "one make with As/Ac 0.51: -0.03 on the common leg for 0.17; " +
			"our junctions join with As = Ac, the change of size before them",
		"CP39": "as CP38: 0.30 for 0.20 on the common leg",
		"CP41": "a wye with a capped leg and an elbow behind it, two fittings to us",
	}, same("straight leg by the later edition of Idelchik; the earlier one is used, tested by the CCs rows",
		series("CV1s", 2, 1, 11)...))},
	"checks/05e_entries_exits.csv": {By: "sizing/loss", Compared: 7, Left: and(
		same("Rennels' entries of other edges: ours are square, tested by EN02; sizing.coefficients takes another",
			append(append(append(append(
				series("EN", 2, 10, 16), series("EN", 2, 30, 33)...), series("EN", 2, 40, 44)...),
				series("EN", 2, 50, 53)...), "EN01", "EN03")...),
		same("Idelchik's bellmouths, as a spline of another program; no entry of ours", "EN20", "EN21", "EN22", "EN23"),
		same("industrial hood or collector, no fitting of ours; sizing.coefficients or the terminal's own pressure take it",
			"EX02", "EX03", "EN60", "EN61", "EN62"),
		same("course sheet, plenum take-off with its turn; sizing.coefficients takes it", "EN63"))},
	"checks/05f_dampers_offsets_boots_flex.csv": {By: "sizing/loss", Compared: 28},
	"checks/05g_junction_regimes.csv": {By: "sizing/loss", Compared: 126, Left: and(
		same("Crane's own constants for wide branches from 60 degrees; Idelchik's formula is used",
			series("GR", 3, 31, 48)...),
		same("straight leg by Crane, as the later edition of Idelchik; the earlier one is used",
			series("GR", 3, 49, 96)...))},

	"checks/06_sizes.csv": {By: "cmd/internal/config", Compared: 65},
	"checks/06b_gauge_weight.csv": {By: "sizing/quantity", Compared: 5,
		Left: same("a sheet that no duct of the thickness tables is made of", "GA30", "GA28", "GA16", "GA14", "GA13",
			"GA12", "GA11", "GA10")},
	"checks/06c_thickness_by_size.csv": {By: "sizing/quantity", Compared: 8,
		Left: same("industrial exhaust, no general ventilation", "TH06", "TH07", "TH08", "TH09", "TH10")},
	"checks/06d_weight_checks.csv": {By: "sizing/quantity", Compared: 6},

	"checks/07_velocity.csv": {By: "sizing/loss", Compared: 18, Left: same(
		"velocities by kind of building, of registers, louvres and shafts: guidance speaks of ducts alone",
		series("VE", 2, 19, 39)...)},
	"checks/07b_noise.csv": {By: "sizing/loss", Compared: 6, Left: and(
		same("an older form that lies 3 dB higher; VDI 2081 is used", "NO01", "NO02"),
		same("spectra, rooms, dampers and sums of sources: guidance gives the overall level of a duct alone",
			series("NO", 2, 9, 23)...))},
	"checks/08_leakage.csv": {By: "sizing/loss", Compared: 12, Left: same(
		"the class a system would need for a share of its flow: guidance gives the leakage of a class that is given",
		series("LK", 2, 35, 41)...)},
	"checks/08b_heat.csv": {By: "sizing/loss", Compared: 7},

	"checks/09_trade_checks.csv": {By: "sizing", Compared: 6},
	"checks/09b_trade_facts.csv": {By: "sizing", Compared: 3, Left: map[string]string{
		"TF6": "advice on where to put a box; the sketch is the drafter's",
		"TF7": "advice where noise matters; sizing.reducer_angle takes it",
	}},
	"checks/10_traps.csv": {By: "sizing/loss", Compared: 21,
		Left: same("the class a system would need, as LK35", "X25"),
		Elsewhere: map[string]string{"X06": "sizing.TestNegativeRegain",
			"X07": "sizing.TestStaticTraps", "X21": "sizing.TestStaticTraps", "X24": "sizing.TestPathTraps",
			"X26": "sizing.TestPathTraps"}},

	"networks/nine_sections.csv":       {By: "sizing", Compared: 24},
	"networks/nine_sections_paths.csv": {By: "sizing", Compared: 8},
	"networks/guide.csv":               {By: "sizing", Compared: 28},
	"networks/trade.csv":               {By: "sizing", Compared: 6},
	"networks/area_shortcut.csv":       {By: "sizing", Compared: 9},
	"networks/manual_excerpt.csv":      {By: "sizing", Compared: 3},
	"networks/four_outlets_sections.csv": {By: "sizing", Compared: 42,
		Left: same("the older form of static regain, 0.75 of the gain against the friction alone, is no method of ours",
			"SR_0.75_friction_only/T1", "SR_0.75_friction_only/T2", "SR_0.75_friction_only/T3",
			"SR_0.75_friction_only/T4")},
	"networks/four_outlets_paths.csv": {By: "sizing", Compared: 24},
	"networks/optimised_sections.csv": {By: "sizing", Compared: 5},
	"networks/optimised_summary.csv": {By: "sizing", Compared: 19,
		Elsewhere: map[string]string{"TMS20": "sizing.TestCondensing",
			"TMS22": "sizing.TestCondensing", "TMS23": "sizing.TestCondensing", "TMS24": "sizing.TestCondensing"},
		Left: same("sections side by side add up, 3 + 5: the sums of the network, TMS3 and TMS5, hold it", "TMS21")},
}
