package sketch

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"twinline/dxfio"
	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// Part is what lies on a layer of the sketch.
type Part uint8

// The parts, as the README lists them.
const (
	PartDuct Part = iota
	PartFlex
	PartTerm
	PartUnit
	PartNote
	PartLimit // these three have no air and no status
	PartCeiling
	PartRated
)

// Layer is what the name of a sketch layer says.
type Layer struct {
	Air    duct.Air
	Part   Part
	Status duct.Status
}

// Convention returns the words of layer names the README lays down.
func Convention() LayerNames {
	return LayerNames{
		Prefix: "SK", Duct: "DUCT", Flex: "FLEX", Term: "TERM", Unit: "UNIT", Note: "NOTE",
		Existing: "EX", Removed: "REM", Future: "FUT", Limit: "SK-LIMIT", Ceiling: "SK-CEIL", Rated: "SK-RATED",
	}
}

// airWords are the words for the airs every drawing may use.
var airWords = map[string]duct.Air{
	"SUP": duct.SUP, "ETA": duct.ETA, "EHA": duct.EHA, "ODA": duct.ODA, "RCA": duct.RCA, "TRA": duct.TRA,
	"SA": duct.SUP, "RA": duct.ETA, "EA": duct.EHA, "OA": duct.ODA,
}

// AirWords returns the words for the airs every drawing may use.
func AirWords() map[string]duct.Air { return maps.Clone(airWords) }

// Filled returns n with the convention's words where it has none.
func (n LayerNames) Filled() LayerNames {
	d := Convention()
	for _, f := range []struct{ word, usual *string }{
		{&n.Prefix, &d.Prefix}, {&n.Duct, &d.Duct}, {&n.Flex, &d.Flex}, {&n.Term, &d.Term}, {&n.Unit, &d.Unit},
		{&n.Note, &d.Note},
		{&n.Existing, &d.Existing}, {&n.Removed, &d.Removed}, {&n.Future, &d.Future},
		{&n.Limit, &d.Limit}, {&n.Ceiling, &d.Ceiling}, {&n.Rated, &d.Rated},
	} {
		if strings.TrimSpace(*f.word) == "" {
			*f.word = *f.usual
		}
	}
	return n
}

// scheme knows every name a sketch layer can have, in capitals.
type scheme struct {
	names  map[string]Layer
	usual  []string // the names to propose, sorted
	prefix string   // with its hyphen
}

func newScheme(n LayerNames) *scheme {
	n = n.Filled()
	s := &scheme{names: map[string]Layer{}, prefix: strings.ToUpper(n.Prefix) + "-"}
	airs := AirWords()
	for w, a := range n.Air {
		airs[strings.ToUpper(w)] = a
	}
	// By part and status: where an office gives two of them one word, the first has it.
	parts := []string{PartDuct: n.Duct, PartFlex: n.Flex, PartTerm: n.Term, PartUnit: n.Unit, PartNote: n.Note}
	states := []string{duct.New: "", duct.Existing: "-" + n.Existing, duct.Removed: "-" + n.Removed, duct.Future: "-" +
		n.Future}
	for air, a := range airs {
		for part, p := range parts {
			for status, st := range states {
				s.put(n.Prefix+"-"+air+"-"+p+st, Layer{a, Part(part), duct.Status(status)})
			}
		}
	}
	s.put(n.Limit, Layer{Part: PartLimit})
	s.put(n.Ceiling, Layer{Part: PartCeiling})
	s.put(n.Rated, Layer{Part: PartRated})
	slices.Sort(s.usual)
	return s
}

func (s *scheme) put(name string, l Layer) {
	name = strings.ToUpper(name)
	if _, ok := s.names[name]; ok {
		return
	}
	s.names[name] = l
	s.usual = append(s.usual, name)
}

// layer returns what the layer called name is for.
func (s *scheme) layer(name string) (l Layer, ok bool) {
	l, ok = s.names[layerKey(name)]
	return l, ok
}

