package config

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"twinline/layout/duct"
)

// same takes a value as it stands.
func same[T any](v T) (T, error) { return v, nil }

// between returns a reader of numbers of a range.
func between[T int64 | float64](least, most T) func(T) (T, error) {
	return func(v T) (T, error) {
		return v, inRange(v, least, most, "")
	}
}

// inRange reports a number out of a range, with the unit of both as it stands behind a number.
func inRange[T int64 | float64](v, least, most T, unit string) error {
	if !(v >= least && v <= most) {
		return fmt.Errorf("%v is not between %v and %v%s", v, least, most, unit)
	}
	return nil
}

// positive reads a quantity that has to be more than zero.
func positive[T ~float64](parse func(string) (T, error)) func(string) (T, error) {
	return checked(parse, func(v float64) bool { return v > 0 })
}

// notNegative reads a quantity that may be zero.
func notNegative[T ~float64](parse func(string) (T, error)) func(string) (T, error) {
	return checked(parse, func(v float64) bool { return v >= 0 })
}

func checked[T ~float64](parse func(string) (T, error), good func(float64) bool) func(string) (T, error) {
	return func(text string) (T, error) {
		v, err := parse(text)
		if err == nil && (!good(float64(v)) || math.IsInf(float64(v), 0)) {
			err = fmt.Errorf("%q has to be more than zero", text)
		}
		return v, err
	}
}

// orNone is notNegative for a quantity that may be left empty, which gives zero.
func orNone[T ~float64](parse func(string) (T, error)) func(string) (T, error) {
	read := orEmpty(notNegative(parse))
	return func(text string) (T, error) {
		if strings.EqualFold(strings.TrimSpace(text), "none") {
			return 0, nil
		}
		return read(text)
	}
}

// orEmpty reads a value that may be left empty, which gives the zero value.
func orEmpty[T any](parse func(string) (T, error)) func(string) (T, error) {
	return func(text string) (T, error) {
		if strings.TrimSpace(text) == "" {
			var zero T
			return zero, nil
		}
		return parse(text)
	}
}

// notEmpty reads a text that has to be there.
func notEmpty(parse func(string) (string, error)) func(string) (string, error) {
	return func(text string) (string, error) {
		if strings.TrimSpace(text) == "" {
			return text, errors.New("write a name, or leave the key out")
		}
		return parse(text)
	}
}

// within reads a quantity of a range, both in unit.
func within[T ~float64](parse func(string) (T, error), least, most float64, unit string) func(string) (T, error) {
	return func(text string) (T, error) {
		v, err := parse(text)
		if err == nil {
			err = inRange(float64(v), least, most, " "+unit)
		}
		return v, err
	}
}

// plain gives up the type of a quantity.
func plain[T ~float64](parse func(string) (T, error)) func(string) (float64, error) {
	return func(text string) (float64, error) {
		v, err := parse(text)
		return float64(v), err
	}
}

// angle reads an angle of a range in degrees, and returns it in radians.
func angle(least, most float64) func(string) (float64, error) {
	return func(text string) (float64, error) {
		v, err := duct.ParseAngle(text)
		if err == nil && !(v >= least*duct.Degree && v <= most*duct.Degree) {
			err = fmt.Errorf("%s is not between %v and %v deg", text, least, most)
		}
		return v, err
	}
}

// oneOf reads one of the words of table, whatever its case.
func oneOf[T any](table map[string]T) func(string) (T, error) {
	return func(text string) (T, error) {
		words := slices.Sorted(maps.Keys(table))
		i := slices.IndexFunc(words, func(w string) bool { return strings.EqualFold(w, strings.TrimSpace(text)) })
		if i < 0 {
			var none T
			return none, fmt.Errorf("%q is none of %s", text, strings.Join(words, ", "))
		}
		return table[words[i]], nil
	}
}

// named is the table of oneOf for values that know their names.
func named[T fmt.Stringer](values ...T) map[string]T {
	out := map[string]T{}
	for _, v := range values {
		out[v.String()] = v
	}
	return out
}

// scale reads a plot scale such as 1:50, which gives 50.
func scale(text string) (float64, error) {
	one, many, ok := strings.Cut(strings.ReplaceAll(text, " ", ""), ":")
	a, errA := strconv.ParseFloat(one, 64)
	b, errB := strconv.ParseFloat(many, 64)
	if !ok || errors.Join(errA, errB) != nil || a <= 0 || b <= 0 {
		return 1, fmt.Errorf("%q is no scale; write it like 1:50", text)
	}
	return between(0.1, 10000)(b / a)
}
