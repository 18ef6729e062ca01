package dxfio

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestReferencesToRemovedWork: a group of another program that holds work of ours stays as it is when that is taken
// out, and is reported.
func TestReferencesToRemovedWork(t *testing.T) {
	doc := readFile(t, "../testdata/dxf/form_extension_dictionary.dxf")
	out, _, err := doc.Apply(everyKind())
	require.NoError(t, err)
	var wall string
	for _, e := range must(Read(out)).Owned() {
		if e.Key == "2F@0/body" { // with VERTEX records behind it, which name it as their owner
			wall = e.Handle
		}
	}
	require.NotEmpty(t, wall)
	group := []byte("AcDbGroup\n")
	require.Equal(t, 1, bytes.Count(out, group))
	grouped := must(Read(bytes.Replace(out, group, fmt.Appendf(nil, "%s340\n%s\n", group, wall), 1)))

	kept, change, err := grouped.Apply(everyKind())
	require.NoError(t, err)
	require.Empty(t, change.Places)
	require.True(t, bytes.Equal(grouped.data, kept))

	less := everyKind()
	less.Items = less.Items[:len(less.Items)-2] // without the body and the damper
	bare, change, err := grouped.Apply(less)
	require.NoError(t, err)
	require.NoError(t, Verify(grouped, bare, change))
	require.Len(t, change.Removed, 2)
	require.Len(t, change.Places, 1)
	require.Regexp(t, `^GROUP \(line \d+\): not changed, but it refers to `+wall+`, which was removed$`,
		change.Places[0])
	require.Contains(t, string(bare), "340\n"+wall+"\n", "what is not ours is not touched")

	_, change, err = must(Read(out)).Apply(Patch{})
	require.NoError(t, err)
	require.Empty(t, change.Places, "nothing refers to what was removed")
}
