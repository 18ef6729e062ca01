#!/usr/bin/python3
"""Draws the case sketches with ezdxf, a DXF library nobody here wrote.

Run it in its own folder: python3 make.py [name...]. It needs python3-ezdxf. A sheet is a
drawing with many small systems, ten metres apart; what each has to come to stands in
cmd/internal/pipeline/cases_test.go. All places below are in metres.
"""
import io
import sys

import ezdxf
from ezdxf import units

SHEETS = {}
PER_METRE = {"mm": 1000, "cm": 100, "m": 1, "inch": 1 / 0.0254, "foot": 1 / 0.3048, None: 1000}
INSUNITS = {"mm": units.MM, "cm": units.CM, "m": units.M, "inch": units.IN, "foot": units.FT, None: 0}


def sheet(fn):
    SHEETS[fn.__name__.replace("_", "-")] = fn
    return fn


class Sheet:
    """A drawing in some unit, drawn in metres."""

    def __init__(self, version="R2000", unit="mm"):
        self.doc = ezdxf.new(version, setup=False)
        self.k = PER_METRE[unit]
        if unit:
            self.doc.header["$INSUNITS"] = INSUNITS[unit]
            self.doc.header["$MEASUREMENT"] = 0 if unit in ("inch", "foot") else 1
        self.doc.header["$TDCREATE"] = self.doc.header["$TDUPDATE"] = 2461000.5
        self.msp = self.space = self.doc.modelspace()
        self.n = 0

    def at(self, p):
        return tuple(c * self.k for c in p)

    def on(self, layer, **more):
        if layer not in self.doc.layers:
            self.doc.layers.add(layer, color=7)
        return {"layer": layer, **more}

    def line(self, layer, *pts):
        for a, b in zip(pts, pts[1:]):
            self.space.add_line(self.at(a), self.at(b), dxfattribs=self.on(layer))

    def poly(self, layer, *pts, close=False, elevation=0.0, bulges=None):
        v = [(x * self.k, y * self.k, b) for (x, y), b in zip(pts, bulges or [0] * len(pts))]
        if self.doc.dxfversion == "AC1009":
            return self.space.add_polyline2d(v, format="xyb", close=close,
                                             dxfattribs=self.on(layer, elevation=(0, 0, elevation * self.k)))
        return self.space.add_lwpolyline(v, format="xyb", close=close,
                                         dxfattribs=self.on(layer, elevation=elevation * self.k))

    def box(self, layer, x0, y0, x1, y1):
        return self.poly(layer, (x0, y0), (x1, y0), (x1, y1), (x0, y1), close=True)

    def circle(self, layer, at, r=0.15):
        return self.space.add_circle(self.at(at), r * self.k, dxfattribs=self.on(layer))

    def text(self, layer, at, value, **more):
        return self.space.add_text(value, dxfattribs=self.on(layer, height=0.1 * self.k, insert=self.at(at), **more))

    def mtext(self, layer, at, value, **more):
        return self.space.add_mtext(value, dxfattribs=self.on(layer, char_height=0.1 * self.k, insert=self.at(at), **more))

    def block(self, name, side, tags=()):
        """A square block of that side, with attributes."""
        b = self.doc.blocks.new(name)
        h = side / 2 * self.k
        for p, q in (((-h, -h), (h, -h)), ((h, -h), (h, h)), ((h, h), (-h, h)), ((-h, h), (-h, -h))):
            b.add_line(p, q)
        for i, tag in enumerate(tags):
            b.add_attdef(tag, (h * 1.2, -i * 0.15 * self.k), dxfattribs={"height": 0.1 * self.k})
        return b

    def insert(self, layer, name, at, values=None, **more):
        ref = self.space.add_blockref(name, self.at(at), dxfattribs=self.on(layer, **more))
        if values:
            for i, (tag, value) in enumerate(values.items()):
                x, y = self.at(at)[:2]
                ref.add_attrib(tag, value, (x + 0.4 * self.k, y - 0.15 * self.k * i), dxfattribs=self.on(layer, height=0.1 * self.k))
        return ref

    def unit(self, x=0.0, y=0.0, air="SUP", mark=None, status=""):
        layer = f"SK-{air}-UNIT{status}"
        self.circle(layer, (x, y), 0.3)
        if mark:
            self.text(layer, (x - 0.1, y + 0.5), mark)

    def term(self, x, y, words, air="SUP", status=""):
        layer = f"SK-{air}-TERM{status}"
        self.circle(layer, (x, y))
        if words:
            self.text(layer, (x + 0.35, y), words)

    def simple(self, note=None, mtext=False, at=(4, 0.2), words="S-1 100 l/s", air="SUP", duct=True, status="", layer=None):
        """The next system up the sheet: a unit, eight metres of duct, a terminal, and a note beside the duct."""
        self.n += 1
        y = 10.0 * self.n
        self.unit(0, y, air, f"U-{self.n}")
        if duct:
            self.line(f"SK-{air}-DUCT{status}", (0.3, y), (8, y))
        self.term(8, y, words, air)
        if note:
            draw = self.mtext if mtext else self.text
            draw(layer or f"SK-{air}-NOTE", (at[0], y + at[1]), note)
        return y

    def save(self, name):
        # ezdxf writes two fresh GUIDs each time; the same sketch is to give the same bytes.
        out = io.StringIO()
        self.doc.header["$FINGERPRINTGUID"] = self.doc.header["$VERSIONGUID"] = "{0}"
        self.doc.write(out)
        with open(name + ".dxf", "w", encoding=self.doc.output_encoding, errors="dxfreplace", newline="\n") as f:
            f.write(out.getvalue())


