package sizing_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/duct"
	"twinline/sizing"
)

// What --explain prints is redone here from its text alone, with the formulas it names written down anew: what a second
// reader with a calculator does. Numbers are printed with five digits or more; what is worked out from them agrees to
// about that.

// reader is an explanation as a second reader has it.
type reader struct {
	require.TestingT
	text  string
	lines []string
	seen  map[string]int // how often each formula was redone
}

func (r *reader) Helper() {}

const numeral = `([-+]?[0-9]+(?:\.[0-9]+)?(?:e[-+]?[0-9]+)?)`

// pattern turns a line with # for its numbers into a pattern.
func pattern(line string) *regexp.Regexp {
	return regexp.MustCompile(strings.ReplaceAll(regexp.QuoteMeta(line), "#", numeral))
}

var patterns = map[string]*regexp.Regexp{}

// find returns the numbers of the lines that hold a pattern with # for each number.
func (r *reader) find(line string) [][]float64 {
	if patterns[line] == nil {
		patterns[line] = pattern(line)
	}
	var out [][]float64
	for _, l := range r.lines {
		if m := patterns[line].FindStringSubmatch(l); m != nil {
			var v []float64
			for _, s := range m[1:] {
				x, err := strconv.ParseFloat(s, 64)
				require.NoError(r, err, l)
				v = append(v, x)
			}
			out = append(out, v)
		}
	}
	return out
}

// one returns the numbers of the only line with a pattern.
func (r *reader) one(line string) []float64 {
	got := r.find(line)
	require.Len(r, got, 1, "%s\nin\n%s", line, r.text)
	return got[0]
}

// near holds a printed number against what is worked out from other printed ones.
func (r *reader) near(want, got, rel float64, what string) {
	require.InDelta(r, want, got, rel*math.Max(math.Abs(want), 1e-3), "%s\nin\n%s", what, r.text)
}

var sizeText = regexp.MustCompile(`(?:ø([0-9.]+)|([0-9.]+)x([0-9.]+)( oval)?) mm`)

// size reads the first size of a line.
func (r *reader) size(line string) duct.Size {
	m := sizeText.FindStringSubmatch(line)
	require.NotNil(r, m, line)
	number := func(s string) duct.Length {
		x, err := strconv.ParseFloat(s, 64)
		require.NoError(r, err)
		return duct.Length(x / 1000)
	}
	switch {
	case m[1] != "":
		return duct.RoundOf(number(m[1]))
	case m[4] != "":
		return duct.OvalOf(number(m[2]), number(m[3]))
	}
	return duct.RectOf(number(m[2]), number(m[3]))
}

// geometry returns area and perimeter by the formulas the text names.
func geometry(s duct.Size) (area, perimeter float64) {
	w, h := math.Max(float64(s.Width), float64(s.Height)), math.Min(float64(s.Width), float64(s.Height))
	switch s.Shape {
	case duct.Rect:
		return w * h, 2 * (w + h)
	case duct.Oval:
		return math.Pi*h*h/4 + h*(w-h), math.Pi*h + 2*(w-h)
	}
	return math.Pi * w * w / 4, math.Pi * w
}

// colebrook solves by plain iteration.
func colebrook(re, rel float64) float64 {
	g := 8.0
	for range 80 {
		g = -2 * math.Log10(rel/3.7+2.51*g/re)
	}
	return 1 / (g * g)
}

func factor(re, rel float64) float64 {
	switch {
	case re <= 2300:
		return 64 / re
	case re >= 4000:
		return colebrook(re, rel)
	}
	return 64/2300. + (colebrook(4000, rel)-64/2300.)*(re-2300)/1700
}

// state is what the inputs of a run say.
type state struct{ q, rho, mu, eps, flexible float64 }

// rate returns friction a metre of a size.
func (s state) rate(size duct.Size) (v, rate float64) {
	a, p := geometry(size)
	v = s.q / a
	dh := 4 * a / p
	f := factor(s.rho*v*dh/s.mu, s.eps/dh)
	rate = f / dh * s.rho * v * v / 2
	if s.flexible > 0 {
		d := math.Sqrt(4*a/math.Pi) * 1000
		rate *= 1 + 0.58*100*(1-s.flexible)*math.Exp(-0.00496*d)
	}
	return v, rate
}

