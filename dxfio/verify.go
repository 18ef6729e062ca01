package dxfio

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
)

// placed is a place, other than an entity of ours, that a patch touched: its span before and after.
type placed struct {
	kind                 placeKind
	start, end           int
	afterStart, afterEnd int
}

// Verify proves that after is before with the change made and nothing else: that every byte that is not ours is as it
// was, but for the named places; that those hold what such places may hold; and that our work reads back as it was
// meant, under handles of its own. It reads after anew and shares nothing with Apply but the list of places. An error
// means that after must not be saved.
func Verify(before *Document, after []byte, change Change) error {
	_, err := ReadBack(before, after, change)
	return err
}

// ReadBack is Verify and gives the document it read, for what is to be reported of the result. It is nil with an error.
func ReadBack(before *Document, after []byte, change Change) (*Document, error) {
	doc, err := Read(after)
	if err != nil {
		return nil, fmt.Errorf("the result cannot be read: %w", err)
	}
	if doc.Version() != before.Version() {
		return nil, fmt.Errorf("the version went from %s to %s", before.Version(), doc.Version())
	}
	was, err := before.outline()
	if err != nil {
		return nil, err
	}
	is, err := doc.outline()
	if err != nil {
		return nil, fmt.Errorf("the result: %w", err)
	}
	if err := verifyPlaces(before, was, doc, is, change.places); err != nil {
		return nil, err
	}
	if err := verifyRest(before, was, doc, is, change); err != nil {
		return nil, err
	}
	if err := verifyOurs(before, was, is, change); err != nil {
		return nil, err
	}
	return doc, nil
}

// verifyPlaces holds each place to the rules of its kind.
func verifyPlaces(before *Document, was *outline, after *Document, is *outline, places []placed) error {
	for _, p := range places {
		if p.start < 0 || p.start > p.end || p.end > len(before.data) || p.afterStart > p.afterEnd ||
			p.afterEnd > len(after.data) || p.afterStart < 0 {
			return errors.New("a named place lies outside the drawing")
		}
		if !mayChange(before, was, after, is, p) {
			return fmt.Errorf("at byte %d of the drawing there is a change that no patch may make (%.60q)", p.start,
				after.data[p.afterStart:p.afterEnd])
		}
	}
	return nil
}

// mayChange reports whether a place holds what a place of its kind may.
func mayChange(before *Document, was *outline, after *Document, is *outline, p placed) bool {
	insertion := p.start == p.end
	switch p.kind {
	case placeNone: // there is no such change
		return false
	case placeSeed:
		return p.start == was.seedStart && p.end == was.seedEnd && is.seedStart == p.afterStart && is.seed > was.seed
	case placeSeedNew:
		return insertion && was.seedStart == 0 && p.start > 0 && p.start == was.headerEnd &&
			is.seedEnd <= p.afterEnd && is.seedStart >= p.afterStart
	case placeCount:
		for name, t := range was.tables {
			now := is.tables[name]
			if p.start == t.countStart && p.end == t.countEnd && now != nil && now.countStart == p.afterStart &&
				now.count == now.entries {
				return true
			}
		}
	case placeEntry:
		for _, t := range was.tables {
			if insertion && p.start == t.end && onlyRecords(after, p, t.name) {
				return true
			}
		}
	case placeTable:
		s := was.section(sectionTables)
		return insertion && s != nil && s.start < p.start && p.start <= s.end && framed(after, p, "TABLE", "ENDTAB")
	case placeBlock:
		s := was.section(sectionBlocks)
		return insertion && s != nil && p.start == s.end && framed(after, p, "BLOCK", "ENDBLK")
	case placeSection:
		if p.start == len(before.data) {
			text := after.data[p.afterStart:p.afterEnd]
			p.afterStart += len(text) - len(bytes.TrimLeft(text, "\r\n")) // the end of a last line that had none
		}
		return insertion && framed(after, p, "SECTION", "ENDSEC")
	}
	return false
}

// onlyRecords reports whether a span of the result is made of whole records of one kind.
func onlyRecords(d *Document, p placed, kind string) bool {
	end := p.afterStart
	for c := d.cursor(p.afterStart, p.afterEnd); c.next(); end = c.end {
		if c.code == 0 && strings.TrimSpace(c.text()) != kind || end == p.afterStart && c.code != 0 {
			return false
		}
	}
	return end == p.afterEnd
}

