#!/usr/bin/python3
"""Draws the sketch of the reference sheet with ezdxf: every fitting, symbol, label and level
case once, as small systems in a grid, each with a unit and terminals. Millimetres.

Run it in its own folder: python3 make.py. It needs python3-ezdxf. The result is kept in the
repository; what the sheet looks like finished is seen with

    go run ./cmd/twinline draw testdata/plates/plates.dxf -o plates-ducts.dxf
"""
import math

import ezdxf
from ezdxf import units

CELL = (9600, 7500)  # width and height of a cell of the grid
COLUMNS = 6
TEXT = 125  # 2.5 mm at 1:50

cells = []


def cell(title):
    def add(fn):
        cells.append((title, fn))
        return fn
    return add


class Cell:
    """Draws in one cell; points are millimetres from its lower left corner."""

    def __init__(self, msp, doc, origin, number):
        self.msp, self.doc, self.o, self.n = msp, doc, origin, number
        self.units = self.terms = 0

    def at(self, p):
        return (self.o[0] + p[0] + 700, self.o[1] + p[1], p[2] if len(p) > 2 else 0)

    def layer(self, name, color=7):
        if name not in self.doc.layers:
            self.doc.layers.add(name, color=color)
        return {"layer": name}

    def unit(self, x, y, air="SUP", status="", w=600, h=600):
        self.units += 1
        pts = [self.at(p)[:2] for p in ((x - w / 2, y - h / 2), (x + w / 2, y - h / 2), (x + w / 2, y + h / 2), (x - w / 2, y + h / 2))]
        self.msp.add_lwpolyline(pts, close=True, dxfattribs=self.layer(f"SK-{air}-UNIT{status}"))
        self.text(f"SK-{air}-NOTE", (x - 200, y - 60), f"U{self.n}-{self.units}")

    def duct(self, *pts, air="SUP", status="", part="DUCT", notes=()):
        """A chain of lines; notes stand beside the first piece, one over the other."""
        for a, b in zip(pts, pts[1:]):
            self.msp.add_line(self.at(a), self.at(b), dxfattribs=self.layer(f"SK-{air}-{part}{status}"))
        if notes:
            self.note(pts[0], pts[1], " ".join(notes), air)

    def note(self, a, b, value, air="SUP", share=0.06):
        """A note on a piece, small and near its beginning where no lettering will stand."""
        x, y = a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])
        l = math.hypot(b[0] - a[0], b[1] - a[1]) or 1
        self.text(f"SK-{air}-NOTE", (x - 20 * (b[1] - a[1]) / l, y + 20 * (b[0] - a[0]) / l), value, 0.4)

    def term(self, x, y, flow, air="SUP", status="", el=None):
        self.terms += 1
        self.msp.add_circle(self.at((x, y)), 60, dxfattribs=self.layer(f"SK-{air}-TERM{status}"))
        value = f"{'S' if air == 'SUP' else 'E'}{self.n}-{self.terms} {flow} l/s" + (f" EL {el}" if el else "")
        self.text(f"SK-{air}-NOTE", (x + 10, y + 10), value, 0.2)

    def text(self, layer, p, value, k=1.0):
        self.msp.add_text(value, dxfattribs={**self.layer(layer), "height": k * TEXT, "insert": self.at(p)})


@cell("ROUND, RECTANGULAR AND FLAT OVAL DUCT")
def straight(c):
    for y, size in ((5200, "%%c400"), (3300, "500x250"), (1400, "550x250 oval")):
        c.unit(700, y)
        c.duct((1000, y), (7600, y), notes=[size])
        c.term(7600, y, 450)


@cell("SMOOTH ELBOWS, ROUND")
def elbows_round(c):
    for i, deg in enumerate((30, 60, 90, 120)):
        y = 700 + 1500 * i
        a = math.radians(deg)
        c.unit(700, y, h=500)
        end = (4200 + 1000 * math.cos(a), y + 1000 * math.sin(a))
        c.duct((1000, y), (4200, y), end, notes=["%%c200"])
        c.term(*end, 100)