@sheet
def notes_mm():
    s = Sheet("R2000", "mm")
    for note in ("ø250", "%%c250", '10" dia', "250 dia", "450x250", "450 X 250", '18"x10"', "550x250 oval",
                 '12 1/2" dia'):
        s.simple(note, words="S-1 60 l/s")
    s.simple(r"{\fArial|b0;\C1;%%c250}", mtext=True, words="S-1 60 l/s")
    s.simple(r"\A1;450x250\PCL 3000", mtext=True, words="S-1 60 l/s")
    for note in ("Ø250 lined 25", "ø250 insul 50", "rect", "rect H<=150", "oval H<=150", 'rect H<=7"', "RECT h <= 150 bod 3.0m",
                 "ROUND ø250mm", "CL 3000 single", "TOD 3500 ø250", "BOD 3000 450x300", "EL +3100", "oval 550x250", "Ø250 FOB",
                 "ø 250 / CL 3000 / flat left"):
        s.simple(note, words="S-1 60 l/s")
    return s


@sheet
def notes_inch():
    s = Sheet("R12", "inch")
    for note in ('10" dia', "ø10", "%%c10", "18x10", '18"x10"', "22x10 oval", 'rect H<=6"', '10 1/2" dia', "10-1/2 dia",
                 "CL 126", "CL 10'-6\"", "BOD 10'-6\" 18x12", "TOD 11'-4\" ø12", "EL 10'-0 1/2\"", "EL 10'-0\"", "CL 10'6\"",
                 "10 in dia", "12\" dia round", 'rect lined 1" H<=10"', 'insul 2" rect'):
        s.simple(note, words="S-1 200 cfm")
    return s


@sheet
def notes_foot():
    s = Sheet("R2010", "foot")
    for note in ("1 dia", "ø0.5", "1.5x0.75", "CL 10.5", '10" dia', "BOD 10'-6\" ø1", "H<=0.5 rect"):
        s.simple(note, words="S-1 200 cfm")
    return s


@sheet
def notes_metre():
    s = Sheet("R2018", "m")
    for note in ("ø0.25", "0.45x0.25", "CL +3.30", "EL 3,10", "ø250mm", "BOD 3.00 ø0.25"):
        s.simple(note, words="S-1 60 l/s")
    return s


