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
//	note              forms                                               about
//	mark              S-101  E2  TB-4  AHU-3a  TB-2-04                    terminal, unit
//	airflow           220 cfm  105 L/s  380 m3/h  380 m³/h  0.11 m3/s     terminal, unit
//	size, round       ø250  ⌀250  %%c250  250ø  10" dia  250 dia  dia 250 duct; terminal: neck
//	size, rectangular 450x250  450×250  18"x10"  18x10"  450x250 mm       duct; terminal: neck
//	size, flat oval   22x10 oval  oval 22x10                              duct; terminal: neck
//	height limit      H<=250  H≤10"  H<250                                duct and downstream
//	shape             round  rect  rectangular  oval                      duct and downstream
//	elevation         CL +3.30  (centreline)                              duct; none near: terminal, unit
//	                  EL 9'-0"                                            the nearest of duct (centreline), terminal, unit
//	                  BOD 10'-6"  TOD 11'-4"                              duct: bottom, top
//	                  EL 2700  BOD 2700  CL 2700  2700                    on the layers of limits and ceilings: those
//	straight side     flat left  flat right  FOT  FOB  flat (on) top      duct and downstream
//	single-line       single                                              duct
//	lining            lined 1"  lining 25                                 duct and downstream
//	insulation        insul 50  insulation 50  ins 50                     duct and downstream
//	material          galvanised  spiral  aluminium  steel  plastic  pvc  duct and downstream
//	                  concrete  masonry  brick  phenolic  corrugated
//	loss coefficient  C=0.35  C = -0.1                                    duct: all fittings of that run together
//	pressure          0.6 in.wg  0.6"wg  0.6 in. w.g.  150 Pa  0.15 kPa   unit: available, or in the middle its loss; terminal: its loss
//	rating            fire  smoke  fire smoke  EI 90  EI 60 S  2 h        on the layer of rated walls: the wall
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
