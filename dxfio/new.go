package dxfio

import (
	_ "embed"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

//go:embed new.txt
var newTemplate string

// newLayout is what new.txt calls a layout: an object that stands behind model space and behind each sheet.
// The sheet is A3 lying, its plot to scale 1:1. Fields: handle, name, model type, tab order, plot flags, block record.
var newLayout = strings.Split(`0 LAYOUT
5 %[1]s
330 C
100 AcDbPlotSettings
1
2 none_device
4
6
40 0.0
41 0.0
42 0.0
43 0.0
44 420.0
45 297.0
46 0.0
47 0.0
48 0.0
49 0.0
140 0.0
141 0.0
142 1.0
143 1.0
70 %[5]s
72 1
73 0
74 5
7
75 16
147 1.0
148 0.0
149 0.0
100 AcDbLayout
1 %[2]s
70 %[3]s
71 %[4]s
10 0.0
20 0.0
11 420.0
21 297.0
12 0.0
22 0.0
32 0.0
14 0.0
24 0.0
34 0.0
15 420.0
25 297.0
35 0.0
146 0.0
13 0.0
23 0.0
33 0.0
16 1.0
26 0.0
36 0.0
17 0.0
27 1.0
37 0.0
76 0
330 %[6]s`, "\n")

const (
	newSeed       = "100" // above every handle in new.txt
	firstMetric   = 4     // $INSUNITS from millimetres on, but for those below, are metric
	unitMicroinch = 8
	unitMil       = 9
	unitYard      = 10
	lastUnit      = 24
)

// New makes an empty drawing of a version (one of Versions) to draw into, ASCII with line feeds. insUnits is its
// $INSUNITS: 1 inch, 2 foot, 4 mm, 5 cm, 6 m …; 0 leaves the unit open. R12 does not know $INSUNITS; it is written
// there as well where it is not 0, since the programs of today that still write R12 read it.
func New(version string, insUnits int) (*Document, error) {
	if !slices.Contains(newVersions, version) {
		return nil, fmt.Errorf("no empty drawing of version %q can be made; known are %s", version,
			strings.Join(newVersions, ", "))
	}
	if insUnits < 0 || insUnits > lastUnit {
		return nil, fmt.Errorf("there is no drawing unit %d; $INSUNITS goes from 0 to %d", insUnits, lastUnit)
	}
	var out []byte
	write := form{eol: "\n", pad: 1}
	for line := range strings.Lines(newTemplate) {
		line = strings.TrimSuffix(line, "\n")
		if line == "" || line[0] == '#' {
			continue
		}
		if line[0] == '@' || line[0] == '!' {
			since, rest, _ := strings.Cut(line[1:], " ")
			if (version >= since) != (line[0] == '@') {
				continue
			}
			line = rest
		}
		for _, tag := range newTags(line, version, insUnits) {
			code, value, _ := strings.Cut(tag, " ")
			n, err := strconv.Atoi(code)
			if err != nil {
				return nil, fmt.Errorf("the empty drawing is misprinted at %q: %w", tag, err)
			}
			out = write.append(out, pair{n, value})
		}
	}
	return Read(out)
}

// A sheet is 420 mm x 297 mm (ISO 216, A3) in metric drawings and 17 in x 11 in (ANSI Y14.1, B) in others. Header
// variables give it in drawing units. LibreCAD plots by them; without them it takes a sheet of 297 by 210 units,
// whatever a unit is.
var sheets = map[int][2]float64{1: {17, 11}, 2: {17. / 12, 11. / 12}, 4: {420, 297}, 5: {42, 29.7}, 6: {0.42, 0.297}}

// paper writes the limits of the sheet, where the unit is known.
func paper(insUnits int) []string {
	size, ok := sheets[insUnits]
	if !ok {
		return nil
	}
	return []string{"9 $PLIMMIN", "10 0.0", "20 0.0", "9 $PLIMMAX", "10 " + number(size[0]), "20 " + number(size[1])}
}

// newTags fills in what stands in braces in a line of new.txt.
func newTags(line, version string, insUnits int) []string {
	switch {
	case strings.HasPrefix(line, "{layout "):
		if version < version2000 {
			return nil
		}
		fields := strings.Fields(strings.Trim(line, "{}"))[1:]
		args := make([]any, len(fields))
		for i, f := range fields {
			args[i] = f
		}
		return strings.Split(fmt.Sprintf(strings.Join(newLayout, "\n"), args...), "\n")
	case line == "{units}":
		if version < version2000 && insUnits == 0 {
			return nil
		}
		return []string{"9 $INSUNITS", "70 " + strconv.Itoa(insUnits)}
	case line == "{paper}":
		return paper(insUnits)
	}
	measurement := "0"
	if insUnits >= firstMetric && insUnits != unitMicroinch && insUnits != unitMil && insUnits != unitYard {
		measurement = "1"
	}
	line = strings.ReplaceAll(line, "{version}", version)
	line = strings.ReplaceAll(line, "{measurement}", measurement)
	return []string{strings.ReplaceAll(line, "{seed}", newSeed)}
}