@sheet
def notes_cm():
    s = Sheet("R2007", "cm")
    for note in ("ø25", "45x25", "CL 300"):
        s.simple(note, words="S-1 60 l/s")
    return s


@sheet
def flows():
    """Airflows and marks in every form; elevations and necks of terminals."""
    s = Sheet("R2004", "mm")
    for words in ("S-101 220 cfm", "E2 105 L/s", "TB-4 380 m3/h", "S-1 0.11 m3/s", "220cfm S-1", "S-1 380 m³/h", "S-1; 105l/s",
                  "S-1 100 l/s EL 2500", "S-1 100 l/s 25 Pa", "S-1 100 l/s ø200", "S-1 0.1 in.wg 220 cfm 8\" dia EL 8'-0\"",
                  "s-1 100 L/S", "S-1 100 l/s 300x150"):
        s.simple(words=words)
    y = s.simple(words=None)
    s.mtext("SK-SUP-TERM", (8.35, y), r"{\LS-1}\P100 l/s\PEL 2.4m")
    return s


@sheet
def attributes():
    """Attributes, and attributes against notes."""
    s = Sheet("R2013", "mm")
    s.block("GRILLE", 0.5, ("MARK", "FLOW", "EL", "NECK", "CONN", "DP"))
    s.block("FAN", 0.8, ("MARK", "ESP", "DP"))

    def system(values, unit, note=None, **more):
        s.n += 1
        y = 10.0 * s.n
        s.insert("SK-SUP-UNIT", "FAN", (0, y), {"MARK": f"U-{s.n}", **unit})
        s.line("SK-SUP-DUCT", (0.4, y), (8, y))
        s.insert("SK-SUP-TERM", "GRILLE", (8, y), values, **more)
        if note:
            s.text("SK-SUP-TERM", (7.8, y + 0.4), note)

    system({"MARK": "S-1", "FLOW": "100 l/s"}, {"ESP": "80 Pa"})
    system({"MARK": "S-1", "FLOW": "220 cfm", "EL": "2500", "NECK": "ø200", "DP": "12 Pa"}, {})
    system({"MARK": "S-1", "FLOW": "100 l/s"}, {}, note="S-9 150 l/s")  # the attribute wins, and that is told
    system({"mark": "S-1", "flow": "100 l/s"}, {"esp": "0.4 in.wg"})
    system({"MARK": "S-1", "FLOW": ""}, {}, note="100 l/s")  # an empty attribute says nothing
    system({"MARK": "S-1", "FLOW": "100 l/s", "EL": "8'-6\"", "CONN": "TOP"}, {})
    system({"MARK": "S-1", "FLOW": "100 l/s"}, {}, rotation=30, xscale=2, yscale=2)
    return s


@sheet
def airs():
    """Every air and every alias; layers in small letters; status words."""
    s = Sheet("R2000", "mm")
    for air in ("SUP", "ETA", "EHA", "ODA", "RCA", "TRA", "SA", "RA", "EA", "OA"):
        s.simple(air=air, words="100 l/s X-1")
    s.n += 1
    y = 10.0 * s.n
    s.circle("sk-sup-unit", (0, y), 0.3)
    s.text("sk-sup-unit", (-0.1, y + 0.5), f"u-{s.n}")
    s.line("Sk-Sup-Duct", (0.3, y), (8, y))
    s.circle("SK-sup-TERM", (8, y))
    s.text("sk-SUP-note", (8.35, y), "s-1 100 l/s")
    return s


