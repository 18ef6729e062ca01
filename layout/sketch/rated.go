package sketch

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"strings"
	"unicode"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// ratedNote is a text on the layer of rated walls that says what a wall is rated for.
type ratedNote struct {
	note
	rating duct.Rating
}

// A class of fire resistance: load-bearing R, integrity E, insulation I, radiation W, and S for limited
// leakage of smoke, with minutes. Source: EN 13501-2 and, for ducts and dampers, EN 13501-3.
var (
	ratedClass = regexp.MustCompile(`^(R?EI?W?|R)-?\s?(S)?-?\s?([0-9]{2,3})(?:\s?-?(S))?\b`)
	ratedHours = regexp.MustCompile(`^([0-9](?:\.[05])?|[0-9]{2,3})\s?-?(H|HR|HRS|HOURS?|MIN|MINUTES?)\b`)
	ratedWord  = regexp.MustCompile(`^[^\s,;/+&-]+`)
)

// ratedWords are the single words of such notes; those that are not about fire or smoke say nothing.
var ratedWords = map[string]duct.Rating{
	"FIRE": {Fire: true}, "SMOKE": {Smoke: true}, "FD": {Fire: true}, "SD": {Smoke: true}, "FSD": {Fire: true, Smoke: true},
	"RATED": {}, "RATING": {}, "RESISTANT": {}, "RESISTANCE": {}, "WALL": {}, "BARRIER": {}, "PARTITION": {}, "DAMPER": {}, "AND": {},
}

// parseRating reads a note on a rated wall, in any case: fire, smoke, fire smoke, EI 90, EIS 120, 2 h. It
// returns the words that no rule knows.
func parseRating(text string) (r duct.Rating, unknown []string) {
	rest := strings.ToUpper(text)
	for {
		rest = strings.TrimLeftFunc(rest, func(c rune) bool { return unicode.IsSpace(c) || strings.ContainsRune(",;/+&-", c) })
		if rest == "" {
			return r, unknown
		}
		if m := ratedClass.FindStringSubmatch(rest); m != nil {
			class := m[1] + " " + m[3]
			smoke := m[2] != "" || m[4] != ""
			if smoke {
				class += " S"
			}
			r = r.And(duct.Rating{Fire: true, Smoke: smoke, Class: class})
			rest = rest[len(m[0]):]
			continue
		}
		if m := ratedHours.FindStringSubmatch(rest); m != nil {
			unit := " h"
			if strings.HasPrefix(m[2], "M") {
				unit = " min"
			}
			r = r.And(duct.Rating{Fire: true, Class: m[1] + unit})
			rest = rest[len(m[0]):]
			continue
		}
		word := cmp.Or(ratedWord.FindString(rest), rest)
		if is, ok := ratedWords[word]; ok {
			r = r.And(is)
		} else {
			unknown = append(unknown, word)
		}
		rest = rest[len(word):]
	}
}

// addRatedNote keeps a text on the layer of rated walls.
func (r *reader) addRatedNote(n note) {
	rating, unknown := parseRating(n.value)
	for _, w := range unknown {
		r.found.Add(diag.UnknownWord, place(n.at), n.handle, fmt.Sprintf("No rule knows %s in this note on a rated wall.", quote(w)),
			"Write fire, smoke, fire smoke, or a class such as EI 90 or 2 h; move other texts to a layer of their own.")
	}
	if rating.Known() {
		r.ratings = append(r.ratings, ratedNote{n, rating})
	}
}

// rate gives every note on a rated wall to the nearest of these.
func (r *reader) rate() {
	if len(r.ratings) == 0 {
		return
	}
	walls := make([]thing, len(r.sk.Rated))
	var index geom.Index
	for i, w := range r.sk.Rated {
		walls[i] = thing{ref: i, edges: straightened(w.Path, false)}
		index.Insert(walls[i].box(), i)
	}
	for i := range r.ratings {
		n := &r.ratings[i]
		b := geom.BoxOf(append([]geom.Vec{n.at}, n.probe.corners...)...).Grow(float64(r.rules.Reach))
		var nearest []int // more than one where a note lies at the corner of two
		near := float64(r.rules.Reach)
		for _, k := range index.Search(b) {
			switch d := walls[k].dist(&n.probe); {
			case d < near-geom.Shortest:
				nearest, near = []int{k}, d
			case d <= near+geom.Shortest:
				nearest, near = append(nearest, k), math.Min(near, d)
			}
		}
		switch {
		case len(nearest) == 0:
			r.found.Add(diag.UnclaimedNote, place(n.at), n.handle, fmt.Sprintf("The note %s is near no rated wall.", quote(n.value)),
				"Move it nearer to the line of the wall it is about.")
			continue
		case len(nearest) > 1 && !r.corner(nearest):
			r.found.Add(diag.AmbiguousNote, place(n.at), n.handle, fmt.Sprintf("The note %s is equally near to two rated walls.", quote(n.value)),
				"Move it nearer to the one it is about.")
			continue
		}
		for _, k := range nearest {
			r.sk.Rated[k].Rating = r.sk.Rated[k].Rating.And(n.rating)
		}
	}
}

// corner reports whether all of these rated walls end where the first one does.
func (r *reader) corner(walls []int) bool {
	ends := func(k int) [2]geom.Vec {
		p := r.sk.Rated[k].Path
		return [2]geom.Vec{p[0].Vec, p[len(p)-1].Vec}
	}
	first := ends(walls[0])
	for _, k := range walls[1:] {
		meet := false
		for _, e := range ends(k) {
			meet = meet || e.PlanDist(first[0]) <= float64(r.rules.Snap) || e.PlanDist(first[1]) <= float64(r.rules.Snap)
		}
		if !meet {
			return false
		}
	}
	return true
}
