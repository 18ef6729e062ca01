package sizing_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/stretchr/testify/require"
)

// values are the named values of a coefficient, as they are printed under its formula.
type values map[string]float64

// angle returns sine and cosine of half the angle in degrees by that name.
func (v values) half(name string) float64 { return math.Sin(v[name] * math.Pi / 360) }
func (v values) cos(name string) float64  { return math.Cos(v[name] * math.Pi / 180) }
func (v values) tan2(name string) float64 { return math.Tan(v[name] * math.Pi / 360) }

// along interpolates a printed list of values between its places.
func along(x float64, places, list []float64) float64 {
	for i := 1; i < len(places); i++ {
		if x <= places[i] {
			return list[i-1] + (list[i]-list[i-1])*(x-places[i-1])/(places[i]-places[i-1])
		}
	}
	return list[len(list)-1]
}

func entry45(x float64) float64 {
	if x < 0.8 || x > 1.32 {
		return 1/(x*x) - 1.175/x + 0.546
	}
	return along(x, []float64{0.8, 0.879, 1.021, 1.125, 1.32}, []float64{0.64, 0.58, 0.38, 0.29, 0.23})
}

// formulas are those of coefficients as they are printed, up to where words of validity follow, evaluated from the
// values printed under them. None uses anything but its text.
var formulas = map[string]func(v values) float64{
	"C = 0.5, square edge":            func(values) float64 { return 0.5 },
	"C = 1, all the velocity":         func(values) float64 { return 1 },
	"C = kRe A1(angle) B1(r/D) C1(H/": func(v values) float64 { return v["kRe"] * v["A1"] * v["B1"] * v["C1"] },
	"C = 0.2 A1(angle)":               func(v values) float64 { return 0.2 * v["A1"] },
	"C = (0.95 + 33.5/a)(0.95 sin^2(a/2) + 2.05 sin^4(a/2))": func(v values) float64 {
		s := v.half("angle")
		c := (0.95 + 33.5/v["angle"]) * (0.95*s*s + 2.05*s*s*s*s)
		if c1, ok := v["C1"]; ok {
			c *= c1
		}
		return c
	},
	"C = (0.10 + 2.4 f) sin(a/2)": func(v values) float64 {
		s, f := v.half("angle"), v["f"]
		return (0.10+2.4*f)*s + 6.6*f*(math.Sqrt(s)+s)/math.Pow(v["r/D"], 4*v["angle"]/180)
	},
	"C = 0.0696 sin(a/2)(1 - b^5) l^2": func(v values) float64 {
		if v["angle"] == 0 {
			return 0
		}
		b := math.Sqrt(v["A2/A1"])
		l := 1 + 0.622*math.Pow(v["angle"]/180, 0.8)*(1-0.215*b*b-0.785*math.Pow(b, 5))
		return 0.0696*v.half("angle")*(1-math.Pow(b, 5))*l*l + (l-1)*(l-1)
	},
	"C = 8.30 tan(a/2)^1.75 (1 - n)^2": func(v values) float64 {
		return 8.30 * math.Pow(v.tan2("angle"),
			1.75) * opened(v)
	},
	"C = (1.366 sqrt(sin(2(a - 15))) - 0.170)(1 - n)^2": func(v values) float64 {
		return (1.366*math.Sqrt(math.Sin(2*(v["angle"]-15)*math.Pi/180)) - 0.170) * opened(v)
	},
	"C = (1.366 sqrt(sin(2(a - 15))) - 0.170 - 3.28 (0.0625 - n^2) sqrt((a - 20)/40))(1 - n)^2": func(v values) float64 {
		n := v["A1/A2"]
		return (1.366*math.Sqrt(math.Sin(2*(v["angle"]-15)*math.Pi/180)) - 0.170 -
			3.28*(0.0625-n*n)*math.Sqrt((v["angle"]-20)/40)) * opened(v)
	},
	"C = (1.205 - 0.20 sqrt((a - 60)/120))(1 - n)^2": func(v values) float64 {
		return (1.205 - 0.20*math.Sqrt((v["angle"]-60)/120)) * opened(v)
	},
	"C = (1.205 - 3.28 (0.0625 - n^2) - 12.8 n^3 sqrt((a - 60)/120))(1 - n)^2": func(v values) float64 {
		n := v["A1/A2"]
		return (1.205 - 3.28*(0.0625-n*n) - 12.8*n*n*n*math.Sqrt((v["angle"]-60)/120)) * opened(v)
	},
	"C = t A (1 + x^2 - 2 x cos a) + (1 - t)(1 + x^2 - 2 x cos a - K'b x^2)": func(v values) float64 {
		x, t := v["x"], v["t"]
		m := 1 + x*x - 2*x*v.cos("angle")
		return t*v["A"]*m + (1-t)*(m-v["K'b"]*x*x)
	},
	"C = 1 + x^2 - 2 x cos a - K'b x^2": func(v values) float64 {
		x := v["x"]
		return 1 +
			x*x - 2*x*v.cos("angle") - v["K'b"]*x*x
	},
	"C = t 0.4 (1 - y)^2 + (1 - t)(k (": func(v values) float64 {
		y, t := v["y"], v["t"]
		c := t * 0.4 * (1 - y) * (1 - y)
		if t < 1 {
			c += (1 - t) * math.Max(0, v["k"]*(0.5345*math.Pow(y, 4)-1.124*math.Pow(y, 3)+1.73*y*y)-2.146*y+1.0005)
		}
		return c
	},
	"C = A (1 + x^2 - 2 (1-q)^2 - 2 q^2 cos a Ac/Ab)": func(v values) float64 {
		x, q := v["x"], v["Qb/Qc"]
		return v["A"] * (1 + x*x - 2*(1-q)*(1-q) - 2*q*q*v.cos("angle")/v["Ab/Ac"])
	},
	"C = A (1 + x^2 - 2 qs^2 - 2 q^2 cos a Ac/Ab - 2 sum": func(v values) float64 {
		x, q := v["x"], v["Qb/Qc"]
		return v["A"] * (1 + x*x - 2*v["qs"]*v["qs"] - 2*q*q*v.cos("angle")/v["Ab/Ac"] - 2*v["sum of q'^2 cos a' Ac/Ab'"])
	},
	"C = t (1.55 q - q^2) + (1 - t)(1 - (1-q)^2 - F q^2 Ac/Ab)": func(v values) float64 {
		q, t := v["Qb/Qc"], v["t"]
		return t*(1.55*q-q*q) + (1-t)*(1-(1-q)*(1-q)-v["F"]*q*q/v["Ab/Ac"])
	},
	"C = 1 + x^2 - 2 (q^2 cos a Ac/Ab + q'^2 cos a' Ac/Ab')": func(v values) float64 {
		x, q, q2 := v["x"], v["Qb/Qc"], v["q'"]
		return 1 + x*x - 2*(q*q*v.cos("angle")/v["Ab/Ac"]+q2*q2*v.cos("a'")/v["Ab'/Ac"])
	},
	"C = 1 + 1.5 x^2": func(v values) float64 { return 1 + 1.5*v["x"]*v["x"] },
	"C = A (1 + (Ac/Ab)^2 + 3 (Ac/Ab)^2 (q^2 - q))": func(v values) float64 {
		k, q := 1/v["Ab/Ac"], v["Qb/Qc"]
		return v["A"] * (1 + k*k + 3*k*k*(q*q-q))
	},
	"C 0.64, 0.58, 0.38, 0.29, 0.23 at x = Vb/Vc": func(v values) float64 { return entry45(v["x"]) },
	"0.87/0.64 times that of a 45 degree entry":   func(v values) float64 { return 0.87 / 0.64 * entry45(v["x"]) },
	"C = y^2 Cs, Cs 0.20, 0.165, 0.15, 0.14, 0.135, 0.15 at y": func(v values) float64 {
		y := v["y"]
		if y < 0.5 {
			return 0.2 * (1 - y) * (1 - y)
		}
		return y * y * along(y, []float64{0.5, 0.6, 0.7, 0.8, 0.9, 1.16},
			[]float64{0.20, 0.165, 0.15, 0.14, 0.135, 0.15})
	},
}

