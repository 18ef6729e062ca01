#!/usr/bin/python3
"""entities.py FILE.dxf: what ezdxf finds in model space, as JSON: how many entities of each kind we look
into lie on each layer, and the ends of every LINE and the centre of every CIRCLE after all
blocks are taken apart. Files ezdxf cannot open give null."""
import collections
import json
import sys

import ezdxf
from ezdxf import recover

KINDS = {"LINE", "LWPOLYLINE", "POLYLINE", "ARC", "CIRCLE", "POINT", "SPLINE", "ELLIPSE", "INSERT", "TEXT", "MTEXT", "LEADER"}


def mesh(e):
    return e.dxftype() == "POLYLINE" and (e.is_poly_face_mesh or e.is_polygon_mesh)


def apart(entities, depth=0):
    """The entities with all inserts taken apart; dimensions stay whole."""
    for e in entities:
        if e.dxftype() != "INSERT":
            yield e
        elif depth < 32:
            for one in e.multi_insert() if e.mcount > 1 else [e]:
                yield from apart(one.virtual_entities(), depth + 1)


try:
    try:
        doc = ezdxf.readfile(sys.argv[1])
    except ezdxf.DXFError:
        doc, _ = recover.readfile(sys.argv[1])
except Exception:
    print("null")
    sys.exit(0)
counts = collections.Counter()
for e in doc.modelspace():
    if e.dxftype() in KINDS and not mesh(e):
        counts[f"{e.dxf.layer}|{e.dxftype()}"] += 1
lines, circles = [], []
for e in apart(doc.modelspace()):
    if e.dxftype() == "LINE":
        lines.append([*e.dxf.start, *e.dxf.end])
    elif e.dxftype() == "CIRCLE":
        circles.append([*e.ocs().to_wcs(e.dxf.center)])
json.dump({"counts": counts, "lines": lines, "circles": circles}, sys.stdout)
