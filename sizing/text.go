package sizing

import (
	"fmt"

	"twinline/layout/duct"
)

// runName is the id of a run as people read it and the JSON prints it.
func runName(id duct.RunID) string { return fmt.Sprintf("r%d", id+1) }

// nodeName is the id of a node, likewise.
func nodeName(id duct.NodeID) string { return fmt.Sprintf("n%d", id+1) }

// units writes quantities for findings as package duct words them, in the units of the drawing's
// office. The JSON and Explain are in SI.
type units struct{ inches bool }

func (u units) length(l duct.Length) string     { return l.Text(u.inches) }
func (u units) size(s duct.Size) string         { return s.Text(u.inches) }
func (u units) flow(q duct.Flow) string         { return q.Text(u.inches) }
func (u units) velocity(v duct.Velocity) string { return v.Text(u.inches) }
func (u units) rate(r duct.Rate) string         { return r.Text(u.inches) }
func (u units) pressure(p duct.Pressure) string { return p.Text(u.inches) }

// far writes a length of the order of a run.
func (u units) far(l duct.Length) string {
	if u.inches {
		return fmt.Sprintf("%.3g ft", float64(l/duct.Foot))
	}
	return fmt.Sprintf("%.3g m", float64(l))
}

// inMillimetres writes a size with its unit, for Explain.
func inMillimetres(s duct.Size) string {
	if s.IsZero() {
		return "no size known"
	}
	return s.Text(false) + " mm"
}
