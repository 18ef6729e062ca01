#!/usr/bin/python3
"""Makes the drawings read_*.dxf and page_*.dxf, and read.json: what ezdxf (python3-ezdxf) sees in each, taken apart
down to world coordinates by its own means. Run it in this folder. The drawings hold every kind of entity that is read:
in model space, in nested, turned, mirrored, stretched and repeated blocks, upside down, and on a sheet."""
import json
import math
import pathlib

import ezdxf
from ezdxf import path as paths
from ezdxf.math import Matrix44, Vec3

ezdxf.options.write_fixed_meta_data_for_testing = True
HERE = pathlib.Path(__file__).parent
DUCT, TERM, UNIT, NOTE = "SK-SUP-DUCT", "SK-SUP-TERM", "SK-SUP-UNIT", "SK-SUP-NOTE"


def bulged(space, points, closed=False, **attribs):
    """A 2D polyline with bulges: LWPOLYLINE where the version has it."""
    if space.doc.dxfversion == "AC1009":
        space.add_polyline2d(points, format="xyb", close=closed, dxfattribs=attribs)
    else:
        space.add_lwpolyline(points, format="xyb", close=closed, dxfattribs=attribs)


def plain(space):
    """Entities of every kind, some of them upside down or leaning."""
    on = {"layer": DUCT}
    under = {"layer": DUCT, "extrusion": (0, 0, -1)}
    lean = {"layer": DUCT, "extrusion": (0.3, -0.2, 0.8)}
    space.add_line((0, 0, 3300), (4000, 0, 3300), dxfattribs=on)
    space.add_line((0, 0, 0), (1000, 500, 250), dxfattribs=under)
    space.add_arc((4000, 500, 3300), 500, 270, 0, dxfattribs=on)
    space.add_arc((-4000, 500, -3300), 500, 300, 30, dxfattribs=under)
    space.add_arc((100, 200, 300), 700, 10, 200, dxfattribs=lean)
    space.add_circle((4500, 2500, 2700), 150, dxfattribs={"layer": TERM})
    space.add_circle((-4500, 2500, -2700), 150, dxfattribs={"layer": TERM, "extrusion": (0, 0, -1)})
    space.add_point((4500, 3500, 2700), dxfattribs={"layer": TERM})
    bulged(space, [(0, 1000, 0), (1000, 1000, 1), (1000, 2000, 0), (0, 2000, -0.3)], closed=True, layer=UNIT)
    bulged(space, [(0, 1000, 0.5), (1000, 1000, 0), (1500, 1200, 0)], **under)
    bulged(space, [(0, 1000, 0.5), (1000, 1000, 0), (1500, 1200, 0)], **lean)
    space.add_polyline3d([(0, 0, 0), (1000, 0, 500), (1000, 1000, 1000)], dxfattribs=on)
    if space.doc.dxfversion != "AC1009":
        space.add_ellipse((9000, 0, 0), (1000, 200, 0), 0.4, 0.5, 4.0, dxfattribs=on)
        space.add_open_spline([(0, 0, 0), (500, 800, 0), (1500, -800, 300), (2000, 0, 300), (2600, 400, 0)], dxfattribs=on)
        space.add_rational_spline([(0, 0, 0), (500, 800, 0), (1500, -800, 0), (2000, 0, 0)], [1, 3, 0.5, 1], dxfattribs=on)


def letters(space):
    on = {"layer": NOTE, "height": 150}
    for k, value in enumerate(["S-101 %%c250 20%%d %%p5", "%%uTB-4%%u 220 cfm", "Ø315 380 m³/h", "a^ b"]):
        space.add_text(value, dxfattribs=dict(on, insert=(0, -300 * k)))
    space.add_text("turned 10x8", dxfattribs=dict(on, insert=(100, 100, 50), rotation=30))
    if space.doc.dxfversion == "AC1009":
        return
    mtext = {"layer": NOTE, "char_height": 150, "insert": (5000, 5000)}
    for value in [r"{\fArial|b0|i0;S-102}\P105 L/s", r"\A1;ø250 new", r"10 \S1/2; in", r"\H0.7x;E2\H1.4x; {\C1;60 L/s}", r"a\\b \{c\}",
                  r"{\W0.8;\Q15;\T1.5;TB-7} \Lunder\l \Oover\o \Kthrough\k", "x" * 600 + r"\Pend"]:
        space.add_mtext(value, dxfattribs=mtext)


def blocks(doc):
    """TERMINAL inside FLOOR inside SITE."""
    terminal = doc.blocks.new("TERMINAL", base_point=(300, 300))
    terminal.add_lwpolyline([(0, 0), (600, 0), (600, 600), (0, 600)], close=True) if doc.dxfversion != "AC1009" else terminal.add_polyline2d(
        [(0, 0), (600, 0), (600, 600), (0, 600)], close=True)
    terminal.add_attdef("MARK", (0, 0), "S-?", height=100)
    terminal.add_attdef("FLOW", (0, -150), "0 L/s", height=100)
    floor = doc.blocks.new("FLOOR", base_point=(1000, 0))
    plain(floor)
    floor.add_line((0, 0), (300, 400), dxfattribs={"layer": "0"})
    for k, (scale, turn) in enumerate([((1, 1, 1), 0), ((1, -1, 1), 30), ((-2, 2, 1), 45), ((1, 3, 1), 120)]):
        ref = floor.add_blockref("TERMINAL", (1000 * k, 500, 2700), dxfattribs={"layer": TERM, "xscale": scale[0], "yscale": scale[1], "zscale": scale[2], "rotation": turn})
        ref.add_attrib("MARK", f"S-{k}", (0, 0), {"height": 100})
        ref.add_attrib("FLOW", "%%c 80 L/s", (0, 0), {"height": 100})
    doc.blocks.new("SITE").add_blockref("FLOOR", (500, 500), dxfattribs={"layer": "0", "rotation": 90, "xscale": 2, "yscale": 2, "zscale": 2})


