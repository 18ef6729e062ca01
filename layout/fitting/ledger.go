package fitting

import (
	"math"

	"twinline/layout/duct"
)

// ledger is how the length of every run is shared by the fittings on it.
type ledger struct {
	*given
	ends   [][2]share // by run and end
	change []float64  // by run: the length its changes of size and offsets want
	within []bool     // by run: it lies wholly within a row of junctions
}

// share is what one end of a run gives to the fittings there, in metres along its axis.
type share struct {
	fixed float64 // to a junction, or inside a unit
	mouth float64 // to what the mouth of a branch takes beyond that
	want  float64 // to a bend as the rules want it
	least float64 // to the tightest bend there is
	has   float64 // to the bend as it is made
}

// taken returns what no bend can have of the run.
func (k share) taken() float64 { return k.fixed + k.mouth }

func newLedger(g *given) *ledger {
	n := len(g.net.Runs)
	return &ledger{g, make([][2]share, n), make([]float64, n), make([]bool, n)}
}

// of returns the share of the end of a run a leg is.
func (b *ledger) of(l *duct.Leg) *share { return &b.ends[l.Run.ID][l.End] }

// room returns how much of a run the bend at one of its ends may take. What junctions and the change of size leave is
// shared by the bends at both ends: each gets what it wants if the other one can do with the rest, else they
// share alike; neither less than its tightest, while there is that much without the change of size.
func (b *ledger) room(r duct.RunID, at duct.End) float64 {
	k := &b.ends[r]
	mine, other := k[at], k[1-at]
	free := math.Max(0, b.axes.long[r]-mine.taken()-other.taken())
	rest := free - b.change[r]
	switch {
	case mine.want+other.want <= rest:
		return mine.want
	case mine.least+other.least >= free:
		if mine.least+other.least == 0 {
			return 0
		}
		return free * mine.least / (mine.least + other.least)
	case mine.least+other.least >= rest:
		return mine.least
	}
	share := rest / 2
	switch {
	case mine.want <= share:
		share = mine.want
	case other.want <= share:
		share = rest - other.want
	}
	return math.Min(math.Max(share, mine.least), rest-other.least)
}

// left returns what junctions and bends leave of a run.
func (b *ledger) left(r duct.RunID) float64 {
	k := &b.ends[r]
	return b.axes.long[r] - k[duct.Near].taken() - k[duct.Far].taken() - k[duct.Near].has - k[duct.Far].has
}
