// Package report gives people and programs what came out: tables for a terminal, the network as JSON, schedules as CSV,
// XLSX and HTML.
package report

import (
	"encoding/json"
	"io"
	"math"
	"strings"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/words"
)

// Drawing is what the JSON says of the drawing.
type Drawing struct {
	Units   string `json:"units"`
	Version string `json:"version"`
}

type jsonFile struct {
	Twinline string        `json:"twinline"`
	Drawing  Drawing       `json:"drawing"`
	Systems  []jsonSystem  `json:"systems"`
	Removed  []jsonRun     `json:"removed,omitempty"`
	Findings []jsonFinding `json:"findings"`
}

type jsonSystem struct {
	Unit      string         `json:"unit"`
	Node      string         `json:"node"`
	Air       string         `json:"air"`
	Method    string         `json:"method"`
	Flow      number         `json:"flow_m3s"`
	Required  number         `json:"required_pa"`
	Available *number        `json:"available_pa"`
	Deciding  string         `json:"deciding"`
	Runs      []jsonRun      `json:"runs"`
	Fittings  []jsonFitting  `json:"fittings"`
	Terminals []jsonTerminal `json:"terminals"`
	Nodes     []jsonNode     `json:"nodes"`
	Before    number         `json:"throttle_before_pa"` // of all terminals together, before balancing by size
	After     number         `json:"throttle_after_pa"`
}

type jsonRun struct {
	ID       string      `json:"id"`
	From     string      `json:"from"`
	To       string      `json:"to"`
	Status   string      `json:"status"`
	Kind     string      `json:"kind"`
	Shape    string      `json:"shape"`
	Diameter number      `json:"diameter_m"`
	Width    number      `json:"width_m"`
	Height   number      `json:"height_m"`
	Length   number      `json:"length_m"`
	Flow     number      `json:"flow_m3s"`
	Velocity number      `json:"velocity_ms"`
	Friction number      `json:"friction_pa"`
	Rate     number      `json:"friction_pa_per_m"`
	Counted  number      `json:"friction_length_m"` // the centreline with the arcs of elbows, not their corners
	Fitting  number      `json:"fitting_pa"`
	Points   [][3]number `json:"points"`
}

type jsonFitting struct {
	Node      string    `json:"node"`
	Kind      string    `json:"kind"`
	At        [3]number `json:"at"`
	C         number    `json:"c"`
	Reference string    `json:"reference"`
	Speed     number    `json:"reference_ms"` // the velocity c is on
	Loss      number    `json:"loss_pa"`
	Run       string    `json:"run"`
	Source    string    `json:"source"`
	// Damper is that of the open damper after a branch, on the velocity pressure of the run; its loss is in loss_pa.
	Damper number `json:"open_damper_c,omitzero"`
}

type jsonTerminal struct {
	ID       string    `json:"id"`
	Mark     string    `json:"mark"`
	Node     string    `json:"node"`
	Status   string    `json:"status"`
	Loss     number    `json:"loss_pa"`
	At       [3]number `json:"at"`
	Flow     number    `json:"flow_m3s"`
	Path     number    `json:"path_pa"`
	Throttle number    `json:"throttle_pa"`
	DamperC  number    `json:"damper_c"`
	Damper   string    `json:"damper_run"` // "" for none
}

type jsonNode struct {
	ID       string    `json:"id"`
	Kind     string    `json:"kind"`
	At       [3]number `json:"at"`
	Total    number    `json:"total_pa"`
	Static   number    `json:"static_pa"`
	Velocity number    `json:"velocity_pa"`
}

type jsonFinding struct {
	Level  string    `json:"level"`
	Code   string    `json:"code"`
	At     [3]number `json:"at"`
	Handle string    `json:"handle"`
	Text   string    `json:"text"`
}

// number is a float printed without the noise of the last bits.
type number float64

// decimals is how many decimals a number keeps: a millionth of a metre, of a pascal.
const decimals = 1e6

// MarshalJSON prints n rounded; what is no number becomes zero, which JSON can hold.
func (n number) MarshalJSON() ([]byte, error) {
	v := math.Round(float64(n)*decimals) / decimals
	if math.IsNaN(v) || math.IsInf(v, 0) || v == 0 {
		v = 0
	}
	return json.Marshal(v)
}

func point(v geom.Vec) [3]number { return [3]number{number(v.X), number(v.Y), number(v.Z)} }

// arcTolerance is how far the chords of an arc may stray from it in JSON points, metres.
const arcTolerance = 0.005