@cell("SMOOTH ELBOWS, RECTANGULAR")
def elbows_rect(c):
    for y, x, deg, long in ((900, 5000, 45, 1500), (2900, 6800, 90, 1700), (5000, 4600, 120, 1700)):
        a = math.radians(deg)
        c.unit(700, y)
        end = (x + long * math.cos(a), y + long * math.sin(a))
        c.duct((1000, y), (x, y), end, notes=["400x250"])
        c.term(*end, 300)


@cell("MITRED ELBOWS WHERE THERE IS NO ROOM")
def elbows_tight(c):
    c.unit(700, 4800)
    c.duct((1000, 4800), (3500, 4800), (3500, 4180), (6500, 4180), notes=["500x250"])
    c.term(6500, 4180, 400)
    c.unit(700, 1800)
    c.duct((1000, 1800), (3500, 1800), (3500, 1480), (6500, 1480), notes=["%%c250"])
    c.term(6500, 1480, 200)


@cell("TAKEOFFS, ROUND, 45 60 90 135 DEGREES")
def takeoffs_round(c):
    c.unit(700, 3500)
    c.duct((1000, 3500), (7500, 3500), notes=["%%c400"])
    c.term(7500, 3500, 150)
    for x, deg in ((2200, 90), (3000, 45), (4300, -60), (6600, 135)):
        a = math.radians(deg)
        long = 1500 if deg == 135 else 2000
        end = (x + long * math.cos(a), 3500 + long * math.sin(a))
        c.duct((x, 3500), end)
        c.note((x, 3500), end, "%%c200", share=0.6)
        c.term(*end, 90)


@cell("TAKEOFFS, RECTANGULAR, AND ROUND FROM RECTANGULAR")
def takeoffs_rect(c):
    c.unit(700, 3500)
    c.duct((1000, 3500), (7500, 3500), notes=["600x300"])
    c.term(7500, 3500, 250)
    for x, dy, size in ((2800, 2200, "300x250"), (4400, -2200, "250x250"), (6200, 2200, "%%c200")):
        end = (x, 3500 + dy)
        c.duct((x, 3500), end)
        c.note((x, 3500), end, size, share=0.6)
        c.term(*end, 150)


@cell("WYE AND BULLHEAD TEE")
def splits(c):
    c.unit(700, 5000)
    c.duct((1000, 5000), (3200, 5000), notes=["%%c315"])
    for s in (1, -1):
        end = (5600, 5000 + s * 1400)
        c.duct((3200, 5000), end)
        c.note((3200, 5000), end, "%%c250", share=0.6)
        c.term(*end, 130)
    c.unit(700, 1700)
    c.duct((1000, 1700), (4000, 1700), notes=["500x250"])
    for s in (1, -1):
        end = (4000, 1700 + s * 1300)
        c.duct((4000, 1700), end)
        c.note((4000, 1700), end, "300x250", share=0.7)
        c.term(*end, 200)


@cell("CROSS")
def cross(c):
    for y, main, side in ((5000, "%%c400", "%%c200"), (1900, "500x250", "250x250")):
        c.unit(700, y)
        c.duct((1000, y), (7800, y), notes=[main])
        c.term(7800, y, 250)
        for s in (1, -1):
            end = (4200, y + s * 1200)
            c.duct((4200, y), end)
            c.note((4200, y), end, side, share=0.7)
            c.term(*end, 120)


@cell("SIZE CHANGES: CENTRED, FLAT LEFT, FLAT RIGHT, FLAT ON TOP")
def reducers(c):
    for y, word in ((6000, ""), (4500, "flat left"), (3000, "flat right"), (1500, "FOT")):
        c.unit(700, y)
        c.duct((1000, y), (4200, y), notes=["600x300"])
        c.duct((4200, y), (7800, y), notes=["350x250", word])
        c.term(7800, y, 300)


@cell("CHANGES OF SHAPE; EXPANSION IN EXTRACT AIR")
def shapes(c):
    for y, a, b in ((6000, "600x250", "%%c315"), (4500, "%%c315", "500x200 oval")):
        c.unit(700, y)
        c.duct((1000, y), (4200, y), notes=[a])
        c.duct((4200, y), (7800, y), notes=[b])
        c.term(7800, y, 250)
    c.unit(700, 2200, "ETA")
    c.duct((1000, 2200), (4200, 2200), air="ETA", notes=["%%c400"])
    c.duct((4200, 2200), (7800, 2200), air="ETA", notes=["%%c250"])
    c.term(7800, 2200, 200, "ETA")


