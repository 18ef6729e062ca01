package loss

import (
	"fmt"
	"math"
	"strings"

	"twinline/layout/duct"
)

// Reference names the velocity a coefficient is to be multiplied with. Its text is what
// duct.Fitting.Reference and the JSON print.
type Reference uint8

// The reference velocities.
const (
	Own        Reference = iota // of the run the loss is booked on
	Common                      // of the leg that carries all the flow of a junction
	Upstream                    // of the size before the fitting, seen along the air
	Downstream                  // of the size after it
)

func (r Reference) String() string {
	return [...]string{"own", "common", "upstream", "downstream"}[r]
}

// Bound is a quantity that lay outside the range of a formula's source, and the nearest
// value that was used in its place.
// Where the formula was carried on beyond the range, Used is Got.
type Bound struct {
	What      string
	Got, Used float64
	Low, High float64
	Text      string // where it is no quantity: what it is, in words
}

func (b Bound) String() string {
	if b.Text != "" {
		return b.Text
	}
	where := fmt.Sprintf("outside %.3g to %.3g", b.Low, b.High)
	if math.IsInf(b.High, 1) {
		where = fmt.Sprintf("below %.3g", b.Low)
	}
	if b.Used == b.Got {
		return fmt.Sprintf("%s %.3g is %s of its source; the formula was carried on to it", b.What, b.Got, where)
	}
	return fmt.Sprintf("%s %.3g is %s of its source; taken as %.3g", b.What, b.Got, where, b.Used)
}

// Term is one named value that went into a coefficient.
type Term struct {
	Name  string
	Value float64
}

// The room in a Result. Both are fixed so that a coefficient costs no allocation.
const (
	maxTerms  = 10
	maxBounds = 4
)

// Result is what a fitting costs, and how that came about. Loss is always C times Pv; C keeps
// its sign, for a leg of a join can gain energy from the others.
type Result struct {
	C         float64       // on Pv
	Reference Reference     // whose velocity Pv is of
	Velocity  duct.Velocity // that velocity
	Pv        duct.Pressure
	Loss      duct.Pressure
	Own       float64 // the same loss over the velocity pressure of the run it is booked on; 0 where that run is still
	Formula   string  // with symbols
	Source    string  // publication
	InRange   bool    // false: see Bounds

	terms   [maxTerms]Term
	bounds  [maxBounds]Bound
	nTerms  uint8
	nBounds uint8
}

// Terms returns the values that went into the coefficient, in the order of the working.
func (r *Result) Terms() []Term { return r.terms[:r.nTerms] }

// Bounds returns what lay outside the range of the source; empty when InRange.
func (r *Result) Bounds() []Bound { return r.bounds[:r.nBounds] }

// Values returns the terms as text, for an explanation.
func (r *Result) Values() string {
	parts := make([]string, 0, len(r.Terms())+1)
	for _, t := range r.Terms() {
		parts = append(parts, fmt.Sprintf("%s = %.6g", t.Name, t.Value))
	}
	parts = append(parts, fmt.Sprintf("C = %.6g on the %s velocity %.6g m/s", r.C, r.Reference, float64(r.Velocity)))
	return strings.Join(parts, ", ")
}

// Outside returns the bounds as one sentence, "" when InRange.
func (r *Result) Outside() string {
	parts := make([]string, 0, len(r.Bounds()))
	for _, b := range r.Bounds() {
		parts = append(parts, b.String())
	}
	return strings.Join(parts, "; ")
}

// rounding is by how much, relatively, a value may stray over a bound that it would meet but for
// rounding: an angle of 90 degrees worked out from points.
const rounding = 1e-6

func (r *Result) term(name string, v float64) {
	if int(r.nTerms) < maxTerms {
		r.terms[r.nTerms] = Term{name, v}
		r.nTerms++
	}
}

// within returns v brought into low..high, and notes it where that changed it.
func (r *Result) within(what string, v, low, high float64) float64 {
	used := clamp(v, low, high)
	r.bound(Bound{What: what, Got: v, Used: used, Low: low, High: high})
	return used
}

// beyond notes v where it lies outside low..high and the formula is used there all the same.
func (r *Result) beyond(what string, v, low, high float64) {
	r.bound(Bound{What: what, Got: v, Used: v, Low: low, High: high})
}

func (r *Result) bound(b Bound) {
	if b.Text == "" && (Range{b.Low, b.High}).has(b.Got) {
		return
	}
	r.InRange = false
	if int(r.nBounds) < maxBounds {
		r.bounds[r.nBounds] = b
		r.nBounds++
	}
}
