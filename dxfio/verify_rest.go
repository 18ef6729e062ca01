package dxfio

import "slices"

// A hole is a span to be left out of a comparison.
type hole struct{ start, end int }

// sortHoles orders holes and joins those that touch or lie within each other (an entity of ours in a section that is
// new).
func sortHoles(holes []hole) []hole {
	slices.SortFunc(holes, func(a, b hole) int { return a.start - b.start })
	out := holes[:0]
	for _, h := range holes {
		if n := len(out); n > 0 && h.start <= out[n-1].end {
			out[n-1].end = max(out[n-1].end, h.end)
			continue
		}
		out = append(out, h)
	}
	return out
}

// rest reads data but for its holes, without copying.
type rest struct {
	data  []byte
	holes []hole
	at    int
}

// peek gives the bytes from the present place to the next hole; none at the end.
func (r *rest) peek() []byte {
	for len(r.holes) > 0 && r.at >= r.holes[0].start {
		r.at = max(r.at, r.holes[0].end)
		r.holes = r.holes[1:]
	}
	end := len(r.data)
	if len(r.holes) > 0 {
		end = r.holes[0].start
	}
	return r.data[r.at:end]
}
