package dxfio

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// formCase says of a drawing testdata/dxf/form_*.dxf what shows that it is of its form, and what has to be in it after
// drawing.
type formCase struct {
	holds   string // bytes that make it of this form
	version string
	handle  string // of the duct; "-" none
	refused string // why nothing is drawn into it
	mended  bool   // what was missing is there after drawing
}

// chunk is what make_forms.py puts where a drawing holds bytes that are not looked into.
var chunk = strings.Repeat("0123456789ABCDEF", 8)

// formCases are by the names of the drawings. source of versions, handles and content: make_forms.py, the script that
// wrote them.
var formCases = map[string]formCase{
	"no_header":       {holds: "  0\nSECTION\n  2\nTABLES\n", version: "AC1009"},
	"no_tables":       {holds: "  0\nENDSEC\n  0\nSECTION\n  2\nBLOCKS\n", version: "AC1009"},
	"no_tables_R2000": {holds: "  0\nENDSEC\n  0\nSECTION\n  2\nBLOCKS\n", version: "AC1015"},
	"no_blocks": {holds: "ENDTAB\n  0\nENDSEC\n  0\nSECTION\n  2\nENTITIES\n", version: "AC1009",
		mended: true},
	"fragment":                    {holds: "  0\nSECTION\n  2\nENTITIES\n", version: "AC1009", handle: "-"},
	"comments":                    {holds: "999\na duct\n", version: "AC1009"},
	"byte_order_mark":             {holds: byteOrderMark + "  0\n", version: "AC1021"},
	"mixed_line_ends":             {holds: "\r\n", version: "AC1009"},
	"carriage_returns":            {holds: "  0\rSECTION\r", version: "AC1009"},
	"padded_codes":                {holds: "\n    9\t\n", version: "AC1009"},
	"data_after_eof":              {holds: "EOF\nleft by a transfer\x00\x1a\x1a\n  0\nSECTION\n", version: "AC1009"},
	"no_end_of_last_line":         {holds: "  0\nEOF", version: "AC1009"},
	"no_eof":                      {holds: "  0\nENDSEC\n", version: "AC1009"},
	"version_AC1003":              {holds: "AC1003", version: "AC1003"},
	"version_AC1006":              {holds: "AC1006", version: "AC1006"},
	"version_AC2.10":              {holds: "AC2.10", version: "AC2.10", refused: "save it as DXF R12 or later first"},
	"version_AC1012":              {holds: "AC1012", version: "AC1012"},
	"version_AC1014":              {holds: "AC1014", version: "AC1014"},
	"no_handles":                  {holds: "$HANDLING\n 70\n0\n", version: "AC1009", handle: "-"},
	"duplicate_handles":           {holds: "  0\nLINE\n", version: "AC1015"},
	"empty_handles":               {holds: "  0\nLINE\n  5\n\n330\n", version: "AC1015"},
	"handle_in_hiding":            {holds: "330\nFFFF0\n", version: "AC1015"},
	"unknown_section":             {holds: "  0\nMIRACLE\n  1\nand what is in it\n", version: "AC1015"},
	"unknown_entity":              {holds: "  0\nMIRACLE\n  5\nFF0\n", version: "AC1015"},
	"proxy":                       {holds: "ACAD_PROXY_ENTITY", version: "AC1015"},
	"thumbnail":                   {holds: "THUMBNAILIMAGE\n 90\n128\n310\n" + chunk, version: "AC1015"},
	"acdsdata":                    {holds: "ACDSDATA\n", version: "AC1027"},
	"embedded_object":             {holds: "101\nEmbedded Object\n", version: "AC1032"},
	"extension_dictionary":        {holds: "102\n{ACAD_XDICTIONARY\n", version: "AC1024"},
	"extension_dictionary_binary": {holds: "{ACAD_XDICTIONARY\x00", version: "AC1024"},
	"hatch_image_dimension":       {holds: "  0\nHATCH\n", version: "AC1015"},
	"yofu_R2000":                  {holds: "AC1015", version: "AC1015"},
}

// TestFormFiles: the duct in a drawing of every form is read, writing it with nothing to draw gives the same bytes, and
// drawing into it touches nothing but our records and the places it names.
func TestFormFiles(t *testing.T) {
	files, err := filepath.Glob("../testdata/dxf/form_*.dxf")
	require.NoError(t, err)
	require.Len(t, files, len(formCases))
	for _, file := range files {
		name := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(file), "form_"), ".dxf")
		t.Run(name, func(t *testing.T) {
			c, ok := formCases[name]
			require.True(t, ok, "no case for %s", file)
			doc := readFile(t, file)
			require.True(t, bytes.Contains(doc.data, []byte(c.holds)), "it is not of its form")
			require.Equal(t, c.version, doc.Version())
			duct := []Vertex{{Point: Point{0, 0, 3300}}, {Point: Point{4000, 0, 3300}}}
			handle := ""
			isThere := func(d *Document) {
				var got []*Entity
				require.Empty(t, d.Walk(func(_ Kind, layer string) bool { return layer == "SK-SUP-DUCT" },
					func(e *Entity) bool {
						got = append(got, e)
						return true
					}))
				require.Len(t, got, 1)
				require.Equal(t, duct, got[0].Vertices)
				require.Equal(t, c.handle == "-", got[0].Handle == "")
				if handle == "" {
					handle = got[0].Handle
				}
				require.Equal(t, handle, got[0].Handle)
			}
			isThere(doc)
			if c.refused != "" {
				_, _, err := doc.Apply(everyKind())
				require.ErrorContains(t, err, c.refused)
				return
			}
			out := holdsTheLaws(t, doc, everyKind())
			outside(t, "form_"+name+".dxf", out)
			again := must(Read(out))
			isThere(again)
			require.Equal(t, !c.mended, bytes.Contains(out, []byte(c.holds)))
			handlesAreNew(t, doc, again)
		})
	}
}

// handlesAreNew checks that no entity of ours has a handle that stands anywhere in the drawing before.
func handlesAreNew(t *testing.T, before, after *Document) {
	taken := before.handles()
	for _, e := range after.Owned() {
		if e.Handle != "" {
			require.False(t, taken[parseHandle(e.Handle)], "%s has the handle %s", e.Key, e.Handle)
		}
	}
}

// TestAllDrawingsOfTestdata draws into every drawing made for reading as well: all versions with blocks, all code
// pages.
func TestAllDrawingsOfTestdata(t *testing.T) {
	for _, pattern := range []string{"read_*.dxf", "page_*.dxf"} {
		files, err := filepath.Glob("../testdata/dxf/" + pattern)
		require.NoError(t, err)
		require.Greater(t, len(files), 10)
		for _, file := range files {
			t.Run(filepath.Base(file), func(t *testing.T) { holdsTheLaws(t, readFile(t, file), everyKind()) })
		}
	}
}

// TestFormsAreListed: the table of forms in DEVELOPERS.md names every drawing made to show one.
func TestFormsAreListed(t *testing.T) {
	listed, err := os.ReadFile("../DEVELOPERS.md")
	require.NoError(t, err)
	for name := range formCases {
		require.Contains(t, string(listed), " form_"+name+".dxf", "the table of forms")
	}
}
