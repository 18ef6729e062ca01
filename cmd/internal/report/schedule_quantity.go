package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"twinline/layout/duct"
)

// ductGroup is what one row of the duct schedule adds up: rigid duct of one system, state, size and make.
type ductGroup struct {
	system   duct.SystemID
	air      duct.Air
	status   duct.Status
	size     duct.Size
	lining   duct.Length
	material string
}

// heap is a sum of ducts.
type heap struct {
	runs         int
	length, area float64
	net, ordered float64 // kilograms of sheet; ordered has the allowance, and is of new and future work alone
}

func (h *heap) add(o heap) {
	h.runs += o.runs
	h.length += o.length
	h.area += o.area
	h.net += o.net
	h.ordered += o.ordered
}

// rigid reports whether a run is rigid duct: not flexible, nor the drop at the end of flexible duct.
func rigid(r *duct.Run) bool { return r.Kind != duct.Flexible && !r.Pliable }

// measureRun returns what one rigid run amounts to.
func (s *scheduler) measureRun(r *duct.Run) heap {
	shell := shellOf(s.size(r.ID), r.Spec.Lining)
	h := heap{runs: 1, length: s.long(r.ID)}
	h.area = float64(shell.Perimeter()) * h.length
	if steel(r) && !shell.IsZero() {
		g, _ := sheetOf(shell)
		h.net = h.area * g.mass
		if r.Status == duct.New || r.Status == duct.Future {
			h.ordered = h.net * (1 + s.Waste)
		}
	}
	return h
}

// ducts lists rigid duct by system, state, shape and size.
func (s *scheduler) ducts() Table {
	t := Table{Name: "Ducts", Title: "Rigid duct by size",
		Notes: []string{
			"Length: along the centreline from node to node, through fittings, drops included. Surface: circumference of the sheet times length; " +
				"the sheet of lined duct lies outside its lining.",
			fmt.Sprintf("Weight: an estimate, surface times galvanised sheet (ASTM A525-80) of the thickness shown. With allowance: and %.0f %% for seams, joints, "+
				"stiffening and hangers, of new and future work.", s.Waste*100),
			"Thickness: round, by a table for heating and general ventilation that begins at 6 in; rectangular, by a general one in millimetres of second quality; flat oval, " +
				"as rectangular by its longer side. It is for estimating; standards by pressure class and stiffening come first.",
		},
		Columns: append(texts("system", "air", "status", "shape", "size", "lining", "material"), count("runs"), s.length.summed("length"), s.area.summed("surface"),
			s.thin.column("sheet"), Column{Name: "thickness from"}, s.mass.summed("weight"), s.mass.summed("with allowance"))}
	sums := map[ductGroup]*heap{}
	var order []ductGroup
	for i := range s.Net.Runs {
		r := &s.Net.Runs[i]
		if !rigid(r) {
			continue
		}
		k := ductGroup{r.System, r.Air, r.Status, s.size(r.ID), r.Spec.Lining, r.Spec.Material}
		if sums[k] == nil {
			sums[k] = &heap{}
			order = append(order, k)
		}
		sums[k].add(s.measureRun(r))
	}
	slices.SortStableFunc(order, func(a, b ductGroup) int {
		return cmp.Or(cmp.Compare(uint(a.system), uint(b.system)), cmp.Compare(a.air, b.air), cmp.Compare(a.status, b.status),
			cmp.Compare(a.size.Shape, b.size.Shape), cmp.Compare(b.size.Area(), a.size.Area()), cmp.Compare(b.size.Width, a.size.Width),
			cmp.Compare(a.lining, b.lining), strings.Compare(a.material, b.material))
	})
	for _, k := range order {
		h := sums[k]
		name, air := s.system(k.system, k.air)
		row := []Cell{text(name), text(air), text(k.status.String()), text(k.size.Shape.String()), text(s.Style.Size(k.size)), {}, text(k.material),
			num(float64(h.runs)), s.length.cell(h.length), s.area.cell(h.area), {}, text(fromNoSheet), {}, {}}
		if k.size.IsZero() {
			row[3], row[11] = Cell{}, text("no size is known")
		}
		if k.lining > 0 {
			row[5] = text(k.lining.Text(s.Style.Inches))
		}
		if h.net > 0 {
			g, basis := sheetOf(shellOf(k.size, k.lining))
			row[10], row[11], row[12] = s.thin.cell(float64(g.thickness)), text(basis), s.mass.cell(h.net)
		}
		if h.ordered > 0 {
			row[13] = s.mass.cell(h.ordered)
		}
		t.Rows = append(t.Rows, row)
	}
	t.sum("all states")
	return t
}

