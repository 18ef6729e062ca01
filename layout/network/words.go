package network

import (
	"fmt"

	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/sketch"
)

// The numbers in findings are in the units the drafter works in.

func (b *builder) inches() bool { return !b.sk.Metric }

func (b *builder) long(metres float64) string { return duct.Length(metres).Text(b.inches()) }

func (b *builder) height(metres float64) string { return duct.Length(metres).Level(b.inches()) }

func (b *builder) flow(q duct.Flow) string { return q.Text(b.inches()) }

// point words a place in plan in drawing units, as the drafter's program shows it.
func (b *builder) point(p geom.Vec) string {
	unit := float64(b.sk.Unit)
	if !(unit > 0) {
		unit = 1
	}
	return fmt.Sprintf("(%.6g, %.6g)", p.X/unit, p.Y/unit)
}

func unitName(u *sketch.Unit) string { return unitLabel(u.Mark) }

func unitLabel(mark string) string {
	if mark != "" {
		return "unit " + mark
	}
	return "a unit without a mark"
}

func terminalName(t *sketch.Terminal) string {
	if t.Mark != "" {
		return "terminal " + t.Mark
	}
	return "a terminal without a mark"
}

// capital makes the first letter of a sentence a capital.
func capital(s string) string {
	if s != "" && s[0] >= 'a' && s[0] <= 'z' {
		return string(s[0]-'a'+'A') + s[1:]
	}
	return s
}
