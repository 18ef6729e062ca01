package pipeline

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"twinline/dxfio"
	"twinline/layout/diag"
)

// mostLayers is how many layers a finding lists by name.
const mostLayers = 5

// strays tells of what lies on layers of ours without our mark. anyMarked says whether anything in the drawing has one.
func (st *Study) strays(anyMarked bool) {
	list := st.Doc.Strays(st.Settings.Ours())
	if len(list) == 0 {
		return
	}
	n := 0
	for _, s := range list {
		n += s.Count
	}
	what := fmt.Sprintf("%d entities", n)
	if n == 1 {
		what = "1 entity"
	}
	if !anyMarked {
		st.Findings.Add(diag.LostMarks, st.metres(list[0].At), list[0].Handle,
			fmt.Sprintf("%s on layers of ours, and nothing in the drawing carries our mark: %s. The program that saved the drawing dropped the marks.", what, layersOf(list)),
			"Erase everything on these layers in the CAD program, save, and draw again: all of it comes back. Or draw from the file as it was before that program saved it.")
		return
	}
	st.Findings.Add(diag.StrayWork, st.metres(list[0].At), list[0].Handle,
		fmt.Sprintf("%s without our mark on layers of ours: %s. They stay as they are, beside what is drawn.", what, layersOf(list)),
		"If they come from drawn work that was exploded or lost its marks, erase everything on these layers and draw again: what is Twinline's comes back. If they are yours, move them to a layer of your own.")
}

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

// metres puts a point of the drawing into metres, as findings have it; as it stands where nobody knows the unit.
func (st *Study) metres(p dxfio.Point) [3]float64 {
	unit := 1.0
	if st.Sketch != nil && st.Sketch.Unit > 0 {
		unit = float64(st.Sketch.Unit)
	}
	return [3]float64{p.X * unit, p.Y * unit, p.Z * unit}
}
