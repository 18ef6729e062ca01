package sizing

import (
	"math"
	"sort"

	"twinline/layout/duct"
)

// largestSide bounds even steps, which have no end of their own. Common practice: no duct
// of a building is near to it.
const largestSide = 12 * duct.Metre

// stepSlack is the relative slack when a size or a flow is held against a limit, so that a
// value that is the limit but for the last bits keeps within it.
const stepSlack = 1e-9

// ladder is a series of sizes from the least one up.
type ladder struct {
	list  []duct.Length // nil: even steps
	even  duct.Length   // 0 and no list: every length is a step
	first int           // of even steps: how many of them the least size is
	least duct.Length
}

// newLadder returns the steps of s that are not below least.
func newLadder(s Steps, least duct.Length) ladder {
	l := ladder{least: least}
	switch {
	case len(s.List) > 0:
		from := sort.Search(len(s.List), func(i int) bool { return float64(s.List[i]) >= float64(least)*(1-stepSlack) })
		l.list = s.List[from:]
		if l.list == nil {
			l.list = []duct.Length{}
		}
	case s.Even > 0:
		l.even = s.Even
		l.first = max(1, int(math.Ceil(float64(least/s.Even)*(1-stepSlack))))
	}
	return l
}

// stepless reports a ladder in which every length not below the least is a step.
func (l ladder) stepless() bool { return l.list == nil && l.even <= 0 }

// len returns how many steps there are.
func (l ladder) len() int {
	if l.list != nil {
		return len(l.list)
	}
	if l.even <= 0 {
		return 0
	}
	return max(0, int(float64(largestSide/l.even))-l.first+1)
}

// at returns step i, from 0.
func (l ladder) at(i int) duct.Length {
	if l.list != nil {
		return l.list[i]
	}
	return duct.Length(l.first+i) * l.even
}

// index returns the first step not below x; len where there is none.
func (l ladder) index(x duct.Length) int {
	x = duct.Length(float64(x) * (1 - stepSlack))
	if l.list != nil {
		return sort.Search(len(l.list), func(i int) bool { return l.list[i] >= x })
	}
	if l.even <= 0 {
		return 0
	}
	return min(l.len(), max(0, int(math.Ceil(float64(x/l.even)))-l.first))
}

// upto returns how many steps are not over x.
func (l ladder) upto(x duct.Length) int {
	i := l.index(x)
	if i < l.len() && !over(l.at(i), x) {
		i++
	}
	return i
}

// over reports x over a limit that may be none.
func over(x, limit duct.Length) bool {
	return limit > 0 && float64(x) > float64(limit)*(1+stepSlack)
}

// below returns the largest step under x, false where there is none.
func (l ladder) below(x duct.Length) (duct.Length, bool) {
	if i := l.index(x); i > 0 {
		return l.at(i - 1), true
	}
	return 0, false
}
