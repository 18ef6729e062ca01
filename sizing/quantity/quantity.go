// Package quantity adds up what a sized network is made of: ducts by size with their surface and sheet, flexible duct,
// insulation and lining, fittings, dampers. All of it is estimated from centrelines, for planning and checking, not for
// cutting.
package quantity

import (
	"cmp"
	"slices"

	"twinline/layout/duct"
)

// Work is what quantities are kept apart by: whose they are, for which air, in which state.
type Work struct {
	System duct.SystemID // duct.None for removed work
	Air    duct.Air
	Status duct.Status
}

// Of returns w, for what is a quantity of it.
func (w Work) Of() Work { return w }

// WorkOf returns the work a run is of.
func WorkOf(r *duct.Run) Work { return Work{r.System, r.Air, r.Status} }

// compare puts work in the order of its systems, what is in none last.
func (w Work) compare(o Work) int {
	return cmp.Or(cmp.Compare(uint(w.System), uint(o.System)), cmp.Compare(w.Air, o.Air),
		cmp.Compare(w.Status, o.Status))
}

// bySize puts larger sizes first.
func bySize(a, b duct.Size) int {
	return cmp.Or(cmp.Compare(b.Area(), a.Area()), cmp.Compare(b.Width, a.Width), cmp.Compare(a.Shape, b.Shape))
}

// addUp puts rows in order and makes one of those that are alike in it.
func addUp[R any](rows []R, compare func(a, b R) int, add func(sum *R, r R)) []R {
	slices.SortStableFunc(rows, compare)
	var out []R
	for _, r := range rows {
		if n := len(out); n > 0 && compare(out[n-1], r) == 0 {
			add(&out[n-1], r)
		} else {
			out = append(out, r)
		}
	}
	return out
}

// rigid reports whether a run is rigid duct: neither flexible nor the drop at the end of flexible duct.
func rigid(r *duct.Run) bool { return r.Kind != duct.Flexible && !r.Pliable }

// Duct is rigid duct of one size and make.
type Duct struct {
	Work
	Size     duct.Size
	Lining   duct.Length
	Material string // as noted, "" where nothing is

	Runs    int
	Length  duct.Length
	Surface duct.Area // the circumference of the sheet, which lies outside the lining, times the length
	Sheet   Sheet
	Mass    duct.Mass // surface times sheet
	Ordered duct.Mass // with an allowance for seams, joints, stiffening and hangers, of new and future work alone
}

// Ducts adds up rigid duct by work, shape, size and make; allowance is a share of the mass.
func Ducts(net *duct.Network, des *duct.Design, allowance float64) []Duct {
	var out []Duct
	for i := range net.Runs {
		if r := &net.Runs[i]; rigid(r) {
			out = append(out, ductOf(r, &des.Runs[i], allowance))
		}
	}
	return addUp(out, Duct.compare, (*Duct).add)
}

func ductOf(r *duct.Run, res *duct.RunResult, allowance float64) Duct {
	wall := res.Size.Lined(r.Spec.Lining)
	d := Duct{Work: WorkOf(r), Size: res.Size, Lining: r.Spec.Lining, Material: r.Spec.Material, Runs: 1,
		Length: res.Length, Surface: duct.Area(wall.Perimeter() * res.Length), Sheet: sheetOf(r, wall)}
	d.Mass = duct.Mass(float64(d.Surface) * float64(d.Sheet.Density))
	if r.Status == duct.New || r.Status == duct.Future {
		d.Ordered = d.Mass * duct.Mass(1+allowance)
	}
	return d
}

func (d Duct) compare(o Duct) int {
	return cmp.Or(d.Work.compare(o.Work), cmp.Compare(d.Size.Shape, o.Size.Shape), bySize(d.Size, o.Size),
		cmp.Compare(d.Lining, o.Lining), cmp.Compare(d.Material, o.Material))
}

func (d *Duct) add(o Duct) {
	d.Runs += o.Runs
	d.Length += o.Length
	d.Surface += o.Surface
	d.Mass += o.Mass
	d.Ordered += o.Ordered
}

