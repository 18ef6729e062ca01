package sketch

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
)

// A class of fire resistance: load-bearing R, integrity E, insulation I, radiation W, and S for limited
// leakage of smoke, with minutes. Source: EN 13501-2 and, for ducts and dampers, EN 13501-3.
var (
	ratedClass = regexp.MustCompile(`^(R?EI?W?|R)-?\s?(S)?-?\s?([0-9]{2,3})(?:\s?-?(S))?\b`)
	ratedHours = regexp.MustCompile(`^([0-9](?:\.[05])?|[0-9]{2,3})\s?-?(H|HR|HRS|HOURS?|MIN|MINUTES?)\b`)
	ratedWord  = regexp.MustCompile(`^[^\s,;/+&-]+`)
)

// ratedWords are the single words of such notes; those that are not about fire or smoke say nothing.
var ratedWords = map[string]duct.Rating{
	"FIRE": {Fire: true}, "SMOKE": {Smoke: true}, "FD": {Fire: true}, "SD": {Smoke: true},
	"FSD":   {Fire: true, Smoke: true},
	"RATED": {}, "RATING": {}, "RESISTANT": {}, "RESISTANCE": {}, "WALL": {}, "BARRIER": {}, "PARTITION": {},
	"DAMPER": {}, "AND": {},
}

// parseRating reads a note on a rated wall, in any case: fire, smoke, fire smoke, EI 90, EIS 120, 2 h.
func parseRating(text string) (parts []part, faults []fault) {
	between := func(c rune) bool { return unicode.IsSpace(c) || strings.ContainsRune(",;/+&-", c) }
	for rest := strings.TrimLeftFunc(strings.ToUpper(text), between); rest != ""; rest = strings.TrimLeftFunc(rest,
		between) {
		v, words, ok := cutRating(rest)
		if !ok {
			faults = append(faults,
				fault{true, fmt.Sprintf("No rule knows %s in this note on a rated wall.", quote(words)),
					"Write fire, smoke, fire smoke, or a class such as EI 90 or 2 h; move other texts to a layer of their own."})
		} else if v.rating.Known() {
			parts = append(parts, part{wallRating, &wallRating.rows[0], v, strings.TrimSpace(words)})
		}
		rest = rest[len(words):]
	}
	return parts, faults
}

// cutRating reads the words at the front of s, which are in capitals.
func cutRating(s string) (v value, words string, ok bool) {
	if m := ratedClass.FindStringSubmatch(s); m != nil {
		smoke := m[2] != "" || m[4] != ""
		v.class, v.rating = m[1], duct.Rating{Fire: true, Smoke: smoke, Class: m[1] + " " + m[3]}
		if smoke {
			v.class, v.rating.Class = v.class+" S", v.rating.Class+" S"
		}
		v.minutes, _ = strconv.ParseFloat(m[3], 64)
		return v, m[0], true
	}
	if m := ratedHours.FindStringSubmatch(s); m != nil {
		const minutesInHour = 60
		v.minutes, _ = strconv.ParseFloat(m[1], 64)
		unit := " min"
		if strings.HasPrefix(m[2], "H") {
			unit, v.minutes = " h", v.minutes*minutesInHour
		}
		v.rating = duct.Rating{Fire: true, Class: m[1] + unit}
		return v, m[0], true
	}
	words = cmp.Or(ratedWord.FindString(s), s)
	v.rating, ok = ratedWords[words]
	return v, words, ok
}

// sameClass reports whether two classes can be of one wall: for one time, and with the same letters where both have
// them.
func (v value) sameClass(o value) bool {
	return v.minutes == o.minutes && (v.class == o.class || v.class == "" || o.class == "")
}

// giveWalls gives a note to the nearest rated wall, or to the two it lies in the corner of, and reports whether there
// is one.
func (a *attacher) giveWalls(n *note, g *group, p *probe, near []*thing) bool {
	var nearest []*thing
	least := float64(a.rules.Reach)
	for _, t := range near {
		if t.kind != onWall {
			continue
		}
		switch d := t.dist(p); {
		case d < least-geom.Shortest:
			nearest, least = []*thing{t}, d
		case d <= least+geom.Shortest:
			nearest, least = append(nearest, t), math.Min(least, d)
		}
	}
	if len(nearest) > 1 && !a.corner(nearest) {
		a.report(diag.AmbiguousNote, n, fmt.Sprintf("The note %s is equally near to two rated walls.", quote(n.value)),
			"Move it nearer to the one it is about.")
		return true
	}
	for _, t := range nearest {
		t.claim(n, g, p)
	}
	return len(nearest) > 0
}

// corner reports whether all of these rated walls end where the first one does.
func (a *attacher) corner(walls []*thing) bool {
	snap := float64(a.rules.Snap)
	for _, w := range walls[1:] {
		meet := false
		for _, e := range w.ends {
			meet = meet || e.PlanDist(walls[0].ends[0]) <= snap || e.PlanDist(walls[0].ends[1]) <= snap
		}
		if !meet {
			return false
		}
	}
	return true
}
