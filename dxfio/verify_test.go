package dxfio

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestVerifySeesEveryByte flips, drops and adds bytes all over a result: Verify must refuse each, but where a byte of
// a place or of an entity of ours may be one thing as well as another.
func TestVerifySeesEveryByte(t *testing.T) {
	for name, stride := range map[string]int{"blank-AC1009.dxf": 3, "blank-AC1015.dxf": 23, "blank-AC1009-bin.dxf": 7,
		"blank-AC1015-bin.dxf": 23} {
		doc := readFile(t, "../testdata/dxf/"+name)
		out, change, err := doc.Apply(everyKind())
		require.NoError(t, err)
		require.NoError(t, Verify(doc, out, change))
		is, err := outlineOf(must(Read(out)))
		require.NoError(t, err)
		named := func(at int) bool {
			for _, p := range change.places {
				if at >= p.afterStart && at < p.afterEnd {
					return true
				}
			}
			for _, e := range is.ours {
				if at >= e.start && at < e.end {
					return true
				}
			}
			return false
		}
		checked := 0
		for at := 0; at < len(out); at += stride {
			if named(at) {
				continue
			}
			checked++
			flipped := bytes.Clone(out)
			flipped[at] ^= 1
			require.Error(t, Verify(doc, flipped, change), "%s: byte %d changed", name, at)
			if at%7 == 0 {
				require.Error(t, Verify(doc, slices.Delete(bytes.Clone(out), at, at+1), change), "%s: byte %d dropped",
					name, at)
				require.Error(t, Verify(doc, slices.Insert(bytes.Clone(out), at, out[at]), change),
					"%s: byte %d doubled", name, at)
			}
		}
		require.Greater(t, checked, (len(doc.data)-100)/stride)
	}
}

func TestVerifyRefuses(t *testing.T) {
	doc := readFile(t, "../testdata/dxf/blank-AC1015.dxf")
	patch := everyKind()
	good, change, err := doc.Apply(patch)
	require.NoError(t, err)
	mark := "1000\nkey=" + patch.Items[0].Key + "\n"
	text := string(good)
	is, err := outlineOf(must(Read(good)))
	require.NoError(t, err)
	first := string(good[is.ours[0].start:is.ours[0].end])
	taken := is.modelSpace
	replaced := func(old, new string) []byte {
		require.Equal(t, 1, strings.Count(text, old), "%q", old)
		return []byte(strings.Replace(text, old, new, 1))
	}
	for want, c := range map[string]struct {
		after  []byte
		change func(Change) Change
	}{
		"cannot be read":    {after: good[:len(good)-30]},
		"not in the result": {after: replaced(first, "")},
		"should not be": {after: good,
			change: func(c Change) Change { c.refreshed, c.Added = c.Added[:1], c.Added[1:]; return c }},
		"not read back as it": {after: replaced(first, strings.Replace(first, "\n1000.0\n", "\n1001.0\n", 1))},
		"in use already": {after: replaced(first,
			strings.ReplaceAll(first, is.ours[0].handles[0]+"\n", taken+"\n"))},
		"changed where": {after: good, change: func(c Change) Change { c.places = c.places[1:]; return c }},
		"no patch may make": {after: good,
			change: func(c Change) Change { c.places = slices.Clone(c.places); c.places[0].start -= 9; return c }},
		"where nothing of ours": {after: replaced(mark, "1000\nkey=another\n")},
	} {
		t.Run(want, func(t *testing.T) {
			claimed := change
			if c.change != nil {
				claimed = c.change(change)
			}
			require.ErrorContains(t, Verify(doc, c.after, claimed), want)
		})
	}
	other, err := New(version2004, 4)
	require.NoError(t, err)
	require.ErrorContains(t, Verify(other, good, change), "version went from AC1018 to AC1015")
}

// TestVerifyKnowsWhatAPlaceMayHold: bytes of others must not pass as a named place.
func TestVerifyKnowsWhatAPlaceMayHold(t *testing.T) {
	doc := readFile(t, "../testdata/dxf/blank-AC1015.dxf")
	good, change, err := doc.Apply(everyKind())
	require.NoError(t, err)
	for i, p := range change.places {
		for kind := placeSeed; kind <= placeSection; kind++ {
			if kind == p.kind {
				continue
			}
			claimed := change
			claimed.places = slices.Clone(change.places)
			claimed.places[i].kind = kind
			require.Error(t, Verify(doc, good, claimed), "place %d of kind %d taken for %d", i, p.kind, kind)
		}
	}
}
