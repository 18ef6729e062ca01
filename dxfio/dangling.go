package dxfio

import (
	"bytes"
	"fmt"
	"strings"
)

// mostDangling is how many references to removed work are places one by one.
const mostDangling = 5

// dangling reports records that refer to work of ours that is taken out: a group it was put in, a dimension tied to
// it. They are not ours, so they stay as they are; programs drop such references when they open the drawing.
func (a *applier) dangling() []string {
	if len(a.gone) == 0 {
		return nil
	}
	out := sortHoles(a.out)
	var places []string
	n, kind, at := 0, "", 0
	for c := a.doc.cursor(a.doc.first, a.doc.tail); c.next(); {
		if c.code == 0 {
			kind, at = string(bytes.TrimSpace(c.bytes())), c.start
			for len(out) > 0 && out[0].end <= c.start {
				out = out[1:]
			}
		}
		if !refers(c.code) || len(out) > 0 && at >= out[0].start {
			continue
		}
		h, ok := hexValue(bytes.TrimSpace(c.bytes()))
		if !ok || !a.gone[h] {
			continue
		}
		if n++; n <= mostDangling {
			places = append(places, fmt.Sprintf("%s (%s): not changed, but it refers to %X, which was removed", kind,
				a.doc.placeOf(at), h))
		}
	}
	if n > mostDangling {
		places = append(places, fmt.Sprintf("%d more references to what was removed", n-mostDangling))
	}
	return places
}

// refers reports whether the values of a group code are handles of other objects. Source: DXF reference, "Group codes
// in numerical order"; 330 to 369 are pointers and owners, 1005 a handle in XDATA.
func refers(code int) bool { return code >= 320 && code < 370 || code == 1005 }

// removed notes an entity that is taken out.
func (a *applier) removed(e *ownedEntity) {
	if a.gone == nil {
		a.gone = make(map[uint64]bool)
	}
	for _, h := range e.handles {
		if n := parseHandle(strings.TrimSpace(h)); n > 0 {
			a.gone[n] = true
		}
	}
	a.out = append(a.out, hole{e.start, e.end})
}