@sheet
def lines():
    """Every kind of line a duct can be drawn with."""
    s = Sheet("R2000", "mm")

    def system(draw, end=(8, 0, 0), air="SUP"):
        s.n += 1
        y = 10.0 * s.n
        s.unit(0, y, air, f"U-{s.n}")
        draw(y)
        s.circle(f"SK-{air}-TERM", (end[0], y + end[1]))
        s.text(f"SK-{air}-TERM", (end[0] + 0.35, y + end[1]), "S-1 100 l/s")

    D = "SK-SUP-DUCT"
    system(lambda y: s.poly(D, (0.3, y), (5, y), (5, y + 3)), end=(5, 3))
    system(lambda y: s.poly(D, (0.3, y), (5, y), (5, y + 3), elevation=3.1), end=(5, 3))
    system(lambda y: s.msp.add_polyline2d([(300, 1000 * y), (5000, 1000 * y), (5000, 1000 * y + 3000)], dxfattribs=s.on(D)), end=(5, 3))
    system(lambda y: s.msp.add_polyline3d([(300, 1000 * y, 3000), (5000, 1000 * y, 3000), (5000, 1000 * y + 3000, 3500)],
                                          dxfattribs=s.on(D)), end=(5, 3))

    def arc(y):  # 90 degrees of radius 2 m from (3, 0) to (5, 2)
        s.line(D, (0.3, y), (3, y))
        s.msp.add_arc((3000, 1000 * y + 2000), 2000, 270, 360, dxfattribs=s.on(D))
        s.line(D, (5, y + 2), (5, y + 3))
    system(arc, end=(5, 3))
    # the same with a bulge: tan(90/4 degrees)
    system(lambda y: s.poly(D, (0.3, y), (3, y), (5, y + 2), (5, y + 3), bulges=[0, 0.41421356237309503, 0, 0]), end=(5, 3))

    def flex(y):
        s.line(D, (0.3, y), (7, y))
        s.msp.add_spline(dxfattribs=s.on("SK-SUP-FLEX")).set_open_uniform([(7000, 1000 * y), (7400, 1000 * y), (7600, 1000 * y + 200), (8000, 1000 * y + 200)])
    system(flex, end=(8, 0.2))
    system(lambda y: s.line(D, (8, y, 2.9), (0.3, y, 2.9)))  # drawn against the air, at its own height

    def flipped(y):  # extrusion (0, 0, -1): x runs the other way
        p = s.msp.add_lwpolyline([(-300, 1000 * y), (-5000, 1000 * y), (-5000, 1000 * y + 3000)], dxfattribs=s.on(D))
        p.dxf.extrusion = (0, 0, -1)
        p.dxf.elevation = -3200
    system(flipped, end=(5, 3))

    def flipped_arc(y):
        s.line(D, (0.3, y), (3, y))
        a = s.msp.add_arc((-3000, 1000 * y + 2000), 2000, 180, 270, dxfattribs=s.on(D))
        a.dxf.extrusion = (0, 0, -1)
        s.line(D, (5, y + 2), (5, y + 3))
    system(flipped_arc, end=(5, 3))
    return s


@sheet
def blocks():
    """Sketches inside blocks: nested, scaled, rotated, mirrored, flipped."""
    s = Sheet("R2010", "mm")

    def content(space, mark):
        s.space = space
        s.unit(0, 0, mark=mark)
        s.line("SK-SUP-DUCT", (0.3, 0), (5, 0), (5, 3))
        s.term(5, 3, "S-1 100 l/s")
        s.space = s.msp
    for i in range(1, 6):
        content(s.doc.blocks.new(f"ROOM{i}"), f"U-{i}")
    s.insert("0", "ROOM1", (0, 10))
    s.insert("0", "ROOM2", (20, 10), rotation=90)
    s.insert("0", "ROOM3", (40, 10), xscale=-1)
    wing = s.doc.blocks.new("WING")
    wing.add_blockref("ROOM4", (0, 0), dxfattribs={"layer": "0", "rotation": 90})
    s.insert("0", "WING", (60, 10), rotation=90)  # half a turn in all
    s.insert("0", "ROOM5", (0, 30)).dxf.extrusion = (0, 0, -1)  # x runs the other way: to -5
    # drawn in inches in a drawing in millimetres
    b = s.doc.blocks.new("INCHES")
    k, s.k = s.k, PER_METRE["inch"]
    content(b, "U-6")
    s.k = k
    s.insert("0", "INCHES", (20, 30), xscale=25.4, yscale=25.4, zscale=25.4)
    # entities on layer 0 take the layer of the insert
    b = s.doc.blocks.new("PIECE")
    b.add_line((0, 0), (8000, 0))
    s.unit(40, 30, mark="U-7")
    s.insert("SK-SUP-DUCT", "PIECE", (40.3, 30))
    s.term(48.3, 30, "S-1 100 l/s")
    return s


