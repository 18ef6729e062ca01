package duct

import "math"

// Shape is the shape of a cross-section.
type Shape uint8

// The shapes.
const (
	Round Shape = iota
	Rect
	Oval
)

func (s Shape) String() string { return [...]string{"round", "rect", "oval"}[s] }

// Size is the clear inside cross-section of a duct. Width is seen in plan, Height
// stands upright (for a vertical run: along Run.Across and across it). A round size has Width == Height. The zero
// Size is "none".
type Size struct {
	Shape         Shape
	Width, Height Length
}

// RoundOf returns the round size of diameter d.
func RoundOf(d Length) Size { return Size{Round, d, d} }

// RectOf returns the rectangular size of width w and height h.
func RectOf(w, h Length) Size { return Size{Rect, w, h} }

// OvalOf returns the flat oval size with overall width w and overall height h.
func OvalOf(w, h Length) Size { return Size{Oval, w, h} }

// Lined returns what a duct of clear size s measures outside when its wall is lined with that thickness on the inside.
func (s Size) Lined(thickness Length) Size {
	if s.IsZero() || thickness <= 0 {
		return s
	}
	return Size{s.Shape, s.Width + 2*thickness, s.Height + 2*thickness}
}

// IsZero reports whether s is no size.
func (s Size) IsZero() bool { return s.Width <= 0 || s.Height <= 0 }

// axes returns the major and the minor axis.
func (s Size) axes() (major, minor float64) {
	a, b := float64(s.Width), float64(s.Height)
	return math.Max(a, b), math.Min(a, b)
}

// Area returns the clear area.
func (s Size) Area() Area {
	a, b := s.axes()
	switch s.Shape {
	case Rect:
		return Area(a * b)
	case Oval:
		return Area(math.Pi*b*b/4 + b*(a-b))
	case Round:
	}
	return Area(math.Pi * a * a / 4)
}

// Perimeter returns the length of the wetted wall around s.
func (s Size) Perimeter() Length {
	a, b := s.axes()
	switch s.Shape {
	case Rect:
		return Length(2 * (a + b))
	case Oval:
		return Length(math.Pi*b + 2*(a-b))
	case Round:
	}
	return Length(math.Pi * a)
}

// Hydraulic returns the hydraulic diameter 4A/P.
func (s Size) Hydraulic() Length {
	if s.IsZero() {
		return 0
	}
	return Length(4 * float64(s.Area()) / float64(s.Perimeter()))
}

// Equivalent returns the diameter of the round duct with the same flow and the same
// friction a metre.
// Source: rectangular, Huebscher (1948), as printed in the ASHRAE Handbook Fundamentals,
// ch. 21; flat oval, Heyt & Diaz (1975), ibid.
func (s Size) Equivalent() Length {
	if s.IsZero() {
		return 0
	}
	a, b := s.axes()
	switch {
	case s.Shape == Rect:
		return Length(1.30 * math.Pow(a*b, 0.625) / math.Pow(a+b, 0.25))
	case s.Shape == Oval && a > b:
		// At a == b the equation reads 0.11 % high; the circle is returned instead.
		return Length(1.55 * math.Pow(float64(s.Area()), 0.625) / math.Pow(float64(s.Perimeter()), 0.25))
	}
	return Length(a)
}

// Aspect returns the longer side over the shorter one.
func (s Size) Aspect() float64 {
	if s.IsZero() {
		return 0
	}
	a, b := s.axes()
	return a / b
}

// Velocity returns the mean velocity of q in s, zero where there is no size.
func (s Size) Velocity(q Flow) Velocity {
	if s.IsZero() {
		return 0
	}
	return Velocity(float64(q) / float64(s.Area()))
}
