package sizing

import (
	"fmt"
	"strings"

	"twinline/layout/duct"
	"twinline/sizing/air"
	"twinline/sizing/loss"
)

// run explains one run.
func (e *explanation) run(id duct.RunID) {
	r := &e.z.net.Runs[id]
	res := &e.des.Runs[id]
	e.head("Run %s (%s), %s, %s, %s", runName(id), r.Key, r.Air, r.Status, r.Kind)
	if r.System == duct.None {
		e.say("Removed work: it is drawn, but in no system, and costs nothing.")
		return
	}
	e.inputs(r)
	e.size(r)
	e.friction(r)
	e.fittings(r)
	e.head("Loss of the run")
	e.say("friction %.4f Pa + fittings %.4f Pa = %.4f Pa", float64(res.Friction), float64(res.Fittings), float64(res.Friction+res.Fittings))
}

func (e *explanation) inputs(r *duct.Run) {
	z, st := e.z, &e.z.sections[r.Section]
	e.head("Inputs")
	e.say("Q = %.6g m3/s, %s", float64(r.Flow), e.flowFrom(r))
	e.airState()
	e.say("roughness eps = %.4g mm, %s", float64(st.lim.roughness/duct.Millimetre), z.wallSource(r))
	if st.lim.extended > 0 {
		e.say("flexible duct, stretched to %.3g of its full length (sizing.flexible_stretch)", st.lim.extended)
	}
	e.say("limits: %s", strings.Join(e.limits(r, st), ", "))
}

// flowFrom tells what the flow of a run is the sum of.
func (e *explanation) flowFrom(r *duct.Run) string {
	net := e.z.net
	n := &net.Nodes[net.DownNode(r)]
	if n.Kind == duct.Outlet && n.Terminal != duct.None {
		return "the airflow of terminal " + net.Terminals[n.Terminal].Name
	}
	var parts []string
	for _, id := range n.Runs {
		if o := &net.Runs[id]; o.Up == r.ID {
			parts = append(parts, fmt.Sprintf("%s %.6g", runName(id), float64(o.Flow)))
		}
	}
	switch len(parts) {
	case 0:
		return "it leads nowhere"
	case 1:
		return "the same as " + parts[0]
	}
	return "the sum of " + strings.Join(parts, " + ")
}

// airState tells how density and viscosity follow from the state of the air.
func (e *explanation) airState() {
	a := &e.z.spec.Air
	rho, mu := float64(e.z.air.Density), e.z.air.Viscosity
	if a.Density > 0 {
		e.say("rho = %.6g kg/m3: given, air.density", rho)
	} else if a.Temperature == air.StandardTemperature && a.Altitude == 0 && a.Humidity == 0 {
		e.say("rho = %.6g kg/m3: standard air, %d C, dry, at sea level", rho, air.StandardTemperature)
		e.say("  source: ASHRAE Handbook Fundamentals (SI, 2021), ch. 21")
	} else {
		p := air.Pressure(duct.Length(a.Altitude))
		w := air.HumidityRatio(a.Temperature, a.Humidity, p)
		e.say("rho = p (1 + W)/(287.042 T (1 + 1.607858 W)) = %.6g kg/m3, T = %.6g K (%.6g C)", rho, duct.Kelvin(a.Temperature), a.Temperature)
		e.say("  p = 101325 (1 - 2.25577e-5 Z)^5.2559 = %.6g Pa, Z = %.6g m", float64(p), a.Altitude)
		e.say("  W = 0.621945 RH ps/(p - RH ps) = %.6g, RH = %.6g, ps = %.6g Pa, saturated vapour by Hyland and Wexler", w, a.Humidity,
			float64(air.Saturation(a.Temperature)))
		e.say("  source: ASHRAE Handbook Fundamentals (SI, 2021), ch. 1, eq. 3, 5, 6, 11, 20, 22 and 26")
	}
	e.say("mu = 1.458e-6 T^1.5/(T + 110.4) = %.6g Pa s, T = %.6g K", mu, duct.Kelvin(a.Temperature))
	e.say("  source: US Standard Atmosphere 1976, eq. 51")
}

