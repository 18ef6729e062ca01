#!/usr/bin/python3
"""cases.py TWINLINE CASES: draws every sketch in the folder CASES with the program and judges the result
with ezdxf: opened strictly, audited without a word, everything drawn on layers of the convention
with our mark, and the sketch in it byte for byte."""
import pathlib
import re
import subprocess
import sys
import tempfile

import ezdxf

LAYER = re.compile(r"TW-(SUP|ETA|EHA|ODA|RCA|TRA)-(WALL|JOINT|AXIS|HIDE|FLEX|VERT|TERM|DAMP|SIZE|FLOW|BODY)-(NEW|EX|REM|FUT)$")
SETTINGS = {"notes-inch": 'units = "inch"', "two-airs": 'units = "mm"'}  # R12 cannot name its unit

# Where a supply duct of 160 mm at 3 m passes under an extract duct of 250 mm at 4 m, its walls 80 mm beside
# its centreline are hidden for 125 mm to both sides of the other's.
HIDDEN = {((x, 19875, 3000), (x, 20125, 3000)) for x in (3920, 4080)}

# What has to be drawn, and what not, by the status and the air of the sketch.
MUST = {
    "retrofit": ({"TW-SUP-WALL-EX", "TW-SUP-WALL-NEW", "TW-SUP-WALL-REM", "TW-SUP-WALL-FUT", "TW-SUP-FLOW-EX"}, set()),
    "extract": ({"TW-ETA-WALL-NEW", "TW-ETA-VERT-NEW", "TW-ETA-SIZE-NEW"}, {"TW-SUP-WALL-NEW"}),
    "lines": ({"TW-SUP-FLEX-NEW"}, set()),
    "airs": ({f"TW-{a}-WALL-NEW" for a in ("SUP", "ETA", "EHA", "ODA", "RCA", "TRA")}, set()),
    "attributes": ({"TW-SUP-WALL-NEW"}, set()),
}


def entities(data):
    """The bytes of the ENTITIES section."""
    m = re.search(rb"\n *0\r?\nSECTION\r?\n *2\r?\nENTITIES\r?\n", data)
    end = re.compile(rb"\n *0\r?\nENDSEC").search(data, m.end() - 1)
    return data[m.end():end.start() + 1]


def judge(name, before, after):
    wrong = []
    if entities(before.read_bytes()) not in entities(after.read_bytes()):
        wrong.append("the sketch is not there byte for byte")
    doc, was = ezdxf.readfile(after), ezdxf.readfile(before)
    audit = doc.audit()
    wrong += [f"audit: {row.message}" for row in list(audit.errors) + list(audit.fixes)]
    if doc.dxfversion != was.dxfversion:
        wrong.append(f"version {doc.dxfversion}, it was {was.dxfversion}")
    layers, theirs = set(), {e.dxf.handle for e in was.modelspace()}
    for e in doc.modelspace():
        ours = e.has_xdata("TWINLINE")
        if ours != (e.dxf.handle not in theirs):
            wrong.append(f"{e}: {'marked' if ours else 'not marked'}")
        if ours:
            layers.add(e.dxf.layer)
            if not LAYER.match(e.dxf.layer):
                wrong.append(f"{e} lies on {e.dxf.layer}")
    for layer in layers & {l.dxf.name for l in doc.layers}:
        entry = doc.layers.get(layer)
        if "-AXIS-" in layer and doc.dxfversion != "AC1009" and entry.dxf.plot != 0:
            wrong.append(f"{layer} plots")
        if "-BODY-" in layer and entry.is_on():
            wrong.append(f"{layer} is on")
    wrong += [f"no layer entry for {x}" for x in sorted(layers) if x not in doc.layers]
    if name == "crossing":
        hidden = {tuple(sorted(tuple(round(c) for c in p) for p in (e.dxf.start, e.dxf.end)))
                  for e in doc.modelspace().query('LINE[layer ? "TW-.*-HIDE-NEW"]') if e.dxf.start.z > 2900}
        if hidden != HIDDEN:
            wrong.append(f"hidden are {sorted(hidden)}")
    must, never = MUST.get(name, ({"TW-SUP-WALL-NEW"} if name != "hangs" else {"TW-EHA-WALL-NEW"}, set()))
    wrong += [f"nothing on {x}" for x in sorted(must - layers)] + [f"something on {x}" for x in sorted(never & layers)]
    return wrong


def main():
    program, folder = sys.argv[1], pathlib.Path(sys.argv[2])
    bad = drawn = 0
    with tempfile.TemporaryDirectory() as tmp:
        tmp = pathlib.Path(tmp)
        for sketch in sorted(folder.glob("*.dxf")):
            settings = tmp / "case.toml"
            settings.write_text(SETTINGS.get(sketch.stem, "") + "\n")
            out = tmp / sketch.name
            run = subprocess.run([program, "draw", "-q", "--settings", settings, sketch, "-o", out], capture_output=True, text=True)
            if sketch.stem in ("ambiguous", "near-misses"):
                wrong = [] if run.returncode == 1 and not out.exists() else [f"status {run.returncode}, output {out.exists()}"]
            elif run.returncode:
                wrong = [f"status {run.returncode}: {run.stderr}"]
            else:
                drawn += 1
                wrong = judge(sketch.stem, sketch, out)
            for text in wrong[:10]:
                print(f"{sketch.stem}: {text}")
            bad += bool(wrong)
    print(f"{drawn} cases drawn and judged, {bad} bad")
    sys.exit(1 if bad or drawn < 20 else 0)


main()
