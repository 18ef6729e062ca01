#!/usr/bin/python3
"""Draws the demonstration sketches with ezdxf, a DXF library nobody here wrote.

Run it in its own folder: python3 make.py. It needs python3-ezdxf. The results are kept in
the repository; run it again only to change a scenario.
"""
import ezdxf
from ezdxf import units

FLOORS = {}


def floor(fn):
    FLOORS[fn.__name__] = fn
    return fn


def new(version, insunits):
    doc = ezdxf.new(version, setup=False)
    if version != "R12":
        doc.header["$INSUNITS"] = insunits
        doc.header["$MEASUREMENT"] = 0 if insunits in (units.IN, units.FT) else 1
        doc.header["$TDCREATE"] = doc.header["$TDUPDATE"] = 2461000.5
    if insunits == units.IN and version != "R12":
        # A sheet of 17 x 11 in: without one, LibreCAD takes millimetres for inches and plots hairlines.
        doc.layout().dxf.limmin, doc.layout().dxf.limmax = (0, 0), (17, 11)
    return doc


class Pen:
    """Draws on one layer after another; sizes in drawing units."""

    def __init__(self, doc, text):
        self.doc, self.msp, self.height = doc, doc.modelspace(), text

    def on(self, layer, color=7):
        if layer not in self.doc.layers:
            self.doc.layers.add(layer, color=color)
        return {"layer": layer}

    def line(self, layer, *pts):
        """One LINE for each piece."""
        for a, b in zip(pts, pts[1:]):
            self.msp.add_line(a, b, dxfattribs=self.on(layer))

    def poly(self, layer, *pts, close=False):
        if self.doc.dxfversion == "AC1009":
            self.msp.add_polyline2d(pts, close=close, dxfattribs=self.on(layer))
        else:
            self.msp.add_lwpolyline(pts, close=close, dxfattribs=self.on(layer))

    def box(self, layer, x0, y0, x1, y1):
        self.poly(layer, (x0, y0), (x1, y0), (x1, y1), (x0, y1), close=True)

    def text(self, layer, at, value, k=1.0):
        self.msp.add_text(value, dxfattribs={**self.on(layer), "height": k * self.height, "insert": at})

    def mtext(self, layer, at, value):
        self.msp.add_mtext(value, dxfattribs={**self.on(layer), "char_height": self.height, "insert": at})

    def circle(self, layer, at, r):
        self.msp.add_circle(at, r, dxfattribs=self.on(layer))

    def room(self, x0, y0, x1, y1, name, door=None, t=None):
        """A room: inner faces of its walls, its name, a door swing."""
        t = t or self.height * 0.9
        self.box("A-WALL", x0 + t / 2, y0 + t / 2, x1 - t / 2, y1 - t / 2)
        self.text("A-ROOM", (x0 + 2 * t, y1 - 3.2 * t), name, 1.1)
        if door:
            x, y, r = door
            self.msp.add_arc((x, y), r, 0, 90, dxfattribs=self.on("A-DOOR"))
            self.msp.add_line((x, y), (x, y + r), dxfattribs=self.on("A-DOOR"))


def diffuser(doc, name, side):
    """A block for an air terminal with the attributes of the convention."""
    b = doc.blocks.new(name)
    h = side / 2
    b.add_lwpolyline([(-h, -h), (h, -h), (h, h), (-h, h)], close=True)
    b.add_lwpolyline([(-h * 0.6, -h * 0.6), (h * 0.6, -h * 0.6), (h * 0.6, h * 0.6), (-h * 0.6, h * 0.6)], close=True)
    for i, tag in enumerate(("MARK", "FLOW", "EL", "NECK", "CONN", "DP")):
        b.add_attdef(tag, (h * 1.1, h - i * side * 0.2), dxfattribs={"height": side * 0.15, "flags": 1})
    return b


def unit_block(doc, name, w, h):
    b = doc.blocks.new(name)
    b.add_lwpolyline([(-w / 2, -h / 2), (w / 2, -h / 2), (w / 2, h / 2), (-w / 2, h / 2)], close=True)
    b.add_line((-w / 2, -h / 2), (w / 2, h / 2))
    for i, tag in enumerate(("MARK", "FLOW", "ESP", "DP")):
        b.add_attdef(tag, (-w / 2, -h / 2 - (i + 1) * h * 0.3), dxfattribs={"height": h * 0.2, "flags": 1})
    return b


def place(pen, layer, block, at, **attribs):
    ref = pen.msp.add_blockref(block, at, dxfattribs=pen.on(layer))
    ref.add_auto_attribs({k.upper(): v for k, v in attribs.items()})
    return ref