// inputs redoes the state of the air and returns it.
func (r *reader) inputs() state {
	var s state
	s.q = r.find("  Q = # m3/s")[0][0]
	if sum := regexp.MustCompile(`m3/s, the sum of (.*)`).FindStringSubmatch(r.text); sum != nil {
		total := 0.0
		for _, p := range strings.Split(sum[1], " + ") {
			x, err := strconv.ParseFloat(strings.Fields(p)[1], 64)
			require.NoError(r, err)
			total += x
		}
		r.near(total, s.q, 1e-5, "flow")
	}
	mu := r.one("mu = 1.458e-6 T^1.5/(T + 110.4) = # Pa s, T = # K")
	s.mu = mu[0]
	r.near(1.458e-6*math.Pow(mu[1], 1.5)/(mu[1]+110.4), s.mu, 1e-5, "viscosity")
	if std := r.find("rho = # kg/m3: standard air, 20 C, dry, at sea level"); len(std) == 1 {
		s.rho = std[0][0]
		require.Equal(r, 1.204, s.rho)
	} else {
		d := r.one("rho = p (1 + W)/(287.042 T (1 + 1.607858 W)) = # kg/m3, T = # K (# C)")
		p := r.one("p = 101325 (1 - 2.25577e-5 Z)^5.2559 = # Pa, Z = # m")
		w := r.one("W = 0.621945 RH ps/(p - RH ps) = #, RH = #, ps = # Pa")
		r.near(d[2]+273.15, d[1], 1e-5, "kelvins")
		r.near(101325*math.Pow(1-2.25577e-5*p[1], 5.2559), p[0], 3e-5, "pressure")
		r.near(0.621945*w[1]*w[2]/(p[0]-w[1]*w[2]), w[0], 2e-4, "humidity")
		s.rho = d[0]
		r.near(p[0]*(1+w[0])/(287.042*d[1]*(1+1.607858*w[0])), s.rho, 3e-5, "density")
	}
	s.eps = r.one("roughness eps = # mm")[0] / 1000
	if f := r.find("flexible duct, stretched to # of its full length"); len(f) == 1 {
		s.flexible = f[0][0]
	}
	return s
}

// run redoes the explanation of a run and returns friction, fittings and its loss.
func (r *reader) run() (friction, fittings, loss float64) {
	s := r.inputs()
	var heading string
	for _, l := range r.lines {
		if strings.HasPrefix(l, "Size: ") {
			heading = l
		}
	}
	size := r.size(heading)
	a, p := geometry(size)
	got := r.one("m2, V = Q/A = # m/s, pv = rho V^2/2 = # Pa")
	v, rate := s.rate(size)
	r.near(v, got[0], 1e-5, "velocity")
	pv := s.rho * v * v / 2
	r.near(pv, got[1], 2e-5, "velocity pressure")
	dh := r.one("m, Dh = 4 A/P = # m, Re = rho V Dh/mu = #, eps/Dh = #")
	r.near(4*a/p, dh[0], 1e-5, "hydraulic diameter")
	r.near(s.rho*v*dh[0]/s.mu, dh[1], 3e-5, "Reynolds")
	r.near(s.eps/dh[0], dh[2], 1e-5, "relative roughness")
	f := append(append(r.find("  f = #, the root of Colebrook's"), r.find("  f = 64/Re = #, laminar")...),
		r.find("(Re - 2300)/1700 = #, from 64/Re")...)
	require.Len(r, f, 1, r.text)
	r.near(factor(dh[1], dh[2]), f[0][0], 3e-5, "friction factor")
	plain := r.one("rate = f/Dh pv = # Pa/m")[0]
	if s.flexible > 0 {
		flex := r.one("exp(-0.00496 D)) = # Pa/m, D = # (mm), Kc = 100 (1 - #) = # %")
		r.near(plain*(1+0.58*flex[3]*math.Exp(-0.00496*flex[1])), flex[0], 3e-5, "flexible duct")
		plain = flex[0]
	}
	r.near(rate, plain, 3e-5, "friction a metre")
	length := r.one("length from corner to corner # m")[0]
	for _, b := range r.find("half its arc in place of its corner, r a/2 - r tan(a/2) = # - # = # m") {
		length += b[2]
	}
	arcs := 0.0
	for _, line := range r.lines {
		of := (&reader{TestingT: r, text: line, lines: []string{line}})
		for _, b := range of.find("r = # m, turn a = # degrees") {
			half := b[1] * math.Pi / 360
			ends := of.find("= # - # = # m")
			if len(ends) == 0 {
				ends = [][]float64{{of.one("r a/2 = # m, loses")[0], of.one("- r tan(a/2) = -# m;")[0]}}
			}
			r.near(b[0]*half, ends[0][0], 1e-4, line)
			r.near(b[0]*math.Tan(half), ends[0][1], 1e-4, line)
		}
	}
	for _, b := range r.find("- r tan(a/2) = -# m; half its arc, r a/2 = # m, " +
		"loses at its own size, by the same formulas, # Pa/m = # Pa") {
		length -= b[0]
		arcs += b[1] * b[2]
		r.near(b[1]*b[2], b[3], 2e-5, "arc of another size")
	}
	l := r.one("  L = # m")[0]
	r.near(math.Max(0, length), l, 2e-5, "length")
	for _, f := range append(r.find("friction = rate x L = # Pa"), r.find("friction = rate x L + # = # Pa")...) {
		friction = f[len(f)-1]
	}
	if len(r.find("friction = rate x L + # + # = # Pa")) > 0 {
		friction = r.one("friction = rate x L + # + # = # Pa")[2]
	}
	require.InDelta(r, plain*l+arcs, friction, 2e-4+3e-5*friction, r.text)
	for i, line := range r.lines {
		if m := pattern(": C = # on pv # Pa").FindStringSubmatch(line); m != nil && !strings.Contains(line,
			"of it the open damper") {
			end := pattern(" = # Pa").FindAllStringSubmatch(line, -1)
			c, _ := strconv.ParseFloat(m[1], 64)
			on, _ := strconv.ParseFloat(m[2], 64)
			lost, _ := strconv.ParseFloat(end[len(end)-1][1], 64)
			require.InDelta(r, c*on, lost, 1e-4+1e-4*math.Abs(lost), line)
			fittings += lost
			if !strings.Contains(line, "  box at ") {
				r.seen[r.coefficient(i, got[0])]++
			}
		}
	}
	for _, g := range r.find("stack effect: 9.81 (rho around - rho) rise = 9.81 (# - #) # = # Pa gained") {
		r.near(9.81*(g[0]-g[1])*g[2], g[3], 2e-4, "stack effect")
		fittings -= g[3]
	}
	total := r.one("  friction # Pa + fittings # Pa = # Pa")
	require.InDelta(r, friction, total[0], 1e-4)
	require.InDelta(r, fittings, total[1], 1e-3+1e-5*math.Abs(fittings), r.text)
	require.InDelta(r, total[0]+total[1], total[2], 2e-4)
	r.trials(s)
	r.gains()
	r.costs(s)
	return total[0], total[1], total[2]
}

