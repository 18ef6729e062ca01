package quantity

import (
	"slices"

	"twinline/layout/duct"
)

// Fitting is one fitting to be made.
type Fitting struct {
	Work
	*duct.Fitting
	Legs []duct.Size // of a junction with no straight leg: all but the common leg, larger ones first
}

// Damper is one volume damper.
type Damper struct {
	Work
	Size duct.Size
}

// Fittings lists what there is to be made, in the order of the nodes. A junction counts once, as what branches off; its
// straight leg and plain joints are no fittings here. Bends of flexible duct are not counted.
func Fittings(net *duct.Network, des *duct.Design) []Fitting {
	var out []Fitting
	legs := map[duct.NodeID][]*duct.Fitting{}
	for i := range des.Fittings {
		if f := &des.Fittings[i]; f.Run != duct.None {
			legs[f.Node] = append(legs[f.Node], f)
		}
	}
	for i := range des.Fittings {
		f := &des.Fittings[i]
		if f.Run == duct.None {
			continue
		}
		r := &net.Runs[f.Run]
		switch traits := f.Kind.Traits(); {
		case traits.Listing == duct.Unlisted, traits.Family == duct.BendFamily && !rigid(r):
		case traits.Listing != duct.ListLegs:
			out = append(out, Fitting{WorkOf(r), f, nil})
		case firstLeg(f, legs[f.Node]):
			out = append(out, Fitting{WorkOf(r), f, otherLegs(f, legs[f.Node])})
		}
	}
	return out
}

// firstLeg reports whether f is the first leg of its junction, so that it counts once.
func firstLeg(f *duct.Fitting, legs []*duct.Fitting) bool {
	return !slices.ContainsFunc(legs, func(o *duct.Fitting) bool { return o.Kind == f.Kind && o.Run < f.Run })
}

// otherLegs returns the sizes of a junction but for the common leg.
func otherLegs(f *duct.Fitting, legs []*duct.Fitting) []duct.Size {
	var out []duct.Size
	for _, o := range legs {
		if o.Kind == f.Kind || o.Kind == duct.Through {
			out = append(out, o.Own)
		}
	}
	slices.SortStableFunc(out, bySize)
	return out
}

// Dampers lists the volume dampers, in the order of the nodes.
func Dampers(net *duct.Network, des *duct.Design) []Damper {
	var out []Damper
	for i := range des.Fittings {
		if f := &des.Fittings[i]; f.Run != duct.None && (f.Kind == duct.VolumeDamper || f.Damper) {
			out = append(out, Damper{WorkOf(&net.Runs[f.Run]), des.Runs[f.Run].Size})
		}
	}
	return out
}
