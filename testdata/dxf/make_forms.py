#!/usr/bin/env python3
"""Makes the drawings form_*.dxf, one for each form or feature a DXF file may have: make_forms.py, in this folder. ezdxf
(Debian: python3-ezdxf) writes what it can; the rest is text put in or taken out afterwards. Every drawing holds a duct
from (0, 0, 3300) to (4000, 0, 3300) on SK-SUP-DUCT, and something of an architect to be left alone."""
import io
import pathlib
import re

import ezdxf

HERE = pathlib.Path(__file__).parent
ezdxf.options.write_fixed_meta_data_for_testing = True  # no random ids
DUCT = "SK-SUP-DUCT"


def drawing(version):
    doc = ezdxf.new(version, units=4)
    doc.layers.add(DUCT)
    doc.modelspace().add_line((0, 0, 3300), (4000, 0, 3300), dxfattribs={"layer": DUCT})
    doc.modelspace().add_line((0, 500), (4000, 500), dxfattribs={"layer": "WALL"})
    return doc


def text(doc):
    out = io.StringIO()
    doc.write(out)
    return out.getvalue()


def tags(*items):
    """Tags as text: code, value, code, value ..."""
    return "".join(f"{code:>3}\n{value}\n" for code, value in zip(items[::2], items[1::2]))


def keep(name, content, encoding="cp1252"):
    data = content if isinstance(content, bytes) else content.encode(encoding)
    (HERE / f"form_{name}.dxf").write_bytes(data)


def insert(content, where, more):
    """Puts more before the first place where the text where stands."""
    head, found, rest = content.partition(where)
    assert found, where
    return head + more + found + rest


def without(content, section):
    cut = re.sub(rf"  0\nSECTION\n  2\n{section}\n.*?  0\nENDSEC\n", "", content, flags=re.S)
    assert cut != content, section
    return cut


CHUNK = "0123456789ABCDEF" * 8
EOF = tags(0, "EOF")
OBJECTS = tags(0, "SECTION", 2, "OBJECTS")
ENTITIES = tags(0, "SECTION", 2, "ENTITIES")


def entity(kind, handle, *rest):
    """An entity of model space of a later version of ezdxf's drawings."""
    return tags(0, kind, 5, handle, 330, "17", 100, "AcDbEntity", 8, "WALL", *rest)


