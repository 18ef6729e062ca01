#!/usr/bin/python3
"""overlay.py TWINLINE DRAWINGS OUT: sketches a system into two architects' plans that other programs drew,
has them drawn, and checks with ezdxf that no entity of the plans changed and no lettering of ours
lies on a text of theirs. The results stay in the folder OUT, to be looked at."""
import logging
import pathlib
import subprocess
import sys

import ezdxf
from ezdxf import bbox
from ezdxf.lldxf.encoding import decode_dxf_unicode

logging.disable(logging.WARNING)  # of fonts that are not installed

PLANS = {
    "skymakerolof_dxf__floorplan": {
        # The plan says millimetres and is drawn in inches.
        "settings": 'units = "inch"\n[sketch]\nface = "12 in"\n[elevation]\nSUP = "9 ft"\nceiling = "8 ft"\n[draw]\ntext_height = "1/16 in"\n',
        "text": 4,
        "unit": [(-500, 196), (-470, 196), (-470, 224), (-500, 224)], "mark": ((-496, 228), "AH-1 0.4 in.wg"),
        "duct": [[(-470, 210), (-260, 210), (-260, 296), (-205, 296)], [(-357, 210), (-357, 262)], [(-300, 210), (-300, 160)],
                 [(-500, 210), (-604, 210), (-604, 272)], [(-604, 210), (-604, 150)], [(-540, 210), (-540, 120), (-510, 120)]],
        "term": [(-205, 296, "S-1", "220 cfm"), (-357, 262, "S-2", "240 cfm"), (-300, 160, "S-3", "90 cfm"),
                 (-604, 272, "S-4", "180 cfm"), (-604, 150, "S-5", "110 cfm"), (-510, 120, "S-6", "110 cfm")],
    },
    "barcelona-pavillion__plan": {
        "settings": '[sketch]\nface = "0.5 m"\n',
        "text": 0.15,
        "unit": [(14, 9), (15.4, 9), (15.4, 10.2), (14, 10.2)], "mark": ((14, 10.5), "AHU-1 200 Pa"),
        "duct": [[(15.4, 9.6), (36, 9.6), (36, 14)], [(20, 9.6), (20, 14)], [(25, 9.6), (25, 5)], [(30, 9.6), (30, 14)]],
        "term": [(36, 14, "S1", "600 m3/h"), (20, 14, "S2", "500 m3/h"), (25, 5, "S3", "700 m3/h"), (30, 14, "S4", "500 m3/h")],
    },
}


def sketch(plan, source, target):
    doc = ezdxf.readfile(source)
    msp = doc.modelspace()
    for part in ("DUCT", "TERM", "UNIT", "NOTE"):
        doc.layers.add("SK-SUP-" + part, color=6)
    msp.add_lwpolyline(plan["unit"], close=True, dxfattribs={"layer": "SK-SUP-UNIT"})

    def text(layer, at, value):
        msp.add_text(value, dxfattribs={"layer": layer, "height": plan["text"], "insert": at})

    text("SK-SUP-UNIT", *plan["mark"])
    for line in plan["duct"]:
        for a, b in zip(line, line[1:]):
            msp.add_line(a, b, dxfattribs={"layer": "SK-SUP-DUCT"})
    for x, y, mark, flow in plan["term"]:
        msp.add_circle((x, y), plan["text"], dxfattribs={"layer": "SK-SUP-TERM"})
        text("SK-SUP-TERM", (x + 2 * plan["text"], y + plan["text"] / 2), f"{mark} {flow}")
    doc.saveas(target)


def tags(doc):
    """The entities that are not ours, as text, by handle."""
    from ezdxf.lldxf.tagwriter import TagCollector
    out = {}
    for e in doc.entitydb.values():
        if e.is_alive and not e.has_xdata("TWINLINE") and e.dxftype() not in ("LAYER", "LTYPE", "STYLE", "APPID", "TABLE", "VERTEX", "SEQEND"):
            out[e.dxf.handle] = str(TagCollector.dxftags(e, dxfversion=doc.dxfversion)) if e.dxftype() != "DICTIONARY" else ""
    return out


def overlaps(a, b):
    return a.extmin.x < b.extmax.x and b.extmin.x < a.extmax.x and a.extmin.y < b.extmax.y and b.extmin.y < a.extmax.y


def main():
    twinline, drawings, out = sys.argv[1], pathlib.Path(sys.argv[2]), pathlib.Path(sys.argv[3])
    bad = 0
    for name, plan in PLANS.items():
        before, settings, after = out / f"{name}.dxf", out / f"{name}.toml", out / f"{name}-ducts.dxf"
        sketch(plan, drawings / f"{name}.dxf", before)
        settings.write_text(plan["settings"])
        subprocess.run([twinline, "draw", "-q", str(before), "-o", str(after), "--settings", str(settings)], check=True)
        was, now = ezdxf.readfile(before), ezdxf.readfile(after)
        a, b = tags(was), tags(now)
        changed = [h for h in a if a[h] != b.get(h)]
        ours = [e for e in now.modelspace() if e.has_xdata("TWINLINE") and e.dxftype() == "TEXT"]
        theirs = [e for e in now.modelspace() if e.dxftype() in ("TEXT", "MTEXT") and not e.has_xdata("TWINLINE") and not e.dxf.layer.startswith("SK-")]
        boxes = [(e, bbox.extents([e])) for e in theirs]
        on = []
        for e in ours:
            e.dxf.text = decode_dxf_unicode(e.dxf.text)
            box = bbox.extents([e])
            on += [(e.dxf.text, t.dxf.text if t.dxftype() == "TEXT" else t.text) for t, other in boxes if other.has_data and overlaps(box, other)]
        print(f"{name}: {len(a)} entities of theirs, {len(changed)} changed; {len(ours)} texts of ours, {len(on)} on theirs")
        for pair in on:
            print("   ", *pair, sep="  ")
        if changed or on or not ours:
            bad += 1
    sys.exit(1 if bad else 0)


main()
