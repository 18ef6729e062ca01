package config

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"twinline/layout/duct"
	"twinline/layout/words"
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
	en1506All = mm(63, 80, 100, 125, 140, 150, 160, 180, 200, 224, 250, 280, 300, 315, 355, 400, 450, 500, 560, 600,
		630,
		710, 800, 900, 1000, 1120, 1250, 1400, 1600, 1800, 2000)
	en1505 = mm(100, 150, 200, 250, 300, 400, 500, 600, 800, 1000, 1200, 1400, 1600, 1800, 2000)
)

// leastStep is the smallest even step: no maker works to less.
const leastStep = duct.Millimetre

// series are the steps of round duct, and of the sides of rectangular.
type series struct{ round, rect sizing.Steps }

func even(name string, step duct.Length) series {
	s := sizing.Steps{Name: name, Even: step}
	return series{s, s}
}

var allSeries = map[string]series{
	"even-inch": even("even-inch", 2*duct.Inch),
	"inch":      even("inch", duct.Inch),
	"50mm":      even("50mm", 50*duct.Millimetre),
	"en":        {sizing.Steps{Name: "EN 1506", List: en1506}, sizing.Steps{Name: "EN 1505", List: en1505}},
	"en-all": {sizing.Steps{Name: "EN 1506, with intermediate sizes", List: en1506All},
		sizing.Steps{Name: "EN 1505", List: en1505}},
	"exact": even("exact", 0),
}

// steps reads the series of sizes: a name, an even step, or a list of lengths.
func steps(v any) (series, error) {
	switch v := v.(type) {
	case string:
		name := strings.TrimSpace(v)
		if s, ok := allSeries[strings.ToLower(name)]; ok {
			return s, nil
		}
		if step, err := duct.ParseLength(v); err == nil && step >= leastStep {
			return even(name, step), nil
		}
		return series{}, fmt.Errorf("%q is none of even-inch, inch, EN, EN-all, 50mm, exact, an even step of %s or more, "+
			"nor a list of lengths", v, words.In(false).Length(leastStep))
	case []any:
		return listed(v)
	}
	return series{}, errors.New("write the name of a series in quotes, or a list of lengths")
}

// listed reads a list of sizes.
func listed(list []any) (series, error) {
	var sizes []duct.Length
	for i, v := range list {
		text, ok := v.(string)
		if !ok {
			return series{}, fmt.Errorf("item %d: write the length with its unit in quotes, like \"125 mm\"", i+1)
		}
		size, err := positive(duct.ParseLength)(text)
		if err != nil {
			return series{}, fmt.Errorf("item %d: %w", i+1, err)
		}
		sizes = append(sizes, size)
	}
	if len(sizes) == 0 {
		return series{}, errors.New("the list is empty")
	}
	slices.Sort(sizes)
	s := sizing.Steps{Name: "the settings' list", List: slices.Compact(sizes)}
	return series{s, s}, nil
}
