package dxfio

import (
	"fmt"
	"strconv"
)

// An allocator gives out handles that are free: above every handle seen anywhere in the drawing, in places we do not
// interpret too, and above what $HANDSEED says was given out.
type allocator struct {
	doc   *Document
	after uint64 // the highest in use
	last  uint64 // the last given out; 0 none
	taken map[uint64]bool
}

// highHandle is where handles are taken from the gaps instead: many programs keep handles in 32 bits, and a drawing in
// which handles come near that has a damaged one among them.
const highHandle = 0x7FFFFFFF

func newAllocator(d *Document, o *outline) *allocator {
	a := &allocator{doc: d}
	if o.seed > 0 && o.seed <= highHandle {
		a.after = o.seed - 1
	}
	return a
}

func (a *allocator) next() string {
	if a.last == 0 {
		a.after = max(a.after, a.doc.maxHandle()) // a pass over the whole drawing, which one with nothing new is spared
	}
	if a.after >= highHandle && a.taken == nil {
		a.taken = a.doc.handles()
		a.after = 0
		for h := range a.taken {
			if h < highHandle/2 {
				a.after = max(a.after, h)
			}
		}
	}
	a.after++
	for a.taken[a.after] {
		a.after++
	}
	a.last = a.after
	return fmt.Sprintf("%X", a.after)
}

// parseHandle reads a handle; 0 where the text is none.
func parseHandle(s string) uint64 {
	h, err := strconv.ParseUint(s, 16, 64)
	if err != nil {
		return 0
	}
	return h
}