@cell("DROPS AND RISES, SUPPLY")
def drops(c):
    for y, size, el in ((5800, "%%c250", "2.7m"), (4200, "400x200", "2.7m"), (2600, "%%c250", "3.9m"), (1000, "400x200", "3.9m")):
        c.unit(700, y)
        c.duct((1000, y), (5500, y), notes=[size])
        c.term(5500, y, 200, el=el)


@cell("DROPS AND RISES, EXTRACT")
def drops_extract(c):
    for y, size, el in ((5800, "%%c250", "2.7m"), (4200, "400x200", "2.7m"), (2600, "%%c250", "3.9m"), (1000, "400x200", "3.9m")):
        c.unit(700, y, "ETA")
        c.duct((1000, y), (5500, y), air="ETA", notes=[size])
        c.term(5500, y, 200, "ETA", el=el)


@cell("CHANGES OF LEVEL: RISER, SLOPE, FALL")
def levels(c):
    c.unit(700, 5800)
    c.duct((1000, 5800, 3000), (4000, 5800, 3000), notes=["%%c315"])
    c.duct((4000, 5800, 3600), (7800, 5800, 3600), notes=["%%c315"])
    c.term(7800, 5800, 250)
    c.unit(700, 4100)
    c.duct((1000, 4100, 3000), (3200, 4100, 3000), (5200, 4100, 3800), (7800, 4100, 3800), notes=["500x250"])
    c.term(7800, 4100, 300)
    c.unit(700, 2600)
    c.duct((1000, 2600, 3600), (4000, 2600, 3600), notes=["500x250"])
    c.duct((4000, 2600, 2700), (4000, 500, 2700), (7800, 500, 2700), notes=["500x250"])
    c.term(7800, 500, 300, el="2.4m")


@cell("DUCTS OVER AND UNDER EACH OTHER")
def crossings(c):
    c.unit(700, 3800)
    c.duct((1000, 3800, 3000), (8000, 3800, 3000), notes=["600x300"])
    c.term(8000, 3800, 450)
    c.unit(3000, 6300, "ETA")
    c.duct((3000, 6000, 3500), (3000, 1400, 3500), air="ETA", notes=["%%c315"])
    c.term(3000, 1400, 200, "ETA")
    c.unit(5600, 6300, "EHA")
    c.duct((5600, 6000, 2600), (5600, 1400, 2600), air="EHA", notes=["400x200"])
    c.term(5600, 1400, 200, "EHA", el="2.2m")


@cell("FLEXIBLE DUCT: STRAIGHT, BENT, FROM A MAIN, FROM THE SIDE")
def flexible(c):
    c.unit(700, 4600)
    c.duct((1000, 4600), (7000, 4600))
    c.duct((7000, 4600), (8000, 4600), part="FLEX")
    c.term(8000, 4600, 80)
    c.duct((2600, 4600), (2600, 5900), part="FLEX")
    c.term(2600, 5900, 45)
    c.duct((4200, 4600), (4200, 5400))
    c.duct((4200, 5400), (4300, 5700), (5100, 6000), part="FLEX")
    c.term(5100, 6000, 45)
    c.duct((5600, 4600), (5600, 3600))
    c.duct((5600, 3600), (5600, 2700), (6300, 2400), part="FLEX")
    c.term(6600, 2400, 45)


@cell("LINED, INSULATED, ELEVATION OF THE BOTTOM AND TOP")
def covers(c):
    for y, note in ((5800, "500x250 lined 25"), (4200, "%%c315 insul 50"), (2600, "500x250 BOD +3.00m"), (1000, "500x250 TOD +3.60m")):
        c.unit(700, y)
        c.duct((1000, y), (7600, y), notes=[note])
        c.term(7600, y, 250)


@cell("NARROW DUCT AMONG THE TEXTS OF OTHERS")
def narrow(c):
    c.unit(700, 4200)
    c.duct((1000, 4200), (3600, 4200), (3600, 1400), (7600, 1400), notes=["%%c125"])
    c.term(7600, 1400, 40)
    for x, y in ((1500, 4330), (1500, 3950), (4300, 1530), (5800, 1100)):
        c.text("A-ROOM", (x, y), "STORE 1.24")
    for y in (1700, 2300, 2900, 3500):
        c.text("A-ROOM", (3750, y), "LOBBY")


