#!/usr/bin/python3
"""Makes note_*.dxf and notes.json: texts with leaders of today's CAD programs, and splines by fit points alone, with what
ezdxf (python3-ezdxf) sees in them by taking them apart. Run it in this folder."""
import json
import pathlib

import ezdxf
from ezdxf.math import Matrix44, Vec2, Vec3, fit_points_to_cad_cv
from ezdxf.render.mleader import ConnectionSide, TextAlignment

ezdxf.options.write_fixed_meta_data_for_testing = True
HERE = pathlib.Path(__file__).parent


def clinic(doc):
    """A duct of a veterinary clinic from a unit to a terminal, whose notes stand far away and point to what they are about."""
    space = doc.modelspace()
    space.add_circle((0, 0), 300, dxfattribs={"layer": "SK-SUP-UNIT"})
    space.add_line((300, 0, 3300), (9000, 0, 3300), dxfattribs={"layer": "SK-SUP-DUCT"})
    space.add_circle((9000, 0, 2700), 150, dxfattribs={"layer": "SK-SUP-TERM"})
    return space


def multileader(space, content, at, tips, angle=0.0, align=TextAlignment.left, side=ConnectionSide.left):
    builder = space.add_multileader_mtext("Standard", dxfattribs={"layer": "SK-SUP-NOTE"})
    builder.set_content(content, char_height=150, alignment=align)
    for tip in tips:
        builder.add_leader_line(side, [Vec2(p) for p in tip])
    builder.build(insert=Vec2(at), rotation=angle)
    return builder.multileader


def seen(entity, into, m=Matrix44()):
    """What a MULTILEADER shows: its text, and the ends of its lines (the arrow head is drawn over the first)."""
    for e in entity.virtual_entities():
        if e.dxftype() == "MTEXT":
            p, d = m.transform(e.dxf.insert), m.transform_direction(e.dxf.text_direction)
            into["texts"].append({"value": e.plain_text(), "at": list(p), "direction": list(d.normalize()),
                                  "height": e.dxf.char_height * m.transform_direction((0, 1, 0)).magnitude})
    for leader in entity.context.leaders:
        for line in leader.lines:
            end = leader.last_leader_point + leader.dogleg_vector * leader.dogleg_length
            into["leaders"].append({"tip": list(m.transform(line.vertices[0])), "tail": list(m.transform(end)),
                                    "corners": len(line.vertices) + 2})


def notes():
    out = {}
    for version in ["R2000", "R2007", "R2018"]:
        doc = ezdxf.new(version)
        doc.units = 4
        space = clinic(doc)
        want = {"texts": [], "leaders": []}
        for e in [
            multileader(space, "TB-1", (4000, 9000), [[(100, 100)]]),
            multileader(space, r"{\fArial|b0;ø250}\Pround", (14000, 9000), [[(4000, 0), (8000, 5000)]], side=ConnectionSide.right),
            multileader(space, "S-101 220 L/s", (14000, -9000), [[(9000, 50)]], angle=30, align=TextAlignment.center),
        ]:
            seen(e, want)
        block = doc.blocks.new("NOTES")
        inner = multileader(block, "insul 50", (500, 9000), [[(0, 0)]])
        ins = space.add_blockref("NOTES", (6000, 0), dxfattribs={"layer": "SK-SUP-NOTE", "rotation": 270, "xscale": -2, "yscale": 2})
        seen(inner, want, ins.matrix44())
        name = f"note_multileader_{version}.dxf"
        doc.saveas(HERE / name)
        out[name] = want
    doc = ezdxf.new("R2010")
    doc.units = 4
    space = clinic(doc)
    texts, leaders = [], []
    for value, at, tip in [("TB-1", (4000, 9000), (0, 200)), ("S-101 220 L/s", (4000, 8000), (9000, 50)), ("ø250", (4000, 7000), (5000, 0))]:
        text = space.add_mtext(value, dxfattribs={"layer": "SK-SUP-NOTE", "char_height": 150, "insert": at})
        # Its tail is nearer to the text of another one, as it is where texts stand in a list: that it belongs to its own
        # text is said by a handle alone.
        space.add_leader([tip, (3000, 7600)], dxfattribs={"layer": "SK-SUP-NOTE", "annotation_handle": text.dxf.handle})
        texts.append({"value": value, "at": [*at, 0], "direction": [1, 0, 0], "height": 150})
        leaders.append({"tip": [*tip, 0], "tail": [3000, 7600, 0], "corners": 2})
    doc.saveas(HERE / "note_leader_list.dxf")
    out["note_leader_list.dxf"] = {"texts": texts, "leaders": leaders}
    return out


def splines():
    doc = ezdxf.new("R2010")
    doc.units = 4
    space = doc.modelspace()
    on = {"layer": "SK-SUP-FLEX"}
    curves = {}
    paths = {
        "bend": [(0, 0, 3000), (800, 100, 3000), (1300, 700, 2900), (1350, 1500, 2700)],
        "hose": [(5000, 0, 3300), (5600, 500, 3300), (6400, -500, 3300), (7200, 500, 3300), (8000, 0, 3300), (8900, 200, 3300)],
    }
    for name, points in paths.items():
        e = space.add_spline(points, dxfattribs=on)
        curves[e.dxf.handle] = {"name": name, "tolerance": 45, "points": [list(p.round(3)) for p in fit_points_to_cad_cv(points).approximate(120)]}
        tangents = [Vec3(1, 2, 0), Vec3(0, -1, 0)]
        moved = [Vec3(p) + Vec3(0, 5000, 0) for p in points]
        e = space.add_spline(moved, dxfattribs=dict(on, start_tangent=tangents[0], end_tangent=tangents[1]))
        curves[e.dxf.handle] = {"name": name + " with tangents", "tolerance": 2,
                                "points": [list(p.round(3)) for p in fit_points_to_cad_cv(moved, tangents=tangents).approximate(120)]}
    doc.saveas(HERE / "note_fit_splines.dxf")
    return {"note_fit_splines.dxf": {"curves": curves}}


(HERE / "notes.json").write_text(json.dumps({**notes(), **splines()}, ensure_ascii=False).replace("}, {", "},\n{") + "\n")
