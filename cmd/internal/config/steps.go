package config

import (
	"fmt"
	"slices"
	"strings"

	"twinline/layout/duct"
	"twinline/sizing"
)

// mm returns lengths given in millimetres.
func mm(v ...float64) []duct.Length {
	out := make([]duct.Length, len(v))
	for i, x := range v {
		out[i] = duct.Length(x) * duct.Millimetre
	}
	return out
}

// The recommended and the intermediate sizes. Source: EN 1506 (round) and EN 1505
// (rectangular sides); the intermediate round sizes and the sides over 1200 mm from memory.
var (
	en1506    = mm(80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600)
	en1506All = mm(63, 80, 100, 125, 140, 150, 160, 180, 200, 224, 250, 280, 300, 315, 355, 400, 450, 500, 560, 600, 630,
		710, 800, 900, 1000, 1120, 1250, 1400, 1600, 1800, 2000)
	en1505 = mm(100, 150, 200, 250, 300, 400, 500, 600, 800, 1000, 1200, 1400, 1600, 1800, 2000)
)

// leastStep is the smallest even step: no maker works to less.
const leastStep = duct.Millimetre

// steps reads the series of sizes: a name, or a list of lengths.
func steps(r *reader, v any) (round, rect sizing.Steps) {
	const key = "sizing.steps"
	switch v := v.(type) {
	case string:
		switch strings.ToLower(strings.TrimSpace(v)) {
		case "even-inch":
			s := sizing.Steps{Name: "even-inch", Even: 2 * duct.Inch}
			return s, s
		case "inch":
			s := sizing.Steps{Name: "inch", Even: duct.Inch}
			return s, s
		case "50mm":
			s := sizing.Steps{Name: "50mm", Even: 50 * duct.Millimetre}
			return s, s
		case "en":
			return sizing.Steps{Name: "EN 1506", List: en1506}, sizing.Steps{Name: "EN 1505", List: en1505}
		case "en-all":
			return sizing.Steps{Name: "EN 1506, with intermediate sizes", List: en1506All}, sizing.Steps{Name: "EN 1505", List: en1505}
		case "exact":
			return sizing.Steps{Name: "exact"}, sizing.Steps{Name: "exact"}
		}
		if even, err := duct.ParseLength(v); err == nil && even >= leastStep {
			s := sizing.Steps{Name: strings.TrimSpace(v), Even: even}
			return s, s
		}
		r.fail(key, "%q is none of even-inch, inch, EN, EN-all, 50mm, exact, an even step of %s or more, nor a list of lengths", v, leastStep.Text(false))
	case []any:
		var list []duct.Length
		for i, x := range v {
			text, ok := x.(string)
			if !ok {
				r.fail(key, "item %d: write the length with its unit in quotes, like \"125 mm\"", i+1)
				continue
			}
			list = append(list, read(r, fmt.Sprintf("%s, item %d", key, i+1), text, duct.ParseLength, false))
		}
		slices.Sort(list)
		list = slices.Compact(list)
		if len(list) == 0 && len(r.errs) == 0 {
			r.fail(key, "the list is empty")
		}
		s := sizing.Steps{Name: "the settings' list", List: list}
		return s, s
	default:
		r.fail(key, "write the name of a series or a list of lengths")
	}
	return
}
