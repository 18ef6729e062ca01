package sizing

import (
	"math"

	"twinline/layout/duct"
)

// limits are what a size has to keep within.
type limits struct {
	wall
	shape    duct.Shape
	height   duct.Length   // of an upright section; 0 none
	aspect   float64       // longest side over shortest
	rate     duct.Rate     // 0 none
	velocity duct.Velocity // 0 none
}

const (
	flowTol  = 1e-13 // relative, of the flow a size carries at its limits
	flowMost = 80
	// flowPower is how friction goes with flow in turbulent duct; the search below converges for
	// any power from 1 (laminar) to 3.
	flowPower = 1.9
)

// carries returns the largest flow that keeps within the limits of l in section s.
func (l *limits) carries(s duct.Section) duct.Flow {
	q := math.Inf(1)
	if l.velocity > 0 {
		q = float64(l.velocity) * float64(s.Area())
	}
	if l.rate <= 0 {
		return duct.Flow(q)
	}
	if math.IsInf(q, 1) {
		q = 10 * float64(s.Area()) // a first guess; the search below comes down or goes up from it
	} else if l.wall.rate(s, duct.Flow(q)) <= l.rate {
		return duct.Flow(q)
	}
	for range flowMost {
		k := math.Pow(float64(l.rate/l.wall.rate(s, duct.Flow(q))), 1/flowPower)
		q *= k
		if math.Abs(k-1) < flowTol {
			break
		}
	}
	return duct.Flow(q)
}

// exact returns the diameter of the round duct that carries q at the limits of l.
func (l *limits) exact(q duct.Flow) duct.Length {
	if !(q > leastFlow) || math.IsInf(float64(q), 0) {
		return 0
	}
	d := 0.0
	if l.velocity > 0 {
		d = math.Sqrt(4 * float64(q) / (math.Pi * float64(l.velocity)))
	}
	if l.rate <= 0 {
		return duct.Length(d)
	}
	if d == 0 {
		d = math.Sqrt(float64(q)) / 2
	} else if l.wall.rate(duct.RoundOf(duct.Length(d)), q) <= l.rate {
		return duct.Length(d)
	}
	for range flowMost {
		k := math.Pow(float64(l.wall.rate(duct.RoundOf(duct.Length(d)), q)/l.rate), 0.2)
		d *= k
		if math.Abs(k-1) < flowTol {
			break
		}
	}
	return duct.Length(d)
}

// floor is what a section has to cover: that of the pieces it feeds.
type floor struct {
	equivalent    duct.Length // equivalent diameter
	width, height duct.Length // upright sections
}

// covers reports whether s is no smaller than f: a round duct by its diameter, an upright one
// by both sides where those it feeds are upright as well, and by equivalent diameter where
// shapes differ.
func (f floor) covers(s duct.Section) bool {
	const k = 1 - stepSlack
	if float64(s.Equivalent()) < float64(f.equivalent)*k {
		return false
	}
	return s.Shape == duct.Round || float64(s.Width) >= float64(f.width)*k && float64(s.Height) >= float64(f.height)*k
}

// with returns the floor that covers s too, when it is asked of a section of the given shape and height limit.
// Where the limit keeps the height below that of s, or s may stand no higher than something
// else decided, sides are not compared.
func (f floor) with(s duct.Section, own *limits) floor {
	f.equivalent = max(f.equivalent, s.Equivalent())
	if s.Shape != duct.Round && own.shape != duct.Round && (own.height <= 0 || s.Height <= own.height) {
		f.width, f.height = max(f.width, s.Width), max(f.height, s.Height)
	}
	return f
}
