package dxfio

// spline is a rational B-spline. Source: the algorithm of de Boor, as in Piegl & Tiller,
// The NURBS Book, 2nd ed., ch. 2 and 4.
type spline struct {
	degree  int
	closed  bool
	knots   []float64
	weights []float64
	ctrl    []Point
	fit     []Point

	tangents [2]Point // at the start and at the end, for fit points
}

// chordsPerSpan is how many chords stand for one span of a spline.
const chordsPerSpan = 16

func (d *Document) splineShape(i int, m matrix, e *Entity) string {
	s, f := spline{degree: 3}, floats{}
	for c := d.tags(i); c.next() && c.code < 1000; {
		switch c.code {
		case 70:
			s.closed = c.int()&1 != 0
		case 71:
			s.degree = c.int()
		case 40, 41:
			var v float64
			f.into(c, &v)
			if c.code == 40 {
				s.knots = append(s.knots, v)
			} else {
				s.weights = append(s.weights, v)
			}
		case 10, 11:
			list := s.list(c.code)
			*list = append(*list, Point{})
			f.into(c, &(*list)[len(*list)-1].X)
		case 20, 21, 30, 31:
			if list := *s.list(10 + c.code%10); len(list) > 0 {
				last := &list[len(list)-1]
				if c.code < 30 {
					f.into(c, &last.Y)
				} else {
					f.into(c, &last.Z)
				}
			}
		default:
			coordinate(c, &f, 12, &s.tangents[0])
			coordinate(c, &f, 13, &s.tangents[1])
		}
		if len(s.ctrl) > maxSplineCtrl || len(s.fit) > maxSplineCtrl || len(s.knots) > 2*maxSplineCtrl {
			return "it has more control points than can be read"
		}
	}
	if f.bad {
		return badNumber
	}
	points := s.points()
	if len(points) < 2 {
		return "its control points and knots do not make a curve"
	}
	for _, p := range points {
		e.Vertices = append(e.Vertices, Vertex{Point: m.point(p)})
	}
	return ""
}

func (s *spline) list(code int) *[]Point {
	if code == 10 {
		return &s.ctrl
	}
	return &s.fit
}

// points returns points along the curve; one through the fit points where there is no more.
func (s *spline) points() []Point {
	n, p := len(s.ctrl), s.degree
	if n == 0 {
		return s.throughFit()
	}
	if p < 1 || p > 20 || n <= p || len(s.knots) != n+p+1 {
		return nil
	}
	for k := 1; k < len(s.knots); k++ {
		if s.knots[k] < s.knots[k-1] {
			return nil
		}
	}
	var out []Point
	for k := p; k < n; k++ {
		a, b := s.knots[k], s.knots[k+1]
		if a == b {
			continue
		}
		for j := range chordsPerSpan {
			out = append(out, s.at(k, a+(b-a)*float64(j)/chordsPerSpan))
		}
	}
	if len(out) == 0 {
		return nil
	}
	return append(out, s.at(s.lastSpan(), s.knots[n]))
}

func (s *spline) lastSpan() int {
	k := len(s.ctrl) - 1
	for k > s.degree && s.knots[k] == s.knots[k+1] {
		k--
	}
	return k
}

// at returns the point at parameter t of span k.
func (s *spline) at(k int, t float64) Point {
	p := s.degree
	pts := make([]Point, p+1)
	ws := make([]float64, p+1)
	for j := range pts {
		i := j + k - p
		w := 1.0
		if len(s.weights) == len(s.ctrl) && s.weights[i] > 0 {
			w = s.weights[i]
		}
		pts[j], ws[j] = s.ctrl[i].scale(w), w
	}
	for r := 1; r <= p; r++ {
		for j := p; j >= r; j-- {
			lo, hi := s.knots[j+k-p], s.knots[j+1+k-r]
			a := 0.0
			if hi > lo {
				a = (t - lo) / (hi - lo)
			}
			pts[j] = pts[j-1].scale(1 - a).add(pts[j].scale(a))
			ws[j] = (1-a)*ws[j-1] + a*ws[j]
		}
	}
	return pts[p].scale(1 / ws[p])
}