// trials redoes every size that was tried against the limits, and holds its verdict.
func (r *reader) trials(s state) {
	most := func(line string) float64 {
		if l := r.find(line); len(l) > 0 {
			return l[0][0]
		}
		return math.Inf(1)
	}
	rateMost, speedMost := most("limits: friction # Pa/m"), most("velocity # m/s (")
	n := 0
	for _, line := range r.lines {
		m := pattern(" mm: V = # m/s, friction # Pa/m: ").FindStringSubmatch(line)
		if m == nil {
			continue
		}
		n++
		size := r.size(line)
		v, rate := s.rate(size)
		printed, _ := strconv.ParseFloat(m[1], 64)
		r.near(v, printed, 1e-4, line)
		printed, _ = strconv.ParseFloat(m[2], 64)
		r.near(rate, printed, 1e-4, line)
		const edge = 1e-4 // a limit that is met but for the digits printed
		if math.Abs(rate/rateMost-1) > edge {
			require.Equal(r, rate > rateMost, strings.Contains(line, "over the friction limit"), "%s\n%s", line, r.text)
		}
		if math.Abs(v/speedMost-1) > edge {
			require.Equal(r, v > speedMost, strings.Contains(line, "over the velocity limit"), "%s\n%s", line, r.text)
		}
	}
	require.Positive(r, n, r.text)
	// Why not the next smaller one: it is over a limit or under something it feeds, or the text says what else decided.
	plain := strings.Contains(r.text, "The smallest step whose") && !strings.Contains(r.text,
		"making it smaller would not balance") &&
		!strings.Contains(r.text, "It keeps the height of") && !strings.Contains(r.text, "It is no wider than")
	for _, line := range r.lines {
		if plain && (strings.Contains(line, "The next smaller step") || strings.Contains(line, "Of smaller area")) {
			require.NotContains(r, line, "within the limits", r.text)
		}
	}
	if strings.Contains(r.text, "The smallest step") {
		require.True(r, strings.Contains(r.text, "The next smaller step, ") ||
			strings.Contains(r.text, "Of smaller area, ") ||
			strings.Contains(r.text, "no smaller step") || strings.Contains(r.text, "Every size is a step"),
			"why not a smaller one?\n%s", r.text)
	}
}