@floor
def clinic():
    """A veterinary clinic in inches: a terminal box, seven rooms, supply by attributes,
    a rectangular main under a height limit, extract above it."""
    doc = new("R2010", units.IN)
    pen = Pen(doc, 6)
    rooms = [
        (0, 240, 216, 432, "RECEPTION"), (216, 240, 372, 432, "CONSULTING 1"), (372, 240, 528, 432, "CONSULTING 2"),
        (528, 240, 720, 432, "PHARMACY"), (0, 0, 216, 192, "SURGERY"), (216, 0, 420, 192, "RECOVERY"), (420, 0, 720, 192, "KENNELS"),
    ]
    for x0, y0, x1, y1, name in rooms:
        pen.room(x0, y0, x1, y1, name, door=((x0 + x1) / 2, 240 if y0 else 192 - 36, 36), t=5)
    pen.box("A-WALL", 2, 194, 718, 238)
    pen.text("A-ROOM", (570, 198), "CORRIDOR", 0.9)
    diffuser(doc, "DIFF-24", 24)
    unit_block(doc, "BOX", 40, 28)

    place(pen, "SK-SUP-UNIT", "BOX", (36, 212), mark="TB-1", esp="0.35 in.wg")
    pen.line("SK-SUP-DUCT", (56, 212), (470, 212))
    pen.line("SK-SUP-DUCT", (470, 212), (626, 212), (626, 300))
    pen.text("SK-SUP-NOTE", (60, 218), 'rect H<=10"')
    for x, y0, y1, y2, mark, cfm, neck in [
        (160, 212, 290, 330, "S-101", "320 cfm", '10"'), (300, 212, 290, 330, "S-102", "180 cfm", '8"'),
        (444, 212, 290, 330, "S-103", "180 cfm", '8"'), (124, 212, 130, 90, "S-105", "380 cfm", '10"'),
        (318, 212, 130, 90, "S-106", "240 cfm", '8"'), (540, 212, 130, 90, "S-107", "360 cfm", '10"'),
    ]:
        pen.line("SK-SUP-DUCT", (x, y0), (x, y1))
        pen.text("SK-SUP-NOTE", (x + 5, y1 + (-28 if y1 > y0 else 20)), "round")
        pen.line("SK-SUP-FLEX", (x, y1), (x, y2))
        place(pen, "SK-SUP-TERM", "DIFF-24", (x, y2), mark=mark, flow=cfm, el="9'-0\"", neck=neck, conn="TOP", dp="0.05 in.wg")
    pen.text("SK-SUP-NOTE", (632, 280), "round")
    pen.line("SK-SUP-FLEX", (626, 300), (626, 340))
    place(pen, "SK-SUP-TERM", "DIFF-24", (626, 340), mark="S-104", flow="150 cfm", el="9'-0\"", neck='8"', conn="TOP", dp="0.05 in.wg")

    # Extract runs above the supply, from three rooms to a shaft.
    pen.box("SK-ETA-UNIT", 690, 196, 716, 236)
    pen.text("SK-ETA-NOTE", (692, 240), "SH-1")
    pen.line("SK-ETA-DUCT", (690, 228), (180, 228), (180, 60))
    pen.text("SK-ETA-NOTE", (430, 231), "CL 12'-6\"")
    pen.text("SK-ETA-NOTE", (184, 150), "CL 12'-6\"")
    pen.line("SK-ETA-DUCT", (360, 228), (360, 60))
    pen.text("SK-ETA-NOTE", (364, 140), "CL 12'-6\"")
    pen.line("SK-ETA-DUCT", (636, 228), (636, 60))
    pen.text("SK-ETA-NOTE", (640, 140), "CL 12'-6\"")
    for x, mark, cfm in [(180, "E-105", "420 cfm"), (360, "E-106", "220 cfm"), (636, "E-107", "400 cfm")]:
        place(pen, "SK-ETA-TERM", "DIFF-24", (x, 60), mark=mark, flow=cfm, el="9'-0\"", neck='10"', conn="TOP", dp="0.04 in.wg")
    return doc


