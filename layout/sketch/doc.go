// Package sketch reads the single-line sketch out of a drawing: which lines are ducts
// of which air, which marks are terminals and units, and which note belongs to what.
// Everything is in metres; every mark keeps the handle of the entity it came from.
//
// # Notes
//
// A note is a TEXT or MTEXT on a NOTE layer or on the layer of what it is about. Its words come
// in any order, in any case, several to a text, parted by spaces, line ends, commas, semicolons
// or strokes. Units are glued or spaced. A decimal comma does for a point; a comma before exactly
// three digits (1,200) is refused, unless a zero leads (0,250). Lengths are written 10", 10 in, 10',
// 10'-6", 10'-6 1/2", 10 ft 6 in, 250 mm, 25 cm, 0.25 m, or as a bare number in drawing units.
//
// The table:
//
//	mark: terminal, unit: any other letters with digits
//		S-101   E2   TB-4   AHU-3a   TB-2-04
//	airflow: terminal, unit
//		220 cfm   105 L/s   380 m3/h   0.11 m3/s   380 m³/h
//	size, round: duct: keep this size; terminal, and unit on its layer: the neck
//		ø250   %%c250   10" dia   250 dia   ⌀250   250ø   dia 250
//	size, rectangular, width x height: duct: keep this size; terminal, and unit on its layer: the neck
//		450x250   18"x10"   450×250   18x10"   450x250 mm
//	size, flat oval: duct: keep this size; terminal, and unit on its layer: the neck
//		22x10 oval   oval 22x10
//	height limit: duct, and all of its system downstream
//		H<=250   H<=10"   H≤10"   H<250
//	shape: duct and downstream
//		round   rect   oval   rectangular
//	elevation: nearest duct (centreline), terminal or unit; on its layer limit or ceiling, a number alone too
//		EL 9'-0"   EL 2700   EL=9'
//	elevation of the centreline: duct, else terminal or unit; on its layer limit or ceiling
//		CL +3.30   CL 3300
//	elevation of the bottom: duct; on its layer limit
//		BOD 10'-6"   BOD 2700
//	elevation of the top: duct
//		TOD 11'-4"   TOD 3600
//	straight side: duct and downstream: the side that stays straight where the size changes
//		flat left   flat right   FOT   FOB   flat top   flat on top
//	single line: duct: its centreline alone is drawn
//		single
//	lining: duct and downstream
//		lined 1"   lining 25
//	insulation: duct and downstream
//		insul 50   insulation 50   insulated 50   ins 50
//	material: duct and all downstream of it; any name in sizing.roughness is a material
//		spiral   plastic   concrete   galvanised   aluminium   steel   pvc   masonry   brick   phenolic   corrugated
//	loss coefficient: duct: all fittings of that run together, on its own velocity pressure
//		C=0.35   C = -0.1
//	pressure: unit at the head: available; in the middle: its loss; terminal: its loss
//		0.6 in.wg   150 Pa   0.6"wg   0.15 kPa
//	rating, on SK-RATED: rated wall: which mark its crossings get, always for others to settle
//		fire   smoke   fire smoke   EI 90   EI 60 S   2 h
//
// End of the table.
//
// Names the settings give a roughness are materials too.
//
// CL, EL, BOD, TOD, INS and DIA are no marks when digits follow them directly (EL9); with a
// hyphen they are (EL-1). Sizes, limits, linings, flows and pressures have
// to be more than zero; elevations may be zero or below. A bare number that cannot be meant in
// drawing units is refused, not guessed at: 450x250 in a drawing in inches, 18x10 in one in
// feet, ø250 in one in metres, CL +3.30 in one in millimetres.
//
// # What a note is about
//
// The nearest thing of a kind it can be about, of the air of its layer and, where its layer
// names a status, of that status; no farther than the reach. Distances are in plan, from the text
// as it is seen to the line, the face or the outline, and zero inside. On a TERM layer it is about a
// terminal, on a DUCT or FLEX layer a duct, on a UNIT layer a unit (a size there is its neck). One thing that can
// take all words of a text is preferred; else each word looks for its own. Where the text lies equally near to
// two things, the nearer to its middle counts; a duct its letters run along goes before one that
// runs across them. What is then still equal, or was put midway to within half a millimetre, is ambiguous.
//
// A LEADER, or a plain line on a NOTE layer, from a thing to within one and a half letter heights of a text says
// what the text is about; several say several things.
package sketch