// limits lists what a size is held against.
func (e *explanation) limits(r *duct.Run, st *section) []string {
	out := []string{}
	if e.rateHolds(r, st) {
		out = append(out, fmt.Sprintf("friction %.6g Pa/m", float64(st.lim.rate)))
	}
	if st.lim.velocity > 0 {
		out = append(out, fmt.Sprintf("velocity %.6g m/s (%s)", float64(st.lim.velocity), st.place))
	}
	out = append(out, fmt.Sprintf("least size %.4g mm", float64(e.z.spec.Least/duct.Millimetre)))
	if st.lim.height > 0 {
		out = append(out, fmt.Sprintf("height %.4g mm", float64(st.lim.height/duct.Millimetre)))
	}
	if e.des.Runs[r.ID].Size.Shape != duct.Round && st.lim.aspect < most {
		out = append(out, fmt.Sprintf("aspect %.3g", st.lim.aspect))
	}
	return out
}

// most is from where a limit of the aspect is none.
const most = 1e3

// wallSource names where the roughness of a run comes from.
func (z *solver) wallSource(r *duct.Run) string {
	name := materialName(r)
	if _, ok := z.ownRoughness(name); ok {
		return "sizing.roughness in the settings"
	}
	m, ok := loss.MaterialOf(name)
	if !ok {
		m, _ = loss.MaterialOf("")
	}
	return m.Name + ": " + m.Source
}

// friction explains the friction of the run.
func (e *explanation) friction(r *duct.Run) {
	z, res := e.z, &e.des.Runs[r.ID]
	w := z.walls[r.ID]
	f := loss.FrictionOf(res.Size, r.Flow, w.roughness, z.air)
	e.head("Friction")
	area, around := measures(res.Size.Shape)
	e.say("A = %s = %.6g m2, V = Q/A = %.6g m/s, pv = rho V^2/2 = %.6g Pa", area, float64(res.Size.Area()), float64(f.Velocity), float64(f.Pv))
	e.say("P = %s = %.6g m, Dh = 4 A/P = %.6g m, Re = rho V Dh/mu = %.6g, eps/Dh = %.6g", around, float64(res.Size.Perimeter()), float64(f.Hydraulic),
		f.Reynolds, f.Relative)
	e.factor(f)
	e.say("rate = f/Dh pv = %.6g Pa/m", float64(f.Rate))
	e.say("  source: Darcy-Weisbach, ASHRAE Handbook Fundamentals, ch. 21, eq. 18")
	if w.extended > 0 {
		d := res.Size.Equivalent()
		e.say("rate, flexible = rate (1 + 0.58 Kc exp(-0.00496 D)) = %.6g Pa/m, D = %.6g (mm), Kc = 100 (1 - %.4g) = %.4g %%", float64(res.Rate),
			float64(d/duct.Millimetre), w.extended, 100*(1-w.extended))
		e.say("  source: ASHRAE Handbook Fundamentals, ch. 21, eq. 22 and 23")
	}
	arcs := e.length(r)
	if arcs == "" {
		e.say("friction = rate x L = %.4f Pa", float64(res.Friction))
	} else {
		e.say("friction = rate x L%s = %.4f Pa", arcs, float64(res.Friction))
	}
}

// measures returns the formulas of area and perimeter of a shape.
func measures(s duct.Shape) (area, perimeter string) {
	switch s {
	case duct.Rect:
		return "w h", "2 (w + h)"
	case duct.Oval:
		return "pi h^2/4 + h (w - h)", "pi h + 2 (w - h)"
	}
	return "pi D^2/4", "pi D"
}

// factor tells the friction factor by the formula of its regime.
func (e *explanation) factor(f loss.Friction) {
	const colebrook = "1/sqrt f = -2 log10(eps/(3.7 Dh) + 2.51/(Re sqrt f))"
	switch {
	case f.Reynolds <= loss.LaminarEnd:
		e.say("f = 64/Re = %.6g, laminar up to Re 2300", f.Factor)
		e.say("  source: Hagen-Poiseuille, ASHRAE Handbook Fundamentals, ch. 21")
	case f.Reynolds < loss.TurbulentStart:
		lo, hi := loss.FrictionFactor(loss.LaminarEnd, f.Relative), loss.Colebrook(loss.TurbulentStart, f.Relative)
		e.say("f = %.6g + (%.6g - %.6g)(Re - 2300)/1700 = %.6g, from 64/Re at 2300 to Colebrook at 4000, %s", lo, hi, lo, f.Factor, colebrook)
		e.say("  source: the line between laminar and turbulent flow is our own choice")
	default:
		e.say("f = %.6g, the root of Colebrook's %s", f.Factor, colebrook)
		e.say("  source: Colebrook (1939), ASHRAE Handbook Fundamentals, ch. 21, eq. 19")
	}
}