@floor
def library():
    """A village library in millimetres: lines, circles and plain texts alone, R12."""
    doc = new("R12", 0)
    pen = Pen(doc, 150)
    for x0, y0, x1, y1, name in [
        (0, 0, 7000, 6000, "READING ROOM"), (7000, 0, 12000, 6000, "CHILDREN"), (12000, 0, 16000, 6000, "STORE"),
        (0, 7600, 6000, 12000, "OFFICE"), (6000, 7600, 16000, 12000, "HALL"),
    ]:
        pen.room(x0, y0, x1, y1, name, door=((x0 + x1) / 2, y0 + 100, 900), t=150)
    pen.circle("SK-SUP-UNIT", (900, 6800), 350)
    pen.text("SK-SUP-UNIT", (500, 7250), "AHU-1")
    pen.text("SK-SUP-UNIT", (1300, 7250), "120 Pa")
    main = "SK-SUP-DUCT"
    pen.line(main, (1250, 6800), (14000, 6800), (14000, 3000))
    pen.line(main, (3500, 6800), (3500, 3000))
    pen.line(main, (9500, 6800), (9500, 3000))
    pen.line(main, (3000, 6800), (3000, 9800))
    pen.line(main, (8500, 6800), (8500, 9800))
    pen.line(main, (12500, 6800), (12500, 9800))
    for x, y, mark, flow in [
        (3500, 3000, "S1", "300 m3/h"), (9500, 3000, "S2", "250 m3/h"), (14000, 3000, "S3", "90 m3/h"),
        (3000, 9800, "S4", "150 m3/h"), (8500, 9800, "S5", "350 m3/h"), (12500, 9800, "S6", "350 m3/h"),
    ]:
        pen.circle("SK-SUP-TERM", (x, y), 150)
        pen.text("SK-SUP-TERM", (x + 400, y + 60), mark)
        pen.text("SK-SUP-TERM", (x + 400, y - 180), flow)
    pen.text("SK-SUP-NOTE", (2000, 6900), "CL 3300")
    return doc


@floor
def workshop():
    """A workshop refit in millimetres: existing, new and removed supply, new exhaust."""
    doc = new("R2018", units.MM)
    pen = Pen(doc, 160)
    for x0, y0, x1, y1, name in [
        (0, 0, 10000, 8000, "MACHINE HALL"), (10000, 0, 16000, 8000, "ASSEMBLY"), (0, 8000, 6000, 12000, "OFFICE"),
        (6000, 8000, 16000, 12000, "FINISHING"),
    ]:
        pen.room(x0, y0, x1, y1, name, t=200)
    diffuser(doc, "GRILLE", 500)
    unit_block(doc, "FAN", 900, 700)
    # What is there: a fan, a main and two grilles that stay; one branch goes.
    place(pen, "SK-SUP-UNIT-EX", "FAN", (900, 6000), mark="AHU-2", esp="220 Pa")
    pen.line("SK-SUP-DUCT-EX", (1350, 6000), (9000, 6000), (9000, 2500))
    pen.mtext("SK-SUP-NOTE", (2100, 6400), "600x300")
    pen.mtext("SK-SUP-NOTE", (3500, 6350), "600x300")
    pen.text("SK-SUP-NOTE", (9150, 4300), "%%c250")
    pen.line("SK-SUP-DUCT-EX", (3000, 6000), (3000, 2500))
    pen.text("SK-SUP-NOTE", (3150, 4200), "%%c250")
    place(pen, "SK-SUP-TERM-EX", "GRILLE", (3000, 2500), mark="G1", flow="120 L/s", el="3000", neck="250 dia", dp="18 Pa")
    place(pen, "SK-SUP-TERM-EX", "GRILLE", (9000, 2500), mark="G2", flow="150 L/s", el="3000", neck="250 dia", dp="18 Pa")
    pen.line("SK-SUP-DUCT-REM", (5000, 6000), (5000, 2500))
    pen.text("SK-SUP-NOTE", (5150, 4200), "%%c250")
    place(pen, "SK-SUP-TERM-REM", "GRILLE", (5000, 2500), mark="G3", flow="120 L/s", el="3000")
    # New: two branches on the existing main.
    pen.poly("SK-SUP-DUCT", (7000, 6000), (7000, 10000), (13000, 10000))
    pen.text("SK-SUP-NOTE", (7150, 7300), "rect H<=250")
    place(pen, "SK-SUP-TERM", "GRILLE", (13000, 10000), mark="G4", flow="160 L/s", el="3000", neck="250 dia", dp="18 Pa")
    pen.line("SK-SUP-DUCT", (10000, 10000), (10000, 9000))
    place(pen, "SK-SUP-TERM", "GRILLE", (10000, 9000), mark="G5", flow="100 L/s", el="3000", neck="200 dia", dp="18 Pa")
    pen.line("SK-SUP-DUCT", (9000, 6000), (13500, 6000))
    pen.line("SK-SUP-FLEX", (13500, 6000), (14300, 6000))
    place(pen, "SK-SUP-TERM", "GRILLE", (14300, 6000), mark="G6", flow="140 L/s", el="3000", neck="250 dia", dp="18 Pa")
    # Exhaust from three machines, above the supply.
    place(pen, "SK-EHA-UNIT", "FAN", (15200, 1200), mark="EF-1", esp="300 Pa")
    pen.line("SK-EHA-DUCT", (14750, 1200), (2000, 1200))
    pen.text("SK-EHA-NOTE", (8000, 1300), "CL 3800")
    for x, mark in [(5800, "X2"), (11300, "X3")]:
        pen.line("SK-EHA-DUCT", (x, 1200), (x - 1500, 2700), (x - 1500, 7000))
        pen.text("SK-EHA-NOTE", (x - 1380, 3600), "CL 3800")
        pen.text("SK-EHA-NOTE", (x - 600, 2000), "CL 3800")
        pen.circle("SK-EHA-TERM", (x - 1500, 7000), 200)
        pen.text("SK-EHA-TERM", (x - 2600, 7450), mark + " 180 L/s 40 Pa")
    pen.circle("SK-EHA-TERM", (2000, 1200), 200)
    pen.text("SK-EHA-TERM", (1300, 1700), "X1 180 L/s 40 Pa")
    return doc


