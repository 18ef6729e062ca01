package shape

import (
	"fmt"
	"math"
	"net/url"
	"strconv"
	"strings"

	"twinline/layout/duct"
)

// Facts are what is kept with a shape of ours for two drawings to be compared: of a terminal those its label says, of a
// run, or of a flexible duct of several, those of its centreline.
type Facts struct {
	Terminal string // the name of a terminal; "" for a run
	Flow     duct.Flow
	Status   duct.Status

	// Of a run alone.
	Size   duct.Size // the zero Size: none is known
	Length duct.Length
	Kind   duct.RunKind
	To     string // the name of the terminal it leads to
}

// Fact is one of them as it is held, in ASCII but for names: lengths in millimetres, flows in m3/s.
type Fact struct{ Name, Value string }

// The names of facts. A name is held too.
const (
	FactTerminal = "terminal"
	FactSize     = "size"
	FactFlow     = "flow"
	FactLength   = "length"
	FactStatus   = "status"
	FactKind     = "kind"
	FactTo       = "to"
)

// longestName is how many bytes a name may take among the facts of a thing, which are 200 at most.
const longestName = 100

// List returns the facts in the order they are held in.
func (f *Facts) List() []Fact {
	flow := Fact{FactFlow, fmt.Sprintf("%.6g", float64(f.Flow))}
	status := Fact{FactStatus, f.Status.String()}
	if f.Terminal != "" {
		return []Fact{{FactTerminal, f.Terminal}, flow, status}
	}
	list := []Fact{{FactSize, holdSize(f.Size)}, flow, {FactLength, millimetres(f.Length)}, status,
		{FactKind, f.Kind.String()}}
	if f.To != "" {
		list = append(list, Fact{FactTo, f.To})
	}
	return list
}

// String holds the facts as words name=value, values as in the path of a URL (RFC 3986), so that they have no spaces
// and are ASCII. A name too long for it is left out; so are all facts of a terminal of such a name.
func (f *Facts) String() string {
	if f == nil {
		return ""
	}
	var words []string
	for _, v := range f.List() {
		value := v.Value
		if v.Name == FactTerminal || v.Name == FactTo {
			value = url.PathEscape(value)
		}
		switch {
		case len(value) <= longestName:
			words = append(words, v.Name+"="+value)
		case v.Name == FactTerminal:
			return ""
		}
	}
	return strings.Join(words, " ")
}

// ParseFacts reads what String holds. It returns false for a text that holds no facts, or one of them in no form of
// ours. Words it does not know are left out.
func ParseFacts(text string) (*Facts, bool) {
	f, ok := &Facts{}, false
	for _, word := range strings.Fields(text) {
		name, value, pair := strings.Cut(word, "=")
		var err error
		switch {
		case !pair:
		case name == FactTerminal:
			f.Terminal, err = url.PathUnescape(value)
			ok = f.Terminal != ""
		case name == FactTo:
			f.To, err = url.PathUnescape(value)
		case name == FactFlow:
			err = readNumber(value, 1, (*float64)(&f.Flow))
		case name == FactSize:
			f.Size, err = readSize(value)
			ok = true
		case name == FactLength:
			err = readNumber(value, float64(duct.Millimetre), (*float64)(&f.Length))
		case name == FactStatus:
			f.Status, err = readWord(value, duct.New, duct.Existing, duct.Removed, duct.Future)
		case name == FactKind:
			f.Kind, err = readWord(value, duct.Rigid, duct.Flexible, duct.Drop)
		}
		if err != nil {
			return nil, false
		}
	}
	return f, ok
}

// millimetres writes l to a tenth of a millimetre, which keeps whole inches apart too.
func millimetres(l duct.Length) string {
	return strconv.FormatFloat(math.Round(float64(l/duct.Millimetre)*10)/10, 'f', -1, 64)
}

// noSize, roundSize and ovalSize begin the sizes held that are not width x height.
const (
	noSize    = "none"
	roundSize = "dia"
	ovalSize  = "oval"
)

func holdSize(s duct.Size) string {
	sides := millimetres(s.Width) + "x" + millimetres(s.Height)
	switch {
	case s.IsZero():
		return noSize
	case s.Shape == duct.Round:
		return roundSize + millimetres(s.Width)
	case s.Shape == duct.Oval:
		return ovalSize + sides
	}
	return sides
}

func readSize(text string) (duct.Size, error) {
	if text == noSize {
		return duct.Size{}, nil
	}
	s := duct.Size{Shape: duct.Rect}
	if rest, ok := strings.CutPrefix(text, roundSize); ok {
		text, s.Shape = rest+"x"+rest, duct.Round
	} else if rest, ok := strings.CutPrefix(text, ovalSize); ok {
		text, s.Shape = rest, duct.Oval
	}
	w, h, _ := strings.Cut(text, "x")
	if err := readNumber(w, float64(duct.Millimetre), (*float64)(&s.Width)); err != nil {
		return s, err
	}
	return s, readNumber(h, float64(duct.Millimetre), (*float64)(&s.Height))
}

func readNumber(text string, one float64, to *float64) error {
	v, err := strconv.ParseFloat(text, 64)
	*to = v * one
	return err
}

// readWord returns the one of values that is written text.
func readWord[T fmt.Stringer](text string, values ...T) (v T, err error) {
	for _, v := range values {
		if v.String() == text {
			return v, nil
		}
	}
	return v, fmt.Errorf("%q is none of ours", text)
}