@sheet
def hidden_layers():
    s = Sheet("R2000", "mm")
    s.simple()
    s.line("SK-SUP-DUCT-FUT", (4, 10), (4, 14))
    s.term(4, 14, "S-2 100 l/s", status="-FUT")
    s.doc.layers.get("SK-SUP-DUCT-FUT").off()
    s.doc.layers.get("SK-SUP-TERM-FUT").freeze()
    return s


@sheet
def joins():
    s = Sheet("R2000", "mm")
    D = "SK-SUP-DUCT"

    def system(*branches, main=8.0):
        s.n += 1
        y = 10.0 * s.n
        s.unit(0, y, mark=f"U-{s.n}")
        s.line(D, (0.3, y), (main, y))
        s.term(main, y, "S-1 100 l/s")
        for b in branches:
            s.line(D, *[(px, y + py, *z) for px, py, *z in b])
        return y
    y = system([(3, 0.02), (3, 3)])  # 20 mm off the main: within the 25 mm
    s.term(3, y + 3, "S-2 50 l/s")
    y = system([(3, 0), (3, 3)], [(5, 0), (5, -3)])  # tees into the middle, on both sides
    s.term(3, y + 3, "S-2 50 l/s"), s.term(5, y - 3, "S-3 60 l/s")
    y = system([(4, 0), (4, 3)], [(4, 0), (4, -3)])  # a cross
    s.term(4, y + 3, "S-2 50 l/s"), s.term(4, y - 3, "S-3 60 l/s")
    y = system([(3, 0), (3, 2), (5, 2), (5, -3)])  # crosses its own main without joining
    s.term(5, y - 3, "S-2 50 l/s")
    y = system([(3, 0), (3, 2)], [(3.02, 2.01), (5, 2)])  # ends 22 mm apart join
    s.term(5, y + 2, "S-2 50 l/s")
    y = system([(3, 0), (5, 2)])  # at 45 degrees
    s.term(5, y + 2, "S-2 50 l/s")
    y = system([(2, 0), (2, 2)], [(2, 2), (0.5, 2)], [(2, 2), (3.5, 2)])  # a branch that ends in a bullhead
    s.term(0.5, y + 2, "S-2 50 l/s"), s.term(3.5, y + 2, "S-3 60 l/s")
    return s


@sheet
def near_misses():
    s = Sheet("R2000", "mm")
    y = s.simple()
    s.line("SK-SUP-DUCT", (3, y + 0.06), (3, y + 3))  # 60 mm off: over 25, under 150
    s.term(3, y + 3, "S-2 50 l/s")
    return s


