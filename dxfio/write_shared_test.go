package dxfio

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// refusedDrawings are the drawings from elsewhere that nothing is drawn into, with a part of the reason given.
var refusedDrawings = map[string]string{
	"gdal__insert-too-many-errors.dxf": "damaged", // entities where a section should begin
	"yofu_dxf__vertex1.dxf":            "damaged", // EOF without its group code
}

// TestDrawingsOfOthers draws into drawings other programs wrote, where the environment says where they are.
func TestDrawingsOfOthers(t *testing.T) {
	folder := os.Getenv("TWINLINE_DRAWINGS")
	if folder == "" {
		t.Skip("TWINLINE_DRAWINGS names no folder with drawings")
	}
	files, err := filepath.Glob(filepath.Join(folder, "*.dxf"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		name := filepath.Base(file)
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			doc, err := Read(data)
			if why, refused := refusedDrawings[name]; refused {
				require.ErrorContains(t, err, why)
				return
			}
			require.NoError(t, err)
			same, change, err := doc.Apply(Patch{})
			require.NoError(t, err)
			require.True(t, bytes.Equal(data, same))
			require.Equal(t, Change{}, change)

			out := holdsTheLaws(t, doc, everyKind())
			outside(t, "into-"+name, out)
		})
	}
}

// TestResavedByAnother: a program that reads our drawing and writes it anew, in its own spelling, as text or binary or
// in another version, has edited nothing of ours, and the same patch finds it all there. The environment says where
// such drawings are.
func TestResavedByAnother(t *testing.T) {
	resaved := os.Getenv("TWINLINE_RESAVED")
	if resaved == "" {
		t.Skip("TWINLINE_RESAVED names no folder with drawings that another program saved")
	}
	files, err := filepath.Glob(filepath.Join(resaved, "*.dxf"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		doc := readFile(t, file)
		for _, e := range doc.Owned() {
			require.False(t, e.Edited || e.Copy, "%s: %v", file, e)
		}
		out, change, err := doc.Apply(everyKind())
		require.NoError(t, err, file)
		require.Len(t, change.Kept, len(everyKind().Items), file)
		require.True(t, bytes.Equal(doc.data, out), file)
	}
}
