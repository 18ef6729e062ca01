// Dump works out formulas of packages loss and air for another program to judge: it reads lines of
// {"name": "...", "args": [...]} and answers each with one number, SI units, angles in degrees.
// It is used by the outside checks alone.
package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"

	"twinline/layout/duct"
	"twinline/sizing/air"
	"twinline/sizing/loss"
)

const degree = math.Pi / 180

// formula is one formula by its number of arguments.
type formula struct {
	args int
	of   func(a []float64) float64
}

var formulas = map[string]formula{
	"colebrook":       {2, func(a []float64) float64 { return loss.Colebrook(a[0], a[1]) }},
	"friction_factor": {2, func(a []float64) float64 { return loss.FrictionFactor(a[0], a[1]) }},
	"rate_round": {5, func(a []float64) float64 { // D, Q, eps, rho, mu
		return float64(loss.FrictionRate(duct.RoundOf(duct.Length(a[0])), duct.Flow(a[1]), duct.Length(a[2]),
			airOf(a[3:])))
	}},
	"rate_rect": {6, func(a []float64) float64 { // W, H, Q, eps, rho, mu
		return float64(loss.FrictionRate(duct.RectOf(duct.Length(a[0]), duct.Length(a[1])), duct.Flow(a[2]),
			duct.Length(a[3]), airOf(a[4:])))
	}},
	"rennels_elbow": {3, func(a []float64) float64 {
		return a[2]*a[0]*degree*a[1] + loss.RennelsElbowLocal(a[0]*degree, a[1], a[2])
	}},
	"expansion":      {3, func(a []float64) float64 { return loss.Expansion(a[0], a[1]*degree, a[2]) }},
	"contraction":    {3, func(a []float64) float64 { return loss.Contraction(a[0], a[1]*degree, a[2]) }},
	"run_converging": {3, func(a []float64) float64 { return loss.ConvergingStraight(a[0], a[1], a[2]*degree) }},

	// Whole fittings, through the lookup that sizing uses. Each answers with the loss in pascals.
	"fitting_size_change": {6, func(a []float64) float64 { // D up, D down, angle, Q, rho, mu
		f := duct.Fitting{Kind: duct.Expander, Common: round(a[0]), Own: round(a[1]), Angle: a[2] * degree}
		if a[1] < a[0] {
			f.Kind = duct.Reducer
		}
		return lossOf(f, loss.Case{Own: duct.Flow(a[3]), Common: duct.Flow(a[3]), Diverging: true}, a[4:])
	}},
	"fitting_takeoff": {7, func(a []float64) float64 { // D main, D branch, Q main after, Q branch, angle, rho, mu
		f := duct.Fitting{Kind: duct.Takeoff, Common: round(a[0]), Own: round(a[1]), Angle: a[4] * degree}
		others := []loss.Leg{{Size: round(a[0]), Flow: duct.Flow(a[2]), Straight: true}}
		return lossOf(f, loss.Case{Own: duct.Flow(a[3]), Common: duct.Flow(a[2] + a[3]), Others: others,
			Diverging: true}, a[5:])
	}},
	"fitting_through_join": {7, func(a []float64) float64 {
		f := duct.Fitting{Kind: duct.Through, Common: round(a[0]), Own: round(a[0])}
		others := []loss.Leg{{Size: round(a[1]), Flow: duct.Flow(a[3]), Angle: a[4] * degree}}
		return lossOf(f, loss.Case{Own: duct.Flow(a[2]), Common: duct.Flow(a[2] + a[3]), Others: others}, a[5:])
	}},
	"fitting_branch_join": {7, func(a []float64) float64 {
		f := duct.Fitting{Kind: duct.Takeoff, Common: round(a[0]), Own: round(a[1]), Angle: a[4] * degree}
		others := []loss.Leg{{Size: round(a[0]), Flow: duct.Flow(a[2]), Straight: true}}
		return lossOf(f, loss.Case{Own: duct.Flow(a[3]), Common: duct.Flow(a[2] + a[3]), Others: others}, a[5:])
	}},

	"pressure":       {1, func(a []float64) float64 { return float64(air.Pressure(duct.Length(a[0]))) }},
	"saturation":     {1, func(a []float64) float64 { return float64(air.Saturation(a[0])) }},
	"humidity_ratio": {3, func(a []float64) float64 { return air.HumidityRatio(a[0], a[1], duct.Pressure(a[2])) }},
	"density":        {3, func(a []float64) float64 { return float64(air.Density(a[0], duct.Length(a[1]), a[2])) }},
	"viscosity":      {1, func(a []float64) float64 { return air.Viscosity(a[0]) }},
}

func round(d float64) duct.Size { return duct.RoundOf(duct.Length(d)) }

func airOf(a []float64) loss.Air {
	return loss.Air{Density: duct.Density(a[0]), Viscosity: a[1]}
}

func lossOf(f duct.Fitting, c loss.Case, a []float64) float64 {
	r := loss.Coefficient(&f, c, airOf(a))
	return float64(r.Loss)
}

func main() {
	if err := answer(os.Stdin, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "dump:", err)
		os.Exit(1)
	}
}

func answer(in io.Reader, out io.Writer) error {
	w := bufio.NewWriter(out)
	lines := bufio.NewScanner(in)
	for n := 1; lines.Scan(); n++ {
		var q struct {
			Name string
			Args []float64
		}
		if err := json.Unmarshal(lines.Bytes(), &q); err != nil {
			return fmt.Errorf("line %d: %w", n, err)
		}
		f, ok := formulas[q.Name]
		if !ok || len(q.Args) != f.args {
			return fmt.Errorf("line %d: no formula %q of %d arguments", n, q.Name, len(q.Args))
		}
		fmt.Fprintf(w, "%.17g\n", f.of(q.Args))
	}
	if err := lines.Err(); err != nil {
		return err
	}
	return w.Flush()
}
