package dxfio

import "slices"

// A features value says what the DXF of one version can say and what it demands. Every
// question of that kind is answered here and nowhere else.
//
// Source: the DXF reference of each release, as far as it is published, and for what
// R13 and R14 demand the drawings other programs wrote (testdata/dxf).
type features struct {
	handles       bool // entities and table entries always have handles (before: only by $HANDLING)
	tableHandles  bool // table heads and entries have handles
	owners        bool // 330 names the owner
	markers       bool // 100 names the class
	blockRecords  bool // a BLOCK_RECORD table stands behind the blocks
	lwpolyline    bool // LWPOLYLINE is known (before: POLYLINE with VERTEX)
	weights       bool // 370 and 390 in layers
	plots         bool // 290 in layers
	material      bool // 347 in layers
	recordUnits   bool // 70, 280, 281 in block records
	utf8          bool // text is UTF-8 (before: $DWGCODEPAGE)
	attribVersion bool // 280 in attributes
}

// The versions that New can make and Apply was tried with, oldest first.
const (
	versionR10   = "AC1006"
	versionR12   = "AC1009"
	versionR13   = "AC1012"
	versionR14   = "AC1014"
	version2000  = "AC1015"
	version2004  = "AC1018"
	version2007  = "AC1021"
	version2010  = "AC1024"
	version2013  = "AC1027"
	version2018  = "AC1032"
	versionShape = len("AC1009")
)

// Versions lists the versions New can make, oldest first.
func Versions() []string {
	return slices.Clone(newVersions)
}

var newVersions = []string{versionR12, versionR13, versionR14, version2000, version2004, version2007, version2010,
	version2013, version2018}

// featuresOf answers for a version as $ACADVER gives it. A drawing that gives none is read and
// written as R12: that is what a drawing without a header is taken for by every program tried.
// A version newer than those known is taken for the newest known, since DXF has only grown.
func featuresOf(version string) features {
	if !wellFormedVersion(version) {
		version = versionR12
	}
	return features{
		handles:       version >= versionR13,
		tableHandles:  version >= versionR13,
		owners:        version >= versionR13,
		markers:       version >= versionR13,
		blockRecords:  version >= versionR13,
		lwpolyline:    version >= versionR14,
		weights:       version >= version2000,
		plots:         version >= version2000,
		material:      version >= version2007,
		recordUnits:   version >= version2007,
		utf8:          version >= version2007,
		attribVersion: version >= version2010,
	}
}

// wellFormedVersion reports whether version reads AC and four digits, so that versions compare as texts.
func wellFormedVersion(version string) bool {
	if len(version) != versionShape || version[:2] != "AC" {
		return false
	}
	for _, c := range version[2:] {
		if c < '0' || c > '9' {
			return false
		}
	}
	return true
}

// writable says why nothing can be drawn into a drawing of that version; "" where it can.
func writable(version string) string {
	switch {
	case version == "" || wellFormedVersion(version):
		return ""
	case len(version) >= 4 && (version[:2] == "MC" || version[:3] == "AC1" || version[:3] == "AC2"):
		return "it is a drawing of version " + version +
			", older than anything we can mark our own work in; save it as DXF R12 or later first"
	}
	return "its version " + version + " is unknown; save it as DXF R12 or later first"
}
