package pipeline

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"twinline/dxfio"
	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/words"
)

// earlierWork finds what an earlier run drew and cannot be known again, or was changed by hand. ours are the layers
// of ours, unit is one drawing unit.
func earlierWork(doc *dxfio.Document, ours func(string) bool, unit duct.Length) diag.List {
	var found diag.List
	metres := func(p dxfio.Point) [3]float64 {
		return [3]float64{p.X * float64(unit), p.Y * float64(unit), p.Z * float64(unit)}
	}
	owned := doc.Owned()
	for _, o := range owned {
		switch {
		case o.Copy:
			found.Add(diag.CopiedWork, metres(o.At), o.Handle,
				"This is a copy of work drawn by an earlier run; it is left as it is.",
				"Delete it if it is not wanted.")
		case o.Edited:
			found.Add(diag.EditedWork, metres(o.At), o.Handle,
				"Work drawn by an earlier run was changed by hand on layer "+o.Layer+"; it is drawn anew.",
				"Make the change in the sketch or in the settings, or draw it on a layer of your own.")
		}
	}
	list := doc.Strays(ours)
	n := 0
	for _, s := range list {
		n += s.Count
	}
	what, layers := words.Count(n, "entity", "entities"), layersOf(list)
	switch {
	case n == 0:
	case len(owned) == 0:
		found.Add(diag.LostMarks, metres(list[0].At), list[0].Handle,
			fmt.Sprintf("%s on layers of ours, and nothing in the drawing carries our mark: %s. "+
				"The program that saved the drawing dropped the marks.", what, layers),
			"Erase everything on these layers in the CAD program, save, and draw again: all of it comes back. "+
				"Or draw from the file as it was before that program saved it.")
	default:
		found.Add(diag.StrayWork, metres(list[0].At), list[0].Handle,
			fmt.Sprintf("%s without our mark on layers of ours: %s. They stay as they are, beside what is drawn.", what,
				layers),
			"If they come from drawn work that was exploded or lost its marks, erase everything on these layers "+
				"and draw again: what is Twinline's comes back. If they are yours, move them to a layer of your own.")
	}
	return found
}

// mostLayers is how many layers a finding lists by name.
const mostLayers = 5

// layersOf lists the layers with the most on them, and how much.
func layersOf(list []dxfio.Stray) string {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b dxfio.Stray) int { return cmp.Compare(b.Count, a.Count) })
	var names []string
	for _, s := range list[:min(len(list), mostLayers)] {
		names = append(names, fmt.Sprintf("%d on %s", s.Count, s.Layer))
	}
	if more := len(list) - mostLayers; more > 0 {
		rest := 0
		for _, s := range list[mostLayers:] {
			rest += s.Count
		}
		others := fmt.Sprintf("%d on %d more", rest, more)
		if start := commonStart(list); start != "" {
			others += " that begin with " + start + " as well"
		}
		names = append(names, others)
	}
	return strings.Join(names, ", ")
}

// commonStart returns what the names of all layers begin with.
func commonStart(list []dxfio.Stray) string {
	start := list[0].Layer
	for _, s := range list {
		for !strings.HasPrefix(s.Layer, start) {
			start = start[:len(start)-1]
		}
	}
	return strings.ToValidUTF8(start, "")
}