@floor
def townhall():
    """A town hall floor in millimetres: an air-handling unit feeds three in-line boxes."""
    doc = new("R2000", units.MM)
    pen = Pen(doc, 150)
    for i, name in enumerate(["REGISTRY", "COUNCIL", "PLANNING", "ARCHIVE"]):
        pen.room(6000 * i, 0, 6000 * i + 6000, 7000, name, t=150)
    for i, name in enumerate(["PLANT", "FOYER", "PRESS", "MAYOR"]):
        pen.room(6000 * i, 9500, 6000 * i + 6000, 15000, name, t=150)
    unit_block(doc, "AHU", 2400, 1400)
    diffuser(doc, "DIFF-600", 600)
    place(pen, "SK-SUP-UNIT", "AHU", (2000, 12000), mark="AHU-3", esp="400 Pa")
    pen.poly("SK-SUP-DUCT", (3200, 12000), (4500, 12000), (4500, 8250), (20500, 8250), (20500, 6800))
    pen.text("SK-SUP-NOTE", (5000, 8350), "rect H<=350")
    pen.line("SK-SUP-DUCT", (8000, 8250), (8000, 6800))
    pen.line("SK-SUP-DUCT", (13500, 8250), (13500, 9900))

    def box(x, y, mark, up):
        pen.box("SK-SUP-UNIT", x - 300, y - 500, x + 300, y + 500)
        pen.text("SK-SUP-UNIT", (x + 400, y + (250 if up else -350)), mark)
        pen.text("SK-SUP-UNIT", (x + 400, y + (0 if up else -100)), "60 Pa")

    n = 0
    for x, y, mark, side in [(8000, 6300, "TB-1", -1), (20500, 6300, "TB-2", -1), (13500, 10400, "TB-3", 1)]:
        box(x, y, mark, side > 0)
        y0 = y + side * 500
        y1 = y + side * (3200 if side < 0 else 2800)
        pen.line("SK-SUP-DUCT", (x, y0), (x, y1))
        pen.text("SK-SUP-NOTE", (x + 120, y0 + side * 600 - 60), "round")
        pen.line("SK-SUP-DUCT", (x, y1), (x - 2500, y1))
        pen.line("SK-SUP-DUCT", (x, y1), (x + 2000, y1))
        pen.line("SK-SUP-DUCT", (x, y0 + side * 1300), (x + 2000, y0 + side * 1300))
        for tx, ty, flow in [(x - 2500, y1, "130 L/s"), (x + 2000, y1, "90 L/s"), (x + 2000, y0 + side * 1300, "70 L/s")]:
            n += 1
            dx = 900 if tx > x else -900
            pen.line("SK-SUP-FLEX", (tx, ty), (tx + dx, ty))
            place(pen, "SK-SUP-TERM", "DIFF-600", (tx + dx, ty), mark="D" if n % 3 else f"D-{n}", flow=flow, el="2700", neck="160 dia" if flow != "130 L/s" else "200 dia", dp="15 Pa")
    return doc


if __name__ == "__main__":
    import pathlib
    for name, fn in FLOORS.items():
        doc = fn()
        path = pathlib.Path(name + ".dxf")
        if name == "library":
            path = pathlib.Path("library") / path
            path.parent.mkdir(exist_ok=True)
        doc.saveas(path)
        print(path)