var piecePart = regexp.MustCompile(`([-+]) (?:[a-z-]+(?: [a-z-]+)*(?: n[0-9]+)?) ` + numeral)

// parts adds up "friction R Pa/m x L m + takeoff at n2 X + ...". size is how much the parts come to whatever their
// signs.
func (r *reader) parts(text string) (sum, size float64) {
	m := pattern("friction # Pa/m x # m").FindStringSubmatch(text)
	require.NotNil(r, m, text)
	rate, _ := strconv.ParseFloat(m[1], 64)
	length, _ := strconv.ParseFloat(m[2], 64)
	sum, size = rate*length, rate*length
	_, rest, _ := strings.Cut(text, m[0])
	rest, _, _ = strings.Cut(rest, ";")
	for _, p := range piecePart.FindAllStringSubmatch(rest, -1) {
		x, _ := strconv.ParseFloat(p[2], 64)
		if p[1] == "-" {
			x = -x
		}
		sum += x
		size += math.Abs(x)
	}
	return sum, size
}

// gains redoes static regain and budgets.
func (r *reader) gains() {
	best, chosen := math.Inf(1), ""
	for i, line := range r.lines {
		gain := pattern(" mm: pv before # - pv here # - loss # = # Pa of static pressure")
		if m := gain.FindStringSubmatch(line); m != nil {
			var v [4]float64
			for k := range v {
				v[k], _ = strconv.ParseFloat(m[k+1], 64)
			}
			require.InDelta(r, v[0]-v[1]-v[2], v[3], 2e-4*(math.Abs(v[0])+math.Abs(v[1])+math.Abs(v[2])), line)
			sum, size := r.parts(r.lines[i+1])
			require.InDelta(r, sum, v[2], 2e-4*(1+size), "%s\n%s", line, r.lines[i+1])
			if math.Abs(v[3]) < best && (v[3] >= 0 || chosen != "") { // from the first gain on
				best, chosen = math.Abs(v[3]), sizeText.FindString(line)
			}
		}
	}
	if chosen != "" && !strings.Contains(r.text, "take turns") {
		require.Contains(r, r.text, "Size: "+chosen, "the nearest to 0\n%s", r.text)
	}
	for _, line := range r.lines {
		if m := pattern("It loses # Pa: ").FindStringSubmatch(line); m != nil {
			lost, _ := strconv.ParseFloat(m[1], 64)
			sum, size := r.parts(line)
			require.InDelta(r, sum, lost, 2e-4*(1+size), line)
			left := r.one("has the least left to throttle, # Pa.")[0]
			for _, with := range r.find("it would lose # Pa: friction") {
				more := r.one("; that is # Pa more, ")[0]
				require.InDelta(r, with[0]-lost, more, 2e-4*(1+math.Abs(with[0])))
				require.Equal(r, more > left, strings.Contains(r.text, "more than is left"), r.text)
			}
		}
	}
}

// costs redoes the optimised method.
func (r *reader) costs(s state) {
	z1 := r.find("z1 = Q energy hours worth/(1000 efficiency) = # x # x # x #/(1000 x #) = # a Pa")
	if len(z1) == 0 {
		return
	}
	v := z1[0]
	r.near(v[0]*v[1]*v[2]*v[3]/1000/v[4], v[5], 1e-5, "z1")
	z2 := r.one("z2 = 0.9589 pi rho^0.2 duct = 0.9589 pi #^0.2 x # = #")
	r.near(0.9589*math.Pi*math.Pow(z2[0], 0.2)*z2[1], z2[2], 1e-4, "z2")
	at := r.one("At # mm this duct loses # Pa: ")
	m := r.one("m = loss pi^2 D^5/(8 rho Q^2) = # m, Ki = m^0.2 Q^0.4 length = # with the length # m")
	r.near(at[1]*math.Pi*math.Pi*math.Pow(at[0]/1000, 5)/(8*s.rho*s.q*s.q), m[0], 1e-4, "m")
	r.near(math.Pow(m[0], 0.2)*math.Pow(s.q, 0.4)*m[2], m[1], 1e-4, "Ki")
	k := r.one("K of what it feeds, #; with it (Ki^0.8333 + that^0.8333)^1.2 = #; of the whole system #")
	r.near(math.Pow(math.Pow(m[1], 5./6)+math.Pow(k[0], 5./6), 1.2), k[1], 1e-4, "K")
	p := r.one("P = (0.2 z2 K/z1)^0.8333 = # Pa; from the start of this one # Pa")
	r.near(math.Pow(0.2*z2[2]*k[2]/v[5], 5./6), p[0], 1e-4, "P")
	share := r.one("(Ki/K)^0.8333 = #, dp = # Pa")
	r.near(math.Pow(m[1]/k[1], 5./6), share[0], 1e-4, "share")
	r.near(share[0]*p[1], share[1], 1e-4, "dp")
	r.near(0.9589*math.Pow(m[0]*s.rho, 0.2)*math.Pow(s.q, 0.4)*math.Pow(share[1], -0.2)*1000,
		r.one("Q^0.4 dp^-0.2 = # mm")[0], 1e-4, "D")
}