@sheet
def levels():
    """Elevations, risers, drops, rises."""
    s = Sheet("R2000", "mm")
    D = "SK-SUP-DUCT"

    def system():
        s.n += 1
        s.unit(0, 10.0 * s.n, mark=f"U-{s.n}")
        return 10.0 * s.n
    y = system()  # a riser between two elevations
    s.line(D, (0.3, y, 3), (4, y, 3)), s.line(D, (4, y, 4), (8, y, 4)), s.term(8, y, "S-1 100 l/s")
    y = system()  # a rise to a terminal above
    s.line(D, (0.3, y, 2), (8, y, 2)), s.term(8, y, "S-1 100 l/s")
    y = system()  # connected from the side: no drop
    s.block("SIDE", 0.6, ("MARK", "FLOW", "CONN"))
    s.line(D, (0.3, y, 2.8), (7.7, y, 2.8))
    s.insert("SK-SUP-TERM", "SIDE", (8, y), {"MARK": "S-1", "FLOW": "100 l/s", "CONN": "SIDE"})
    y = system()  # under a ceiling outline with its note
    s.line(D, (0.3, y), (8, y)), s.term(8, y, "S-1 100 l/s")
    s.box("SK-CEIL", 6, y - 2, 10, y + 2), s.text("SK-CEIL", (6.3, y + 1.5), "2500")
    y = system()  # a terminal with a Z of its own
    s.line(D, (0.3, y), (8, y)), s.circle("SK-SUP-TERM", (8, y, 3.0)), s.text("SK-SUP-TERM", (8.35, y), "S-1 100 l/s")
    y = system()  # a point as a terminal, the end within its 600 mm face but not over its middle
    s.line(D, (0.3, y), (7.8, y)), s.msp.add_point((8000, 1000 * y), dxfattribs=s.on("SK-SUP-TERM")), s.text("SK-SUP-TERM", (8.35, y), "S-1 100 l/s")
    y = system()  # a vertical line as drawn
    s.line(D, (0.3, y, 3), (4, y, 3)), s.line(D, (4, y, 3), (4, y, 3.5)), s.line(D, (4, y, 3.5), (8, y, 3.5)), s.term(8, y, "S-1 100 l/s")
    return s


@sheet
def unit_kinds():
    s = Sheet("R2000", "mm")
    s.block("CASE", 1.0, ("MARK", "ESP"))

    def system(x=0.5):
        s.n += 1
        y = 10.0 * s.n
        s.line("SK-SUP-DUCT", (x, y), (8, y))
        s.term(8, y, "S-1 100 l/s")
        return y
    y = system()
    s.insert("SK-SUP-UNIT", "CASE", (0, y), {"MARK": "U-1", "ESP": "80 Pa"})
    y = system()
    s.box("SK-SUP-UNIT", -0.5, y - 0.4, 0.5, y + 0.4), s.text("SK-SUP-UNIT", (-0.3, y), "U-2 0.4 in.wg")
    y = system()
    s.circle("SK-SUP-UNIT", (0, y), 0.5), s.text("SK-SUP-NOTE", (-0.3, y), "U-3 60 Pa")
    y = system(x=0.0)  # the duct ends inside the outline
    s.circle("SK-SUP-UNIT", (0, y), 0.5), s.text("SK-SUP-UNIT", (-0.3, y), "U-4")
    y = system(x=0.52)  # 20 mm off the outline
    s.circle("SK-SUP-UNIT", (0, y), 0.5), s.text("SK-SUP-UNIT", (-0.3, y), "U-5")
    y = system()  # no mark: told
    s.circle("SK-SUP-UNIT", (0, y), 0.5)
    # supply and extract of one unit
    y = system()
    s.box("SK-SUP-UNIT", -0.5, y - 0.4, 0.5, y + 0.4), s.text("SK-SUP-UNIT", (-0.3, y), "U-7")
    s.box("SK-ETA-UNIT", -0.5, y - 0.4, 0.5, y + 0.4), s.text("SK-ETA-UNIT", (-0.3, y - 0.2), "U-7")
    s.line("SK-ETA-DUCT", (-0.5, y), (-6, y)), s.term(-6, y, "E-1 90 l/s", air="ETA")
    return s


@sheet
def boxes():
    """An air-handling unit with two mains, each feeding a box that loses 40 Pa or 50 Pa."""
    s = Sheet("R2010", "mm")
    s.block("BOX", 0.8, ("MARK", "DP"))
    s.box("SK-SUP-UNIT", -1, 9, 1, 11), s.text("SK-SUP-UNIT", (-0.6, 10), "AHU-1 300 Pa")
    for y, mark in ((9.5, "B-1"), (10.5, "B-2")):
        s.line("SK-SUP-DUCT", (1, y), (5.6, y))
        if mark == "B-1":
            s.insert("SK-SUP-UNIT", "BOX", (6, y), {"MARK": mark, "DP": "40 Pa"})
        else:
            s.box("SK-SUP-UNIT", 5.6, y - 0.4, 6.4, y + 0.4), s.text("SK-SUP-UNIT", (5.8, y), "B-2 50 Pa")
        s.line("SK-SUP-DUCT", (6.4, y), (12, y))
        s.term(12, y, f"S-{mark[-1]} 200 l/s")
    return s


