package report

import (
	"fmt"
	"strings"

	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/sizing/quantity"
)

// allStates heads the sums of what is of every state.
const allStates = "all states"

// ducts lists rigid duct by system, state, shape and size.
func (s *scheduler) ducts() Table {
	type row = quantity.Duct
	return tabulate(Table{Name: "Ducts", Title: "Rigid duct by size", All: allStates,
		Notes: []string{
			"Length: along the centreline from node to node, through fittings, drops included. Surface: circumference of the " +
				"sheet times length; the sheet of lined duct lies outside its lining.",
			fmt.Sprintf("Weight: an estimate, surface times galvanised sheet (ASTM A525-80) of the thickness shown. With "+
				"allowance: and %.0f %% for seams, joints, stiffening and hangers, of new and future work.",
				s.Waste*100),
			"Thickness: round, by a table for heating and general ventilation that begins at 6 in; rectangular, by a general " +
				"one in millimetres of second quality; flat oval, as rectangular by its longer side. It is for estimating; " +
				"standards by pressure class and stiffening come first.",
		}}, quantity.Ducts(s.Net, s.Des, s.Waste), append(whose(s, row.Of),
		text("shape", func(d row) string { return when(!d.Size.IsZero(), d.Size.Shape.String()) }),
		text("size", func(d row) string { return sized(s.Words, d.Size) }),
		text("lining", func(d row) string { return when(d.Lining > 0, s.Words.Length(d.Lining)) }),
		text("material", func(d row) string { return d.Material }),
		amount("runs", plain(0), func(d row) int { return d.Runs }).summed(),
		amount("length", s.Distance, func(d row) duct.Length { return d.Length }).summed(),
		amount("surface", s.Area, func(d row) duct.Area { return d.Surface }).summed(),
		amount("sheet", s.Thickness, func(d row) duct.Length { return only(d.Mass > 0, d.Sheet.Thickness) }),
		text("thickness from", func(d row) string { return d.Sheet.Basis.String() }),
		amount("weight", s.Mass, func(d row) duct.Mass { return only(d.Mass > 0, d.Mass) }).summed(),
		amount("with allowance", s.Mass, func(d row) duct.Mass { return only(d.Ordered > 0, d.Ordered) }).summed(),
	))
}

// totals adds up everything by its state.
func (s *scheduler) totals() Table {
	type row = quantity.Total
	rows := quantity.Totals(s.Net, s.Des, s.Waste)
	return tabulate(Table{Name: "Totals", Title: "Totals by status"}, rows, []column[row]{
		text("status", func(t row) string { return t.Status.String() }),
		amount("rigid duct", s.Distance, func(t row) duct.Length { return t.Duct.Length }),
		amount("surface", s.Area, func(t row) duct.Area { return t.Duct.Surface }),
		amount("weight", s.Mass, func(t row) duct.Mass { return t.Duct.Mass }),
		amount("with allowance", s.Mass, func(t row) duct.Mass { return only(t.Duct.Ordered > 0, t.Duct.Ordered) }),
		amount("flexible duct", s.Distance, func(t row) duct.Length { return t.Flexible }),
		amount("insulation", s.Area, func(t row) duct.Area { return t.Insulation }),
		amount("lining", s.Area, func(t row) duct.Area { return t.Lining }),
		amount("terminals", plain(0), func(t row) int { return t.Terminals }),
	})
}

// coverings lists insulation and lining by thickness.
func (s *scheduler) coverings() Table {
	type row = quantity.Covering
	thickness := s.Thickness
	thickness.Decimals = 1
	return tabulate(Table{Name: "Insulation and lining", Title: "Insulation and lining", All: allStates,
		Notes: []string{"Area: that of the duct wall the material lies on, without overlaps and waste."}},
		quantity.Coverings(s.Net, s.Des), append(whose(s, row.Of),
			text("kind", func(c row) string { return c.Kind.String() }),
			amount("thickness", thickness, func(c row) duct.Length { return c.Thickness }),
			amount("duct length", s.Distance, func(c row) duct.Length { return c.Length }).summed(),
			amount("area", s.Area, func(c row) duct.Area { return c.Area }).summed(),
		))
}

// flexible lists flexible duct by size.
func (s *scheduler) flexible() Table {
	type row = quantity.Flexible
	return tabulate(Table{Name: "Flexible", Title: "Flexible duct by size", All: allStates,
		Notes: []string{"Length: as it lies, the drop to the terminal included; the duct itself is longer where it is not " +
			"fully stretched."}},
		quantity.Flexibles(s.Net, s.Des), append(whose(s, row.Of),
			text("size", func(f row) string { return sized(s.Words, f.Size) }),
			amount("pieces", plain(0), func(f row) int { return f.Pieces }).summed(),
			amount("length", s.Distance, func(f row) duct.Length { return f.Length }).summed(),
			amount("longest", s.Distance, func(f row) duct.Length { return f.Longest }),
		))
}

// fittings counts fittings by kind and size.
func (s *scheduler) fittings() Table {
	type row = quantity.Fitting
	return tally(Table{Name: "Fittings", Title: "Fittings by kind and size", All: allStates,
		Notes: []string{"A junction counts once, as what branches off; its straight leg and plain joints are no fittings " +
			"here. Bends of flexible duct are not counted. Size changes: larger size first."}},
		quantity.Fittings(s.Net, s.Des),
		append(whose(s, row.Of), text("kind", fittingKind), text("size", s.fittingSize)))
}

// fittingKind words the kind of a fitting.
func fittingKind(f quantity.Fitting) string {
	traits := f.Kind.Traits()
	if traits.Listing == duct.ListBranch {
		return traits.Count + ", " + f.Form.String()
	}
	return traits.Count
}

// fittingSize words the sizes a fitting is made for, and the angle of a bend.
func (s *scheduler) fittingSize(f quantity.Fitting) string {
	own, common := s.Words.Size(f.Own), s.Words.Size(f.Common)
	switch f.Kind.Traits().Listing {
	case duct.ListAngle:
		return fmt.Sprintf("%s, %.0f°", own, f.Angle/duct.Degree)
	case duct.ListChange:
		if f.Own.Area() > f.Common.Area() {
			own, common = common, own
		}
		return common + " to " + own
	case duct.ListBranch:
		return own + " from " + common
	case duct.ListLegs:
		var legs []string
		for _, leg := range f.Legs {
			legs = append(legs, s.Words.Size(leg))
		}
		return common + " to " + strings.Join(legs, " and ")
	default:
		return own
	}
}

// dampers lists volume dampers, and where rated walls are crossed.
func (s *scheduler) dampers() Table {
	type row = quantity.Damper
	t := tally(Table{Name: "Dampers", Title: "Dampers", All: allStates,
		Notes: []string{"Crossings of rated walls are for others to settle: kind and rating of the damper, access, " +
			"approval."}},
		quantity.Dampers(s.Net, s.Des), append(whose(s, row.Of),
			text("kind", func(row) string { return "volume damper" }),
			text("size", func(d row) string { return s.Words.Size(d.Size) })))
	for _, d := range s.Found {
		if d.Code == diag.RatedCrossing {
			t.Rows = append(t.Rows,
				[]Cell{{}, {}, {}, {Text: "crossing of a rated wall, to be settled: " + d.Text}, {}, num(1)})
		}
	}
	t.sum()
	return t
}
