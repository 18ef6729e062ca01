package sizing

import (
	"strings"

	"twinline/layout/duct"
	"twinline/sizing/loss"
)

// Defaults of the settings of this package where they say nothing.
const (
	// defaultExtended is how far flexible duct is stretched. Common practice: nearly straight.
	defaultExtended = 0.96
	// leastFlow is the smallest flow that counts as one, in cubic metres a second.
	leastFlow = 1e-9
)

// wall is what the friction of a duct depends on beside its size.
type wall struct {
	roughness duct.Length
	extended  float64 // flexible: installed over fully extended length; 0 not flexible
	lossAir   *loss.Air
}

// rate returns the friction a metre of q in s.
func (w wall) rate(s duct.Size, q duct.Flow) duct.Rate {
	r := loss.FrictionRate(s, q, w.roughness, *w.lossAir)
	if w.extended > 0 {
		r *= duct.Rate(loss.Compression(s.Equivalent(), w.extended))
	}
	return r
}

// wall returns the wall of a run. Flexible duct is worked out at its own roughness whatever its
// material is called, since its compression factor was measured against that.
func (z *solver) wall(r *duct.Run) wall {
	w := wall{roughness: z.material(r), lossAir: &z.air}
	if r.Pliable || r.Kind == duct.Flexible {
		w.extended = z.spec.FlexExtended
		if w.extended <= 0 || w.extended > 1 {
			w.extended = defaultExtended
		}
	}
	return w
}

// material returns the roughness of a run: that of its flexible duct, its noted material, its
// lining, or of rigid duct; of each as the settings have it, else as its source has it.
func (z *solver) material(r *duct.Run) duct.Length {
	name := materialName(r)
	if e, ok := z.ownRoughness(name); ok {
		return e
	}
	m, ok := loss.MaterialOf(name)
	if !ok {
		m, _ = loss.MaterialOf("")
	}
	return m.Roughness
}

// ownRoughness returns the roughness the settings give a material, by the name asked for or by another one of
// the same material: that of "galvanised" is that of rigid duct nothing is noted of.
func (z *solver) ownRoughness(name string) (duct.Length, bool) {
	if len(z.spec.Roughness) == 0 {
		return 0, false
	}
	name = strings.ToLower(name)
	if e, ok := z.spec.Roughness[name]; ok {
		return e, true
	}
	m, ok := loss.MaterialOf(name)
	if !ok {
		return 0, false
	}
	if e, ok := z.spec.Roughness[m.Name]; ok {
		return e, true
	}
	for _, other := range loss.Names(m.Name) {
		if e, ok := z.spec.Roughness[other]; ok {
			return e, true
		}
	}
	return 0, false
}

// materialName returns what the wall of a run is called.
func materialName(r *duct.Run) string {
	switch {
	case r.Pliable || r.Kind == duct.Flexible:
		return "flex"
	case r.Spec.Material != "":
		return r.Spec.Material
	case r.Spec.Lining > 0:
		return "lined"
	}
	return ""
}