@sheet
def extract():
    """An extract system: two branches into a main, air towards the fan."""
    s = Sheet("R2007", "mm")
    s.unit(0, 10, "ETA", "F-1")
    s.line("SK-ETA-DUCT", (0.3, 10), (10, 10))
    s.line("SK-ETA-DUCT", (4, 10), (4, 13)), s.term(4, 13, "E-2 80 l/s", air="ETA")
    s.term(10, 10, "E-1 100 l/s", air="ETA")
    return s


@sheet
def marks():
    """Marks that repeat, and none at all."""
    s = Sheet("R2000", "mm")
    s.unit(0, 10, mark="U-1")
    s.line("SK-SUP-DUCT", (0.3, 10), (12, 10))
    for x, words in ((3, "A 50 l/s"), (6, "D-2 50 l/s"), (9, "50 l/s")):
        s.line("SK-SUP-DUCT", (x, 10), (x, 13))
        s.term(x, 13, words.replace("A ", "D-2 "))
    s.term(12, 10, "S-9 50 l/s")
    return s


@sheet
def leaders():
    """Notes that are led to what they are about, against what lies nearer."""
    s = Sheet("R2000", "mm")
    y = s.simple()
    s.line("SK-SUP-DUCT", (4, y), (4, y + 3)), s.term(4, y + 3, "S-2 50 l/s")
    s.text("SK-SUP-NOTE", (4.3, y + 1.5), "ø315")  # nearer to the branch, led to the main
    s.msp.add_leader([(6000, 1000 * y), (5200, 1000 * y + 1450), (4700, 1000 * y + 1550)], dxfattribs=s.on("SK-SUP-NOTE"))
    return s


@sheet
def ambiguous():
    s = Sheet("R2000", "mm")
    y = s.simple()
    s.line("SK-SUP-DUCT", (3, y), (3, y + 3)), s.term(3, y + 3, "S-2 50 l/s")
    s.line("SK-SUP-DUCT", (5, y), (5, y + 3)), s.term(5, y + 3, "S-3 50 l/s")
    # midway between two branches, whatever the width of its letters
    s.text("SK-SUP-NOTE", (4, y + 1.5), "ø315").set_placement((4000, 1000 * (y + 1.5)), align=ezdxf.enums.TextEntityAlignment.MIDDLE_CENTER)
    return s


@sheet
def retrofit():
    s = Sheet("R2004", "mm")
    s.unit(0, 10, mark="U-1", status="-EX")
    s.line("SK-SUP-DUCT-EX", (0.3, 10), (10, 10))
    s.text("SK-SUP-NOTE", (2, 10.2), "ø160")
    s.term(10, 10, "S-1 100 l/s", status="-EX")
    s.line("SK-SUP-DUCT", (5, 10), (5, 13)), s.term(5, 13, "S-2 60 l/s")
    s.line("SK-SUP-DUCT-REM", (7, 10), (7, 13)), s.term(7, 13, "S-3 70 l/s", status="-REM")
    s.text("SK-SUP-NOTE-REM", (7.1, 11.5), "ø125")
    s.line("SK-SUP-DUCT-FUT", (8, 10), (8, 7)), s.term(8, 7, "S-4 50 l/s", status="-FUT")
    return s


