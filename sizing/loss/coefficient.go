package loss

import (
	"math"

	"twinline/layout/duct"
)

// Air is what the formulas need to know of the air.
type Air struct {
	Density   duct.Density
	Viscosity float64 // dynamic, Pa s
}

// Leg is another leg of the junction a fitting belongs to, away from the common leg.
type Leg struct {
	Size     duct.Size // its run goes on with; the straight leg's after the change of size that may follow
	Flow     duct.Flow
	Angle    float64 // radians its air turns against the common leg; 0 for the straight leg
	Straight bool    // goes straight on from the common leg
	Form     duct.TakeoffForm
}

// Case is what Coefficient must know of a fitting beside its own geometry.
type Case struct {
	Own, Common duct.Flow // of Fitting.Run and of Fitting.Main; Common is ignored where Main is None
	// Others are the other legs of a junction, neither Run nor Main. They are read, never kept:
	// one slice may serve a whole network.
	Others    []Leg
	Diverging bool // air from the unit: it flows from Main into Run. False: from Run into Main
	// Upright says that a bend turns in a vertical plane, so that the height of a rectangular
	// or oval size lies in the plane of the bend. DropConn is taken so unless InPlane is given.
	Upright bool
	// InPlane is what Fitting.Own measures in the plane of the bend, where Upright does not say: a riser whose
	// width lies along the turn. 0: by Upright.
	InPlane   duct.Length
	Pliable   bool           // the bend is made of flexible duct
	Make      duct.ElbowMake // of round elbows
	Roughness duct.Length    // of Fitting.Run, for bends of flexible duct; 0 means FlexRoughness
	Neck      duct.Size      // of the terminal or unit at the end of the run; zero: not known
	Plenum    duct.Size      // face of the box a side connection blows into; zero: large against the duct
	SideNeck  bool           // the neck of a terminal is on its side: the duct meets it there, after a change of size
	Blade     float64        // volume damper: radians its blade is turned from open
	// Damper is the coefficient of the open damper just after a branch, on the branch's velocity pressure. 0: by
	// Butterfly.
	Damper float64
}

// Coefficient returns the loss of fitting f, on the reference velocity its source uses.
// It never includes the wall friction of the fitting: the friction of a run is worked out
// over its whole centreline, so the coefficient is the local loss alone.
//
// A fitting with no flow, no size or of a kind that costs nothing gives a Result with C 0
// that is InRange; numbers that are not finite, and negative flows, one that is not.
//
// Source: named in the Result; each formula stands in a function of its own in this package.
// Valid: as its formula; outside, the nearest value is used, InRange is false and Bounds says what.
func Coefficient(f *duct.Fitting, c Case, air Air) Result {
	k := calc{f: f, c: c, air: air}
	k.InRange = true
	if !k.sane() {
		k.InRange = false
		k.Formula = "C = 0: flow, size or angle is no number, or the flow is negative"
		return k.Result
	}
	if f.Own.IsZero() || c.Own == 0 {
		k.Formula = "C = 0: no flow"
		return k.Result
	}
	k.own = f.Own.Velocity(c.Own)
	k.common = f.Common.Velocity(c.Common)
	formulas[f.Kind](&k)
	if !finite(k.C, float64(k.Loss), k.Own) {
		return Result{Formula: "C = 0: sizes or flows too far apart to work with"}
	}
	return k.Result
}

// calc works out one Result.
type calc struct {
	Result
	f           *duct.Fitting
	c           Case
	air         Air
	own, common duct.Velocity
}