// length tells the length friction is counted over, and returns what elbows of another size add to the friction, as text.
func (e *explanation) length(r *duct.Run) (arcs string) {
	z := e.z
	e.say("length from corner to corner %.6g m", float64(z.des.Runs[r.ID].Length))
	any := false
	for i := range z.des.Fittings {
		f := &z.des.Fittings[i]
		if f.Kind != duct.Elbow && f.Kind != duct.DropConn || f.Radius <= 0 || f.Run == duct.None || f.Main == duct.None || f.Run != r.ID && f.Main != r.ID {
			continue
		}
		any = true
		tangent, arc := halfElbow(f)
		name := fmt.Sprintf("bend at %s, r = %.6g m, turn a = %.6g degrees", nodeName(f.Node), float64(f.Radius), f.Angle/duct.Degree)
		if z.sizes[r.ID] == f.Own {
			e.say("  %s: half its arc in place of its corner, r a/2 - r tan(a/2) = %.6g - %.6g = %.6g m", name, float64(arc), float64(tangent),
				float64(arc-tangent))
			continue
		}
		rate := z.walls[r.ID].rate(f.Own, r.Flow)
		e.say("  %s, %s: - r tan(a/2) = -%.6g m; half its arc, r a/2 = %.6g m, loses at its own size, by the same formulas, %.6g Pa/m = %.6g Pa", name,
			inMillimetres(f.Own), float64(tangent), float64(arc), float64(rate), float64(rate)*float64(arc))
		arcs += fmt.Sprintf(" + %.6g", float64(rate)*float64(arc))
	}
	if any {
		e.say("L = %.6g m, along the true centreline", float64(max(0, z.scratch.straight[r.ID])))
	} else {
		e.say("L = %.6g m, the same", float64(max(0, z.scratch.straight[r.ID])))
	}
	return arcs
}

// fittings explains the losses booked on the run.
func (e *explanation) fittings(r *duct.Run) {
	z := e.z
	e.head("Fittings")
	for _, k := range z.ofRun(r.ID) {
		e.fitting(&z.des.Fittings[k])
	}
	if s := z.stack(r); s != 0 {
		e.say("stack effect: 9.81 (rho around - rho) rise = 9.81 (%.6g - %.6g) %.6g = %.4f Pa gained", float64(z.ambient), float64(z.air.Density),
			r.Line.B.Z-r.Line.A.Z, float64(s))
		e.say("  rho around by the formulas of rho at %.4g C", z.spec.Air.Ambient)
		e.say("  source: ASHRAE Handbook Fundamentals (SI, 2021), ch. 21, eq. 8")
	}
	if len(z.ofRun(r.ID)) == 0 {
		e.say("none")
	}
}

func (e *explanation) fitting(f *duct.Fitting) {
	z := e.z
	name := fmt.Sprintf("%s at %s (%s)", f.Kind, nodeName(f.Node), z.net.Nodes[f.Node].Key)
	if f.Common.IsZero() {
		name += ", " + inMillimetres(f.Own)
	} else {
		name += fmt.Sprintf(", %s to %s", inMillimetres(f.Common), inMillimetres(f.Own))
	}
	if f.Loss == 0 && f.C == 0 && f.Pv == 0 {
		e.say("%s: C = 0, nothing disturbs the air", name)
		return
	}
	e.say("%s: C = %.5g on pv %.6g Pa (%s) = %.4f Pa", name, f.C, float64(f.Pv), f.Reference, float64(f.Loss))
	if f.Kind == duct.TerminalConn && f.Common.IsZero() {
		e.say("  no neck is noted: it is as large as the duct")
	}
	if _, _, own := z.override(f); !own && f.Kind != duct.InlineBox {
		res := z.again(f)
		e.say("  %s", res.Formula)
		if v := res.Values(); v != "" && res.Source != "" {
			if f.Reference == ofFitting {
				v = strings.Replace(v, "on the own velocity", "on the velocity in the fitting itself,", 1)
			}
			e.say("  %s", v)
		}
		if out := res.Outside(); out != "" {
			e.say("  %s", out)
		}
	}
	if f.Source != "" {
		e.say("  source: %s", f.Source)
	}
	if f.DamperC > 0 {
		pv := loss.VelocityPressure(z.sizes[f.Run].Velocity(z.net.Runs[f.Run].Flow), z.air.Density)
		e.say("  of it the open damper: C = %.5g on pv %.6g Pa (own) = %.4f Pa", f.DamperC, float64(pv), f.DamperC*float64(pv))
		e.say("  source of that: %s", z.damperOf(f).source)
	}
}