@sheet
def downstream():
    """Notes that hold downstream, and not upstream."""
    s = Sheet("R2000", "mm")
    s.unit(0, 10, mark="U-1")
    s.line("SK-SUP-DUCT", (0.3, 10), (12, 10))
    s.line("SK-SUP-DUCT", (4, 10), (4, 13)), s.term(4, 13, "S-2 100 l/s")
    s.line("SK-SUP-DUCT", (8, 10), (8, 13)), s.term(8, 13, "S-3 100 l/s")
    s.term(12, 10, "S-1 100 l/s")
    s.text("SK-SUP-NOTE", (5.5, 10.2), "rect H<=150")
    return s


@sheet
def two_airs():
    """Ducts of two airs that cross and end near each other have nothing to do with each other."""
    s = Sheet("R12", "mm")
    s.simple(), s.simple(air="ETA", words="E-1 100 l/s")
    s.line("SK-SUP-DUCT", (4, 10), (4, 25)), s.term(4, 25, "S-2 50 l/s")
    return s


@sheet
def sizing():
    """300 l/s from the unit, 100 off to a branch, 200 straight on. Sized by many settings."""
    s = Sheet("R2000", "mm")
    s.unit(0, 10, mark="U-1")
    s.line("SK-SUP-DUCT", (0.3, 10), (12, 10)), s.term(12, 10, "S-1 200 l/s")
    s.line("SK-SUP-DUCT", (4, 10), (4, 16)), s.term(4, 16, "S-2 100 l/s")
    return s


@sheet
def hangs():
    """Notes at a terminal, at a unit, and along an extract system."""
    s = Sheet("R2018", "inch")
    s.simple(words="E-1 200 cfm 0.05 in.wg", air="ETA", note="rect H<=8\"")
    y = s.simple(words="E-1 200 cfm", air="EHA")
    s.line("SK-EHA-DUCT", (4, y), (4, y - 3)), s.term(4, y - 3, "E-2 100 cfm", air="EHA")
    s.text("SK-EHA-UNIT", (-0.1, y - 0.6), "0.25 in.wg")
    return s


@sheet
def limits():
    """A beam, a ceiling and a rated wall across one duct."""
    s = Sheet("R2010", "mm")
    y = s.simple("ø250")  # centreline 3300: underside 3175
    s.box("SK-LIMIT", 2, y - 1, 2.5, y + 1), s.text("SK-LIMIT", (2.1, y + 0.7), "3350")  # the top of the duct is at 3425
    s.line("SK-RATED", (6, y - 1), (6, y + 1))
    y = s.simple("ø250")
    s.box("SK-LIMIT", 2, y - 1, 2.5, y + 1), s.text("SK-LIMIT", (2.1, y + 0.7), "BOD 3600")  # room enough
    return s


@sheet
def crossing():
    """Two airs cross at two levels: the lower one's walls are hidden under the upper one."""
    s = Sheet("R2000", "mm")
    s.simple("CL 3000"), s.simple(air="ETA", words="E-1 100 l/s", note="CL 4000")
    s.line("SK-SUP-DUCT", (4, 10, 3), (4, 25, 3)), s.term(4, 25, "S-2 50 l/s")
    return s


@sheet
def sides():
    """One side stays straight where the size changes: 450 to 250 wide, or 300 to 200 high."""
    s = Sheet("R2000", "mm")
    for first, then in (("450x250", "250x250"), ("450x250 flat left", "250x250 flat left"), ("450x250 flat right", "250x250 flat right"),
                        ("300x300 FOT", "300x200 FOT"), ("300x300 FOB", "300x200 FOB")):
        y = s.simple(first, at=(2, 0.2))
        s.line("SK-SUP-DUCT", (4, y), (4, y + 3)), s.term(4, y + 3, "S-2 50 l/s")
        s.text("SK-SUP-NOTE", (6, y + 0.2), then)
        s.text("SK-SUP-NOTE", (4.1, y + 1.5), "200x150")
    return s


def main():
    names = sys.argv[1:] or list(SHEETS)
    for name in names:
        SHEETS[name]().save(name)


if __name__ == "__main__":
    main()