@cell("DRAWN SINGLE-LINE")
def single(c):
    c.unit(700, 3500)
    c.duct((1000, 3500), (5000, 3500), notes=["%%c315"])
    c.duct((5000, 3500), (7600, 3500), (7600, 5400), notes=["%%c160 single"])
    c.term(7600, 5400, 50)
    c.duct((3200, 3500), (3200, 1500))
    c.note((3200, 3500), (3200, 1500), "%%c160 single", share=0.6)
    c.term(3200, 1500, 50)


@cell("EXISTING, NEW, REMOVED AND FUTURE WORK")
def status(c):
    c.unit(700, 4200, status="-EX")
    c.duct((1000, 4200), (7800, 4200), status="-EX", notes=["500x250"])
    c.note((2600, 4200), (4600, 4200), "500x250", share=0.3)
    c.note((4600, 4200), (7800, 4200), "400x250", share=0.3)
    c.term(7800, 4200, 200, status="-EX")
    c.duct((2600, 4200), (2600, 6000))
    c.note((2600, 4200), (2600, 6000), "%%c200", share=0.6)
    c.term(2600, 6000, 90)
    c.duct((4600, 4200), (4600, 6000), status="-FUT")
    c.note((4600, 4200), (4600, 6000), "%%c200", share=0.6)
    c.term(4600, 6000, 90, status="-FUT")
    c.duct((3600, 1300), (6400, 1300), (6400, 2600), status="-REM", notes=["%%c250"])


@cell("SUPPLY, EXTRACT, EXHAUST, OUTDOOR, RECIRCULATION, TRANSFER AIR")
def airs(c):
    for i, air in enumerate(("SUP", "ETA", "EHA", "ODA", "RCA", "TRA")):
        y = 6100 - 1100 * i
        c.unit(700, y, air, h=500)
        c.duct((1000, y), (6200, y), air=air, notes=["%%c250"])
        c.term(6200, y, 150, air)


@cell("CURVED RUN, END CAP, BOX IN THE MIDDLE")
def others(c):
    c.unit(700, 5200)
    c.duct((1000, 5200), (3000, 5200), notes=["400x250"])
    c.msp.add_arc(c.at((3000, 3200)), 2000, 0, 90, dxfattribs=c.layer("SK-SUP-DUCT"))
    c.duct((5000, 3200), (5000, 2700))
    c.term(5000, 2700, 250)
    c.unit(700, 1200)
    c.duct((1000, 1200), (3200, 1200), notes=["%%c250"])
    c.unit(3500, 1200)
    c.duct((3800, 1200), (8000, 1200), notes=["%%c250"])
    c.duct((6500, 1200), (6500, 2100))
    c.note((6500, 1200), (6500, 2100), "%%c160", share=0.7)
    c.term(6500, 2100, 60)


@cell("RATED WALL, BEAM AND CEILING; A LONG RUN LETTERED AGAIN")
def limits(c):
    c.unit(700, 4800)
    c.duct((1000, 4800), (8000, 4800), notes=["600x300"])
    c.term(8000, 4800, 450)
    c.msp.add_line(c.at((4000, 3900)), c.at((4000, 5700)), dxfattribs=c.layer("SK-RATED", 1))
    c.msp.add_lwpolyline([c.at(p)[:2] for p in ((5600, 3900), (6000, 3900), (6000, 5700), (5600, 5700))], close=True, dxfattribs=c.layer("SK-LIMIT", 8))
    c.text("SK-LIMIT", (5650, 4000), "EL 3.40m", 0.4)
    c.unit(700, 600)
    c.duct((1000, 600), (8300, 600), (8300, 2400), (1000, 2400), (1000, 3300), (6000, 3300), notes=["%%c250"])
    c.term(6000, 3300, 150)