def drawing(version):
    doc = ezdxf.new(version)
    doc.header["$INSUNITS"] = 4
    for name, state in [(DUCT, ""), (TERM, ""), (UNIT, ""), (NOTE, ""), ("SK-ETA-DUCT", "off"), ("SK-EHA-DUCT", "freeze")]:
        layer = doc.layers.add(name)
        if state:
            getattr(layer, state)()
    blocks(doc)
    msp = doc.modelspace()
    plain(msp)
    letters(msp)
    msp.add_line((0, 9000), (1, 9000), dxfattribs={"layer": "SK-ETA-DUCT"})
    msp.add_line((0, 9100), (1, 9100), dxfattribs={"layer": "SK-EHA-DUCT"})
    msp.add_blockref("SITE", (20000, 0), dxfattribs={"layer": DUCT})
    msp.add_blockref("SITE", (40000, 0, 100), dxfattribs={"layer": DUCT, "yscale": -1, "rotation": 15})
    msp.add_blockref("FLOOR", (60000, 0), dxfattribs={"layer": DUCT, "xscale": 1.5, "rotation": -20})
    msp.add_blockref("FLOOR", (-80000, 0), dxfattribs={"layer": DUCT, "extrusion": (0, 0, -1), "rotation": 10})
    msp.add_blockref("TERMINAL", (0, 30000), dxfattribs={"layer": TERM, "rotation": 30, "column_count": 3, "row_count": 2, "column_spacing": 1200, "row_spacing": 900})
    doc.layout("Layout1").add_line((0, 0), (10, 0), dxfattribs={"layer": DUCT})
    return doc


def point(v):
    v = Vec3(v)
    return [round(v.x, 6) + 0.0, round(v.y, 6) + 0.0, round(v.z, 6) + 0.0]


def line_of(entity, m):
    """Start, end and length, by the paths of ezdxf."""
    p = paths.make_path(entity).transform(m)
    pts = list(p.flattening(0.02, 16)) if p.has_curves else list(p.control_vertices())
    return {"start": point(pts[0]), "end": point(pts[-1]), "length": round(sum(a.distance(b) for a, b in zip(pts, pts[1:])), 3)}


def seen(entity, layer, m):
    """What there is to see of one entity that stands in a block which m carries into the world."""
    kind = entity.dxftype()
    own = entity.dxf.layer if entity.dxf.layer != "0" or not layer else layer
    row = {"kind": kind, "layer": own}
    if kind == "INSERT":
        for cell in entity.multi_insert() if entity.mcount > 1 else [entity]:
            inner = cell.matrix44() * m
            yield {"kind": kind, "layer": own, "at": point(inner.transform(cell.block().block.dxf.base_point)), "text": cell.dxf.name,
                   "attribs": {a.dxf.tag: a.plain_text() for a in cell.attribs}}
            for part in cell.block():
                yield from seen(part, own, inner)
        return
    if kind in ("TEXT", "MTEXT"):
        row["text"] = entity.plain_text()
        row["at"] = point(m.transform(entity.dxf.insert))
    elif kind == "ATTDEF":
        return
    elif kind == "CIRCLE":
        ocs = entity.ocs()
        row["at"] = point(m.transform(ocs.to_wcs(entity.dxf.center)))
        x, y = (m.transform_direction(ocs.to_wcs(axis)).magnitude for axis in [(1, 0, 0), (0, 1, 0)])
        if math.isclose(x, y):
            row["length"] = round(2 * math.pi * entity.dxf.radius * x, 3)
    elif kind == "POINT":
        row["at"] = point(m.transform(entity.dxf.location))
    else:
        row.update(line_of(entity, m))
    yield row


def look(doc):
    return [row for entity in doc.modelspace() for row in seen(entity, "", Matrix44())]


PAGES = {"cp1250": "Přívod vzduchu čerstvého", "cp1251": "Приток 380 м3/ч", "cp1252": "Zuluft Küche 20°", "cp1253": "Αέρας προσαγωγής", "cp1254": "Besleme havası ğış",
         "cp1257": "Pieplūdes gaiss", "cp874": "ลมจ่าย", "cp932": "給気ダクト表", "gbk": "送风管联通", "cp949": "급기 덕트", "cp950": "送風管功"}


def main():
    """Writes the drawings and read.json: "sees" holds each different list once, "files" which list is whose."""
    sees, files = [], {}

    def keep(name, rows):
        if rows not in sees:
            sees.append(rows)
        files[name] = sees.index(rows)

    for version in ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]:
        for form in ["asc", "bin"]:
            name = f"read_{version}_{form}.dxf"
            drawing(version).saveas(HERE / name, fmt=form)
            keep(name, look(ezdxf.readfile(HERE / name)))
    for page, value in PAGES.items():
        doc = ezdxf.new("R12")
        doc.encoding = page
        doc.modelspace().add_text(value, dxfattribs={"layer": NOTE})
        name = f"page_{page}.dxf"
        doc.saveas(HERE / name)
        keep(name, [{"kind": "TEXT", "layer": NOTE, "text": value, "at": [0, 0, 0]}])
    with open(HERE / "read.json", "w", encoding="utf-8") as out:
        json.dump({"files": files, "sees": sees}, out, ensure_ascii=False, indent=0, separators=(",", ":"))


main()
