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

// Unmarked counts the entities of model space that lie on a layer that ours accepts and do not carry our mark. Where there
// are many, and few that do, a program dropped the marks when it saved the drawing (LibreCAD drops all XDATA): what was ours is
// now left alone like anything else, and a patch draws it once more on top.
func (d *Document) Unmarked(ours func(layer string) bool) int {
	n := 0
	accepted := make(map[uint32]bool)
	for _, s := range d.sections {
		if s.name != sectionEntities {
			continue
		}
		for _, r := range d.records[s.start+1 : s.end] {
			if r.flags&(flagOwned|flagPaper|flagVertex) != 0 {
				continue
			}
			yes, known := accepted[r.layer]
			if !known {
				yes = ours(d.layers[r.layer])
				accepted[r.layer] = yes
			}
			if yes {
				n++
			}
		}
	}
	return n
}
