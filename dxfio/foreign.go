package dxfio

import (
	"bytes"
	"errors"
	"fmt"
)

// foreign are files that people take for DXF, by how they begin. Sources: for DWG the version words of the Open Design
// Specification for .dwg files, section 3; ISO 32000-1 for PDF; ISO 10303-21 for IFC; PKWARE's APPNOTE for ZIP; the
// Unicode Standard, section 23.8, for the marks of UTF-16. The rest are conventions everybody keeps.
var foreign = []struct{ begins, is, do string }{
	{"AC10", "a DWG drawing", "open it in the CAD program and save it as DXF"},
	{"AC1.", "a DWG drawing", "open it in the CAD program and save it as DXF"},
	{"AC2.", "a DWG drawing", "open it in the CAD program and save it as DXF"},
	{"%PDF", "a PDF", "ask for the drawing itself"},
	{"ISO-10303-21", "an IFC or STEP file", "export the plan as DXF"},
	{"PK\x03\x04", "a ZIP archive", "unpack it first"},
	{"(DWF", "a DWF file", "ask for the drawing itself"},
	{"<", "a web page or XML", "download or export the drawing again"},
	{"\x89PNG", "a picture", "ask for the drawing itself"},
	{"\xff\xd8\xff", "a picture", "ask for the drawing itself"},
	{"\xff\xfe", "a text saved as UTF-16", "save it from the CAD program again"},
	{"\xfe\xff", "a text saved as UTF-16", "save it from the CAD program again"},
}

// noDrawing says what data are that hold no record of a drawing.
func noDrawing(data []byte) error {
	switch {
	case len(data) == 0:
		return errors.New("the file is empty")
	case len(bytes.Trim(data, "\x00")) == 0:
		return errors.New("the file holds nothing but zeroes; it was not saved whole")
	}
	for _, f := range foreign {
		if bytes.HasPrefix(data, []byte(f.begins)) {
			return fmt.Errorf("this is %s, not DXF; %s", f.is, f.do)
		}
	}
	return errors.New("this is no DXF drawing: it does not begin with a group code and a section")
}