def wholes():
    """Forms of the file as a whole."""
    r12, r2000 = text(drawing("R12")), text(drawing("R2000"))
    keep("no_header", without(r12, "HEADER"))
    keep("no_tables", without(r12, "TABLES"))
    keep("no_tables_R2000", without(r2000, "TABLES"))
    keep("no_blocks", without(r12, "BLOCKS"))
    keep("fragment", ENTITIES + tags(0, "LINE", 8, DUCT, 10, "0.0", 20, "0.0", 30, "3300.0", 11, "4000.0", 21, "0.0", 31, "3300.0", 0, "ENDSEC"))
    keep("comments", tags(999, "written by hand") + insert(r12, tags(8, DUCT, 10, "0.0"), tags(999, "a duct")))
    keep("byte_order_mark", b"\xef\xbb\xbf" + text(drawing("R2007")).encode())
    half = len(r12) // 2
    keep("mixed_line_ends", r12[:half] + r12[half:].replace("\n", "\r\n"))
    keep("carriage_returns", r12.replace("\n", "\r"))
    rows = r12.split("\n")
    keep("padded_codes", "\n".join((" " * (i // 2 % 5) + row.strip() + "\t" * (i % 3) if i % 2 == 0 else row) for i, row in enumerate(rows)))
    keep("data_after_eof", r12.encode() + b"left by a transfer\x00\x1a\x1a\n  0\nSECTION\n")
    keep("no_end_of_last_line", r12.rstrip("\n"))
    keep("no_eof", r12[: -len(EOF)])


def versions():
    """Versions that ezdxf does not write."""
    plain = without(text(drawing("R12")), "TABLES")
    for version in ["AC1003", "AC1006"]:
        keep(f"version_{version}", plain.replace("AC1009", version))
    keep("version_AC2.10", plain.replace("AC1009", "AC2.10"))
    later = text(drawing("R2000"))
    head, found, rest = without(without(later, "CLASSES"), "OBJECTS").partition(tags(0, "SECTION", 2, "TABLES"))
    later = head + found + re.sub(r"\n(290|370|390|280|281|340)\n[^\n]*(?=\n)", "", rest)
    for version in ["AC1012", "AC1014"]:
        keep(f"version_{version}", later.replace("AC1015", version))


def handles():
    r12, r2000 = text(drawing("R12")), text(drawing("R2000"))
    without_handles = re.sub(r"  9\n\$HANDSEED\n  5\n[0-9A-F]+\n", "", r12)
    without_handles = re.sub(r"\n  5\n[0-9A-F]+(?=\n)", "", without_handles)
    keep("no_handles", without_handles.replace("$HANDLING\n 70\n1", "$HANDLING\n 70\n0"))
    line = r2000.index("  0\nLINE\n")
    first = re.search(r"  5\n([0-9A-F]+)\n", r2000[line:]).group(1)
    body = (100, "AcDbLine", 10, "0.0", 20, "0.0", 30, "0.0", 11, "1.0", 21, "1.0", 31, "0.0")
    keep("duplicate_handles", insert(r2000, r2000[line:], entity("LINE", first, *body)))
    keep("empty_handles", insert(r2000, r2000[line:], entity("LINE", "", *body)))
    secret = tags(0, "XRECORD", 5, "FFF0", 330, "A", 100, "AcDbXrecord", 280, 1, 330, "FFFF0", 1, "FFFFFFF")
    keep("handle_in_hiding", insert(r2000, tags(0, "ENDSEC") + EOF, secret))


def contents():
    """What is in a drawing and nobody here looks into."""
    r2000, r2013 = text(drawing("R2000")), text(drawing("R2013"))
    line = r2000[r2000.index("  0\nLINE\n"):]
    keep("unknown_section", insert(r2000, EOF, tags(0, "SECTION", 2, "WONDERS", 0, "MIRACLE", 1, "and what is in it", 0, "ENDSEC")))
    keep("unknown_entity", insert(r2000, line, entity("MIRACLE", "FF0", 100, "AcDbMiracle", 1, "north", 310, CHUNK, 3, "x")))
    proxy = entity("ACAD_PROXY_ENTITY", "FF1", 100, "AcDbProxyEntity", 90, 498, 91, 500, 95, 25, 70, 0, 92, 128, 310, CHUNK, 310, CHUNK, 93, 640, 310, CHUNK, 330, "A", 94, 0)
    keep("proxy", insert(r2000, line, proxy))
    thumb = tags(0, "SECTION", 2, "THUMBNAILIMAGE", 90, 128, 310, CHUNK, 310, CHUNK, 0, "ENDSEC")
    keep("thumbnail", insert(r2000, EOF, thumb))
    acds = tags(0, "SECTION", 2, "ACDSDATA", 70, 2, 71, 1, 0, "ACDSRECORD", 90, 1, 2, "AcDbDs::ID", 280, 10, 320, "FF2", 2, "ASM_Data", 280, 15, 94, 64, 310, CHUNK, 0, "ENDSEC")
    keep("acdsdata", insert(r2013, EOF, acds))

    doc = drawing("R2018")
    attdef = doc.blocks.new("ROOM")
    attdef.add_attdef("NAME", (0, 0), "?", height=100)
    reference = doc.modelspace().add_blockref("ROOM", (1000, 1000), dxfattribs={"layer": "WALL"})
    attrib = reference.add_attrib("NAME", "", (1000, 1000), {"height": 100})
    attrib.embed_mtext(doc.modelspace().add_mtext("Reading room\\Pnorth", {"char_height": 100, "insert": (1000, 1000)}))
    keep("embedded_object", text(doc), "utf-8")

    doc = drawing("R2010")
    duct, wall = doc.modelspace()
    for e in (duct, wall):
        e.new_extension_dict().add_dictionary_var("STATE", "kept")
    doc.groups.new("PAIR").extend([duct, wall])
    wall.append_reactor_handle("A")
    doc.appids.add("OTHERS")
    wall.set_xdata("OTHERS", [(1000, "a note of another program"), (1004, bytes.fromhex(CHUNK)), (1005, duct.dxf.handle), (1010, (1, 2, 3))])
    keep("extension_dictionary", text(doc), "utf-8")
    doc.saveas(HERE / "form_extension_dictionary_binary.dxf", fmt="bin")

    doc = drawing("R2000")
    image = doc.modelspace().add_image(doc.add_image_def("plan.png", (640, 480)), (0, 0), (100, 75))
    image.dxf.layer = "WALL"
    hatch = doc.modelspace().add_hatch(dxfattribs={"layer": "WALL"})
    hatch.paths.add_polyline_path([(0, 0), (900, 0), (900, 400)], is_closed=True)
    doc.modelspace().add_linear_dim((0, -300), (0, 0), (4000, 0), dxfattribs={"layer": "WALL"}).render()
    keep("hatch_image_dimension", text(doc))


wholes()
versions()
handles()
contents()
