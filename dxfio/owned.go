package dxfio

// Owned lists the entities earlier patches wrote, in the order of the drawing, the copies people made of them included.
// A drawing too damaged to be written to gives none.
func (d *Document) Owned() []Owned {
	o, err := d.outline()
	if err != nil {
		return nil
	}
	out := make([]Owned, len(o.ours))
	for i := range o.ours {
		out[i] = o.ours[i].view()
	}
	return out
}

// Strays lists the entities of model space that lie on a layer that ours accepts and do not carry our mark, layer by
// layer in the order of the drawing. Where there are many, and few that do, a program dropped the marks when it saved
// the drawing (LibreCAD drops all XDATA): what was ours is now left alone like anything else, and a patch draws it once
// more on top.
func (d *Document) Strays(ours func(layer string) bool) []Stray {
	var out []Stray
	const unasked, refused = 0, -1
	place := make([]int, len(d.layers)) // by layer: unasked, refused, or one more than its place in out
	for _, s := range d.sections {
		if s.name != sectionEntities {
			continue
		}
		for i := s.start + 1; i < s.end; i++ {
			r := d.records[i]
			if r.flags&(flagOwned|flagPaper|flagVertex) != 0 {
				continue
			}
			p := &place[r.layer]
			if *p == unasked {
				*p = refused
				if name := d.layers[r.layer]; ours(name) {
					out = append(out, Stray{Layer: name, Handle: d.value(i, 5), At: d.firstPoint(i)})
					*p = len(out)
				}
			}
			if *p != refused {
				out[*p-1].Count++
			}
		}
	}
	return out
}

// firstPoint returns the first point of record i as it stands, zero where it has none.
func (d *Document) firstPoint(i int) (p Point) {
	f := floats{}
	for c := d.tags(i); c.next() && c.code < 1000; {
		if c.code > 30 && c.code < 40 {
			break
		}
		coordinate(c, &f, 10, &p)
	}
	if f.bad {
		return Point{}
	}
	return p
}