// framed reports whether a span of the result begins with a record of one kind and ends with one of another.
func framed(d *Document, p placed, first, last string) bool {
	begins, kind, end := "", "", p.afterStart
	for c := d.cursor(p.afterStart, p.afterEnd); c.next(); end = c.end {
		if c.code == 0 {
			kind = strings.TrimSpace(c.text())
			if begins == "" {
				begins = kind
			}
		} else if begins == "" {
			return false
		}
	}
	return begins == first && kind == last && end == p.afterEnd
}

// verifyRest compares what remains when the named places, and the entities of ours that changed, are taken out on both
// sides. Entities of ours that were kept stay in, and so are compared byte for byte as well.
func verifyRest(before *Document, was *outline, after *Document, is *outline, change Change) error {
	goes := keySet(change.Changed, change.Removed, change.refreshed)
	comes := keySet(change.Changed, change.Added, change.refreshed)
	var out, in []hole
	for _, p := range change.places {
		out = append(out, hole{p.start, p.end})
		in = append(in, hole{p.afterStart, p.afterEnd})
	}
	for i := range was.ours {
		if e := &was.ours[i]; !e.copy && goes[e.mark.key] {
			out = append(out, hole{e.start, e.end})
		}
	}
	for i := range is.ours {
		if e := &is.ours[i]; !e.copy && comes[e.mark.key] {
			in = append(in, hole{e.start, e.end})
		}
	}
	a, b := rest{data: before.data, holes: sortHoles(out)}, rest{data: after.data, holes: sortHoles(in)}
	for {
		x, y := a.peek(), b.peek()
		n := min(len(x), len(y))
		if n == 0 {
			if len(x) != len(y) {
				return fmt.Errorf("at byte %d of the drawing, %d bytes that are not ours were lost or added", a.at,
					max(len(x), len(y)))
			}
			return nil
		}
		if !bytes.Equal(x[:n], y[:n]) {
			i := 0
			for x[i] == y[i] {
				i++
			}
			return fmt.Errorf("at byte %d the drawing was changed where nothing of ours is", a.at+i)
		}
		a.at += n
		b.at += n
	}
}

// verifyOurs checks that our work reads back: each key once, unharmed, the handles new where the entity is.
func verifyOurs(before *Document, was, is *outline, change Change) error {
	want := keySet(change.Kept, change.Changed, change.Added)
	gone := keySet(change.Removed)
	for i := range was.ours {
		if e := &was.ours[i]; !e.copy && !gone[e.mark.key] {
			want[e.mark.key] = true // what the patch does not own stays
		}
	}
	added, changed := keySet(change.Added), keySet(change.Changed)
	kept := keySet(change.Kept)
	copied := make(map[string]bool)
	for _, c := range change.Copied {
		copied[c.Key] = true
	}
	free := freeHandles(before)
	for i := range is.ours {
		e := &is.ours[i]
		key := e.mark.key
		if e.copy || !want[key] && copied[key] {
			continue // what it was copied from is gone; that it is untouched was seen above
		}
		if !want[key] {
			return fmt.Errorf("%q is in the result and should not be", key)
		}
		delete(want, key)
		if e.edited && (added[key] || changed[key] || kept[key]) {
			return fmt.Errorf("%q does not read back as it was written", key)
		}
		if !added[key] {
			continue
		}
		for _, h := range e.handles {
			if !free(h) {
				return fmt.Errorf("%q has the handle %s, which is in use already", key, h)
			}
		}
	}
	for key := range want {
		return fmt.Errorf("%q is not in the result", key)
	}
	return nil
}

// freeHandles returns what says whether a drawing does not use a handle yet. All handles are gathered only where one
// asked for is not above them.
func freeHandles(d *Document) func(handle string) bool {
	highest := d.maxHandle()
	var taken map[uint64]bool
	return func(handle string) bool {
		n := parseHandle(handle)
		if n == 0 || n > highest {
			return true
		}
		if taken == nil {
			taken = d.handles()
		}
		return !taken[n]
	}
}

func keySet(lists ...[]string) map[string]bool {
	set := make(map[string]bool)
	for _, list := range lists {
		for _, key := range list {
			set[key] = true
		}
	}
	return set
}
