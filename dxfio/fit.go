package dxfio

// throughFit returns points along the smooth curve through the fit points of a spline that has no control points: a
// cubic spline over the lengths of the chords, as CAD programs draw it, with the end tangents where the drawing has
// both, else with free ends. It gives nil where the points do not make a curve.
func (s *spline) throughFit() []Point {
	pts := make([]Point, 0, len(s.fit)+2*wrapped+1)
	for _, p := range s.fit {
		if n := len(pts); n == 0 || pts[n-1] != p {
			pts = append(pts, p)
		}
	}
	if s.closed && len(pts) > 2 && pts[0] == pts[len(pts)-1] {
		pts = pts[:len(pts)-1]
	}
	if len(pts) < 3 {
		return pts
	}
	first, last := 0, len(pts)-1
	if s.closed { // some more points beyond both ends make it smooth where it closes
		n := len(pts)
		round := make([]Point, 0, n+2*wrapped+1)
		for k := -wrapped; k <= n+wrapped; k++ {
			round = append(round, pts[((k%n)+n)%n])
		}
		pts, first, last = round, wrapped, wrapped+n
	}
	chords := make([]float64, len(pts)-1)
	for k := range chords {
		if chords[k] = pts[k+1].add(pts[k].scale(-1)).len(); !(chords[k] > 0) {
			return nil // lost in rounding
		}
	}
	bends := bending(pts, chords, s.endTangents())
	out := make([]Point, 0, (last-first)*chordsPerSpan+1)
	for k := first; k < last; k++ {
		out = append(out, pts[k]) // exactly
		for j := 1; j < chordsPerSpan; j++ {
			b := float64(j) / chordsPerSpan
			a, h := 1-b, chords[k]*chords[k]/6
			p := pts[k].scale(a).add(pts[k+1].scale(b))
			out = append(out, p.add(bends[k].scale((a*a*a-a)*h)).add(bends[k+1].scale((b*b*b-b)*h)))
		}
	}
	return append(out, pts[last])
}

// wrapped is how many points are repeated beyond each end of a closed curve. What is farther away does not show: an end
// counts for a quarter at the next point.
const wrapped = 12

// endTangents returns the directions at both ends, nil where the drawing does not have both or the curve has no ends.
func (s *spline) endTangents() *[2]Point {
	a, b := s.tangents[0].len(), s.tangents[1].len()
	if s.closed || !(a > 0) || !(b > 0) {
		return nil
	}
	return &[2]Point{s.tangents[0].scale(1 / a), s.tangents[1].scale(1 / b)}
}

// bending returns the second derivatives of the cubic spline through points at its knots, by the length of the chords:
// the system of equations with three diagonals that a smooth second derivative asks for, solved from one end to the
// other and back. Source: de Boor, A Practical Guide to Splines, ch. IV; free ends have none, else those that give the
// tangents.
func bending(pts []Point, chords []float64, tangents *[2]Point) []Point {
	n := len(pts) - 1
	slope := func(k int) Point { return pts[k+1].add(pts[k].scale(-1)).scale(1 / chords[k]) }
	diagonal, above, right := make([]float64, n+1), make([]float64, n+1), make([]Point, n+1)
	diagonal[0], diagonal[n] = 1, 1
	if tangents != nil {
		diagonal[0], above[0] = 2*chords[0], chords[0]
		right[0] = slope(0).add(tangents[0].scale(-1)).scale(6)
	}
	for k := 1; k <= n; k++ {
		below := 0.0
		switch {
		case k < n:
			below, diagonal[k], above[k] = chords[k-1], 2*(chords[k-1]+chords[k]), chords[k]
			right[k] = slope(k).add(slope(k - 1).scale(-1)).scale(6)
		case tangents != nil:
			below, diagonal[k] = chords[k-1], 2*chords[k-1]
			right[k] = tangents[1].add(slope(k - 1).scale(-1)).scale(6)
		}
		f := below / diagonal[k-1]
		diagonal[k] -= f * above[k-1]
		right[k] = right[k].add(right[k-1].scale(-f))
	}
	out := make([]Point, n+1)
	out[n] = right[n].scale(1 / diagonal[n])
	for k := n - 1; k >= 0; k-- {
		out[k] = right[k].add(out[k+1].scale(-above[k])).scale(1 / diagonal[k])
	}
	return out
}