// totals adds up everything by its state.
func (s *scheduler) totals() Table {
	t := Table{Name: "Totals", Title: "Totals by status",
		Columns: append(texts("status"), s.length.column("rigid duct"), s.area.column("surface"), s.mass.column("weight"), s.mass.column("with allowance"),
			s.length.column("flexible duct"), s.area.column("insulation"), s.area.column("lining"), Column{Name: "terminals", Number: true})}
	for _, status := range []duct.Status{duct.New, duct.Existing, duct.Removed, duct.Future} {
		var sum heap
		var flex, insulation, lining float64
		n, terminals := 0, 0
		for i := range s.Net.Runs {
			r := &s.Net.Runs[i]
			if r.Status != status {
				continue
			}
			n++
			if rigid(r) {
				sum.add(s.measureRun(r))
			} else {
				flex += s.long(r.ID)
			}
			if r.Spec.Insulation > 0 {
				insulation += s.surface(r)
			}
			if r.Spec.Lining > 0 {
				lining += s.surface(r)
			}
		}
		for i := range s.Net.Terminals {
			if s.Net.Terminals[i].Status == status {
				terminals++
			}
		}
		if n == 0 && terminals == 0 {
			continue
		}
		row := []Cell{text(status.String()), s.length.cell(sum.length), s.area.cell(sum.area), s.mass.cell(sum.net), {},
			s.length.cell(flex), s.area.cell(insulation), s.area.cell(lining), num(float64(terminals))}
		if sum.ordered > 0 {
			row[4] = s.mass.cell(sum.ordered)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// surface returns the surface of the wall of a run.
func (s *scheduler) surface(r *duct.Run) float64 {
	return float64(shellOf(s.size(r.ID), r.Spec.Lining).Perimeter()) * s.long(r.ID)
}

// coverings lists insulation and lining by thickness.
func (s *scheduler) coverings() Table {
	t := Table{Name: "Insulation and lining", Title: "Insulation and lining",
		Notes:   []string{"Area: that of the duct wall the material lies on, without overlaps and waste."},
		Columns: append(texts("system", "air", "status", "kind"), s.thickness("thickness"), s.length.summed("duct length"), s.area.summed("area"))}
	type group struct {
		system    duct.SystemID
		air       duct.Air
		status    duct.Status
		kind      string
		thickness duct.Length
	}
	sums := map[group]*heap{}
	var order []group
	add := func(r *duct.Run, kind string, thickness duct.Length) {
		if thickness <= 0 {
			return
		}
		k := group{r.System, r.Air, r.Status, kind, thickness}
		if sums[k] == nil {
			sums[k] = &heap{}
			order = append(order, k)
		}
		sums[k].add(heap{length: s.long(r.ID), area: s.surface(r)})
	}
	for i := range s.Net.Runs {
		r := &s.Net.Runs[i]
		add(r, "insulation", r.Spec.Insulation)
		add(r, "lining", r.Spec.Lining)
	}
	slices.SortStableFunc(order, func(a, b group) int {
		return cmp.Or(cmp.Compare(uint(a.system), uint(b.system)), cmp.Compare(a.air, b.air), cmp.Compare(a.status, b.status),
			strings.Compare(a.kind, b.kind), cmp.Compare(a.thickness, b.thickness))
	})
	for _, k := range order {
		name, air := s.system(k.system, k.air)
		t.Rows = append(t.Rows, []Cell{text(name), text(air), text(k.status.String()), text(k.kind), s.thin.cell(float64(k.thickness)),
			s.length.cell(sums[k].length), s.area.cell(sums[k].area)})
	}
	t.sum("all states")
	return t
}

// thickness is the column of a thickness of insulation.
func (s *scheduler) thickness(name string) Column {
	c := s.thin.column(name)
	c.Decimals = 1
	return c
}

// flexible lists flexible duct by size. A flexible duct with the drop at its end is one piece.
func (s *scheduler) flexible() Table {
	t := Table{Name: "Flexible", Title: "Flexible duct by size",
		Notes:   []string{"Length: as it lies, the drop to the terminal included; the duct itself is longer where it is not fully stretched."},
		Columns: append(texts("system", "air", "status", "size"), count("pieces"), s.length.summed("length"), s.length.column("longest"))}
	type group struct {
		system duct.SystemID
		air    duct.Air
		status duct.Status
		size   duct.Size
	}
	type pile struct {
		pieces          int
		length, longest float64
	}
	whole := map[duct.RunID]float64{} // length of the piece that begins at a run
	first := func(id duct.RunID) duct.RunID {
		for up := s.Net.Runs[id].Up; up != duct.None && !rigid(&s.Net.Runs[up]) && s.size(up) == s.size(id); up = s.Net.Runs[id].Up {
			id = up
		}
		return id
	}
	var begins []duct.RunID
	for i := range s.Net.Runs {
		if r := &s.Net.Runs[i]; !rigid(r) {
			f := first(r.ID)
			if f == r.ID {
				begins = append(begins, f)
			}
			whole[f] += s.long(r.ID)
		}
	}
	sums := map[group]*pile{}
	var order []group
	for _, id := range begins {
		r := &s.Net.Runs[id]
		k := group{r.System, r.Air, r.Status, s.size(id)}
		if sums[k] == nil {
			sums[k] = &pile{}
			order = append(order, k)
		}
		sums[k].pieces++
		sums[k].length += whole[id]
		sums[k].longest = math.Max(sums[k].longest, whole[id])
	}
	slices.SortStableFunc(order, func(a, b group) int {
		return cmp.Or(cmp.Compare(uint(a.system), uint(b.system)), cmp.Compare(a.air, b.air), cmp.Compare(a.status, b.status),
			cmp.Compare(b.size.Area(), a.size.Area()))
	})
	for _, k := range order {
		name, air := s.system(k.system, k.air)
		p := sums[k]
		t.Rows = append(t.Rows, []Cell{text(name), text(air), text(k.status.String()), text(s.Style.Size(k.size)), num(float64(p.pieces)),
			s.length.cell(p.length), s.length.cell(p.longest)})
	}
	t.sum("all states")
	return t
}