// like reports whether name begins like a sketch layer.
func (s *scheme) like(name string) bool {
	return strings.HasPrefix(layerKey(name), s.prefix)
}

// claims reports whether name is that of a sketch layer or begins like one.
func (s *scheme) claims(name string) bool {
	_, ok := s.layer(name)
	return ok || s.like(name)
}

// nearest returns the sketch layer with a name most like name: one letter away, or the part of
// the name that is known, or the one with the fewest letters to change.
func (s *scheme) nearest(name string) string {
	name = layerKey(name)
	best, least, known := "", -1, ""
	for _, w := range s.usual {
		if d := EditDistance(name, w); least < 0 || d < least {
			best, least = w, d
		}
		if strings.HasPrefix(name, w+"-") && len(w) > len(known) {
			known = w
		}
	}
	if least > 1 && known != "" {
		return known
	}
	return best
}

// form shows how names are made, for messages.
func (s *scheme) form() string {
	return fmt.Sprintf("%s<air>-<part>, such as %s", s.prefix, s.example())
}

func (s *scheme) example() string {
	example := s.usual[0]
	for _, w := range s.usual {
		if l := s.names[w]; l.Part == PartDuct && l.Air == duct.SUP && l.Status == duct.New {
			if example = w; strings.Contains(w, duct.SUP.String()) { // not one of its other words
				break
			}
		}
	}
	return example
}

// layerKey is a layer's name as names are compared.
func layerKey(name string) string { return strings.ToUpper(strings.TrimSpace(name)) }

// layerBook knows which layers do not show, and what on layers of the sketch was passed over.
type layerBook struct {
	invisible map[string]dxfio.Layer
	unread    map[string]*unread
}

// unread is what is known of a layer that is not read.
type unread struct {
	name   string
	count  int
	at     geom.Vec // of the first entity from the left
	handle string
}

// readLayers learns which layers are not to be read.
func readLayers(src Source, s *scheme) *layerBook {
	b := &layerBook{map[string]dxfio.Layer{}, map[string]*unread{}}
	for _, l := range src.Layers() {
		if l.Frozen || l.Off {
			b.invisible[layerKey(l.Name)] = l
		}
		if _, ok := s.layer(l.Name); !ok && s.like(l.Name) {
			b.unread[layerKey(l.Name)] = &unread{name: l.Name}
		}
	}
	return b
}

// hidden reports whether what lies on a layer does not show.
func (b *layerBook) hidden(name string) bool {
	_, ok := b.invisible[layerKey(name)]
	return ok
}

// frozen reports whether the content of inserts on a layer does not show either.
func (b *layerBook) frozen(name string) bool { return b.invisible[layerKey(name)].Frozen }

// passOver notes that an entity was not read.
func (b *layerBook) passOver(name string, at geom.Vec, handle string) {
	u := b.unread[layerKey(name)]
	if u == nil {
		u = &unread{name: name}
		b.unread[layerKey(name)] = u
	}
	if u.count == 0 || at.Compare(u.at) < 0 {
		u.at, u.handle = at, handle
	}
	u.count++
}

// notRead reports the layers that were not read: those of the sketch that do not show, and those with names nearly
// right.
func (b *layerBook) notRead(s *scheme) (found diag.List) {
	for _, u := range b.unread {
		if _, known := s.layer(u.name); known {
			things := fmt.Sprintf("%d entities on it were", u.count)
			if u.count == 1 {
				things = "1 entity on it was"
			}
			found.Add(diag.HiddenLayer, spot(u.at), u.handle,
				fmt.Sprintf("The sketch layer %s is frozen or switched off; %s not read.", u.name, things),
				"Thaw the layer and switch it on if it belongs to the sketch.")
			continue
		}
		found.Add(diag.UnknownLayer, spot(u.at), u.handle,
			fmt.Sprintf("The layer %s begins like a sketch layer, but the rest of its name is not known; it was not read.",
				u.name),
			fmt.Sprintf("The nearest sketch layer is %s; rename the layer.", s.nearest(u.name)))
	}
	return found
}