// terminal redoes the path of a terminal.
func (r *reader) terminal(losses map[string]float64) {
	sum := 0.0
	for _, line := range r.lines {
		if m := pattern("friction # Pa + fittings # Pa; so far # Pa").FindStringSubmatch(line); m != nil {
			f, _ := strconv.ParseFloat(m[1], 64)
			g, _ := strconv.ParseFloat(m[2], 64)
			far, _ := strconv.ParseFloat(m[3], 64)
			name, _, _ := strings.Cut(strings.TrimSpace(line), ":")
			require.InDelta(r, losses[name], f+g, 2e-4, line)
			sum += f + g
			require.InDelta(r, sum, far, 1e-3, line)
		}
	}
	own := r.one("the terminal itself: # Pa; path # Pa")
	require.InDelta(r, sum+own[0], own[1], 1e-3)
	if t := r.find("to throttle: # - # = # Pa"); len(t) == 1 {
		require.InDelta(r, t[0][0]-t[0][1], t[0][2], 2e-4)
		require.InDelta(r, own[1], t[0][1], 1e-3)
		d := r.one("m/s, pv = rho V^2/2 = # Pa with rho = # kg/m3: C = throttling/pv = #")
		require.InDelta(r, t[0][2]/d[0], d[2], 1e-4*(1+d[2])+2e-4/d[0])
	}
}

// Every explanation of random networks can be redone.
func TestExplanationsCanBeRedone(t *testing.T) {
	reasons, formulas := map[duct.Decision]int{}, map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		net := network(drawAir(t), mixed(3).Draw(t, "tree"))
		spec := mixedSpec(t)
		spec.Method = rapid.SampledFrom(methods).Draw(t, "method")
		spec.Fittings.BranchDampers = rapid.Bool().Draw(t, "dampers")
		spec.Fittings.TakeoffRound = rapid.SampledFrom([]duct.TakeoffForm{duct.Plain, duct.Conical}).Draw(t, "form")
		if rapid.Bool().Draw(t, "own air") {
			spec.Air = sizing.AirSpec{Temperature: rapid.Float64Range(5, 45).Draw(t, "temperature"),
				Altitude: rapid.Float64Range(0, 2500).Draw(t, "altitude"),
				Humidity: rapid.Float64Range(0, 1).Draw(t, "humidity")}
		}
		des, found := sizing.Solve(net, spec)
		if found.HasErrors() {
			t.Skip("more air than a height limit allows")
		}
		losses := map[string]float64{}
		for n := 0; n < min(4, len(net.Runs)); n++ {
			i := rapid.IntRange(0, len(net.Runs)-1).Draw(t, "run")
			name := fmt.Sprintf("r%d", i+1)
			text, err := sizing.Explain(net, des, spec, name)
			require.NoError(t, err)
			r := &reader{TestingT: t, text: text, lines: strings.Split(text, "\n"), seen: formulas}
			_, _, losses[name] = r.run()
			require.InDelta(t, float64(des.Runs[i].Friction+des.Runs[i].Fittings), losses[name], 1e-4)
			reasons[des.Runs[i].Why.By]++
		}
		for i := range net.Runs {
			losses[fmt.Sprintf("r%d", i+1)] = float64(des.Runs[i].Friction + des.Runs[i].Fittings)
		}
		for i := range net.Terminals[:min(2, len(net.Terminals))] {
			text, err := sizing.Explain(net, des, spec, net.Terminals[i].Name)
			require.NoError(t, err)
			(&reader{TestingT: t, text: text, lines: strings.Split(text, "\n")}).terminal(losses)
		}
	})
	require.Greater(t, len(reasons), 7, "%v", reasons)
	require.Greater(t, len(formulas), 12, "%v", formulas)
}