// sane reports whether every number is finite, no flow negative and the air there.
func (k *calc) sane() bool {
	sizes := [...]duct.Size{k.f.Own, k.f.Common, k.c.Neck, k.c.Plenum}
	for _, s := range sizes {
		if !finite(float64(s.Width), float64(s.Height)) {
			return false
		}
	}
	for _, l := range k.c.Others {
		if !finite(float64(l.Flow), l.Angle, float64(l.Size.Width), float64(l.Size.Height)) || l.Flow < 0 {
			return false
		}
	}
	return finite(float64(k.c.Own), float64(k.c.Common), k.f.Angle, float64(k.f.Radius), float64(k.f.Length),
		float64(k.c.Roughness), k.c.Blade, float64(k.air.Density), k.air.Viscosity) &&
		k.c.Own >= 0 && k.c.Common >= 0 && k.air.Density > 0 && k.air.Viscosity > 0
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// formulas are what each kind of fitting costs. A formula that is missing fails a test.
var formulas = [duct.FittingKinds]func(*calc){
	duct.Elbow: (*calc).bend, duct.DropConn: (*calc).drop, duct.Mitre: (*calc).mitre, duct.VanedMitre: (*calc).vanes,
	duct.Offset: (*calc).offset, duct.Reducer: (*calc).change, duct.Expander: (*calc).change,
	duct.Takeoff: (*calc).takeoff, duct.Cross: (*calc).takeoff, duct.Through: (*calc).through, duct.Wye: (*calc).wye,
	duct.Bullhead: (*calc).bullhead, duct.Entry: (*calc).unit, duct.Exit: (*calc).unit,
	duct.TerminalConn: (*calc).terminal,
	duct.InlineBox:    (*calc).box, duct.VolumeDamper: (*calc).damper, duct.StraightJoint: (*calc).nothing,
	duct.EndCap: (*calc).nothing,
}

// nothing is the loss of what does not disturb the air.
func (k *calc) nothing() { k.Formula = "C = 0: nothing disturbs the air" }

// box leaves the loss of a box in the middle to what is noted at it.
func (k *calc) box() { k.Formula = "the box's own pressure loss, no coefficient" }

// drop sets the loss of the turn into a vertical run.
func (k *calc) drop() {
	k.c.Upright = true
	k.bend()
}

// set finishes the result: c is on the pressure of velocity v, named by ref.
func (k *calc) set(c float64, ref Reference, v duct.Velocity, formula, source string) {
	k.C, k.Reference, k.Velocity = c, ref, v
	k.Pv = VelocityPressure(v, k.air.Density)
	k.Loss = duct.Pressure(c) * k.Pv
	k.Own = Convert(c, v, k.own)
	k.Formula, k.Source = formula, source
}

// sides returns the side of size s in the plane of the bend and the one across it.
func (k *calc) sides(s duct.Size) (in, across duct.Length) {
	if k.c.InPlane == s.Width && s.Width > 0 {
		return s.Width, s.Height
	}
	if k.c.Upright || k.c.InPlane == s.Height {
		return s.Height, s.Width
	}
	return s.Width, s.Height
}

const (
	idelchik61 = "Idelchik, Handbook of Hydraulic Resistance, diagram 6-1"
	idelchik65 = "Idelchik, Handbook of Hydraulic Resistance, diagram 6-5"
	rennels    = "Rennels & Hudson, Pipe Flow (2012)"
	ashrae21   = "ASHRAE Handbook Fundamentals (2021), ch. 21"
)

func (k *calc) bend() {
	in, across := k.sides(k.f.Own)
	switch {
	case k.f.Radius <= 0:
		k.mitre()
		return
	case k.c.Pliable:
		k.flexibleBend()
		return
	case k.f.Own.Shape == duct.Round && k.c.Make != duct.SmoothMake:
		k.madeBend()
		return
	}
	angle := k.within("angle", k.f.Angle/degree, 0, elbowAngles.High/degree)
	ratio := k.within("r/D", float64(k.f.Radius/in), elbowRadii.Low, elbowRadii.High)
	sides := k.within("H/W", float64(across/in), elbowSides.Low, elbowSides.High)
	re := Reynolds(k.own, k.f.Own.Hydraulic(), k.air)
	re = k.within("Re", re, elbowRe.Low, elbowRe.High)
	kre := ElbowReynolds(re, ratio)
	k.term("angle", angle)
	k.term("r/D", ratio)
	k.term("H/W", sides)
	k.term("Re", re)
	k.term("kRe", kre)
	k.term("A1", elbowA1.at(angle))
	k.term("B1", elbowB1.at(ratio))
	k.term("C1", elbowC1.at(sides))
	k.set(kre*SmoothElbow(angle*degree, ratio, sides), Own, k.own,
		"C = kRe A1(angle) B1(r/D) C1(H/W), without the friction of the arc", idelchik61)
}

// madeBend sets the loss of a round elbow stamped or put together of gores.
func (k *calc) madeBend() {
	radii := elbowMakes[k.c.Make].domain()
	angle := k.within("angle", k.f.Angle/degree, 0, 90)
	ratio := k.within("r/D", float64(k.f.Radius/k.f.Own.Width), radii.Low, radii.High)
	c, _ := MadeElbow(k.c.Make, angle*degree, ratio)
	k.term("angle", angle)
	k.term("r/D", ratio)
	k.term("share of 90 degrees", madeAngle.at(angle))
	k.set(c, Own, k.own, "C of 90 degrees by r/D of a "+k.c.Make.String()+
		" elbow, times the share of its angle, without the friction of the arc",
		ashrae21+", examples 8 and 9; other radii and makes from memory of older tables")
}

func (k *calc) flexibleBend() {
	eps := k.c.Roughness
	if eps <= 0 {
		eps = FlexRoughness
	}
	d := k.f.Own.Hydraulic()
	angle := k.within("angle", k.f.Angle/degree, 0, elbowAngles.High/degree)
	ratio := k.within("r/D", float64(k.f.Radius/d), flexibleRadii.Low, flexibleRadii.High)
	re := Reynolds(k.own, d, k.air)
	f := FrictionFactor(re, float64(eps/d))
	k.term("angle", angle)
	k.term("r/D", ratio)
	k.term("Re", re)
	k.term("f", f)
	k.set(RennelsElbowLocal(angle*degree, ratio, f), Own, k.own,
		"C = (0.10 + 2.4 f) sin(a/2) + 6.6 f (sqrt(sin(a/2)) + sin(a/2))/(r/D)^(4a/pi), "+
			"f of the rough wall, without the friction of the arc; an estimate",
		rennels+", ch. 15")
}

// flexibleRadii are the bends of flexible duct the estimate is good for.
var flexibleRadii = Range{1, 40}

func (k *calc) mitre() {
	in, across := k.sides(k.f.Own)
	angle := k.within("angle", k.f.Angle/degree, 0, mitreAngles.High/degree)
	k.term("angle", angle)
	k.within("Re", Reynolds(k.own, k.f.Own.Hydraulic(), k.air), mitreRe.Low, mitreRe.High)
	c := IdelchikMitre(angle * degree)
	if k.f.Own.Shape == duct.Round {
		k.set(c, Own, k.own, "C = (0.95 + 33.5/a)(0.95 sin^2(a/2) + 2.05 sin^4(a/2))", idelchik65)
		return
	}
	sides := k.within("H/W", float64(across/in), mitreSides.Low, mitreSides.High)
	k.term("H/W", sides)
	k.term("C1", MitreSides(sides))
	k.set(c*MitreSides(sides), Own, k.own, "C = (0.95 + 33.5/a)(0.95 sin^2(a/2) + 2.05 sin^4(a/2)) C1(H/W)",
		idelchik65+"; C1 from memory")
}

func (k *calc) vanes() {
	angle := k.within("angle", k.f.Angle/degree, 0, elbowAngles.High/degree)
	k.term("angle", angle)
	k.term("A1", elbowA1.at(angle))
	k.set(VanedMitre(angle*degree), Own, k.own, "C = 0.2 A1(angle)",
		"public course table for mitres with turning vanes; A1: "+idelchik61)
}

// offset sets the loss of two equal slight mitres close together.
func (k *calc) offset() {
	k.c.Upright, k.c.InPlane = math.Abs(float64(k.f.OffsetUp)) > math.Abs(float64(k.f.Offset)), 0
	in, across := k.sides(k.f.Own)
	angle := k.within("angle", k.f.Angle/degree, 0, offsetMost/degree)
	k.term("angle", angle)
	c1 := 1.0
	if k.f.Own.Shape != duct.Round {
		sides := k.within("H/W", float64(across/in), mitreSides.Low, mitreSides.High)
		c1 = MitreSides(sides)
		k.term("H/W", sides)
		k.term("C1", c1)
	}
	k.set(Offset(c1*IdelchikMitre(angle*degree)), Own, k.own,
		"C = 2 C1(H/W)(0.95 + 33.5/a)(0.95 sin^2(a/2) + 2.05 sin^4(a/2)), two mitres; "+
			"what they do to each other is left out", idelchik65+"; C1 from memory")
}

// offsetMost is from what angle two mitres close together disturb each other so much that their sum is no estimate.
// Our own; the table of such bends at 90 degrees, from memory, has up to 1.6 times the sum.
const offsetMost = 45 * degree

// change sets the loss of a size change.
func (k *calc) change() {
	up, down := k.f.Common, k.f.Own
	if !k.c.Diverging {
		up, down = down, up
	}
	k.sizeChange(up, down, k.changeAngle(up, down))
}

// changeAngle returns the total included angle of a size change, from its length where it is not given.
func (k *calc) changeAngle(up, down duct.Size) float64 {
	if k.f.Angle > 0 {
		return k.f.Angle
	}
	return IncludedAngle(up, down, k.f.Length)
}

// sizeChange sets the loss of a change from size up to size down, both with the run's own flow.
func (k *calc) sizeChange(up, down duct.Size, angle float64) {
	vUp, vDown := up.Velocity(k.c.Own), down.Velocity(k.c.Own)
	if up.IsZero() || down.IsZero() {
		k.Formula = "C = 0: one size only"
		return
	}
	if opposed(up, down) {
		k.opposedChange(up, down)
		return
	}
	deg := k.within("angle", angle/degree, 0, transitionAngles.High/degree)
	angle = deg * degree
	k.term("angle", deg)
	if up.Area() >= down.Area() {
		n := float64(down.Area() / up.Area())
		k.term("A2/A1", n)
		k.set(Contraction(n, angle, 0), Downstream, vDown,
			contractionFormula+", without wall friction",
			rennels+", ch. 10")
		return
	}
	n := float64(up.Area() / down.Area())
	k.term("A1/A2", n)
	c := Expansion(n, angle, 0)
	if up.Shape == duct.Rect && down.Shape == duct.Rect && up.Width != down.Width && up.Height != down.Height &&
		angle < math.Pi {
		k.term("pyramid", pyramid)
		k.set(pyramid*c, Upstream, vUp, "pyramid times "+expansionFormula(deg, n),
			rennels+", ch. 11; factor for two pairs of sides from memory")
		return
	}
	k.set(c, Upstream, vUp, expansionFormula(deg, n), rennels+", ch. 11")
}

// opposed reports a change between flat ducts that opens on one pair of sides and closes on the other. From round to
// flat duct sources go by the areas, whatever the sides do.
func opposed(up, down duct.Size) bool {
	return up.Shape != duct.Round && down.Shape != duct.Round && (down.Width-up.Width)*(down.Height-up.Height) < 0
}

// opposedChange sets the loss of a change that opens on one pair of sides and closes on the other: of the one as if
// the other pair stayed, and then of the other. By its areas alone it would cost nothing where they are equal.
func (k *calc) opposedChange(up, down duct.Size) {
	open, shut := [2]duct.Length{up.Width, down.Width}, [2]duct.Length{up.Height, down.Height}
	if open[0] > open[1] {
		open, shut = shut, open
	}
	between := func(s [2]duct.Length) float64 { // sides that slope alike on both sides of the axis
		return 2 * math.Atan2(math.Abs(float64(s[1]-s[0]))/2, math.Max(0, float64(k.f.Length)))
	}
	n, m, opens, shuts := float64(open[0]/open[1]), float64(shut[1]/shut[0]), between(open), between(shut)
	k.term("n, side before over side after where it opens", n)
	k.term("angle there", opens/degree)
	k.term("m, side after over side before where it closes", m)
	k.term("angle there, closing", shuts/degree)
	k.term("(Vup/Vdown)^2", Convert(1, up.Velocity(k.c.Own), down.Velocity(k.c.Own)))
	k.bound(Bound{Text: "the change opens on one pair of sides and closes on the other, " +
		"for which no source has been read; both losses were added up"})
	k.set(Contraction(m, shuts, 0)+Convert(Expansion(n, opens, 0), up.Velocity(k.c.Own), down.Velocity(k.c.Own)),
		Downstream, down.Velocity(k.c.Own),
		"C = C of a contraction to m + C of an expansion from n (Vup/Vdown)^2, without wall friction; "+
			"the contraction, with m for A2/A1: "+
			contractionFormula+"; the expansion: "+expansionFormula(opens/degree, n),
		rennels+", ch. 10 and 11; adding them up is our own")
}

// contractionFormula is the formula of Contraction, without its wall friction.
const contractionFormula = "C = 0.0696 sin(a/2)(1 - b^5) l^2 + (l - 1)^2, " +
	"l = 1 + 0.622 (a/180)^0.8 (1 - 0.215 b^2 - 0.785 b^5), b = sqrt(A2/A1)"

// expansionFormula is the formula of Expansion for an angle and a ratio n = A1/A2, without its wall friction.
func expansionFormula(deg, n float64) string {
	small := n < 0.25
	switch {
	case deg <= 20:
		return "C = 8.30 tan(a/2)^1.75 (1 - n)^2, n = A1/A2, without wall friction"
	case deg <= 60 && small:
		return "C = (1.366 sqrt(sin(2(a - 15))) - 0.170 - 3.28 (0.0625 - n^2) sqrt((a - 20)/40))(1 - n)^2, " +
			"n = A1/A2, without wall friction"
	case deg <= 60:
		return "C = (1.366 sqrt(sin(2(a - 15))) - 0.170)(1 - n)^2, n = A1/A2, without wall friction"
	case small:
		return "C = (1.205 - 3.28 (0.0625 - n^2) - 12.8 n^3 sqrt((a - 60)/120))(1 - n)^2, n = A1/A2"
	}
	return "C = (1.205 - 0.20 sqrt((a - 60)/120))(1 - n)^2, n = A1/A2"
}

// unit sets the loss between a duct and a unit. Where the size of the unit's connection is known it is
// an abrupt size change; else the duct is taken to open into a box.
func (k *calc) unit() {
	leaves := k.f.Kind == duct.Entry // the air leaves the unit
	if n := k.neck(); !n.IsZero() {
		if leaves {
			k.sizeChange(n, k.f.Own, k.changeAngle(n, k.f.Own))
		} else {
			k.sizeChange(k.f.Own, n, k.changeAngle(k.f.Own, n))
		}
		return
	}
	if leaves {
		k.set(SharpEntry(), Own, k.own, "C = 0.5, square edge flush with the wall of a box",
			"ASHRAE Handbook Fundamentals, ch. 3")
		return
	}
	k.set(AbruptExit(), Own, k.own, "C = 1, all the velocity pressure is lost in the box", "Borda-Carnot")
}

func (k *calc) neck() duct.Size {
	if !k.c.Neck.IsZero() {
		return k.c.Neck
	}
	if k.f.Main == duct.None {
		return k.f.Common
	}
	return duct.Size{}
}

// sideTurn is from what turn a terminal counts as connected from the side.
const sideTurn = 45 * degree

func (k *calc) terminal() {
	n := k.neck()
	if n.IsZero() {
		n = k.f.Own
	}
	if k.f.Angle < sideTurn {
		up, down := k.f.Own, n
		if !k.c.Diverging {
			up, down = n, k.f.Own
		}
		k.sizeChange(up, down, IncludedAngle(up, down, k.f.Length))
		return
	}
	d, a := k.f.Own.Area(), n.Area()
	plenum := duct.Area(math.Inf(1))
	if !k.c.Plenum.IsZero() {
		plenum = max(k.c.Plenum.Area(), d, a)
	}
	k.term("Ad", float64(d))
	k.term("An", float64(a))
	if !k.c.Plenum.IsZero() {
		k.term("Ap", float64(plenum))
	}
	large := ""
	if k.c.Plenum.IsZero() {
		large = ", Ap large"
	}
	const source = "Borda-Carnot and Idelchik, Handbook of Hydraulic Resistance, diagram 4-9; the turn by common practice"
	switch {
	case k.c.SideNeck:
		// In at the neck and on through the face, which is taken to be open as wide as the neck: one formula for both
		// ways.
		k.set(Convert(Boot(a, plenum, a)+BootTurn(), n.Velocity(k.c.Own), k.own), Own, k.own,
			"C = ((1 - An/Ap)^2 + 0.5 (1 - An/Ap)^0.75 + 1 for the turn) (Ad/An)^2, the neck on the side of the box"+large,
			source)
	case k.c.Diverging:
		k.set(Boot(d, plenum, a)+BootTurn(), Own, k.own,
			"C = (1 - Ad/Ap)^2 + 0.5 (1 - An/Ap)^0.75 (Ad/An)^2 + 1 for the turn"+large, source)
	default:
		k.set(BootReturn(d, plenum, a)+BootTurn(), Own, k.own,
			"C = (1 - An/Ap)^2 (Ad/An)^2 + 0.5 (1 - Ad/Ap)^0.75 + 1 for the turn"+large, source)
	}
}

func (k *calc) damper() {
	deg := k.within("blade angle", k.c.Blade/degree, 0, bladeAngles.High/degree)
	k.term("blade angle", deg)
	k.set(Butterfly(k.f.Own.Shape, deg*degree), Own, k.own, "C by blade angle, logarithm linear between entries",
		DamperSource)
}
