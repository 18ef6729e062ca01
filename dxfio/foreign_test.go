package dxfio

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestWhatIsNoDrawing(t *testing.T) {
	for data, want := range map[string]string{
		"":                               "the file is empty",
		"\x00\x00\x00":                   "nothing but zeroes",
		"AC1032\x00\x00\x00":             "this is a DWG drawing",
		"AC1.40":                         "this is a DWG drawing",
		"%PDF-1.7\n":                     "this is a PDF",
		"<!DOCTYPE html>\n<html>":        "a web page",
		"PK\x03\x04\x14\x00":             "a ZIP archive",
		"\xff\xfe0\x00\n\x00S\x00":       "UTF-16",
		"ISO-10303-21;\nHEADER;":         "an IFC or STEP file",
		"room;airflow\nhall;100\n":       "this is no DXF drawing",
		"\n\n\n":                         "this is no DXF drawing",
		"AutoCAD Binary DXF\r\n\x1a\x00": "this is no DXF drawing",
	} {
		_, err := Read([]byte(data))
		require.ErrorContains(t, err, want, "%q", data)
	}
}
