package duct

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A unit of a quantity, with its spellings in small letters. A space in a spelling stands for
// any number of spaces and dots, so that "in w g" reads in.wg, in. w.g. and inwg alike; spaces
// may stand around a stroke.
type unit[T ~float64] struct {
	size  T
	spell []string
}

// Inch and foot marks come straight, as primes and as the typographic quotes word processors make of them.
var (
	inchWords = []string{`"`, "''", "″", "”", "“", "inches", "inch", "in"}
	footWords = []string{"'", "′", "’", "feet", "foot", "ft"}

	lengthUnits = []unit[Length]{
		{Inch, inchWords},
		{Foot, footWords},
		{Millimetre, []string{"mm"}},
		{Centimetre, []string{"cm"}},
		{Metre, []string{"metres", "metre", "meters", "meter", "m"}},
	}
	flowUnits = []unit[Flow]{
		{CubicFootPerMinute, []string{"cfm", "ft3/min", "ft³/min"}},
		{LitrePerSecond, []string{"l/s", "l/sec", "lps"}},
		{CubicMetrePerHour, []string{"m3/h", "m³/h", "m^3/h", "m3/hr", "m³/hr"}},
		{1, []string{"m3/s", "m³/s", "m^3/s"}},
	}
	pressureUnits = []unit[Pressure]{
		{InchOfWater, []string{`" w g`, `" w c`, "″ w g", "” w g", "'' w g", "in w g", "in w c", "in h2o", "in wg",
			"in wc"}},
		{Pascal, []string{"pa"}},
		{Kilopascal, []string{"kpa"}},
	}
	velocityUnits = []unit[Velocity]{
		{FootPerMinute, []string{"fpm", "ft/min"}},
		{1, []string{"m/s"}},
	}
)

// errNoNumber says that a text does not begin with a number. The errors of Cut functions that
// are not errNoNumber or errNoUnit are about a number that cannot be read.
var (
	errNoNumber = errors.New("there is no number")
	errNoUnit   = errors.New("there is no unit")
)

// mostNumber bounds what is taken for a number: no quantity of a building comes near it.
const mostNumber = 1e9

// CutNumber reads the number at the front of s: digits with a sign, a decimal point or comma,
// or an inch fraction such as 1/2 or 6 1/2 or 6-1/2. It returns what follows. A comma before exactly
// three digits, as in 1,200, can mean two numbers a thousand times apart and is an error,
// but for a leading zero.
func CutNumber(s string) (v float64, rest string, err error) {
	text, sign := strings.TrimLeft(s, " "), 1.0
	switch {
	case strings.HasPrefix(text, "+"):
		text = text[1:]
	case strings.HasPrefix(text, "-"):
		text, sign = text[1:], -1
	case strings.HasPrefix(text, "−"): // the typographic minus
		text, sign = strings.TrimPrefix(text, "−"), -1
	}
	whole := digits(text)
	v, rest, err = cutDecimal(text)
	if err != nil {
		return 0, s, err
	}
	if len(whole) == len(text)-len(rest) && whole != "" { // no decimals: a fraction may follow
		switch f, after, ok := cutFraction(rest); {
		case strings.HasPrefix(rest, "/"):
			if d, after, ok := cutInteger(rest[1:]); ok && d > 0 {
				v, rest = v/d, after
			}
		case ok:
			v, rest = v+f, after
		}
	}
	if v > mostNumber {
		return 0, s, fmt.Errorf("%q is too large a number", strings.TrimSpace(s[:len(s)-len(rest)]))
	}
	return sign * v, rest, nil
}

func digits(s string) string {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return s[:n]
}

// cutDecimal reads digits with at most one decimal point or comma.
func cutDecimal(s string) (v float64, rest string, err error) {
	whole := digits(s)
	rest = s[len(whole):]
	text := whole
	if rest != "" && (rest[0] == '.' || rest[0] == ',') {
		part := digits(rest[1:])
		after := rest[1+len(part):]
		if rest[0] == ',' && len(part) == 3 && whole != "" && whole[0] != '0' {
			return 0, s, fmt.Errorf("%s,%s can mean %s.%s or %s%s; write one of them", whole, part, whole, part, whole,
				part)
		}
		if len(part) > 0 && len(after) > 1 && (after[0] == '.' || after[0] == ',') && digits(after[1:]) != "" {
			return 0, s, fmt.Errorf("%q has two decimal points", whole+rest[:1+len(part)]+after[:1]+digits(after[1:]))
		}
		if part != "" {
			text, rest = whole+"."+part, after
		}
	}
	if text == "" {
		return 0, s, errNoNumber
	}
	v, err = strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, s, fmt.Errorf("%q is too large a number", text)
	}
	return v, rest, nil
}

func cutInteger(s string) (float64, string, bool) {
	d := digits(s)
	v, err := strconv.ParseFloat(d, 64)
	return v, s[len(d):], err == nil
}

