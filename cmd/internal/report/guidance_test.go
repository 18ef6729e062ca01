package report

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
	"twinline/layout/words"
	"twinline/sizing"
	"twinline/sizing/loss"
)

// Sources: velocity, ASHRAE Handbook Fundamentals (2021), ch. 21, table 12: round, within the room, NC 25, 8.6 m/s;
// noise, row NO05 of testdata/checks/07b_noise.csv: 42.15 dB; leakage by hand, 0.003 x 61.472^0.65 x 11.210 m2 =
// 0.4891 L/s (class C, k from memory) with 100 - 1.204 x 8^2/2 = 61.472 Pa; heat by the energy balance:
// exp(-0.8 x 1.1210 x 10/(1.204 x 0.8 x 1006)).
func TestGuidanceTables(t *testing.T) {
	class, ok := loss.LeakClass("C")
	require.True(t, ok)
	b := Schedules(guided(&sizing.GuideSpec{Noise: true, Place: loss.InRoom, Criterion: 25, Leak: class,
		Conductance: 0.8, Around: 30, Inside: 16}))
	runs := find(t, b, "Guidance")
	require.Contains(t, runs.Notes[0], "Guidance only")
	require.InDelta(t, 8, value(t, runs, 0, "velocity"), 1e-9)
	require.InDelta(t, 8.6, value(t, runs, 0, "guide"), 1e-9)
	require.Equal(t, "within", runs.Rows[0][at(t, runs, "against the guide")].Text)
	require.InDelta(t, 42.15449935, value(t, runs, 0, "sound power, rough estimate"), 1e-5)
	require.InDelta(t, 61.472, value(t, runs, 0, "static pressure"), 1e-4)
	require.InDelta(t, 0.4891, value(t, runs, 0, "leakage"), 1e-4)
	out := 30 - 14*math.Exp(-0.8*1.1210*10/(1.204*0.8*1006))
	require.InDelta(t, out, value(t, runs, 0, "air out"), 1e-4)
	require.InDelta(t, 1.204*0.8*1006*(out-16), value(t, runs, 0, "heat gained"), 0.1)
	require.InDelta(t, 0.4891, runs.Total[at(t, runs, "leakage")].Value, 1e-4)

	require.Contains(t, printed(runs)[0], "|0.489|", "leakage has more decimals than airflows, which have one")
	systems := find(t, b, "Guidance, systems")
	require.InDelta(t, 0, value(t, systems, 0, "runs faster than the guide"), 0)
	require.InDelta(t, 100*0.4891/800, value(t, systems, 0, "of the airflow"), 1e-4)
	require.InDelta(t, 800.4891, value(t, systems, 0, "airflow of the fan"), 1e-3)
	terminals := find(t, b, "Guidance, terminals")
	require.Contains(t, strings.Join(terminals.Notes, " "), "not added up along the path")
	require.InDelta(t, 42.15449935, value(t, terminals, 0, "sound power, rough estimate"), 1e-5)
	require.InDelta(t, out, value(t, terminals, 0, "air at the terminal"), 1e-4)

	// What is asked for alone; inches; nothing.
	b = Schedules(guided(&sizing.GuideSpec{Noise: true, Place: loss.InRoom}))
	runs = find(t, b, "Guidance")
	require.Len(t, runs.Columns, 8)
	require.Nil(t, runs.Total)
	quick := guided(&sizing.GuideSpec{Noise: true, Place: loss.InRoom, Conductance: 0.8, Around: 30, Inside: 16})
	quick.Des.Runs[0].Velocity, quick.Words = 9, words.In(true)
	b = Schedules(quick)
	require.Equal(t, "faster", find(t, b, "Guidance").Rows[0][at(t, find(t, b, "Guidance"), "against the guide")].Text)
	require.InDelta(t, out*9/5+32, value(t, find(t, b, "Guidance"), 0, "air out"), 1e-4)
	require.InDelta(t, 1, value(t, find(t, b, "Guidance, systems"), 0, "runs faster than the guide"), 0)
	var text strings.Builder
	Guidance(&text, quick.Net, quick.Des, *quick.Guide, words.In(false))
	require.Contains(t, text.String(), "NC or RC 25 ", "the strictest of the table where none is asked for")
	require.Regexp(t, `(?m)^  r1 +9 m/s +8.6 m/s +\d+ dB +faster +16.0 °C +[\d.]+ °C +\d+ W$`, text.String())
	for _, table := range Schedules(guided(nil)).Tables {
		require.NotContains(t, table.Name, "Guidance")
	}
}

// The basis has every limit by its place, and what the optimised method weighs.
func TestBasis(t *testing.T) {
	job := guided(nil)
	job.Spec = sizing.Spec{Method: sizing.Optimised, UpstreamMethod: sizing.ConstVelocity, Velocity: 4.5,
		Velocities:  sizing.ByPlace{Main: 6},
		MaxVelocity: 7.5, MaxVelocities: sizing.ByPlace{Branch: 5, Runout: 3}, Rate: 0.65, MaxAspect: 4,
		Costs:    sizing.Costs{Duct: 60, Energy: 0.12, Hours: 4000, Worth: 8, Efficiency: 0.6},
		Fittings: duct.FittingRules{BranchDampers: true, FlexibleMost: 2}}
	got := map[string]string{}
	table := find(t, Schedules(job), "Summary")
	for _, row := range table.Rows {
		got[row[2].Text] = row[1].Text
	}
	for from, want := range map[string]string{"sizing.velocity": "4.5 m/s", "sizing.velocity_main": "6 m/s",
		"sizing.max_velocity": "7.5 m/s", "sizing.max_velocity_branch": "5 m/s", "sizing.max_velocity_runout": "3 m/s",
		"sizing.costs.duct": "60", "sizing.costs.energy": "0.12", "sizing.costs.hours": "4000",
		"sizing.costs.worth":      "8",
		"sizing.costs.efficiency": "0.6", "sizing.flexible_most": "2000 mm"} {
		require.Equal(t, want, got[from], from)
	}
	require.Contains(t, got["sizing.branch_dampers"], "every branch")
	require.NotContains(t, got, "sizing.velocity_branch")
	job.Spec = sizing.Spec{Method: sizing.EqualFriction}
	table = find(t, Schedules(job), "Summary")
	for _, row := range table.Rows {
		require.NotContains(t, row[2].Text, "costs")
		require.NotContains(t, row[2].Text, "velocity")
	}
}
