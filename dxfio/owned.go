package dxfio

// Owned lists the entities earlier patches wrote, in the order of the drawing, the copies people made of them included.
// A drawing too damaged to be written to gives none.
func (d *Document) Owned() []Owned {
	o, err := outlineOf(d)
	if err != nil {
		return nil
	}
	out := make([]Owned, len(o.ours))
	for i := range o.ours {
		out[i] = o.ours[i].view()
	}
	return out
}