// Flexible is flexible duct of one size.
type Flexible struct {
	Work
	Size            duct.Size
	Pieces          int
	Length, Longest duct.Length // as it lies; the duct itself is longer where it is not fully stretched
}

// Flexibles adds up flexible duct by work and size. A flexible duct with the drop at its end is one piece.
func Flexibles(net *duct.Network, des *duct.Design) []Flexible {
	first := func(id duct.RunID) duct.RunID { // the run its piece begins with
		for up := net.Runs[id].Up; up != duct.None && !rigid(&net.Runs[up]) && des.Runs[up].Size == des.Runs[id].Size; {
			id, up = up, net.Runs[up].Up
		}
		return id
	}
	whole := map[duct.RunID]duct.Length{} // by the first run
	for i := range net.Runs {
		if !rigid(&net.Runs[i]) {
			whole[first(duct.RunID(i))] += des.Runs[i].Length
		}
	}
	var out []Flexible
	for i := range net.Runs {
		if l, ok := whole[duct.RunID(i)]; ok {
			out = append(out, Flexible{WorkOf(&net.Runs[i]), des.Runs[i].Size, 1, l, l})
		}
	}
	return addUp(out, func(a, b Flexible) int { return cmp.Or(a.Work.compare(b.Work), bySize(a.Size, b.Size)) },
		func(sum *Flexible, f Flexible) {
			sum.Pieces += f.Pieces
			sum.Length += f.Length
			sum.Longest = max(sum.Longest, f.Longest)
		})
}

// Covering is insulation or lining of one thickness.
type Covering struct {
	Work
	Kind      CoveringKind
	Thickness duct.Length
	Length    duct.Length // of the duct
	Area      duct.Area   // of the wall it lies on, without overlaps and waste
}

// CoveringKind is what lies on the wall of a duct.
type CoveringKind uint8

// The coverings.
const (
	Insulation CoveringKind = iota // outside
	Lining                         // inside
)

func (k CoveringKind) String() string { return [...]string{"insulation", "lining"}[k] }

// Coverings adds up insulation and lining by work and thickness.
func Coverings(net *duct.Network, des *duct.Design) []Covering {
	var out []Covering
	for i := range net.Runs {
		r, res := &net.Runs[i], &des.Runs[i]
		for kind, thickness := range [...]duct.Length{Insulation: r.Spec.Insulation, Lining: r.Spec.Lining} {
			if thickness > 0 {
				out = append(out, Covering{WorkOf(r), CoveringKind(kind), thickness, res.Length,
					ductOf(r, res, 0).Surface})
			}
		}
	}
	return addUp(out, func(a, b Covering) int {
		return cmp.Or(a.Work.compare(b.Work), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Thickness, b.Thickness))
	}, func(sum *Covering, c Covering) {
		sum.Length += c.Length
		sum.Area += c.Area
	})
}

// Total is everything in one state.
type Total struct {
	Status             duct.Status
	Duct               Duct        // rigid duct of all sizes
	Flexible           duct.Length // as it lies
	Insulation, Lining duct.Area
	Terminals          int
}

// Totals adds everything up by its state, those states that there are.
func Totals(net *duct.Network, des *duct.Design, allowance float64) []Total {
	var all [duct.Future + 1]Total
	var there [len(all)]bool
	for i := range net.Runs {
		r := &net.Runs[i]
		d, sum := ductOf(r, &des.Runs[i], allowance), &all[r.Status]
		there[r.Status] = true
		if rigid(r) {
			sum.Duct.add(d)
		} else {
			sum.Flexible += d.Length
		}
		if r.Spec.Insulation > 0 {
			sum.Insulation += d.Surface
		}
		if r.Spec.Lining > 0 {
			sum.Lining += d.Surface
		}
	}
	for i := range net.Terminals {
		all[net.Terminals[i].Status].Terminals++
		there[net.Terminals[i].Status] = true
	}
	var out []Total
	for status := range all {
		if all[status].Status = duct.Status(status); there[status] {
			out = append(out, all[status])
		}
	}
	return out
}
