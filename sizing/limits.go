package sizing

import (
	"math"

	"twinline/layout/duct"
	"twinline/sizing/loss"
)

// limits are what a size has to keep within.
type limits struct {
	wall
	shape    duct.Shape
	height   duct.Length   // of an upright size; 0 none
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

// carries returns the largest flow that keeps within the limits of l in size s.
func (l *limits) carries(s duct.Size) duct.Flow {
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

// halvings is how often an interval is halved in search of a size, at most.
const halvings = 200

// halve narrows lo..hi to the place from which on high holds, relatively to tol of hi.
func halve[T ~float64](lo, hi T, tol float64, high func(T) bool) T {
	for range halvings {
		mid := (lo + hi) / 2
		if high(mid) {
			hi = mid
		} else {
			lo = mid
		}
		if float64(hi-lo) < tol*float64(hi) {
			break
		}
	}
	return hi
}

// byVelocity reports whether it is the velocity, not friction, that bounds what s carries.
func (l *limits) byVelocity(s duct.Size) bool {
	return l.velocity > 0 && (l.rate <= 0 || l.wall.rate(s, duct.Flow(float64(l.velocity)*float64(s.Area()))) <= l.rate)
}

// exact returns the diameter of the round duct that carries q at the limits of l.
func (l *limits) exact(q duct.Flow) duct.Length {
	if !(q > leastFlow) || math.IsInf(float64(q), 0) {
		return 0
	}
	d := loss.DiameterForVelocity(q, l.velocity)
	if l.rate <= 0 || d > 0 && l.wall.rate(duct.RoundOf(d), q) <= l.rate {
		return d
	}
	return l.atRate(q)
}

// The first guess of a diameter takes this friction factor and this power of the diameter; the power is then
// followed from step to step, within what it can be from laminar to rough flow.
const (
	guessFactor           = 0.02
	guessPower            = -5.1
	leastPower, mostPower = -7, -3
	diameterTol           = 1e-13 // relative, of the diameter
	slopeLeast            = 1e-9  // steps smaller than this say nothing about the power any more
)

// atRate returns the diameter of the round duct in which q loses the limit of friction. It is Newton's
// method on the logarithms, the slope taken from the last two steps.
func (l *limits) atRate(q duct.Flow) duct.Length {
	x := math.Log(8*guessFactor*float64(l.air.Density)*float64(q)*float64(q)/(math.Pi*math.Pi*float64(l.rate))) / 5
	off := func(x float64) float64 {
		return math.Log(float64(l.wall.rate(duct.RoundOf(duct.Length(math.Exp(x))), q) / l.rate))
	}
	y, power := off(x), guessPower
	for range flowMost {
		step := -y / power
		x += step
		if math.Abs(step) < diameterTol {
			break
		}
		y2 := off(x)
		if math.Abs(step) > slopeLeast {
			power = math.Max(leastPower, math.Min(mostPower, (y2-y)/step))
		}
		y = y2
	}
	return duct.Length(math.Exp(x))
}

// floor is what a size has to cover: that of the pieces it feeds.
type floor struct {
	equivalent    duct.Length // equivalent diameter
	width, height duct.Length // upright sizes
}

// covers reports whether s is no smaller than f: a round duct by its diameter, an upright one
// by both sides where those it feeds are upright as well, and by equivalent diameter where
// shapes differ.
func (f floor) covers(s duct.Size) bool {
	const k = 1 - stepSlack
	if float64(s.Equivalent()) < float64(f.equivalent)*k {
		return false
	}
	return s.Shape == duct.Round || float64(s.Width) >= float64(f.width)*k && float64(s.Height) >= float64(f.height)*k
}

// with returns the floor that covers s too, when it is asked of a size of the given shape and height limit.
// Where the limit keeps the height below that of s, or s may stand no higher than something
// else decided, sides are not compared.
func (f floor) with(s duct.Size, own *limits) floor {
	f.equivalent = max(f.equivalent, s.Equivalent())
	if s.Shape != duct.Round && own.shape != duct.Round && (own.height <= 0 || s.Height <= own.height) {
		f.width, f.height = max(f.width, s.Width), max(f.height, s.Height)
	}
	return f
}