// cutFraction reads the " 1/2" or "-1/2" after a whole number.
func cutFraction(s string) (v float64, rest string, ok bool) {
	t := strings.TrimLeft(s, " ")
	if t == s && !strings.HasPrefix(s, "-") {
		return 0, s, false
	}
	t = strings.TrimPrefix(t, "-")
	a, t, ok := cutInteger(t)
	if !ok || !strings.HasPrefix(t, "/") {
		return 0, s, false
	}
	b, t, ok := cutInteger(t[1:])
	if !ok || b <= a {
		return 0, s, false
	}
	return a / b, t, true
}

// cutUnit reads one of the units at the front of s, the longest spelling that fits.
func cutUnit[T ~float64](s string, units []unit[T]) (size T, rest string, ok bool) {
	best := -1
	for _, u := range units {
		for _, w := range u.spell {
			after, fits := cutSpelling(s, w)
			if fits && len(s)-len(after) > best {
				best, size, rest, ok = len(s)-len(after), u.size, after, true
			}
		}
	}
	return size, rest, ok
}

// cutSpelling matches the spelling word at the front of s, after spaces, whatever its case. A
// word that ends in a letter has to end there in s too.
func cutSpelling(s, word string) (rest string, ok bool) {
	s = strings.TrimLeft(s, " ")
	var last rune
	for _, w := range word {
		if w == ' ' {
			s = strings.TrimLeft(s, " .")
			continue
		}
		if w == '/' {
			s = strings.TrimLeft(s, " ")
		}
		r, n := utf8.DecodeRuneInString(s)
		if n == 0 || unicode.ToLower(r) != w {
			return "", false
		}
		s, last = s[n:], w
		if w == '/' {
			s = strings.TrimLeft(s, " ")
		}
	}
	if !unicode.IsLetter(last) && !unicode.IsDigit(last) && last != '³' {
		return s, true
	}
	// The dot of an abbreviation: "in." but not the point of a number.
	if strings.HasPrefix(s, ".") && digits(s[1:]) == "" {
		s = s[1:]
	}
	return s, wordEnds(s)
}

// wordEnds reports whether a word can end before s: no letter or digit follows, but for the
// "x" of a size, as in 18inx10in.
func wordEnds(s string) bool {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 || !unicode.IsLetter(r) && !unicode.IsDigit(r) {
		return true
	}
	if r != 'x' && r != 'X' {
		return false
	}
	t := strings.TrimLeft(s[n:], " ")
	return digits(t) != "" || strings.HasPrefix(t, ".") && len(t) > 1 && digits(t[1:]) != ""
}

// cut reads a number and a unit.
func cut[T ~float64](s string, units []unit[T]) (v T, rest string, err error) {
	n, rest, err := CutNumber(s)
	if err != nil {
		return 0, s, err
	}
	size, rest, ok := cutUnit(rest, units)
	if !ok {
		return 0, s, errNoUnit
	}
	return T(n) * size, rest, nil
}

// CutFlow reads an airflow with its unit at the front of s and returns what follows.
func CutFlow(s string) (v Flow, rest string, err error) { return cut(s, flowUnits) }

// CutPressure reads a pressure with its unit at the front of s and returns what follows.
func CutPressure(s string) (v Pressure, rest string, err error) { return cut(s, pressureUnits) }

// CutLength reads a length at the front of s and returns what follows: with one unit, or feet
// and inches (10'-6 1/2", 10' 6", 10 ft 6 in).
func CutLength(s string) (v Length, rest string, err error) {
	n, rest, err := CutNumber(s)
	if err != nil {
		return 0, s, err
	}
	size, rest, ok := cutUnit(rest, lengthUnits)
	if !ok {
		return 0, s, errNoUnit
	}
	v = Length(n) * size
	if size != Foot || n != math.Trunc(n) {
		return v, rest, nil
	}
	inches, after, ok := cutInches(rest)
	if !ok {
		return v, rest, nil
	}
	if strings.HasPrefix(strings.TrimSpace(s), "-") {
		inches = -inches
	}
	return v + inches, after, nil
}

// cutInches reads the inches after feet. The inch mark may be missing after a hyphen, as in 10'-6.
func cutInches(s string) (v Length, rest string, ok bool) {
	t := strings.TrimLeft(s, " ")
	hyphen := strings.HasPrefix(t, "-")
	t = strings.TrimLeft(strings.TrimPrefix(t, "-"), " ")
	if digits(t) == "" {
		return 0, s, false
	}
	n, t, err := CutNumber(t)
	if err != nil || n >= float64(Foot/Inch) {
		return 0, s, false
	}
	if _, after, ok := cutUnit(t, lengthUnits[:1]); ok {
		return Length(n) * Inch, after, true
	}
	return Length(n) * Inch, t, hyphen && wordEnds(t)
}

