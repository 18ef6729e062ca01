package network

import (
	"fmt"
	"strings"
	"testing"

	"twinline/layout/duct"
	"twinline/layout/sketch"
	"twinline/layout/sketchtest"
)

// parse reads a sketch in the language of package sketchtest.
func parse(t testing.TB, text string) *sketch.Sketch {
	t.Helper()
	return sketchtest.Parse(t, text).Sketch
}

// list prints a network in one line a run, with the findings' codes, for comparing and for reading.
func list(net *duct.Network) string {
	var s strings.Builder
	for _, sys := range net.Systems {
		fmt.Fprintf(&s, "system %s %s %.0f\n", sys.Name, sys.Air, sys.Flow*1000)
	}
	for i := range net.Runs {
		r := &net.Runs[i]
		up := "-"
		if r.Up != duct.None {
			up = string(net.Runs[r.Up].Key)
		}
		fmt.Fprintf(&s, "%s %s %s %s(%s)->%s(%s) up %s %.0f len %.3f stretch %d\n", r.Key, r.Status, r.Kind,
			net.Nodes[r.From].Key, net.Nodes[r.From].Kind, net.Nodes[r.To].Key, net.Nodes[r.To].Kind, up, r.Flow*1000,
			r.Line.Len(), r.Section)
	}
	for _, t := range net.Terminals {
		fmt.Fprintf(&s, "terminal %s %s\n", t.Key, t.Name)
	}
	return s.String()
}