func init() { // of others of the table
	formulas["C = C of a contraction to m + C of an expansion from n (Vup/Vdown)^2"] = func(v values) float64 {
		n, open := v["n, side before over side after where it opens"], v["angle there"]
		shut := values{"A2/A1": v["m, side after over side before where it closes"], "angle": v["angle there, closing"]}
		opens := values{"A1/A2": n, "angle": open}
		key := "C = (1.205 - 0.20 sqrt((a - 60)/120))(1 - n)^2"
		switch {
		case open == 0:
			return formulas["C = 0.0696 sin(a/2)(1 - b^5) l^2"](shut)
		case open <= 20:
			key = "C = 8.30 tan(a/2)^1.75 (1 - n)^2"
		case open <= 60 && n < 0.25:
			key = "C = (1.366 sqrt(sin(2(a - 15))) - 0.170 - 3.28 (0.0625 - n^2) sqrt((a - 20)/40))(1 - n)^2"
		case open <= 60:
			key = "C = (1.366 sqrt(sin(2(a - 15))) - 0.170)(1 - n)^2"
		case n < 0.25:
			key = "C = (1.205 - 3.28 (0.0625 - n^2) - 12.8 n^3 sqrt((a - 60)/120))(1 - n)^2"
		}
		return formulas["C = 0.0696 sin(a/2)(1 - b^5) l^2"](shut) + formulas[key](opens)*v["(Vup/Vdown)^2"]
	}
}

