package report

import (
	"math"
	"slices"

	"twinline/layout/duct"
	"twinline/layout/words"
)

// stepKind is what a step of a path is.
type stepKind uint8

const (
	stepRun stepKind = iota
	stepFitting
	stepStack
	stepEnd
)

// step is a piece of a path, with what is lost in it and up to its end.
type step struct {
	kind        stepKind
	system      *duct.System
	piece, what string
	size        duct.Size
	flow        duct.Flow      // of a run or terminal
	run         duct.RunResult // of a run
	fitting     duct.Fitting   // of a fitting
	loss, sum   duct.Pressure
	source      string
}

// paths adds up the deciding path of every system piece by piece, along the air.
func (s *scheduler) paths() Table {
	byRun := make([][]duct.Fitting, len(s.Net.Runs))
	for _, f := range s.Des.Fittings {
		if f.Run != duct.None {
			byRun[f.Run] = append(byRun[f.Run], f)
		}
	}
	var rows []step
	for i := range s.Net.Systems {
		if d := s.Des.Systems[i].Deciding; d != duct.None {
			rows = append(rows, s.steps(&s.Net.Systems[i], &s.Net.Terminals[d], byRun)...)
		}
	}
	return tabulate(Table{Name: "Deciding paths", Title: "Deciding paths, piece by piece along the air",
		Notes: []string{"The last sum of a system is the pressure its unit has to give. C stands on the velocity pressure " +
			"of the reference; a loss of less than nothing is pressure regained."}}, rows, []column[step]{
		text("system", func(p step) string { return p.system.Name }),
		text("air", func(p step) string { return p.system.Air.String() }),
		text("piece", func(p step) string { return p.piece }),
		text("what", func(p step) string { return p.what }),
		text("size", func(p step) string { return s.Words.Size(p.size) }),
		amount("length", s.Distance, func(p step) duct.Length { return only(p.kind == stepRun, p.run.Length) }),
		amount("airflow", s.Flow,
			func(p step) duct.Flow { return only(p.kind == stepRun || p.kind == stepEnd, p.flow) }),
		amount("velocity", s.Velocity, func(p step) duct.Velocity { return only(p.kind == stepRun, p.run.Velocity) }),
		amount("friction rate", s.Rate, func(p step) duct.Rate { return only(p.kind == stepRun, p.run.Rate) }),
		amount("C", plain(3), func(p step) float64 { return only(p.kind == stepFitting, p.fitting.C) }),
		text("reference", func(p step) string { return p.fitting.Reference }),
		amount("loss", s.Pressure, func(p step) duct.Pressure { return p.loss }),
		amount("sum", s.Pressure, func(p step) duct.Pressure { return p.sum }),
		text("source", func(p step) string { return p.source }),
	})
}

// path returns the runs between the unit and a terminal, from the unit outwards.
func (s *scheduler) path(x *duct.Terminal) []duct.RunID {
	var out []duct.RunID
	for id := s.Net.LastRun(x); id != duct.None; id = s.Net.Runs[id].Up {
		out = append(out, id)
	}
	slices.Reverse(out)
	return out
}

// steps returns the pieces of one path along the air.
func (s *scheduler) steps(sys *duct.System, x *duct.Terminal, byRun [][]duct.Fitting) []step {
	var out []step
	runs := s.path(x)
	terminal := step{kind: stepEnd, piece: x.Name, what: "terminal", size: s.neck(x), flow: x.Flow, loss: x.Loss,
		source: "as noted"}
	if !sys.Air.FromUnit() {
		slices.Reverse(runs)
		out = append(out, terminal)
	}
	for _, id := range runs {
		out = append(out, s.stepsOf(id, byRun[id])...)
	}
	if sys.Air.FromUnit() {
		out = append(out, terminal)
	}
	var sum duct.Pressure
	for i := range out {
		sum += out[i].loss
		out[i].system, out[i].sum = sys, sum
	}
	return out
}

// leastStack is the pressure under which what a run has beyond friction and fittings is the last bits of sums.
const leastStack = 1e-6 * duct.Pascal

// stepsOf returns a run with its fittings, those where the air enters it first.
func (s *scheduler) stepsOf(id duct.RunID, fittings []duct.Fitting) []step {
	r, res := &s.Net.Runs[id], s.Des.Runs[id]
	var before, after []step
	rest := res.Fittings
	for _, f := range fittings {
		rest -= f.Loss
		p := step{kind: stepFitting, piece: words.Node(f.Node), what: f.Kind.String(), size: f.Own, fitting: f,
			loss: f.Loss, source: f.Source}
		switch {
		case f.Kind == duct.StraightJoint && f.Loss == 0:
		case f.Node == r.To:
			after = append(after, p)
		default:
			before = append(before, p)
		}
	}
	if math.Abs(float64(rest)) > float64(leastStack) {
		after = append(after, step{kind: stepStack, piece: words.Run(id), what: "stack effect", loss: rest,
			source: "weight of the air in vertical runs"})
	}
	friction := step{kind: stepRun, piece: words.Run(id), what: r.Kind.String(), size: res.Size, flow: r.Flow, run: res,
		loss: res.Friction, source: "Darcy-Weisbach, Colebrook"}
	return slices.Concat(before, []step{friction}, after)
}
