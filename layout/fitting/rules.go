package fitting

import (
	"math"

	"twinline/layout/duct"
	"twinline/layout/geom"
)

const (
	// jointPlay is the turn in radians, one degree, up to which two pieces are joined without a bend: what the play of
	// a joint takes up. Common practice.
	jointPlay = 1 * duct.Degree
	// bullheadTurn is the turn in radians, 75 degrees, from which two legs that leave on both sides form the cross bar
	// of a tee.
	bullheadTurn = 75 * duct.Degree
	// vanesFrom is the turn in radians, 45 degrees, from which a sharp bend gets vanes. Common practice.
	vanesFrom = 45 * duct.Degree
)

// SharpMost is the turn in radians, 120 degrees, up to which a bend can be made sharp: beyond it the outer walls of a
// mitre would run on for more than the width of the duct before they meet. What is drawn sharper has its corner cut off
// there. Common practice.
const SharpMost = math.Pi * 2 / 3

// rules are the office's choices, and what follows from them.
type rules struct{ duct.FittingRules }

// radii returns the centreline radius the rules want of a bend, and the tightest it can be made with, a mitre's
// being half the width: that is how far its inner corner reaches.
func (r *rules) radii(f *duct.Fitting, w float64) (want, least float64) {
	if r.mitred(f) {
		return w / 2, w / 2
	}
	return r.ratio(f.Own) * w, w / 2
}

func (r *rules) ratio(s duct.Size) float64 {
	if s.Shape == duct.Round {
		return r.ElbowRound
	}
	return r.ElbowRect
}

// mitred reports whether the rules want a bend sharp whatever room there is, and it can be made so.
func (r *rules) mitred(f *duct.Fitting) bool {
	return r.MitreAlways && f.Own.Shape == duct.Rect && f.Angle <= SharpMost+geom.Straight
}

// slopes returns the greatest distance one side of a size change moves. Where one side stays straight the other one
// moves all the way.
func slopes(p, q duct.Size, flatSide, flatUp bool) (move float64, flat bool) {
	w, h := math.Abs(float64(p.Width-q.Width)), math.Abs(float64(p.Height-q.Height))
	if !flatSide {
		w /= 2
	}
	if !flatUp {
		h /= 2
	}
	if w >= h {
		return w, flatSide
	}
	return h, flatUp
}

// taperLength returns how long a change of size is by the rules: so long that no side slopes by more than half of the
// total angle.
func (r *rules) taperLength(p, q duct.Size, flatSide, flatUp bool) float64 {
	move, _ := slopes(p, q, flatSide, flatUp)
	return r.slopeLength(move)
}

// slopeLength returns how long a side that moves so far across has to be by the rules.
func (r *rules) slopeLength(move float64) float64 {
	length := 0.0
	if tan := math.Tan(r.ReducerAngle / 2); tan > 0 {
		length = move / tan
	}
	return math.Max(length, float64(r.ReducerLeast))
}

// taperAngle returns the angle between the opposite sides of a change of size of that length, of the pair that closes
// fastest.
func taperAngle(p, q duct.Size, length float64, flatSide, flatUp bool) float64 {
	move, flat := slopes(p, q, flatSide, flatUp)
	a := math.Atan2(move, length)
	if flat {
		return a
	}
	return 2 * a
}

// neckLength returns the length of the transition between the neck of a terminal or unit and the duct on it, zero where
// there is none.
func (r *rules) neckLength(neck, own duct.Size) duct.Length {
	if neck.IsZero() || own.IsZero() || sameSize(neck, own) {
		return 0
	}
	return duct.Length(r.taperLength(neck, own, false, false))
}

func sameSize(p, q duct.Size) bool {
	return p.Shape == q.Shape && math.Abs(float64(p.Width-q.Width)) < geom.Same &&
		math.Abs(float64(p.Height-q.Height)) < geom.Same
}