@cell("NECKS OF ANOTHER SIZE OR SHAPE THAN THE DUCT")
def necks(c):
    for name, w, h in (("PLATE-BOX", 600, 600), ("PLATE-GRILLE", 150, 700)):
        block = c.doc.blocks.new(name)
        block.add_lwpolyline([(-w / 2, -h / 2), (w / 2, -h / 2), (w / 2, h / 2), (-w / 2, h / 2)], close=True)
    for i, (box, size, grille) in enumerate((("500x300", "400x200", "600x150"), ("%%c250", "%%c315", "400x200"), ("450x250", "%%c315", "%%c200"))):
        y = 5400 - 2200 * i
        for name, x, part, tags in (("PLATE-BOX", 700, "UNIT", {"MARK": f"U{c.n}-{i + 1}", "NECK": box}),
                                    ("PLATE-GRILLE", 7200, "TERM", {"MARK": f"S{c.n}-{i + 1}", "NECK": grille, "FLOW": "250 l/s", "EL": "3.3 m"})):
            ref = c.msp.add_blockref(name, c.at((x, y)), dxfattribs=c.layer(f"SK-SUP-{part}"))
            for k, (tag, value) in enumerate(tags.items()):
                ref.add_attrib(tag, value, c.at((x - 40, y - 40 * k)), dxfattribs={"height": 25, "layer": f"SK-SUP-{part}"})
        c.duct((1000, y), (7200, y), notes=[size])


@cell("RATED WALLS: NOTHING SAID, FIRE, SMOKE, BOTH")
def rated(c):
    for i, note in enumerate(("", "fire", "smoke", "EI 60 S")):
        y = 6000 - 1600 * i
        c.unit(700, y)
        c.duct((1000, y), (7200, y), notes=["500x300" if i % 2 else "%%c400"])
        c.term(7200, y, 300)
        c.msp.add_line(c.at((3600, y - 550)), c.at((3600, y + 550)), dxfattribs=c.layer("SK-RATED", 1))
        if note:
            c.text("SK-RATED", (3450 - 60 * len(note), y - 520), note, 0.5)


@cell("BOX WITH NECKS, WYE WITH UNLIKE LEGS, BRANCHES FROM ONE PLACE")
def joints(c):
    c.unit(700, 6000)
    c.duct((1000, 6000), (3300, 6000), notes=["500x250"])
    ref = c.msp.add_blockref("PLATE-BOX", c.at((3600, 6000)), dxfattribs=c.layer("SK-SUP-UNIT"))
    for k, (tag, value) in enumerate({"MARK": f"B{c.n}-1", "NECK": "300x250"}.items()):
        ref.add_attrib(tag, value, c.at((3560, 6000 - 40 * k)), dxfattribs={"height": 25, "layer": "SK-SUP-UNIT"})
    c.duct((3900, 6000), (7600, 6000), notes=["400x250"])
    c.term(7600, 6000, 250)
    c.unit(700, 4200)
    c.duct((1000, 4200), (3000, 4200), notes=["%%c315"])
    for end, size, flow in (((5800, 5100), "%%c250", 130), ((4500, 3600), "%%c160", 45)):
        c.duct((3000, 4200), end)
        c.note((3000, 4200), end, size, share=0.6)
        c.term(*end, flow)
    c.unit(700, 800)
    c.duct((1000, 800), (7600, 800), notes=["500x250"])
    c.term(7600, 800, 200)
    for end in ((3000, 2300), (4500, 2300)):
        c.duct((3000, 800), end)
        c.note((3000, 800), end, "%%c200", share=0.6)
        c.term(*end, 90)


def main():
    doc = ezdxf.new("R2010", setup=False)
    doc.header["$INSUNITS"] = units.MM
    doc.header["$MEASUREMENT"] = 1
    doc.header["$TDCREATE"] = doc.header["$TDUPDATE"] = 2461000.5
    msp = doc.modelspace()
    doc.layers.add("SHEET", color=8)
    w, h = CELL
    for i, (title, draw) in enumerate(cells):
        x, y = i % COLUMNS * w, -(i // COLUMNS) * h
        msp.add_lwpolyline([(x, y), (x + w, y), (x + w, y + h), (x, y + h)], close=True, dxfattribs={"layer": "SHEET"})
        msp.add_text(f"{i + 1}  {title}", dxfattribs={"layer": "SHEET", "height": 140, "insert": (x + 200, y + h - 330)})
        draw(Cell(msp, doc, (x, y), i + 1))
    doc.saveas("plates.dxf")


main()
