package loss

import (
	"sort"
	"strings"

	"twinline/layout/duct"
)

// Material is the wall of a duct.
type Material struct {
	Name      string
	Roughness duct.Length // absolute, for design
	Source    string
}

const ashraeTable1 = "ASHRAE Handbook Fundamentals (2021), ch. 21, table 1"

// materials are the walls Twinline knows by name. Where the source has a range and no value for
// design, its upper end is taken.
var materials = []Material{
	{"galvanised", 0.09 * duct.Millimetre, ashraeTable1 + ", average"},
	{"spiral", 0.09 * duct.Millimetre, ashraeTable1 + ", average"},
	{"plastic", 0.046 * duct.Millimetre, ashraeTable1 + ", medium smooth (PVC)"},
	{"aluminium", 0.046 * duct.Millimetre, ashraeTable1 + ", medium smooth"},
	{"steel", 0.046 * duct.Millimetre, ashraeTable1 + ", medium smooth (commercial steel)"},
	{"drawn", 0.00046 * duct.Millimetre, ashraeTable1 + ", smooth (drawn tubing)"},
	{"corrugated", 0.9 * duct.Millimetre, ashraeTable1 + ", medium rough (corrugated spiral)"},
	{"flex", FlexRoughness, ashraeTable1 + ", medium rough (fabric and wire, fully extended)"},
	{"flex-metal", 3 * duct.Millimetre, ashraeTable1 + ", rough (metal, fully extended)"},
	{"lined", 1.52 * duct.Millimetre, ashraeTable1 + " (fibrous glass liner, faced)"},
	{"lined-sprayed", 3 * duct.Millimetre, ashraeTable1 + ", rough (fibrous glass liner, spray coated)"},
	{"phenolic", 0.391 * duct.Millimetre, ashraeTable1 + ", upper end (panel duct, joints at 1.52 m)"},
	{"phenolic-long", 0.298 * duct.Millimetre, ashraeTable1 + ", upper end (panel duct, joints at 3.05 m)"},
	{"concrete", 3 * duct.Millimetre, ashraeTable1 + ", rough"},
	{"plywood", 0.12 * duct.Millimetre,
		"Idelchik, Handbook of Hydraulic Resistance, ch. 2 (birch plywood, across the grain)"},
	{"boards", 0.3 * duct.Millimetre, "Idelchik, Handbook of Hydraulic Resistance, ch. 2 (dressed boards)"},
	{"plaster", 0.5 * duct.Millimetre, "Idelchik, Handbook of Hydraulic Resistance, ch. 2 (cement plaster, trowelled)"},
	{"plaster-screen", 15 * duct.Millimetre,
		"Idelchik, Handbook of Hydraulic Resistance, ch. 2, upper end (plaster over a screen)"},
	{"slag-concrete", 1.5 * duct.Millimetre, "Idelchik, Handbook of Hydraulic Resistance, ch. 2"},
	{"glass", 0.01 * duct.Millimetre, "Idelchik, Handbook of Hydraulic Resistance, ch. 2, upper end"},
	{"brick", 3 * duct.Millimetre, "from memory, rough masonry; a default to be overridden"},
}

// otherNames are spellings read as well.
var otherNames = map[string]string{
	"": "galvanised", "galvanized": "galvanised", "galv": "galvanised", "sheet": "galvanised",
	"pvc": "plastic", "aluminum": "aluminium", "flexible": "flex", "masonry": "brick",
}

// MaterialOf returns the wall of that name, in any case; "" is galvanised steel.
//
// Source: named in the result.
// Valid: ok is false for a name it does not know.
func MaterialOf(name string) (m Material, ok bool) {
	name = strings.ToLower(strings.TrimSpace(name))
	if n, ok := otherNames[name]; ok {
		name = n
	}
	for _, m := range materials {
		if m.Name == name {
			return m, true
		}
	}
	return Material{}, false
}

// Names returns the other spellings of the material of that name, in order; "" stands for duct nothing is said of.
//
// Source: spellings of the trade.
// Valid: none for a name that is not one of Materials.
func Names(material string) []string {
	var out []string
	for spelling, name := range otherNames {
		if name == material {
			out = append(out, spelling)
		}
	}
	sort.Strings(out)
	return out
}

// Materials returns every wall known by name, in order of the names.
//
// Source: named in each.
// Valid: always.
func Materials() []Material {
	out := append([]Material(nil), materials...)
	sort.Slice(out, func(i, j int) bool { return out[i].Name < out[j].Name })
	return out
}