// opened is (1 - n)^2 of an expansion, times the factor of one on both pairs of sides.
func opened(v values) float64 {
	c := (1 - v["A1/A2"]) * (1 - v["A1/A2"])
	if p, ok := v["pyramid"]; ok {
		c *= p
	}
	return c
}

var valueText = regexp.MustCompile(`(?:^|, )([^=]+?) = ` + numeral)

// formulaText is how a line with a formula begins.
var formulaText = regexp.MustCompile(`^    (C |0\.87|pyramid times )`)

const damperText = ", and the damper's on the velocity pressure of the branch"

// coefficient redoes the coefficient of the fitting in line i from the two lines below it, and reports which formula it
// was.
func (r *reader) coefficient(i int, own float64) (formula string) {
	j := i + 1
	for ; j < len(r.lines) && !formulaText.MatchString(r.lines[j]); j++ {
		if !strings.HasPrefix(r.lines[j], "    ") || strings.Contains(r.lines[j], "source:") {
			return "" // a coefficient of the office's own, or of a note
		}
	}
	text := strings.TrimPrefix(strings.TrimSpace(r.lines[j]), "pyramid times ")
	v := values{}
	for _, m := range valueText.FindAllStringSubmatch(strings.TrimSpace(r.lines[j+1]), -1) {
		x, err := strconv.ParseFloat(m[2], 64)
		require.NoError(r, err, r.lines[j+1])
		v[m[1]] = x
	}
	for key, f := range formulas {
		if strings.HasPrefix(text, key) && len(key) > len(formula) {
			formula = key
			v["redone"] = f(v)
		}
	}
	require.NotEmpty(r, formula, "no reader knows how to redo\n%s\n%s", r.lines[j], r.lines[j+1])
	want := v["redone"]
	if strings.Contains(text, damperText) {
		m := pattern("velocity # m/s").FindStringSubmatch(r.lines[j+1])
		on, err := strconv.ParseFloat(m[1], 64)
		require.NoError(r, err)
		want += v["C of the damper, on the branch"] * (own / on) * (own / on)
	}
	// The points of the eased branches are printed to three digits.
	near := 1e-4
	if strings.HasPrefix(text, "C 0.") || strings.HasPrefix(text, "0.87") {
		near = 4e-3
	}
	require.InDelta(r, v["C"], want, near*(1+math.Abs(want)), "%s\n%s\n%s", r.lines[i], r.lines[j], r.lines[j+1])
	return formula
}