// JSON writes the network, its sizes and pressures, and the findings, in SI units; other programs read it, so names and
// units stay. net and des are nil where the sketch could not be worked out.
func JSON(w io.Writer, version string, drawing Drawing, net *duct.Network, des *duct.Design, found diag.List) error {
	out := jsonFile{Twinline: version, Drawing: drawing, Systems: []jsonSystem{}, Findings: findings(found)}
	if net != nil && des != nil {
		out.fill(net, des)
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(out)
}

// fill writes down systems and removed work, in one pass over nodes and fittings, however many systems there are.
func (f *jsonFile) fill(net *duct.Network, des *duct.Design) {
	for i := range net.Systems {
		f.Systems = append(f.Systems, system(net, des, &net.Systems[i]))
	}
	for i := range net.Runs {
		if net.Runs[i].System == duct.None {
			f.Removed = append(f.Removed, run(net, des, &net.Runs[i]))
		}
	}
	for i := range net.Nodes {
		n, p := &net.Nodes[i], des.Nodes[i]
		if n.System != duct.None {
			s := &f.Systems[n.System]
			s.Nodes = append(s.Nodes, jsonNode{words.Node(n.ID), n.Kind.String(), point(nodeAt(net, des, n)),
				number(p.Total), number(p.Static), number(p.Velocity)})
		}
	}
	for i := range des.Fittings {
		if r := des.Fittings[i].Run; r != duct.None && net.Runs[r].System != duct.None {
			s := &f.Systems[net.Runs[r].System]
			s.Fittings = append(s.Fittings, fittingOf(&des.Fittings[i], des.Density))
		}
	}
}

// FindingsJSON writes the findings alone.
func FindingsJSON(w io.Writer, version string, drawing Drawing, found diag.List) error {
	return JSON(w, version, drawing, nil, nil, found)
}

func findings(found diag.List) []jsonFinding {
	out := []jsonFinding{}
	for _, d := range found.Sorted() {
		at := [3]number{number(d.At[0]), number(d.At[1]), number(d.At[2])}
		text := strings.TrimSuffix(d.Text+" "+d.Do, " ")
		out = append(out, jsonFinding{d.Level.String(), string(d.Code), at, d.Handle, text})
	}
	return out
}

func system(net *duct.Network, des *duct.Design, s *duct.System) jsonSystem {
	res := des.Systems[s.ID]
	out := jsonSystem{
		Unit: s.Name, Node: words.Node(s.Head), Air: s.Air.String(), Method: res.Method,
		Flow: number(s.Flow), Required: number(res.Required), Before: number(res.Unthrottled),
		Runs: []jsonRun{}, Fittings: []jsonFitting{}, Terminals: []jsonTerminal{}, Nodes: []jsonNode{},
	}
	if u := net.Units[s.Unit]; u.HasAvailable {
		a := number(res.Available)
		out.Available = &a
	}
	for _, id := range s.Terminals {
		out.After += number(des.Terminals[id].Throttle)
	}
	if res.Deciding != duct.None {
		out.Deciding = net.Terminals[res.Deciding].Name
	}
	for _, id := range s.Runs {
		out.Runs = append(out.Runs, run(net, des, &net.Runs[id]))
	}
	for _, id := range s.Terminals {
		t, r := net.Terminals[id], des.Terminals[id]
		damper := ""
		if r.Damper != duct.None && r.Throttle > 0 {
			damper = words.Run(r.Damper)
		}
		out.Terminals = append(out.Terminals, jsonTerminal{t.Name, t.Mark, words.Node(t.Node), t.Status.String(),
			number(t.Loss), point(t.At), number(t.Flow), number(r.Path), number(r.Throttle), number(r.DamperC), damper})
	}
	return out
}

func fittingOf(f *duct.Fitting, rho duct.Density) jsonFitting {
	speed := 0.0
	if rho > 0 && f.Pv > 0 {
		speed = math.Sqrt(2 * float64(f.Pv) / float64(rho)) // from its velocity pressure
	}
	return jsonFitting{words.Node(f.Node), f.Kind.String(), point(f.At), number(f.C), f.Reference, number(speed),
		number(f.Loss), words.Run(f.Run), f.Source, number(f.DamperC)}
}

// nodeAt returns the place of a node on the centreline of the run that leads to it from the unit.
func nodeAt(net *duct.Network, des *duct.Design, n *duct.Node) geom.Vec {
	if n.Kind == duct.Bend || n.Kind == duct.Branch || n.Kind == duct.Cap {
		for _, id := range n.Runs {
			if net.DownNode(&net.Runs[id]) == n.ID {
				return des.Assembly.Axes[id].B
			}
		}
	}
	return n.At
}

func run(net *duct.Network, des *duct.Design, r *duct.Run) jsonRun {
	res := &des.Runs[r.ID]
	s := res.Size
	out := jsonRun{
		ID: words.Run(r.ID), From: words.Node(r.From), To: words.Node(r.To), Status: r.Status.String(),
		Kind: r.Kind.String(), Shape: s.Shape.String(), Length: number(res.Length), Flow: number(r.Flow),
		Velocity: number(res.Velocity), Friction: number(res.Friction), Rate: number(res.Rate),
		Counted: number(res.FrictionLength()), Fitting: number(res.Fittings),
	}
	if s.Shape == duct.Round {
		out.Diameter = number(s.Width)
	} else {
		out.Width, out.Height = number(s.Width), number(s.Height)
	}
	for _, p := range des.Assembly.Along(r).Flatten(arcTolerance) {
		out.Points = append(out.Points, point(p))
	}
	return out
}