// whole is cut for a text that has to hold nothing more; what names the quantity.
func whole[T ~float64](s, what string, cutOne func(string) (T, string, error), examples string) (T, error) {
	v, rest, err := cutOne(s)
	switch {
	case errors.Is(err, errNoNumber):
		return 0, fmt.Errorf("%q is no %s; write it like %s", s, what, examples)
	case errors.Is(err, errNoUnit):
		return 0, fmt.Errorf("%q has no unit of %s; write it like %s", s, what, examples)
	case err != nil:
		return 0, err
	case strings.TrimSpace(rest) != "":
		return 0, fmt.Errorf("%q has more after the %s: %q; write it like %s", s, what, strings.TrimSpace(rest),
			examples)
	}
	return v, nil
}

// ParseLength reads a length with its unit: in, ", ft, ', feet and inches, mm, cm, m.
func ParseLength(s string) (Length, error) {
	return whole(s, "length", CutLength, `250 mm, 1.2 m, 10 in or 10'-6"`)
}

// ParseFlow reads an airflow with its unit: cfm, L/s, m3/h, m3/s.
func ParseFlow(s string) (Flow, error) {
	return whole(s, "airflow", CutFlow, "220 cfm, 105 L/s, 380 m3/h or 0.11 m3/s")
}

// ParsePressure reads a pressure with its unit: in.wg, Pa, kPa.
func ParsePressure(s string) (Pressure, error) {
	return whole(s, "pressure", CutPressure, "0.6 in.wg or 150 Pa")
}

// ParseVelocity reads a velocity with its unit: fpm, m/s.
func ParseVelocity(s string) (Velocity, error) {
	return whole(s, "velocity", func(s string) (Velocity, string, error) { return cut(s, velocityUnits) },
		"900 fpm or 4.5 m/s")
}

// ParseRate reads a pressure loss by length, such as 0.65 Pa/m or 0.08 in.wg/100ft.
func ParseRate(s string) (Rate, error) {
	return whole(s, "friction rate", cutRate, "0.65 Pa/m or 0.08 in.wg/100ft")
}

func cutRate(s string) (Rate, string, error) {
	p, rest, err := CutPressure(s)
	if err != nil {
		return 0, s, err
	}
	rest = strings.TrimLeft(rest, " ")
	over, found := strings.CutPrefix(rest, "/")
	if !found {
		over, found = strings.CutPrefix(rest, "per")
	}
	if !found {
		return 0, s, errNoUnit
	}
	n, after, err := CutNumber(over)
	if err != nil { // "per metre" needs no number
		n, after = 1, over
	}
	size, after, ok := cutUnit(after, lengthUnits)
	if !ok || n <= 0 {
		return 0, s, errNoUnit
	}
	return Rate(float64(p) / (n * float64(size))), after, nil
}

// ParseTemperature reads a temperature in °C or °F and returns it in °C.
func ParseTemperature(s string) (float64, error) {
	n, rest, err := CutNumber(s)
	if err == nil {
		letter := strings.ToUpper(strings.TrimSpace(rest))
		for _, mark := range []string{"°", "º", "DEG"} {
			letter = strings.TrimSpace(strings.TrimPrefix(letter, mark))
		}
		switch letter {
		case "C":
			return n, nil
		case "F":
			return Fahrenheit(n), nil
		}
	}
	return 0, fmt.Errorf("%q is no temperature; write it like 20 °C or 68 °F", s)
}

// ParseDensity reads a density, such as 0.978 kg/m3 or 0.075 lb/ft3.
func ParseDensity(s string) (Density, error) {
	n, rest, err := CutNumber(s)
	unit, ok := map[string]Density{"kg/m3": 1, "kg/m³": 1, "lb/ft3": PoundPerCubicFoot,
		"lb/ft³": PoundPerCubicFoot}[strings.ToLower(strings.ReplaceAll(rest, " ", ""))]
	if err != nil || !ok {
		return 0, fmt.Errorf("%q is no density; write it like 1.2 kg/m3 or 0.075 lb/ft3", s)
	}
	return Density(n) * unit, nil
}

// ParseAngle reads an angle in degrees and returns it in radians.
func ParseAngle(s string) (float64, error) {
	n, rest, err := CutNumber(s)
	unit := strings.ToLower(strings.TrimSpace(rest))
	if err != nil || !slices.Contains([]string{"deg", "°", "º", "degree", "degrees"}, unit) {
		return 0, fmt.Errorf("%q is no angle; write it like 30 deg", s)
	}
	return n * Degree, nil
}

// FlowUnits, PressureUnits and LengthUnits list the usual spelling of each unit, for messages.
func FlowUnits() []string { return []string{"cfm", "L/s", "m3/h", "m3/s"} }

// PressureUnits lists the usual spelling of each unit of pressure.
func PressureUnits() []string { return []string{"in.wg", "Pa", "kPa"} }

// LengthUnits lists the usual spelling of each unit of length.
func LengthUnits() []string { return []string{"in", "ft", "mm", "cm", "m"} }
